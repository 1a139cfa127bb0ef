//! What the entry page asks of each kind of thing: one list.
//!
//! A kind of feature or body is one row of [`FEATURES`] or [`BODIES`], with the
//! fields it has in the order in which a drawing is read. `tests/desk.rs` makes
//! each row's example and reads it, and holds the keys against those that the
//! reader asks for, so that a kind cannot be readable and not enterable.

mod features;

pub use features::FEATURES;
use features::{FACES, THICKNESS};

/// One field of a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ask {
    /// The key in the file.
    pub key: &'static str,
    /// What the trade calls it.
    pub label: &'static str,
    /// What may be written there.
    pub takes: Takes,
    /// Whether it must be there.
    pub need: Need,
    /// Such as a drawing would say.
    pub such_as: &'static str,
    /// What it means when it is left empty, or what else to know; may be empty.
    pub help: &'static str,
}

/// What may be written in a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// Any words.
    Words,
    /// A size, which may have a role and a tolerance.
    Size,
    /// A length and nothing more.
    Length,
    /// Lengths, one after another.
    Lengths,
    /// The name of a thread.
    Thread,
    /// The name of a taper pin.
    Pin,
    /// An angle.
    Angle,
    /// A whole number.
    Count,
    /// Yes or no.
    YesNo,
    /// One of a few words; where there are none, one of a published table's.
    One(&'static [&'static str]),
    /// Any of a few words.
    Any(&'static [&'static str]),
    /// A feature of one of these kinds; of any kind where none is named.
    Feature(&'static [&'static str]),
    /// What the outline runs round: features of these kinds, in order.
    Around(&'static [&'static str]),
    /// Statements of place.
    Place,
    /// Dimensions by name.
    Dimensions,
    /// Lines of words, one after another.
    Lines,
    /// A material by the name of the published table.
    Material,
    /// A fit.
    Fit,
}

impl Takes {
    /// Whether a role and a tolerance may stand beside it.
    pub(super) const fn has_a_role(self) -> bool {
        matches!(self, Self::Size | Self::Thread | Self::Pin | Self::Place)
    }
}

/// Whether a field must be filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Nothing can be drawn without it.
    Must,
    /// One of those that say this must be filled.
    OneOf,
    /// It may be left empty.
    May,
}

/// A kind of feature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FeatureAsk {
    /// The word in the file and on the page.
    pub kind: &'static str,
    /// The bodies it is cut in.
    pub on: On,
    /// What it is, in a few words, for choosing it.
    pub what: &'static str,
    /// The fields of its size.
    pub fields: &'static [Ask],
    /// The faces it may be cut from, the usual one first; none where that says nothing.
    pub faces: &'static [&'static str],
    /// Whether its place is asked for, and such as; none where it lies by itself.
    pub place: Option<&'static str>,
}

/// The bodies that have a kind of feature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum On {
    /// Plates and blocks.
    Plate,
    /// Turned parts.
    Turned,
    /// Both.
    Either,
}

/// A kind of body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BodyAsk {
    /// The word in the file and on the page.
    pub kind: &'static str,
    /// What it is, in a few words, for choosing it.
    pub what: &'static str,
    /// The fields it has.
    pub fields: &'static [Ask],
}

const fn must(key: &'static str, label: &'static str, takes: Takes, such_as: &'static str) -> Ask {
    Ask { key, label, takes, need: Need::Must, such_as, help: "" }
}

const fn one_of(key: &'static str, label: &'static str, takes: Takes, such_as: &'static str) -> Ask {
    Ask { key, label, takes, need: Need::OneOf, such_as, help: "" }
}

const fn may(
    key: &'static str,
    label: &'static str,
    takes: Takes,
    such_as: &'static str,
    help: &'static str,
) -> Ask {
    Ask { key, label, takes, need: Need::May, such_as, help }
}

