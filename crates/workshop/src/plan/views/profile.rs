//! The side of a turned part as lines: sections about their own axes, tapers, chamfers.

use crate::drawing::{FeatureId, Kind, Part, SectionEnd, SectionSize};
use crate::geometry::{Point, Segment};

/// The lines of one section seen from the front, its places along the part changed by
/// `along`.
pub fn section_lines(part: &Part, id: FeatureId, along: impl Fn(f64) -> f64) -> Vec<Segment> {
    let (Some(from), Some(to)) = (part.along(id), part.section_end(id)) else { return Vec::new() };
    let (from_mm, to_mm) = (from.as_mm(), to.as_mm());
    let centre_mm = part.section_axis(id).0.as_mm();
    let Some([left_mm, right_mm]) = half_heights(part, id) else { return Vec::new() };
    let mut upper = Vec::new();
    match chamfer(part, id, SectionEnd::Left) {
        Some(size) => upper.extend([(from_mm, left_mm - size), (from_mm + size, left_mm)]),
        None => upper.push((from_mm, left_mm)),
    }
    match chamfer(part, id, SectionEnd::Right) {
        Some(size) => upper.extend([(to_mm - size, right_mm), (to_mm, right_mm - size)]),
        None => upper.push((to_mm, right_mm)),
    }
    let above = upper.iter().map(|&(x, r)| Point::new(along(x), centre_mm + r));
    let below = upper.iter().rev().map(|&(x, r)| Point::new(along(x), centre_mm - r));
    let round: Vec<Point> = above.chain(below).collect();
    let mut lines: Vec<Segment> =
        (0..round.len()).map(|i| Segment::line(round[i], round[(i + 1) % round.len()])).collect();
    // Where a chamfer ends, its edge is seen as a line across.
    for end in [SectionEnd::Left, SectionEnd::Right] {
        if let Some(size) = chamfer(part, id, end) {
            let (x_mm, r_mm) = match end {
                SectionEnd::Left => (from_mm + size, left_mm),
                SectionEnd::Right => (to_mm - size, right_mm),
            };
            let x_mm = along(x_mm);
            lines.push(Segment::line(Point::new(x_mm, centre_mm - r_mm), Point::new(x_mm, centre_mm + r_mm)));
        }
    }
    if let Kind::Section { size: SectionSize::AsBar { sides: 6, .. }, .. } = part.feature(id).kind {
        // A hexagon stands with a corner at the top: two of its edges are seen.
        for y_mm in [left_mm / 2.0, -left_mm / 2.0] {
            lines.push(Segment::line(Point::new(along(from_mm), y_mm), Point::new(along(to_mm), y_mm)));
        }
    }
    lines
}

/// Half of what a section measures up the sheet, at its two ends.
fn half_heights(part: &Part, id: FeatureId) -> Option<[f64; 2]> {
    if let Kind::Section { size: SectionSize::AsBar { across, sides: 4 }, .. } = part.feature(id).kind {
        return Some([part.size(across).half().as_mm(); 2]);
    }
    let half = |end| Some(part.end_diameter(id, end)?.half().as_mm());
    Some([half(SectionEnd::Left)?, half(SectionEnd::Right)?])
}

fn chamfer(part: &Part, section: FeatureId, at: SectionEnd) -> Option<f64> {
    part.features().find_map(|(_, feature)| match feature.kind {
        Kind::Chamfer { of, end, size } if of == section && end == at => Some(part.size(size).as_mm()),
        _ => None,
    })
}
