//! The gear for a thread cut in the lathe: the box, or wheels from those that are owned.
//!
//! Every train of two and four of the wheels is tried, and where none of those is exact every
//! train of six (in the module `six`), so the nearest one is known to be the nearest. What it misses by is told in 25 mm and over the engaged length.

mod divided;
mod six;

use num_rational::Ratio;

use super::show::{geometry, mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::threads::{Form, Thread};
use crate::why::{Figure, Why};

/// What drives the carriage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gear<'a> {
    /// The pitch of the leadscrew.
    pub leadscrew: Length,
    /// Teeth of every wheel owned; one that is there twice stands twice.
    pub wheels: &'a [u32],
    /// Pitches that the gearbox gives by its levers alone.
    pub gearbox: &'a [Length],
}

/// What a wrong pitch may take of the fit over a nut as long as the thread is across, common
/// practice: about what an ordinary metric fit has to spare (ISO 965, 6g, from memory).
pub(super) const GEAR_MAY_TAKE: Length = Length::from_ratio(Ratio::new_raw(3, 100));

/// A thread to be geared for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// How far it goes in one turn: from one crest to the next, with one start.
    pub pitch: Length,
    /// How many threads run side by side.
    pub starts: u32,
    /// The length over which the screw is engaged in its nut.
    pub engaged: Length,
    /// The profile, which says what an error of pitch takes of the fit.
    pub form: Form,
}

impl Wanted {
    /// A thread that is engaged over so much.
    pub fn of(thread: &Thread, engaged: Length) -> Self {
        Self { pitch: thread.lead(), starts: thread.starts, engaged, form: thread.form() }
    }
}

/// Wheels that drive each other, the first on the spindle's stud.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Train {
    /// The wheels that drive, one to three.
    pub drivers: Vec<u32>,
    /// The wheels they drive, the last on the leadscrew.
    pub driven: Vec<u32>,
}

/// How a pitch is come by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum By {
    /// The gearbox's own setting.
    Gearbox,
    /// Wheels.
    Wheels(Train),
}

/// One way of gearing, and the pitch it cuts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// What is set or put on.
    pub by: By,
    /// What comes of it, exactly.
    pub pitch: Length,
}

/// The gear for a thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gearing {
    /// What was asked.
    pub wanted: Wanted,
    /// The pitch of the leadscrew.
    pub leadscrew: Length,
    /// The nearest way there is.
    pub best: Way,
    /// The nearest way with fewer wheels, where that is another.
    pub simpler: Option<Way>,
    /// One wheel that is not owned and would come at least ten times nearer.
    pub one_more: Option<(u32, Way)>,
}

/// What the shaft and nut of a wheel need beside it, in teeth of a usual pitch, common practice.
const SHAFT_TEETH: u32 = 15;

/// The wheels worth buying: what lathes are sold with, and the 127 of the inch.
const SOLD: std::ops::RangeInclusive<u32> = 20..=127;

/// More wheels than any lathe is sold with.
const MOST_WHEELS: usize = 60;

/// Works out the nearest gear for a thread.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, a wheel has no teeth to speak of, or
/// there is neither a gearbox setting nor a pair of wheels.
pub fn change_wheels(gear: Gear, wanted: Wanted) -> Result<Gearing, Problem> {
    positive(gear.leadscrew, "pitch of the leadscrew")?;
    positive(wanted.pitch, "pitch")?;
    positive(wanted.engaged, "length of engagement")?;
    for &pitch in gear.gearbox {
        positive(pitch, "pitch of the gearbox")?;
    }
    if let Some(teeth) = gear.wheels.iter().find(|teeth| !(10..=400).contains(*teeth)) {
        return Err(Problem::new(format!("a change wheel of {teeth} teeth"))
            .why("change wheels have from 10 to 400 teeth")
            .mend("count its teeth again"));
    }
    if gear.wheels.len() > MOST_WHEELS {
        return Err(Problem::new(format!("{} change wheels", gear.wheels.len()))
            .why(format!("every train of up to {MOST_WHEELS} wheels is tried"))
            .mend("leave out those that are not used for threads"));
    }
    let search = Search::new(gear, wanted.pitch);
    let gearbox = gear.gearbox.iter().copied().min_by_key(|pitch| (pitch.gap(wanted.pitch), *pitch));
    let gearbox = gearbox.map(|pitch| Way { by: By::Gearbox, pitch });
    let (simple, compound) = (search.simple(gear.wheels), search.compound(gear.wheels));
    let off = |way: &Way| way.pitch.gap(wanted.pitch);
    // Fewest wheels first: a later way counts only where it is nearer, and six wheels are put on
    // only where nothing less is exact.
    let exact = [&gearbox, &simple, &compound].into_iter().flatten().any(|way| off(way) == Length::ZERO);
    let six = if exact { None } else { search.six(gear.wheels) };
    let ways = [gearbox, simple, compound, six];
    let Some(best) = ways.iter().flatten().cloned().reduce(|a, b| if off(&b) < off(&a) { b } else { a })
    else {
        return Err(Problem::new("no gear for this thread")
            .why("there is no gearbox setting, and a train takes two wheels at least")
            .mend("list `change_wheels` or `gearbox` under `[lathe]` in the bench file"));
    };
    // One that takes the fit away is no simpler way to this thread.
    let would_do = |way: &Way| takes(wanted, way.pitch - wanted.pitch, wanted.engaged) <= GEAR_MAY_TAKE;
    let simpler = ways.iter().flatten().take_while(|way| **way != best).filter(|way| would_do(way)).cloned();
    let simpler = simpler.reduce(|a, b| if off(&b) < off(&a) { b } else { a });
    let best = search.stud_divided(best, wanted.starts, gear.wheels);
    let one_more = if off(&best).is_positive() { search.one_more(gear.wheels, off(&best)) } else { None };
    Ok(Gearing { wanted, leadscrew: gear.leadscrew, best, simpler, one_more })
}

