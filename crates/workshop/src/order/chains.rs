//! What is done to one feature of a plate, in order, and whether to a whole stack at once.

mod by_hand;
pub(super) use by_hand::refused;
mod hollow;
mod squared;

use super::deed::{Deed, Job, Lot, Makings};
use super::kept::HeldDistance;
use super::offers;
use super::plates::deed;
use super::work::{Aid, Deep, Tool, Work};
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::tables::processes::{limit, locating, process};

/// One thing to do to one feature, before it is said to whose metal.
pub(super) struct Cut {
    pub feature: FeatureId,
    work: fn(Length, Deep) -> Work,
    size: Length,
    pub reach: Reach,
    pub tool: Tool,
    times: u64,
    /// The face it is made from, where that is not left to the search.
    pub from: Option<Face>,
}

/// How far a cut goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// Out of the other side, however thick the lot is.
    Through,
    /// To a depth.
    To(Length),
}

/// Adds the deeds of a feature. What all pieces have in common is done to the stuck stack
/// or to each, all of it alike: drilling one hole of many apart would only leave it out of
/// line with the others. The search chooses which.
pub(super) fn chain(job: &Job, makings: &mut Makings, id: FeatureId) {
    if let Some(which) = job.joint_of(id) {
        let cuts = if job.mills() { cuts(job, makings, id) } else { by_hand::cuts(job, makings, id) };
        for cut in &cuts {
            let mut deed = deed_of(job, makings, cut, Lot::Joint(which));
            // Its time counts with the part that lies on top.
            deed.minutes *= u64::from(job.part.drawing.together[which].above == 0);
            makings.deeds.push(deed);
        }
        return;
    }
    let all = if job.mills() { cuts(job, makings, id) } else { by_hand::cuts(job, makings, id) };
    if let Some(broached) = squared::broached(job, makings, id) {
        return squared::either(job, makings, id, [all, broached]);
    }
    if let Some(trued) = trued(job, makings, id) {
        return either_placed(job, makings, id, [all, trued]);
    }
    let both = through_both(job, &all);
    let choice = both.contains(&true).then(|| makings.choice(job, job.through_all()));
    for (cut, &both) in all.iter().zip(&both) {
        let variants: &[(bool, usize)] =
            if choice.is_some() { &[(both, 0), (false, 1)] } else { &[(false, 0)] };
        for &(as_pair, variant) in variants {
            let lots = if as_pair { vec![Lot::Stack] } else { job.singles() };
            for lot in lots {
                let mut deed = deed_of(job, makings, cut, lot);
                deed.choice = choice.map(|choice| (choice, variant));
                makings.deeds.push(deed);
            }
        }
    }
}

/// Offers a reamed hole drilled and reamed, and trued between the two: for the pair or for
/// each piece, like every hole that goes through both.
fn either_placed(job: &Job, makings: &mut Makings, id: FeatureId, ways: [Vec<Cut>; 2]) {
    const WORDS: [&str; 2] = ["drilled and reamed", "drilled, brought to its place by boring and reamed"];
    let boths = ways.each_ref().map(|cuts| through_both(job, cuts));
    let paired = boths.iter().all(|both| both.contains(&true));
    let kinds: &[(bool, &str)] =
        if paired { &[(true, job.suffix()), (false, offers::EACH)] } else { &[(false, "")] };
    let choice = makings.choices.len();
    let mut variants = Vec::new();
    for &(paired, kind) in kinds {
        for (way, cuts) in ways.iter().enumerate() {
            for (cut, &both) in cuts.iter().zip(&boths[way]) {
                let lots = if paired && both { vec![Lot::Stack] } else { job.singles() };
                for lot in lots {
                    let mut deed = deed_of(job, makings, cut, lot);
                    deed.choice = Some((choice, variants.len()));
                    makings.deeds.push(deed);
                }
            }
            variants.push(format!("{}{kind}", WORDS[way]));
        }
    }
    makings.choices.push((job.name(id).to_owned(), variants));
    if paired {
        makings.aligns.push(choice);
    }
}

