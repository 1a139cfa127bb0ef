//! A block that is parted through a bore: its bolts drilled while it is one, the cap sawn off, the
//! joint faced, the cap bolted on, and everything else made in both as one.

use super::deed::{Deed, Job, Lot, Makings, Token};
use super::explain::would_lose;
use super::model::{Model, OpId, Plan};
use super::places::{at_bench, holding};
use super::plates::add;
use super::work::{Deep, Held, Holding, Located, Machine, Tool, Trap, Work};
use crate::drawing::{Depth, Kind, Parted};
use crate::measure::Length;
use crate::problem::{Outcome, Problem};

/// Adds what parting asks for.
///
/// # Errors
///
/// A tapped bolt that ends within the cap.
pub(super) fn deeds(job: &Job, makings: &mut Makings) -> Outcome<()> {
    let Some(parted) = &job.part.drawing.parted else { return Ok(()) };
    reaches(job, parted)?;
    for lot in job.singles() {
        let bench = at_bench(job, makings, lot);
        let vice = Held::BenchVice;
        let loose = holding(job, lot, parted.cap, vice, Located::Nothing);
        let loose = makings.place(job, lot, Holding { machine: Machine::BenchVice, ..loose });
        add(job, makings, Work::SawCap, None, lot, Tool::HandSaw, vec![bench]);
        if job.mills() {
            let joint = holding(job, lot, parted.cap, Held::ViceOnEdge, Located::Nothing);
            let place = makings.place(job, lot, joint);
            let mill = Tool::EndMill(job.mill_along(Length::ZERO, makings));
            add(job, makings, Work::FaceJoint, None, lot, mill, vec![place]);
        } else {
            add(job, makings, Work::FaceJoint, None, lot, Tool::File, vec![loose]);
        }
        add(job, makings, Work::BoltCap, None, lot, Tool::Bolts, vec![loose]);
        bolts(job, parted, makings, (lot, loose));
    }
    Ok(())
}

/// Bolts are drilled through what parting will take as well; a thread is cut when the base lies
/// open, through the cap's opened hole.
fn bolts(job: &Job, parted: &Parted, makings: &mut Makings, (lot, bench): (Lot, usize)) {
    let [base, cap] = halves(job.part, parted);
    for deed in makings.deeds.iter_mut().filter(|deed| deed.lot == lot && for_a_bolt(job, deed)) {
        match &mut deed.work {
            Work::Drill { deep: Deep::To(deep) | Deep::Through(deep), .. } => *deep += Parted::lost(),
            Work::Tap { deep } => {
                *deep = match *deep {
                    Deep::To(deep) => Deep::To(deep - cap),
                    Deep::Through(_) => Deep::Through(base),
                };
                deed.places = vec![bench];
            }
            _ => {}
        }
    }
}

/// How thick the cap is, to the middle of the bore.
pub(super) fn cap_thick(job: &Job, parted: &Parted) -> Length {
    halves(job.part, parted)[1]
}

/// From the middle of the bore to the far side of the base, and of the cap.
pub(crate) fn halves(part: &crate::drawing::Part, parted: &Parted) -> [Length; 2] {
    use crate::drawing::Face;
    let axis = parted.cap.axis();
    let at = part.at(parted.bore, axis).unwrap_or_default();
    let [left, right, bottom, top] = part.edges();
    let (least, most) = if axis == crate::drawing::Axis::X { (left, right) } else { (bottom, top) };
    match parted.cap {
        Face::Top | Face::Right => [at - least, most - at],
        _ => [most - at, at - least],
    }
}

