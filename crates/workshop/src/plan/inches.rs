//! What a shed marked in inches reads beside the millimetres of its sheets.
//!
//! Rows that are wound or measured say inches by themselves, from the exact length. What is left, such as a
//! chamfer or what an indicator shows, gets its inches here from what is printed: a thousandth of an inch is
//! coarser than that.

use super::job::Setup;
use crate::bench::Readout;
use crate::order::Machine;
use crate::settings::show::{in_inches, number};
use crate::sheet::SetupSheet;
use crate::why::Figure;

/// Labels of what is neither set nor read: how near a gear or a table comes.
const NOT_READ: [&str; 5] = ["pitch cut", "error", "gear", "wheel", "simpler"];

impl Setup<'_> {
    /// Puts inches beside what is only told in millimetres, where everything that measures is marked in
    /// inches; what a slide is set to stays with a readout that shows millimetres.
    pub fn beside_inches(&self, sheet: &mut SetupSheet) {
        if !self.in_inches() {
            return;
        }
        let bench = self.job.bench;
        let wound = match self.holding.machine {
            Machine::Lathe => bench.lathe.as_ref().is_some_and(|lathe| in_inches(lathe.step)),
            Machine::Mill | Machine::RotaryTable => {
                let readout = &bench.mill.readout;
                matches!(readout, Readout::Handwheels { .. }) && in_inches(readout.step())
            }
            _ => true,
        };
        let all = sheet.rows.iter_mut().flat_map(|row| {
            let set = row.sets.iter_mut().chain(&mut row.depth).filter(move |_| wound);
            set.chain(&mut row.check)
        });
        all.chain(sheet.presets.iter_mut().filter(move |_| wound)).for_each(beside);
    }
}

fn beside(figure: &mut Figure) {
    if !NOT_READ.iter().any(|word| figure.label().contains(word)) {
        figure.shown = in_both(&figure.shown);
    }
}

/// The same with inches behind every length in millimetres; unchanged where inches stand already.
fn in_both(shown: &str) -> String {
    let has = |mark: &str| shown.contains(mark);
    if shown.ends_with(" in") || [" in)", " in ", " in,", " in/min"].into_iter().any(has) {
        return shown.to_owned();
    }
    let mut told = String::new();
    let mut parts = shown.split(" mm").peekable();
    while let Some(part) = parts.next() {
        told += part;
        let Some(next) = parts.peek() else { break };
        told += " mm";
        let begins = part
            .rfind(|c: char| !c.is_ascii_digit() && c != '.')
            .map_or(0, |at| at + part[at..].chars().next().map_or(1, char::len_utf8));
        let Ok(length_mm) = part[begins..].parse::<f64>() else { continue };
        // A feed is told by its own figure; a word that only begins so is none.
        if next.starts_with(|c: char| c.is_alphanumeric()) {
            continue;
        }
        if next.starts_with("/min") {
            told += &format!("/min ({} in/min)", number(length_mm / 25.4, 1));
            let rest: String = parts.map(str::to_owned).collect::<Vec<_>>().join(" mm");
            return told + rest.trim_start_matches("/min");
        }
        let places = if length_mm < 0.5 { 4 } else { 3 };
        told += &format!(" ({:.places$} in)", length_mm / 25.4);
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 9.525 mm is three eighths, 0.4 mm 15.7 thousandths, 42 mm a minute 1.7 in.
    #[test]
    fn inches_stand_behind_each_length() {
        for (shown, both) in [
            ("9.525 mm", "9.525 mm (0.375 in)"),
            ("⌀ 11 mm × 1.5 mm", "⌀ 11 mm (0.433 in) × 1.5 mm (0.059 in)"),
            ("≈0.4 mm, for a file", "≈0.4 mm (0.0157 in), for a file"),
            ("42 mm/min", "42 mm/min (1.7 in/min)"),
            ("3637 g mm: about 56 g at 65 mm", "3637 g mm: about 56 g at 65 mm (2.559 in)"),
            ("⌀ 25 mm (0.9843 in) over the round", "⌀ 25 mm (0.9843 in) over the round"),
            ("0.250 in in one pass", "0.250 in in one pass"),
            ("22 turns and 24 divisions", "22 turns and 24 divisions"),
        ] {
            assert_eq!(in_both(shown), both);
        }
    }
}
