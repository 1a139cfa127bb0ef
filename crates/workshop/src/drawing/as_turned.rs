//! A disc as the turned part that it also is: one section as long as the disc is thick.
//!
//! The same dimensions and the same features under the same numbers; one feature more at the
//! end of the list, its outside. The front of the disc is the right end, its back the left one;
//! what is above in its plan stays above, what is to the right comes to lie behind the axis.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::{
    Body, Depth, DimensionId, Drawing, Element, Face, Feature, FeatureId, Kind, Linear, Measures, Part,
    Reference, Role, SectionSize, Sizes, Solved,
};
use crate::measure::Angle;

/// A disc as a turned part.
#[derive(Clone, Debug)]
pub struct AsTurned {
    /// Its drawing.
    pub drawing: Drawing,
    /// Its places.
    pub solved: Solved,
}

impl AsTurned {
    /// The disc, where it is one and everything in it can be made on a turned part.
    pub fn of(drawing: &Drawing, solved: &Solved) -> Option<Self> {
        let Body::Disc { diameter, thickness } = drawing.body else { return None };
        if !Self::may_be(drawing, solved) {
            return None;
        }
        let mut turned = drawing.clone();
        for feature in &mut turned.features {
            feature.face = face(feature.face);
            feature.placing.clear();
            let in_end = matches!(feature.face, Face::Left | Face::Right);
            match &mut feature.kind {
                Kind::PitchCircle { first, .. } if in_end => *first = quarter_back(*first),
                Kind::Slot { along, .. } if in_end => *along = quarter_back(*along),
                _ => {}
            }
        }
        for (size, measures) in [(diameter, Measures::Turned), (thickness, Measures::Along)] {
            turned.dimensions[size.0].measures = measures;
        }
        let outside = FeatureId(turned.features.len());
        turned.features.push(outside_of(drawing, diameter, thickness));
        turned.body = Body::Turned { sections: vec![outside], length: None };
        let places = solved.places.iter().map(place).chain([[Some(Linear::default()), None, None]]);
        let edges = BTreeMap::from([
            (Reference::LeftEdge, Linear::default()),
            (Reference::RightEdge, Linear::dimension(thickness)),
        ]);
        let solved = Solved { places: places.collect(), edges, checks: Vec::new(), again: None };
        Some(Self { drawing: turned, solved })
    }

    /// Whether everything in a disc can be made on a turned part, and nothing is said of it that a turned
    /// part would not keep.
    pub fn may_be(drawing: &Drawing, solved: &Solved) -> bool {
        let held = |size: DimensionId| {
            let drawn = &drawing.dimensions[size.0];
            drawn.role.0 == Role::Hold && drawn.within.is_some()
        };
        let places_held = drawing
            .features
            .iter()
            .flat_map(|feature| &feature.placing)
            .filter_map(|statement| statement.says.dimension())
            .any(held);
        let faces_said = drawing.geometrical.iter().any(|said| {
            [Some(said.of), said.to].into_iter().flatten().any(|on| !matches!(on, Element::Feature(_)))
        });
        matches!(drawing.body, Body::Disc { .. })
            && solved.again.as_ref().is_none_or(|again| again.blocks.is_empty())
            && drawing.hands.len() <= 1
            && drawing.parted.is_none()
            && drawing.together.is_empty()
            && !places_held
            && !faces_said
            && drawing.features.iter().all(serves)
    }

    /// The part with sizes of its own; its dimensions and threads are those of the disc.
    pub fn part(&self, sizes: Sizes) -> Part<'_> {
        Part::as_drawn(&self.drawing, &self.solved).with_sizes(sizes)
    }
}

fn serves(feature: &Feature) -> bool {
    match feature.kind {
        Kind::Hole { .. }
        | Kind::Tapped { .. }
        | Kind::Counterbore { .. }
        | Kind::Countersink { .. }
        | Kind::PitchCircle { .. } => true,
        Kind::Slot { depth, ref open, .. } => {
            open.is_empty()
                && matches!(depth, Depth::To(_))
                && matches!(feature.face, Face::Front | Face::Back)
        }
        _ => false,
    }
}

