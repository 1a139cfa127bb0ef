//! Benches without a mill, from the drawing to the sheets: a plan, or what is missing.

mod road {
    #[allow(dead_code, reason = "other tests use the rest")]
    pub mod parts;
}

use road::parts::{PARTS, bench, drawing};
use workshop::bench::read_bench;
use workshop::order::work::Tool;
use workshop::order::{Located, Machine, Work};
use workshop::plan::{Plan, plan};

fn planned(part: &str, bench_name: &str) -> Plan {
    let found = plan(&drawing(part), &bench(bench_name));
    found.unwrap_or_else(|faults| panic!("{part} on {bench_name}: {}", faults[0]))
}

/// Whatever has neither a floor to mill nor a round to turn is made; what cannot be is told with
/// what it wants.
#[test]
fn every_part_is_planned_or_told_what_it_wants() {
    for (name, least) in [("drill-press", 40), ("hand-tools", 30)] {
        let mut planned = 0;
        for (part, _) in PARTS {
            match plan(&drawing(part), &bench(name)) {
                Ok(found) => {
                    planned += 1;
                    assert!(
                        found.setups.iter().all(|sheet| !sheet.title.starts_with("Mill")),
                        "{part} on {name}"
                    );
                    let milled = found.cover.ready.iter().flat_map(|(_, all)| all).find(|ready| {
                        ready.what.contains("end mill")
                            || ready.what.contains("slitting saw")
                            || ready.what.contains("edge finder")
                    });
                    assert!(milled.is_none(), "{part} on {name}: {milled:?}");
                }
                Err(faults) => {
                    let why = faults[0].to_string();
                    let wants = ["there is no mill", "there is no lathe", "neither a mill"];
                    assert!(wants.iter().any(|words| why.contains(words)), "{part} on {name}: {why}");
                }
            }
        }
        assert!(planned >= least, "{name}: {planned} of {}", PARTS.len());
    }
}

/// Every figure has a name of its own and a reason that ends in a source or in a number of the
/// drawing, by hand as on a mill.
#[test]
fn every_figure_has_a_name_and_a_reason() {
    for name in ["drill-press", "hand-tools"] {
        for (part, _) in PARTS {
            let Ok(found) = plan(&drawing(part), &bench(name)) else { continue };
            let mut names = std::collections::BTreeSet::new();
            for figure in &found.figures {
                assert!(names.insert(&figure.name), "{part} on {name}: {} twice", figure.name);
                assert!(
                    !figure.shown.is_empty() && !figure.why.statement.is_empty(),
                    "{part}: {}",
                    figure.name
                );
            }
            for step in &found.order.steps {
                assert!(step.minutes > 0 || step.work == Work::Leave, "{part} on {name}: {}", step.text);
            }
        }
    }
}

/// The figures of a row are those that were marked out, read from the same two edges.
#[test]
fn a_hole_is_drilled_where_it_was_marked_out() {
    let found = planned("plain-latch", "drill-press");
    let figure = |name: &str| {
        let rows = found.setups.iter().flat_map(|sheet| &sheet.rows).flat_map(|row| &row.sets);
        rows.filter(|figure| figure.name.ends_with(name)).map(|figure| figure.shown.clone()).next()
    };
    let (marked, drilled) = (figure("rivet hole, punched"), figure(": centre"));
    assert!(marked.is_some() && marked == drilled, "{marked:?} {drilled:?}");
    // 8.5 and 10 from the edges that are filed 2 mm clear of it: 6.5 and 8 on the metric part.
    assert_eq!(marked.as_deref(), Some("8.5 mm along, 10 mm up"));
}

