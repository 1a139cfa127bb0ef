//! The sheet of a stub mandrel: its sizes with their reasons, how to make it, what to watch.

use super::{Body, Grip, StubMandrel, cutter_room, stub_mandrel, wall_left};
use crate::aids::Ask;
use crate::aids::bore::{Bore, bore};
use crate::aids::locating::limits_shown;
use crate::aids::own::Turned;
use crate::aids::rack::tapped;
use crate::drawing;
use crate::drawing::FeatureId;
use crate::measure::{Length, Toward};
use crate::order::Machine;
use crate::problem::Problem;
use crate::settings::show::{mm, practice};
use crate::settings::tapping::Depth;
use crate::sheet::{AidSheet, Own, Serves};
use crate::why::{Figure, Why};

/// The mandrel's sheet.
pub(in crate::aids) fn sheet(ask: &Ask, id: FeatureId, on: Machine) -> Result<AidSheet, Problem> {
    let bore = bore(ask, id)?;
    let made = stub_mandrel(ask, &bore, on)?;
    let turned = matches!(ask.part.drawing.body, drawing::Body::Turned { .. });
    Ok(AidSheet {
        name: match made.body {
            Body::Table { .. } => format!("Stub mandrel for the {}", bore.name),
            Body::Chuck { .. } => format!("Stub mandrel for the {} in the lathe", bore.name),
        },
        purpose: match made.body {
            Body::Table { .. } => {
                format!("Carries the work by its {} true to the rotary table's centre.", bore.name)
            }
            Body::Chuck { .. } if turned => format!(
                "Carries the work by its {} true to the lathe's axis: the last cut takes the stub to the bore as it came out, so that the work just goes on by hand.",
                bore.name
            ),
            Body::Chuck { .. } => format!("Carries the work by its {} true to the lathe's axis.", bore.name),
        },
        material: made.bar.words("round bar", &format!("{} long", mm(made.bar_length()))),
        sizes: made.figures(ask, &bore),
        steps: made.steps(ask, &bore),
        scene: made.scene(),
        cautions: made.cautions(ask, &bore),
        serves: made.serves(),
        own: Own { kept_as: made.kept_as(), file: Some(made.file()), ..Own::default() },
    })
}

impl StubMandrel {
    /// One for the table serves every bore alike. One for the chuck runs true only until it
    /// is taken out of the jaws, so it serves no second part.
    fn serves(&self) -> Serves {
        let Body::Table { spigot, height, .. } = &self.body else { return Serves::default() };
        let grip = match &self.grip {
            Grip::Screw { thread, .. } => thread.designation.as_str(),
            Grip::Clamp => "a clamp",
        };
        Serves {
            same: vec![
                "stub mandrel for the rotary table".into(),
                format!("stub {}", self.stub.shown()),
                format!("spigot {}", limits_shown(spigot.least(), spigot.greatest())),
                format!("shoulder {} above the table", mm(*height)),
                format!("held by {grip}"),
            ],
            at_most: vec![
                ("stub length".into(), self.stub_length),
                ("shoulder diameter".into(), self.shoulder),
            ],
        }
    }

    /// As a part: a stub for the chuck is turned where it stays, one for the table in one holding.
    fn file(&self) -> String {
        let stub = self.stub.aim();
        let name = match &self.body {
            Body::Chuck { .. } => "Stub mandrel in the lathe",
            Body::Table { .. } => "Stub mandrel",
        };
        let part = Turned::new(name, &self.bar.material, 1, false);
        let part = match &self.body {
            Body::Chuck { out, .. } => part.held("where it stays").section("shoulder", self.shoulder, *out),
            Body::Table { spigot, length, flange, thick, height, .. } => part
                .held("in one holding")
                .section("spigot", (spigot.least() + spigot.greatest()).half(), *length)
                .section("flange", *flange, *thick)
                .section("shoulder", self.shoulder, *height - *thick),
        };
        let mut part = part
            .section("stub", stub, self.stub_length)
            .groove("undercut", "stub", stub - self.undercut * 2, Length::mm(1))
            .chamfer("lead", "stub", "right", Length::mm_ratio(1, 2));
        if let Grip::Screw { thread, deep, .. } = &self.grip {
            part = part.tapped("retaining screw", "right", thread, *deep);
        }
        if let Body::Table { draw: Some(thread), .. } = &self.body {
            part = part.tapped("draw thread", "left", thread, thread.major * 3 / 2);
        }
        part.file()
    }

    /// Kept where it goes back true: on the table. In the chuck it is turned anew.
    fn kept_as(&self) -> String {
        match &self.body {
            Body::Table { .. } => {
                format!(
                    "{}, stub {} long, shoulder {}",
                    self.serves().same.join(", "),
                    mm(self.stub_length),
                    mm(self.shoulder)
                )
            }
            Body::Chuck { .. } => String::new(),
        }
    }