/// What an error of each pitch takes of the fit over a length of thread, on the pitch diameter.
fn takes(wanted: Wanted, off: Length, over: Length) -> Length {
    let off = off.scaled(over.ratio_to(wanted.pitch));
    Length::nearest(off.abs().as_mm() / wanted.form.half_angle_rad().tan())
}

/// The ratio that a train should have, and the leadscrew that it turns.
struct Search {
    leadscrew: Length,
    top: i128,
    over: i128,
}

/// A train with how far it is off: `off / driven` of the wanted ratio's own parts.
struct Tried {
    off: u128,
    driven: u128,
    teeth: u32,
    train: Train,
}

impl Tried {
    /// Nearer, or as near with fewer teeth, or as many and earlier in the order of their teeth.
    fn before(&self, other: &Self) -> bool {
        let (a, b) = (self.off * other.driven, other.off * self.driven);
        (a, self.teeth, &self.train) < (b, other.teeth, &other.train)
    }
}

impl Search {
    fn new(gear: Gear, pitch: Length) -> Self {
        let ratio = pitch.ratio_to(gear.leadscrew);
        Self { leadscrew: gear.leadscrew, top: *ratio.numer(), over: *ratio.denom() }
    }

    fn tried(&self, drivers: &[u32], driven: &[u32]) -> Tried {
        let product = |wheels: &[u32]| wheels.iter().map(|&teeth| i128::from(teeth)).product::<i128>();
        let (drive, follow) = (product(drivers), product(driven));
        Tried {
            off: (drive * self.over - follow * self.top).unsigned_abs(),
            driven: follow.unsigned_abs(),
            teeth: drivers.iter().chain(driven).sum(),
            train: Train { drivers: drivers.to_vec(), driven: driven.to_vec() },
        }
    }

    fn way(&self, tried: Tried) -> Way {
        let pitch = self.leadscrew.scaled(tried.train.ratio());
        Way { by: By::Wheels(tried.train), pitch }
    }

    fn nearest(trains: impl Iterator<Item = Tried>) -> Option<Tried> {
        trains.reduce(|a, b| if b.before(&a) { b } else { a })
    }

    /// The nearest of two wheels, any idler between them.
    fn simple(&self, wheels: &[u32]) -> Option<Way> {
        let pairs = (0..wheels.len()).flat_map(|i| (0..wheels.len()).map(move |j| (i, j)));
        let trains = pairs.filter(|(i, j)| i != j).map(|(i, j)| self.tried(&[wheels[i]], &[wheels[j]]));
        Self::nearest(trains).map(|tried| self.way(tried))
    }

    /// The nearest of four wheels that clear each other's shafts.
    fn compound(&self, wheels: &[u32]) -> Option<Way> {
        let pairs = || (0..wheels.len()).flat_map(|i| (i + 1..wheels.len()).map(move |j| (i, j)));
        let mut best: Option<Tried> = None;
        for (a, c) in pairs() {
            for (b, d) in pairs().filter(|&(b, d)| a != b && a != d && c != b && c != d) {
                let found = self.four([wheels[a], wheels[c]], [wheels[b], wheels[d]]);
                best = nearer(best, found);
            }
        }
        best.map(|tried| self.way(tried))
    }