/// A cut as a deed, whose metal being known.
fn deed_of(job: &Job, makings: &mut Makings, cut: &Cut, lot: Lot) -> Deed {
    let places = match cut.tool {
        Tool::File | Tool::Broach(_) | Tool::HandSaw => vec![super::places::at_bench(job, makings, lot)],
        _ if super::by_eye::bored_in_lathe(job, cut.feature) => {
            vec![super::by_eye::on_faceplate(job, makings, lot, cut.feature)]
        }
        _ => super::places::of_cut(job, makings, cut, lot),
    };
    let deep = match cut.reach {
        Reach::Through => Deep::Through(through(job, cut.feature, lot)),
        Reach::To(depth) => Deep::To(depth),
    };
    let work = cut.work(deep);
    let by_button = work == Work::FileHole;
    let mut deed = deed(job, work, Some(cut.feature), lot, cut.tool.clone(), places);
    deed.minutes *= cut.times;
    if deed.tool == Tool::File && !by_button {
        deed.minutes = by_hand::minutes(job, &deed);
    }
    if by_button {
        deed.aids.push(Aid::MarkingButton { hole: cut.feature });
    }
    deed
}

/// Which cuts go through a stack: common to all its pieces, within the tool's reach,
/// and after cuts of the same hole that do.
fn through_both(job: &Job, cuts: &[Cut]) -> Vec<bool> {
    let mut both: Vec<bool> = Vec::new();
    for (n, cut) in cuts.iter().enumerate() {
        let before = (0..n).filter(|&b| cuts[b].feature == cut.feature).all(|b| both[b]);
        let from_the_front = matches!(job.part.feature(cut.feature).face, Face::Front | Face::Back);
        let bored = matches!(cut.tool, Tool::BoringTool);
        both.push(
            job.scheme.sticks()
                && before
                && from_the_front
                && cut.reach == Reach::Through
                && cut.from.is_none()
                && !matches!(cut.tool, Tool::Saw(_) | Tool::File | Tool::HandSaw)
                && !matches!(job.part.feature(cut.feature).kind, Kind::TaperPin { .. })
                && job.reaches(&cut.tool, Lot::Stack)
                && (!bored || job.mills() && job.bores_through(cut.size, Lot::Stack)),
        );
    }
    both
}

/// The metal a through hole goes through.
pub(super) fn through(job: &Job, id: FeatureId, lot: Lot) -> Length {
    if matches!(job.part.feature(id).face, Face::Front | Face::Back) {
        return job.metal(lot);
    }
    // No drill is set finer than a tenth.
    let (first, last) = job.part.chord(id).unwrap_or_default();
    (last - first).rounded(Length::microns(100), Toward::More).value
}

