//! Each rule of fitting, one case that holds and what is said when it cannot.

use super::{at, disc, discs, faults, listed, rows};

const PRESS: &str =
    "[[join]]\nname = \"pin in the web\"\nparts = [\"Pin: eye\", \"Web: pin bore\"]\nhow = \"pressed\"\n";

#[test]
fn parts_are_made_before_they_are_fitted() {
    let list = listed(PRESS, &discs()).unwrap();
    assert!(at(&list, "Press together") > at(&list, "Web").max(at(&list, "Pin")), "{:#?}", rows(&list));
    assert!(list.proofs[0].contains("No order of the whole project"), "{:?}", list.proofs);
}

#[test]
fn pressing_in_before_the_setting_plug_exists_is_a_trap() {
    let text = format!(
        "{PRESS}set_by = \"setting plug\"\nsets = \"the angle of the pin\"\n[[aid]]\nname = \"setting plug\"\n"
    );
    let list = listed(&text, &discs()).unwrap();
    assert!(at(&list, "Setting plug") < at(&list, "Press together"));
    let trap = list.traps.iter().find(|trap| trap.early.contains("before “make setting plug”")).unwrap();
    assert_eq!(trap.early, "“press together: pin in the web” before “make setting plug”");
    assert_eq!(
        trap.lost,
        "It leaves nothing to set the angle of the pin by: the setting plug sets the angle of the pin, and once \
         pressed it cannot be moved"
    );
    // With the plug on the shelf there is nothing to make and no trap.
    let owned = listed(&format!("{text}have = true\n"), &discs()).unwrap();
    assert!(owned.traps.is_empty(), "{:?}", owned.traps);
    assert!(owned.ready.iter().any(|ready| ready.what == "setting plug"));
}

#[test]
fn an_aid_made_to_what_the_join_closes_off_cannot_set_that_join() {
    // The plug is fitted to the eye, but only the join itself closes the eye: no clash.
    let text = format!(
        "{PRESS}set_by = \"setting plug\"\ncloses = [\"Pin: eye\"]\n[[aid]]\nname = \"setting plug\"\nuses = [\"Pin: eye\"]\n"
    );
    let list = listed(&text, &discs()).unwrap();
    assert!(at(&list, "Setting plug") < at(&list, "Press together"));
    // Made after the join, because somebody said so, it finds the eye closed.
    let clash = faults(listed(&format!("{text}after = [\"pin in the web\"]\n"), &discs()));
    for words in ["no order in which this project can be put together", "closes off Pin (eye)", "comes after"]
    {
        assert!(clash.contains(words), "{words}: {clash}");
    }
}

#[test]
fn what_a_join_closes_off_is_done_before() {
    let text = "[[join]]\nname = \"cover on\"\nparts = [\"Cover\", \"Web: bore\"]\nhow = \"screwed\"\n\
                closes = [\"Web: pin bore\"]\n"
        .to_owned()
        + PRESS;
    let list = listed(&text, &discs()).unwrap();
    assert!(at(&list, "pin in the web") < at(&list, "cover on"), "{:#?}", rows(&list));
    let trap = list.traps.iter().find(|trap| trap.early.contains("cover on")).unwrap();
    assert_eq!(trap.lost, "Web (pin bore) cannot be got at any more");
    // Another piece alike is not closed off by it.
    let second =
        text.replace("\"Web: pin bore\"]\nhow = \"pressed\"", "\"Web, 2nd: pin bore\"]\nhow = \"pressed\"");
    let first = second.replace("closes = [\"Web: pin bore\"]", "closes = [\"Web, 1st: pin bore\"]");
    assert!(listed(&first, &discs()).unwrap().traps.is_empty());
}

#[test]
fn a_cover_that_something_hangs_on_is_taken_off_again() {
    // The work wants the cover on, the pin wants it off, and comes after the work.
    let text = "[[join]]\nname = \"cover on\"\nparts = [\"Cover\", \"Web\"]\nhow = \"screwed\"\n\
                closes = [\"Web: pin bore\"]\n\
                [[work]]\nname = \"line bore\"\ndo = \"ream\"\nto = [\"Web: bore\"]\nin = [\"cover on\"]\nbefore = [\"pin in the web\"]\n"
        .to_owned()
        + PRESS;
    let list = listed(&text, &discs()).unwrap();
    let order = [
        "Screw together: cover on",
        "line bore",
        "Take apart: cover on",
        "Press together",
        "Put together again",
    ];
    let places: Vec<usize> = order.iter().map(|words| at(&list, words)).collect();
    assert!(places.is_sorted(), "{:#?}", rows(&list));
    // Riveted it cannot come off, and that is said.
    let clash = faults(listed(&text.replace("screwed", "riveted"), &discs()));
    assert!(clash.contains("`cover on` closes off Web (pin bore)"), "{clash}");
    assert!(clash.contains("come apart"), "{clash}");
}

