//! What is no turned part, or none that a lathe could make, and what is said of it.

use super::*;

#[test]
fn what_cannot_be_read_says_what_is_wrong_with_it() {
    for (section, more, words) in [
        ("diameter = \"20\"\nthread = \"M6\"", PIN, "both `diameter` and `thread`"),
        ("square = \"20\"\nhexagon = \"20\"", PIN, "both `square` and `hexagon`"),
        ("thread = \"M6\"\ntapers_to = \"4\"", PIN, "tapers from nothing"),
        ("diameter = \"20\"\ntapers_to = \"20\"", PIN, "tapers to the diameter it has already"),
        ("diameter = \"20\"\ntapers_to = \"wide\"", PIN, "thick: tapers to"),
        ("hexagon = \"20\"\noffset = \"2\"", PIN, "bar left as it comes, and has an offset"),
        ("diameter = \"20\"\noffset_at = \"90°\"", PIN, "which way it is offset, and not how far"),
        ("diameter = \"20\"\noffset = \"2\"\noffset_at = \"up\"", PIN, "offset_at"),
        ("hexagon = \"-3\"", PIN, "not more than nought"),
        (ROUND, "kind = \"knurl\"\nover = \"thick\"\npattern = \"diamond\"", "extra: pitch is missing"),
        (ROUND, "kind = \"knurl\"\nover = \"thick\"\npitch = \"1\"", "`pattern` is not given"),
        (
            ROUND,
            "kind = \"knurl\"\nover = \"thick\"\npitch = \"1\"\npattern = \"wavy\"",
            "`wavy` is not known",
        ),
        (ROUND, "kind = \"knurl\"\nover = \"thikc\"\npitch = \"1\"\npattern = \"diamond\"", "thikc"),
        (
            "thread = \"M20\"",
            "kind = \"knurl\"\nover = \"thick\"\npitch = \"1\"\npattern = \"diamond\"",
            "not a plain section",
        ),
        (ROUND, "kind = \"chamfer\"\nof = \"extra\"\nend = \"left\"\nsize = \"1\"", "not a section"),
        (ROUND, "kind = \"chamfer\"\nof = \"thick\"\nend = \"top\"\nsize = \"1\"", "`top` is not known"),
        (ROUND, "kind = \"flats\"\nacross = \"16\"\ncount = 3\nlength = \"5\"", "has 3 flats"),
        (ROUND, "kind = \"flats\"\nacross = \"16\"\nlength = \"5\"", "`count` is not given"),
        (ROUND, "kind = \"recess\"\ndiameter = \"10\"\ndepth = \"2\"", "which end it is turned in"),
        (ROUND, "kind = \"recess\"\nface = \"left\"\ndiameter = \"10\"", "extra: depth is missing"),
    ] {
        let faults = read_drawing("part.toml", &stub(section, more)).expect_err(words);
        assert!(told(&faults).contains(words), "{words}: {}", told(&faults));
        assert!(faults.iter().all(|fault| fault.remedy().is_some()), "{}", told(&faults));
    }
}

