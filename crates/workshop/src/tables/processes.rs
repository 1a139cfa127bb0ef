//! What a hobby shop's processes take and how near they come: minutes, position, size,
//! reach; ways of locating and holding; and the lengths that practice sets.
//!
//! No standard prints these figures. They stand in `tables/processes/`, each with where
//! it comes from, so that a practitioner can read and correct them in one place.

use std::sync::LazyLock;

use num_rational::Ratio;

use super::fits;
use super::near::{nearest, quoted};
use super::rows::{Row, rows};
use super::source::Source;
use crate::measure::Length;
use crate::problem::Problem;

/// One way of cutting or preparing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Process {
    /// In the trade's words: `drill`, `mill a slot`.
    pub name: &'static str,
    /// Minutes at the work, however long the cut.
    pub minutes: u64,
    /// Minutes for each 100 mm of cut, beside those.
    pub minutes_per_100_mm: u64,
    /// Minutes for each square centimetre that a hand tool brings to size, beside those.
    pub minutes_per_cm2: u64,
    /// How far the cut may stand from where it was put, either way; none where it
    /// follows what is there, as a reamer does.
    pub position: Option<Length>,
    /// How near its size comes, either way.
    pub size: Option<Length>,
    /// How deep it goes, in diameters of the tool.
    pub reach: Option<Ratio<i128>>,
    /// Where the figures come from.
    pub source: Source,
}

/// One way of finding where the work is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Locating {
    /// How far off it may be, either way, the fit aside.
    pub error: Length,
    /// The fit whose clearance lets the work lie to one side.
    pub fit: Option<&'static str>,
    /// Where the figure comes from.
    pub source: Source,
}

/// One way of holding the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holding {
    /// Minutes to set it up.
    pub minutes: u64,
    /// The least metal to hold on to.
    pub least_grip: Length,
    /// The least part of what stands out of the jaws that must be in them.
    pub share: Option<Ratio<i128>>,
    /// Where the figures come from.
    pub source: Source,
}

/// How true a way of cutting or holding brings the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trueness {
    /// Its name in the table: `parallels`, `drill`.
    pub what: &'static str,
    /// How far out over 100 mm.
    per_100_mm: Length,
    /// How far it may lift across what it sits on.
    lift: Length,
    /// How far out of flat over 100 mm; none where nothing flat is made.
    flat_per_100_mm: Option<Length>,
    /// Where the figures come from.
    pub source: Source,
}

impl Trueness {
    /// How far out it may be over so much length, of work that sits on so much; not nought.
    pub fn out(&self, over: Length, sits_on: Length) -> Length {
        let lift = if over < sits_on { self.lift.scaled(over.ratio_to(sits_on)) } else { self.lift };
        self.per_100_mm.scaled(over.ratio_to(Length::mm(100))) + lift
    }

    /// How far out of flat over so much length.
    pub fn flat(&self, over: Length) -> Option<Length> {
        self.flat_per_100_mm.map(|flat| flat.scaled(over.ratio_to(Length::mm(100))))
    }
}

/// How true a way of cutting or holding is; none for what makes nothing that could be.
pub fn trueness(what: &str) -> Option<&'static Trueness> {
    static TABLE: LazyLock<Vec<Trueness>> = LazyLock::new(|| {
        let of = |row: &'static Row| Trueness {
            what: row.text("what"),
            per_100_mm: row.length("out_per_100_mm"),
            lift: row.length("lift_mm"),
            flat_per_100_mm: row.length_if_any("flat_per_100_mm"),
            source: row.source(),
        };
        static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("processes/trueness.csv"));
        ROWS.iter().map(of).collect()
    });
    TABLE.iter().find(|row| row.what == what)
}

impl Process {
    /// Minutes for a cut of some length, whole ones.
    pub fn minutes_for(&self, cut: Length) -> u64 {
        let along = (cut.as_mm() * self.minutes_per_100_mm as f64 / 100.0).ceil();
        self.minutes + along.max(0.0) as u64
    }

