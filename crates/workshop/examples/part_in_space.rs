//! Prints the volume of parts and their walls in three dimensions, for comparing
//! with another geometry library. Each argument is a part file.
//!
//! ```text
//! cargo run --example part_in_space -- engine/parts/valve-lever.toml
//! ```

use workshop::drawing::solid::{Beside, Shaped, walls_in_space};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::geometry::solid::volume;

fn main() {
    for file in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&file).expect("the file can be read");
        let drawing = read_drawing(&file, &text).unwrap_or_else(|faults| panic!("{file}: {faults:?}"));
        let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{file}: {faults:?}"));
        let part = Part::as_drawn(&drawing, &solved);
        let shaped = Shaped::new(&part);
        let whole = volume(&shaped.body, shaped.outer);
        println!("part\t{file}\t{:.9}\t{:.3e}", whole.mm3, whole.error_mm3);
        for wall in walls_in_space(&part) {
            let second = match wall.second {
                Beside::Feature(id) => drawing.features[id.0].name.clone(),
                other => other.words(&part),
            };
            let first = &drawing.features[wall.first.0].name;
            println!("wall\t{first}\t{second}\t{:.9}\t{:?}", wall.thickness.as_mm(), wall.standing);
        }
        for fault in part.impossible() {
            println!("fault\t{fault}");
        }
    }
}
