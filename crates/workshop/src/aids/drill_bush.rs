//! A drill bush: it stands in a hole that is there and leads the drill for one that follows it.

use num_rational::Ratio;

use super::locating::{SLIDES_IN, limits_shown};
use super::own::{Turned, bores_from};
use super::picture::{dimension, note};
use super::rack::{HARD, hard_or_soft};
use crate::bench::Bench;
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::settings::show::{mm, practice};
use crate::sheet::{AidSheet, Own, Runs, Scene, Serves, blank_scene, box_lines};
use crate::tables::fits::{self, Fit, Limits};
use crate::why::{Figure, Why};

/// A bush to be worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bush {
    /// What the project calls it.
    pub name: String,
    /// The hole it stands in, by name, and its diameter.
    pub seat: (String, Length),
    /// The hole that is drilled through it, by name, and its drill.
    pub guides: (String, Length),
    /// Where it is said.
    pub said: String,
}

/// The class of its bore: a drill, never over its size, turns in it.
const LEADS: &str = "F8";

/// The least wall: common practice.
fn least_wall() -> Length {
    Length::mm_ratio(3, 2)
}

impl Bush {
    /// Its length: one and a half diameters of the drill, up to the next half millimetre. Between
    /// one and two a drill is led and its chips still come out.
    pub fn long(&self) -> Length {
        self.guides.1.scaled(Ratio::new(3, 2)).rounded(Length::mm_ratio(1, 2), Toward::More).value
    }

    /// Its sheet.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when no wall is left, or a size is outside the table of fits.
    pub fn sheet(&self, bench: &Bench) -> Result<AidSheet, Problem> {
        let (seat, drill) = (self.seat.1, self.guides.1);
        let wall = (seat - drill).half();
        if wall < least_wall() {
            return Err(Problem::new(format!(
                "{} in a hole of {} for a drill of {} has a wall of {}",
                self.name,
                mm(seat),
                mm(drill),
                mm(wall)
            ))
            .why("under 1.5 mm it cracks in hardening, or closes on the drill")
            .mend(
                "make the hole it stands in larger, or drill smaller through it and open the hole afterwards",
            )
            .at(self.said.clone()));
        }
        let outside = Fit { hole: fits::limits("H7", seat)?, shaft: fits::limits(SLIDES_IN, seat)? };
        let bore = fits::limits(LEADS, drill)?;
        let outside_shown = limits_shown(outside.shaft.least(), outside.shaft.greatest());
        let bore_shown = limits_shown(bore.least(), bore.greatest());
        let bar = hard_or_soft(bench, seat + Length::mm_ratio(1, 2));
        let hard = bar.material == HARD;
        let bored = drill >= bores_from();
        let material = bar.words(
            "round bar",
            &format!(
                "{} long",
                mm((self.long() + Length::mm(29)).rounded(Length::mm(1), Toward::More).value)
            ),
        );
        let aim = |limits: &Limits| (limits.least() + limits.greatest()).half();
        let file = Turned::new(&self.name, &bar.material, 1, hard)
            .section("outside", aim(&outside.shaft), self.long())
            .through("bore", if bored { aim(&bore) } else { drill }, if bored { "bored" } else { "drilled" })
            .file();
        let sizes = vec![
            Figure::new(
                "outside diameter",
                outside_shown.clone(),
                Why::new(format!(
                    "{SLIDES_IN} in {}: at worst {} mm free and {} mm loose",
                    self.seat.0,
                    outside.least_clearance().decimals(3),
                    outside.greatest_clearance().decimals(3)
                ))
                .source(outside.shaft.source.to_string())
                .because(Why::assumed(
                    "the hole it stands in is supposed to be H7: measure it before turning",
                )),
            ),
            Figure::new(
                "bore",
                bore_shown.clone(),
                Why::new(format!("{LEADS} on the drill of {}: it turns freely and is still led", mm(drill)))
                    .source(bore.source.to_string()),
            ),
            Figure::new(
                "length",
                mm(self.long()),
                practice(
                    "one and a half diameters of the drill: between one and two it is led and its chips come out",
                ),
            ),
            Figure::new("wall", mm(wall), practice("1.5 mm at least")),
            Figure::new("bar", material.clone(), bar.why("bar")),
        ];
        let steps = vec![
            format!("Hold the bar by 25 mm with {} out, and face the end.", mm(self.long() + Length::mm(4))),
            if bored {
                format!("Centre, drill under size, and bore it {bore_shown} right through.")
            } else {
                format!(
                    "Centre, and drill it right through with the very drill it is to lead, ground true: it cuts a little \
                     large, and {bore_shown} is the room it wants."
                )
            },
            format!("In the same holding turn the outside {outside_shown}, so that it is true to the bore."),
            "Round the mouth of the bore where the drill goes in.".into(),
            format!("Part off {} long and take the burrs off.", mm(self.long())),
            if hard {
                "Harden it: cherry red, 770 to 780 °C, quench upright in water and stir; temper at once to straw, 230 °C."
                    .into()
            } else {
                "Leave it soft: it serves for a few holes.".into()
            },
            format!(
                "Stand it in {}, clamp both parts, and drill {} {} through it.",
                self.seat.0,
                self.guides.0,
                mm(drill)
            ),
        ];
        Ok(AidSheet {
            name: self.name.clone(),
            purpose: format!("Leads the drill for {} from {}.", self.guides.0, self.seat.0),
            material,
            sizes,
            steps,
            scene: self.scene(&outside_shown, &bore_shown),
            cautions: vec![
                "Clear the chips often: packed in the bush they score it and seize the drill.".into(),
                "Clamp the parts before the drill starts: a drill that breaks through lifts what lies loose."
                    .into(),
            ],
            serves: Serves {
                same: vec!["drill bush".into(), outside_shown.clone(), bore_shown.clone()],
                at_most: vec![("length".into(), self.long())],
            },
            own: Own {
                kept_as: format!("drill bush {} for {}, {} long", mm(seat), mm(drill), mm(self.long())),
                file: Some(file),
                ..Own::default()
            },
        })
    }

