//! Threads of several starts: the lead that is geared, and how the work is brought from one start to the
//! next, by what the lathe has.
//!
//! The starts stand a pitch apart along the axis, or an equal part of a turn about it: either is set, the
//! spindle against the leadscrew or the tool against the work. [`Asked::figures`] gives every way that is
//! exact on the lathe, the surest first.

use num_integer::Integer;

use super::change_wheels::{By, GEAR_MAY_TAKE, Gearing, change_wheels};
use super::outside_thread::gear;
use super::position::rounding;
use super::show::{counted, geometry, mm, number, practice, set_each};
use crate::bench::Lathe;
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::tables::threads::Thread;
use crate::why::{Figure, Why};

/// Nobody counts more threads of the leadscrew than this from one start to the next: common practice.
const MOST_COUNTED: i64 = 12;

/// A thread of several starts, and what there is to index it by.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The thread.
    pub thread: &'static Thread,
    /// The pitch of the leadscrew, where it is known.
    pub leadscrew: Option<Length>,
    /// How far the top slide travels, where that is known.
    pub top_slide: Option<Length>,
    /// A division of its dial.
    pub step: Length,
    /// How its lead is geared.
    pub gearing: &'a Gearing,
    /// Jaws of each chuck that can drive a carrier; none where the work is not between centres.
    pub jaws: &'a [u32],
}

/// One way from a start to the next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// The first wheel of the train is taken out of mesh, and put in again so many teeth on.
    Stud {
        /// Its teeth.
        wheel: u32,
        /// Teeth from one mark to the next.
        teeth: u32,
    },
    /// The carriage goes so many threads of the leadscrew along with the half nut open.
    HalfNut {
        /// So many of its threads.
        threads: i64,
        /// How far that is.
        along: Length,
    },
    /// The carrier goes from one jaw of the chuck that drives it to another.
    Jaws {
        /// Jaws of the chuck.
        of: u32,
        /// So many of them on.
        on: u32,
    },
    /// The top slide, lying along the bed, goes so far from where the first start was cut, for each of the others.
    TopSlide(Vec<Rounded>),
}

/// The gear for the lead of a thread of several starts; no die is sold that could stand in for it.
///
/// # Errors
///
/// A [`Problem`] when the bench file says nothing of the lathe's gear, or it has none near enough.
pub fn geared(lathe: &Lathe, thread: &'static Thread, engaged: Length) -> Result<Gearing, Problem> {
    let lead = mm(thread.lead());
    let refused = |why: String| {
        Problem::new(format!("no gear for the lead of {lead} of {}", thread.designation))
            .why(why)
            .mend("list `leadscrew` with `change_wheels`, or `gearbox`, under `[lathe]` in the bench file; or have the part made, `bought = true`")
    };
    let Some(gear) = gear(lathe, thread) else {
        return Err(refused(
            "no die of several starts is sold, and the bench file says nothing of the lathe's gear".into(),
        ));
    };
    let found = change_wheels(gear, super::change_wheels::Wanted::of(thread, engaged))?;
    // What is screwed together reaches no further than the thread is across, as with any other.
    let over = change_wheels(gear, super::change_wheels::Wanted::of(thread, thread.major))?;
    if over.takes() > GEAR_MAY_TAKE {
        return Err(refused(format!(
            "the nearest, {}, gives {} mm, which takes {} of the fit over a nut as long as the thread is across",
            found.best.words(),
            found.best.pitch.decimals(4),
            mm(over.takes())
        )));
    }
    Ok(found)
}

