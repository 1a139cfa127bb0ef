//! What is done to one feature of a plate, in order, and whether to a whole stack at once.

mod by_hand;
mod curved;
pub(super) use by_hand::{cuts as cuts_by_hand, minutes as minutes_by_hand, refused};
mod holes;
mod hollow;
mod squared;
mod steps;
pub(super) use steps::deep as step_deep;
mod ways;
pub(super) use ways::is_half;

use super::deed::{Deed, Job, Lot, Makings};
use super::plates::deed;
use super::work::{Aid, Deep, SlotSides, Tool, Work};
use crate::drawing::{Axis, Depth, Face, FeatureId, Kind};
use crate::measure::{Length, Toward};

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
    if matches!(job.part.feature(id).kind, Kind::CurvedSlot { .. }) {
        return curved::chain(job, makings, id);
    }
    let all = if job.mills() { cuts(job, makings, id) } else { by_hand::cuts(job, makings, id) };
    if let Some(broached) = squared::broached(job, makings, id) {
        return either(job, makings, id, [("drilled and filed", all), ("broached", broached)]);
    }
    if let Some(aside) = steps::other(job, makings, id) {
        return either(job, makings, id, [("down from its face", all), ("in from its side", aside)]);
    }
    let all = match ways::kept(job, makings, id, all) {
        ways::Kept::Only(cuts) => cuts,
        ways::Kept::Several(ways, out) => return ways::either(job, makings, id, ways, out),
    };
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

/// Adds two ways as an either-or. Each piece goes through by itself: the two ways have tools or
/// places of their own, and whether a pair is cut stuck together is a choice already.
fn either(job: &Job, makings: &mut Makings, id: FeatureId, ways: [(&str, Vec<Cut>); 2]) {
    let group = makings.choices.len();
    makings
        .choices
        .push((job.name(id).to_owned(), ways.iter().map(|(words, _)| (*words).to_owned()).collect()));
    for (variant, (_, cuts)) in ways.iter().enumerate() {
        for cut in cuts {
            for lot in job.singles() {
                let mut deed = deed_of(job, makings, cut, lot);
                deed.choice = Some((group, variant));
                makings.deeds.push(deed);
            }
        }
    }
}

/// A cut as a deed, whose metal being known.
fn deed_of(job: &Job, makings: &mut Makings, cut: &Cut, lot: Lot) -> Deed {
    let places = match cut.tool {
        Tool::File | Tool::Chisel | Tool::Broach(_) | Tool::HandSaw => {
            vec![super::places::at_bench(job, makings, lot)]
        }
        _ if super::by_eye::bored_in_lathe(job, cut.feature) => {
            vec![super::by_eye::on_faceplate(job, makings, lot, cut.feature)]
        }
        _ => super::places::of_cut(job, makings, cut, lot),
    };
    let work = cut.work(cut.deep(job, lot));
    let by_button = work == Work::FileHole;
    let mut deed = deed(job, work, Some(cut.feature), lot, cut.tool.clone(), places);
    if let Some(minutes) = holes::minutes(job, makings, &deed) {
        deed.minutes = minutes;
    } else if matches!(deed.tool, Tool::File | Tool::Chisel) && !by_button {
        deed.minutes = by_hand::minutes(job, &deed);
    }
    deed.minutes *= cut.times;
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
                && !matches!(cut.tool, Tool::Saw(_) | Tool::File | Tool::Chisel | Tool::HandSaw)
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
            let first = holes.first().map(|&first| holes::plain(job, first)).unwrap_or_default();
            holes::of_pattern(job, id, holes, first)
        }
        Kind::Hole { .. } if job.drilled_from_both_sides(id).is_some() => {
            holes::told_both_sides(job, makings, id)
        }
        Kind::Hole { .. } | Kind::Tapped { .. } => holes::plain(job, id),
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
        Kind::Step { .. } => steps::cuts(job, makings, id),
        Kind::Slot { width, depth, .. } => {
            let mill = job.mill_for(*width, makings);
            let slot = match job.slot_sides(*width, &mill) {
                SlotSides::AsCut | SlotSides::Stepped => slot_as_cut,
                SlotSides::Finished => |_, deep| Work::MillSlot { deep, sides: SlotSides::Finished },
            };
            vec![cut(slot, part.size(*width), reach(job, *depth), Tool::EndMill(mill))]
        }
        Kind::Keyway { width, .. } => {
            let width = part.size(*width);
            vec![cut(|_, _| Work::PlaneKeyway, width, Reach::Through, Tool::PlaningTool(width))]
        }
        // On the rotary table, or by hand: see [`curved`].
        Kind::CurvedSlot { .. } => Vec::new(),
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

impl Cut {
    /// How often it is done: once for each hole of a pattern.
    pub(super) fn times(&self) -> u64 {
        self.times
    }

    /// How far it goes in the metal of a lot.
    fn deep(&self, job: &Job, lot: Lot) -> Deep {
        match self.reach {
            Reach::Through => Deep::Through(through(job, self.feature, lot)),
            Reach::To(depth) => Deep::To(depth),
        }
    }

    /// What is done.
    pub(super) fn work(&self, deep: Deep) -> Work {
        (self.work)(self.size, deep)
    }
}

fn drill(diameter: Length, deep: Deep) -> Work {
    Work::Drill { diameter, deep }
}

fn slot_as_cut(_: Length, deep: Deep) -> Work {
    Work::MillSlot { deep, sides: SlotSides::AsCut }
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
