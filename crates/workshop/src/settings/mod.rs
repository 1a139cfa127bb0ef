//! What to set on the machine: one process to a file.
//!
//! Sizes, tools and table rows go in; each process gives back a struct of exact
//! values, rounded once to what will set them, and its
//! [`Figure`](crate::why::Figure)s with their reasons. Nothing here chooses an
//! order of work or knows a whole part: [`crate::order`] and [`crate::plan`] ask.
//!
//! What a setting cannot reach is a [`Problem`](crate::problem::Problem), never a
//! number that would spoil the work. Where no standard fixes a value the source
//! says `common practice`.

pub mod balance;
pub mod boring;
pub mod chain_drilling;
pub mod change_wheels;
pub mod counterbore;
pub mod countersink;
pub mod curved_slot;
pub mod cutter;
pub mod cutting;
pub mod dividing;
pub mod drilling;
pub mod eccentric;
pub mod filing_buttons;
pub mod flank;
pub mod flats;
pub mod force;
pub mod handwheel;
pub mod hardening;
pub mod keyway;
pub mod knurl;
pub mod lathe;
pub mod left_hand;
pub mod lubricant;
pub mod measuring;
pub mod milling;
pub mod outside_thread;
pub mod passes;
pub mod pecking;
pub mod pitch_circle;
pub mod plain_buttons;
pub mod position;
pub mod reaming;
pub mod rotary;
pub mod round_outline;
pub mod rounded_end;
pub mod screw_cutting;
pub(crate) mod show;
pub mod shrink;
pub mod slitting;
pub mod speed;
pub mod split_clamp;
pub mod squaring;
pub mod starts;
pub mod stepped_curve;
pub mod stepped_line;
pub mod stepped_profile;
pub mod straight;
pub mod tailstock;
pub mod taper;
pub mod taper_pin;
pub mod taper_way;
pub mod tapping;
pub mod time;
pub mod vice;
