//! Many assemblies drawn by their laws.
//!
//! Samples go in blocks; a block needs nothing but its own numbers. Counts are whole, and
//! sums are brought together in the order of the blocks, so that threads leave no trace.

use std::num::NonZeroUsize;

use crate::bell::{BELL, Bell};
use crate::chain::Lies;
use crate::draw::{key, unit};
use crate::law::Ready;
use crate::{Fault, Stack};

/// Samples in a block.
const BLOCK: usize = 2048;
/// Columns of the histogram that quantiles are read from.
const COLUMNS: usize = 8192;

/// How many to draw, and what is asked of each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// How many assemblies.
    pub samples: u64,
    /// Which draw; the same seed gives the same assemblies.
    pub seed: u64,
    /// Threads that draw; the answer does not depend on them.
    pub threads: NonZeroUsize,
    /// The least that is good.
    pub least: Option<f64>,
    /// The most that is good.
    pub most: Option<f64>,
}

/// What came of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// How many were drawn.
    pub samples: u64,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub deviation: f64,
    /// Their skewness: less than nought where the tail is to the lower side.
    pub skew: f64,
    /// The least and the most that came.
    pub seen: (f64, f64),
    /// How many were less than is good.
    pub below: u64,
    /// How many were more.
    pub above: u64,
    /// Where the histogram begins.
    pub from: f64,
    /// How wide a column of it is.
    pub column: f64,
    /// How many fell in each column.
    pub counts: Vec<u64>,
}

/// A value below which a share of the samples lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantile {
    /// The value.
    pub value: f64,
    /// How far off the columns of the histogram may put it.
    pub column: f64,
    /// How far off chance may put it, either way, 95 times in a hundred.
    pub chance: f64,
}

#[derive(Clone, Copy, Default)]
struct Sums {
    one: f64,
    two: f64,
    three: f64,
}

struct Part {
    sums: Vec<Sums>,
    counts: Vec<u32>,
    seen: (f64, f64),
    below: u64,
    above: u64,
}

/// A quantity made ready: `factor` times a place on its width goes into the sum.
struct Drawn {
    key: u64,
    law: Ready,
    factor: f64,
    /// Where its values are kept for the plays that need them.
    kept: Option<usize>,
    lower: f64,
    width: f64,
}

struct Loose {
    keys: [u64; 2],
    half: f64,
    bore: usize,
    pin: usize,
}

struct Plan {
    base: f64,
    drawn: Vec<Drawn>,
    /// Values kept of quantities that do not vary.
    still: Vec<(usize, f64)>,
    loose: Vec<Loose>,
    kept: usize,
    centre: f64,
    from: f64,
    scale: f64,
    least: f64,
    most: f64,
}

impl Stack {
    /// Draws assemblies.
    ///
    /// # Errors
    ///
    /// The first [`Fault`] of the stack.
    pub fn tried(&self, asked: &Asked) -> Result<Trial, Fault> {
        let spread = self.spread()?;
        let plan = self.plan(asked, spread.worst.least, spread.worst.most, spread.mean);
        let blocks = asked.samples.div_ceil(BLOCK as u64);
        let threads = asked.threads.get().min(64).min(blocks.max(1) as usize) as u64;
        let bounds: Vec<u64> = (0..=threads).map(|t| blocks * t / threads).collect();
        let parts: Vec<Part> = std::thread::scope(|scope| {
            let plan = &plan;
            let work = |from: u64, to: u64| move || plan.blocks(from, to, asked.samples);
            let others: Vec<_> =
                bounds[1..].windows(2).map(|pair| scope.spawn(work(pair[0], pair[1]))).collect();
            let own = work(bounds[0], bounds[1])();
            let rest = others.into_iter().map(|other| other.join().expect("drawing does not panic"));
            std::iter::once(own).chain(rest).collect()
        });
        Ok(plan.together(parts, asked.samples))
    }

