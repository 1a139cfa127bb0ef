//! Several results wished at once, by several sizes within bounds.
//!
//! Where they cannot all be had the squares of how far each is off, in shares of how near counts,
//! are made least, and what each is left off by is said. Slopes are exact; a valve that is set for
//! equal lead is set anew for every trial, and its nut goes along in them.

use mechanism::ParamId;
use mechanism::fit::{Fit, Seen, least_squares};

use super::read::Reader;
use super::run::Run;
use super::size::Kind;
use super::{Machine, Shown};
use crate::document::Sheet;
use crate::problem::Problem;
use crate::why::Why;

/// A result and what it is to be.
struct Wish {
    name: String,
    want: f64,
    close: f64,
    shown: Shown,
}

/// A size that may change.
struct Freed {
    param: ParamId,
    bounds: [f64; 2],
    supposed: bool,
}

/// What was found.
#[derive(Clone, Debug)]
pub struct Designed {
    /// The mechanism with the sizes found.
    pub machine: Machine,
    /// Every wish: its result, what is wanted, what it comes to, what it is off by, whether that counts
    /// as met.
    pub wishes: Vec<(String, String, String, String, bool)>,
    /// Every size that was free: its name, what it was, what it is, and between what it might be.
    pub sizes: Vec<[String; 4]>,
    /// Whether every wish is met.
    pub reached: bool,
    /// What else to know.
    pub notes: Vec<String>,
}

/// Starts besides the sizes as they are.
const STARTS: usize = 3;

impl Machine {
    /// Finds sizes that give several results, each `cut-off, head end = 75 %`, with how near counts
    /// behind it where that is said, `within 0.5 %`; by sizes, each `advance from 20° to 45°`, or only
    /// by name: then a length may be half to one and a half times what it is, an angle 30° either
    /// way.
    ///
    /// # Errors
    ///
    /// A name that leads nowhere, a value that cannot be read, bounds the wrong way round.
    pub fn designed(&self, wants: &[String], by: &[String]) -> Result<Designed, Problem> {
        let first = self.drawn_run(&|_| true).map_err(|mut faults| faults.remove(0))?;
        let wishes = wants.iter().map(|said| self.wish(said, &first)).collect::<Result<Vec<_>, _>>()?;
        let freed = by.iter().map(|said| self.freed(said)).collect::<Result<Vec<_>, _>>()?;
        if wishes.is_empty() || freed.is_empty() {
            return Err(
                Problem::new("nothing to find").mend("wish for a result, and name a size to find it by")
            );
        }
        let bounds: Vec<[f64; 2]> = freed.iter().map(|free| free.bounds).collect();
        let mut see = |values: &[f64]| {
            let run = self.with_values(&freed, values).drawn_run(&|name| needed(&wishes, name)).ok()?;
            self.seen(&run, &wishes, &freed)
        };
        let own: Vec<f64> = freed.iter().map(|free| self.known[free.param.0].drawn).collect();
        let mut best: Option<Fit> = None;
        let cost = |fit: &Fit| fit.off.iter().map(|off| off * off).sum::<f64>();
        for n in 0..=STARTS {
            let start: Vec<f64> = match n {
                0 => own.clone(),
                _ => bounds.iter().enumerate().map(|(j, bounds)| spread(n, j, bounds)).collect(),
            };
            let Some(fit) = least_squares(&start, &bounds, &mut see) else { continue };
            if best.as_ref().is_none_or(|best| cost(&fit) < cost(best)) {
                best = Some(fit);
            }
            if best.as_ref().is_some_and(met) {
                break;
            }
        }
        let fit = best.ok_or_else(|| {
            self.at(Problem::new("nothing that is wished can be read")
                .why("within these bounds the mechanism does not go round, or the result is not there")
                .mend("give the sizes other bounds"))
        })?;
        Ok(self.told_of(&fit, &wishes, &freed))
    }

