//! The order of work of a part: planned, checked and read back into shop words.

use super::asking::{Heeded, heed, wished};
use super::best::best;
use super::deed::{Job, Makings, Scheme, Token};
use super::model::{After, Model, OpId, Plan, Spoil};
use super::moves::Certificate;
use super::uses::Uses;
use super::work::{Aid, Chosen, Done, Held, Loss, Machine, OrderOfWork, Proof, Step, Sure};
use super::{
    accuracy, agree, build, calls, charges, check, coaxial, kept, left, model, oriented, parted, pinned,
    plates, pressed, rules, search, sizes, stacks, throws, traps, turned, turned_held,
};
use crate::bench::Bench;
use crate::drawing::{Around, Body, Depth, Face, Feature, Kind, Part};
use crate::metric::MetricPart;
use crate::problem::{Outcome, Problem};
use crate::why::Why;

/// The order of least cost to make a part in: fewest setups on machines, then tool
/// changes, then aids to make, then minutes.
///
/// `part` has the sizes it is made to and lies as drawn; of a pair of opposite hands it
/// is the one drawn. Where more ways of going about it are worth a plan of their own
/// (a pair stuck together or not, one end of a turned part first or the other), each is
/// planned exactly and the best is kept. What the person says of the order is heeded:
/// what is done already is left out, what is wanted is kept, and its cost told.
///
/// # Errors
///
/// What names no operation; what of it cannot all hold, and which of it to take back.
/// What the bench cannot do, with the remedy; rules that cannot all hold; held
/// distances whose ends cannot be made in one holding.
///
/// # Panics
///
/// Never on any input: only if the planner's own certificate fails the separate
/// checker, which is a fault in this program.
pub fn order_of_work(part: &Part, metric: &MetricPart, bench: &Bench) -> Outcome<OrderOfWork> {
    if part.drawing.asked.is_empty() {
        return best(part, metric, bench, &Heeded::default());
    }
    pinned::order(part, metric, bench)
}

/// A narrow beam: the rules leave so little choice that the first order found is nearly
/// always the best, and a part is planned at every keystroke. Past so many states, a second
/// or two of weakly ordered work, an order is kept without its proof.
const EFFORT: search::Effort = search::Effort { states: 50_000, beam: 2 };

/// What orders are compared by: what does not run true as it has to, setups on machines, tool
/// changes, aids, minutes.
pub(super) type Key = (u64, u64, u64, u64, u64);

/// The ways of going about a part that are planned.
pub(super) fn ways_about(
    part: &Part,
    metric: &MetricPart,
    bench: &Bench,
) -> Vec<(Scheme, Option<turned::First>)> {
    stacks::schemes(part, metric, bench).0
}

/// Everything that may be done to a part in one way of going about it.
pub(super) fn makings(job: &Job, first: Option<turned::First>) -> Outcome<Makings> {
    let mut makings = match first {
        Some(first) => turned::makings(job, first)?,
        None => plates::makings(job)?,
    };
    left::leave_out(job, &mut makings);
    Ok(makings)
}