    /// What to saw off: all of it, and what the chuck needs.
    fn bar_length(&self) -> Length {
        let length = match &self.body {
            Body::Chuck { held, out } => *held + *out + self.stub_length,
            // Turned at one holding and parted off: 25 mm stay in the chuck, 4 for parting.
            Body::Table { length, height, .. } => *length + *height + self.stub_length + Length::mm(29),
        };
        (length + Length::mm(1)).rounded(Length::mm(1), Toward::More).value
    }

    fn figures(&self, ask: &Ask, bore: &Bore) -> Vec<Figure> {
        let row = |name: &str, shown: String, why: &str| Figure::new(name, shown, practice(why));
        let thickness = practice(format!(
            "{} less than the least thickness on it, {}: the washer must bear on the work",
            mm(bore.thickness * ask.load.pieces - self.stub_length),
            mm(bore.thickness * ask.load.pieces)
        ))
        .because(ask.load.why.clone());
        let clear = practice(format!(
            "{} clear of the cutter on each side, where {} of metal stands round the {}",
            mm(cutter_room()),
            mm(bore.round_it),
            bore.name
        ));
        let mut figures = vec![
            Figure::new(
                "bar",
                self.bar.words("round bar", &format!("{} long", mm(self.bar_length()))),
                self.bar.why("round steel bar"),
            ),
            self.stub.figure("stub diameter", bore),
            Figure::new("stub length", mm(self.stub_length), thickness),
            Figure::new(
                "shoulder diameter",
                mm(self.shoulder),
                practice(format!("square to the stub, and not over {}", mm(self.clear_of_cutter)))
                    .because(clear.clone()),
            ),
            row(
                "undercut",
                format!("1 mm wide, {} deep", mm(self.undercut)),
                "the work lies against the shoulder, not in a rounded corner",
            ),
        ];
        match &self.body {
            Body::Chuck { held, out } => {
                figures.push(row("held in the chuck", mm(*held), "one and a half diameters, 20 mm at least"));
                figures.push(row(
                    "out of the jaws to the shoulder",
                    mm(*out),
                    "the tool passes the work without meeting the jaws",
                ));
            }
            Body::Table { spigot, length, flange, thick, height, draw } => {
                let table = Why::assumed(format!(
                    "the table's bore is taken as {} H7: measure it, and turn the spigot to what it is",
                    mm(spigot.size)
                ));
                figures.push(Figure::new(
                    "table spigot diameter",
                    limits_shown(spigot.least(), spigot.greatest()),
                    Why::new(format!("{} in the table's bore", spigot.class))
                        .source(spigot.source.to_string())
                        .because(table),
                ));
                figures.push(Figure::new(
                    "table spigot length",
                    mm(*length),
                    Why::assumed("the table's bore is supposed to be as deep as it is wide, 25 mm at most"),
                ));
                figures.push(row(
                    "flange diameter",
                    mm(*flange),
                    "a seat of 3 mm round the table's bore, or the shoulder's own size",
                ));
                figures.push(row(
                    "flange thickness",
                    mm(*thick),
                    "enough not to dish when it is pulled down, and for jaws to take it up by",
                ));
                figures.push(row(
                    "height of the shoulder",
                    mm(*height),
                    "from the table's top: the cutter runs out below the work, and packing of the same height goes under its far end",
                ));
                if let Some(thread) = draw {
                    figures.push(row(
                        "tapped in the lower end",
                        format!("{}, {} deep", thread.designation, mm(thread.major * 3 / 2)),
                        "for a stud down through the table that pulls the flange on to its top",
                    ));
                }
            }
        }
        match &self.grip {
            Grip::Screw { thread, deep, washer } => {
                let tapped = tapped(ask.bench, thread, Depth::Blind(*deep), &self.bar.material);
                let wall = practice(format!(
                    "the largest tap owned that leaves {} of wall: half the screw and 1 mm at least; twice its \
                     diameter deep",
                    mm(wall_left(bore.size, thread))
                ));
                figures.push(Figure::new("retaining screw", tapped.shown, wall.because(tapped.why)));
                figures.push(Figure::new(
                    "washer",
                    format!("{} to {} across", mm(washer.0), mm(washer.1)),
                    practice("bears on the work all round").because(clear),
                ));
            }
            Grip::Clamp => figures.push(Figure::new(
                "retaining screw",
                "none",
                practice(format!(
                    "no tap owned leaves half its diameter and 1 mm of wall in a stub of {}",
                    mm(bore.size)
                )),
            )),
        }
        figures
    }

