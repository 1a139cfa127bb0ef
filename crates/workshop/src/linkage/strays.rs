//! How far a result strays when every size lies somewhere between its limits and pins lie
//! loose in their bores: a stack whose factors are the exact derivatives of the result.
//!
//! A [`Told`] goes in with the parts; for every result that the file asks about, and every
//! one that it holds, a [`Strayed`] comes out. To first order: limits are small beside the
//! links. The reckoning is that of the crate `stacks`.

use mechanism::{At, Kind as Joint, Mechanism, Model, Moment, ParamId, Reading, Turn};
use stacks::{Asked, Law, Lies, Play, Quantity, Spread, Stack, Trial};

use super::asked::Shown;
use super::loose::{Clear, SaidPlay};
use super::run::{Run, ValueOf};
use super::{Machine, Told, problem};
use crate::assembly::Lie;
use crate::document::{meant, nearest_word};
use crate::measure::Length;
use crate::problem::Problem;
use crate::stack::{Between, Draws, Held, Which, between, fit_between, law};
use crate::why::{Figure, Why};

/// Where the rules of stacking stand.
const SOURCE: &str = "F. Scholz, Tolerance stack analysis methods, Boeing, 1995";

/// How far a result strays, with one set of sizes.
#[derive(Clone, Debug)]
pub struct Strayed {
    /// The mechanism, its setting where it has several, and the result.
    pub name: String,
    /// Which sizes.
    pub which: Which,
    /// In what it is shown.
    pub shown: Shown,
    /// Worst case, squares, mean, deviation, contributions.
    pub spread: Spread,
    /// What came of many drawn.
    pub trial: Trial,
    /// What strays, what contributes most first.
    pub members: Vec<Member>,
    /// Its figures, each with its reason.
    pub figures: Vec<Figure>,
    /// What is not known to stray.
    pub exact: Vec<String>,
}

/// A size, or the play of a joint.
#[derive(Clone, Debug)]
pub struct Member {
    /// What it is called.
    pub name: String,
    /// Between which it lies, in words.
    pub between: [String; 2],
    /// How it lies between them.
    pub lies: &'static str,
    /// What it adds to the worst case, either way, in the result's unit.
    pub worst: f64,
    /// Its share of the variance.
    pub share: f64,
    /// On what its limits rest.
    pub why: Why,
}

/// How every result strays that the file asks about or holds.
pub fn strays(
    machine: &Machine,
    told: &[Told],
    parts: &[Held],
    draws: Draws,
) -> (Vec<Strayed>, Vec<Problem>) {
    let (mut all, mut faults) = (Vec::new(), Vec::new());
    for said in wanted(machine) {
        let mut found = false;
        for one in told {
            for (which, run) in [(Which::Drawn, Some(&one.drawn)), (Which::Chosen, one.made.as_ref())] {
                let Some(run) = run else { continue };
                let result = run.results.iter().find(|r| r.asked.name.eq_ignore_ascii_case(&said.result));
                let Some(result) = result else { continue };
                found = true;
                let title = match &one.setting {
                    Some(setting) => format!("{}, {setting}: {}", machine.name, result.asked.name),
                    None => format!("{}: {}", machine.name, result.asked.name),
                };
                let build = Build {
                    machine,
                    run,
                    result,
                    parts,
                    which,
                    stack: Stack::default(),
                    members: Vec::new(),
                    exact: Vec::new(),
                };
                match build.strayed(title, &said, &one.drawn, draws) {
                    Ok(strayed) => all.push(strayed),
                    Err(fault) => faults.push(machine.at(fault)),
                }
            }
        }
        if !found {
            let names = told.iter().flat_map(|one| &one.drawn.results).map(|r| r.asked.name.as_str());
            let near = nearest_word(&said.result, names);
            let fault = Problem::new(format!("`{}` is no result of this mechanism", said.result))
                .at(format!("line {}, `result`", said.line))
                .mend(meant(near, "name one that `oddleg motion` lists"));
            faults.push(machine.at(fault));
        }
    }
    (all, faults)
}

