//! The sheet of a setting block: its heights with their reasons, how it is made and used, its picture.

use mechanism::aids::quartering_mismatch;

use super::{Block, Laid, Stands, stands_words};
use crate::aids::own::{Milled, standing};
use crate::aids::picture::{dimension, note};
use crate::aids::rack::flat;
use crate::bench::Bench;
use crate::geometry::{Point, Segment};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, practice};
use crate::sheet::{AidSheet, Own, Runs, Scene, Serves, blank_scene, box_lines};
use crate::why::{Figure, Why};

/// How long each land is, and how thick the bar at least.
fn land() -> Length {
    Length::mm(20)
}
fn thick() -> Length {
    Length::mm(10)
}
/// Thinner packing is faced to its thickness; what is thicker stands on edge.
fn faced_below() -> Length {
    Length::mm(5)
}
fn strip() -> Length {
    Length::mm(12)
}

impl Block {
    /// Its sheet.
    ///
    /// # Errors
    ///
    /// Those of [`Block::laid`].
    pub fn sheet(&self, bench: &Bench) -> Result<AidSheet, Problem> {
        let laid = self.laid()?;
        let lands = self.lands(&laid);
        let tall = lands.iter().copied().max().unwrap_or_default();
        let long = land() * lands.len() as i64;
        // Thin packing is a strip faced to its thickness.
        let thin = tall < faced_below();
        let bar = if thin { flat(bench, tall, strip()) } else { flat(bench, thick(), tall + Length::mm(1)) };
        let wide = if thin { strip() } else { tall };
        let material = bar.words(
            "flat",
            &format!("{} long and {} wide", mm(long + Length::mm(2)), mm(wide + Length::mm(1))),
        );
        let file = if thin {
            Milled::new(&self.name, &bar.material, [long, strip(), tall]).file()
        } else {
            standing(&self.name, &bar.material, bar.size, (land(), laid.within.0), &lands)
        };
        let shown: Vec<String> = lands.iter().map(|height| mm(*height)).collect();
        let word = if matches!(self.stands, Stands::Square(..)) { "packing" } else { "setting block" };
        let kept_as = format!("{word} {}", shown.join(" and "));
        Ok(AidSheet {
            name: self.name.clone(),
            purpose: self.purpose(),
            material: material.clone(),
            sizes: self.sizes(&laid, Figure::new("bar", material, bar.why("flat steel"))),
            steps: self.steps(&laid, &lands),
            scene: self.scene(&laid, &lands),
            cautions: self.cautions(&laid),
            serves: Serves { same: vec![kept_as.clone()], at_most: Vec::new() },
            own: Own { kept_as, file: Some(file), ..Own::default() },
        })
    }

    /// The heights that are milled, the higher first; one where both are the same.
    fn lands(&self, laid: &Laid) -> Vec<Length> {
        let mut lands: Vec<Length> = laid.heights.iter().map(|height| height.abs()).collect();
        lands.sort_by(|a, b| b.cmp(a));
        lands.dedup();
        lands
    }

    fn purpose(&self) -> String {
        let angle = trimmed(self.angle);
        match self.rests.as_slice() {
            [first, second] => format!("Sets {} at {angle} from {} by touch.", second.name, first.name),
            _ => format!("Sets {} at {angle} from the level by touch.", self.rests[0].name),
        }
    }

