//! A specimen of everything a sheet can hold, on invented figures: run it and
//! look at the page.
//!
//! `cargo run -p sheets --example specimen -- FOLDER` writes `specimen.pdf`,
//! `specimen.html`, one SVG a page and one of the picture alone.

use std::f64::consts::{FRAC_PI_2, PI};
use std::path::PathBuf;
use std::{env, error::Error, fs};

use sheets::dimension::Label;
use sheets::furniture::Title;
use sheets::hatch::Lean;
use sheets::ink::{End, Fill, Line, PAGE, Path, Tag, Turn};
use sheets::picture::{Picture, Place, Side};
use sheets::sheet::{Block, Paper, Sheet, paginate};
use sheets::svg::{self, Dress};
use sheets::table::{Cell, Column, Table};
use sheets::{html, pdf};
use workshop::problem::Problem;
use workshop::why::{Figure, Why};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(env::args().nth(1).ok_or("say where to write: specimen FOLDER")?);
    fs::create_dir_all(&folder)?;
    let sheets = [cover(), setup()?];
    let pages = paginate(&sheets);
    assert!(pages.len() >= 2, "each sheet begins on a page of its own");
    for (n, ink) in pages.iter().enumerate() {
        fs::write(folder.join(format!("page-{}.svg", n + 1)), svg::write(ink, PAGE, Dress::Alone))?;
    }
    let placed = lever().fit(172.0, 110.0)?;
    fs::write(folder.join("picture.svg"), svg::write(&placed.ink, placed.view(), Dress::Alone))?;
    fs::write(folder.join("specimen.pdf"), pdf::write("Specimen sheets", &pages)?)?;
    fs::write(folder.join("specimen.html"), html::document("Specimen sheets", &sheets))?;
    Ok(())
}

fn title() -> Title {
    Title {
        project: "Kittiwake launch engine".into(),
        part: "Valve lever".into(),
        hand: "right hand".into(),
        material: "mild steel flat, 25 × 12".into(),
    }
}

fn cover() -> Sheet {
    let mut changed = Table::new(vec![
        Column::words("What"),
        Column::figures("Drawing"),
        Column::figures("Exactly"),
        Column::figures("Made"),
        Column::figures("Moved"),
        Column::words("Why"),
    ]);
    for (what, drawing, exactly, made, moved, why) in [
        ("pivot bore", "5/16″", "7.938", "8.00 H7", "+0.063", "the nearest reamer on the bench"),
        (
            "valve pin bore",
            "3/16″",
            "4.763",
            "5.00 H7",
            "+0.238",
            "suits the 5 mm silver steel pin; walls stay above 2 mm",
        ),
        ("centres", "1 3/8″", "34.925", "34.925", "0", "held: the valve travel depends on it"),
        ("clamp screw", "5 BA", "3.200", "M3", "−0.200", "tap owned; 70 % of full thread"),
    ] {
        changed.row(vec![
            Cell::words(what).strong(),
            Cell::words(drawing),
            Cell::words(exactly),
            Cell::words(made).strong().tagged(Tag::new(what, why)),
            Cell::words(moved),
            Cell::words(why),
        ]);
    }
    Sheet {
        ring: None,
        heading: "Valve lever, right hand: before you start".into(),
        title: title(),
        paper: Paper::Own,
        blocks: vec![
            Block::Words(
                "Two off, one of each hand, stuck together until the bosses are round. Everything \
                 is measured from the long edge and from the middle of the pivot bore."
                    .into(),
            ),
            Block::Heading("To have ready".into()),
            Block::Ticks(vec![
                "mild steel flat 25 × 12, two pieces 65 long".into(),
                "drills 2.5, 3.0, 4.8, 7.8; reamers 5 H7 and 8 H7".into(),
                "end mill 10 mm, four teeth, 22 mm of flute".into(),
                "rotary table with its 8 mm stub mandrel".into(),
            ]),
            Block::Heading("What differs from the drawing".into()),
            Block::Table(changed),
        ],
    }
}