/// A result that is asked about.
struct Wanted {
    result: String,
    line: usize,
    least: Option<f64>,
    most: Option<f64>,
    /// How far it may depart from what is drawn.
    within: Option<f64>,
}

/// Those that are asked about, then those that are held.
fn wanted(machine: &Machine) -> Vec<Wanted> {
    let spread = machine.loose.asked.iter().map(|said| Wanted {
        result: said.result.clone(),
        line: said.line,
        least: said.least,
        most: said.most,
        within: None,
    });
    let mut all: Vec<Wanted> = spread.collect();
    for hold in &machine.holds {
        match all.iter_mut().find(|one| one.result.eq_ignore_ascii_case(&hold.result)) {
            Some(one) => one.within = Some(hold.within),
            None => all.push(Wanted {
                result: hold.result.clone(),
                line: hold.line,
                least: None,
                most: None,
                within: Some(hold.within),
            }),
        }
    }
    all
}

struct Build<'a> {
    machine: &'a Machine,
    run: &'a Run,
    result: &'a ValueOf,
    parts: &'a [Held<'a>],
    which: Which,
    stack: Stack,
    members: Vec<Member>,
    exact: Vec<String>,
}

impl Build<'_> {
    fn strayed(mut self, name: String, said: &Wanted, drawn: &Run, draws: Draws) -> Result<Strayed, Problem> {
        let shown = self.result.asked.shown;
        self.push("where it stands", self.result.value, self.result.value, 1.0, Law::Even);
        for param in 0..self.machine.known.len() {
            self.size(param);
        }
        self.plays()?;
        let spread = self.stack.spread().map_err(|fault| self.fault(&fault))?;
        // What is held departs from the drawing by so much and no more.
        let middle = drawn.results.iter().find(|r| r.asked.name == self.result.asked.name).map(|r| r.value);
        let held = |sign: f64| Some(middle? + sign * said.within?);
        let (least, most) = (said.least.or(held(-1.0)), said.most.or(held(1.0)));
        let asked = Asked { samples: draws.samples, seed: draws.seed, threads: draws.threads, least, most };
        let trial = self.stack.tried(&asked).map_err(|fault| self.fault(&fault))?;
        for member in &mut self.members {
            let own = spread.contributions.iter().filter(|one| one.name == member.name);
            (member.worst, member.share) = own.fold((0.0, 0.0), |(w, s), one| (w + one.worst, s + one.share));
        }
        self.members.retain(|member| member.worst > 0.0);
        self.members.sort_by(|a, b| b.worst.total_cmp(&a.worst));
        let Self { members, exact, which, .. } = self;
        let figures = figures(&name, shown, &members, &exact, &spread, &trial, (least, most), draws);
        Ok(Strayed { name, which, shown, spread, trial, members, figures, exact })
    }

    fn fault(&self, fault: &stacks::Fault) -> Problem {
        Problem::new(format!("{}, {}: {fault}", self.result.asked.name, self.which.words()))
            .mend("check the sizes and clearances that it names")
    }

    fn push(&mut self, name: &str, lower: f64, upper: f64, factor: f64, law: Law) -> usize {
        self.stack.quantities.push(Quantity { name: name.to_owned(), lower, upper, law });
        self.stack.factors.push(factor);
        self.stack.quantities.len() - 1
    }

    /// A size with what it changes, about where it stands.
    fn size(&mut self, param: usize) {
        let known = &self.machine.known[param];
        let (by, value) = (self.result.by[param], self.run.values[param]);
        // A line turned whole, say, moves no result but by a rounding.
        if by.abs() < 1e-9 {
            return;
        }
        let say = |value: f64| known.kind.shown().text(value);
        let own = self.machine.loose.kept.iter().find(|said| said.param.0 == param);
        let set = self.machine.valves.iter().any(|valve| valve.set.is_some_and(|set| set.0 == param));
        let (from, to, law, lies, why) = if let Some(said) = own {
            let (law, lies) = law(said.lies.unwrap_or(Lie::Evenly), None);
            let why =
                Why::new(format!("within {}, as the mechanism says", said.text)).source("the mechanism file");
            (value - said.within, value + said.within, law, lies, supposed(why, said.lies.is_none()))
        } else if let Some((part, size)) = known.of
            && let Some(found) = between(&self.parts[part], size, self.which)
        {
            let Between { lower, upper, why, room, most_metal, .. } = found;
            let (law, lies) = law(Lie::Evenly, most_metal);
            (lower.as_mm(), upper.as_mm(), law, lies, supposed(why.because(room), true))
        } else {
            if !set {
                self.exact.push(known.name.clone());
            }
            return;
        };
        if from == to {
            self.exact.push(known.name.clone());
            return;
        }
        let name = known.name.clone();
        let between = [say(from), say(to)];
        self.push(&name, from - value, to - value, by, law);
        self.members.push(Member { name, between, lies, worst: 0.0, share: 0.0, why });
    }

    /// What a joint's pin does that lies anywhere in its bore: at each moment that the result
    /// is taken at, in its own place.
    fn plays(&mut self) -> Result<(), Problem> {
        let said = &self.machine.loose.plays;
        if said.is_empty() {
            return Ok(());
        }
        let (turn, moves) = loosened(self.machine, self.run, said).map_err(problem)?;
        let judge = turn.judge().map_err(problem)?;
        let mut parts = Vec::new();
        taken_apart(&turn, &self.result.asked.reading, 1.0, &mut parts).map_err(problem)?;
        for (said, moves) in said.iter().zip(moves) {
            // The same moment counts once, however often the result is taken at it.
            let mut moments: Vec<(f64, [f64; 2])> = Vec::new();
            for (reading, moment, times) in &parts {
                let by = judge.read(reading).map_err(problem)?.by;
                let way = moves.map(|param| times * by[param.0]);
                let at = turn.within(turn.when(moment).map_err(problem)?);
                match moments.iter_mut().find(|(angle, _)| (angle - at).abs() < 1e-6) {
                    Some((_, sum)) => *sum = [sum[0] + way[0], sum[1] + way[1]],
                    None => moments.push((at, way)),
                }
            }
            let moments: Vec<(f64, f64)> = moments
                .into_iter()
                .map(|(at, [x, y])| (at, x.hypot(y)))
                .filter(|(_, by)| *by > 1e-12)
                .collect();
            if !moments.is_empty() {
                self.play(said, &moments)?;
            }
        }
        Ok(())
    }

    fn play(&mut self, said: &SaidPlay, moments: &[(f64, f64)]) -> Result<(), Problem> {
        let (least, most, why) = self.clear(&said.clear)?;
        if least < 0.0 {
            return Err(Problem::new(format!("the pin of `{}` may be up to {:.3} mm larger than its bore", said.name, -least))
                .why("a pin that is larger than its bore has no play")
                .mend("give both a closer tolerance or a mate with a fit, or take the play out where it is pressed in"));
        }
        let named = |at: f64| match moments {
            [_] => format!("play of {}", said.name),
            _ => format!("play of {} at {}", said.name, Shown::Degrees.text(at)),
        };
        // What the clearance's own limits add counts with the first of its plays.
        let bore = self.push(&named(moments[0].0), least, most, 0.0, Law::Even);
        let pin = self.push("none", 0.0, 0.0, 0.0, Law::Even);
        for (at, by) in moments {
            let name = named(*at);
            let lies = "anywhere in its bore";
            self.stack.plays.push(Play { name: name.clone(), factor: *by, bore, pin, lies: Lies::Anywhere });
            let between = [least, most].map(|clear| Shown::Mm.text(0.5 * clear));
            let why = Why::new("half of the clearance to either side, anywhere in it as likely")
                .because(why.clone());
            self.members.push(Member { name, between, lies, worst: 0.0, share: 0.0, why });
        }
        Ok(())
    }

    /// The least and the most clearance on the diameter.
    fn clear(&self, clear: &Clear) -> Result<(f64, f64, Why), Problem> {
        let (pin, bore) = match clear {
            Clear::Stated(least, most) => {
                let why =
                    Why::new(format!("{least:.3} to {most:.3} mm on the diameter, as the mechanism says"));
                return Ok((*least, *most, why.source("the mechanism file")));
            }
            Clear::Between { pin, bore } => (*pin, *bore),
        };
        if let Some((least, most, why)) = fit_between(self.parts, self.which, pin, bore) {
            return Ok((least.as_mm(), most.as_mm(), why));
        }
        let of = |(part, size): (usize, crate::drawing::Size)| {
            between(&self.parts[part], size, self.which).ok_or_else(|| {
                Problem::new(format!("{} has no metric sizes yet", self.parts[part].drawing.name))
                    .mend("mend the part first: `oddleg check` says what is wrong with it")
            })
        };
        let (pin, bore) = (of(pin)?, of(bore)?);
        let (least, most): (Length, Length) = (bore.lower - pin.upper, bore.upper - pin.lower);
        let why = Why::new(format!("the bore less the pin: {least} to {most}"))
            .because(bore.why.because(bore.room))
            .because(pin.why.because(pin.room));
        Ok((least.as_mm(), most.as_mm(), why))
    }
}

