//! Files that are broken, hostile or no such files at all: refused with a reason,
//! never a panic, never without end.

use proptest::prelude::*;
use workshop::exchange::{Asked, import};

use crate::{all, circle, dxf, dxf_of, line, plate, refused};

fn usual() -> Asked {
    Asked { thickness: Some("3 mm".into()), ..Asked::usual("Plate") }
}

/// A file that has one of everything that is read.
fn one_of_each() -> String {
    let mut entities = plate().to_vec();
    entities.extend([
        line(1.0, 1.0, 2.0, 2.0),
        "0 ARC; 8 0; 10 5; 20 5; 40 2; 50 0; 51 90".into(),
        "0 ELLIPSE; 8 0; 10 5; 20 5; 11 2; 21 0; 40 0.5; 41 0; 42 6.28".into(),
        "0 SPLINE; 8 0; 71 2; 40 0; 40 0; 40 0; 40 1; 40 1; 40 1; 10 1; 20 1; 10 2; 20 4; 10 5; 20 1".into(),
        "0 POLYLINE; 8 0; 70 1; 0 VERTEX; 10 1; 20 2; 0 VERTEX; 10 3; 20 4; 42 0.5; 0 SEQEND".into(),
        "0 INSERT; 8 0; 2 B; 10 3; 20 3; 41 2; 50 30".into(),
    ]);
    dxf_of(4, "0 BLOCK; 2 B; 10 0; 20 0; 0 CIRCLE; 8 0; 10 0; 20 0; 40 1; 0 ENDBLK;", &all(&entities))
}

const SVG: &str = "<svg width=\"100mm\" height=\"60mm\" viewBox=\"0 0 100 60\"><defs><rect id=\"r\" width=\"5\" \
    height=\"5\"/></defs><g transform=\"translate(3 4) rotate(30) scale(2 -1) skewX(5)\"><path d=\"M1 2C3 4 5 6 7 8S9 \
    10 11 12Q1 2 3 4T5 6A5 3 20 0 1 9 9H3V4L1 1z\"/></g><use href=\"#r\" x=\"3\"/><ellipse cx=\"4\" cy=\"4\" rx=\"3\" \
    ry=\"2\"/><polygon points=\"1,2 3,4 5,1\"/></svg>";

#[test]
fn what_is_no_outline_is_refused_with_a_reason() {
    let plate = plate();
    for (text, said) in [
        ("".to_owned(), "the file is empty"),
        ("  \n \n".to_owned(), "the file is empty"),
        ("part = \"Lever\"\n".to_owned(), "neither a DXF nor an SVG file"),
        ("0\nEOF\n".to_owned(), "not a DXF file"),
        ("\0\x01binary".to_owned(), "not text"),
        (dxf(&[]), "draws nothing closed"),
        (dxf(&all(&plate)).replace("0\nEOF\n", ""), "breaks off before its end"),
        (dxf(&all(&plate)).replacen("0\nENDSEC\n", "", 1), "has no end"),
        (dxf(&all(&plate)).replace("\n40\n2.5\n", "\n40\n2.5x\n"), "cannot read `2.5x` as a number"),
        (dxf(&all(&plate)).replace("\n40\n2.5\n", "\n40\n-2.5\n"), "not more than nought"),
        (dxf(&all(&plate)).replace("\n40\n2.5\n", "\n41\n2.5\n"), "no value of group 40"),
        (dxf(&all(&plate)).replace("\n40\n2.5\n", "\n40\n1e300\n"), "too far off"),
        (dxf(&all(&plate)).replace("\n40\n2.5\n", "\n40\nnan\n"), "cannot read `nan`"),
        (dxf(&["0 INSERT; 8 0; 2 GONE; 10 0; 20 0"]), "there is no block `GONE`"),
        (dxf(&[&plate[0], &circle(1.0, 5.0, 3.0)]), "cross or touch"),
        (dxf(&["0 LWPOLYLINE; 8 0; 70 1; 10 0; 20 0; 10 9; 20 9; 10 9; 20 0; 10 0; 20 9"]), "cross"),
        ("<html></html>".to_owned(), "not an SVG file"),
        ("<svg width=\"9mm\"><rect".to_owned(), "cannot read the SVG file"),
        ("<svg width=\"9 parsecs\"/>".to_owned(), "cannot read `width`"),
        ("<svg width=\"9mm\"><path d=\"M0 0 L 3 q\"/></svg>".to_owned(), "cannot read a path"),
        ("<svg width=\"9mm\"><use href=\"#gone\"/></svg>".to_owned(), "nothing has the id `gone`"),
        ("<svg width=\"9mm\"><g transform=\"spin(3)\"/></svg>".to_owned(), "cannot read the transform"),
    ] {
        let refusal = refused("bad", &text, &usual());
        assert!(refusal.contains(said), "{said}: {refusal}");
    }
}