impl Asked<'_> {
    /// Every way from one start to the next, the surest first.
    pub fn ways(&self) -> Vec<Way> {
        let starts = self.thread.starts;
        let stud = match &self.gearing.best.by {
            By::Wheels(train) => Some(train.drivers[0]).filter(|teeth| teeth % starts == 0),
            By::Gearbox => None,
        };
        let mut ways: Vec<Way> =
            stud.map(|wheel| Way::Stud { wheel, teeth: wheel / starts }).into_iter().collect();
        ways.extend(self.half_nut());
        let jaws = self.jaws.iter().copied().filter(|jaws| jaws % starts == 0);
        ways.extend(jaws.map(|of| Way::Jaws { of, on: of / starts }));
        let needed = self.thread.pitch * i64::from(starts - 1);
        if self.top_slide.is_none_or(|travel| needed <= travel) {
            let at = |start: u32| (self.thread.pitch * i64::from(start)).rounded(self.step, Toward::Nearest);
            ways.push(Way::TopSlide((1..starts).map(at).collect()));
        }
        ways
    }

    /// The fewest threads of the leadscrew that come to another start, where they come to every one.
    fn half_nut(&self) -> Option<Way> {
        let screw = self.leadscrew.filter(|_| self.gearing.off() == Length::ZERO)?;
        let starts = i128::from(self.thread.starts);
        (1..=MOST_COUNTED).find_map(|threads| {
            let along = screw * threads;
            let pitches = along.ratio_to(self.thread.pitch);
            let reaches_all = pitches.is_integer() && pitches.to_integer().gcd(&starts) == 1;
            reaches_all.then_some(Way::HalfNut { threads, along })
        })
    }

    /// The rows of the sheet.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when nothing on the lathe brings the work to its next start.
    pub fn figures(&self) -> Result<Vec<Figure>, Problem> {
        let thread = self.thread;
        let ways = self.ways();
        if ways.is_empty() {
            return Err(Problem::new(format!("nothing brings {} to its next start", thread.designation))
                .why(format!(
                    "no wheel on the stud that its {} starts divide comes to its lead, no few threads of the leadscrew come to another start, and the top slide travels less than {}",
                    thread.starts,
                    mm(thread.pitch * i64::from(thread.starts - 1))
                ))
                .mend("turn it between centres with a chuck of as many jaws to drive the carrier, or have the part made, `bought = true`"));
        }
        let side = geometry(format!(
            "a screw of {} climbs {} in a turn about {}: where one start climbs, several climb so many times as steeply",
            thread.designation,
            mm(thread.lead()),
            mm(thread.pitch_diameter)
        ));
        let mut figures = vec![
            Figure::new(
                "starts",
                format!("{}, each to the full depth of the pitch of {}", thread.starts, mm(thread.pitch)),
                geometry(format!("the lead is {} times the pitch: {}", thread.starts, mm(thread.lead()))),
            ),
            Figure::new(
                "lead angle",
                format!(
                    "{}°: the side of the tool that goes ahead ground clear by so much more",
                    number(self.lead_angle_degrees(), 1)
                ),
                side,
            ),
        ];
        for (at, way) in ways.iter().enumerate() {
            let name = if at == 0 { "to the next start" } else { "or" };
            figures.push(Figure::new(name, self.words(way), self.why(way)));
        }
        Ok(figures)
    }

    /// How steeply the thread climbs at its pitch diameter.
    fn lead_angle_degrees(&self) -> f64 {
        let round_mm = self.thread.pitch_diameter.as_mm() * std::f64::consts::PI;
        (self.thread.lead().as_mm() / round_mm).atan().to_degrees()
    }

    fn words(&self, way: &Way) -> String {
        match way {
            Way::Stud { wheel, teeth } => format!(
                "chalk the wheel of {wheel} on the stud at every start, {teeth} teeth apart, and the space that the first meshes in; out of mesh, the spindle turned until the next mark comes there, and in mesh again"
            ),
            Way::HalfNut { threads, along } => format!(
                "half nut opened for this alone, spindle stopped and tool drawn out: the carriage {} of the leadscrew along ({}), and closed",
                counted(*threads, "thread"),
                mm(*along)
            ),
            Way::Jaws { of, on } => format!(
                "between centres: the carrier's tail from the jaw it leans on to the {} of the {of} jaws that drive it",
                match on {
                    1 => "next".to_owned(),
                    on => ordinal(*on),
                }
            ),
            Way::TopSlide(at) => format!(
                "top slide along the bed, always wound the same way: from the first start {}",
                set_each(at.iter().map(|at| at.value), self.step)
            ),
        }
    }

    fn why(&self, way: &Way) -> Why {
        let starts = self.thread.starts;
        match way {
            Way::Stud { wheel, teeth } => {
                geometry(format!("{wheel} teeth in {starts} parts are {teeth} each: the spindle turns a part of a turn, the leadscrew stands still"))
                    .because(Why::assumed("the stud turns as fast as the spindle: its tumbler wheels are alike"))
            }
            Way::HalfNut { along, .. } => geometry(format!(
                "{} are {} pitches of {}, which brings every start in its turn",
                mm(*along),
                along.ratio_to(self.thread.pitch),
                mm(self.thread.pitch)
            ))
            .because(geometry("the gear is exact, so the leadscrew keeps step with the work")),
            Way::Jaws { of, .. } => practice(format!(
                "{of} jaws stand at equal angles as nearly as the chuck is made: the work goes back on its centres as it was"
            )),
            Way::TopSlide(at) => {
                let travel = match self.top_slide {
                    Some(travel) => practice(format!("the top slide travels {}", mm(travel))),
                    None => Why::assumed("the top slide travels as far: the bench file does not say"),
                };
                let rounded = at.iter().map(|at| rounding(*at, self.step));
                rounded
                    .fold(geometry("the starts stand a pitch apart along the axis"), Why::because)
                    .because(Why::assumed("its dial is divided as that of the cross slide is, and reads the way itself"))
                    .because(travel)
            }
        }
    }
}

