//! Work longer than the mill's travel, moved along in the same holding and picked up again.

use super::parts::{bench, drawing};
use super::sheet::lengths_mm;
use workshop::bench::Bench;
use workshop::drawing::read_drawing;
use workshop::measure::Length;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;
use workshop::sheet::{Row, SetupSheet};

/// 420 mm long: bores reamed at 40, 200 and 380 from the left, all 30 up; eight rivet holes 50
/// apart from 35, 12 up.
fn bracket(within: &str, more: &str) -> String {
    format!(
        "part = \"Bracket\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"420\"\n\
         height = \"60\"\nthickness = \"8\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"near bore\"\nkind = \"hole\"\n\
         diameter = \"10\"\nfinish = \"reamed\"\nplace = [\"40 from left edge\", \"30 from bottom edge\"]\n[[feature]]\n\
         name = \"mid bore\"\nkind = \"hole\"\ndiameter = \"10\"\nfinish = \"reamed\"\n\
         place = [\"160 right of near bore\", \"level with near bore\"]\n[[feature]]\nname = \"far bore\"\nkind = \"hole\"\n\
         diameter = \"10\"\nfinish = \"reamed\"\nplace = [{{ is = \"340 right of near bore\", role = \"hold\", within = \"{within}\" }}, \
         \"level with near bore\"]\n[[feature]]\nname = \"rivets\"\nkind = \"row\"\nholes = 8\nspacing = \"50\"\n\
         diameter = \"5\"\nplace = [\"35 from left edge\", \"12 from bottom edge\"]\n{more}"
    )
}

fn walk(text: &str, bench: &Bench) -> Result<Plan, Vec<Problem>> {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"));
    plan(&drawing, bench)
}

fn small(on: &str, travel_mm: i64) -> Bench {
    let mut bench = bench(on);
    bench.mill.travel[0] = Length::mm(travel_mm);
    bench
}

/// The setup in which the work is moved along, and the row that does it.
fn moved(plan: &Plan) -> (&SetupSheet, &Row) {
    let rows = plan.setups.iter().flat_map(|sheet| sheet.rows.iter().map(move |row| (sheet, row)));
    rows.into_iter().find(|(_, row)| row.what.starts_with("move the work")).expect("the work is moved along")
}

fn shown<'p>(row: &'p Row, label: &str) -> &'p str {
    let all = row.sets.iter().chain(&row.check);
    let found = all.into_iter().find(|figure| figure.label().starts_with(label));
    &found.unwrap_or_else(|| panic!("{label} of {row:?}")).shown
}

/// Every X that a row sets, in millimetres.
fn xs(row: &Row) -> Vec<f64> {
    let of = |label: &str| label.split([' ', ',']).any(|word| word == "X");
    row.sets.iter().filter(|f| of(f.label())).filter_map(|f| lengths_mm(&f.shown).first().copied()).collect()
}

/// Whatever the travel from which on it can be done, each stretch with its pick-up fits the slide, and
/// every row is there once, every hole of the row of rivets as well.
#[test]
fn what_is_set_from_one_pick_up_fits_the_travel() {
    let mut moves = 0;
    for travel in [210, 230, 250, 300, 360, 384, 400] {
        let plan = walk(&bracket("0.3", ""), &small("kittiwake", travel)).unwrap();
        for sheet in &plan.setups {
            let numbers: Vec<usize> = sheet.rows.iter().map(|row| row.number).collect();
            assert_eq!(numbers, (1..=sheet.rows.len()).collect::<Vec<_>>());
            // Half the tip of 10 mm, left of the left edge.
            let mut stretch = vec![-5.0];
            for row in &sheet.rows {
                if row.what.starts_with("move the work") {
                    stretch.clear();
                    moves += 1;
                }
                stretch.extend(xs(row));
                let (low, high) =
                    stretch.iter().fold((f64::MAX, f64::MIN), |(l, h), &x| (l.min(x), h.max(x)));
                assert!(high - low <= travel as f64 + 1e-9, "{travel}: {} {stretch:?}", row.what);
            }
        }
        let rows = || plan.setups.iter().flat_map(|sheet| &sheet.rows);
        let mut rivets: Vec<f64> = rows().filter(|r| r.what.contains("rivets")).flat_map(xs).collect();
        rivets.sort_by(f64::total_cmp);
        assert_eq!(rivets, [35.0, 85.0, 135.0, 185.0, 235.0, 285.0, 335.0, 385.0], "{travel}");
        for bore in ["near", "mid", "far"] {
            let at = |what: &str| rows().position(|row| row.what.starts_with(&format!("{what} {bore} bore")));
            assert!(at("drill").unwrap() < at("ream").unwrap(), "{travel} {bore}");
        }
    }
    assert_eq!(moves, 6, "of 400 mm all is reached, 390 with half a tip; else it is moved once");
}