#[test]
fn a_bore_finished_in_assembly_is_finished_before_anything_goes_in_it() {
    let text = format!(
        "{PRESS}[[work]]\nname = \"line bore\"\ndo = \"ream\"\nto = [\"Web: bore\"]\nin = [\"pin in the web\"]\n\
         [[join]]\nname = \"cover in the bore\"\nparts = [\"Cover\", \"Web: bore\"]\nhow = \"put together\"\n"
    );
    let list = listed(&text, &discs()).unwrap();
    let places = ["Press together", "line bore", "cover in the bore"].map(|words| at(&list, words));
    assert!(places.is_sorted(), "{:#?}", rows(&list));
    assert!(list.traps.iter().any(|trap| trap.lost == "Web (bore) is not to size yet"), "{:#?}", list.traps);
}

#[test]
fn a_pin_drilled_and_reamed_through_both_waits_until_both_are_together() {
    let text = "[[join]]\nname = \"arm on\"\nparts = [\"Pin\", \"Web: bore\"]\nhow = \"sliding fit\"\n\
                [[join]]\nname = \"cross pin\"\nparts = [\"Pin: cross hole\", \"Web\"]\nhow = \"pinned\"\nin = [\"arm on\"]\n";
    let list = listed(text, &discs()).unwrap();
    assert!(at(&list, "arm on") < at(&list, "cross pin"));
    assert!(list.cautions.iter().any(|caution| caution.starts_with("Mark both parts")));
}

#[test]
fn what_is_drilled_in_assembly_is_hardened_after_it_and_by_itself() {
    let text = "[[join]]\nname = \"arm on\"\nparts = [\"Pin\", \"Web: bore\"]\nhow = \"sliding fit\"\n\
                [[work]]\nname = \"cross hole\"\ndo = \"drill and ream\"\nto = [\"Pin: cross hole\"]\nin = [\"arm on\"]\n\
                [[heat]]\nname = \"harden the pin\"\ndo = \"harden\"\nparts = [\"Pin\"]\n\
                [[heat]]\nname = \"temper the pin\"\ndo = \"temper\"\nparts = [\"Pin\"]\n";
    let list = listed(text, &discs()).unwrap();
    let order = ["arm on", "cross hole", "Take apart", "harden the pin", "Put together again"];
    // The heading of a row begins with a capital.
    let at = |words: &str| {
        let found = list.rows.iter().position(|row| row.what.to_lowercase().contains(&words.to_lowercase()));
        found.unwrap_or_else(|| panic!("{words}: {:#?}", rows(&list)))
    };
    assert!(order.map(at).is_sorted(), "{:#?}", rows(&list));
    assert!(at("temper the pin") > at("harden the pin"));
    assert!(list.traps.iter().any(|t| t.lost == "No drill or reamer of this bench cuts Pin once it is hard"));
}

#[test]
fn a_hardened_part_is_not_silver_soldered_nor_the_joint_hardened() {
    let solder = "[[join]]\nname = \"boss on\"\nparts = [\"Pin\", \"Web\"]\nhow = \"silver soldered\"\n\
                  [[heat]]\nname = \"harden the pin\"\ndo = \"harden\"\nparts = [\"Pin\"]\n";
    let clash = faults(listed(solder, &discs()));
    for words in ["lets go above 630 °C", "draws its hardness", "line 6 and line 2)", "bears the heat"] {
        assert!(clash.contains(words), "{words}: {clash}");
    }
    // Brazing bears the heat of hardening, and comes first.
    let brazed = listed(&solder.replace("silver soldered", "brazed"), &discs()).unwrap();
    assert!(at(&brazed, "Braze together") < at(&brazed, "Harden"), "{:#?}", rows(&brazed));
    // So does keeping the joint cool, where the person says so.
    let cool = listed(&format!("{solder}keep_cool = [\"boss on\"]\n"), &discs()).unwrap();
    assert!(at(&cool, "Silver solder") < at(&cool, "Harden"));
}

