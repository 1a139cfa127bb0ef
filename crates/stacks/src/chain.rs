//! A stack, and what can be said of it without drawing anything.

use crate::{Fault, Law};

/// A size between two limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// What it is called.
    pub name: String,
    /// The least it may be.
    pub lower: f64,
    /// The most it may be; the same where it is made and measured.
    pub upper: f64,
    /// How it lies between them.
    pub law: Law,
}

/// A pin in a bore that is larger.
#[derive(Clone, Debug, PartialEq)]
pub struct Play {
    /// What it is called.
    pub name: String,
    /// How much of a move of the pin in its bore is seen in the sum.
    pub factor: f64,
    /// Which quantity is the diameter of the bore.
    pub bore: usize,
    /// Which is the diameter of the pin.
    pub pin: usize,
    /// Where the pin lies.
    pub lies: Lies,
}

/// Where a pin lies in its bore.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Anywhere in it, each place of the circle as likely; seen along one direction.
    Anywhere,
    /// Pressed by weight or load to the side where it adds `factor` of the radial clearance.
    Loaded,
}

/// Sizes that add up, each with its factor, and the play of pins.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stack {
    /// What may vary.
    pub quantities: Vec<Quantity>,
    /// How many times each counts in the sum; nought for what only matters to a play.
    pub factors: Vec<f64>,
    /// Pins in bores.
    pub plays: Vec<Play>,
}

/// From the least to the most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
}

/// What can be said of a sum without drawing anything.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// With every size in the middle of its limits, loaded pins lying where they lie.
    pub middle: f64,
    /// With every size at the limit that is worst.
    pub worst: Range,
    /// Half of what the root of the sum of squares gives: to either side of the middle.
    pub root_sum_square: f64,
    /// The mean over all that are made, exactly.
    pub mean: f64,
    /// The standard deviation over all that are made, exactly.
    pub deviation: f64,
    /// What each contributes, the greatest first.
    pub contributions: Vec<Contribution>,
}

/// What one quantity or play contributes.
#[derive(Clone, Debug, PartialEq)]
pub struct Contribution {
    /// Which.
    pub name: String,
    /// What it adds to the worst case, either way; all together are half of its width.
    pub worst: f64,
    /// Its share of the variance, from nought to one.
    pub share: f64,
}

impl Quantity {
    fn middle(&self) -> f64 {
        0.5 * (self.lower + self.upper)
    }

    fn width(&self) -> f64 {
        self.upper - self.lower
    }

    fn mean(&self) -> f64 {
        self.lower + self.width() * self.law.mean()
    }

    fn variance(&self) -> f64 {
        self.width() * self.width() * self.law.variance()
    }
}

impl Stack {
    /// Says whether it can be reckoned.
    ///
    /// # Errors
    ///
    /// The first [`Fault`].
    pub fn checked(&self) -> Result<(), Fault> {
        let moves = self.factors.iter().any(|&f| f != 0.0) || !self.plays.is_empty();
        if self.quantities.is_empty() || self.factors.len() != self.quantities.len() || !moves {
            return Err(Fault::Empty);
        }
        for (quantity, factor) in self.quantities.iter().zip(&self.factors) {
            let Quantity { name, lower, upper, law } = quantity;
            if [*lower, *upper, *factor].iter().any(|x| !x.is_finite() || x.abs() > 1e9) {
                return Err(Fault::NotANumber(name.clone()));
            }
            if lower > upper {
                return Err(Fault::Turned(name.clone()));
            }
            if !law.holds() {
                return Err(Fault::Law(name.clone()));
            }
        }
        for play in &self.plays {
            let (Some(bore), Some(pin)) = (self.quantities.get(play.bore), self.quantities.get(play.pin))
            else {
                return Err(Fault::NotThere(play.name.clone()));
            };
            if !play.factor.is_finite() || play.factor.abs() > 1e9 {
                return Err(Fault::NotANumber(play.name.clone()));
            }
            if pin.upper > bore.lower {
                return Err(Fault::NoRoom(play.name.clone(), pin.upper - bore.lower));
            }
        }
        Ok(())
    }

    /// The factor of each quantity with loaded pins in it, and to `side` (1 or -1) those
    /// that lie anywhere.
    pub(crate) fn factors_at(&self, side: f64) -> Vec<f64> {
        let mut factors = self.factors.clone();
        for play in &self.plays {
            let times = match play.lies {
                Lies::Loaded => play.factor,
                Lies::Anywhere => side * play.factor.abs(),
            };
            factors[play.bore] += 0.5 * times;
            factors[play.pin] -= 0.5 * times;
        }
        factors
    }

    /// What can be said without drawing anything.
    ///
    /// # Errors
    ///
    /// The first [`Fault`].
    pub fn spread(&self) -> Result<Spread, Fault> {
        self.checked()?;
        let (high, even, low) = (self.factors_at(1.0), self.factors_at(0.0), self.factors_at(-1.0));
        let sum = |of: &dyn Fn(usize, &Quantity) -> f64| -> f64 {
            self.quantities.iter().enumerate().map(|(at, quantity)| of(at, quantity)).sum()
        };
        let end = |times: f64, quantity: &Quantity, most: bool| {
            if (times > 0.0) == most { times * quantity.upper } else { times * quantity.lower }
        };
        let worst =
            Range { least: sum(&|at, q| end(low[at], q, false)), most: sum(&|at, q| end(high[at], q, true)) };
        let loose = self.plays.iter().filter(|play| play.lies == Lies::Anywhere);
        let loose: Vec<(&Play, f64, f64)> = loose.map(|play| self.loose(play)).collect();
        let own_variance = |at: usize, q: &Quantity| even[at] * even[at] * q.variance();
        let variance = sum(&own_variance) + loose.iter().map(|(.., variance)| variance).sum::<f64>();
        let share = |of: f64| if variance > 0.0 { of / variance } else { 0.0 };
        let own = self.quantities.iter().enumerate().map(|(at, q)| Contribution {
            name: q.name.clone(),
            worst: 0.25 * (high[at].abs() + low[at].abs()) * q.width(),
            share: share(own_variance(at, q)),
        });
        let plays = loose.iter().map(|&(play, worst, variance)| Contribution {
            name: play.name.clone(),
            worst,
            share: share(variance),
        });
        let mut contributions: Vec<Contribution> = own.chain(plays).collect();
        let squares: f64 = contributions.iter().map(|c| c.worst * c.worst).sum();
        contributions.sort_by(|a, b| b.worst.total_cmp(&a.worst));
        Ok(Spread {
            middle: sum(&|at, q| even[at] * q.middle()),
            worst,
            root_sum_square: squares.sqrt(),
            mean: sum(&|at, q| even[at] * q.mean()),
            deviation: variance.sqrt(),
            contributions,
        })
    }

    /// A loose play with what it adds either way at the middle clearance, and its variance:
    /// a place in a circle of radius one, seen along a direction, varies by a quarter.
    fn loose<'a>(&self, play: &'a Play) -> (&'a Play, f64, f64) {
        let (bore, pin) = (&self.quantities[play.bore], &self.quantities[play.pin]);
        let worst = play.factor.abs() * 0.5 * (bore.middle() - pin.middle());
        let mean = 0.5 * (bore.mean() - pin.mean());
        // Where bore and pin are the same quantity there is no clearance at all.
        let varies = if play.bore == play.pin { 0.0 } else { 0.25 * (bore.variance() + pin.variance()) };
        (play, worst, play.factor * play.factor * 0.25 * (mean * mean + varies))
    }
}