    fn steps(&self, ask: &Ask, bore: &Bore) -> Vec<String> {
        let mut steps = Vec::new();
        let aim = self.stub.aim().decimals(3);
        let stub = format!(
            "Turn the stub {} (aim at {aim}) for {}, up to a square shoulder {} across.",
            self.stub.shown(),
            mm(self.stub_length),
            mm(self.shoulder)
        );
        let undercut = format!(
            "Undercut the corner at the shoulder 1 mm wide and {} deep; take 0.5 mm off the end’s edge at 45°.",
            mm(self.undercut)
        );
        match &self.body {
            Body::Chuck { held, out } => {
                steps.push(format!(
                    "Hold the bar by {} in the three-jaw chuck with {} out, and face the end.",
                    mm(*held),
                    mm(*out + self.stub_length)
                ));
                steps.push(stub);
                steps.push(undercut);
            }
            Body::Table { spigot, length, flange, thick, height, .. } => {
                steps.push(format!(
                    "Hold the bar by 25 mm with {} out, face the end, and centre it for the tailstock.",
                    mm(*length + *height + self.stub_length + Length::mm(4))
                ));
                steps.push(stub);
                steps.push(undercut);
                steps.push(format!(
                    "In the same holding turn {} below the shoulder to {}, leaving a flange {} across and {} thick.",
                    mm(*height - *thick),
                    mm(self.shoulder),
                    mm(*flange),
                    mm(*thick)
                ));
                steps.push(format!(
                    "Still in the same holding turn the spigot behind the flange {} for {} with a left-hand tool, \
                     its flange face square, so that it is true to the stub.",
                    limits_shown(spigot.least(), spigot.greatest()),
                    mm(*length)
                ));
            }
        }
        if let Grip::Screw { thread, deep, .. } = &self.grip {
            let tapped = tapped(ask.bench, thread, Depth::Blind(*deep), &self.bar.material);
            steps.push(format!("Centre the end, and drill and tap it {}.", tapped.shown));
            steps.push(format!(
                "Find a screw as long as {} of thread, the washer, and what the work stands above the stub.",
                mm(thread.major * 3 / 2)
            ));
        }
        steps.push(format!(
            "Try the {} on the stub before anything is moved: it slides on by hand and does not shake.",
            bore.name
        ));
        match &self.body {
            Body::Chuck { .. } => {
                steps.push("Leave it in the chuck: put the work on, and turn it as its setup says.".into());
            }
            Body::Table { draw, .. } => {
                steps.push("Part it off behind the spigot.".into());
                if let Some(thread) = draw {
                    steps.push(format!(
                        "Take it up again as its order says, soft packing under the jaws, face the lower end, and drill \
                         and tap it {}, {} deep.",
                        thread.designation,
                        mm(thread.major * 3 / 2)
                    ));
                }
                steps.push(
                    "Set it in the table, pull it down, and clock the stub: it must run within 0.01 mm as the \
                     table turns."
                        .into(),
                );
            }
        }
        steps
    }

    fn cautions(&self, ask: &Ask, bore: &Bore) -> Vec<String> {
        let mut cautions = Vec::new();
        match (&self.body, &self.grip) {
            (Body::Chuck { .. }, grip) => {
                cautions.push("The mandrel stays in the chuck until the work is done: put back, it no longer runs true.".into());
                cautions.push("Light cuts: only the shoulder’s grip drives the work. If it slips, stop and look at the bore.".into());
                if *grip == Grip::Clamp {
                    cautions.push(format!(
                        "A stub of {} has no room for a screw: press the work against the shoulder with a pad \
                         turning on the tailstock centre.",
                        mm(bore.size)
                    ));
                }
            }
            (Body::Table { draw, height, .. }, grip) => {
                cautions.push(if matches!(ask.part.drawing.body, drawing::Body::Disc { .. }) {
                    "The cutter goes all round, so only the shoulder’s grip holds the work: light cuts, and a second \
                     screw into the flange through another of its holes where there is one."
                        .into()
                } else {
                    format!(
                        "The screw alone does not hold the work against turning: clamp its far end on packing of \
                         {}, and turn the table once round by hand to see that the cutter clears every clamp.",
                        mm(*height)
                    )
                });
                if *grip == Grip::Clamp {
                    cautions.push(format!(
                        "A stub of {} has no room for a screw: hold the work down with straps, two at least.",
                        mm(bore.size)
                    ));
                }
                if draw.is_some() {
                    cautions.push(
                        "Where the table’s bore is closed below, leave the stud out and hold the flange with two \
                         straps before the work goes on."
                            .into(),
                    );
                }
            }
        }
        cautions.extend(self.stub.finish_by_hand(ask.bench.lathe.as_ref().map(|lathe| lathe.step)));
        if ask.bench.lathe.is_none() {
            cautions.push("It is turned, and no lathe is on the bench file: have it made.".into());
        }
        cautions.push("Chuck key out before the lathe starts.".into());
        cautions
    }
}
