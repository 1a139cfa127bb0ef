//! A whole plan, as a person at the bench and a person at a screen read it.

mod fixture;

use std::collections::BTreeSet;
use std::sync::LazyLock;

use sheets::furniture::FRAME;
use sheets::ink::{Bounds, Ink, Line, Shape};
use sheets::{page_inks, page_svgs, print_html, print_pdf, scene_svg, setup_svg, sheet_html, titles};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::measure::Length;
use workshop::plan::Plan;
use workshop::plan::views::overlay;
use workshop::why::Figure;

/// Every figure that a row, a preset, an aid or the cover shows.
fn figures(plan: &Plan) -> impl Iterator<Item = &Figure> {
    plan.figures.iter()
}

fn texts(page: &Ink) -> Vec<(&str, f64, Bounds)> {
    page.marks
        .iter()
        .filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some((text.words.as_str(), text.size_pt, mark.bounds())),
            _ => None,
        })
        .collect()
}

/// Letters and figures alone: what stands on paper whatever the line breaks are.
fn bare(words: &str) -> String {
    words.chars().filter(|c| !c.is_whitespace() && *c != '\u{a0}').collect()
}

/// What the tags of a page say, each with everything it stands for run together.
fn said_by_tag(pages: &[Ink], name: &str) -> String {
    let marks = pages.iter().flat_map(|page| &page.marks);
    let said = marks.filter(|mark| mark.tag.as_ref().is_some_and(|tag| tag.why.as_deref() == Some(name)));
    said.filter_map(|mark| match &mark.shape {
        Shape::Text(text) => Some(bare(&text.words)),
        _ => None,
    })
    .collect()
}

/// A figure as it should stand on paper: with a true minus, and no white space.
fn printed(shown: &str) -> String {
    match shown.strip_prefix('-') {
        Some(rest) => format!("−{}", bare(rest)),
        None => bare(shown),
    }
}

