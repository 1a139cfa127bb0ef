//! What is warned of comes after the warning: on every printed page and on the screen.

use std::fs;
use std::path::Path;

use sheets::callout::KEY_PT;
use sheets::font::Face;
use sheets::furniture::BODY;
use sheets::ink::{Ink, Shape, Text};
use sheets::{page_inks, sheet_html};
use workshop::bench::{Bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};

/// Each so many of the parts in a folder that can be planned on a bench, by name.
fn plans(folder: &str, each: usize, bench: &Bench) -> Vec<(String, Plan)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut files: Vec<_> =
        fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let read = |path: &Path| {
        let name = path.file_stem()?.to_string_lossy().into_owned();
        let drawing = read_drawing(&name, &fs::read_to_string(path).ok()?).ok()?;
        Some((name, plan(&drawing, bench).ok()?))
    };
    files.iter().step_by(each).filter_map(|path| read(path)).collect()
}

fn bench(file: &str) -> Bench {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    read_bench(file, &fs::read_to_string(root.join(file)).unwrap()).unwrap()
}

/// Where something stands in a plan: its page, and how far down.
type Stands = (usize, f64);

/// The first of the words after a place.
fn after<'a>(pages: &'a [Ink], from: Stands, told: impl Fn(&Text) -> bool + 'a) -> Option<Stands> {
    let texts = pages.iter().enumerate().flat_map(|(page, ink)| {
        ink.marks.iter().filter_map(move |mark| match &mark.shape {
            Shape::Text(text) => Some(((page, text.at.y_mm), text)),
            _ => None,
        })
    });
    let found = texts.filter(|(at, text)| *at > from && told(text)).map(|(at, _)| at);
    found.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))
}

/// In the ring of a sheet's heading, or of a row, at the left of the page.
fn in_ring(text: &Text, heading: bool, key: usize) -> bool {
    let large = text.size_pt > 1.3 * KEY_PT;
    let left = text.at.x_mm < BODY.left_mm + 8.0;
    text.face == Face::Bold && large == heading && left && text.words == key.to_string()
}

fn warned_in_time(name: &str, plan: &Plan) -> usize {
    let pages = page_inks(plan);
    let mut from = (0, 0.0);
    let mut asked = 0;
    for (n, setup) in plan.setups.iter().enumerate() {
        let begins = after(&pages, from, |text| in_ring(text, true, setup.number));
        let begins = begins.unwrap_or_else(|| panic!("{name}: setup {} is on no page", setup.number));
        from = begins;
        let Some(first) = setup.cautions.first() else { continue };
        asked += 1;
        let warns =
            after(&pages, begins, |text| text.words.len() > 8 && first.starts_with(text.words.trim_end()));
        let warns = warns.unwrap_or_else(|| panic!("{name}, setup {}: no caution", setup.number));
        let row = after(&pages, begins, |text| in_ring(text, false, 1)).expect("a setup has a row");
        assert!(
            warns.0 == begins.0 || warns < row,
            "{name}, setup {}: it begins on page {}, its cautions stand on page {}",
            setup.number,
            begins.0 + 1,
            warns.0 + 1
        );
        let html = sheet_html(plan, &format!("setup-{}", n + 1), &|name| name.into()).unwrap();
        let at = |words: &str| html.find(words).unwrap_or_else(|| panic!("{name}: no {words}"));
        assert!(at("class=\"cautions\"") < at("class=\"rows"), "{name}, setup {}", setup.number);
    }
    asked
}

/// Also where sheets share pages and where they turn over, as the valve lever's do.
#[test]
fn no_caution_of_the_demo_comes_on_a_page_after_its_work() {
    let plans = plans("examples/kittiwake/parts", 1, &bench("examples/kittiwake/bench.toml"));
    let asked: usize = plans.iter().map(|(name, plan)| warned_in_time(name, plan)).sum();
    assert!(asked > 30, "{asked} setups asked");
}

/// All of them are right; some are asked each time, since the whole takes minutes.
#[test]
fn no_caution_of_a_trial_part_comes_on_a_page_after_its_work() {
    let plans =
        plans("crates/workshop/tests/parts", 6, &bench("crates/workshop/tests/benches/everything.toml"));
    let asked: usize = plans.iter().map(|(name, plan)| warned_in_time(name, plan)).sum();
    assert!(asked > 15, "{asked} setups asked");
}
