//! What holds the pieces of a stack together that is clamped, and then screwed through its own holes.

use super::parts::bench;
use super::sheet::lengths_mm;
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::sheet::SetupSheet;

/// Four links 5 mm thick: bosses of 12 and 9 mm radius 90 mm apart, bored 8 and 6, a hole of 5 half-way.
const LINK: &str = "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nmake = 4\n[body]\nkind = \"bosses\"\n\
    thickness = \"5\"\naround = [\"left\", \"right\"]\n[[feature]]\nname = \"left\"\nkind = \"boss\"\nradius = \"12\"\n\
    place = [\"datum\"]\n[[feature]]\nname = \"right\"\nkind = \"boss\"\nradius = \"9\"\n\
    place = [\"90 right of left\", \"level with left\"]\n[[feature]]\nname = \"one\"\nkind = \"hole\"\ndiameter = \"8\"\n\
    finish = \"reamed\"\nplace = [\"concentric with left\"]\n[[feature]]\nname = \"two\"\nkind = \"hole\"\ndiameter = \"6\"\n\
    finish = \"reamed\"\nplace = [\"concentric with right\"]\n[[feature]]\nname = \"mid\"\nkind = \"hole\"\ndiameter = \"5\"\n\
    place = [\"45 right of left\", \"level with left\"]\n[order]\nwanted = [\"screwed together\"]\n";

fn links() -> Plan {
    let drawing = read_drawing("link.toml", LINK).unwrap();
    plan(&drawing, &bench("kittiwake")).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn sheet<'p>(plan: &'p Plan, row: &str) -> &'p SetupSheet {
    let own = |sheet: &&SetupSheet| sheet.rows.iter().any(|r| r.what.starts_with(row));
    plan.setups.iter().find(own).unwrap_or_else(|| panic!("no row {row}"))
}

/// The holes are drilled while two clamps hold the blanks, over the ends that the jaws leave free, clear of
/// every drill; both are on the picture, and the row that puts them on says where they are placed.
#[test]
fn the_clamps_of_a_stack_stand_over_its_ends_clear_of_the_drills() {
    let plan = links();
    let sheet = sheet(&plan, "drill");
    let clamps: Vec<_> = sheet.presets.iter().filter(|f| f.label().starts_with("clamp ")).collect();
    assert_eq!(clamps.len(), 2, "{:?}", sheet.presets);
    let drilled: Vec<[f64; 2]> =
        sheet.rows.iter().map(|row| [0, 1].map(|n| lengths_mm(&row.sets[n].shown)[0])).collect();
    for (clamp, side) in clamps.iter().zip(["right-hand side", "left-hand side"]) {
        assert!(clamp.shown.contains(side), "{}", clamp.shown);
        let at = lengths_mm(&clamp.shown);
        for hole in &drilled {
            // Half a strap of 20, half the largest drill and a millimetre besides.
            let far = (hole[0] - at[0]).hypot(hole[1] - at[1]);
            assert!(far > 10.0, "{} beside {hole:?}", clamp.shown);
        }
        let n = clamp.label().rsplit(' ').next().unwrap();
        assert!(sheet.scene.notes.iter().any(|note| note.text == format!("clamp {n}")));
    }
    let first = &plan.setups[0].rows[0];
    let said = format!("placed as setup {} says", sheet.number);
    assert!(first.sets[0].shown.contains(&said), "{}", first.sets[0].shown);
}

/// Rounded on a stub in the one bore, the stack is held by the screw in the other: M5 by 30 through 20
/// stands 10 up, its nut is 8/cos 30° = 9.24 across; the flank, tangent to the boss of 9, passes it by
/// 9 less 4.62.
#[test]
fn the_nut_of_a_screwed_stack_is_drawn_and_clear_of_the_cutter() {
    let plan = links();
    let sheet = sheet(&plan, "round left");
    let screw = sheet.presets.iter().find(|f| f.label() == "screw in two").expect("its screw is told");
    assert_eq!(screw.shown, "stands 10 mm up, 9.3 mm across its corners; the cutter passes it by 4.3 mm");
    assert!(sheet.scene.notes.iter().any(|note| note.text == "nut M5"), "{:?}", sheet.scene.notes);
    assert!(sheet.presets.iter().all(|f| f.label() != "screw in one"), "the stub takes its place");
    // The second clamp keeps clear of the nut, which stands at 90 along X.
    for clamp in sheet.presets.iter().filter(|f| f.label().starts_with("clamp ")) {
        let at = lengths_mm(&clamp.shown);
        assert!((at[0] - 90.0).hypot(at[1]) > 10.0 + 4.62, "{}", clamp.shown);
    }
}
