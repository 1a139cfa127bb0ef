//! Blanks sawn from bars: which from which, so that the least is cut into.
//!
//! The search is exact, by branch and bound over pieces and bars; past its effort it keeps
//! the best it has and says what no plan can better.

use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, positive, practice};
use crate::why::Figure;

/// What lies in the rack and what is wanted of it; all of one section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sawing {
    /// The pieces wanted, in any order.
    pub pieces: Vec<Length>,
    /// The bars there are.
    pub bars: Vec<Length>,
    /// How long a new bar is, bought where those there do not reach.
    pub new_bar: Length,
    /// What the saw takes away.
    pub saw_cut: Length,
}

/// One bar that is cut into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FromBar {
    /// Which of the bars in the rack; none for one to buy.
    pub bar: Option<usize>,
    /// How long it is.
    pub length: Length,
    /// Which pieces come from it, the longest first.
    pub pieces: Vec<usize>,
    /// What is left of it.
    pub left: Length,
}

/// What to saw from what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sawn {
    /// The bars that are cut into, those of the rack first.
    pub bars: Vec<FromBar>,
    /// No plan buys fewer bars than this.
    pub buys_at_least: usize,
    /// No plan that buys so many cuts into less bar than this.
    pub cuts_into_at_least: Length,
    /// Whether the plan is proved to be the best.
    pub proved: bool,
    /// Steps of the search.
    pub nodes: u64,
}

/// Steps after which the search is content with what it has.
const EFFORT: u64 = 200_000;

/// More pieces of one section than any shed saws at once.
const MOST: usize = 400;

/// Saws pieces from bars: fewest bars bought, then the least length of bar cut into, then the
/// fewest bars.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or there are too many pieces.
pub fn saw(sawing: &Sawing) -> Result<Sawn, Problem> {
    positive(sawing.new_bar, "length of a new bar")?;
    if sawing.saw_cut < Length::ZERO {
        return Err(Problem::new(format!("a saw cut of {}", mm(sawing.saw_cut)))
            .why("a saw takes metal away")
            .mend("give what it takes, such as 1.5 mm"));
    }
    for &length in sawing.pieces.iter() {
        positive(length, "length of a piece")?;
    }
    for &length in sawing.bars.iter() {
        positive(length, "length of a bar")?;
    }
    if sawing.pieces.len() > MOST || sawing.bars.len() > MOST {
        return Err(Problem::new(format!("{} pieces from {} bars", sawing.pieces.len(), sawing.bars.len()))
            .why(format!("no more than {MOST} are planned at once"))
            .mend("saw them in two lots"));
    }
    Ok(Search::new(sawing).run(sawing))
}

/// What a plan costs: bars bought, microns of bar cut into, bars.
type Cost = (usize, i64, usize);

/// Lengths in whole microns, the saw cut added to each, so that a bar holds what sums up.
struct Search {
    /// Pieces, the longest first, and which each was.
    pieces: Vec<(i64, usize)>,
    /// Sum of the pieces from each on.
    rest: Vec<i64>,
    /// Bars with room, and what each costs: those of the rack, then new ones.
    bars: Vec<Bar>,
    best: Option<(Cost, Vec<usize>)>,
    nodes: u64,
}

#[derive(Clone, Copy)]
struct Bar {
    room: i64,
    length: i64,
    bought: bool,
}

fn microns(length: Length, toward: Toward) -> i64 {
    let whole = length.rounded(Length::microns(1), toward).value.ratio() * 1000;
    i64::try_from(whole.to_integer()).unwrap_or(i64::MAX / 1_000_000)
}

