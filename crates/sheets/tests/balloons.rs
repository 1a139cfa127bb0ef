//! The numbers of rows on the picture of the work: those at one place share a balloon, and
//! however many there are, each row has its own.

use std::collections::BTreeSet;

use sheets::callout::{BALLOON_RADIUS_MM, KEY_PT};
use sheets::font::Face;
use sheets::ink::{Fill, Ink, Line, Point, Shape, Text};
use sheets::page_inks;
use sheets::picture::{Picture, Place, Scale};
use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};

fn texts(ink: &Ink) -> impl Iterator<Item = &Text> {
    ink.marks.iter().filter_map(|mark| match &mark.shape {
        Shape::Text(text) => Some(text),
        _ => None,
    })
}

/// The plan of a part on the bench of the demo.
fn planned(text: &str) -> Plan {
    let bench = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/kittiwake/bench.toml");
    let bench = read_bench(bench, &std::fs::read_to_string(bench).unwrap()).unwrap();
    plan(&read_drawing("part.toml", text).unwrap(), &bench).unwrap()
}

/// The picture of the fullest setup as it is printed: its scale, and the numbers on it.
fn fullest(plan: &Plan) -> (String, BTreeSet<usize>, usize) {
    let setup = plan.setups.iter().max_by_key(|setup| setup.scene.marks.len()).unwrap();
    let is_caption = |text: &&Text| text.words.starts_with(&setup.scene.view);
    let pages = page_inks(plan);
    let full = |page: &&Ink| {
        texts(page).any(|text| is_caption(&text)) && texts(page).any(|text| text.words == setup.title)
    };
    let page = pages.iter().rfind(full).expect("the setup has a picture");
    let scale = texts(page).find(|text| {
        text.words.split_once(':').is_some_and(|(a, b)| [a, b].iter().all(|n| n.parse::<u32>().is_ok()))
    });
    let foot_mm = texts(page).filter(is_caption).map(|text| text.at.y_mm).fold(0.0, f64::max);
    let keys: Vec<&Text> = texts(page)
        .filter(|text| text.face == Face::Bold && text.size_pt <= KEY_PT && text.at.y_mm < foot_mm)
        .collect();
    let mut numbers = BTreeSet::new();
    for key in &keys {
        let (from, to) = key.words.split_once('–').unwrap_or((&key.words, &key.words));
        if let (Ok(from), Ok(to)) = (from.parse::<usize>(), to.parse::<usize>()) {
            numbers.extend(from..=to);
        }
    }
    (scale.expect("the scale stands on the page").words.clone(), numbers, keys.len())
}

#[test]
fn numbers_at_one_hole_share_a_balloon_and_its_leader() {
    let hole = Place::mm(20.0, 20.0);
    let mut picture = Picture::new();
    picture.circle(hole, 4.0, Some(Line::Visible), Fill::Paper);
    for (rim_mm, key) in [(4.0, "2"), (4.0, "7"), (4.0, "5")] {
        picture.balloon_round(hole, rim_mm, key, None);
    }
    // Another place, farther off than paper shows.
    picture.balloon(Place::mm(20.5, 40.0), "9", None);
    let placed = picture.set(Scale::FULL);
    let ring = |key: &str| {
        let text = texts(&placed.ink).find(|text| text.words == key).unwrap();
        Point::mm(text.at.x_mm, text.at.y_mm)
    };
    for (a, b) in [("2", "5"), ("5", "7")] {
        assert!((ring(a).distance_mm(ring(b)) - 2.0 * BALLOON_RADIUS_MM).abs() < 1e-6, "{a} and {b}");
    }
    assert!(ring("9").distance_mm(ring("7")) > 2.0 * BALLOON_RADIUS_MM + 0.5);
    let leaders = placed.ink.marks.iter().filter(|mark| {
        matches!(&mark.shape, Shape::Path { line: Some(Line::Dimension), fill: Fill::None, .. })
    });
    assert_eq!(leaders.count(), 2, "one for the hole and one for the place");
}

