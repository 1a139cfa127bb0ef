//! Holes of several parts made in one setup: how the parts lie, what each sheet says, what comes
//! before what.

use workshop::assembly::{Fitting, leave, read_assembly, resolve, tie};
use workshop::bench::read_bench;
use workshop::drawing::{Drawing, read_drawing};
use workshop::make_list::{Made, make_list};
use workshop::metric::{Memory, Piece, together};
use workshop::order::May;
use workshop::plan::{Lying, Plan, Sized, lay_together, plan_of, possible};
use workshop::sheet::{MakeList, SetupSheet};

const BENCH: &str = include_str!("../../../../examples/kittiwake/bench.toml");

/// A plate of millimetres with reamed holes: name, diameter, from left, from bottom.
fn plate(name: &str, size: [&str; 3], datum: &str, holes: &[(&str, &str, &str, &str)]) -> Drawing {
    let [width, height, thickness] = size;
    let mut text = format!(
        "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
         width = \"{width}\"\nheight = \"{height}\"\nthickness = \"{thickness}\"\ndatum = \"{datum}\"\n"
    );
    for (hole, diameter, x, y) in holes {
        text += &format!(
            "[[feature]]\nname = \"{hole}\"\nkind = \"hole\"\ndiameter = \"{diameter}\"\nfinish = \"reamed\"\n\
             place = [\"{x} from left edge\", \"{y} from bottom edge\"]\n"
        );
    }
    part(name, &text)
}

fn part(name: &str, text: &str) -> Drawing {
    read_drawing(&format!("{}.toml", name.to_lowercase()), text)
        .unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn front() -> Drawing {
    plate(
        "Front",
        ["100", "50", "3"],
        "bottom left",
        &[("crank", "10", "20", "25"), ("pump", "6", "68", "25")],
    )
}

/// The same two holes the other way round, in a link with round ends.
fn link() -> Drawing {
    part(
        "Link",
        "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"bosses\"\n\
         around = [\"big\", \"small\"]\nthickness = \"5\"\n\
         [[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"12\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"9\"\nplace = [\"48 left of big\", \"level with big\"]\n\
         [[feature]]\nname = \"big hole\"\nkind = \"hole\"\ndiameter = \"10\"\nfinish = \"reamed\"\nplace = [\"concentric with big\"]\n\
         [[feature]]\nname = \"small hole\"\nkind = \"hole\"\ndiameter = \"6\"\nfinish = \"reamed\"\nplace = [\"concentric with small\"]\n",
    )
}

const BOTH: &str = "[[together]]\nname = \"shaft holes\"\n\
                    holes = [\"Front: crank\", \"Front: pump\", \"Link: big hole\", \"Link: small hole\"]\n";

struct Project {
    lying: Lying,
    plans: Vec<Plan>,
    list: MakeList,
}

fn project(text: &str, mut parts: Vec<Drawing>) -> Project {
    let bench = read_bench("bench.toml", BENCH).unwrap();
    let said = read_assembly("assembly.toml", text).unwrap();
    let mut fitting: Fitting = resolve(Some(&said), &parts.iter().collect::<Vec<_>>(), &[]).unwrap();
    leave(&fitting, &mut parts);
    let solved: Vec<_> = parts.iter().map(|part| possible(part).unwrap()).collect();
    tie(&fitting, &mut parts, &solved.iter().map(Some).collect::<Vec<_>>());
    let pieces: Vec<Piece> =
        parts.iter().zip(&solved).map(|(drawing, solved)| Piece { drawing, solved }).collect();
    let metric: Vec<_> =
        together(&pieces, &bench, &mut Memory::new()).into_iter().map(|metric| metric.unwrap()).collect();
    let sized: Vec<Option<Sized>> = parts
        .iter()
        .zip(&solved)
        .zip(&metric)
        .map(|((drawing, solved), metric)| Some(Sized { drawing, solved, metric }))
        .collect();
    let lying = lay_together(&fitting, &sized);
    parts.iter_mut().zip(&lying.joints).for_each(|(part, joints)| part.together = joints.clone());
    fitting.proposed = lying.proposed.clone();
    let plan =
        |n: usize| plan_of(&parts[n], &solved[n], &metric[n], &bench).unwrap_or_else(|f| panic!("{f:#?}"));
    let plans: Vec<Plan> = (0..parts.len()).map(plan).collect();
    let made: Vec<Made> = parts
        .iter()
        .zip(&plans)
        .map(|(drawing, plan)| Made { drawing, plan: Some(plan), fault: None })
        .collect();
    let list = make_list(&made, &fitting, &bench).unwrap();
    Project { lying, plans, list }
}

fn refused(text: &str, parts: &[Drawing]) -> String {
    super::faults(super::fitting(text, parts))
}

fn shared(plan: &Plan) -> &SetupSheet {
    &plan.setups[plan.together[0].1]
}

/// The places of the drilled holes, as the sheet has them.
fn places(sheet: &SetupSheet) -> Vec<Vec<String>> {
    let rows = sheet.rows.iter().filter(|row| row.what.starts_with("drill"));
    rows.map(|row| row.sets.iter().map(|set| set.shown.clone()).collect()).collect()
}

fn preset<'a>(sheet: &'a SetupSheet, words: &str) -> &'a str {
    let found = sheet.presets.iter().find(|figure| figure.name.contains(words));
    &found.unwrap_or_else(|| panic!("{words}: {:#?}", sheet.presets)).shown
}

