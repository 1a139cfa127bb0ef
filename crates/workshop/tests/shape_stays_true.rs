//! After metrication an outline is drawn anew from the metric numbers: its lines are
//! tangent, its arcs meet, and its round ends have the metric size and place. And the
//! metric part laid over the drawing shows each difference, so many times.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Axis, Body, Drawing, Kind, Part, Sizes, Solved, read_drawing, solve};
use workshop::geometry::{Point, Segment};
use workshop::measure::Length;
use workshop::metric::metricate;
use workshop::plan::sheet::{Looking, Stroke, ViewLine};
use workshop::plan::views::overlay;

/// Lines and arcs that touch or meet do so within this.
const TRUE_MM: f64 = 1e-9;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

fn bench() -> Bench {
    let text = fs::read_to_string(root().join("../../examples/kittiwake/bench.toml")).expect("it is there");
    read_bench("bench.toml", &text).expect("the bench reads")
}

/// Every trial part and every part of the demonstration that has a metric part.
fn parts() -> impl Iterator<Item = (&'static Drawing, &'static Solved, Sizes)> {
    static PARTS: LazyLock<Vec<(Drawing, Solved, Sizes)>> = LazyLock::new(chosen);
    PARTS.iter().map(|(drawing, solved, sizes)| (drawing, solved, sizes.clone()))
}

fn chosen() -> Vec<(Drawing, Solved, Sizes)> {
    let bench = bench();
    let mut found = Vec::new();
    for folder in ["tests/parts", "../../examples/kittiwake/parts"] {
        let mut files: Vec<PathBuf> = fs::read_dir(root().join(folder))
            .expect("a folder")
            .map(|file| file.expect("a file").path())
            .collect();
        files.sort();
        for file in files.iter().filter(|file| file.extension().is_some_and(|end| end == "toml")) {
            let text = fs::read_to_string(file).expect("it is there");
            let Ok(drawing) = read_drawing(&file.display().to_string(), &text) else { continue };
            let Ok(solved) = solve(&drawing) else { continue };
            if let Ok(metric) = metricate(&drawing, &solved, &bench) {
                found.push((drawing, solved, metric.sizes));
            }
        }
    }
    assert!(found.len() >= 50, "only {} parts have a metric part", found.len());
    found
}

fn direction(segment: &Segment, at_end: bool) -> Point {
    match segment {
        Segment::Line(_) => {
            let along = segment.end() - segment.start();
            along.times(1.0 / along.norm_mm())
        }
        Segment::Arc(arc) => {
            let at = if at_end { segment.end() } else { segment.start() };
            let out = (at - arc.centre).times(arc.sweep_rad.signum() / arc.radius_mm);
            Point::new(-out.y_mm, out.x_mm)
        }
    }
}

/// Where the drawing's outline runs on smoothly the metric one does, to the last place,
/// and it closes.
#[test]
fn every_outline_closes_and_stays_tangent() {
    let mut smooth = 0;
    for (drawing, solved, sizes) in parts() {
        if matches!(drawing.body, Body::Turned { .. }) {
            continue;
        }
        let drawn = Part::as_drawn(drawing, solved);
        let metric = drawn.with_sizes(sizes);
        let [before, after] =
            [&drawn, &metric].map(|part| part.outline().unwrap_or_else(|fault| panic!("{fault}")));
        let (before, after) = (before.segments(), after.segments());
        assert_eq!(before.len(), after.len(), "{}: the metric outline has other pieces", drawing.name);
        for at in 0..after.len() {
            let next = (at + 1) % after.len();
            let gap_mm = after[at].end().distance_mm(after[next].start());
            assert!(gap_mm <= TRUE_MM, "{}: {gap_mm} between {at} and {next}", drawing.name);
            let turn = |all: &[Segment]| direction(&all[at], true).cross(direction(&all[next], false)).abs();
            if turn(before) < 1e-7 {
                smooth += 1;
                assert!(turn(after) <= TRUE_MM, "{}: a corner of {} at {at}", drawing.name, turn(after));
            }
        }
    }
    assert!(smooth > 100, "{smooth} places where an outline runs on");
}

