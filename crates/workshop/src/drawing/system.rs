//! The equations of a drawing: sums of dimensions, eliminated as they are stated,
//! and beside them the curves and the side words that elimination leaves alone.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::curved::Curve;
use super::rows::{Row, Unknown, add, last_place, scale, subtract};
use super::sides::SideWord;
use super::{Check, DimensionId, Drawing, FeatureId, Linear};
use crate::measure::Length;
use crate::problem::Problem;

/// Who says an equation.
#[derive(Clone, Debug)]
pub(super) struct Source {
    /// As written; empty for what every part of its kind has.
    pub(super) text: String,
    pub(super) line: Option<usize>,
    /// The feature it places, and which of its statements it is.
    pub(super) statement: Option<(FeatureId, usize)>,
    /// The dimension it gives, where it gives one.
    pub(super) dimension: Option<DimensionId>,
}

/// A sum of coordinates that comes to a sum of dimensions, as stated.
#[derive(Clone, Debug)]
pub(super) struct Stated {
    pub(super) terms: Vec<(Unknown, i128)>,
    pub(super) value: Linear,
    pub(super) source: usize,
}

/// An equation that adds nothing and does not come to nought.
#[derive(Clone, Debug)]
pub(super) struct Clash {
    /// What should come to nought.
    pub(super) difference: Linear,
    /// The statements it comes from.
    pub(super) sources: Vec<usize>,
}

/// The equations stated so far.
pub(super) struct System<'a> {
    pub(super) drawing: &'a Drawing,
    pub(super) rows: Vec<Row>,
    pub(super) sources: Vec<Source>,
    pub(super) stated: Vec<Stated>,
    pub(super) curves: Vec<Curve>,
    pub(super) sides: Vec<SideWord>,
    pub(super) checks: Vec<Check>,
    pub(super) clashes: Vec<Clash>,
    pub(super) faults: Vec<Problem>,
}

/// Cosines are held to twelve places, so sums of them agree to a nanometre.
pub(super) fn rounding() -> Length {
    Length::mm_ratio(1, 1_000_000)
}

impl<'a> System<'a> {
    pub(super) fn new(drawing: &'a Drawing) -> Self {
        Self {
            drawing,
            rows: Vec::new(),
            sources: Vec::new(),
            stated: Vec::new(),
            curves: Vec::new(),
            sides: Vec::new(),
            checks: Vec::new(),
            clashes: Vec::new(),
            faults: Vec::new(),
        }
    }

    /// Names who says the equations that follow.
    pub(super) fn say(&mut self, source: Source) {
        self.sources.push(source);
    }

    /// What follows holds for every part of its kind.
    pub(super) fn nobody_says(&mut self) {
        self.say(Source { text: String::new(), line: None, statement: None, dimension: None });
    }

    /// The newest source.
    pub(super) fn source(&self) -> usize {
        self.sources.len() - 1
    }

    /// Adds `sum of terms = value`, said by the newest source.
    pub(super) fn equation(&mut self, terms: &[(Unknown, i128)], value: Linear) {
        let stated = Stated { terms: terms.to_vec(), value, source: self.source() };
        let row = row_of(&stated);
        self.stated.push(stated);
        if let Some(row) = take(&mut self.rows, row) {
            self.check(row);
        }
    }

    /// An equation that adds nothing: the drawing says something twice.
    fn check(&mut self, row: Row) {
        let sources: Vec<usize> =
            row.from.keys().copied().filter(|&at| !self.sources[at].text.is_empty()).collect();
        let slack = slack(self.drawing, &row.value);
        if self.drawn(&row.value).abs() <= slack {
            let statements = sources.iter().map(|&at| self.words(at)).collect();
            self.checks.push(Check { statements, difference: row.value, slack });
        } else {
            self.clashes.push(Clash { difference: row.value, sources });
        }
    }

    /// A sum at the sizes of the drawing.
    pub(super) fn drawn(&self, sum: &Linear) -> Length {
        let terms = sum.terms.iter();
        sum.constant
            + terms.map(|(id, &count)| self.drawing.dimensions[id.0].written.length.scaled(count)).sum()
    }

    /// A statement with the feature that it places.
    pub(super) fn words(&self, source: usize) -> String {
        let source = &self.sources[source];
        match source.statement {
            Some((id, _)) => format!("{}: {}", self.drawing.features[id.0].name, source.text),
            None => source.text.clone(),
        }
    }
}

/// What the rounding of the drawing's own decimals may hide in a sum.
pub(super) fn slack(drawing: &Drawing, sum: &Linear) -> Length {
    let hidden = sum
        .terms
        .iter()
        .map(|(id, &count)| last_place(&drawing.dimensions[id.0].written).scaled(count).abs())
        .sum::<Length>();
    hidden + rounding()
}

/// A statement as a row of the elimination.
pub(super) fn row_of(stated: &Stated) -> Row {
    let mut row = Row {
        pivot: 0,
        coefficients: BTreeMap::new(),
        value: stated.value.clone(),
        from: BTreeMap::from([(stated.source, Ratio::from_integer(1))]),
    };
    for &(unknown, count) in &stated.terms {
        add(&mut row.coefficients, unknown, Ratio::from_integer(count));
    }
    row
}

/// Takes a row into an elimination; gives it back when it adds nothing.
pub(super) fn take(rows: &mut Vec<Row>, mut row: Row) -> Option<Row> {
    for known in rows.iter() {
        if let Some(&count) = row.coefficients.get(&known.pivot) {
            subtract(&mut row, known, count);
        }
    }
    let Some((&pivot, &count)) = row.coefficients.iter().next() else { return Some(row) };
    scale(&mut row, Ratio::from_integer(1) / count);
    row.pivot = pivot;
    for known in rows.iter_mut() {
        if let Some(&count) = known.coefficients.get(&pivot) {
            subtract(known, &row, count);
        }
    }
    rows.push(row);
    None
}
