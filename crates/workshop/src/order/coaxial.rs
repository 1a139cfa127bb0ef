//! Running true: which surfaces of a turned part have to lie on one axis, how far off each
//! holding puts it, and what an order comes to.
//!
//! Whatever is cut while the work stays in one holding is true. Taken up again, the work
//! lies off by what its holding runs out, and what is cut then is off by so much from what
//! it is held by. An order is charged with every holding between two surfaces, all to one
//! side. What cannot be kept is let go and told, so that there is an order at all.

mod charged;

pub(super) use charged::charges;

use super::all_over::is_later;
use super::blanks::untouched;
use super::deed::{Deed, Job, Makings};
use super::figures;
use super::model::{Agreement, OpId};
use super::rules::finishes;
use super::turned::along_axis;
use super::work::{Held, Holding, TrueRunning, Work};
use crate::drawing::{Element, FeatureId, Geometrical, Keeps, Kind, Role, SectionSize};
use crate::measure::Length;
use crate::metric::clearance_asked;
use crate::tables::processes::{limit, locating};

/// Two surfaces that have to run true to each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Coaxial {
    pub features: [FeatureId; 2],
    /// How far apart their axes may lie.
    pub room: Length,
    /// Where that comes from, to follow "because".
    pub because: String,
    /// Whether the order is held to it; let go where no order keeps it.
    pub bound: bool,
    /// Whether the drawing says so itself.
    pub said: bool,
    /// Whether what fits both asks for it.
    fits: bool,
}

impl Coaxial {
    /// The same for whoever measures it.
    pub(super) fn told(&self) -> TrueRunning {
        TrueRunning { features: self.features, room: self.room, because: self.because.clone() }
    }
}

/// What one surface lets its axis be off by, and why.
struct Asks {
    feature: FeatureId,
    off: Length,
    fits: Option<String>,
}

/// Every pair of surfaces that have to run true: those that fit something, and those whose
/// size is held within a tolerance.
pub(super) fn demands(job: &Job) -> Vec<Coaxial> {
    let mut asks: Vec<Asks> = Vec::new();
    let mut ask = |new: Asks| match asks.iter_mut().find(|known| known.feature == new.feature) {
        Some(known) if known.off <= new.off => {}
        Some(known) => *known = new,
        None => asks.push(new),
    };
    for mate in &job.part.drawing.mates {
        let Some(size) = size_of(job, mate.with) else { continue };
        let (least, greatest) = clearance_asked(&mate.fit, size).unwrap_or_default();
        // The middle of its clearance, half of it to either side; a tight fit takes up nothing.
        let off = (least + greatest).max(Length::ZERO).half().half();
        let fits = Some(format!("{} fits {}", job.name(mate.with), mate.name));
        ask(Asks { feature: mate.with, off, fits });
    }
    for (id, _) in job.part.features() {
        let held = |d: crate::drawing::DimensionId| {
            let drawn = &job.part.drawing.dimensions[d.0];
            drawn.role.0 == Role::Hold && drawn.within.is_some()
        };
        let diameter = match job.part.feature(id).kind {
            Kind::Section { size: SectionSize::Plain(d), .. } | Kind::Hole { diameter: d, .. } => d,
            _ => continue,
        };
        if held(diameter) && size_of(job, id).is_some() {
            ask(Asks { feature: id, off: limit("general run-out"), fits: None });
        }
    }
    let pairs = asks.iter().enumerate().flat_map(|(n, a)| asks[n + 1..].iter().map(move |b| (a, b)));
    let mut all: Vec<Coaxial> = stated(job);
    for pair in pairs.map(|(a, b)| pair(job, a, b)) {
        // What the drawing says of the two stands in the place of what is supposed of them.
        let same = |known: &Coaxial| pair.features.iter().all(|id| known.features.contains(id));
        if !all.iter().any(|known| same(known) && (known.said && !pair.fits || known.room <= pair.room)) {
            all.push(pair);
        }
    }
    all
}

