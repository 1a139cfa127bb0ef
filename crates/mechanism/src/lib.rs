//! Planar mechanisms: solved, judged and designed.
//!
//! A [`Mechanism`] is described in links, points, joints and a drive, with every size a named
//! parameter. [`Model::new`] makes it ready or says what is wrong with it;
//! [`Model::assemble`] puts it together; a [`State`] is where every link stands. Nothing here
//! opens a file, reads a clock or uses the network: the same input gives the same output.

pub mod aids;
pub mod allowance;
mod build;
pub mod clearance;
mod closed;
pub mod curve;
pub mod derive;
pub mod describe;
pub mod design;
pub mod fault;
pub mod fit;
pub mod hyper;
pub mod interval;
mod linear;
pub mod measure;
mod model;
mod modes;
pub mod num;
pub mod outline;
mod plan;
pub mod proven;
pub mod reading;
mod relax;
mod rows;
mod sized;
mod stops;
mod stretch;
pub mod swept;
pub mod transmission;
pub mod turn;
pub mod valve;
mod vary;

pub use describe::{
    At, Drive, FRAME, Joint, JointId, Kind, Line, Link, LinkId, Mechanism, Param, ParamId, Point, PointId,
    Side, Size,
};
pub use fault::Fault;
pub use measure::{Measure, Reckoned};
pub use model::{Model, State, Stuck};
pub use modes::Assembly;
pub use reading::{Judge, Moment, Reading, Valued};
pub use rows::Pose;
pub use turn::{Event, Span, Turn};
pub use valve::{Admission, EndEvents, PortEnd, Timed, Valve, ValveEvents};