/// A plate with holes that are drilled, some of them reamed, tapped and counterbored, with slots and
/// pockets: it is drawn as large as its dimensions let it be.
#[test]
fn every_row_of_a_crowded_plate_has_its_number_and_the_plate_is_not_drawn_small() {
    let mut text = String::from(
        "part = \"Plate\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"6\"\n\
         height = \"4\"\nthickness = \"1/2\"\ndatum = \"bottom left\"\n",
    );
    for n in 0..24 {
        let kind = match n {
            8 | 16 => "pocket\"\nwidth = \"5/8\"\nheight = \"1/2\"\ncorner = \"1/8\"\ndepth = \"3/16",
            10 | 13 => "slot\"\nwidth = \"3/16\"\ncentres = \"3/8",
            n if n % 6 == 5 => "tapped hole\"\nthread = \"2 BA",
            n if n % 6 == 4 => "hole\"\ndiameter = \"1/4\"\nfinish = \"reamed",
            n => {
                ["hole\"\ndiameter = \"3/16", "hole\"\ndiameter = \"1/4", "hole\"\ndiameter = \"5/16"][n % 3]
            }
        };
        let [across, up] = [n % 6, n / 6];
        text += &format!(
            "[[feature]]\nname = \"cut {n}\"\nkind = \"{kind}\"\n\
             place = [\"{across} 1/2 from left edge\", \"{up} 1/2 from bottom edge\"]\n"
        );
    }
    for n in [0, 1, 2, 12, 14, 18] {
        text += &format!(
            "[[feature]]\nname = \"head {n}\"\nkind = \"counterbore\"\ndiameter = \"1/2\"\ndepth = \"1/8\"\n\
             over = \"cut {n}\"\n"
        );
    }
    let plan = planned(&text);
    let (scale, numbers, _) = fullest(&plan);
    assert!(["1:1", "1:2"].contains(&scale.as_str()), "drawn at {scale}");
    let rows = &plan.setups.iter().max_by_key(|setup| setup.rows.len()).unwrap().rows;
    assert!(rows.len() >= 34, "{} rows", rows.len());
    let missing: Vec<&str> =
        rows.iter().filter(|row| !numbers.contains(&row.number)).map(|row| row.what.as_str()).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

/// Rows with a place each leave nothing to share, and rows of many like places are numbered at some.
#[test]
fn every_hole_of_its_own_size_is_numbered_and_of_many_alike_some_are() {
    let mut text = String::from(
        "part = \"Sieve\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"160\"\n\
         height = \"100\"\nthickness = \"6\"\ndatum = \"bottom left\"\n",
    );
    for n in 0..24 {
        let [across, up] = [12 + n % 6 * 25, 14 + n / 6 * 22];
        text += &format!(
            "[[feature]]\nname = \"hole {n}\"\nkind = \"hole\"\ndiameter = \"{}\"\n\
             place = [\"{across} from left edge\", \"{up} from bottom edge\"]\n",
            4 + n % 3
        );
    }
    let plan = planned(&text);
    let (scale, numbers, _) = fullest(&plan);
    let rows = plan.setups.iter().map(|setup| setup.rows.len()).max().unwrap();
    assert_eq!(scale, "1:2");
    assert_eq!(numbers.len(), rows, "{numbers:?}");

    let ring = "part = \"Sieve\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\n\
                diameter = \"50\"\nthickness = \"4\"\n[[feature]]\nname = \"ring\"\nkind = \"pitch circle\"\n\
                holes = 24\npitch_circle = \"40\"\ndiameter = \"2.5\"\nplace = [\"datum\"]\n";
    let plan = planned(ring);
    let (_, numbers, rings) = fullest(&plan);
    assert!(numbers.contains(&1) && rings < 16, "{numbers:?} in {rings} rings");
}