/// The text of a piece of HTML, as a browser would give it.
fn text_of(html: &str) -> String {
    let mut text = String::new();
    let mut outside = true;
    for c in html.chars() {
        match c {
            '<' => outside = false,
            '>' => outside = true,
            c if outside => text.push(c),
            _ => {}
        }
    }
    text.replace("&#39;", "'")
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

#[test]
fn every_sheet_has_a_key_and_a_title() {
    let keys: Vec<(String, String)> = titles(&fixture::plan());
    let keys: Vec<String> = keys.into_iter().map(|(key, title)| format!("{key}: {title}")).collect();
    insta::assert_snapshot!(keys.join("\n"), @r"
    cover: Rocker arm: before you start
    changes: Changes from the drawing
    setup-1: Setup 1: Mill: in the vice, front face up
    setup-2: Setup 2: Rotary table: on the stub, front face up
    setup-3: Setup 3: Lathe: bar in the chuck
    inspection: Inspection
    aid-1: Aid: Stub mandrel for the pivot bore
    ");
}

#[test]
fn every_figure_stands_on_paper_under_its_name() {
    let plan = fixture::plan();
    let pages = page_inks(&plan);
    for figure in figures(&plan) {
        let said = said_by_tag(&pages, &figure.name);
        assert!(
            said.contains(&printed(&figure.shown)),
            "`{}` shows `{said}`, not `{}`",
            figure.name,
            figure.shown
        );
        if figure.assumed() {
            assert!(
                said.contains(&format!("{}*", printed(&figure.shown))),
                "`{}` is not marked",
                figure.name
            );
        }
    }
}

#[test]
fn every_figure_is_a_link_on_the_screen() {
    let plan = fixture::plan();
    let why = |name: &str| format!("/why?name={}", name.replace(' ', "+"));
    let html: String = titles(&plan).iter().map(|(key, _)| sheet_html(&plan, key, &why).unwrap()).collect();
    for figure in figures(&plan) {
        let link = format!("href=\"{}\"", why(&figure.name).replace('\'', "&#39;"));
        let leads = html.split("<a").filter(|piece| piece.contains(&link));
        let texts: Vec<String> = leads.map(|piece| bare(&text_of(&format!("<a{piece}")))).collect();
        let shown = printed(&figure.shown);
        assert!(texts.iter().any(|text| text.contains(&shown)), "`{}`: {texts:?}", figure.name);
    }
    assert!(!html.contains("<html") && !html.contains("<head"));
}

/// The demo's valve lever and its pages: a pair, two boss roundings, five aids.
static LEVER: LazyLock<(Plan, Vec<Ink>)> = LazyLock::new(|| {
    const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");
    const LEVER: &str = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
    let bench = workshop::bench::read_bench("bench.toml", BENCH).unwrap();
    let drawing = workshop::drawing::read_drawing("valve-lever.toml", LEVER).unwrap();
    let plan = workshop::plan::plan(&drawing, &bench).unwrap();
    let pages = page_inks(&plan);
    (plan, pages)
});

/// Thirty holes with their places would leave the plate a stamp among words: it is drawn as large as
/// the paper lets it be, and its sizes stand in the table.
#[test]
fn a_plate_with_many_holes_is_drawn_large_without_its_sizes() {
    let mut text = String::from(
        "part = \"Sieve\"\nmaterial = \"brass\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"150\"\n\
         height = \"100\"\nthickness = \"6\"\ndatum = \"bottom left\"\n",
    );
    for n in 0..30 {
        let [across, up] = [15 + n % 6 * 24, 12 + n / 6 * 18];
        text += &format!(
            "[[feature]]\nname = \"hole {n}\"\nkind = \"hole\"\ndiameter = \"{}\"\n\
             place = [\"{across} from left edge\", \"{up} from bottom edge\"]\n",
            4 + n % 5
        );
    }
    let bench = workshop::bench::read_bench("bench.toml", "name = \"Shed\"\n").unwrap();
    let plan = workshop::plan::plan(&read_drawing("sieve.toml", &text).unwrap(), &bench).unwrap();
    let bare = |page: &Ink| texts(page).iter().any(|(words, ..)| words.contains("sizes are in the changes"));
    let pages = page_inks(&plan);
    assert!(bare(&pages[0]), "{:?}", texts(&pages[0]));
    // Sizes that leave the work readable stay on it.
    assert!(!bare(&LEVER.1[0]));
}

#[test]
fn only_the_fullest_setups_turn_over_and_the_cover_takes_three_pages() {
    let pages = &LEVER.1;
    let continued: Vec<&str> = pages
        .iter()
        .flat_map(texts)
        .filter_map(|(words, ..)| words.strip_suffix(" (continued)"))
        .filter(|heading| !heading.starts_with("Make first") && !heading.ends_with("inspection"))
        .collect();
    let cover = "Valve lever: before you start";
    let flanks = "Rotary table: on the stub in pivot bore, front face up";
    assert_eq!(continued, [cover, cover, flanks]);
    assert!(pages.len() <= 25, "{} pages", pages.len());
}

#[test]
fn no_lettering_touches_other_lettering_or_leaves_its_page() {
    for (n, page) in page_inks(&fixture::plan()).iter().chain(&LEVER.1).enumerate() {
        let texts = texts(page);
        assert!(!texts.is_empty());
        for (k, (a, _, a_box)) in texts.iter().enumerate() {
            assert!(FRAME.holds(*a_box), "page {}: `{a}` leaves the frame", n + 1);
            for (b, _, b_box) in &texts[k + 1..] {
                assert!(a_box.grown(-0.02).overlap_mm2(*b_box) < 1e-6, "page {}: `{a}` on `{b}`", n + 1);
            }
        }
    }
}

/// A number to set is read at arm's length; nothing is smaller than nine point,
/// but for a long number in a ring.
#[test]
fn what_is_set_is_large_and_nothing_is_small() {
    let plan = fixture::plan();
    sizes_hold(&plan, &page_inks(&plan));
    sizes_hold(&LEVER.0, &LEVER.1);
}

fn sizes_hold(plan: &Plan, pages: &[Ink]) {
    let set: BTreeSet<&str> = plan
        .setups
        .iter()
        .flat_map(|s| s.presets.iter().chain(s.rows.iter().flat_map(|r| r.sets.iter().chain(&r.depth))))
        .flat_map(|figure| figure.shown.split_whitespace())
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()))
        .collect();
    let mut found = 0;
    for mark in pages.iter().flat_map(|page| &page.marks) {
        let Shape::Text(text) = &mark.shape else { continue };
        assert!(text.size_pt >= 9.0, "{text:?}");
        // Dimensions on the picture repeat the numbers without being set from it.
        let on_a_dial = mark.tag.is_some() && set.contains(text.words.as_str()) && text.words.contains('.');
        if on_a_dial && text.face == sheets::font::Face::Bold {
            assert!(text.size_pt >= 12.0, "{text:?}");
            found += 1;
        }
    }
    assert!(found > 30, "only {found} numbers found: the test has lost sight of them");
}

