//! Blanks sawn from plate with cuts from edge to edge.
//!
//! Which way is best of all is not asked: several ways are laid out, the one that starts
//! least plate is taken, and what the area alone forbids is told beside it.

use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::show::{mm, positive, practice};
use crate::why::Figure;

/// A blank or a plate, along and across.
pub type Size = [Length; 2];

/// What lies in the rack and what is wanted of it; all of one thickness.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plates {
    /// The blanks wanted; each may be turned.
    pub blanks: Vec<Size>,
    /// The plates there are.
    pub plates: Vec<Size>,
    /// What the saw takes away.
    pub saw_cut: Length,
}

/// A blank laid on a plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// Which blank.
    pub blank: usize,
    /// Which plate.
    pub plate: usize,
    /// Its corner nearest the plate's own, along and across.
    pub at: Size,
    /// Its size as it lies.
    pub size: Size,
}

/// Blanks laid on plates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaidOut {
    /// Those that have room.
    pub laid: Vec<Laid>,
    /// Those that have none.
    pub left_over: Vec<usize>,
    /// Plates that are cut into.
    pub started: usize,
    /// The fewest plates whose area would do, where all blanks have room.
    pub at_least: usize,
}

/// More blanks of one thickness than any shed saws at once.
const MOST: usize = 400;

/// Lays blanks on plates.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or there are too many.
pub fn lay(asked: &Plates) -> Result<LaidOut, Problem> {
    for size in asked.blanks.iter().chain(&asked.plates).flatten() {
        positive(*size, "side")?;
    }
    if asked.saw_cut < Length::ZERO || asked.blanks.len() > MOST || asked.plates.len() > MOST {
        return Err(Problem::new(format!(
            "{} blanks, a saw cut of {}",
            asked.blanks.len(),
            mm(asked.saw_cut)
        ))
        .why(format!("no more than {MOST} are laid out at once, and a saw takes metal away"))
        .mend("check both"));
    }
    let mut best: Option<(LaidOut, f64)> = None;
    for order in [Order::Area, Order::Long, Order::Short] {
        for split in [Split::Along, Split::Across, Split::Larger] {
            let found = Layer::new(asked).run(order, split);
            let area: f64 = started(&found.laid).iter().map(|&plate| area_mm2(asked.plates[plate])).sum();
            let better = best.as_ref().is_none_or(|(known, known_area)| {
                (found.left_over.len(), area) < (known.left_over.len(), *known_area)
            });
            if better {
                best = Some((found, area));
            }
        }
    }
    let (mut best, _) = best.expect("at least one way was laid out");
    best.at_least = at_least(asked);
    Ok(best)
}

impl LaidOut {
    /// The row of each plate that is cut into, each blank by its name, and of those that have no room.
    pub fn figures(&self, asked: &Plates, names: &[&str]) -> Vec<Figure> {
        let by = |size: Size| format!("{} × {}", mm(size[0]), mm(size[1]));
        let why = || {
            practice(
                "sawn from edge to edge, the saw's cut between; places are the corner nearest the plate's own",
            )
        };
        let called = |blank: usize| match names.get(blank) {
            Some(name) => format!(" for {name}"),
            None => String::new(),
        };
        let place = |laid: &Laid| {
            let at = format!("{}, {}", laid.at[0].shown(1), laid.at[1].shown(1));
            format!("{}{} at {at}", by(laid.size), called(laid.blank))
        };
        let mut figures = Vec::new();
        for (n, &size) in asked.plates.iter().enumerate() {
            let on: Vec<String> = self.laid.iter().filter(|laid| laid.plate == n).map(place).collect();
            if !on.is_empty() {
                figures.push(Figure::new(format!("from {}", by(size)), on.join("; "), why()));
            }
        }
        let short = |&blank: &usize| {
            names.get(blank).map_or_else(|| by(asked.blanks[blank]), |name| (*name).to_owned())
        };
        let short: Vec<String> = self.left_over.iter().map(short).collect();
        if !short.is_empty() {
            figures.push(Figure::new("no room, plate to buy", short.join(", "), why()));
        }
        figures
    }
}

fn area_mm2(size: Size) -> f64 {
    size[0].as_mm() * size[1].as_mm()
}

