//! The metal at one setup as a picture on the screen, always to one scale.

use std::fmt::Write;

use workshop::plan::sheet::{Stage, When};

use crate::flat::svg::path;
use crate::svg::escape;

/// Paper left around the metal.
const MARGIN_MM: f64 = 2.0;

/// A stage as SVG, so many hundredths of a millimetre on the screen to one of the work.
///
/// Classes say what is what, for a style sheet: `metal`, and of a cut `gone`, `now` or
/// `later`, with `blind` where metal is left beneath. `number` keeps apart what several
/// pictures of one page define.
pub fn stage_svg(stage: &Stage, number: usize, percent: u32) -> String {
    let [least, most] = stage.bounds();
    let (left, top) = (least.x_mm - MARGIN_MM, -most.y_mm - MARGIN_MM);
    let (width, height) =
        (most.x_mm - least.x_mm + 2.0 * MARGIN_MM, most.y_mm - least.y_mm + 2.0 * MARGIN_MM);
    let scale = f64::from(percent) / 100.0;
    let mut out = String::new();
    let cut = |when: When| stage.cuts.iter().filter(move |cut| cut.when == when);
    let names = |when: When| {
        let mut names: Vec<&str> = Vec::new();
        for cut in cut(when) {
            if !names.contains(&cut.name.as_str()) {
                names.push(&cut.name);
            }
        }
        if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
    };
    let told =
        format!("{}. Cut before: {}. Cut here: {}.", stage.view, names(When::Before), names(When::Now));
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"stage\" role=\"img\" width=\"{:.2}mm\" height=\"{:.2}mm\" \
         viewBox=\"{left:.3} {top:.3} {width:.3} {height:.3}\"><title>{}</title>",
        width * scale,
        height * scale,
        escape(&told)
    );
    let metal = path(&stage.metal);
    let _ = write!(
        out,
        "<defs><clipPath id=\"metal-{number}\"><path d=\"{metal}\"/></clipPath></defs>\
         <path class=\"metal\" d=\"{metal}\"/><g clip-path=\"url(#metal-{number})\">"
    );
    // What is gone right through is air: it lies over whatever else is cut there.
    let layers = [
        (When::Later, true, "later blind"),
        (When::Later, false, "later"),
        (When::Before, true, "gone blind"),
        (When::Now, true, "now blind"),
        (When::Now, false, "now"),
        (When::Before, false, "gone"),
    ];
    for (when, blind, class) in layers {
        for cut in cut(when).filter(|cut| cut.blind == blind && !cut.edge.is_empty()) {
            let _ = write!(out, "<path class=\"{class}\" d=\"{}\"/>", path(&cut.edge));
            if cut.rim > 0 {
                let rim = path(&cut.edge[..cut.rim.min(cut.edge.len())]);
                let of = class.split(' ').next().unwrap_or_default();
                let _ = write!(out, "<path class=\"rim {of}-rim\" d=\"{rim}\"/>");
            }
        }
    }
    let _ = write!(out, "</g><path class=\"edge\" d=\"{metal}\"/></svg>");
    out
}

#[cfg(test)]
mod tests {
    use workshop::geometry::{Point, Segment};

    use workshop::plan::sheet::Cut;

    use super::*;

    /// Two pieces side by side are two pieces: nothing is drawn from the one to the other.
    #[test]
    fn the_metal_of_two_pieces_is_drawn_by_piece() {
        let square = |x: f64| {
            let at = [(x, 0.0), (x + 4.0, 0.0), (x + 4.0, 4.0), (x, 4.0)].map(|(x, y)| Point::new(x, y));
            (0..4).map(move |n| Segment::line(at[n], at[(n + 1) % 4]))
        };
        let metal: Vec<Segment> = square(0.0).chain(square(10.0)).collect();
        let data = path(&metal);
        assert_eq!(data, "M0 0 L4 0 L4 -4 L0 -4 L0 0 Z M10 0 L14 0 L14 -4 L10 -4 L10 0 Z");
    }

    #[test]
    fn a_picture_is_to_scale_and_tells_what_is_cut() {
        let square = |x: f64, side: f64| {
            let corner = |x: f64, y: f64| Point::new(x, y);
            let at = [corner(x, 0.0), corner(x + side, 0.0), corner(x + side, side), corner(x, side)];
            (0..4).map(|n| Segment::line(at[n], at[(n + 1) % 4])).collect::<Vec<_>>()
        };
        let cut =
            |name: &str, when, x| Cut { name: name.into(), when, edge: square(x, 2.0), rim: 4, blind: false };
        let stage = Stage {
            view: "front face up, from above".into(),
            metal: square(0.0, 16.0),
            cuts: vec![
                cut("slot <a>", When::Now, 1.0),
                cut("bore", When::Before, 5.0),
                cut("slit", When::Later, 9.0),
            ],
            datum: Point::ORIGIN,
        };
        let svg = stage_svg(&stage, 3, 50);
        // 16 mm of metal and 2 mm of paper each side, at half size.
        assert!(svg.contains("width=\"10.00mm\" height=\"10.00mm\""), "{svg}");
        assert!(svg.contains("Cut before: bore. Cut here: slot &lt;a&gt;."), "{svg}");
        for class in ["gone", "now", "later"] {
            assert_eq!(svg.matches(&format!("class=\"{class}\"")).count(), 1);
        }
    }
}