/// That nothing is said of how a size lies.
fn supposed(why: Why, unsaid: bool) -> Why {
    if !unsaid {
        return why;
    }
    why.because(Why::assumed(
        "anywhere between its limits, each place as likely: nothing is said of how it lies",
    ))
}

/// The same turn of a mechanism in which a pin of each joint may be shifted two ways square to
/// each other, and these two shifts of each.
fn loosened(
    machine: &Machine,
    run: &Run,
    plays: &[SaidPlay],
) -> Result<(Turn, Vec<[ParamId; 2]>), mechanism::Fault> {
    let mut of: Mechanism = machine.of.clone();
    let mut moves = Vec::new();
    for said in plays {
        let shifts = ["along", "across"].map(|way| of.param(format!("{} {way}", said.name), 0.0));
        moves.push(shifts);
        let from = match &of.joints[said.joint.0].kind {
            Joint::Pin(_, point) | Joint::Slot(point, _) | Joint::Arc { point, .. } => *point,
            _ => continue,
        };
        let at = At::Square { from: Some(from), x: shifts[0].into(), y: shifts[1].into() };
        let shifted = of.point(from.link, format!("{} with play", said.name), at);
        match &mut of.joints[said.joint.0].kind {
            Joint::Pin(_, point) | Joint::Slot(point, _) | Joint::Arc { point, .. } => *point = shifted,
            _ => {}
        }
    }
    let mut values = run.values.clone();
    values.resize(of.params.len(), 0.0);
    let model = Model::new(&of).map_err(|mut faults| faults.remove(0))?.with(&values)?;
    // The links and joints are the same: so is where they stand.
    Ok((Turn { model, ..run.turn.clone() }, moves))
}

