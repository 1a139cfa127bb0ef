//! Parts and benches from their text, for the tests.

#![allow(dead_code, reason = "no one test uses all of it")]

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved, read_drawing, solve};
use workshop::measure::{Length, read_length};
use workshop::metric::{DimensionChoice, MetricPart, metricate};
use workshop::problem::{Outcome, Problem};

/// The bench of the demonstration.
pub const BENCH: &str = include_str!("../../../../examples/kittiwake/bench.toml");

/// The bench of the demonstration, read.
pub fn bench() -> Bench {
    faultless(read_bench("bench.toml", BENCH), BENCH)
}

/// Faults as they are printed.
pub fn shown(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// What must have no faults; where it has, the test fails with them and the text.
pub fn faultless<T>(outcome: Outcome<T>, text: &str) -> T {
    outcome.unwrap_or_else(|faults| panic!("{}\n{text}", shown(&faults)))
}

/// A drawing without faults.
pub fn drawing(text: &str) -> Drawing {
    faultless(read_drawing("part.toml", text), text)
}

/// The same with its places.
pub fn read(text: &str) -> (Drawing, Solved) {
    let drawing = drawing(text);
    let solved = faultless(solve(&drawing), text);
    (drawing, solved)
}

/// The same with its metric part, chosen by itself.
pub fn chosen(text: &str, bench: &Bench) -> (Drawing, Solved, MetricPart) {
    let (drawing, solved) = read(text);
    let part = faultless(metricate(&drawing, &solved, bench), text);
    (drawing, solved, part)
}

/// What became of the dimension of a name.
pub fn named<'a>(drawing: &Drawing, part: &'a MetricPart, name: &str) -> &'a DimensionChoice {
    let at = drawing.dimensions.iter().position(|d| d.name == name);
    &part.dimensions[at.unwrap_or_else(|| panic!("no dimension `{name}`"))]
}

/// A length in millimetres.
pub fn mm(text: &str) -> Length {
    read_length(&format!("{text} mm"), None).expect("a length").length
}