#[test]
fn files_made_to_take_for_ever_are_refused_at_once() {
    // Ten blocks, each holding the next ten times.
    let blocks: String = (0..10)
        .map(|n| {
            let inner = format!("0 INSERT; 8 0; 2 B{}; 10 0; 20 0;", n + 1).repeat(10);
            format!("0 BLOCK; 2 B{n}; 10 0; 20 0; {inner} 0 ENDBLK;")
        })
        .chain(["0 BLOCK; 2 B10; 10 0; 20 0; 0 ENDBLK;".to_owned()])
        .collect();
    let bomb = dxf_of(4, &blocks, &["0 INSERT; 8 0; 2 B0; 10 0; 20 0"]);
    assert!(refused("bomb.dxf", &bomb, &usual()).contains("repeats itself without end"));
    let itself = dxf_of(4, "0 BLOCK; 2 A; 0 INSERT; 8 0; 2 A; 0 ENDBLK;", &["0 INSERT; 8 0; 2 A"]);
    assert!(refused("itself.dxf", &itself, &usual()).contains("stands in itself"));
    let rows = dxf_of(4, "0 BLOCK; 2 A; 0 ENDBLK;", &["0 INSERT; 8 0; 2 A; 70 30000; 71 30000"]);
    assert!(refused("rows.dxf", &rows, &usual()).contains("is repeated"));
    let deep = format!("<svg width=\"9mm\">{}{}</svg>", "<g>".repeat(100_000), "</g>".repeat(100_000));
    assert!(refused("deep.svg", &deep, &usual()).contains("too deep"));
    let knot =
        "<svg width=\"9mm\"><g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g></svg>";
    assert!(refused("knot.svg", knot, &usual()).contains("stands in itself"));
    let laughs = "<!DOCTYPE svg [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c \
                  \"&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;\"><!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;\"><!ENTITY e \
                  \"&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;\">]><svg width=\"9mm\"><text>&e;&e;&e;&e;</text></svg>";
    assert!(refused("laughs.svg", laughs, &usual()).contains("cannot read the SVG file"));
    let many: Vec<String> = (0..10_001).map(|n| line(f64::from(n), 0.0, f64::from(n), 1.0)).collect();
    assert!(refused("many.dxf", &dxf(&all(&many)), &usual()).contains("more than 10000"));
    let wide = vec![line(0.0, 0.0, 9.0, 9.0); 3000];
    assert!(refused("wide.dxf", &dxf(&all(&wide)), &usual()).contains("nothing meets it"));
    // Six hundred ends in one place, none of them at one point.
    let brush: Vec<String> = (0..600)
        .map(|n| (f64::from(n % 25) * 5e-4, f64::from(n / 25) * 5e-4))
        .map(|(x, y)| line(x, y, 50.0 + 400.0 * x, 30.0 + 900.0 * y))
        .collect();
    assert!(refused("brush.dxf", &dxf(&all(&brush)), &usual()).contains("nothing meets it"));
    let mut far = String::from("0 SPLINE; 8 0; 71 2; 40 0; 40 0; 40 0; 40 1; 40 1; 40 1");
    for (weight, x) in [("1e308", 1), ("1e-308", 2), ("1e308", 3)] {
        far.push_str(&format!("; 41 {weight}; 10 {x}; 20 {}", x * x));
    }
    assert!(refused("far.dxf", &dxf(&[&far]), &usual()).contains("works out to no number"));
    let rings: Vec<String> =
        (0..2001).map(|n| circle(f64::from(n % 50) * 3.0, f64::from(n / 50) * 3.0, 1.0)).collect();
    assert!(refused("rings.dxf", &dxf(&all(&rings)), &usual()).contains("2001 closed loops"));
    let facets: String = (0..1500)
        .map(|n| f64::from(n) / 1500.0 * std::f64::consts::TAU)
        .map(|rad| format!("; 10 {}; 20 {}", 90.0 * rad.cos(), 70.0 * rad.sin()))
        .collect();
    let facets = format!("0 LWPOLYLINE; 8 0; 70 1{facets}");
    assert!(refused("facets.dxf", &dxf(&[&facets]), &usual()).contains("1500 lines and arcs"));
    let long = vec![b' '; 20_000_001];
    assert!(import("long", &long, &usual()).unwrap_err()[0].what().contains("20 MB long"));
}

