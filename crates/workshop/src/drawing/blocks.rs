//! What is left after elimination, parted into the smallest groups of curves and
//! coordinates that must be solved together.

use std::collections::{BTreeMap, BTreeSet};

use super::curved::Curve;
use super::forms::{Forms, Frame, Placed, somewhere};
use super::newton::Span;
use super::rows::Unknown;

/// Curves that settle as many coordinates, once the blocks before it are solved.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Block {
    pub(super) unknowns: Vec<Unknown>,
    /// Places in the list of curves.
    pub(super) curves: Vec<usize>,
}

/// Blocks that have to do with each other, in an order in which they can be solved.
#[derive(Clone, Debug, Default)]
pub(super) struct Group {
    pub(super) blocks: Vec<Block>,
    /// Curves that add nothing: checks.
    pub(super) checks: Vec<usize>,
    /// Every free coordinate in it.
    pub(super) unknowns: BTreeSet<Unknown>,
}

/// The curves of a drawing, parted.
#[derive(Clone, Debug, Default)]
pub(super) struct Parted {
    pub(super) groups: Vec<Group>,
    /// Free coordinates that some curve reads and that the curves do not settle.
    pub(super) loose: BTreeSet<Unknown>,
}

/// Parts the curves. Earlier statements settle places, later ones check them. What
/// one of `links` reads stays in one group.
pub(super) fn part(curves: &[Curve], forms: &Forms, frame: &Frame, links: &[Vec<Unknown>]) -> Parted {
    let supports: Vec<Vec<Unknown>> = curves.iter().map(|curve| forms.support(curve)).collect();
    let free: Vec<Unknown> =
        supports.iter().flatten().copied().collect::<BTreeSet<_>>().into_iter().collect();
    let place = |unknown: Unknown| free.binary_search(&unknown).expect("every support is in the list");
    // Which curves add something is asked at a place that no drawing has on purpose.
    let somewhere = somewhere(forms.count());
    let at = Placed { frame, free: &somewhere };
    let mut span = Span::default();
    let mut independent = vec![false; curves.len()];
    for (index, curve) in curves.iter().enumerate() {
        let slope = curve.shape.slope(&at);
        let mut row = vec![0.0; free.len()];
        for &unknown in &supports[index] {
            row[place(unknown)] = frame.by_free(&slope, unknown);
        }
        independent[index] = span.take(&row);
    }
    let loose: BTreeSet<Unknown> =
        free.iter().copied().filter(|&unknown| !span.settles(place(unknown), free.len())).collect();
    let whole = |index: &usize| supports[*index].iter().all(|unknown| !loose.contains(unknown));
    let settling: Vec<usize> = (0..curves.len()).filter(|&i| independent[i]).filter(whole).collect();
    let blocks = in_order(&settling, &supports);
    let mut groups = gathered(blocks, &supports);
    for index in (0..curves.len()).filter(|&index| !independent[index]).filter(whole) {
        match groups.iter_mut().find(|group| supports[index].iter().any(|u| group.unknowns.contains(u))) {
            Some(_) => join(&mut groups, Some(index), &supports[index]),
            // Everything it reads is a sum of dimensions.
            None => groups.push(Group { checks: vec![index], ..Group::default() }),
        }
    }
    for link in links {
        if groups.iter().filter(|group| link.iter().any(|u| group.unknowns.contains(u))).count() > 1 {
            join(&mut groups, None, link);
        }
    }
    Parted { groups, loose }
}

/// Makes one group of all that a check or a link reads.
fn join(groups: &mut Vec<Group>, check: Option<usize>, support: &[Unknown]) {
    let (met, rest): (Vec<Group>, Vec<Group>) = std::mem::take(groups)
        .into_iter()
        .partition(|group| support.iter().any(|unknown| group.unknowns.contains(unknown)));
    let mut whole = Group::default();
    for group in met {
        whole.blocks.extend(group.blocks);
        whole.checks.extend(group.checks);
        whole.unknowns.extend(group.unknowns);
    }
    whole.checks.extend(check);
    *groups = rest;
    groups.push(whole);
}

