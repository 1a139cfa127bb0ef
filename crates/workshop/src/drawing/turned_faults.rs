//! What no lathe could make: sections that hang on nothing, cuts deeper than their metal.

use super::{Axis, Depth, Face, FeatureId, Form, Kind, Part, SectionEnd, SectionSize};
use crate::measure::Length;
use crate::problem::Problem;

/// Fewer ridges than these are flutes and not a knurl; common practice.
const FEWEST_RIDGES: f64 = 12.0;

/// The steepest taper that a top slide is set to, from the axis; steeper is a face.
const STEEPEST_RAD: f64 = 75.0 * std::f64::consts::PI / 180.0;

impl Part<'_> {
    /// What only a lathe makes, on a part that is not turned.
    pub(super) fn not_turned(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let of_the_lathe = matches!(
            feature.kind,
            Kind::Section { .. }
                | Kind::Groove { .. }
                | Kind::Knurl { .. }
                | Kind::Flats { .. }
                | Kind::Chamfer { .. }
                | Kind::Recess { .. }
        );
        of_the_lathe.then(|| {
            Problem::new(format!("`{}` is on a part that is not turned", feature.name))
                .why(format!("a {} belongs to work that turns in a lathe", feature.kind.word()))
                .mend("write `kind = \"turned\"` in `[body]`, or describe it as another kind of feature")
        })
    }

    /// What is impossible about one feature of a turned part.
    pub(super) fn impossible_turned(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        match &feature.kind {
            Kind::Section { .. } => self.impossible_section(id),
            Kind::Hole { .. } | Kind::Tapped { .. } => match feature.face {
                Face::Left | Face::Right => self.impossible_end_hole(id),
                _ => self.impossible_cross_hole(id),
            },
            Kind::Groove { diameter, width } => {
                let section = self.within_section(id, self.size(*width))?;
                if let Err(fault) = section {
                    return Some(fault);
                }
                let middle = self.along(id)? + self.size(*width).half();
                let bar = self.diameter_at(self.section_of(id)?, middle)?;
                (self.size(*diameter) >= bar).then(|| {
                    Problem::new(format!("`{}` is not below the diameter it is cut in", feature.name))
                        .why(format!("it leaves {} of {bar}", self.size(*diameter)))
                        .mend("check its diameter and its place along the part")
                })
            }
            Kind::Flats { across, count, length } => {
                if let Err(fault) = self.within_section(id, self.size(*length))? {
                    return Some(fault);
                }
                self.impossible_flats(id, self.size(*across), *count)
            }
            Kind::Knurl { over, pitch, .. } => {
                let (round, pitch) = (self.cut_diameter(*over)?, self.size(*pitch));
                let ridges = round.as_mm() * std::f64::consts::PI / pitch.as_mm();
                (ridges < FEWEST_RIDGES).then(|| {
                    Problem::new(format!("`{}` has room for {} ridges", feature.name, ridges.floor()))
                        .why(format!("a pitch of {pitch} round {round}"))
                        .mend("check its pitch, from one ridge to the next, against the drawing")
                })
            }
            Kind::Slot { depth: Depth::Through, .. } if matches!(feature.face, Face::Left | Face::Right) => {
                Some(
                    Problem::new(format!("nothing says how deep `{}` is", feature.name))
                        .why("a slot across an end would go through the whole length of the part")
                        .mend("add `depth = \"…\"`, from the end"),
                )
            }
            Kind::CurvedSlot { .. } => Some(
                Problem::new(format!("`{}` is on a turned part", feature.name))
                    .why("a curved slot is cut in the large face of a plate or disc")
                    .mend("give the part `kind = \"disc\"` in `[body]`, and its hub a part of its own"),
            ),
            Kind::Chamfer { of, end, size } => self.impossible_chamfer(id, *of, *end, self.size(*size)),
            Kind::Recess { diameter, hub, depth } => {
                let sizes = [self.size(*diameter), hub.map_or(Length::ZERO, |hub| self.size(hub))];
                self.impossible_recess(id, sizes, self.size(*depth))
            }
            _ => None,
        }
    }

    fn impossible_section(&self, id: FeatureId) -> Option<Problem> {
        let name = &self.feature(id).name;
        let (start, end) = (self.along(id)?, self.section_end(id)?);
        if end <= start {
            return Some(
                Problem::new(format!("`{name}` has a length of {}", end - start))
                    .why("the sections before it take up more than the length over all")
                    .mend("check the lengths of the sections against the length over all"),
            );
        }
        let Kind::Section { size, .. } = self.feature(id).kind else { return None };
        if let SectionSize::Taper { left, right } = size {
            let rise_mm = (self.size(left) - self.size(right)).abs().half().as_mm();
            let steep_rad = rise_mm.atan2((end - start).as_mm());
            if steep_rad > STEEPEST_RAD {
                return Some(
                    Problem::new(format!("`{name}` slopes {:.1}° from the axis", steep_rad.to_degrees()))
                        .why("that is nearer to a face than to a taper: no top slide is set so far round")
                        .mend("check its diameters and its length"),
                );
            }
        }
        if let Some((across, sides)) = self.bar_left() {
            let own = match size {
                SectionSize::AsBar { across: own, sides: own_sides } => {
                    (self.size(own), own_sides) != (across, sides)
                }
                _ => self.reach_of(id)? * 2 > across,
            };
            if own {
                return Some(
                    Problem::new(format!("`{name}` does not come out of the bar"))
                        .why(format!("part of it is left as bar of {across} across {sides} flats, and no more than that is round in it"))
                        .mend("check its size, or make the part of two"),
                );
            }
        }
        self.beyond_stated_bar(id).or_else(|| self.hangs_on_nothing(id))
    }

    /// A section that reaches out of the bar that the file names.
    fn beyond_stated_bar(&self, id: FeatureId) -> Option<Problem> {
        let stock = self.drawing.stock.as_ref()?;
        let bar = match stock.form {
            Form::RoundBar | Form::Hexagon | Form::SquareBar => stock.size.first()?.length,
            Form::Plate | Form::FlatBar | Form::Casting => return None,
        };
        let (across, what) = match self.feature(id).kind {
            // What is left as bar must be that bar.
            Kind::Section { size: SectionSize::AsBar { across, sides }, .. } => {
                let same = matches!((stock.form, sides), (Form::Hexagon, 6) | (Form::SquareBar, 4));
                let across = self.size(across);
                return (!same || across != bar).then(|| {
                    Problem::new(format!("`{}` is not the bar that it is made from", self.feature(id).name))
                        .why(format!(
                            "it is left as bar of {across} across {sides} flats, and the stock is {}",
                            stock.words()
                        ))
                        .mend("make the two agree")
                });
            }
            _ => (self.reach_of(id)? * 2, "with its offset it takes"),
        };
        (across > bar).then(|| {
            Problem::new(format!("`{}` does not come out of the bar", self.feature(id).name))
                .why(format!("{what} {across}, and the {} is {bar}", stock.form.word()))
                .mend("name larger stock, or check the diameter and the offset")
        })
    }

    /// A section whose circle does not meet that of the one before it.
    fn hangs_on_nothing(&self, id: FeatureId) -> Option<Problem> {
        let before = self.neighbour(id, SectionEnd::Left)?;
        let (a, b) = (self.section_axis(before), self.section_axis(id));
        let apart_mm = (a.0 - b.0).as_mm().hypot((a.1 - b.1).as_mm());
        let reach = self.end_diameter(before, SectionEnd::Right)?.half()
            + self.end_diameter(id, SectionEnd::Left)?.half();
        let shared = reach - Length::nearest(apart_mm);
        (!shared.is_positive()).then(|| {
            let [name, other] = [id, before].map(|id| self.feature(id).name.clone());
            Problem::new(format!("`{name}` hangs on nothing"))
                .why(format!(
                    "its axis is {} from that of `{other}`, and half of both is {reach}",
                    Length::nearest(apart_mm)
                ))
                .mend("check the offsets and both diameters, or put a web between them")
        })
    }

    /// Whether a cut of some length lies in one section; a fault when it does not.
    fn within_section(&self, id: FeatureId, long: Length) -> Option<Result<FeatureId, Problem>> {
        let feature = self.feature(id);
        let start = self.along(id)?;
        let fits = self.section_of(id).filter(|&section| {
            let (from, to) = (self.along(section), self.section_end(section));
            from.is_some_and(|from| from <= start) && to.is_some_and(|to| start + long <= to)
        });
        Some(fits.ok_or_else(|| {
            Problem::new(format!("`{}` does not lie within one section", feature.name))
                .why(format!("it runs from {start} to {} along the part", start + long))
                .mend("check its place, which is that of its left side, and its length")
        }))
    }

    fn impossible_cross_hole(&self, id: FeatureId) -> Option<Problem> {
        let along = self.along(id)?;
        let hole = self.cut_diameter(id)?;
        let bar = self.diameter_at(self.section_at(along)?, along)?;
        (hole >= bar).then(|| {
            Problem::new(format!("`{}` is as large as the bar it crosses", self.feature(id).name))
                .why(format!("{hole} across {bar}"))
                .mend("check its diameter and its place along the part")
        })
    }

    /// A hole in an end that is wider than the metal round it.
    fn impossible_end_hole(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let (Kind::Hole { depth, .. } | Kind::Tapped { depth, .. }) = feature.kind else { return None };
        let hole = self.cut_diameter(id)?;
        let deep = self.end_depth(id, depth);
        let (start, _) = self.end_start(id);
        let whole = self.thickness() - start;
        if matches!(depth, Depth::To(_)) && deep >= whole {
            let from = if start.is_positive() { "from where it begins" } else { "long" };
            return Some(
                Problem::new(format!("`{}` goes {deep}, and the part is {whole} {from}", feature.name))
                    .mend("check the depth, or leave it out for a hole right through"),
            );
        }
        let mut gone = Length::ZERO;
        for (nth, section) in self.sections_below(id).into_iter().enumerate() {
            // A hole that only touches the first section is a slip; one that would run
            // down the side of a later one is too.
            if gone >= deep && nth > 0 {
                break;
            }
            gone += self.section_length(section);
            let thin = [SectionEnd::Left, SectionEnd::Right]
                .iter()
                .filter_map(|&end| self.end_diameter(section, end))
                .min()?;
            let round = match self.feature(section).kind {
                Kind::Section { size: SectionSize::AsBar { across, .. }, .. } => self.size(across),
                _ => thin,
            };
            let wall = round.half() - hole.half() - self.from_axis_of(section, id);
            if !wall.is_positive() {
                return Some(
                    Problem::new(format!(
                        "`{}` breaks out of `{}` by {}",
                        feature.name,
                        self.feature(section).name,
                        wall.abs()
                    ))
                    .why("the metal between them would be nothing or less")
                    .mend("check its diameter, its depth and its distance from the axis"),
                );
            }
        }
        if depth == Depth::Through
            && let Some(beside) = self.runs_down_the_side(id, hole)
        {
            return Some(beside);
        }
        self.meets_in_the_end(id, hole, deep)
    }

    /// A hole right through a flange that would come out along the next section.
    fn runs_down_the_side(&self, id: FeatureId, hole: Length) -> Option<Problem> {
        let (from_axis, feature) = (self.from_axis(id), self.feature(id));
        let ahead = self.sections_below(id);
        let next = ahead.into_iter().find(|&s| self.reach_of(s).is_some_and(|reach| reach <= from_axis))?;
        let reach = self.reach_of(next)?;
        (reach > from_axis - hole.half()).then(|| {
            let other = &self.feature(next).name;
            Problem::new(format!("`{}` comes out along the side of `{other}`", feature.name))
                .why(format!(
                    "it is {from_axis} from the axis and {hole} across, and `{other}` reaches {reach}"
                ))
                .mend("give it a depth, or check its distance from the axis")
        })
    }

    /// Another hole in an end that this one breaks into.
    fn meets_in_the_end(&self, id: FeatureId, hole: Length, deep: Length) -> Option<Problem> {
        let range = |id: FeatureId, deep: Length| {
            let (start, _) = self.end_start(id);
            match self.feature(id).face {
                Face::Right => (self.thickness() - start - deep, self.thickness() - start),
                _ => (start, start + deep),
            }
        };
        let at = |id| [Axis::Y, Axis::Z].map(|axis| self.at(id, axis).unwrap_or_default().as_mm());
        let (own, place) = (range(id, deep), at(id));
        self.features().find_map(|(other, feature)| {
            let (Kind::Hole { depth, .. } | Kind::Tapped { depth, .. }) = feature.kind else { return None };
            let theirs = range(other, self.end_depth(other, depth));
            let in_an_end = matches!(feature.face, Face::Left | Face::Right);
            let apart_mm = {
                let [y_mm, z_mm] = at(other);
                (place[0] - y_mm).hypot(place[1] - z_mm)
            };
            // On one axis a wider hole over a narrower is a recess, and meant.
            if !in_an_end || other <= id || apart_mm == 0.0 || own.0 >= theirs.1 || theirs.0 >= own.1 {
                return None;
            }
            let wall = Length::nearest(apart_mm) - (hole + self.cut_diameter(other)?).half();
            (!wall.is_positive()).then(|| {
                let [first, second] = [&self.feature(id).name, &feature.name];
                Problem::new(format!("`{first}` breaks into `{second}` by {}", wall.abs()))
                    .why("the metal between them would be nothing or less")
                    .mend("check both places and both diameters")
            })
        })
    }

    fn impossible_flats(&self, id: FeatureId, across: Length, count: u32) -> Option<Problem> {
        let feature = self.feature(id);
        let section = self.section_of(id)?;
        if self.is_eccentric(section) {
            return Some(
                Problem::new(format!("`{}` is on an eccentric section", feature.name))
                    .why("flats are milled about the axis of the part")
                    .mend("put them on a section that runs true"),
            );
        }
        let round = self.diameter_at(section, self.along(id)?)?;
        if across >= round {
            return Some(
                Problem::new(format!("`{}` takes nothing off", feature.name))
                    .why(format!("{across} across the flats of a round of {round}"))
                    .mend("check the size across flats, and the diameter they are cut in"),
            );
        }
        // A single flat is measured to the far side of the round.
        let deep = if count == 1 { round - across } else { (round - across).half() };
        (deep > round.half()).then(|| {
            Problem::new(format!("`{}` goes past the axis", feature.name))
                .why(format!("it is {deep} deep in a radius of {}", round.half()))
                .mend("a single flat is measured from it to the far side of the round: check the size across")
        })
    }

    fn impossible_chamfer(
        &self,
        id: FeatureId,
        of: FeatureId,
        end: SectionEnd,
        size: Length,
    ) -> Option<Problem> {
        let name = &self.feature(id).name;
        let own = self.end_diameter(of, end)?;
        let next = self.neighbour(of, end);
        let beside = match (next, end) {
            (None, _) => Length::ZERO,
            (Some(next), SectionEnd::Left) => self.end_diameter(next, SectionEnd::Right)?,
            (Some(next), SectionEnd::Right) => self.end_diameter(next, SectionEnd::Left)?,
        };
        let section = &self.feature(of).name;
        if beside >= own {
            let other = next.map_or("the end", |next| &self.feature(next).name);
            return Some(
                Problem::new(format!("`{name}` has no edge to take off"))
                    .why(format!("`{other}` beside it is as large as `{section}` there"))
                    .mend("check which end of the section it is on"),
            );
        }
        let room = ((own - beside).half()).min(self.section_length(of));
        let too_large = size > room || (next.is_none() && size >= own.half());
        too_large.then(|| {
            Problem::new(format!("`{name}` takes more than `{section}` has there"))
                .why(format!("it is {size}, and there are {room} to the next diameter or along the section"))
                .mend("check its size")
        })
    }

    fn impossible_recess(&self, id: FeatureId, [outer, hub]: [Length; 2], depth: Length) -> Option<Problem> {
        let feature = self.feature(id);
        if hub >= outer {
            return Some(
                Problem::new(format!("`{}` is all hub", feature.name))
                    .why(format!("the hub is {hub}, and the recess {outer}"))
                    .mend("check both diameters"),
            );
        }
        let bosses = self.within_hub(id);
        let mut gone = Length::ZERO;
        for section in self.sections_from(feature.face).into_iter().skip(bosses.len()) {
            if gone >= depth {
                break;
            }
            gone += self.section_length(section);
            let round = [SectionEnd::Left, SectionEnd::Right]
                .iter()
                .filter_map(|&end| self.end_diameter(section, end))
                .min()?;
            if outer >= round {
                let proud = self.neighbour(section, SectionEnd::toward(feature.face).other());
                let proud = proud.is_some_and(|behind| self.reach_of(behind).is_some_and(|r| r * 2 > outer));
                return Some(
                    Problem::new(format!(
                        "`{}` leaves no rim in `{}`",
                        feature.name,
                        self.feature(section).name
                    ))
                    .why(format!("it is {outer} across, and the section {round}"))
                    .mend(if proud {
                        format!(
                            "check its diameter and its depth; if it goes round `{0}`, which stands proud of the rim, say so \
                             with `hub`, the diameter of `{0}` or more: its depth then counts from the shoulder behind",
                            self.feature(section).name
                        )
                    } else {
                        "check its diameter and its depth".into()
                    }),
                );
            }
        }
        let others = self.features().filter(|(_, other)| other.face != feature.face);
        let from_other_end = others.map(|(other, _)| self.recess_floor(other)).max().unwrap_or_default();
        let (floor, whole) = (self.recess_floor(id), self.thickness());
        (floor + from_other_end >= whole).then(|| {
            Problem::new(format!("`{}` leaves no web", feature.name))
                .why(format!("{floor} from this end and {from_other_end} from the other, of {whole}"))
                .mend("check the depths")
        })
    }
}
