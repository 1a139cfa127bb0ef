//! Stacks against printed examples, closed forms and themselves on other threads.

use std::num::NonZeroUsize;

use proptest::prelude::*;
use stacks::{Asked, Fault, Law, Lies, Play, Quantity, Stack};

fn quantity(name: &str, nominal: f64, plus_minus: f64) -> Quantity {
    let law = Law::Even;
    Quantity { name: name.into(), lower: nominal - plus_minus, upper: nominal + plus_minus, law }
}

fn asked(samples: u64, threads: usize) -> Asked {
    let threads = NonZeroUsize::new(threads).expect("one at least");
    Asked { samples, seed: 5, threads, least: None, most: None }
}

/// "Tolerance stack, ten parts ±0.1", a public note on tolerancing: worst case 1.0, root of
/// the sum of squares 0.316.
#[test]
fn ten_equal_parts() {
    let quantities: Vec<Quantity> = (0..10).map(|_| quantity("part", 10.0, 0.1)).collect();
    let stack = Stack { factors: vec![1.0; 10], quantities, plays: Vec::new() };
    let spread = stack.spread().unwrap();
    assert!((spread.worst.most - 101.0).abs() < 1e-9 && (spread.worst.least - 99.0).abs() < 1e-9);
    assert!((spread.root_sum_square - 0.316).abs() < 5e-4);
    assert!(spread.contributions.iter().all(|c| (c.share - 0.1).abs() < 1e-12));
}

/// Bore depth less spacer, ring and shoulder, from a public article on mechanical design: a
/// gap of 3.00 is printed; 0.23 and 0.1261 are the closed forms.
#[test]
fn a_gap_over_four_parts() {
    let sizes =
        [("bore depth", 40.0, 0.1), ("spacer", 25.0, 0.05), ("ring", 2.0, 0.03), ("shoulder", 10.0, 0.05)];
    let quantities = sizes.iter().map(|&(name, size, out)| quantity(name, size, out)).collect();
    let stack = Stack { quantities, factors: vec![1.0, -1.0, -1.0, -1.0], plays: Vec::new() };
    let spread = stack.spread().unwrap();
    assert!((spread.middle - 3.0).abs() < 1e-9);
    assert!((spread.worst.least - 2.77).abs() < 1e-9 && (spread.worst.most - 3.23).abs() < 1e-9);
    assert!((spread.root_sum_square - 0.1261).abs() < 1e-4);
    assert_eq!(spread.contributions[0].name, "bore depth");
    let half: f64 = spread.contributions.iter().map(|c| c.worst).sum();
    assert!((half - 0.23).abs() < 1e-9);
}

/// The sum of two even sizes of one width is triangular, of three is made of parabolas: the
/// share below a point is known exactly (Irwin and Hall, 1927).
#[test]
fn sums_of_even_sizes_have_the_shares_of_irwin_and_hall() {
    let unit = || Quantity { name: "one".into(), lower: 0.0, upper: 1.0, law: Law::Even };
    let sum = |n: usize| Stack {
        quantities: (0..n).map(|_| unit()).collect(),
        factors: vec![1.0; n],
        plays: Vec::new(),
    };
    let n = 1_000_000;
    for (sizes, point, share) in [(2, 0.5, 0.125), (2, 1.6, 0.92), (3, 0.6, 0.036), (3, 1.5, 0.5)] {
        let asked = Asked { least: Some(point), ..asked(n, 2) };
        let trial = sum(sizes).tried(&asked).unwrap();
        let got = trial.below as f64 / n as f64;
        // Four standard errors.
        let error = 4.0 * (share * (1.0 - share) / n as f64).sqrt();
        assert!((got - share).abs() < error, "{sizes} below {point}: {got}");
        let quantile = trial.quantile(share);
        assert!((quantile.value - point).abs() < quantile.column + 2.0 * quantile.chance, "{quantile:?}");
    }
}

/// A pin loose in its bore, seen along one direction, lies by the law of a half circle:
/// as the area of a circle between two chords.
#[test]
fn a_loose_pin_lies_by_the_area_of_its_circle() {
    let fixed =
        |name: &str, size: f64| Quantity { name: name.into(), lower: size, upper: size, law: Law::Even };
    let play = Play { name: "pin".into(), factor: 1.0, bore: 0, pin: 1, lies: Lies::Anywhere };
    let stack = Stack {
        quantities: vec![fixed("bore", 6.2), fixed("pin", 6.0)],
        factors: vec![0.0, 0.0],
        plays: vec![play.clone()],
    };
    let n = 1_000_000;
    let trial = stack.tried(&Asked { least: Some(-0.05), most: Some(0.05), ..asked(n, 2) }).unwrap();
    // Between chords at half the radius to either side: 1/3 + √3/(2π) of the circle.
    let share = 1.0 / 3.0 + 3f64.sqrt() / (2.0 * std::f64::consts::PI);
    let (least, most) = trial.good_within();
    assert!(least < share && share < most, "{} is not {share}", trial.good());
    let spread = stack.spread().unwrap();
    assert!((spread.deviation - 0.05).abs() < 1e-12, "half of the radial clearance");
    assert!((spread.worst.most - 0.1).abs() < 1e-12 && (spread.worst.least + 0.1).abs() < 1e-12);
    // Under load it lies at one side, and nothing of it is left to chance.
    let loaded = Stack { plays: vec![Play { lies: Lies::Loaded, factor: -1.0, ..play }], ..stack };
    let spread = loaded.spread().unwrap();
    assert!((spread.worst.most + 0.1).abs() < 1e-12 && spread.deviation == 0.0);
}