/// What is done to one feature, in order; in a plate or in a turned part.
pub(super) fn cuts(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let part = job.part;
    let cut = |work, size, reach, tool| Cut { feature: id, work, size, reach, tool, times: 1, from: None };
    match &part.feature(id).kind {
        Kind::PitchCircle { holes, .. } | Kind::Row { holes, .. } => {
            // All holes of the circle or row are one deed: they never gain by being apart.
            let mut all = holes.first().map(|&first| hole(job, first)).unwrap_or_default();
            for cut in &mut all {
                cut.feature = id;
                cut.times = holes.len() as u64;
            }
            all
        }
        Kind::Hole { .. } if job.drilled_from_both_sides(id).is_some() => from_both_sides(job, makings, id),
        Kind::Hole { .. } | Kind::Tapped { .. } => hole(job, id),
        Kind::ClampScrew { thread, clearance, across } => {
            let tapping = job.tapping_drill(*thread);
            let (clearing, _) = job.hole_tools(*clearance);
            let size = tapping.diameter;
            let open = |diameter, deep| Work::OpenClearance { diameter, deep };
            let near = Reach::To(to_slit(job, id, *across));
            vec![
                cut(drill, size, Reach::Through, Tool::Drill(tapping)),
                cut(open, part.size(*clearance), near, Tool::Drill(clearing)),
                cut(tap, size, Reach::Through, Tool::Tap(part.thread(*thread))),
            ]
        }
        Kind::Step { leaves, .. } => {
            let whole = part.whole(part.feature(id).face.axis());
            let leaves = part.size(*leaves);
            let mill = job.mill_along(Length::ZERO, makings);
            let step = |leaves, _| Work::MillStep { leaves };
            vec![cut(step, leaves, Reach::To(whole - leaves), Tool::EndMill(mill))]
        }
        Kind::Slot { width, depth, .. } => {
            let mill = job.mill_for(*width, makings);
            let slot = |_, deep| Work::MillSlot { deep };
            vec![cut(slot, part.size(*width), reach(job, *depth), Tool::EndMill(mill))]
        }
        Kind::Counterbore { diameter, depth, .. } => {
            let mill = job.counterbore_mill(*diameter, makings);
            let counterbore = |diameter, deep: Deep| Work::Counterbore { diameter, depth: deep.length() };
            vec![cut(counterbore, part.size(*diameter), Reach::To(part.size(*depth)), Tool::EndMill(mill))]
        }
        Kind::Slit { width, .. } => {
            let saw = job.saw(id, *width, makings);
            vec![cut(|_, _| Work::Slit, part.size(*width), Reach::Through, Tool::Saw(saw))]
        }
        Kind::TaperPin { .. } => hollow::taper_pin(job, makings, id),
        Kind::Countersink { .. } => hollow::countersink(job, id),
        Kind::Pocket { .. } => hollow::pocket(job, makings, id),
        Kind::Square { .. } | Kind::Flatted { .. } => squared::filed(job, makings, id),
        Kind::Boss { .. }
        | Kind::Corner { .. }
        | Kind::Section { .. }
        | Kind::Groove { .. }
        | Kind::Knurl { .. }
        | Kind::Flats { .. }
        | Kind::Chamfer { .. }
        | Kind::Recess { .. } => Vec::new(),
    }
}

/// A reamed bore at the end of a distance with a tolerance: drilled small, brought to its
/// place with a boring tool, and reamed to size. None where the bench or the hole does not
/// allow it, or nothing asks for it.
fn trued(job: &Job, makings: &Makings, id: FeatureId) -> Option<Vec<Cut>> {
    let Kind::Hole { diameter, depth, .. } = job.part.feature(id).kind else { return None };
    let asked = |held: &HeldDistance| held.said && (held.ends.0 == id || held.ends.1 == Some(id));
    if !job.may_true(id) || !makings.held.iter().any(asked) {
        return None;
    }
    let cut = |work, size, reach, tool| Cut { feature: id, work, size, reach, tool, times: 1, from: None };
    let (size, deep) = (job.part.size(diameter), reach(job, depth));
    let (pilot, then) = job.hole_tools(diameter);
    let (small, to) = job.truing(size)?;
    let first = hollow::below(job, small).unwrap_or(pilot);
    let true_hole = |diameter, deep| Work::TrueHole { diameter, deep };
    let mut all = vec![
        cut(drill, first.diameter, deep, Tool::Drill(first)),
        cut(true_hole, to, deep, Tool::BoringTool),
    ];
    all.extend(then.map(|reamer| cut(ream, size, deep, reamer)));
    Some(all)
}

/// A hole deeper than its drill reaches: half way from either side.
fn from_both_sides(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let all = hole(job, id);
    let Some(metal) = job.drilled_from_both_sides(id) else { return all };
    let Some(first) = all.first() else { return all };
    let Tool::Drill(bit) = &first.tool else { return all };
    let face = job.part.feature(id).face;
    let middle = metal.half().rounded(Length::microns(100), Toward::More).value;
    makings.assume(format!(
        "{} is {metal} deep and its drill reaches {}: it is drilled from both sides, and where the halves meet they may stand {} apart",
        job.name(id),
        process("drill").reach.map_or(metal, |times| bit.diameter.scaled(times)),
        (process("drill").position.unwrap_or_default() + job.slides_within() + locating("edge finder").error) * 2,
    ));
    let half = |from, reach| Cut { from: Some(from), reach, tool: first.tool.clone(), ..*first };
    vec![
        half(face, Reach::To(middle + limit("past the middle"))),
        half(super::places::opposite(face), Reach::To(middle)),
    ]
}