    fn sizes(&self, laid: &Laid, bar: Figure) -> Vec<Figure> {
        let within = laid.within.0;
        let mut all = Vec::new();
        for (n, rest) in self.rests.iter().enumerate() {
            let height = laid.heights[n];
            let stands = stands_words(laid.stands_at[n]);
            let (name, words, on) = match &self.stands {
                Stands::Plate(centre, why) => (
                    format!("height under {}", rest.name),
                    format!(
                        "the axle’s middle {} above the plate; {} is {} from it and stands {stands}; half of its {} comes off",
                        mm(*centre),
                        rest.name,
                        mm(rest.throw),
                        mm(rest.across)
                    ),
                    Some(why.clone()),
                ),
                Stands::Square(shaft, across) => (
                    "thickness".to_owned(),
                    format!(
                        "{} is {} from the axle’s middle and stands {stands}; half of its {} is added, half of {shaft} of {} comes off",
                        rest.name,
                        mm(rest.throw),
                        mm(rest.across),
                        mm(*across)
                    ),
                    None,
                ),
            };
            let why = geometry(words)
                .because(self.stands_why())
                .because(rest.why.clone())
                .because(self.angle_why.clone());
            let why = on.into_iter().fold(why, Why::because);
            all.push(Figure::new(name, format!("{} ± {}", mm(height.abs()), mm(within)), why));
        }
        all.push(self.angle_figure(laid));
        if let [first, second] = self.rests.as_slice()
            && first.throw == second.throw
        {
            let out = quartering_mismatch(first.throw.as_mm(), self.out_by(laid));
            all.push(Figure::new(
                "coupled pins then lie apart by, at worst",
                format!("{out:.3} mm"),
                geometry(format!(
                    "{} from the axle’s middle, twice the sine of half the angle: what the rods’ bushes must give",
                    mm(first.throw)
                )),
            ));
        }
        all.push(bar);
        all
    }

    fn stands_why(&self) -> Why {
        if self.rests.len() == 2 {
            practice(
                "turned as a whole, by whole degrees, to where an error of the heights and of the axle’s height does least",
            )
        } else {
            Why::new("the angle is counted from the level").source(self.said.clone())
        }
    }

    fn angle_figure(&self, laid: &Laid) -> Figure {
        let out = Angle::nearest_rad(self.out_by(laid));
        let each = (laid.by * 0.01).to_degrees();
        let throws = (self.by_throws(laid) * 0.01).to_degrees();
        let words = format!(
            "0.01 mm of every height and of the axle’s, all at their worst, turns it by {each:.3}°; the heights are \
             rounded to {}; 0.01 mm of every throw turns it by {throws:.3}° more, which is not counted",
            mm(laid.step)
        );
        let why = geometry(words).because(self.angle_why.clone());
        let why = match &self.within {
            Some((angle, because)) => why.because(because.clone()).because(Why::new(format!(
                "it may be out by {}: the heights follow from that, no closer than 0.005 mm and no wider than 0.05 mm",
                trimmed(*angle)
            ))),
            None => why.because(Why::assumed(
                "nothing says how far the angle may be out: 0.02 mm is supposed of the heights, as with a micrometer",
            )),
        };
        Figure::new("angle it sets", format!("{} ± {}", trimmed(self.angle), out.decimals(2)), why)
    }

    fn steps(&self, laid: &Laid, lands: &[Length]) -> Vec<String> {
        let within = mm(laid.within.0);
        let thin = lands.iter().all(|height| *height < faced_below());
        let mut steps = vec![if thin {
            "Saw the strip and take its burrs off.".to_owned()
        } else {
            "Saw the piece, and mill one long edge and one end square: the edge is the base.".to_owned()
        }];
        match lands {
            [only] if thin => steps.push(format!(
                "Face it to a thickness of {}, within {within}; take the last of it off on emery cloth laid on a plate.",
                mm(*only)
            )),
            [only] => steps.push(format!("Stand it on the base and mill it to {}, within {within}.", mm(*only))),
            [high, low, ..] => steps.push(format!(
                "Stand it on the base and, without moving it, mill the top to {} and half of its length on to {}, both within {within}.",
                mm(*high),
                mm(*low)
            )),
            [] => {}
        }
        steps.push(
            "Take the burrs off, measure it with a micrometer, and mark what it is on its side.".into(),
        );
        match &self.stands {
            Stands::Plate(centre, _) => {
                steps.push(format!(
                    "Lay the axle in V blocks on a surface plate with its middle {} above the plate: measure to the top of the axle, and take half of it off.",
                    mm(*centre)
                ));
                for (n, rest) in self.rests.iter().enumerate() {
                    let then = match n {
                        0 if self.rests.len() == 2 => "and clamp the axle so",
                        _ => "and fix it there",
                    };
                    let first = if n == 0 {
                        "With the block beneath, turn"
                    } else {
                        "Lay the block under the other, and turn"
                    };
                    steps.push(format!(
                        "{first} {} down on to its height of {}, {}, {then}.",
                        rest.name,
                        mm(laid.heights[n]),
                        stands_words(laid.stands_at[n])
                    ));
                }
            }
            Stands::Square(shaft, _) => {
                let rest = &self.rests[0];
                steps.push(if laid.heights[0].is_positive() {
                    format!(
                        "Stand a square outside {} and the packing between its blade and {shaft}: turn until {} touches the blade too, and fix it there.",
                        rest.name, rest.name
                    )
                } else {
                    format!(
                        "Stand a square against {shaft} and the packing between its blade and {}: turn until both touch, and fix it there.",
                        rest.name
                    )
                });
            }
        }
        steps
    }

