//! What a measurement should read: over pins, wires, rollers and blocks, and how near the
//! limits a reading may come before the instrument itself is in doubt.

pub mod arc;
pub mod discs;
pub mod over_pins;
pub mod over_rollers;
pub mod over_wires;
pub mod protractor;
pub mod reading;
pub mod sine_bar;
