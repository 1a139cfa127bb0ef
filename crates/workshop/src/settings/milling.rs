//! A milled cut from the metal to the dial: speed, feed, depths, side cuts, and whether the
//! cutter stands it.
//!
//! Depths begin at what practice takes and are made shallower, or the feed slower, until the
//! cutter bends less than half of what the last cut will take off, so that roughing cannot
//! spoil the size, and the motor stands it; of all that do the quickest is taken. The last
//! light cut is then held against the tolerance.

use super::force::{Effort, Load, Mill, effort};
use super::passes::{Bite, Cut, Passes, check_reach, greatest_bite, passes};
use super::show::{fewest, geometry, in_inches, mm, number, positive, practice};
use super::speed::{self, Feed, Speed};
use crate::bench::EndMill;
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::materials::{Material, Operation};
use crate::why::{Figure, Why};

/// A cut to be milled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked<'a> {
    /// How the cutter meets the work.
    pub cut: Cut,
    /// The cutter.
    pub mill: &'a EndMill,
    /// The whole depth along the cutter.
    pub depth: Length,
    /// Metal to take off sideways before the finished side; nought where there is none.
    pub side: Length,
    /// What is left on the side for a last light cut down the whole depth.
    pub finish_side: Length,
    /// What is left on the floor for a last light cut.
    pub finish_floor: Length,
    /// How far the size may be out; none where nobody has said.
    pub tolerance: Option<Length>,
    /// What is cut.
    pub material: &'a Material,
    /// The spindle's speeds, in turns a minute.
    pub speeds: &'a [u32],
    /// What the motor gives at the cutter, in watts; none where nobody has said.
    pub power_w: Option<f64>,
    /// The smallest step of the readout or dial.
    pub step: Length,
}

/// How a cut is milled.
#[derive(Clone, Debug, PartialEq)]
pub struct Milled {
    /// The spindle speed.
    pub speed: Speed,
    /// The feed.
    pub feed: Feed,
    /// The depths.
    pub passes: Passes,
    /// Widths of the side cuts before the last, equal; none where there is no side.
    pub sides: Vec<Length>,
    /// The heaviest cut.
    pub roughing: Effort,
    /// The last cut, where there is one.
    pub finishing: Option<Effort>,
    /// What a person should know before the cut.
    pub cautions: Vec<Why>,
    mill: EndMill,
    tolerance: Option<Length>,
    bite: Bite,
    power_w: Option<f64>,
    /// What the cut would be if the motor gave whatever is asked: passes and the chip.
    unheld: Option<(i64, Length)>,
}

/// Chips under this rub: common practice.
const LEAST_CHIP: Length = Length::from_ratio(num_rational::Ratio::new_raw(5, 1000));

/// Chips over this are not for a small mill: common practice.
const MOST_CHIP: Length = Length::from_ratio(num_rational::Ratio::new_raw(8, 100));

/// Reach in diameters beyond which a cutter chatters: common practice.
const LONG_REACH: i64 = 4;

/// A cutter below this is small: common practice.
const SMALL: Length = Length::mm(3);

/// The chip a tooth takes with a high-speed steel cutter on a small mill: a two hundred
/// and fiftieth of its diameter in steel and iron, a hundred and fiftieth in soft metal,
/// from 0.005 to 0.08 mm; half of it where the cutter reaches far.
///
/// `slender` is how far it reaches out no thicker than it is.
pub fn chip(diameter: Length, slender: Length, material: &Material) -> (Length, Why) {
    let soft = material.cutting_force.kc11_n_per_mm2 < 1000;
    let share = if soft { 150 } else { 250 };
    let far = slender > diameter * LONG_REACH;
    let share = if far { share * 2 } else { share };
    let hundredth = (diameter / share).rounded(Length::mm_ratio(1, 1000), Toward::Less).value;
    let chip = hundredth.clamp(LEAST_CHIP, MOST_CHIP);
    let far = if far { "; half of that so far out of the collet" } else { "" };
    let why = practice(format!(
        "a chip of the diameter over {} in {}, from {} to {}{far}",
        if soft { 150 } else { 250 },
        material.name,
        mm(LEAST_CHIP),
        mm(MOST_CHIP)
    ));
    (chip, why)
}

