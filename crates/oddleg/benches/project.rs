//! A whole project chosen as one: a thousand parts of some twenty features, with mates
//! across them.
//!
//! `cargo bench -p oddleg --bench project`, with a number after `--` for so many parts and
//! the word `varied` for parts of which no two sets are alike. The demo's parts are taken
//! again and again under other names; a varied set has every length of its drawings a
//! little longer than the set before, so that hardly an answer serves twice. Aim: under
//! 2 s on two cores.

use std::time::Instant;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved, read_drawing};
use workshop::metric::{Memory, Piece, Proof, together};
use workshop::plan::possible;

/// How many parts, unless another number stands on the command line.
const PARTS: usize = 1000;

fn main() {
    let parts = std::env::args().find_map(|word| word.parse().ok()).unwrap_or(PARTS);
    let varied = std::env::args().any(|word| word == "varied");
    let (bench, texts) = demo();
    let mut drawings: Vec<Drawing> = Vec::new();
    for set in 0.. {
        for (name, text) in &texts {
            if drawings.len() < parts {
                let mut drawing = renamed(name, text, set);
                if varied {
                    lengthened(&mut drawing, set);
                }
                drawings.push(drawing);
            }
        }
        if drawings.len() == parts {
            break;
        }
    }
    let solved: Vec<Solved> = drawings.iter().map(|part| possible(part).expect("the demo solves")).collect();
    let pieces: Vec<Piece> =
        drawings.iter().zip(&solved).map(|(drawing, solved)| Piece { drawing, solved }).collect();
    let features: usize = drawings.iter().map(|part| part.features.len()).sum();
    let sizes: usize = drawings.iter().map(|part| part.dimensions.len()).sum();
    println!("{parts} parts, {features} features, {sizes} dimensions");
    let mut memory = Memory::new();
    let mut run = |said: &str| {
        let begun = Instant::now();
        let answers = together(&pieces, &bench, &mut memory);
        let taken = begun.elapsed().as_secs_f64();
        let good = answers.iter().filter(|answer| answer.is_ok()).count();
        let proven = answers.iter().flatten().filter(|part| part.proof == Proof::Optimal).count();
        println!("{said}: {good} chosen, {proven} with proof, in {taken:.2} s");
        taken
    };
    let whole = run("first");
    // What is remembered is not searched again: the rest is stating and explaining.
    let again = run("again, everything remembered");
    println!("choosing {:.2} s, stating and explaining {again:.2} s", (whole - again).max(0.0));
}

/// Every length longer by one part in two thousand for each set.
fn lengthened(drawing: &mut Drawing, set: usize) {
    for dimension in &mut drawing.dimensions {
        let length = dimension.written.length;
        dimension.written.length = length + length * (set as i64) / 2000;
    }
}

fn demo() -> (Bench, Vec<(String, String)>) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/kittiwake");
    let bench = std::fs::read_to_string(format!("{folder}/bench.toml")).expect("the demo is there");
    let mut texts: Vec<(String, String)> = std::fs::read_dir(format!("{folder}/parts"))
        .expect("the demo is there")
        .map(|entry| {
            let path = entry.expect("the folder can be read").path();
            let name = path.file_stem().expect("a file has a name").to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).expect("the part can be read"))
        })
        .collect();
    texts.sort();
    (read_bench("bench.toml", &bench).expect("the demo bench reads"), texts)
}

/// A part of one of the sets: its own name and those it names get the set's number.
fn renamed(name: &str, text: &str, set: usize) -> Drawing {
    let mut drawing = read_drawing(&format!("{name}-{set}.toml"), text).expect("the demo part reads");
    drawing.name = format!("{} {set}", drawing.name);
    let partners = drawing.mates.iter_mut().filter_map(|mate| mate.partner.as_mut());
    for partner in partners.chain(drawing.screwed.iter_mut().map(|screwed| &mut screwed.partner)) {
        partner.part = format!("{} {set}", partner.part);
    }
    drawing
}