#[test]
fn what_no_lathe_could_make_is_said() {
    let flats = |across: &str, count: u32, length: &str, from: &str| {
        format!(
            "kind = \"flats\"\nacross = \"{across}\"\ncount = {count}\nlength = \"{length}\"\nplace = [\"{from} right of thick\"]"
        )
    };
    let circle = |across: &str| {
        format!(
            "kind = \"pitch circle\"\nface = \"right\"\nholes = 4\npitch_circle = \"{across}\"\ndiameter = \"3\"\ndepth = \"4\""
        )
    };
    for (section, more, words) in [
        ("diameter = \"4\"\noffset = \"9\"", PIN.to_owned(), "hangs on nothing"),
        ("hexagon = \"10\"", PIN.to_owned(), "`thin` does not come out of the bar"),
        (ROUND, flats("20", 2, "5", "2"), "takes nothing off"),
        (ROUND, flats("9", 1, "5", "2"), "goes past the axis"),
        (ROUND, flats("16", 2, "5", "28"), "does not lie within one section"),
        ("diameter = \"20\"\noffset = \"2\"", flats("16", 2, "5", "2"), "on an eccentric section"),
        (
            ROUND,
            "kind = \"groove\"\ndiameter = \"10\"\nwidth = \"4\"\nplace = [\"2 left of thick\"]".into(),
            "within one section",
        ),
        (
            ROUND,
            "kind = \"groove\"\ndiameter = \"20\"\nwidth = \"4\"\nplace = [\"2 right of thick\"]".into(),
            "not below the diameter",
        ),
        (
            ROUND,
            "kind = \"knurl\"\nover = \"thick\"\npitch = \"6\"\npattern = \"straight\"".into(),
            "room for 10 ridges",
        ),
        (
            ROUND,
            "kind = \"chamfer\"\nof = \"thin\"\nend = \"right\"\nsize = \"1\"".into(),
            "no edge to take off",
        ),
        (
            ROUND,
            "kind = \"chamfer\"\nof = \"thick\"\nend = \"left\"\nsize = \"5\"".into(),
            "more than `thick` has there",
        ),
        (
            ROUND,
            "kind = \"recess\"\nface = \"right\"\ndiameter = \"21\"\ndepth = \"3\"".into(),
            "leaves no rim",
        ),
        (
            ROUND,
            "kind = \"recess\"\nface = \"right\"\ndiameter = \"14\"\ndepth = \"31\"".into(),
            "leaves no rim in `thin`",
        ),
        (
            ROUND,
            "kind = \"recess\"\nface = \"right\"\ndiameter = \"14\"\nhub = \"15\"\ndepth = \"3\"".into(),
            "all hub",
        ),
        (ROUND, "kind = \"hole\"\nface = \"right\"\ndiameter = \"13\"".into(), "breaks out of `thin`"),
        (ROUND, circle("18"), "breaks out of `thick`"),
        (ROUND, circle("4"), "breaks into"),
        (ROUND, circle("13").replace("depth = \"4\"", ""), "comes out along the side of `thin`"),
        (
            "diameter = \"20\"\noffset = \"5\"",
            "kind = \"hole\"\nface = \"right\"\ndiameter = \"11\"".into(),
            "breaks out of `thick`",
        ),
        (ROUND, "kind = \"slot\"\nface = \"right\"\nwidth = \"3\"\ncentres = \"30\"".into(), "how deep"),
        (
            "diameter = \"20\"\noffset = \"2\"",
            format!("{PIN}\n[stock]\nform = \"round bar\"\nsize = [\"22\"]"),
            "does not come out of the bar",
        ),
    ] {
        let drawing = read(&stub(section, &more));
        let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{words}: {}", told(&faults)));
        let faults = Part::as_drawn(&drawing, &solved).impossible();
        assert!(told(&faults).contains(words), "{words}: {}", told(&faults));
        assert!(faults.iter().all(|f| f.reason().is_some() && f.remedy().is_some()), "{}", told(&faults));
    }
}

/// What a lathe part has no place for is refused by name, and so is a knurl on a plate.
#[test]
fn a_feature_of_another_kind_of_part_is_refused() {
    let step = "kind = \"step\"\nleaves = \"5\"\nside = \"right\"\nplace = [\"5 right of thick\"]";
    let faults = plan(&read(&stub(ROUND, step)), &bench("everything")).unwrap_err();
    assert!(told(&faults).contains("no way is known to make `extra` on a turned part"), "{}", told(&faults));
    let plate = include_str!("../parts/wide-slot.toml");
    let more = format!(
        "{plate}[[feature]]\nname = \"extra\"\nkind = \"section\"\ndiameter = \"6 mm\"\nlength = \"5 mm\"\nplace = [\"5 mm right of left edge\"]\n"
    );
    let faults = plan(&read(&more), &bench("everything")).unwrap_err();
    assert!(told(&faults).contains("extra"), "{}", told(&faults));
}

