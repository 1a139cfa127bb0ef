//! The ways parts are joined, worked on together, and heated: one row each.
//!
//! Temperatures are what the work is brought to, and where a joint lets go. They decide
//! what may be hot after what, and are wide apart: a few tens of degrees change nothing.
//! Minutes are estimates from memory.

use crate::document::{meant, nearest_word};
use crate::drawing::Share;
use crate::problem::Problem;

use super::Apart;

/// Where a task is done; the work is carried from one to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The lathe.
    Lathe,
    /// The mill, with its rotary table.
    Mill,
    /// The drilling machine.
    Drill,
    /// The bench and its vice.
    Bench,
    /// Where there is a flame.
    Hearth,
}

impl Place {
    /// Every place.
    pub const ALL: [Self; 5] = [Self::Lathe, Self::Mill, Self::Drill, Self::Bench, Self::Hearth];

    /// As a file names it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lathe => "lathe",
            Self::Mill => "mill",
            Self::Drill => "drilling machine",
            Self::Bench => "bench",
            Self::Hearth => "hearth",
        }
    }
}

/// One way of joining parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct How {
    /// As a file says it: `pressed`.
    pub word: &'static str,
    /// As an order says it: `press together`.
    pub order: &'static str,
    /// As a trap says it: `pressing together`.
    pub doing: &'static str,
    /// Where.
    pub place: Place,
    /// Whether it comes apart again, where nobody says.
    pub apart: Apart,
    /// What the parts are heated to for it.
    pub heat_c: Option<u32>,
    /// Above this it lets go; `None` where heat alone does not undo it.
    pub lets_go_c: Option<u32>,
    /// What is cut with it, and how much of its features that leaves to it.
    pub cuts: Option<(&'static str, Share)>,
    /// What to set up for it.
    pub minutes: u64,
    /// A caution to print beside it; empty where there is none.
    pub caution: &'static str,
}

const fn how(
    word: &'static str,
    order: &'static str,
    doing: &'static str,
    place: Place,
    apart: Apart,
    minutes: u64,
) -> How {
    How { word, order, doing, place, apart, heat_c: None, lets_go_c: None, cuts: None, minutes, caution: "" }
}

/// The way of joining whose hole is drilled with the parts together.
pub const PINNED: &str = "pinned";

/// Every way of joining that is known. All temperatures are from memory; the solders are
/// silver 55 % without cadmium (630 to 660 °C), brass spelter (875 to 895 °C) and tin and lead
/// 60/40 (183 to 190 °C).
pub const HOWS: &[How] = &[
    How {
        lets_go_c: Some(400),
        ..how("pressed", "press together", "pressing together", Place::Bench, Apart::Stays, 10)
    },
    How {
        heat_c: Some(200),
        lets_go_c: Some(400),
        caution: "A shrunk part grips in a second: try the way in cold, and have the stop ready. Warm the outer part evenly, in an \
                  oven or on a plate, not with a flame on one side; hold it with tongs or dry leather, it burns without a \
                  glow; keep oil and wax from it. Let it cool by itself: water warps it.",
        ..how("shrunk", "shrink together", "shrinking together", Place::Hearth, Apart::Stays, 20)
    },
    How {
        lets_go_c: Some(150),
        caution: "Degrease both parts, and let the adhesive set as long as its maker says before the work is moved.",
        ..how("adhesive", "stick together with adhesive", "sticking together", Place::Bench, Apart::Stays, 15)
    },
    How {
        heat_c: Some(680),
        lets_go_c: Some(630),
        caution: "Pickle and wash off the flux; no cadmium solder without good air.",
        ..how(
            "silver soldered",
            "silver solder together",
            "silver soldering",
            Place::Hearth,
            Apart::Stays,
            40,
        )
    },
    How {
        heat_c: Some(910),
        lets_go_c: Some(875),
        ..how("brazed", "braze together", "brazing", Place::Hearth, Apart::Stays, 40)
    },
    How {
        heat_c: Some(230),
        lets_go_c: Some(183),
        ..how("soft soldered", "soft solder together", "soft soldering", Place::Hearth, Apart::Stays, 20)
    },
    how("screwed", "screw together", "screwing together", Place::Bench, Apart::Comes, 5),
    How {
        cuts: Some(("drill and ream together", Share::Whole)),
        caution: "Mark both parts before the pin hole is drilled: no other pair will line up.",
        ..how(PINNED, "drill, ream and pin together", "pinning together", Place::Drill, Apart::Comes, 25)
    },
    how("keyed", "key together", "keying together", Place::Bench, Apart::Comes, 15),
    how("riveted", "rivet together", "riveting together", Place::Bench, Apart::Stays, 15),
    how("put together", "put together", "putting together", Place::Bench, Apart::Comes, 5),
];

/// Words that mean one of [`HOWS`].
const ALSO: &[(&str, &str)] =
    &[("running fit", "put together"), ("sliding fit", "put together"), ("retained", "adhesive")];

/// One kind of work on parts that are together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doing {
    /// As a file says it: `drill and ream`.
    pub word: &'static str,
    /// Where.
    pub place: Place,
    /// How much of the features it is done to is left to it; `None` where nothing of them is.
    pub leaves: Option<Share>,
    /// Minutes.
    pub minutes: u64,
}

const fn doing(word: &'static str, place: Place, leaves: Option<Share>, minutes: u64) -> Doing {
    Doing { word, place, leaves, minutes }
}

