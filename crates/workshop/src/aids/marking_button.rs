//! A marking button: a stub in the drilled hole, a head as large as the finished square or
//! flatted hole. Its edge is scribed round on both faces, and it is the gauge at the end.

use super::locating::{SLIDES_IN, limits_shown};
use super::own::Turned;
use super::picture::{dimension, note};
use super::rack::{HARD, Piece, hard_or_soft};
use super::{Ask, down_to_half_mm};
use crate::drawing::{DimensionId, FeatureId, Kind};
use crate::geometry::{Point, Segment};
use crate::measure::{Angle, Length, Toward};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, practice};
use crate::settings::squaring::{Hole, corner, to_file};
use crate::sheet::{AidSheet, Own, Runs, Scene, SceneHole, Serves, When, blank_scene, box_lines};
use crate::tables::fits::{self, Fit};
use crate::why::{Figure, Why};

/// What the head is shaped to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Head {
    /// Four flats.
    Square,
    /// One flat on a round of this diameter.
    Flatted(Length),
}

/// The sizes of a marking button.
struct Button {
    name: String,
    head: Head,
    /// From side to side, or from the flat to the far side.
    across: Length,
    /// How long the head is.
    thick: Length,
    /// The drill of the hole.
    hole: Hole,
    /// The stub in the drilled hole.
    stub: Fit,
    long: Length,
    /// How a side, or the flat, lies.
    lies: Angle,
    bar: Piece,
    because: Why,
}

/// The button's sheet.
pub(super) fn sheet(ask: &Ask, id: FeatureId) -> Result<AidSheet, Problem> {
    let feature = ask.part.feature(id);
    let (head, across, lies) = match feature.kind {
        Kind::Square { across, along, .. } => (Head::Square, across, along),
        Kind::Flatted { diameter, across, toward, .. } => {
            (Head::Flatted(ask.part.size(diameter)), across, toward)
        }
        _ => {
            return Err(Problem::new(format!("`{}` is a {}", feature.name, feature.kind.word()))
                .why("a marking button is for a hole that is filed square or to a flat")
                .mend("plan a marking button for a square or flatted hole"));
        }
    };
    let made = button(ask, id, head, across, lies)?;
    Ok(AidSheet {
        name: format!("Marking button for the {}", made.name),
        purpose: format!(
            "Shows on both faces how far the {} is filed, and is the gauge that it is tried with.",
            made.name
        ),
        material: made.material(),
        sizes: made.figures(),
        steps: made.steps(),
        scene: made.scene(),
        cautions: made.cautions(ask),
        serves: made.serves(),
        own: Own { kept_as: made.kept_as(), file: Some(made.file()), ..Own::default() },
    })
}

fn button(ask: &Ask, id: FeatureId, head: Head, said: DimensionId, lies: Angle) -> Result<Button, Problem> {
    let feature = ask.part.feature(id);
    let across = ask.part.size(said);
    let hole = to_file(across, &ask.bench.drills);
    let drilled = hole.drill.diameter;
    let deep = match ask.part.chord(id) {
        Some((first, last)) if last > first => last - first,
        _ => ask.part.thickness_at(id),
    };
    let half = Length::mm_ratio(1, 2);
    // One and a half diameters keep it upright; the file's line is on both faces, so the stub
    // may not come out of the other.
    let long = down_to_half_mm((drilled * 3 / 2).min(deep * 3 / 4)).max(half.min(deep * 3 / 4));
    let least_bar = match head {
        Head::Square => Length::nearest(across.as_mm() * std::f64::consts::SQRT_2) + half,
        Head::Flatted(diameter) => diameter + half,
    };
    let bar = hard_or_soft(ask.bench, least_bar);
    let because = match ask.metric.dimensions.get(said.0) {
        Some(choice) => practice("the finished hole").because(choice.why.clone()),
        None => practice("the finished hole"),
    };
    Ok(Button {
        name: feature.name.clone(),
        head,
        across,
        thick: deep.max(Length::mm(5)).min(Length::mm(12)).rounded(half, Toward::More).value,
        stub: Fit { hole: fits::limits("H11", drilled)?, shaft: fits::limits(SLIDES_IN, drilled)? },
        hole,
        long,
        lies,
        bar,
        because,
    })
}

impl Button {
    fn hardened(&self) -> bool {
        self.bar.material == HARD
    }

    /// The head's limits: it goes into the hole when that has come to size, and not before.
    fn head(&self) -> String {
        limits_shown(self.across - Length::mm_ratio(2, 100), self.across)
    }

    fn stub_aim(&self) -> Length {
        (self.stub.shaft.least() + self.stub.shaft.greatest()).half()
    }

    fn stub_shown(&self) -> String {
        limits_shown(self.stub.shaft.least(), self.stub.shaft.greatest())
    }

    /// The stub, the head, 3 mm for parting and 25 mm in the chuck.
    fn material(&self) -> String {
        let long = (self.long + self.thick + Length::mm(28)).rounded(Length::mm(1), Toward::More).value;
        self.bar.words("round bar", &format!("{} long", mm(long)))
    }

