//! What a person settles: sizes and threads pinned, sizes already made, parts bought in,
//! things that would be bought.

use workshop::bench::{Bench, empty_bench, read_bench};
use workshop::drawing::{Drawing, read_drawing, solve};
use workshop::measure::{Length, read_length};
use workshop::metric::{MadeWith, MetricPart, Standing, metricate, unused};
use workshop::plan::changes;
use workshop::problem::Problem;
use workshop::why::Why;

const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");
const LEVER: &str = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
const COVER: &str = include_str!("../../../examples/kittiwake/parts/gear-cover.toml");
const CASTING: &str = include_str!("parts/cast-bracket.toml");

fn bench() -> Bench {
    read_bench("bench.toml", BENCH).expect("the example bench reads")
}

fn with_wishes(wishes: &str) -> Bench {
    let text = BENCH.replacen("drills =", &format!("would_buy = [{wishes}]\ndrills ="), 1);
    assert_ne!(text, BENCH);
    read_bench("bench.toml", &text).expect("the bench reads with wishes")
}

fn read(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", shown(&faults)))
}

fn choose(text: &str, bench: &Bench) -> Result<(Drawing, MetricPart), Vec<Problem>> {
    let drawing = read(text);
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    metricate(&drawing, &solved, bench).map(|part| (drawing, part))
}

fn chosen(text: &str, bench: &Bench) -> (Drawing, MetricPart) {
    choose(text, bench).unwrap_or_else(|faults| panic!("{}", shown(&faults)))
}

fn refused(text: &str) -> String {
    shown(&choose(text, &bench()).map(|_| ()).expect_err("it must be refused"))
}