/// What the drawing says runs true: its zone is as wide as the axes may lie apart to both sides,
/// and so is what an indicator shows over one turn.
fn stated(job: &Job) -> Vec<Coaxial> {
    let of = |said: &Geometrical| {
        let (Element::Feature(one), Some(Element::Feature(other))) = (said.of, said.to) else { return None };
        let true_running = matches!(said.keeps, Keeps::Concentricity | Keeps::RunOut);
        let features = if one < other { [one, other] } else { [other, one] };
        true_running.then(|| Coaxial {
            features,
            room: said.within.length.half(),
            because: format!("`[[geometry]]`, line {}: {}", said.line, said.words(job.part.drawing)),
            bound: true,
            said: true,
            fits: false,
        })
    };
    job.part.drawing.geometrical.iter().filter_map(of).collect()
}

fn pair(job: &Job, a: &Asks, b: &Asks) -> Coaxial {
    let features = [a.feature, b.feature];
    let (room, because) = match (&a.fits, &b.fits) {
        (Some(one), Some(other)) => {
            let room = (a.off + b.off).max(limit("true enough"));
            (
                room,
                format!("{one} and {other}: their clearances take up {} between them", figures::room(room)),
            )
        }
        _ => {
            let room = limit("general run-out");
            let held = if a.fits.is_none() { a } else { b };
            (
                room,
                format!(
                    "{} is held, and no run-out is said: {room} as ISO 2768-2 H has it",
                    job.name(held.feature)
                ),
            )
        }
    };
    let fits = a.fits.is_some() && b.fits.is_some();
    Coaxial { features, room, because, bound: true, said: false, fits }
}

/// The diameter of something on the axis of a turned part.
fn size_of(job: &Job, id: FeatureId) -> Option<Length> {
    let part = job.part;
    match part.feature(id).kind {
        Kind::Section { size: SectionSize::Plain(_), throw: None, .. } => part.cut_diameter(id),
        Kind::Hole { .. } if along_axis(job, id) => part.cut_diameter(id),
        _ => None,
    }
}

/// The row of the table that says how far off a holding puts the work; none for the bar,
/// whose axis is the spindle's.
pub(super) fn row(job: &Job, held: &Held) -> Option<&'static str> {
    Some(match held {
        Held::Chuck { on: Some(_) } | Held::SawnLength => "three-jaw chuck",
        Held::Collet { on: Some(on) } => {
            let wide = job.part.cut_diameter(*on).is_some_and(|d| d > Length::mm(10));
            if wide { "collet over 10 mm" } else { "collet to 10 mm" }
        }
        Held::SoftJaws { .. } => "soft jaws",
        Held::SplitBush { .. } => "split bush",
        Held::Clocked { .. } | Held::FourJaw { on: Some(_), .. } => "four-jaw clocked",
        Held::Packed { on: Some(_), .. } => "packing set by indicator",
        Held::Centres => "between centres",
        Held::Mandrel { owned: true, .. } => "mandrel",
        Held::Mandrel { owned: false, .. } => "stub in place",
        Held::Inside { .. } => "three-jaw chuck",
        Held::Screwed { .. } => "threaded stub",
        Held::Faceplate { .. } => "faceplate clocked",
        _ => return None,
    })
}

/// How far off its datum a holding puts the work.
pub(super) fn off(job: &Job, held: &Held) -> Length {
    row(job, held).map_or(Length::ZERO, |row| locating(row).error)
}

/// What work runs true to in a holding.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Axis {
    /// Itself: the bar as it is gripped.
    Bar,
    /// Something finished.
    Of(FeatureId),
    /// The centre holes of both ends.
    Centres,
}

fn axis(held: &Held) -> Axis {
    match held {
        Held::Centres => Axis::Centres,
        _ => runs_by(held).map_or(Axis::Bar, Axis::Of),
    }
}

