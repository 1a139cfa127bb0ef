//! The bench as it is entered: sets to tick, fields, problems beside them.

use workshop::bench::asks::Rack;
use workshop::bench::form::{Form, look};
use workshop::bench::sets::{self, Set};
use workshop::bench::{Section, read_bench};
use workshop::edit::{Change, Value, change};

fn with(text: &str, changes: &[Change]) -> String {
    changes.iter().fold(text.to_owned(), |text, asked| {
        change(&text, asked).unwrap_or_else(|fault| panic!("{asked:?}: {fault}"))
    })
}

fn owned(form: &Form, set: &Set) -> bool {
    let sets = form.racks.iter().flat_map(|shelf| &shelf.sets);
    sets.filter(|(one, _)| one.name == set.name && one.rack == set.rack)
        .map(|&(_, owned)| owned)
        .next()
        .unwrap()
}

#[test]
fn every_set_goes_onto_the_bench_and_off_again_and_reads() {
    for set in sets::ALL {
        let bare = "name = \"b\" # mine\n";
        let text = with(bare, &set.on());
        read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}: {faults:?}\n{text}", set.name));
        assert!(!owned(&look("bench.toml", bare), set), "{}", set.name);
        assert!(owned(&look("bench.toml", &text), set), "{}\n{text}", set.name);
        assert_eq!(with(&text, &set.on()), text, "{} twice", set.name);
        assert_eq!(with(&text, &set.off()), bare, "{}", set.name);
        assert!(look("bench.toml", &text).fields().all(|field| field.problem.is_none()), "{text}");
    }
}

/// How many of each a catalogue lists: counted by hand from the ends and the step.
#[test]
fn a_set_holds_what_the_trade_sells_under_its_name() {
    const DRILLS: &[(&str, usize, &str, &str)] = &[
        ("metric, 1 to 13 mm by 0.5", 25, "1 mm", "13 mm"),
        ("metric, 1 to 13 mm by 0.1", 121, "1 mm", "13 mm"),
        ("metric, 1 to 6 mm by 0.1", 51, "1 mm", "6 mm"),
        ("metric, 6 to 10 mm by 0.1", 41, "6 mm", "10 mm"),
        ("metric, 0.3 to 1 mm by 0.1", 8, "0.3 mm", "1 mm"),
        ("numbers 1 to 60", 60, "No. 60", "No. 1"),
        ("numbers 61 to 80", 20, "No. 80", "No. 61"),
        ("letters A to Z", 26, "letter A", "letter Z"),
        ("inch, 1/16 to 1/2 by 1/64", 29, "1/16 in", "1/2 in"),
    ];
    let sets: Vec<&Set> = sets::ALL.iter().filter(|set| set.rack == Rack::Drills).collect();
    assert_eq!(sets.len(), DRILLS.len());
    for (set, &(name, count, first, last)) in sets.into_iter().zip(DRILLS) {
        let bench = read_bench("b", &with("", &set.on())).unwrap();
        let ends = [&bench.drills[0].name, &bench.drills[bench.drills.len() - 1].name];
        assert_eq!(
            (set.name, bench.drills.len(), ends),
            (name, count, [&first.to_owned(), &last.to_owned()])
        );
    }
    let all: Vec<Change> = sets::ALL.iter().flat_map(Set::on).collect();
    let bench = read_bench("b", &with("", &all)).unwrap();
    let squares = bench.stock.iter().filter(
        |bar| matches!(bar.section, Section::Flat { thickness, width: Some(width) } if thickness == width),
    );
    assert!(squares.count() >= 12);
    assert!(bench.taps.iter().any(|thread| thread.designation == "6 BA"));
    assert!(
        bench.end_mills.iter().any(|mill| mill.teeth == 2)
            && bench.end_mills.iter().any(|mill| mill.teeth == 4)
    );
}

