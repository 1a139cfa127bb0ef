//! What the sheets say of every milled cut, as it is printed, beside the finished part:
//! one JSON object a line for each part on each bench, so that the cutter can be laid
//! where the sheet says by something else and held against the part. A part that cannot be
//! made there is told with what was refused.
//!
//! The words are files, a bench and parts, and how many are wanted of each hand where that is not
//! what the file says: `BENCH.toml+PART.toml` or `BENCH.toml+PART.toml+3`.
#![allow(missing_docs)]

use serde_json::{Value, json};
use workshop::bench::{Bench, Grows, Readout, read_bench};
use workshop::drawing::{Body, Depth, Face, FeatureId, Kind, Part, SectionSize, Sweep, read_drawing, solve};
use workshop::geometry::{Outline, Segment};
use workshop::metric::metricate;
use workshop::order::work::{Step, Sure, Tool};
use workshop::order::{Located, Work};
use workshop::plan::plan;
use workshop::problem::Outcome;
use workshop::sheet::Row;
use workshop::why::Figure;

fn main() {
    for word in std::env::args().skip(1) {
        let line = told(&word).unwrap_or_else(|faults| {
            let refused: Vec<String> = faults.iter().map(ToString::to_string).collect();
            json!({ "name": word, "refused": refused })
        });
        println!("{line}");
    }
}

/// One part on one bench.
fn told(word: &str) -> Outcome<Value> {
    let read = |file: &str| std::fs::read_to_string(file).unwrap_or_else(|fault| panic!("{file}: {fault}"));
    let (bench, file) = word.split_once('+').expect("BENCH.toml+PART.toml");
    let (file, make) = file.split_once('+').map_or((file, None), |(file, make)| (file, Some(make)));
    let bench = read_bench(bench, &read(bench)).unwrap_or_else(|faults| panic!("{bench}: {faults:?}"));
    let mut drawing = read_drawing(file, &read(file))?;
    if let Some(make) = make {
        drawing.make = make.parse().expect("how many");
    }
    let plan = plan(&drawing, &bench)?;
    let solved = solve(&drawing)?;
    let metric = metricate(&drawing, &solved, &bench)?;
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    let round = matches!(drawing.body, Body::Turned { .. });
    let outline = if round { None } else { part.outline().ok() };
    let names = outline.as_ref().map(|outline| names(&part, outline)).unwrap_or_default();
    let setups = plan.order.setups.iter().zip(&plan.setups).enumerate().map(|(index, (setup, sheet))| {
        let steps: Vec<&Step> = plan.order.steps.iter().filter(|step| step.setup == index).collect();
        let rows = with_steps(&steps, &sheet.rows).into_iter().map(|(step, row)| {
            let Some(step) = step else {
                return json!({ "work": "found again", "radius": 0.0, "what": row.what, "sets": shown(&row.sets) });
            };
            let kind = step.feature.map(|id| &part.feature(id).kind);
            let (work, joins) = match &step.work {
                Work::MillSlot { .. } if matches!(kind, Some(Kind::CurvedSlot { .. })) => ("curved", 0),
                Work::MillFlanks { joins } => ("flanks", joins.len()),
                other => (name(other), 0),
            };
            let radius = match &step.tool {
                Tool::EndMill(mill) => mill.diameter.as_mm() / 2.0,
                _ => 0.0,
            };
            let feature = step.feature.map(|id| id.0);
            let brings_out = brings_out(&step.work, step.feature, (&part, &names));
            json!({ "work": work, "joins": joins, "radius": radius, "feature": feature,
                    "brings_out": brings_out, "what": row.what, "tool": row.tool, "speed": row.speed.as_ref().map(|speed| speed.shown.as_str()),
                    "sets": shown(&row.sets), "depth": shown(&row.depth) })
        });
        json!({
            "machine": format!("{:?}", setup.machine),
            "mirrored": setup.image == workshop::drawing::Image::Mirrored,
            "up": face(setup.up),
            "located": located(setup.located),
            "about": about(setup),
            "swung": matches!(setup.held, workshop::order::Held::PlateSwung { .. }),
            "hands": sheet.hands,
            "high": setup.pieces.high(),
            "held": sheet.held,
            "metal": sheet.scene.outline.iter().map(segment).collect::<Vec<_>>(),
            "around": sheet.scene.around.iter().map(segment).collect::<Vec<_>>(),
            "presets": shown(&sheet.presets),
            "rows": rows.collect::<Vec<_>>(),
        })
    });
    Ok(json!({
        "name": word,
        "material": drawing.material,
        "proven": plan.order.proof.sure == Sure::Optimal,
        "readout": readout(&bench),
        "tip": bench.edge_finder.as_mm(),
        "grows": bench.rotary_table.as_ref().map(|t| t.grows != Some(Grows::Anticlockwise)),
        "rectangle": matches!(drawing.body, Body::Rectangle { .. }),
        "turned": round,
        "hands": drawing.hands.iter().map(|hand| hand.words()).collect::<Vec<_>>(),
        "outline": outline.map(|o| o.segments().iter().map(segment).collect::<Vec<_>>()),
        "names": names,
        "edges": part.edges().map(|l| l.as_mm()),
        "thickness": part.thickness().as_mm(),
        "features": features(&part),
        "setups": setups.collect::<Vec<_>>(),
    }))
}

