//! The views of part files as pages to look at: one HTML file each, at the widths
//! of three screens.
//!
//! `cargo run -p sheets --example views -- FOLDER FILE.toml …`

use std::fs;
use std::path::Path;

use sheets::{Screen, svg, views_svg};
use workshop::drawing::{Image, Part, read_as_far, solve_as_far};
use workshop::plan::views::{Lettering, projections};

fn main() {
    let mut names = std::env::args().skip(1);
    let Some(folder) = names.next() else {
        eprintln!("say which folder to write to, and which part files to read");
        return;
    };
    let style = format!("{}{}", svg::font_faces(), svg::style());
    for name in names {
        let text = fs::read_to_string(&name).expect("the part file can be read");
        let (drawing, problems) = read_as_far(&name, &text);
        for problem in problems {
            eprintln!("{problem}");
        }
        let Some(drawing) = drawing else { continue };
        let (solved, problems) = solve_as_far(&drawing);
        for problem in problems {
            eprintln!("{problem}");
        }
        let part = Part::as_drawn(&drawing, &solved);
        let mirror = part.seen(Image::Mirrored);
        let stem = Path::new(&name).file_stem().unwrap_or_default().to_string_lossy().into_owned();
        for (end, part, lettering, screen) in [
            ("narrow", &part, Lettering::Metric, Screen::Narrow),
            ("middle", &part, Lettering::AsWritten, Screen::Middle),
            ("wide", &part, Lettering::Both, Screen::Wide),
            ("mirrored", &mirror, Lettering::AsWritten, Screen::Middle),
        ] {
            let svg = views_svg(&projections(part, lettering), screen);
            let page = format!("<!doctype html><meta charset=\"utf-8\"><style>{style}</style>{svg}");
            fs::write(Path::new(&folder).join(format!("{stem}-{end}.html")), page)
                .expect("the page can be written");
        }
    }
}