/// Plans one way of going about it; `None` when the search stopped before any order.
///
/// # Errors
///
/// Its faults; none at all when what is said leaves this way of going about it out.
pub(super) fn planned(
    job: &Job,
    first: Option<turned::First>,
    heeded: &Heeded,
) -> Outcome<Option<(Key, OrderOfWork)>> {
    let mut makings = makings(job, first)?;
    all_made(job, &makings)?;
    let modelled = |makings: &Makings| {
        let (mut model, tokens) = build::model(job, makings);
        heed(job, makings, first, &mut model, heeded).then_some((model, tokens))
    };
    let Some((mut model, mut tokens)) = modelled(&makings) else { return Err(Vec::new()) };
    accuracy::can_be_kept(job, &makings, &model.start.done)?;
    if agree::count(&model) > model::MOST && kept::let_all_go(&mut makings) {
        (model, tokens) = modelled(&makings).expect("wishes are heeded as before");
    }
    let mut outcome = search::plan(&model, EFFORT)?;
    if !matches!(outcome, search::Outcome::Planned(_)) && kept::may_go(&makings) {
        // What nothing on the bench keeps or holds true enough is let go, and told.
        kept::let_go(&mut makings, |makings| {
            let planned = modelled(makings).map(|(model, _)| search::plan(&model, EFFORT));
            matches!(planned, Some(Ok(search::Outcome::Planned(_))))
        });
        (model, tokens) = modelled(&makings).expect("wishes are heeded as before");
        outcome = search::plan(&model, EFFORT)?;
    }
    let plan = match outcome {
        search::Outcome::Planned(plan) => plan,
        search::Outcome::Impossible(conflict) => return Err(vec![conflicting(job, &model, &conflict)]),
        search::Outcome::Undecided { .. } => return Ok(None),
    };
    if let Err(faults) = check::check(&model, &plan) {
        let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
        panic!("the planner's certificate fails the checker, a fault of this program: {}", words.join("; "));
    }
    let (mut order, runs_out) = read_back(job, &makings, (&model, &tokens), &plan);
    order.choices = choices(job, &makings, first, (&model, &plan));
    for chosen in &order.choices {
        if let Some(because) = super::offers::reasons(chosen.out.iter().map(|(_, why)| why.as_str())) {
            let words = format!("{} is {}: {because}", chosen.name, super::offers::bare(&chosen.taken));
            if !order.assumed.contains(&words) {
                order.assumed.push(words);
            }
        }
    }
    Ok(Some((key(&order, runs_out), order)))
}

