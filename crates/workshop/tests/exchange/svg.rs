//! What SVG files draw, and what becomes of it.

use std::f64::consts::PI;

use workshop::exchange::{Asked, FileUnit, Imported};

use crate::{read, refused};

fn usual() -> Asked {
    Asked { thickness: Some("3 mm".into()), ..Asked::usual("Plate") }
}

/// A sheet of 100 by 60 mm, drawn in tenths of a millimetre.
fn sheet(body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"60mm\" viewBox=\"0 0 1000 600\">{body}</svg>"
    )
}

fn drawn(body: &str) -> Imported {
    read("plate.svg", &sheet(body), &usual())
}

fn holes(read: &Imported) -> Vec<(f64, f64, f64)> {
    let round = |mm: f64| (mm * 1e6).round() / 1e6;
    read.holes
        .iter()
        .map(|h| (round(h.centre.x_mm), round(h.centre.y_mm), round(2.0 * h.radius_mm)))
        .collect()
}

const PLATE: &str = "<rect x=\"100\" y=\"100\" width=\"400\" height=\"300\"/>";

#[test]
fn y_is_turned_up_and_the_view_gives_the_scale() {
    // Low on the sheet is low on the part.
    let read = drawn(&format!("{PLATE}<circle cx=\"200\" cy=\"350\" r=\"25\"/>"));
    assert_eq!(holes(&read), [(10.0, 5.0, 5.0)]);
    assert!(read.text.contains("width = \"40\"") && read.text.contains("height = \"30\""), "{}", read.text);
    assert_eq!(read.report.questions, [""; 0]);
}

#[test]
fn every_shape_draws_the_same_square_hole() {
    for square in [
        "<rect x=\"200\" y=\"200\" width=\"50\" height=\"50\"/>",
        "<polygon points=\"200,200 250,200 250,250 200,250\"/>",
        "<polyline points=\"200 200 250 200 250 250 200 250 200 200\"/>",
        "<path d=\"M200 200h50v50h-50z\"/>",
        "<line x1=\"200\" y1=\"200\" x2=\"250\" y2=\"200\"/><path d=\"M250 200V250H200V200\"/>",
        "<g transform=\"translate(200 200) scale(5)\"><rect width=\"10\" height=\"10\"/></g>",
        "<rect x=\"-25\" y=\"-25\" width=\"50\" height=\"50\" transform=\"translate(225,225) rotate(90)\"/>",
        "<g transform=\"matrix(0 1 -1 0 450 0)\"><rect x=\"200\" y=\"200\" width=\"50\" height=\"50\"/></g>",
        "<defs><rect id=\"r\" width=\"50\" height=\"50\"/></defs><use href=\"#r\" x=\"200\" y=\"200\"/>",
        "<symbol id=\"s\" viewBox=\"0 0 5 5\"><rect width=\"5\" height=\"5\"/></symbol>\
         <use href=\"#s\" x=\"200\" y=\"200\" width=\"50\" height=\"50\"/>",
        "<svg x=\"200\" y=\"200\" width=\"50\" height=\"80\" viewBox=\"0 0 1 1\"><rect y=\"-.3\" width=\"1\" height=\"1\"/></svg>",
    ] {
        let read = drawn(&format!("{PLATE}{square}"));
        assert!(
            read.report.found[1].starts_with("square hole: 5 across flats, at X 12.5, Y 17.5 mm"),
            "{square}: {:?}",
            read.report.found
        );
    }
}

#[test]
fn circles_however_they_are_drawn_are_holes() {
    let handle = 50.0 * 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0);
    let (near, far) = (handle - 50.0, handle + 50.0);
    // Four Bézier curves, as programs write a circle.
    let curves = format!(
        "<path transform=\"translate(250 250)\" d=\"M50 0C50 {handle} {handle} 50 0 50S-50 {handle} -50 0S{} -50 0 -50S50 {} 50 0z\"/>",
        -handle, -handle
    );
    assert!(near < 0.0 && far > 0.0);
    for circle in [
        "<circle cx=\"250\" cy=\"250\" r=\"50\"/>".to_owned(),
        "<ellipse cx=\"250\" cy=\"250\" rx=\"50\" ry=\"50\"/>".to_owned(),
        "<path d=\"M200 250a50 50 0 1 0 100 0a50 50 0 1 0 -100 0\"/>".to_owned(),
        "<rect x=\"200\" y=\"200\" width=\"100\" height=\"100\" rx=\"50\"/>".to_owned(),
        "<circle cx=\"125\" cy=\"125\" r=\"25\" transform=\"scale(2)\"/>".to_owned(),
        curves,
    ] {
        let read = drawn(&format!("{PLATE}{circle}"));
        let [(x, y, across)] = holes(&read)[..] else { panic!("{circle}: {:?}", read.report) };
        let off = (x - 15.0).abs().max((y - 15.0).abs()).max((across - 10.0).abs());
        assert!(off <= 0.002, "{circle}: {x} {y} {across}");
    }
}

