//! A setting plug: turned to the space that is left beside a pin when it stands where it is
//! to, so that what carries the pin is turned until it touches.

use super::own::{Turned, bores_from};
use super::picture::{dimension, note};
use super::rack::round_bar;
use crate::bench::Bench;
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, practice};
use crate::sheet::{AidSheet, Own, Runs, Scene, Serves, blank_scene, box_lines};
use crate::tables::fits;
use crate::why::{Figure, Why};

/// What a plug lies against, beside the pin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Against {
    /// It stands about the middle of an axle of this diameter, bored to slide on it.
    Middle(String, Length),
    /// The outside of a round of this diameter.
    Round(String, Length),
    /// A flat that the distance is counted from.
    Flat,
}

/// A plug to be worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plug {
    /// What the project calls it.
    pub name: String,
    /// The pin, by name, and its diameter.
    pub pin: (String, Length),
    /// What it lies against.
    pub against: Against,
    /// From the middle of the pin to the middle of the round, or to the flat.
    pub distance: Length,
    /// Where the distance comes from.
    pub why: Why,
    /// How far the distance may be out by what a mechanism allows, and why.
    pub within: Option<(Length, Why)>,
    /// Where the plug is said.
    pub said: String,
}

/// How long it is: enough to lie square against a pin.
fn long() -> Length {
    Length::mm(12)
}

/// The least wall of a plug that is bored for an axle.
fn least_wall() -> Length {
    Length::mm(2)
}

impl Plug {
    /// Across the plug. On the axle's middle twice the distance less the pin; else the distance
    /// less half of every round.
    pub fn diameter(&self) -> Length {
        match &self.against {
            Against::Middle(..) => self.distance * 2 - self.pin.1,
            Against::Round(_, other) => self.distance - self.pin.1.half() - other.half(),
            Against::Flat => self.distance - self.pin.1.half(),
        }
    }

    /// Its sheet.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when nothing is left between the two, or no wall round the axle.
    pub fn sheet(&self, bench: &Bench) -> Result<AidSheet, Problem> {
        let diameter = self.diameter();
        if diameter < Length::mm(1) {
            return Err(Problem::new(format!("{} would be {} across", self.name, mm(diameter)))
                .why(format!("{} is too near for a pin of {}", mm(self.distance), mm(self.pin.1)))
                .mend(
                    "mend `distance`, which is counted from the middle of the pin, or the names in `between`",
                )
                .at(self.said.clone()));
        }
        let bore = match &self.against {
            Against::Middle(axle, across) => {
                let wall = (diameter - *across).half();
                if wall < least_wall() {
                    return Err(Problem::new(format!(
                        "{} of {} has a wall of {} round {axle}",
                        self.name,
                        mm(diameter),
                        mm(wall)
                    ))
                    .why("under 2 mm it is out of round as soon as it is bored")
                    .mend("set it from the outside of the axle: leave out `centre of`")
                    .at(self.said.clone()));
                }
                Some((axle, fits::limits("H7", *across)?))
            }
            _ => None,
        };
        let shown = mm(diameter.rounded(Length::mm_ratio(1, 100), Toward::Nearest).value);
        let within = self.turned_within();
        let mut sizes = vec![Figure::new("plug diameter", shown.clone(), self.why())];
        if let Some((room, why)) = &self.within {
            let why = why.clone().because(geometry(if matches!(self.against, Against::Middle(..)) {
                "about the axle's middle the plug is twice as much out as the distance"
            } else {
                "beside a round or a flat the plug is as much out as the distance"
            }));
            let why = why.because(Why::new(format!("the distance may be out by {}", mm(*room))));
            sizes.push(Figure::new("plug within", format!("± {}", mm(within)), why));
        }
        if let Some((axle, limits)) = &bore {
            sizes.push(Figure::new(
                "bore",
                super::locating::limits_shown(limits.least(), limits.greatest()),
                Why::new(format!("H7, to slide on {axle}")).source(limits.source.to_string()),
            ));
        }
        sizes.push(Figure::new(
            "length",
            mm(long()),
            practice("lies square along the pin, and is held with two fingers"),
        ));
        sizes.push(self.reads());
        let piece = round_bar(bench, diameter + Length::mm_ratio(1, 2));
        let bar = piece.words("round bar", "40 mm long");
        sizes.push(Figure::new("bar", bar.clone(), piece.why("round steel bar")));
        let turned = Turned::new(&self.name, &piece.material, 1, false).section("plug", diameter, long());
        let (file, bored) = match &bore {
            Some((_, limits)) => {
                let aim = (limits.least() + limits.greatest()).half();
                let turned = if limits.size >= bores_from() {
                    turned.through("bore", aim, "bored")
                } else {
                    turned.through("bore", limits.size, "reamed")
                };
                (turned.file(), format!(", bored {}", mm(limits.size)))
            }
            None => (turned.file(), String::new()),
        };
        let kept_as = format!("setting plug {shown}{bored}");
        let mut steps = vec!["Hold the bar by 25 mm with 15 mm out, and face the end.".to_owned()];
        if let Some((_, limits)) = &bore {
            steps.push(format!(
                "Drill and ream or bore it {} for {}.",
                super::locating::limits_shown(limits.least(), limits.greatest()),
                mm(long() + Length::mm(2))
            ));
        }
        steps.push(format!(
            "In the same holding turn it {shown}, within {}, for {}.",
            mm(within),
            mm(long() + Length::mm(2))
        ));
        steps
            .push(format!("Part off {} long, take the burrs off, and mark the size on its end.", mm(long())));
        steps.push(match &self.against {
            Against::Middle(axle, _) => {
                format!("Slide it on {axle}, turn what carries {} until the pin touches the plug, and fix it there.", self.pin.0)
            }
            Against::Round(other, _) => {
                format!("Hold it between {} and {other} and bring them together until both touch; fix them there.", self.pin.0)
            }
            Against::Flat => {
                format!("Lay it on the flat against {}, bring them together until both touch, and fix them there.", self.pin.0)
            }
        });
        Ok(AidSheet {
            name: self.name.clone(),
            purpose: format!("Sets {} at {} by touch.", self.pin.0, mm(self.distance)),
            material: bar,
            sizes,
            steps,
            scene: self.scene(&shown),
            cautions: self.cautions(within),
            serves: Serves { same: vec![kept_as.clone()], at_most: Vec::new() },
            own: Own { kept_as, file: Some(file), ..Own::default() },
        })
    }