/// From the middle bore, reamed at 200: the readout is set to its place and all readings stay those from
/// the left edge. An indicator finds it within 0.01; a drill put it there within 0.03, the slides
/// within 0.005 and a count of 0.005.
#[test]
fn a_readout_is_set_to_the_place_of_what_is_picked_up() {
    let plan = walk(&bracket("0.3", ""), &small("kittiwake", 250)).unwrap();
    let (sheet, row) = moved(&plan);
    assert!(row.what.ends_with("from mid bore"), "{}", row.what);
    assert_eq!(shown(row, "X over"), "200.000 mm");
    assert_eq!(shown(row, "Y over"), "30.000 mm");
    assert_eq!(shown(row, "adds to"), "0.05 mm at the worst");
    let far = sheet.rows.iter().find(|row| row.what.starts_with("ream far bore")).unwrap();
    assert!(far.number > row.number);
    assert_eq!(far.sets[0].shown, "380.000 mm");
    let why = format!("{:?}", far.sets[0].why);
    assert!(why.contains("picked up again from mid bore") && why.contains("0.05 mm more"), "{why}");
    // The cover says the same, in the same order.
    let line = &plan.cover.order[sheet.number - 1];
    assert_eq!(line.steps, sheet.rows.iter().map(|row| row.what.clone()).collect::<Vec<_>>());
    assert!(sheet.notes.iter().any(|note| note.contains("keeps to the fixed jaw")), "{:?}", sheet.notes);
}

/// A screw of a tenth of an inch, 100 divisions: 200 mm is 7874.02 divisions, the bore stands at 7874. The
/// far bore at 380 is 14960.63, so 14961 from the edge: 7087 from the bore, 70 turns and 87. Drilled at
/// both ends that comes to 0.1308, from the bore itself an indicator adds 0.01; from the edges it is 0.05.
#[test]
fn handwheels_count_from_what_is_picked_up_and_add_no_rounding() {
    let near_mid = bracket("0.15", "").replace("340 right of near bore", "180 right of mid bore");
    let plan = walk(&near_mid, &small("inch-handwheels", 250)).unwrap();
    let (sheet, row) = moved(&plan);
    assert!(row.what.ends_with("from mid bore"), "{}", row.what);
    assert!(shown(row, "X over").starts_with("dial to nought"), "{row:?}");
    let far = sheet.rows.iter().find(|row| row.what.starts_with("ream far bore")).unwrap();
    assert_eq!(far.sets[0].shown, "up 70 turns and 87 divisions");
    assert_eq!(far.sets[1].shown, "at nought", "level with the bore that is picked up");
}

/// From the other end, 420 and half a tip of 2.54 away, the far bore is 42.54 back: 16.748 turns of 2.54.
#[test]
fn handwheels_count_down_from_the_other_end() {
    let plan = walk(&bracket("0.5", ""), &small("inch-handwheels", 250)).unwrap();
    let (sheet, row) = moved(&plan);
    assert!(row.what.ends_with("from the right-hand and near edges"), "{}", row.what);
    let far = sheet.rows.iter().find(|row| row.what.starts_with("ream far bore")).unwrap();
    assert_eq!(far.sets[0].shown, "down 16 turns and 75 divisions, 12 divisions past and back");
}

/// From the far edges the far bore, at 380, is 16.748 turns back and is cut at 16.75: it stands at 379.995.
/// Picked up from there the middle bore, at 200, is 70.864 turns back, 70 and 86 divisions; from the place
/// that the first datum would have had it at, 380.009, it would be 87, and a division off.
#[test]
fn a_third_pick_up_counts_from_where_the_second_put_the_bore() {
    let drilled_first = bracket("0.5", "").replacen("finish = \"reamed\"\n", "", 1);
    let plan = walk(&drilled_first, &small("inch-handwheels", 190)).unwrap();
    let rows = || plan.setups.iter().flat_map(|sheet| &sheet.rows);
    let moves: Vec<&str> =
        rows().map(|row| row.what.as_str()).filter(|what| what.contains("along")).collect();
    assert_eq!(
        moves,
        [
            "move the work along and pick it up again from the right-hand and near edges",
            "move the work along and pick it up again from far bore"
        ]
    );
    let x = |what: &str| &rows().find(|row| row.what.starts_with(what)).unwrap().sets[0].shown;
    assert!(x("ream far bore").starts_with("down 16 turns and 75 divisions"), "{}", x("ream far bore"));
    assert!(x("ream mid bore").starts_with("down 70 turns and 86 divisions"), "{}", x("ream mid bore"));
}

