//! What can be wrong with a stack.

use std::fmt;

/// What is wrong with a stack, and with which of its members.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Nothing adds up.
    Empty,
    /// A number that is none, or too large to reckon with.
    NotANumber(String),
    /// The lower limit lies above the upper.
    Turned(String),
    /// A law with a figure it cannot have.
    Law(String),
    /// A pin may be larger than its bore by so much: there is no play in a press fit.
    NoRoom(String, f64),
    /// A play names a quantity that is not there.
    NotThere(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "the stack adds nothing up"),
            Self::NotANumber(name) => write!(f, "`{name}` has a number that cannot be reckoned with"),
            Self::Turned(name) => write!(f, "the lower limit of `{name}` lies above its upper limit"),
            Self::Law(name) => write!(f, "the law of `{name}` has a figure that it cannot have"),
            Self::NoRoom(name, by) => {
                write!(f, "the pin of `{name}` may be larger than its bore by {by:.4}")
            }
            Self::NotThere(name) => write!(f, "`{name}` names a quantity that is not there"),
        }
    }
}

impl std::error::Error for Fault {}
