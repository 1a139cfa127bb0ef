//! A bearing and its cap, parted through the bore: what the file says, the order of work, and
//! what the sheets give. The practice is that of every book on model engines: drill for the
//! bolts, part, face, bolt together, and only then bore; the sums are typed here.

mod from_text;

use from_text::{BENCH, bench, faultless, shown};
use workshop::bench::{Bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::order::{OrderOfWork, Work};
use workshop::plan::{Plan, plan};

const BEARING: &str = "part = \"Bearing\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n\
    [body]\nkind = \"rectangle\"\nwidth = \"50\"\nheight = \"36\"\nthickness = \"16\"\ndatum = \"bottom left\"\n\
    [[feature]]\nname = \"shaft bore\"\nkind = \"hole\"\nfinish = \"bored\"\ndiameter = \"14\"\n\
    place = [\"25 from left edge\", \"20 from bottom edge\"]\n\
    [[feature]]\nname = \"oil hole\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"2\"\ndepth = \"10\"\n\
    place = [\"25 from left edge\", \"mid thickness\"]\n";

fn bolt(name: &str, edge: &str, kind: &str) -> String {
    format!(
        "[[feature]]\nname = \"{name}\"\nface = \"top\"\n{kind}\nplace = [\"8 from {edge} edge\", \"mid thickness\"]\n"
    )
}

const TAPPED: &str = "kind = \"tapped hole\"\nthread = \"M4\"\ndepth = \"28\"";
const PLAIN: &str = "kind = \"hole\"\ndiameter = \"4.3\"";

fn bearing(kind: &str, more: &str) -> String {
    let bolts = bolt("left bolt", "left", kind) + &bolt("right bolt", "right", kind);
    format!(
        "{BEARING}{bolts}[[parted]]\nthrough = \"shaft bore\"\ncap = \"top\"\nbolts = [\"left bolt\", \"right bolt\"]\n{more}"
    )
}

fn planned(text: &str, bench: &Bench) -> Plan {
    let drawing = faultless(read_drawing("part.toml", text), text);
    faultless(plan(&drawing, bench), text)
}

fn at(order: &OrderOfWork, words: &str) -> usize {
    let lines: Vec<&str> = order.steps.iter().map(|step| step.text.as_str()).collect();
    lines.iter().position(|line| line.contains(words)).unwrap_or_else(|| panic!("{words}: {lines:?}"))
}

fn figure(plan: &Plan, name: &str) -> String {
    let found = plan.figures.iter().find(|figure| figure.name.ends_with(name));
    let names = || plan.figures.iter().map(|figure| figure.name.as_str()).collect::<Vec<_>>();
    found.unwrap_or_else(|| panic!("{name}: {:#?}", names())).shown.clone()
}

/// Drilled as one, parted, faced, tapped, bolted, bored; whatever the bolts are.
#[test]
fn it_is_bored_with_its_cap_on() {
    for kind in [TAPPED, PLAIN] {
        let plan = planned(&bearing(kind, ""), &bench());
        let order = &plan.order;
        let turn = [
            "mill the other two",
            "drill left bolt",
            "saw the cap off",
            "faces of the joint",
            "bolt the cap on",
            "drill shaft bore",
            "bore shaft bore",
        ];
        let places = turn.map(|words| at(order, words));
        assert!(places.is_sorted(), "{places:?} {kind}");
        assert!(at(order, "drill right bolt") < at(order, "saw the cap off"));
        assert!(at(order, "bolt the cap on") < at(order, "drill oil hole"), "in the same metal as the bore");
        if kind == TAPPED {
            assert!(
                (at(order, "faces of the joint")..at(order, "bolt the cap on"))
                    .contains(&at(order, "tap left bolt"))
            );
        }
        let trap = |early: &str, late: &str| {
            plan.cover.traps.iter().any(|trap| trap.early.contains(early) && trap.early.contains(late))
        };
        assert!(trap("saw the cap off before", "bolt"), "{:?}", plan.cover.traps);
        assert!(trap("shaft bore", "before saw the cap off"), "{:?}", plan.cover.traps);
    }
}

/// 36 mm high: the saw takes 1.5 and each joint face 0.5, so 38.5 before, and 40.5 as it is sawn
/// with a millimetre a side for squaring. The bore's middle is 20 up; the saw's is 0.5 + 0.75
/// above that. With a shim of 0.1 each half is 0.05 less.
#[test]
fn what_the_parting_takes_is_left_on_the_blank() {
    let plan = planned(&bearing(TAPPED, "shim = \"0.1 mm\"\n"), &bench());
    assert_eq!(plan.cover.blank.shown, "1 piece 52 mm × 40.5 mm");
    assert_eq!(figure(&plan, "height, squared side down"), "38.5 mm");
    assert_eq!(figure(&plan, "middle of the cut, from the bottom edge"), "21.25 mm");
    assert_eq!(figure(&plan, "base, from the bottom edge to the joint"), "19.95 mm");
    assert_eq!(figure(&plan, "cap, from the top edge to the joint"), "15.95 mm");
    assert_eq!(figure(&plan, "shim in the joint"), "0.1 mm");
    assert_eq!(figure(&plan, "over both, bottom to top edge"), "36 mm");
    // 28 from the top, 16 of it in the cap.
    assert_eq!(figure(&plan, "thread below the joint"), "12 mm");
    let drilled = plan.order.steps.iter().find_map(|step| match step.work {
        Work::Drill { deep, .. } if step.text.contains("left bolt") => Some(deep.length().as_mm()),
        _ => None,
    });
    assert_eq!(drilled, Some(30.5), "with what the parting takes");
    let whole = planned(BEARING, &bench());
    assert_eq!(whole.cover.blank.shown, "1 piece 52 mm × 38 mm");
}

/// A cap at the side makes the blank longer, not higher; the bearing needs no mill either.
#[test]
fn the_cap_may_be_at_any_side_and_made_by_hand() {
    let side = bearing(PLAIN, "").replace("cap = \"top\"", "cap = \"left\"").replace(
        "face = \"top\"\nkind = \"hole\"\ndiameter = \"4.3\"",
        "face = \"left\"\nkind = \"hole\"\ndiameter = \"4.3\"",
    );
    let side = side
        .replace("\"8 from left edge\", \"mid thickness\"", "\"6 from bottom edge\", \"mid thickness\"")
        .replace("\"8 from right edge\", \"mid thickness\"", "\"6 from top edge\", \"mid thickness\"");
    let side = side.replace("depth = \"10\"", "depth = \"2\"");
    let plan = planned(&side, &bench());
    assert_eq!(plan.cover.blank.shown, "1 piece 54.5 mm × 38 mm");
    assert_eq!(figure(&plan, "cap, from the left edge to the joint"), "25 mm");
    let mut by_hand = faultless(read_bench("bench.toml", BENCH), BENCH);
    by_hand.mills = false;
    let drilled = bearing(PLAIN, "").replace("finish = \"bored\"\ndiameter = \"14\"", "diameter = \"10\"");
    let plan = planned(&drilled, &by_hand);
    let places =
        ["drill left bolt", "saw the cap off", "file both faces", "bolt the cap on", "drill shaft bore"];
    assert!(places.map(|words| at(&plan.order, words)).is_sorted());
}

#[test]
fn what_cannot_be_parted_is_told() {
    let good = bearing(TAPPED, "");
    for (from, to, what) in [
        (
            "through = \"shaft bore\"",
            "through = \"oil hole\"",
            "is not a hole right through from front to back",
        ),
        ("cap = \"top\"", "cap = \"left\"", "`left bolt` does not hold the cap"),
        ("cap = \"top\"", "cap = \"front\"", "`front` is not known for `cap`"),
        ("bolts = [\"left bolt\", \"right bolt\"]", "bolts = []", "nothing holds the cap"),
        (
            "bolts = [\"left bolt\", \"right bolt\"]",
            "bolts = [\"left bolt\", \"shaft bore\"]",
            "`shaft bore` does not hold the cap",
        ),
        ("material", "hands = [\"right\", \"left\"]\nmaterial", "in two hands"),
        ("[body]", "[stock]\nform = \"casting\"\n[body]", "a casting is parted"),
        ("cap = \"top\"\n", "cap = \"top\"\nshim = \"0\"\n", "a shim of `0` is none"),
        (
            "[[parted]]",
            "[[parted]]\nthrough = \"shaft bore\"\ncap = \"top\"\nbolts = [\"left bolt\"]\n[[parted]]",
            "parted twice",
        ),
    ] {
        let text = good.replacen(from, to, 1);
        assert_ne!(text, good, "{from}");
        let faults = read_drawing("part.toml", &text).expect_err(&text);
        assert!(shown(&faults).contains(what), "{what}: {}", shown(&faults));
    }
    let shallow = good.replace("depth = \"28\"", "depth = \"15\"");
    let drawing = read_drawing("part.toml", &shallow).unwrap();
    let faults = plan(&drawing, &bench()).expect_err("the cap is 16 thick");
    assert!(shown(&faults).contains("`left bolt` does not come into the base"), "{}", shown(&faults));
}
