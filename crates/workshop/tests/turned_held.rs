//! Turned work held in more ways than a chuck: the sheets name the holding, draw it and say
//! how to set it up.

use workshop::bench::{Bench, WorkHolder, read_bench};
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// The ideal shop with these to hold work and no others, and no collets.
fn with(holders: &[WorkHolder]) -> Bench {
    let text = std::fs::read_to_string("tests/benches/everything.toml").unwrap();
    let mut bench = read_bench("everything", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    bench.work_holding = Some(holders.to_vec());
    bench.collets.clear();
    bench
}

fn planned(text: &str, bench: &Bench) -> Plan {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    plan(&drawing, bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn part(features: &[&str]) -> String {
    let head = "part = \"Held\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n";
    features.iter().fold(head.to_owned(), |text, feature| text + feature)
}

const JOURNAL: &str =
    "[[feature]]\nname = \"left journal\"\nkind = \"section\"\ndiameter = \"9\"\nlength = \"15\"\n";
const BODY: &str = "[[feature]]\nname = \"body\"\nkind = \"section\"\ndiameter = \"14\"\nlength = \"20\"\n";
const OTHER: &str =
    "[[feature]]\nname = \"right journal\"\nkind = \"section\"\ndiameter = \"9\"\nlength = \"20\"\n";
const FITS: &str = "[[mate]]\nname = \"left bearing\"\nin = \"left journal\"\nsize = \"9\"\nfit = \"sliding\"\n\
                    [[mate]]\nname = \"right bearing\"\nin = \"right journal\"\nsize = \"9\"\nfit = \"sliding\"\n";
const RING: &str = "[[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"40\"\nlength = \"5\"\n\
                    [[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\nfinish = \"reamed\"\ndiameter = \"10\"\n";

#[test]
fn the_sheet_names_what_holds_the_work_and_how() {
    use WorkHolder::{Centres, Faceplate, FourJaw, SoftJaws, ThreeJaw};
    let roller = part(&[JOURNAL, BODY, OTHER, FITS]);
    for (holders, title, words) in [
        (&[ThreeJaw, FourJaw][..], "clocked true", "no more than 0.02 mm over one turn"),
        (&[ThreeJaw, SoftJaws], "in soft jaws by", "bore them to ⌀ 9 mm"),
        (&[ThreeJaw, Centres], "between centres", "a carrier on the other end"),
    ] {
        let made = planned(&roller, &with(holders));
        let setup = made.setups.iter().find(|s| s.title.contains(title));
        let setup = setup.unwrap_or_else(|| {
            panic!("{title}: {:?}", made.setups.iter().map(|s| &s.title).collect::<Vec<_>>())
        });
        assert!(setup.held.contains(&words.replace("⌀ ", "")), "{}", setup.held);
        assert!(!setup.scene.around.is_empty(), "{title} is drawn");
        // Everything turned there says where it stops and what it comes to.
        for row in setup.rows.iter().filter(|row| row.what.starts_with("turn ")) {
            assert!(row.check.is_some() && !row.sets.is_empty(), "{}", row.what);
        }
    }
    let made = planned(&part(&[RING]), &with(&[ThreeJaw, Faceplate]));
    assert!(made.setups.iter().any(|s| s.title.contains("on the faceplate")), "{made:?}");
    let made = planned(&part(&[RING]), &with(&[ThreeJaw]));
    assert!(made.setups.iter().any(|s| s.title.contains("on a stub turned in place to eye")), "{made:?}");
    assert!(made.aids.iter().any(|aid| aid.name.contains("eye")), "the stub has a sheet of its own");
}

/// The two journals come to the same axis whichever way: what is charged stands in the reasons.
#[test]
fn a_reason_says_why_this_holding() {
    let roller = part(&[JOURNAL, BODY, OTHER, FITS]);
    let made = planned(&roller, &with(&[WorkHolder::ThreeJaw, WorkHolder::FourJaw]));
    let notes: Vec<&String> = made.setups.iter().flat_map(|s| &s.notes).collect();
    let said = |words: &str| notes.iter().any(|note| note.contains(words));
    assert!(said("in the three-jaw chuck they could be out by 0.05 mm"), "{notes:?}");
    let poor = planned(&roller, &with(&[WorkHolder::ThreeJaw]));
    assert!(
        poor.cover.assumed.iter().any(|s| s.contains("may run out of true by 0.05 mm")),
        "{:?}",
        poor.cover.assumed
    );
}

/// Every one of the turned parts that are kept is planned on benches with less and less to
/// hold work by.
#[test]
fn the_turned_parts_are_made_with_whatever_holds_them() {
    use WorkHolder::{Centres, FixedSteady, FourJaw, ThreeJaw};
    for name in [
        "knurled-knob",
        "eccentric-sheave",
        "turned-crank",
        "union",
        "gland",
        "flywheel",
        "bush",
        "stepped-roller",
        "tie-rod",
    ] {
        let text = std::fs::read_to_string(format!("tests/parts/{name}.toml")).unwrap();
        for holders in [&[ThreeJaw, FourJaw][..], &[ThreeJaw, FourJaw, Centres, FixedSteady], &[FourJaw]] {
            let made = planned(&text, &with(holders));
            assert!(!made.setups.is_empty(), "{name}");
            let said = made.setups.iter().map(|s| &s.title);
            assert!(!said.clone().any(|t| t.contains("soft jaws")), "{name}: {:?}", said.collect::<Vec<_>>());
        }
    }
}