    fn wish(&self, said: &str, first: &Run) -> Result<Wish, Problem> {
        let Some((name, value)) = said.split_once('=') else {
            return Err(Problem::new(format!("`{said}` wants nothing"))
                .mend("write it as `cut-off, head end = 75 %`"));
        };
        let name = name.trim();
        let found = self.result(first, name)?;
        let shown = found.asked.shown;
        let (value, close) = match value.split_once(" within ") {
            Some((value, close)) => (value, Some(self.read_wanted(close, shown)?)),
            None => (value, None),
        };
        let close = close.unwrap_or(match shown {
            Shown::Mm => 0.01,
            Shown::Degrees | Shown::Bearing => 0.1_f64.to_radians(),
            Shown::Share => 0.001,
        });
        if close <= 0.0 {
            return Err(Problem::new(format!("`{}` leaves no room", said.trim()))
                .mend("write more than nought behind `within`"));
        }
        Ok(Wish { name: found.asked.name.clone(), want: self.read_wanted(value, shown)?, close, shown })
    }

    fn freed(&self, said: &str) -> Result<Freed, Problem> {
        let parts =
            said.rsplit_once(" from ").and_then(|(name, rest)| Some((name, rest.rsplit_once(" to ")?)));
        let Some((name, (from, to))) = parts else {
            let param = self.param(said)?;
            let known = &self.known[param.0];
            let wide = match known.kind {
                Kind::Length => (0.5 * known.drawn).abs().max(1.0),
                Kind::Angle => 30_f64.to_radians(),
            };
            return Ok(Freed { param, bounds: [known.drawn - wide, known.drawn + wide], supposed: true });
        };
        let param = self.param(name)?;
        let shown = self.known[param.0].kind.shown();
        let bounds = [self.read_wanted(from, shown)?, self.read_wanted(to, shown)?];
        if bounds[0] >= bounds[1] {
            return Err(Problem::new(format!("`{}` leaves no room", said.trim()))
                .mend("write the lesser bound first: `advance from 20° to 45°`"));
        }
        Ok(Freed { param, bounds, supposed: false })
    }

    fn with_values(&self, freed: &[Freed], values: &[f64]) -> Self {
        let mut tried = self.clone();
        for (free, value) in freed.iter().zip(values) {
            tried.put(free.param, *value, Why::new("found for what is wished"));
        }
        tried
    }

    fn seen(&self, run: &Run, wishes: &[Wish], freed: &[Freed]) -> Option<Seen> {
        let (mut off, mut slopes) = (Vec::new(), Vec::new());
        for wish in wishes {
            let result = run.results.iter().find(|result| result.asked.name == wish.name)?;
            off.push((result.value - wish.want) / wish.close);
            let by = freed.iter().map(|free| self.with_nuts(run, &result.by, free.param.0) / wish.close);
            slopes.push(by.collect::<Vec<f64>>());
        }
        let finite = off.iter().chain(slopes.iter().flatten()).all(|value| value.is_finite());
        finite.then_some(Seen { off, slopes })
    }

    /// A slope by a parameter with every nut set anew: a nut stands where both leads are alike, which
    /// says how it goes along.
    fn with_nuts(&self, run: &Run, by: &[f64], param: usize) -> f64 {
        let mut slope = by[param];
        let several = self.valves.len() > 1;
        for valve in &self.valves {
            let Some(nut) = valve.set.map(|nut| nut.0).filter(|nut| *nut != param) else { continue };
            let before = if several { format!("{}: ", valve.name) } else { String::new() };
            let lead = |end: &str| {
                let name = format!("{before}lead, {end}");
                run.results.iter().find(|result| result.asked.name == name).map(|result| &result.by)
            };
            let (Some(head), Some(crank)) = (lead("head end"), lead("crank end")) else { continue };
            let gap = |at: usize| head[at] - crank[at];
            if gap(nut).abs() > 1e-12 {
                slope -= by[nut] * gap(param) / gap(nut);
            }
        }
        slope
    }

