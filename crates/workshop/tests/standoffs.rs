//! Parts that cannot be made as they stand: the least sets of demands that cannot all
//! hold, and the ways out, each carried out on the files.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved, read_drawing, solve};
use workshop::edit;
use workshop::measure::Length;
use workshop::metric::{Edit, Memory, Piece, Standoff, can_be_had, metricate, standoffs, these_can_hold};
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
    let mut all = few_stuck();
    let middle = "\"1 from left edge\", \"on the horizontal centre line\"";
    let drilled = |name: &str, diameter: &str, place: &str| {
        hole(name, diameter, place).replace("finish = \"reamed\"", "finish = \"drilled\"")
    };
    let pin = |fixed: &str, fit: &str| {
        format!(
            "[[mate]]\nname = \"pin\"\nin = \"bore\"\nsize = \"{fixed}\"\nfit = \"{fit}\"\nfixed = true\n"
        )
    };
    let tapped = |thread: &str| {
        format!(
            "[[feature]]\nname = \"screw\"\nkind = \"tapped hole\"\nthread = {thread}\nplace = [{middle}]\n"
        )
    };
    let thin = |features: &str| {
        plate(features).replace("\"1/4\"", "{ is = \"1/16\", role = \"hold\", within = \"0.05 mm\" }")
    };
    all.extend([
        // 6.38 less 6.35 is 0.03 mm of clearance: too much to slide, right to run.
        (
            "another fit",
            plate(&(hole("bore", "{ is = \"1/4\", made = \"6.38 mm\" }", middle) + &pin("1/4", "sliding"))),
        ),
        // M4 wants 4.3 mm at least (ISO 273), 4 BA is 3.6 over its crests.
        (
            "kept screw",
            plate(&drilled("bore", "{ is = \"No. 27\", made = \"3.65 mm\" }", middle)
                .replace("finish", "clears = \"4 BA\"\nfinish")),
        ),
        // Three threads of M6 are 3 mm, and of plate there is half of that.
        ("pinned thread", thin(&tapped("{ is = \"5 BA\", pin = \"M6\" }"))),
        (
            "chain",
            plate(&drilled("bore", "{ is = \"1/8\", made = \"3.3 mm\" }", middle))
                + "[[chain]]\nname = \"slack\"\nadds = [\"bore: diameter\"]\nleast = \"1/8\"\nmost = \"3.2 mm\"\n",
        ),
        (
            "equal sizes",
            plate(
                &(drilled("bore", "{ is = \"1/8\", made = \"3.3 mm\" }", middle)
                    + &drilled("other", "{ is = \"1/8\", pin = \"3.2 mm\" }", "\"2 from left edge\", \"on the horizontal centre line\"")),
            ) + "[[equal]]\ndimensions = [\"bore: diameter\", \"other: diameter\"]\n",
        ),
    ]);
    all
}