#[test]
fn a_bench_says_what_it_has_instead_of_a_mill() {
    let press = read_bench("b", "[drill_press]\nthroat = \"120 mm\"\n").unwrap();
    assert!(!press.mills && press.drill_press.is_some());
    assert!(press.assumed.iter().any(|told| told.contains("there is no mill")), "{:?}", press.assumed);
    let both = read_bench("b", "[drill_press]\n[mill]\nreadout_step = \"0.01 mm\"\n").unwrap();
    assert!(both.mills && both.drill_press.is_some());
    assert!(read_bench("b", "name = \"x\"\n").unwrap().mills, "a mill is supposed where nothing is said");
    let none = read_bench("b", "mill = \"none\"\n").unwrap();
    assert!(!none.mills && none.drill_press.is_none());
    for wrong in
        ["mill = \"soon\"\n", "mill = 3\n", "[drill_press]\nthroat = \"nothing\"\n", "drill_press = 4\n"]
    {
        let faults = read_bench("b", wrong).expect_err(wrong);
        assert!(faults[0].remedy().is_some() && faults[0].place().contains("line"), "{wrong}: {}", faults[0]);
    }
}

/// A spindle 104 mm from its column reaches no hole 130 mm from every edge: a hand drill does.
#[test]
fn a_hole_beyond_the_throat_is_drilled_by_hand() {
    let plate = |size: &str| {
        format!(
            "part = \"Base\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"{size}\"\n\
             height = \"{size}\"\nthickness = \"6\"\n[[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = \"6\"\n\
             place = [\"130 right of datum\", \"130 above datum\"]\n"
        )
    };
    let machine = |size: &str| {
        let drawing = workshop::drawing::read_drawing("base", &plate(size)).unwrap();
        let found = plan(&drawing, &bench("drill-press")).unwrap();
        let drilled = found.order.steps.iter().find(|step| matches!(step.work, Work::Drill { .. })).unwrap();
        assert!(matches!(drilled.tool, Tool::Drill(_)));
        let held = &found.order.setups[drilled.setup];
        assert_eq!(held.located, Located::Punched);
        held.machine
    };
    assert_eq!(machine("260"), Machine::BenchVice);
    assert_eq!(machine("200"), Machine::DrillPress);
}

/// Where lines are scribed anyway, a hole whose tolerance has room for scriber 0.15, punch 0.1 and
/// drill 0.03 goes on the drill press, though there is a mill; one that has not, on the mill.
#[test]
fn with_a_mill_a_hole_is_punched_where_its_tolerance_allows_and_lines_are_scribed_anyway() {
    let shop = "drills = [\"1 mm to 13 mm by 0.5 mm\"]\n[drill_press]\nthroat = \"150 mm\"\n[mill]\nreadout_step = \"0.01 mm\"\n";
    let shop = read_bench("bench", shop).unwrap();
    let plate = |window: &str, within: &str| {
        format!(
            "part = \"Foot\"\nunit = \"mm\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n[body]\n\
             kind = \"rectangle\"\nwidth = \"100\"\nheight = \"90\"\nthickness = \"8\"\n[[feature]]\nname = \"window\"\n\
             kind = \"hole\"\ndiameter = \"{window}\"\nplace = [\"50 right of datum\", \"45 above datum\"]\n[[feature]]\n\
             name = \"eye\"\nkind = \"hole\"\ndiameter = \"6\"\n\
             place = [{{ is = \"50 from left edge\", within = \"{within}\" }}, \"12 above datum\"]\n"
        )
    };
    let machine = |window: &str, within: &str| {
        let drawing = workshop::drawing::read_drawing("foot", &plate(window, within)).unwrap();
        let found = plan(&drawing, &shop).unwrap_or_else(|faults| panic!("{}", faults[0]));
        let drilled = found.order.steps.iter().find(|step| step.text.starts_with("drill eye")).unwrap();
        let held = &found.order.setups[drilled.setup];
        (held.machine, held.located == Located::Punched)
    };
    assert_eq!(machine("38", "0.28"), (Machine::DrillPress, true));
    assert_eq!(machine("38", "0.27"), (Machine::Mill, false));
    // A drill makes that window: nothing is scribed, and marking out is a setup more.
    assert_eq!(machine("12", "0.28"), (Machine::Mill, false));
}