    /// What a micrometer or caliper reads once it is set: over the pin and what the distance is counted from.
    fn reads(&self) -> Figure {
        let pin = &self.pin.0;
        let (over, words, why) = match &self.against {
            Against::Middle(..) => (
                self.distance * 2,
                format!("over {pin} and the plug"),
                "the plug and the pin that touches it: twice the distance".to_owned(),
            ),
            Against::Round(other, across) => (
                self.distance + (self.pin.1 + *across).half(),
                format!("over {pin} and {other}"),
                format!("the distance, half of the pin and half of {other}"),
            ),
            Against::Flat => (
                self.distance + self.pin.1.half(),
                format!("from the flat over {pin}"),
                "the distance and half of the pin".to_owned(),
            ),
        };
        let shown = mm(over.rounded(Length::mm_ratio(1, 100), Toward::Nearest).value);
        let why = geometry(why).because(self.why.clone());
        Figure::new("reads when set", format!("{shown} {words}"), why)
    }

    fn why(&self) -> Why {
        let pin = mm(self.pin.1);
        let words = match &self.against {
            Against::Middle(axle, _) => {
                format!(
                    "twice {} less the pin of {pin}: it stands about the middle of {axle}",
                    mm(self.distance)
                )
            }
            Against::Round(other, across) => {
                format!(
                    "{} less half of the pin of {pin} and half of {other} of {}",
                    mm(self.distance),
                    mm(*across)
                )
            }
            Against::Flat => format!("{} less half of the pin of {pin}", mm(self.distance)),
        };
        geometry(words).because(self.why.clone())
    }

    /// How closely it is turned: a hundredth unless a mechanism says otherwise, never closer than
    /// 0.005 mm nor wider than 0.05 mm (common practice).
    fn turned_within(&self) -> Length {
        let Some((room, _)) = &self.within else { return Length::mm_ratio(1, 100) };
        self.own_room(*room)
            .rounded(Length::microns(5), Toward::Less)
            .value
            .clamp(Length::microns(5), Length::microns(50))
    }

    fn own_room(&self, room: Length) -> Length {
        if matches!(self.against, Against::Middle(..)) { room * 2 } else { room }
    }

