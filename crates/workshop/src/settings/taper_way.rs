//! By which way a taper is turned: the top slide, the tailstock set over, or a tool ground to
//! its angle; chosen by how long it is and how far the slides go.

use super::show::{geometry, mm, practice};
use super::taper::{Cone, set_over, taper};
use crate::bench::Lathe;
use crate::drawing::{FeatureId, Kind, Part, SectionSize};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::Why;

/// Travel supposed of a top slide, from memory of small lathes.
const TOP_SLIDE: Length = Length::mm(60);

/// How far a tailstock is supposed to go over, from memory of small lathes.
const SET_OVER: Length = Length::mm(8);

/// The longest side that a tool ground to it cuts at once on a small lathe without chatter;
/// common practice.
const FORMED: Length = Length::mm(3);

/// A taper to be turned, and what there is to do it by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The taper.
    pub cone: Cone,
    /// The whole of the work, from centre to centre.
    pub work: Length,
    /// Whether one of its diameters is held within a tolerance.
    pub close: bool,
    /// Whether the work hangs between centres.
    pub centres: bool,
    /// How far the top slide travels, where the bench says.
    pub top_slide: Option<Length>,
    /// How far the tailstock goes over, where the bench says.
    pub set_over: Option<Length>,
}

impl Asked {
    /// A tapered section of a part on a lathe; none where it is no taper.
    pub fn of(part: &Part, section: FeatureId, lathe: &Lathe, centres: bool) -> Option<Self> {
        let Kind::Section { size: SectionSize::Taper { left, right }, .. } = part.feature(section).kind
        else {
            return None;
        };
        let (one, other) = (part.size(left), part.size(right));
        let cone =
            Cone { large: one.max(other), small: one.min(other), length: part.section_length(section) };
        let close = [left, right].iter().any(|id| part.drawing.dimensions[id.0].within.is_some());
        Some(Self {
            cone,
            work: part.thickness(),
            close,
            centres,
            top_slide: lathe.top_slide,
            set_over: lathe.set_over,
        })
    }
}

/// How a taper is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// A tool ground to half the angle, straight in.
    Ground,
    /// The top slide swung to half the angle.
    TopSlide,
    /// Between centres, the tailstock set over by so much.
    Tailstock {
        /// How far.
        over: Length,
    },
    /// The top slide in so many lengths, the carriage moved on between them.
    InLengths {
        /// How many.
        count: i64,
    },
}

impl Way {
    /// As the sheet says it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ground => "with a tool ground to half its angle",
            Self::TopSlide => "with the top slide",
            Self::Tailstock { .. } => "between centres, the tailstock set over",
            Self::InLengths { .. } => "with the top slide, in lengths",
        }
    }
}

/// Chooses the way, with its reason.
///
/// # Errors
///
/// A [`Problem`] when the cone is none, or longer than the work.
pub fn way(asked: Asked) -> Result<(Way, Why), Problem> {
    let side = taper(asked.cone)?.side;
    let over = set_over(asked.cone, asked.work)?;
    if side <= FORMED && !asked.close {
        let why = practice(format!(
            "{} along its side: a tool ground to half the angle cuts up to {} at once without chatter",
            mm(side),
            mm(FORMED)
        ));
        return Ok((Way::Ground, why));
    }
    let travel = asked.top_slide.unwrap_or(TOP_SLIDE);
    let travels = match asked.top_slide {
        Some(_) => geometry(format!("the top slide travels {}", mm(travel))),
        None => Why::assumed(format!("a small top slide travels {}", mm(travel))).source("from memory"),
    };
    if side <= travel {
        let why = practice(format!("{} along its side, at any angle", mm(side))).because(travels);
        return Ok((Way::TopSlide, why));
    }
    let longer = practice(format!(
        "{} along its side, longer than the {} that the top slide travels",
        mm(side),
        mm(travel)
    ))
    .because(travels);
    let most = asked.set_over.unwrap_or(SET_OVER);
    let goes = match asked.set_over {
        Some(_) => Why::new(format!("the bench file lets the tailstock over by {}", mm(most))),
        None => Why::assumed(format!("a small tailstock goes over by {}", mm(most))).source("from memory"),
    };
    if asked.centres && over <= most {
        return Ok((Way::Tailstock { over }, longer.because(goes)));
    }
    let not = if asked.centres {
        practice(format!(
            "the tailstock would have to go over by {}, more than the {} it does",
            mm(over),
            mm(most)
        ))
        .because(goes)
    } else {
        practice("the tailstock is set over only for work between centres")
    };
    let count = side.ratio_to(travel).ceil().to_integer();
    Ok((Way::InLengths { count: i64::try_from(count).unwrap_or(i64::MAX) }, longer.because(not)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(large: i64, small: i64, length: i64) -> Asked {
        let cone = Cone { large: Length::mm(large), small: Length::mm(small), length: Length::mm(length) };
        Asked {
            cone,
            work: Length::mm(length * 2),
            close: false,
            centres: true,
            top_slide: None,
            set_over: None,
        }
    }

    fn chosen(asked: Asked) -> Way {
        way(asked).expect("it tapers").0
    }

    /// Half the difference of the diameters times the work over the taper: 2 mm for 100 mm of
    /// taper on 200 mm of work that falls by 2 mm.
    #[test]
    fn long_slow_tapers_go_between_centres() {
        let slow = asked(20, 18, 100);
        assert_eq!(chosen(slow), Way::Tailstock { over: Length::mm(2) });
        assert_eq!(chosen(Asked { set_over: Some(Length::mm(1)), ..slow }), Way::InLengths { count: 2 });
        assert_eq!(chosen(Asked { centres: false, ..slow }), Way::InLengths { count: 2 });
        assert_eq!(chosen(Asked { top_slide: Some(Length::mm(101)), ..slow }), Way::TopSlide);
        assert_eq!(chosen(Asked { work: Length::mm(900), ..slow }), Way::InLengths { count: 2 });
    }

    #[test]
    fn short_ones_are_swung_or_ground() {
        assert_eq!(chosen(asked(20, 10, 20)), Way::TopSlide);
        assert_eq!(chosen(asked(6, 4, 2)), Way::Ground);
        assert_eq!(chosen(Asked { close: true, ..asked(6, 4, 2) }), Way::TopSlide);
    }

    #[test]
    fn what_the_bench_does_not_say_is_marked_as_supposed() {
        let said = |asked: Asked| format!("{:?}", way(asked).expect("it tapers").1);
        assert!(said(asked(20, 18, 100)).contains("a small tailstock goes over"));
        assert!(
            !said(Asked { set_over: Some(Length::mm(5)), ..asked(20, 18, 100) })
                .contains("a small tailstock")
        );
    }
}
