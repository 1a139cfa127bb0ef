//! The three views: as large as the part, hidden where metal lies before, every
//! feature and every dimension there, and the other hand the other way round.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use workshop::drawing::{
    Body, Drawing, Image, Kind, Part, SectionSize, read_as_far, read_drawing, solve_as_far,
};
use workshop::geometry::{Bounds, Point, Segment};
use workshop::plan::sheet::{Looking, Projection, Projections, Said, Stroke, ViewLine};
use workshop::plan::views::{Lettering, projections};

fn part_files() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["../../examples/kittiwake/parts", "tests/parts"] {
        for entry in fs::read_dir(root.join(folder)).expect("the folder is there") {
            let path = entry.expect("the folder can be read").path();
            if path.extension().is_some_and(|end| end == "toml") {
                let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
                found.push((name, fs::read_to_string(&path).expect("a part file is text")));
            }
        }
    }
    found.sort();
    assert!(found.len() >= 30, "only {} part files: the tests have lost sight of them", found.len());
    found
}

fn read(name: &str, text: &str) -> Drawing {
    read_drawing(name, text).unwrap_or_else(|problems| panic!("{name}: {problems:?}"))
}

fn views(drawing: &Drawing, image: Image) -> Projections {
    let (solved, _) = solve_as_far(drawing);
    let drawn = Part::as_drawn(drawing, &solved);
    let part = if image == Image::Mirrored { drawn.mirrored() } else { drawn };
    projections(&part, Lettering::AsWritten)
}

fn view(views: &Projections, looking: Looking) -> &Projection {
    views.views.iter().find(|view| view.looking == looking).expect("the view is drawn")
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 2e-3
}

/// The box round the edges of a view.
fn extent(view: &Projection) -> Bounds {
    let edges = view.lines.iter().filter(|line| matches!(line.stroke, Stroke::Visible | Stroke::Hidden));
    edges
        .map(|line| line.segment.bounds())
        .reduce(|a, b| a.including(b.least).including(b.most))
        .expect("something is drawn")
}

#[test]
fn each_view_is_as_large_as_the_part() {
    for (name, text) in part_files() {
        let drawing = read(&name, &text);
        let (solved, _) = solve_as_far(&drawing);
        let part = Part::as_drawn(&drawing, &solved);
        let views = views(&drawing, Image::Drawn);
        let (wide, tall, deep) = match drawing.body {
            Body::Turned { .. } => {
                let reach = |id| part.reach_of(id).map(|r| r.as_mm()).unwrap_or_default();
                let across = part.sections().iter().map(|&id| reach(id) * 2.0).fold(0.0, f64::max);
                (part.thickness().as_mm(), across, across)
            }
            _ => {
                let bounds = part.outline().unwrap_or_else(|fault| panic!("{name}: {fault}")).bounds();
                (bounds.width_mm(), bounds.height_mm(), part.thickness().as_mm())
            }
        };
        let eccentric = part.sections().iter().any(|&id| part.is_eccentric(id));
        let bar = part
            .features()
            .any(|(_, f)| matches!(f.kind, Kind::Section { size: SectionSize::AsBar { .. }, .. }));
        for drawn in &views.views {
            let box_of = extent(drawn);
            let (across, up) = match drawn.looking {
                Looking::Front => (wide, tall),
                Looking::Above | Looking::Below => (wide, deep),
                Looking::Right | Looking::Left => (deep, tall),
            };
            let fits = if eccentric || bar {
                // No wider than its bar, and as long as it is.
                box_of.width_mm() <= across + 2e-3 && box_of.height_mm() <= up + 2e-3
            } else {
                near(box_of.width_mm(), across) && near(box_of.height_mm(), up)
            };
            assert!(
                fits,
                "{name} {:?}: {} by {}, not {across} by {up}",
                drawn.looking,
                box_of.width_mm(),
                box_of.height_mm()
            );
        }
    }
}

