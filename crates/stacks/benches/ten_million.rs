//! Ten million drawn assemblies: `cargo bench -p stacks`.

use std::num::NonZeroUsize;

use stacks::{Asked, Law, Lies, Play, Quantity, Stack};

fn main() {
    divan::main();
}

/// Sizes of one law, each as wide.
fn of(law: Law, sizes: usize) -> Stack {
    let quantity = |at: usize| Quantity { name: format!("size {at}"), lower: 9.9, upper: 10.1, law };
    let factor = |at: usize| if at.is_multiple_of(2) { 1.0 } else { -1.0 };
    let quantities: Vec<Quantity> = (0..sizes).map(quantity).collect();
    Stack { factors: (0..sizes).map(factor).collect(), quantities, plays: Vec::new() }
}

fn ten_million(stack: &Stack, threads: usize) -> f64 {
    let asked = Asked {
        samples: 10_000_000,
        seed: 1,
        threads: NonZeroUsize::new(threads).expect("one at least"),
        least: Some(-0.2),
        most: Some(0.2),
    };
    stack.tried(&asked).expect("the stack holds").deviation
}

#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn four_even(threads: usize) -> f64 {
    ten_million(&of(Law::Even, 4), threads)
}

#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn six_normal(threads: usize) -> f64 {
    ten_million(&of(Law::Normal { sigmas: 3.0 }, 6), threads)
}

#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn six_leaning(threads: usize) -> f64 {
    ten_million(&of(Law::Triangular { peak: 0.75 }, 6), threads)
}

/// Two links with a loose pin at each end.
#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn six_with_two_pins(threads: usize) -> f64 {
    let mut stack = of(Law::Even, 6);
    for at in [2, 4] {
        stack.factors[at] = 0.0;
        stack.factors[at + 1] = 0.0;
        stack.quantities[at].lower = 6.0;
        stack.quantities[at].upper = 6.012;
        stack.quantities[at + 1].lower = 5.98;
        stack.quantities[at + 1].upper = 5.99;
        let name = format!("pin {at}");
        stack.plays.push(Play { name, factor: 1.0, bore: at, pin: at + 1, lies: Lies::Anywhere });
    }
    ten_million(&stack, threads)
}
