//! What is written for other programs is read back the same.

use proptest::prelude::*;
use sheets::flat::{flat_dxf, flat_svg};
use workshop::drawing::{Kind, Part, read_drawing, solve};
use workshop::exchange::{Asked, Datum, Flat, Layers, flat, import};
use workshop::geometry::{Outline, Segment};

/// A part in plan from the text of its file, as drawn and in a mirror.
fn flats(text: &str) -> [Flat; 2] {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    let part = Part::as_drawn(&drawing, &solved);
    [&part, &part.mirrored()].map(|part| flat(part).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}")))
}

fn outline(flat: &Flat) -> Outline {
    Outline::new(flat.layers[0].segments.clone()).unwrap()
}

/// The full circles of every layer, left to right.
fn circles(flat: &Flat) -> Vec<[f64; 3]> {
    let mut found: Vec<[f64; 3]> = flat.layers[1..]
        .iter()
        .flat_map(|layer| &layer.segments)
        .filter_map(|segment| match segment {
            Segment::Arc(arc) if arc.sweep_rad > 6.2 => {
                Some([arc.centre.x_mm, arc.centre.y_mm, arc.radius_mm])
            }
            _ => None,
        })
        .collect();
    found.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    found
}

/// Reads both writings back, and holds each against the part.
fn come_back(flat: &Flat, slots: usize) {
    for (name, text) in [("part.dxf", flat_dxf(flat)), ("part.svg", flat_svg(flat))] {
        let asked = Asked { thickness: Some("3 mm".into()), datum: Datum::Origin, ..Asked::usual("Part") };
        let read =
            import(name, text.as_bytes(), &asked).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
        let meant = outline(flat);
        // The datum of a disc is its centre, wherever it stands.
        assert!((read.outline.area_mm2() - meant.area_mm2()).abs() < 1e-6, "{name}: {text}");
        assert!((read.outline.length_mm() - meant.length_mm()).abs() < 1e-6, "{name}: {text}");
        for segment in meant.segments() {
            for share in [0.0, 0.37, 0.5] {
                assert!(read.outline.distance_mm(segment.along(share)) < 1e-6, "{name}: {text}");
            }
        }
        let holes: Vec<[f64; 3]> =
            read.holes.iter().map(|h| [h.centre.x_mm, h.centre.y_mm, h.radius_mm]).collect();
        let expected = circles(flat);
        assert_eq!(holes.len(), expected.len(), "{name}: {text}");
        for (hole, meant) in holes.iter().zip(&expected) {
            assert!((0..3).all(|i| (hole[i] - meant[i]).abs() < 1e-6), "{name}: {hole:?} {meant:?}");
        }
        let slot = |line: &&String| line.starts_with("slot") || line.starts_with("curved slot");
        let found = read.report.found.iter().filter(slot).count();
        assert_eq!(found, slots, "{name}: {:?}", read.report);
        assert_eq!((read.report.mends.len(), read.report.not_carried.len()), (0, 0), "{:?}", read.report);
        assert!(read.report.read_back_mm.is_some_and(|off| off < 0.004), "{name}: {:?}", read.report.read);
    }
}

fn head(body: &str) -> String {
    format!(
        "part = \"Part\"\nunit = \"mm\"\nhands = [\"right\", \"left\"]\n[body]\nthickness = \"3\"\n{body}\n"
    )
}

fn hole(name: &str, across: f64, x: f64, y: f64) -> String {
    format!("[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = \"{across:.1}\"\n{}", place(x, y))
}

fn place(x: f64, y: f64) -> String {
    format!("place = [\"{}\", \"{}\"]\n", along(x, "right of", "left of"), along(y, "above", "below"))
}

