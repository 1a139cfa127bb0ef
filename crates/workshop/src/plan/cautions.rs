//! The cautions that print with a setup.
//!
//! Common practice in our own words. They remind; they replace neither training
//! nor the codes in force where the work is done.

use crate::order::work::{Holding, Machine, Steadied, Step, Tool};
use crate::order::{Held, Work};
use crate::tables::materials::{Kind, Material};

/// One caution and when it stands on a sheet.
struct Caution {
    words: &'static str,
    applies: fn(&Holding, &[&Step]) -> bool,
}

/// Every caution, in the order they print. Add a row here and a case below.
const CAUTIONS: [Caution; 30] = [
    Caution {
        words: "Eye protection on. No gloves, rings or loose sleeves. Swarf is sharp and hot: brush, never fingers. Stop to measure.",
        applies: |h, _| h.machine != Machine::BenchVice,
    },
    Caution {
        words: "Pull on the work before switching on: it must not move. Cut towards the fixed jaw of the vice.",
        applies: |h, _| h.machine == Machine::Mill && in_a_vice(h),
    },
    Caution {
        words: "Pull on the work before switching on: it must not move.",
        applies: |h, _| h.machine == Machine::Mill && !in_a_vice(h),
    },
    Caution {
        words: "Two holds at least on the rotary table, a stub's screw and washer or a stud's counting as one. Wind one whole turn by hand with the spindle stopped and see every clamp pass clear of the cutter. Lock the slides that are not used.",
        applies: |h, _| h.machine == Machine::RotaryTable,
    },
    Caution {
        words: "Feed against the cutter's turning. Feeding with it snatches on a slide with slack.",
        applies: |h, s| h.machine != Machine::Lathe && has(s, |t| matches!(t.tool, Tool::EndMill(_))),
    },
    Caution {
        words: "Ease off as a drill breaks through; brass grabs a sharp lip: take its edge off first.",
        applies: |_, s| {
            has(s, |t| {
                matches!(t.work, Work::Drill { .. } | Work::ChainDrill { .. } | Work::OpenClearance { .. })
            })
        },
    },
    Caution {
        words: "Drills and cutters under 3 mm: shortest stick-out, clear often; they fly when they snap.",
        applies: |_, s| has(s, |t| t.tool.diameter().is_some_and(|d| d < crate::measure::Length::mm(3))),
    },
    Caution {
        words: "A reamer never turns backwards: it chips, and it scores the bore.",
        applies: |_, s| has(s, |t| matches!(t.work, Work::Ream { .. })),
    },
    Caution {
        words: "Tap: start square, half a turn back for each turn on, clear the chips, never force it.",
        applies: |_, s| has(s, |t| matches!(t.work, Work::Tap { .. })),
    },
    Caution {
        words: "Slitting saw: guard on, stand out of its plane; slow, against its turning; support both sides so that the slit cannot close; stop if it wanders.",
        applies: |_, s| has(s, |t| matches!(t.work, Work::Slit)),
    },
    Caution {
        words: "Boring head: tighten the bit, turn it round once by hand, begin at low speed.",
        applies: |h, s| h.machine != Machine::Lathe && has(s, |t| matches!(t.tool, Tool::BoringTool)),
    },
    Caution {
        words: "Chuck key out before anything else. Turn the chuck once by hand past tool and slide. Long swarf is cleared with a hook, the spindle stopped.",
        applies: |h, _| h.machine == Machine::Lathe,
    },
    Caution {
        words: "Work off centre is out of balance: begin at the lowest speed, and turn it round once by hand past tool and slide before every start.",
        applies: |h, _| h.held.set_over().is_some(),
    },
    Caution {
        words: "Between centres: the carrier's tail guarded, no cut before the tailstock is locked; stop and feel the centre for warmth, slacken and oil it as the work grows.",
        applies: |h, _| matches!(h.held, Held::Centres | Held::OffsetCentres { .. }),
    },
    Caution {
        words: "On a mandrel: light cuts, towards its thick end; work that slips has scored its bore.",
        applies: |h, _| matches!(h.held, Held::Mandrel { .. }),
    },
    Caution {
        words: "Work screwed on: never run the spindle backwards, and brake it gently: it unscrews and flies off.",
        applies: |h, _| matches!(h.held, Held::Screwed { .. }),
    },
    Caution {
        words: "Faceplate: clamps and weight tight and clear of bed and slide; turn it once by hand, begin at the lowest speed.",
        applies: |h, _| matches!(h.held, Held::Faceplate { .. }),
    },
    Caution {
        words: "Steady: fingers oiled, set by hand with the spindle stopped; a finger that runs dry picks up and marks the work.",
        applies: |h, _| matches!(h.steadied, Steadied::Fixed { .. } | Steadied::Travelling),
    },
    Caution {
        words: "A knurl presses hard: little of the work out of the chuck, the tailstock up where it reaches, fingers and rag away from the wheels.",
        applies: |_, s| has(s, |t| matches!(t.work, Work::Knurl)),
    },
    Caution {
        words: "Die: turn the chuck by hand, half a turn back for each turn on. Under power only at the lowest speed, with a holder that slides and lets go, stopped well before the shoulder; never hold it back by hand.",
        applies: |h, s| h.machine == Machine::Lathe && has(s, |t| matches!(t.tool, Tool::Die(_))),
    },
    Caution {
        words: "Cutting a thread, the carriage goes by itself: a trial run with the tool clear first; then watch only where the tool is drawn out, the hand on the slide.",
        applies: |_, s| has(s, |t| t.work == Work::CutThread && t.tool == Tool::LatheTool),
    },
    Caution {
        words: "Work held by pressure alone: cuts of 0.25 mm at most, a sharp tool, the tailstock locked, the guard between you and the work. Stop and press again if it ever slips.",
        applies: |h, _| h.held == Held::PressurePads,
    },
    Caution {
        words: "The saw meets whatever fills the bore: a stud there is soft, never hard, its screw and washer clear of the saw; or clamp the work and draw it out first.",
        applies: |h, s| bolted(&h.held) && has(s, |t| matches!(t.work, Work::Slit)),
    },
    Caution {
        words: "Adhesive: gloves, it can cause allergy. Part with warmth in moving fresh air: the vapour irritates, and hot metal looks like cold.",
        applies: |_, s| has(s, |t| matches!(t.tool, Tool::Adhesive | Tool::Warmth)),
    },
    Caution {
        words: "Hardening: fire bricks, tongs, gauntlets, a face shield, moving air, nothing that burns near by. Hot steel looks like cold. Oil flares: a deep metal bath with its lid at hand, the work straight in and right under, never a wet or hollow closed piece. Follow the steel maker's sheet and the codes in force.",
        applies: |_, s| has(s, |t| matches!(t.work, Work::Harden | Work::Temper)),
    },
    Caution {
        words: "Files need handles. Clamp the whole sandwich, not a button alone, and keep fingers from the edge.",
        applies: |h, s| h.held == Held::FilingButtons || has(s, |t| matches!(t.tool, Tool::File)),
    },
    Caution {
        words: "Chisel: eye protection for all who stand near, a screen where the chips fly, a head without a mushroomed edge. Clamp the work on something solid. What is broken out of a ring of holes has edges like a saw.",
        applies: |_, s| {
            has(s, |t| matches!(t.work, Work::ChainDrill { .. }) || matches!(t.tool, Tool::Chisel))
        },
    },
    Caution {
        words: "Broach: oil it, start it dead square, and press it steadily through in the press or vice; never strike it, for a hard broach flies in pieces. Where it goes stiff, back it out and clear the chips. Keep the face out of line with it.",
        applies: |_, s| has(s, |t| matches!(t.work, Work::Broach { .. })),
    },
    Caution {
        words: "Planing with the spindle locked: pull the plug or lock the switch first, and take the lock out before anything runs again. Keep the hand that winds clear of the tool’s way out.",
        applies: |_, s| has(s, |t| matches!(t.tool, Tool::PlaningTool(_))),
    },
    Caution {
        words: "Work on edge stands on little: see that it is down and cannot tip, and take light cuts.",
        applies: |h, _| matches!(h.held, Held::ViceOnEdge | Held::PlateOnEdge { .. }),
    },
];

