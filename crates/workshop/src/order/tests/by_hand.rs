//! A bench without a mill: what is marked out, drilled at punched centres, sawn and filed.
//!
//! A hole that is marked out, punched and drilled by eye comes within 0.2 or 0.3 mm: common
//! practice, from memory. The sums below are done by hand from the tables: mark out 0.15, punched
//! centre 0.1, drill 0.03, drill by hand 0.15, edges filed to size 0.1.

use super::brute::cheapest;
use super::planned;
use super::shop::made;
use super::stand_in::{order, with_part};
use crate::bench::{Bench, read_bench};
use crate::order::deed::{Job, Scheme};
use crate::order::work::{Machine, Tool};
use crate::order::{Held, Located, OrderOfWork, Work, build, plates};

const PRESS: &str = "drills = [\"1 mm to 13 mm by 0.5 mm\", \"7.8 mm\"]\nreamers = [\"8 mm H7\"]\n\
                     [drill_press]\nspeeds = [500, 1000, 2000]\ntravel = \"60 mm\"\nthroat = \"100 mm\"\n\
                     [[stock]]\nmaterial = \"mild steel\"\nflat = [\"6 mm\", \"10 mm\"]\nwidth = \"60 mm\"\n";

/// A bench with a drill press and no mill.
pub(super) fn pressed() -> Bench {
    read_bench("bench.toml", PRESS).expect("it reads")
}

fn by_hand() -> Bench {
    let (head, rest) = PRESS.split_once("[drill_press]").expect("it has one");
    let stock = rest.split_once("[[stock]]").expect("it has some").1;
    read_bench("bench.toml", &format!("mill = \"none\"\n{head}[[stock]]{stock}")).expect("it reads")
}

fn plate(features: &str) -> String {
    format!(
        "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\n\
         height = \"40\"\nthickness = \"6\"\n{features}"
    )
}

fn hole(name: &str, more: &str, place: &str) -> String {
    format!("[[feature]]\nname = \"{name}\"\nkind = \"hole\"\n{more}\nplace = [{place}]\n")
}

fn pair(within: &str) -> String {
    let one = hole("one", "diameter = \"5\"", "\"10 right of datum\", \"20 above datum\"");
    let place =
        format!("{{ is = \"30 right of one\", role = \"hold\", within = \"{within}\" }}, \"level with one\"");
    plate(&(one + &hole("two", "diameter = \"5\"", &place)))
}

fn told<'a>(order: &'a OrderOfWork, words: &str) -> Vec<&'a String> {
    order.assumed.iter().filter(|told| told.contains(words)).collect()
}

/// Each hole is out by 0.15, 0.1 and 0.03 for itself, though both are drilled in one holding.
#[test]
fn two_punched_centres_are_charged_twice_and_told_where_that_is_too_much() {
    let near = made(&pair("0.56"), &pressed());
    assert!(told(&near, "at the worst").is_empty(), "{:?}", near.assumed);
    let drilled = near.steps.iter().find(|step| step.text.starts_with("drill two")).unwrap();
    assert!(format!("{:?}", drilled.why).contains("out by 0.56 mm"), "{:?}", drilled.why);
    let far = made(&pair("0.55"), &pressed());
    assert!(!told(&far, "out by 0.56 mm at the worst, 0.01 mm more").is_empty(), "{:?}", far.assumed);
    assert!(!told(&far, "draw the holes over").is_empty());
    // A hand drill leans: 0.15 in the place of 0.03.
    let leaning = made(&pair("0.55"), &by_hand());
    assert!(!told(&leaning, "out by 0.8 mm at the worst").is_empty(), "{:?}", leaning.assumed);
}

/// From the edge that is worked from 0.28; from the one opposite the filed size beside it, 0.1.
#[test]
fn from_an_edge_a_punched_centre_is_charged_once() {
    let one = |from: &str, within: &str| {
        let place = format!("{{ is = \"12 {from}\", within = \"{within}\" }}, \"20 above datum\"");
        made(&plate(&hole("one", "diameter = \"5\"", &place)), &pressed())
    };
    assert!(told(&one("right of datum", "0.28"), "at the worst").is_empty());
    assert!(!told(&one("right of datum", "0.27"), "out by 0.28 mm at the worst").is_empty());
    let far = one("left of right edge", "0.28");
    assert!(!told(&far, "out by 0.38 mm at the worst").is_empty(), "{:?}", far.assumed);
}