fn ordinal(count: u32) -> String {
    match count {
        2 => "second on".to_owned(),
        3 => "third on".to_owned(),
        many => format!("{many}th on"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::change_wheels::{Gear, Wanted};
    use crate::tables::threads::find;
    use proptest::prelude::*;

    fn gearing(thread: &Thread, leadscrew: Length, wheels: &[u32]) -> Gearing {
        change_wheels(Gear { leadscrew, wheels, gearbox: &[] }, Wanted::of(thread, thread.major)).unwrap()
    }

    fn ways(name: &str, leadscrew: Length, wheels: &[u32], top_slide: i64, jaws: &[u32]) -> Vec<Way> {
        let thread = find(name).unwrap();
        let gearing = gearing(thread, leadscrew, wheels);
        let step = Length::microns(20);
        let (leadscrew, top_slide) = (Some(leadscrew), Some(Length::mm(top_slide)));
        Asked { thread, gearing: &gearing, leadscrew, top_slide, step, jaws }.ways()
    }

    /// A leadscrew of 3 mm and a lead of 2 mm: one thread of it is three pitches of 1 mm, the other start.
    #[test]
    fn every_way_that_is_exact_is_told() {
        let found = ways("M10x1 2 starts", Length::mm(3), &[40, 60], 60, &[3, 4]);
        let top = Length::mm(1).rounded(Length::microns(20), Toward::Nearest);
        assert_eq!(
            found,
            [
                Way::Stud { wheel: 40, teeth: 20 },
                Way::HalfNut { threads: 1, along: Length::mm(3) },
                Way::Jaws { of: 4, on: 2 },
                Way::TopSlide(vec![top]),
            ]
        );
        // A lead of 3 mm: the leadscrew's own threads never leave the start they fell on.
        let found = ways("M10x1.5 2 starts", Length::mm(3), &[45, 45], 1, &[3]);
        assert_eq!(found, []);
    }

    /// 45 to 45 gears a lead of 3 mm, and two do not divide 45: 40 to 40 does as well.
    #[test]
    fn wheels_are_taken_whose_teeth_the_starts_divide() {
        let found = ways("M10x1.5 2 starts", Length::mm(3), &[45, 45, 40, 40], 1, &[]);
        assert_eq!(found, [Way::Stud { wheel: 40, teeth: 20 }]);
    }

    #[test]
    fn what_nothing_indexes_or_gears_is_refused() {
        let thread = find("M10x1.5 2 starts").unwrap();
        let geared_so = gearing(thread, Length::mm(3), &[45, 45]);
        let (leadscrew, step) = (Some(Length::mm(3)), Length::microns(20));
        let top_slide = Some(Length::mm(1));
        let asked = Asked { thread, gearing: &geared_so, leadscrew, top_slide, step, jaws: &[] };
        assert!(asked.figures().unwrap_err().what().contains("next start"));
        let lathe = |text: &str| {
            crate::bench::read_bench("bench", &format!("[lathe]\n{text}")).unwrap().lathe.unwrap()
        };
        let none = geared(&lathe(""), thread, thread.major).unwrap_err();
        assert!(none.reason().is_some_and(|why| why.contains("says nothing")));
        let far = lathe("leadscrew = \"3 mm\"\nchange_wheels = [20, 65]");
        assert!(geared(&far, thread, thread.major).unwrap_err().reason().unwrap().contains("of the fit"));
    }

    /// The lead angle of M10x1.5 with two starts: a climb of 3 mm on 9.026 mm (ISO 724), 6.04°.
    #[test]
    fn the_lead_angle_is_that_of_all_starts_together() {
        let thread = find("M10x1.5 2 starts").unwrap();
        let gearing = gearing(thread, Length::mm(3), &[40, 40]);
        let (leadscrew, step) = (None, Length::microns(20));
        let asked = Asked { thread, gearing: &gearing, leadscrew, top_slide: None, step, jaws: &[] };
        assert!(
            asked.figures().unwrap()[1].shown.starts_with("6°"),
            "{:?}",
            asked.figures().unwrap()[1].shown
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// Going on by the threads that are told, again and again, comes to every start once before it
        /// comes back to the first.
        #[test]
        fn the_half_nut_comes_to_every_start(screw in 1i64..13, starts in 2u32..7, nth in 0usize..4) {
            let name = format!("{} {starts} starts", ["M10x1", "M12x1.5", "M8x0.75", "1/2 BSF"][nth]);
            let thread = find(&name).unwrap();
            // Any exact gear: a box that gives the lead.
            let leadscrew = Length::mm_ratio(screw.into(), 2);
            let gear = Gear { leadscrew, wheels: &[], gearbox: &[thread.lead()] };
            let gearing = change_wheels(gear, Wanted::of(thread, thread.major)).unwrap();
            let step = Length::microns(20);
            let asked = Asked {
                thread, gearing: &gearing, leadscrew: Some(leadscrew), top_slide: None, step, jaws: &[],
            };
            for way in asked.ways() {
                let Way::HalfNut { along, .. } = way else { continue };
                let (pitch_mm, lead_mm) = (thread.pitch.as_mm(), thread.lead().as_mm());
                let mut reached: Vec<i64> = (0..starts)
                    .map(|n| (along.as_mm() * f64::from(n)).rem_euclid(lead_mm) / pitch_mm)
                    .map(|start| start.round() as i64 % i64::from(starts))
                    .collect();
                reached.sort_unstable();
                prop_assert_eq!(reached, (0..i64::from(starts)).collect::<Vec<_>>());
            }
        }
    }
}