/// What stands on the sheet, by its label.
fn shown(figures: &[Figure]) -> Vec<(&str, &str)> {
    figures.iter().map(|figure| (figure.label(), figure.shown.as_str())).collect()
}

/// What lies over the rotary table's centre, where that is no bore.
fn about(setup: &workshop::order::Holding) -> Value {
    match setup.held {
        workshop::order::Held::PlateTurned { about: (x, y), .. } => json!([x.as_mm(), y.as_mm()]),
        _ => Value::Null,
    }
}

/// What the outline of a disc is called.
const OUTSIDE: &str = "the outside";

/// What each line and arc of the outline belongs to: the name of a corner, boss or disc, or
/// `one to another`.
fn names(part: &Part, outline: &Outline) -> Vec<String> {
    if let Ok(named) = part.pieces() {
        return named.names;
    }
    if matches!(part.drawing.body, Body::Disc { .. }) {
        return vec![OUTSIDE.to_owned()];
    }
    let end = |segment: &Segment| match segment {
        Segment::Arc(arc) => part.features().find_map(|(id, feature)| {
            let near = part.boss(id)?.centre.distance_mm(arc.centre) < 1e-6;
            near.then(|| feature.name.clone())
        }),
        Segment::Line(_) => None,
    };
    let segments = outline.segments();
    let ends: Vec<Option<String>> = segments.iter().map(end).collect();
    let beside = |n: usize, by: usize| ends[(n + by) % ends.len()].clone().unwrap_or_default();
    let name = |n: usize| {
        ends[n].clone().unwrap_or_else(|| format!("{} to {}", beside(n, ends.len() - 1), beside(n, 1)))
    };
    (0..segments.len()).map(name).collect()
}

/// The lines and arcs that a step brings out, by their names.
fn brings_out(work: &Work, feature: Option<FeatureId>, (part, names): (&Part, &[String])) -> Vec<String> {
    let disc = matches!(part.drawing.body, Body::Disc { .. });
    let own = |id: FeatureId| if disc { OUTSIDE.to_owned() } else { part.feature(id).name.clone() };
    match work {
        Work::MillSide { piece }
        | Work::StepArc { piece }
        | Work::TurnArc { piece }
        | Work::FileSide { piece } => names.get(*piece).cloned().into_iter().collect(),
        Work::RoundEnd | Work::StepEnd | Work::FileEnd | Work::FileRound | Work::TurnDisc => {
            vec![feature.map_or(String::new(), own)]
        }
        Work::MillFlanks { joins } | Work::FileFlanks { joins } => {
            joins.iter().map(|&(a, b)| format!("{} to {}", own(a), own(b))).collect()
        }
        _ => Vec::new(),
    }
}

/// The rows with the steps they are of. Where the work is moved along there are more rows than steps:
/// those that find it again are of none.
fn with_steps<'a>(steps: &[&'a Step], rows: &'a [Row]) -> Vec<(Option<&'a Step>, &'a Row)> {
    if steps.len() == rows.len() {
        return steps.iter().copied().map(Some).zip(rows).collect();
    }
    let step_of = |row: &Row| {
        let of =
            |step: &&&Step| row.what == step.text || row.what.starts_with(&format!("{}: hole", step.text));
        steps.iter().find(of).copied()
    };
    rows.iter().map(|row| (step_of(row), row)).collect()
}

fn name(work: &Work) -> &'static str {
    match work {
        Work::RoundEnd => "round",
        Work::TurnArc { .. } => "turned",
        Work::MillSide { .. } => "side",
        Work::StepArc { .. } | Work::StepEnd => "stepped",
        Work::MillStep { .. } => "step",
        Work::MillSlot { .. } => "slot",
        Work::MillPocket { .. } => "pocket",
        _ => "other",
    }
}

