//! What a person says of a size beside the size itself: what may become of it, how far
//! it may go, what it is to be, and what it is already.

use super::reader::{Reader, read_measured};
use super::{Measures, Role};
use crate::document::Sheet;
use crate::measure::{Length, Unit, Written, read_length};
use crate::problem::Problem;
use crate::tables::threads::{self, Thread};

/// What stands beside a size or thread.
#[derive(Clone, Default)]
pub(super) struct Said {
    /// What may become of it.
    pub(super) role: Option<Role>,
    /// How far it may go, either way.
    pub(super) within: Option<Length>,
    /// What it is to be or is already, and the line; read once it is known what it measures.
    settled: Option<(Settled, String, usize)>,
}

/// In which way the size to make is settled by the person.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Settled {
    /// Chosen.
    Pinned,
    /// Cut and measured.
    Made,
}

impl Settled {
    const fn key(self) -> &'static str {
        match self {
            Self::Pinned => "pin",
            Self::Made => "made",
        }
    }
}

impl Said {
    /// The key and line by which the size is settled, where it is.
    pub(super) fn settled(&self) -> Option<(&'static str, usize)> {
        self.settled.as_ref().map(|(settled, _, line)| (settled.key(), *line))
    }
}

/// A pin this many times the drawing's size, or the size this many times the pin, is
/// asked about where another unit explains it.
const FAR: i64 = 4;

/// How far the other unit may lie from the drawing to explain such a pin: a share.
const NEAR: i64 = 3;

impl Reader {
    /// All that a table says beside its size.
    pub(super) fn said(&mut self, table: &Sheet) -> Said {
        let roles = [("hold", Role::Hold), ("suit", Role::Suit), ("free", Role::Free)];
        let role = self.one_of(table, "role", &roles);
        let within = self.within(table);
        let mut text_of = |key| table.text(key, &mut self.faults).map(|(text, line)| (text.to_owned(), line));
        let (pin, made) = (text_of("pin"), text_of("made"));
        if let (Some((pin, _)), Some((made, line))) = (&pin, &made) {
            self.faults.push(
                Problem::new(format!("it is pinned to `{pin}` and already made at `{made}`"))
                    .at(format!("line {line}, `made`"))
                    .why("what is cut cannot be chosen any more")
                    .mend("keep `made` if it is cut, and `pin` if it is still to be cut"),
            );
        }
        let pinned = pin.map(|(text, line)| (Settled::Pinned, text, line));
        let settled = made.map(|(text, line)| (Settled::Made, text, line)).or(pinned);
        Said { role, within, settled }
    }

    fn within(&mut self, table: &Sheet) -> Option<Length> {
        let (text, line) = table.text("within", &mut self.faults)?;
        match read_length(text, self.unit) {
            Ok(written) if !written.length.is_positive() => {
                self.faults.push(
                    Problem::new(format!("`{text}` is no tolerance"))
                        .at(format!("line {line}, `within`"))
                        .mend("write how far it may go either way, such as `0.02 mm`"),
                );
                None
            }
            Ok(written) => Some(written.length),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `within`")));
                None
            }
        }
    }

    /// `keeps = "70 %"`: how much of its tensile stress area a screw must keep, 30 to 100 percent.
    /// Only a thread reads it: beside a length it is a key that nobody knows.
    pub(super) fn keeps(&mut self, table: &Sheet) -> Option<u32> {
        let (text, line) = table.text("keeps", &mut self.faults)?;
        let percent = text.trim().strip_suffix('%').and_then(|number| number.trim().parse().ok());
        let percent = percent.filter(|percent| (30..=100).contains(percent));
        if percent.is_none() {
            self.faults.push(
                Problem::new(format!("`{text}` is no share that a screw keeps"))
                    .at(format!("line {line}, `keeps`"))
                    .why("less than 30 % of its stress area is another screw")
                    .mend("write whole percent from 30 to 100, such as `70 %`"),
            );
        }
        percent
    }

    /// The size that a pin or a measurement settles, as (pin, made).
    pub(super) fn fixed_size(
        &mut self,
        said: &Said,
        name: &str,
        measures: Measures,
        drawn: Length,
    ) -> (Option<Length>, Option<Length>) {
        let Some((settled, text, line)) = &said.settled else { return (None, None) };
        // The size to make says its own unit: the drawing's is often the other one.
        let read = read_measured(text, measures, None).map_err(|fault| unitless(text, measures, fault));
        let read = read.and_then(|written| sensible(written, measures, drawn));
        match (read, settled) {
            (Ok(length), Settled::Pinned) => (Some(length), None),
            (Ok(length), Settled::Made) => (None, Some(length)),
            (Err(fault), _) => {
                self.faults.push(fault.at(format!("line {line}, `{}` of {name}", settled.key())));
                (None, None)
            }
        }
    }

    /// The thread that a pin or a look at the part settles, as (pin, made).
    pub(super) fn fixed_thread(
        &mut self,
        said: &Said,
        name: &str,
        drawn: &Thread,
    ) -> (Option<&'static Thread>, Option<&'static Thread>) {
        let Some((settled, text, line)) = &said.settled else { return (None, None) };
        let found = threads::find(text).and_then(|thread| drawn.winds_as(thread).map(|()| thread));
        match (found, settled) {
            (Ok(thread), Settled::Pinned) => (Some(thread), None),
            (Ok(thread), Settled::Made) => (None, Some(thread)),
            (Err(fault), _) => {
                self.faults.push(fault.at(format!("line {line}, `{}` of {name}", settled.key())));
                (None, None)
            }
        }
    }
}

/// What is wrong with a size to make that cannot be read: often only its unit is missing.
fn unitless(text: &str, measures: Measures, fault: Problem) -> Problem {
    if read_measured(text, measures, Some(Unit::Mm)).is_err() {
        return fault;
    }
    Problem::new(format!("`{text}` has no unit"))
        .why("what is made is often in another unit than the drawing, so it is not taken from there")
        .mend(format!("write `{text} mm` or `{text} in`"))
}

/// A size to make, unless nobody can have meant it.
fn sensible(written: Written, measures: Measures, drawn: Length) -> Result<Length, Problem> {
    let (size, text) = (written.length, &written.text);
    let may_be_nought = measures == Measures::Position;
    if size < Length::ZERO || (size == Length::ZERO && !may_be_nought) {
        return Err(
            Problem::new(format!("`{text}` is not more than nought")).mend("write the size it is to have")
        );
    }
    if size > Length::mm(10_000) {
        return Err(
            Problem::new(format!("`{text}` is more than ten metres")).mend("check the number and its unit")
        );
    }
    let far = drawn.is_positive() && (size > drawn * FAR || size * FAR < drawn);
    let (other, word) = match written.unit {
        Unit::Mm => (Unit::Inch, "inches"),
        Unit::Inch => (Unit::Mm, "millimetres"),
    };
    let meant = size.scaled(other.one().ratio_to(written.unit.one()));
    if far && meant.gap(drawn) * NEAR < drawn {
        return Err(Problem::new(format!("`{text}` looks like the wrong unit"))
            .why(format!("the drawing has {drawn}, and `{text}` is {size}; so many {word} would be {meant}"))
            .mend(format!("write `{}` after the number if that is meant", other.symbol())));
    }
    Ok(size)
}
