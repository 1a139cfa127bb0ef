//! A block that is parted through a bore: where it is sawn, what each half is faced to, and how
//! its cap goes on again.

use super::job::Setup;
use super::sheet::Row;
use crate::drawing::{Face, Kind, Parted};
use crate::measure::Length;
use crate::order::Work;
use crate::order::parted::halves;
use crate::order::work::{Deep, Step, Tool};
use crate::settings::show::{mm, practice};
use crate::tables::clearance;
use crate::tables::materials::Operation;
use crate::tables::processes::limit;
use crate::why::Figure;

/// The side of the base, and of the cap, that each is measured from.
const fn sides(cap: Face) -> [&'static str; 2] {
    match cap {
        Face::Top => ["bottom", "top"],
        Face::Bottom => ["top", "bottom"],
        Face::Left => ["right", "left"],
        _ => ["left", "right"],
    }
}

/// Both faces of the joint, in the mill.
pub fn joint(setup: &Setup, step: &Step, row: &mut Row) {
    if let Tool::EndMill(mill) = &step.tool {
        row.speed = setup.speed(row.number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    }
    fill(setup, step, row);
}

/// A row of the parting.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) {
    let Some(parted) = &setup.part.drawing.parted else { return };
    let number = row.number;
    let halves = halves(&setup.part, parted);
    let faced = halves.map(|half| half - parted.shim().half());
    let [base, cap] = sides(parted.cap);
    let why_bore = || setup.why_place(parted.bore, parted.cap.axis());
    match step.work {
        Work::SawCap => {
            let middle = halves[0] + limit("joint face") + limit("saw cut").half();
            let why = practice(format!(
                "the middle of the bore is {} from there; {} is left on the base for facing the joint, and the saw takes {}",
                mm(halves[0]),
                mm(limit("joint face")),
                mm(limit("saw cut"))
            ))
            .because(why_bore());
            let label = format!("middle of the cut, from the {base} edge");
            let marks = practice(
                "both halves stamped or punched on one side before the cut: the cap goes on only as it came off",
            );
            row.sets = vec![
                Figure::new(setup.named(number, "mark both halves"), "one side of each", marks),
                Figure::new(setup.named(number, &label), mm(middle), why),
            ];
        }
        Work::FaceJoint => {
            let why = |rule: &str| {
                let why = practice(rule).because(why_bore());
                match &parted.shim {
                    Some(shim) => why.because(practice(format!(
                        "the shim of {} lies half in each, so that the bore's middle is where it is drawn",
                        mm(shim.length)
                    ))),
                    None => why,
                }
            };
            let label = |half: &str, side: &str| format!("{half}, from the {side} edge to the joint");
            row.depth = vec![
                Figure::new(
                    setup.named(number, &label("base", base)),
                    mm(faced[0]),
                    why("on parallels by its own outside; measured at both ends"),
                ),
                Figure::new(
                    setup.named(number, &label("cap", cap)),
                    mm(faced[1]),
                    why("turned over on parallels by its own outside; measured at both ends"),
                ),
            ];
            let blue = practice("blue on the one marks the other nearly all over");
            row.check = Some(Figure::new(setup.named(number, "check"), "no light between them", blue));
        }
        Work::Tap { deep } => tap(setup, step, deep, row),
        Work::BoltCap => bolt(setup, parted, row),
        _ => {}
    }
}

/// The thread of a bolt in the base, the cap's opened hole laid over it.
fn tap(setup: &Setup, step: &Step, deep: Deep, row: &mut Row) {
    let number = row.number;
    let Some(id) = step.feature else { return };
    let Kind::Tapped { thread, .. } = setup.part.feature(id).kind else { return };
    if let Some(hole) = clearance::holes(setup.part.thread(thread)).next() {
        let why =
            practice("opened, the cap's half lets the screw draw it down, and steers the tap into the base");
        let shown = format!("opened to ⌀ {} first", mm(hole.diameter));
        row.sets = vec![Figure::new(setup.named(number, "hole in the cap"), shown, why)];
    }
    let words = match deep {
        Deep::Through(_) => "through".to_owned(),
        Deep::To(deep) => mm(deep),
    };
    let why = practice("full thread so far below the joint: what is drawn from the outside less the cap");
    row.depth = vec![Figure::new(setup.named(number, "thread below the joint"), words, why)];
}

fn bolt(setup: &Setup, parted: &Parted, row: &mut Row) {
    let number = row.number;
    if let Some(shim) = &parted.shim {
        let why = practice(
            "the same on both sides of the bore, right up to it; taken out or thinned when the bearing is worn",
        );
        row.sets.push(Figure::new(setup.named(number, "shim in the joint"), mm(shim.length), why));
    }
    let all = halves(&setup.part, parted).into_iter().fold(Length::ZERO, |all, half| all + half);
    let rule = practice(
        "burrs off, faces wiped, the marks on one side, the bolts drawn up evenly; it stays on until everything is bored",
    );
    let [base, cap] = sides(parted.cap);
    let label = format!("over both, {base} to {cap} edge");
    row.check = Some(Figure::new(setup.named(number, &label), mm(all), rule));
}
