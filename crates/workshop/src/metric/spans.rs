//! Sums of sizes that are known only within spans, in millimetres: what judges reckon with
//! where no ratio can say it.

use std::sync::Arc;

use super::model::{Demand, Judgement, Linear, Span, Test, VariableId};
use crate::measure::Length;

/// A sum over the sizes, in millimetres, by their place in the list of what is read.
pub(super) struct SpanSum {
    constant_mm: f64,
    terms: Vec<(usize, f64)>,
}

impl SpanSum {
    /// Of a sum whose sizes all stand in the list.
    pub(super) fn of(sum: &Linear, on: &[VariableId]) -> Self {
        let term = |&(variable, times): &(VariableId, num_rational::Ratio<i128>)| {
            let place = on.iter().position(|&v| v == variable).expect("the list holds every size read");
            (place, *times.numer() as f64 / *times.denom() as f64)
        };
        Self { constant_mm: sum.constant.as_mm(), terms: sum.terms.iter().map(term).collect() }
    }

    /// The least and the greatest that it can be.
    pub(super) fn span_mm(&self, spans: &[Span]) -> (f64, f64) {
        self.terms.iter().fold((self.constant_mm, self.constant_mm), |(least, most), &(place, times)| {
            let ends = [spans[place].least, spans[place].most].map(|end| end.as_mm() * times);
            (least + ends[0].min(ends[1]), most + ends[0].max(ends[1]))
        })
    }
}

/// Every size that some sums read, each once, in order.
pub(super) fn read_by<'s>(sums: impl IntoIterator<Item = &'s Linear>) -> Vec<VariableId> {
    let mut on: Vec<VariableId> =
        sums.into_iter().flat_map(|sum| sum.terms.iter().map(|term| term.0)).collect();
    on.sort_unstable();
    on.dedup();
    on
}

/// How far something is from nought, at least and at most.
pub(super) fn away((least, most): (f64, f64)) -> (f64, f64) {
    let near = if least > 0.0 {
        least
    } else if most < 0.0 {
        -most
    } else {
        0.0
    };
    (near, least.abs().max(most.abs()))
}

/// A sum with long factors, at least a length to the nanometre.
pub(super) fn above(sum: Linear, least: Length) -> Demand {
    judged(sum, least.as_mm() - 1e-6, f64::INFINITY)
}

/// A sum with long factors that stays within a slack of nought.
pub(super) fn within_slack(sum: Linear, slack: Length) -> Demand {
    judged(sum, -slack.as_mm() - 1e-6, slack.as_mm() + 1e-6)
}

/// A sum between two lengths, judged to the nanometre where it is too fine to compare exactly.
pub(super) fn judged(sum: Linear, low_mm: f64, high_mm: f64) -> Demand {
    let on = read_by([&sum]);
    let reads = SpanSum::of(&sum, &on);
    let judge = move |spans: &[Span]| {
        let (least_mm, most_mm) = reads.span_mm(spans);
        if least_mm >= low_mm && most_mm <= high_mm {
            Judgement::Holds
        } else if most_mm < low_mm || least_mm > high_mm {
            Judgement::Breaks
        } else {
            Judgement::Unsure
        }
    };
    Demand::Test(Test { on, judge: Arc::new(judge) })
}
