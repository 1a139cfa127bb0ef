//! What may be chosen, what each choice costs, and what must hold.
//!
//! Every number is exact. A choice is one candidate index per variable.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

use num_rational::Ratio;

use super::gauge::Gauge;
use crate::measure::Length;
use crate::problem::Problem;

/// The most candidates one variable may have: they are held as bits of a word.
pub const MOST_CANDIDATES: usize = 128;

/// Which variable of a model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VariableId(pub usize);

/// Which constraint of a model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ConstraintId(pub usize);

/// Which purchase of a model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PurchaseId(pub usize);

/// Something that would have to be bought; paid for once however often it is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Purchase {
    /// `reamer 9.5 H7`.
    pub name: String,
    /// Cost points; what they mean is the caller's affair.
    pub points: u32,
}

/// One size a variable may take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The size itself.
    pub value: Length,
    /// What would have to be bought for it; empty when everything is owned.
    pub buys: Vec<PurchaseId>,
    /// Weighted distance from the drawing, in whole units of the caller's choosing.
    pub departure: u64,
    /// How unround the number is.
    pub roughness: u32,
    /// The caller's own mark: which drill, which rule. The search ignores it.
    pub label: usize,
}

/// One size or position to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Variable {
    /// As the person would name it: `left bore`.
    pub name: String,
    /// As drawn.
    pub drawn: Length,
    /// What it may become.
    pub candidates: Vec<Candidate>,
}

/// A constant and multiples of variables, added up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Linear {
    /// Each variable and how many times it counts.
    pub terms: Vec<(VariableId, Ratio<i128>)>,
    /// What is added to them.
    pub constant: Length,
}

impl Linear {
    /// A fixed length.
    pub fn fixed(constant: Length) -> Self {
        Self { terms: Vec::new(), constant }
    }

    /// Adds `times` the variable.
    #[must_use]
    pub fn plus(mut self, variable: VariableId, times: Ratio<i128>) -> Self {
        self.terms.push((variable, times));
        self
    }

    /// This less another.
    #[must_use]
    pub fn less(mut self, other: &Self) -> Self {
        self.terms.extend(other.terms.iter().map(|&(variable, times)| (variable, -times)));
        self.constant -= other.constant;
        self
    }
}

/// The smallest and largest a variable can still be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// Never less than this.
    pub least: Length,
    /// Never more than this.
    pub most: Length,
}

/// What a [`Test`] can say of sizes known only within spans.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judgement {
    /// It holds for all sizes within the spans.
    Holds,
    /// It holds for none of them.
    Breaks,
    /// Not to be told yet. For single sizes this counts as broken.
    Unsure,
}

/// The function behind a [`Test`]: one span a variable, in order.
pub type Judge = dyn Fn(&[Span]) -> Judgement + Send + Sync;

/// A relation no ratio can express, judged over spans: the wall from a hole to
/// a slanting flank. The judge must give the same answer to the same spans, and
/// narrower spans must never turn `Holds` or `Breaks` into the other.
#[derive(Clone)]
pub struct Test {
    /// The variables it reads.
    pub on: Vec<VariableId>,
    /// The judge.
    pub judge: Arc<Judge>,
}

impl fmt::Debug for Test {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Test").field("on", &self.on).finish_non_exhaustive()
    }
}

/// What must hold.
#[derive(Clone, Debug)]
pub enum Demand {
    /// A sum lies between two lengths: walls along an axis, chains, equalities,
    /// fits, thicknesses.
    Between {
        /// The sum.
        sum: Linear,
        /// It may not be less.
        least: Option<Length>,
        /// It may not be more.
        most: Option<Length>,
    },
    /// Two points stand at least `reach` apart, compared by exact squares. A
    /// negative reach asks nothing.
    Apart {
        /// From the one to the other along the first axis.
        along: Linear,
        /// From the one to the other along the second axis.
        across: Linear,
        /// Radii and wall together.
        reach: Linear,
    },
    /// A sum is no less than what each candidate of a further variable asks: the length of
    /// a thread, by thread and drill.
    Reaches {
        /// The sum.
        sum: Linear,
        /// The variable that asks, which the sum does not read.
        by: VariableId,
        /// What each of its candidates asks.
        least: Vec<Length>,
    },
    /// Only some pairs of candidates go together: a clearance hole suits its thread.
    Pairs {
        /// The row variable.
        a: VariableId,
        /// The column variable.
        b: VariableId,
        /// `allowed[candidate of a][candidate of b]`.
        allowed: Vec<Vec<bool>>,
    },
    /// One candidate may not be chosen.
    Not {
        /// Of which variable.
        variable: VariableId,
        /// Which candidate.
        candidate: usize,
    },
    /// One candidate must be chosen: somebody pinned it.
    Is {
        /// Of which variable.
        variable: VariableId,
        /// Which candidate.
        candidate: usize,
    },
    /// A relation judged by the caller.
    Test(Test),
}