#[test]
fn what_cannot_be_reckoned_is_named() {
    let good = Stack { quantities: vec![quantity("bore", 6.0, 0.01)], factors: vec![1.0], plays: Vec::new() };
    assert_eq!(Stack::default().spread(), Err(Fault::Empty));
    let with = |change: fn(&mut Stack)| {
        let mut stack = good.clone();
        change(&mut stack);
        stack.spread().unwrap_err()
    };
    assert_eq!(with(|s| s.quantities[0].lower = 7.0), Fault::Turned("bore".into()));
    assert_eq!(with(|s| s.factors[0] = f64::NAN), Fault::NotANumber("bore".into()));
    assert_eq!(with(|s| s.quantities[0].law = Law::Triangular { peak: 1.5 }), Fault::Law("bore".into()));
    let fault = with(|s| {
        s.quantities.push(quantity("pin", 6.0, 0.01));
        s.factors.push(0.0);
        s.plays.push(Play { name: "p".into(), factor: 1.0, bore: 0, pin: 1, lies: Lies::Loaded });
    });
    assert!(matches!(fault, Fault::NoRoom(name, by) if name == "p" && (by - 0.02).abs() < 1e-12));
}

fn laws() -> impl Strategy<Value = Law> {
    prop_oneof![
        Just(Law::Even),
        (0.3f64..6.0).prop_map(|sigmas| Law::Normal { sigmas }),
        (0.0f64..=1.0).prop_map(|peak| Law::Triangular { peak }),
    ]
}

fn drawn_stacks() -> impl Strategy<Value = Stack> {
    let one = (1.0f64..50.0, 0.0f64..0.3, laws(), -3.0f64..3.0);
    let pins = prop::collection::vec((any::<bool>(), -2.0f64..2.0, 0.0f64..0.1), 0..3);
    (prop::collection::vec(one, 1..8), pins).prop_map(|(all, pins)| {
        let mut stack = Stack::default();
        for (size, out, law, factor) in all {
            stack.quantities.push(Quantity { law, ..quantity("size", size, out) });
            stack.factors.push(factor);
        }
        for (loaded, factor, clear) in pins {
            let at = stack.quantities.len();
            stack.quantities.push(quantity("bore", 8.0 + clear, 0.01));
            stack
                .quantities
                .push(Quantity { law: Law::Normal { sigmas: 2.0 }, ..quantity("pin", 7.97, 0.015) });
            stack.factors.extend([0.0, 0.0]);
            let lies = if loaded { Lies::Loaded } else { Lies::Anywhere };
            stack.plays.push(Play { name: "pin".into(), factor, bore: at, pin: at + 1, lies });
        }
        stack
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Threads leave no trace, nothing falls outside the worst case, and the mean and
    /// deviation of what is drawn are those of theory within five standard errors.
    #[test]
    fn many_drawn_agree_with_theory_on_any_number_of_threads(stack in drawn_stacks(), threads in 2usize..7) {
        let n = 60_001;
        let spread = stack.spread().unwrap();
        let one = stack.tried(&asked(n, 1)).unwrap();
        prop_assert_eq!(&one, &stack.tried(&asked(n, threads)).unwrap());
        let slack = 1e-9;
        prop_assert!(one.seen.0 >= spread.worst.least - slack && one.seen.1 <= spread.worst.most + slack);
        let error = spread.deviation / (n as f64).sqrt();
        prop_assert!((one.mean - spread.mean).abs() <= 5.0 * error + slack, "{} {}", one.mean, spread.mean);
        // No law here is flatter or more peaked than leaves the deviation this near.
        prop_assert!((one.deviation - spread.deviation).abs() <= 5.0 * error + slack);
        prop_assert_eq!(one.counts.iter().sum::<u64>(), n);
        let half: f64 = spread.contributions.iter().map(|c| c.worst).sum();
        prop_assert!((2.0 * half - (spread.worst.most - spread.worst.least)).abs() < 1e-9);
    }

    /// Narrower limits never widen the worst case.
    #[test]
    fn tightening_never_opens_a_stack(stack in drawn_stacks(), which in any::<prop::sample::Index>(), by in 0.0f64..0.5) {
        let mut closer = stack.clone();
        let quantity = &mut closer.quantities[which.index(stack.quantities.len())];
        let width = quantity.upper - quantity.lower;
        quantity.lower += by * width;
        quantity.upper -= by * width;
        let (wide, close) = (stack.spread().unwrap(), closer.spread().unwrap());
        prop_assert!(close.worst.least >= wide.worst.least - 1e-12);
        prop_assert!(close.worst.most <= wide.worst.most + 1e-12);
        prop_assert!(close.root_sum_square <= wide.root_sum_square + 1e-12);
    }
}