/// Works out how a cut is milled.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the cutter does not reach, the
/// machine has no speeds, the lightest cut bends the cutter too far, or it asks for more
/// power than there is.
pub fn milling(asked: Asked) -> Result<Milled, Problem> {
    positive(asked.depth, "depth")?;
    positive(asked.mill.diameter, "cutter diameter")?;
    if asked.side.min(asked.finish_side).min(asked.finish_floor) < Length::ZERO {
        return Err(Problem::new("metal to take off is less than nought")
            .why("it is what stands over the finished size")
            .mend("give nought where there is none"));
    }
    let diameter = asked.mill.diameter;
    let mill = Mill::from(asked.mill);
    check_reach(asked.depth, asked.mill.flute, mill.stick_out)?;
    let published = asked.material.speed(Operation::Milling);
    let aim = f64::from(published.low_m_per_min + published.high_m_per_min) / 2.0;
    let speed = speed::choose(aim, diameter, asked.speeds)?;
    let (full_chip, _) = chip(diameter, asked.mill.slender(), asked.material);
    let bite = greatest_bite(asked.cut, diameter, asked.material);
    let load = |axial: Length, radial: Length, per_tooth: Length| Load {
        axial,
        radial: radial.min(diameter),
        per_tooth,
        rev_per_min: speed.rev_per_min,
    };
    // Only what is beside the cutter bends it out of true; along a floor it bends with the cut.
    let beside = matches!(asked.cut, Cut::SideRoughing | Cut::SideFinishing);
    let last_side = if beside { asked.finish_side } else { Length::ZERO };
    let rough_side = if beside { (asked.side - last_side).max(Length::ZERO) } else { Length::ZERO };
    let sides = match rough_side.is_positive() {
        true => {
            let count = fewest(rough_side, bite.radial)?;
            vec![rough_side / count; count as usize]
        }
        false => Vec::new(),
    };
    let width = match sides.first() {
        Some(&side) => side,
        None if last_side.is_positive() => last_side,
        None => bite.radial,
    };
    let bends_most = if last_side.is_positive() { last_side.half() } else { Length::microns(100) };
    let whole = asked.depth - asked.finish_floor;
    let greatest = bite.axial.unwrap_or(asked.depth);
    let load_of = |axial, chip| load(axial, width, chip);
    let quickest = |power_w: Option<f64>| {
        let within = |effort: &Effort| {
            effort.deflection < bends_most && power_w.is_none_or(|power_w| effort.power_w <= power_w)
        };
        quickest(&asked, mill, (whole, greatest), full_chip, (&load_of, &within))
    };
    let (count, per_tooth, roughing) =
        quickest(asked.power_w)?.ok_or_else(|| stands_not(&asked, mill, bends_most))?;
    let unheld = match asked.power_w {
        Some(_) => quickest(None)?.map(|(count, chip, _)| (count, chip)),
        None => None,
    };
    let unheld = unheld.filter(|&unheld| unheld != (count, per_tooth));
    let feed = speed::feed(per_tooth, asked.mill.teeth, speed.rev_per_min)?;
    let load = |axial, radial| load(axial, radial, per_tooth);
    let passes = passes(asked.depth, whole / count, asked.finish_floor, asked.step)?;
    let finishing = if last_side.is_positive() {
        Some(effort(mill, load(asked.depth, last_side), asked.material)?)
    } else if asked.finish_floor.is_positive() {
        Some(effort(mill, load(asked.finish_floor, width), asked.material)?)
    } else {
        None
    };
    let mut milled = Milled {
        speed,
        feed,
        passes,
        sides,
        roughing,
        finishing,
        cautions: Vec::new(),
        mill: asked.mill.clone(),
        tolerance: asked.tolerance,
        bite,
        power_w: asked.power_w,
        unheld,
    };
    milled.cautions = milled.cautioned(&asked);
    Ok(milled)
}

/// The load of a depth and a chip.
type LoadOf<'a> = &'a dyn Fn(Length, Length) -> Load;

/// Whether a cut is stood.
type Within<'a> = &'a dyn Fn(&Effort) -> bool;