    /// The nearest of four wheels of which one is a given one, and the others are owned.
    fn compound_with(&self, wheels: &[u32], one: u32) -> Option<Tried> {
        let mut best: Option<Tried> = None;
        for other in 0..wheels.len() {
            for b in (0..wheels.len()).filter(|&b| b != other) {
                for d in (b + 1..wheels.len()).filter(|&d| d != other) {
                    let (own, against) = ([one, wheels[other]], [wheels[b], wheels[d]]);
                    best = nearer(best, self.four(own, against));
                    best = nearer(best, self.four(against, own));
                }
            }
        }
        best
    }

    /// Two wheels driving two, in the first order of them that clears; the ratio is that of any.
    fn four(&self, [a, c]: [u32; 2], [b, d]: [u32; 2]) -> Option<Tried> {
        let orders = [[a, b, c, d], [a, d, c, b], [c, b, a, d], [c, d, a, b]];
        let [a, b, c, d] = orders.into_iter().find(|&[a, b, c, d]| clears(a, b, c, d))?;
        Some(self.tried(&[a, c], &[b, d]))
    }

    /// The one wheel that would bring most, where it is ten times nearer than what there is.
    fn one_more(&self, wheels: &[u32], off: Length) -> Option<(u32, Way)> {
        let wanted = self.leadscrew.scaled(Ratio::new(self.top, self.over));
        let mut best: Option<(u32, Way)> = None;
        for teeth in SOLD.filter(|teeth| !wheels.contains(teeth)) {
            let pair = |&other: &u32| [self.tried(&[teeth], &[other]), self.tried(&[other], &[teeth])];
            let found = Self::nearest(wheels.iter().flat_map(pair).chain(self.compound_with(wheels, teeth)));
            let Some(way) = found.map(|tried| self.way(tried)) else { continue };
            let gap = way.pitch.gap(wanted);
            if gap * 10 <= off && best.as_ref().is_none_or(|(_, known)| gap < known.pitch.gap(wanted)) {
                best = Some((teeth, way));
            }
        }
        best
    }
}

/// The one of two trains that goes before the other.
fn nearer(known: Option<Tried>, found: Option<Tried>) -> Option<Tried> {
    match (known, found) {
        (Some(known), Some(found)) => Some(if found.before(&known) { found } else { known }),
        (known, found) => known.or(found),
    }
}

/// Whether the wheels of a compound train clear the shafts of the others.
const fn clears(a: u32, b: u32, c: u32, d: u32) -> bool {
    a + b >= c + SHAFT_TEETH && c + d >= b + SHAFT_TEETH
}

impl Train {
    /// Turns of the leadscrew for one of the spindle.
    pub fn ratio(&self) -> Ratio<i128> {
        let product = |wheels: &[u32]| wheels.iter().map(|&teeth| i128::from(teeth)).product::<i128>();
        Ratio::new(product(&self.drivers), product(&self.driven))
    }

    /// Which wheel goes where.
    pub fn words(&self) -> String {
        match (&self.drivers[..], &self.driven[..]) {
            ([a], [b]) => format!("{a} on the spindle's stud, {b} on the leadscrew, any idler between"),
            ([a, c], [b, d]) => {
                format!("{a} on the spindle's stud drives {b}; {c} beside it drives {d} on the leadscrew")
            }
            ([a, c, e], [b, d, f]) => format!(
                "{a} on the spindle's stud drives {b}; {c} beside it drives {d}; {e} beside that drives {f} on the leadscrew"
            ),
            _ => format!("{:?} drive {:?}", self.drivers, self.driven),
        }
    }
}

impl Way {
    /// What to set or put on.
    pub fn words(&self) -> String {
        match &self.by {
            By::Gearbox => format!("gearbox at {}", mm(self.pitch)),
            By::Wheels(train) => train.words(),
        }
    }
}

impl Gearing {
    /// The pitch that is cut, less the one that was wanted.
    pub fn off(&self) -> Length {
        self.best.pitch - self.wanted.pitch
    }

    /// What that comes to over a length of thread.
    pub fn off_over(&self, length: Length) -> Length {
        self.off().scaled(length.ratio_to(self.wanted.pitch))
    }