#[test]
fn a_row_longer_than_a_page_goes_on_under_the_same_heading() {
    let plan = fixture::plan();
    let pages = page_inks(&plan);
    let lathe: Vec<&Ink> = pages
        .iter()
        .filter(|page| texts(page).iter().any(|(words, ..)| words.starts_with("Lathe: bar in the chuck")))
        .collect();
    assert!(lathe.len() > 1);
    for page in lathe {
        let cuts = texts(page).iter().any(|(words, ..)| *words == "diameter");
        assert_eq!(cuts, texts(page).iter().any(|(words, ..)| *words == "Depth, passes"));
    }
}

#[test]
fn what_finds_no_room_on_the_picture_is_listed_under_it() {
    let plan = fixture::plan();
    let svg = setup_svg(&plan.setups[0]);
    let text = bare(&text_of(&svg));
    let scene = &plan.setups[0].scene;
    for words in scene.dimensions.iter().map(|d| &d.text).chain(scene.notes.iter().map(|n| &n.text)) {
        let words = bare(words).replace('⌀', "Ø");
        assert!(text.contains(&words), "`{words}` is lost");
    }
    assert!(svg.contains("data-why=\"setup 1, 3: X\""));
}

#[test]
fn a_scene_with_nothing_in_it_is_still_a_picture() {
    let empty = workshop::plan::sheet::blank_scene("nothing", workshop::geometry::Point::ORIGIN, "");
    assert!(scene_svg(&empty).starts_with("<svg"));
    let mut vast = empty;
    vast.outline = workshop::plan::sheet::box_lines(0.0, 0.0, 1e7, 1e7);
    assert!(scene_svg(&vast).starts_with("<svg"));
}

#[test]
fn the_pdf_has_the_pages_that_were_laid_out_and_the_same_bytes_each_time() {
    let plan = fixture::plan();
    let pdf = print_pdf(&plan).unwrap();
    let read = lopdf::Document::load_mem(&pdf).unwrap();
    assert_eq!(read.get_pages().len(), page_svgs(&page_inks(&plan)).len());
    assert_eq!(pdf, print_pdf(&plan).unwrap());
    assert_eq!(print_html(&plan).unwrap(), print_html(&plan).unwrap());
}

#[test]
fn no_name_however_hostile_becomes_markup() {
    let nasty = "</title><script>alert(\"x\")</script>' onload='x";
    let mut plan = fixture::plan();
    plan.part = nasty.into();
    plan.cover.wanted = nasty.into();
    plan.cover.traps[0].early = nasty.into();
    plan.cover.ready[0].0 = nasty.into();
    let setup = &mut plan.setups[0];
    setup.title = nasty.into();
    setup.scene.view = nasty.into();
    setup.scene.notes[0].text = nasty.into();
    setup.scene.notes[0].figure = Some(nasty.into());
    setup.rows[0].what = nasty.into();
    setup.rows[0].sets[0] = Figure::new(nasty, nasty, workshop::why::Why::new(nasty));
    let mut all = print_html(&plan).unwrap();
    for (key, _) in titles(&plan) {
        all.push_str(&sheet_html(&plan, &key, &|name| format!("/why/{name}")).unwrap());
    }
    for (_, svg) in page_svgs(&page_inks(&plan)) {
        all.push_str(&svg);
    }
    assert!(!all.contains("<script"));
    for tag in all.split('<').filter(|piece| piece.contains("onload")) {
        let inside = tag.split('>').next().unwrap();
        assert!(!inside.contains("' onload"), "{inside}");
    }
}

#[test]
fn a_key_nobody_has_is_a_problem_that_names_the_keys() {
    let problems = sheet_html(&fixture::plan(), "setup-9", &|name| name.into()).unwrap_err();
    assert!(problems[0].to_string().contains("setup-1, setup-2, setup-3, inspection, aid-1"));
}

/// A bit of each line class, so that the fixture keeps testing what it says.
#[test]
fn the_work_as_it_lies_shows_metal_stock_hidden_edges_and_axes() {
    let pages = page_inks(&fixture::plan());
    let drawn: BTreeSet<Line> = pages
        .iter()
        .flat_map(|page| &page.marks)
        .filter_map(|mark| match &mark.shape {
            Shape::Path { line, .. } | Shape::Circle { line, .. } => *line,
            Shape::Text(_) => None,
        })
        .collect();
    for line in [Line::Visible, Line::Worked, Line::Hidden, Line::Centre, Line::Dimension, Line::Phantom] {
        assert!(drawn.contains(&line), "{line:?}");
    }
}

