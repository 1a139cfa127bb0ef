//! Outlines in and out: drawing-exchange files (DXF) and SVG.
//!
//! [`import`] takes the bytes of a file and gives the text of a part file, with a
//! [`Report`] of everything that was read, mended, rounded or left out. [`flat`]
//! takes a part and gives it as lines and arcs on named layers, for writing.
//! Nothing here opens a file, and nothing is guessed: a unit that the file does
//! not state is asked for, one that cannot be true is questioned.
//!
//! The way in: a reader (`dxf`, `svg`) gives strokes; `fit` turns curves
//! into lines and arcs; `join` closes them into loops; `loops` sorts those;
//! `recognise` says what they are; `part` writes that down.

mod affine;
mod asked;
mod cuts;
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

pub use asked::{Asked, Datum, Layers};
pub use flat::{Flat, FlatLayer, flat};
pub use report::{LayerRead, Mend, Report, Rounded, Taken};
pub use unit::FileUnit;

use crate::geometry::{Circle, Outline, Point};
use crate::problem::{Outcome, Problem};
use cuts::Inner;
use drawn::{Drawn, MOST_BYTES, MOST_STROKES};
use join::Edge;
use loops::{Chosen, Loop};
use part::{Subject, Written};
use recognise::HalfTurns;
use report::Spots;

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
    asked.check()?;
    let mut drawn = opened(bytes).map_err(one)?;
    let mut report = Report { layers: layers(&mut drawn, &asked.layers).map_err(one)?, ..Report::default() };
    let settled = unit::settle(&drawn.stated, asked.unit).map_err(one)?;
    let unit = asked.write_in.unwrap_or_else(|| settled.unit.of_part());
    let spots = Spots { unit };
    let (curves_mm, join_mm) = (asked.curves_within.as_mm(), asked.join_within.as_mm());
    let edges = edges(&drawn, settled.each_mm, curves_mm, &mut report).map_err(one)?;
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
    report.questions.extend(doubled(&chosen, spots));
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
            return Err(Problem::new(format!("the file has no layer `{name}`"))
                .mend(crate::document::meant(near, format!("its layers are {}", known.join(", ")))));
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
fn edges(drawn: &Drawn, each_mm: f64, curves_mm: f64, report: &mut Report) -> Result<Vec<Edge>, Problem> {
    let to_mm = affine::Affine::scaled(each_mm, each_mm);
    let mut edges = Vec::new();
    for (layer, stroke) in &drawn.strokes {
        let fitted = stroke.transformed(to_mm).fitted(curves_mm);
        if !fitted.segments.iter().all(|segment| segment.length_mm().is_finite()) {
            return Err(Problem::new("a curve works out to no number")
                .why("its control points or their weights are too far apart to reckon with")
                .mend("take it out of the file, or draw it again as lines and arcs"));
        }
        let curve = matches!(stroke, stroke::Stroke::Spline(_)) || fitted.segments.len() > 1;
        if curve {
            let worst = report.curves_mm.unwrap_or(0.0).max(fitted.worst_mm);
            report.curves_mm = Some(worst);
        }
        edges.extend(fitted.segments.into_iter().map(|segment| Edge::new(segment, *layer, curve)));
        if edges.len() > MOST_STROKES {
            return Err(Problem::new(format!("the curves come to more than {MOST_STROKES} lines and arcs"))
                .why("that is no outline of a part, and was not read further")
                .mend("allow curves to lie farther off with `--curve`, or save the part alone"));
        }
    }
    Ok(edges)
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
            ((bounds.least + bounds.most).times(0.5), cuts::inner(l, curves_mm))
        })
        .collect();
    // Places that differ by less than anybody can see are level.
    let micron = |mm: f64| (mm * 1e3).round();
    found.sort_by(|(a, _), (b, _)| {
        micron(a.x_mm).total_cmp(&micron(b.x_mm)).then(micron(a.y_mm).total_cmp(&micron(b.y_mm)))
    });
    found.into_iter().map(|(_, cut)| cut).collect()
}

/// A circle round the middle of a hole may be its thread or its counterbore.
fn doubled(chosen: &Chosen, spots: Spots) -> Vec<String> {
    let round = |found: &Loop| recognise::circle(found);
    let holes: Vec<Circle> = chosen.inner.iter().filter_map(round).collect();
    let within = chosen.islands.iter().filter_map(round).filter_map(|small| {
        let large = holes.iter().find(|hole| hole.centre.distance_mm(small.centre) <= join::SAME_END_MM)?;
        Some(format!(
            "two circles stand one in the other at {}, {:.3} and {:.3} mm across: it is read as a hole of the \
             greater; if that is a counterbore or a thread, the hole is the smaller",
            spots.spot(small.centre),
            2.0 * large.radius_mm,
            2.0 * small.radius_mm
        ))
    });
    within.collect()
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