/// What finished bore, section or thread the work runs true by in a holding.
pub(super) fn runs_by(held: &Held) -> Option<FeatureId> {
    held.through().or_else(|| held.grips()).or_else(|| held.screwed_by())
}

/// One holding's part in what is out.
#[derive(Clone, Debug)]
pub(super) struct Share {
    pub of: String,
    /// Its row of the tables of locating and of trueness.
    pub row: &'static str,
    error: Length,
    source: String,
}

fn share_of(name: &'static str, of: String) -> Share {
    let row = locating(name);
    Share { of, row: name, error: row.error, source: row.source.to_string() }
}

fn share(job: &Job, holding: &Holding) -> Share {
    let row = row(job, &holding.held).unwrap_or("three-jaw chuck");
    share_of(row, held_words(job, &holding.held))
}

/// How a holding is told of in a sum of errors.
fn held_words(job: &Job, held: &Held) -> String {
    let name = |id: &FeatureId| job.name(*id).to_owned();
    match held {
        Held::Chuck { on: Some(on) } => format!("the three-jaw chuck on {}", name(on)),
        Held::Collet { on: Some(on) } => format!("a collet on {}", name(on)),
        Held::SoftJaws { on } => format!("soft jaws bored to {}", name(on)),
        Held::SplitBush { on } => format!("a split bush on {}", name(on)),
        Held::Clocked { on } => format!("{} clocked true in the four-jaw", name(on)),
        Held::Centres => "turned end for end between centres".into(),
        Held::Mandrel { bore, owned: true } => format!("a mandrel in {}", name(bore)),
        Held::Mandrel { bore, owned: false } => format!("a stub turned in place to {}", name(bore)),
        Held::Inside { bore } => format!("the three-jaw chuck opened in {}", name(bore)),
        Held::Screwed { thread } => format!("screwed on a stub by {}", name(thread)),
        Held::Faceplate { bore } => format!("{} clocked on the faceplate", name(bore)),
        _ => "the bar gripped again".into(),
    }
}

/// The deeds that give a surface its axis.
pub(super) fn making(job: &Job, makings: &Makings, id: FeatureId) -> Vec<usize> {
    let gives = |deed: &Deed| {
        deed.feature == Some(id)
            && (matches!(deed.work, Work::TurnSection { .. } | Work::TurnTaper { .. } | Work::Tap { .. })
                || finishes(job, deed, id))
    };
    (0..makings.deeds.len()).filter(|&n| gives(&makings.deeds[n])).collect()
}

/// The pairs of deeds that make two surfaces in one piece of work.
fn pairs(job: &Job, makings: &Makings, demand: &Coaxial) -> Vec<[usize; 2]> {
    let [one, other] = demand.features.map(|id| making(job, makings, id));
    let all = one.iter().flat_map(|&a| other.iter().map(move |&b| [a, b]));
    all.filter(|&[a, b]| match (makings.deeds[a].choice, makings.deeds[b].choice) {
        (Some((choice, variant)), Some((same, another))) => choice != same || variant == another,
        _ => true,
    })
    .collect()
}

