//! Generated choices of several shapes, for the tests and the benches.

#![allow(dead_code, reason = "no one test or bench uses all of them")]

pub mod brute;
pub mod mixed;
pub mod shop;

use num_rational::Ratio;
use workshop::measure::Length;
use workshop::metric::{Candidate, Demand, Linear, Model, PurchaseId, Variable, VariableId};

/// A small generator of its own, so that an instance is the same for ever.
/// SplitMix64, Steele, Lea and Flood (2014), from memory.
pub struct Dice(pub u64);

impl Dice {
    /// A number below `sides`.
    pub fn below(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    }
}

pub fn one() -> Ratio<i128> {
    Ratio::from_integer(1)
}

/// `variables` sizes drawn in 64ths, each with `candidates` sizes in tenths
/// around it; some have to be bought, some of those from a shared few.
pub fn sizes(dice: &mut Dice, variables: usize, candidates: usize, shared: usize) -> Model {
    let mut model = Model::default();
    let purchases: Vec<PurchaseId> =
        (0..shared).map(|at| model.purchase(format!("tool {at}"), 1 + dice.below(3) as u32)).collect();
    for at in 0..variables {
        let drawn = Length::inches(i128::from(8 + dice.below(32)), 64);
        let weight = 1 + dice.below(4);
        let middle = (drawn.as_mm() * 10.0).round() as i64;
        let nothing_owned = dice.below(4) == 0;
        let mut offered = Vec::new();
        for label in 0..candidates {
            let value = Length::microns(100 * (middle + label as i64 - candidates as i64 / 2));
            let departure = (value.gap(drawn).as_mm() * 1e4).round() as u64 * weight;
            let buys = match dice.below(3) {
                pick if shared > 0 && (pick == 0 || nothing_owned) => {
                    vec![purchases[dice.below(shared as u64) as usize]]
                }
                _ => vec![],
            };
            let tenths = (middle + label as i64 - candidates as i64 / 2).rem_euclid(10);
            let roughness = if tenths == 0 {
                0
            } else if tenths == 5 {
                1
            } else {
                2
            };
            offered.push(Candidate { value, buys, departure, roughness, label });
        }
        model.variable(Variable { name: format!("size {at}"), drawn, candidates: offered });
    }
    model
}

fn sum(of: &[usize]) -> Linear {
    of.iter().fold(Linear::default(), |sum, &v| sum.plus(VariableId(v), one()))
}

/// What the demands of an instance are laid around.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Around {
    /// The sizes as drawn: they may well clash.
    Drawn,
    /// A choice off the drawing that is known to hold.
    Planted,
}

pub fn base(model: &Model, around: Around, v: usize) -> Length {
    let variable = &model.variables[v];
    let count = variable.candidates.len();
    let planted = (count / 2 + Dice(v as u64 * 77).below(5) as usize).saturating_sub(2).min(count - 1);
    match around {
        Around::Drawn => variable.drawn,
        Around::Planted => variable.candidates[planted].value,
    }
}

/// Each size and the next add up to what is drawn, rounded, give or take; every
/// few make a length that must keep a wall.
pub fn chain(seed: u64, around: Around, variables: usize, candidates: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, variables, candidates, 0);
    for at in 0..variables - 1 {
        tied(&mut model, &mut dice, around, &[at, at + 1]);
    }
    for at in (0..variables.saturating_sub(3)).step_by(2) {
        tied(&mut model, &mut dice, around, &[at, at + 1, at + 2]);
    }
    model
}

/// Each size tied to an earlier one, with some bought tools shared by all.
pub fn tree(seed: u64, around: Around, variables: usize, candidates: usize, shared: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, variables, candidates, shared);
    for at in 1..variables {
        let parent = dice.below(at as u64) as usize;
        tied(&mut model, &mut dice, around, &[parent, at]);
    }
    model
}

/// Sizes in rows and columns, neighbours tied.
pub fn grid(seed: u64, around: Around, rows: usize, columns: usize, candidates: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, rows * columns, candidates, 0);
    for at in 0..rows * columns {
        if at % columns + 1 < columns {
            tied(&mut model, &mut dice, around, &[at, at + 1]);
        }
        if at + columns < rows * columns {
            tied(&mut model, &mut dice, around, &[at, at + columns]);
        }
    }
    model
}

/// Holes in a row, each with two coordinates and a radius; neighbours, and
/// those two on, keep a wall between them.
pub fn holes(seed: u64, around: Around, holes: usize, candidates: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, holes * 3, candidates, 0);
    for from in 0..holes {
        for to in [from + 1, from + 2] {
            if to < holes {
                wall(&mut model, &mut dice, around, from, to);
            }
        }
    }
    model
}

pub fn wall(model: &mut Model, dice: &mut Dice, around: Around, from: usize, to: usize) {
    let base = |v: usize| base(model, around, v).as_mm();
    let point = |hole: usize| {
        let shift = Linear::fixed(Length::mm(20 * hole as i64));
        [shift.plus(VariableId(hole * 3), one()), Linear::default().plus(VariableId(hole * 3 + 1), one())]
    };
    let along = base(from * 3) - base(to * 3) - 20.0 * (to - from) as f64;
    let across = base(from * 3 + 1) - base(to * 3 + 1);
    let radii = base(from * 3 + 2) + base(to * 3 + 2);
    let gap = along.hypot(across) - radii;
    let step = if around == Around::Drawn { 0.05 } else { -0.05 };
    let wall = Length::nearest((gap * 100.0).floor() / 100.0 + step * dice.below(6) as f64);
    let reach = sum(&[from * 3 + 2, to * 3 + 2]).less(&Linear::fixed(-wall));
    let name = format!("wall {from} {to}");
    model.demand(name, "a wall must stand", Demand::apart(point(from), &point(to), reach));
}

/// A few sizes that must add up to about what they are laid around.
pub fn tied(model: &mut Model, dice: &mut Dice, around: Around, of: &[usize]) {
    let middle: Length = of.iter().map(|&v| base(model, around, v)).sum();
    let steps = dice.below(5) as i64;
    let shift = match around {
        Around::Drawn => Length::microns(50 * (dice.below(9) as i64 - 4)),
        Around::Planted => Length::ZERO,
    };
    let slack = Length::microns(50 * steps);
    let (least, most) = match dice.below(3) {
        0 => (Some(middle + shift), None),
        1 => (None, Some(middle + shift)),
        _ => (Some(middle + shift - slack), Some(middle + shift + slack)),
    };
    let demand = Demand::Between { sum: sum(of), least, most };
    model.demand(format!("sum of {of:?}"), "they make a length together", demand);
}

/// Runs of sizes, each run long and tied to a length, overlapping by one.
pub fn runs(seed: u64, around: Around, variables: usize, candidates: usize, run: usize) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, variables, candidates, 0);
    let mut from = 0;
    while from + run <= variables {
        let of: Vec<usize> = (from..from + run).collect();
        tied(&mut model, &mut dice, around, &of);
        from += run - 1;
    }
    model
}