    /// From the stub's side to the flat beyond it: what shows that the head stands right. The
    /// hole to file to a flat is drilled half way between the flat and the far side.
    fn step(&self) -> Length {
        let step = self.across.half() - self.stub_aim().half();
        step.rounded(Length::mm_ratio(1, 100), Toward::Nearest).value
    }

    /// How far the stub stands beside the middle of a flatted head's round.
    fn set_over(&self) -> Option<Length> {
        match self.head {
            Head::Square => None,
            Head::Flatted(diameter) => Some((diameter - self.across).half()),
        }
    }

    fn serves(&self) -> Serves {
        let head = match self.head {
            Head::Square => format!("square {}", mm(self.across)),
            Head::Flatted(diameter) => format!("round {} with a flat at {}", mm(diameter), mm(self.across)),
        };
        Serves {
            same: vec!["marking button".into(), head, format!("stub {}", self.stub_shown())],
            at_most: vec![("stub length".into(), self.long)],
        }
    }

    fn kept_as(&self) -> String {
        format!("{}, {} long", self.serves().same.join(", "), mm(self.long))
    }

    fn file(&self) -> String {
        let part = Turned::new(
            &format!("Marking button for the {}", self.name),
            &self.bar.material,
            1,
            self.hardened(),
        );
        match (self.head, self.set_over()) {
            (Head::Flatted(diameter), Some(off)) => part
                .section("head", diameter, self.thick)
                .set_over("stub", self.stub_aim(), self.long, off, "270°")
                .flats("flat", "head", 1, self.across, self.thick),
            _ => part
                .section("head", self.bar.least, self.thick)
                .section("stub", self.stub_aim(), self.long)
                .flats("flats", "head", 4, self.across, self.thick),
        }
        .file()
    }

    fn figures(&self) -> Vec<Figure> {
        let drill = match self.hole.owned {
            true => practice("the widest drill owned that leaves the file a tenth on every side"),
            false => practice("no drill owned leaves the file a tenth on every side and little more: to buy"),
        };
        let head = practice(
            "never over the hole’s size, for it is scribed round, and 0.02 mm under at most, for it is the gauge",
        );
        let mut figures = vec![
            Figure::new("bar", self.material(), self.bar.why("bar")),
            Figure::new("hole it stands in", format!("drill {}", self.hole.drill.name), drill),
            Figure::new(
                "stub diameter",
                self.stub_shown(),
                Why::new(format!(
                    "{} in the drilled hole: at worst {} mm free and {} mm loose where the drill cuts large",
                    self.stub.shaft.class,
                    self.stub.least_clearance().decimals(3),
                    self.stub.greatest_clearance().decimals(3)
                ))
                .source(self.stub.shaft.source.to_string())
                .because(Why::assumed("a drilled hole is supposed to run to H11: measure it before turning")),
            ),
            Figure::new(
                "stub length",
                mm(self.long),
                practice(
                    "one and a half diameters, and three quarters of the work at most: it stands upright and does not come out behind",
                ),
            ),
        ];
        match self.head {
            Head::Square => {
                figures.push(Figure::new(
                    "head across its flats",
                    self.head(),
                    head.because(self.because.clone()),
                ));
                figures.push(Figure::new(
                    "left for the file in each corner",
                    mm(corner(self.across, self.hole.drill.diameter)
                        .rounded(Length::mm_ratio(1, 100), Toward::Nearest)
                        .value),
                    geometry(format!("half of the diagonal of {} less half of the hole", mm(self.across))),
                ));
            }
            Head::Flatted(diameter) => {
                figures.push(Figure::new(
                    "head diameter",
                    limits_shown(diameter - Length::mm_ratio(2, 100), diameter),
                    head.clone().because(self.because.clone()),
                ));
                figures.push(Figure::new(
                    "flat to the far side",
                    self.head(),
                    head.because(self.because.clone()),
                ));
                figures.push(Figure::new(
                    "stub beside the round’s middle",
                    mm((diameter - self.across).half()),
                    geometry(
                        "the hole is drilled half way between the flat and the far side, away from the flat",
                    ),
                ));
            }
        }
        figures.push(Figure::new(
            "head length",
            mm(self.thick),
            practice("as long as the hole is deep, 5 mm at least and 12 mm at most: the gauge shows whether the sides are square to the face"),
        ));
        figures.push(Figure::new(
            "stub’s side to a flat",
            mm(self.step()),
            geometry(
                "half of the head less half of the stub: the same over every flat when the head is central",
            ),
        ));
        figures.push(Figure::new(
            match self.head {
                Head::Square => "a side lies at",
                Head::Flatted(_) => "the flat looks toward",
            },
            self.lies.decimals(3),
            Why::new("from the first axis of the face, as the drawing has it").source("the drawing"),
        ));
        figures
    }