/// Squared, marked out, drilled, and only then filed to its shape; nothing stands on a mill.
#[test]
fn a_plate_is_squared_marked_out_and_drilled_before_its_outline_is_filed() {
    let order = made(
        "part = \"Link\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\n\
         around = [\"big end\", \"small end\"]\nthickness = \"1/4\"\n\
         [[feature]]\nname = \"big end\"\nkind = \"boss\"\nradius = \"3/8\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"small end\"\nkind = \"boss\"\nradius = \"1/4\"\nplace = [\"1 3/4 right of big end\", \"level with big end\"]\n\
         [[feature]]\nname = \"big eye\"\nkind = \"hole\"\ndiameter = \"5/16\"\nplace = [\"concentric with big end\"]\n",
        &pressed(),
    );
    let at = |test: &dyn Fn(&Work) -> bool| order.steps.iter().position(|step| test(&step.work)).unwrap();
    let squared = at(&|work| *work == Work::SquareEdges);
    let marked = at(&|work| *work == Work::MarkOut);
    let drilled = at(&|work| matches!(work, Work::Drill { .. }));
    let filed = at(&|work| matches!(work, Work::FileFlanks { .. } | Work::FileEnd | Work::FileRound));
    assert!(squared < marked && marked < drilled && drilled < filed, "{:#?}", order.steps);
    for setup in &order.setups {
        assert!(!matches!(setup.machine, Machine::Mill | Machine::RotaryTable), "{setup:?}");
    }
    assert!(!order.steps.iter().any(|step| matches!(step.tool, Tool::EndMill(_))));
    let press: Vec<_> = order.setups.iter().filter(|setup| setup.machine == Machine::DrillPress).collect();
    assert!(!press.is_empty() && press.iter().all(|setup| setup.located == Located::Punched));
}

/// A bored hole wants a lathe: it is drilled and bored on the faceplate by its punched centre.
/// Two are each out by 0.15 and 0.1 and 0.01 for the indicator.
#[test]
fn a_bored_hole_goes_on_the_faceplate_or_is_refused() {
    let bored = hole(
        "bush hole",
        "finish = \"bored\"\ndiameter = \"22\"",
        "\"25 right of datum\", \"20 above datum\"",
    );
    let lathe = "[lathe]\nswing = \"180 mm\"\n";
    let with = |more: &str| read_bench("bench.toml", &format!("{PRESS}{more}")).unwrap();
    let order = made(&plate(&bored), &with(lathe));
    let boring = order.steps.iter().find(|step| matches!(step.work, Work::Bore { .. })).unwrap();
    let held = &order.setups[boring.setup];
    assert!(matches!(held.held, Held::PlateOnFaceplate { .. }), "{held:?}");
    assert_eq!((held.machine, held.located), (Machine::Lathe, Located::Punched));
    for bench in [pressed(), with("[lathe]\nswing = \"60 mm\"\n")] {
        let faults = order_of(&plate(&bored), &bench).unwrap_err();
        assert!(faults.contains("bush hole") && faults.contains("bored"), "{faults}");
    }
}

fn order_of(text: &str, bench: &Bench) -> Result<OrderOfWork, String> {
    order(text, bench).map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}

/// A slot right through is drilled and filed; one with a floor is drilled to a stop and chiselled,
/// where a chisel goes in.
#[test]
fn a_slot_is_filed_out_where_it_goes_through() {
    let slot = |width: &str, depth: &str| {
        plate(&format!(
            "[[feature]]\nname = \"way\"\nkind = \"slot\"\nwidth = \"{width}\"\ncentres = \"16\"\n{depth}\
             place = [\"30 right of datum\", \"20 above datum\"]\n"
        ))
    };
    let order = made(&slot("8", ""), &pressed());
    let texts: Vec<&str> = order.steps.iter().map(|step| step.text.as_str()).collect();
    let at = |text: &str| {
        texts.iter().position(|own| own.starts_with(text)).unwrap_or_else(|| panic!("{texts:?}"))
    };
    assert!(at("drill way") < at("file out way"));
    let blind = made(&slot("8", "depth = \"3\"\n"), &pressed());
    let texts: Vec<&str> = blind.steps.iter().map(|step| step.text.as_str()).collect();
    let at = |text: &str| texts.iter().position(|own| own.starts_with(text)).expect("it is there");
    assert!(at("mark out") < at("drill way") && at("drill way") < at("chisel out way"), "{texts:?}");
    // The point of the drill, 0.3 of it, stops short of the floor.
    for step in &blind.steps {
        if let Work::Drill { diameter, deep } = step.work {
            let tip = deep.length() + diameter.scaled(num_rational::Ratio::new(3, 10));
            assert!(tip < crate::measure::Length::mm(3), "{tip}");
        }
    }
    let why = order_of(&slot("2.5", "depth = \"3\"\n"), &pressed()).unwrap_err();
    assert!(why.contains("neither chisel nor file goes into") && why.contains("line 9"), "{why}");
    let why = order_of(
        &slot("3", "depth = \"7\"\n").replace("thickness = \"6\"", "thickness = \"10\""),
        &pressed(),
    );
    assert!(why.clone().is_err_and(|why| why.contains("a chisel reaches 6 mm")), "{why:?}");
}

/// Where there is a mill, nothing is punched: the same part comes out as before.
#[test]
fn with_a_mill_holes_are_drilled_by_its_slides() {
    let bench = super::shop::boathouse();
    let order = made(&pair("0.56"), &bench);
    assert!(order.setups.iter().all(|setup| setup.located != Located::Punched), "{:#?}", order.setups);
}

/// What is planned for a filed plate is what trying every order finds.
#[test]
fn every_order_tried_costs_as_much() {
    let bench = pressed();
    with_part(&pair("0.56"), &bench, |part, metric| {
        let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
        let makings = plates::makings(&job).expect("it can be made");
        let (model, _) = build::model(&job, &makings);
        assert_eq!(Some(planned(&model).score), cheapest(&model));
    });
}