/// One caution of a material and when it stands on a sheet.
struct OfMaterial {
    words: &'static str,
    applies: fn(&Material, &[&Step]) -> bool,
}

/// What the material itself asks, in the order it prints, after the others. From memory.
const OF_MATERIALS: [OfMaterial; 6] = [
    OfMaterial {
        words: "Copper drags and grabs: keen tools with plenty of rake, cutting oil, a steady feed. Clear a drill often, for it binds, and hold the work so that it cannot be snatched.",
        applies: |m, _| m.kind == Kind::Copper,
    },
    OfMaterial {
        words: "Plastic softens before it wears a tool: keen edges, short stays, clear the chips, and let it cool before it is measured. Its swarf winds itself round chuck and drill: stop to clear it. It gives under jaws and clamps: hold it no harder than the cut asks.",
        applies: |m, _| m.kind == Kind::Plastic,
    },
    OfMaterial {
        words: "Acetal burns with a flame that is hard to see, and overheated it gives off formaldehyde, which stings: keep it and its swarf from flames and hot swarf.",
        applies: |m, _| m.name == "acetal",
    },
    OfMaterial {
        words: "PTFE: no smoking near it, wash the hands afterwards, and never let it or its swarf come near flame or red heat: its fume is poisonous and smells of little.",
        applies: |m, _| m.name == "PTFE",
    },
    OfMaterial {
        words: "Laminate dust is bad to breathe and wears slides: a mask, the dust drawn off at the tool and not blown about, the ways covered. Cut it dry.",
        applies: |m, _| m.kind == Kind::Laminate,
    },
    OfMaterial {
        words: "Laminate splits where a drill or cutter comes out: back it with scrap, ease off, and drill into its edge only with the layers clamped together.",
        applies: |m, s| m.kind == Kind::Laminate && has(s, |t| t.tool.diameter().is_some()),
    },
];

