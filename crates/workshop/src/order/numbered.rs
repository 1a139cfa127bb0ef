//! Pieces by number, as the certificate names them: those of the first hand first.

use super::deed::{Job, Lot, Place};
use super::work::Pieces;

impl Job<'_> {
    /// The pieces that a lot stands for.
    pub(super) fn numbers(&self, lot: Lot) -> Vec<usize> {
        let (all, make) = (self.scheme.pieces() as usize, self.scheme.make as usize);
        match lot {
            Lot::Piece(0) if self.scheme.both_hands() => (0..make).collect(),
            Lot::Piece(_) if self.scheme.both_hands() => (make..all).collect(),
            _ => (0..all).collect(),
        }
    }

    /// The pieces that lie in a place each time it is filled.
    pub(super) fn fills(&self, place: &Place) -> Vec<Vec<usize>> {
        let mine = self.numbers(place.lot);
        let Some(lots) = place.holding.pieces.lots() else { return vec![mine] };
        let by_turns = matches!(place.holding.pieces, Pieces::Stack(_) | Pieces::Both(_));
        let mut left = if by_turns && self.scheme.both_hands() { alternating(&mine) } else { mine };
        let mut stacks: Vec<Vec<usize>> = Vec::new();
        for stack in 0..lots.stacks() {
            let high = if stack < lots.tallest() { lots.high } else { lots.lowest() };
            stacks.push(left.drain(..left.len().min(high as usize)).collect());
        }
        stacks.chunks(lots.beside as usize).map(<[Vec<usize>]>::concat).collect()
    }
}

/// One of each hand by turns, of pieces of which the first half is of the first hand.
fn alternating(pieces: &[usize]) -> Vec<usize> {
    let (first, other) = pieces.split_at(pieces.len() / 2);
    first.iter().zip(other).flat_map(|(&a, &b)| [a, b]).collect()
}