#[test]
fn a_bench_ticked_together_reads_as_a_person_would_write_it() {
    let pick = |name: &str| sets::ALL.iter().find(|set| set.name == name).unwrap().on();
    let set = |at: &str, to: Value| vec![Change::Set { at: at.into(), to }];
    let changes = [
        set("name", Value::text("Shed")),
        pick("mild steel flats, 50 mm wide"),
        pick("metric, 1 to 13 mm by 0.5"),
        set("lathe", Value::Table(Vec::new())),
        set("lathe/speeds", Value::List(vec![Value::Number("90".into()), Value::Number("400".into())])),
        pick("63 mm across, 0.5 to 2 mm"),
        set("mill/travel_x", Value::text("300 mm")),
        pick("numbers 1 to 60"),
        pick("end mills, 16 and 20 mm, four teeth"),
        set("edge_finder", Value::text("10 mm")),
    ];
    insta::assert_snapshot!(with("", &changes.concat()));
}

#[test]
fn every_field_says_what_it_comes_to_and_what_is_wrong_stands_beside_it() {
    let text = "edge_finder = \"3/8 in\"\ndrills = [\"No. 43\", \"numbers 1 to 90\", \"1 mm to 2 mm by 0.5 mm\"]\n\
                taps = [\"7 BA\", \"M99\"]\nreamers = [\"8 mm\"]\n\
                [lathe]\nswing = \"180\"\nspeeds = [100, 0]\ndial_reads = \"both\"\n\
                [rotary_table]\nratio = \"many\"\nreads = \"5'\"\n\
                [[saw]]\ndiameter = \"20 mm\"\nwidth = \"1 mm\"\n[[stock]]\nmaterial = \"cheese\"\nround = [\"1/4 in\", \"8 mm\"]\n";
    let form = look("bench.toml", text);
    let field = |at: &str| form.fields().find(|field| field.at == at).unwrap_or_else(|| panic!("{at}"));
    for (at, exact) in [
        ("edge_finder", "9.525 mm"),
        ("drills/0", "2.2606 mm"),
        ("drills/2", "3 sizes, 1 to 2 mm"),
        ("taps/0", "⌀ 2.5 mm, pitch 0.48 mm"),
        ("reamers/0", "8 mm, H7"),
        ("rotary_table/reads", "0.0833°"),
        ("stock/0/round", "6.35, 8 mm"),
    ] {
        assert_eq!((field(at).exact.as_str(), &field(at).problem), (exact, &None), "{at}");
    }
    for at in [
        "drills/1",
        "taps/1",
        "lathe/swing",
        "lathe/speeds",
        "lathe/dial_reads",
        "rotary_table/ratio",
        "stock/0/material",
    ] {
        let problem = field(at).problem.as_ref().unwrap_or_else(|| panic!("{at}"));
        assert!(problem.remedy().is_some(), "{at}: {problem}");
    }
    // What no single field can know stands above them all.
    let above: Vec<&str> = form.problems.iter().map(|problem| problem.what()).collect();
    assert_eq!(above, ["a saw's collar is as large as the saw"]);
}

/// Every problem that stops the bench from being read is shown somewhere, however
/// the file is spoiled, and a file that cannot be read at all says so.
#[test]
fn no_problem_of_the_file_is_hidden() {
    let sound = include_str!("benches/everything.toml");
    assert!(look("bench.toml", sound).problems.is_empty());
    for (at, _) in sound.match_indices(['"', '=', '[', '1']) {
        let spoiled = format!("{}x{}", &sound[..at], &sound[at..]);
        let form = look("bench.toml", &spoiled);
        let shown = form.problems.iter().chain(form.fields().filter_map(|field| field.problem.as_ref()));
        let shown: Vec<&str> = shown.map(|problem| problem.what()).collect();
        for fault in read_bench("bench.toml", &spoiled).err().unwrap_or_default() {
            assert!(shown.contains(&fault.what()), "{fault}\n{shown:?}");
        }
    }
    assert!(!look("bench.toml", "name = \n").problems.is_empty());
}
