//! Eccentrics and cranks: set over, gripped, told how near they come.

use super::*;

/// The bar swings about the second axis while it is whole: off centre first, then true.
#[test]
fn an_eccentric_is_turned_while_the_bar_is_whole() {
    for (text, name) in [(SHEAVE, "sheave"), (CRANK, "crank pin")] {
        let made = planned(text, "everything");
        let off = made.setups.iter().position(|s| s.title.contains("four-jaw")).unwrap();
        let part_off = made.setups.iter().position(|s| s.rows.iter().any(|r| r.what == "part off")).unwrap();
        assert!(off < part_off, "{name}");
        assert_eq!(made.setups.iter().filter(|s| s.title.starts_with("Lathe")).count(), 3, "{name}");
        // The throw, there and back.
        let reading = made.setups[off].presets.iter().find(|f| f.label() == "indicator over one turn");
        let expected = if name == "sheave" { "9.525 mm" } else { "16 mm" };
        assert_eq!(reading.unwrap().shown, expected);
        assert!(made.setups[off].cautions.iter().any(|c| c.contains("out of balance")));
    }
    // Bar of 45 off by 4.7625: the cuts begin at 54.525, less than the first one above 50.
    let made = planned(SHEAVE, "everything");
    let first = shown(row(&made, "turn sheave"), "cut 1");
    let diameter: f64 = first.rsplit_once(' ').unwrap().0.rsplit_once(['≈', ' ']).unwrap().1.parse().unwrap();
    assert!((50.0..54.525).contains(&diameter), "{first}");
    // Between webs a tool goes in beside both: 40 to 58 from the right end.
    let pin = planned(CRANK, "everything");
    assert_eq!(shown(row(&pin, "turn crank pin"), "begin at"), "46.000 mm");
    assert_eq!(shown(row(&pin, "turn crank pin"), "stop at"), "58.000 mm");
}

/// 0.01 set over by an indicator and 0.05 where a scroll chuck grips the bar again (the tables of
/// locating): a throw held within less than 0.06 is set over last, when all that runs true is
/// done, and one held nearer than 0.01 is told.
#[test]
fn a_throw_held_nearer_than_it_comes_is_told() {
    let made = |within: &str| {
        let offset = SHEAVE.lines().find(|line| line.starts_with("offset =")).unwrap();
        let value = offset.split('"').nth(1).unwrap();
        let held = format!("offset = {{ is = \"{value}\", role = \"hold\", within = \"{within} mm\" }}");
        planned(&SHEAVE.replace(offset, &held), "everything")
    };
    let told = |made: &Plan, words: &str| made.cover.assumed.iter().any(|told| told.contains(words));
    let at = |made: &Plan, text: &str| {
        made.order
            .steps
            .iter()
            .position(|step| step.text.starts_with(text))
            .unwrap_or_else(|| panic!("{text}"))
    };
    let (wide, near, nearest) = (made("0.1"), made("0.02"), made("0.009"));
    assert!(at(&wide, "turn sheave") < at(&wide, "turn hub") && !told(&wide, "comes within"));
    let bored = at(&near, "ream").max(at(&near, "turn hub"));
    assert!(bored < at(&near, "turn sheave") && !told(&near, "comes within"), "{:?}", near.cover.assumed);
    assert!(told(&nearest, "and comes within 0.01 mm"), "{:?}", nearest.cover.assumed);
    let why = format!("{:?}", wide.order.steps[at(&wide, "turn sheave")].why);
    assert!(why.contains("comes within 0.06 mm"), "{why}");
}

/// With webs on both sides of the only journal nothing goes into a chuck; a plain end does.
#[test]
fn what_does_not_go_into_the_chuck_is_no_grip() {
    let section = |name: &str, across: &str, long: &str, more: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"section\"\ndiameter = \"{across}\"\nlength = \"{long}\"\n{more}"
        )
    };
    let text = format!(
        "part = \"Ended crank\"\nunit = \"mm\"\n[body]\nkind = \"turned\"\n{}{}{}{}{}",
        section("left pin", "8", "10", "offset = \"6\"\n"),
        section("left web", "30", "4", ""),
        section("journal", "10", "40", ""),
        section("right web", "30", "4", ""),
        section("right pin", "8", "10", "offset = \"6\"\n"),
    );
    let mut bare = bench("everything");
    let holders = bare.work_holding.as_mut().unwrap();
    holders.retain(|holder| *holder != workshop::bench::WorkHolder::Centres);
    let faults = plan(&read(&text), &bare).unwrap_err();
    assert!(told(&faults).contains("can be held true"), "{}", told(&faults));
    // Where there are centres it hangs between two pairs of them.
    let hung = planned(&text, "everything");
    assert!(hung.setups.iter().any(|s| s.title.contains("between offset centres, left pin")), "{hung:?}");
    // By a tail it is turned round, but not set over so far: the pin next to the bar is turned from that, last.
    let ended = format!("{text}{}", section("tail", "8", "30", ""));
    let made = plan(&read(&ended), &bare).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let held: Vec<&str> = made.setups.iter().map(|s| s.title.as_str()).collect();
    assert!(!held.iter().any(|title| title.contains("by journal")), "{held:?}");
    let last = made.setups.iter().rfind(|s| s.rows.iter().any(|r| r.what.starts_with("turn "))).unwrap();
    assert!(last.title.contains("bar off centre in the four-jaw, for left pin"), "{held:?}");
    // With more beyond that pin nothing could be set over for it but the journal, which does not go in.
    let head = "kind = \"turned\"\n";
    let shut = ended.replace(head, &format!("{head}{}", section("stub", "6", "8", "")));
    let faults = plan(&read(&shut), &bare).unwrap_err();
    assert!(told(&faults).contains("`left pin` cannot be set true in the chuck"), "{}", told(&faults));
    let ended = ended.replace("offset = \"6\"", "offset = \"3\"");
    let made = planned(&ended, "everything");
    assert!(made.setups.iter().any(|s| s.title.contains("off centre in the four-jaw by tail")), "{made:?}");
}

/// Two throws a quarter turn apart, each in a holding of its own.
#[test]
fn two_throws_are_set_round_from_each_other() {
    let second = "[[feature]]\nname = \"second pin\"\nkind = \"section\"\ndiameter = \"9\"\nlength = \"10\"\noffset = \"8\"\noffset_at = \"90°\"\n\
                  [[feature]]\nname = \"third web\"\nkind = \"section\"\ndiameter = \"32\"\nlength = \"6\"\n";
    let journal = "[[feature]]\nname = \"right journal\"";
    let made = planned(&CRANK.replace(journal, &format!("{second}{journal}")), "everything");
    let offs: Vec<_> = made.setups.iter().filter(|s| s.title.contains("four-jaw")).collect();
    assert_eq!(offs.len(), 2);
    let round =
        offs.iter().flat_map(|s| &s.presets).find(|f| f.label() == "round from the throw of crank pin");
    assert_eq!(round.unwrap().shown, "90° 00′");
}
