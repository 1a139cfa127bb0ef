//! Parts that cannot be made as they stand: the least sets of demands that cannot all
//! hold, and the ways out, each carried out on the files.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved, read_drawing, solve};
use workshop::edit;
use workshop::measure::Length;
use workshop::metric::{Edit, Memory, Piece, Standoff, can_be_had, metricate, standoffs};
use workshop::problem::Problem;

const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");

fn shown(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn read(text: &str) -> (Drawing, Solved) {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|f| panic!("{}\n{text}", shown(&f)));
    let solved = solve(&drawing).unwrap_or_else(|f| panic!("{}\n{text}", shown(&f)));
    (drawing, solved)
}

fn bench(text: &str) -> Bench {
    read_bench("bench.toml", text).unwrap_or_else(|f| panic!("{}\n{text}", shown(&f)))
}

fn found(text: &str) -> Vec<Standoff> {
    let (drawing, solved) = read(text);
    standoffs(&Piece { drawing: &drawing, solved: &solved }, &bench(BENCH), &mut Memory::new())
}

/// A plate with the features given.
fn plate(features: &str) -> String {
    format!(
        "part = \"Plate\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\n\
         width = \"4\"\nheight = \"1\"\nthickness = \"1/4\"\ndatum = \"bottom left\"\n{features}"
    )
}

fn hole(name: &str, diameter: &str, place: &str) -> String {
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = {diameter}\nfinish = \"reamed\"\nplace = [{place}]\n"
    )
}

/// Two reamed holes of 5/16 in, neither of which may move, with 1/32 in between them.
fn pair(first: &str, second: &str, from_left: &str) -> String {
    let tight = "{ is = \"5/16\", within = \"0.1 mm\" }";
    let place = format!(
        "{{ is = \"{from_left} from left edge\", role = \"hold\" }}, \"on the horizontal centre line\""
    );
    let beside = format!("{{ is = \"11/32 right of {first}\", role = \"hold\" }}, \"level with {first}\"");
    hole(first, tight, &place) + &hole(second, tight, &beside)
}

/// Every part here that cannot be made.
fn stuck() -> Vec<(&'static str, String)> {
    let fixed =
        "[[mate]]\nname = \"old pin\"\nin = \"bore\"\nsize = \"1/4\"\nfit = \"sliding\"\nfixed = true\n";
    let middle = "\"1 from left edge\", \"on the horizontal centre line\"";
    vec![
        ("two bores", plate(&pair("left bore", "right bore", "3/4"))),
        (
            "two pairs of bores",
            plate(&(pair("left bore", "right bore", "3/4") + &pair("third bore", "fourth bore", "2 3/4"))),
        ),
        ("nothing near", plate(&hole("bore", "{ is = \"17/64\", within = \"0.05 mm\" }", middle))),
        ("old pin", plate(&(hole("bore", "{ is = \"15/64\", within = \"0.2 mm\" }", middle) + fixed))),
        (
            "pinned bore",
            plate(&hole(
                "bore",
                "{ is = \"5/16\", pin = \"16 mm\" }",
                "{ is = \"3/8 from left edge\", role = \"hold\" }, \"on the horizontal centre line\"",
            )),
        ),
    ]
}

#[test]
fn every_demand_of_a_set_is_needed_for_it_not_to_hold() {
    for (name, text) in stuck() {
        let (drawing, solved) = read(&text);
        let piece = Piece { drawing: &drawing, solved: &solved };
        assert!(metricate(&drawing, &solved, &bench(BENCH)).is_err(), "{name}");
        let sets = found(&text);
        assert!(!sets.is_empty(), "{name}");
        assert_eq!(can_be_had(&piece, &bench(BENCH), &[]), Some(false), "{name}");
        for (at, set) in sets.iter().enumerate() {
            assert!(set.least, "{name}");
            let others = sets.iter().enumerate().filter(|(other, _)| *other != at);
            let others: Vec<&str> =
                others.flat_map(|(_, other)| &other.demands).map(|demand| demand.name.as_str()).collect();
            assert_eq!(can_be_had(&piece, &bench(BENCH), &others), Some(false), "{name}");
            for demand in &set.demands {
                let mut without = others.clone();
                without.push(&demand.name);
                assert_eq!(
                    can_be_had(&piece, &bench(BENCH), &without),
                    Some(true),
                    "{name}: {}",
                    demand.name
                );
            }
        }
    }
}

