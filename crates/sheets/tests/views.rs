//! The views of every part of the examples and of the trials, as a person reads
//! them: no figure on another, none cut off, nothing lost.

use std::fs;
use std::path::Path;

use sheets::ink::{Bounds, Fill, Ink, Mark, Point, Shape};
use sheets::{Screen, svg, views_ink, views_svg};
use workshop::drawing::{Drawing, Part, read_as_far, solve_as_far};
use workshop::plan::sheet::Projections;
use workshop::plan::views::{Lettering, projections};

const SCREENS: [(Screen, Lettering); 4] = [
    (Screen::Narrow, Lettering::Metric),
    (Screen::Middle, Lettering::AsWritten),
    (Screen::Wide, Lettering::Both),
    (Screen::Pane(160), Lettering::AsWritten),
];

fn part_files() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["../../examples/kittiwake/parts", "../workshop/tests/parts"] {
        for entry in fs::read_dir(root.join(folder)).expect("the folder is there") {
            let path = entry.expect("the folder can be read").path();
            if path.extension().is_some_and(|end| end == "toml") {
                let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
                found.push((name, fs::read_to_string(&path).expect("a part file is text")));
            }
        }
    }
    found.sort();
    found
}

fn views(drawing: &Drawing, lettering: Lettering) -> Projections {
    let (solved, _) = solve_as_far(drawing);
    projections(&Part::as_drawn(drawing, &solved), lettering)
}

/// The straight pieces of a line that is drawn.
fn pieces(mark: &Mark) -> Vec<(Point, Point)> {
    let points = match &mark.shape {
        Shape::Path { path, line: Some(_), .. } => path.flattened(0.1),
        Shape::Circle { centre, radius_mm, line: Some(_), .. } => {
            (0..=32).map(|n| centre.polar(*radius_mm, f64::from(n) * std::f64::consts::TAU / 32.0)).collect()
        }
        _ => return Vec::new(),
    };
    points.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// What is wrong with a picture to look at.
fn faults(ink: &Ink, width_mm: f64, height_mm: f64) -> Vec<String> {
    let mut faults = Vec::new();
    let page = Bounds::new(0.0, 0.0, width_mm, height_mm);
    let texts: Vec<(usize, &str, Bounds)> = ink
        .marks
        .iter()
        .enumerate()
        .filter_map(|(n, mark)| match &mark.shape {
            Shape::Text(text) => {
                if text.size_pt < 6.0 {
                    faults.push(format!("`{}` is too small to read: {} pt", text.words, text.size_pt));
                }
                Some((n, text.words.as_str(), mark.bounds()))
            }
            _ => None,
        })
        .collect();
    for (k, (n, a, a_box)) in texts.iter().enumerate() {
        if !page.holds(*a_box) {
            faults.push(format!("`{a}` is cut off"));
        }
        for (_, b, b_box) in &texts[k + 1..] {
            if a_box.grown(-0.05).overlap_mm2(*b_box) > 1e-6 {
                faults.push(format!("`{a}` on `{b}`"));
            }
        }
        // A line may run through a figure only under a patch of clean paper.
        let inside = a_box.grown(-0.35);
        let patched = |line: usize| {
            ink.marks[line + 1..*n].iter().any(|mark| {
                let paper = matches!(
                    mark.shape,
                    Shape::Path { fill: Fill::Paper, .. } | Shape::Circle { fill: Fill::Paper, .. }
                );
                paper && mark.bounds().grown(0.3).holds(inside)
            })
        };
        let own = ink.marks[*n].tag.as_ref();
        for (line, mark) in ink.marks.iter().enumerate() {
            // The box round a slanting figure holds some of its own line.
            if own.is_some() && mark.tag.as_ref() == own {
                continue;
            }
            let through = pieces(mark).iter().any(|&(from, to)| inside.length_within_mm(from, to) > 0.2);
            if through && (line > *n || !patched(line)) {
                faults.push(format!("a line through `{a}`"));
                break;
            }
        }
    }
    faults
}

/// Letters and figures alone: what is read whatever the line breaks are.
fn bare(words: &str) -> String {
    words.chars().filter(|c| !c.is_whitespace() && *c != '\u{a0}').collect::<String>().replace('⌀', "Ø")
}

/// Everything that is written, run together.
fn written(ink: &Ink) -> String {
    ink.marks
        .iter()
        .filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(bare(&text.words)),
            _ => None,
        })
        .collect()
}

