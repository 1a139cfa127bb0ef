//! Work of which nothing is left for jaws: a knurl held in a split bush, and parted ends that are rubbed flat.
//! How it is done is common practice; the parts are invented.

use super::shop::{at, boathouse, listed, made};
use crate::bench::{Bench, WorkHolder};
use crate::order::work::{Held, OrderOfWork, Work};

/// A plug and its knurled grip, as of a cock.
const PLUG: &str = r#"
part = "Plug"
unit = "mm"
material = "brass"
[body]
kind = "turned"
[[feature]]
name = "plug"
kind = "section"
diameter = "6"
tapers_to = "9"
length = "16"
[[feature]]
name = "grip"
kind = "section"
diameter = "11"
length = "8"
[[feature]]
name = "ridges"
kind = "knurl"
over = "grip"
pitch = "0.8"
pattern = "straight"
"#;

/// A handle drilled from its thin end, its other end a land too short for jaws.
const HANDLE: &str = r#"
part = "Handle"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "land"
kind = "section"
diameter = "9"
length = "4"
[[feature]]
name = "grip"
kind = "section"
diameter = "12"
length = "20"
[[feature]]
name = "nose"
kind = "section"
diameter = "12"
tapers_to = "6"
length = "10"
[[feature]]
name = "ridges"
kind = "knurl"
over = "grip"
pitch = "1"
pattern = "diamond"
[[feature]]
name = "socket"
kind = "hole"
face = "right"
diameter = "4"
depth = "12"
"#;

fn helds(order: &OrderOfWork) -> Vec<&Held> {
    order.setups.iter().map(|setup| &setup.held).collect()
}

/// Nothing but facing is left for the other end: one holding does it, and the parted end is rubbed flat.
#[test]
fn what_nothing_holds_has_its_parted_end_rubbed_flat() {
    let order = made(PLUG, &boathouse());
    assert!(matches!(helds(&order)[..], [_, Held::Bench]), "{}", listed(&order));
    assert!(at(&order, "knurl ridges") < at(&order, "turn plug"), "{}", listed(&order));
    assert!(order.steps.last().unwrap().text.starts_with("rub the "), "{}", listed(&order));
    assert!(order.assumed.iter().any(|words| words.contains("rubbed flat by hand")), "{:?}", order.assumed);
    // A plain grip is one for jaws: both ends are faced.
    let plain = made(&PLUG[..PLUG.rfind("[[feature]]").unwrap()], &boathouse());
    let faced = plain.steps.iter().filter(|step| matches!(step.work, Work::FaceEnd { .. })).count();
    assert_eq!(faced, 2, "{}", listed(&plain));
}

/// Something is cut at both ends: jaws close on the knurl through a bush, and never on it bare.
#[test]
fn a_knurl_is_gripped_in_a_split_bush() {
    let order = made(HANDLE, &boathouse());
    assert!(matches!(helds(&order)[..], [_, Held::SplitBush { .. }]), "{}", listed(&order));
    let knurled = order.steps[at(&order, "knurl ridges")].setup;
    assert_eq!(knurled, 0, "{}", listed(&order));
    // No three-jaw chuck, no bush.
    let four = Bench { work_holding: Some(vec![WorkHolder::FourJaw]), ..boathouse() };
    let faults = super::stand_in::order(HANDLE, &four).unwrap_err();
    assert!(faults[0].to_string().contains("can be held true"), "{}", faults[0]);
}

/// A land that a collet closes on is better than a knurl in a bush.
#[test]
fn a_land_is_gripped_before_a_knurl() {
    let longer = HANDLE.replace("diameter = \"9\"\nlength = \"4\"", "diameter = \"8\"\nlength = \"12\"");
    let order = made(&longer, &boathouse());
    let bushed = helds(&order).iter().any(|held| matches!(held, Held::SplitBush { .. }));
    assert!(!bushed, "{}", listed(&order));
}

/// Two straps do not hold what is narrower than they are: a stub is turned to its bore.
#[test]
fn small_work_is_not_strapped_to_the_faceplate() {
    let ring = |across: u32| {
        format!(
            "part = \"Ring\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
             [[feature]]\nname = \"spigot\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"3\"\n\
             [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"{across}\"\nlength = \"5\"\n\
             [[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\nfinish = \"reamed\"\ndiameter = \"8\"\n"
        )
    };
    for (across, strapped) in [(30, false), (50, true)] {
        let order = made(&ring(across), &boathouse());
        let found = helds(&order).iter().any(|held| matches!(held, Held::Faceplate { .. }));
        assert_eq!(found, strapped, "{across}: {}", listed(&order));
    }
}

/// A needle of 2 mm is no hold for its knob: all of it is turned from the bar, which is parted behind the knob.
#[test]
fn a_thin_stem_holds_no_wide_knob() {
    let needle = PLUG
        .replace("diameter = \"6\"\ntapers_to = \"9\"\nlength = \"16\"", "diameter = \"2\"\nlength = \"14\"");
    let order = made(&needle, &boathouse());
    assert!(matches!(helds(&order)[..], [_, Held::Bench]), "{}", listed(&order));
    // As thin for its knob as that is, a stem of 4 is stiff enough.
    let stout = made(&needle.replace("diameter = \"2\"", "diameter = \"4\""), &boathouse());
    assert!(matches!(helds(&stout)[..], [_, second] if *second != Held::Bench), "{}", listed(&stout));
}

/// Jaws close on no less than 6 mm: of a boss of 1 and its allowance of 2 the sheet says so.
#[test]
fn a_casting_with_little_for_the_jaws_is_told_of() {
    let wheel = |boss: u32| {
        format!(
            "part = \"Wheel\"\nunit = \"mm\"\nmaterial = \"cast iron\"\n[stock]\nform = \"casting\"\nallowance = \"2\"\n\
             [body]\nkind = \"turned\"\n\
             [[feature]]\nname = \"boss\"\nkind = \"section\"\ndiameter = \"30\"\nlength = \"{boss}\"\n\
             [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"90\"\nlength = \"14\"\n\
             [[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"8\"\nfinish = \"reamed\"\n"
        )
    };
    // A rim of 3 and its allowance are no grip from the other side either; one of 14 is.
    for (boss, rim, told) in [(1, 3, true), (1, 14, false), (12, 14, false)] {
        let order = made(&wheel(boss).replace("\"14\"", &format!("\"{rim}\"")), &boathouse());
        let said = order.assumed.iter().any(|words| words.contains("stands out by only"));
        assert_eq!(said, told, "{boss}: {:?}", order.assumed);
    }
}