#[test]
fn a_rounded_rectangle_is_one_and_its_corners_have_a_radius() {
    let read = drawn("<rect x=\"10\" y=\"10\" width=\"400\" height=\"200\" rx=\"30\"/>");
    assert_eq!(read.text.matches("radius = \"3\"").count(), 4, "{}", read.text);
    assert!((read.outline.area_mm2() - (800.0 - (4.0 - PI) * 9.0)).abs() < 1e-9);
    assert!(read.report.read_back_mm.unwrap() < 1e-9);
    // Different radii each way are parts of ellipses.
    let read = drawn("<rect x=\"10\" y=\"10\" width=\"400\" height=\"200\" rx=\"60\" ry=\"30\"/>");
    assert!(read.report.curves_mm.unwrap() > 0.0);
    assert!((read.outline.area_mm2() - (800.0 - (4.0 - PI) * 18.0)).abs() < 0.3);
}

#[test]
fn the_unit_of_the_width_is_honoured_and_bare_numbers_are_asked_about() {
    let sized = |attributes: &str, unit: Option<FileUnit>| {
        let text = format!("<svg {attributes}><rect width=\"40\" height=\"30\"/></svg>");
        read("size.svg", &text, &Asked { unit, ..usual() }).outline.bounds().width_mm()
    };
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    near(sized("width=\"40mm\" height=\"30mm\" viewBox=\"0 0 40 30\"", None), 40.0);
    near(sized("width=\"4in\" height=\"3in\" viewBox=\"0 0 40 30\"", None), 101.6);
    near(sized("width=\"40cm\" viewBox=\"0 0 40 30\"", None), 400.0);
    // A bare user unit is 1/96 in once the file has a true unit.
    near(sized("width=\"100mm\" height=\"100mm\"", None), 40.0 * 25.4 / 96.0);
    near(sized("width=\"96px\" height=\"96px\"", None), 40.0 * 25.4 / 96.0);
    // Drawn in the middle of a frame that is too tall: as large as fits.
    near(sized("width=\"40mm\" height=\"90mm\" viewBox=\"0 0 40 30\"", None), 40.0);
    // Stretched.
    let text = "<svg width=\"80mm\" height=\"30mm\" viewBox=\"0 0 40 30\" preserveAspectRatio=\"none\"><rect width=\"40\" height=\"30\"/></svg>";
    let bounds = read("size.svg", text, &usual()).outline.bounds();
    near(bounds.width_mm(), 80.0);
    near(bounds.height_mm(), 30.0);
    // A bare width with a view counts in the unit that is said, and a wrong one is taken as if said so.
    near(sized("width=\"20\" viewBox=\"0 0 40 30\"", Some(FileUnit::Mm)), 20.0);
    near(sized("width=\"20in\" viewBox=\"0 0 40 30\"", Some(FileUnit::Mm)), 20.0);
    let dots = "<svg width=\"96px\" height=\"96px\"><rect width=\"40\" height=\"30\"/></svg>";
    assert!(read("size.svg", dots, &usual()).report.questions[0].contains("96 to the inch is supposed"));
    for none in ["width=\"40\" height=\"30\"", "", "width=\"100%\" viewBox=\"0 0 40 30\""] {
        let text = format!("<svg {none}><rect width=\"40\" height=\"30\"/></svg>");
        assert!(refused("size.svg", &text, &usual()).contains("does not say its unit"), "{none}");
        near(sized(none, Some(FileUnit::Mm)), 40.0);
    }
}

#[test]
fn what_is_not_drawn_is_not_read_and_layers_have_names() {
    let body = format!(
        "<g id=\"cut\"><g>{PLATE}</g></g><g label=\"notes\"><circle cx=\"200\" cy=\"200\" r=\"30\"/></g>\
         <g style=\"fill:none; display: none\"><circle cx=\"300\" cy=\"200\" r=\"30\"/></g>\
         <clipPath id=\"c\"><rect width=\"9\" height=\"9\"/></clipPath><text>12.7</text>"
    );
    let read = drawn(&body);
    let layers: Vec<(&str, usize)> =
        read.report.layers.iter().map(|l| (l.name.as_str(), l.strokes)).collect();
    assert_eq!(layers, [("cut", 4), ("notes", 1)]);
    assert_eq!(read.report.not_carried, ["1 hidden thing", "1 piece of lettering"]);
}