/// The quickest way through of at most `greatest` at a time and at most the full chip in which
/// every pass is within what the cutter and the motor stand: how many equal passes, and the
/// chip. Of two as quick the one of fewer passes. None where none is.
fn quickest(
    asked: &Asked,
    mill: Mill,
    (whole, greatest): (Length, Length),
    full_chip: Length,
    (load, within): (LoadOf, Within),
) -> Result<Option<(i64, Length, Effort)>, Problem> {
    let first = if whole.is_positive() { fewest(whole, greatest)? } else { 1 };
    let mut found: Option<(i64, Length, Effort)> = None;
    for share in CHIP_SHARES {
        let chip = (full_chip * share / 4).rounded(Length::microns(1), Toward::Less).value.max(LEAST_CHIP);
        let takes = |count: i64, chip: Length| count as f64 / chip.as_mm();
        for count in first..=first.max(MOST_DEPTHS) {
            if found.as_ref().is_some_and(|(known, other, _)| takes(*known, *other) <= takes(count, chip)) {
                break;
            }
            if let Ok(effort) = effort(mill, load(whole / count, chip), asked.material)
                && within(&effort)
            {
                found = Some((count, chip, effort));
                break;
            }
        }
    }
    Ok(found)
}

/// Shares of the full chip that are tried, in quarters.
const CHIP_SHARES: [i64; 4] = [4, 3, 2, 1];

fn stands_not(asked: &Asked, mill: Mill, bends_most: Length) -> Problem {
    let power = match asked.power_w {
        Some(power_w) => {
            format!(", or asks for more than the {} W that reach the cutter", number(power_w, 0))
        }
        None => String::new(),
    };
    Problem::new(format!("the {} cutter does not stand this cut", mm(mill.diameter)))
        .why(format!(
            "{} out of the collet it bends more than {}{power}, even in {MOST_DEPTHS} passes",
            mm(mill.stick_out),
            mm(bends_most)
        ))
        .mend("use a thicker or shorter cutter, or take less off sideways")
}

/// More depths than anyone takes.
const MOST_DEPTHS: i64 = 200;

impl Milled {
    /// What a person should know before the cut.
    fn cautioned(&self, asked: &Asked) -> Vec<Why> {
        let mut cautions = Vec::new();
        let diameter = asked.mill.diameter;
        if diameter < SMALL {
            cautions.push(practice(format!(
                "a cutter of {} snaps without warning: shortest stick-out, chips cleared, the feed by feel",
                mm(diameter)
            )));
        }
        let slender = self.mill.slender();
        if slender > diameter * LONG_REACH {
            cautions.push(practice(format!(
                "{} of it are more than {LONG_REACH} times its diameter: it bends and chatters; half the feed, and shorten it if you can",
                mm(slender)
            )));
        }
        if let Some((tolerance, last)) = self.tolerance.zip(self.finishing.as_ref())
            && !last.holds(tolerance)
        {
            cautions.push(geometry(format!(
                "the cutter bends {} in the last cut, more than half of the {} that the size may be out: go over it again at the same setting until it cuts no more",
                mm_fine(last.deflection),
                mm(tolerance)
            )));
        }
        cautions
    }

    /// Everything that is worked out, in the order it is set.
    pub fn figures(&self, material: &Material) -> Vec<Figure> {
        let published = material.speed(Operation::Milling);
        let aim = Why::new(format!(
            "milling {}: {} to {} m/min with high-speed steel",
            material.name, published.low_m_per_min, published.high_m_per_min
        ))
        .source(published.source.to_string());
        let mut figures = self.speed.figures(aim);
        figures.push(self.feed_figure(material));
        figures.extend(self.side_figures());
        let bite = self.bite.why.clone();
        figures.extend(
            self.passes.figures().into_iter().map(|f| Figure { why: f.why.because(bite.clone()), ..f }),
        );
        let named = |label: &str, effort: &Effort| {
            let label = label.to_owned();
            effort
                .figures()
                .into_iter()
                .map(move |f| Figure {
                    name: format!("{label}, {}", f.name),
                    why: self.supposing(f.why),
                    ..f
                })
                .collect::<Vec<_>>()
        };
        figures.extend(named("heaviest cut", &self.roughing));
        if let Some(last) = &self.finishing {
            figures.extend(named("last cut", last));
        }
        figures.extend(self.caution_figures());
        figures
    }

