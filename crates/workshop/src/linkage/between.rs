//! The distance between two features of a part as one size of a mechanism: `Rod: big end to small
//! end`.
//!
//! It is the sum of the drawing's dimensions that lead from one to the other, each a parameter of
//! its own, so that what a result asks is asked of every one of them. Where it slants, every
//! dimension counts by its share of the slant as drawn, and what the metric sizes make of the slant
//! beyond that is added as a number that nobody has to hold.

use mechanism::{Mechanism, ParamId, Size};
use num_rational::Ratio;

use super::size::{Kind, Known, Sizes};
use crate::document::{meant, nearest_word};
use crate::drawing::{Axis, DimensionId, Drawing, Linear, Part, Solved, solve};
use crate::problem::Problem;
use crate::why::Why;

/// The two features named, where the words are `A to B`.
fn ends<'t>(drawing: &Drawing, text: &'t str) -> Option<[&'t str; 2]> {
    let splits =
        text.match_indices(" to ").map(|(at, word)| [text[..at].trim(), text[at + word.len()..].trim()]);
    let splits: Vec<[&str; 2]> = splits.collect();
    let known =
        |name: &str| name == "datum" || drawing.features.iter().any(|f| f.name.eq_ignore_ascii_case(name));
    splits.iter().find(|ends| ends.iter().all(|name| known(name))).or(splits.first()).copied()
}

/// Whether a size is said as a distance between two features.
pub(super) fn is_between(name: &str) -> bool {
    name.contains(" to ")
}

impl Sizes<'_> {
    /// The distance between two features of a part.
    pub(super) fn across(&mut self, m: &mut Mechanism, at: usize, name: &str) -> Result<Size, Problem> {
        let held = self.parts[at];
        let drawing = held.drawing;
        let said = format!("{}: {name}", drawing.name);
        let ends =
            ends(drawing, name).ok_or_else(|| Problem::new(format!("`{said}` names no two features")))?;
        let solved = solve(drawing).map_err(|mut faults| {
            let fault =
                if faults.is_empty() { Problem::new("its places are not settled") } else { faults.remove(0) };
            Problem::new(format!("`{said}` is not known"))
                .why(format!("{}: {}", fault.place(), fault.what()))
                .mend("mend that part first")
        })?;
        let [first, second] = [place(drawing, &solved, ends[0])?, place(drawing, &solved, ends[1])?];
        let apart: Vec<Linear> = first
            .into_iter()
            .zip(second)
            .filter_map(|pair| match pair {
                (Some(a), Some(b)) => Some(b.minus(&a)),
                _ => None,
            })
            .collect();
        let drawn: Vec<crate::measure::Length> =
            drawing.dimensions.iter().map(|d| d.written.length).collect();
        let legs: Vec<f64> = apart.iter().map(|leg| leg.value(&drawn).as_mm()).collect();
        let distance = legs.iter().map(|leg| leg * leg).sum::<f64>().sqrt();
        if distance < 1e-9 {
            return Err(Problem::new(format!(
                "{} and {} of {} lie in one place",
                ends[0], ends[1], drawing.name
            ))
            .mend("name two features that lie apart"));
        }
        let (mut sum, mut straight) = (Size::from(distance), 0.0);
        let made = held.metric.map(|metric| &metric.sizes);
        let ids: std::collections::BTreeSet<DimensionId> =
            apart.iter().flat_map(|leg| leg.terms.keys().copied()).collect();
        for id in ids {
            let times = |leg: &Linear| leg.terms.get(&id).copied().map_or(0.0, as_number);
            let by: f64 =
                apart.iter().zip(&legs).map(|(leg, long)| times(leg) * long).sum::<f64>() / distance;
            if by.abs() < 1e-12 {
                continue;
            }
            let label = format!("{}: {}", drawing.name, drawing.dimensions[id.0].name);
            let param = self.dimension(m, (at, crate::drawing::Size::Length(id)), label);
            sum = sum + Size::from(param) * by - by * drawn[id.0].as_mm();
            if let Some(made) = made {
                straight += by * (made.lengths[id.0] - drawn[id.0]).as_mm();
            }
        }
        let beyond = made.map(|made| {
            let part = Part::as_drawn(drawing, &solved).with_sizes(made.clone());
            let legs = legs_of(&part, ends);
            legs.map_or(0.0, |exact| exact - distance - straight)
        });
        if beyond.is_some_and(|beyond| beyond.abs() > 1e-7) {
            let param = self.beyond(m, &said, beyond);
            sum = sum + param;
        }
        Ok(sum)
    }

    /// What the metric sizes make of a slant beyond their shares of it.
    fn beyond(&mut self, m: &mut Mechanism, said: &str, beyond: Option<f64>) -> ParamId {
        let label = format!("{said}: what its slant adds");
        let why = Why::new("the distance of the metric part less the shares of its dimensions")
            .source("elementary geometry");
        self.known.push(Known {
            name: label.clone(),
            kind: Kind::Length,
            drawn: 0.0,
            chosen: beyond,
            room: None,
            measured: false,
            of: None,
            settled: true,
            why_drawn: why.clone(),
            why_chosen: why,
        });
        m.param(label, 0.0)
    }
}

/// Across the drawing, exactly for a part's own sizes.
fn legs_of(part: &Part, ends: [&str; 2]) -> Option<f64> {
    let at = |name: &str| -> Option<[Option<f64>; 2]> {
        if name == "datum" {
            return Some([Some(0.0), Some(0.0)]);
        }
        let (id, _) = part.features().find(|(_, f)| f.name.eq_ignore_ascii_case(name))?;
        Some([Axis::X, Axis::Y].map(|axis| part.at(id, axis).map(|length| length.as_mm())))
    };
    let (first, second) = (at(ends[0])?, at(ends[1])?);
    let squares = first.iter().zip(second).filter_map(|(a, b)| Some((b? - (*a)?).powi(2)));
    Some(squares.sum::<f64>().sqrt())
}

/// Right and up, as sums of dimensions.
fn place(drawing: &Drawing, solved: &Solved, name: &str) -> Result<[Option<Linear>; 2], Problem> {
    if name == "datum" {
        return Ok([Some(Linear::default()), Some(Linear::default())]);
    }
    let Some(id) = drawing.features.iter().position(|f| f.name.eq_ignore_ascii_case(name)) else {
        let near = nearest_word(name, drawing.features.iter().map(|f| f.name.as_str()));
        return Err(Problem::new(format!("`{}` has no feature called `{name}`", drawing.name)).mend(meant(
            near,
            "name two features of it, `PART: FEATURE to FEATURE`, or a size as `oddleg metric` lists it",
        )));
    };
    let id = crate::drawing::FeatureId(id);
    Ok([Axis::X, Axis::Y].map(|axis| solved.place(id, axis).cloned()))
}

fn as_number(times: Ratio<i128>) -> f64 {
    *times.numer() as f64 / *times.denom() as f64
}