fn along(mm: f64, more: &str, less: &str) -> String {
    format!("{:.1} {} datum", mm.abs(), if mm < 0.0 { less } else { more })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Levers: two bosses anywhere, joined by flanks, with their bores.
    #[test]
    fn a_lever_comes_back(x in 300..600i32, y in -200..200i32, a in 60..120i32, b in 60..120i32) {
        let (x, y, a, b) = (f64::from(x) / 10.0, f64::from(y) / 10.0, f64::from(a) / 10.0, f64::from(b) / 10.0);
        let boss = |name: &str, radius: f64, x, y| {
            format!("[[feature]]\nname = \"{name}\"\nkind = \"boss\"\nradius = \"{radius:.1}\"\n{}", place(x, y))
        };
        let text = head("kind = \"bosses\"\naround = [\"a\", \"b\"]")
            + &boss("a", a, 0.0, 0.0) + &boss("b", b, x, y)
            + &hole("bore", a, 0.0, 0.0) + &hole("eye", b, x, y);
        for flat in flats(&text) {
            come_back(&flat, 0);
        }
    }

    /// Plates with holes and slots at any angle.
    #[test]
    fn a_plate_comes_back(
        w in 600..1200i32, h in 500..900i32, across in 20..80i32, width in 30..60i32, centres in 50..150i32, along in 0..180i32,
    ) {
        let (w, h) = (f64::from(w) / 10.0, f64::from(h) / 10.0);
        let text = head(&format!("kind = \"rectangle\"\nwidth = \"{w:.1}\"\nheight = \"{h:.1}\"\ndatum = \"bottom left\""))
            + &hole("one", f64::from(across) / 10.0, 10.0, 10.0)
            + &hole("other", 5.0, w - 8.0, h - 9.0)
            + &format!(
                "[[feature]]\nname = \"slot\"\nkind = \"slot\"\nwidth = \"{}\"\ncentres = \"{}\"\nalong = \"{along}°\"\n{}",
                f64::from(width) / 10.0, f64::from(centres) / 10.0, place((w / 2.0 * 10.0).round() / 10.0, (h / 2.0 * 10.0).round() / 10.0)
            );
        for flat in flats(&text) {
            come_back(&flat, 1);
        }
    }

    /// Slots round an arc, in any direction and as far round as they go.
    #[test]
    fn a_curved_slot_comes_back(
        radius in 100..300i32, width in 30..90i32, from in 0..360i32, sweep in 20..300i32,
    ) {
        let (radius, width) = (f64::from(radius) / 10.0, f64::from(width) / 10.0);
        // Its round ends do not meet the other way round.
        prop_assume!(2.0 * radius * (f64::from(360 - sweep) / 2.0).to_radians().sin() > width + 0.5);
        let text = head("kind = \"rectangle\"\nwidth = \"80\"\nheight = \"80\"\ndatum = \"centre\"")
            + &hole("one", 5.0, 0.0, 0.0)
            + &format!(
                "[[feature]]\nname = \"way\"\nkind = \"curved slot\"\nwidth = \"{width:.1}\"\nradius = \"{radius:.1}\"\n\
                 from = \"{from}°\"\nto = \"{}°\"\nplace = \"datum\"\n",
                from + sweep
            );
        for flat in flats(&text) {
            come_back(&flat, 1);
        }
    }

    /// Outlines of sharp and rounded corners, arcs in and out.
    #[test]
    fn an_outline_comes_back(
        w in 400..900i32, h in 300..700i32, r in 10..100i32, arc in 200..900i32, out: bool, notch in 20..120i32,
    ) {
        let [w, h, r, arc, notch] = [w, h, r, arc, notch].map(|n| f64::from(n) / 10.0);
        let arc = arc.max(h * 0.51).max(if out { 0.0 } else { h * 1.2 });
        let bulge = if out { "out" } else { "in" };
        let corner = |name: &str, radius: f64, x: f64, y: f64| {
            let radius = if radius > 0.0 { format!("radius = \"{radius:.1}\"\n") } else { String::new() };
            format!("[[feature]]\nname = \"{name}\"\nkind = \"corner\"\n{radius}{}", place(x, y))
        };
        let text = head(&format!(
            "kind = \"outline\"\naround = [\"a\", \"b\", {{ arc = \"{arc:.1}\", bulge = \"{bulge}\" }}, \"c\", \"d\", \"e\", \"f\"]"
        )) + &corner("a", r, 0.0, 0.0) + &corner("b", 0.0, w, 0.0) + &corner("c", 0.0, w, h)
            + &corner("d", 0.0, w / 2.0, h) + &corner("e", r.min(notch * 0.4), w / 2.0, h - notch)
            + &corner("f", 0.0, 0.0, h - notch);
        for flat in flats(&text) {
            come_back(&flat, 0);
        }
    }
}

/// Parts with pockets, square and flatted holes, countersinks, steps and slots from
/// any face: what a flat drawing shows comes back, and the rest is said.
#[test]
fn every_kind_of_plate_is_written_and_its_outline_comes_back() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../workshop/tests/parts");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let (mut written, mut layers) = (0, Vec::new());
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let drawing = read_drawing("part.toml", &text).unwrap();
        let solved = solve(&drawing).unwrap();
        let part = Part::as_drawn(&drawing, &solved);
        let Ok(made) = flat(&part) else {
            assert!(text.contains("\"turned\""), "{file:?}");
            continue;
        };
        for text in [flat_dxf(&made), flat_svg(&made)] {
            let asked = Asked { layers: Layers::Only(vec!["outline".into()]), ..Asked::usual("Part") };
            let read = import("part", text.as_bytes(), &asked).unwrap_or_else(|faults| panic!("{faults:#?}"));
            assert!((read.outline.area_mm2() - outline(&made).area_mm2()).abs() < 1e-6, "{file:?}");
        }
        // Everything is either drawn or said to be left out.
        let shown = made.layers.len() - 1 + made.notes.len();
        let outside = |kind: &Kind| matches!(kind, Kind::Boss { .. } | Kind::Corner { .. });
        let bare = drawing.features.iter().all(|feature| outside(&feature.kind));
        assert_eq!(shown == 0, bare, "{file:?}: {made:?}");
        layers.extend(made.layers.iter().map(|layer| layer.name));
        written += 1;
    }
    for layer in ["pockets", "square-holes", "flatted-holes"] {
        assert!(layers.contains(&layer), "{layer}: {layers:?}");
    }
    assert!(written >= 5, "{written}");
}

#[test]
fn the_same_part_gives_the_same_bytes_and_says_what_it_cannot_show() {
    let text = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
    let [right, left] = flats(text);
    assert_eq!(flat_dxf(&right), flat_dxf(&flats(text)[0]));
    assert_eq!(
        (right.title.as_str(), left.title.as_str()),
        ("Valve lever, right hand", "Valve lever, left hand")
    );
    assert!((outline(&right).area_mm2() - outline(&left).area_mm2()).abs() < 1e-9);
    let names: Vec<&str> = right.layers.iter().map(|layer| layer.name).collect();
    assert_eq!(names, ["outline", "holes", "slits", "tapped-holes"]);
    assert!(
        right.notes.iter().any(|note| note.contains("clamp screw") && note.contains("top")),
        "{:?}",
        right.notes
    );
}