fn shown(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn size(drawing: &Drawing, part: &MetricPart, name: &str) -> Length {
    let at = drawing.dimensions.iter().position(|d| d.name == name);
    part.dimensions[at.unwrap_or_else(|| panic!("no dimension `{name}`"))].chosen
}

fn made(drawing: &Drawing, part: &MetricPart, name: &str) -> MadeWith {
    let at = drawing.dimensions.iter().position(|d| d.name == name).expect("it is there");
    part.dimensions[at].made.clone()
}

fn mm(text: &str) -> Length {
    read_length(&format!("{text} mm"), None).expect("a length").length
}

fn said(why: &Why) -> String {
    let more: Vec<String> = why.because.iter().map(said).collect();
    format!("{}\n{}", why.statement, more.concat())
}

/// A steel plate of 2 × 1 × 1/4 in with these features.
fn plate(features: &str) -> String {
    format!(
        "part = \"Plate\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\n\
         width = \"2\"\nheight = \"1\"\nthickness = \"1/4\"\ndatum = \"bottom left\"\n{features}"
    )
}

fn hole(diameter: &str, finish: &str, from_left: &str) -> String {
    format!(
        "[[feature]]\nname = \"hole\"\nkind = \"hole\"\ndiameter = {diameter}\nfinish = \"{finish}\"\n\
         place = [{from_left}, \"on the horizontal centre line\"]\n"
    )
}

const MIDDLE: &str = "\"1 from left edge\"";

/// Each pin is what comes out, by a tool that gives it: found by hand on the bench.
#[test]
fn a_pinned_size_comes_out_and_no_other() {
    for (diameter, finish, wanted, tool) in [
        // Unpinned the nearest drill is 4.8; 5.1 is owned too.
        ("{ is = \"3/16\", pin = \"5.1 mm\" }", "drilled", "5.1", "drill 5.1"),
        // An inch size pinned in inches: the drill of that name.
        ("{ is = \"3/16\", pin = \"No. 43\" }", "drilled", "2.2606", "No. 43"),
        // 9.525: 10 is owned, 9.5 is to buy.
        ("{ is = \"3/8\", pin = \"9.5 mm\" }", "reamed", "9.5", "reamer 9.5 mm H7"),
        // Far outside the general tolerance: the person says so.
        ("{ is = \"3/8\", pin = \"12 mm\" }", "reamed", "12", "boring tool"),
        // The boring head goes from 10 to 75.
        ("{ is = \"1/2\", pin = \"12.73 mm\" }", "bored", "12.73", "boring tool"),
    ] {
        let (drawing, part) = chosen(&plate(&hole(diameter, finish, MIDDLE)), &bench());
        assert_eq!(size(&drawing, &part, "hole: diameter"), mm(wanted), "{diameter}");
        let change = changes(&drawing, &part).into_iter().find(|change| change.name == "hole: diameter");
        let change = change.expect("it is listed");
        assert!(change.made_with.contains(tool), "{diameter}: {}", change.made_with);
        assert!(change.role.ends_with("pinned"), "{}", change.role);
        assert!(said(&change.why).contains("the person has chosen this size"), "{}", said(&change.why));
    }
}

/// What is set, turned or filed takes any size at all.
#[test]
fn a_pin_of_what_is_set_on_the_machine_is_taken_as_it_is() {
    let place = "{ is = \"1 from left edge\", pin = \"25.37 mm\" }";
    let (drawing, part) = chosen(&plate(&hole("\"1/8\"", "drilled", place)), &bench());
    assert_eq!(size(&drawing, &part, "hole: from left edge"), mm("25.37"));
    assert_eq!(made(&drawing, &part, "hole: from left edge"), MadeWith::Setting);
    // Even between the steps of the readout, as an exact fraction of an inch is.
    let place = "{ is = \"1 from left edge\", pin = \"63/64 in\" }";
    let (drawing, part) = chosen(&plate(&hole("\"1/8\"", "drilled", place)), &bench());
    assert_eq!(size(&drawing, &part, "hole: from left edge"), Length::inches(63, 64));
}

#[test]
fn a_pin_without_a_tool_says_what_it_would_take() {
    insta::assert_snapshot!(refused(&plate(&hole("{ is = \"3/16\", pin = \"4.93 mm\" }", "drilled", MIDDLE))), @r"
    nothing makes `hole: diameter` 4.93 mm, as it is pinned
      where: part.toml, line 13, `hole: diameter`
      why:   no tool or bar that is owned or sold as standard gives that size; it would take a drill of 4.93 mm
      mend:  pin it to 4.9 mm, which drill 4.9 mm gives, or add what makes 4.93 mm to the bench
    ");
    insta::assert_snapshot!(refused(&plate(&hole("{ is = \"3/16\", pin = \"4.93 mm\" }", "reamed", MIDDLE))), @r"
    nothing makes `hole: diameter` 4.93 mm, as it is pinned
      where: part.toml, line 13, `hole: diameter`
      why:   no tool or bar that is owned or sold as standard gives that size; it would take a reamer of 4.93 mm, or a boring tool that reaches it
      mend:  pin it to 5 mm, which reamer 5 mm H7 after drill 4.9 mm gives, or add what makes 4.93 mm to the bench
    ");
}

#[test]
fn a_pin_outside_what_a_size_is_held_to_is_refused() {
    let held = "{ is = \"1 from left edge\", role = \"hold\", within = \"0.02 mm\", pin = \"25.5 mm\" }";
    insta::assert_snapshot!(refused(&plate(&hole("\"1/8\"", "drilled", held))), @r"
    `hole: from left edge` cannot be pinned to 25.5 mm: it may only go 0.02 mm from the drawing
      where: part.toml, line 15, `hole: from left edge`
      why:   it is held: the mechanism depends on it, and 25.5 mm is 0.1 mm from `1`
      mend:  pin it to a size within that, allow more with `within`, or give it another `role`
    ");
    let bound = held.replace("role = \"hold\", ", "");
    assert!(refused(&plate(&hole("\"1/8\"", "drilled", &bound))).contains("the file bounds it"));
    // Within it, it stands.
    let inside = held.replace("25.5", "25.41");
    let (drawing, part) = chosen(&plate(&hole("\"1/8\"", "drilled", &inside)), &bench());
    assert_eq!(size(&drawing, &part, "hole: from left edge"), mm("25.41"));
}

/// A pin is a demand of its own: the clash names it, and taking it back mends it.
#[test]
fn a_pin_that_cannot_stand_is_named() {
    // 8 mm from the left edge to a hole of 15 leaves half a millimetre.
    let text = plate(&hole(
        "{ is = \"1/2\", pin = \"15 mm\" }",
        "reamed",
        "{ is = \"5/16 from left edge\", role = \"hold\" }",
    ));
    let fault = refused(&text);
    assert!(fault.contains("`hole: diameter` is pinned to 15 mm (line 13)"), "{fault}");
    assert!(fault.contains("take back the pin of `hole: diameter`: it would be "), "{fault}");
    chosen(&text.replace(", pin = \"15 mm\"", ""), &bench());
}

#[test]
fn a_pinned_thread_comes_out_with_its_drill_or_says_why_not() {
    let tapped = |thread: &str| {
        plate(&format!(
            "[[feature]]\nname = \"t\"\nkind = \"tapped hole\"\nthread = {thread}\nplace = [\"1 from left edge\", \"on the horizontal centre line\"]\n"
        ))
    };
    // 2 BA is 4.7 over the crests with a core of 3.73 mm, midway to its pitch diameter 3.97: M5 is nearest.
    let (_, part) = chosen(&tapped("\"2 BA\""), &bench());
    assert_eq!(part.threads[0].chosen.designation, "M5");
    let (drawing, part) = chosen(&tapped("{ is = \"2 BA\", pin = \"M6\" }"), &bench());
    assert_eq!(part.threads[0].chosen.designation, "M6");
    assert!(part.threads[0].tapping_drill.is_some() && part.threads[0].percent.is_some());
    assert_eq!(changes(&drawing, &part).last().expect("the thread").role, "suit (assumed), pinned");
    // Even its own thread, with the tap to buy.
    let (_, part) = chosen(&tapped("{ is = \"2 BA\", pin = \"2 BA\" }"), &bench());
    assert_eq!((part.threads[0].chosen.designation.as_str(), part.purchases.len()), ("2 BA", 1));
    insta::assert_snapshot!(refused(&tapped("{ is = \"2 BA\", pin = \"M3\" }")), @r#"
    no metric sizes for `t: thread` satisfy every demand
      where: part.toml
      why:   these cannot both hold: `t: thread` is pinned to M3 (line 13); the stress area of M3 is 41 % of that of `2 BA`: the screw keeps at least 0.8 of the tensile stress area it has on the drawing
      mend:  take back the pin of `t: thread`: it would be M5
    "#);
    insta::assert_snapshot!(refused(&tapped("{ is = \"2 BA\", role = \"hold\", pin = \"M5\" }")), @r"
    `t: thread` cannot be pinned to M5: it is held as `2 BA`
      where: part.toml, line 13, `t: thread`
      why:   what screws in there depends on it
      mend:  take the pin out, or give it another `role`
    ");
    let (_, part) = chosen(&tapped("{ is = \"2 BA\", made = \"M5\" }"), &empty_bench());
    assert_eq!(part.threads[0].chosen.designation, "M5");
    assert!(!part.purchases.iter().any(|buy| buy.what.contains("M5")), "{:?}", part.purchases);
}

/// What is cut already stays as it measures, and its mate is made to it.
#[test]
fn what_is_made_is_fixed_and_the_rest_follows() {
    let mate =
        |more: &str| format!("[[mate]]\nname = \"pin\"\nin = \"hole\"\nsize = \"5/16\"\nfit = \"{more}\"\n");
    for fit in ["sliding", "H7/g6"] {
        let text = plate(&(hole("{ is = \"5/16\", made = \"8.02 mm\" }", "reamed", MIDDLE) + &mate(fit)));
        let (drawing, part) = chosen(&text, &bench());
        assert_eq!(size(&drawing, &part, "hole: diameter"), mm("8.02"));
        assert_eq!(made(&drawing, &part, "hole: diameter"), MadeWith::Exact);
        assert_eq!(size(&drawing, &part, "pin: size"), mm("8.02"), "turned to the hole");
        assert_eq!(made(&drawing, &part, "pin: size"), MadeWith::Lathe);
        let list = changes(&drawing, &part);
        let hole = list.iter().find(|change| change.name == "hole: diameter").expect("listed");
        assert_eq!((hole.made_with.as_str(), hole.difference.as_str()), ("already made", "+0.083"));
        assert!(said(&hole.why).contains("it stays as it measures"), "{}", said(&hole.why));
    }
    // A shaft already made: a bored hole follows it.
    let shaft = mate("sliding").replace("\"5/16\"", "{ is = \"5/8\", made = \"15.93 mm\" }");
    let (drawing, part) = chosen(&plate(&(hole("\"5/8\"", "bored", MIDDLE) + &shaft)), &bench());
    assert_eq!(size(&drawing, &part, "pin: size"), mm("15.93"));
    assert_eq!(size(&drawing, &part, "hole: diameter"), mm("15.93"));
}

#[test]
fn what_is_made_outside_its_tolerance_is_said_and_kept() {
    let held = "{ is = \"1 from left edge\", role = \"hold\", within = \"0.02 mm\", made = \"25.5 mm\" }";
    let (drawing, part) = chosen(&plate(&hole("\"1/8\"", "drilled", held)), &bench());
    assert_eq!(size(&drawing, &part, "hole: from left edge"), mm("25.5"));
    assert!(part.assumed.iter().any(|line| line.contains("0.1 mm from the drawing")), "{:?}", part.assumed);
}

/// Faults of reading, each with its place and its mending.
#[test]
fn pins_that_mean_nothing_are_faults_with_their_lines() {
    let faults = |diameter: &str, place: &str| {
        let text = plate(&hole(diameter, "drilled", place));
        let faults = read_drawing("part.toml", &text).map(|_| ()).expect_err("it must not read");
        shown(&faults)
    };
    let all = [
        faults("{ is = \"3/16\", pin = \"5\" }", MIDDLE),
        faults("{ is = \"3/16\", pin = \"5 in\" }", MIDDLE),
        faults("{ is = \"3/16\", made = \"0.19 mm\" }", MIDDLE),
        faults("{ is = \"3/16\", pin = \"-5 mm\" }", MIDDLE),
        faults("{ is = \"3/16\", pin = \"5 mm\", made = \"4.9 mm\" }", MIDDLE),
        faults("{ is = \"3/16\", pins = \"5 mm\" }", MIDDLE),
        faults("\"3/16\"", "\"1 from left edge\", { is = \"plumb with datum\", pin = \"5 mm\" }"),
    ];
    insta::assert_snapshot!(all.join("\n\n"), @r"
    `5` has no unit
      where: part.toml, line 13, `pin` of hole: diameter
      why:   what is made is often in another unit than the drawing, so it is not taken from there
      mend:  write `5 mm` or `5 in`

    `5 in` looks like the wrong unit
      where: part.toml, line 13, `pin` of hole: diameter
      why:   the drawing has 4.7625 mm, and `5 in` is 127 mm; so many millimetres would be 5 mm
      mend:  write `mm` after the number if that is meant

    `0.19 mm` looks like the wrong unit
      where: part.toml, line 13, `made` of hole: diameter
      why:   the drawing has 4.7625 mm, and `0.19 mm` is 0.19 mm; so many inches would be 4.826 mm
      mend:  write `in` after the number if that is meant

    `-5 mm` is not more than nought
      where: part.toml, line 13, `pin` of hole: diameter
      mend:  write the size it is to have

    it is pinned to `5 mm` and already made at `4.9 mm`
      where: part.toml, line 13, `made`
      why:   what is cut cannot be chosen any more
      mend:  keep `made` if it is cut, and `pin` if it is still to be cut

    `pins` means nothing here
      where: part.toml, line 13
      mend:  did you mean `pin`? otherwise take the line out

    `plumb with datum` gives no size, so `pin` says nothing there
      where: part.toml, line 15, `pin`
      mend:  write it beside the statement that has the length
    ");
    let thread = "[[feature]]\nname = \"t\"\nkind = \"tapped hole\"\nthread = { is = \"2 BA\", pin = \"M55\" }\nplace = \"datum\"\n";
    let fault = shown(&read_drawing("part.toml", &plate(thread)).map(|_| ()).expect_err("no such thread"));
    assert!(fault.contains("M55") && fault.contains("`pin` of t: thread"), "{fault}");
}

/// A bought part is what it is: nothing moves, nothing is cut, nothing is bought for it.
#[test]
fn a_bought_part_comes_as_it_is() {
    for text in [LEVER, COVER] {
        let text = text.replacen("part =", "bought = true\npart =", 1);
        let (drawing, part) = chosen(&text, &empty_bench());
        for (choice, dimension) in part.dimensions.iter().zip(&drawing.dimensions) {
            assert_eq!((choice.chosen, &choice.made), (dimension.written.length, &MadeWith::Exact));
            assert!(said(&choice.why).contains("bought in"), "{}", said(&choice.why));
        }
        for (choice, call) in part.threads.iter().zip(&drawing.threads) {
            assert_eq!((choice.chosen, &choice.tapping_drill), (call.thread, &None));
        }
        assert!(part.purchases.is_empty() && part.stock.is_none());
        assert!(changes(&drawing, &part).iter().all(|change| change.role == "kept: bought in"));
    }
    let pinned = LEVER.replacen("part =", "bought = true\npart =", 1);
    let pinned = pinned.replacen("thickness = \"3/8\"", "thickness = { is = \"3/8\", pin = \"10 mm\" }", 1);
    insta::assert_snapshot!(refused(&pinned), @r"
    `body: thickness` cannot be pinned to 10 mm: this part is bought in
      where: part.toml, line 16, `body: thickness`
      why:   it comes as it is, which the drawing gives as 9.525 mm
      mend:  take the pin out; write `made` for what it really measures
    ");
    // As it measures, where somebody measured.
    let measured = pinned.replace("pin = \"10 mm\"", "made = \"9.6 mm\"");
    let (drawing, part) = chosen(&measured, &bench());
    assert_eq!(size(&drawing, &part, "body: thickness"), mm("9.6"));
}

/// A cast size cannot be pinned to another, and can be measured.
#[test]
fn a_cast_size_is_not_for_pinning() {
    let (drawing, part) = chosen(CASTING, &bench());
    let cast =
        part.dimensions.iter().find(|choice| choice.made == MadeWith::Exact).expect("something is cast");
    let name = &drawing.dimensions[cast.id.0].name;
    assert_eq!(name, "barrel end: radius");
    let written = format!("radius = \"{}\"", cast.written.text);
    assert!(CASTING.contains(&written), "{written}");
    let with = |more: &str| {
        CASTING.replacen(&written, &format!("radius = {{ is = \"{}\", {more} }}", cast.written.text), 1)
    };
    insta::assert_snapshot!(refused(&with("pin = \"20 mm\"")), @r"
    `barrel end: radius` cannot be pinned to 20 mm: it is 15.875 mm already
      where: part.toml, line 18, `barrel end: radius`
      why:   a size between faces that stay as cast is what the casting gives
      mend:  take the pin out; write `made` for what it really measures
    ");
    let (drawing, part) = chosen(&with("made = \"19.2 mm\""), &bench());
    assert_eq!(size(&drawing, &part, "barrel end: radius"), mm("19.2"));
}

/// What would be bought costs nothing, changes the choice, and stays on the list.
#[test]
fn a_thing_that_would_be_bought_is_taken_and_stays_on_the_list() {
    let text = plate(&hole("\"3/8\"", "reamed", MIDDLE));
    let (drawing, part) = chosen(&text, &bench());
    // 10 mm is owned; 9.5 would be nearer.
    assert_eq!((size(&drawing, &part, "hole: diameter"), part.purchases.len()), (mm("10"), 0));
    let both = [("drill 9.3 mm", Standing::Ticked), ("reamer 9.5 mm H7", Standing::Ticked)];
    let wished = with_wishes("\"Reamer 9.5mm h7\", \"drill 9.3 mm\"");
    let (drawing, part) = chosen(&text, &wished);
    assert_eq!(size(&drawing, &part, "hole: diameter"), mm("9.5"));
    let list = |part: &MetricPart| -> Vec<_> {
        part.purchases.iter().map(|buy| (buy.what.clone(), buy.standing)).collect()
    };
    assert_eq!(list(&part), both.map(|(what, standing)| (what.to_owned(), standing)));
    assert!(unused(&wished, &[&part], &[]).is_empty());
    let idle = with_wishes("\"reamer 9.5 mm H7\", \"drill 9.3 mm\", \"tap M2.5\"");
    assert_eq!(unused(&idle, &[&part], &[]), ["`tap M2.5` would be bought, and nothing chosen here uses it"]);
    assert_eq!(
        unused(&idle, &[&part], &["Frame"]),
        ["`tap M2.5` would be bought, and nothing chosen here uses it; Frame has no sizes yet, and may"]
    );
}

#[test]
fn a_wish_without_a_name_is_a_fault() {
    let text = BENCH.replacen("drills =", "would_buy = [\"tap M2.5\", \" \"]\ndrills =", 1);
    let faults = read_bench("bench.toml", &text).map(|_| ()).expect_err("no name");
    assert!(shown(&faults).contains("has no name"), "{}", shown(&faults));
}

/// Nothing of a bought part is made: asked for its sheets, the program says so.
#[test]
fn a_bought_part_has_no_sheets() {
    let bought = read(&LEVER.replacen("part =", "bought = true\npart =", 1));
    let fault = shown(&workshop::plan::plan(&bought, &bench()).map(|_| ()).expect_err("nothing to make"));
    assert!(fault.contains("Valve lever is bought in: nothing of it is made"), "{fault}");
}
