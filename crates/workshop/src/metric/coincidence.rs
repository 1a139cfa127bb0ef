//! What the numbers of a drawing agree in without its saying so: a bore half-way
//! across the part, holes on one line, ends of one radius. The choice knows nothing
//! of it and may move one without the other. Whether that was chance the person
//! decides: each such agreement that is lost is told, with how to keep it.

use std::collections::BTreeMap;

use super::way::Job;
use crate::drawing::{Axis, Body, Face, FeatureId, Kind, Measures, Reference};
use crate::measure::Length;

/// The agreements of a part that its chosen lengths no longer keep, each in a sentence.
pub fn lost(job: &Job, chosen: &[Length]) -> Vec<String> {
    if matches!(job.drawing.body, Body::Turned { .. }) {
        return Vec::new();
    }
    let mut told = Vec::new();
    for axis in [Axis::X, Axis::Y, Axis::Z] {
        told.extend(off_the_middle(job, chosen, axis));
        told.extend(out_of_line(job, chosen, axis));
    }
    told.extend(out_of_step(job, chosen));
    told.extend(no_longer_alike(job, chosen));
    told
}

/// Twice the place of each feature less the two ends, where the drawing has it half-way.
fn off_the_middle(job: &Job, chosen: &[Length], axis: Axis) -> Option<String> {
    let (near, far, between, phrase) = match axis {
        Axis::X => (
            Reference::LeftEdge,
            Reference::RightEdge,
            "the left and the right edge",
            "on the vertical centre line",
        ),
        Axis::Y => (
            Reference::BottomEdge,
            Reference::TopEdge,
            "the bottom and the top edge",
            "on the horizontal centre line",
        ),
        Axis::Z => (Reference::BackFace, Reference::FrontFace, "its faces", "mid thickness"),
    };
    let ends = job.solved.edge(near)?.clone().plus(job.solved.edge(far)?, 1.into());
    let off = |id: FeatureId, sizes: &[Length]| {
        job.solved.place(id, axis).map(|place| place.clone().times(2.into()).minus(&ends).value(sizes))
    };
    let drawn = &job.part.sizes.lengths;
    let mut by_off: BTreeMap<Length, Vec<FeatureId>> = BTreeMap::new();
    for id in placed(job) {
        if let (Some(then), Some(now)) = (off(id, drawn), off(id, chosen))
            && then == Length::ZERO
            && now != Length::ZERO
        {
            by_off.entry(now).or_default().push(id);
        }
    }
    // What lies farthest off is what is told; the others show beside it.
    let (&far_off, ids) = by_off.iter().max_by_key(|(off, _)| off.abs())?;
    Some(format!(
        "that it is chance that {} half-way between {between} on the drawing: here {:.2} mm off it; \
         if it is meant, place it `{phrase}`",
        lie(job, ids),
        far_off.half().abs().as_mm(),
    ))
}

/// Features of one face with the same coordinate on the drawing and different ones now.
fn out_of_line(job: &Job, chosen: &[Length], axis: Axis) -> Vec<String> {
    let drawn = &job.part.sizes.lengths;
    let mut lines: BTreeMap<(usize, Length), Vec<(Length, FeatureId)>> = BTreeMap::new();
    for id in placed(job) {
        if let Some(place) = job.solved.place(id, axis) {
            let face = job.feature(id).face.axis() as usize;
            lines.entry((face, place.value(drawn))).or_default().push((place.value(chosen), id));
        }
    }
    let said = |mut line: Vec<(Length, FeatureId)>| {
        line.sort();
        let (&(least, first), &(most, last)) = (line.first()?, line.last()?);
        if least == most {
            return None;
        }
        let (stand, apart, phrase) = match axis {
            Axis::X => ("plumb with each other", "to the side", "plumb with"),
            Axis::Y => ("level", "in height", "level with"),
            Axis::Z => ("as deep as each other", "in depth", "as deep as"),
        };
        let [one, other] = [first, last].map(|id| &job.feature(id).name);
        Some(format!(
            "that it is chance that `{one}` and `{other}` stand {stand} on the drawing: here {:.2} mm apart \
             {apart}; if it is meant, place one `{phrase}` the other",
            (most - least).as_mm()
        ))
    };
    lines.into_values().filter_map(said).collect()
}

