//! The rules by which a size or a thread may become another, in one list.
//!
//! A row is what is printed when the rule decides: its name, what it says, and
//! where it comes from. The code that follows a rule stands in the module named
//! beside it and refers to it here; a new rule is one row, one use and one case
//! in `metric/tests/rules.rs`.

use crate::why::Why;

/// One rule.
#[derive(Debug, PartialEq, Eq)]
pub struct Rule {
    /// A few words for a list.
    pub name: &'static str,
    /// The rule as a sentence, printed with every choice it decides.
    pub because: &'static str,
    /// The published source, or `common practice`.
    pub source: &'static str,
}

macro_rules! rules {
    ($($(#[$doc:meta])* $id:ident: $name:literal, $because:literal, $source:literal;)*) => {
        $($(#[$doc])* pub static $id: Rule = Rule { name: $name, because: $because, source: $source };)*
        /// Every rule, in the order of the modules that follow them.
        pub static RULES: &[&Rule] = &[$(&$id),*];
    };
}

rules! {
    // holes
    /// See the row.
    DRILLED: "drilled hole", "a drilled hole takes the size of a drill", "common practice";
    /// See the row.
    REAMED: "reamed hole", "a reamed hole takes the size of a reamer, after a drill that leaves it its allowance",
        "published training table for reaming allowances";
    /// See the row.
    BORED: "bored hole", "a bored hole can be any size the boring tool reaches: a round one", "common practice";
    /// See the row.
    CHAIN_DRILLED: "chain drilled hole", "a hole wider than any drill or boring tool at hand is chain drilled inside its line, broken out and filed to a round size",
        "common practice";
    /// See the row.
    CLEARANCE: "clearance hole", "a clearance hole follows the screw that passes through it", "ISO 273:1979";
    // cutters
    /// See the row.
    SAWN: "saw cut", "a saw cut is as wide as the saw", "common practice";
    /// See the row.
    SLOT: "slot", "a slot is as wide as the end mill that cuts it in one pass", "common practice";
    /// See the row.
    SLOT_TWO_PASSES: "slot in two passes", "a slot that may move, or that no cutter owned is as wide as, can be cut in two passes beside each other",
        "common practice";
    /// See the row.
    SLOT_SIDES: "slot to size", "a slot held nearer than one cut comes is milled with a narrower cutter, each side to size by itself: one of its own width cuts wide where it pulls to a side",
        "common practice";
    /// See the row.
    COUNTERBORED: "counterbore", "a counterbore is as wide as the end mill that is plunged", "common practice";
    /// See the row.
    HEAD: "head of a screw", "a counterbore takes the head of the metric screw that replaces the drawing's: a socket cap head, knurled, the largest of the usual ones",
        "ISO 4762";
    // pins, corners and files
    /// See the row.
    HEAD_ROOM: "room for heads", "where hexagon heads or nuts have room on the drawing those of the new screws have it too: corner to corner, and up to an edge, a curved outline, a shoulder or the wall of a pocket",
        "ISO 272:1982 for metric heads; British Association heads, 1.75 diameters across their flats, a published page";
    /// See the row.
    SPANNER_ROOM: "room for spanners", "where the ring or socket that turns a hexagon head or nut has room on the drawing, that of the new screw has it too: beside the corners of its neighbour, up to a shoulder that rises from where the head stands, or to the wall of a pocket; it may overhang an edge that falls away, and where it has none on the drawing a box spanner from above turns the head",
        "GOST 13682-80, places for spanners, a published table; ISO 272:1982 for metric heads";
    /// See the row.
    PIN_METRIC: "metric taper pin", "an inch taper pin gives way to the metric one nearest it at the face that keeps 0.8 of its area in shear, and the hole to its 1:50 reamer",
        "ISO 2339:1986";
    /// See the row.
    FILED: "filed", "a size that is filed becomes the roundest number near the drawing, with its gauge or its shaft made to it",
        "common practice";
    /// See the row.
    KEY_KEPT: "key of a standard width", "the keyway is as wide as the key that goes into it, which is sold in this width: it stays, and the keyway of the shaft with it",
        "DIN 6885-1 for metric keys; inch keys from memory";
    /// See the row.
    KEY_GOES_IN: "room over the key", "the hub's keyway is no shallower than drawn, or the key would stand in its way", "common practice";
    /// See the row.
    PIN_KEPT: "taper pin kept", "the pin stays as drawn, with its own reamer", "the drawing";
    /// See the row.
    INSIDE_CORNER: "inside corner", "an inside corner has the radius of the end mill that goes round it", "common practice";
    // stock
    /// See the row.
    FLAT: "thickness from stock", "thickness is that of flat stock, whose faces need no cut", "common practice";
    /// See the row.
    BLACK: "black stock", "of black stock scale and the skin under it come off every face: of flats by their thickness and width, 0.025 in a side at the least, of rounds 1.6 % of the diameter a side", "a steel merchant's published least machining allowances for hot rolled flats; a bar merchant's published rule for rounds";
    /// See the row.
    BAR_WIDTH: "width of the bar", "a flat is as wide as the part, or wider by what cleans up its edges", "common practice";
    /// See the row.
    FACED: "faced from thicker stock", "thicker stock can be faced down, at the price of a whole face milled",
        "common practice";
    /// See the row.
    THIN_SHEET: "thin sheet", "a sheet thinner than jaws hold bows under the cutter as it is faced: it is bought as thick as it is wanted",
        "common practice";
    /// See the row.
    CAST: "as cast", "a size between faces that stay as cast is what the casting gives", "the drawing";
    /// See the row.
    FACED_CASTING: "faced from the casting", "a face of the casting that is cut comes to the roundest number near the drawing",
        "common practice";
    /// See the row.
    IN_THE_CASTING: "within the casting", "a face that is cut leaves the casting a clean cut of 0.5 mm, or all its allowance where that is less", "common practice";
    /// See the row.
    BAR: "diameter from bar", "the largest diameter can be that of the bar, which needs no cut", "common practice";
    /// See the row.
    BAR_LEFT: "bar left as it comes", "a part that keeps the shape of square or hexagon bar is made from bar of that size", "common practice";
    /// See the row.
    SPANNER: "spanner", "flats take the size of a spanner: those of ISO 272 before others", "ISO 272:1982";
    /// See the row.
    KNURLED: "knurl", "a knurl takes the pitch of a wheel that is made: 0.5, 0.6, 0.8, 1, 1.2 or 1.6 mm", "DIN 403";
    // setting
    /// See the row.
    SET: "set on the machine", "a size that is set on the machine becomes the roundest number near the drawing",
        "common practice";
    /// See the row.
    TURNED: "turned", "a turned size becomes the roundest number near the drawing", "common practice";
    /// See the row.
    PINNED: "pinned", "the person has chosen this size: no other is taken, and the rest is chosen around it", "the part file";
    /// See the row.
    ALREADY_MADE: "already made", "it is cut already: it stays as it measures, and the rest is chosen around it",
        "the part file";
    /// See the row.
    BESIDE_PRESSURE: "belongs to a pressure part", "it screws or fits into a part that holds pressure: it stays exactly as drawn, and the code in force and an inspector decide on any change",
        "common practice";
    /// See the row.
    HELD: "held", "the mechanism depends on this size: it may not leave its tolerance", "the drawing";
    // mates
    /// See the row.
    BAR_AS_SUPPLIED: "shaft from bar", "the shaft is bar as supplied: its class gives the fit at worst", "ISO 286-2:2010";
    /// See the row.
    BAR_FITTED: "shaft from bar, fitted", "the shaft is bar, measured and eased to the hole: its class alone does not promise the fit",
        "common practice";
    /// See the row.
    SHAFT_TURNED: "shaft turned to suit", "the shaft is turned to its class, or to the hole as measured", "common practice";
    /// See the row.
    SHAFT_FITTED: "shaft fitted", "the square or flat of the shaft is milled, and hole and shaft filed to each other",
        "common practice";
    /// See the row.
    MATE_FIXED: "mate already made", "the other part is already made and stays as it is", "the drawing";
    // threads
    /// See the row.
    THREAD_NEAR: "metric thread", "a thread becomes the metric one nearest in diameter, then in pitch, that keeps its core; taps to buy are of first choice",
        "common practice; ISO 262 for the choice";
    /// See the row.
    THREAD_STAYS: "thread kept", "a metric or a pipe thread, or one that is held, stays", "the drawing";
    /// See the row.
    CORE: "strength of a screw", "the screw keeps at least 0.8 of the tensile stress area it has on the drawing",
        "ISO 898-1 for the area; common practice for the share";
    /// See the row.
    THREE_THREADS: "engagement", "never fewer than three full threads", "published tapping guidance";
    /// See the row.
    THREAD_LENGTH: "length of thread", "a tapped hole has the length that its material asks (1 diameter in steel, 1.5 in iron, brass, bronze and copper, 2 in aluminium and plastics), or 0.9 of the areas that would strip on the drawing",
        "published tapping guidance; FED-STD-H28/2B for the areas, which are geometry alone; common practice for the share";
    /// See the row.
    SCREW_REACHES: "reach of a screw", "a screw has as much thread in its tapped hole as that must be long, or 0.9 of the areas that would strip on the drawings: both parts are looked at, and what the screw passes through",
        "published tapping guidance; FED-STD-H28/2B for the areas, which are geometry alone; common practice for the share";
    /// See the row.
    SHORT_THREAD: "short thread", "a thread shorter than three pitches is tapped fuller: ten in the hundred more than its material asks, as far as 77, which a drill of the thread's diameter less its pitch leaves",
        "published tapping page for going fuller below three pitches; ISO 2306 for the drill; common practice for the amount";
    // walls
    /// See the row.
    WALL_REAMED: "wall beside a reamed hole", "beside a reamed or bored hole stand a quarter of its diameter and 1 mm at least",
        "common practice";
    /// See the row.
    WALL_TAPPED: "wall beside a tapped hole", "beside a tapped hole stands half the thread's diameter at least",
        "common practice";
    /// See the row.
    WALL_SCREW: "screw from an edge", "the centre of a screw hole stands 1.5 diameters from the edge, 2 in soft metal and cast iron",
        "common practice";
    /// See the row.
    WALL_HOLES: "web between holes", "between two holes stand half the smaller diameter and 1 mm at least", "common practice";
    /// See the row.
    WALL_BUSH: "wall of a bush", "a bush of brass, bronze or gunmetal has a wall of 0.8 mm at least", "common practice";
    /// See the row.
    STRAP: "strap beside a bolt", "beside a bolt that lies along a strap stand 0.3 of its hole's diameter and 1 mm at least", "common practice";
    /// See the row.
    WALL_PLAIN: "wall", "at least 1 mm of metal is left", "common practice";
    /// See the row.
    WALL_AS_DRAWN: "wall as drawn", "the wall is thinner on the drawing than practice asks: it may not become thinner still",
        "the drawing";
    /// See the row.
    WALL_THINNED: "wall thinned", "no sizes keep this wall whole: it keeps 0.9 of what the drawing gives it, and 1 mm where it has that",
        "common practice";
    /// See the row.
    WALL_SAID: "wall as said", "the person says how thin this wall may be, whatever practice asks: cut it last and gently, and try whether it is stiff and strong enough",
        "the part file";
    /// See the row.
    SECTION_SHARE: "section", "a web, a thickness or the length of a section keeps 0.9 of what the drawing gives it: so a plate keeps 0.8 of its strength in bending, which goes with the square", "common practice";
    /// See the row.
    ROUND_STRENGTH: "strength of a round", "a round, a tube or a pin keeps 0.8 of its bending modulus, which goes with the third power of the diameter, and so more of its area",
        "elementary strength of materials; common practice for the share";
    /// See the row.
    ARM_STRENGTH: "strength of an arm", "an arm keeps 0.8 of its strength: thickness times the square of its width, and at an eye the area beside it",
        "elementary strength of materials; common practice for the share";
    /// See the row.
    SHOULDER: "shoulder", "a shoulder stays: 0.5 mm, or what the drawing has", "common practice";
    /// See the row.
    TAPER_KEPT: "taper", "a taper keeps its angle within a quarter of a degree on a side", "common practice";
    /// See the row.
    FLUSH: "flush", "a taper that runs flush into its neighbour stays flush", "the drawing";
    /// See the row.
    THREAD_ON: "thread on a rod", "a thread drawn within 0.1 mm of the section beside it is cut on the end of that: it stands no higher", "common practice";
    /// See the row.
    UNDERCUT: "undercut", "an undercut lies below the root of the thread that runs out in it", "common practice";
    /// See the row.
    IN_THE_BAR: "within the bar", "what is turned lies within the bar whose shape the part keeps", "elementary geometry";
    /// See the row.
    TWICE_GIVEN: "given twice", "the drawing gives this place twice, and both ways must still agree", "the drawing";
    /// See the row.
    ON_AXIS: "on the axis", "a hole that points at the axis of another on the drawing goes on doing so: beside it, it would break into its side", "the drawing";
    /// See the row.
    UPRIGHT: "upright side", "a side that runs along the edges of the work on the drawing goes on doing so: one that leans by a little is a setup more, and seen", "the drawing";
    /// See the row.
    CHAIN: "chain", "these sizes add up, and what they leave must stay as it is asked for", "the drawing";
    /// See the row.
    FIT: "fit", "hole and shaft keep the fit at the worst of their limits", "ISO 286-2:2010";
    /// See the row.
    FIT_TO_SHAFT: "fit to the shaft", "a fit to the shaft is had from a reamed hole as close and a shaft turned to it: the clearance is the same",
        "ISO 286-1:2010, the two systems of fits";
    /// See the row.
    REACH: "reach", "the cutter must reach as deep as the cut", "common practice";
}

/// The least share of the tensile stress area that a thread keeps (common practice: the
/// screws of models are chosen by looks and spanners, and few carry a fifth of what they
/// could).
pub const CORE_SHARE: (i128, i128) = (8, 10);

/// The least share of a round's bending modulus and of an arm's that is kept (common
/// practice: model parts are far stronger than they need be, and what is lost beyond a
/// fifth would be seen).
pub const STRENGTH_KEPT: f64 = 0.8;

/// The least share of a thickness or web that is kept (common practice): its square, what
/// a plate keeps in bending, is [`STRENGTH_KEPT`].
pub const SECTION_KEPT: (i128, i128) = (9, 10);

/// The least share of its stripping areas that a tapped hole keeps where it is shorter than
/// its material asks.
///
/// A joint carries what the weaker of its screw and its threads does. The screw keeps
/// [`CORE_SHARE`] of its own, so threads that keep as much lose the joint nothing further; a
/// tenth more is kept because the areas of FED-STD-H28/2B are geometry alone. The standards
/// that go on from them (ASME B1.1, ISO/TR 16224 and VDI 2230 after Alexander's "Analysis and
/// design of threaded assemblies") take them less for a hole that widens and for ridges that
/// bend, by factors that hang on the wall round the hole and on both metals: the same before
/// and after a change of thread, so they cancel in the share, but for the wall. How much is
/// kept in reserve for that is common practice.
pub const STRIPPING_KEPT: f64 = 0.9;

/// A thread may depart by this share of its major diameter (common practice).
pub const THREAD_DEPARTURE: (i128, i128) = (1, 4);

/// Percent of thread outside which no tapping drill is offered, whatever the aim.
pub const PERCENT_BOUNDS: (i128, i128) = (45, 85);

/// A thread of fewer pitches than this is tapped fuller (published tapping page: "thin
/// materials, say less than three thread pitches").
pub const SHORT_THREAD_PITCHES: i128 = 3;

/// By how much fuller (common practice).
pub const FULLER: i128 = 10;

/// No fuller than this is aimed at: what a drill of the major diameter less the pitch leaves
/// of a 60° thread, 1 / 1.299 (ISO 2306 has these drills).
pub const FULLEST: i128 = 77;

/// Percent of thread to aim at below M2.5 (common practice).
pub const SMALL_THREAD_PERCENT: (i128, i128) = (50, 60);

/// The rule that decided, where a chain of reasons names one.
pub fn decided(why: &Why) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| why.because.iter().any(|reason| reason.statement == rule.because))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The page that says how a metric part is chosen has every rule as it is.
    #[test]
    fn the_page_of_rules_is_true() {
        let page = include_str!("../../../../docs/metric.md");
        let rows = RULES.iter().map(|rule| format!("| {} | {} | {} |", rule.name, rule.because, rule.source));
        let lacking: Vec<String> = rows.filter(|row| !page.contains(row)).collect();
        assert!(lacking.is_empty(), "docs/metric.md lacks\n{}", lacking.join("\n"));
    }

    /// A plate that keeps 0.9 of its thickness keeps what every other section keeps.
    #[test]
    fn the_shares_agree() {
        let kept = SECTION_KEPT.0 as f64 / SECTION_KEPT.1 as f64;
        assert!(kept * kept >= STRENGTH_KEPT && kept.powi(3) < STRENGTH_KEPT);
        assert_eq!(CORE_SHARE.0 as f64 / CORE_SHARE.1 as f64, STRENGTH_KEPT);
        // Threads never become the weak place of a joint whose screw keeps its share.
        const { assert!(STRIPPING_KEPT > STRENGTH_KEPT) };
    }
}