/// What is wider than any drill and any boring tool comes out all the same, whatever the bench.
#[test]
fn no_hole_is_too_wide_for_a_bench() {
    let text = "part = \"Foot\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"130\"\n\
                height = \"110\"\nthickness = \"8\"\n[[feature]]\nname = \"window\"\nkind = \"hole\"\ndiameter = \"80\"\n\
                place = [\"65 right of datum\", \"55 above datum\"]\n";
    for name in ["drill-press", "hand-tools", "no-rotary", "no-lathe", "inch-handwheels", "empty"] {
        let drawing = workshop::drawing::read_drawing("foot", text).unwrap();
        let found = plan(&drawing, &bench(name)).unwrap_or_else(|faults| panic!("{name}: {}", faults[0]));
        let last = found.order.steps.iter().rfind(|step| step.text.contains("window")).unwrap();
        assert!(matches!(last.work, Work::Bore { .. } | Work::FileHoleRound { .. }), "{name}: {}", last.text);
        let checked = found.setups.iter().flat_map(|sheet| &sheet.rows).find(|row| row.what == last.text);
        assert!(checked.is_some_and(|row| row.check.is_some()), "{name}: it is measured");
    }
}

/// Where no boring tool reaches, the way out is a plain hole, which is filed; a reamer of another size by far is none.
#[test]
fn a_bore_that_nothing_reaches_may_be_a_plain_hole() {
    let text = "part = \"Foot\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"130\"\n\
                height = \"110\"\nthickness = \"8\"\n[[feature]]\nname = \"window\"\nkind = \"hole\"\ndiameter = \"80\"\n\
                finish = \"bored\"\nplace = [\"65 right of datum\", \"55 above datum\"]\n";
    let drawing = workshop::drawing::read_drawing("foot", text).unwrap();
    for name in ["hand-tools", "no-lathe"] {
        let told = plan(&drawing, &bench(name)).unwrap_err()[0].to_string();
        assert!(
            told.contains("or leave its `finish` out: it is then chain drilled and filed"),
            "{name}: {told}"
        );
        assert!(!told.contains("within = \""), "{name}: {told}");
    }
}

/// A plain disc is a part as a plain block is: it has its circle.
#[test]
fn a_plain_disc_is_a_part() {
    let text = "part = \"Pad\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"disc\"\n\
                diameter = \"60\"\nthickness = \"3\"\n";
    let drawing = workshop::drawing::read_drawing("pad", text).unwrap();
    for name in ["drill-press", "hand-tools", "no-rotary", "no-lathe", "everything"] {
        let found = plan(&drawing, &bench(name)).unwrap_or_else(|faults| panic!("{name}: {}", faults[0]));
        let round = |work: &Work| matches!(work, Work::TurnDisc | Work::FileRound);
        assert!(found.order.steps.iter().any(|step| round(&step.work)), "{name}");
    }
}

/// A keyway in a shaft is chiselled where there is no mill, as it was before there were any.
#[test]
fn a_slot_across_a_turned_part_is_cut_by_hand() {
    let text = "part = \"Shaft\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\nlength = \"60\"\n\
                [[feature]]\nname = \"journal\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"60\"\n\
                [[feature]]\nname = \"keyway\"\nkind = \"slot\"\nface = \"top\"\nwidth = \"5\"\ncentres = \"15\"\ndepth = \"3\"\n\
                place = [\"30 from left end\"]\n";
    let drawing =
        workshop::drawing::read_drawing("shaft", text).unwrap_or_else(|faults| panic!("{}", faults[0]));
    let found = plan(&drawing, &bench("drill-press")).unwrap_or_else(|faults| panic!("{}", faults[0]));
    let cut = found
        .order
        .steps
        .iter()
        .find(|step| step.text.starts_with("chisel out keyway"))
        .expect("it is chiselled");
    assert_eq!(found.order.setups[cut.setup].machine, Machine::BenchVice);
}
