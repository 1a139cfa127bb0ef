//! Curved places solved again for other sizes, from the drawing's own solution, so
//! that a hole stays on the side of the line on which it is drawn.

use num_rational::Ratio;

use super::branches::{Branch, EXACT_MM, Field};
use super::forms::Placed;
use super::newton::settle;
use super::rows::{EDGES, Node, unknown};
use super::settled::Again;
use super::tangent::{exact, residual, tangents, touching};
use super::{Axis, Drawing, FeatureId, Linear, Solved};
use crate::measure::Length;
use crate::problem::Problem;

/// The way from the drawn sizes to the others is gone in this many steps, so that
/// each begins near its end.
const STEPS: i128 = 8;

/// The places of a part at sizes of its own.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Moved {
    /// Coordinates that curves give, by feature and axis.
    pub(super) places: Vec<(FeatureId, Axis, Length)>,
    /// Why the curves cannot be solved at these sizes, where they cannot.
    pub(super) fault: Option<Problem>,
}

impl Moved {
    /// A coordinate, where a curve gives it.
    pub(super) fn at(&self, id: FeatureId, axis: Axis) -> Option<Length> {
        let found = self.places.binary_search_by_key(&(id, axis), |&(id, axis, _)| (id, axis));
        found.ok().map(|at| self.places[at].2)
    }
}

/// Solves the curved places of a drawing for other sizes.
pub(super) fn moved(drawing: &Drawing, solved: &Solved, sizes: &[Length]) -> Moved {
    let Some(again) = &solved.again else { return Moved::default() };
    if again.blocks.is_empty() || sizes == again.drawn {
        return Moved::default();
    }
    let branch = match again.follow(drawing, sizes) {
        Ok(branch) => branch,
        Err(fault) => return Moved { places: Vec::new(), fault: Some(fault) },
    };
    let frame = again.forms.frame(sizes);
    let at = Placed { frame: &frame, free: &branch.free };
    let mut places = Vec::new();
    for id in (0..drawing.features.len()).map(FeatureId) {
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            let unknown = unknown(Node::Feature(id), axis);
            let terms = &again.forms.form(unknown).terms;
            if !terms.is_empty() && terms.iter().all(|(free, _)| branch.free[*free].is_finite()) {
                let place = super::curved::Coordinates::at_mm(&at, unknown);
                places.push((id, axis, exact(place)));
            }
        }
    }
    Moved { places, fault: None }
}

impl Again {
    /// Follows the drawing's solution to other sizes.
    fn follow(&self, drawing: &Drawing, sizes: &[Length]) -> Result<Branch, Problem> {
        let mut branch = self.branch.clone();
        for step in 1..=STEPS {
            let share = Ratio::new(step, STEPS);
            let between: Vec<Length> =
                self.drawn.iter().zip(sizes).map(|(&a, &b)| a + (b - a).scaled(share)).collect();
            let frame = self.forms.frame(&between);
            let field = Field { curves: &self.curves, frame: &frame, sizes: &between };
            for block in &self.blocks {
                let start: Vec<f64> = block.unknowns.iter().map(|&u| branch.free[u]).collect();
                let errors = |at: &[f64]| field.errors(block, &branch.choices, &branch.free, at);
                let (at, left) = settle(&start, &errors);
                let size_mm = at.iter().fold(100.0_f64, |most, x| most.max(x.abs()));
                if left.most() > EXACT_MM * size_mm / 100.0 {
                    return Err(self.parted(drawing, &block.curves, left.most()));
                }
                for (&unknown, &x) in block.unknowns.iter().zip(&at) {
                    branch.free[unknown] = x;
                }
            }
            let at = Placed { frame: &frame, free: &branch.free };
            let known = |word: &&super::sides::SideWord| {
                word.test.reads().iter().all(|&unknown| {
                    self.forms.form(unknown).terms.iter().all(|(free, _)| branch.free[*free].is_finite())
                })
            };
            if let Some(word) = self.sides.iter().filter(known).find(|word| !word.test.holds(&at)) {
                let feature = &drawing.features[word.feature.0];
                return Err(Problem::new(format!("`{}` would change sides", feature.name))
                    .at(drawing.file.clone())
                    .why("with these sizes it lies on the other side of what places it")
                    .mend("hold one of the sizes that place it to the drawing")
                    .concerns(feature.name.clone()));
            }
        }
        Ok(branch)
    }

    /// Curves that meet on the drawing and not at these sizes.
    fn parted(&self, drawing: &Drawing, curves: &[usize], off_mm: f64) -> Problem {
        let mut names: Vec<&str> = Vec::new();
        for &curve in curves {
            for unknown in self.curves[curve].shape.unknowns() {
                let node = unknown / 3;
                if let Some(feature) = node.checked_sub(EDGES.len()).and_then(|at| drawing.features.get(at))
                    && !names.contains(&feature.name.as_str())
                {
                    names.push(&feature.name);
                }
            }
        }
        let problem = Problem::new(format!("with these sizes `{}` cannot be placed", names.join("`, `")))
            .at(drawing.file.clone())
            .why(format!("their distances fail to meet by {off_mm:.4} mm; on the drawing they only just do"))
            .mend("hold the distances that place them: give each `role = \"hold\"`");
        names.into_iter().fold(problem, |problem, name| problem.concerns(name))
    }
}

impl Solved {
    /// True when some place is no sum of dimensions.
    pub fn is_curved(&self) -> bool {
        self.again.as_ref().is_some_and(|again| !again.blocks.is_empty())
    }

    /// The same places as sums that touch the curves at other sizes, for reckoning
    /// near those. The same sums again where nothing is curved.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the curves do not meet at these sizes.
    pub fn touching_at(&self, drawing: &Drawing, sizes: &[Length]) -> Result<Self, Problem> {
        let Some(again) = self.again.as_ref().filter(|again| !again.blocks.is_empty()) else {
            return Ok(self.clone());
        };
        let branch = again.follow(drawing, sizes)?;
        let frame = again.forms.frame(sizes);
        let field = Field { curves: &again.curves, frame: &frame, sizes };
        let slopes = tangents(&field, &again.blocks, &branch);
        let free = |unknown: &usize| slopes.get(unknown).map(|by| touching(branch.free[*unknown], by, sizes));
        let value = |unknown: usize| -> Option<Linear> {
            let form = again.forms.form(unknown);
            form.terms
                .iter()
                .try_fold(form.constant.clone(), |sum, (other, count)| Some(sum.plus(&free(other)?, *count)))
        };
        let mut solved = self.clone();
        for (index, place) in solved.places.iter_mut().enumerate() {
            for axis in [Axis::X, Axis::Y, Axis::Z] {
                let unknown = unknown(Node::Feature(FeatureId(index)), axis);
                if !again.forms.form(unknown).terms.is_empty() && place[axis as usize].is_some() {
                    place[axis as usize] = value(unknown);
                }
            }
        }
        let sums = solved.checks.len() - again.checks.len();
        for (check, &curve) in solved.checks[sums..].iter_mut().zip(&again.checks) {
            let choice = branch.choices[curve];
            let by = residual(&field, curve, choice, &branch.free, &slopes);
            check.difference = touching(field.residual_mm(curve, choice, &branch.free), &by, sizes);
        }
        Ok(solved)
    }
}
