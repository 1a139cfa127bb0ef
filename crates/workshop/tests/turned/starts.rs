//! Threads of several starts: what gears and indexes them, and what is refused.

use super::*;

fn valve_spindle(thread: &str) -> String {
    format!(
        "part = \"Valve spindle\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"stem\"\nkind = \"section\"\ndiameter = \"6\"\nlength = \"20\"\n\
         [[feature]]\nname = \"screw\"\nkind = \"section\"\n{thread}\nlength = \"14\"\n\
         [[feature]]\nname = \"runout\"\nkind = \"groove\"\ndiameter = \"7\"\nwidth = \"5\"\nplace = [\"15 left of right end\"]\n\
         [[feature]]\nname = \"collar\"\nkind = \"section\"\ndiameter = \"14\"\nlength = \"10\"\n"
    )
}

fn shed(more: &str, lathe: &str) -> Bench {
    let text = format!(
        "drills = [\"1 mm to 13 mm by 0.1 mm\"]\n{more}\n[lathe]\nspeeds = [60, 110, 190, 320, 560, 900]\n{lathe}\n\
         [[stock]]\nmaterial = \"brass\"\nround = [\"16 mm\"]\n"
    );
    read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

const GEARED: &str =
    "leadscrew = \"3 mm\"\nchange_wheels = [20, 25, 30, 35, 40, 45, 50, 60]\ntop_slide = \"60 mm\"";

/// Two starts of M10x1 climb 2 mm in a turn: 20 to 30 from a leadscrew of 3 mm, with a mark at every 10th tooth.
#[test]
fn two_starts_are_geared_for_their_lead_and_indexed() {
    for name in ["M10x1 2 starts", "2-start M10 x 1"] {
        let drawing = read(&valve_spindle(&format!("thread = \"{name}\"")));
        let made =
            plan(&drawing, &shed("taps = [\"M10x1\"]", GEARED)).unwrap_or_else(|f| panic!("{}", told(&f)));
        assert_eq!(chosen(&made, "screw: thread"), "M10x1 2 starts");
        let cut = row(&made, "cut the thread of screw");
        assert!(shown(cut, "lead cut").starts_with("2.0000 mm, exact"), "{}", shown(cut, "lead cut"));
        assert!(shown(cut, "starts").starts_with("2, each to the full depth of the pitch of 1 mm"));
        let next = shown(cut, "to the next start");
        assert!(next.contains("the stud at every start, 10 teeth apart"), "{next}");
        assert!(shown(cut, "passes of each start, dial from a touch").contains(", "));
    }
}

#[test]
fn several_starts_are_refused_where_nothing_cuts_them() {
    let refused = |thread: &str, bench: &Bench| {
        told(&plan(&read(&valve_spindle(thread)), bench).expect_err("nothing cuts it"))
    };
    let ungeared = refused("thread = \"M10x1 2 starts\"", &shed("", ""));
    assert!(ungeared.contains("cannot be cut on this bench") && ungeared.contains("leadscrew"), "{ungeared}");
    let hole = valve_spindle("diameter = \"10\"")
        + "[[feature]]\nname = \"nut\"\nkind = \"tapped hole\"\nthread = \"M5 2 starts\"\ndepth = \"8\"\nface = \"right\"\n";
    let inside = told(&plan(&read(&hole), &shed("taps = [\"M5\"]", GEARED)).expect_err("no tap"));
    assert!(inside.contains("no tap of several starts"), "{inside}");
    let tapped = plan(&read(&hole), &shed("taps = [\"M5\", \"M5 2 starts\"]", GEARED)).unwrap();
    assert!(row(&tapped, "tap nut").what.contains("M5 2 starts"));
    // What has one start does not take its place.
    let pinned = valve_spindle("thread = { is = \"M10x1 2 starts\", pin = \"M10x1\" }");
    let faults = read_drawing("part.toml", &pinned).unwrap_err();
    assert!(told(&faults).contains("M10x1 2 starts has 2, M10x1 has one start"), "{}", told(&faults));
}