/// Two alike features that a third stands half-way between on the drawing.
fn out_of_step(job: &Job, chosen: &[Length]) -> Vec<String> {
    let at = |id: FeatureId, sizes: &[Length]| -> Option<[Length; 2]> {
        let axis = |axis| Some(job.solved.place(id, axis)?.value(sizes));
        Some([axis(Axis::X)?, axis(Axis::Y)?])
    };
    let round: Vec<(FeatureId, [Length; 2], [Length; 2])> = placed(job)
        .filter(|&id| matches!(job.feature(id).kind, Kind::Hole { .. } | Kind::Tapped { .. }))
        .filter(|&id| matches!(job.feature(id).face, Face::Front | Face::Back))
        .filter_map(|id| Some((id, at(id, &job.part.sizes.lengths)?, at(id, chosen)?)))
        .collect();
    // Several holes may share a place; the first of them stand in the order of the file.
    let mut there: BTreeMap<[Length; 2], Vec<usize>> = BTreeMap::new();
    for (n, (_, drawn, _)) in round.iter().enumerate() {
        there.entry(*drawn).or_default().push(n);
    }
    let half_way = |a: [Length; 2], b: [Length; 2]| [(a[0] + b[0]).half(), (a[1] + b[1]).half()];
    let mut told = Vec::new();
    for (n, &(a, from, from_now)) in round.iter().enumerate() {
        for &(b, to, to_now) in &round[n + 1..] {
            let middles = there.get(&half_way(from, to)).into_iter().flatten();
            for &(middle, _, now) in middles.map(|&n| &round[n]) {
                if middle == a || middle == b || !alike(job, a, b) {
                    continue;
                }
                let ought = half_way(from_now, to_now);
                let [x, y] = [0, 1].map(|axis| (now[axis] - ought[axis]).as_mm());
                if x == 0.0 && y == 0.0 {
                    continue;
                }
                let [a, b, middle] = [a, b, middle].map(|id| &job.feature(id).name);
                told.push(format!(
                    "that it is chance that `{middle}` stands half-way between `{a}` and `{b}` on the drawing: \
                     here {:.2} mm off it; if it is meant, place it `midway between {a} and {b}`, or one of \
                     them `opposite` the other",
                    x.hypot(y)
                ));
            }
        }
    }
    told
}

/// Sizes of one kind that are one figure on the drawing and no longer.
fn no_longer_alike(job: &Job, chosen: &[Length]) -> Vec<String> {
    let mut told = Vec::new();
    let all = &job.drawing.dimensions;
    let kinds = |measures: Measures| {
        matches!(
            measures,
            Measures::Radius | Measures::Hole(_) | Measures::SlotWidth | Measures::InsideCorner
        )
    };
    for (at, first) in all.iter().enumerate().filter(|(_, first)| kinds(first.measures)) {
        let other = all.iter().enumerate().skip(at + 1).find(|(other, dimension)| {
            dimension.measures == first.measures
                && dimension.written.length == first.written.length
                && chosen[*other] != chosen[at]
        });
        let earlier = all[..at].iter().any(|earlier| {
            earlier.measures == first.measures && earlier.written.length == first.written.length
        });
        if let Some((other, dimension)) = other.filter(|_| !earlier) {
            let [one, two] = [at, other].map(|id| chosen[id]);
            told.push(format!(
                "that it is chance that `{}` and `{}` are both {} on the drawing: here {one} and {two}; if \
                 they are to be alike, name both in an `[[equal]]`",
                first.name, dimension.name, first.written.text
            ));
        }
    }
    told
}

/// Cut to the same kind and size on the drawing.
fn alike(job: &Job, a: FeatureId, b: FeatureId) -> bool {
    match (&job.feature(a).kind, &job.feature(b).kind) {
        (Kind::Hole { diameter: one, finish, .. }, Kind::Hole { diameter: other, finish: as_well, .. }) => {
            finish == as_well && job.part.size(*one) == job.part.size(*other)
        }
        (Kind::Tapped { thread: one, .. }, Kind::Tapped { thread: other, .. }) => {
            job.drawing.threads[one.0].thread == job.drawing.threads[other.0].thread
        }
        _ => false,
    }
}

/// The features that are looked at: what is cut at a place of its own, and round ends.
fn placed<'a>(job: &'a Job) -> impl Iterator<Item = FeatureId> + 'a {
    let looked_at = |kind: &Kind| {
        matches!(
            kind,
            Kind::Boss { .. }
                | Kind::Hole { .. }
                | Kind::Tapped { .. }
                | Kind::ClampScrew { .. }
                | Kind::Slot { .. }
                | Kind::Pocket { .. }
                | Kind::Square { .. }
                | Kind::Flatted { .. }
                | Kind::TaperPin { .. }
                | Kind::PitchCircle { .. }
        )
    };
    let all = job.drawing.features.iter().enumerate();
    all.filter(move |(_, feature)| looked_at(&feature.kind)).map(|(at, _)| FeatureId(at))
}

/// `` `a` lies ``, `` `a` and `b` lie ``.
fn lie(job: &Job, ids: &[FeatureId]) -> String {
    let names: Vec<String> = ids.iter().map(|&id| format!("`{}`", job.feature(id).name)).collect();
    match names.as_slice() {
        [one] => format!("{one} lies"),
        [most @ .., last] => format!("{} and {last} lie", most.join(", ")),
        [] => String::new(),
    }
}
