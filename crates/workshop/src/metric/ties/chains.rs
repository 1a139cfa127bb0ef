//! Sizes of several parts that add up.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::{At, Found, Parts, Tie, Ties};
use crate::drawing::{LinkTo, Size};
use crate::metric::chains::{self, Sum};
use crate::metric::making::Making;
use crate::metric::model::VariableId;
use crate::metric::stitch::Stitched;

impl Ties {
    pub(super) fn chains<'p, 'a: 'p>(
        &mut self,
        part: usize,
        making: &Making,
        find: &impl Fn(&str) -> Found<'p, 'a>,
        supposed: &mut Vec<String>,
    ) {
        for (at, chain) in making.job.drawing.chains.iter().enumerate().filter(|(_, chain)| !chain.is_own()) {
            let link = |link: &crate::drawing::Link| match &link.to {
                LinkTo::Own(size) => Ok((At { part, size: *size }, link.times)),
                LinkTo::Other { part, name } => match find(part) {
                    Found::Part(other, making) => making
                        .job
                        .drawing
                        .size_named(name)
                        .map(|size| (At { part: other, size }, link.times))
                        .ok_or_else(|| format!("{part} has no size called {name}")),
                    Found::Not(why) => Err(why),
                },
            };
            match chain.links.iter().map(link).collect() {
                Ok(sum) => self.ties.push(Tie::Chain { sum, said: At { part, size: at } }),
                Err(why) => supposed.push(format!("`{}` is not held: {why}", chain.name)),
            }
        }
    }
}

/// What a chain leaves stays as it is asked for.
pub(super) fn demand(
    sum: &[(At<Size>, i128)],
    said: At<usize>,
    parts: &Parts,
    begins: &BTreeMap<usize, usize>,
    stitched: &mut Stitched,
) {
    let chain = &parts[&said.part].job.drawing.chains[said.size];
    let sum = sum.iter().map(|(at, times)| {
        let own = match at.size {
            Size::Length(id) => id.0,
            Size::Thread(id) => parts[&at.part].ways.len() + id.0,
        };
        (VariableId(begins[&at.part] + own), Ratio::from_integer(*times))
    });
    let Sum { name, because, demand } = chains::demand(chain, sum);
    stitched.model.demand(name, because, demand);
}