fn reaches(job: &Job, parted: &Parted) -> Outcome<()> {
    let cap = cap_thick(job, parted);
    let short = parted.bolts.iter().filter_map(|&id| match job.part.feature(id).kind {
        Kind::Tapped { depth: Depth::To(depth), .. } if job.part.size(depth) <= cap => {
            Some((id, job.part.size(depth)))
        }
        _ => None,
    });
    let faults: Vec<Problem> = short
        .map(|(id, deep)| {
            Problem::new(format!("`{}` does not come into the base", job.name(id)))
                .at(format!("line {}", parted.line))
                .at(job.part.drawing.file.clone())
                .concerns(job.name(id).to_owned())
                .why(format!("the cap is {cap} thick to the joint, and it is {deep} deep"))
                .mend("make it deeper, or leave `depth` out")
        })
        .collect();
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// What is done to the block before its cap comes off.
fn blanks(work: &Work) -> bool {
    matches!(work, Work::SquareEdges | Work::MillToSize | Work::FaceToThickness | Work::MarkOut)
}

const fn parts(work: &Work) -> bool {
    matches!(work, Work::SawCap | Work::FaceJoint | Work::BoltCap)
}

/// Whether a deed is for one of the bolts, or for what stands over it.
pub(super) fn for_a_bolt(job: &Job, deed: &Deed) -> bool {
    let (Some(parted), Some(id)) = (&job.part.drawing.parted, deed.feature) else { return false };
    let over = match job.part.feature(id).kind {
        Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => over,
        _ => id,
    };
    parted.bolts.contains(&over)
}

/// What a deed needs of the block: that it is whole yet, or that its cap is bolted on.
pub(super) fn needs_whole(job: &Job, deed: &Deed) -> Vec<Token> {
    match &job.part.drawing.parted {
        Some(_) if for_a_bolt(job, deed) && !taps(deed) => pieces(job, deed.lot, Token::Whole),
        _ => Vec::new(),
    }
}

pub(super) fn needs_bolted(job: &Job, deed: &Deed) -> Vec<Token> {
    match &job.part.drawing.parted {
        Some(_) if !for_a_bolt(job, deed) && !blanks(&deed.work) && !parts(&deed.work) => {
            pieces(job, deed.lot, Token::Bolted)
        }
        _ => Vec::new(),
    }
}

pub(super) fn spoils_whole(job: &Job, deed: &Deed) -> Vec<Token> {
    if deed.work == Work::SawCap { pieces(job, deed.lot, Token::Whole) } else { Vec::new() }
}

pub(super) fn makes_bolted(job: &Job, deed: &Deed) -> Vec<Token> {
    if deed.work == Work::BoltCap { pieces(job, deed.lot, Token::Bolted) } else { Vec::new() }
}

/// Whether one deed is done to the block before another part of the parting.
pub(super) fn in_turn(job: &Job, a: &Deed, b: &Deed) -> bool {
    let tapped = |deed: &Deed| taps(deed) && for_a_bolt(job, deed);
    a.lot.meets(b.lot)
        && match b.work {
            Work::SawCap => blanks(&a.work),
            Work::FaceJoint => a.work == Work::SawCap,
            Work::BoltCap => a.work == Work::FaceJoint || tapped(a),
            Work::Tap { .. } => a.work == Work::FaceJoint && tapped(b),
            _ => false,
        }
}

fn taps(deed: &Deed) -> bool {
    matches!(deed.work, Work::Tap { .. })
}

fn pieces(job: &Job, lot: Lot, token: impl Fn(usize) -> Token) -> Vec<Token> {
    job.pieces_of(lot).into_iter().map(token).collect()
}

/// That the bore is not made while the block is still one: the saw would take the middle out of it.
pub(super) fn trap(job: &Job, makings: &Makings, model: &Model, plan: &Plan) -> Option<Trap> {
    let parted = job.part.drawing.parted.as_ref()?;
    let of = |test: &dyn Fn(&Deed) -> bool| {
        plan.steps.iter().map(|step| step.op.0).find(|&op| test(&makings.deeds[op]))
    };
    let saw = of(&|deed| deed.work == Work::SawCap)?;
    let bore = of(&|deed| deed.feature == Some(parted.bore))?;
    let breaks = !would_lose(model, plan, OpId(bore), OpId(saw)).is_empty();
    breaks.then(|| Trap {
        early: format!("{} before {}", makings.deeds[bore].text, makings.deeds[saw].text),
        lost: format!(
            "The saw and the facing take {} out of the middle of it, and it is no longer round.",
            Parted::lost()
        ),
    })
}
