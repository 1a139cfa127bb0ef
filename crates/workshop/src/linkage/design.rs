//! Trying other sizes, and finding the size that gives a wanted result.

use mechanism::{Mechanism, ParamId};

use super::run::{Run, ValueOf};
use super::size::{Kind, Sizes};
use super::{Machine, Shown};
use crate::document::{meant, nearest_word};
use crate::problem::Problem;
use crate::why::Why;

/// Most steps towards a wanted result.
const MOST_STEPS: usize = 40;

impl Machine {
    /// The same mechanism with one size of another value: `advance = 35°`.
    ///
    /// # Errors
    ///
    /// That there is no such size, or that its value cannot be read.
    pub fn with(&self, said: &str) -> Result<Self, Problem> {
        let Some((name, value)) = said.split_once('=') else {
            return Err(Problem::new(format!("`{said}` sets nothing")).mend("write it as `advance = 35°`"));
        };
        let param = self.param(name)?;
        let mut apart = Mechanism::new();
        let size = Sizes::new(&[], self.unit).read(&mut apart, value, "value", self.known[param.0].kind)?;
        let mut changed = self.clone();
        changed.put(param, size.value(&apart.values()), Why::new(format!("`{}`, as tried", value.trim())));
        Ok(changed)
    }

    pub(super) fn put(&mut self, param: ParamId, value: f64, why: Why) {
        let known = &mut self.known[param.0];
        (known.drawn, known.chosen) = (value, Some(value));
        (known.why_drawn, known.why_chosen) = (why.clone(), why);
        self.of.params[param.0].value = value;
    }

    /// A parameter by its name.
    pub(super) fn param(&self, name: &str) -> Result<ParamId, Problem> {
        let name = name.trim();
        let found = self.known.iter().position(|known| known.name.eq_ignore_ascii_case(name));
        found.map(ParamId).ok_or_else(|| {
            let names = self.known.iter().map(|known| known.name.as_str());
            let near = nearest_word(name, names.clone());
            Problem::new(format!("`{name}` is no size of `{}`", self.name))
                .mend(meant(near, format!("name one of {}", names.collect::<Vec<_>>().join(", "))))
        })
    }

    /// A result by its name.
    pub(super) fn result<'a>(&self, run: &'a Run, name: &str) -> Result<&'a ValueOf, Problem> {
        let found = run.results.iter().find(|result| result.asked.name.eq_ignore_ascii_case(name));
        found.ok_or_else(|| {
            let names: Vec<&str> = run.results.iter().map(|r| r.asked.name.as_str()).collect();
            let near = nearest_word(name, names.iter().copied());
            let mend = meant(near, format!("name one of {}", names.join(", ")));
            Problem::new(format!("`{name}` is no result of `{}`", self.name)).mend(mend)
        })
    }

    /// Finds the value of a size that gives a wanted result, `cut-off, head end = 75 %`, by
    /// Newton's method on the exact derivative; steps that lead nowhere are halved. The
    /// mechanism with that value comes out, and the value in words.
    ///
    /// # Errors
    ///
    /// That either name leads nowhere, or how near it comes and where.
    pub fn wanted(&self, said: &str, by: &str) -> Result<(Self, String), Problem> {
        let Some((name, value)) = said.split_once('=') else {
            return Err(Problem::new(format!("`{said}` wants nothing"))
                .mend("write it as `cut-off, head end = 75 %`"));
        };
        let param = self.param(by)?;
        let name = name.trim();
        let first = self.drawn_run(&|_| true).map_err(|mut faults| faults.remove(0))?;
        let found = self.result(&first, name)?;
        let (mut is, mut slope, shown) = (found.value, found.by[param.0], found.asked.shown);
        let want = self.read_wanted(value, shown)?;
        let mut best = self.clone();
        for _ in 0..MOST_STEPS {
            if (is - want).abs() < 1e-10 * want.abs().max(1.0) {
                break;
            }
            if slope.abs() < 1e-12 {
                break;
            }
            let from = best.known[param.0].drawn;
            let mut step = (want - is) / slope;
            let mut nearer = None;
            while step.abs() > 1e-13 * from.abs().max(1.0) && nearer.is_none() {
                let mut tried = best.clone();
                tried.put(param, from + step, Why::new(format!("found for {name} of {}", value.trim())));
                if let Ok(run) = tried.drawn_run(&|other| other.eq_ignore_ascii_case(name))
                    && let Some(now) = run.results.first()
                    && (now.value - want).abs() < (is - want).abs()
                {
                    nearer = Some((tried, now.value, now.by[param.0]));
                }
                step /= 2.0;
            }
            let Some((tried, now, by)) = nearer else { break };
            (best, is, slope) = (tried, now, by);
        }
        let known = &best.known[param.0];
        let found = match known.kind {
            Kind::Length => Shown::Mm.text(known.drawn),
            Kind::Angle => Shown::Degrees.text(known.drawn),
        };
        if (is - want).abs() > 1e-8 * want.abs().max(1.0) {
            return Err(Problem::new(format!(
                "no value of `{}` gives {name} of {}",
                known.name,
                shown.text(want)
            ))
            .why(format!("it comes as near as {}, at {found}", shown.text(is)))
            .mend("want a value between, or change another size"));
        }
        Ok((best, found))
    }

    /// A wanted value in the result's own unit; a bare length is in that of the mechanism.
    pub(super) fn read_wanted(&self, text: &str, shown: Shown) -> Result<f64, Problem> {
        if shown == Shown::Share {
            let share = text.trim().strip_suffix('%').and_then(|share| share.trim().parse::<f64>().ok());
            return share.filter(|share| share.is_finite()).map(|share| share / 100.0).ok_or_else(|| {
                Problem::new(format!("cannot read `{}` as a share", text.trim())).mend("write it as `75 %`")
            });
        }
        let kind = if shown == Shown::Mm { Kind::Length } else { Kind::Angle };
        let mut apart = Mechanism::new();
        let size = Sizes::new(&[], self.unit).read(&mut apart, text, "wanted", kind)?;
        Ok(size.value(&apart.values()))
    }
}