    /// Minutes by hand for a cut so long through metal so thick, whole ones.
    pub fn minutes_by_hand(&self, cut: Length, thick: Length) -> u64 {
        let square_cm = cut.as_mm() * thick.as_mm() / 100.0;
        self.minutes + (square_cm * self.minutes_per_cm2 as f64).ceil().max(0.0) as u64
    }

    /// Whether a tool of this diameter goes through so much metal.
    pub fn reaches(&self, diameter: Length, metal: Length) -> bool {
        self.reach.is_none_or(|times| metal <= diameter.scaled(times))
    }
}

impl Locating {
    /// How far off it may be at a bore or edge of this size: with half the greatest
    /// clearance of its fit, which lies all to one side at the worst.
    pub fn at(&self, size: Length) -> Length {
        let fit = self.fit.and_then(|fit| fits::fit(fit, size).ok());
        self.error + fit.map_or(Length::ZERO, |fit| fit.greatest_clearance().half())
    }
}

static PROCESSES: LazyLock<Vec<Process>> = LazyLock::new(|| {
    let of = |row: &'static Row| Process {
        name: row.text("process"),
        minutes: row.whole("minutes").into(),
        minutes_per_100_mm: row.whole("minutes_per_100_mm").into(),
        minutes_per_cm2: row.whole("minutes_per_cm2").into(),
        position: row.length_if_any("position_mm"),
        size: row.length_if_any("size_mm"),
        reach: some(row, "reach"),
        source: row.source(),
    };
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("processes/cuts.csv"));
    ROWS.iter().map(of).collect()
});

static HOLDINGS: LazyLock<Vec<(&str, Holding)>> = LazyLock::new(|| {
    let of = |row: &'static Row| {
        let holding = Holding {
            minutes: row.whole("minutes").into(),
            least_grip: row.length("least_grip_mm"),
            share: some(row, "share"),
            source: row.source(),
        };
        (row.text("held"), holding)
    };
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("processes/holding.csv"));
    ROWS.iter().map(of).collect()
});

/// A process by its name.
///
/// # Panics
///
/// When the table has no such row: the names are the program's own.
pub fn process(name: &str) -> &'static Process {
    PROCESSES.iter().find(|row| row.name == name).unwrap_or_else(|| missing("cuts", name))
}

/// A process by a name that a person gave.
///
/// # Errors
///
/// A [`Problem`] with the nearest names.
pub fn process_named(name: &str) -> Result<&'static Process, Problem> {
    let found = PROCESSES.iter().find(|row| row.name == name.trim());
    found.ok_or_else(|| unknown("kind of work", name, PROCESSES.iter().map(|row| row.name)))
}

/// A way of holding by a name that a person gave.
///
/// # Errors
///
/// A [`Problem`] with the nearest names.
pub fn holding_named(name: &str) -> Result<(&'static str, &'static Holding), Problem> {
    let found = HOLDINGS.iter().find(|row| row.0 == name.trim());
    let known = HOLDINGS.iter().map(|row| row.0);
    found.map(|(held, row)| (*held, row)).ok_or_else(|| unknown("way of holding", name, known))
}

fn unknown(what: &str, name: &str, known: impl Iterator<Item = &'static str>) -> Problem {
    let near: Vec<String> = nearest(name, known).into_iter().map(|name| format!("`{name}`")).collect();
    Problem::new(format!("no {what} is called {}", quoted(name)))
        .why("minutes are counted for what the tables name")
        .mend(format!("near it are {}", near.join(", ")))
}