    fn plan(&self, asked: &Asked, from: f64, to: f64, mean: f64) -> Plan {
        let mut factors = self.factors.clone();
        let mut places: Vec<Option<usize>> = vec![None; self.quantities.len()];
        let (mut loose, mut kept) = (Vec::new(), 0);
        for (at, play) in self.plays.iter().enumerate() {
            match play.lies {
                Lies::Loaded => {
                    factors[play.bore] += 0.5 * play.factor;
                    factors[play.pin] -= 0.5 * play.factor;
                }
                Lies::Anywhere => {
                    let [bore, pin] = [play.bore, play.pin].map(|q| {
                        *places[q].get_or_insert_with(|| {
                            kept += 1;
                            kept - 1
                        })
                    });
                    let stream = |n: u64| key(asked.seed, (1 << 32) + 2 * at as u64 + n);
                    loose.push(Loose { keys: [stream(0), stream(1)], half: 0.5 * play.factor, bore, pin });
                }
            }
        }
        let (mut base, mut drawn, mut still) = (0.0, Vec::new(), Vec::new());
        for (at, quantity) in self.quantities.iter().enumerate() {
            let width = quantity.upper - quantity.lower;
            base += factors[at] * quantity.lower;
            if width == 0.0 {
                still.extend(places[at].map(|place| (place, quantity.lower)));
            } else if factors[at] != 0.0 || places[at].is_some() {
                drawn.push(Drawn {
                    key: key(asked.seed, at as u64),
                    law: quantity.law.ready(),
                    factor: factors[at] * width,
                    kept: places[at],
                    lower: quantity.lower,
                    width,
                });
            }
        }
        Plan {
            base,
            drawn,
            still,
            loose,
            kept,
            centre: mean,
            from,
            scale: if to > from { COLUMNS as f64 / (to - from) } else { 0.0 },
            least: asked.least.unwrap_or(f64::NEG_INFINITY),
            most: asked.most.unwrap_or(f64::INFINITY),
        }
    }
}

impl Plan {
    /// Draws the blocks from one to before another.
    fn blocks(&self, from: u64, to: u64, samples: u64) -> Part {
        let mut part = Part {
            sums: Vec::with_capacity((to - from) as usize),
            counts: vec![0; COLUMNS],
            seen: (f64::INFINITY, f64::NEG_INFINITY),
            below: 0,
            above: 0,
        };
        let mut sum = vec![0.0; BLOCK];
        let mut kept = vec![vec![0.0; BLOCK]; self.kept];
        self.still.iter().for_each(|&(place, value)| kept[place].fill(value));
        for block in from..to {
            let first = block * BLOCK as u64;
            let many = (samples - first).min(BLOCK as u64) as usize;
            let sum = &mut sum[..many];
            sum.fill(self.base);
            self.drawn.iter().for_each(|drawn| drawn.add(first, sum, &mut kept));
            self.loose.iter().for_each(|loose| loose.add(first, sum, &kept));
            self.count(sum, &mut part);
        }
        part
    }

    fn count(&self, sum: &[f64], part: &mut Part) {
        let mut sums = Sums::default();
        let last = (COLUMNS - 1) as f64;
        for &value in sum {
            let off = value - self.centre;
            sums.one += off;
            sums.two += off * off;
            sums.three += off * off * off;
            let column = ((value - self.from) * self.scale).clamp(0.0, last);
            part.counts[column as usize] += 1;
            part.seen = (part.seen.0.min(value), part.seen.1.max(value));
            part.below += u64::from(value < self.least);
            part.above += u64::from(value > self.most);
        }
        part.sums.push(sums);
    }

    fn together(&self, parts: Vec<Part>, samples: u64) -> Trial {
        let mut counts = vec![0u64; COLUMNS];
        let (mut sums, mut seen) = (Sums::default(), (f64::INFINITY, f64::NEG_INFINITY));
        let (mut below, mut above) = (0, 0);
        for part in parts {
            counts.iter_mut().zip(&part.counts).for_each(|(all, &own)| *all += u64::from(own));
            for block in &part.sums {
                sums.one += block.one;
                sums.two += block.two;
                sums.three += block.three;
            }
            seen = (seen.0.min(part.seen.0), seen.1.max(part.seen.1));
            below += part.below;
            above += part.above;
        }
        let n = samples.max(1) as f64;
        let off = sums.one / n;
        let variance = (sums.two / n - off * off).max(0.0);
        let third = sums.three / n - 3.0 * off * sums.two / n + 2.0 * off * off * off;
        let deviation = variance.sqrt();
        let column = if self.scale > 0.0 { 1.0 / self.scale } else { 0.0 };
        let skew = if deviation > 0.0 { third / (deviation * variance) } else { 0.0 };
        let mean = self.centre + off;
        Trial { samples, mean, deviation, skew, seen, below, above, from: self.from, column, counts }
    }
}

