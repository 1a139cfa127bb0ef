//! A mechanism followed round, as drawn and as it will be made.

use mechanism::{Drive, Model, Side, Span, State, Turn};

use super::asked::{Asked, Shown, asked, equal_lead};
use super::machine::Setting;
use super::{Machine, problem};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// One way round with one set of sizes.
#[derive(Clone, Debug)]
pub struct Run {
    /// Every position.
    pub turn: Turn,
    /// The values of the parameters.
    pub values: Vec<f64>,
    /// What was asked, in its order.
    pub results: Vec<ValueOf>,
    /// Where it locks, changes over or drives badly, and what else to know.
    pub notes: Vec<String>,
}

/// A result with how it hangs on every parameter.
#[derive(Clone, Debug)]
pub struct ValueOf {
    /// What was asked.
    pub asked: Asked,
    /// Millimetres, radians or a share.
    pub value: f64,
    /// Its change for one unit of each parameter.
    pub by: Vec<f64>,
}

/// A mechanism as drawn and as it will be made, in every setting.
#[derive(Clone, Debug)]
pub struct Told {
    /// The setting; none where the mechanism has only one.
    pub setting: Option<String>,
    /// With the sizes of the drawings.
    pub drawn: Run,
    /// With the sizes as they will be made; none where some are not chosen, or it does not go.
    pub made: Option<Run>,
    /// As drawn but for what is made already, that as it is measured: what the slips alone
    /// do. None where nothing is measured, or it does not go.
    pub measured: Option<Run>,
    /// Why not, where not.
    pub open: Option<String>,
}

/// Which results are wanted, by name.
type Wanted<'a> = &'a dyn Fn(&str) -> bool;

/// A mechanism put together, and its way round.
type Stood = (Model, State, Turn);

struct Base {
    drawn: Stood,
    made: Option<Stood>,
    measured: Option<Stood>,
    open: Option<String>,
}

impl Machine {
    /// Follows the mechanism round in every setting.
    ///
    /// # Errors
    ///
    /// That it cannot be put together or moved, with what is wrong.
    pub fn told(&self) -> Result<Vec<Told>, Vec<Problem>> {
        let base = self.based()?;
        if self.settings.is_empty() {
            let drawn = self.read(&base.drawn.2)?;
            let read = |stood: &Option<Stood>| stood.as_ref().map(|(.., turn)| self.read(turn)).transpose();
            let (made, measured) = (read(&base.made)?, read(&base.measured)?);
            return Ok(vec![Told { setting: None, drawn, made, measured, open: base.open }]);
        }
        let other = self.based_the_other_way()?;
        let mut all = Vec::new();
        for setting in &self.settings {
            let base = other.as_ref().filter(|_| setting.reversed).unwrap_or(&base);
            let read = |stood: &Stood| self.read(&self.set(setting, stood)?);
            let also = |stood: &Option<Stood>| stood.as_ref().map(read).transpose();
            let drawn = read(&base.drawn)?;
            let (made, measured) = (also(&base.made)?, also(&base.measured)?);
            let setting = Some(setting.name.clone());
            all.push(Told { setting, drawn, made, measured, open: base.open.clone() });
        }
        Ok(all)
    }

    /// Every setting with the sizes of the drawings alone, and of its results only those that are
    /// wanted.
    pub(super) fn drawn_runs(&self, wanted: Wanted) -> Result<Vec<Run>, Vec<Problem>> {
        let mut alone = self.clone();
        // Nothing is asked of sizes that will be made.
        alone.known.iter_mut().for_each(|known| known.chosen = None);
        let base = alone.based()?;
        if self.settings.is_empty() {
            return Ok(vec![self.results(&base.drawn.2, wanted)?]);
        }
        let other = alone.based_the_other_way()?;
        let run = |setting: &Setting| {
            let base = other.as_ref().filter(|_| setting.reversed).unwrap_or(&base);
            self.results(&self.set(setting, &base.drawn)?, wanted)
        };
        self.settings.iter().map(run).collect()
    }