/// A way of locating by its name.
///
/// # Panics
///
/// When the table has no such row: the names are the program's own.
pub fn locating(way: &str) -> &'static Locating {
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("processes/locating.csv"));
    static TABLE: LazyLock<Vec<(&str, Locating)>> = LazyLock::new(|| {
        let of = |row: &'static Row| {
            let fit = Some(row.text("fit")).filter(|fit| !fit.is_empty());
            (row.text("way"), Locating { error: row.length("error_mm"), fit, source: row.source() })
        };
        ROWS.iter().map(of).collect()
    });
    TABLE.iter().find(|row| row.0 == way).map_or_else(|| missing("locating", way), |row| &row.1)
}

/// A way of holding by its name.
///
/// # Panics
///
/// When the table has no such row: the names are the program's own.
pub fn holding(held: &str) -> &'static Holding {
    HOLDINGS.iter().find(|row| row.0 == held).map_or_else(|| missing("holding", held), |row| &row.1)
}

/// How far work may stand out, in diameters, before more than this has to steady it.
///
/// # Panics
///
/// When the table has no such row: the names are the program's own.
pub fn overhang(steadied_by: &str) -> Ratio<i128> {
    static TABLE: LazyLock<Vec<(String, Ratio<i128>)>> = LazyLock::new(|| {
        let rows = rows!("processes/overhang.csv");
        rows.iter().map(|row| (row.text("steadied_by").to_owned(), row.number("diameters"))).collect()
    });
    TABLE
        .iter()
        .find(|row| row.0 == steadied_by)
        .map_or_else(|| missing("overhang", steadied_by), |row| row.1)
}

/// A kind of turned work both ends of which are roughed before either is finished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AllOver {
    /// Which.
    pub work: &'static str,
    /// The least length over all, in widths of the widest section.
    pub diameters: Ratio<i128>,
    /// The coarsest grade of a hole, its shaft one finer, that asks for it.
    pub grade: u32,
    /// Why, to follow a colon.
    pub because: &'static str,
    /// Where it comes from.
    pub source: Source,
}

/// The work that is roughed all over first, in the order in which it is looked for.
pub fn rough_all_over() -> &'static [AllOver] {
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("processes/rough_all_over.csv"));
    static TABLE: LazyLock<Vec<AllOver>> = LazyLock::new(|| {
        let of = |row: &'static Row| AllOver {
            work: row.text("work"),
            diameters: row.number("diameters"),
            grade: row.whole("grade"),
            because: row.text("because"),
            source: row.source(),
        };
        ROWS.iter().map(of).collect()
    });
    &TABLE
}

/// A length that practice sets, by its name.
///
/// # Panics
///
/// When the table has no such row: the names are the program's own.
pub fn limit(name: &str) -> Length {
    static TABLE: LazyLock<Vec<(String, Length)>> = LazyLock::new(|| {
        let rows = rows!("processes/limits.csv");
        rows.iter().map(|row| (row.text("limit").to_owned(), row.length("value_mm"))).collect()
    });
    TABLE.iter().find(|row| row.0 == name).map_or_else(|| missing("limits", name), |row| row.1)
}

/// The tallest work that stands firm on edge in jaws so deep: as much of it as they are deep
/// is gripped, and that must be its least share of the whole.
pub fn stands_firm(jaws: Length) -> Length {
    let share = holding("vice on edge").share.filter(|share| *share.numer() > 0);
    jaws.scaled(share.unwrap_or_else(|| Ratio::from_integer(1)).recip())
}

fn some(row: &Row, column: &str) -> Option<Ratio<i128>> {
    (!row.text(column).is_empty()).then(|| row.number(column))
}

