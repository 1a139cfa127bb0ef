//! A part of a project taken all the way, to look at its sheets.
//!
//! `cargo run -p sheets --example book -- BENCH PART FOLDER` reads two files
//! and writes `NAME.pdf`, `NAME.html` and one SVG a page.

use std::error::Error;
use std::path::PathBuf;
use std::{env, fs};

use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::plan::plan;
use workshop::problem::Problem;

fn main() -> Result<(), Box<dyn Error>> {
    let [bench_file, part_file, folder] = <[String; 3]>::try_from(env::args().skip(1).collect::<Vec<_>>())
        .map_err(|_| "book BENCH PART FOLDER")?;
    let bench = read_bench(&bench_file, &fs::read_to_string(&bench_file)?).map_err(said)?;
    let drawing = read_drawing(&part_file, &fs::read_to_string(&part_file)?).map_err(said)?;
    let plan = plan(&drawing, &bench).map_err(said)?;
    let name = PathBuf::from(&part_file).file_stem().ok_or("PART is a file")?.to_string_lossy().into_owned();
    let folder = PathBuf::from(folder);
    fs::create_dir_all(&folder)?;
    fs::write(folder.join(format!("{name}.pdf")), sheets::print_pdf(&plan).map_err(said)?)?;
    fs::write(folder.join(format!("{name}.html")), sheets::print_html(&plan).map_err(said)?)?;
    for (page, svg) in sheets::page_svgs(&sheets::page_inks(&plan)) {
        fs::write(folder.join(format!("{name}-{page}.svg")), svg)?;
    }
    for (key, title) in sheets::titles(&plan) {
        println!("{key}: {title}");
    }
    Ok(())
}

fn said(problems: Vec<Problem>) -> String {
    problems.iter().map(|problem| format!("\n{problem}")).collect()
}