/// Blocks that share coordinates, gathered; each group keeps the order.
fn gathered(blocks: Vec<Block>, supports: &[Vec<Unknown>]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for block in blocks {
        let reads: BTreeSet<Unknown> =
            block.curves.iter().flat_map(|&curve| supports[curve].iter().copied()).collect();
        let (met, rest): (Vec<Group>, Vec<Group>) =
            groups.into_iter().partition(|group| !group.unknowns.is_disjoint(&reads));
        let mut whole = Group::default();
        for group in met {
            whole.blocks.extend(group.blocks);
            whole.unknowns.extend(group.unknowns);
        }
        whole.unknowns.extend(reads);
        whole.blocks.push(block);
        groups = rest;
        groups.push(whole);
    }
    groups
}

/// The blocks of curves that settle each other, those first on which others rest.
fn in_order(settling: &[usize], supports: &[Vec<Unknown>]) -> Vec<Block> {
    let matched = matching(settling, supports);
    let needs = |curve: usize| -> Vec<usize> {
        supports[curve]
            .iter()
            .filter_map(|unknown| matched.iter().find(|(_, u)| u == unknown).map(|(curve, _)| *curve))
            .collect()
    };
    let known: Vec<usize> = matched.iter().map(|(curve, _)| *curve).collect();
    strongly_joined(&known, &needs)
        .into_iter()
        .map(|mut curves| {
            curves.sort_unstable();
            let unknown = |curve: &usize| matched.iter().find(|(c, _)| c == curve).map(|(_, u)| *u);
            let mut unknowns: Vec<Unknown> = curves.iter().filter_map(unknown).collect();
            unknowns.sort_unstable();
            Block { unknowns, curves }
        })
        .collect()
}

/// A coordinate of its own for every curve, by augmenting paths.
fn matching(settling: &[usize], supports: &[Vec<Unknown>]) -> Vec<(usize, Unknown)> {
    let mut owner: BTreeMap<Unknown, usize> = BTreeMap::new();
    fn place(
        curve: usize,
        supports: &[Vec<Unknown>],
        owner: &mut BTreeMap<Unknown, usize>,
        tried: &mut BTreeSet<Unknown>,
    ) -> bool {
        for &unknown in &supports[curve] {
            if !tried.insert(unknown) {
                continue;
            }
            let taken = owner.get(&unknown).copied();
            if taken.is_none_or(|other| place(other, supports, owner, tried)) {
                owner.insert(unknown, curve);
                return true;
            }
        }
        false
    }
    for &curve in settling {
        place(curve, supports, &mut owner, &mut BTreeSet::new());
    }
    owner.into_iter().map(|(unknown, curve)| (curve, unknown)).collect()
}

/// Tarjan's strongly connected components; what a component needs comes before it.
fn strongly_joined(nodes: &[usize], needs: &dyn Fn(usize) -> Vec<usize>) -> Vec<Vec<usize>> {
    struct Walk<'a> {
        needs: &'a dyn Fn(usize) -> Vec<usize>,
        met: BTreeMap<usize, (usize, usize)>,
        stack: Vec<usize>,
        found: Vec<Vec<usize>>,
    }
    fn visit(walk: &mut Walk, node: usize) {
        let order = walk.met.len();
        walk.met.insert(node, (order, order));
        walk.stack.push(node);
        for next in (walk.needs)(node) {
            let low = match walk.met.get(&next).copied() {
                None => {
                    visit(walk, next);
                    walk.met[&next].1
                }
                Some((order, _)) if walk.stack.contains(&next) => order,
                Some(_) => continue,
            };
            let own = walk.met.get_mut(&node).expect("it was met above");
            own.1 = own.1.min(low);
        }
        let (order, low) = walk.met[&node];
        if order == low {
            let at = walk.stack.iter().position(|&n| n == node).expect("it is on the stack");
            let component = walk.stack.split_off(at);
            walk.found.push(component);
        }
    }
    let mut walk = Walk { needs, met: Default::default(), stack: Vec::new(), found: Vec::new() };
    for &node in nodes {
        if !walk.met.contains_key(&node) {
            visit(&mut walk, node);
        }
    }
    walk.found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rests_on_another_comes_after_it_and_a_ring_stays_together() {
        let needs = |node: usize| match node {
            1 => vec![2],
            2 => vec![3],
            3 => vec![2, 4],
            _ => vec![],
        };
        assert_eq!(strongly_joined(&[1, 2, 3, 4], &needs), vec![vec![4], vec![2, 3], vec![1]]);
    }

    #[test]
    fn a_curve_gives_way_where_another_can_only_take_its_coordinate() {
        let supports = vec![vec![7, 8], vec![7]];
        assert_eq!(matching(&[0, 1], &supports), vec![(1, 7), (0, 8)]);
    }
}
