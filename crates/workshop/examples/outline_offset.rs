//! Prints an outline round bosses and the road of a cutter round it, for
//! comparing with another geometry library.
//!
//! Each argument is a boss, `x,y,radius` in millimetres, anticlockwise; the last
//! is the cutter's radius.
//!
//! ```text
//! cargo run --example outline_offset -- 0,0,11 46,0,7 5
//! ```

use workshop::geometry::offset::{Side, offset};
use workshop::geometry::{Circle, Point, tangents};
use workshop::measure::Length;

fn main() {
    let mut words: Vec<String> = std::env::args().skip(1).collect();
    let cutter: f64 = words.pop().and_then(|word| word.parse().ok()).expect("the cutter's radius comes last");
    let bosses: Vec<Circle> = words
        .iter()
        .map(|word| {
            let parts: Vec<f64> = word.split(',').map(|part| part.parse().expect("a number")).collect();
            Circle::new(Point::new(parts[0], parts[1]), parts[2])
        })
        .collect();
    let outline = tangents::around_bosses(&bosses).expect("the bosses have common tangents");
    println!("outline {:.9} {:.9}", outline.area_mm2(), outline.length_mm());
    for side in [Side::Outside, Side::Inside] {
        let roads = offset(&outline, Length::nearest(cutter), side).expect("the road exists");
        let area: f64 = roads.iter().map(|road| road.area_mm2().abs()).sum();
        let length: f64 = roads.iter().map(|road| road.length_mm()).sum();
        println!("{side:?} {area:.9} {length:.9}");
    }
}
