//! Slots that run out of a side.

use super::*;

/// A slot that breaks out says how to say that it is meant.
#[test]
fn a_slot_that_breaks_out_is_told_how_to_be_open() {
    let edge = "place = [\"30 right of datum\", \"mid thickness\"]";
    for (face, along, centres, place, side) in [
        ("front", 0, 62, MIDDLE, "right"),
        ("back", 90, 40, MIDDLE, "top"),
        ("top", 0, 62, edge, "right"),
        ("top", 90, 10, edge, "front"),
    ] {
        let text = block(&format!(
            "kind = \"slot\"\nface = \"{face}\"\nwidth = \"5\"\ncentres = \"{centres}\"\nalong = \"{along}°\"\ndepth = \"3\"\n{place}"
        ));
        let faults = made(&text).unwrap_err();
        let mend = faults[0].remedy().unwrap_or_default();
        assert!(mend.contains(&format!("`open = \"{side}\"`")), "{face} {along}: {}", told(&faults));
    }
}

/// An open slot of 6 by a cutter of 6: it starts clear of the outside by 3 and 1, and
/// stops at its closed end; a hole right across both cheeks may cross it, one that stops
/// in the gap or beside its end may not.
#[test]
fn an_open_slot_runs_in_from_its_side() {
    let slot = |open: &str, along: i32, more: &str| {
        block(&format!(
            "kind = \"slot\"\nwidth = \"6\"\nopen = {open}\nalong = \"{along}°\"\n{MIDDLE}\n{more}"
        ))
    };
    for (open, along, start, stop) in [
        ("\"right\"", 0, ["64.000 mm", "20.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("\"right\"", 180, ["64.000 mm", "20.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("\"left\"", 0, ["-4.000 mm", "20.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("\"top\"", 90, ["30.000 mm", "44.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("[\"right\", \"left\"]", 0, ["-4.000 mm", "20.000 mm"], ["64.000 mm", "20.000 mm"]),
    ] {
        let found = planned(&slot(open, along, ""));
        let at = |end: &str| ["X", "Y"].map(|axis| shown(&found, "mill thing", &format!("{axis} {end}")));
        assert_eq!((at("start"), at("stop")), (start.map(String::from), stop.map(String::from)), "{open}");
        let rows = || found.setups.iter().flat_map(|setup| &setup.rows);
        assert!(!rows().any(|row| row.what.starts_with("drill thing")), "{open}: no way in is drilled");
    }
    // The side that it is open at says which way it runs.
    let told_once = slot("[\"top\", \"bottom\"]", 90, "").replace("along = \"90°\"\n", "");
    assert_eq!(
        ["X start", "Y start", "Y stop"].map(|what| shown(&planned(&told_once), "mill thing", what)),
        ["30.000 mm", "-4.000 mm", "44.000 mm"]
    );
    // Right across the part it is placed across alone; with one open end its other is asked for.
    let across = |open: &str| slot(open, 0, "").replace(MIDDLE, "place = [\"20 above datum\"]");
    let found = planned(&across("[\"left\", \"right\"]"));
    assert_eq!(shown(&found, "mill thing", "X stop"), "64.000 mm");
    assert!(
        told(&made(&across("\"right\"")).unwrap_err()).contains("how far to the right or left `thing` is")
    );
    let hole = |x: i32, depth: &str| {
        slot(
            "\"right\"",
            0,
            &format!(
                "[[feature]]\nname = \"pin\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"4\"\n{depth}place = [\"{x} right of datum\", \"mid thickness\"]"
            ),
        )
    };
    planned(&hole(50, ""));
    planned(&hole(50, "depth = \"35\"\n"));
    for refused in [hole(50, "depth = \"20\"\n"), hole(27, "")] {
        let faults = made(&refused).unwrap_err();
        assert!(told(&faults).contains("breaks into"), "{}", told(&faults));
    }
}

/// The outside of a rod is cut after its notch: the cutter starts clear of the blank, which
/// stands 2 mm and the odd millimetre out beyond 58.5 at its right.
#[test]
fn an_open_slot_starts_clear_of_a_blank_that_is_not_cut_to_shape_yet() {
    let found = planned(
        "part = \"Rod\"\nunit = \"mm\"\nmaterial = \"brass\"\nusual_roles = true\n[body]\nkind = \"bosses\"\n\
         around = [\"big\", \"small\"]\nthickness = \"6\"\n\
         [[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"11\"\nplace = [\"at datum\"]\n\
         [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"8.5\"\n\
         place = [\"50 right of datum\", \"level with big\"]\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"10\"\nfinish = \"reamed\"\n\
         place = [\"concentric with big\"]\n\
         [[feature]]\nname = \"notch\"\nkind = \"slot\"\nwidth = \"6\"\nopen = \"right\"\n\
         place = [\"44 right of datum\", \"level with big\"]\n",
    );
    let at = |label| shown(&found, "mill notch", label).trim_end_matches(" mm").parse::<f64>().unwrap();
    // From the stop at 44 to the blank's end at 61, the cutter's 3 and 1.
    assert!((at("X start") - at("X stop") - 21.0).abs() < 1e-9, "{} {}", at("X start"), at("X stop"));
}

/// What an open slot takes away: its straight part to the edge, and half a round; beside it
/// its walls stand, and none is found where it runs out.
#[test]
fn an_open_slot_takes_its_metal_away_up_to_the_edge() {
    use std::f64::consts::PI;
    use workshop::drawing::Face;
    use workshop::drawing::Image;
    use workshop::drawing::solid::{Beside, walls_in_space, weigh};
    let edge = "place = [\"30 right of datum\", \"mid thickness\"]";
    let end = "place = [\"20 above datum\", \"mid thickness\"]";
    for (face, along, open, deep, place, away, beside, wall_mm) in [
        ("front", 0, "\"right\"", 12, MIDDLE, 30.0 * 6.0 + PI * 4.5, Face::Top, 17.0),
        ("back", 90, "\"bottom\"", 5, MIDDLE, 20.0 * 6.0 + PI * 4.5, Face::Right, 27.0),
        ("front", 0, "[\"left\", \"right\"]", 5, MIDDLE, 60.0 * 6.0, Face::Bottom, 17.0),
        ("top", 0, "\"right\"", 5, edge, 30.0 * 6.0 + PI * 4.5, Face::Back, 3.0),
        ("top", 90, "\"front\"", 5, edge, 6.0 * 6.0 + PI * 4.5, Face::Back, 3.0),
        ("left", 90, "[\"front\", \"back\"]", 5, end, 12.0 * 6.0, Face::Top, 17.0),
    ] {
        let depth = if deep == 12 { String::new() } else { format!("depth = \"{deep}\"\n") };
        let text = block(&format!(
            "kind = \"slot\"\nface = \"{face}\"\nwidth = \"6\"\nopen = {open}\nalong = \"{along}°\"\n{depth}{place}"
        ));
        let drawing = read_drawing("part.toml", &text).unwrap();
        let solved = solve(&drawing).unwrap();
        let drawn = Part::as_drawn(&drawing, &solved);
        let wanted = 60.0 * 40.0 * 12.0 - away * f64::from(deep);
        for image in [Image::Drawn, Image::Mirrored] {
            let part = drawn.seen(image);
            assert!(part.impossible().is_empty(), "{face} {open}: {}", told(&part.impossible()));
            let found = weigh(&part).unwrap().part.mm3;
            assert!((found - wanted).abs() < 1e-3, "{face} {open}: {found}, {wanted}");
            let beside = Beside::Face(part.side(beside));
            let walls = walls_in_space(&part);
            let wall = walls.iter().find(|wall| wall.second == beside).unwrap_or_else(|| panic!("{walls:?}"));
            assert_eq!(wall.thickness, Length::nearest(wall_mm), "{face} {open}");
            let open = part.slot_opens(wall.first).into_iter().flatten();
            let out: Vec<Beside> = open.map(|side| Beside::Face(part.side(side))).collect();
            assert!(walls.iter().all(|wall| !out.contains(&wall.second)), "{walls:?}");
        }
    }
}
