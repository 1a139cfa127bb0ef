//! From a click near something to the middle of the circle, or the corner or
//! crossing of lines, that was meant.
//!
//! A line square to a circle's edge passes through its centre; a line along a
//! corner's edges passes through the corner. Both are least-squares meeting
//! points of lines through the edge pixels, each weighed by its slope: the
//! operator of Förstner and Gülch (1987).

use super::raster::{Edge, Gray};
use crate::drawing::Pixel;

/// What was found near a click.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// The centre of a circle.
    Circle {
        /// Its radius in pixels.
        radius_px: f64,
    },
    /// Where lines meet or cross.
    Corner,
    /// Nothing: the place is as clicked.
    Nothing,
}

/// A click, moved to what it meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Snapped {
    /// Where it is now.
    pub at: Pixel,
    /// What was found there.
    pub found: Found,
}

/// How much of a circle's round must be seen for it to count.
const LEAST_ROUND: f64 = 0.55;
/// Smaller than this a circle is a blot.
const LEAST_RADIUS_PX: f64 = 5.0;
/// Sectors in which the round is looked for.
const SECTORS: usize = 36;
/// A round seen in so many of them is a circle, whatever else may be.
const WELL_SEEN: usize = 28;
/// How far from the centre the line square to an edge may pass: a skewed scan
/// turns circles to ellipses, and pixels turn lines a little.
const MISS_PX: f64 = 1.0;

/// Finds what a click meant, no further than `reach_px` from it.
pub fn snap(image: &Gray, click: Pixel, reach_px: f64) -> Snapped {
    let reach_px = reach_px.clamp(2.0, 60.0);
    let round = image.edges(click, 8.0 * reach_px);
    if let Some((at, radius_px)) = circle(&round, click, reach_px) {
        return Snapped { at, found: Found::Circle { radius_px } };
    }
    let close = image.edges(click, 2.0 * reach_px);
    match corner(&close, click, reach_px) {
        Some(at) => Snapped { at, found: Found::Corner },
        None => Snapped { at: click, found: Found::Nothing },
    }
}

/// The centre that most square lines pass through, made true by least squares.
fn circle(edges: &[Edge], click: Pixel, reach_px: f64) -> Option<(Pixel, f64)> {
    let reach = reach_px.ceil() as isize;
    let side = (2 * reach + 1) as usize;
    let mut votes = vec![0.0_f64; side * side];
    for edge in edges {
        // Where the line square to the edge passes through the window.
        let (dx, dy) = (edge.x - click.x_px, edge.y - click.y_px);
        let along = -(dx * edge.right + dy * edge.down);
        let distance = dx.hypot(dy).max(1.0);
        if (dx + along * edge.right).hypot(dy + along * edge.down) > 1.5 * reach_px {
            continue;
        }
        let mut last = usize::MAX;
        for step in -3 * reach..=3 * reach {
            let way = along + step as f64 * 0.5;
            let (x, y) = (
                (dx + way * edge.right).round() as isize + reach,
                (dy + way * edge.down).round() as isize + reach,
            );
            if (0..side as isize).contains(&x) && (0..side as isize).contains(&y) {
                let cell = y as usize * side + x as usize;
                if cell != last {
                    // A small circle has few edge pixels: each counts for more.
                    votes[cell] += 1.0 / distance;
                    last = cell;
                }
            }
        }
    }
    // Several peaks are tried, best first: a crowd of lettering can outvote a circle.
    let mut order: Vec<usize> = (0..votes.len()).filter(|&cell| votes[cell] > 0.0).collect();
    order.sort_by(|&a, &b| votes[b].total_cmp(&votes[a]).then(a.cmp(&b)));
    let rounds = order.into_iter().take(PEAKS).filter_map(|cell| {
        let at = Pixel {
            x_px: click.x_px + (cell % side) as f64 - reach as f64,
            y_px: click.y_px + (cell / side) as f64 - reach as f64,
        };
        settle(edges, at).filter(|round| apart(round.at, click) <= reach_px)
    });
    // The smallest that is well seen is meant: a large one lies round many places by
    // chance. Where none is, the roundest.
    let best = rounds.max_by(|a, b| {
        let well = |round: &Round| round.seen >= WELL_SEEN;
        let roundness = if well(a) && well(b) { std::cmp::Ordering::Equal } else { a.seen.cmp(&b.seen) };
        roundness.then(b.radius_px.total_cmp(&a.radius_px))
    })?;
    Some((best.at, best.radius_px))
}