/// Forty changed dimensions, as an ordinary part has, stand on one page with the picture;
/// where more are truly needed the sheet says how many.
#[test]
fn the_changes_of_an_ordinary_part_stand_on_one_page() {
    let change = |n: usize| workshop::plan::sheet::Change {
        name: format!("hole {}: {}", n / 2, if n.is_multiple_of(2) { "from left edge" } else { "diameter" }),
        written: "13/32 in".into(),
        exact: "10.3188".into(),
        chosen: "10.5 mm".into(),
        difference: "+0.181".into(),
        difference_drawn: "+0.0071 in".into(),
        limit: "0.5 mm".into(),
        made_with: "set on the machine".into(),
        role: "free (assumed)".into(),
        why: workshop::why::Why::assumed("free, since nobody said"),
        refused: vec![],
    };
    let mut plan = fixture::plan();
    let pages_of = |plan: &workshop::plan::Plan| {
        let with = page_inks(plan).len();
        let mut without = plan.clone();
        without.cover.changes.clear();
        with - page_inks(&without).len()
    };
    plan.cover.changes = (0..40).map(change).collect();
    assert_eq!(pages_of(&plan), 1);
    let html = sheet_html(&plan, "changes", &|name| name.to_owned()).expect("there is such a sheet");
    assert!(html.contains("differences × 5") && html.contains("class=\"before\""), "the picture is there");
    plan.cover.changes = (0..150).map(change).collect();
    let many = pages_of(&plan);
    assert!(many > 1);
    let said = page_svgs(&page_inks(&plan)).into_iter().map(|(_, svg)| svg).collect::<String>();
    assert!(said.contains(&format!("changes from the drawing, on {many} pages")));
}

/// Where so much moves that its words would fill a page, the picture is still as large as
/// the page lets it be: a plate of 90 mm is not drawn at a two-hundredth.
#[test]
fn a_plate_on_which_all_of_forty_holes_move_is_drawn_as_large_as_one_on_which_none_is_told() {
    let mut text = String::from(
        "part = \"Crowd\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"90\"\nheight = \"60\"\n\
         thickness = \"10\"\ndatum = \"bottom left\"\n",
    );
    for n in 0..40 {
        text += &format!(
            "[[feature]]\nname = \"a hole for screw {n}\"\nkind = \"hole\"\ndiameter = \"4.1\"\n\
             place = [\"{} from left edge\", \"{} from bottom edge\"]\n",
            6 + n % 8 * 11,
            6 + n / 8 * 11,
        );
    }
    let drawing = read_drawing("crowd.toml", &text).expect("it reads");
    let solved = solve(&drawing).expect("it solves");
    let drawn = Part::as_drawn(&drawing, &solved);
    let mut sizes = drawn.sizes.clone();
    for (n, length) in sizes.lengths.iter_mut().enumerate() {
        *length += Length::microns(20 + n as i64 % 7);
    }
    let mut plan = fixture::plan();
    plan.overlay = overlay(&drawn, &drawn.with_sizes(sizes));
    assert!(plan.overlay.moved.len() > 40, "{}", plan.overlay.moved.len());
    let html = sheet_html(&plan, "changes", &|name| name.to_owned()).expect("there is such a sheet");
    let svgs = page_svgs(&page_inks(&plan)).into_iter().map(|(_, svg)| svg).collect::<String>();
    for said in [html, svgs] {
        let scale = said.split("; scale ").nth(1).expect("the scale is said");
        assert!(scale.starts_with("1:1") || scale.starts_with("2:1"), "{}", &scale[..8]);
    }
}

/// What is as drawn is summed up in a line, and so is what to buy.
#[test]
fn what_is_as_drawn_is_summed_up_and_what_to_buy_is_said() {
    let mut plan = fixture::plan();
    let mut same = plan.cover.changes[0].clone();
    (same.name, same.chosen, same.difference) = ("boss: radius".into(), "12 mm".into(), String::new());
    same.difference_drawn = String::new();
    plan.cover.changes.push(same);
    let html = sheet_html(&plan, "changes", &|name| name.to_owned()).expect("there is such a sheet");
    let said = text_of(&html);
    assert!(said.contains("As drawn, 1 in all: boss: radius 12"), "{said}");
    assert!(said.contains("To buy: slitting saw 63 mm × 0.8 mm."), "{said}");
}