/// A result as a sum of plain ones, each taken at one moment, with how often each counts:
/// of a quotient its change to first order.
fn taken_apart(
    turn: &Turn,
    reading: &Reading,
    times: f64,
    into: &mut Vec<(Reading, Moment, f64)>,
) -> Result<(), mechanism::Fault> {
    match reading {
        Reading::Sum(parts) => {
            for (part, by) in parts {
                taken_apart(turn, part, times * by, into)?;
            }
        }
        Reading::Ratio(a, b) => {
            let (over, under) = (turn.value(a)?, turn.value(b)?);
            taken_apart(turn, a, times / under, into)?;
            taken_apart(turn, b, -times * over / (under * under), into)?;
        }
        Reading::Since(a, b) => {
            into.push((Reading::When(b.clone()), b.clone(), times));
            into.push((Reading::When(a.clone()), a.clone(), -times));
        }
        Reading::When(moment) | Reading::Value(_, moment) | Reading::Rate(_, moment) => {
            into.push((reading.clone(), moment.clone(), times));
        }
        Reading::Size(_) => {}
    }
    Ok(())
}

#[allow(clippy::too_many_arguments, reason = "everything that was found of one result")]
fn figures(
    name: &str,
    shown: Shown,
    members: &[Member],
    exact: &[String],
    spread: &Spread,
    trial: &Trial,
    (least, most): (Option<f64>, Option<f64>),
    draws: Draws,
) -> Vec<Figure> {
    let say = |value: f64| shown.text(value);
    let on = |why: Why| {
        let of = |member: &Member| {
            let words = format!("{}: {} either way", member.name, shown.size(member.worst));
            Why { because: vec![member.why.clone()], ..Why::new(words) }
        };
        let why = members.iter().map(of).fold(why, Why::because);
        match exact {
            [] => why,
            _ => why.because(Why::assumed(format!("taken as exact: {}", exact.join(", ")))),
        }
    };
    let span = |from: f64, to: f64| format!("{} to {}", say(from), say(to));
    let first = "by what each changes it, the exact derivatives of the loop equations";
    let squares = spread.root_sum_square;
    let [low, high] = [0.00135, 0.99865].map(|share| trial.quantile(share));
    let drawn = Why::new(format!(
        "{} assemblies drawn, seed {}; the same on any number of threads",
        draws.samples, draws.seed
    ))
    .source("counter of SplitMix64, Steele, Lea and Flood, 2014");
    let figure = |what: &str, shown: String, why: Why| Figure::new(format!("{name}: {what}"), shown, why);
    let mut all = vec![
        figure(
            "worst case",
            span(spread.worst.least, spread.worst.most),
            on(Why::new(format!("every size at its worst limit and every pin where it is worst, {first}"))
                .source(SOURCE)),
        ),
        figure(
            "root of the sum of squares",
            span(spread.middle - squares, spread.middle + squares),
            on(Why::new(format!("{} ± {}", say(spread.middle), shown.size(squares))).source(SOURCE)),
        ),
        figure(
            "mean and deviation",
            format!("{} ± {}", say(spread.mean), shown.size(spread.deviation)),
            on(Why::new("means and variances of the laws by which sizes lie, added up").source(SOURCE)),
        ),
        figure("all but 27 in ten thousand", span(low.value, high.value), on(drawn.clone())),
    ];
    let asked = match (least, most) {
        (None, None) => return all,
        (Some(least), Some(most)) => span(least, most),
        (Some(least), None) => format!("{} at least", say(least)),
        (None, Some(most)) => format!("{} at most", say(most)),
    };
    let (from, to) = trial.good_within();
    let percent = |share: f64| format!("{:.3} %", 100.0 * share);
    let why = drawn
        .because(Why::new(format!(
            "{} to {} with chance, 95 times in a hundred; {} came out below, {} above",
            percent(from),
            percent(to),
            trial.below,
            trial.above
        )))
        .because(Why::new(format!("asked for: {asked}")).source("the mechanism file"));
    all.push(figure("good", percent(trial.good()), why));
    let short = least.map_or(0.0, |least| least - spread.worst.least);
    let over = most.map_or(0.0, |most| spread.worst.most - most);
    let verdict = match (short > 1e-12, over > 1e-12) {
        (false, false) => "good".to_owned(),
        (true, false) => format!("{} too little", shown.size(short)),
        (false, true) => format!("{} too much", shown.size(over)),
        (true, true) => format!("{} too little or {} too much", shown.size(short), shown.size(over)),
    };
    let worst = span(spread.worst.least, spread.worst.most);
    all.push(figure(
        "at its worst",
        verdict,
        Why::new(format!("asked for: {asked}; the worst case is {worst}")),
    ));
    all
}

/// The rows of who contributes, those that contribute most first.
pub fn contributions(strayed: &Strayed) -> Vec<Vec<String>> {
    let all: f64 = strayed.members.iter().map(|member| member.worst).sum();
    let share = |of: f64| format!("{:.1} %", 100.0 * of);
    let row = |member: &Member| {
        let [from, to] = member.between.clone();
        let of_worst = share(if all > 0.0 { member.worst / all } else { 0.0 });
        let own = strayed.shown.size(member.worst);
        vec![member.name.clone(), from, to, member.lies.to_owned(), own, of_worst, share(member.share)]
    };
    strayed.members.iter().map(row).collect()
}