fn readout(bench: &Bench) -> Value {
    match &bench.mill.readout {
        Readout::Digital { step } => json!({ "step": step.as_mm() }),
        Readout::Handwheels { pitch, divisions, .. } => {
            json!({ "step": (*pitch / i64::from(*divisions)).as_mm(), "pitch": pitch.as_mm(), "divisions": divisions })
        }
    }
}

fn located(located: Located) -> Value {
    match located {
        Located::Edges(a, b) => json!({ "edges": [face(a), face(b)] }),
        Located::Bore(id) | Located::Marked(id) => json!({ "bore": id.0 }),
        Located::TwoBores(a, b) => json!({ "bore": a.0, "second": b.0 }),
        Located::EndAndAxis(end) => json!({ "end": face(end) }),
        _ => json!({}),
    }
}

fn segment(segment: &Segment) -> Value {
    match segment {
        Segment::Line(line) => {
            json!({ "line": [line.start.x_mm, line.start.y_mm, line.end.x_mm, line.end.y_mm] })
        }
        Segment::Arc(arc) => json!({
            "arc": [arc.centre.x_mm, arc.centre.y_mm, arc.radius_mm, arc.start_rad, arc.sweep_rad],
        }),
    }
}

fn features(part: &Part) -> Vec<Value> {
    use workshop::drawing::Axis;
    let told = |(id, feature): (workshop::drawing::FeatureId, &workshop::drawing::Feature)| {
        let at = [Axis::X, Axis::Y, Axis::Z].map(|axis| part.at(id, axis).map_or(0.0, |l| l.as_mm()));
        let size = |id| part.size(id).as_mm();
        let deep = |depth| match depth {
            Depth::To(id) => json!(size(id)),
            _ => Value::Null,
        };
        let own = match &feature.kind {
            Kind::Step { side, leaves } => json!({ "side": face(*side), "leaves": size(*leaves) }),
            Kind::Slot { width, centres, along, open, .. } => json!({
                "width": size(*width), "centres": centres.map(size), "along": along.as_rad(),
                "open": open.iter().map(|&side| face(side)).collect::<Vec<_>>(),
            }),
            Kind::CurvedSlot { width, radius, reach, .. } => {
                let centre =
                    [Axis::X, Axis::Y].map(|axis| part.placed_at(id, axis).map_or(0.0, |l| l.as_mm()));
                let ends = match reach {
                    Sweep::Between { from, to } => {
                        json!({ "from": from.as_degrees(), "to": to.as_degrees() })
                    }
                    Sweep::Across { middle, centres } => {
                        json!({ "middle": middle.as_degrees(), "centres": size(*centres) })
                    }
                };
                json!({ "width": size(*width), "radius": size(*radius), "centre": centre, "ends": ends })
            }
            Kind::Pocket { width, height, corner, along, .. } => json!({
                "width": size(*width), "height": size(*height), "corner": size(*corner), "along": along.as_rad(),
            }),
            Kind::Hole { diameter, depth, clears, .. } => {
                let screw = clears.map(|screw| part.thread(screw).designation.clone());
                json!({ "holes": [id.0], "diameter": size(*diameter), "deep": deep(*depth), "screw": screw })
            }
            Kind::Section { size: SectionSize::Plain(across), throw, .. } => json!({
                "round": size(*across), "thrown": throw.is_some(),
                "from": part.along(id).map(|l| l.as_mm()), "to": part.section_end(id).map(|l| l.as_mm()),
            }),
            Kind::Tapped { thread, depth } => {
                let thread = part.thread(*thread);
                json!({ "holes": [id.0], "major": thread.major.as_mm(), "pitch": thread.pitch.as_mm(), "deep": deep(*depth) })
            }
            Kind::Countersink { diameter, angle, over } => {
                json!({ "across": size(*diameter), "angle": angle.as_degrees(), "over": over.0 })
            }
            Kind::Counterbore { diameter, depth, over } => {
                json!({ "across": size(*diameter), "down": size(*depth), "over": over.0 })
            }
            kind => match kind.pattern() {
                Some(holes) => json!({ "holes": holes.iter().map(|hole| hole.0).collect::<Vec<_>>() }),
                None => json!({}),
            },
        };
        json!({ "name": feature.name, "face": face(feature.face), "at": at, "own": own })
    };
    part.features().map(told).collect()
}

fn face(face: Face) -> &'static str {
    face.word()
}