    fn told_of(&self, fit: &Fit, wishes: &[Wish], freed: &[Freed]) -> Designed {
        let machine = self.with_values(freed, &fit.at);
        let mut notes = Vec::new();
        let told = wishes.iter().zip(&fit.off).map(|(wish, off)| {
            let by = off * wish.close;
            let text = |value: f64| wish.shown.text(value);
            (
                wish.name.clone(),
                text(wish.want),
                text(wish.want + by),
                wish.shown.change(by),
                off.abs() <= 1.0,
            )
        });
        let wishes_told = told.collect();
        let reached = met(fit);
        let sizes = freed.iter().zip(&fit.at).map(|(free, value)| {
            let known = &self.known[free.param.0];
            let text = |value: f64| known.kind.shown().text(value);
            let [from, to] = free.bounds;
            let between =
                format!("{} to {}{}", text(from), text(to), if free.supposed { ", supposed" } else { "" });
            [known.name.clone(), text(known.drawn), text(*value), between]
        });
        let sizes = sizes.collect();
        if !reached {
            notes.push(
                "not everything that is wished can be had at once with these sizes: the squares of how far each is off, \
                 in shares of how near counts, are as little as was found"
                    .into(),
            );
            let stops: Vec<&str> = freed
                .iter()
                .zip(&fit.held)
                .filter(|(_, held)| **held)
                .map(|(free, _)| self.known[free.param.0].name.as_str())
                .collect();
            if !stops.is_empty() {
                notes.push(format!(
                    "bounds stand in the way of {}: give more room there, or free another size",
                    stops.join(" and ")
                ));
            }
            notes.push(if fit.still {
                format!("no small change of these sizes betters it; {} other starts spread over the bounds gave nothing better, which is no proof for all of them", STARTS)
            } else {
                "the search ended before it stood still: there may be better near by".to_owned()
            });
        }
        Designed { machine, wishes: wishes_told, sizes, reached, notes }
    }
}

impl Reader<'_> {
    /// What the file wishes for, `[[mechanism.want]]`, and by which sizes, `[[mechanism.free]]`.
    pub(super) fn wishes(&mut self, table: &Sheet) -> (Vec<String>, Vec<String>) {
        let (mut wants, mut frees) = (Vec::new(), Vec::new());
        for sheet in table.tables("want", &mut self.faults) {
            let result = self.words(sheet, "result", "cut-off, head end");
            let is = self.words(sheet, "is", "75 %");
            let within =
                sheet.text("within", &mut self.faults).map(|(text, _)| format!(" within {}", text.trim()));
            sheet.finish(&mut self.faults);
            if let (Some((result, _)), Some((is, _))) = (result, is) {
                wants.push(format!("{result} = {is}{}", within.unwrap_or_default()));
            }
        }
        for sheet in table.tables("free", &mut self.faults) {
            let size = self.words(sheet, "size", "advance");
            let ends = ["from", "to"]
                .map(|key| sheet.text(key, &mut self.faults).map(|(text, _)| text.trim().to_owned()));
            sheet.finish(&mut self.faults);
            let Some((size, _)) = size else { continue };
            match ends {
                [Some(from), Some(to)] => frees.push(format!("{size} from {from} to {to}")),
                [None, None] => frees.push(size),
                _ => self.faults.push(
                    Problem::new(format!("`{size}` has one bound only"))
                        .at(sheet.place())
                        .mend("write both `from` and `to`, or neither"),
                ),
            }
        }
        if wants.is_empty() != frees.is_empty() {
            self.faults.push(
                Problem::new("wishes and free sizes belong together")
                    .at(table.place())
                    .mend("write a `[[mechanism.want]]` for each result and a `[[mechanism.free]]` for each size that may change"),
            );
        }
        (wants, frees)
    }
}

/// Whether a result is looked at: a wish, or a lead that a nut goes by.
fn needed(wishes: &[Wish], name: &str) -> bool {
    name.contains("lead, ") || wishes.iter().any(|wish| wish.name == name)
}

fn met(fit: &Fit) -> bool {
    fit.off.iter().all(|off| off.abs() <= 1.0)
}

/// A start spread over the bounds, the same in every run.
fn spread(n: usize, j: usize, [from, to]: &[f64; 2]) -> f64 {
    let share = (0.5 + (n as f64) * [0.618_034, 0.754_878, 0.819_173, 0.856_675][j % 4]).fract();
    from + share * (to - from)
}
