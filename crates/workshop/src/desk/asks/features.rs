//! What is asked of each kind of feature: one row of [`FEATURES`] each, its fields in the order in which a
//! drawing is read.

use super::{Ask, FeatureAsk, On, Takes, may, must, one_of};

const FINISHES: Takes = Takes::One(&["drilled", "reamed", "bored"]);
const SIDES: &[&str] = &["left", "right", "top", "bottom"];
pub(super) const FACES: &[&str] = &["front", "back", "left", "right", "top", "bottom"];
const EDGES: &[&str] = &["top", "bottom", "left", "right"];
const HOLES: &[&str] = &["hole", "tapped hole", "taper pin hole", "square hole", "flatted hole"];

const DEPTH: Ask = may("depth", "depth", Takes::Size, "3/8", "empty: right through");
const FINISH: Ask = may("finish", "finish", FINISHES, "reamed", "empty: drilled");
const CLEARS: Ask = may("clears", "screw through it", Takes::Thread, "5 BA", "for a clearance hole");
const ALONG: Ask = may(
    "along",
    "runs along",
    Takes::Angle,
    "30°",
    "anticlockwise from the right; empty: 0°, or square to the side that a slot is open at",
);
pub(super) const THICKNESS: Ask = must("thickness", "thickness", Takes::Size, "1/4");

const fn row(
    kind: &'static str,
    on: On,
    what: &'static str,
    faces: &'static [&'static str],
    place: Option<&'static str>,
    fields: &'static [Ask],
) -> FeatureAsk {
    FeatureAsk { kind, on, what, fields, faces, place }
}

const HERE: Option<&str> = Some("27/32 right of NAME");

