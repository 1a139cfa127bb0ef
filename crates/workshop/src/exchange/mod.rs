//! Outlines in and out: drawing-exchange files (DXF) and SVG.
//!
//! [`import`] takes the bytes of a file and gives the text of a part file, with a
//! [`Report`] of everything that was read, mended, rounded or left out. [`flat`]
//! takes a part and gives it as lines and arcs on named layers, for writing.
//! Nothing here opens a file, and nothing is guessed: a unit that the file does
//! not state is asked for, one that cannot be true is questioned.
//!
//! The way in: a reader ([`dxf`], [`svg`]) gives strokes; [`fit`] turns curves
//! into lines and arcs; [`join`] closes them into loops; [`loops`] sorts those;
//! [`recognise`] says what they are; [`part`] writes that down.

mod affine;
mod drawn;
mod dxf;
mod fit;
mod flat;
mod join;
mod loops;
mod names;
mod part;
mod patterns;
mod read_back;
mod recognise;
mod report;
mod spline;
mod stroke;
mod svg;
mod unit;
mod words;

pub use flat::{Flat, FlatLayer, flat};
pub use report::{LayerRead, Mend, Report, Rounded, Taken};
pub use unit::FileUnit;

use crate::geometry::{Circle, Outline, Point};
use crate::measure::{Length, Unit};
use crate::problem::{Outcome, Problem};
use crate::tables::read_size;
use drawn::{Drawn, MOST_BYTES};
use join::Edge;
use loops::{Chosen, Loop};
use part::{Subject, Written};
use recognise::{HalfTurns, Inner};
use report::Spots;

/// How an outline is to be read.
#[derive(Clone, Debug)]
pub struct Asked {
    /// What the part is called.
    pub name: String,
    /// The unit of the file's numbers, where the person says it.
    pub unit: Option<FileUnit>,
    /// The unit the part file is to be written in; that of the file where none is said.
    pub write_in: Option<Unit>,
    /// Which layers count.
    pub layers: Layers,
    /// Which of several outlines is meant, counted from one, the largest first.
    pub outline: Option<usize>,
    /// How thick the part is, with its unit: `1/4 in`.
    pub thickness: Option<String>,
    /// Where places are measured from.
    pub datum: Datum,
    /// How far lines and arcs may lie from the curves they stand for.
    pub curves_within: Length,
    /// How far apart two ends may lie and still be joined.
    pub join_within: Length,
}

impl Asked {
    /// Reads as most files want: every layer that the file shows, curves within
    /// 0.01 mm, ends joined within 0.02 mm, places from the bottom left.
    pub fn usual(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            unit: None,
            write_in: None,
            layers: Layers::Shown,
            outline: None,
            thickness: None,
            datum: Datum::BottomLeft,
            curves_within: Length::mm_ratio(1, 100),
            join_within: Length::mm_ratio(2, 100),
        }
    }
}

/// Which layers of a file count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Layers {
    /// Every one that the file shows.
    Shown,
    /// These alone, shown or not.
    Only(Vec<String>),
    /// Every one that the file shows but these.
    Without(Vec<String>),
}

/// Where the places of an imported part are measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datum {
    /// The left and bottom of the outline.
    BottomLeft,
    /// The right and bottom.
    BottomRight,
    /// The left and top.
    TopLeft,
    /// The right and top.
    TopRight,
    /// The middle of the outline.
    Centre,
    /// The origin of the file.
    Origin,
    /// The centre of a hole, counted from one, left to right.
    Hole(usize),
}

impl Datum {
    /// The datum that some words name: `bottom left`, `centre`, `origin`, `hole 2`.
    ///
    /// # Errors
    ///
    /// A [`Problem`] that lists the words.
    pub fn read(text: &str) -> Result<Self, Problem> {
        let bare = text.trim().to_lowercase().replace('-', " ");
        Ok(match bare.as_str() {
            "bottom left" => Self::BottomLeft,
            "bottom right" => Self::BottomRight,
            "top left" => Self::TopLeft,
            "top right" => Self::TopRight,
            "centre" | "middle" => Self::Centre,
            "origin" => Self::Origin,
            hole => match hole.strip_prefix("hole").map(|number| number.trim().parse()) {
                Some(Ok(number)) => Self::Hole(number),
                _ => {
                    return Err(Problem::new(format!("`{text}` is not a datum")).mend(
                        "it may be `bottom left`, `bottom right`, `top left`, `top right`, `centre`, `origin` or `hole 1`",
                    ));
                }
            },
        })
    }
}