/// Every kind of work in assembly that is known.
pub const DOINGS: &[Doing] = &[
    doing("drill", Place::Drill, Some(Share::Whole), 10),
    doing("drill and ream", Place::Drill, Some(Share::Whole), 20),
    doing("drill and tap", Place::Drill, Some(Share::Whole), 20),
    doing("drill and taper ream", Place::Drill, Some(Share::Whole), 25),
    doing("ream", Place::Drill, Some(Share::Finish), 10),
    doing("taper ream", Place::Drill, Some(Share::Finish), 15),
    doing("tap", Place::Bench, Some(Share::Finish), 10),
    doing("bore", Place::Lathe, Some(Share::Finish), 30),
    doing("mill", Place::Mill, Some(Share::Whole), 30),
    doing("file", Place::Bench, Some(Share::Whole), 30),
    doing("try", Place::Bench, None, 10),
];

/// One kind of heat treatment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heat {
    /// As a file says it: `harden`.
    pub word: &'static str,
    /// What the part is brought to.
    pub heat_c: u32,
    /// Whether the part is hard afterwards.
    pub hardens: bool,
    /// Minutes.
    pub minutes: u64,
}

/// Every heat treatment that is known; for silver steel 770 to 780 °C and tempering at 180 to
/// 290 °C, the rest from memory.
pub const HEATS: &[Heat] = &[
    Heat { word: "harden", heat_c: 780, hardens: true, minutes: 30 },
    Heat { word: "harden and temper", heat_c: 780, hardens: true, minutes: 50 },
    Heat { word: "case harden", heat_c: 900, hardens: true, minutes: 60 },
    Heat { word: "temper", heat_c: 230, hardens: false, minutes: 30 },
    Heat { word: "blue", heat_c: 290, hardens: false, minutes: 20 },
    Heat { word: "anneal", heat_c: 750, hardens: false, minutes: 40 },
    Heat { word: "stress relieve", heat_c: 600, hardens: false, minutes: 60 },
];

/// Above this a hardened part is drawn softer than any use wants (blue is 290 °C). From memory.
pub const SOFTENS_C: u32 = 300;

/// The row of a way of joining.
///
/// # Errors
///
/// A [`Problem`] with the nearest that is known.
pub fn how_named(text: &str) -> Result<&'static How, Problem> {
    let said = ALSO.iter().find(|(word, _)| *word == text).map_or(text, |(_, means)| means);
    let words = HOWS.iter().map(|h| h.word).chain(ALSO.iter().map(|(word, _)| *word));
    HOWS.iter().find(|h| h.word == said).ok_or_else(|| unknown(text, "way of joining parts", words))
}

/// The row of a kind of work.
///
/// # Errors
///
/// A [`Problem`] with the nearest that is known.
pub fn doing_named(text: &str) -> Result<&'static Doing, Problem> {
    let found = DOINGS.iter().find(|d| d.word == text);
    found.ok_or_else(|| unknown(text, "work on parts that are together", DOINGS.iter().map(|d| d.word)))
}

/// The row of a heat treatment.
///
/// # Errors
///
/// A [`Problem`] with the nearest that is known.
pub fn heat_named(text: &str) -> Result<&'static Heat, Problem> {
    let found = HEATS.iter().find(|h| h.word == text);
    found.ok_or_else(|| unknown(text, "heat treatment", HEATS.iter().map(|h| h.word)))
}

/// A place by its name.
///
/// # Errors
///
/// A [`Problem`] with the nearest that is known.
pub fn place_named(text: &str) -> Result<Place, Problem> {
    let found = Place::ALL.into_iter().find(|place| place.word() == text);
    found.ok_or_else(|| unknown(text, "place", Place::ALL.into_iter().map(Place::word)))
}

fn unknown<'a>(text: &str, what: &str, known: impl Iterator<Item = &'a str> + Clone) -> Problem {
    let near = nearest_word(text, known.clone());
    let all: Vec<String> = known.map(|word| format!("`{word}`")).collect();
    Problem::new(format!("`{text}` is no known {what}"))
        .mend(meant(near, format!("write one of {}", all.join(", "))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_joined_hot_holds_below_its_own_heat_only() {
        for how in HOWS {
            if let (Some(heat), Some(lets_go)) = (how.heat_c, how.lets_go_c)
                && how.word != "shrunk"
            {
                assert!(heat > lets_go, "{}: a solder flows where the joint lets go", how.word);
            }
        }
        // What a second heat may follow: each solder below the one before it.
        let lets_go = |word| how_named(word).unwrap().lets_go_c.unwrap();
        assert!(lets_go("brazed") > lets_go("silver soldered"));
        assert!(lets_go("silver soldered") > lets_go("soft soldered"));
        assert!(lets_go("soft soldered") > lets_go("adhesive"));
        assert!(heat_named("harden").unwrap().heat_c > lets_go("silver soldered"));
    }

    #[test]
    fn a_slip_of_the_pen_is_answered_with_the_nearest_word() {
        assert!(how_named("presed").unwrap_err().to_string().contains("did you mean `pressed`?"));
        assert!(doing_named("drill and raem").unwrap_err().to_string().contains("`drill and ream`"));
        assert!(heat_named("hardn").unwrap_err().to_string().contains("`harden`"));
        assert!(place_named("moon").unwrap_err().to_string().contains("one of `lathe`"));
        assert_eq!(how_named("running fit").unwrap().word, "put together");
    }
}
