//! The order of work at full size: parts and weakly ordered work of forty operations, plates
//! of thirty holes no two of which are of one drill.
//!
//! `cargo bench -p workshop --bench order`. Aims: parts and plates are proven in under a
//! second; weakly ordered work has a proof or a bound within two.
#![allow(missing_docs)]

#[path = "../examples/order_models/drawn.rs"]
#[allow(dead_code)]
mod drawn;

use divan::Bencher;
use workshop::order::{Effort, Model, Outcome, Proof, plan};

/// As a part file is planned.
const EFFORT: Effort = Effort { states: 50_000, beam: 2 };

fn main() {
    for (name, model) in FAMILIES.iter().flat_map(|family| family.three()) {
        match plan(&model, EFFORT).expect("a sound model") {
            Outcome::Planned(plan) => {
                let sure = match plan.proof {
                    Proof::Optimal => "proven".to_owned(),
                    Proof::Within { bound } => format!("at most {} above the least", plan.score - bound),
                };
                println!("{name}, {} operations: {} states, {sure}", model.operations.len(), plan.states);
            }
            other => println!("{name}: {other:?}"),
        }
    }
    divan::main();
}

struct Family {
    name: &'static str,
    size: usize,
    drawn: fn(u64, usize) -> Model,
}

const FAMILIES: [Family; 3] = [
    Family { name: "ordinary", size: 40, drawn: drawn::ordinary },
    Family { name: "weak", size: 40, drawn: drawn::weak },
    Family { name: "plate", size: 30, drawn: drawn::plate },
];

impl Family {
    fn three(&self) -> impl Iterator<Item = (String, Model)> {
        (0..3).map(|seed| (format!("{} {seed}", self.name), (self.drawn)(seed, self.size)))
    }
}

#[divan::bench(args = [0, 1, 2], sample_count = 3, sample_size = 1)]
fn three_of_a_family(bencher: Bencher, family: usize) {
    let models: Vec<Model> = FAMILIES[family].three().map(|(_, model)| model).collect();
    bencher.bench(|| models.iter().map(|model| plan(model, EFFORT).is_ok()).filter(|sound| *sound).count());
}