impl Demand {
    /// A sum that equals one length exactly.
    pub fn equal(sum: Linear, to: Length) -> Self {
        Self::Between { sum, least: Some(to), most: Some(to) }
    }

    /// A sum that is no less than a length.
    pub fn at_least(sum: Linear, least: Length) -> Self {
        Self::Between { sum, least: Some(least), most: None }
    }

    /// Two points, each by its two coordinates, at least `reach` apart.
    pub fn apart(one: [Linear; 2], other: &[Linear; 2], reach: Linear) -> Self {
        let [x, y] = one;
        Self::Apart { along: x.less(&other[0]), across: y.less(&other[1]), reach }
    }

    /// The variables it reads, each once, in order.
    pub fn variables(&self) -> Vec<VariableId> {
        let of = |linear: &Linear| linear.terms.iter().map(|term| term.0).collect::<Vec<_>>();
        let all: BTreeSet<VariableId> = match self {
            Self::Between { sum, .. } => of(sum).into_iter().collect(),
            Self::Apart { along, across, reach } => [along, across, reach].into_iter().flat_map(of).collect(),
            Self::Reaches { sum, by, .. } => of(sum).into_iter().chain([*by]).collect(),
            Self::Pairs { a, b, .. } => [*a, *b].into(),
            Self::Not { variable, .. } | Self::Is { variable, .. } => [*variable].into(),
            Self::Test(test) => test.on.iter().copied().collect(),
        };
        all.into_iter().collect()
    }
}

/// A demand with its name and its reason.
#[derive(Clone, Debug)]
pub struct Constraint {
    /// Short: `wall between bore and clamp screw`.
    pub name: String,
    /// A sentence for the person at the bench.
    pub because: String,
    /// What must hold.
    pub demand: Demand,
    /// How it is measured, where no plain sum says it.
    pub gauge: Option<Gauge>,
}

/// What a choice costs, dearest matter first: compared in the order written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cost {
    /// Points of everything bought, each purchase counted once.
    pub buy: u64,
    /// Departure from the drawing, added up.
    pub departure: u64,
    /// Roughness, added up.
    pub roughness: u64,
}

/// What buying one thing more counts, above its price: so many points that fewest
/// things come before cheapest ones.
///
/// Prices are bands of one to nine, so this parts the two while fewer than a
/// hundred things are bought.
pub const THING: u64 = 1000;

impl Cost {
    /// How many things are bought.
    pub fn things(&self) -> u64 {
        self.buy / THING
    }

    /// What they cost, their price bands added up.
    pub fn price(&self) -> u64 {
        self.buy % THING
    }
}

/// The most nodes searched before an unproven answer is given, unless the
/// caller says otherwise.
pub const USUAL_EFFORT: u64 = 40_000;

/// The whole choice: variables, purchases and what must hold.
#[derive(Clone, Debug)]
pub struct Model {
    /// What is to be chosen.
    pub variables: Vec<Variable>,
    /// What could be bought.
    pub purchases: Vec<Purchase>,
    /// What must hold.
    pub constraints: Vec<Constraint>,
    /// How many nodes the search may open in each connected group.
    pub effort: u64,
}

impl Default for Model {
    fn default() -> Self {
        Self { variables: Vec::new(), purchases: Vec::new(), constraints: Vec::new(), effort: USUAL_EFFORT }
    }
}

impl Model {
    /// Adds a variable.
    pub fn variable(&mut self, variable: Variable) -> VariableId {
        self.variables.push(variable);
        VariableId(self.variables.len() - 1)
    }

    /// Adds a purchase.
    pub fn purchase(&mut self, name: impl Into<String>, points: u32) -> PurchaseId {
        self.purchases.push(Purchase { name: name.into(), points });
        PurchaseId(self.purchases.len() - 1)
    }

