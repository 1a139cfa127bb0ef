//! Parts that once came out wrong, each with what is right.

use super::parts::{PARTS, bench};
use super::sheet::Road;
use workshop::drawing::read_drawing;
use workshop::plan::plan;

/// A part on a bench, which must have a plan.
fn road(part: &str, bench: &str) -> Road {
    Road::walk(part, bench).unwrap_or_else(|| panic!("{part} has a plan on {bench}"))
}

/// The oil hole of the bush: 1/4 in from the right end, 6.5 mm in the metric part.
#[test]
fn a_cross_hole_in_turned_work_is_read_from_its_end_and_axis() {
    let road = road("bush", "everything");
    let sheet = road.plan.setups.last().unwrap();
    let shown = |label: &str| {
        let all = sheet.presets.iter().chain(sheet.rows.iter().flat_map(|r| &r.sets));
        all.filter(|f| f.label() == label).map(|f| f.shown.clone()).next().unwrap_or_default()
    };
    assert_eq!((shown("X"), shown("Y")), ("-6.500 mm".into(), "0.000 mm".into()));
    // A tip of 10 mm; the barrel is 12.5 mm: 6.25 and 5.
    assert_eq!(shown("preset X at the right end"), "5.000 mm");
    assert_eq!(shown("preset Y touching the near side of barrel"), "-11.250 mm");
}

/// The grub screw of the flywheel is drilled while the blank is still square: its
/// edge stands 2.5 mm above the rim of 95 mm, 100 mm of blank less 95, halved.
#[test]
fn a_hole_across_a_square_blank_is_deeper_by_what_the_blank_stands_above_the_round() {
    let road = road("flywheel-disc", "no-lathe");
    let tap = road.plan.setups.iter().flat_map(|s| &s.rows).find(|r| r.what.starts_with("tap grub")).unwrap();
    assert_eq!(tap.depth[0].shown, "22.5 mm");
}

/// The screw enters the small boss, of 5/16 in radius, and not the hub of 1/2 in.
#[test]
fn a_clamp_screw_goes_through_its_own_boss_only() {
    let road = road("back-crank", "everything");
    let rows = || road.plan.setups.iter().flat_map(|s| &s.rows);
    let open = rows().find(|r| r.what.starts_with("open nip screw")).unwrap();
    assert_eq!(open.depth[0].shown, "8 mm below the top");
    let slit = rows().find(|r| r.what.starts_with("saw slit")).unwrap();
    // The radius of 8 mm and half of the saw's 0.8 mm.
    assert!(slit.sets.iter().any(|f| f.label().starts_with("saw's lower side") && f.shown == "8.400 mm"));
}

/// The gap of a fork, its closed end 9/16 in from the right end, is cut in from that end,
/// and the pin hole across it is no fault.
#[test]
fn the_gap_of_a_fork_is_cut_in_from_its_open_end() {
    let road = road("fork", "everything");
    let rows: Vec<_> = road.plan.setups.iter().flat_map(|s| &s.rows).collect();
    let gap = rows.iter().find(|row| row.what.starts_with("mill gap")).unwrap();
    let words: Vec<String> = gap.sets.iter().map(|f| format!("{:?}", f.why)).collect();
    assert!(
        words.iter().any(|why| why.contains("clear of the right of the work by the cutter's radius")),
        "{words:?}"
    );
    assert!(gap.sets.iter().any(|f| f.label().starts_with("X start")), "{gap:?}");
    assert!(rows.iter().all(|row| !row.what.starts_with("drill gap")), "no way in is drilled");
    assert!(rows.iter().any(|row| row.what.starts_with("ream cross pin")), "{rows:?}");
}

/// A setting out of reach says in which step.
#[test]
fn a_saw_too_small_is_named_with_its_step() {
    // What holds pressure keeps its sizes, so that only the settings can refuse it; the
    // largest saw on sale goes 36.5 mm deep, and this slit is 38.
    let (_, text) = PARTS.iter().find(|(part, _)| *part == "slit-down").unwrap();
    let text = text
        .replacen("unit =", "holds_pressure = true\nunit =", 1)
        .replace("\"24 ", "\"38 ")
        .replace("\"40\"", "\"60\"");
    let faults = plan(&read_drawing("slit-down", &text).unwrap(), &bench("no-lathe")).unwrap_err();
    assert!(faults[0].place().contains("saw slit"), "{}", faults[0]);
}

/// A disc too large for the table, or with none, is turned: at a speed for its rim.
#[test]
fn a_disc_turned_on_its_stub_has_a_speed() {
    let road = road("cylinder-cover", "no-rotary");
    let sheet = road.plan.setups.last().unwrap();
    let turned = sheet.rows.iter().find(|r| r.what == "turn the outside").unwrap();
    assert!(turned.speed.is_some() && sheet.held.contains("chuck"), "{turned:?}");
}

/// The metric screw's head is larger than the old one's: the sheet says to try it.
#[test]
fn a_counterbore_is_tried_with_its_own_screw() {
    let road = road("bearing-cap", "everything");
    let sunk = road
        .plan
        .setups
        .iter()
        .flat_map(|s| &s.rows)
        .find(|r| r.what.starts_with("counterbore left"))
        .unwrap();
    assert!(sunk.check.as_ref().unwrap().shown.contains("screw drops in freely"), "{sunk:?}");
}
