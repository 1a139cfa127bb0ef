//! `reckon position`.

use clap::ValueEnum;
use workshop::bench::empty_bench;
use workshop::problem::Outcome;
use workshop::settings::position::{Lie, Pickup, XEdge, YEdge, positions};

use super::one;
use super::supposed::{Given, Supposed};
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for readout positions.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon position --width 60mm --depth 25mm --tip 10mm --step 0.005mm \\
    \"pivot: 27/32 in, 1/2 in\" \"oil hole: 41.5 mm, 9 mm\"")]
pub struct Position {
    /// Each place from the left front corner: `12 mm, 7.5 mm`, or `oil hole: -3 mm, 7.5 mm`; one that
    /// begins with a minus needs a name before it
    #[arg(required = true, value_name = "PLACE")]
    places: Vec<String>,
    /// Size of the work along X, as drawn
    #[arg(long, value_name = "SIZE")]
    width: String,
    /// Size of the work along Y, as drawn
    #[arg(long, value_name = "SIZE")]
    depth: String,
    /// The work lies turned over, left for right: the back of it, or the other hand
    #[arg(long)]
    over: bool,
    /// Quarter turns anticlockwise in which it lies, after that
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u8).range(0..4))]
    quarters: u8,
    /// The edge that X is picked up from, as it lies
    #[arg(long, value_name = "EDGE", default_value = "left")]
    x_edge: Side,
    /// The edge that Y is picked up from, as it lies
    #[arg(long, value_name = "EDGE", default_value = "front")]
    y_edge: End,
    /// Diameter of the edge finder's tip
    #[arg(long, value_name = "SIZE")]
    tip: Option<String>,
    /// The smallest step of the readout
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
    #[command(flatten)]
    pub(super) bench: BenchArg,
}

/// The edges along X.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Side {
    /// The left edge
    Left,
    /// The right edge
    Right,
}

/// The edges along Y.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum End {
    /// The edge nearest to you
    Front,
    /// The edge farthest from you
    Back,
}

impl Position {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [width, depth] = args::sizes([("--width", &self.width), ("--depth", &self.depth)])?;
        let places = args::all(
            self.places.iter().enumerate().map(|(i, text)| args::place(text, &format!("place {}", i + 1))),
        )?;
        let lie = Lie { over: self.over, quarters: self.quarters };
        let drawn = (width, depth);
        let (width, depth) = if self.quarters % 2 == 1 { (depth, width) } else { drawn };
        let places: Vec<_> = places.iter().map(|place| lie.lay(place, drawn).0).collect();
        let said = |argument, text: &Option<String>| text.as_deref().map(|t| args::size(argument, t));
        let tip = said("--tip", &self.tip).transpose().map_err(one)?;
        let step = said("--step", &self.step).transpose().map_err(one)?;
        let named = self.bench.read()?;
        let known = named.is_some();
        let bench = named.unwrap_or_else(empty_bench);
        let pickup = Pickup {
            x_edge: match self.x_edge {
                Side::Left => XEdge::Left,
                Side::Right => XEdge::Right,
            },
            y_edge: match self.y_edge {
                End::Front => YEdge::Front,
                End::Back => YEdge::Back,
            },
            width,
            depth,
            tip: tip.unwrap_or(bench.edge_finder),
            step: step.unwrap_or(bench.mill.readout.step()),
        };
        let mut given = Given::said(pickup);
        if tip.is_none() && !known {
            given.supposed.push(Supposed {
                statement: format!("an edge finder with a tip of {}: say yours with `--tip`", pickup.tip),
                otherwise: Pickup { tip: pickup.tip * 2, ..pickup },
            });
        }
        if step.is_none() && !known {
            given.supposed.push(Supposed {
                statement: format!("a readout that steps by {}: say yours with `--step`", pickup.step),
                otherwise: Pickup { step: pickup.step / 50, ..pickup },
            });
        }
        let figures = given.reckon(|pickup| Ok(positions(pickup, &places)?.figures()));
        Ok(Answer::new("readout positions").figures("", figures.map_err(one)?))
    }
}