    /// Adds a demand.
    pub fn demand(
        &mut self,
        name: impl Into<String>,
        because: impl Into<String>,
        demand: Demand,
    ) -> ConstraintId {
        self.constraints.push(Constraint { name: name.into(), because: because.into(), demand, gauge: None });
        ConstraintId(self.constraints.len() - 1)
    }

    /// Says how a demand is measured.
    pub fn measure(&mut self, ConstraintId(at): ConstraintId, gauge: Gauge) {
        self.constraints[at].gauge = Some(gauge);
    }

    /// The same model with one candidate pinned.
    #[must_use]
    pub fn pinned(&self, variable: VariableId, candidate: usize) -> Self {
        let mut model = self.clone();
        let name = &self.variables[variable.0].name;
        let (name, because) = (format!("`{name}` pinned"), format!("`{name}` was pinned by hand"));
        model.demand(name, because, Demand::Is { variable, candidate });
        model
    }

    /// What a choice costs, purchases counted once.
    pub fn cost(&self, choice: &[usize]) -> Cost {
        let mut cost = Cost::default();
        let mut bought = BTreeSet::new();
        for (variable, &at) in self.variables.iter().zip(choice) {
            let candidate = &variable.candidates[at];
            cost.departure += candidate.departure;
            cost.roughness += u64::from(candidate.roughness);
            bought.extend(candidate.buys.iter().copied());
        }
        cost.buy = bought.iter().map(|&PurchaseId(at)| u64::from(self.purchases[at].points)).sum();
        cost
    }

    /// Refuses a model the search could not hold: no candidates or too many,
    /// names that point nowhere, costs past counting.
    pub(super) fn check(&self) -> Result<(), Problem> {
        let (mut departure, mut roughness, mut buy) = (0_u64, 0_u64, 0_u64);
        for variable in &self.variables {
            let at = |problem: Problem| problem.at(format!("`{}`", variable.name));
            match variable.candidates.len() {
                0 => return Err(at(Problem::new("there is no size to choose from"))),
                n if n > MOST_CANDIDATES => {
                    return Err(at(Problem::new(format!("{n} candidates are too many"))
                        .why(format!("the search holds {MOST_CANDIDATES} a dimension"))
                        .mend("offer those nearest the drawing")));
                }
                _ => {}
            }
            let buys = variable.candidates.iter().flat_map(|c| &c.buys);
            if buys.copied().any(|PurchaseId(at)| at >= self.purchases.len()) {
                return Err(at(Problem::new("a candidate needs a purchase that is not listed")));
            }
            let most = variable.candidates.iter().map(|c| c.departure).max().unwrap_or(0);
            departure = departure.saturating_add(most);
            roughness += variable.candidates.iter().map(|c| u64::from(c.roughness)).max().unwrap_or(0);
        }
        buy += self.purchases.iter().map(|p| u64::from(p.points)).sum::<u64>();
        if departure > u64::MAX / 2 || roughness > u64::from(u32::MAX) || buy >= 1 << 26 {
            return Err(Problem::new("the costs of the candidates are too large to add up")
                .mend("weigh departures, roundness and purchases in larger units"));
        }
        self.constraints.iter().try_for_each(|constraint| {
            self.check_demand(&constraint.demand).map_err(|p| p.at(format!("`{}`", constraint.name)))
        })
    }

    fn check_demand(&self, demand: &Demand) -> Result<(), Problem> {
        if demand.variables().iter().any(|v| v.0 >= self.variables.len()) {
            return Err(Problem::new("a demand reads a dimension that is not listed"));
        }
        let count = |v: &VariableId| self.variables[v.0].candidates.len();
        let fits = match demand {
            Demand::Pairs { a, b, allowed } => {
                a != b && allowed.len() == count(a) && allowed.iter().all(|row| row.len() == count(b))
            }
            Demand::Not { variable, candidate } | Demand::Is { variable, candidate } => {
                *candidate < count(variable)
            }
            Demand::Reaches { sum, by, least } => {
                least.len() == count(by) && sum.terms.iter().all(|(variable, _)| variable != by)
            }
            _ => true,
        };
        if fits { Ok(()) } else { Err(Problem::new("a demand names candidates that are not listed")) }
    }
}