#[test]
fn no_adhesive_is_near_a_later_flame() {
    let text = "[[join]]\nname = \"bush in\"\nparts = [\"Pin: eye\", \"Web: bore\"]\nhow = \"adhesive\"\n\
                [[join]]\nname = \"tab on\"\nparts = [\"Cover\", \"Web\"]\nhow = \"soft soldered\"\n";
    let list = listed(text, &discs()).unwrap();
    assert!(at(&list, "tab on") < at(&list, "bush in"), "{:#?}", rows(&list));
    assert!(list.traps.iter().any(|trap| trap.lost == "“bush in” would let go"), "{:#?}", list.traps);
}

#[test]
fn two_joints_of_one_solder_are_no_clash() {
    let text = "[[join]]\nname = \"left tab\"\nparts = [\"Pin\", \"Web\"]\nhow = \"silver soldered\"\n\
                [[join]]\nname = \"right tab\"\nparts = [\"Cover\", \"Web\"]\nhow = \"silver soldered\"\n";
    let list = listed(text, &discs()).unwrap();
    assert!(list.cautions.iter().any(|caution| caution.contains("one heat")), "{:?}", list.cautions);
}

#[test]
fn what_is_said_to_come_before_does_and_a_ring_is_told_whole() {
    let ring = "[[join]]\nname = \"one\"\nparts = [\"Pin\", \"Web\"]\nhow = \"screwed\"\nafter = [\"three\"]\n\
                [[join]]\nname = \"two\"\nparts = [\"Cover\", \"Web\"]\nhow = \"screwed\"\nafter = [\"one\"]\n\
                [[join]]\nname = \"three\"\nparts = [\"Cover\", \"Pin\"]\nhow = \"screwed\"\nafter = [\"two\"]\n";
    let clash = faults(listed(ring, &discs()));
    for line in ["line 2 and line 12)", "line 7 and line 2)", "line 12 and line 7)"] {
        assert!(clash.contains(line), "{clash}");
    }
    // Any one of the three taken out, and there is an order: the set is a least one.
    for word in ["one", "two", "three"] {
        let rest = ring.replace(&format!("after = [\"{word}\"]\n"), "");
        assert!(listed(&rest, &discs()).is_ok(), "{word}");
    }
}

#[test]
fn mates_and_screwed_threads_of_the_part_files_are_joins() {
    let mut parts = discs();
    let web = "part = \"Web\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\ndiameter = \"40\"\n\
               thickness = \"6\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"5\"\nfinish = \"reamed\"\n\
               place = [\"datum\"]\n[[mate]]\nname = \"pin\"\nin = \"bore\"\nsize = \"5\"\nfit = \"press\"\nwith = \"Pin: eye\"\n";
    parts[0] = workshop::drawing::read_drawing("web.toml", web).unwrap();
    let made: Vec<_> =
        parts.iter().map(|drawing| workshop::make_list::Made { drawing, plan: None, fault: None }).collect();
    let drawings: Vec<_> = parts.iter().collect();
    let fitting = workshop::assembly::resolve(None, &drawings, &[]).unwrap();
    let list = workshop::make_list::make_list(&made, &fitting, &workshop::bench::empty_bench()).unwrap();
    assert!(
        at(&list, "Press together: Web (bore) and Pin (eye)") == list.rows.len() - 1,
        "{:#?}",
        rows(&list)
    );
    assert!(list.assumed.iter().any(|words| words.contains("nothing more is said")), "{:?}", list.assumed);
    // The file says how the two go together: then it alone counts.
    let said = "[[join]]\nname = \"pin in\"\nparts = [\"Pin\", \"Web: bore\"]\nhow = \"shrunk\"\n";
    let list = listed(said, &parts).unwrap();
    assert!(
        rows(&list).iter().any(|row| row.contains("Shrink"))
            && !rows(&list).iter().any(|r| r.contains("Press"))
    );
}