    /// In section.
    fn scene(&self, outside: &str, bore: &str) -> Scene {
        let mut scene = blank_scene("in section, the axis level", Point::ORIGIN, "middle of an end");
        let long = self.long().as_mm();
        let [seat, drill] = [self.seat.1, self.guides.1].map(|across| across.half().as_mm());
        scene.outline.extend(box_lines(0.0, -seat, long, seat));
        for y in [-drill, drill] {
            scene.hidden.push(Segment::line(Point::new(0.0, y), Point::new(long, y)));
        }
        scene.centre_lines.push(Segment::line(Point::new(-3.0, 0.0), Point::new(long + 3.0, 0.0)));
        scene.dimensions.push(dimension(
            (0.0, -seat),
            (long, -seat),
            Runs::Across,
            mm(self.long()),
            "length",
        ));
        scene.notes.push(note((0.0, seat), format!("⌀ {outside}"), "outside diameter"));
        scene.notes.push(note((long, drill), format!("⌀ {bore}"), "bore"));
        scene
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::empty_bench;

    fn bush(seat: i64, drill: Length) -> Bush {
        let (seat, guides) = (("the jig’s hole".into(), Length::mm(seat)), ("the arm’s hole".into(), drill));
        Bush { name: "drill bush".into(), seat, guides, said: "assembly.toml, line 8".into() }
    }

    /// ISO 286-2: g6 of 10 is -5 and -14 µm, F8 of 5 is +10 and +28 µm; 1.5 times 5 is 7.5.
    #[test]
    fn a_bush_fits_its_hole_and_its_drill() {
        let sheet = bush(10, Length::mm(5)).sheet(&empty_bench()).unwrap();
        let shown: Vec<&str> = sheet.sizes.iter().map(|figure| figure.shown.as_str()).collect();
        assert_eq!(shown[..4], ["9.986 to 9.995 mm", "5.010 to 5.028 mm", "7.5 mm", "2.5 mm"]);
        assert!(sheet.material.starts_with("to buy: silver steel"), "{}", sheet.material);
    }

    #[test]
    fn a_thin_wall_is_refused() {
        let fault = bush(10, Length::mm_ratio(71, 10)).sheet(&empty_bench()).unwrap_err();
        assert!(fault.what().contains("wall of 1.45 mm"), "{fault}");
        assert!(bush(10, Length::mm(7)).sheet(&empty_bench()).is_ok());
    }
}
