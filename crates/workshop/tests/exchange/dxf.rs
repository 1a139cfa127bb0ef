//! What DXF files draw, and what becomes of it.

use std::f64::consts::PI;

use insta::assert_snapshot;
use workshop::exchange::{Asked, Datum, FileUnit, Imported, Layers, Taken};
use workshop::geometry::{Circle, Outline, Point, Segment, tangents};
use workshop::measure::Length;

use crate::{all, circle, dxf, dxf_of, line, plate, polyline, read, refused};

fn usual() -> Asked {
    Asked { thickness: Some("3 mm".into()), ..Asked::usual("Plate") }
}

/// The lines, arcs and circles of an outline.
fn drawn(outline: &Outline) -> Vec<String> {
    let degrees = |rad: f64| rad.to_degrees();
    outline
        .segments()
        .iter()
        .map(|segment| match segment {
            Segment::Line(l) => line(l.start.x_mm, l.start.y_mm, l.end.x_mm, l.end.y_mm),
            Segment::Arc(arc) => {
                let (from, to) = if arc.sweep_rad > 0.0 {
                    (arc.start_rad, arc.end_rad())
                } else {
                    (arc.end_rad(), arc.start_rad)
                };
                format!(
                    "0 ARC; 8 0; 10 {}; 20 {}; 40 {}; 50 {}; 51 {}",
                    arc.centre.x_mm,
                    arc.centre.y_mm,
                    arc.radius_mm,
                    degrees(from),
                    degrees(to)
                )
            }
        })
        .collect()
}

/// Half the boundary of an area and its holes, each to a thousandth.
fn holes(read: &Imported) -> Vec<(f64, f64, f64)> {
    let round = |mm: f64| (mm * 1e6).round() / 1e6;
    read.holes
        .iter()
        .map(|h| (round(h.centre.x_mm), round(h.centre.y_mm), round(2.0 * h.radius_mm)))
        .collect()
}