#[test]
fn what_is_asked_must_be_possible() {
    let good = dxf(&all(&plate()));
    for (asked, said) in [
        (Asked { thickness: Some("3".into()), ..usual() }, "`3` has no unit"),
        (Asked { thickness: Some("thick".into()), ..usual() }, "cannot read `thick`"),
        (Asked { curves_within: workshop::measure::Length::ZERO, ..usual() }, "is no use"),
        (Asked { name: " ".into(), ..usual() }, "has no name"),
    ] {
        let refusal = refused("good.dxf", &good, &asked);
        assert!(refusal.contains(said), "{said}: {refusal}");
    }
    let open = workshop::exchange::Asked { thickness: None, ..usual() };
    let read = crate::read("good.dxf", &good, &open);
    assert!(read.report.questions[0].contains("how thick"), "{:?}", read.report.questions);
    assert!(read.text.contains("# thickness"), "{}", read.text);
}

/// Bytes of a good file, spoiled: cut off, doubled, or with others put in.
fn spoiled(good: &'static str) -> impl Strategy<Value = Vec<u8>> {
    let bytes = good.as_bytes().to_vec();
    let most = bytes.len();
    let pieces = prop_oneof!["[0-9]{1,12}", "[-+.eE0-9]{1,6}", "[A-Z]{1,9}", "\\PC{0,9}", "[<>/\"= \n]{1,5}"];
    prop::collection::vec((0..most, 0..12_usize, pieces), 1..6).prop_map(move |cuts| {
        let mut bytes = bytes.clone();
        for (at, gone, put) in cuts {
            let at = at.min(bytes.len());
            let end = (at + gone).min(bytes.len());
            bytes.splice(at..end, put.into_bytes());
        }
        bytes
    })
}

/// An answer, or problems that each say how to mend them.
fn answers(bytes: &[u8]) {
    for asked in [usual(), Asked { unit: Some(workshop::exchange::FileUnit::Inch), ..usual() }] {
        if let Err(faults) = import("any", bytes, &asked) {
            assert!(!faults.is_empty());
            for fault in faults {
                assert!(fault.remedy().is_some(), "{fault}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn a_spoiled_dxf_file_is_read_or_refused(bytes in spoiled(Box::leak(one_of_each().into_boxed_str()))) {
        answers(&bytes);
    }

    #[test]
    fn a_spoiled_svg_file_is_read_or_refused(bytes in spoiled(SVG)) {
        answers(&bytes);
    }

    #[test]
    fn a_file_that_breaks_off_anywhere_is_refused(at in any::<prop::sample::Index>()) {
        for good in [one_of_each(), SVG.to_owned()] {
            let cut = &good.as_bytes()[..at.index(good.len() - 8)];
            prop_assert!(import("cut", cut, &usual()).is_err());
        }
    }

    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        answers(&bytes);
    }
}
