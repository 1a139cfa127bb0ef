//! A mechanism as its file says it, with what is asked of it.

use mechanism::{Assembly, Line, Mechanism, PointId, Valve};

use super::loose::Loose;
use super::shapes::{Shape, ToClear};
use super::size::{Kind, Known};
use crate::measure::Unit;

/// A mechanism with what is asked of it.
#[derive(Clone, Debug)]
pub struct Machine {
    /// The file that it stands in.
    pub file: String,
    /// What it is called.
    pub name: String,
    /// Line in the file.
    pub line: usize,
    /// The mechanism, with its sizes as drawn.
    pub of: Mechanism,
    /// Its parameters, in the mechanism's order.
    pub known: Vec<Known>,
    /// What the file has given names to.
    pub named: Vec<(String, mechanism::Size, Kind)>,
    /// What a bare number is.
    pub unit: Option<Unit>,
    /// How it is put together.
    pub assembly: Assembly,
    /// The drive's angle it is put together at, radians.
    pub start: f64,
    /// What slides: its name, its point and its line.
    pub sliders: Vec<(String, PointId, Line)>,
    /// Pins in slots by name.
    pub slots: Vec<(String, mechanism::JointId)>,
    /// Valves.
    pub valves: Vec<ValveSaid>,
    /// Settings of it, such as notches of a reversing lever: full sets of values as drawn.
    pub settings: Vec<Setting>,
    /// What results may depart by.
    pub holds: Vec<Hold>,
    /// How closely it is made where its parts do not say, and what is asked of that.
    pub loose: Loose,
    /// What moving parts take up.
    pub shapes: Vec<Shape>,
    /// Which of that is to clear each other.
    pub clears: Vec<ToClear>,
    /// Results that are wished for, each `lead, head end = 0.3 mm`.
    pub wants: Vec<String>,
    /// Sizes by which they may be had, each `advance from 20° to 45°`.
    pub frees: Vec<String>,
}

/// A valve by name.
#[derive(Clone, Debug)]
pub struct ValveSaid {
    /// What it is called.
    pub name: String,
    /// What it does.
    pub valve: Valve,
    /// The parameter of its mid place, where nobody has said and equal lead is taken.
    pub set: Option<mechanism::ParamId>,
}

/// A setting: parameters with other values.
#[derive(Clone, Debug)]
pub struct Setting {
    /// What it is called.
    pub name: String,
    /// Parameters and their values, millimetres or radians.
    pub values: Vec<(mechanism::ParamId, f64)>,
    /// Whether the crank turns the other way in it.
    pub reversed: bool,
}

/// What a result may depart by.
#[derive(Clone, Debug)]
pub struct Hold {
    /// Which result.
    pub result: String,
    /// How far, in the result's own unit: millimetres, radians, or a share.
    pub within: f64,
    /// As written.
    pub text: String,
    /// Line in the file.
    pub line: usize,
}
