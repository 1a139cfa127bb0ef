//! Where a new key or heading is usually written.

/// The headings of part and bench files, in the order they are usually written.
const HEADINGS: &[&str] = &[
    "body",
    "stock",
    "mill",
    "lathe",
    "rotary_table",
    "boring_head",
    "feature",
    "end_mill",
    "saw",
    "mate",
    "screwed",
    "equal",
    "chain",
    "wall",
    "geometry",
    "parted",
    "order",
];

/// Headings that a bench file has last; in a part file `stock` stands by the body.
const RACK: &[&str] = &["mill", "lathe", "rotary_table", "boring_head", "end_mill", "saw", "stock"];

/// Keys, in the order they are usually written; those not named come before `place`.
const KEYS: &[&str] = &[
    // the head of a part
    "part",
    "sheet",
    "unit",
    "material",
    "hands",
    "make",
    "holds_pressure",
    "bought",
    "usual_roles",
    "general_tolerance",
    // the head of a bench, and anything with a name
    "name",
    "edge_finder",
    "drills",
    "reamers",
    "taps",
    "dies",
    "collets",
    "would_buy",
    "aids",
    // what it is
    "kind",
    "face",
    "in",
    "form",
    "is",
    "role",
    // machines
    "speeds",
    "readout_step",
    "handwheel_pitch",
    "handwheel_divisions",
    "backlash",
    "depth_by",
    "depth_pitch",
    "depth_divisions",
    "travel_x",
    "travel_y",
    "travel_z",
    "column",
    "vice_width",
    "vice_depth",
    "power",
    "swing",
    "between_centres",
    "dial_step",
    "dial_reads",
    "tailstock_pitch",
    "tailstock_divisions",
    "ratio",
    "reads",
    "scale_grows",
    "bore",
    "least",
    "most",
    // what a feature needs
    "around",
    "holes",
    "pitch_circle",
    "first",
    "radius",
    "thread",
    "clearance",
    "size",
    "fit",
    "made_from",
    "fixed",
    "diameter",
    "width",
    "height",
    "thickness",
    "length",
    "leaves",
    "side",
    "centres",
    "from",
    "to",
    "middle",
    "along",
    "depth",
    "datum",
    "finish",
    "clears",
    "flute",
    "stick_out",
    "shank",
    "collar",
    "teeth",
    "flat",
    "round",
    "class",
    "in",
    "over",
    "into",
    "across",
    "toward",
    "within",
    "keeps",
    "pin",
    "made",
];

/// A rank by which a new key finds its place among those there.
pub(super) fn key_rank(key: &str) -> usize {
    match (key, KEYS.iter().position(|known| *known == key)) {
        ("place", _) => KEYS.len() + 1,
        (_, Some(rank)) => rank,
        (_, None) => KEYS.len(),
    }
}

/// The same for a heading, among the headings there.
pub(super) fn heading_rank(key: &str, is_bench: bool) -> usize {
    let list = if is_bench { RACK } else { HEADINGS };
    list.iter().position(|known| *known == key).unwrap_or(list.len())
}

/// Whether headings such as these are those of a bench file.
pub(super) fn is_bench<'a>(mut keys: impl Iterator<Item = &'a str>) -> bool {
    keys.all(|key| !matches!(key, "part" | "body" | "feature" | "mate" | "equal" | "unit"))
}
