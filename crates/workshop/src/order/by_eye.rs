//! A bench without a mill: edges filed square, centres marked out and punched, holes drilled at
//! them, and what is bored set up on the faceplate by its punched centre.
//!
//! Nothing here reads a position off a slide. What a hole may be out by is what the scriber, the
//! punch and the drill are out by, and that is charged for each hole by itself.

use super::accuracy::Share;
use super::deed::{Deed, Job, Lot, Makings};
use super::ends::farthest;
use super::places::holding;
use super::plates::{add, deed};
use super::work::{Deep, Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::{Body, Face, FeatureId, Kind};
use crate::measure::Length;
use crate::tables::processes::{self, limit, locating, process};

impl Job<'_> {
    /// Whether the bench has a mill.
    pub(super) fn mills(&self) -> bool {
        self.bench.mills
    }

    /// Whether the part is turned.
    pub(super) fn is_turned(&self) -> bool {
        matches!(self.part.drawing.body, Body::Turned { .. })
    }

    /// What drills at a punched centre: the drill press, or a hand drill where there is none.
    pub(super) fn drills_on(&self) -> Machine {
        if self.bench.drill_press.is_some() { Machine::DrillPress } else { Machine::BenchVice }
    }

    /// Whether the spindle of the drill press comes to a hole past no edge of the blank but one.
    pub(super) fn in_reach(&self, id: FeatureId) -> bool {
        let Some(press) = &self.bench.drill_press else { return false };
        let flat = matches!(self.part.feature(id).face, Face::Front | Face::Back);
        let Some((x, y)) = self.part.xy(id).filter(|_| flat) else { return true };
        let [left, right, bottom, top] = self.part.edges();
        let nearest = [x - left, right - x, y - bottom, top - y].into_iter().min().unwrap_or_default();
        nearest + limit("blank margin") <= press.throat
    }
}

/// What is marked out, in words: the outline, and holes that are drilled at punched centres or
/// filed to a circle.
pub(super) fn marked(job: &Job) -> &'static str {
    let hole = |kind: &Kind| matches!(kind, Kind::Hole { .. } | Kind::Tapped { .. });
    let any = job.part.features().any(|(_, feature)| hole(&feature.kind));
    let circles = job.part.features().any(|(id, _)| job.filed_round(id));
    match (job.mills(), any, circles) {
        (false, true, _) => "the outline and the holes",
        (true, _, true) if matches!(job.part.drawing.body, Body::Rectangle { .. }) => "the holes",
        (true, _, true) => "the outline and the holes",
        _ => "the outline",
    }
}

/// The holding that a hole is drilled in from a face, at its own punched centre.
pub(super) fn drilled(job: &Job, makings: &mut Makings, (lot, id): (Lot, FeatureId), face: Face) -> usize {
    let machine = match job.drills_on() {
        Machine::DrillPress if job.in_reach(id) => Machine::DrillPress,
        _ => Machine::BenchVice,
    };
    let thin = job.metal(lot) < processes::holding("vice on parallels").least_grip;
    let held = match (machine, face) {
        (Machine::BenchVice, _) => Held::BenchVice,
        (_, Face::Front | Face::Back) if thin || job.casting().is_some() => Held::ClampsMoved,
        (_, Face::Front | Face::Back) => Held::ViceOnParallels,
        _ => Held::ViceOnEdge,
    };
    let here = Holding { machine, ..holding(job, lot, face, held, Located::Punched) };
    if job.mills() {
        return makings.place(job, lot, here);
    }
    makings.assume(if here.machine == Machine::DrillPress {
        "there is no mill: holes are drilled on the drill press, each at its own punched centre".into()
    } else if job.bench.drill_press.is_some() {
        format!(
            "{} lies farther from every edge than the drill press reaches: a hand drill, held upright by eye",
            job.name(id)
        )
    } else {
        "there is no mill and no drill press: holes are drilled with a hand drill, held upright by eye".into()
    });
    makings.place(job, lot, here)
}

/// Whether a hole is bored in the lathe, for want of a mill or of a boring head that reaches it.
pub(super) fn bored_in_lathe(job: &Job, id: FeatureId) -> bool {
    let Kind::Hole { diameter, .. } = job.part.feature(id).kind else { return false };
    let bored = !job.is_turned() && job.hole_tools(diameter).1 == Some(Tool::BoringTool);
    let size = job.part.size(diameter);
    let head = job.bench.boring.as_ref().is_some_and(|head| head.least <= size && size <= head.most);
    let alone = job.joint_of(id).is_none();
    bored && (!job.mills() || !head && alone && job.bench.lathe.is_some() && no_boring(job, id).is_none())
}

/// Why a hole cannot be bored without a mill; `None` when the faceplate takes it.
pub(super) fn no_boring(job: &Job, id: FeatureId) -> Option<String> {
    let Some(lathe) = &job.bench.lathe else {
        return Some("it is bored, and there is neither a mill nor a lathe".into());
    };
    if job.bench.has(crate::bench::WorkHolder::Faceplate) == crate::bench::There::No {
        return Some("it is bored, and there is neither a mill nor a faceplate for the lathe".into());
    }
    if !matches!(job.part.feature(id).face, Face::Front | Face::Back) {
        return Some("it is bored from an edge, and there is no mill".into());
    }
    let swings = farthest(job, job.part.xy(id).unwrap_or_default()) * 2;
    (swings > lathe.swing).then(|| {
        format!("it is bored, there is no mill, and about it the blank swings {swings}, more than {} in the lathe", lathe.swing)
    })
}

