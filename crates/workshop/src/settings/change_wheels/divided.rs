//! The train of a thread of several starts: as near, and its first wheel with teeth that the starts divide.

use super::{By, Search, Train, Way, clears};

impl Search {
    /// The way itself, or one with other wheels that comes to exactly the same and has a wheel on the
    /// spindle's stud whose teeth the starts divide: marked teeth then bring each start in its place.
    pub(super) fn stud_divided(&self, best: Way, starts: u32, wheels: &[u32]) -> Way {
        let By::Wheels(train) = &best.by else { return best };
        if starts < 2 || train.drivers[0].is_multiple_of(starts) {
            return best;
        }
        let ratio = train.ratio();
        let (top, over) = (*ratio.numer(), *ratio.denom());
        let divided: Vec<usize> = (0..wheels.len()).filter(|&a| wheels[a].is_multiple_of(starts)).collect();
        let teeth = |at: usize| i128::from(wheels[at]);
        let way = |drivers: Vec<u32>, driven: Vec<u32>| Way {
            by: By::Wheels(Train { drivers, driven }),
            pitch: best.pitch,
        };
        for &a in &divided {
            for b in (0..wheels.len()).filter(|&b| b != a) {
                if teeth(a) * over == teeth(b) * top {
                    return way(vec![wheels[a]], vec![wheels[b]]);
                }
            }
        }
        for &a in &divided {
            for b in (0..wheels.len()).filter(|&b| b != a) {
                for c in (0..wheels.len()).filter(|&c| c != a && c != b) {
                    let (drive, wanted) = (teeth(a) * teeth(c) * over, teeth(b) * top);
                    let found = (0..wheels.len()).filter(|&d| d != a && d != b && d != c).find(|&d| {
                        wanted * teeth(d) == drive && clears(wheels[a], wheels[b], wheels[c], wheels[d])
                    });
                    if let Some(d) = found {
                        return way(vec![wheels[a], wheels[c]], vec![wheels[b], wheels[d]]);
                    }
                }
            }
        }
        best
    }
}