/// Six screws of one circle are one row of the list, whichever of the two files says it.
#[test]
fn a_circle_of_screws_is_one_join() {
    let ring = |name: &str, what: &str, with: &str| {
        let text = format!(
            "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\ndiameter = \"60\"\nthickness = \"6\"\n\
             [[feature]]\nname = \"ring\"\nkind = \"pitch circle\"\nholes = 6\npitch_circle = \"48\"\n{what}\n\
             place = [\"datum\"]\n[[screwed]]\nin = \"ring\"\nwith = \"{with}: ring\"\n"
        );
        workshop::drawing::read_drawing("ring.toml", &text).unwrap()
    };
    let parts =
        [ring("Lid", "diameter = \"4.3\"\nclears = \"M4\"", "Tank"), ring("Tank", "thread = \"M4\"", "Lid")];
    let made: Vec<_> =
        parts.iter().map(|drawing| workshop::make_list::Made { drawing, plan: None, fault: None }).collect();
    let drawings: Vec<_> = parts.iter().collect();
    let fitting = workshop::assembly::resolve(None, &drawings, &[]).unwrap();
    let list = workshop::make_list::make_list(&made, &fitting, &workshop::bench::empty_bench()).unwrap();
    let screwed: Vec<&str> = rows(&list).into_iter().filter(|row| row.contains("Screw together")).collect();
    assert_eq!(screwed.len(), 1, "{screwed:?}");
    assert!(screwed[0].contains("Lid (ring) and Tank (ring)"), "{screwed:?}");
}

#[test]
fn every_row_can_be_asked_why() {
    let text = format!("{PRESS}set_by = \"plug\"\n[[aid]]\nname = \"plug\"\nuses = [\"Web: bore\"]\n");
    let mut parts = discs();
    parts.push(disc("Loose", &["bore"]));
    for row in listed(&text, &parts).unwrap().rows {
        assert!(!row.why.because.is_empty(), "{row:?}");
    }
}

#[test]
fn nothing_to_make_is_said_and_is_no_fault() {
    let fitting = workshop::assembly::resolve(None, &[], &[]).unwrap();
    let list = workshop::make_list::make_list(&[], &fitting, &workshop::bench::empty_bench()).unwrap();
    assert_eq!((list.rows.len(), list.proofs.len()), (0, 1));
}

/// A part that its own order hardens is neither drilled nor soldered afterwards; what its file
/// says is told, and how both can be had.
#[test]
fn a_part_hardened_in_its_own_order_is_not_cut_or_heated_in_assembly() {
    let pin = |harden: &str| {
        let text = format!(
            "part = \"Pin\"\nunit = \"mm\"\nmaterial = \"silver steel\"\n{harden}[body]\nkind = \"disc\"\ndiameter = \"30\"\n\
             thickness = \"6\"\n[[feature]]\nname = \"cross hole\"\nkind = \"hole\"\ndiameter = \"3\"\nplace = [\"datum\"]\n"
        );
        workshop::drawing::read_drawing("pin.toml", &text).unwrap()
    };
    let on = "[[join]]\nname = \"arm on\"\nparts = [\"Pin\", \"Web: bore\"]\nhow = \"sliding fit\"\n";
    for (said, does) in [
        (
            "[[work]]\nname = \"cross\"\ndo = \"drill\"\nto = [\"Pin: cross hole\"]\nin = [\"arm on\"]\n",
            "is cut in assembly",
        ),
        (
            "[[join]]\nname = \"cross\"\nhow = \"pinned\"\nparts = [\"Pin\", \"Web: pin bore\"]\nin = [\"arm on\"]\n",
            "is cut in assembly",
        ),
        (
            "[[join]]\nname = \"cross\"\nhow = \"silver soldered\"\nparts = [\"Pin\", \"Web\"]\n",
            "is heated in assembly",
        ),
        ("[[heat]]\nname = \"cross\"\ndo = \"anneal\"\nparts = [\"Pin\"]\n", "is heated in assembly"),
        ("[[heat]]\nname = \"cross\"\ndo = \"harden\"\nparts = [\"Pin\"]\n", "is hardened a second time"),
    ] {
        let text = format!("{on}{said}");
        let hard = vec![disc("Web", &["bore", "pin bore"]), pin("harden = \"straw\"\n")];
        let told = faults(listed(&text, &hard));
        for words in [does, "by `cross`", "assembly.toml, line", "take `harden` out of pin.toml", "[[heat]]"]
        {
            assert!(told.contains(words), "{words}: {told}");
        }
        let soft = vec![disc("Web", &["bore", "pin bore"]), pin("")];
        listed(&text, &soft).unwrap_or_else(|faults| panic!("{said}: {faults:?}"));
    }
    // Kept cool, or brought to no more than blue, it stays as it was.
    for said in [
        "[[join]]\nname = \"cross\"\nhow = \"silver soldered\"\nparts = [\"Pin\", \"Web\"]\nkeep_cool = [\"Pin\"]\n",
        "[[join]]\nname = \"cross\"\nhow = \"soft soldered\"\nparts = [\"Pin\", \"Web\"]\n",
        "[[heat]]\nname = \"cross\"\ndo = \"blue\"\nparts = [\"Pin\"]\n",
    ] {
        let hard = vec![disc("Web", &["bore", "pin bore"]), pin("harden = \"straw\"\n")];
        listed(said, &hard).unwrap_or_else(|faults| panic!("{said}: {faults:?}"));
    }
}

