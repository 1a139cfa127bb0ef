//! Threads that wind the other way: their own taps and dies, how they are turned, what they screw into.

mod from_text;

use from_text::{chosen, drawing, shown};
use workshop::bench::{Bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::sheet::Row;

fn bench(taps: &str) -> Bench {
    let text = format!(
        "drills = [\"1 mm to 13 mm by 0.1 mm\"]\n{taps}\n[mill]\nspeeds = [200, 500, 1000]\nreadout_step = \"0.01 mm\"\n\
         [lathe]\nspeeds = [60, 110, 190, 320, 560]\nleadscrew = \"3 mm\"\nchange_wheels = [20, 25, 30, 40, 40, 50, 60, 80]\n\
         dial_step = \"0.02 mm\"\ndial_reads = \"diameter\"\n\
         [[end_mill]]\ndiameter = \"16 mm\"\nflute = \"32 mm\"\nteeth = 4\n"
    );
    read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}", shown(&faults)))
}

fn plate(thread: &str) -> String {
    format!(
        "part = \"Nut plate\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"2\"\n\
         height = \"1\"\nthickness = \"3/8\"\ndatum = \"centre\"\n[[feature]]\nname = \"eye\"\nkind = \"tapped hole\"\n\
         thread = {thread}\nplace = [\"datum\"]\n"
    )
}

fn screw(thread: &str) -> String {
    format!(
        "part = \"Turnbuckle\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"grip\"\nkind = \"section\"\ndiameter = \"12\"\nlength = \"20\"\n\
         [[feature]]\nname = \"tail\"\nkind = \"section\"\nthread = \"{thread}\"\nlength = \"20\"\n\
         [[feature]]\nname = \"undercut\"\nkind = \"groove\"\ndiameter = \"5.5\"\nwidth = \"3\"\nplace = [\"20 from left end\"]\n"
    )
}

fn planned(text: &str, bench: &Bench) -> Plan {
    plan(&drawing(text), bench).unwrap_or_else(|faults| panic!("{}", shown(&faults)))
}

fn row<'p>(made: &'p Plan, what: &str) -> &'p Row {
    let mut rows = made.setups.iter().flat_map(|setup| &setup.rows);
    rows.find(|row| row.what.contains(what)).unwrap_or_else(|| panic!("no row {what}"))
}

fn says(row: &Row, label: &str) -> Option<String> {
    let mut all = row.sets.iter().chain(&row.depth);
    all.find(|figure| figure.label() == label).map(|figure| figure.shown.clone())
}

#[test]
fn a_left_hand_hole_has_a_tap_of_its_own_and_says_which_way_it_turns() {
    let text = plate("\"M6 left hand\"");
    let made = planned(&text, &bench("taps = [\"M6-LH\"]"));
    let tapped = row(&made, "tap eye");
    assert_eq!(tapped.tool, "tap M6-LH");
    assert!(says(tapped, "turn").is_some_and(|words| words.starts_with("anticlockwise to cut")));
    let (_, _, part) = chosen(&text, &bench("taps = [\"M6-LH\"]"));
    assert!(!part.purchases.iter().any(|buy| buy.what.starts_with("tap")), "{:?}", part.purchases);
    let (_, _, part) = chosen(&text, &bench("taps = [\"M6\"]"));
    assert!(part.purchases.iter().any(|buy| buy.what == "tap M6-LH"), "{:?}", part.purchases);
    // A right-hand one says nothing.
    let right = planned(&plate("\"M6\""), &bench("taps = [\"M6\"]"));
    assert_eq!(says(row(&right, "tap eye"), "turn"), None);
}

#[test]
fn what_takes_the_place_of_a_left_hand_thread_winds_the_same_way() {
    let (_, _, part) = chosen(&plate("\"2 BA LH\""), &bench("taps = [\"M5\"]"));
    let found = &part.threads[0].chosen.designation;
    assert!(found.starts_with('M') && found.ends_with("-LH"), "{found}");
    let faults = read_drawing("part.toml", &plate("{ is = \"M6-LH\", pin = \"M6\" }")).unwrap_err();
    assert!(shown(&faults).contains("M6-LH is left-handed, M6 is right-handed"), "{}", shown(&faults));
}

/// A pipe's thread stays: no metric one screws on to it.
#[test]
fn a_pipe_thread_stays_as_drawn() {
    let (_, _, part) = chosen(&plate("\"1/8 BSP\""), &bench("taps = [\"M10\"]"));
    assert_eq!(part.threads[0].chosen.designation, "1/8 BSP");
}

#[test]
fn a_left_hand_screw_is_cut_from_its_groove_outwards_or_by_its_own_die() {
    let by_tool = planned(&screw("M8-LH"), &bench("dies = [\"M8\"]"));
    let cut = row(&by_tool, "thread of tail");
    assert!(says(cut, "left-handed").is_some_and(|words| words.contains("towards the tailstock")), "{cut:?}");
    assert!(says(cut, "begins").is_some_and(|words| words.starts_with("in the groove of 3 mm")), "{cut:?}");
    assert_eq!(says(cut, "run-out"), None);
    let by_die = planned(&screw("M8-LH"), &bench("dies = [\"M8-LH\"]"));
    let cut = row(&by_die, "thread tail");
    assert!(cut.tool.contains("die M8-LH"), "{}", cut.tool);
    assert!(says(cut, "left-handed").is_some_and(|words| words.contains("anticlockwise")), "{cut:?}");
    assert!(cut.speed.as_ref().is_some_and(|speed| speed.shown == "by hand"), "{cut:?}");
}

/// 0 BA is 6 mm across with a pitch of 1 mm, as M6 is (BS 93, ISO 261), and 47½° in its profile.
#[test]
fn a_tap_of_the_same_size_and_another_profile_is_no_tap_for_it() {
    let both = bench("taps = [\"0 BA\", \"M6\", \"M6\"]");
    assert_eq!(both.taps.iter().map(|tap| tap.designation.as_str()).collect::<Vec<_>>(), ["0 BA", "M6"]);
    let m6 = workshop::tables::threads::find("M6").unwrap();
    assert!(both.has_die(m6) && !bench("taps = [\"0 BA\"]").has_die(m6));
}
