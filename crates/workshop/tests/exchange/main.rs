//! Outlines read from DXF and SVG files written by hand.

mod dxf;
mod faults;
mod svg;

use workshop::exchange::{Asked, Imported, import};
use workshop::problem::Problem;

/// Reads a file that must be good.
fn read(file: &str, text: &str, asked: &Asked) -> Imported {
    import(file, text.as_bytes(), asked)
        .unwrap_or_else(|faults| panic!("{}", faults.iter().map(Problem::to_string).collect::<String>()))
}

/// Reads a file that must be refused, and gives the problems as text.
fn refused(file: &str, text: &str, asked: &Asked) -> String {
    let faults = import(file, text.as_bytes(), asked).expect_err("the file is at fault");
    for fault in &faults {
        assert!(fault.remedy().is_some() && fault.place().starts_with(file), "{fault}");
    }
    faults.iter().map(|fault| format!("{fault}\n")).collect()
}

/// A DXF file in millimetres with these entities: each a kind, then its pairs.
fn dxf(entities: &[&str]) -> String {
    dxf_of(4, "", entities)
}

/// A DXF file with a unit, blocks, and entities; pairs are written `code value`,
/// with `;` between them.
fn dxf_of(unit: i32, blocks: &str, entities: &[&str]) -> String {
    let pairs = |text: &str| -> String {
        text.split(';')
            .map(str::trim)
            .filter(|pair| !pair.is_empty())
            .map(|pair| match pair.split_once(' ') {
                Some((code, value)) => format!("{code}\n{value}\n"),
                None => format!("{pair}\n\n"),
            })
            .collect()
    };
    let entities: String = entities.iter().map(|entity| pairs(entity)).collect();
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{unit}\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n{}0\nENDSEC\n\
         0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n",
        pairs(blocks)
    )
}

/// A closed light polyline through points, with bulges.
fn polyline(points: &[(f64, f64, f64)]) -> String {
    let points: String = points.iter().map(|(x, y, bulge)| format!("; 10 {x}; 20 {y}; 42 {bulge}")).collect();
    format!("0 LWPOLYLINE; 8 0; 70 1{points}")
}

fn circle(x: f64, y: f64, radius: f64) -> String {
    format!("0 CIRCLE; 8 0; 10 {x}; 20 {y}; 40 {radius}")
}

fn line(x: f64, y: f64, to_x: f64, to_y: f64) -> String {
    format!("0 LINE; 8 0; 10 {x}; 20 {y}; 11 {to_x}; 21 {to_y}")
}

/// A plate of 40 by 25 with a hole.
fn plate() -> [String; 2] {
    [
        polyline(&[(0.0, 0.0, 0.0), (40.0, 0.0, 0.0), (40.0, 25.0, 0.0), (0.0, 25.0, 0.0)]),
        circle(10.0, 10.0, 2.5),
    ]
}

/// Text slices of owned entities.
fn all(entities: &[String]) -> Vec<&str> {
    entities.iter().map(String::as_str).collect()
}
