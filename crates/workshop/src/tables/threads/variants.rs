//! Threads that no table lists, because their sizes are those of the thread that it does: wound the other
//! way, or several side by side.

use std::sync::OnceLock;

use super::{Hand, Thread, all};

/// The most threads side by side that anyone cuts by indexing in a lathe: common practice.
pub const MOST_STARTS: u32 = 6;

/// What stands behind the name of a left-hand thread: ISO 965-1, from memory.
const LEFT: &str = "-LH";

/// What stands behind the name of a thread of several starts, after their number.
const STARTS: &str = " starts";

/// Every thread, in the order of [`all`], wound that way and so many side by side.
pub(super) fn wound(hand: Hand, starts: u32) -> &'static [Thread] {
    const KINDS: usize = 2 * MOST_STARTS as usize;
    static WOUND: [OnceLock<Vec<Thread>>; KINDS] = [const { OnceLock::new() }; KINDS];
    if (hand, starts) == (Hand::Right, 1) {
        return all();
    }
    let starts = starts.clamp(1, MOST_STARTS);
    let at = 2 * (starts as usize - 1) + usize::from(hand == Hand::Left);
    WOUND[at].get_or_init(|| all().iter().map(|thread| so(thread, hand, starts)).collect())
}

fn so(thread: &Thread, hand: Hand, starts: u32) -> Thread {
    let left = if hand == Hand::Left { LEFT } else { "" };
    let several = if starts > 1 { format!(" {starts}{STARTS}") } else { String::new() };
    // What is printed as a tapping drill is for the tap of the listed thread; the core is the same.
    Thread { designation: format!("{}{left}{several}", thread.designation), hand, starts, ..thread.clone() }
}

/// The name under which tables list a thread.
pub(super) fn listed(designation: &str) -> &str {
    let single = designation
        .strip_suffix(STARTS)
        .and_then(|rest| rest.rsplit_once(' '))
        .map_or(designation, |(name, _)| name);
    single.strip_suffix(LEFT).unwrap_or(single)
}

#[cfg(test)]
mod tests {
    use super::super::find;
    use super::*;
    use crate::measure::Length;

    /// A screw of two starts and a pitch of 1 mm moves its nut 2 mm in a turn.
    #[test]
    fn a_thread_of_several_starts_is_named_in_many_ways() {
        for text in ["M10x1 2 starts", "2-start M10x1", "M10x1 two-start", "M10 x 1 double start"] {
            let thread = find(text).unwrap();
            assert_eq!((thread.designation.as_str(), thread.starts), ("M10x1 2 starts", 2), "{text}");
            assert_eq!((thread.pitch, thread.lead()), (Length::mm(1), Length::mm(2)));
            assert!(std::ptr::eq(thread, find(&thread.designation).unwrap()));
        }
        let left = find("1/2 BSF LH 3 starts").unwrap();
        assert_eq!((left.hand, left.starts, left.listed_as()), (Hand::Left, 3, "1/2 BSF"));
        assert_eq!(left.of_hand(Hand::Right).designation, "1/2 BSF 3 starts");
        assert!(std::ptr::eq(find("M6 1 start").unwrap(), find("M6").unwrap()));
    }

    #[test]
    fn starts_that_nobody_cuts_are_refused() {
        for text in ["M10 0 starts", "M10 7 starts", "M10x1 99 starts"] {
            assert!(find(text).unwrap_err().what().contains("starts"), "{text}");
        }
        for text in ["starts", "2 starts", "M10 1/2 starts", "M starts", "M10 x starts"] {
            assert!(find(text).is_err(), "{text}");
        }
    }

    #[test]
    fn only_what_has_as_many_starts_cuts_it_or_screws_in() {
        let [one, two] = ["M10x1", "M10x1 2 starts"].map(|name| find(name).unwrap());
        assert!(!one.is_cut_as(two) && one.winds_as(two).is_err() && two.winds_as(two).is_ok());
        assert!(two.winds_as(find("M10x1 2 starts LH").unwrap()).unwrap_err().what().contains("left"));
    }
}