/// By hand: the link is turned over, for its small end lies to the left on its drawing; the left edge of
/// its blank then lies to the right, 9 and 2 mm beyond the small hole at 68: 79. The near edge is 12 and
/// 2 mm from the big hole at 25: 11. Through 3 and 5 mm; the point of a 9.8 mm drill is 2.94 long.
#[test]
fn both_sheets_give_one_setup_in_the_axes_of_the_part_on_top() {
    let Project { plans, .. } = project(BOTH, vec![front(), link()]);
    let [top, beneath] = [shared(&plans[0]), shared(&plans[1])];
    assert_eq!(places(top), places(beneath));
    assert_eq!(places(top), [["68.000 mm", "25.000 mm"], ["20.000 mm", "25.000 mm"]]);
    for sheet in [top, beneath] {
        assert_eq!(preset(sheet, "X of the right edge of Link"), "79 mm");
        assert_eq!(preset(sheet, "Y of the near edge of Link"), "11 mm");
    }
    assert!(beneath.title.contains("back face up"), "{}", beneath.title);
    assert!(beneath.located.contains("From the edges of Front"), "{}", beneath.located);
    assert!(!beneath.presets.iter().any(|figure| figure.name.contains("preset")), "{:#?}", beneath.presets);
    let depth = |sheet: &SetupSheet| sheet.rows[1].depth[0].shown.clone();
    assert_eq!((depth(top), depth(beneath)), ("through: 11.0 mm from the face".into(), depth(top)));
    // Afterwards the link is held by what was made there.
    assert!(plans[1].setups[2..].iter().any(|setup| setup.held.contains("big hole")));
}

/// Every datum corner of either part, each of them cut from front or back: the holes of the two come
/// over each other, and the edge of the lower lies as far from its hole as its own drawing says.
#[test]
fn whichever_corner_is_the_datum_the_lower_lies_as_its_drawing_says() {
    let holes = [("a", "6", "15", "12"), ("b", "6", "55", "30")];
    let corners = ["bottom left", "bottom right", "top left", "top right"];
    for (n, datum) in corners.into_iter().enumerate() {
        let top = plate("Top", ["90", "50", "3"], datum, &holes);
        // 70 by 40: from its own left edge 8 and 48, from its bottom 5 and 23.
        let its = [("c", "6", "8", "5"), ("d", "6", "48", "23")];
        let low = plate("Low", ["70", "40", "4"], corners[3 - n], &its);
        let text =
            "[[together]]\nname = \"pair\"\nholes = [\"Top: a\", \"Top: b\", \"Low: c\", \"Low: d\"]\n";
        let Project { plans, .. } = project(text, vec![top, low]);
        let [top, low] = [shared(&plans[0]), shared(&plans[1])];
        assert_eq!(places(top), places(low), "{datum}");
        let number =
            |shown: &str| -> f64 { shown.trim_end_matches(" mm").replace('−', "-").parse().unwrap() };
        let first = &places(top)[0];
        let (x, y) = (number(&first[0]), number(&first[1]));
        for sheet in [top, low] {
            let edge =
                |words: &str| sheet.presets.iter().find(|f| f.name.contains(words)).map(|f| number(&f.shown));
            // The drilled first is the first named: both drills are the same.
            let across = edge("left edge of Low")
                .map(|at| x - at)
                .or(edge("right edge of Low").map(|at| at - x - 54.0));
            let along =
                edge("near edge of Low").map(|at| y - at).or(edge("far edge of Low").map(|at| at - y - 30.0));
            assert_eq!((across, along), (Some(8.0), Some(5.0)), "{datum}: {:#?}", sheet.presets);
        }
    }
}

