//! Small instances with every kind of demand.

use std::sync::Arc;

use num_rational::Ratio;
use workshop::measure::Length;
use workshop::metric::{Demand, Judgement, Linear, Model, Span, Test, VariableId};

use super::{Around, Dice, sizes, tied};

/// A small instance with every kind of demand.
pub fn mixed(seed: u64) -> Model {
    let mut dice = Dice(seed);
    let count = 3 + dice.below(4) as usize;
    let shared = dice.below(4) as usize;
    let mut model = sizes(&mut dice, count, 4, shared);
    for _ in 0..1 + dice.below(6) {
        let at = dice.below(count as u64) as usize;
        let other = (at + 1 + dice.below(count as u64 - 1) as usize) % count;
        let [a, b] = [VariableId(at), VariableId(other)];
        match dice.below(8) {
            0 => {
                let row = |dice: &mut Dice| (0..4).map(|_| dice.below(3) > 0).collect();
                let allowed = (0..4).map(|_| row(&mut dice)).collect();
                model.demand("pair", "they go together", Demand::Pairs { a, b, allowed });
            }
            1 => {
                let candidate = dice.below(4) as usize;
                model.demand("not", "no room", Demand::Not { variable: a, candidate });
            }
            2 => {
                let one = |v| Linear::default().plus(v, Ratio::from_integer(1));
                let sides = drawn(&model, at).hypot(drawn(&model, other));
                let wall = Length::nearest(sides + 0.05 * (dice.below(7) as f64 - 3.0));
                let demand = Demand::Apart { along: one(a), across: one(b), reach: Linear::fixed(wall) };
                model.demand("apart", "a wall must stand", demand);
            }
            3 => {
                let most = drawn(&model, at) * drawn(&model, other) + dice.below(9) as f64 - 4.0;
                let test = Test { on: vec![a, b], judge: Arc::new(move |spans| area_under(spans, most)) };
                model.demand("area", "the area is limited", Demand::Test(test));
            }
            4 => {
                let asked = |dice: &mut Dice| Length::microns(50 * (dice.below(9) as i64 - 4));
                let near = Length::nearest(drawn(&model, at));
                let least = (0..4).map(|_| near + asked(&mut dice)).collect();
                let sum = Linear::default().plus(a, Ratio::from_integer(1));
                model.demand("reaches", "as long as it asks", Demand::Reaches { sum, by: b, least });
            }
            _ => {
                let third = dice.below(count as u64) as usize;
                let of = if dice.below(2) == 0 { vec![at, other] } else { vec![at, other, third] };
                tied(&mut model, &mut dice, Around::Drawn, &of);
            }
        }
    }
    model
}

fn drawn(model: &Model, at: usize) -> f64 {
    model.variables[at].drawn.as_mm()
}

fn area_under(spans: &[Span], most_mm2: f64) -> Judgement {
    let area = |pick: fn(&Span) -> Length| pick(&spans[0]).as_mm() * pick(&spans[1]).as_mm();
    match (area(|s| s.most) <= most_mm2, area(|s| s.least) > most_mm2) {
        (true, _) => Judgement::Holds,
        (_, true) => Judgement::Breaks,
        _ => Judgement::Unsure,
    }
}
