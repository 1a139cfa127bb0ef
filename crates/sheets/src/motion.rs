//! A mechanism on the screen: drawn at every angle, and its curves.
//!
//! Every position arrives reckoned; here it becomes SVG. A [`Moving`] is the picture at
//! rest, and for every other angle the paths that a page puts in place of it.

use std::fmt::Write;

use workshop::linkage::{Curve, Look, Trace};

use crate::svg::escape;

/// A mechanism ready for a page.
#[derive(Clone, Debug)]
pub struct Moving {
    /// The picture at the first angle.
    pub svg: String,
    /// The crank's angle at every position, in words.
    pub angles: Vec<String>,
    /// At every position a path for each link, one for pins, one for what slides.
    pub frames: Vec<Vec<String>>,
    /// Where the cursor of a plot stands at every position.
    pub cursors: Vec<String>,
}

/// Width and height of a plot.
const PLOT: [f64; 2] = [360.0, 150.0];
/// Room left of a plot for its numbers, and below.
const LEFT: f64 = 52.0;
const BELOW: f64 = 22.0;

/// A mechanism as it is drawn and moved. `title` is read out in place of the picture.
pub fn moving(look: &Look, title: &str) -> Moving {
    let shown = drawn_points(look);
    let all = || look.places.iter().flat_map(|places| shown.iter().map(|&at| places[at]));
    let bound = |pick: fn(f64, f64) -> f64, axis: usize, from: f64| all().map(|p| p[axis]).fold(from, pick);
    let [left, right] = [bound(f64::min, 0, f64::INFINITY), bound(f64::max, 0, f64::NEG_INFINITY)];
    let [low, high] = [bound(f64::min, 1, f64::INFINITY), bound(f64::max, 1, f64::NEG_INFINITY)];
    let size = (right - left).max(high - low).max(1.0);
    let margin = size * 0.06;
    let (width, height) = (right - left + 2.0 * margin, high - low + 2.0 * margin);
    let frames: Vec<Vec<String>> = look.places.iter().map(|places| frame(look, places)).collect();
    let mut svg = String::new();
    let _ = write!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"motion\" role=\"img\" viewBox=\"{:.2} {:.2} {width:.2} {height:.2}\" \
         style=\"--line:{:.3}\"><title>{}</title>",
        left - margin,
        -high - margin,
        size / 220.0,
        escape(title)
    );
    for &at in &shown {
        let from = look.places[0][at];
        let far =
            |places: &Vec<[f64; 2]>| (places[at][0] - from[0]).hypot(places[at][1] - from[1]) > size / 1e4;
        if look.places.iter().any(far) {
            let trace = look.places.iter().map(|places| places[at]);
            let _ = write!(svg, "<path class=\"trace\" d=\"{}Z\"/>", path(trace));
        }
    }
    let pivots = look.fixed.iter().filter(|at| shown.contains(at)).map(|&at| look.places[0][at]);
    let foot = size / 40.0;
    for [x, y] in pivots {
        let y = -y;
        let _ = write!(
            svg,
            "<path class=\"pivot\" d=\"M{x:.2} {y:.2}l{:.2} {:.2}h{:.2}Z\"/>",
            -0.6 * foot,
            foot,
            1.2 * foot
        );
    }
    let classes = look.links.iter().map(|(name, _)| ("link", name.as_str()));
    let classes = classes.chain([("pins", "pins"), ("sliding", "what slides")]);
    for ((class, name), d) in classes.zip(frames.first().into_iter().flatten()) {
        let _ = write!(svg, "<path class=\"moves {class}\" d=\"{d}\"><title>{}</title></path>", escape(name));
    }
    svg.push_str("</svg>");
    let most = span(look.curves.iter().flat_map(|curve| curve.along.iter().map(|p| p[0])));
    Moving {
        svg,
        angles: look.angles.iter().map(|angle| format!("{angle:.0}°")).collect(),
        cursors: look.angles.iter().map(|&angle| format!("{:.2}", across(angle, most))).collect(),
        frames,
    }
}

/// Points that are drawn: the centre of a curved slot far from its link is none.
fn drawn_points(look: &Look) -> Vec<usize> {
    (0..look.points.len()).filter(|at| !look.centres.contains(at)).collect()
}