    /// The feed, in millimetres a minute and a turn.
    pub fn feed_figure(&self, material: &Material) -> Figure {
        let (_, chip) = chip(self.speed.diameter, self.mill.slender(), material);
        let why = geometry(format!(
            "{} a tooth, {} teeth, {} turns a minute",
            mm(self.feed.per_tooth),
            self.feed.teeth,
            self.feed.rev_per_min
        ))
        .because(chip);
        let why = self.held_back().into_iter().fold(why, Why::because);
        let mut shown = format!("{} mm/min", number(self.feed.mm_per_min, 0));
        if in_inches(self.passes.step) {
            shown += &format!(" ({} in/min)", number(self.feed.mm_per_min / 25.4, 1));
        }
        Figure::new("feed", shown, self.supposing(why))
    }

    /// How much is taken off sideways at a time.
    pub fn side_figures(&self) -> Vec<Figure> {
        let Some(width) = self.sides.first() else { return Vec::new() };
        let why = self.bite.why.clone().because(practice("equal cuts, each full depth in its passes"));
        vec![Figure::new("side cuts", format!("{} of {}", self.sides.len(), mm_fine(*width)), why)]
    }

    /// How far the cutter bends in the last cut, or in the only one.
    pub fn bend_figure(&self) -> Figure {
        let (name, last) = match &self.finishing {
            Some(last) => ("cutter bends in the last cut", last),
            None => ("cutter bends", &self.roughing),
        };
        let mut why = last.figures().swap_remove(1).why;
        if let Some(tolerance) = self.tolerance {
            let word = if last.holds(tolerance) { "less" } else { "more" };
            why = why.because(practice(format!(
                "{word} than half of the {} that the size may be out",
                mm(tolerance)
            )));
        }
        Figure::new(name, format!("{} mm", last.deflection.decimals(3)), self.supposing(why))
    }

    /// The cautions as rows.
    pub fn caution_figures(&self) -> Vec<Figure> {
        let rows = self.cautions.iter().enumerate();
        let name = |n: usize| if n == 0 { "mind".to_owned() } else { format!("mind, {}", n + 1) };
        rows.map(|(n, why)| Figure::new(name(n), why.statement.clone(), why.clone())).collect()
    }

    /// What the motor's power makes of the cut: shallower passes or a slower feed.
    fn held_back(&self) -> Option<Why> {
        let (count, chip) = self.unheld?;
        let power = number(self.power_w?, 0);
        Some(practice(format!(
            "held to the {power} W that reach the cutter, three quarters of what the motor gives: otherwise {count} passes with {} a tooth",
            mm(chip)
        )))
    }

    /// What the heaviest cut asks of the motor, where the bench says what it gives.
    pub fn power_figure(&self) -> Option<Figure> {
        let power_w = self.power_w?;
        let why = self.roughing.figures().pop()?.why;
        let why = why.because(practice(
            "three quarters of what the motor gives reach the cutter; belts, gears and bearings take the rest",
        ));
        let why = self.held_back().into_iter().fold(why, Why::because);
        let shown = format!("{} of {} W", number(self.roughing.power_w, 0), number(power_w, 0));
        Some(Figure::new("power at the cutter", shown, self.supposing(why)))
    }

    /// Adds what is supposed of the cutter.
    fn supposing(&self, why: Why) -> Why {
        let mut supposed = vec!["is of high-speed steel".to_owned()];
        if self.mill.stick_out.is_none() {
            supposed.push(format!(
                "stands out of the collet by its flutes and what is seen behind them, {}",
                mm(self.mill.stands_out())
            ));
        }
        if self.mill.shank.is_none() {
            supposed.push(format!("has a shank of {}", mm(self.mill.shank_across())));
        }
        why.because(Why::assumed(format!("the cutter {}", supposed.join(", "))))
    }
}

/// A small length to a thousandth.
fn mm_fine(length: Length) -> String {
    format!("{} mm", length.shown(3))
}

#[cfg(test)]
mod tests;
