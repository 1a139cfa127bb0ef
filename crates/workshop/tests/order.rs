//! From drawing and bench to the order of work, with the sizes the metric part has.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::metric::metricate;
use workshop::order::order_of_work;
use workshop::order::work::{OrderOfWork, Sure};

const EXAMPLES: [&str; 4] = [
    include_str!("../../../examples/kittiwake/parts/valve-lever.toml"),
    include_str!("../../../examples/kittiwake/parts/gear-cover.toml"),
    include_str!("../../../examples/kittiwake/parts/pump-bracket.toml"),
    include_str!("../../../examples/kittiwake/parts/valve-spindle.toml"),
];

fn boathouse() -> Bench {
    read_bench("bench.toml", include_str!("../../../examples/kittiwake/bench.toml")).expect("the bench reads")
}

fn ordered(text: &str) -> OrderOfWork {
    let (bench, drawing) = (boathouse(), read_drawing("part.toml", text).expect("the drawing reads"));
    let solved = solve(&drawing).expect("the drawing solves");
    let metric = metricate(&drawing, &solved, &bench).expect("metric sizes are found");
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    order_of_work(&part, &metric, &bench).expect("there is an order")
}

#[test]
fn every_example_has_a_proven_order_with_a_reason_for_each_step() {
    for text in EXAMPLES {
        let order = ordered(text);
        assert_eq!(order.proof.sure, Sure::Optimal);
        assert_eq!(order, ordered(text), "the same input gives the same order");
        for step in &order.steps {
            let sourced = step.why.because.iter().all(|why| why.source.is_some());
            assert!(sourced, "{:?}", step.why);
        }
    }
}

/// The traps of the valve lever, whatever sizes it is given: the slit, the outline, the parting.
#[test]
fn the_lever_is_told_what_not_to_do_early() {
    let order = ordered(EXAMPLES[0]);
    for (early, before) in
        [("saw", "clamp screw"), ("saw", "ream"), ("round", "drill"), ("part the pair", "round")]
    {
        let told = order.traps.iter().any(|trap| {
            let (late, wanted) = trap.early.split_once(" before ").expect("a trap names both");
            late.starts_with(early) && wanted.contains(before)
        });
        assert!(told, "{early} before {before}: {:#?}", order.traps);
    }
}