impl Search {
    fn new(sawing: &Sawing) -> Self {
        let cut = microns(sawing.saw_cut, Toward::More);
        let mut pieces: Vec<(i64, usize)> = sawing
            .pieces
            .iter()
            .enumerate()
            .map(|(at, &length)| (microns(length, Toward::More) + cut, at))
            .collect();
        pieces.sort_by_key(|&(length, at)| (-length, at));
        let bar = |length: Length, bought| {
            let length = microns(length, Toward::Less);
            Bar { room: length + cut, length, bought }
        };
        let mut bars: Vec<Bar> = sawing.bars.iter().map(|&length| bar(length, false)).collect();
        bars.extend(Self::enough(&pieces, sawing.new_bar, cut, bar));
        let mut rest = vec![0; pieces.len() + 1];
        for at in (0..pieces.len()).rev() {
            rest[at] = rest[at + 1] + pieces[at].0;
        }
        Self { pieces, rest, bars, best: None, nodes: 0 }
    }

    /// New bars that hold every piece, the longest put first into the first with room: no plan
    /// wants more. A piece longer than a new bar takes one of its own length.
    fn enough(
        pieces: &[(i64, usize)],
        new_bar: Length,
        cut: i64,
        bar: impl Fn(Length, bool) -> Bar,
    ) -> Vec<Bar> {
        let mut new: Vec<(i64, Bar)> = Vec::new();
        for &(length, _) in pieces {
            match new.iter_mut().find(|(room, _)| *room >= length) {
                Some((room, _)) => *room -= length,
                None => {
                    let one = bar(new_bar.max(Length::microns(length - cut)), true);
                    new.push((one.room - length, one));
                }
            }
        }
        new.into_iter().map(|(_, bar)| bar).collect()
    }

    fn run(mut self, sawing: &Sawing) -> Sawn {
        let least = self.least();
        let mut placed = vec![usize::MAX; self.pieces.len()];
        let mut room: Vec<i64> = self.bars.iter().map(|bar| bar.room).collect();
        let mut started = vec![false; self.bars.len()];
        let done = self.place(0, &mut placed, &mut room, &mut started, (0, 0, 0), least);
        let (cost, placed) = self.best.clone().expect("every piece has a new bar that holds it");
        let proved = done || (cost.0, cost.1) == least;
        let mut bars: Vec<FromBar> = Vec::new();
        for (at, bar) in self.bars.iter().enumerate() {
            let pieces: Vec<usize> =
                placed.iter().enumerate().filter(|(_, b)| **b == at).map(|(n, _)| self.pieces[n].1).collect();
            if pieces.is_empty() {
                continue;
            }
            let length = if bar.bought { Length::microns(bar.length) } else { sawing.bars[at] };
            let used: Length = pieces.iter().map(|&n| sawing.pieces[n]).sum::<Length>()
                + sawing.saw_cut * pieces.len() as i64;
            let left = (length - used).max(Length::ZERO);
            bars.push(FromBar { bar: (!bar.bought).then_some(at), length, pieces, left });
        }
        let least = if proved { (cost.0, cost.1) } else { least };
        Sawn {
            bars,
            buys_at_least: least.0,
            cuts_into_at_least: Length::microns(least.1),
            proved,
            nodes: self.nodes,
        }
    }

    /// What no plan betters: the bars of the rack together hold only so much; and what is cut
    /// into is at least what is taken, and where few bars are there, one of their sums.
    fn least(&self) -> (usize, i64) {
        let wanted = self.rest[0];
        let owned: Vec<Bar> = self.bars.iter().copied().filter(|bar| !bar.bought).collect();
        let holds: i64 = owned.iter().map(|bar| bar.room).sum();
        let new = self.bars.iter().filter(|bar| bar.bought).map(|bar| bar.room).max().unwrap_or(1);
        let short = (wanted - holds).max(0);
        let by_length = short.div_euclid(new) + i64::from(short % new != 0);
        // A piece longer than every bar there is has to be bought for.
        let longest = owned.iter().map(|bar| bar.room).max().unwrap_or(0);
        let too_long = self.pieces.iter().filter(|(length, _)| *length > longest).count();
        let buys = usize::try_from(by_length).unwrap_or(0).max(usize::from(too_long > 0));
        if buys > 0 || owned.len() > 16 {
            return (buys, if buys > 0 { 0 } else { wanted - owned.len() as i64 });
        }
        let sums = (1_u32..1 << owned.len()).filter_map(|some| {
            let of = |take: fn(&Bar) -> i64| -> i64 {
                owned.iter().enumerate().filter(|(n, _)| some >> n & 1 == 1).map(|(_, bar)| take(bar)).sum()
            };
            (of(|bar| bar.room) >= wanted).then(|| of(|bar| bar.length))
        });
        (0, sums.min().unwrap_or(0))
    }