/// An outline that was read.
#[derive(Clone, Debug)]
pub struct Imported {
    /// The text of the part file.
    pub text: String,
    /// Everything that is told of it.
    pub report: Report,
    /// The outside, in millimetres from the datum, anticlockwise.
    pub outline: Outline,
    /// The round holes, from the datum, left to right.
    pub holes: Vec<Circle>,
}

/// Reads the outline in a DXF or an SVG file; `file` is its name, for what is told.
///
/// # Errors
///
/// Every fault found: bytes that are no such file, a unit that nobody states, ends
/// that nothing meets, loops that cross, several outlines when none is chosen.
pub fn import(file: &str, bytes: &[u8], asked: &Asked) -> Outcome<Imported> {
    read(file, bytes, asked).map_err(|faults| faults.into_iter().map(|fault| fault.at(file)).collect())
}

fn read(file: &str, bytes: &[u8], asked: &Asked) -> Outcome<Imported> {
    let one = |fault: Problem| vec![fault];
    check(asked)?;
    let mut drawn = opened(bytes).map_err(one)?;
    let mut report = Report { layers: layers(&mut drawn, &asked.layers).map_err(one)?, ..Report::default() };
    let settled = unit::settle(&drawn.stated, asked.unit).map_err(one)?;
    let unit = asked.write_in.unwrap_or_else(|| settled.unit.of_part());
    let spots = Spots { unit };
    let (curves_mm, join_mm) = (asked.curves_within.as_mm(), asked.join_within.as_mm());
    let edges = edges(&drawn, settled.each_mm, curves_mm, &mut report);
    let names: Vec<String> = drawn.layers.iter().map(|layer| layer.name.clone()).collect();
    let joined = join::join(edges, join_mm, &names, spots)?;
    let chosen = chosen(joined.loops, asked, curves_mm, spots)?;
    let mut loops = std::iter::once(&chosen.outer).chain(&chosen.inner);
    if let Some(worst) = &mut report.curves_mm {
        *worst += loops.by_ref().map(|l| l.off_mm).fold(0.0, f64::max);
    }
    let inner = inner(&chosen, curves_mm);
    let outside = recognise::outer(&chosen.outer, curves_mm, HalfTurns::Whole);
    let (rings, alone) = patterns::rings(&outside, inner.clone(), unit);
    let bounds = chosen.outer.outline.bounds();
    report.questions.extend(unit::doubt(&settled, &sizes(&chosen, &inner, settled.each_mm)));
    if asked.thickness.is_none() {
        report.questions.push("how thick is it? the file does not say; add `thickness` to `[body]`".into());
    }
    if inner.is_empty() {
        report.questions.push("nothing is cut in it: a part needs a hole or some other feature".into());
    }
    let subject = |half_turns| Subject {
        name: &asked.name,
        file,
        unit,
        thickness: asked.thickness.as_deref(),
        outer: recognise::outer(&chosen.outer, curves_mm, half_turns),
        inner: &alone,
        rings: &rings,
        bounds,
        datum: asked.datum,
        questions: &report.questions,
    };
    let gap_mm = joined.mends.iter().map(|mend| mend.by_mm).filter(|by| *by <= join_mm).fold(0.0, f64::max);
    let (written, read_back_mm) = read_back::best(&chosen.outer.outline, gap_mm, |places, half_turns| {
        part::write(&subject(half_turns), places)
    })
    .map_err(one)?;
    report.mends = joined.mends;
    told(&mut report, &written, &settled.how, &drawn, &chosen, &inner, spots);
    report.read_back_mm = read_back_mm;
    read_back::told(&mut report, asked);
    let back = written.origin.times(-1.0);
    let holes = inner.iter().filter_map(|cut| match cut {
        Inner::Hole(circle) => Some(Circle { centre: circle.centre + back, ..*circle }),
        _ => None,
    });
    Ok(Imported {
        outline: chosen.outer.outline.translated(back),
        holes: holes.collect(),
        text: written.text,
        report,
    })
}