fn look(name: &str, drawing: &Drawing, all: &mut Vec<String>) {
    for (screen, lettering) in SCREENS {
        let views = views(drawing, lettering);
        let (ink, width_mm, height_mm) = views_ink(&views, screen);
        all.extend(
            faults(&ink, width_mm, height_mm).into_iter().map(|fault| format!("{name}, {screen:?}: {fault}")),
        );
        let written = written(&ink);
        for saying in views.views.iter().flat_map(|view| &view.says) {
            if !written.contains(&bare(&saying.text)) {
                all.push(format!("{name}, {screen:?}: `{}` is lost", saying.text));
            }
        }
        let most_mm = match screen {
            Screen::Narrow => 93.0,
            Screen::Middle => 200.0,
            Screen::Wide => 310.0,
            Screen::Pane(width_mm) => f64::from(width_mm) + 10.0,
        };
        if width_mm > most_mm {
            all.push(format!("{name}, {screen:?}: {width_mm:.0} mm wide"));
        }
    }
}

#[test]
fn no_figure_on_a_view_covers_another_is_cut_off_or_lost() {
    let mut all = Vec::new();
    let files = part_files();
    assert!(files.len() >= 30, "only {} part files: the test has lost sight of them", files.len());
    for (name, text) in &files {
        let (drawing, _) = read_as_far(name, text);
        look(name, &drawing.unwrap_or_else(|| panic!("{name} cannot be read")), &mut all);
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

/// What faces and axes keep, in frames: nothing of them covers anything, and each has its datum's letter.
#[test]
fn frames_of_geometrical_tolerances_are_drawn_and_stand_clear() {
    let mut all = Vec::new();
    let plate = ["0.03", "0.02A", "0.05B", "0.05C", "0.05A", "A", "B", "C"];
    let spindle = ["Ø.001A", ".002A", ".001A", "A"];
    for (name, text, frames) in [
        ("held-plate.toml", include_str!("parts/held-plate.toml"), &plate[..]),
        ("held-spindle.toml", include_str!("parts/held-spindle.toml"), &spindle[..]),
    ] {
        let (drawing, problems) = read_as_far(name, text);
        assert!(problems.is_empty(), "{problems:?}");
        let drawing = drawing.unwrap();
        look(name, &drawing, &mut all);
        let (ink, ..) = views_ink(&views(&drawing, Lettering::AsWritten), Screen::Wide);
        let written = written(&ink);
        let lost = frames.iter().filter(|frame| !written.contains(*frame));
        all.extend(lost.map(|frame| format!("{name}: no frame `{frame}` in {written}")));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

/// Holes in no order over a plate, each placed from its edges.
fn crowded_plate(holes: usize) -> String {
    let mut text = String::from(
        "part = \"Crowd\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"90\"\nheight = \"60\"\n\
         thickness = \"10\"\ndatum = \"bottom left\"\n",
    );
    for n in 0..holes {
        let (x, y) = (
            6.0 + (n % 6 * 15) as f64 + (n * 7 % 5) as f64 * 0.25,
            6.0 + (n / 6 * 11) as f64 + (n * 3 % 7) as f64 * 0.25,
        );
        let kind = match n % 3 {
            0 => "kind = \"hole\"\ndiameter = \"2.1\"\n",
            1 => "kind = \"tapped hole\"\nthread = \"M3\"\ndepth = \"6\"\n",
            _ => "kind = \"hole\"\ndiameter = \"4\"\nfinish = \"reamed\"\ndepth = \"5\"\n",
        };
        text.push_str(&format!(
            "[[feature]]\nname = \"hole {n}\"\n{kind}place = [\"{x} from left edge\", \"{y} from bottom edge\"]\n"
        ));
    }
    text
}

#[test]
fn thirty_holes_on_one_plate_are_still_told_apart() {
    let (drawing, problems) = read_as_far("crowd.toml", &crowded_plate(30));
    assert!(problems.is_empty(), "{problems:?}");
    let mut all = Vec::new();
    look("crowd", &drawing.expect("it was read"), &mut all);
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn a_feature_can_be_found_by_its_name_and_no_name_becomes_markup() {
    let text = crowded_plate(3).replace("hole 1", "</g><script>'x'</script> & co");
    let (drawing, _) = read_as_far("nasty.toml", &text);
    let svg = views_svg(&views(&drawing.expect("it was read"), Lettering::Both), Screen::Middle);
    assert!(svg.contains("class=\"feature\" data-feature=\"hole 0\""));
    assert!(svg.contains("<title>hole 2</title>"));
    assert!(svg.contains("data-why=\"hole 0: from left edge\""), "{svg}");
    assert!(!svg.contains("<script") && svg.contains("&lt;/g&gt;&lt;script&gt;"));
    assert!(svg::style().contains(".touch"));
}