/// Every kind of feature, in the order in which it is offered.
pub const FEATURES: &[FeatureAsk] = &[
    row(
        "hole",
        On::Either,
        "plain and round, drilled, reamed or bored",
        FACES,
        HERE,
        &[must("diameter", "diameter", Takes::Size, "3/16"), FINISH, DEPTH, CLEARS],
    ),
    row(
        "tapped hole",
        On::Either,
        "round, with a thread",
        FACES,
        HERE,
        &[must("thread", "thread", Takes::Thread, "7 BA"), DEPTH],
    ),
    row(
        "pitch circle",
        On::Plate,
        "holes equally spaced round a circle, placed by its centre",
        FACES,
        HERE,
        &[
            must("holes", "how many", Takes::Count, "6"),
            must("pitch_circle", "pitch circle diameter", Takes::Size, "2 1/4"),
            may("first", "first hole at", Takes::Angle, "30°", "anticlockwise from the right; empty: 0°"),
            one_of("diameter", "diameter", Takes::Size, "No. 30"),
            one_of("thread", "or thread", Takes::Thread, "7 BA"),
            FINISH,
            DEPTH,
            CLEARS,
        ],
    ),
    row(
        "row",
        On::Plate,
        "holes equally spaced along a line, placed by the first",
        FACES,
        HERE,
        &[
            must("holes", "how many", Takes::Count, "4"),
            must("spacing", "spacing", Takes::Size, "3/8"),
            ALONG,
            one_of("diameter", "diameter", Takes::Size, "No. 30"),
            one_of("thread", "or thread", Takes::Thread, "7 BA"),
            FINISH,
            DEPTH,
            CLEARS,
        ],
    ),
    row(
        "boss",
        On::Plate,
        "a rounded end or lug of the outline",
        &[],
        HERE,
        &[must("radius", "radius", Takes::Size, "7/16")],
    ),
    row(
        "corner",
        On::Plate,
        "a corner of an outline, sharp or rounded",
        &[],
        HERE,
        &[may("radius", "radius", Takes::Size, "1/8", "empty: sharp")],
    ),
    row(
        "slot",
        On::Plate,
        "with round ends, placed by its middle; an open one by its closed end",
        FACES,
        HERE,
        &[
            must("width", "width", Takes::Size, "1/4"),
            one_of("centres", "between centres", Takes::Size, "1/2"),
            one_of("open", "or runs out at the", Takes::Any(FACES), "right"),
            ALONG,
            DEPTH,
        ],
    ),
    row(
        "pocket",
        On::Plate,
        "a sunk rectangle, placed by its middle",
        FACES,
        HERE,
        &[
            must("width", "width", Takes::Size, "1/2"),
            must("height", "height", Takes::Size, "3/8"),
            must("corner", "radius in its corners", Takes::Size, "1/8"),
            ALONG,
            DEPTH,
        ],
    ),
    row(
        "step",
        On::Plate,
        "metal taken off a face up to a shoulder, placed by the shoulder",
        FACES,
        Some("3/4 from left edge"),
        &[
            must("leaves", "thickness left", Takes::Size, "3/16"),
            must("side", "side cut away", Takes::One(SIDES), "right"),
        ],
    ),
    row(
        "counterbore",
        On::Plate,
        "a flat-bottomed mouth of a hole",
        FACES,
        None,
        &[
            must("over", "over the hole", Takes::Feature(HOLES), "pivot bore"),
            must("diameter", "diameter", Takes::Size, "1/2"),
            must("depth", "depth", Takes::Size, "1/16"),
        ],
    ),
    row(
        "countersink",
        On::Plate,
        "a coned mouth of a hole",
        FACES,
        None,
        &[
            must("over", "over the hole", Takes::Feature(HOLES), "pivot bore"),
            must("diameter", "diameter at the face", Takes::Size, "1/2"),
            may("angle", "angle of the cone", Takes::Angle, "90°", "the whole angle; empty: 90°, supposed"),
        ],
    ),
    row(
        "taper pin hole",
        On::Either,
        "reamed for a taper pin, its large end at the face",
        FACES,
        HERE,
        &[must("pin", "pin", Takes::Pin, "No. 2"), DEPTH],
    ),
    row(
        "square hole",
        On::Plate,
        "square, for a squared shaft",
        FACES,
        HERE,
        &[must("across", "across the flats", Takes::Size, "3/16"), ALONG, DEPTH],
    ),
    row(
        "flatted hole",
        On::Plate,
        "round with one flat",
        FACES,
        HERE,
        &[
            must("diameter", "diameter", Takes::Size, "1/4"),
            must("across", "from the flat to the far side", Takes::Size, "7/32"),
            must("toward", "flat lies toward", Takes::Angle, "90°"),
            DEPTH,
        ],
    ),
    row(
        "slit",
        On::Plate,
        "a saw cut from a bore to the outside",
        &[],
        None,
        &[
            must("width", "width", Takes::Size, "1/32"),
            must("into", "into the bore", Takes::Feature(HOLES), "pivot bore"),
            must("toward", "toward the", Takes::One(SIDES), "left"),
        ],
    ),
    row(
        "clamp screw",
        On::Plate,
        "a screw from an edge across a slit",
        EDGES,
        HERE,
        &[
            must("thread", "thread", Takes::Thread, "5 BA"),
            must("clearance", "clearance hole", Takes::Size, "1/8"),
            must("across", "across the slit", Takes::Feature(&["slit"]), "clamp slit"),
        ],
    ),
    row(
        "section",
        On::Turned,
        "a length at one diameter; sections follow each other from the left end",
        &[],
        None,
        &[
            one_of("diameter", "diameter", Takes::Size, "3/8"),
            may("tapers_to", "tapers to", Takes::Size, "1/4", "the diameter at the right end"),
            one_of("thread", "or thread", Takes::Thread, "5 BA"),
            one_of("square", "or square", Takes::Size, "1/4"),
            one_of("hexagon", "or hexagon", Takes::Size, "5/16"),
            may(
                "length",
                "length",
                Takes::Size,
                "3/4",
                "empty: what the others leave of the length over all",
            ),
            may("offset", "axis offset by", Takes::Size, "3/16", "for an eccentric"),
            may("offset_at", "offset toward", Takes::Angle, "90°", "empty: 0°"),
        ],
    ),
    row(
        "groove",
        On::Turned,
        "turned round a section, placed by its left side",
        &[],
        Some("1/2 from left end"),
        &[
            must("diameter", "diameter at the bottom", Takes::Size, "1/4"),
            must("width", "width", Takes::Size, "1/16"),
        ],
    ),
    row(
        "recess",
        On::Turned,
        "turned out of an end, round a hub or not",
        &["left", "right"],
        None,
        &[
            must("diameter", "diameter", Takes::Size, "3/8"),
            may("hub", "round a hub of", Takes::Size, "3/16", "empty: flat to the middle"),
            must("depth", "depth", Takes::Size, "1/16"),
        ],
    ),
    row(
        "chamfer",
        On::Turned,
        "on one end of a section",
        &[],
        None,
        &[
            must("of", "of the section", Takes::Feature(&["section"]), "shank"),
            must("end", "at its", Takes::One(&["left", "right"]), "right"),
            must("size", "size", Takes::Size, "1/32"),
        ],
    ),
    row(
        "knurl",
        On::Turned,
        "all over a section",
        &[],
        None,
        &[
            must("over", "over the section", Takes::Feature(&["section"]), "shank"),
            must("pitch", "pitch", Takes::Size, "1/32"),
            must("pattern", "pattern", Takes::One(&["straight", "diamond"]), "diamond"),
        ],
    ),
    row(
        "flats",
        On::Turned,
        "milled on a turned part, placed by their left side",
        &[],
        Some("1/2 from left end"),
        &[
            must("across", "across the flats", Takes::Size, "1/4"),
            must("count", "how many", Takes::One(&["1", "2", "4", "6"]), "2"),
            must("length", "length", Takes::Size, "1/4"),
        ],
    ),
];