/// Every feature has its deeds, or the order would leave it out in silence.
fn all_made(job: &Job, makings: &Makings) -> Outcome<()> {
    let circles = job.in_patterns();
    let missing = job.part.features().filter(|(id, feature)| {
        let own = |of: crate::drawing::FeatureId| makings.deeds.iter().any(|deed| deed.feature == Some(of));
        let each = |holes: &[crate::drawing::FeatureId]| holes.iter().all(|&hole| own(hole));
        let made = own(*id) || feature.kind.pattern().is_some_and(each);
        let bright = matches!(feature.kind, Kind::Section { .. });
        // A corner is where two sides end; its rounding may be the cutter's own.
        let gone_round = match &job.part.drawing.body {
            Body::Outline { around, .. } => around.contains(&Around::At(*id)),
            _ => false,
        };
        let corner = gone_round && matches!(feature.kind, Kind::Corner { .. });
        let cast = !job.cuts_outline() && matches!(feature.kind, Kind::Boss { .. } | Kind::Corner { .. });
        !made && !job.left_whole(*id) && !bright && !corner && !cast && !circles.contains(id)
    });
    let faults: Vec<Problem> = missing
        .map(|(_, feature)| {
            let body = match job.part.drawing.body {
                Body::Bosses { .. } => "part with rounded ends",
                Body::Outline { .. } => "part with an outline of its own",
                Body::Rectangle { .. } => "rectangle",
                Body::Disc { .. } => "disc",
                Body::Turned { .. } => "turned part",
            };
            let (why, mend) = match by_hand(job, feature) {
                Some(why) => (
                    why,
                    "add a mill to the bench file, have it milled, or draw it as what a drill and files make",
                ),
                None => not_made(feature),
            };
            Problem::new(format!("no way is known to make `{}` on a {body}", feature.name))
                .at(format!("line {}", feature.line))
                .at(job.part.drawing.file.clone())
                .concerns(feature.name.clone())
                .why(why)
                .mend(mend)
        })
        .collect();
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// Why a bench without a mill has no way to make a feature.
fn by_hand(job: &Job, feature: &Feature) -> Option<String> {
    if job.mills() {
        return None;
    }
    let (id, _) =
        job.part.features().find(|(_, own)| own.line == feature.line && own.name == feature.name)?;
    super::chains::refused(job, id)
}

/// Why a feature has no deed, and what to do about it.
fn not_made(feature: &Feature) -> (String, &'static str) {
    let through = |word: &str| {
        (
            format!("a {word} is filed, and a file needs a hole right through"),
            "leave `depth` out, or draw it as a pocket with the corner radius of a cutter",
        )
    };
    match feature.kind {
        Kind::Corner { .. } => {
            ("the outline does not go round it".into(), "name it in `around` of `[body]`, or take it out")
        }
        Kind::Square { depth: Depth::To(_), .. } => through("square hole"),
        Kind::Flatted { depth: Depth::To(_), .. } => through("flatted hole"),
        Kind::Pocket { .. } => (
            "its sides lie along neither slide of the mill".into(),
            "turn the drawing so that they do, or make of it a slot, which may lie at any angle",
        ),
        _ => (
            format!("it is a {} from the {} face", feature.kind.word(), feature.face.word()),
            "describe it as another kind of feature, or leave it out and make it by eye",
        ),
    }
}

fn key(order: &OrderOfWork, runs_out: u64) -> Key {
    (runs_out, order.uses.setups, order.uses.tool_changes, order.uses.aids, order.uses.minutes)
}

fn conflicting(job: &Job, model: &Model, conflict: &super::Conflict) -> Problem {
    // The person's own wishes are told with their lines, by whoever knows them.
    let own = |rule: &model::Rule| match *rule {
        model::Rule::After(op, n) => {
            matches!(&model.operations[op.0].after[n], After::Operation(_, because) if wished(because))
        }
        model::Rule::Needs(op, n) => wished(&model.operations[op.0].needs[n].because),
        _ => false,
    };
    let rules = conflict.core.iter().filter(|rule| !own(rule));
    let words: Vec<String> = rules.map(|&rule| model.sentence(rule)).collect();
    let why = match words.is_empty() {
        true => "no order has all of that".to_owned(),
        false => format!("these cannot all hold: {}", words.join("; ")),
    };
    Problem::new(format!("there is no order in which `{}` can be made", job.part.drawing.name))
        .at(job.part.drawing.file.clone())
        .why(why)
        .mend(match job.left_words() {
            Some(left) => format!("do not leave {left} for assembly, or change one of those features"),
            None => "change one of those features, or add to the bench what would let one of them be done \
                     another way"
                .into(),
        })
}

/// An order in shop words, and how much of it does not run true, sit or lie as it has to.
fn read_back(
    job: &Job,
    makings: &Makings,
    (model, tokens): (&Model, &[Token]),
    plan: &Plan,
) -> (OrderOfWork, u64) {
    let calls = calls::calls(job, makings);
    let done = model.start.done.iter().map(|op| {
        let deed = &makings.deeds[op.0];
        Done {
            work: deed.work.clone(),
            feature: deed.feature,
            pieces: job.pieces(deed.lot),
            text: build::name(job, deed),
            call: calls[op.0].clone(),
        }
    });
    let mut order = OrderOfWork {
        done: done.collect(),
        uses: Uses::of(model, &plan.steps, &plan.tally),
        free: None,
        wishes: Vec::new(),
        choices: Vec::new(),
        of_ways: Vec::new(),
        steps: Vec::new(),
        setups: Vec::new(),
        setting_up: Vec::new(),
        held_for: Vec::new(),
        aids: Vec::new(),
        traps: traps::traps(makings, model, tokens, plan)
            .into_iter()
            .chain(parted::trap(job, makings, model, plan))
            .collect(),
        proof: proof(
            match plan.proof {
                model::Proof::Optimal => Sure::Optimal,
                model::Proof::Within { .. } => Sure::Within,
            },
            true,
        ),
        times: 1,
        minutes: plan.tally.minutes,
        assumed: makings.assumed.clone(),
        charged: Vec::new(),
        lying: makings.oriented.iter().map(|demand| demand.lies.clone()).collect(),
        true_running: makings.coaxial.iter().map(coaxial::Coaxial::told).collect(),
        certificate: Certificate { model: model.clone(), plan: plan.clone() },
    };
    let charges = charges::charges(job, makings, plan, &model.start.done);
    order.charged = charges.iter().map(|charge| charge.charged(plan)).collect();
    let true_to = coaxial::charges(job, makings, plan);
    let sized = sizes::sizes(job, makings, plan);
    let thrown = throws::charges(job, makings, plan);
    let pressed = pressed::told(job, makings, plan);
    let lies = oriented::charges(job, makings, plan, &model.start.done);
    let runs_out = true_to.iter().filter(|charge| charge.is_short()).count()
        + thrown.iter().filter(|charge| charge.short().is_some()).count()
        + lies.iter().filter(|charge| charge.is_short()).count()
        + pressed.len()
        + makings.loosely_held;
    let told = charges.iter().filter_map(|charge| charge.told(job, makings));
    let told = told.chain(lies.iter().filter_map(|charge| charge.told(job)));
    let told = told.chain(sized.iter().filter_map(sizes::Size::short));
    let told = told.chain(thrown.iter().filter_map(throws::Charge::short)).chain(pressed);
    for told in told.chain(true_to.iter().filter_map(|charge| charge.short(job))) {
        if !order.assumed.contains(&told) {
            order.assumed.push(told);
        }
    }
    let mut stands = None;
    for (at, step) in plan.steps.iter().enumerate() {
        let deed = &makings.deeds[step.op.0];
        let place = deed.places[step.way];
        if stands != Some(place) {
            stands = Some(place);
            let holding = &makings.places[place].holding;
            for words in turned_held::supposed(job, holding).into_iter().chain(stacks::supposed(job, holding))
            {
                if !order.assumed.contains(&words) {
                    order.assumed.push(words);
                }
            }
            order.setups.push(holding.clone());
            order.setting_up.push(model.setups[place].minutes);
            order.held_for.push(turned_held::held_for(job, holding));
        }
        let plate = match &makings.places[place].holding.held {
            Held::BoltOnPlate { bores }
            | Held::PlateOnEdge { bores }
            | Held::PlateSwung { bores }
            | Held::PlateTurned { bores, .. } => Some(Aid::BoltOnPlate { bores: bores.clone() }),
            Held::Mandrel { bore, owned: false } => {
                Some(Aid::StubMandrel { bore: *bore, on: Machine::Lathe })
            }
            Held::Screwed { thread } => Some(Aid::ThreadedStub { thread: *thread }),
            Held::StubMandrel { bore } => {
                Some(Aid::StubMandrel { bore: *bore, on: makings.places[place].holding.machine })
            }
            _ => None,
        };
        for aid in deed.aids.iter().cloned().chain(plate) {
            if !order.aids.iter().any(|known| build::serves(job, known, &aid)) {
                order.aids.push(aid);
            }
        }
        let mine = true_to.iter().filter(|charge| charge.ops.contains(&step.op.0));
        let held_for = order.held_for.last_mut().expect("a setup stands");
        let lying = || lies.iter().filter(|charge| charge.ops.contains(&step.op.0));
        let holding = &makings.places[place].holding;
        let care = lying().filter_map(|charge| charge.care(job));
        let care = care.chain(throws::care(job, makings, plan, at));
        for words in care.chain(mine.filter_map(|charge| charge.held_for(job, holding))) {
            if !held_for.contains(&words) {
                held_for.push(words);
            }
        }
        order.steps.push(Step {
            setup: order.setups.len() - 1,
            work: deed.work.clone(),
            feature: deed.feature,
            tool: deed.tool.clone(),
            text: build::name(job, deed),
            call: calls[step.op.0].clone(),
            hand: job.pieces(deed.lot).hand(),
            minutes: deed.minutes,
            why: {
                let held = charges.iter().filter(|charge| charge.ops.contains(&step.op.0));
                let runs = true_to.iter().filter(|charge| charge.ops.contains(&step.op.0));
                let near = sized.iter().filter(|size| size.op == step.op.0);
                held.map(charges::Charge::why)
                    .chain(runs.map(|charge| charge.why(job)))
                    .chain(lying().map(oriented::Charge::why))
                    .chain(near.map(sizes::Size::why))
                    .chain(thrown.iter().filter(|charge| charge.op == step.op.0).map(throws::Charge::why))
                    .fold(why(model, plan, step.op, place), Why::because)
            },
            takes_away: losses(model, step.op),
        });
    }
    (order, runs_out as u64)
}

/// What the choice is called which end of a turned part is worked first.
pub(super) const THE_ENDS: &str = "the two ends";
/// Its ways.
pub(super) const END_FIRST: [&str; 2] = ["left end first", "right end first"];

/// Which way was taken wherever there are several.
fn choices(
    job: &Job,
    makings: &Makings,
    first: Option<turned::First>,
    (model, plan): (&Model, &Plan),
) -> Vec<Chosen> {
    let mut choices = Vec::new();
    if let Some(first) = first.filter(|_| turned::ways(job.part).len() > 1) {
        let [taken, other] = match first.end() {
            Face::Left => END_FIRST,
            _ => [END_FIRST[1], END_FIRST[0]],
        }
        .map(String::from);
        choices.push(Chosen { name: THE_ENDS.into(), taken, others: vec![other], out: Vec::new() });
    }
    let done = plan.steps.iter().map(|step| step.op).chain(model.start.done.iter().copied());
    let done: Vec<model::Choice> = done.filter_map(|op| model.operations[op.0].choice).collect();
    for (n, group) in model.groups.iter().enumerate() {
        let Some(taken) = done.iter().find(|choice| choice.group.0 == n) else { continue };
        if group.variants.iter().any(|variant| variant == super::waste::NOTHING_SCRIBED) {
            continue; // it follows from the other choices
        }
        // Whether the pair or each piece is one question for the whole outline, asked once.
        let mine = &group.variants[taken.variant];
        let other = |variant: &usize| {
            *variant != taken.variant && super::offers::same_metal(mine, &group.variants[*variant])
        };
        let others = (0..group.variants.len()).filter(other);
        let out = makings.refused.iter().filter(|refused| refused.choice == n);
        choices.push(Chosen {
            name: group.name.clone(),
            taken: group.variants[taken.variant].clone(),
            others: others.map(|variant| format!("{}: {}", group.name, group.variants[variant])).collect(),
            out: out.map(|refused| (refused.way.clone(), refused.because.clone())).collect(),
        });
    }
    choices
}

/// `once`: no change of tool comes again for the next piece.
pub(super) fn proof(sure: Sure, once: bool) -> Proof {
    let sentence = match sure {
        Sure::Optimal if !once => {
            "No order that keeps these rules has fewer setups; of those with as few, none has fewer tool \
             changes, each counted once in this for all pieces that go through a setup in turn, then aids to \
             make, then minutes. A separate check went through every step."
        }
        Sure::Optimal => {
            "No order that keeps these rules has fewer setups; of those with as few, none has fewer tool \
             changes, then aids to make, then minutes. A separate check went through every step."
        }
        Sure::Within => {
            "The search stopped at its limit: this order keeps every rule, but a better one may exist. A \
             separate check went through every step."
        }
    };
    Proof { sure, sentence: sentence.into() }
}

/// Why a step stands where it does: what it needs, comes after, and takes away.
fn why(model: &Model, plan: &Plan, op: OpId, place: usize) -> Why {
    let operation = &model.operations[op.0];
    let setup = &model.setups[place];
    let planned = |op: &OpId| plan.steps.iter().any(|step| step.op == *op);
    let reason = |words: String, because: &str| {
        let source = if wished(because) { "the part file".into() } else { rules::source(because) };
        Why::new(format!("{words}: {because}")).source(source)
    };
    let token = |t: super::TokenId| &model.tokens[t.0].name;
    let mut why = Why::new(format!("{}, in this holding: {}", operation.name, setup.name));
    for need in setup.needs.iter().chain(&operation.needs) {
        why = why.because(reason(format!("it needs a {}", token(need.token)), &need.because));
    }
    // One reason once, however many operations it speaks of.
    let mut said: Vec<&str> = Vec::new();
    for after in &operation.after {
        let After::Operation(earlier, because) = after else { continue };
        if planned(earlier) && !said.contains(&because.as_str()) {
            said.push(because);
            why = why.because(reason(format!("it comes after `{}`", model.name(*earlier)), because));
        }
    }
    for Loss { what, because } in losses(model, op) {
        why = why.because(reason(format!("it takes away the {what}"), &because));
    }
    why
}

/// What a step takes away.
fn losses(model: &Model, op: OpId) -> Vec<Loss> {
    let spoils = model.operations[op.0].spoils.iter();
    let loss = |spoil: &Spoil| Loss {
        what: model.tokens[spoil.token.0].name.clone(),
        because: spoil.because.clone(),
    };
    spoils.map(loss).collect()
}
