//! Larger generated choices, put together as parts are: holes with places and
//! sizes, walls, lengths that add up, fits, and tools that several parts share.

use std::collections::BTreeMap;

use num_rational::Ratio;
use workshop::measure::Length;
use workshop::metric::{Demand, Linear, Model, PurchaseId, THING, VariableId};

use super::{Around, Dice, base, one, sizes, tied, wall};

/// A fit: the second size goes with the first when it is a little larger.
pub fn fit(model: &mut Model, dice: &mut Dice, around: Around, a: usize, b: usize) {
    let gap = base(model, around, b) - base(model, around, a);
    let (less, more) = (100 * dice.below(3) as i64, 100 * (1 + dice.below(3)) as i64);
    let (least, most) = (gap - Length::microns(less), gap + Length::microns(more));
    let values = |v: usize| model.variables[v].candidates.iter().map(|c| c.value);
    let goes = |a: Length| values(b).map(|b| b - a >= least && b - a <= most).collect();
    let allowed = values(a).map(goes).collect();
    let [a, b] = [VariableId(a), VariableId(b)];
    model.demand(format!("fit {} {}", a.0, b.0), "they go together", Demand::Pairs { a, b, allowed });
}

/// Holes with walls, lengths that run over several of them, fits and shared tools.
pub fn mixture(seed: u64, around: Around, variables: usize, candidates: usize, shared: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, variables, candidates, shared);
    let holes = variables / 3;
    for hole in 1..holes {
        match dice.below(4) {
            0 => tied(&mut model, &mut dice, around, &[hole * 3 - 3, hole * 3]),
            1 => fit(&mut model, &mut dice, around, hole * 3 - 1, hole * 3 + 2),
            _ => wall(&mut model, &mut dice, around, hole - 1, hole),
        }
    }
    for from in (0..variables.saturating_sub(12)).step_by(9) {
        let of: Vec<usize> = (from..from + 12).step_by(3).collect();
        tied(&mut model, &mut dice, around, &of);
    }
    model
}

/// A project: parts of some sizes each, tied within; each part fits the one before
/// it but for every tenth, and all share one list of tools to buy, one for each size.
///
/// Many sizes could use something bought; few lack everything owned.
pub fn project(seed: u64, parts: usize, each: usize, candidates: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, parts * each, candidates, 0);
    let mut tools: BTreeMap<Length, PurchaseId> = BTreeMap::new();
    for at in 0..model.variables.len() {
        let nothing_owned = dice.below(1000) == 0;
        for label in 0..candidates {
            if nothing_owned || dice.below(4) == 0 {
                let value = model.variables[at].candidates[label].value;
                let points = THING as u32 + 1 + dice.below(9) as u32;
                let tool =
                    *tools.entry(value).or_insert_with(|| model.purchase(format!("reamer {value}"), points));
                model.variables[at].candidates[label].buys = vec![tool];
            }
        }
    }
    let planted = Around::Planted;
    for part in 0..parts {
        let first = part * each;
        for at in 1..each {
            let before = at - 1 - dice.below(at.min(3) as u64) as usize;
            match dice.below(6) {
                0 => fit(&mut model, &mut dice, planted, first + before, first + at),
                1 if at >= 3 => {
                    tied(&mut model, &mut dice, planted, &[first + at - 3, first + at - 1, first + at]);
                }
                _ => tied(&mut model, &mut dice, planted, &[first + before, first + at]),
            }
        }
        if part % 10 > 0 {
            fit(&mut model, &mut dice, planted, first - 1, first);
        }
    }
    model
}

/// A plate of holes: each stands two lengths from the edges, in rows of five; walls
/// between neighbours, rows in line, drills and reamers shared.
pub fn plate(seed: u64, holes: usize, candidates: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, holes * 3, candidates, 8);
    for hole in 0..holes {
        for other in [hole + 1, hole + 5] {
            if other < holes && (other == hole + 5 || other % 5 > 0) {
                apart(&mut model, hole, other);
            }
        }
        if hole % 5 > 0 && dice.below(2) == 0 {
            // In line with the hole before: the same height.
            level(&mut model, hole * 3 - 2, hole * 3 + 1);
        }
    }
    model
}

/// Two holes of a plate, 20 mm on along and 20 mm up for every row.
fn apart(model: &mut Model, from: usize, to: usize) {
    let point = |hole: usize| {
        let shift = |by: usize| Linear::fixed(Length::mm(20 * by as i64));
        [
            shift(hole % 5).plus(VariableId(hole * 3), one()),
            shift(hole / 5).plus(VariableId(hole * 3 + 1), one()),
        ]
    };
    let half = Ratio::new(1, 2);
    let reach =
        Linear::fixed(Length::mm(2)).plus(VariableId(from * 3 + 2), half).plus(VariableId(to * 3 + 2), half);
    let name = format!("wall between holes {from} and {to}");
    model.demand(name, "a wall must stand", Demand::apart(point(from), &point(to), reach));
}

fn level(model: &mut Model, a: usize, b: usize) {
    let off = base(model, Around::Planted, b) - base(model, Around::Planted, a);
    let sum = Linear::default().plus(VariableId(b), one()).plus(VariableId(a), -one());
    let (least, most) = (Some(off - Length::microns(100)), Some(off + Length::microns(100)));
    model.demand(format!("level {a} {b}"), "they stand in line", Demand::Between { sum, least, most });
}