fn started(laid: &[Laid]) -> Vec<usize> {
    let mut plates: Vec<usize> = laid.iter().map(|laid| laid.plate).collect();
    plates.sort_unstable();
    plates.dedup();
    plates
}

/// The fewest plates, the largest first, whose area holds all blanks.
fn at_least(asked: &Plates) -> usize {
    let wanted: f64 = asked.blanks.iter().map(|&blank| area_mm2(blank)).sum();
    let mut areas: Vec<f64> = asked.plates.iter().map(|&plate| area_mm2(plate)).collect();
    areas.sort_by(|a, b| b.total_cmp(a));
    let mut held = 0.0;
    let enough = areas.iter().position(|area| {
        held += area;
        held >= wanted - 1e-6
    });
    enough.map_or(areas.len(), |at| at + 1)
}

/// The order in which blanks are laid.
#[derive(Clone, Copy)]
enum Order {
    Area,
    Long,
    Short,
}

/// Which way what is left beside a blank is parted.
#[derive(Clone, Copy)]
enum Split {
    Along,
    Across,
    Larger,
}

/// Room that is still free on a plate.
#[derive(Clone, Copy)]
struct Free {
    plate: usize,
    at: Size,
    size: Size,
}

struct Layer<'a> {
    asked: &'a Plates,
    free: Vec<Free>,
    started: Vec<bool>,
}

impl<'a> Layer<'a> {
    fn new(asked: &'a Plates) -> Self {
        let free = asked.plates.iter().enumerate();
        let free = free.map(|(plate, &size)| Free { plate, at: [Length::ZERO; 2], size }).collect();
        Self { asked, free, started: vec![false; asked.plates.len()] }
    }

    fn run(mut self, order: Order, split: Split) -> LaidOut {
        let mut blanks: Vec<usize> = (0..self.asked.blanks.len()).collect();
        let [long, short] = [Length::max as fn(Length, Length) -> Length, Length::min];
        blanks.sort_by(|&a, &b| {
            let key = |n: usize| {
                let [x, y] = self.asked.blanks[n];
                match order {
                    Order::Area => [Length::nearest((x.as_mm() * y.as_mm()).min(1e8)), long(x, y)],
                    Order::Long => [long(x, y), short(x, y)],
                    Order::Short => [short(x, y), long(x, y)],
                }
            };
            key(b).cmp(&key(a)).then(a.cmp(&b))
        });
        let (mut laid, mut left_over) = (Vec::new(), Vec::new());
        for blank in blanks {
            match self.fit(blank) {
                Some((free, size)) => laid.push(self.put(blank, free, size, split)),
                None => left_over.push(blank),
            }
        }
        left_over.sort_unstable();
        let started = started(&laid).len();
        LaidOut { laid, left_over, started, at_least: 0 }
    }

    /// The free room that a blank fills best, started plates first and small ones before large.
    fn fit(&self, blank: usize) -> Option<(usize, Size)> {
        let [x, y] = self.asked.blanks[blank];
        let mut ways = Vec::new();
        for (n, free) in self.free.iter().enumerate() {
            for size in [[x, y], [y, x]] {
                if size[0] <= free.size[0] && size[1] <= free.size[1] {
                    let spare = (free.size[0] - size[0]).min(free.size[1] - size[1]);
                    let whole = if self.started[free.plate] { 0.0 } else { area_mm2(free.size) };
                    ways.push((whole, spare, n, size));
                }
            }
        }
        ways.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
        ways.first().map(|&(_, _, n, size)| (n, size))
    }

    /// Lays a blank in the corner of free room; what is left is parted by a cut from edge to edge.
    fn put(&mut self, blank: usize, free: usize, size: Size, split: Split) -> Laid {
        let room = self.free.remove(free);
        self.started[room.plate] = true;
        let cut = self.asked.saw_cut;
        let beyond = [0, 1].map(|n| (room.size[n] - size[n] - cut).max(Length::ZERO));
        let along_first = match split {
            Split::Along => true,
            Split::Across => false,
            // The larger piece stays whole.
            Split::Larger => beyond[1] >= beyond[0],
        };
        let (right, above) = if along_first {
            ([beyond[0], size[1]], [room.size[0], beyond[1]])
        } else {
            ([beyond[0], room.size[1]], [size[0], beyond[1]])
        };
        let right_at = [room.at[0] + size[0] + cut, room.at[1]];
        let above_at = [room.at[0], room.at[1] + size[1] + cut];
        for (at, size) in [(right_at, right), (above_at, above)] {
            if size.iter().all(|side| side.is_positive()) {
                self.free.push(Free { plate: room.plate, at, size });
            }
        }
        Laid { blank, plate: room.plate, at: room.at, size }
    }
}