/// Every kind of body.
pub const BODIES: &[BodyAsk] = &[
    BodyAsk {
        kind: "rectangle",
        what: "a plate or block with square corners",
        fields: &[
            must("width", "width", Takes::Size, "2"),
            must("height", "height", Takes::Size, "1"),
            THICKNESS,
            may(
                "datum",
                "datum",
                Takes::One(&["bottom left", "bottom right", "top left", "top right", "centre"]),
                "bottom left",
                "empty: bottom left, supposed",
            ),
        ],
    },
    BodyAsk {
        kind: "disc",
        what: "a round plate, its datum in the middle",
        fields: &[must("diameter", "diameter", Takes::Size, "2 5/8"), THICKNESS],
    },
    BodyAsk {
        kind: "bosses",
        what: "round ends joined by flanks tangent to both: a lever, a link",
        fields: &[must("around", "bosses, anticlockwise", Takes::Around(&["boss"]), "pivot boss"), THICKNESS],
    },
    BodyAsk {
        kind: "outline",
        what: "any outline of corners, round ends and arcs",
        fields: &[
            must(
                "around",
                "corners and bosses, anticlockwise",
                Takes::Around(&["corner", "boss"]),
                "corner a",
            ),
            THICKNESS,
        ],
    },
    BodyAsk {
        kind: "turned",
        what: "turned from bar, its sections from the left end",
        fields: &[may("length", "length over all", Takes::Size, "2 1/4", "empty: the sections added up")],
    },
];

/// What is asked of the part as a whole.
pub const PART: &[Ask] = &[
    must("part", "name of the part", Takes::Words, "Valve lever"),
    may("sheet", "published sheet", Takes::Words, "sheet 7", ""),
    may(
        "unit",
        "bare numbers are",
        Takes::One(&["inch", "mm"]),
        "inch",
        "empty: every length says its own unit",
    ),
    may("material", "material", Takes::Material, "mild steel", "empty: mild steel, supposed"),
    may(
        "harden",
        "hardened, and let down to",
        Takes::One(&["straw", "brown", "purple", "blue"]),
        "straw",
        "silver steel or gauge plate; empty: left soft",
    ),
    may(
        "lapping",
        "left for lapping",
        Takes::Length,
        "0.05 mm",
        "on the diameter of what is turned or bored to fit closely and lapped afterwards",
    ),
    may(
        "turned",
        "turned",
        Takes::One(&["in one holding", "where it stays"]),
        "in one holding",
        "where it stays: used in the chuck it is turned in; empty: as is best",
    ),
    may("make", "how many", Takes::Count, "1", "of each hand; empty: 1"),
    may("hands", "hands, the drawn one first", Takes::Any(&["right", "left"]), "right", "empty: only one"),
    may("holds_pressure", "holds pressure", Takes::YesNo, "true", "yes: its sizes are never changed"),
    may(
        "bought",
        "bought in",
        Takes::YesNo,
        "true",
        "yes: it is fixed in everything, and nothing of it is cut",
    ),
    may(
        "general_tolerance",
        "general tolerance",
        Takes::One(&["fine", "medium", "coarse"]),
        "coarse",
        "ISO 2768-1; empty: coarse, supposed",
    ),
    may(
        "usual_roles",
        "usual roles hold",
        Takes::YesNo,
        "true",
        "yes: holes, slots and thicknesses suit, the rest is free",
    ),
];

/// What is asked of the stock.
pub const STOCK: &[Ask] = &[
    must(
        "form",
        "form",
        Takes::One(&["plate", "flat bar", "square bar", "round bar", "hexagon bar", "casting"]),
        "flat bar",
    ),
    may("size", "size", Takes::Lengths, "1", "width and thickness of a flat bar; one size of the others"),
    may(
        "surface",
        "black or bright",
        Takes::One(&["bright", "black"]),
        "black",
        "black is hot rolled, with its scale",
    ),
    may("allowance", "left to clean up", Takes::Length, "1/16", "on each face that is cut"),
    may("machined", "faces cut", Takes::Any(FACES), "front", "of a casting; the others stay as cast"),
];

/// What is asked of a mate.
pub const MATE: &[Ask] = &[
    must("name", "what it is", Takes::Words, "valve rod pin"),
    must("in", "in or on", Takes::Feature(&[]), "pivot bore"),
    must("size", "its size there", Takes::Size, "3/16"),
    must("fit", "fit", Takes::Fit, "sliding"),
    may("made_from", "made from", Takes::Words, "silver steel", "where it follows the rack"),
    may("fixed", "already made", Takes::YesNo, "true", "yes: it cannot follow"),
    may(
        "with",
        "of which part",
        Takes::Words,
        "Valve rod pin: shank",
        "the part of the project, and its feature",
    ),
];