impl Drawn {
    fn add(&self, first: u64, sum: &mut [f64], kept: &mut [Vec<f64>]) {
        // The law is looked at once for a block, not once for a sample.
        let (bell, key): (&Bell, u64) = (&BELL, self.key);
        match self.law {
            Ready::Even => self.add_by(|n| unit(key, n), first, sum, kept),
            law @ Ready::Normal { .. } => self.add_by(|n| law.drawn(bell, key, n), first, sum, kept),
            law @ Ready::Bell { .. } => self.add_by(|n| law.drawn(bell, key, n), first, sum, kept),
            law @ Ready::Triangular { .. } => self.add_by(|n| law.drawn(bell, key, n), first, sum, kept),
        }
    }

    #[inline(always)]
    fn add_by(&self, at: impl Fn(u64) -> f64, first: u64, sum: &mut [f64], kept: &mut [Vec<f64>]) {
        match self.kept {
            None => {
                for (n, sum) in (first..).zip(sum) {
                    *sum += self.factor * at(n);
                }
            }
            Some(place) => {
                for ((n, sum), value) in (first..).zip(sum).zip(&mut kept[place]) {
                    let place = at(n);
                    *sum += self.factor * place;
                    *value = self.lower + self.width * place;
                }
            }
        }
    }
}

impl Loose {
    /// A place in a circle, each as likely, seen along one direction.
    fn add(&self, first: u64, sum: &mut [f64], kept: &[Vec<f64>]) {
        let sizes = kept[self.bore].iter().zip(&kept[self.pin]);
        for ((n, sum), (bore, pin)) in (first..).zip(sum).zip(sizes) {
            let out = unit(self.keys[0], n).sqrt();
            let turn = (std::f64::consts::PI * unit(self.keys[1], n)).cos();
            *sum += self.half * (bore - pin) * out * turn;
        }
    }
}

impl Trial {
    /// The value below which a share of the samples lie.
    pub fn quantile(&self, share: f64) -> Quantile {
        let chance = 1.96 * (share * (1.0 - share) / self.samples.max(1) as f64).sqrt();
        let (low, high) = (self.at(share - chance), self.at(share + chance));
        Quantile { value: self.at(share), column: self.column, chance: 0.5 * (high - low) }
    }

    /// The share of the samples that are good.
    pub fn good(&self) -> f64 {
        1.0 - (self.below + self.above) as f64 / self.samples.max(1) as f64
    }

    /// Between which shares the true share of the good lies, 95 times in a hundred.
    ///
    /// # Source
    ///
    /// E. B. Wilson, Journal of the American Statistical Association 22 (1927), 209.
    pub fn good_within(&self) -> (f64, f64) {
        let (n, z) = (self.samples.max(1) as f64, 1.96);
        let share = self.good();
        let middle = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half =
            z / (1.0 + z * z / n) * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).max(0.0).sqrt();
        ((middle - half).max(0.0), (middle + half).min(1.0))
    }

    fn at(&self, share: f64) -> f64 {
        let wanted = share.clamp(0.0, 1.0) * self.samples as f64;
        let mut before = 0u64;
        for (column, &count) in self.counts.iter().enumerate() {
            if count > 0 && (before + count) as f64 >= wanted {
                let into = ((wanted - before as f64) / count as f64).clamp(0.0, 1.0);
                let value = self.from + self.column * (column as f64 + into);
                return value.clamp(self.seen.0, self.seen.1);
            }
            before += count;
        }
        self.seen.1
    }
}
