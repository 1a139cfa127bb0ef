//! The metric part of each part file laid over its drawing, as pages to look at.
//!
//! `cargo run -p sheets --example overlays -- FOLDER BENCH.toml FILE.toml …`

use std::fs;
use std::path::Path;

use sheets::{Screen, overlay_svg, svg};
use workshop::bench::read_bench;
use workshop::drawing::{Part, read_drawing, solve};
use workshop::metric::metricate;
use workshop::plan::views::overlay;

fn main() {
    let mut names = std::env::args().skip(1);
    let (Some(folder), Some(bench)) = (names.next(), names.next()) else {
        eprintln!("say which folder to write to, which bench it is, and which part files to read");
        return;
    };
    let text = fs::read_to_string(&bench).expect("the bench file can be read");
    let bench = read_bench(&bench, &text).expect("the bench file reads");
    let style = format!("{}{}", svg::font_faces(), svg::style());
    for name in names {
        let text = fs::read_to_string(&name).expect("the part file can be read");
        let drawing = read_drawing(&name, &text).expect("the part file reads");
        let solved = solve(&drawing).expect("its places solve");
        let metric = match metricate(&drawing, &solved, &bench) {
            Ok(metric) => metric,
            Err(problems) => {
                problems.iter().for_each(|problem| eprintln!("{problem}"));
                continue;
            }
        };
        let drawn = Part::as_drawn(&drawing, &solved);
        let overlay = overlay(&drawn, &drawn.with_sizes(metric.sizes));
        let picture = overlay_svg(&overlay, Screen::Middle);
        let caption = overlay.caption();
        let page = format!(
            "<!doctype html><meta charset=\"utf-8\"><style>{style} body {{ margin: 8mm; }}</style>{picture}<p>{caption}</p>"
        );
        let stem = Path::new(&name).file_stem().unwrap_or_default().to_string_lossy().into_owned();
        fs::write(Path::new(&folder).join(format!("{stem}.html")), page).expect("the page can be written");
    }
}
