//! The same done to many things, or two things done, on two threads.
//!
//! Each piece of work depends on its own thing only, and what comes of them is put in
//! the order of the things: nothing shows which thread did what, or when.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

/// Fewer things than this are done one after the other.
const FEW: usize = 4;

/// The same of small things: a thread takes as long to begin as some dozens of them.
const FEW_SMALL: usize = 40;

/// What comes of each thing, in their order.
pub fn abreast<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    from(FEW, things, work)
}

/// The same where each thing is little work, such as one size of a part.
pub fn small_abreast<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    from(FEW_SMALL, things, work)
}

fn from<T: Sync, R: Send>(few: usize, things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    if things.len() < few {
        return things.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let hand = || {
        let mut done: Vec<(usize, R)> = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(thing) = things.get(at) else { return done };
            done.push((at, work(thing)));
        }
    };
    let mut done = thread::scope(|scope| {
        let other = scope.spawn(hand);
        let mut done = hand();
        match other.join() {
            Ok(others) => done.extend(others),
            Err(panic) => resume_unwind(panic),
        }
        done
    });
    done.sort_unstable_by_key(|&(at, _)| at);
    done.into_iter().map(|(_, result)| result).collect()
}

/// What comes of two pieces of work that know nothing of each other.
pub fn both<A: Send, B>(one: impl FnOnce() -> A + Send, other: impl FnOnce() -> B) -> (A, B) {
    thread::scope(|scope| {
        let one = scope.spawn(one);
        let other = other();
        match one.join() {
            Ok(one) => (one, other),
            Err(panic) => resume_unwind(panic),
        }
    })
}

/// The same where each thing is changed by it.
pub fn abreast_mut<T: Send, R: Send>(things: &mut [T], work: impl Fn(&mut T) -> R + Sync) -> Vec<R> {
    let things: Vec<Mutex<&mut T>> = things.iter_mut().map(Mutex::new).collect();
    // Each is asked for once, so nobody ever waits, and none is found poisoned.
    abreast(&things, |thing| work(&mut thing.lock().unwrap_or_else(PoisonError::into_inner)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_of_two_things_is_told_apart() {
        assert_eq!(both(|| 6 * 7, || "beside it"), (42, "beside it"));
    }

    #[test]
    fn what_comes_of_things_stands_in_their_order() {
        for count in [0, 1, 3, 4, 1000] {
            let things: Vec<usize> = (0..count).collect();
            // Some take longer than others.
            let work = |&thing: &usize| (0..thing % 7 * 1000).fold(thing, |sum, at| sum ^ at);
            let one_by_one: Vec<usize> = things.iter().map(work).collect();
            assert_eq!(abreast(&things, work), one_by_one);
            assert_eq!(small_abreast(&things, work), one_by_one);
            let mut changed = things.clone();
            abreast_mut(&mut changed, |thing| *thing = work(thing));
            assert_eq!(changed, one_by_one);
        }
    }
}