/// The section that is the disc's outside, by a name that nothing else has.
fn outside_of(drawing: &Drawing, diameter: DimensionId, length: DimensionId) -> Feature {
    let taken = |name: &str| drawing.features.iter().any(|feature| feature.name == name);
    let name = ["the outside", "the rim", "the whole outside"].into_iter().find(|name| !taken(name));
    Feature {
        name: name.unwrap_or("the outside of the disc").to_owned(),
        line: drawing.dimensions[diameter.0].line,
        face: Face::Front,
        kind: Kind::Section { size: SectionSize::Plain(diameter), length: Some(length), throw: None },
        placing: Vec::new(),
    }
}

const fn face(of_disc: Face) -> Face {
    match of_disc {
        Face::Front => Face::Right,
        Face::Back => Face::Left,
        Face::Left => Face::Front,
        Face::Right => Face::Back,
        level @ (Face::Top | Face::Bottom) => level,
    }
}

/// An angle from the right, anticlockwise, as it counts from the top towards the reader.
fn quarter_back(angle: Angle) -> Angle {
    angle + Angle::ratio(-90, 1)
}

/// A place of the disc as one of the turned part.
fn place([x, y, z]: &[Option<Linear>; 3]) -> [Option<Linear>; 3] {
    let behind = x.as_ref().map(|x| x.times(Ratio::from_integer(-1)));
    [z.clone(), y.clone(), behind]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Axis, read_drawing, solve};

    const COVER: &str = "part = \"Cover\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\ndiameter = \"44\"\n\
        thickness = \"6\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"8\"\nplace = \"datum\"\n[[feature]]\n\
        name = \"studs\"\nkind = \"pitch circle\"\nholes = 3\npitch_circle = \"34\"\nfirst = \"30°\"\ndiameter = \"3\"\nplace = \
        \"datum\"\n[[feature]]\nname = \"oil way\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"2\"\ndepth = \"10\"\n\
        place = [\"2 right of bore\", \"1 in front of back face\"]\n";

    /// Turned about its upright axis, a disc keeps every distance, and what was to the right lies behind.
    #[test]
    fn a_disc_is_the_same_part_turned_by_a_quarter() {
        let drawing = read_drawing("cover.toml", COVER).expect("reads");
        let solved = solve(&drawing).expect("solves");
        let turned = AsTurned::of(&drawing, &solved).expect("everything in it can be turned");
        let disc = Part::as_drawn(&drawing, &solved);
        let part = turned.part(Sizes::as_drawn(&drawing));
        assert_eq!(part.thickness(), disc.thickness());
        assert_eq!(part.bar_needed().to_string(), "44 mm");
        for (id, feature) in disc.features() {
            let behind = part.at(id, Axis::Z).map(|z| -z);
            assert_eq!(behind, disc.at(id, Axis::X), "{}", feature.name);
            assert_eq!(part.at(id, Axis::Y), disc.at(id, Axis::Y), "{}", feature.name);
            assert_eq!(part.at(id, Axis::X), disc.at(id, Axis::Z), "{}", feature.name);
        }
        // The same metal is left, summed from the solid of each.
        let [one, other] =
            [&disc, &part].map(|part| crate::drawing::solid::weigh(part).expect("it has a volume").grams());
        assert!((one - other).abs() < 1e-4 * one, "{one} and {other}");
    }

    #[test]
    fn what_a_turned_part_does_not_know_keeps_a_disc_a_disc() {
        let slit = "[[feature]]\nname = \"slit\"\nkind = \"slit\"\nwidth = \"1\"\ninto = \"bore\"\ntoward = \"right\"\n";
        let drawing = read_drawing("cover.toml", &format!("{COVER}{slit}")).expect("reads");
        let solved = solve(&drawing).expect("solves");
        assert!(AsTurned::of(&drawing, &solved).is_none());
    }
}
