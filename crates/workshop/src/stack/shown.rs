//! The figures of a sum, each with its reason.

use super::find::Sum;
use super::reckon::State;
use super::{Draws, Which};
use crate::measure::Length;
use crate::why::{Figure, Why};

/// Where the rules of stacking stand.
const SOURCE: &str = "F. Scholz, Tolerance stack analysis methods, Boeing, 1995";

pub(super) fn figures(sum: &Sum, state: &State, draws: Draws) -> Vec<Figure> {
    let State { which, members, worst, spread, trial, .. } = state;
    let sizes = || members.iter().map(|member| member.why.clone());
    // Each supposition once: it is the same sentence for every size.
    let mut supposed: Vec<Why> = Vec::new();
    for one in members.iter().filter_map(|member| member.supposed.clone()) {
        if !supposed.contains(&one) {
            supposed.push(one);
        }
    }
    let lies = |why: Why| supposed.iter().cloned().fold(why, Why::because);
    let on = |why: Why| sizes().fold(why, Why::because);
    let mm = |value: f64| format!("{} mm", places(value, 3));
    let mut figures = vec![
        Figure::new(
            "in the middle",
            mm(spread.middle),
            on(Why::new(format!("{}, every size in the middle of its limits", sum.words))),
        ),
        Figure::new(
            "worst case",
            format!("{} to {} mm", worst.0.decimals(3), worst.1.decimals(3)),
            on(Why::new("every size at the limit that is worst, every pin where it is worst").source(SOURCE)),
        ),
        Figure::new(
            "root of the sum of squares",
            format!(
                "{} to {} mm",
                places(spread.middle - spread.root_sum_square, 3),
                places(spread.middle + spread.root_sum_square, 3)
            ),
            on(Why::new(format!(
                "the middle ± {}: what each size adds to the worst case, squared and summed; it is seldom passed \
                 where several sizes of like weight add up",
                mm(spread.root_sum_square)
            ))
            .source(SOURCE)),
        ),
        Figure::new(
            "mean and deviation",
            format!("{} ± {} mm", places(spread.mean, 3), places(spread.deviation, 4)),
            lies(Why::new("means and variances of the laws by which sizes lie, added up exactly").source(SOURCE)),
        ),
    ];
    let drawn = || {
        lies(
            Why::new(format!(
                "{} assemblies drawn by these laws, seed {}; the same on any number of threads",
                draws.samples, draws.seed
            ))
            .source("counter of SplitMix64, Steele, Lea and Flood, 2014"),
        )
    };
    let [low, high] = [0.00135, 0.99865].map(|share| trial.quantile(share));
    figures.push(Figure::new(
        "all but 27 in ten thousand",
        format!("{} to {} mm", places(low.value, 3), places(high.value, 3)),
        drawn().because(Why::new(format!(
            "each end to {} mm: {} for the columns of the count, and {} for chance, 95 times in a hundred",
            places(low.column + low.chance.max(high.chance), 4),
            places(low.column, 4),
            places(low.chance.max(high.chance), 4)
        ))),
    ));
    if sum.least.is_some() || sum.most.is_some() {
        let (from, to) = trial.good_within();
        let shown = format!("{} %", places(100.0 * trial.good(), 3));
        let asked = match (sum.least, sum.most) {
            (Some(least), Some(most)) => format!("{least} to {most}"),
            (Some(least), None) => format!("{least} at least"),
            (None, most) => format!("{} at most", most.unwrap_or(Length::ZERO)),
        };
        let why = drawn()
            .because(Why::new(format!(
                "{} to {} % with chance, 95 times in a hundred; {} came out below, {} above",
                places(100.0 * from, 3),
                places(100.0 * to, 3),
                trial.below,
                trial.above
            )))
            .because(Why::new(format!("asked for: {asked}")).source("the file that asks for it"));
        figures.push(Figure::new("good", shown, why));
        figures.push(Figure::new(
            "at its worst",
            verdict(sum, worst),
            Why::new(format!("asked for: {asked}; the worst case is {} to {}", worst.0, worst.1)),
        ));
    }
    let made = members.iter().filter(|member| member.lies == "as it is").count();
    if *which == Which::Chosen && made > 0 {
        let why = Why::new("sizes that are measured or taken as exact do not vary");
        figures.push(Figure::new("sizes that do not vary", format!("{made} of {}", members.len()), why));
    }
    figures
}

/// Whether even the worst is good, and by how much.
fn verdict(sum: &Sum, worst: &(Length, Length)) -> String {
    let short = sum.least.map(|least| least - worst.0).filter(|by| by.is_positive());
    let over = sum.most.map(|most| worst.1 - most).filter(|by| by.is_positive());
    match (short, over) {
        (None, None) => "good".to_owned(),
        (Some(by), None) => format!("{} mm too little", by.decimals(3)),
        (None, Some(by)) => format!("{} mm too much", by.decimals(3)),
        (Some(less), Some(more)) => {
            format!("{} mm too little or {} mm too much", less.decimals(3), more.decimals(3))
        }
    }
}

/// So many decimals, and no minus before nought.
fn places(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let nought = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    if nought { text.trim_start_matches('-').to_owned() } else { text }
}