fn few_stuck() -> Vec<(&'static str, String)> {
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
            Edit::Other { part, .. } => panic!("there is no other part {part}"),
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
    // The wall comes after what leaves it whole, before what has to be bought.
    let wall = &sets[0].ways_out[1];
    assert!(wall.advice.contains("`[[wall]]` with `least = \"0.7"), "{}", wall.advice);
    assert!(
        wall.caution.as_ref().is_some_and(|caution| caution.contains("beside a reamed or bored hole")
            || caution.contains("thinner on the drawing")),
        "{:?}",
        wall.caution
    );
    let others = sets[0].ways_out.iter().filter(|way| way.caution.is_none());
    let told: String = others.map(|way| format!("{way}\n")).collect();
    insta::assert_snapshot!(told, @r#"
    allow `right bore: right of left bore` 0.069 mm instead of 0.02 mm (`within = "0.069 mm"`), so that it can be 8.8 mm
    make `left bore: diameter` as drawn, and buy drill 7.7 mm, reamer 5/16 in H7 (2 things)
    allow `left bore: diameter` 0.438 mm instead of 0.1 mm (`within = "0.438 mm"`), so that it can be 7.5 mm, and buy drill 7.3 mm, reamer 7.5 mm H7 (2 things)
    allow `right bore: diameter` 0.438 mm instead of 0.1 mm (`within = "0.438 mm"`), so that it can be 7.5 mm, and buy drill 7.3 mm, reamer 7.5 mm H7 (2 things)
    "#);
}

/// Each kind of way out that there is comes up, and is carried out above.
#[test]
fn every_kind_of_way_out_comes_up() {
    let all: Vec<(&str, Vec<String>)> = stuck()
        .iter()
        .map(|(name, text)| {
            let ways = found(text).into_iter().flat_map(|set| set.ways_out);
            (*name, ways.map(|way| way.to_string()).collect())
        })
        .collect();
    for (name, words) in [
        ("two bores", "allow `right bore: right of left bore`"),
        ("two bores", "let the wall between left bore and right bore be"),
        ("two bores", "make `left bore: diameter` as drawn"),
        ("pinned bore", "take back the pin of `bore: diameter`"),
        ("old pin", "let `old pin` follow what it meets"),
        ("another fit", "make the fit of `pin` running instead of sliding"),
        ("kept screw", "keep the 4 BA screw of"),
        ("pinned thread", "take back the pin of `screw: thread`"),
        ("chain", "let `slack` leave as much as 3.3 mm instead of 3.2 mm"),
        ("equal sizes", "let `other: diameter` differ from `bore: diameter`"),
    ] {
        let (_, ways) = all.iter().find(|(of, _)| *of == name).expect("it is there");
        assert!(ways.iter().any(|way| way.starts_with(words)), "{name}: no `{words}` in {ways:#?}");
    }
}

/// A wall that the file lets be thinner is kept by it, told of, and survives another change.
#[test]
fn a_wall_said_in_the_file_is_held_and_told() {
    let text = plate(&pair("left bore", "right bore", "3/4"));
    let with = |least: &str| {
        format!(
            "{text}[[wall]]\nbetween = [\"right bore\", \"left bore\"] # thin, by me\nleast = \"{least}\"\n"
        )
    };
    let chosen = |text: &str| {
        let (drawing, solved) = read(text);
        metricate(&drawing, &solved, &bench(BENCH))
    };
    assert!(chosen(&text).is_err());
    // 11/32 in and 0.02 mm less two halves of 8 mm leave 0.75125 mm at most.
    assert!(Length::inches(11, 32) + Length::mm_ratio(2, 100) - Length::mm(8) < Length::mm_ratio(752, 1000));
    let made = chosen(&with("0.7 mm")).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    assert!(
        made.assumed.iter().any(|line| line.contains("between left bore and right bore may be 0.7 mm")
            || line.contains("between right bore and left bore may be 0.7 mm")),
        "{:?}",
        made.assumed
    );
    let told = shown(&chosen(&with("0.76 mm")).expect_err("there is no room for so much"));
    assert!(told.contains("must be 0.76 mm at least: the person says how thin"), "{told}");
    // Any other change keeps the entry with its comment.
    let pin = edit::Change::Set { at: "sheet".into(), to: edit::Value::text("Sheet 9") };
    let saved = edit::change(&with("0.7 mm"), &pin).expect("it can be changed");
    assert!(saved.contains("# thin, by me") && read(&saved).0.walls.len() == 1, "{saved}");
}

#[test]
fn a_wall_that_means_nothing_is_a_fault_with_its_line() {
    let with = |entry: &str, pressure: &str| {
        let text =
            plate(&pair("left bore", "right bore", "3/4")).replacen("unit", &format!("{pressure}unit"), 1);
        let text = format!("{text}[[wall]]\n{entry}\n");
        let faults = read_drawing("part.toml", &text).map(|_| ()).expect_err("it must not read");
        shown(&faults)
    };
    for (entry, pressure, said) in [
        ("between = [\"left bore\"]\nleast = \"1 mm\"", "", "between which two things it stands"),
        (
            "between = [\"left bore\", \"left bore\"]\nleast = \"1 mm\"",
            "",
            "between which two things it stands",
        ),
        (
            "between = [\"left edge\", \"outside\"]\nleast = \"1 mm\"",
            "",
            "between which two things it stands",
        ),
        ("between = [\"left bore\", \"right bare\"]\nleast = \"1 mm\"", "", "did you mean `right bore`?"),
        ("between = [\"left bore\", \"datum\"]\nleast = \"1 mm\"", "", "no wall ends at the datum"),
        ("between = [\"left bore\", \"right bore\"]", "", "least"),
        ("between = [\"left bore\", \"right bore\"]\nleast = \"0 mm\"", "", "a wall of `0 mm` is none"),
        ("between = [\"left bore\", \"right bore\"]\nleast = \"thin\"", "", "`least`"),
        (
            "between = [\"left bore\", \"right bore\"]\nleast = \"1 mm\"\nmost = \"2 mm\"",
            "",
            "`most` means nothing",
        ),
        (
            "between = [\"left bore\", \"outside\"]\nleast = \"1 mm\"",
            "holds_pressure = true\n",
            "holds pressure",
        ),
    ] {
        let told = with(entry, pressure);
        assert!(told.contains(said) && told.contains("line"), "{entry}: {told}");
    }
}

/// On parts made up at random: without any one demand of a set the rest can hold, and with
/// it they cannot.
#[test]
fn sets_on_parts_made_up_are_the_least() {
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut pick = |from: u64, to: u64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        from + state % (to - from)
    };
    let (mut sets, mut demands, mut solvable) = (0, 0, 0);
    for _ in 0..40 {
        // Two to four bores in a row, some of them held, near each other and the edge.
        let mut features = String::new();
        let mut before: Option<(String, u64)> = None;
        for at in 0..pick(2, 5) {
            let (name, across) = (format!("bore {at}"), pick(14, 28));
            let within = ["", ", within = \"0.05 mm\"", ", role = \"hold\""][pick(0, 3) as usize];
            let diameter = match pick(0, 5) {
                0 => format!("{{ is = \"{across}/64\", pin = \"{} mm\" }}", pick(6, 12)),
                _ => format!("{{ is = \"{across}/64\"{within} }}"),
            };
            let held = ["", ", role = \"hold\"", ", within = \"0.1 mm\""][pick(0, 3) as usize];
            let place = match &before {
                None => format!(
                    "{{ is = \"{}/64 from left edge\"{held} }}, \"on the horizontal centre line\"",
                    across / 2 + pick(3, 9)
                ),
                Some((other, its)) => format!(
                    "{{ is = \"{}/64 right of {other}\"{held} }}, \"level with {other}\"",
                    (across + its).div_ceil(2) + pick(1, 6)
                ),
            };
            features += &hole(&name, &diameter, &place);
            before = Some((name, across));
        }
        let text = plate(&features);
        let (drawing, solved) = read(&text);
        let piece = Piece { drawing: &drawing, solved: &solved };
        let (found, bench) = (found(&text), bench(BENCH));
        let whole = can_be_had(&piece, &bench, &[]);
        assert_eq!(whole == Some(false), !found.is_empty(), "{text}");
        for set in found.iter().filter(|set| set.least) {
            let names: Vec<&str> = set.demands.iter().map(|demand| demand.name.as_str()).collect();
            assert_eq!(these_can_hold(&piece, &bench, &names), Some(false), "{text}");
            for demand in &names {
                let rest: Vec<&str> = names.iter().copied().filter(|name| name != demand).collect();
                assert_eq!(these_can_hold(&piece, &bench, &rest), Some(true), "{demand}\n{text}");
                demands += 1;
                // Where nothing else stands in the way the whole part can be had then.
                solvable += usize::from(can_be_had(&piece, &bench, &[demand]) == Some(true));
            }
            sets += 1;
        }
    }
    assert!(sets >= 15 && demands >= 40 && solvable >= 20, "{sets} sets of {demands}, {solvable} alone");
}

/// A place 12 mm off, held to two hundredths, beside a bore made so large that it must go to
/// 12.72: of the round numbers 12.75 is the nearest, and that tolerance is offered.
#[test]
fn a_tolerance_that_a_whole_number_needs_is_offered() {
    let place = "{ is = \"12 mm right of p\", role = \"hold\" }, \"level with p\"";
    let first =
        hole("p", "{ is = \"8 mm\", pin = \"8 mm\" }", "\"1 from left edge\", \"1/2 from bottom edge\"");
    // Half of 8 mm stands between: 4 + 4 + 4.72.
    let text = plate(&(first + &hole("q", "{ is = \"8 mm\", made = \"9.44 mm\" }", place)));
    let sets = found(&text);
    let told: Vec<String> = sets.iter().flat_map(|set| &set.ways_out).map(|way| way.advice.clone()).collect();
    let wider = "(`within = \"0.75 mm\"`), so that it can be 12.75 mm";
    assert!(told.iter().any(|way| way.contains("`q: right of p`") && way.contains(wider)), "{told:#?}");
}
