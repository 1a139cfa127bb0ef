//! Agreements in bits: what a way leaves behind for others to agree with.
//!
//! A mark stands for one operation done in one of several ways that no other operation
//! tells apart. A way that every other agrees with, whatever it is, leaves no mark.

use super::compile::Bits;
use super::model::{Agreement, Model, OpId};

/// The marks of a model.
pub(super) struct Marks {
    /// Of each way of each operation: its own mark, the marks it agrees with apart, and
    /// in one stay.
    ways: Vec<Vec<[Bits; 3]>>,
    /// The marks each operation has to agree with.
    pub kin: Vec<Bits>,
    /// The operations that have to agree with each, or it with them.
    pub kin_ops: Vec<Bits>,
}

impl Marks {
    /// Finds them. The model must be free of [`Model::faults`].
    pub(super) fn of(model: &Model) -> Self {
        let classes = classes(model);
        let count = model.operations.len();
        let mut marks = Self {
            ways: model.operations.iter().map(|op| vec![[0, Bits::MAX, Bits::MAX]; op.ways.len()]).collect(),
            kin: vec![0; count],
            kin_ops: vec![0; count],
        };
        for (n, &(op, way)) in classes.iter().enumerate() {
            let mark: Bits = 1 << n;
            for like in 0..model.operations[op].ways.len() {
                if signature(model, op, like) == signature(model, op, way) {
                    marks.ways[op][like][0] = mark;
                }
            }
            for agreement in binding(model) {
                let Some((other, mine)) = other_of(agreement, op) else { continue };
                marks.kin[other] |= mark;
                marks.kin_ops[other] |= 1 << op;
                marks.kin_ops[op] |= 1 << other;
                for (theirs, bits) in marks.ways[other].iter_mut().enumerate() {
                    let pair = if mine == 0 { [way, theirs] } else { [theirs, way] };
                    if !agreement.apart.contains(&pair) {
                        bits[1] &= !mark;
                        if !agreement.in_one {
                            bits[2] &= !mark;
                        }
                    }
                }
            }
        }
        marks
    }

    /// Of a way: its own mark, the marks it agrees with apart, and in one stay.
    pub(super) fn of_way(&self, op: usize, way: usize) -> [Bits; 3] {
        self.ways[op][way]
    }
}

/// How many marks a model has.
pub(super) fn count(model: &Model) -> usize {
    classes(model).len()
}

/// The first way of each mark.
fn classes(model: &Model) -> Vec<(usize, usize)> {
    let mut classes = Vec::new();
    for (op, operation) in model.operations.iter().enumerate() {
        let mut known: Vec<Vec<Vec<bool>>> = Vec::new();
        for way in 0..operation.ways.len() {
            let own = signature(model, op, way);
            if own.iter().flatten().any(|agrees| !agrees) && !known.contains(&own) {
                known.push(own);
                classes.push((op, way));
            }
        }
    }
    classes
}

/// Which ways of the others a way agrees with when the work is taken up between them.
fn signature(model: &Model, op: usize, way: usize) -> Vec<Vec<bool>> {
    let of = |agreement: &Agreement| {
        let (other, mine) = other_of(agreement, op)?;
        let pair = |theirs| if mine == 0 { [way, theirs] } else { [theirs, way] };
        let ways = 0..model.operations[other].ways.len();
        Some(ways.map(|theirs| agreement.apart.contains(&pair(theirs))).collect())
    };
    binding(model).filter_map(of).collect()
}

/// The agreements of operations that are still to be planned.
fn binding(model: &Model) -> impl Iterator<Item = &Agreement> {
    model.agreements.iter().filter(|agreement| !agreement.ops.iter().any(|op| model.start.done.contains(op)))
}

/// The other operation of an agreement, and on which side this one stands.
fn other_of(agreement: &Agreement, op: usize) -> Option<(usize, usize)> {
    match agreement.ops {
        [OpId(one), OpId(other)] if one == op => Some((other, 0)),
        [OpId(other), OpId(one)] if one == op => Some((other, 1)),
        _ => None,
    }
}