/// Clamped to the faceplate by the punched centre of a hole, which is drilled and bored there.
pub(super) fn on_faceplate(job: &Job, makings: &mut Makings, lot: Lot, hole: FeatureId) -> usize {
    let face = job.part.feature(hole).face;
    let held = holding(job, lot, face, Held::PlateOnFaceplate { hole }, Located::Punched);
    makings.place(job, lot, Holding { machine: Machine::Lathe, ..held })
}

/// The large faces filed until the thickness is right.
pub(super) fn faces(job: &Job, makings: &mut Makings, lot: Lot) {
    let place = at_vice(job, makings, lot, Face::Front);
    let [left, right, bottom, top] = job.part.edges();
    let mut file = deed(job, Work::FaceToThickness, None, lot, Tool::File, vec![place]);
    file.minutes = file.process().minutes_by_hand(right - left, top - bottom) * job.turns(lot);
    makings.assume(format!(
        "there is no mill: the faces are filed down to {}, which stock of that thickness would save",
        job.part.thickness()
    ));
    makings.deeds.push(file);
}

/// Two edges filed square to each other; of a rectangle, the other two to size.
pub(super) fn squares(job: &Job, makings: &mut Makings, lot: Lot, sized: bool) {
    let place = at_vice(job, makings, lot, Face::Bottom);
    let [left, right, bottom, top] = job.part.edges();
    let round = right - left + (top - bottom);
    let works = [Work::SquareEdges, Work::MillToSize];
    for work in works.into_iter().take(if sized { 2 } else { 1 }) {
        let mut file = deed(job, work, None, lot, Tool::File, vec![place]);
        file.minutes = file.process().minutes_by_hand(round, job.metal(lot)) * job.turns(lot);
        makings.deeds.push(file);
    }
}

fn at_vice(job: &Job, makings: &mut Makings, lot: Lot, face: Face) -> usize {
    let blank = holding(job, lot, face, Held::BenchVice, Located::SawnBlank);
    makings.place(job, lot, Holding { machine: Machine::BenchVice, ..blank })
}

/// A disc filed round to its scribed circle.
pub(super) fn file_disc(job: &Job, makings: &mut Makings, because: &str) {
    let round = Length::nearest(job.part.edges()[1].as_mm() * std::f64::consts::TAU);
    makings.assume(format!("the disc is filed round to a scribed circle: {because}"));
    for lot in if job.scheme.sticks() { vec![Lot::Stack] } else { job.singles() } {
        let place = super::places::at_bench(job, makings, lot);
        add(job, makings, Work::FileRound, None, lot, Tool::File, vec![place]);
        let minutes = process("file a side").minutes_by_hand(round, job.metal(lot)) * job.turns(lot);
        if let Some(file) = makings.deeds.last_mut() {
            file.minutes = minutes;
        }
    }
}

/// What a cut made to a mark may be out by: the scriber, the punch, and the drill or the file.
/// None of a cut that a slide places.
pub(super) fn share(deed: &Deed, holding: &Holding) -> Option<Share> {
    let row = deed.process();
    let wanders = row.position?;
    let scribed = process("mark out").position.unwrap_or_default();
    let line = holding.machine == Machine::BenchVice && holding.located == Located::Line;
    let (of, error) = match (holding.located, &holding.held) {
        (Located::Punched, Held::PlateOnFaceplate { .. }) => {
            let (punched, clocked) = (locating("punched centre").error, locating("faceplate clocked").error);
            let of = format!("`{}`: scribed {scribed}, punched {punched} and clocked {clocked}", deed.text);
            (of, scribed + punched + clocked)
        }
        (Located::Punched, _) => {
            let by_hand = holding.machine == Machine::BenchVice && matches!(deed.work, Work::Drill { .. });
            let row = if by_hand { process("drill by hand") } else { row };
            let (punched, wanders) = (locating("punched centre").error, row.position.unwrap_or_default());
            let of =
                format!("`{}`: scribed {scribed}, punched {punched} and {} {wanders}", deed.text, row.name);
            (of, scribed + punched + wanders)
        }
        _ if line => {
            (format!("`{}`: scribed {scribed} and {} {wanders}", deed.text, row.name), scribed + wanders)
        }
        _ => return None,
    };
    Some(Share { of, error, source: row.source.to_string() })
}

/// Whether what is out is out because it was made to a mark.
pub(super) fn is_by_eye(shares: &[Share]) -> bool {
    shares.iter().any(|share| share.of.contains(": scribed "))
}

/// How deep a cut goes that is made by hand.
pub(super) fn deep(work: &Work) -> Option<Length> {
    match work {
        Work::MillSlot { deep, .. } | Work::MillPocket { deep } => match deep {
            Deep::Through(metal) | Deep::To(metal) => Some(*metal),
        },
        _ => None,
    }
}