    fn cautions(&self, laid: &Laid) -> Vec<String> {
        let mut all = vec![match self.stands {
            Stands::Plate(..) => "Measure each round that rests as it has come out: half of what it is over its size comes off under it.".to_owned(),
            Stands::Square(..) => "Measure pin and shaft as they have come out: half of what the pin is over is added, half of what the shaft is over comes off.".to_owned(),
        }];
        match &self.seen_from {
            Some(from) => all.push(format!("The angle is anticlockwise as seen from {from}; seen from the other side it is clockwise.")),
            None => all.push(
                "It is not said from which side the angle is seen, anticlockwise: from the other side this sets the other hand. \
                 Look at the drawing, and say it with `seen_from`."
                    .into(),
            ),
        }
        if let (false, Some((angle, _))) = (laid.keeps, &self.within) {
            all.push(format!(
                "A block cannot be made closely enough: at ± {} the angle may be out by {}, and {} is allowed. Set it by this first, and finish by trial.",
                mm(laid.within.0),
                Angle::nearest_rad(self.out_by(laid)).decimals(2),
                Angle::nearest_rad(angle.as_rad()).decimals(2)
            ));
        }
        all
    }

    /// From the side, each round on its land.
    fn scene(&self, laid: &Laid, lands: &[Length]) -> Scene {
        let mut scene = blank_scene("from the side, each round on its land", Point::ORIGIN, "a lower corner");
        let long = land().as_mm();
        let top = |n: usize| lands.get(n).map_or(0.0, |height| height.as_mm());
        if let [_, low] = lands {
            let (high, low) = (top(0), low.as_mm());
            let at =
                [(0.0, 0.0), (2.0 * long, 0.0), (2.0 * long, low), (long, low), (long, high), (0.0, high)];
            for (n, from) in at.iter().enumerate() {
                let to = at[(n + 1) % at.len()];
                scene.outline.push(Segment::line(Point::new(from.0, from.1), Point::new(to.0, to.1)));
            }
        } else {
            scene.outline.extend(box_lines(0.0, 0.0, long, top(0)));
        }
        for (n, rest) in self.rests.iter().enumerate() {
            let height = laid.heights[n].abs();
            let which = lands.iter().position(|land| *land == height).unwrap_or(0);
            // Two rounds that rest on one land stand on its two halves.
            let share = if self.rests.len() == 2 && lands.len() == 1 { 0.25 + 0.5 * n as f64 } else { 0.5 };
            let x = long * (which as f64 + share);
            let figure = match self.stands {
                Stands::Plate(..) => format!("height under {}", rest.name),
                Stands::Square(..) => "thickness".to_owned(),
            };
            if matches!(self.stands, Stands::Plate(..)) {
                let radius = rest.across.half().as_mm();
                let circle =
                    Segment::arc(Point::new(x, height.as_mm() + radius), radius, 0.0, std::f64::consts::TAU);
                scene.around.push(circle);
                scene.notes.push(note(
                    (x, height.as_mm() + radius),
                    format!("⌀ {}", mm(rest.across)),
                    &figure,
                ));
            }
            let side = if which == 0 { 0.0 } else { 2.0 * long };
            if !(n == 1 && lands.len() == 1) {
                scene.dimensions.push(dimension(
                    (side, 0.0),
                    (side, height.as_mm()),
                    Runs::Up,
                    mm(height),
                    &figure,
                ));
            }
        }
        scene
    }
}

/// An angle to three decimals without trailing noughts.
fn trimmed(angle: Angle) -> String {
    let shown = angle.decimals(3);
    let plain = shown.trim_end_matches('°').trim_end_matches('0').trim_end_matches('.');
    format!("{plain}°")
}