/// What two surfaces may be out by when the work is taken up between them, whatever is done
/// meanwhile: what either is held by was made with the other where it can have been.
pub(super) fn shares_apart(job: &Job, makings: &Makings, ops: [usize; 2], places: [usize; 2]) -> Vec<Share> {
    let holdings = places.map(|place| &makings.places[place].holding);
    let features = ops.map(|op| makings.deeds[op].feature);
    let axes = holdings.map(|holding| axis(&holding.held));
    for (own, other) in [(0, 1), (1, 0)] {
        // Held by each other in turn, they run true as the one is that is finished last.
        let roughed_only = matches!(axes[other], Axis::Of(by) if features[own] == Some(by))
            && is_later(makings, &makings.deeds[ops[other]]);
        if let Axis::Of(datum) = axes[own]
            && features[other] == Some(datum)
            && !roughed_only
        {
            return vec![share(job, holdings[own])];
        }
    }
    if holdings[0].held == holdings[1].held
        && holdings[0].up == holdings[1].up
        && holdings[0].steadied != holdings[1].steadied
    {
        return vec![share_of("fixed steady", "the fixed steady set".into())];
    }
    if axes == [Axis::Bar; 2] {
        return vec![share_of("three-jaw chuck", "the bar gripped again".into())];
    }
    let mut all = Vec::new();
    for (own, other) in [(0, 1), (1, 0)] {
        match axes[own] {
            Axis::Bar => {}
            Axis::Of(datum) => {
                all.push(share(job, holdings[own]));
                all.extend(as_the_bar_ran(job, makings, datum));
                let with_the_other = making(job, makings, datum)
                    .iter()
                    .any(|&made| makings.deeds[made].places.contains(&places[other]));
                if axes[own] != axes[other] && !with_the_other {
                    all.extend(nearest(job, makings, &making(job, makings, datum)));
                }
            }
            Axis::Centres => {
                all.push(share(job, holdings[own]));
                // The second end is centred in another holding than the first.
                if axes[other] != Axis::Centres {
                    let centred = |deed: &Deed| matches!(deed.work, Work::CentreEnd { .. });
                    let drilled: Vec<usize> =
                        (0..makings.deeds.len()).filter(|&n| centred(&makings.deeds[n])).collect();
                    let apart = drilled.iter().filter_map(|&n| nearest(job, makings, &[n]));
                    all.extend(apart.max_by_key(|share| share.error));
                }
            }
        }
    }
    all
}

/// What the outside of a section that is left as its bar comes was out by while the bar was turned:
/// nothing cut it true to what was turned then.
fn as_the_bar_ran(job: &Job, makings: &Makings, datum: FeatureId) -> Option<Share> {
    let left = makings.deeds.iter().any(|deed| deed.work == Work::PartOff) && untouched(job, datum);
    left.then(|| share_of("three-jaw chuck", format!("{} as its bar ran in the chuck", job.name(datum))))
}

/// What something comes to in the truest of its holdings.
fn nearest(job: &Job, makings: &Makings, deeds: &[usize]) -> Option<Share> {
    let places = deeds.iter().flat_map(|&n| &makings.deeds[n].places);
    let holdings = places.map(|&place| &makings.places[place].holding);
    let least = holdings.min_by_key(|holding| off(job, &holding.held))?;
    (axis(&least.held) != Axis::Bar).then(|| share(job, least))
}

fn worst(shares: &[Share]) -> Length {
    shares.iter().map(|share| share.error).sum()
}

/// What has to agree in a model whose operation `n` is deed `n`.
pub(super) fn agreements(job: &Job, makings: &Makings) -> Vec<Agreement> {
    let mut all = Vec::new();
    for demand in makings.coaxial.iter().filter(|demand| demand.bound) {
        for [a, b] in pairs(job, makings, demand) {
            let (firsts, seconds) = (&makings.deeds[a].places, &makings.deeds[b].places);
            let out =
                |p: usize, q: usize| worst(&shares_apart(job, makings, [a, b], [firsts[p], seconds[q]]));
            let every = || (0..firsts.len()).flat_map(|p| (0..seconds.len()).map(move |q| [p, q]));
            let apart: Vec<[usize; 2]> = every().filter(|&[p, q]| out(p, q) <= demand.room).collect();
            if apart.len() == firsts.len() * seconds.len() {
                continue;
            }
            let most = every().map(|[p, q]| out(p, q)).max().unwrap_or_default();
            let [one, other] = demand.features.map(|id| job.name(id));
            let because = format!(
                "{one} and {other} run true within {} ({}), and held otherwise they may be out by {}",
                figures::room(demand.room),
                demand.because,
                figures::error(most)
            );
            all.push(Agreement { ops: [OpId(a), OpId(b)], in_one: true, apart, because });
        }
    }
    all
}