#[test]
fn a_taper_pin_is_taper_reamed_and_a_plain_one_is_not() {
    let arm = |kind: &str| {
        let text = format!(
            "part = \"Pin\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\ndiameter = \"30\"\nthickness = \"6\"\n\
             [[feature]]\nname = \"cross hole\"\n{kind}\nplace = [\"datum\"]\n"
        );
        workshop::drawing::read_drawing("pin.toml", &text).unwrap()
    };
    let text = "[[join]]\nname = \"cross pin\"\nparts = [\"Pin: cross hole\", \"Web\"]\nhow = \"pinned\"\n";
    let words = |kind| {
        let mut parts = vec![disc("Web", &["bore"]), arm(kind)];
        let list = listed(text, &parts).unwrap();
        let fitting = super::fitting(text, &parts).unwrap();
        workshop::assembly::leave(&fitting, &mut parts);
        (list.rows[at(&list, "cross pin")].what.clone(), parts[1].left[0].until.clone())
    };
    let tapered = words("kind = \"taper pin hole\"\npin = \"3 mm\"");
    assert_eq!(tapered.0, "Drill, taper ream and pin together: cross pin");
    assert_eq!(tapered.1, "drill and taper ream together: cross pin");
    assert_eq!(words("kind = \"hole\"\ndiameter = \"3\"").0, "Drill, ream and pin together: cross pin");
}

#[test]
fn a_row_says_why_it_stands_here_and_before_another() {
    let text = format!(
        "{PRESS}set_by = \"setting plug\"\nsets = \"the angle\"\n[[aid]]\nname = \"setting plug\"\nuses = [\"Pin: eye\"]\n\
         [[join]]\nname = \"cover on\"\nparts = [\"Cover\", \"Web\"]\nhow = \"screwed\"\nin = [\"pin in the web\"]\n"
    );
    let list = listed(&text, &discs()).unwrap();
    let own = list.reason_for("make setting plug").unwrap();
    assert_eq!(own.name, "make setting plug");
    assert!(
        own.why.because.iter().any(|why| why.statement == "“press together: pin in the web” waits for it")
    );
    let number = list.rows[at(&list, "Setting plug")].number;
    assert_eq!(list.reason_for(&format!("row {number}")).unwrap(), own);
    // Two ties lie between the plug and the cover: plug, press, cover.
    let way = list.reason_for("setting plug before cover on").unwrap();
    assert_eq!(way.why.statement, "“make setting plug” has to come first");
    assert_eq!(way.why.because.len(), 2, "{way:?}");
    assert!(
        way.why.because[0]
            .statement
            .contains("before “press together: pin in the web”: the setting plug sets")
    );
    assert!(way.why.because[0].source.as_ref().unwrap().contains("assembly.toml, line"), "{way:?}");
    let turned = list.reason_for("cover on before setting plug").unwrap();
    assert!(turned.why.statement.starts_with("it cannot be"), "{turned:?}");
    let loose = list
        .reason_for("make Cover before make setting plug")
        .or_else(|_| list.reason_for("make setting plug before make Cover"));
    assert!(loose.unwrap().why.statement.starts_with("nothing ties the two"));
    assert_eq!(list.reason_for("no such thing").unwrap_err(), Vec::<&str>::new());
    assert!(list.reason_for("pin").unwrap_err().len() > 1);
}