    /// What the error over the engaged length takes of the fit, on the pitch diameter.
    pub fn takes(&self) -> Length {
        takes(self.wanted, self.off(), self.wanted.engaged)
    }

    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let wanted = mm(self.wanted.pitch);
        let geared = match &self.best.by {
            By::Gearbox => practice("the nearest pitch that the gearbox has"),
            By::Wheels(train) => geometry(format!(
                "{wanted} over the leadscrew's {} asks a ratio of {}; these give {}",
                mm(self.leadscrew),
                self.wanted.pitch.ratio_to(self.leadscrew),
                train.ratio()
            ))
            .because(geometry(if train.drivers.len() > 2 {
                "every train of two, four or six of the wheels owned was tried; none is nearer, and none of fewer is exact"
            } else {
                "every train of two or four of the wheels owned was tried; none is nearer"
            }))
            .because(practice(format!(
                "two wheels on one stud clear the other shafts where {SHAFT_TEETH} teeth are to spare"
            )))
            .because(Why::assumed("the stud turns as fast as the spindle: its tumbler wheels are alike")),
        };
        let mut figures = vec![Figure::new("gear", self.best.words(), geared.clone())];
        let exact = self.off() == Length::ZERO;
        let told = if exact { "exact".to_owned() } else { format!("{} mm off", signed(self.off(), 5)) };
        let shown = format!("{} mm, {told}", self.best.pitch.decimals(4));
        figures.push(Figure::new(
            if self.wanted.starts > 1 { "lead cut" } else { "pitch cut" },
            shown,
            geometry("the leadscrew's pitch times its turns for one of the spindle").because(geared.clone()),
        ));
        if !exact {
            let over = |length: Length| format!("{} mm", signed(self.off_over(length), 4));
            let why = geometry("the error of one pitch times the pitches in that length");
            figures.push(Figure::new("error in 25 mm", over(Length::mm(25)), why.clone()));
            figures.push(Figure::new(
                format!("error over the {} engaged", mm(self.wanted.engaged)),
                over(self.wanted.engaged),
                why.clone(),
            ));
            let fit = geometry(
                "an error of pitch wedges the flanks: on the pitch diameter it counts as itself over the tangent of half the thread's angle",
            )
            .because(why);
            figures.push(Figure::new("which takes of the fit", mm(self.takes()), fit));
        }
        if self.takes() > GEAR_MAY_TAKE {
            let why = practice(format!("an ordinary fit has about {} to spare", mm(GEAR_MAY_TAKE)));
            figures.push(Figure::new("mind", "too far off: a nut so long binds on it", why));
        }
        if let Some(simpler) = &self.simpler {
            let shown = format!("{}: {} mm", simpler.words(), simpler.pitch.decimals(4));
            let why = geometry("the nearest with fewer wheels to put on").because(geared.clone());
            figures.push(Figure::new("or, simpler", shown, why));
        }
        if let Some((teeth, way)) = &self.one_more {
            let exact = if way.pitch == self.wanted.pitch { ", exact" } else { "" };
            let shown = format!("{}: {} mm{exact}", way.words(), way.pitch.decimals(4));
            let why = geometry(format!("the one wheel to buy that comes nearest: {teeth} teeth"));
            figures.push(Figure::new(format!("with a wheel of {teeth}"), shown, why));
        }
        figures.push(self.half_nut());
        figures
    }

    /// Whether the half nut may be opened between passes.
    fn half_nut(&self) -> Figure {
        let turns = self.leadscrew.ratio_to(self.best.pitch);
        let (shown, why) = if turns.is_integer() {
            (
                "open and close it anywhere",
                geometry(format!(
                    "every thread of the leadscrew falls on a thread of the work: {turns} to one"
                )),
            )
        } else {
            (
                "leave it closed: draw the tool out and run back",
                geometry("a thread of the leadscrew does not always fall on a thread of the work"),
            )
        };
        Figure::new("half nut", shown, why)
    }
}

