//! Whole pictures, held as SVG files that a reviewer can open in the change
//! itself: `tests/sheets/*.svg`. They prove that nothing moved; the rules of
//! layout have their own tests beside the code.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use sheets::dimension::Label;
use sheets::hatch::Lean;
use sheets::ink::{Bounds, End, Fill, Line, Mark, Path, Shape, Turn};
use sheets::picture::{Picture, Place, Placed, Side, rectangle};
use sheets::svg::{self, Dress};

fn hold(name: &str, placed: &Placed) {
    let svg = svg::write(&placed.ink, placed.view(), Dress::Light);
    insta::with_settings!({ snapshot_path => "sheets", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_binary_snapshot!(&format!("{name}.svg"), svg.into_bytes());
    });
}

/// No two pieces of lettering touch, and none is cut by the edge of the picture.
fn assert_legible(placed: &Placed) {
    let words: Vec<(&str, Bounds)> = placed
        .ink
        .marks
        .iter()
        .filter_map(|mark: &Mark| match &mark.shape {
            Shape::Text(text) => Some((text.words.as_str(), text.bounds())),
            _ => None,
        })
        .collect();
    assert!(!words.is_empty(), "a picture without a word cannot fail this");
    for (n, (a, a_box)) in words.iter().enumerate() {
        assert!(placed.view().holds(*a_box), "`{a}` runs off the picture");
        for (b, b_box) in &words[n + 1..] {
            assert!(a_box.overlap_mm2(*b_box) < 1e-6, "`{a}` and `{b}` overlap");
        }
    }
}

/// A round cover: twelve holes on a pitch circle, each with its balloon.
#[test]
fn cover_with_a_pitch_circle() {
    let mut picture = Picture::new();
    let middle = Place::mm(0.0, 0.0);
    picture
        .circle(middle, 30.0, Some(Line::Visible), Fill::Tint)
        .circle(middle, 9.0, Some(Line::Worked), Fill::Paper)
        .centre_mark(middle, 30.0)
        .circle(middle, 24.0, Some(Line::Centre), Fill::None);
    for n in 0..12 {
        let hole = middle.polar(24.0, TAU * f64::from(n) / 12.0);
        picture.circle(hole, 1.6, Some(Line::Visible), Fill::Paper).balloon_round(
            hole,
            1.6,
            (n + 1).to_string(),
            None,
        );
    }
    picture
        .radial(middle, 30.0, 0.7, Label::new("Ø60"))
        .radial(middle, 9.0, 2.2, Label::new("Ø18 H7"))
        .dimension(Place::mm(-24.0, 0.0), Place::mm(24.0, 0.0), Side::Below, Label::new("Ø48 p.c."))
        .angle(middle, 0.0, TAU / 12.0, Label::new("30°"))
        .axes(middle, 0.0, FRAC_PI_2);
    let placed = picture.fit(172.0, 150.0).unwrap();
    assert_eq!(placed.scale.to_string(), "2:1");
    assert_legible(&placed);
    hold("cover", &placed);
}

/// A block in section, with dimensions too narrow for their figures.
#[test]
fn slotted_block_in_section() {
    let mut picture = Picture::new();
    let (block, slot) = (
        rectangle(Place::mm(0.0, 0.0), Place::mm(40.0, 20.0)),
        Path::from(Place::mm(12.0, 8.0))
            .to(Place::mm(28.0, 8.0))
            .arc(Place::mm(28.0, 10.0), Place::mm(28.0, 12.0), Turn::Anticlockwise)
            .to(Place::mm(12.0, 12.0))
            .arc(Place::mm(12.0, 10.0), Place::mm(12.0, 8.0), Turn::Anticlockwise)
            .ending(End::Closed),
    );
    picture
        .hatch(vec![block.clone(), slot.clone()], Lean::Right)
        .path(block, Some(Line::Visible), Fill::None)
        .path(slot, Some(Line::Visible), Fill::None)
        .line(Line::Centre, Place::mm(7.0, 10.0), Place::mm(33.0, 10.0));
    let ends = [0.0, 1.5, 12.0, 28.0, 40.0];
    for pair in ends.windows(2) {
        let (from, to) = (Place::mm(pair[0], 0.0), Place::mm(pair[1], 0.0));
        picture.dimension(from, to, Side::Below, Label::new(format!("{:.2}", pair[1] - pair[0])));
    }
    picture
        .dimension(Place::mm(0.0, 0.0), Place::mm(40.0, 0.0), Side::Below, Label::new("40.00"))
        .dimension(Place::mm(40.0, 8.0), Place::mm(40.0, 12.0), Side::Right, Label::new("4 H9"))
        .dimension(Place::mm(40.0, 0.0), Place::mm(40.0, 20.0), Side::Right, Label::new("20.00"))
        .dimension_aligned(
            Place::mm(12.0, 12.0),
            Place::mm(28.0, 20.0),
            Place::mm(40.0, 0.0),
            Label::new("17.89"),
        )
        .radial(Place::mm(12.0, 10.0), 2.0, PI, Label::new("R2"))
        .datum(Place::mm(20.0, 20.0), FRAC_PI_2, "A")
        .datum(Place::mm(0.0, 4.0), PI, "B");
    let placed = picture.fit(172.0, 120.0).unwrap();
    assert_legible(&placed);
    hold("slotted-block", &placed);
}
