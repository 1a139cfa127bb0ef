//! What holds the pieces of a stack together that is not stuck: clamps over its ends until the screws
//! are in, then the screws, whose nuts the cutter must clear.

use std::f64::consts::TAU;

use super::super::job::Setup;
use super::super::pieces::goes_through;
use super::super::sheet::{Row, Scene, SceneNote};
use super::roads::{self, Cut};
use super::{Clamp, Clamps, candidates, enough, side_word};
use crate::geometry::{Outline, Point, Segment};
use crate::measure::{Length, Toward};
use crate::order::work::{Lots, Screw, Step};
use crate::order::{Held, Joined, Machine, Pieces, Work};
use crate::settings::show::{geometry, mm, practice};
use crate::sheet::box_lines;
use crate::tables::heads::{cap_head, nut};
use crate::tables::processes::limit;
use crate::why::Figure;

/// How the pieces of a stack hold together in a setup.
enum Together<'a> {
    /// By clamps: the screws come later.
    Clamped,
    /// By these screws.
    Screwed(&'a [Screw]),
}

fn together<'a>(setup: &Setup<'a>) -> Option<Together<'a>> {
    let Pieces::Stack(Lots { joined: Joined::Screwed, .. }) = setup.holding.pieces else { return None };
    let order = setup.job.order;
    let (at, screws) = order.steps.iter().find_map(|step| match &step.work {
        Work::ScrewTogether { screws } => Some((step.setup, screws)),
        _ => None,
    })?;
    Some(if setup.number - 1 <= at { Together::Clamped } else { Together::Screwed(screws) })
}

/// At least so many clamps hold a stack together.
const LEAST_CLAMPS: usize = 2;

/// The clamps over the ends of a stack in the vice that no screw holds yet, one of which at least holds
/// in every cut while the jaws do too.
pub(super) fn clamps(setup: &Setup, cuts: impl FnOnce() -> Vec<Cut>) -> Option<Clamps> {
    let in_vice = setup.holding.machine == Machine::Mill && setup.holding.held == Held::ViceOnParallels;
    let Some(Together::Clamped) = together(setup).filter(|_| in_vice && setup.frame.in_plan()) else {
        return None;
    };
    let cuts = cuts();
    let own = setup.beside().iter().try_fold(Vec::new(), |mut all, piece| {
        let blank = blank(piece)?;
        let mut tried = candidates(piece, Some(&blank), &cuts, (&[], &all));
        // The jaws hold the sides that lie along them.
        let out = |clamp: &Clamp| clamp.strap.end() - clamp.strap.start();
        tried.retain(|clamp| out(clamp).x_mm.abs() > out(clamp).y_mm.abs());
        for clamp in &mut tried {
            clamp.over = side_word(out(clamp)).into();
        }
        all.extend(enough(&tried, cuts.len(), 1, LEAST_CLAMPS)?);
        Some(all)
    });
    // Where no places will do, the words of the holding say how one is moved at a time.
    Some(Clamps { clamps: own?, hold: 1, cuts })
}

/// The first setup in which such clamps have their places, and over which sides they come in.
pub fn first_placed(setup: &Setup) -> Option<(usize, String)> {
    let order = setup.job.order;
    (setup.number..order.setups.len()).find_map(|index| {
        let later = Setup::new(setup.job, index);
        let steps: Vec<&Step> = order.steps_in(index).map(|(_, step)| step).collect();
        let found = clamps(&later, || roads::cuts(&later, &steps))?;
        let sides: Vec<&str> = found.clamps.iter().map(|clamp| clamp.over.as_str()).collect();
        Some((index + 1, sides.join(" and ")))
    })
}

/// The sides of the blank, from the datum.
fn blank(setup: &Setup) -> Option<Outline> {
    let [x0, x1, y0, y1] = setup.extent();
    let ([left, near], [right, far]) = (
        <[Length; 2]>::from(setup.off_datum((x0, y0))).map(Length::as_mm),
        <[Length; 2]>::from(setup.off_datum((x1, y1))).map(Length::as_mm),
    );
    Outline::new(box_lines(left, near, right, far)).ok()
}

