//! Which arcs are filed, which are stepped, and which go on the rotary table.

use super::shop::{boathouse, listed, made};
use super::stand_in::with_part;
use crate::bench::Bench;
use crate::order::deed::{Job, Makings, Scheme};
use crate::order::plates;

/// A plate 70 wide whose top is one arc of a radius, its two lower corners rounded.
fn cheek(thick: u32, radius: &str) -> String {
    let corner = |name: &str, x: u32, y: u32, radius: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\n{radius}place = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    let round = format!("radius = \"{radius}\"\n");
    format!(
        "part = \"Cheek\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\n\
         around = [\"a\", \"b\", \"c\", {{ arc = \"60\", bulge = \"out\" }}, \"d\"]\nthickness = \"{thick}\"\n{}{}{}{}\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"10\"\nplace = [\"30 right of datum\", \"18 above datum\"]\n\
         [[feature]]\nname = \"pin\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\nplace = [\"55 right of datum\", \"18 above datum\"]\n",
        corner("a", 0, 0, &round),
        corner("b", 70, 0, &round),
        corner("c", 70, 30, ""),
        corner("d", 0, 30, ""),
    )
}

/// The ways a piece of the outline is offered, or what it comes to where there is one.
fn ways(text: &str, bench: &Bench, piece: &str) -> (Vec<String>, Vec<String>) {
    with_part(text, bench, |part, metric| {
        let job = Job { part, metric, bench, scheme: Scheme::ALONE };
        let makings: Makings = plates::makings(&job).expect("it can be made");
        let offered = makings.choices.iter().find(|(name, _)| name == piece);
        let said = makings.assumed.iter().filter(|words| words.starts_with(&format!("{piece} is "))).cloned();
        (offered.map(|(_, ways)| ways.clone()).unwrap_or_default(), said.collect())
    })
}

/// 70 mm across a circle of 60: 74.7 mm long. In 3 mm that is 2.24 square centimetres, in 5 mm 3.7.
#[test]
fn a_long_arc_in_thick_metal_is_not_filed_where_a_table_cuts_it() {
    let filed = |thick, bench: &Bench| {
        ways(&cheek(thick, "3"), bench, "c to d").0.contains(&"filed to a line".to_owned())
    };
    let own = boathouse();
    assert!(filed(3, &own) && !filed(5, &own));
    assert!(!listed(&made(&cheek(5, "3"), &own)).contains("file c to d"));
    // Without a table somebody has to.
    let bare = Bench { rotary_table: None, ..own };
    assert!(filed(5, &bare));
}

/// A quarter of 10 mm in 3 mm: 15.7 mm, 5 + 4 minutes to file and 20 + 6 to step and smooth; of 20 mm in 12 mm: 5 + 31
/// against 29 + 13.
#[test]
fn a_corner_that_is_filed_in_less_than_half_the_time_is_not_stepped() {
    let bare = Bench { rotary_table: None, ..boathouse() };
    let (offered, said) = ways(&cheek(3, "10"), &bare, "a");
    assert!(offered.is_empty(), "{offered:?}");
    assert_eq!(said, ["a is filed to a line: it is filed in 9 min, and stepping with its ridges takes 26"]);
    let (offered, said) = ways(&cheek(12, "20"), &bare, "a");
    assert_eq!(offered, ["rounded by stepped coordinates", "filed to a line"]);
    assert!(said.is_empty(), "{said:?}");
}

/// A lever of two bosses that neither a stub nor buttons go into: all its ridges are filed in one stay in the bench vice.
#[test]
fn the_ridges_of_all_ends_are_filed_in_one_setup() {
    let bare = Bench { rotary_table: None, ..boathouse() };
    let order = made(super::rule_parts::BORELESS, &bare);
    let filed: Vec<usize> = order
        .steps
        .iter()
        .filter(|step| step.text.starts_with("file the ridges"))
        .map(|step| step.setup)
        .collect();
    assert!(filed.len() == 2 && filed[0] == filed[1], "{}", listed(&order));
}