impl LaidOut {
    /// How sure it is, in a sentence.
    pub fn proof(&self) -> String {
        match (self.left_over.is_empty(), self.started == self.at_least) {
            (true, true) => "no fewer plates have the area".into(),
            (true, false) => format!(
                "the best of nine ways of laying them out: {} started, where the area alone would do with {}; another way may do with fewer",
                self.started, self.at_least
            ),
            (false, _) => "what has no room in any of nine ways of laying them out is to buy".into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ask(blanks: &[[i64; 2]], plates: &[[i64; 2]], cut: i64) -> LaidOut {
        let sizes = |all: &[[i64; 2]]| all.iter().map(|size| size.map(Length::mm)).collect();
        lay(&Plates { blanks: sizes(blanks), plates: sizes(plates), saw_cut: Length::mm(cut) }).unwrap()
    }

    #[test]
    fn four_quarters_make_a_plate() {
        let found = ask(&[[49, 49]; 4], &[[100, 100], [300, 300]], 2);
        assert_eq!((found.started, found.left_over.len()), (1, 0));
        assert!(found.laid.iter().all(|laid| laid.plate == 0));
        assert_eq!(ask(&[[120, 20]], &[[30, 130]], 1).left_over.len(), 0, "it may be turned");
        assert_eq!(ask(&[[120, 50]], &[[30, 130]], 1).left_over, [0]);
        assert!(
            lay(&Plates { blanks: vec![[Length::ZERO; 2]], plates: vec![], saw_cut: Length::ZERO }).is_err()
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(100))]

        /// Nothing lies over anything else or off its plate, a saw cut between, and cuts from
        /// edge to edge part it all.
        #[test]
        fn a_layout_can_be_sawn(
            blanks in prop::collection::vec([10i64..90, 10i64..90], 1..14),
            plates in prop::collection::vec([60i64..200, 60i64..200], 1..4),
            cut in 0i64..4,
        ) {
            let found = ask(&blanks, &plates, cut);
            prop_assert_eq!(found.laid.len() + found.left_over.len(), blanks.len());
            let box_of = |laid: &Laid| {
                let mm = |length: Length| length.as_mm().round() as i64;
                [mm(laid.at[0]), mm(laid.at[1]), mm(laid.at[0] + laid.size[0]), mm(laid.at[1] + laid.size[1])]
            };
            for laid in &found.laid {
                let [_, _, right, top] = box_of(laid);
                prop_assert!(right <= plates[laid.plate][0] && top <= plates[laid.plate][1]);
            }
            for plate in 0..plates.len() {
                let on: Vec<[i64; 4]> = found.laid.iter().filter(|l| l.plate == plate).map(box_of).collect();
                prop_assert!(parts(&on, cut), "{on:?}");
            }
            if found.left_over.is_empty() {
                prop_assert!(found.at_least <= found.started);
            }
        }
    }

    /// Whether boxes are parted one by one by straight cuts from edge to edge, a saw's width.
    fn parts(boxes: &[[i64; 4]], cut: i64) -> bool {
        if boxes.len() <= 1 {
            return true;
        }
        for axis in [0, 1] {
            for at in boxes.iter().map(|one| one[axis + 2]) {
                let before: Vec<[i64; 4]> = boxes.iter().copied().filter(|one| one[axis + 2] <= at).collect();
                let after: Vec<[i64; 4]> =
                    boxes.iter().copied().filter(|one| one[axis] >= at + cut).collect();
                if !after.is_empty() && before.len() + after.len() == boxes.len() {
                    return parts(&before, cut) && parts(&after, cut);
                }
            }
        }
        false
    }
}