    fn steps(&self) -> Vec<String> {
        let stub = format!(
            "turn the stub {} (aim at {} mm) for {}, its shoulder square and its corner undercut",
            self.stub_shown(),
            self.stub_aim().decimals(3),
            mm(self.long)
        );
        let mut steps = Vec::new();
        match (self.head, self.set_over()) {
            (Head::Flatted(diameter), Some(off)) => {
                let round = limits_shown(diameter - Length::mm_ratio(2, 100), diameter);
                steps.push(format!(
                    "Hold the bar by 25 mm, face the end, and turn it {round} for {}.",
                    mm(self.long + self.thick + Length::mm(1))
                ));
                steps.push(format!(
                    "Set it over by {} in the four-jaw chuck ({} on a clock in one turn), and {stub}.",
                    mm(off),
                    mm(off * 2)
                ));
                steps.push(format!(
                    "Take it to the mill and mill the flat, on the side where the head stands out farthest beyond the \
                     stub, to {} from the flat to the far side; over the flat, {} to the side of the stub.",
                    self.head(),
                    mm(self.step())
                ));
            }
            _ => {
                steps.push(format!("Hold the bar by 25 mm, face the end, and {stub}."));
                steps.push(format!(
                    "Take the bar to the mill, upright in a square collet block or the dividing head, and mill four \
                     flats behind the shoulder to {} over opposite flats; over each, {} to the side of the stub.",
                    self.head(),
                    mm(self.step())
                ));
            }
        }
        steps.push(format!(
            "Part off with the head {} long; stone every edge sharp and free of burrs.",
            mm(self.thick)
        ));
        steps.push(if self.hardened() {
            "Harden it: cherry red, 770 to 780 °C, quench upright in water and stir; temper at once to straw, 230 °C."
                .into()
        } else {
            "Leave it soft: a scriber and a try in the hole do not wear it.".into()
        });
        steps.push(format!(
            "Put the stub into the drilled hole from the front, turn it until {} by square or protractor, hold it \
             down and scribe round it; the same from the back.",
            match self.head {
                Head::Square => format!("a side lies at {}", self.lies.decimals(3)),
                Head::Flatted(_) => format!("the flat looks toward {}", self.lies.decimals(3)),
            }
        ));
        steps.push(
            "File to the lines from both faces, half of each left; then try the head as a gauge until it goes through \
             by hand."
                .into(),
        );
        steps
    }

    fn cautions(&self, ask: &Ask) -> Vec<String> {
        let mut cautions =
            vec!["Take the button out before filing: it marks, it does not guide the file.".to_owned()];
        if self.hardened() {
            cautions.push(
                "Hardening: dry tongs and a face shield; water spits, and hard untempered steel can shatter."
                    .into(),
            );
        }
        if ask.bench.lathe.is_none() {
            cautions.push("It is turned, and no lathe is on the bench file: have it made.".into());
        }
        cautions
    }

    /// From the side, the stub to the left, and the head from its end beside it.
    fn scene(&self) -> Scene {
        let mut scene =
            blank_scene("from the side, and the stub’s end", Point::ORIGIN, "shoulder, on the axis");
        let [across, stub, thick, long] =
            [self.across, self.stub_aim(), self.thick, self.long].map(Length::as_mm);
        let below = across / 2.0;
        scene.outline.extend(box_lines(0.0, -below, thick, below));
        scene.outline.extend(box_lines(-long, -stub / 2.0, 0.0, stub / 2.0));
        scene.centre_lines.push(Segment::line(Point::new(-long - 3.0, 0.0), Point::new(thick + 3.0, 0.0)));
        let middle = thick + across + 6.0;
        let right = match self.head {
            Head::Square => {
                scene.outline.extend(box_lines(middle - below, -below, middle + below, below));
                middle + below
            }
            Head::Flatted(diameter) => {
                let radius = diameter.half().as_mm();
                let centre = Point::new(middle, radius - below);
                let half = ((across - radius) / radius).clamp(-1.0, 1.0).acos();
                let up = std::f64::consts::FRAC_PI_2;
                let sweep = std::f64::consts::TAU - 2.0 * half;
                let (first, last) = (centre.polar(radius, up - half), centre.polar(radius, up + half));
                scene.outline.push(Segment::arc(centre, radius, up + half, sweep));
                scene.outline.push(Segment::line(first, last));
                middle + radius
            }
        };
        scene.holes.push(SceneHole {
            centre: Point::new(middle, 0.0),
            diameter_mm: stub,
            when: When::Before,
        });
        let named = match self.head {
            Head::Square => "head across its flats",
            Head::Flatted(_) => "flat to the far side",
        };
        let mut across_to = |from, to, runs, text: String, figure: &str| {
            scene.dimensions.push(dimension(from, to, runs, text, figure));
        };
        across_to((right, -below), (right, below), Runs::Up, mm(self.across), named);
        across_to((0.0, -below), (thick, -below), Runs::Across, mm(self.thick), "head length");
        across_to((-long, -below), (0.0, -below), Runs::Across, mm(self.long), "stub length");
        scene.notes.push(note(
            (-long / 2.0, stub / 2.0),
            format!("⌀ {}", self.stub_shown()),
            "stub diameter",
        ));
        scene
    }
}
