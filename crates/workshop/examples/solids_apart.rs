//! Prints the least distance between two cylinders or cones, for comparing with
//! another way of finding it.
//!
//! Each argument is a pair: `x,y,z,x,y,z,radius,radius` of one, a slash, and the same
//! of the other, in millimetres.
//!
//! ```text
//! cargo run --example solids_apart -- 0,0,0,10,0,0,2,2/3,-9,7,3,9,7,1.5,1.5
//! ```

use workshop::geometry::solid::{Convex, Spot, between};

fn solid(words: &str) -> Convex {
    let n: Vec<f64> = words.split(',').map(|word| word.parse().expect("a number")).collect();
    Convex::cone(Spot::new(n[0], n[1], n[2]), Spot::new(n[3], n[4], n[5]), n[6], n[7])
}

fn main() {
    for pair in std::env::args().skip(1) {
        let (first, second) = pair.split_once('/').expect("two solids");
        println!("{:.12}", between(&solid(first), &solid(second)).apart_mm);
    }
}