/// What stands at the foot of every cover.
pub const GENERAL: &str = "These sheets remind and do not teach. Local codes, the makers' instructions and licensed practice come before anything printed here.";

/// What stands on the cover of a part that holds pressure.
pub const PRESSURE: &str = "This part holds pressure. None of its sizes is changed: the design is kept exactly as published. Build it to a proved design, under the code in force, with an inspector, and test it with water, never with air.";

/// What stands on the cover of a part that is hardened.
pub const HARDENED: &str = "This part is hardened after its last cut. It grows a little and long thin parts bend: the sizes on these sheets are the finished ones, but where a row says what it leaves for lapping: leave 0.05 to 0.1 mm on whatever else fits closely, and lap or grind it to size once it is hard. Every hole is drilled and every mark stamped before.";

/// The cautions of a setup, in order.
pub fn cautions(holding: &Holding, steps: &[&Step], material: &Material) -> Vec<String> {
    let work = CAUTIONS.iter().filter(|c| (c.applies)(holding, steps)).map(|c| c.words);
    let own = OF_MATERIALS.iter().filter(|c| (c.applies)(material, steps)).map(|c| c.words);
    work.chain(own).map(str::to_owned).collect()
}

/// True when the work is held through its own bores.
fn bolted(held: &Held) -> bool {
    matches!(
        held,
        Held::BoltOnPlate { .. }
            | Held::PlateOnEdge { .. }
            | Held::PlateTurned { .. }
            | Held::StubMandrel { .. }
    )
}

/// True when a vice has the work, or what the work stands in.
const fn in_a_vice(holding: &Holding) -> bool {
    matches!(
        holding.held,
        Held::ViceOnParallels | Held::ViceOnEdge | Held::ColletBlock { .. } | Held::WholeBar
    )
}

fn has(steps: &[&Step], test: fn(&Step) -> bool) -> bool {
    steps.iter().any(|step| test(step))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials::find;

    /// Each material has its own hazard named, and metal that asks for nothing has none.
    #[test]
    fn materials_bring_their_own_cautions() {
        let words = |name: &str| -> String {
            let material = find(name).unwrap();
            OF_MATERIALS.iter().filter(|c| (c.applies)(material, &[])).map(|c| c.words).collect()
        };
        for (name, hazard) in [
            ("copper", "grabs"),
            ("acetal", "formaldehyde"),
            ("nylon", "softens"),
            ("PTFE", "fume is poisonous"),
            ("phenolic laminate", "dust"),
        ] {
            assert!(words(name).contains(hazard), "{name}");
        }
        assert!(!words("nylon").contains("formaldehyde") && !words("acetal").contains("PTFE"));
        for name in ["mild steel", "brass", "aluminium alloy", "high tensile steel"] {
            assert_eq!(words(name), "", "{name}");
        }
    }
}
