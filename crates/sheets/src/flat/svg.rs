//! Writing SVG: one unit is a millimetre, and Y runs down.

use std::fmt::Write;

use workshop::exchange::Flat;
use workshop::geometry::{Point, SAME_POINT_MM, Segment};

use super::{circle, number};
use crate::svg::escape;

/// Bare metal left around the part on the sheet.
const MARGIN_MM: f64 = 2.0;
/// An arc that turns farther than this is written as two: near half a turn its
/// ends say too little of where its centre is.
const ONE_ARC_RAD: f64 = 2.0;

/// A part in plan as the text of an SVG file, full size.
pub fn flat_svg(flat: &Flat) -> String {
    let mut out = String::new();
    let left = flat.bounds.least.x_mm - MARGIN_MM;
    let top = -flat.bounds.most.y_mm - MARGIN_MM;
    let width = number(flat.bounds.width_mm() + 2.0 * MARGIN_MM);
    let height = number(flat.bounds.height_mm() + 2.0 * MARGIN_MM);
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"{} {} {width} {height}\">\n<title>{}</title>",
        number(left),
        number(top),
        escape(&flat.title)
    );
    for layer in &flat.layers {
        let _ =
            writeln!(out, "<g id=\"{}\" fill=\"none\" stroke=\"#1d2126\" stroke-width=\"0.1\">", layer.name);
        for run in runs(&layer.segments) {
            match circle(&run[0]) {
                Some(arc) => {
                    let _ = writeln!(
                        out,
                        "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                        number(arc.centre.x_mm),
                        number(-arc.centre.y_mm),
                        number(arc.radius_mm)
                    );
                }
                None => {
                    let _ = writeln!(out, "<path d=\"{}\"/>", path(run));
                }
            }
        }
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

/// Segments that follow each other, each circle by itself.
fn runs(segments: &[Segment]) -> impl Iterator<Item = &[Segment]> {
    segments.chunk_by(|a, b| {
        circle(a).is_none() && circle(b).is_none() && a.end().distance_mm(b.start()) <= SAME_POINT_MM
    })
}

/// Runs of segments as the data of a path: each that begins elsewhere than the last ended by itself.
pub(crate) fn path(run: &[Segment]) -> String {
    let at = |point: Point| format!("{} {}", number(point.x_mm), number(-point.y_mm));
    let (mut begun, mut from) = (run[0].start(), run[0].start());
    let mut data = format!("M{}", at(begun));
    for segment in run {
        if segment.start().distance_mm(from) > SAME_POINT_MM {
            if from.distance_mm(begun) <= SAME_POINT_MM {
                data.push_str(" Z");
            }
            begun = segment.start();
            let _ = write!(data, " M{}", at(begun));
        }
        from = segment.end();
        let parts = match segment {
            Segment::Arc(arc) if arc.sweep_rad.abs() > ONE_ARC_RAD => {
                1 + (arc.sweep_rad.abs() / ONE_ARC_RAD) as u32
            }
            _ => 1,
        };
        for part in 1..=parts {
            let end = at(segment.along(f64::from(part) / f64::from(parts)));
            let _ = match segment {
                Segment::Line(_) => write!(data, " L{end}"),
                Segment::Arc(arc) => {
                    // Anticlockwise as we see it is against the angles of a sheet whose Y runs down.
                    let sense = u8::from(arc.sweep_rad < 0.0);
                    let radius = number(arc.radius_mm);
                    write!(data, " A{radius} {radius} 0 0 {sense} {end}")
                }
            };
        }
    }
    if from.distance_mm(begun) <= SAME_POINT_MM {
        data.push_str(" Z");
    }
    data
}