/// How many peaks of the votes are looked at.
const PEAKS: usize = 16;

/// A round that edges of ink lie on.
#[derive(Clone, Copy, Debug)]
struct Round {
    at: Pixel,
    radius_px: f64,
    /// Of how many sectors an edge is seen.
    seen: usize,
}

/// Draws a centre to where the edges of its round say it is.
fn settle(edges: &[Edge], start: Pixel) -> Option<Round> {
    let mut round = Round { at: start, radius_px: 0.0, seen: 0 };
    for _ in 0..4 {
        let (radius_px, seen) = most_seen_radius(edges, round.at)?;
        let at = round.at;
        let band = (0.06 * radius_px).max(2.5);
        let of_round = edges.iter().filter(|edge| {
            let (dx, dy) = (edge.x - at.x_px, edge.y - at.y_px);
            (dx.hypot(dy) - radius_px).abs() <= band
                && (dx * edge.down - dy * edge.right).abs() <= miss(radius_px)
        });
        let at = meeting(of_round.map(|e| (e.x, e.y, e.down, -e.right, e.steep)))?;
        round = Round { at, radius_px, seen };
    }
    Some(round)
}

/// How far a square line may pass from the centre of a round of this radius.
fn miss(radius_px: f64) -> f64 {
    MISS_PX + 0.06 * radius_px
}

/// The radius at which the most of a round is seen about a centre, and in how many sectors.
fn most_seen_radius(edges: &[Edge], at: Pixel) -> Option<(f64, usize)> {
    let mut seen: Vec<[bool; SECTORS]> = Vec::new();
    for edge in edges {
        let (dx, dy) = (edge.x - at.x_px, edge.y - at.y_px);
        let radius_px = dx.hypot(dy);
        if radius_px < LEAST_RADIUS_PX || (dx * edge.down - dy * edge.right).abs() > miss(radius_px) {
            continue;
        }
        let sector = ((dy.atan2(dx) / std::f64::consts::TAU + 1.0) * SECTORS as f64) as usize % SECTORS;
        // A skewed round spreads over a band of radii.
        let band = (0.05 * radius_px).max(1.5);
        for bin in ((radius_px - band) / 1.5) as usize..=((radius_px + band) / 1.5) as usize {
            if seen.len() <= bin {
                seen.resize(bin + 1, [false; SECTORS]);
            }
            seen[bin][sector] = true;
        }
    }
    let count = |sectors: &[bool; SECTORS]| sectors.iter().filter(|&&s| s).count();
    let best = seen.iter().map(count).max()?;
    if (best as f64) < LEAST_ROUND * SECTORS as f64 {
        return None;
    }
    // The smallest that is well seen, in the middle of the run of radii that see as much.
    let from = seen.iter().position(|sectors| count(sectors) >= best.min(WELL_SEEN))?;
    let rising = seen[from..].windows(2).take_while(|pair| count(&pair[1]) > count(&pair[0])).count();
    let first = from + rising;
    let best = count(&seen[first]);
    let run = seen[first..].iter().take_while(|sectors| count(sectors) == best).count();
    Some(((first as f64 + (run - 1) as f64 / 2.0 + 0.5) * 1.5, best))
}

/// The corner that edge lines run through, nearest a click.
fn corner(edges: &[Edge], click: Pixel, reach_px: f64) -> Option<Pixel> {
    let mut at = click;
    for _ in 0..8 {
        // Nearer edges count for more, so that the corner meant is the one found.
        let spread = reach_px * 0.7;
        let lines = edges.iter().map(|edge| {
            let off = apart(Pixel { x_px: edge.x, y_px: edge.y }, at) / spread;
            (edge.x, edge.y, edge.right, edge.down, edge.steep * (-off * off).exp())
        });
        let next = meeting(lines)?;
        if apart(next, click) > reach_px {
            return None;
        }
        let moved = apart(next, at);
        at = next;
        if moved < 0.01 {
            break;
        }
    }
    Some(at)
}

/// Where lines meet by least squares: each by a point on it, its normal and its
/// weight. None where they all run one way.
fn meeting(lines: impl Iterator<Item = (f64, f64, f64, f64, f64)>) -> Option<Pixel> {
    let (mut xx, mut xy, mut yy, mut rx, mut ry) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (x, y, nx, ny, weight) in lines {
        let along = nx * x + ny * y;
        xx += weight * nx * nx;
        xy += weight * nx * ny;
        yy += weight * ny * ny;
        rx += weight * nx * along;
        ry += weight * ny * along;
    }
    let (trace, determinant) = (xx + yy, xx * yy - xy * xy);
    // The two ways must both be well held: 4 det / trace² is 1 for a square corner.
    (trace > 0.0 && 4.0 * determinant / (trace * trace) > 0.08)
        .then(|| Pixel { x_px: (yy * rx - xy * ry) / determinant, y_px: (xx * ry - xy * rx) / determinant })
}