#[test]
fn every_feature_and_every_dimension_is_in_some_view_and_no_dimension_twice() {
    let mut missing = Vec::new();
    for (name, text) in part_files() {
        let drawing = read(&name, &text);
        let views = views(&drawing, Image::Drawn);
        for feature in &drawing.features {
            let drawn = views.views.iter().any(|view| {
                view.lines.iter().any(|line| line.of.as_deref() == Some(feature.name.as_str()))
                    && view.anchors.iter().any(|(of, _)| *of == feature.name)
            });
            // A sharp corner is a place where two lines of the body meet.
            if !drawn && !matches!(feature.kind, Kind::Corner { .. }) {
                missing.push(format!("{name}: `{}` is in no view", feature.name));
            }
        }
        let mut said: BTreeMap<&str, usize> = BTreeMap::new();
        for saying in views.views.iter().flat_map(|view| &view.says) {
            if let Some(figure) = &saying.figure {
                *said.entry(figure).or_default() += 1;
            }
        }
        for (figure, times) in &said {
            if *times > 1 {
                missing.push(format!("{name}: `{figure}` is said {times} times"));
            }
        }
        let mates: Vec<usize> = drawing.mates.iter().map(|mate| mate.size.0).collect();
        for (n, dimension) in drawing.dimensions.iter().enumerate() {
            let written = &dimension.written.text;
            let nothing = dimension.written.length.as_mm() == 0.0;
            let told = said.contains_key(dimension.name.as_str())
                || views.views.iter().flat_map(|view| &view.says).any(|s| s.text.contains(written.as_str()));
            if !told && !nothing && !mates.contains(&n) {
                missing.push(format!("{name}: nothing says `{}`, {written}", dimension.name));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

/// Lines as sorted numbers, so that two views can be held against each other.
fn sorted(
    lines: impl Iterator<Item = (Stroke, Option<String>, Segment)>,
) -> Vec<(Stroke, Option<String>, Vec<i64>)> {
    let coarse = |p: Point| [(p.x_mm * 100.0).round() as i64, (p.y_mm * 100.0).round() as i64];
    let mut all: Vec<_> = lines
        .map(|(stroke, of, segment)| {
            let mut ends = [coarse(segment.start()), coarse(segment.end())];
            ends.sort_unstable();
            let whole = match segment {
                // Where a whole circle begins means nothing.
                Segment::Arc(arc) if arc.sweep_rad.abs() > std::f64::consts::TAU - 0.01 => {
                    [coarse(arc.centre).to_vec(), vec![(arc.radius_mm * 100.0).round() as i64]].concat()
                }
                _ => [ends.concat(), coarse(segment.along(0.5)).to_vec()].concat(),
            };
            (stroke, of, whole)
        })
        .collect();
    all.sort();
    all
}

fn close(
    a: &[(Stroke, Option<String>, Vec<i64>)],
    b: &[(Stroke, Option<String>, Vec<i64>)],
) -> Option<String> {
    let found = |line: &(Stroke, Option<String>, Vec<i64>)| {
        b.iter().any(|other| {
            line.0 == other.0
                && line.1 == other.1
                && line.2.len() == other.2.len()
                && line.2.iter().zip(&other.2).all(|(x, y)| (x - y).abs() <= 10)
        })
    };
    a.iter().find(|line| !found(line)).map(|line| format!("{line:?}"))
}

#[test]
fn the_other_hand_is_the_same_picture_in_a_mirror() {
    for (name, text) in part_files() {
        let drawing = read(&name, &text);
        let (drawn, mirrored) = (views(&drawing, Image::Drawn), views(&drawing, Image::Mirrored));
        let (a, b) = (view(&drawn, Looking::Front), view(&mirrored, Looking::Front));
        // The sign of a thread is open at the upper right in both.
        let own = |v: &Projection, turn: bool| {
            let lines: Vec<_> = v
                .lines
                .iter()
                .filter(|l| {
                    !matches!((l.stroke, l.segment), (Stroke::Thin | Stroke::Hidden, Segment::Arc(_)))
                })
                // Round mouths are followed in short steps, which begin at the other end.
                .filter(|l| l.segment.length_mm() > 0.8)
                .map(|l| (l.stroke, l.of.clone(), if turn { l.segment.mirrored() } else { l.segment }))
                .collect();
            sorted(lines.into_iter())
        };
        let (one, other) = (own(a, true), own(b, false));
        for (a, b) in [(&one, &other), (&other, &one)] {
            if let Some(lost) = close(a, b) {
                panic!("{name}: {lost}");
            }
        }
        let texts = |v: &Projections| {
            let mut texts: Vec<String> =
                v.views.iter().flat_map(|view| &view.says).map(|s| s.text.clone()).collect();
            texts.sort();
            texts
        };
        assert_eq!(texts(&drawn), texts(&mirrored), "{name}");
    }
}

const BLOCK: &str = r#"
part = "Block"
unit = "mm"
[body]
kind = "rectangle"
width = "40"
height = "30"
thickness = "20"
datum = "bottom left"
[[feature]]
name = "bore"
kind = "hole"
diameter = "8"
finish = "bored"
place = ["10 from left edge", "10 from bottom edge"]
[[feature]]
name = "well"
kind = "hole"
face = "back"
diameter = "6"
finish = "bored"
depth = "5"
place = ["30 from left edge", "10 from bottom edge"]
[[feature]]
name = "step"
kind = "step"
leaves = "12"
side = "top"
place = ["20 above datum"]
"#;

/// How much of a feature's lines is of one stroke, in millimetres.
fn long(view: &Projection, of: &str, stroke: Stroke) -> f64 {
    let own = view.lines.iter().filter(|l| l.of.as_deref() == Some(of) && l.stroke == stroke);
    own.map(|l| l.segment.length_mm()).sum()
}

#[test]
fn what_lies_behind_metal_is_dashed_and_what_does_not_is_not() {
    let drawing = read("block.toml", BLOCK);
    let views = views(&drawing, Image::Drawn);
    let (front, above, right) =
        (view(&views, Looking::Front), view(&views, Looking::Above), view(&views, Looking::Right));
    let round = |mm: f64| mm * std::f64::consts::PI;
    // Seen from the front: the bore's mouth, and the well's behind the metal.
    assert!(near(long(front, "bore", Stroke::Visible), round(8.0)));
    assert_eq!(long(front, "bore", Stroke::Hidden), 0.0);
    assert!(near(long(front, "well", Stroke::Hidden), round(6.0)));
    assert_eq!(long(front, "well", Stroke::Visible), 0.0);
    // From above: two sides of the bore through 20, and the well's two sides and floor.
    assert!(near(long(above, "bore", Stroke::Hidden), 40.0));
    assert!(near(long(above, "well", Stroke::Hidden), 5.0 + 5.0 + 6.0));
    // The shoulder from above is the edge of the step's floor; the step stands to the left
    // in the view from the right, where the front is.
    assert!(near(long(front, "step", Stroke::Visible), 40.0));
    let profile: f64 =
        right.lines.iter().filter(|l| l.stroke == Stroke::Visible).map(|l| l.segment.length_mm()).sum();
    assert!(
        near(profile, 2.0 * (20.0 + 30.0)),
        "the outside of an L is as long as that of its box: {profile}"
    );
    let notch = Point::new(-20.0, 30.0);
    assert!(
        right
            .lines
            .iter()
            .all(|l| l.segment.nearest(notch).distance_mm(notch) > 5.0 || l.stroke == Stroke::Centre)
    );
}

/// A pin with a hole across: its front view by its own formulas.
#[test]
fn a_cross_hole_is_round_from_the_front_and_follows_the_pin_from_above() {
    let text = "part = \"Pin\"\nunit = \"mm\"\n[body]\nkind = \"turned\"\n[[feature]]\nname = \"shank\"\n\
                kind = \"section\"\ndiameter = \"10\"\nlength = \"30\"\n[[feature]]\nname = \"eye\"\nkind = \"hole\"\n\
                face = \"front\"\ndiameter = \"6\"\nplace = [\"10 from left end\"]\n";
    let drawing = read("pin.toml", text);
    let views = views(&drawing, Image::Drawn);
    let front = view(&views, Looking::Front);
    assert!(near(long(front, "eye", Stroke::Visible), 6.0 * std::f64::consts::PI));
    let above = view(&views, Looking::Above);
    // Where hole and pin meet, half-way along the hole's side: z² + 3² = 5², so z = 4.
    let lowest = above
        .lines
        .iter()
        .filter(|l| l.of.as_deref() == Some("eye") && l.stroke != Stroke::Centre)
        .flat_map(|l| [l.segment.start(), l.segment.end()])
        .map(|p| p.y_mm.abs())
        .fold(f64::INFINITY, f64::min);
    let widest = above
        .lines
        .iter()
        .filter(|l| l.of.as_deref() == Some("eye") && l.stroke == Stroke::Visible)
        .flat_map(|l| [l.segment.start(), l.segment.end()])
        .map(|p| p.y_mm.abs())
        .fold(0.0, f64::max);
    assert!(near(lowest, 4.0) || lowest <= 4.0, "{lowest}");
    assert!(widest <= 5.0 + 1e-3, "{widest}");
}

/// Any feature or any line of the file may still be missing: the rest is drawn.
#[test]
fn an_unfinished_drawing_is_drawn_as_far_as_it_is_known() {
    for (name, text) in part_files() {
        let lines: Vec<&str> = text.lines().collect();
        for left_out in (text.len() % 11..lines.len()).step_by(11) {
            let mut kept = lines.clone();
            kept.remove(left_out);
            let (drawing, _) = read_as_far(&name, &kept.join("\n"));
            let Some(drawing) = drawing else { continue };
            let views = views(&drawing, Image::Drawn);
            assert!(!views.views.is_empty());
            for line in views.views.iter().flat_map(|view| &view.lines) {
                let finite = [line.segment.start(), line.segment.end()];
                assert!(finite.iter().all(|p| p.x_mm.is_finite() && p.y_mm.is_finite()), "{name}: {line:?}");
            }
        }
    }
}

#[test]
fn a_leader_points_at_what_it_speaks_of() {
    for (name, text) in part_files() {
        let drawing = read(&name, &text);
        let views = views(&drawing, Image::Drawn);
        for view in &views.views {
            for saying in &view.says {
                let Said::Note { at } = saying.shape else { continue };
                let near_mm = |line: &ViewLine| line.segment.nearest(at).distance_mm(at);
                let nearest = view.lines.iter().map(near_mm).fold(f64::INFINITY, f64::min);
                let size = extent(view).width_mm().max(extent(view).height_mm());
                assert!(nearest < 0.05 * size, "{name}: `{}` points {nearest} mm into the air", saying.text);
            }
        }
    }
}

/// A frame points at what it holds and a datum stands on what it names, out of the metal, in a view that shows
/// it: a face edge on, the axis of a hole as its round, a section by its outside; of either hand.
#[test]
fn what_is_held_is_shown_where_it_is() {
    let told = |text: &str, image| {
        let drawing = read("held.toml", text);
        let all = views(&drawing, image);
        let mut told = Vec::new();
        for (view, saying) in all.views.iter().flat_map(|view| view.says.iter().map(move |s| (view, s))) {
            let near = |p: Point| [(p.x_mm * 100.0).round() / 100.0, (p.y_mm * 100.0).round() / 100.0];
            match saying.shape {
                Said::Held { at, rim_mm, keeps, to } => {
                    let [x, y] = near(at);
                    let to = to.map_or(String::new(), |letter| format!(" to {letter}"));
                    let (keeps, text, looking) = (keeps.word(), &saying.text, view.looking.words());
                    told.push(format!("{keeps} {text}{to} at {x}, {y} round {rim_mm} {looking}"));
                }
                Said::Datum { at, out_rad } => {
                    let ([x, y], out) = (near(at), out_rad.to_degrees().round());
                    told.push(format!("{} at {x}, {y} out {out}° {}", saying.text, view.looking.words()));
                }
                _ => {}
            }
        }
        told
    };
    let plate = include_str!("../../sheets/tests/parts/held-plate.toml");
    // By hand: the plate is 60 by 40 by 14; from above its back face lies at the head, 0 up; its lower edge
    // from the front is the longest line there.
    assert_eq!(
        told(plate, Image::Drawn),
        [
            "squareness 0.02 to A at 20, 20 round 5 from the front",
            "parallelism 0.05 to B at 45, 25 round 3 from the front",
            "squareness 0.05 to C at 0, 14 round 0 from the front",
            "B at 16.46, 16.46 out -135° from the front",
            "C at 39, 0 out -90° from the front",
            "flatness 0.03 at 21, 0 round 0 from above",
            "A at 39, 0 out 90° from above",
            "parallelism 0.05 to A at -8, 11 round 0 from the right",
        ]
    );
    let mirrored = told(plate, Image::Mirrored);
    assert!(
        mirrored.contains(&"squareness 0.02 to A at -20, 20 round 5 from the front".to_owned()),
        "{mirrored:?}"
    );
    assert!(mirrored.contains(&"B at -16.46, 16.46 out -45° from the front".to_owned()), "{mirrored:?}");
    // 5/8 of 1/4 and 1 1/2 of 1/2: the tail is held 0.35 along its 15.875 on 3.175 above, the barrel is a datum
    // 0.65 along its 38.1 from 15.875 on 6.35 below.
    let spindle = told(include_str!("../../sheets/tests/parts/held-spindle.toml"), Image::Drawn);
    assert!(
        spindle.contains(&"concentricity ⌀.001 to A at 5.56, 3.18 round 0 from the front".to_owned()),
        "{spindle:?}"
    );
    assert!(spindle.contains(&"A at 40.64, -6.35 out -90° from the front".to_owned()), "{spindle:?}");
}