    /// Likewise the first setting.
    pub(super) fn drawn_run(&self, wanted: Wanted) -> Result<Run, Vec<Problem>> {
        self.drawn_runs(wanted).map(|mut runs| runs.remove(0))
    }

    /// Put together with its crank turning the other way, where a setting wants that.
    fn based_the_other_way(&self) -> Result<Option<Base>, Vec<Problem>> {
        let wanted = self.settings.iter().any(|setting| setting.reversed);
        wanted.then(|| self.turned_round().based()).transpose()
    }

    /// Followed round in a setting.
    fn set(&self, setting: &Setting, (model, state, _): &Stood) -> Result<Turn, Vec<Problem>> {
        let mut values = model.values().to_vec();
        setting.values.iter().for_each(|&(param, value)| values[param.0] = value);
        let (model, state) = model.carry(state, &values).map_err(|fault| {
            vec![problem(fault).at(format!("setting `{}`", setting.name)).at(self.place())]
        })?;
        Ok(model.turn(&state, Span::TURN))
    }

    /// Put together and followed round, as drawn and as it will be made.
    fn based(&self) -> Result<Base, Vec<Problem>> {
        let at = |fault: mechanism::Fault| self.at(problem(fault));
        let model = Model::new(&self.of).map_err(|faults| faults.into_iter().map(at).collect::<Vec<_>>())?;
        let state = model.assemble(self.start, &self.assembly).map_err(|fault| vec![at(fault)])?;
        let own = model.values().to_vec();
        let drawn = self.nutted(&model, &state, &own).map_err(|fault| vec![at(fault)])?;
        let missing: Vec<&str> =
            self.known.iter().filter(|k| k.chosen.is_none()).map(|known| known.name.as_str()).collect();
        if !missing.is_empty() {
            let open = Some(format!("not chosen yet: {}", missing.join(", ")));
            return Ok(Base { drawn, made: None, measured: None, open });
        }
        let values: Vec<f64> = self.known.iter().map(|known| known.chosen.unwrap_or(known.drawn)).collect();
        let slips = self.known.iter().map(|known| match known.chosen {
            Some(chosen) if known.measured => chosen,
            _ => known.drawn,
        });
        let slips: Option<Vec<f64>> = self.known.iter().any(|known| known.measured).then(|| slips.collect());
        let measured = slips.and_then(|values| self.nutted(&drawn.0, &drawn.1, &values).ok());
        Ok(match self.nutted(&drawn.0, &drawn.1, &values) {
            Ok(made) => Base { drawn, made: Some(made), measured, open: None },
            Err(fault) => {
                let open = format!("as it will be made: {}: {}", fault.what, fault.why);
                Base { drawn, made: None, measured, open: Some(open) }
            }
        })
    }

    /// The same with its crank turning the other way, put together at the same place.
    fn turned_round(&self) -> Self {
        let mut other = self.clone();
        if let Some(Drive::Turn { way, .. }) = &mut other.of.drive {
            *way = if *way == Side::Left { Side::Right } else { Side::Left };
        }
        other.start = -self.start;
        other
    }

    fn place(&self) -> String {
        format!("{}, mechanism `{}`", self.file, self.name)
    }

    pub(super) fn at(&self, fault: Problem) -> Problem {
        fault.at(self.place())
    }

    /// Carried over to other values, with every valve that nobody has set at equal lead.
    fn nutted(&self, model: &Model, state: &State, values: &[f64]) -> Result<Stood, mechanism::Fault> {
        let (mut model, mut state) = model.carry(state, values)?;
        let mut turn = model.turn(&state, Span::TURN);
        let mut values = values.to_vec();
        let mut moved = false;
        for valve in &self.valves {
            if let Some(param) = valve.set
                && let Some(mid) = equal_lead(valve, &turn)
            {
                values[param.0] = mid;
                moved = true;
            }
        }
        if moved {
            // The place of the nut moves no link.
            (model, state) = model.carry(&state, &values)?;
            turn = model.turn(&state, Span::TURN);
        }
        Ok((model, state, turn))
    }