/// What is asked of a thread that another part screws into or on to.
pub const SCREWED: &[Ask] = &[
    must("in", "its thread", Takes::Feature(&["tapped hole", "clamp screw", "section"]), "spring anchor"),
    must("with", "of which part", Takes::Words, "Spring post: thread"),
];

/// What is asked of the paper sheet beneath.
pub const SCAN: &[Ask] = &[
    must("image", "image", Takes::Words, "sheet-7.png"),
    may(
        "known",
        "known dimensions",
        Takes::Lines,
        "1 27/32 across from 412, 380 to 1120, 384",
        "they square and scale the sheet; one across and one up at least",
    ),
    may(
        "spots",
        "found on it",
        Takes::Lines,
        "rod boss at 1120, 384",
        "features, and where they are on the sheet",
    ),
];

/// What is asked of sizes that stay equal.
pub const EQUAL: &[Ask] = &[must("dimensions", "dimensions", Takes::Dimensions, "pivot boss: radius")];

/// What is asked of sizes that must add up.
pub const CHAIN: &[Ask] = &[
    must("name", "what it is", Takes::Words, "end float"),
    must("adds", "adds", Takes::Lines, "pivot boss: radius"),
    may("less", "less", Takes::Lines, "2 × rod boss: radius", "taken off; of another part as `PART: SIZE`"),
    may("least", "leaves at least", Takes::Length, "0.05 mm", "least, most or both"),
    may("most", "leaves at most", Takes::Length, "0.2 mm", "equal to the least: exactly that"),
];

/// What is asked of a wall whose least is said.
pub const WALL: &[Ask] = &[
    must("between", "between", Takes::Lines, "pivot bore"),
    must("least", "at least", Takes::Length, "0.8 mm"),
];

/// What is asked of what is flat, square, parallel or runs true.
pub const GEOMETRY: &[Ask] = &[
    must(
        "keeps",
        "keeps",
        Takes::One(&["flatness", "squareness", "parallelism", "concentricity", "run-out"]),
        "squareness",
    ),
    must("of", "what keeps it", Takes::Words, "pivot bore"),
    may(
        "to",
        "measured from",
        Takes::Words,
        "back face",
        "what the datum letter stands at; empty for flatness",
    ),
    must("within", "within", Takes::Length, "0.02 mm"),
];

/// What is asked of a block that is parted through a bore.
pub const PARTED: &[Ask] = &[
    must("through", "through", Takes::Feature(&["hole"]), "shaft bore"),
    must("cap", "its cap is at", Takes::One(&["top", "bottom", "left", "right"]), "top"),
    must("bolts", "held by", Takes::Lines, "left bolt"),
    may("shim", "shim", Takes::Length, "0.1 mm", "in the joint while it is bored; taken out when it is worn"),
];

/// The row of a kind of feature.
pub fn feature(kind: &str) -> Option<&'static FeatureAsk> {
    FEATURES.iter().find(|row| row.kind.eq_ignore_ascii_case(kind.trim()))
}

/// The row of a kind of body.
pub fn body(kind: &str) -> Option<&'static BodyAsk> {
    BODIES.iter().find(|row| row.kind.eq_ignore_ascii_case(kind.trim()))
}

/// The words for every kind of feature.
pub const KIND_WORDS: [&str; FEATURES.len()] = {
    let mut words = [""; FEATURES.len()];
    let mut index = 0;
    while index < FEATURES.len() {
        words[index] = FEATURES[index].kind;
        index += 1;
    }
    words
};

/// `a` to `z`, then `aa`: what tells things of one kind apart until they are named.
pub(super) fn letters(n: usize) -> String {
    let last = char::from(b'a' + (n % 26) as u8);
    if n < 26 { last.to_string() } else { format!("{}{last}", letters(n / 26 - 1)) }
}
