//! Writing DXF.
//!
//! Release 12, the form that every program reads: lines, arcs and circles, in
//! the groups that the published DXF reference gives. `$INSUNITS` 4 says
//! millimetres; it is younger than release 12, and programs that do not know it
//! pass over it.

use std::fmt::Write;

use workshop::exchange::Flat;
use workshop::geometry::Segment;

use super::{circle, number};

/// A part in plan as the text of a DXF file, in millimetres.
pub fn flat_dxf(flat: &Flat) -> String {
    let mut out = String::new();
    let mut pair = |code: u16, value: &str| {
        let _ = writeln!(out, "{code}\n{value}");
    };
    pair(999, &flat.title.replace(['\n', '\r'], " "));
    begin(&mut pair, "HEADER");
    for (name, code, value) in [("$ACADVER", 1, "AC1009"), ("$INSUNITS", 70, "4"), ("$MEASUREMENT", 70, "1")]
    {
        pair(9, name);
        pair(code, value);
    }
    for (name, at) in [("$EXTMIN", flat.bounds.least), ("$EXTMAX", flat.bounds.most)] {
        pair(9, name);
        pair(10, &number(at.x_mm));
        pair(20, &number(at.y_mm));
        pair(30, "0");
    }
    pair(0, "ENDSEC");
    begin(&mut pair, "TABLES");
    tables(&mut pair, flat);
    pair(0, "ENDSEC");
    begin(&mut pair, "ENTITIES");
    for layer in &flat.layers {
        for segment in &layer.segments {
            draw(&mut pair, layer.name, segment);
        }
    }
    pair(0, "ENDSEC");
    pair(0, "EOF");
    out
}

fn begin(pair: &mut impl FnMut(u16, &str), section: &str) {
    pair(0, "SECTION");
    pair(2, section);
}

/// The one kind of line, and the layers, each in a colour of its own.
fn tables(pair: &mut impl FnMut(u16, &str), flat: &Flat) {
    pair(0, "TABLE");
    pair(2, "LTYPE");
    pair(70, "1");
    for (code, value) in [
        (0, "LTYPE"),
        (2, "CONTINUOUS"),
        (70, "0"),
        (3, "Solid line"),
        (72, "65"),
        (73, "0"),
        (40, "0"),
        (0, "ENDTAB"),
    ] {
        pair(code, value);
    }
    pair(0, "TABLE");
    pair(2, "LAYER");
    pair(70, &flat.layers.len().to_string());
    for (index, layer) in flat.layers.iter().enumerate() {
        // Colour 7 is black or white, whichever shows; then red, yellow, green and on.
        let colour = if index == 0 { 7 } else { 1 + (index - 1) % 6 };
        for (code, value) in
            [(0, "LAYER"), (2, layer.name), (70, "0"), (62, &colour.to_string()), (6, "CONTINUOUS")]
        {
            pair(code, value);
        }
    }
    pair(0, "ENDTAB");
}

fn draw(pair: &mut impl FnMut(u16, &str), layer: &str, segment: &Segment) {
    let mut put = |kind: &str, values: &[(u16, f64)]| {
        pair(0, kind);
        pair(8, layer);
        for (code, value) in values {
            pair(*code, &number(*value));
        }
    };
    match segment {
        Segment::Line(line) => put(
            "LINE",
            &[
                (10, line.start.x_mm),
                (20, line.start.y_mm),
                (30, 0.0),
                (11, line.end.x_mm),
                (21, line.end.y_mm),
                (31, 0.0),
            ],
        ),
        Segment::Arc(arc) => {
            let round = [(10, arc.centre.x_mm), (20, arc.centre.y_mm), (30, 0.0), (40, arc.radius_mm)];
            if circle(segment).is_some() {
                return put("CIRCLE", &round);
            }
            // Arcs run anticlockwise there.
            let (from, to) = if arc.sweep_rad > 0.0 {
                (arc.start_rad, arc.end_rad())
            } else {
                (arc.end_rad(), arc.start_rad)
            };
            let turned = |rad: f64| rad.to_degrees().rem_euclid(360.0);
            put("ARC", &[round.as_slice(), &[(50, turned(from)), (51, turned(to))]].concat());
        }
    }
}
