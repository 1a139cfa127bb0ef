//! Threads on turned parts: what cuts them and what they run out into.

use super::*;

/// A thread up to a shoulder without an undercut is asked about; one with it is not.
#[test]
fn a_thread_without_an_undercut_is_supposed_to_run_out() {
    let made = planned(UNION, "everything");
    let runs_out: Vec<&String> =
        made.cover.assumed.iter().filter(|s| s.contains("runs out before")).collect();
    assert_eq!(runs_out.len(), 1, "{runs_out:?}");
    assert!(runs_out[0].starts_with("pipe end runs out before hexagon"), "{runs_out:?}");
}

/// A die does not pass a collar: the thread behind it is cut with a tool, in passes down
/// to 0.613 of its pitch.
#[test]
fn a_thread_behind_a_collar_is_cut_with_a_tool() {
    let text = stub("thread = \"M10\"", "kind = \"section\"\ndiameter = \"16\"\nlength = \"14\"")
        .replace("length = \"20\"", "length = \"12\"");
    let made = planned(&text, "everything");
    let cut = row(&made, "cut the thread of thick");
    assert_eq!(cut.tool, "threading tool of 60°");
    assert_eq!(shown(cut, "depth of thread"), "≈0.92 mm");
    let passes = shown(cut, "passes, dial from a touch");
    assert!(
        passes.split(", ").count() > 5 && passes.ends_with("1.690 mm"),
        "the dial shows the diameter: {passes}"
    );
}

/// An undercut stays below the root of the thread it is for: M6 is 4.77 there.
#[test]
fn an_undercut_is_below_its_thread() {
    for on in ["everything", "inch-drills"] {
        let made = planned(KNOB, on);
        let mm: f64 = chosen(&made, "undercut: diameter")
            .trim_end_matches(" mm")
            .trim_start_matches('≈')
            .parse()
            .unwrap();
        assert!(mm <= 4.77, "{on}: {mm}");
    }
}

/// Two dies and gear for any metric pitch: a fine thread by die, a coarse one roughed with a tool, and
/// what has no die with a tool alone.
#[test]
fn a_thread_is_cut_by_what_the_bench_has_for_it() {
    let spindle = |thread: &str| {
        format!(
            "part = \"Spindle\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
             [[feature]]\nname = \"screw\"\nkind = \"section\"\nthread = \"{thread}\"\nlength = \"20\"\n\
             [[feature]]\nname = \"runout\"\nkind = \"groove\"\ndiameter = \"3.5\"\nwidth = \"4\"\nplace = [\"16 right of screw\"]\n\
             [[feature]]\nname = \"body\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"30\"\n"
        )
    };
    let bench = |dies: &str| {
        let text = format!(
            "taps = [\"M6\", \"M16\"]\ndies = {dies}\ndrills = [\"1 mm to 13 mm by 0.1 mm\"]\n[lathe]\nspeeds = [60, 110, 190, 320, 560, 900]\n\
             leadscrew = \"3 mm\"\nchange_wheels = [20, 25, 30, 35, 40, 45, 50, 60]\n\
             [[stock]]\nmaterial = \"mild steel\"\nround = [\"20 mm\"]\n"
        );
        read_bench("bench.toml", &text).unwrap()
    };
    let cut = |thread: &str, dies: &str| plan(&read(&spindle(thread)), &bench(dies)).unwrap();
    let by_die = cut("M6", "[\"M6\"]");
    let turned = row(&by_die, "turn screw");
    assert_eq!(shown(turned, "check"), "⌀ 5.9 mm", "a tenth of the pitch under");
    let thread = row(&by_die, "thread screw");
    assert_eq!((thread.speed.as_ref().unwrap().shown.as_str(), thread.depth.len()), ("by hand", 0));
    assert_eq!(shown(thread, "run-out"), "into the groove of 4 mm");
    assert_eq!(shown(thread, "on the thread"), "cutting oil");
    let both = cut("M16", "[\"M16\"]");
    let thread = row(&both, "thread screw");
    assert!(thread.tool.contains("60°") && thread.tool.contains("die M16"), "{}", thread.tool);
    assert!(shown(thread, "die").starts_with("the tool 0.92 mm deep"), "{}", shown(thread, "die"));
    let passes = shown(thread, "passes, dial from a touch");
    assert!(passes.starts_with("0.40, ") && passes.ends_with("1.64 mm"), "{passes}");
    let by_tool = cut("M6", "[]");
    let thread = row(&by_tool, "cut the thread of screw");
    assert_eq!(thread.tool, "threading tool of 60°");
    assert!(shown(thread, "gear").contains("on the leadscrew"));
    let drawing = read(&spindle("M6"));
    let chosen = metricate(&drawing, &solve(&drawing).unwrap(), &bench("[]")).unwrap();
    assert_eq!(chosen.purchases, [], "no die is bought");
}