/// What was asked for must be possible.
fn check(asked: &Asked) -> Outcome<()> {
    let mut faults = Vec::new();
    for (name, length) in [("curves", asked.curves_within), ("joining", asked.join_within)] {
        if length < Length::mm_ratio(1, 10_000) || length > Length::mm(5) {
            faults.push(
                Problem::new(format!("{length} is no use as the distance allowed in {name}"))
                    .why("less than 0.0001 mm is lost in the last digits of a file, and more than 5 mm is no part")
                    .mend("leave it out for the usual one, or give such as `0.05 mm`"),
            );
        }
    }
    if let Some(text) = &asked.thickness {
        match read_size(text, None) {
            Ok(size) if size.length.is_positive() => {}
            Ok(_) => faults.push(
                Problem::new(format!("`{text}` is no thickness"))
                    .mend("write it as on the drawing: `1/4 in`"),
            ),
            Err(fault) => faults.push(fault.at("thickness")),
        }
    }
    if asked.name.trim().is_empty() {
        faults.push(Problem::new("the part has no name").mend("say what it is called with `--name`"));
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// Reads a file by what it holds: SVG begins with a bracket, DXF with a number.
fn opened(bytes: &[u8]) -> Result<Drawn, Problem> {
    if bytes.len() > MOST_BYTES {
        return Err(Problem::new(format!("the file is {} MB long", bytes.len() / 1_000_000))
            .why(format!("{} MB is the most that is read", MOST_BYTES / 1_000_000))
            .mend("save the part alone, without what it stands in"));
    }
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match text.iter().find(|byte| !byte.is_ascii_whitespace()) {
        None => Err(Problem::new("the file is empty").mend("name a DXF or an SVG file")),
        Some(b'<') => svg::read(text),
        Some(_) => dxf::read(text),
    }
}

/// Takes out the strokes on layers that do not count; says what became of each.
fn layers(drawn: &mut Drawn, asked: &Layers) -> Result<Vec<LayerRead>, Problem> {
    let named = match asked {
        Layers::Shown => &[][..],
        Layers::Only(names) | Layers::Without(names) => names.as_slice(),
    };
    let is = |layer: &str, name: &String| layer.eq_ignore_ascii_case(name.trim());
    for name in named {
        if !drawn.layers.iter().any(|layer| is(&layer.name, name)) {
            let known: Vec<&str> = drawn.layers.iter().map(|layer| layer.name.as_str()).collect();
            let near = crate::document::nearest_word(name, known.iter().copied());
            return Err(Problem::new(format!("the file has no layer `{name}`")).mend(match near {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("its layers are {}", known.join(", ")),
            }));
        }
    }
    let read: Vec<LayerRead> = drawn
        .layers
        .iter()
        .enumerate()
        .map(|(index, layer)| {
            let listed = named.iter().any(|name| is(&layer.name, name));
            let taken = match asked {
                Layers::Only(_) if listed => Taken::Yes,
                Layers::Only(_) => Taken::NotAsked,
                Layers::Without(_) if listed => Taken::LeftOut,
                _ if !layer.shown => Taken::NotShown,
                _ => Taken::Yes,
            };
            let strokes = drawn.strokes.iter().filter(|(on, _)| *on == index).count();
            LayerRead { name: layer.name.clone(), strokes, taken }
        })
        .collect();
    drawn.strokes.retain(|(on, _)| read[*on].taken == Taken::Yes);
    Ok(read.into_iter().filter(|layer| layer.strokes > 0).collect())
}

/// Every stroke as lines and arcs, in millimetres.
fn edges(drawn: &Drawn, each_mm: f64, curves_mm: f64, report: &mut Report) -> Vec<Edge> {
    let to_mm = affine::Affine::scaled(each_mm, each_mm);
    let mut edges = Vec::new();
    for (layer, stroke) in &drawn.strokes {
        let fitted = stroke.transformed(to_mm).fitted(curves_mm);
        let curve = matches!(stroke, stroke::Stroke::Spline(_)) || fitted.segments.len() > 1;
        if curve {
            let worst = report.curves_mm.unwrap_or(0.0).max(fitted.worst_mm);
            report.curves_mm = Some(worst);
        }
        edges.extend(fitted.segments.into_iter().map(|segment| Edge::new(segment, *layer, curve)));
    }
    edges
}

fn chosen(loops: Vec<Vec<Edge>>, asked: &Asked, curves_mm: f64, spots: Spots) -> Outcome<Chosen> {
    let (mut sound, mut faults) = (Vec::new(), Vec::new());
    for edges in loops {
        match loops::sound(edges, curves_mm, spots) {
            Ok(found) => sound.push(found),
            Err(fault) => faults.push(fault),
        }
    }
    if !faults.is_empty() {
        faults.truncate(20);
        return Err(faults);
    }
    loops::choose(sound, asked.outline, spots)
}

/// What is cut out, left to right, then bottom to top.
fn inner(chosen: &Chosen, curves_mm: f64) -> Vec<Inner> {
    let mut found: Vec<(Point, Inner)> = chosen
        .inner
        .iter()
        .map(|l: &Loop| {
            let bounds = l.outline.bounds();
            ((bounds.least + bounds.most).times(0.5), recognise::inner(l, curves_mm))
        })
        .collect();
    // Places that differ by less than anybody can see are level.
    let micron = |mm: f64| (mm * 1e3).round();
    found.sort_by(|(a, _), (b, _)| {
        micron(a.x_mm).total_cmp(&micron(b.x_mm)).then(micron(a.y_mm).total_cmp(&micron(b.y_mm)))
    });
    found.into_iter().map(|(_, cut)| cut).collect()
}

/// The sizes and places that tell one unit from another, in those of the file.
fn sizes(chosen: &Chosen, inner: &[Inner], each_mm: f64) -> Vec<f64> {
    let bounds = chosen.outer.outline.bounds();
    let (width, height) = (bounds.width_mm(), bounds.height_mm());
    let mut sizes = vec![width.max(height), width.min(height)];
    for cut in inner {
        if let Inner::Hole(circle) = cut {
            let from = circle.centre - bounds.least;
            sizes.extend([2.0 * circle.radius_mm, from.x_mm, from.y_mm]);
        }
    }
    sizes.iter().map(|mm| mm / each_mm).collect()
}

/// Puts what was found into words.
fn told(
    report: &mut Report,
    written: &Written,
    unit: &str,
    drawn: &Drawn,
    chosen: &Chosen,
    inner: &[Inner],
    spots: Spots,
) {
    let outline = &chosen.outer.outline;
    let bounds = outline.bounds();
    report.read.push(format!("unit: {unit}"));
    report.read.push(format!(
        "size: {:.3} by {:.3} mm; {:.3} mm round, {:.3} mm² within the outline",
        bounds.width_mm(),
        bounds.height_mm(),
        outline.length_mm(),
        outline.area_mm2()
    ));
    report.read.push(format!("datum: {}, at {} in the file", written.datum, spots.spot(written.origin)));
    if let Some(worst) = report.curves_mm {
        report.read.push(format!("curves: lines and arcs that lie within {worst:.4} mm of them"));
    }
    report.found.clone_from(&written.found);
    report.rounded.clone_from(&written.rounded);
    report.rounded.sort_by(|a, b| b.moved_mm.abs().total_cmp(&a.moved_mm.abs()));
    report.mended = report
        .mends
        .iter()
        .map(|mend| format!("{} at {}: {:.4} mm", mend.what, spots.spot(mend.at), mend.by_mm))
        .collect();
    for cut in inner {
        if let Inner::Other { middle, why } = cut {
            report.not_carried.push(format!("an opening round {}: {why}", spots.spot(*middle)));
        }
    }
    for island in &chosen.islands {
        let at = island.outline.bounds().least;
        report.not_carried.push(format!("a loop within an opening, from {}", spots.spot(at)));
    }
    for (what, count) in &drawn.not_read {
        report.not_carried.push(match count {
            1 => format!("1 {what}"),
            count => format!("{count} of: {what}"),
        });
    }
}
