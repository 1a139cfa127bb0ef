//! Each stage of the road, and the whole of it, on the demo's valve lever.
//!
//! `cargo bench -p oddleg`. The whole way is text in, printable HTML out; the PDF
//! is timed by itself. Aim: the whole under one screen frame, 16 ms, warm.

use divan::Bencher;
use workshop::abreast::abreast;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Part, Solved, read_drawing, solve};
use workshop::metric::{MetricPart, metricate};
use workshop::order::order_of_work;
use workshop::plan::{Plan, plan};

#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

const LEVER: &str = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");

fn main() {
    divan::main();
}

fn bench_file() -> Bench {
    read_bench("bench.toml", BENCH).expect("the demo bench reads")
}

fn drawing() -> Drawing {
    read_drawing("valve-lever.toml", LEVER).expect("the demo part reads")
}

fn solved(drawing: &Drawing) -> Solved {
    solve(drawing).expect("the demo part solves")
}

fn metric(drawing: &Drawing, solved: &Solved) -> MetricPart {
    metricate(drawing, solved, &bench_file()).expect("the demo part has a metric part")
}

fn planned() -> Plan {
    plan(&drawing(), &bench_file()).expect("the demo part has a plan")
}

#[divan::bench]
fn a_read_drawing_and_bench(bencher: Bencher) {
    bencher.bench(|| (drawing(), bench_file()));
}

#[divan::bench]
fn b_solve_places(bencher: Bencher) {
    let drawing = drawing();
    bencher.bench(|| solved(&drawing));
}

#[divan::bench]
fn c_choose_metric_part(bencher: Bencher) {
    let (drawing, bench) = (drawing(), bench_file());
    let solved = solved(&drawing);
    bencher.bench(|| metricate(&drawing, &solved, &bench));
}

#[divan::bench]
fn d_plan_order_of_work(bencher: Bencher) {
    let (drawing, bench) = (drawing(), bench_file());
    let solved = solved(&drawing);
    let metric = metric(&drawing, &solved);
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    bencher.bench(|| order_of_work(&part, &metric, &bench));
}

#[divan::bench]
fn e_plan_with_all_settings(bencher: Bencher) {
    let (drawing, bench) = (drawing(), bench_file());
    bencher.bench(|| plan(&drawing, &bench));
}

#[divan::bench]
fn f_lay_out_html(bencher: Bencher) {
    let plan = planned();
    bencher.bench(|| sheets::print_html(&plan));
}

#[divan::bench]
fn g_lay_out_pdf(bencher: Bencher) {
    let plan = planned();
    bencher.bench(|| sheets::print_pdf(&plan));
}

/// A plate with thirty features, as one that is being entered.
fn thirty_features() -> String {
    let mut text = String::from(
        "part = \"Sieve\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\n\
         width = \"6\"\nheight = \"5\"\nthickness = \"1/4\"\ndatum = \"bottom left\"\n",
    );
    for n in 0..30 {
        let (across, up) = (1 + n % 6, 1 + n / 6);
        text += &format!(
            "[[feature]]\nname = \"hole {n}\"\nkind = \"hole\"\ndiameter = \"{}/32\"\n\
             place = [\"{} 27/32 from left edge\", \"{up} 3/32 from bottom edge\"]\n",
            4 + n % 5,
            across - 1,
        );
    }
    text
}

/// A keystroke on the entry page, from the draft to its new picture. Aim: under 100 ms
/// with all that the browser does; here without.
#[divan::bench]
fn i_look_at_a_draft_of_30_features(bencher: Bencher) {
    let text = thirty_features();
    bencher.bench(|| {
        let look = workshop::desk::look("sieve.toml", &text);
        look.picture.map(|views| sheets::views_svg(&views, sheets::Screen::Middle))
    });
}

/// The same text read by the general-purpose parser that the reader stands on: what
/// the look is held against.
#[divan::bench]
fn j_parse_that_draft_with_toml_edit(bencher: Bencher) {
    let text = thirty_features();
    bencher.bench(|| toml_edit::Document::parse(text.as_str()).map(|document| document.iter().count()));
}

/// A plate with so many features, of no two sizes alike: holes, reamed and tapped holes,
/// pockets, slots, and counterbores over some of the holes.
fn plate(number: usize, features: usize) -> String {
    let mut text = format!(
        "part = \"Plate {number}\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\n\
         width = \"{}/64\"\nheight = \"4\"\nthickness = \"1/2\"\ndatum = \"bottom left\"\n",
        6 * 64 + number,
    );
    let over: Vec<usize> = [0, 1, 2, 12, 14, 18].into_iter().take(features / 5).collect();
    for n in 0..features - over.len() {
        let kind = match n {
            8 | 16 => {
                "pocket\"\nwidth = \"5/8\"\nheight = \"1/2\"\ncorner = \"1/8\"\ndepth = \"3/16".to_owned()
            }
            10 | 13 => "slot\"\nwidth = \"3/16\"\ncentres = \"3/8".to_owned(),
            n if n % 6 == 5 => "tapped hole\"\nthread = \"2 BA".to_owned(),
            n if n % 6 == 4 => "hole\"\ndiameter = \"1/4\"\nfinish = \"reamed".to_owned(),
            n => format!("hole\"\ndiameter = \"{}/16", 3 + (n + number) % 4),
        };
        text += &format!(
            "[[feature]]\nname = \"cut {n}\"\nkind = \"{kind}\"\n\
             place = [\"{} 1/2 from left edge\", \"{} 1/2 from bottom edge\"]\n",
            n % 6,
            n / 6,
        );
    }
    for n in over {
        text += &format!(
            "[[feature]]\nname = \"head {n}\"\nkind = \"counterbore\"\ndiameter = \"1/2\"\n\
             depth = \"1/8\"\nover = \"cut {n}\"\n",
        );
    }
    text
}

/// Text in, printable HTML out.
fn laid_out(text: &str, bench: &Bench) -> String {
    let drawing = read_drawing("plate.toml", text).expect("the plate reads");
    let plan = plan(&drawing, bench).expect("the plate has a plan");
    sheets::print_html(&plan).expect("the plate fits its sheets")
}

/// The whole way without PDF. Aim: under 16 ms.
#[divan::bench]
fn k_whole_way_of_a_plate_of_30_features(bencher: Bencher) {
    let (bench, text) = (bench_file(), plate(0, 30));
    bencher.bench(|| laid_out(&text, &bench));
}

/// Two hundred plates of 5 to 30 features, two at a time as the program lays out a project.
/// Aim: under 2 s.
#[divan::bench(sample_count = 2, sample_size = 1)]
fn l_sheets_of_200_plates(bencher: Bencher) {
    let bench = bench_file();
    let plates: Vec<String> = (0..200).map(|n| plate(n, 5 + n % 26)).collect();
    bencher.bench(|| abreast(&plates, |text| laid_out(text, &bench).len()).iter().sum::<usize>());
}

#[divan::bench]
fn h_whole_way_without_pdf(bencher: Bencher) {
    bencher.bench(|| sheets::print_html(&planned()));
}