/// The round ends lie where the metric sizes put them, worked out from the bosses alone;
/// every flank is as far from the middle of a boss as its radius.
#[test]
fn every_flank_touches_the_metric_bosses() {
    let mut touched = 0;
    for (drawing, solved, sizes) in parts() {
        let Body::Bosses { around, .. } = &drawing.body else { continue };
        let metric = Part::as_drawn(drawing, solved).with_sizes(sizes);
        let outline = metric.outline().expect("it draws");
        for &id in around {
            let Kind::Boss { radius } = metric.feature(id).kind else { continue };
            let (x, y) = metric.xy(id).expect("placed");
            let (middle, radius_mm) = (Point::at(x, y), metric.size(radius).as_mm());
            let arc = outline.segments().iter().position(|segment| {
                matches!(segment, Segment::Arc(arc) if arc.centre.distance_mm(middle) <= TRUE_MM
                    && (arc.radius_mm - radius_mm).abs() <= TRUE_MM)
            });
            // A boss that lies inside the flanks of its neighbours shows no arc.
            let Some(arc) = arc else { continue };
            let all = outline.segments();
            for beside in [(arc + 1) % all.len(), (arc + all.len() - 1) % all.len()] {
                let Segment::Line(line) = all[beside] else { continue };
                let along = line.end - line.start;
                let off_mm = (middle - line.start).cross(along).abs() / along.norm_mm();
                assert!((off_mm - radius_mm).abs() <= TRUE_MM, "{}: {off_mm} and {radius_mm}", drawing.name);
                touched += 1;
            }
        }
    }
    assert!(touched >= 40, "{touched} flanks");
}

/// A part laid over itself shows nothing; every metric part shows its own, and says what.
#[test]
fn an_overlay_shows_what_differs_and_nothing_else() {
    for (drawing, solved, sizes) in parts() {
        let drawn = Part::as_drawn(drawing, solved);
        let same = overlay(&drawn, &drawn);
        assert_eq!((same.times, same.moved.len(), same.apart.len()), (1, 0, 0), "{}", drawing.name);
        let metric = drawn.with_sizes(sizes);
        let laid = overlay(&drawn, &metric);
        let changed = metric.sizes != drawn.sizes;
        assert_eq!(!laid.moved.is_empty(), changed, "{}: {:?}", drawing.name, laid.moved);
        let lines = &laid.picture.views[0].lines;
        let of = |stroke| lines.iter().filter(move |line: &&ViewLine| line.stroke == stroke).count();
        assert!(of(Stroke::Before) > 0 && of(Stroke::Visible) > 0, "{}", drawing.name);
        assert!(laid.picture.views[0].says.len() <= laid.moved.len());
    }
}

/// A plate of 60 × 40 with one hole; a hole 0.1 to the right and 0.05 up, and 0.2 wider,
/// worked by hand: each point lies `times` as far from where it is drawn.
#[test]
fn every_point_is_moved_so_many_times_its_difference() {
    let text = "part = \"Plate\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"6\"\ndatum = \"bottom left\"\n\
        [[feature]]\nname = \"hole\"\nkind = \"hole\"\ndiameter = \"10\"\nplace = [\"20 right of datum\", \"15 above datum\"]\n";
    let drawing = read_drawing("plate.toml", text).expect("it reads");
    let solved = solve(&drawing).expect("it solves");
    let drawn = Part::as_drawn(&drawing, &solved);
    let mut sizes = drawn.sizes.clone();
    for (name, mm) in
        [("hole: diameter", 10_200), ("hole: right of datum", 20_100), ("hole: above datum", 15_050)]
    {
        let at = drawing.dimensions.iter().position(|d| d.name == name).expect("it is there");
        sizes.lengths[at] = Length::microns(mm);
    }
    let laid = overlay(&drawn, &drawn.with_sizes(sizes));
    // The rim moves 0.1 + 0.1118 at most; 6 % of 60 is 3.6, so sixteen times would do, and ten is round.
    assert_eq!(laid.times, 10);
    assert_eq!(laid.moved.len(), 1);
    assert_eq!(laid.moved[0].words, "⌀ +0.200, 0.100 right, 0.050 up");
    assert_eq!(laid.caption(), "grey as drawn, ink as made: differences × 10");
    let view = &laid.picture.views[0];
    let ink: Vec<&ViewLine> = view
        .lines
        .iter()
        .filter(|l| l.of.as_deref() == Some("hole") && l.stroke == Stroke::Visible)
        .collect();
    assert!(matches!(ink[..], [ViewLine { segment: Segment::Arc(_), .. }]), "a round stays round: {ink:?}");
    for share in [0.0, 0.1, 0.4, 0.85] {
        // Ten times the shift, and ten times the growth of the radius.
        let off_mm = ink[0].segment.along(share).distance_mm(Point::new(21.0, 15.5));
        assert!((off_mm - 6.0).abs() < 1e-9, "{off_mm}");
    }
    let grey = view.lines.iter().find(|l| l.of.as_deref() == Some("hole") && l.stroke == Stroke::Before);
    let Some(Segment::Arc(arc)) = grey.map(|line| line.segment) else {
        panic!("the hole as drawn is a circle")
    };
    assert!(arc.centre.distance_mm(Point::new(20.0, 15.0)) < 1e-9 && (arc.radius_mm - 5.0).abs() < 1e-9);
    let body = view.lines.iter().filter(|l| l.of.is_none() && l.stroke == Stroke::Visible);
    for line in body {
        let on_edge =
            |p: Point| [p.x_mm, p.x_mm - 60.0, p.y_mm, p.y_mm - 40.0].iter().any(|mm| mm.abs() < 1e-9);
        assert!(on_edge(line.segment.start()) && on_edge(line.segment.end()), "the body stays");
    }
}

