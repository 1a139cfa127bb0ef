//! Sizes that must add up, as demands.

use num_rational::Ratio;

use super::demands::{Demands, simple};
use super::model::{Demand, Linear, VariableId};
use super::rules::CHAIN;
use crate::drawing::{Chain, LinkTo, Size};
use crate::measure::Length;

/// A chain as a demand.
pub struct Sum {
    /// `end float`.
    pub name: String,
    /// A sentence that says what must hold.
    pub because: String,
    /// The exact sum.
    pub demand: Demand,
}

/// A chain over the variables of its sizes.
pub fn demand(chain: &Chain, links: impl Iterator<Item = (VariableId, Ratio<i128>)>) -> Sum {
    let sum = simple(&Linear { terms: links.collect(), constant: Length::ZERO });
    let (least, most) = (chain.least.as_ref(), chain.most.as_ref());
    let ask = match (least, most) {
        (Some(least), Some(most)) if least.length == most.length => format!("{} exactly", least.length),
        (Some(least), Some(most)) => format!("{} to {}", least.length, most.length),
        (Some(least), None) => format!("{} at least", least.length),
        (None, Some(most)) => format!("{} at most", most.length),
        (None, None) => "anything".into(),
    };
    Sum {
        name: chain.name.clone(),
        because: format!("`{}` is to be {ask}, that is {}: {}", chain.name, chain.sum(), CHAIN.because),
        demand: Demand::Between { sum, least: least.map(|w| w.length), most: most.map(|w| w.length) },
    }
}

impl Demands<'_> {
    /// Chains of this part's own sizes.
    pub fn own_chains(&mut self) {
        for chain in self.job.drawing.chains.iter().filter(|chain| chain.is_own()) {
            let links = chain.links.iter().filter_map(|link| match link.to {
                LinkTo::Own(Size::Length(id)) => Some((self.size(id), Ratio::from_integer(link.times))),
                LinkTo::Own(Size::Thread(id)) => Some((self.major(id), Ratio::from_integer(link.times))),
                LinkTo::Other { .. } => None,
            });
            let Sum { name, because, demand } = demand(chain, links);
            self.model.demand(name, because, demand);
        }
    }
}
