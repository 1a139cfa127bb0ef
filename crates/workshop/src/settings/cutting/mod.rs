//! Sawing blanks from what lies in the rack, and what they weigh.

pub mod bars;
pub mod plates;
pub mod weight;
