//! Plates of any outline.

use super::*;

/// An outline of 40 by 30 with corners of 5 and an inside one of 4 at a bite of 15 by 10:
/// the area is that of the corners, less r²(1 − π/4) at an outside corner and as much more
/// at an inside one.
#[test]
fn an_outline_has_the_area_and_length_of_its_corners() {
    let corner = |name: &str, x: i32, y: i32, r: i32| {
        let radius = if r > 0 { format!("radius = \"{r}\"\n") } else { String::new() };
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\n{radius}place = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    let stops = [
        ("a", 0, 0, 5),
        ("b", 40, 0, 5),
        ("c", 40, 20, 5),
        ("d", 25, 20, 4),
        ("e", 25, 30, 0),
        ("f", 0, 30, 5),
    ];
    let mut text = String::from(
        "part = \"L\"\nunit = \"mm\"\n[body]\nkind = \"outline\"\naround = [\"a\", \"b\", \"c\", \"d\", \"e\", \"f\"]\nthickness = \"5\"\n",
    );
    for (name, x, y, r) in stops {
        text += &corner(name, x, y, r);
    }
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let solved = solve(&drawing).unwrap();
    let outline = Part::as_drawn(&drawing, &solved).outline().unwrap();
    let corner = 1.0 - std::f64::consts::FRAC_PI_4;
    let area = 40.0 * 30.0 - 15.0 * 10.0 - 4.0 * 25.0 * corner + 16.0 * corner;
    assert!((outline.area_mm2() - area).abs() < 1e-9, "{} {area}", outline.area_mm2());
    let length = 140.0 - (4.0 * 5.0 + 4.0) * (2.0 - std::f64::consts::FRAC_PI_2);
    assert!((outline.length_mm() - length).abs() < 1e-9, "{} {length}", outline.length_mm());
    // Every rounding runs on from its side and into the next without a kink.
    let heading = |segment: &Segment, share: f64| {
        let (a, b) = (segment.along(share - 1e-6), segment.along(share + 1e-6));
        a.direction_rad(b)
    };
    let segments = outline.segments();
    for (n, arc) in segments.iter().enumerate().filter(|(_, s)| matches!(s, Segment::Arc(_))) {
        let (before, after) =
            (&segments[(n + segments.len() - 1) % segments.len()], &segments[(n + 1) % segments.len()]);
        for (one, other) in
            [(heading(before, 1.0), heading(arc, 0.0)), (heading(arc, 1.0), heading(after, 0.0))]
        {
            assert!((one - other).sin().abs() < 1e-5, "a kink beside piece {n}");
        }
    }
    // An arc of 25 out of the side of 40 adds a segment of half-angle asin 0.8.
    let bulged = text
        .replace("around = [\"a\", \"b\"", "around = [\"a\", { arc = \"25\", bulge = \"out\" }, \"b\"")
        .replace("radius = \"5\"\n", "");
    let drawing = read_drawing("part.toml", &bulged).unwrap();
    let solved = solve(&drawing).unwrap();
    let outline = Part::as_drawn(&drawing, &solved).outline().unwrap();
    let half = 0.8_f64.asin();
    let segment = 25.0 * 25.0 * (half - half.sin() * half.cos());
    let area = 40.0 * 30.0 - 15.0 * 10.0 + 16.0 * corner + segment;
    assert!((outline.area_mm2() - area).abs() < 1e-9, "{} {area}", outline.area_mm2());
}

#[test]
fn an_outline_that_cannot_be_drawn_says_where() {
    let text = |around: &str, radius: &str| {
        let mut text = format!(
            "part = \"Wedge\"\nunit = \"mm\"\n[body]\nkind = \"outline\"\naround = [{around}]\nthickness = \"5\"\n"
        );
        for (name, kind, x, y) in [
            ("a", "corner", 0, 0),
            ("b", "corner", 40, 0),
            ("c", "corner", 40, 20),
            ("d", "corner", 0, 20),
            ("n", "boss", 10, 10),
            ("h", "hole", 5, 5),
        ] {
            let size = match kind {
                "corner" => radius,
                "boss" => "radius = \"4\"",
                _ => "diameter = \"3\"",
            };
            text += &format!(
                "[[feature]]\nname = \"{name}\"\nkind = \"{kind}\"\n{size}\nplace = [\"{x} right of datum\", \"{y} above datum\"]\n"
            );
        }
        text
    };
    let all = "\"a\", \"b\", \"c\", \"d\"";
    for (around, wanted) in [
        ("\"a\", \"b\"", "goes round too little"),
        ("", "goes round too little"),
        ("\"a\", \"h\", \"c\"", "neither a corner nor a boss"),
        ("\"a\", \"b\", \"a\", \"c\"", "goes round `a` twice"),
        (
            "\"a\", { arc = \"20\", bulge = \"out\" }, { arc = \"9\", bulge = \"in\" }, \"n\"",
            "two arcs of the outline lie side by side",
        ),
        ("\"a\", { arc = \"20\", bulge = \"up\" }, \"b\", \"c\"", "is not known for `bulge`"),
        ("\"a\", { arc = \"20\" }, \"b\", \"c\"", "`bulge` is not given"),
        ("\"a\", { bulge = \"in\" }, \"b\", \"c\"", "is missing"),
        ("\"a\", 7, \"b\", \"c\"", "nothing is called `7`"),
    ] {
        let faults = read_drawing("part.toml", &text(around, "")).unwrap_err();
        assert!(told(&faults).contains(wanted), "{around}: {}", told(&faults));
    }
    let straight = text("\"n\", { arc = \"20\", bulge = \"in\" }", "").replace("\"outline\"", "\"bosses\"");
    assert!(told(&read_drawing("part.toml", &straight).unwrap_err()).contains("write `kind = \"outline\"`"));
    for (around, radius, wanted) in [
        ("\"d\", \"c\", \"b\", \"a\"", "", "runs clockwise"),
        ("\"a\", \"c\", \"b\", \"d\"", "", "crosses itself: a to c meets b to d"),
        ("\"a\", \"b\", { arc = \"9\", bulge = \"out\" }, \"c\", \"d\"", "", "does not reach from b to c"),
        ("\"a\", \"b\", { arc = \"9\", bulge = \"out\" }, \"n\"", "", "to touch both it takes 17.8"),
        ("\"a\", { arc = \"3\", bulge = \"out\" }, \"n\", \"b\"", "", "wider than the arc"),
        (all, "radius = \"11\"", "run into each other"),
        (all, "radius = \"30\"", "does not fit at"),
    ] {
        let drawing = read_drawing("part.toml", &text(around, radius)).unwrap();
        let solved = solve(&drawing).unwrap();
        let fault = Part::as_drawn(&drawing, &solved).outline().unwrap_err();
        assert!(fault.to_string().contains(wanted), "{around}: {fault}");
        assert!(fault.remedy().is_some(), "{fault}");
    }
}

/// A reamed hole of 1/4 in, 1.27 mm from a slanting side: 30.48 − 0.6 × 19.05 − 0.8 × 18.256
/// − 3.175. Round numbers alone would thin that wall.
#[test]
fn a_wall_to_a_slanting_side_is_kept() {
    let text = "part = \"Gusset\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\naround = [\"a\", \"b\", \"c\"]\n\
        thickness = \"1/8\"\n[[feature]]\nname = \"a\"\nkind = \"corner\"\nplace = [\"datum\"]\n[[feature]]\nname = \"b\"\nkind = \"corner\"\n\
        place = [\"2 right of a\", \"level with a\"]\n[[feature]]\nname = \"c\"\nkind = \"corner\"\nplace = [\"plumb with a\", \"1 1/2 above a\"]\n\
        [[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nfinish = \"reamed\"\nplace = [\"3/4 right of a\", \"23/32 above a\"]\n";
    let drawing = read_drawing("part.toml", text).unwrap();
    let solved = solve(&drawing).unwrap();
    let drawn = Part::as_drawn(&drawing, &solved);
    let wall = |part: &Part| part.walls()[0].thickness.as_mm();
    assert!((wall(&drawn) - 1.27).abs() < 1e-3, "{}", wall(&drawn));
    let metric = workshop::metric::metricate(&drawing, &solved, &everything()).unwrap();
    let made = drawn.with_sizes(metric.sizes.clone());
    assert!(wall(&made) >= 1.27 - 1e-3, "{} with {:?}", wall(&made), metric.sizes.lengths);
}

/// One bore, and an arc about a centre of its own: the plate is bolted through the bore, and the
/// blank's squared edge shows how it lies, so nothing of the outline is cut before.
#[test]
fn an_arc_is_turned_by_one_bore_and_an_edge() {
    let both = include_str!("../parts/nosed-link.toml");
    let (one, _) = both.split_once("[[feature]]\nname = \"foot bore\"").unwrap();
    let text = one.replace("hands = [\"right\", \"left\"]\n", "");
    let made =
        planned(&format!("{text}[order]\nwanted = [\"foot right to brow: rounded on the rotary table\"]\n"));
    let turned = made.setups.iter().find(|setup| setup.title.contains("over the table's")).unwrap();
    let preset = |label: &str| {
        let found = turned.presets.iter().find(|figure| figure.label() == label);
        found.unwrap_or_else(|| panic!("{label}: {:?}", turned.presets)).shown.clone()
    };
    assert!(preset("table reading").contains("bottom edge of the blank along X"));
    assert!(turned.rows.iter().any(|row| row.what.starts_with("round foot right to brow")));
    // The bore lies within the arc of two inches.
    let mm = |text: String| text.trim_end_matches(" mm").replace('−', "-").parse::<f64>().unwrap();
    let (x, y) = (mm(preset("X over nose bore")), mm(preset("Y over nose bore")));
    assert!(x.hypot(y) > 20.0 && x.hypot(y) < 50.8, "{x} {y}");
    let outline =
        |work: &str| ["round ", "mill foot", "mill brow", "mill nose"].iter().any(|w| work.starts_with(w));
    let before = made.setups.iter().take_while(|setup| setup.number < turned.number);
    assert!(before.flat_map(|setup| &setup.rows).all(|row| !outline(&row.what)));
}

/// Work on one bore is set by an edge of its blank while that stands; once the outline is cut, by a
/// line that an earlier sheet asks for, and never by an edge that is gone.
#[test]
fn work_on_one_bore_is_set_by_what_is_still_there() {
    let link = |more: &str| {
        format!(
            "part = \"Link\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"bosses\"\n\
             around = [\"big end\", \"small end\"]\nthickness = \"6\"\n\
             [[feature]]\nname = \"big end\"\nkind = \"boss\"\nradius = \"9\"\nplace = [\"datum\"]\n\
             [[feature]]\nname = \"small end\"\nkind = \"boss\"\nradius = \"6\"\n\
             place = [\"40 right of big end\", \"level with big end\"]\n\
             [[feature]]\nname = \"eye\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"8\"\n\
             place = [\"concentric with big end\"]\n{more}"
        )
    };
    let reading = |made: &Plan| {
        let turned = made.setups.iter().find(|setup| setup.title.starts_with("Rotary table")).unwrap();
        let found = turned.presets.iter().find(|figure| figure.label() == "table reading");
        found.unwrap_or_else(|| panic!("{:?}", turned.presets)).shown.clone()
    };
    let scribed =
        |made: &Plan| made.setups.iter().flat_map(|s| &s.notes).any(|n| n.contains("scribe a line"));
    // The end without a bore is stepped in the blank, whose edges stay.
    let plain = planned(&link(""));
    assert_eq!(reading(&plain), "0° with the bottom edge of the blank along X");
    assert!(!scribed(&plain));
    // With the flanks cut before this order begins there is none left for the end, and no sheet that
    // could ask for a line in time.
    let late = planned(&link(
        "[order]\ndone = [\"mill the flanks of big end and small end\"]\nwanted = [\"big end: rounded on the rotary table\"]\n",
    ));
    let line = "0° with the line left from what is done already, or scribed now, across its face along X";
    assert!(reading(&late).starts_with(line), "{}", reading(&late));
    assert!(!scribed(&late));
    // Between filing buttons it may lie as it will.
    let filed = planned(&link("[order]\nwanted = [\"big end: filed to buttons\"]\n"));
    assert!(filed.setups.iter().any(|setup| setup.title.contains("between filing buttons")));
    assert!(!scribed(&filed));
    // Roughed out by hand and bolted by its bore, the work is set by a line that is asked for in time.
    let text =
        include_str!("../parts/nosed-link.toml").split_once("[[feature]]\nname = \"foot bore\"").unwrap().0;
    let plain = Bench { rotary_table: None, ..everything() };
    let text = text.replace("hands = [\"right\", \"left\"]\n", "");
    let swung = plan(&read_drawing("part.toml", &text).unwrap(), &plain).unwrap();
    let set = |setup: &SetupSheet| {
        setup.presets.iter().find(|f| f.label() == "the work turned so that it has").cloned()
    };
    for setup in &swung.setups {
        let Some(by) = set(setup) else { continue };
        let said = swung.setups[..setup.number - 1].iter().flat_map(|s| &s.notes);
        let asked =
            said.filter(|note| note.contains(&format!("setup {} is set by it", setup.number))).count();
        assert_eq!(asked, usize::from(by.shown.contains("scribed")), "setup {}: {}", setup.number, by.shown);
    }
    assert!(swung.setups.iter().any(|setup| set(setup).is_some()));
}

/// By hand: 0.3 mm are left for the last cut, 11.8 thousandths; the place for roughing is counted up to
/// a whole division, the offset to the nearest.
#[test]
fn roughing_on_the_rotary_table_is_told_by_the_dials() {
    let text = include_str!("../benches/everything.toml").replace(
        "readout_step = \"0.001 mm\"",
        "handwheel_pitch = \"0.1 in\"\nhandwheel_divisions = 100\nbacklash = \"0.006 in\"",
    );
    let bench = read_bench("bench.toml", &text).unwrap();
    let part = include_str!("../parts/nosed-link.toml").replace("hands = [\"right\", \"left\"]\n", "");
    let part = format!("{part}[order]\nwanted = [\"foot right to brow: rounded on the rotary table\"]\n");
    let made = plan(&read_drawing("part.toml", &part).unwrap(), &bench)
        .unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let rows = made.setups.iter().flat_map(|setup| &setup.rows);
    let row =
        rows.into_iter().find(|row| row.sets.iter().any(|figure| figure.label() == "rough to")).unwrap();
    let set = |label: &str| row.sets.iter().find(|figure| figure.label() == label).unwrap().shown.clone();
    let counted = |shown: &str| {
        let numbers: Vec<i64> =
            shown.split_whitespace().filter_map(|word| word.trim_matches(',').parse().ok()).collect();
        numbers[0] * 100 + numbers[1]
    };
    let (rough, offset) = (set("rough to"), set("offset from the table centre"));
    assert!(rough.starts_with("up ") && rough.contains(" divisions nearer each time"), "{rough}");
    assert!((11..=13).contains(&(counted(&rough) - counted(&offset))), "{rough}; {offset}");
}

/// A strip five times as long as the jaws are wide bends under a drill at its ends; one as short as
/// they are does not.
#[test]
fn long_thin_work_is_not_drilled_past_the_jaws() {
    let strip = |holes: u32| {
        format!(
            "part = \"Strip\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"{}\"\nheight = \"20\"\nthickness = \"5\"\ndatum = \"bottom left\"\n\
             [[feature]]\nname = \"run\"\nkind = \"row\"\nholes = {holes}\nspacing = \"20\"\ndiameter = \"4\"\nplace = [\"10 right of datum\", \"10 above datum\"]\n",
            holes * 20
        )
    };
    let minds = |holes: u32| {
        let made = planned(&strip(holes));
        made.setups.iter().flat_map(|setup| &setup.presets).any(|figure| figure.label() == "mind the ends")
    };
    assert!(minds(20) && !minds(4));
}

/// A sheet that ends thinner than 3 mm bows between jaws: it is stuck down to be faced.
#[test]
fn thin_work_is_faced_stuck_down() {
    let faced = |thick: &str| {
        let made = planned(&format!(
            "part = \"Shim\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"20\"\n\
             thickness = \"{thick}\"\ndatum = \"bottom left\"\n[stock]\nform = \"flat bar\"\nsize = [\"25\", \"8\"]\n"
        ));
        let facing =
            made.setups.iter().find(|setup| setup.rows.iter().any(|row| row.what.starts_with("face to")));
        facing.unwrap_or_else(|| panic!("{thick}")).held.clone()
    };
    assert!(faced("1.7").starts_with("Stuck with adhesive"), "{}", faced("1.7"));
    assert!(faced("6.5").starts_with("In the vice"), "{}", faced("6.5"));
}

/// However the end of a lever with hollow flanks is brought out, the picture of that setup has what
/// goes there.
#[test]
fn an_end_of_an_outline_is_shown_cut_where_it_is_brought_out() {
    let boss = |name: &str, radius: u32, place: &str| {
        format!(
            "[[feature]]\nname = \"{name} end\"\nkind = \"boss\"\nradius = \"{radius}\"\nplace = [{place}]\n\
             [[feature]]\nname = \"{name} eye\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"{}\"\n\
             place = [\"concentric with {name} end\"]\n",
            radius - 3,
        )
    };
    for way in ["filed to buttons", "rounded by stepped coordinates", "rounded on the rotary table"] {
        let text = format!(
            "part = \"Lever\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\nthickness = \"8\"\n\
             around = [\"big end\", {{ arc = \"90\", bulge = \"in\" }}, \"small end\", {{ arc = \"90\", bulge = \"in\" }}]\n\
             {}{}[order]\nwanted = [\"big end: {way}\"]\n",
            boss("big", 11, "\"datum\""),
            boss("small", 8, "\"54 right of big end\", \"level with big end\""),
        );
        let made = planned(&text);
        let brings_out = |setup: &&SetupSheet| setup.rows.iter().any(|row| row.what.contains(" big end"));
        let setup = made.setups.iter().find(brings_out).unwrap_or_else(|| panic!("{way}"));
        let cuts = &setup.stage.as_ref().expect("it is seen in plan").cuts;
        assert!(cuts.iter().any(|cut| cut.when == When::Now), "{way}: {cuts:?}");
    }
}

/// A plate 20 thick with a strap on it, 30 high from memory, is 50: more than a head of 45 clears,
/// and less than one of 60 does. Drilled through in the vice it takes 40.
#[test]
fn a_head_that_does_not_lift_over_the_work_and_its_clamps_is_told() {
    let corner = |name: &str, x: u32, y: u32| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\nplace = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    let corners: String = [("a", 0, 0), ("b", 60, 0), ("c", 60, 40), ("d", 0, 30)]
        .map(|(name, x, y)| corner(name, x, y))
        .concat();
    let text = format!(
        "part = \"Wedge\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"outline\"\nthickness = \"20\"\n\
         around = [\"a\", \"b\", \"c\", \"d\"]\n{corners}"
    );
    let with = |travel_mm: i64| {
        let mut bench = everything();
        bench.mill.travel[2] = Length::mm(travel_mm);
        plan(&read_drawing("part.toml", &text).unwrap(), &bench)
    };
    let made = with(60).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    assert!(made.setups.iter().any(|setup| setup.title.contains("clamp")), "it is clamped down");
    assert!(told(&with(45).unwrap_err()).contains("cannot be lifted over the clamps"));
    let drilled = format!(
        "{text}[[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = \"8\"\nplace = [\"30 right of datum\", \"15 above datum\"]\n"
    );
    let mut bench = everything();
    bench.mill.travel[2] = Length::mm(35);
    let faults = plan(&read_drawing("part.toml", &drilled).unwrap(), &bench).unwrap_err();
    assert!(told(&faults).contains("too deep for the mill's travel in Z"), "{}", told(&faults));
}

/// Two quarters of 1/4 in stand one over the other on a rise of 1/2 in, with nothing between them. No choice makes
/// them run into each other, and the rise stays upright though each of its corners is measured by itself.
#[test]
fn roundings_that_just_meet_go_on_doing_so() {
    let corner = |name: &str, x: &str, y: &str, radius: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\n{radius}place = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    let round = "radius = \"1/4\"\n";
    let text = format!(
        "part = \"Cheek\"\nunit = \"inch\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"outline\"\n\
         thickness = \"1/8\"\naround = [\"a\", \"b\", \"c\", \"d\", \"e\", \"f\"]\n{}{}{}{}{}{}",
        corner("a", "0", "0", ""),
        corner("b", "4", "0", ""),
        corner("c", "4", "1 3/4", round),
        corner("d", "2 1/4", "1 3/4", round),
        corner("e", "2 1/4", "1 1/4", round),
        corner("f", "0", "1 1/4", ""),
    );
    let inch = read_bench("bench.toml", INCH_CUTTERS).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    for bench in [everything(), inch] {
        let drawing = read_drawing("part.toml", &text).unwrap();
        let solved = solve(&drawing).unwrap();
        let made = metricate(&drawing, &solved, &bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        let size = |name: &str| {
            let all = &made.dimensions;
            all.iter().find(|choice| drawing.dimensions[choice.id.0].name == name).expect(name).chosen
        };
        assert_eq!(size("d: right of datum"), size("e: right of datum"));
        let rise = size("d: above datum") - size("e: above datum");
        assert!(size("d: radius") + size("e: radius") <= rise, "{rise}");
    }
}

/// Cutters by the inch, for which a quarter of an inch stays one.
const INCH_CUTTERS: &str =
    "[mill]\nreadout_step = \"0.01 mm\"\n[[end_mill]]\ndiameter = \"1/2 in\"\nflute = \"1 in\"\n";
