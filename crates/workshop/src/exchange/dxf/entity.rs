//! The things drawn, each as strokes.

use std::f64::consts::TAU;

use super::Blocks;
use super::record::Record;
use crate::exchange::affine::Affine;
use crate::exchange::drawn::Drawn;
use crate::exchange::spline::{MOST_DEGREE, Spline};
use crate::exchange::stroke::{Round, Stroke};
use crate::geometry::{Line, Point};
use crate::problem::Problem;

/// Where the things of a block stand.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    /// From the axes of the block to those of the sheet.
    pub to_sheet: Affine,
    /// The layer that things on layer `0` take: that of the block's insertion.
    pub layer: Option<usize>,
    /// How many blocks stand around this one.
    pub depth: usize,
}

/// The layer that takes on the layer of what it stands in.
const NO_LAYER: &str = "0";
/// The most rows and columns of one insertion that are read.
const MOST_REPEATS: f64 = 1000.0;

/// Reads every thing of a list, those after a polyline or an insertion that belong
/// to it among them.
pub(super) fn all(
    records: &[Record<'_>],
    frame: Frame,
    blocks: &Blocks<'_>,
    drawn: &mut Drawn,
) -> Result<(), Problem> {
    let mut rest = records;
    while let Some((record, after)) = rest.split_first() {
        let following = after.iter().take_while(|next| matches!(next.kind, "VERTEX" | "ATTRIB")).count();
        one(record, &after[..following], frame, blocks, drawn)?;
        rest = &after[following..];
    }
    Ok(())
}

fn one(
    record: &Record<'_>,
    following: &[Record<'_>],
    frame: Frame,
    blocks: &Blocks<'_>,
    drawn: &mut Drawn,
) -> Result<(), Problem> {
    if matches!(record.kind, "SEQEND" | "VERTEX" | "ATTRIB") {
        return Ok(());
    }
    if record.flags(67)? == 1 {
        drawn.skip("thing on a printed layout");
        return Ok(());
    }
    if record.flags(60)? == 1 {
        drawn.skip("hidden thing");
        return Ok(());
    }
    let layer = match (record.text(8).unwrap_or(NO_LAYER), frame.layer) {
        (NO_LAYER, Some(around)) => around,
        (name, _) => drawn.layer(name),
    };
    let Some(facing) = facing(record)? else {
        drawn.skip(format!("{} turned out of the sheet", word(record.kind)));
        return Ok(());
    };
    let strokes = match record.kind {
        "LINE" => line(record)?,
        "ARC" => vec![arc(record)?.transformed(facing)],
        "CIRCLE" => {
            let (centre, radius) = round(record)?;
            vec![Stroke::arc(centre, radius, 0.0, TAU).transformed(facing)]
        }
        "ELLIPSE" => vec![ellipse(record, facing)?],
        "LWPOLYLINE" => turned(polyline(&light(record)?, closed(record)?), facing),
        "POLYLINE" => match heavy(record, following)? {
            Some(points) => turned(polyline(&points, closed(record)?), facing),
            None => Vec::new(),
        },
        "SPLINE" => spline(record)?.into_iter().collect(),
        "INSERT" => return insert(record, facing, Frame { layer: Some(layer), ..frame }, blocks, drawn),
        _ => Vec::new(),
    };
    if strokes.is_empty() {
        drawn.skip(word(record.kind));
    }
    for stroke in strokes {
        drawn.put(layer, stroke.transformed(frame.to_sheet)).map_err(|fault| record.place(fault))?;
    }
    Ok(())
}

/// From the plane that a thing is drawn in to the sheet: the same plane, or seen
/// from behind. None where it is any other.
///
/// Source: the arbitrary axis rule of the published DXF reference. With the
/// direction (0, 0, -1) it gives X the other way and Y as it was.
fn facing(record: &Record<'_>) -> Result<Option<Affine>, Problem> {
    let [x, y, z] = [210, 220, 230].map(|code| record.number(code));
    let (x, y, z) = (x?.unwrap_or(0.0), y?.unwrap_or(0.0), z?.unwrap_or(1.0));
    let aside = x.hypot(y);
    Ok(match z {
        z if aside > 1e-9 * z.abs() => None,
        z if z > 0.0 => Some(Affine::SAME),
        z if z < 0.0 => Some(Affine::FROM_BEHIND),
        _ => None,
    })
}

fn turned(strokes: Vec<Stroke>, facing: Affine) -> Vec<Stroke> {
    strokes.iter().map(|stroke| stroke.transformed(facing)).collect()
}

/// A line stands in the axes of the sheet whatever its direction of thickness.
/// One that rises out of the sheet is left out.
fn line(record: &Record<'_>) -> Result<Vec<Stroke>, Problem> {
    let (start, end) = (record.need_point(10)?, record.need_point(11)?);
    let rise = record.number(31)?.unwrap_or(0.0) - record.number(30)?.unwrap_or(0.0);
    if rise.abs() > 1e-6 {
        return Ok(Vec::new());
    }
    Ok(vec![Stroke::Line(Line::new(start, end))])
}

fn round(record: &Record<'_>) -> Result<(Point, f64), Problem> {
    let (centre, radius) = (record.need_point(10)?, record.need(40)?);
    if radius > 0.0 {
        return Ok((centre, radius));
    }
    Err(record.place(
        Problem::new(format!("the radius {radius} is not more than nought")).mend("take it out of the file"),
    ))
}

fn arc(record: &Record<'_>) -> Result<Stroke, Problem> {
    let (centre, radius) = round(record)?;
    let (from, to) = (record.need(50)?, record.need(51)?);
    // The same angle twice is the whole circle.
    let turn = (to - from).rem_euclid(360.0);
    let sweep = if turn == 0.0 { 360.0 } else { turn };
    Ok(Stroke::arc(centre, radius, from.to_radians(), sweep.to_radians()))
}

/// An ellipse stands in the axes of the sheet; seen from behind it runs the
/// other way round.
fn ellipse(record: &Record<'_>, facing: Affine) -> Result<Stroke, Problem> {
    let (centre, major) = (record.need_point(10)?, record.need_point(11)?);
    let ratio = record.need(40)?;
    if !(ratio > 0.0 && major.norm_mm() > 0.0) {
        return Err(record
            .place(Problem::new("the ellipse has no width or no height").mend("take it out of the file")));
    }
    let sense = if facing == Affine::SAME { 1.0 } else { -1.0 };
    let minor = Point::new(-major.y_mm, major.x_mm).times(ratio * sense);
    let (from, to) = (record.number(41)?.unwrap_or(0.0), record.number(42)?.unwrap_or(TAU));
    let turn = (to - from).rem_euclid(TAU);
    // A whole turn is written as 0 to 6.283185…, with a last digit either way.
    let whole = !(1e-9..=TAU - 1e-9).contains(&turn);
    let sweep_rad = if whole { TAU } else { turn };
    Ok(Stroke::Round(Round { centre, u: major, v: minor, start_rad: from, sweep_rad }))
}

fn closed(record: &Record<'_>) -> Result<bool, Problem> {
    Ok(record.flags(70)? & 1 != 0)
}

/// The points of a light polyline, each with its bulge.
fn light(record: &Record<'_>) -> Result<Vec<(Point, f64)>, Problem> {
    let mut points: Vec<(Point, f64)> = Vec::new();
    for pair in record.pairs {
        match (pair.code, points.last_mut()) {
            (10, _) => points.push((Point::new(record.read(pair)?, 0.0), 0.0)),
            (20, Some(last)) => last.0.y_mm = record.read(pair)?,
            (42, Some(last)) => last.1 = record.read(pair)?,
            _ => {}
        }
    }
    Ok(points)
}

/// The points of an older polyline: one vertex a record. None where it is a
/// mesh or a solid.
fn heavy(record: &Record<'_>, vertices: &[Record<'_>]) -> Result<Option<Vec<(Point, f64)>>, Problem> {
    const IN_SPACE: u32 = 8 | 16 | 64;
    const FRAME_OF_SPLINE: u32 = 16;
    if record.flags(70)? & IN_SPACE != 0 {
        return Ok(None);
    }
    let mut points = Vec::new();
    for vertex in vertices {
        if vertex.flags(70)? & FRAME_OF_SPLINE == 0 {
            points.push((vertex.need_point(10)?, vertex.number(42)?.unwrap_or(0.0)));
        }
    }
    Ok(Some(points))
}

fn polyline(points: &[(Point, f64)], closed: bool) -> Vec<Stroke> {
    let count = points.len();
    let last = if closed { count } else { count.saturating_sub(1) };
    (0..last)
        .map(|i| (points[i], points[(i + 1) % count].0))
        // A point given twice, but for its last digit, draws nothing.
        .filter(|((start, _), end)| start.distance_mm(*end) > 1e-9 * (1.0 + start.norm_mm()))
        .map(|((start, bulge), end)| Stroke::bulged(start, end, bulge))
        .collect()
}

/// A spline by its control points. One that gives only points to pass through
/// leaves its course to the program that reads it, and is not read.
fn spline(record: &Record<'_>) -> Result<Option<Stroke>, Problem> {
    let degree = record.need(71)?;
    let (x, y) = (record.numbers(10)?, record.numbers(20)?);
    if x.is_empty() {
        return Ok(None);
    }
    let spoiled = |why: String| {
        let fault = Problem::new(format!("the spline {why}"));
        record.place(fault.mend("save the file again from the program that drew it"))
    };
    if !(1.0..=MOST_DEGREE as f64).contains(&degree) || x.len() != y.len() {
        return Err(spoiled(format!("has degree {degree}, {} X and {} Y", x.len(), y.len())));
    }
    let weights = record.numbers(41)?;
    if !weights.is_empty() && weights.len() != x.len() {
        return Err(spoiled(format!("has {} weights for {} control points", weights.len(), x.len())));
    }
    let controls =
        (0..x.len()).map(|i| (Point::new(x[i], y[i]), weights.get(i).copied().unwrap_or(1.0))).collect();
    let spline = Spline::new(degree as usize, record.numbers(40)?, controls).map_err(spoiled)?;
    Ok(Some(Stroke::Spline(spline)))
}

fn insert(
    record: &Record<'_>,
    facing: Affine,
    frame: Frame,
    blocks: &Blocks<'_>,
    drawn: &mut Drawn,
) -> Result<(), Problem> {
    let name = record.text(2).unwrap_or_default();
    let Some(block) = blocks.get(&name.to_uppercase()) else {
        return Err(record.place(
            Problem::new(format!("there is no block `{name}`"))
                .why("it is inserted, but the file does not hold it")
                .mend("save the file again with its blocks in it"),
        ));
    };
    let at = record.point(10)?.unwrap_or_default();
    let factor = |code| Ok::<f64, Problem>(record.number(code)?.unwrap_or(1.0));
    let (x, y) = (factor(41)?, factor(42)?);
    if x == 0.0 || y == 0.0 {
        return Err(record.place(
            Problem::new(format!("the block `{name}` is scaled to nothing")).mend("take it out of the file"),
        ));
    }
    let turned = Affine::turned(record.number(50)?.unwrap_or(0.0).to_radians());
    let repeats = |code| Ok::<f64, Problem>(record.number(code)?.unwrap_or(1.0).max(1.0).trunc());
    let (columns, rows) = (repeats(70)?, repeats(71)?);
    if columns * rows > MOST_REPEATS {
        return Err(record.place(
            Problem::new(format!("the block `{name}` is repeated {columns} by {rows} times"))
                .why(format!("{MOST_REPEATS} is the most that is read"))
                .mend("save the part alone"),
        ));
    }
    let apart = Point::new(record.number(44)?.unwrap_or(0.0), record.number(45)?.unwrap_or(0.0));
    let own = Affine::scaled(x, y).after(Affine::moved(block.base.times(-1.0)));
    for row in 0..rows as u32 {
        for column in 0..columns as u32 {
            drawn
                .copy(&format!("the block `{name}`"), block.records.len(), frame.depth + 1)
                .map_err(|fault| record.place(fault))?;
            let way = Point::new(apart.x_mm * f64::from(column), apart.y_mm * f64::from(row));
            let stands = Affine::moved(at).after(turned).after(Affine::moved(way)).after(own);
            let to_sheet = frame.to_sheet.after(facing).after(stands);
            all(&block.records, Frame { to_sheet, depth: frame.depth + 1, ..frame }, blocks, drawn)?;
        }
    }
    Ok(())
}

/// What a person calls a thing of the file, for the list of what was not read.
fn word(kind: &str) -> String {
    let known = match kind {
        "LINE" => "line that rises out of the sheet",
        "ARC" => "arc",
        "CIRCLE" => "circle",
        "ELLIPSE" => "ellipse",
        "LWPOLYLINE" | "POLYLINE" => "polyline with nothing in it, mesh or solid",
        "SPLINE" => "spline without control points",
        "INSERT" => "block",
        "TEXT" | "MTEXT" | "ATTDEF" => "piece of lettering",
        "DIMENSION" | "ARC_DIMENSION" | "LARGE_RADIAL_DIMENSION" => "dimension",
        "LEADER" | "MLEADER" | "MULTILEADER" | "TOLERANCE" => "leader",
        "HATCH" => "hatching",
        "POINT" => "point",
        "SOLID" | "TRACE" | "3DFACE" | "3DSOLID" | "BODY" | "REGION" | "SURFACE" | "MESH" => "solid or face",
        "IMAGE" | "WIPEOUT" => "picture",
        "VIEWPORT" => "viewport",
        "XLINE" | "RAY" => "line without an end",
        "MLINE" => "line of several strokes",
        other => return format!("`{}`", super::pairs::clipped(other)),
    };
    known.to_owned()
}
