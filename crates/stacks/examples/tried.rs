//! Reckons stacks read from the standard input, for checks by other programs.
//!
//! Lines: `draw SAMPLES SEED THREADS LEAST MOST`, then a `size LAW FIGURE LOWER UPPER
//! FACTOR` or `play FACTOR BORE PIN anywhere|loaded` each, then `go`; `first N` prints the
//! even numbers behind the first samples of each size. Every answer is one line of words.

use std::io::{BufRead, stdin};
use std::num::NonZeroUsize;
use std::time::Instant;

use stacks::{Asked, Law, Lies, Play, Quantity, Stack, even};

fn main() {
    let mut stack = Stack::default();
    let mut asked = Asked { samples: 1, seed: 1, threads: NonZeroUsize::MIN, least: None, most: None };
    for line in stdin().lock().lines() {
        let line = line.expect("the input is text");
        let words: Vec<&str> = line.split_whitespace().collect();
        let number = |at: usize| words[at].parse::<f64>().expect("a number");
        match words.first().copied() {
            Some("draw") => {
                stack = Stack::default();
                asked = Asked {
                    samples: words[1].parse().expect("a count"),
                    seed: words[2].parse().expect("a seed"),
                    threads: words[3].parse().expect("a count of threads"),
                    least: Some(number(4)),
                    most: Some(number(5)),
                };
            }
            Some("size") => {
                let law = match words[1] {
                    "even" => Law::Even,
                    "normal" => Law::Normal { sigmas: number(2) },
                    _ => Law::Triangular { peak: number(2) },
                };
                let name = format!("size {}", stack.quantities.len());
                stack.quantities.push(Quantity { name, lower: number(3), upper: number(4), law });
                stack.factors.push(number(5));
            }
            Some("play") => {
                let lies = if words[4] == "loaded" { Lies::Loaded } else { Lies::Anywhere };
                let [bore, pin] = [2, 3].map(|at| words[at].parse().expect("a place"));
                let name = format!("play {}", stack.plays.len());
                stack.plays.push(Play { name, factor: number(1), bore, pin, lies });
            }
            Some("first") => {
                let many: u64 = words[1].parse().expect("a count");
                let streams = 0..stack.quantities.len() as u64;
                let all = streams.flat_map(|s| (0..many).map(move |n| even(asked.seed, s, n).to_string()));
                println!("{}", all.collect::<Vec<_>>().join(" "));
            }
            _ => {
                let spread = stack.spread().expect("the stack holds");
                let begun = Instant::now();
                let trial = stack.tried(&asked).expect("the stack holds");
                let took = begun.elapsed().as_secs_f64();
                let quantiles = [0.00135, 0.025, 0.5, 0.975, 0.99865]
                    .map(|share| trial.quantile(share).value.to_string());
                println!(
                    "{} {} {} {} {} {} {} {} {} {} {} {took} {}",
                    spread.worst.least,
                    spread.worst.most,
                    spread.root_sum_square,
                    spread.mean,
                    spread.deviation,
                    trial.mean,
                    trial.deviation,
                    trial.skew,
                    trial.below,
                    trial.above,
                    trial.column,
                    quantiles.join(" ")
                );
            }
        }
    }
}