/// Flats stay inside their ends: where an end is closed, the cutter's edge stands on it.
#[test]
fn no_flat_is_cut_past_a_closed_end() {
    let mut closed = 0;
    for (text, on) in
        [(SPINDLE, "everything"), (SPINDLE, "no-rotary"), (PLUG, "everything"), (PLUG, "inch-drills")]
    {
        let (drawing, bench) = (read(text), bench(on));
        let solved = solve(&drawing).unwrap();
        let metric = metricate(&drawing, &solved, &bench).unwrap();
        let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
        let order = order_of_work(&part, &metric, &bench).unwrap();
        let made = plan(&drawing, &bench).unwrap();
        for step in order.steps.iter().filter(|s| matches!(s.work, Work::MillFlats { .. })) {
            let id = step.feature.unwrap();
            let workshop::drawing::Kind::Flats { length, .. } = part.feature(id).kind else { panic!() };
            let start = part.along(id).unwrap();
            let end = start + part.size(length);
            let zero = match order.setups[step.setup].located {
                workshop::order::Located::EndAndAxis(workshop::drawing::Face::Right) => part.thickness(),
                _ => Length::ZERO,
            };
            let radius_mm = step.tool.diameter().unwrap().half().as_mm();
            let row = row(&made, &step.text);
            let x: Vec<f64> = row
                .sets
                .iter()
                .filter(|f| f.label().starts_with('X'))
                .map(|f| {
                    f.shown.trim_end_matches(" mm").parse::<f64>().unwrap_or_else(|_| panic!("{}", f.shown))
                        + zero.as_mm()
                })
                .collect();
            let least = x.iter().copied().fold(f64::INFINITY, f64::min) - radius_mm;
            let most = x.iter().copied().fold(f64::NEG_INFINITY, f64::max) + radius_mm;
            for (end_kind, edge_mm, at_mm, sign) in
                [(SectionEnd::Left, least, start.as_mm(), 1.0), (SectionEnd::Right, most, end.as_mm(), -1.0)]
            {
                let past = (at_mm - edge_mm) * sign;
                if part.flats_open(id, end_kind) {
                    assert!(past >= -0.006, "{on}: {} stops short at its open end", row.what);
                } else {
                    closed += 1;
                    assert!(past.abs() <= 0.006, "{on}: {} goes {past} past a closed end", row.what);
                }
            }
        }
    }
    assert!(closed >= 8, "{closed} closed ends");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    /// Whatever is turned, there is a plan or a problem that says what to mend.
    #[test]
    fn any_turned_part_is_planned_or_told_what_to_mend(
        sections in prop::collection::vec((3i64..40, 3i64..40, 0u8..7), 1..6),
        extras in prop::collection::vec((0u8..6, 0usize..6, 1i64..20), 0..4),
    ) {
        let mut text = String::from("part = \"Any\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"turned\"\n");
        for (n, (across, long, what)) in sections.iter().enumerate() {
            let size = match what {
                0 => format!("diameter = \"{across}\"\ntapers_to = \"{}\"", across / 2 + 1),
                1 => format!("diameter = \"{across}\"\noffset = \"{}\"\noffset_at = \"{}°\"", across / 6 + 1, across * 7),
                2 => format!("hexagon = \"{across}\""),
                3 => "thread = \"M8\"".to_owned(),
                _ => format!("diameter = \"{across}\""),
            };
            text += &format!("[[feature]]\nname = \"s{n}\"\nkind = \"section\"\n{size}\nlength = \"{long}\"\n");
        }
        for (n, (what, on, size)) in extras.iter().enumerate() {
            let on = on % sections.len();
            let kind = match what {
                0 => format!("kind = \"knurl\"\nover = \"s{on}\"\npitch = \"0.8\"\npattern = \"straight\""),
                1 => format!("kind = \"flats\"\nacross = \"{size}\"\ncount = 2\nlength = \"4\"\nplace = [\"1 right of s{on}\"]"),
                2 => format!("kind = \"chamfer\"\nof = \"s{on}\"\nend = \"right\"\nsize = \"0.5\""),
                3 => format!("kind = \"recess\"\nface = \"right\"\ndiameter = \"{size}\"\ndepth = \"2\""),
                4 => format!("kind = \"hole\"\nface = \"left\"\ndiameter = \"2\"\ndepth = \"3\"\nplace = [\"{size} above datum\"]"),
                _ => format!("kind = \"groove\"\ndiameter = \"{size}\"\nwidth = \"1\"\nplace = [\"1 right of s{on}\"]"),
            };
            text += &format!("[[feature]]\nname = \"e{n}\"\n{kind}\n");
        }
        let outcome = read_drawing("any.toml", &text).and_then(|drawing| plan(&drawing, &bench("everything")));
        if let Err(faults) = outcome {
            prop_assert!(!faults.is_empty());
            for fault in faults {
                prop_assert!(fault.remedy().is_some(), "{fault}\n{text}");
            }
        }
    }
}