#[test]
fn each_part_is_begun_then_laid_with_the_other_then_finished() {
    let Project { plans, list, .. } = project(BOTH, vec![front(), link()]);
    let at = |what: &str| {
        list.rows
            .iter()
            .position(|row| row.what == what)
            .unwrap_or_else(|| panic!("{what}: {:#?}", list.rows))
    };
    let shared = at("Make together: shaft holes");
    for part in ["Front", "Link"] {
        assert!(
            at(&format!("Begin {part}")) < shared && shared < at(&format!("Finish {part}")),
            "{:#?}",
            list.rows
        );
    }
    assert!(list.rows[shared].with.contains("setup 2 on the sheets of Front"), "{}", list.rows[shared].with);
    assert!(list.traps.iter().any(|trap| trap.early.contains("before “make together: shaft holes”")));
    // The setup that both have is counted once, with the part on top.
    let parts: u64 = plans.iter().map(|plan| plan.cover.minutes).sum();
    let aids: u64 = plans.iter().flat_map(|plan| &plan.aids).map(|aid| aid.minutes()).sum();
    assert_eq!(list.minutes, parts + aids, "{:#?}", list.rows);
    assert!(list.proofs[0].contains("No order of the whole project"), "{:?}", list.proofs);
}

#[test]
fn what_lies_together_is_made_in_one_stay() {
    let spare = "[[feature]]\nname = \"foot\"\nkind = \"hole\"\ndiameter = \"4\"\nplace = [\"6 from right edge\", \"6 from bottom edge\"]\n";
    let mut text = String::from(
        "part = \"Front\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
         width = \"100\"\nheight = \"50\"\nthickness = \"3\"\ndatum = \"bottom left\"\n",
    );
    for (name, size, x) in [("crank", "10", "20"), ("pump", "6", "68")] {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = \"{size}\"\nfinish = \"reamed\"\nplace = [\"{x} from left edge\", \"25 from bottom edge\"]\n"
        );
    }
    let Project { plans, .. } = project(BOTH, vec![part("Front", &(text + spare)), link()]);
    let order = &plans[0].order;
    let foot = order.step_named("drill foot").unwrap();
    let last = order.step_named("ream crank").unwrap();
    assert_ne!(order.steps[foot].setup, order.steps[last].setup, "the foot is drilled in this part alone");
    // Right before the last of what is made together.
    let between = order.may_move(foot, if foot > last { last } else { last - 1 });
    let May::No(reasons) = between else { panic!("{between:?}") };
    assert!(reasons.iter().any(|words| words.contains("laid on each other a second time")), "{reasons:?}");
}

#[test]
fn what_does_not_go_together_is_told_with_its_line() {
    let say = |holes: &str| format!("[[together]]\nname = \"shaft holes\"\nholes = [{holes}]\n");
    let parts = [front(), link(), super::disc("Web", &["eye"])];
    for (holes, words) in [
        ("\"Front: crank\", \"Front: pump\"", "names holes of one part alone"),
        ("\"Front: crank\", \"Front: pump\", \"Link: big hole\"", "2 holes of Front and 1 hole of Link"),
        ("\"Front: crank\", \"Link: small hole\"", "the one is 10 reamed, the other 6 reamed"),
        ("\"Front: crank\", \"Link: big\"", "it is a boss"),
        ("\"Front: crank\", \"Link\"", "names no hole"),
        ("\"Front: crank\", \"Web: eye\"", "1 of Front and 2 of Web cannot be made together"),
        (
            "\"Front: crank\", \"Front: crank\", \"Link: big hole\", \"Link: small hole\"",
            "names a hole of Front twice",
        ),
    ] {
        let told = refused(&say(holes), &parts);
        assert!(told.contains(words) && told.contains("assembly.toml, line 3, `holes`"), "{words}: {told}");
    }
    let twice = format!("{BOTH}[[work]]\nname = \"later\"\ndo = \"ream\"\nto = [\"Front: crank\"]\n");
    let told = refused(&twice, &parts);
    assert!(told.contains("a hole of `Front` is made by `later` already"), "{told}");
}

#[test]
fn holes_that_do_not_lie_alike_are_made_by_each_part_and_told() {
    let other = plate(
        "Back",
        ["100", "50", "3"],
        "bottom left",
        &[("crank", "10", "20", "25"), ("pump", "6", "69", "25")],
    );
    let text = BOTH.replace("Link: big hole", "Back: crank").replace("Link: small hole", "Back: pump");
    let Project { lying, plans, list } = project(&text, vec![front(), other]);
    assert_eq!(lying.unlaid.len(), 1);
    assert!(lying.unlaid[0].to_string().contains("others are 1 mm apart"), "{}", lying.unlaid[0]);
    assert!(plans.iter().all(|plan| plan.together.is_empty()));
    assert!(list.rows.iter().any(|row| row.what == "Front"), "{:#?}", list.rows);
}