/// Two ends drilled and reamed in one stay come to 0.04 each; across the pick-up 0.05 more: 0.13.
#[test]
fn a_held_distance_across_the_pick_up_must_bear_it() {
    assert!(walk(&bracket("0.13", ""), &small("kittiwake", 250)).is_ok());
    let told = walk(&bracket("0.12", ""), &small("kittiwake", 250)).unwrap_err()[0].to_string();
    assert!(told.contains("far bore from near bore") || told.contains("far bore"), "{told}");
    for figure in ["held within 0.12 mm", "0.08 mm", "adds 0.05 mm", "0.13 mm together"] {
        assert!(told.contains(figure), "{figure}: {told}");
    }
    // On a mill that reaches it is kept.
    assert!(walk(&bracket("0.12", ""), &small("kittiwake", 400)).is_ok());
}

/// A plate with drilled holes alone is picked up from its other end: 400 and half a tip.
#[test]
fn squared_work_without_a_bore_is_picked_up_from_its_other_end() {
    let plan = plan(&drawing("long-plate"), &bench("kittiwake")).unwrap();
    let (_, row) = moved(&plan);
    assert_eq!(shown(row, "X touching the right-hand edge"), "405.000 mm");
    assert_eq!(shown(row, "adds to"), "0.05 mm at the worst", "the finder 0.02, the length 0.03");
}

/// A slot of 262 between its ends is one cut, wherever the work is picked up.
#[test]
fn a_cut_longer_than_the_travel_is_refused_with_a_way_out() {
    let slot = "[[feature]]\nname = \"way\"\nkind = \"slot\"\nwidth = \"6\"\ncentres = \"262\"\nplace = \
                [\"210 from left edge\", \"50 from bottom edge\"]\n";
    let told = walk(&bracket("0.3", slot), &small("kittiwake", 250)).unwrap_err()[0].to_string();
    assert!(told.contains("way") && told.contains("one cut longer than the mill's travel in X"), "{told}");
    assert!(told.contains("262 mm") && told.contains("two cuts that meet"), "{told}");
}

/// What is sawn all round has no true edge, and a drilled hole is too rough to be found by.
#[test]
fn nothing_finished_within_reach_is_told() {
    let link = "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\nthickness = \"8\"\n\
                around = [\"left\", \"right\"]\n[[feature]]\nname = \"left\"\nkind = \"boss\"\nradius = \"12\"\n\
                place = [\"datum\"]\n[[feature]]\nname = \"right\"\nkind = \"boss\"\nradius = \"12\"\n\
                place = [\"380 right of left\", \"level with left\"]\n[[feature]]\nname = \"one\"\nkind = \"hole\"\n\
                diameter = \"6.1\"\nplace = [\"concentric with left\"]\n[[feature]]\nname = \"two\"\nkind = \"hole\"\n\
                diameter = \"6.1\"\nplace = [\"concentric with right\"]\n";
    let told = walk(link, &small("kittiwake", 250)).unwrap_err();
    let told: Vec<String> = told.iter().map(ToString::to_string).collect();
    assert!(told.iter().any(|t| t.contains("beyond the mill's travel in X")), "{told:?}");
}

/// Work wider than the slide goes across is not moved between the jaws.
#[test]
fn between_jaws_it_is_not_moved_across() {
    let mut narrow = bench("kittiwake");
    narrow.mill.travel[1] = Length::mm(50);
    let far = "[[feature]]\nname = \"high\"\nkind = \"hole\"\ndiameter = \"5\"\nplace = [\"20 from left edge\", \"52 from bottom edge\"]\n";
    narrow.mill.travel[0] = Length::mm(500);
    let told = walk(&bracket("0.3", far), &narrow).unwrap_err()[0].to_string();
    assert!(told.contains("travel in Y") && told.contains("between jaws"), "{told}");
}