/// 5 BA is 3.2 over its crests (BS 93), on a rod of 1/8 in: that is one rod threaded at its end. It becomes M3 on
/// 3 mm, never M4 on a rod that is thinner than its thread, and a die comes on from the end.
#[test]
fn a_thread_on_a_rod_stays_on_it() {
    let text = "part = \"Rod\"\nunit = \"inch\"\nmaterial = \"silver steel\"\nusual_roles = true\n[body]\nkind = \"turned\"\n\
                [[feature]]\nname = \"screw\"\nkind = \"section\"\nthread = \"5 BA\"\nlength = \"1/4\"\n\
                [[feature]]\nname = \"rod\"\nkind = \"section\"\ndiameter = \"1/8\"\nlength = \"7/8\"\n\
                [[mate]]\nname = \"gland\"\nin = \"rod\"\nsize = \"1/8\"\nfit = \"running\"\n";
    for text in [text.to_owned(), text.replace("5 BA", "1/8 x 40 ME")] {
        let made = planned(&text, "everything");
        assert_eq!(chosen(&made, "screw: thread"), "M3");
        assert_eq!(chosen(&made, "rod: diameter"), "3 mm");
        let cut = made.setups.iter().flat_map(|s| &s.rows).find(|row| row.what.contains("thread screw"));
        assert!(cut.is_some_and(|row| row.tool.contains("die")), "{:?}", cut.map(|row| &row.tool));
    }
}

/// M3 has 70.6 % of the tensile stress area of 4 BA (ISO 898-1, BS 93), M4 no shoulder on 4 mm: the ways out say what
/// the screw would keep, and it is had by saying so in the file.
#[test]
fn a_screw_may_be_weaker_where_the_person_says_so() {
    let text = |thread: &str| {
        format!(
            "part = \"Trunnion\"\nunit = \"inch\"\nmaterial = \"silver steel\"\nusual_roles = true\n[body]\nkind = \"turned\"\n\
             [[feature]]\nname = \"screw\"\nkind = \"section\"\nthread = {thread}\nlength = \"1/4\"\n\
             [[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"5/32\"\nlength = \"1/2\"\n"
        )
    };
    let faults = plan(&read(&text("\"4 BA\"")), &bench("everything")).unwrap_err();
    assert!(told(&faults).contains("(`keeps = \"70 %\"`), so that it can be M3"), "{}", told(&faults));
    let made = planned(&text("{ is = \"4 BA\", keeps = \"70 %\" }"), "everything");
    assert_eq!(chosen(&made, "screw: thread"), "M3");
    let told_of = made.cover.assumed.iter().any(|words| words.contains("M3 keeps 70 % of the stress area"));
    assert!(told_of, "{:?}", made.cover.assumed);
    for (keeps, words) in [("7", "is no share"), ("20 %", "is no share")] {
        let file = text(&format!("{{ is = \"4 BA\", keeps = \"{keeps}\" }}"));
        let faults = workshop::drawing::read_drawing("trunnion.toml", &file).unwrap_err();
        assert!(told(&faults).contains(words), "{}", told(&faults));
    }
    let file = text("\"4 BA\"").replace("\"5/32\"", "{ is = \"5/32\", keeps = \"70 %\" }");
    let faults = workshop::drawing::read_drawing("trunnion.toml", &file).unwrap_err();
    assert!(told(&faults).contains("`keeps` means nothing here"), "{}", told(&faults));
}