fn missing(table: &str, name: &str) -> ! {
    panic!("tables/processes/{table}.csv has no row `{name}`")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten diameters of a 2 mm drill are 20 mm, and no more.
    #[test]
    fn a_tool_reaches_as_many_diameters_as_its_row_says() {
        let drill = process("drill");
        assert!(drill.reaches(Length::mm(2), Length::mm(20)));
        assert!(!drill.reaches(Length::mm(2), Length::microns(20_001)));
        assert!(process("counterbore").reaches(Length::mm(2), Length::mm(500)), "no row, no end");
    }

    /// A quarter of 100 mm is 25 mm, as deep as the jaws.
    #[test]
    fn work_stands_firm_as_long_as_its_share_is_gripped() {
        assert_eq!(stands_firm(limit("jaw depth")), Length::mm(100));
    }

    #[test]
    fn a_long_cut_takes_its_minutes_by_the_length() {
        let saw = process("saw to a line");
        assert_eq!(saw.minutes_for(Length::mm(250)), saw.minutes + 25);
        assert_eq!(process("drill").minutes_for(Length::mm(250)), 3);
    }

    /// ISO 286-2 at 8 mm: H7 is +0.015 and h6 is −0.009, so a dowel lies off by at most
    /// half of 0.024.
    #[test]
    fn a_dowel_lies_off_by_half_its_clearance() {
        let dowels = locating("two dowels");
        assert_eq!(dowels.at(Length::mm(8)), dowels.error + Length::microns(12));
        let finder = locating("edge finder");
        assert_eq!(finder.at(Length::mm(8)), finder.error);
    }

    /// ISO 15488 table 4, class 2, as a maker's page prints it: an indicator on a test bar
    /// shows 0.015 up to 10 mm and 0.020 up to 26 mm; what runs out by that is half of it off
    /// centre. A scroll chuck is worse than either, an indicator and four jaws no worse.
    #[test]
    fn a_collet_is_off_by_half_of_what_its_standard_shows() {
        let off = |way: &str| locating(way).error;
        assert_eq!(off("collet to 10 mm") * 2, Length::microns(15));
        assert_eq!(off("collet over 10 mm") * 2, Length::microns(20));
        assert!(off("three-jaw chuck") > off("four-jaw clocked"));
        assert!(off("between centres") < off("collet to 10 mm"));
    }

    /// Whatever places a hole, a step or a face has its figures of trueness, and so has every way of
    /// holding that puts work on an axis; what is bored is truer than what is drilled.
    #[test]
    fn whatever_cuts_or_holds_says_how_true_it_is() {
        for what in
            ["drill", "bore", "true by boring", "mill a step", "file out", "square edges", "mill to size"]
        {
            assert!(process(what).minutes > 0 && trueness(what).is_some(), "{what}");
        }
        for what in
            ["three-jaw chuck", "soft jaws", "four-jaw clocked", "between centres", "faceplate clocked"]
        {
            assert!(locating(what).error > Length::ZERO && trueness(what).is_some(), "{what}");
        }
        let out = |what| trueness(what).unwrap().out(Length::mm(50), Length::mm(50));
        assert!(out("bore") < out("drill") && out("drill") < out("drill by hand"));
    }

    /// Over half of what it sits on work that lifts is out by half of what it lifts by.
    #[test]
    fn what_lifts_is_out_by_its_share() {
        let seat = trueness("parallels").unwrap();
        let over = |mm| seat.out(Length::mm(mm), Length::mm(40));
        assert_eq!(over(20) * 2, over(40));
        assert_eq!(over(80) - over(40), Length::microns(2), "no more than it lifts by");
    }

    /// Three to five diameters from the chuck and eight to twelve with a centre are what
    /// books on turning give: ours lie in between.
    #[test]
    fn work_stands_out_as_far_as_practice_lets_it() {
        let whole = |held: &str| overhang(held).to_integer();
        assert!((3..=5).contains(&whole("the chuck alone")));
        assert!((8..=12).contains(&whole("the tailstock")));
    }

    /// Chips and slides say the same of both: a reamer has no place of its own, a boring
    /// tool stands where the spindle does, and a drill wanders more than it.
    #[test]
    fn what_follows_a_hole_has_no_place_of_its_own() {
        assert_eq!(process("ream").position, None);
        assert!(process("bore").position < process("drill").position);
    }
}