#[test]
fn a_plate_with_a_hole_is_what_a_person_would_type() {
    let read = read("plate.dxf", &dxf(&all(&plate())), &usual());
    assert_snapshot!(read.text, @r#"
    # Read from plate.dxf. Places are from the bottom left of the outline.
    part = "Plate"
    unit = "mm"

    [body]
    kind = "rectangle"
    width = "40"
    height = "25"
    thickness = "3 mm"
    datum = "bottom left"

    [[feature]]
    name = "hole"
    kind = "hole"
    diameter = "5"
    place = ["10 from left edge", "10 from bottom edge"]
    "#);
    assert_eq!(read.report.questions, [""; 0]);
    assert!(read.report.read_back_mm.unwrap() < 1e-9);
    assert_eq!(holes(&read), [(10.0, 10.0, 5.0)]);
}

/// A lever in inches: two bosses joined by flanks, and its bores.
#[test]
fn a_lever_in_inches_is_two_bosses_and_its_sizes_are_fractions() {
    let bosses = [Circle::new(Point::new(3.0, 2.0), 0.4375), Circle::new(Point::new(4.84375, 2.0), 0.28125)];
    let outline = tangents::around_bosses(&bosses).unwrap();
    let mut entities = drawn(&outline);
    entities.extend([circle(3.0, 2.0, 0.15625), circle(4.84375, 2.0, 0.09375)]);
    // Drawn in any order.
    entities.swap(0, 3);
    let asked = Asked { thickness: Some("3/8 in".into()), ..Asked::usual("Lever") };
    let read = read("lever.dxf", &dxf_of(1, "", &all(&entities)), &asked);
    assert_snapshot!(read.text, @r#"
    # Read from lever.dxf. Places are from the bottom left of the outline.
    part = "Lever"
    unit = "inch"

    [body]
    kind = "bosses"
    around = ["left boss", "right boss"]   # anticlockwise
    thickness = "3/8 in"

    [[feature]]
    name = "left boss"
    kind = "boss"
    radius = "7/16"
    place = ["7/16 right of datum", "7/16 above datum"]

    [[feature]]
    name = "right boss"
    kind = "boss"
    radius = "9/32"
    place = ["2 9/32 right of datum", "7/16 above datum"]

    [[feature]]
    name = "hole 1"
    kind = "hole"
    diameter = "5/16"
    place = ["concentric with left boss"]

    [[feature]]
    name = "hole 2"
    kind = "hole"
    diameter = "3/16"
    place = ["concentric with right boss"]
    "#);
    assert_eq!(read.report.rounded, []);
    assert!(read.report.read_back_mm.unwrap() < 1e-6, "{:?}", read.report);
    assert_eq!(read.report.questions, [""; 0]);
}

/// Rounded corners, a round end, a notch, a bite and a swept edge, all in one.
#[test]
fn corners_arcs_and_round_ends_are_told_apart() {
    let p = Point::new;
    let quarter = PI / 2.0;
    // From the bottom left, anticlockwise: rounded corner, sharp corner, a bite in the
    // right edge, a half-round end at the top.
    let outline = Outline::new(vec![
        Segment::line(p(5.0, 0.0), p(60.0, 0.0)),
        Segment::line(p(60.0, 0.0), p(60.0, 10.0)),
        Segment::arc(p(60.0, 16.0), 6.0, -quarter, -PI),
        Segment::line(p(60.0, 22.0), p(60.0, 30.0)),
        Segment::line(p(60.0, 30.0), p(40.0, 30.0)),
        Segment::line(p(40.0, 30.0), p(40.0, 50.0)),
        Segment::arc(p(30.0, 50.0), 10.0, 0.0, PI),
        Segment::line(p(20.0, 50.0), p(20.0, 33.0)),
        Segment::arc(p(17.0, 33.0), 3.0, 0.0, -quarter),
        Segment::line(p(17.0, 30.0), p(0.0, 30.0)),
        Segment::line(p(0.0, 30.0), p(0.0, 5.0)),
        Segment::arc(p(5.0, 5.0), 5.0, PI, quarter),
    ])
    .unwrap();
    let read = read("bracket.dxf", &dxf(&all(&drawn(&outline))), &usual());
    assert_snapshot!(read.text, @r#"
    # Read from bracket.dxf. Places are from the bottom left of the outline.
    # Look at this: nothing is cut in it: a part needs a hole or some other feature
    part = "Plate"
    unit = "mm"

    [body]
    kind = "outline"
    around = [   # anticlockwise
      "corner 1", "corner 2", "corner 3", { arc = "6", bulge = "in" }, "corner 4", "corner 5", "corner 6",
      "boss", "corner 7", "corner 8",
    ]
    thickness = "3 mm"

    [[feature]]
    name = "corner 1"
    kind = "corner"
    radius = "5"
    place = ["datum"]

    [[feature]]
    name = "corner 2"
    kind = "corner"
    place = ["60 right of datum", "level with datum"]

    [[feature]]
    name = "corner 3"
    kind = "corner"
    place = ["60 right of datum", "10 above datum"]

    [[feature]]
    name = "corner 4"
    kind = "corner"
    place = ["60 right of datum", "22 above datum"]

    [[feature]]
    name = "corner 5"
    kind = "corner"
    place = ["60 right of datum", "30 above datum"]

    [[feature]]
    name = "corner 6"
    kind = "corner"
    place = ["40 right of datum", "30 above datum"]

    [[feature]]
    name = "boss"
    kind = "boss"
    radius = "10"
    place = ["30 right of datum", "50 above datum"]

    [[feature]]
    name = "corner 7"
    kind = "corner"
    radius = "3"
    place = ["20 right of datum", "30 above datum"]

    [[feature]]
    name = "corner 8"
    kind = "corner"
    place = ["plumb with datum", "30 above datum"]
    "#);
    assert!((read.outline.area_mm2() - outline.area_mm2()).abs() < 1e-6);
    assert!(read.report.read_back_mm.unwrap() < 1e-6, "{:?}", read.report.read);
}

#[test]
fn a_block_is_moved_turned_stretched_and_mirrored_with_all_that_stands_in_it() {
    // A hole in a block, in a block: mirrored, doubled and turned a quarter.
    let blocks = "0 BLOCK; 2 DRILL; 8 0; 10 1; 20 1; 0 CIRCLE; 8 0; 10 1; 20 3; 40 1; 0 ENDBLK;\
                  0 BLOCK; 2 PAIR; 8 0; 10 0; 20 0; 0 INSERT; 8 0; 2 drill; 10 5; 20 0; \
                  0 INSERT; 8 0; 2 DRILL; 10 -5; 20 0; 41 -1; 0 ENDBLK;";
    let mut entities = plate().to_vec();
    entities[1] = "0 INSERT; 8 holes; 2 PAIR; 10 20; 20 12; 41 -1; 42 -1; 50 90".into();
    let read = read("blocks.dxf", &dxf_of(4, blocks, &all(&entities)), &usual());
    // The hole of the block stands 2 above its base; (5, 2) and (-5, 2) turned by 270°.
    assert_eq!(holes(&read), [(22.0, 7.0, 2.0), (22.0, 17.0, 2.0)]);
    let layers: Vec<&str> = read.report.layers.iter().map(|layer| layer.name.as_str()).collect();
    assert_eq!(layers, ["0", "holes"], "what is on layer 0 of a block takes the layer of its insertion");
    // Stretched one way it is an ellipse, and no longer a hole.
    entities[1] = "0 INSERT; 8 0; 2 DRILL; 10 20; 20 9; 41 3".into();
    let read = crate::read("blocks.dxf", &dxf_of(4, blocks, &all(&entities)), &usual());
    assert_eq!(holes(&read), []);
    assert!(read.report.not_carried[0].contains("no circle"), "{:?}", read.report.not_carried);
    // Rows and columns.
    entities[1] = "0 INSERT; 8 0; 2 DRILL; 10 8; 20 6; 70 3; 71 2; 44 10; 45 9".into();
    let read = crate::read("blocks.dxf", &dxf_of(4, blocks, &all(&entities)), &usual());
    let places: Vec<(f64, f64)> = holes(&read).iter().map(|h| (h.0, h.1)).collect();
    assert_eq!(places, [(8.0, 8.0), (8.0, 17.0), (18.0, 8.0), (18.0, 17.0), (28.0, 8.0), (28.0, 17.0)]);
}

#[test]
fn what_is_drawn_from_behind_is_turned_over() {
    let mut entities = plate().to_vec();
    entities[1] = "0 CIRCLE; 8 0; 10 -10; 20 7; 40 2; 210 0; 220 0; 230 -1".into();
    // An arc from behind runs the other way: half a disc taken out of nothing.
    let read = read("behind.dxf", &dxf(&all(&entities)), &usual());
    assert_eq!(holes(&read), [(10.0, 7.0, 4.0)]);
    entities[1] = "0 ARC; 8 0; 10 -10; 20 7; 40 2; 50 0; 51 90; 230 -1".into();
    entities.extend([line(10.0, 9.0, 8.0, 7.0)]);
    let read = crate::read("behind.dxf", &dxf(&all(&entities)), &usual());
    assert_eq!(read.report.not_carried.len(), 1, "the arc and its chord close: {:?}", read.report);
    // Tilted it is not in the sheet at all.
    entities.truncate(1);
    entities.push("0 CIRCLE; 8 0; 10 10; 20 7; 40 2; 210 1; 220 0; 230 0".into());
    let read = crate::read("behind.dxf", &dxf(&all(&entities)), &usual());
    assert!(read.report.not_carried[0].contains("turned out of the sheet"), "{:?}", read.report);
}

#[test]
fn layers_are_chosen_or_left_out_and_what_a_file_hides_is_not_read() {
    let mut entities = plate().to_vec();
    entities.push(line(-5.0, 12.0, 45.0, 12.0).replace("8 0", "8 Centre lines"));
    entities.push(circle(30.0, 10.0, 1.0).replace("8 0", "8 hidden"));
    let tables = "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n0\nLAYER\n2\nhidden\n70\n0\n62\n-3\n0\nENDTAB\n0\nENDSEC\n";
    let text = format!("{tables}{}", dxf(&all(&entities)));
    let open = refused("layers.dxf", &text, &usual());
    assert!(open.contains("X -5, Y 12 mm, on layer `Centre lines`"), "{open}");
    let without = Asked { layers: Layers::Without(vec!["centre LINES".into()]), ..usual() };
    let read = read("layers.dxf", &text, &without);
    assert_eq!(holes(&read).len(), 1);
    let became: Vec<Taken> = read.report.layers.iter().map(|layer| layer.taken).collect();
    assert_eq!(became, [Taken::NotShown, Taken::Yes, Taken::LeftOut]);
    let only = Asked { layers: Layers::Only(vec!["0".into(), "hidden".into()]), ..usual() };
    assert_eq!(holes(&crate::read("layers.dxf", &text, &only)).len(), 2, "asked for by name, it is read");
    let wrong = Asked { layers: Layers::Only(vec!["centre line".into()]), ..usual() };
    assert!(refused("layers.dxf", &text, &wrong).contains("did you mean `Centre lines`?"));
}

#[test]
fn the_unit_is_honoured_asked_for_or_questioned() {
    let size = |unit: i32, asked: Option<FileUnit>| {
        let read = read("unit.dxf", &dxf_of(unit, "", &all(&plate())), &Asked { unit: asked, ..usual() });
        (read.outline.bounds().width_mm(), read.report.questions)
    };
    assert_eq!(size(4, None), (40.0, vec![]));
    assert_eq!(size(5, None), (400.0, vec![]));
    assert_eq!(size(0, Some(FileUnit::Mm)), (40.0, vec![]));
    let (width, questions) = size(1, None);
    assert!((width - 1016.0).abs() < 1e-9 && questions[0].contains("in millimetres it would be 40.0 mm"));
    assert_eq!(size(1, Some(FileUnit::Mm)), (40.0, vec![]));
    for none in [0, 3, 20] {
        let said = refused("unit.dxf", &dxf_of(none, "", &all(&plate())), &usual());
        assert!(said.contains("does not say its unit") && said.contains("--unit mm"), "{said}");
    }
    // The demo lever in inches, but said to be millimetres: 1.84 across.
    let small = [polyline(&[(0.0, 0.0, 0.0), (1.84, 0.0, 0.0), (1.84, 0.5, 0.0), (0.0, 0.5, 0.0)])];
    let read = crate::read("unit.dxf", &dxf(&all(&small)), &usual());
    assert!(read.report.questions[0].contains("1.840 mm across"), "{:?}", read.report.questions);
    assert!(read.text.contains("# Look at this: the file says mm"), "{}", read.text);
}

#[test]
fn gaps_and_overlaps_are_mended_one_by_one_and_larger_ones_say_where() {
    let square = |gap: f64, over: f64| {
        [
            line(0.0, 0.0, 30.0 - gap, 0.0),
            line(30.0, 0.0, 30.0, 20.0 + over),
            line(30.0 + over, 20.0, 0.0, 20.0),
            line(0.0, 20.0, 0.0, 0.0),
        ]
    };
    let read = read("gap.dxf", &dxf(&all(&square(0.015, 0.01))), &usual());
    let mends: Vec<(&str, f64, f64)> =
        read.report.mends.iter().map(|m| (m.what, m.at.x_mm.round(), m.at.y_mm.round())).collect();
    assert_eq!(mends, [("an overlap is trimmed", 30.0, 20.0), ("a gap is closed", 30.0, 0.0)]);
    assert!((read.report.mends[1].by_mm - 0.015).abs() < 1e-9);
    assert!(read.text.contains("width = \"30\""), "both corners are where the lines cross: {}", read.text);
    let said = refused("gap.dxf", &dxf(&all(&square(0.5, 0.0))), &usual());
    assert!(said.contains("X 29.5, Y 0 mm") && said.contains("0.500 mm away, at X 30, Y 0 mm"), "{said}");
    let wider = Asked { join_within: Length::mm_ratio(6, 10), ..usual() };
    assert_eq!(crate::read("gap.dxf", &dxf(&all(&square(0.5, 0.0))), &wider).report.mends.len(), 1);
}

#[test]
fn what_is_drawn_twice_counts_once() {
    let mut entities = vec![
        line(0.0, 0.0, 30.0, 0.0),
        line(30.0, 0.0, 30.0, 20.0),
        line(30.0, 20.0, 0.0, 20.0),
        line(0.0, 20.0, 0.0, 0.0),
    ];
    // Again backwards, a piece of one again, one made of two that overlap; holes twice.
    entities.extend([line(30.0, 0.0, 0.0, 0.0), line(30.0, 5.0, 30.0, 9.0)]);
    entities[3] = line(0.0, 20.0, 0.0, 8.0);
    entities.extend([line(0.0, 12.0, 0.0, 0.0), circle(10.0, 10.0, 3.0), circle(10.0, 10.0, 3.0)]);
    entities.push("0 ARC; 8 0; 10 10; 20 10; 40 3; 50 10; 51 200".into());
    let read = read("twice.dxf", &dxf(&all(&entities)), &usual());
    assert_eq!(holes(&read), [(10.0, 10.0, 6.0)]);
    assert!((read.outline.area_mm2() - 600.0).abs() < 1e-9);
    let mut told: Vec<&str> = read.report.mends.iter().map(|mend| mend.what).collect();
    told.sort_unstable();
    assert_eq!(
        told,
        [
            "a line drawn twice is taken once",
            "a line drawn twice is taken once",
            "an arc drawn twice is taken once",
            "an arc drawn twice is taken once",
            "two lines that overlap are made one",
        ]
    );
}

#[test]
fn holes_slots_pockets_and_squares_are_told_from_what_has_no_name() {
    let half = 1.0;
    let entities = [
        polyline(&[(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 60.0, 0.0), (0.0, 60.0, 0.0)]),
        // Two half circles are a hole.
        polyline(&[(8.0, 10.0, half), (12.0, 10.0, half)]),
        polyline(&[(20.0, 8.0, 0.0), (32.0, 8.0, half), (32.0, 14.0, 0.0), (20.0, 14.0, half)]),
        polyline(&[
            (52.0, 10.0, 0.0),
            (68.0, 10.0, (PI / 8.0).tan()),
            (70.0, 12.0, 0.0),
            (70.0, 18.0, (PI / 8.0).tan()),
            (68.0, 20.0, 0.0),
            (52.0, 20.0, (PI / 8.0).tan()),
            (50.0, 18.0, 0.0),
            (50.0, 12.0, (PI / 8.0).tan()),
        ]),
        polyline(&[(80.0, 10.0, 0.0), (85.0, 15.0, 0.0), (80.0, 20.0, 0.0), (75.0, 15.0, 0.0)]),
        polyline(&[(10.0, 40.0, 0.0), (30.0, 40.0, 0.0), (20.0, 50.0, 0.0)]),
        // A hole of 10 with its flat 3 right of the middle, at (43, 40): the chord is 8, and
        // the arc between its ends turns 360° less twice the angle whose cosine is 0.6.
        polyline(&[(46.0, 44.0, ((PI - 0.6_f64.acos()) / 2.0).tan()), (46.0, 36.0, 0.0)]),
        // A bore of 10 about (60, 45), its keyway of 6 upwards, the floor 7 above the middle: its sides begin 4
        // above, and the arc between them turns 360° less twice the angle whose sine is 0.6.
        polyline(&[
            (57.0, 49.0, ((PI - 0.6_f64.asin()) / 2.0).tan()),
            (63.0, 49.0, 0.0),
            (63.0, 52.0, 0.0),
            (57.0, 52.0, 0.0),
        ]),
        // An island in the pocket.
        circle(60.0, 15.0, 1.0),
    ];
    let read = read("cuts.dxf", &dxf(&all(&entities)), &usual());
    assert_snapshot!(read.report.found.join("\n"), @r#"
    outline: a rectangle, 100 by 60
    hole: 4 across, at X 10, Y 10 mm
    slot: 6 wide, 12 between its ends' centres, at X 26, Y 11 mm
    flatted hole: 10 across, 8 over the flat, at X 43, Y 40 mm
    pocket: 20 by 10 with corners 2, right through, at X 60, Y 15 mm
    keyed hole: 10 across, with a keyway 6 wide and 2 deep, at X 60, Y 45 mm
    square hole: 7.071 across flats, at X 80, Y 15 mm
    "#);
    assert_snapshot!(read.report.not_carried.join("\n"), @r#"
    an opening round X 20, Y 45 mm: its corners are sharp, and it is no square
    a loop within an opening, from X 59, Y 14 mm
    "#);
    assert!(
        read.text.contains("in = \"keyed hole\"\nwidth = \"6\"\ndepth = \"2\"\ntoward = \"90°\""),
        "{}",
        read.text
    );
    assert_eq!(holes(&read), [(10.0, 10.0, 4.0)]);
    assert!(read.report.read_back_mm.unwrap() < 1e-9);
}

#[test]
fn ellipses_and_splines_become_arcs_within_the_distance_asked_for() {
    let ellipse =
        |ratio: f64| format!("0 ELLIPSE; 8 0; 10 50; 20 30; 11 40; 21 0; 40 {ratio}; 41 0; 42 6.283185307");
    let read = read("ellipse.dxf", &dxf(&[&ellipse(0.5)]), &usual());
    let worst = read.report.curves_mm.unwrap();
    assert!(worst > 0.0 && worst <= 0.01, "{worst}");
    // An ellipse of 40 by 20: its area is π a b.
    assert!((read.outline.area_mm2() - PI * 800.0).abs() < 0.01 * 200.0, "{}", read.outline.area_mm2());
    assert!(read.report.read_back_mm.unwrap() < 0.01, "{:?}", read.report.read);
    let fine = Asked { curves_within: Length::mm_ratio(1, 1000), ..usual() };
    let finer = crate::read("ellipse.dxf", &dxf(&[&ellipse(0.5)]), &fine);
    assert!(finer.outline.segments().len() > read.outline.segments().len());
    // A round one is a disc.
    let round = crate::read("ellipse.dxf", &dxf(&[&ellipse(1.0)]), &usual());
    assert!(round.text.contains("kind = \"disc\"") && round.report.curves_mm.is_none(), "{}", round.text);
    // A circle as a rational spline of second degree, in quarters.
    let w = 0.5_f64.sqrt();
    let corners = [(5, 0), (5, 5), (0, 5), (-5, 5), (-5, 0), (-5, -5), (0, -5), (5, -5), (5, 0)];
    let mut spline = String::from("0 SPLINE; 8 0; 70 12; 71 2; 72 12; 73 9");
    for knot in [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4] {
        spline.push_str(&format!("; 40 {knot}"));
    }
    for (i, (x, y)) in corners.iter().enumerate() {
        spline.push_str(&format!(
            "; 41 {}; 10 {}; 20 {}; 30 0",
            if i % 2 == 0 { 1.0 } else { w },
            x + 20,
            y + 12
        ));
    }
    let plate = plate();
    let read = crate::read("spline.dxf", &dxf(&[&plate[0], &spline]), &usual());
    assert_eq!(holes(&read), [(20.0, 12.0, 10.0)]);
}

#[test]
fn several_outlines_are_asked_about_and_the_one_chosen_is_read() {
    let mut entities = plate().to_vec();
    entities.push(polyline(&[(50.0, 0.0, 0.0), (60.0, 0.0, 0.0), (60.0, 8.0, 0.0), (50.0, 8.0, 0.0)]));
    let said = refused("two.dxf", &dxf(&all(&entities)), &usual());
    assert!(
        said.contains("2 outlines side by side") && said.contains("2: 10.00 by 8.00 mm from X 50, Y 0"),
        "{said}"
    );
    let second = Asked { outline: Some(2), ..usual() };
    let read = read("two.dxf", &dxf(&all(&entities)), &second);
    assert_eq!((read.outline.bounds().width_mm(), read.holes.len()), (10.0, 0));
    let third = Asked { outline: Some(3), ..usual() };
    assert!(refused("two.dxf", &dxf(&all(&entities)), &third).contains("there is no outline 3"));
}

#[test]
fn places_are_from_the_datum_asked_for() {
    let mut entities = plate().to_vec();
    entities.push(circle(30.0, 20.0, 1.5));
    let hole = |datum: Datum| {
        let read = read("datum.dxf", &dxf(&all(&entities)), &Asked { datum, ..usual() });
        assert!(read.report.read_back_mm.unwrap() < 1e-9, "{datum:?}: {}", read.text);
        (holes(&read)[1], read.text)
    };
    assert_eq!(hole(Datum::TopRight).0, (-10.0, -5.0, 3.0));
    assert_eq!(hole(Datum::Centre).0, (10.0, 7.5, 3.0));
    let (at, text) = hole(Datum::Hole(1));
    assert_eq!(at, (20.0, 10.0, 3.0));
    assert!(text.contains("kind = \"outline\"") && text.contains("place = [\"datum\"]"), "{text}");
    assert_eq!(hole(Datum::Origin).0, (30.0, 20.0, 3.0));
    let none = Asked { datum: Datum::Hole(3), ..usual() };
    assert!(refused("datum.dxf", &dxf(&all(&entities)), &none).contains("the outline has 2 holes"));
}

#[test]
fn an_old_polyline_and_its_vertices_are_one_outline() {
    let old = "0 POLYLINE; 8 0; 66 1; 70 1; 10 0; 20 0; 0 VERTEX; 8 0; 10 0; 20 0; 0 VERTEX; 8 0; 10 20; 20 0; 42 1; \
               0 VERTEX; 8 0; 10 20; 20 10; 0 VERTEX; 8 0; 10 0; 20 10; 0 SEQEND; 8 0";
    let read = read("old.dxf", &dxf(&[old]), &usual());
    assert!((read.outline.area_mm2() - (200.0 + PI * 12.5)).abs() < 1e-9);
    assert_eq!(read.report.read_back_mm.map(|off| off < 1e-9), Some(true));
}

#[test]
fn equal_holes_on_a_circle_are_a_pitch_circle_where_a_drawing_would_say_so() {
    let ring = |count: u32, first: f64, radius: f64| {
        (0..count).map(move |i| {
            let rad = (first + 360.0 * f64::from(i) / f64::from(count)).to_radians();
            circle(50.0 + radius * rad.cos(), 40.0 + radius * rad.sin(), 1.7)
        })
    };
    let mut cover = vec![circle(50.0, 40.0, 33.0), circle(50.0, 40.0, 5.0)];
    cover.extend(ring(6, 30.0, 28.0));
    let read = read("cover.dxf", &dxf(&all(&cover)), &usual());
    assert_snapshot!(read.text, @r#"
    # Read from cover.dxf. Places are from the centre of the disc.
    part = "Plate"
    unit = "mm"

    [body]
    kind = "disc"
    diameter = "66"
    thickness = "3 mm"

    [[feature]]
    name = "hole"
    kind = "hole"
    diameter = "10"
    place = ["datum"]

    [[feature]]
    name = "ring"
    kind = "pitch circle"
    holes = 6
    pitch_circle = "56"
    first = "30°"
    diameter = "3.4"
    place = ["datum"]
    "#);
    assert_eq!(read.report.rounded, []);
    assert_eq!(holes(&read).len(), 7);
    // At the corners of a square they are four holes.
    let mut plate = vec![polyline(&[(0.0, 0.0, 0.0), (90.0, 0.0, 0.0), (90.0, 80.0, 0.0), (0.0, 80.0, 0.0)])];
    plate.extend([circle(50.0, 40.0, 5.0), circle(40.0, 30.0, 2.0), circle(60.0, 30.0, 2.0)]);
    plate.extend([circle(40.0, 50.0, 2.0), circle(60.0, 50.0, 2.0)]);
    let read = crate::read("plate.dxf", &dxf(&all(&plate)), &usual());
    assert!(!read.text.contains("pitch circle") && read.text.contains("\"hole 5\""), "{}", read.text);
    // One of them missing, they are holes.
    cover.pop();
    assert!(!crate::read("cover.dxf", &dxf(&all(&cover)), &usual()).text.contains("pitch circle"));
}

#[test]
fn points_of_a_curve_are_held_and_corners_are_free() {
    let ellipse = "0 ELLIPSE; 8 0; 10 50; 20 30; 11 40; 21 0; 40 0.5; 41 0; 42 6.283185307";
    let curve = read("ellipse.dxf", &dxf(&[ellipse]), &usual());
    let places = curve.text.matches("right of datum").count();
    assert!(
        places > 8 && curve.text.matches("role = \"hold\", within = \"0.01 mm\"").count() > 2 * places,
        "{}",
        curve.text
    );
    let corners = [polyline(&[(0.0, 0.0, 0.0), (40.0, 0.0, 0.3), (35.0, 25.0, 0.0), (0.0, 20.0, 0.0)])];
    assert!(!read("corners.dxf", &dxf(&all(&corners)), &usual()).text.contains("hold"));
}

#[test]
fn a_counterbore_or_a_thread_drawn_as_two_circles_is_asked_about() {
    let mut entities = plate().to_vec();
    entities.push(circle(10.0, 10.0, 1.5));
    let read = read("two.dxf", &dxf(&all(&entities)), &usual());
    assert!(read.report.questions[0].contains("5.000 and 3.000 mm across"), "{:?}", read.report);
    assert_eq!(holes(&read), [(10.0, 10.0, 5.0)]);
}
