//! The plain shapes, and the points of polygons.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use roxmltree::Node;
use svgtypes::PointsParser;

use super::path;
use super::size::user;
use crate::exchange::stroke::{Round, Stroke};
use crate::geometry::Point;
use crate::problem::Problem;

/// What a shape draws, in its own axes. Shapes of no size draw nothing.
pub(super) fn strokes(node: &Node<'_, '_>) -> Result<Vec<Stroke>, Problem> {
    let at = |x: &str, y: &str| Ok::<Point, Problem>(Point::new(user(node, x)?, user(node, y)?));
    match node.tag_name().name() {
        "path" => path::strokes(node.attribute("d").unwrap_or_default()),
        "line" => Ok(joined(&[at("x1", "y1")?, at("x2", "y2")?])),
        "circle" => {
            let r = user(node, "r")?;
            Ok(ellipse(at("cx", "cy")?, r, r))
        }
        "ellipse" => {
            let (rx, ry) = radii(node)?;
            Ok(ellipse(at("cx", "cy")?, rx.unwrap_or(0.0), ry.unwrap_or(0.0)))
        }
        "rect" => {
            let (width, height) = (user(node, "width")?, user(node, "height")?);
            let (rx, ry) = radii(node)?;
            Ok(rectangle(at("x", "y")?, width, height, rx.unwrap_or(0.0), ry.unwrap_or(0.0)))
        }
        shape => {
            let mut points = points(node.attribute("points").unwrap_or_default())?;
            if shape == "polygon" {
                points.extend(points.first().copied());
            }
            Ok(joined(&points))
        }
    }
}

/// `rx` and `ry`: one alone counts for both.
fn radii(node: &Node<'_, '_>) -> Result<(Option<f64>, Option<f64>), Problem> {
    let read = |name: &str| match node.attribute(name) {
        None | Some("auto") => Ok(None),
        Some(_) => user(node, name).map(Some),
    };
    let (rx, ry) = (read("rx")?, read("ry")?);
    Ok((rx.or(ry), ry.or(rx)))
}

fn joined(points: &[Point]) -> Vec<Stroke> {
    points.windows(2).filter(|pair| pair[0] != pair[1]).map(|pair| Stroke::line(pair[0], pair[1])).collect()
}

fn quarter(centre: Point, rx: f64, ry: f64, start_rad: f64, sweep_rad: f64) -> Stroke {
    Stroke::Round(Round { centre, u: Point::new(rx, 0.0), v: Point::new(0.0, ry), start_rad, sweep_rad })
}

fn ellipse(centre: Point, rx: f64, ry: f64) -> Vec<Stroke> {
    if rx > 0.0 && ry > 0.0 { vec![quarter(centre, rx, ry, 0.0, TAU)] } else { Vec::new() }
}

/// Four sides, with the corners rounded where there is a radius; one too large
/// is taken as half the side.
fn rectangle(corner: Point, width: f64, height: f64, rx: f64, ry: f64) -> Vec<Stroke> {
    if !(width > 0.0 && height > 0.0) {
        return Vec::new();
    }
    let (rx, ry) = (rx.clamp(0.0, width / 2.0), ry.clamp(0.0, height / 2.0));
    let to = |x: f64, y: f64| corner + Point::new(x, y);
    if rx == 0.0 || ry == 0.0 {
        return joined(&[to(0.0, 0.0), to(width, 0.0), to(width, height), to(0.0, height), to(0.0, 0.0)]);
    }
    let side = |a: Point, b: Point| (a.distance_mm(b) > 0.0).then(|| Stroke::line(a, b));
    [
        side(to(rx, 0.0), to(width - rx, 0.0)),
        Some(quarter(to(width - rx, ry), rx, ry, -FRAC_PI_2, FRAC_PI_2)),
        side(to(width, ry), to(width, height - ry)),
        Some(quarter(to(width - rx, height - ry), rx, ry, 0.0, FRAC_PI_2)),
        side(to(width - rx, height), to(rx, height)),
        Some(quarter(to(rx, height - ry), rx, ry, FRAC_PI_2, FRAC_PI_2)),
        side(to(0.0, height - ry), to(0.0, ry)),
        Some(quarter(to(rx, ry), rx, ry, PI, FRAC_PI_2)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn points(text: &str) -> Result<Vec<Point>, Problem> {
    // The parser stops without a word at what it cannot read.
    let odd = text.chars().find(|c| !(c.is_ascii_digit() || c.is_whitespace() || "+-.,eE".contains(*c)));
    if let Some(odd) = odd {
        return Err(Problem::new(format!("cannot read the points: `{odd}` stands among them"))
            .mend("save the file again from the program that drew it"));
    }
    Ok(PointsParser::from(text).map(|(x, y)| Point::new(x, y)).collect())
}