    /// The results that are wanted, and why some of them have no value.
    fn results(&self, turn: &Turn, wanted: Wanted) -> Result<Run, Vec<Problem>> {
        let (all, mut notes) = asked(self, turn);
        let judge = turn.judge().map_err(|fault| vec![self.at(problem(fault))])?;
        let mut results = Vec::new();
        for asked in all.into_iter().filter(|asked| wanted(&asked.name)) {
            match judge.read(&asked.reading) {
                Ok(valued) => {
                    results.push(ValueOf { value: asked.shown.settled(valued.value), by: valued.by, asked });
                }
                Err(fault) => notes.push(format!("{}: {}: {}", asked.name, fault.what, fault.why)),
            }
        }
        Ok(Run { turn: turn.clone(), values: turn.model.values().to_vec(), results, notes })
    }

    /// Every result, and what else to know of a turn.
    fn read(&self, turn: &Turn) -> Result<Run, Vec<Problem>> {
        let mut run = self.results(turn, &|_| true)?;
        let notes = &mut run.notes;
        notes.extend(turn.model.notes().iter().cloned());
        for event in &turn.events {
            let (mechanism::Event::Lock { angle, links } | mechanism::Event::Change { angle, links }) = event;
            let links = links.join(" and ");
            let at = Shown::Degrees.text(*angle);
            notes.push(match event {
                mechanism::Event::Lock { .. } => {
                    format!("it locks at {at} of the crank: {links} come into line")
                }
                mechanism::Event::Change { .. } => {
                    format!("at {at} of the crank {links} are in line, and could go on either way")
                }
            });
        }
        for pair in turn.transmission().iter().filter(|pair| pair.poor) {
            notes.push(format!(
                "{} drive badly at {} of the crank: only {} from being in line, and under 40° is poor (common practice)",
                pair.links.join(" and "),
                Shown::Degrees.text(pair.at),
                Shown::Degrees.text(pair.least)
            ));
        }
        Ok(run)
    }

    /// A result as a figure: what it rests on, the weightiest size first.
    pub fn figure(&self, result: &ValueOf, made: bool) -> Figure {
        let mut why = Why::new(format!(
            "{}, from the links solved all the way round; what it hangs on most stands first",
            result.asked.name
        ))
        .source("loop equations and their exact derivatives");
        for (at, change) in self.weighty(result).into_iter().take(12) {
            let known = &self.known[at];
            let of = if made { &known.why_made() } else { &known.why_drawn };
            let words = format!("{}: {}", known.name, change);
            why = why.because(Why { because: vec![of.clone()], ..Why::new(words) });
        }
        Figure::new(result.asked.name.clone(), result.asked.shown.text(result.value), why)
    }

    /// The parameters that a result hangs on, the weightiest first, each with what a
    /// hundredth of a millimetre, or a tenth of a degree, changes.
    pub fn weighty(&self, result: &ValueOf) -> Vec<(usize, String)> {
        let step = |at: usize| match self.known[at].kind {
            super::Kind::Length => (0.01, "0.01 mm"),
            super::Kind::Angle => (0.1_f64.to_radians(), "0.1°"),
        };
        let mut all: Vec<usize> = (0..self.known.len()).collect();
        let weight = |at: &usize| (result.by[*at] * step(*at).0).abs();
        all.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
        all.retain(|at| weight(at) > 1e-9);
        let words = |at: usize| {
            let (step, words) = step(at);
            (at, format!("{words} more changes it by {}", result.asked.shown.change(result.by[at] * step)))
        };
        all.into_iter().map(words).collect()
    }
}

impl super::Known {
    fn why_made(&self) -> Why {
        self.why_chosen.clone()
    }
}