/// A plate that becomes thicker by 0.1 alone: nothing differs from the front, and from
/// beside its edge stands twenty times as far off (6 % of 60 is 3.6).
#[test]
fn each_side_on_which_something_differs_is_shown() {
    let text = "part = \"Plate\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"6\"\ndatum = \"bottom left\"\n\
        [[feature]]\nname = \"seat\"\nkind = \"hole\"\ndiameter = \"10\"\ndepth = \"3\"\nplace = [\"20 right of datum\", \"15 above datum\"]\n";
    let drawing = read_drawing("plate.toml", text).expect("it reads");
    let solved = solve(&drawing).expect("it solves");
    let drawn = Part::as_drawn(&drawing, &solved);
    let sides = |changes: &[(&str, i64)]| {
        let mut sizes = drawn.sizes.clone();
        for &(name, microns) in changes {
            let at = drawing.dimensions.iter().position(|d| d.name == name).expect("it is there");
            sizes.lengths[at] += Length::microns(microns);
        }
        overlay(&drawn, &drawn.with_sizes(sizes))
    };
    let thicker = sides(&[("body: thickness", 100)]);
    assert_eq!(thicker.times, 20);
    let views = &thicker.picture.views;
    assert!(!views.is_empty() && views.iter().all(|view| view.looking != Looking::Front));
    for view in views {
        let size_mm = |stroke: Stroke| {
            let lines = view.lines.iter().filter(|line| line.stroke == stroke);
            let bounds =
                lines.map(|line| line.segment.bounds()).reduce(|a, b| a.including(b.least).including(b.most));
            bounds.map_or(0.0, |b| b.width_mm().min(b.height_mm()))
        };
        let (was, is) = (size_mm(Stroke::Before), size_mm(Stroke::Visible));
        assert!((was - 6.0).abs() < 1e-9 && (is - 8.0).abs() < 1e-9, "{was} {is}");
    }
    let said: Vec<&str> =
        views.iter().flat_map(|view| &view.says).map(|saying| saying.text.as_str()).collect();
    assert_eq!(said, ["body: thickness +0.100"], "it is said once");
    let wider = sides(&[("seat: diameter", 200), ("body: thickness", 100)]);
    assert!(wider.picture.views.len() > 1 && wider.picture.views[0].looking == Looking::Front);
    // The hole is told of where its round is seen, the thickness where its edge is.
    assert_eq!(wider.picture.views[0].says.len(), 1);
    assert!(wider.picture.views[0].says[0].text.starts_with("seat: "));
}

/// The places used above are those of the parts, whichever way their outline is drawn.
#[test]
fn the_datum_of_both_is_one() {
    for (drawing, solved, sizes) in parts() {
        let drawn = Part::as_drawn(drawing, solved);
        let metric = drawn.with_sizes(sizes);
        for (id, _) in drawn.features() {
            for axis in [Axis::X, Axis::Y] {
                if drawn.at(id, axis) == Some(Length::ZERO)
                    && solved.place(id, axis).is_some_and(|p| p.terms.is_empty())
                {
                    assert_eq!(metric.at(id, axis), Some(Length::ZERO), "{}", drawing.name);
                }
            }
        }
    }
}