/// The paths of one position: each link from its first point to every other.
fn frame(look: &Look, places: &[[f64; 2]]) -> Vec<String> {
    let shown = |at: &&usize| !look.centres.contains(at);
    let mut paths: Vec<String> = look
        .links
        .iter()
        .map(|(_, points)| {
            let own: Vec<[f64; 2]> = points.iter().filter(shown).map(|&at| places[at]).collect();
            let Some((first, rest)) = own.split_first() else { return String::new() };
            let arms: Vec<String> = rest.iter().map(|&end| path([*first, end].into_iter())).collect();
            if arms.is_empty() { dot(*first) } else { arms.concat() }
        })
        .collect();
    let all = look.links.iter().flat_map(|(_, points)| points).filter(shown);
    paths.push(all.map(|&at| dot(places[at])).collect());
    paths.push(look.sliding.iter().map(|&at| dot(places[at])).collect());
    paths
}

fn dot([x, y]: [f64; 2]) -> String {
    format!("M{:.2} {:.2}h0", x, -y)
}

fn path(points: impl Iterator<Item = [f64; 2]>) -> String {
    let mut d = String::new();
    for (n, [x, y]) in points.enumerate() {
        let _ = write!(d, "{}{x:.2} {:.2}", if n == 0 { 'M' } else { 'L' }, -y);
    }
    d
}

fn span(values: impl Iterator<Item = f64>) -> [f64; 2] {
    let [low, high] = values.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(v), b.max(v)]);
    // A whole turn is shown whole.
    if low.is_finite() && high - low > 300.0 { [0.0, 360.0] } else { [low, high] }
}

fn across(angle: f64, [low, high]: [f64; 2]) -> f64 {
    if high > low { LEFT + (angle - low) / (high - low) * PLOT[0] } else { LEFT }
}

/// Curves of one thing over the crank's angle in one picture, each with the class it is drawn
/// by: `drawn`, `measured`, `made`, `tried`. The last lies on top.
pub fn plot(curves: &[(&str, &Curve)]) -> String {
    let Some((_, named)) = curves.first() else { return String::new() };
    let all = || curves.iter().map(|(_, curve)| *curve);
    let wide = span(all().flat_map(|curve| curve.along.iter().map(|p| p[0])));
    let values = || all().flat_map(|curve| curve.along.iter().map(|p| p[1]));
    let [low, high] = values().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(v), b.max(v)]);
    let rise = if high - low > 1e-9 { high - low } else { 1.0 };
    let down = |value: f64| 6.0 + (high - value) / rise * PLOT[1];
    let line = |along: &Trace| {
        let mut d = String::new();
        for (n, &[angle, value]) in along.iter().enumerate() {
            let mark = if n == 0 { 'M' } else { 'L' };
            let _ = write!(d, "{mark}{:.2} {:.2}", across(angle, wide), down(value));
        }
        d
    };
    let (width, height) = (LEFT + PLOT[0] + 12.0, PLOT[1] + 12.0 + BELOW);
    let name = format!("{}: {}", named.name, named.kind);
    let mut svg = String::new();
    let _ = write!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"plot\" role=\"img\" viewBox=\"0 0 {width} {height}\"><title>{}</title>",
        escape(&name)
    );
    let (bottom, right) = (6.0 + PLOT[1], LEFT + PLOT[0]);
    for quarter in 0..=4 {
        let angle = wide[0] + (wide[1] - wide[0]) * f64::from(quarter) / 4.0;
        let x = across(angle, wide);
        let _ = write!(
            svg,
            "<path class=\"rule\" d=\"M{x:.2} 6V{bottom}\"/><text x=\"{x:.2}\" y=\"{}\" text-anchor=\"middle\">{angle:.0}°</text>",
            bottom + 16.0
        );
    }
    let mut heights = vec![high, low];
    if low < -0.15 * rise && high > 0.15 * rise {
        heights.push(0.0);
    }
    for value in heights {
        let y = down(value);
        let shown = format!("{value:.2}").replace('-', "−");
        let _ = write!(
            svg,
            "<path class=\"rule\" d=\"M{LEFT} {y:.2}H{right}\"/><text x=\"{}\" y=\"{:.2}\" text-anchor=\"end\">{shown}</text>",
            LEFT - 6.0,
            y + 4.0
        );
    }
    for (class, curve) in curves {
        let _ = write!(svg, "<path class=\"{class}\" d=\"{}\"/>", line(&curve.along));
    }
    let _ =
        write!(svg, "<path class=\"cursor\" d=\"M0 6V{bottom}\" transform=\"translate({LEFT} 0)\"/></svg>");
    svg
}