/// Two plates with two holes over the same two journals.
#[test]
fn holes_over_the_same_shafts_are_proposed() {
    let mated = |name: &str| {
        let mut text = format!(
            "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
             width = \"100\"\nheight = \"50\"\nthickness = \"3\"\ndatum = \"bottom left\"\n"
        );
        for (hole, x) in [("crank", "20"), ("pump", "68")] {
            text += &format!(
                "[[feature]]\nname = \"{hole}\"\nkind = \"hole\"\ndiameter = \"10\"\nfinish = \"reamed\"\nplace = [\"{x} from left edge\", \"25 from bottom edge\"]\n"
            );
        }
        for hole in ["crank", "pump"] {
            text += &format!(
                "[[mate]]\nname = \"{hole} shaft\"\nsize = \"10\"\nfit = \"running\"\nin = \"{hole}\"\nwith = \"Shaft: {hole}\"\n"
            );
        }
        part(name, &text)
    };
    let shaft = part(
        "Shaft",
        "part = \"Shaft\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"crank\"\nkind = \"section\"\ndiameter = \"10\"\nlength = \"20\"\n\
         [[feature]]\nname = \"pump\"\nkind = \"section\"\ndiameter = \"10\"\nlength = \"20\"\n",
    );
    let Project { lying, list, .. } =
        project("[[piece]]\nname = \"Bench block\"\n", vec![mated("Front"), mated("Back"), shaft]);
    assert_eq!(lying.proposed.len(), 1, "{:?}", lying.proposed);
    let holes = "\"Front: crank\", \"Back: crank\"";
    assert!(!lying.proposed[0].contains(holes), "all of one part stand together");
    assert!(
        lying.proposed[0].contains("\"Front: crank\", \"Front: pump\", \"Back: crank\", \"Back: pump\""),
        "{:?}",
        lying.proposed
    );
    assert_eq!(list.proposed.len(), 1);
}

/// The one holds its distance to 0.05 mm of 1 7/8 in, 47.625; by itself the other's goes elsewhere.
#[test]
fn a_distance_that_one_part_holds_is_taken_by_the_other() {
    let held = front_by("{ is = \"1 7/8 in\", role = \"hold\", within = \"0.05 mm\" }");
    let free = "part = \"Link\"\nunit = \"inch\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
                width = \"3\"\nheight = \"1\"\nthickness = \"1/8\"\ndatum = \"bottom left\"\n\
                [[feature]]\nname = \"big hole\"\nkind = \"hole\"\ndiameter = \"10 mm\"\nfinish = \"reamed\"\nplace = [\"1/2 from left edge\", \"1/2 from bottom edge\"]\n\
                [[feature]]\nname = \"small hole\"\nkind = \"hole\"\ndiameter = \"6 mm\"\nfinish = \"reamed\"\nplace = [\"1 7/8 right of big hole\", \"level with big hole\"]\n";
    let alone =
        project("[[piece]]\nname = \"Bench block\"\n", vec![front_by("\"1 7/8 in\""), part("Link", free)]);
    let spacing = |plan: &Plan| {
        plan.cover
            .changes
            .iter()
            .find(|c| c.name == "small hole: right of big hole")
            .map(|c| c.chosen.clone())
    };
    let Project { lying, plans, .. } = project(BOTH, vec![held, part("Link", free)]);
    assert!(lying.unlaid.is_empty(), "{:?}", lying.unlaid);
    assert_eq!(places(shared(&plans[0])), places(shared(&plans[1])));
    assert!(spacing(&plans[1]).is_some());
    assert_ne!(spacing(&plans[1]), spacing(&alone.plans[1]));
}

/// The plate with its second hole so far to the right of the first.
fn front_by(distance: &str) -> Drawing {
    part(
        "Front",
        &format!(
            "part = \"Front\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
             width = \"100\"\nheight = \"50\"\nthickness = \"3\"\ndatum = \"bottom left\"\n\
             [[feature]]\nname = \"crank\"\nkind = \"hole\"\ndiameter = \"10\"\nfinish = \"reamed\"\nplace = [\"20 from left edge\", \"25 from bottom edge\"]\n\
             [[feature]]\nname = \"pump\"\nkind = \"hole\"\ndiameter = \"6\"\nfinish = \"reamed\"\nplace = [{distance_of}, \"level with crank\"]\n",
            distance_of = distance_of(distance)
        ),
    )
}

/// `1 7/8 in` as a place, whether bare or with what is said of it.
fn distance_of(distance: &str) -> String {
    distance.replacen("1 7/8 in", "1 7/8 in right of crank", 1)
}