/// A plain or tapped hole.
fn hole(job: &Job, id: FeatureId) -> Vec<Cut> {
    let cut = |work, size, reach, tool| Cut { feature: id, work, size, reach, tool, times: 1, from: None };
    match &job.part.feature(id).kind {
        Kind::Hole { diameter, depth, .. } => {
            let (first, then) = job.hole_tools(*diameter);
            let deep = reach(job, *depth);
            let mut all = vec![cut(drill, first.diameter, deep, Tool::Drill(first))];
            if let Some(tool) = then {
                let work = if tool == Tool::BoringTool { bore } else { ream };
                all.push(cut(work, job.part.size(*diameter), deep, tool));
            }
            all
        }
        Kind::Tapped { thread, depth } => {
            let (first, deep) = (job.tapping_drill(*thread), reach(job, *depth));
            let size = first.diameter;
            vec![
                cut(drill, size, deep, Tool::Drill(first)),
                cut(tap, size, deep, Tool::Tap(job.part.thread(*thread))),
            ]
        }
        _ => Vec::new(),
    }
}

impl Job<'_> {
    /// The metal that a plain drilled hole goes through when its drill reaches no more than
    /// half of it; none for any other hole.
    pub(super) fn drilled_from_both_sides(&self, id: FeatureId) -> Option<Length> {
        let Kind::Hole { diameter, depth: Depth::Through, .. } = self.part.feature(id).kind else {
            return None;
        };
        let (drill, then) = self.hole_tools(diameter);
        let joint = self.joint_of(id).is_some();
        if then.is_some() || joint || matches!(self.part.drawing.body, Body::Turned { .. }) {
            return None;
        }
        let metal = through(self, id, Lot::Piece(0));
        let reaches = |metal| process("drill").reaches(drill.diameter, metal);
        let half = metal.half() + limit("past the middle");
        (!reaches(metal) && reaches(half)).then_some(metal)
    }
}

impl Cut {
    /// How often it is done: once for each hole of a pattern.
    pub(super) fn times(&self) -> u64 {
        self.times
    }

    /// What is done.
    pub(super) fn work(&self, deep: Deep) -> Work {
        (self.work)(self.size, deep)
    }
}

fn drill(diameter: Length, deep: Deep) -> Work {
    Work::Drill { diameter, deep }
}

fn ream(diameter: Length, deep: Deep) -> Work {
    Work::Ream { diameter, deep }
}

fn bore(diameter: Length, deep: Deep) -> Work {
    Work::Bore { diameter, deep }
}

fn tap(_: Length, deep: Deep) -> Work {
    Work::Tap { deep }
}

fn reach(job: &Job, depth: Depth) -> Reach {
    match depth {
        Depth::Through => Reach::Through,
        Depth::To(id) => Reach::To(job.part.size(id)),
    }
}

/// From the face a clamp screw enters to the middle of the slit it closes.
fn to_slit(job: &Job, screw: FeatureId, slit: FeatureId) -> Length {
    let [left, right, bottom, top] = job.part.round_of(screw);
    let Kind::Slit { into, .. } = job.part.feature(slit).kind else { return Length::ZERO };
    let at = |axis| job.part.at(into, axis).unwrap_or_default();
    match job.part.side(job.part.feature(screw).face) {
        Face::Top | Face::Front | Face::Back => top - at(Axis::Y),
        Face::Bottom => at(Axis::Y) - bottom,
        Face::Left => at(Axis::X) - left,
        Face::Right => right - at(Axis::X),
    }
}