    fn cautions(&self, within: Length) -> Vec<String> {
        let mut all = vec![
            "Measure the pin as it has come out: what it is over its size comes off the plug, and half of that where \
             the plug lies beside it."
                .to_owned(),
        ];
        if let Some((room, _)) = &self.within
            && within > self.own_room(*room)
        {
            all.push(format!(
                "The distance may be out by {} and no more: turn the plug as near as you can, and try the result.",
                mm(*room)
            ));
        }
        all
    }

    /// Pin and plug from the end, and what it lies against.
    fn scene(&self, shown: &str) -> Scene {
        let mut scene =
            blank_scene("from the end, the pin to the right", Point::ORIGIN, "middle of the plug");
        let [plug, pin] = [self.diameter(), self.pin.1].map(|across| across.half().as_mm());
        let circle =
            |x: f64, radius: f64| Segment::arc(Point::new(x, 0.0), radius, 0.0, std::f64::consts::TAU);
        scene.outline.push(circle(0.0, plug));
        scene.around.push(circle(plug + pin, pin));
        match &self.against {
            Against::Middle(_, axle) => scene.outline.push(circle(0.0, axle.half().as_mm())),
            Against::Round(_, other) => {
                scene.around.push(circle(-plug - other.half().as_mm(), other.half().as_mm()))
            }
            Against::Flat => scene.around.extend(box_lines(-plug - 3.0, -plug, -plug, plug)),
        }
        scene.dimensions.push(dimension(
            (-plug, -plug),
            (plug, -plug),
            Runs::Across,
            shown.to_owned(),
            "plug diameter",
        ));
        scene.notes.push(note((plug + pin, pin), format!("⌀ {}", mm(self.pin.1)), "plug diameter"));
        scene
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::empty_bench;

    fn plug(pin: Length, against: Against, distance: Length) -> Plug {
        let pin = ("the return pin".into(), pin);
        Plug {
            name: "setting plug".into(),
            pin,
            against,
            distance,
            why: Why::new("the distance is stated"),
            within: None,
            said: "assembly.toml, line 3".into(),
        }
    }

    /// A published return crank: circle of 0.875 in, pin of 0.25 in, plug of 1.5 in (a trade
    /// forum's worked example).
    #[test]
    fn a_plug_about_the_axle_is_twice_the_circle_less_the_pin() {
        let inch = |of: i128, in_: i128| Length::mm_ratio(254 * of, 10 * in_);
        let axle = Against::Middle("the axle".into(), inch(3, 4));
        let found = plug(inch(1, 4), axle, inch(7, 8));
        assert_eq!(found.diameter(), inch(3, 2));
        let sheet = found.sheet(&empty_bench()).unwrap();
        assert_eq!(sheet.sizes[0].shown, "38.1 mm");
        assert_eq!(sheet.sizes[1].shown, "19.050 to 19.071 mm");
        // The plug and the pin beside it: 38.1 and 6.35.
        assert!(sheet.sizes.iter().any(|size| size.shown == "44.45 mm over the return pin and the plug"));
    }

    /// By hand: 30 - 3 - 8 between a pin of 6 and an axle of 16; 30 - 3 to a flat.
    #[test]
    fn between_two_rounds_half_of_each_comes_off() {
        let other = Against::Round("the axle".into(), Length::mm(16));
        let beside = plug(Length::mm(6), other, Length::mm(30));
        assert_eq!(
            (beside.diameter(), beside.reads().shown.as_str()),
            (Length::mm(19), "41 mm over the return pin and the axle")
        );
        let flat = plug(Length::mm(6), Against::Flat, Length::mm(30));
        assert_eq!(
            (flat.diameter(), flat.reads().shown.as_str()),
            (Length::mm(27), "33 mm from the flat over the return pin")
        );
    }

    #[test]
    fn no_room_is_told_with_the_line() {
        let thin = plug(Length::mm(6), Against::Middle("the axle".into(), Length::mm(20)), Length::mm(14));
        assert!(thin.sheet(&empty_bench()).unwrap_err().what().contains("wall of 1 mm"));
        let none = plug(Length::mm(6), Against::Flat, Length::mm(3)).sheet(&empty_bench()).unwrap_err();
        assert!(none.to_string().contains("assembly.toml, line 3"), "{none}");
    }
}