fn apart(a: Pixel, b: Pixel) -> f64 {
    (a.x_px - b.x_px).hypot(a.y_px - b.y_px)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// A sheet of 300 by 300 pixels with lines of ink 2.5 wide, blurred over
    /// `soft_px`: dark where `ink` says that ink is near.
    fn drawn(soft_px: f64, ink: impl Fn(f64, f64) -> f64) -> Gray {
        let shade = |x: usize, y: usize| {
            let off = (ink(x as f64, y as f64) - 1.25) / soft_px + 0.5;
            (30.0 + 215.0 * off.clamp(0.0, 1.0)) as u8
        };
        let shades = (0..300 * 300).map(|i| shade(i % 300, i / 300)).collect();
        Gray::new(300, 300, shades).unwrap()
    }

    fn ring(x: f64, y: f64, cx: f64, cy: f64, radius: f64) -> f64 {
        ((x - cx).hypot(y - cy) - radius).abs()
    }

    fn off(snapped: Snapped, x: f64, y: f64) -> f64 {
        apart(snapped.at, Pixel { x_px: x, y_px: y })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        /// A circle with its centre lines, clicked up to eight pixels off.
        #[test]
        fn a_circle_is_found_to_a_third_of_a_pixel(
            cx in 130.0..170.0_f64, cy in 130.0..170.0_f64, radius in 9.0..70.0_f64,
            dx in -8.0..8.0_f64, dy in -8.0..8.0_f64, soft in 1.0..4.0_f64, oval in 0.97..1.03_f64,
        ) {
            let image = drawn(soft, |x, y| {
                let round = ring(cx + (x - cx) * oval, y, cx, cy, radius);
                let lines = (x - cx).abs().min((y - cy).abs()) + 0.75;
                round.min(lines)
            });
            let snapped = snap(&image, Pixel { x_px: cx + dx, y_px: cy + dy }, 14.0);
            prop_assert!(matches!(snapped.found, Found::Circle { .. }), "{snapped:?}");
            prop_assert!(off(snapped, cx, cy) < 0.34, "{snapped:?} for {cx}, {cy}");
        }

        #[test]
        fn a_corner_is_found_to_half_a_pixel(
            cx in 120.0..180.0_f64, cy in 120.0..180.0_f64, turn in 0.0..1.5_f64,
            dx in -5.0..5.0_f64, dy in -5.0..5.0_f64,
        ) {
            let image = drawn(2.0, |x, y| {
                let (u, v) = ((x - cx) * turn.cos() + (y - cy) * turn.sin(), (y - cy) * turn.cos() - (x - cx) * turn.sin());
                let one = if u >= 0.0 { v.abs() } else { u.hypot(v) };
                let other = if v >= 0.0 { u.abs() } else { u.hypot(v) };
                one.min(other)
            });
            let snapped = snap(&image, Pixel { x_px: cx + dx, y_px: cy + dy }, 12.0);
            prop_assert_eq!(snapped.found, Found::Corner);
            prop_assert!(off(snapped, cx, cy) < 0.6, "{:?} for {}, {}", snapped, cx, cy);
        }
    }

    #[test]
    fn blank_paper_leaves_the_click_where_it_is() {
        let image = drawn(1.0, |_, _| 100.0);
        let click = Pixel { x_px: 20.0, y_px: 290.0 };
        assert_eq!(snap(&image, click, 12.0), Snapped { at: click, found: Found::Nothing });
        let outside = Pixel { x_px: 5000.0, y_px: -10.0 };
        assert_eq!(snap(&image, outside, 12.0).at, outside);
    }

    #[test]
    fn the_nearer_of_two_circles_is_meant() {
        let image = drawn(2.0, |x, y| ring(x, y, 120.0, 150.0, 14.0).min(ring(x, y, 160.0, 150.0, 18.0)));
        let snapped = snap(&image, Pixel { x_px: 156.0, y_px: 153.0 }, 12.0);
        assert!(off(snapped, 160.0, 150.0) < 0.3, "{snapped:?}");
    }
}