fn setup() -> Result<Sheet, Problem> {
    let mut rows = Table::new(vec![
        Column::keys("No."),
        Column::words("Do"),
        Column::words("Tool"),
        Column::dial("rev/min"),
        Column::dial("X"),
        Column::dial("Y"),
        Column::dial("Z"),
        Column::words("Check"),
    ]);
    let because =
        Why::new("measured from the pivot bore, never from the last hole").source("common practice");
    for (n, (what, tool, speed, x, y, z, check)) in [
        ("spot and drill", "drill 7.8", "1250", "0.000", "0.000", "−14.0", "breaks through clean"),
        ("ream", "reamer 8\u{a0}H7", "400", "0.000", "0.000", "−14.0", "8 H7 plug goes"),
        ("spot and drill", "drill 4.8", "2000", "34.925", "0.000", "−14.0", ""),
        (
            "ream",
            "reamer 5\u{a0}H7",
            "640",
            "34.925",
            "0.000",
            "−14.0",
            "5 H7 plug goes; centres 34.925\u{a0}±\u{a0}0.02 over pins",
        ),
        (
            "drill the oil hole, tapping size",
            "drill 2.5",
            "2500",
            "11.110",
            "6.350",
            "−8.0",
            "depth by the stop",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let figure = |axis: &str, shown: &str, why: &Why| {
            Cell::figure(&Figure::new(format!("setup 1/{}/{axis}", n + 1), shown, why.clone()))
        };
        rows.row(vec![
            Cell::key((n + 1).to_string()),
            Cell::words(what),
            Cell::words(tool),
            figure("speed", speed, &Why::assumed("supposed: 25 m/min for mild steel")),
            figure("x", x, &because),
            figure("y", y, &because),
            figure("z", z, &because),
            Cell::words(check),
        ]);
    }
    Ok(Sheet {
        ring: Some("1".into()),
        heading: "Bores, in the vice".into(),
        title: title(),
        paper: Paper::Own,
        blocks: vec![
            Block::Words("Long edge against the fixed jaw, on parallels, 4 mm proud of the jaws.".into()),
            Block::Picture { placed: lever().fit(172.0, 118.0)?, caption: "from above".into() },
            Block::Table(rows),
            Block::Cautions(vec![
                "The reamer follows the hole: do not move the table between drilling and reaming.".into(),
                "Clear the swarf with a brush and the spindle stopped, never with a finger.".into(),
            ]),
        ],
    })
}

/// An invented lever: two bosses joined by flanks tangent to both, lying in a vice.
fn lever() -> Picture {
    let (pivot, pin) = (Place::mm(0.0, 0.0), Place::mm(34.925, 0.0));
    let (large_mm, small_mm) = (10.0, 6.5);
    // A flank touches both bosses where the radius leans by this much past upright.
    let lean_rad = ((large_mm - small_mm) / (pin.x_mm - pivot.x_mm)).acos();
    let upper = (pivot.polar(large_mm, lean_rad), pin.polar(small_mm, lean_rad));
    let lower = (pivot.polar(large_mm, -lean_rad), pin.polar(small_mm, -lean_rad));
    let outline = Path::from(upper.0)
        .arc(pivot, lower.0, Turn::Anticlockwise)
        .to(lower.1)
        .arc(pin, upper.1, Turn::Anticlockwise)
        .ending(End::Closed);

    let mut picture = Picture::new();
    let (left, foot, right, head) = (-14.0, -12.5, 46.0, 12.5);
    picture.rectangle(Place::mm(left, foot), Place::mm(right, head), Some(Line::Phantom), Fill::None);
    let jaw = sheets::picture::rectangle(Place::mm(left + 3.0, foot - 7.0), Place::mm(right - 3.0, foot));
    picture.hatch(vec![jaw.clone()], Lean::Left).path(jaw, Some(Line::Phantom), Fill::None);
    picture.path(outline, Some(Line::Visible), Fill::Tint);
    for (n, (at, radius_mm, line)) in
        [(pivot, 4.0, Line::Worked), (pin, 2.5, Line::Worked), (Place::mm(11.11, 6.35), 1.25, Line::Visible)]
            .into_iter()
            .enumerate()
    {
        picture
            .circle(at, radius_mm, Some(line), Fill::Paper)
            .named(Tag::new(format!("hole {}", n + 1), "bored in this setup"))
            .centre_mark(at, radius_mm);
    }
    for x_mm in [-5.0, 5.0] {
        picture.line(Line::Hidden, Place::mm(x_mm, -9.0), Place::mm(x_mm, -4.5));
    }
    let label = |words: &str| Label::new(words).tagged(Tag::new(words, "as the drawing has it"));
    picture
        .dimension(pivot, pin, Side::Above, label("34.925"))
        .dimension(pivot, Place::mm(11.11, 6.35), Side::Above, label("11.11"))
        .dimension(pivot, Place::mm(11.11, 6.35), Side::Left, label("6.35"))
        .dimension(Place::mm(left, foot), Place::mm(right, foot), Side::Below, label("60"))
        .dimension(Place::mm(right, foot), Place::mm(right, head), Side::Right, label("25"))
        .dimension_aligned(upper.0, upper.1, pivot, label("34.75"))
        .radial(pivot, large_mm, 0.8 * PI, label("R10"))
        .radial(pin, small_mm, -0.25 * PI, label("R6.5"))
        .radial(pin, 2.5, 0.2, label("Ø5 H7"))
        .angle(pivot, lean_rad - FRAC_PI_2, 0.0, label("5.75°"))
        .datum(Place::mm(4.0, foot - 7.0), -FRAC_PI_2, "A")
        .axes(pivot, 0.0, FRAC_PI_2)
        .words(Place::mm(30.0, foot - 4.5), "fixed jaw")
        .balloon_round(pivot, 4.0, "1", None)
        .balloon_round(pivot, 4.0, "2", None)
        .balloon_round(pin, 2.5, "3", None)
        .balloon_round(pin, 2.5, "4", None)
        .balloon_round(Place::mm(11.11, 6.35), 1.25, "5", None);
    picture
}
