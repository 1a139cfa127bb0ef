//! Something to buy: how the list of what to buy calls it, and its points.

use super::holes::standard_mill;
use super::screws;
use super::way::{
    Cut, drill_name, mill_name, reamer_name, saw_name, stock_name, taper_reamer_name, thread_tool_name,
};
use super::weigh::{Goods, points};
use crate::bench::{EndMill, Reamer, Saw, Section, Stock};
use crate::measure::Length;
use crate::tables::drills::Drill;
use crate::tables::taper_pins::TaperPin;
use crate::tables::threads::{Hand, Thread};

/// One thing to buy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Buy {
    /// `reamer 9.5 mm H7`.
    pub name: String,
    /// One thing, and its price band.
    pub points: u32,
}

impl Buy {
    fn new(name: String, goods: Goods, size: Length) -> Self {
        Self { name, points: points(goods, size) }
    }

    /// A twist drill.
    pub fn drill(drill: &Drill) -> Self {
        Self::new(drill_name(drill), Goods::Drill, drill.diameter)
    }

    /// A reamer.
    pub fn reamer(reamer: &Reamer) -> Self {
        Self::new(reamer_name(reamer), Goods::Reamer, reamer.diameter)
    }

    /// The reamer of a taper pin.
    pub fn taper_reamer(pin: &TaperPin) -> Self {
        Self::new(taper_reamer_name(pin), Goods::TaperReamer, pin.nominal)
    }

    /// An end mill.
    pub fn mill(diameter: Length) -> Self {
        Self::new(mill_name(diameter), Goods::EndMill, diameter)
    }

    /// An end mill that has to reach: of the long series where a standard one does not.
    pub fn reaching(mill: &EndMill) -> Self {
        Self::new(mill_as_bought(mill), Goods::EndMill, mill.diameter)
    }

    /// A slitting saw: the wider one is the dearer.
    pub fn saw(saw: &Saw) -> Self {
        Self::new(saw_name(saw), Goods::Saw, saw.width)
    }

    /// A tap, or the die for a thread on the outside.
    pub fn thread_tool(thread: &Thread, cut: Cut) -> Self {
        let usual = screws::of_first_choice(thread) && thread.hand == Hand::Right;
        let goods = if usual { Goods::TapOrDie } else { Goods::UncommonTapOrDie };
        Self::new(thread_tool_name(thread, cut), goods, thread.major)
    }

    /// A bar, flat or plate.
    pub fn stock(stock: &Stock) -> Self {
        let size = match stock.section {
            Section::Flat { thickness: size, .. }
            | Section::Round { diameter: size }
            | Section::Hexagon { across: size } => size,
        };
        Self::new(stock_name(stock), Goods::Stock, size)
    }
}

/// What an end mill is called among the things to buy: with its flutes where a standard
/// one does not reach.
pub fn mill_as_bought(mill: &EndMill) -> String {
    if mill.flute == standard_mill(mill.diameter).flute {
        return mill_name(mill.diameter);
    }
    format!("{} with flutes of {}", mill_name(mill.diameter), mill.flute)
}