/// The files with some ways out carried out as the page would.
fn carried_out<'a>(text: &str, edits: impl Iterator<Item = &'a Edit>) -> (String, String) {
    let (mut part, mut owned) = (text.to_owned(), BENCH.to_owned());
    for step in edits {
        match step {
            Edit::Part(change) => part = edit::change(&part, change).expect("the part can be changed"),
            Edit::Bench(change) => owned = edit::change(&owned, change).expect("the bench can be changed"),
        }
    }
    (part, owned)
}

#[test]
fn every_way_out_that_is_told_can_be_gone() {
    for (name, text) in stuck() {
        let sets = found(&text);
        for (at, set) in sets.iter().enumerate() {
            assert!(!set.ways_out.is_empty(), "{name}: {set:?}");
            for way in &set.ways_out {
                let besides = sets.iter().enumerate().filter(|(other, _)| *other != at);
                let besides = besides.flat_map(|(_, other)| &other.ways_out[0].edits);
                let (part, owned) = carried_out(&text, way.edits.iter().chain(besides));
                let (drawing, solved) = read(&part);
                let made = metricate(&drawing, &solved, &bench(&owned))
                    .unwrap_or_else(|faults| panic!("{name}, {}: {}", way.advice, shown(&faults)));
                for (of, size) in way.brings.iter().filter(|_| sets.len() == 1) {
                    let dimension = drawing.dimensions.iter().position(|d| d.name == *of);
                    let Some(dimension) = dimension else { continue };
                    let chosen = made.dimensions[dimension].chosen;
                    assert_eq!(*size, format!("{} mm", chosen.shown(3)), "{name}, {}: {of}", way.advice);
                }
            }
        }
    }
}

#[test]
fn clashes_that_have_nothing_to_do_with_each_other_are_all_told() {
    let sets = found(&plate(
        &(pair("left bore", "right bore", "3/4") + &pair("third bore", "fourth bore", "2 3/4")),
    ));
    let walls: Vec<&str> = sets
        .iter()
        .flat_map(|set| &set.demands)
        .map(|d| d.name.as_str())
        .filter(|n| n.starts_with("wall"))
        .collect();
    assert_eq!(walls, ["wall between left bore and right bore", "wall between third bore and fourth bore"]);
}

/// By hand: two reamers of 8 mm with the 1/32 in of metal that the drawing has between
/// them stand 8 + 0.79375 mm apart; to the next tenth, 8.8 mm, that is 0.06875 mm more
/// than 11/32 in.
#[test]
fn the_cheapest_way_out_of_two_bores_too_near_is_to_let_one_move() {
    let sets = found(&plate(&pair("left bore", "right bore", "3/4")));
    let apart = Length::mm(8) + Length::inches(1, 32);
    assert!(apart > Length::mm_ratio(87, 10) && apart < Length::mm_ratio(88, 10));
    let more = Length::mm_ratio(88, 10) - Length::inches(11, 32);
    assert_eq!(more.shown(5), "0.06875");
    let told: String = sets[0].ways_out.iter().map(|way| format!("{way}\n")).collect();
    insta::assert_snapshot!(told, @r#"
    allow `right bore: right of left bore` 0.069 mm instead of 0.02 mm (`within = "0.069 mm"`), so that it can be 8.8 mm
    make `left bore: diameter` as drawn, and buy drill 7.7 mm, reamer 5/16 in H7 (2 things)
    allow `left bore: diameter` 0.438 mm instead of 0.1 mm (`within = "0.438 mm"`), so that it can be 7.5 mm, and buy drill 7.3 mm, reamer 7.5 mm H7 (2 things)
    allow `right bore: diameter` 0.438 mm instead of 0.1 mm (`within = "0.438 mm"`), so that it can be 7.5 mm, and buy drill 7.3 mm, reamer 7.5 mm H7 (2 things)
    "#);
}
