//! Percent of thread, with its basis always named.
//!
//! Three tables can print 92, 82 and 77 % for the same drill and all be right:
//! each takes another depth for 100 %. So a percent here is never a bare number.

use std::fmt;

use num_rational::Ratio;

use super::{Form, Thread};
use crate::measure::Length;
use crate::problem::Problem;

/// What 100 % of thread means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// The height of the internal thread, 5H/8: 1.0825 P on the diameter (ISO 68-1).
    InternalHeight,
    /// The depth of the external thread, 17H/24: 1.2269 P on the diameter (ISO 68-1).
    ExternalDepth,
    /// Three quarters of the sharp triangle, 3H/4: 1.2990 P on the diameter. The
    /// percentages in workshop tapping tables ("0.013 × % / t.p.i.") and in
    /// [`crate::tables::materials`] stand on this.
    SharpVee,
    /// The standard depth of a rounded form: 1.2 P for BA (BS 93), 1.2807 P for
    /// Whitworth (BS 84), on the diameter.
    FullDepth,
}

/// How much of the thread a tapping hole leaves, and of what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Percent {
    /// 100 is all of it.
    pub value: Ratio<i128>,
    /// All of what.
    pub basis: Basis,
}

impl Form {
    /// The bases that tables use for this form; the last is the one that
    /// workshop percentages stand on.
    pub const fn bases(self) -> &'static [Basis] {
        match self {
            Self::Metric60 | Self::Unified60 => {
                &[Basis::InternalHeight, Basis::ExternalDepth, Basis::SharpVee]
            }
            Self::Whitworth55 | Self::Ba47 => &[Basis::FullDepth],
        }
    }

    /// The basis that workshop percentages for this form stand on.
    pub const fn workshop_basis(self) -> Basis {
        match self {
            Self::Metric60 | Self::Unified60 => Basis::SharpVee,
            Self::Whitworth55 | Self::Ba47 => Basis::FullDepth,
        }
    }

    /// Half the angle between the flanks, in radians.
    pub fn half_angle_rad(self) -> f64 {
        let whole_degrees: f64 = match self {
            Self::Metric60 | Self::Unified60 => 60.0,
            Self::Whitworth55 => 55.0,
            Self::Ba47 => 47.5,
        };
        (whole_degrees / 2.0).to_radians()
    }

    /// The angle between the flanks, as written.
    pub const fn angle(self) -> &'static str {
        match self {
            Self::Metric60 | Self::Unified60 => "60°",
            Self::Whitworth55 => "55°",
            Self::Ba47 => "47½°",
        }
    }
}

impl Basis {
    /// The name by which a person asks for the basis.
    pub const fn name(self) -> &'static str {
        match self {
            Self::InternalHeight => "internal height",
            Self::ExternalDepth => "external depth",
            Self::SharpVee => "sharp vee",
            Self::FullDepth => "full depth",
        }
    }

    /// Every basis.
    pub const ALL: [Self; 4] = [Self::InternalHeight, Self::ExternalDepth, Self::SharpVee, Self::FullDepth];

    /// The basis of that name, such as `internal height`.
    ///
    /// # Errors
    ///
    /// A [`Problem`] that lists the names.
    pub fn find(text: &str) -> Result<Self, Problem> {
        let asked = crate::tables::near::plain(text);
        let named = Self::ALL.into_iter().find(|basis| crate::tables::near::plain(basis.name()) == asked);
        named.ok_or_else(|| {
            Problem::new(format!("{} is no basis for percent of thread", crate::tables::near::quoted(text)))
                .why("100 % can mean several depths of thread")
                .mend("name one: internal height (1.0825 P), external depth (1.2269 P), sharp vee (1.2990 P), or full depth for BA and Whitworth")
        })
    }

    /// 100 % on the diameter, in pitches, to four places as published.
    fn pitches(self, form: Form) -> Option<Ratio<i128>> {
        let ten_thousandths = match (self, form) {
            (Self::InternalHeight, Form::Metric60 | Form::Unified60) => 10_825,
            (Self::ExternalDepth, Form::Metric60 | Form::Unified60) => 12_269,
            (Self::SharpVee, Form::Metric60 | Form::Unified60) => 12_990,
            (Self::FullDepth, Form::Ba47) => 12_000,
            (Self::FullDepth, Form::Whitworth55) => 12_807,
            _ => return None,
        };
        Some(Ratio::new(ten_thousandths, 10_000))
    }
}

impl Percent {
    /// So many percent of that.
    pub fn new(value: impl Into<Ratio<i128>>, basis: Basis) -> Self {
        Self { value: value.into(), basis }
    }
}

/// `77 % of 3H/4`: to the nearest whole percent, the basis named.
impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of = match self.basis {
            Basis::InternalHeight => "internal height 5H/8",
            Basis::ExternalDepth => "external depth 17H/24",
            Basis::SharpVee => "3H/4",
            Basis::FullDepth => "full depth",
        };
        write!(f, "{} % of {of}", self.value.round())
    }
}

impl Thread {
    /// How much thread a hole of this diameter leaves; less than nought when the
    /// hole is larger than the screw.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the basis does not belong to the form of the thread.
    ///
    /// # Example
    ///
    /// ```
    /// use workshop::measure::Length;
    /// use workshop::tables::threads::{self, Basis};
    ///
    /// let percent = threads::find("M6")?.percent(Length::mm(5), Basis::SharpVee)?;
    /// assert_eq!(percent.to_string(), "77 % of 3H/4");
    /// # Ok::<(), workshop::problem::Problem>(())
    /// ```
    pub fn percent(&self, hole: Length, basis: Basis) -> Result<Percent, Problem> {
        let value = (self.major - hole).ratio_to(self.full_depth(basis)?) * 100;
        Ok(Percent { value, basis })
    }

    /// The hole that leaves this percent of thread, exactly: choose a drill near
    /// it afterwards.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the basis does not belong to the form of the thread, or
    /// the percent is not between 0 and the depth that fits the screw.
    pub fn drill_for(&self, percent: Percent) -> Result<Length, Problem> {
        let hole = self.major - self.full_depth(percent.basis)?.scaled(percent.value / 100);
        if hole > self.major || !hole.is_positive() {
            return Err(Problem::new(format!("{percent} is no depth of thread for {}", self.designation))
                .why(format!("it would take a hole of {} in a thread of {}", hole, self.major))
                .mend("ask for 50 to 80 %"));
        }
        Ok(hole)
    }

    /// 100 % of thread on the diameter.
    fn full_depth(&self, basis: Basis) -> Result<Length, Problem> {
        let form = self.form();
        basis.pitches(form).map(|pitches| self.pitch.scaled(pitches)).ok_or_else(|| {
            let usable: Vec<&str> = form.bases().iter().map(|b| b.name()).collect();
            Problem::new(format!(
                "percent of thread for {} is not reckoned on {}",
                self.designation,
                basis.name()
            ))
            .why(format!("it is a thread of {}, with another profile", form.angle()))
            .mend(format!("use {}", usable.join(", ")))
        })
    }
}
