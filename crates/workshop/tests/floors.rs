//! What is cut from an edge where a step took the metal away, held against figures reckoned by
//! hand from the section of the part.

use workshop::bench::read_bench;
use workshop::drawing::{Part, read_drawing, solve};
use workshop::measure::Length;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;
use workshop::sheet::Row;

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// A block 60 wide, 50 high and 40 thick, of which the top right is cut away down to 12 from the
/// bottom and up to 15 from the left.
fn angle(more: &str) -> String {
    format!(
        "part = \"Angle\"\nunit = \"mm\"\nmaterial = \"cast iron\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = 60\nheight = 50\nthickness = 40\ndatum = \"bottom left\"\n\
         [stock]\nform = \"casting\"\nallowance = 2\n\
         [[feature]]\nname = \"inside\"\nkind = \"step\"\nface = \"top\"\nleaves = 12\nside = \"right\"\n\
         place = [\"15 from left edge\"]\n[[feature]]\nname = \"thing\"\n{more}\n"
    )
}

fn made(text: &str) -> Result<Plan, Vec<Problem>> {
    let bench = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\ntaps = [\"M6\"]\n[mill]\nspeeds = [200, 500, 750, 1200, 2400]\n\
        readout_step = \"0.01 mm\"\n[[end_mill]]\ndiameter = \"8 mm\"\nflute = \"19 mm\"\nteeth = 4\n\
        [[end_mill]]\ndiameter = \"16 mm\"\nflute = \"42 mm\"\nteeth = 4\n";
    plan(&read_drawing("part.toml", text)?, &read_bench("bench.toml", bench)?)
}

fn planned(text: &str) -> Plan {
    made(text).unwrap_or_else(|faults| panic!("{text}\n{}", told(&faults)))
}

fn rows(made: &Plan) -> Vec<&Row> {
    made.setups.iter().flat_map(|setup| &setup.rows).collect()
}

fn depth_of(made: &Plan, what: &str) -> String {
    let all = rows(made);
    let row = all.iter().find(|row| row.what.starts_with(what));
    let row = row.unwrap_or_else(|| panic!("{what}: {:?}", all.iter().map(|r| &r.what).collect::<Vec<_>>()));
    row.depth[0].shown.clone()
}

/// A ledge of a millimetre and a half is drilled while all 50 stand on it: the row counts from the top edge.
#[test]
fn a_drill_before_its_thin_ledge_goes_through_the_whole_metal() {
    let hole =
        "kind = \"hole\"\nface = \"top\"\ndiameter = 6\nplace = [\"40 from left edge\", \"mid thickness\"]";
    let made = planned(&angle(hole).replace("leaves = 12", "leaves = 1.5"));
    let order: Vec<&str> = rows(&made).iter().map(|row| row.what.as_str()).collect();
    let at = |what: &str| order.iter().position(|row| row.starts_with(what));
    assert!(at("drill thing") < at("mill inside"), "{order:?}");
    // 50, and the point of 0.3 of 6.
    assert!(
        depth_of(&made, "drill thing").contains("51.8 mm from the"),
        "{}",
        depth_of(&made, "drill thing")
    );
    assert!(!depth_of(&made, "drill thing").contains("step"));
}

/// From either edge the same 12 mm are left, and from the left 15 to the shoulder; a place that
/// has nothing cut away keeps its 50.
#[test]
fn the_metal_is_what_the_step_leaves() {
    let hole = |face: &str, place: &str| {
        format!("kind = \"hole\"\nface = \"{face}\"\ndiameter = 6\nplace = [{place}, \"mid thickness\"]")
    };
    let cases = [
        (hole("top", "\"40 from left edge\""), Length::mm(12)),
        (hole("bottom", "\"40 from left edge\""), Length::mm(12)),
        (hole("top", "\"7 from left edge\""), Length::mm(50)),
        // Its rim reaches over the shoulder: the drill begins at the very top.
        (hole("top", "\"16 from left edge\""), Length::mm(50)),
        (hole("left", "\"30 from bottom edge\""), Length::mm(15)),
        (hole("right", "\"30 from bottom edge\""), Length::mm(15)),
        (hole("left", "\"6 from bottom edge\""), Length::mm(60)),
        (
            "kind = \"slot\"\nface = \"top\"\nwidth = 8\ncentres = 10\nalong = \"90°\"\nplace = [\"40 from left edge\", \"mid thickness\"]".into(),
            Length::mm(12),
        ),
        // Along the part, half of 44 and half of 8 reach 26 back from 40: over the shoulder.
        (
            "kind = \"slot\"\nface = \"top\"\nwidth = 8\ncentres = 44\nalong = \"0°\"\nplace = [\"40 from left edge\", \"mid thickness\"]".into(),
            Length::mm(50),
        ),
    ];
    for (more, left) in cases {
        let drawing =
            read_drawing("part.toml", &angle(&more)).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        let part = Part::as_drawn(&drawing, &solved);
        let (id, _) = part.features().find(|(_, feature)| feature.name == "thing").unwrap();
        assert_eq!(part.through(id), Some(left), "{more}");
        assert_eq!(part.mirrored().through(id), Some(left), "mirrored: {more}");
    }
}

/// 12 mm are left where the hole stands: 11 leave a floor, 13 none.
#[test]
fn a_depth_counts_from_the_floor_and_must_leave_one() {
    let hole = |deep: &str| {
        let more = format!(
            "kind = \"hole\"\nface = \"top\"\ndiameter = 6\ndepth = {deep}\nplace = [\"40 from left edge\", \"mid thickness\"]"
        );
        let drawing =
            read_drawing("part.toml", &angle(&more)).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        told(&Part::as_drawn(&drawing, &solved).impossible())
    };
    assert_eq!(hole("11"), "");
    let fault = hole("13");
    assert!(fault.contains("goes 13 mm, and there are only 12 mm there"), "{fault}");
}

/// The flutes of the 8 mm mill are 19 long: enough for the 12 that are left, too short for 50. The
/// step is cut first, and both passes and drill count from its floor.
#[test]
fn slots_and_holes_in_a_floor_are_cut_after_it_and_from_it() {
    let slot = "kind = \"slot\"\nface = \"top\"\nwidth = 8\ncentres = 10\nalong = \"90°\"\nplace = [\"40 from left edge\", \"mid thickness\"]";
    let found = planned(&angle(slot));
    let passes = depth_of(&found, "mill thing");
    assert!(
        passes.contains(" 12.20 mm") && passes.ends_with("from the floor of inside, 38 mm below the face"),
        "{passes}"
    );
    let at = |what: &str| rows(&found).iter().position(|row| row.what.starts_with(what)).unwrap();
    assert!(at("mill inside") < at("mill thing"));

    let tapped = "kind = \"tapped hole\"\nface = \"top\"\nthread = \"M6\"\nplace = [\"40 from left edge\", \"mid thickness\"]";
    let found = planned(&angle(tapped));
    // A point of 118° is 0.3 of the tapping drill, a little over 1.5 mm of 5.1 mm, told to the next tenth.
    let drilled = depth_of(&found, "drill thing");
    assert_eq!(drilled, "through: 13.6 mm from the step");
    assert_eq!(depth_of(&found, "tap thing"), "through 12 mm");
}

/// By hand: of a block 40 wide and 50 high 25 is cut away 45 deep, which flutes of 42 do not reach;
/// from the side it is 25 deep, and 15 are left.
#[test]
fn a_step_too_deep_for_the_cutter_is_cut_the_other_way_about() {
    let found = planned(
        "part = \"Angle\"\nunit = \"mm\"\nmaterial = \"cast iron\"\n[body]\nkind = \"rectangle\"\nwidth = 40\n\
         height = 50\nthickness = 20\ndatum = \"bottom left\"\n[[feature]]\nname = \"inside\"\nkind = \"step\"\n\
         face = \"top\"\nleaves = 5\nside = \"right\"\nplace = [\"15 from left edge\"]\n",
    );
    assert!(rows(&found).iter().any(|row| row.what == "mill inside in from its side, down to 15 mm"));
    let why =
        |words: &String| words.contains("inside is cut in from the right") && words.contains("45 mm deep");
    assert!(found.order.assumed.iter().any(why), "{:?}", found.order.assumed);
}

/// By hand: 13 mm down to the floor, 4 more for the slot and 3 for the hole. A hole of 5 in what a ledge of 8
/// takes away goes 13 down while that is there.
#[test]
fn blind_depths_count_from_the_floor_they_are_drawn_from_and_say_so() {
    let text = |well: &str, port: &str| {
        format!(
            "part = \"Chest\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = 60\n\
             height = 90\nthickness = 25\ndatum = \"centre\"\n[[feature]]\nname = \"well\"\n{well}\n[[feature]]\nname = \"port\"\n\
             {port}\n"
        )
    };
    let pocket = "kind = \"pocket\"\nwidth = 40\nheight = 30\ncorner = 8\ndepth = 13\nplace = [\"datum\"]";
    let from_floor = ", from the floor of well, 13 mm below the face";
    let slot = "kind = \"slot\"\nwidth = 8\ncentres = 12\ndepth = 4\nplace = [\"datum\"]";
    let milled = depth_of(&planned(&text(pocket, slot)), "mill port");
    assert!(milled.ends_with(&format!("4.00 mm{from_floor}")), "{milled}");
    let hole = "kind = \"hole\"\ndiameter = 5\ndepth = 3\nplace = [\"datum\"]";
    let drilled = depth_of(&planned(&text(pocket, hole)), "drill port");
    assert_eq!(drilled, format!("3 mm, and the point beyond{from_floor}"));

    let ledge =
        "kind = \"step\"\nface = \"front\"\nleaves = 17\nside = \"right\"\nplace = [\"10 right of datum\"]";
    let hole =
        "kind = \"hole\"\ndiameter = 5\ndepth = 5\nplace = [\"20 right of datum\", \"level with datum\"]";
    for wish in ["mill well before drill port", "drill port before mill well"] {
        let found = planned(&format!("{}[order]\nwanted = [\"{wish}\"]\n", text(ledge, hole)));
        let told = match wish.starts_with("mill") {
            true => "5 mm, and the point beyond, from the floor of well, 8 mm below the face",
            false => "13 mm, and the point beyond, from the face: 8 mm of it goes with well",
        };
        assert_eq!(depth_of(&found, "drill port"), told, "{wish}");
    }
}

/// By hand: of 20 mm of metal 13 are gone where the slot begins, so that 7 are cut; a slot beside
/// the pocket goes through all 20. Both go 0.2 mm past the far face.
#[test]
fn a_slot_in_the_floor_of_a_pocket_begins_at_that_floor() {
    let text = |place: &str| {
        format!(
            "part = \"Chest\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = 60\n\
             height = 90\nthickness = 20\ndatum = \"centre\"\n[[feature]]\nname = \"well\"\nkind = \"pocket\"\nwidth = 40\n\
             height = 30\ncorner = 8\ndepth = 13\nplace = [\"datum\"]\n[[feature]]\nname = \"port\"\nkind = \"slot\"\n\
             width = 8\ncentres = 12\nplace = [{place}]\n"
        )
    };
    let inside = depth_of(&planned(&text("\"datum\"")), "mill port");
    assert!(inside.ends_with("7.20 mm, from the floor of well, 13 mm below the face"), "{inside}");
    let beside = depth_of(&planned(&text("\"32 above datum\", \"plumb with datum\"")), "mill port");
    assert!(beside.ends_with("20.20 mm"), "{beside}");
}

/// By hand: of 20 mm of metal 13 are gone from the other face; the point of a 5 mm drill is 1.5 long.
#[test]
fn a_hole_may_come_out_in_a_pocket_of_the_other_face() {
    let found = planned(
        "part = \"Chest\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = 60\nheight = 90\n\
         thickness = 20\ndatum = \"centre\"\n[[feature]]\nname = \"well\"\nkind = \"pocket\"\nface = \"back\"\nwidth = 40\nheight = 30\n\
         corner = 8\ndepth = 13\nplace = [\"datum\"]\n[[feature]]\nname = \"port\"\nkind = \"hole\"\ndiameter = 5\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = 5\ndepth = 4\nplace = [\"20 right of datum\", \"36 above datum\"]\n\
         [order]\nwanted = [\"mill well before drill port\"]\n",
    );
    assert_eq!(depth_of(&found, "drill port"), "through: 8.5 mm from the face");
}