    /// Puts the pieces from `at` on into bars; true when every way was looked at.
    fn place(
        &mut self,
        at: usize,
        placed: &mut Vec<usize>,
        room: &mut Vec<i64>,
        started: &mut Vec<bool>,
        cost: Cost,
        least: (usize, i64),
    ) -> bool {
        if let Some((best, _)) = &self.best {
            // What does not fit in what is started needs at least as much more bar.
            let open: i64 =
                room.iter().zip(started.iter()).filter(|(_, started)| **started).map(|(room, _)| *room).sum();
            let more = (self.rest[at] - open).max(0);
            // A bar's room is its length and one saw cut more.
            let bars = i64::from(more > 0);
            let slack =
                self.bars.first().map_or(0, |bar| bar.room - bar.length) * bars * self.bars.len() as i64;
            if (cost.0, cost.1 + (more - slack).max(0), cost.2 + bars as usize) >= *best {
                return true;
            }
            if (best.0, best.1) == least && best.2 <= 1 {
                return true;
            }
        }
        if at == self.pieces.len() {
            self.best = Some((cost, placed.clone()));
            return true;
        }
        self.nodes += 1;
        if self.nodes > EFFORT && self.best.is_some() {
            return false;
        }
        let (length, _) = self.pieces[at];
        // Started bars first, the tightest first; then one of each length that is not started.
        let mut ways: Vec<usize> = (0..self.bars.len()).filter(|&bar| room[bar] >= length).collect();
        ways.sort_by_key(|&bar| {
            let one = &self.bars[bar];
            if started[bar] { (0, false, room[bar], bar) } else { (1, one.bought, one.length, bar) }
        });
        let mut tried: Vec<(bool, i64, bool, i64)> = Vec::new();
        let mut all = true;
        for bar in ways {
            let one = self.bars[bar];
            // Bars alike in all that counts are one way.
            let like = (started[bar], room[bar], one.bought, if started[bar] { 0 } else { one.length });
            if tried.contains(&like) {
                continue;
            }
            tried.push(like);
            let fresh = !started[bar];
            let cost = if fresh {
                (cost.0 + usize::from(one.bought), cost.1 + one.length, cost.2 + 1)
            } else {
                cost
            };
            (placed[at], started[bar]) = (bar, true);
            room[bar] -= length;
            all &= self.place(at + 1, placed, room, started, cost, least);
            room[bar] += length;
            if fresh {
                started[bar] = false;
            }
            if !all && self.nodes > EFFORT {
                return false;
            }
        }
        all
    }
}

impl Sawn {
    /// One row a bar: what comes from it and what is left.
    pub fn figures(&self, sawing: &Sawing) -> Vec<Figure> {
        let why = practice(
            "bars of the rack before bought ones, short ones before long; a saw cut after every piece",
        )
        .because(geometry(self.proof()));
        let row = |(at, bar): (usize, &FromBar)| {
            let which = if bar.bar.is_some() { "in the rack" } else { "to buy" };
            let list: Vec<String> = bar.pieces.iter().map(|&n| mm(sawing.pieces[n])).collect();
            let shown = format!("{}; {} left", list.join(", "), mm(bar.left));
            Figure::new(format!("bar {}, {} {which}", at + 1, mm(bar.length)), shown, why.clone())
        };
        self.bars.iter().enumerate().map(row).collect()
    }