/// A nut that stands on a stack.
struct Standing<'a> {
    screw: &'a Screw,
    name: &'a str,
    at: Point,
    /// Half of what it is across its corners.
    reach_mm: f64,
}

/// The nuts on top of a stack as it lies, those of screws whose place something else takes left out.
fn standing<'a>(setup: &Setup<'a>) -> Vec<Standing<'a>> {
    let Some(Together::Screwed(screws)) = together(setup) else { return Vec::new() };
    let held = setup.holding.machine != Machine::BenchVice && setup.frame.in_plan();
    let on = screws.iter().filter(|screw| held && !goes_through(setup, screw.hole));
    on.filter_map(|screw| {
        let (x, y) = setup.read(screw.hole);
        // Across the corners of a hexagon.
        let reach_mm = nut(screw.thread)?.across.as_mm() / 3.0_f64.sqrt();
        let name = setup.job.part.drawing.features[screw.hole.0].name.as_str();
        Some(Standing { screw, name, at: Point::at(x, y), reach_mm })
    })
    .collect()
}

/// Where nuts stand and how far they reach, for clamps to keep clear of.
pub(super) fn nuts(setup: &Setup) -> Vec<(Point, f64)> {
    standing(setup).into_iter().map(|nut| (nut.at, nut.reach_mm)).collect()
}

/// What the screws of a stack ask in a setup: how high they stand and how far the cutter passes them,
/// drawn on the picture and told in the rows that come too near.
pub fn screws(
    setup: &Setup,
    (steps, numbers): (&[&Step], Option<&[Vec<usize>]>),
    rows: &mut [Row],
    scene: &mut Scene,
) -> Vec<Figure> {
    let nuts = standing(setup);
    if nuts.is_empty() {
        return Vec::new();
    }
    let cuts = roads::numbered(setup, steps, numbers);
    let mut figures = Vec::new();
    for nut in nuts {
        scene.around.push(Segment::arc(nut.at, nut.reach_mm, 0.0, TAU));
        let text = format!("nut {}", nut.screw.thread.designation);
        scene.notes.push(SceneNote { at: nut.at, text, figure: None });
        let clear_mm = |cut: &Cut| {
            let to = |road: &Segment| road.nearest(nut.at).distance_mm(nut.at);
            let road_mm = cut.roads.iter().map(to).fold(f64::INFINITY, f64::min);
            road_mm - cut.reach_mm - nut.reach_mm
        };
        let least_mm = cuts.iter().map(clear_mm).fold(f64::INFINITY, f64::min);
        let up = (nut.screw.long - setup.stack_height()).max(Length::ZERO);
        let head = cap_head(nut.screw.thread).map_or(Length::ZERO, |head| head.height);
        let wide = Length::nearest(nut.reach_mm * 2.0).rounded(Length::microns(100), Toward::More).value;
        let shown = match least_mm.is_finite() {
            true => format!(
                "stands {} up, {} across its corners; the cutter passes it by {}",
                mm(up),
                mm(wide),
                mm(Length::nearest(least_mm.max(0.0)).rounded(Length::microns(100), Toward::Less).value)
            ),
            false => format!("stands {} up, {} across its corners", mm(up), mm(wide)),
        };
        let why = geometry(format!(
            "a screw {} long through a stack of {}; its head, {} high, is below",
            mm(nut.screw.long),
            mm(setup.stack_height()),
            mm(head)
        ))
        .because(practice("laid against the road of every cutter; the holder and the spindle stand above its end as long as the cutter is so far out of its holder"));
        figures.push(Figure::new(setup.named(0, &format!("screw in {}", nut.name)), shown, why));
        let near = cuts.iter().filter(|cut| clear_mm(cut) < limit("clear of the next").as_mm());
        for number in near.map(|cut| cut.row) {
            let Some(row) = rows.iter_mut().find(|row| row.number == number) else { continue };
            let label = setup.named(number, &format!("screw in {}", nut.name));
            if row.sets.iter().all(|figure| figure.name != label) {
                let why =
                    practice("the cutter would meet its nut; one screw and a clamp hold as well as two");
                row.sets.push(Figure::new(label, "clamp beside it, then take it out for this cut", why));
            }
        }
    }
    figures
}