/// A length with its sign, to so many decimals.
fn signed(length: Length, places: u32) -> String {
    let sign = if length.is_positive() { "+" } else { "" };
    format!("{sign}{}", length.decimals(places))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const METRIC: [u32; 14] = [20, 25, 30, 35, 40, 40, 45, 50, 55, 60, 65, 70, 75, 80];

    fn ask(leadscrew: Length, wheels: &[u32], pitch: Length) -> Gearing {
        let wanted = Wanted { pitch, starts: 1, engaged: pitch * 8, form: Form::Metric60 };
        change_wheels(Gear { leadscrew, wheels, gearbox: &[] }, wanted).unwrap()
    }

    fn tpi(count: i128) -> Length {
        Length::inches(1, count)
    }

    /// F. D. Jones, Turning and Boring (1914): a lead of 3 mm with a screw constant of 6 to
    /// the inch takes 90 driving 127. J. Rose, Modern Machine-Shop Practice: 48 and 18
    /// driving 36 and 66 from a leadscrew of 4 to the inch cut 11 to the inch. The American
    /// Mechanic: 5 to the inch from a screw of 2 to the inch, 40 driving 100.
    #[test]
    fn trains_agree_with_printed_examples() {
        let train =
            |drivers: &[u32], driven: &[u32]| Train { drivers: drivers.into(), driven: driven.into() };
        let printed = [
            (tpi(6), train(&[90], &[127]), Length::mm(3)),
            (tpi(4), train(&[48, 18], &[36, 66]), tpi(11)),
            (tpi(2), train(&[40], &[100]), tpi(5)),
        ];
        for (leadscrew, train, pitch) in printed {
            let wheels: Vec<u32> = train.drivers.iter().chain(&train.driven).copied().collect();
            assert_eq!(leadscrew.scaled(train.ratio()), pitch, "{train:?}");
            let found = ask(leadscrew, &wheels, pitch);
            assert_eq!(found.best.pitch, pitch, "{}", found.best.words());
        }
    }

    #[test]
    fn an_inch_leadscrew_wants_a_wheel_of_127_and_says_so() {
        let found = ask(tpi(8), &METRIC, Length::mm_ratio(3, 2));
        assert!(found.off() != Length::ZERO);
        let (teeth, way) = found.one_more.expect("a wheel to buy");
        assert_eq!((teeth, way.pitch), (127, Length::mm_ratio(3, 2)));
        let owned: Vec<u32> = METRIC.into_iter().chain([127]).collect();
        assert_eq!(ask(tpi(8), &owned, Length::mm_ratio(3, 2)).off(), Length::ZERO);
    }

    #[test]
    fn two_wheels_are_taken_before_four_and_the_gearbox_before_both() {
        let found = ask(Length::mm(3), &METRIC, Length::mm_ratio(3, 2));
        assert!(matches!(&found.best.by, By::Wheels(train) if train.drivers.len() == 1));
        let gear = Gear { leadscrew: Length::mm(3), wheels: &METRIC, gearbox: &[Length::mm_ratio(3, 2)] };
        let wanted = Wanted {
            pitch: Length::mm_ratio(3, 2),
            starts: 1,
            engaged: Length::mm(10),
            form: Form::Metric60,
        };
        assert_eq!(change_wheels(gear, wanted).unwrap().best.by, By::Gearbox);
    }

    #[test]
    fn what_cannot_be_geared_is_told() {
        let wanted = Wanted { pitch: Length::mm(1), starts: 1, engaged: Length::mm(8), form: Form::Metric60 };
        let ask = |wheels: &[u32], leadscrew| {
            change_wheels(Gear { leadscrew, wheels, gearbox: &[] }, wanted).unwrap_err()
        };
        assert!(ask(&[40], Length::mm(3)).remedy().unwrap().contains("change_wheels"));
        assert!(ask(&[2, 40], Length::mm(3)).what().contains("2 teeth"));
        assert!(ask(&METRIC, Length::ZERO).what().contains("leadscrew"));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        /// No train of two or four of the wheels, tried one by one with plain numbers, comes
        /// nearer; one of six is taken only where it does.
        #[test]
        fn nothing_is_nearer(
            wheels in prop::collection::vec(20u32..90, 2..8),
            pitch in 20i64..400,
            inch in any::<bool>(),
        ) {
            let pitch = Length::microns(pitch * 10);
            let leadscrew = if inch { tpi(8) } else { Length::mm(3) };
            let found = ask(leadscrew, &wheels, pitch);
            let mut least_mm = f64::MAX;
            let n = wheels.len();
            for i in 0..n * n * n * n {
                let at = [i % n, i / n % n, i / n / n % n, i / n / n / n];
                let w = at.map(|at| wheels[at]);
                let two = at[2] == 0 && at[3] == 0 && at[0] != at[1];
                let four = (0..4).all(|i| (0..i).all(|j| at[i] != at[j]))
                    && w[0] + w[1] >= w[2] + 15 && w[2] + w[3] >= w[1] + 15;
                let ratio = match (two, four) {
                    (true, _) => f64::from(w[0]) / f64::from(w[1]),
                    (_, true) => f64::from(w[0] * w[2]) / f64::from(w[1] * w[3]),
                    _ => continue,
                };
                least_mm = least_mm.min((leadscrew.as_mm() * ratio - pitch.as_mm()).abs());
            }
            let off_mm = found.off().as_mm().abs();
            let six = matches!(&found.best.by, By::Wheels(train) if train.drivers.len() == 3);
            let right = if six { off_mm < least_mm } else { (off_mm - least_mm).abs() < 1e-9 };
            prop_assert!(right, "{least_mm} {}", found.off());
        }
    }
}