    /// How sure it is, in a sentence.
    pub fn proof(&self) -> String {
        let bought = self.bars.iter().filter(|bar| bar.bar.is_none()).count();
        if self.proved {
            return "every way was weighed: none buys fewer bars, nor cuts into less".into();
        }
        format!(
            "the best of {} ways tried; {bought} bought, and no plan buys fewer than {}; what is cut into may be more than the least, {}",
            self.nodes,
            self.buys_at_least,
            mm(self.cuts_into_at_least)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ask(pieces: &[i64], bars: &[i64], cut: i64) -> Sawn {
        let lengths = |all: &[i64]| all.iter().map(|&n| Length::mm(n)).collect();
        saw(&Sawing {
            pieces: lengths(pieces),
            bars: lengths(bars),
            new_bar: Length::mm(1000),
            saw_cut: Length::mm(cut),
        })
        .unwrap()
    }

    #[test]
    fn the_offcut_goes_before_the_long_bar() {
        let found = ask(&[60, 80], &[1000, 150], 2);
        assert_eq!((found.bars.len(), found.bars[0].length), (1, Length::mm(150)));
        assert_eq!(found.bars[0].left, Length::mm(6));
        assert!(found.proved);
        // The last piece may be the end of the bar: no cut beyond it.
        assert_eq!(ask(&[50, 48], &[100], 2).bars[0].left, Length::ZERO);
        assert_eq!(ask(&[50, 49], &[100], 2).bars.iter().filter(|bar| bar.bar.is_none()).count(), 1);
    }

    #[test]
    fn what_the_rack_does_not_hold_is_bought() {
        let found = ask(&[700, 600, 1200], &[650], 1);
        let bought: Vec<Length> = found.bars.iter().filter(|b| b.bar.is_none()).map(|b| b.length).collect();
        assert_eq!(bought.len(), 2);
        assert!(bought.contains(&Length::mm(1200)) && bought.contains(&Length::mm(1000)));
        assert!(
            saw(&Sawing {
                pieces: vec![Length::ZERO],
                bars: vec![],
                new_bar: Length::mm(1),
                saw_cut: Length::ZERO
            })
            .is_err()
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(150))]

        /// Every way of giving pieces to bars, one by one.
        #[test]
        fn no_way_is_better(
            pieces in prop::collection::vec(20i64..400, 1..6),
            bars in prop::collection::vec(100i64..700, 0..3),
            cut in 0i64..4,
        ) {
            let found = ask(&pieces, &bars, cut);
            prop_assert!(found.proved);
            let new = vec![1000; pieces.len()];
            let all: Vec<i64> = bars.iter().copied().chain(new).collect();
            let mut least = (usize::MAX, i64::MAX, usize::MAX);
            for way in 0..all.len().pow(pieces.len() as u32) {
                let mut way = way;
                let mut held = vec![Vec::new(); all.len()];
                for &piece in &pieces {
                    held[way % all.len()].push(piece);
                    way /= all.len();
                }
                let fits = held.iter().zip(&all).all(|(held, &bar)| {
                    held.is_empty() || held.iter().sum::<i64>() + cut * (held.len() as i64 - 1) <= bar
                });
                if fits {
                    let used: Vec<usize> = (0..all.len()).filter(|&bar| !held[bar].is_empty()).collect();
                    let bought = used.iter().filter(|&&bar| bar >= bars.len()).count();
                    least = least.min((bought, used.iter().map(|&bar| all[bar]).sum(), used.len()));
                }
            }
            let bought = found.bars.iter().filter(|bar| bar.bar.is_none()).count();
            let into: Length = found.bars.iter().map(|bar| bar.length).sum();
            prop_assert_eq!((bought, into, found.bars.len()), (least.0, Length::mm(least.1), least.2));
            // And it is a plan: every piece once, no bar holding more than it has.
            let mut seen: Vec<usize> = found.bars.iter().flat_map(|bar| bar.pieces.clone()).collect();
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..pieces.len()).collect::<Vec<_>>());
            for bar in &found.bars {
                let held: i64 = bar.pieces.iter().map(|&n| pieces[n]).sum();
                prop_assert!(Length::mm(held + cut * (bar.pieces.len() as i64 - 1)) <= bar.length);
            }
        }
    }
}
