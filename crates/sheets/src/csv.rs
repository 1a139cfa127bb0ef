//! Sheets as comma-separated values, for a spreadsheet: RFC 4180, in UTF-8.
//!
//! Every number of a plan is one record with what it rests on, so that a table can be sorted
//! and summed elsewhere. What begins as a formula would is set apart, so that no program
//! that opens it works anything out.

use workshop::plan::Plan;
use workshop::sheet::{CuttingList, MakeList, Row};
use workshop::why::{Figure, Why};

/// Records of one width under a heading.
struct Records {
    text: String,
}

impl Records {
    fn under(heading: &[&str]) -> Self {
        let mut records = Self { text: String::new() };
        records.put(heading);
        records
    }

    fn put(&mut self, fields: &[&str]) {
        let line: Vec<String> = fields.iter().map(|field| quoted(field)).collect();
        self.text.push_str(&line.join(","));
        self.text.push_str("\r\n");
    }
}

/// A field, in quotes where it needs them.
fn quoted(field: &str) -> String {
    let number = |text: &str| text.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    // A program that opens the file would take these for formulas; signed numbers are none.
    let formula = field.starts_with(['=', '@', '\t', '\r'])
        || field.strip_prefix(['+', '-']).is_some_and(|rest| !number(rest));
    let field = if formula { format!("'{field}") } else { field.to_owned() };
    if field.contains([',', '"', '\n', '\r']) || field.starts_with(' ') || field.ends_with(' ') {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field
    }
}

/// Whether something was supposed, as a field.
const fn supposed(is: bool) -> &'static str {
    if is { "supposed" } else { "" }
}

/// The first source that a chain of reasons names.
fn source(why: &Why) -> String {
    why.source.clone().or_else(|| why.because.iter().map(source).find(|s| !s.is_empty())).unwrap_or_default()
}

const HEADING: [&str; 9] =
    ["sheet", "row", "operation", "with", "what", "value", "supposed", "why", "source"];

/// Every number of a plan: cover, changes, setups, aids.
pub fn plan(plan: &Plan) -> String {
    let mut records = Records::under(&HEADING);
    let mut put = |sheet: &str, [row, operation, with]: [&str; 3], figure: &Figure| {
        let (why, from) = (&figure.why.statement, source(&figure.why));
        let label = figure.label();
        records.put(&[
            sheet,
            row,
            operation,
            with,
            label,
            &figure.shown,
            supposed(figure.assumed()),
            why,
            &from,
        ]);
    };
    put("cover", ["", "", ""], &plan.cover.material);
    put("cover", ["", "", ""], &plan.cover.blank);
    for change in &plan.cover.changes {
        let words = format!("{} as drawn, {} exactly", change.written, change.exact);
        let figure = Figure::new(change.name.replace(": ", ", "), change.chosen.clone(), change.why.clone());
        put("changes", ["", &words, &change.made_with], &figure);
    }
    for setup in &plan.setups {
        let sheet = format!("setup {}", setup.number);
        for figure in &setup.presets {
            put(&sheet, ["", "set once", ""], figure);
        }
        for row in &setup.rows {
            let number = row.number.to_string();
            for figure in every(row) {
                put(&sheet, [&number, &row.what, &row.tool], figure);
            }
        }
    }
    for (n, aid) in plan.aids.iter().enumerate() {
        for figure in &aid.sizes {
            put(&format!("aid {}", n + 1), ["", &aid.name, &aid.material], figure);
        }
    }
    records.text
}

fn every(row: &Row) -> impl Iterator<Item = &Figure> {
    row.speed.iter().chain(&row.sets).chain(&row.depth).chain(&row.check)
}

/// The inspection sheet of a plan, with an empty column for what was found.
pub fn inspection(plan: &Plan) -> String {
    let mut records = Records::under(&[
        "no.",
        "what",
        "make",
        "how",
        "with",
        "should read",
        "told",
        "found",
        "supposed",
        "why",
    ]);
    for row in &plan.inspection.rows {
        records.put(&[
            &row.number.to_string(),
            &row.what,
            &row.size.shown,
            &row.how,
            &row.with,
            &row.reading.shown,
            if row.told { "yes" } else { "no" },
            "",
            supposed(row.reading.assumed()),
            &row.reading.why.statement,
        ]);
    }
    records.text
}

/// A make list.
pub fn make_list(list: &MakeList) -> String {
    let mut records = Records::under(&["no.", "kind", "what", "where", "with", "minutes", "why here"]);
    for row in &list.rows {
        records.put(&[
            &row.number.to_string(),
            row.kind.word(),
            &row.what,
            &row.place,
            &row.with,
            &row.minutes.to_string(),
            &row.reason(),
        ]);
    }
    records.text
}

/// A cutting list.
pub fn cutting_list(list: &CuttingList) -> String {
    let mut records =
        Records::under(&["metal", "for", "how many", "saw off", "one weighs", "supposed", "sawn from"]);
    for group in &list.groups {
        let from = group.from.join("; ");
        for row in &group.rows {
            records.put(&[
                &group.metal,
                &row.part,
                &row.count.to_string(),
                &row.size.shown,
                &row.weight.shown,
                supposed(row.size.assumed() || row.weight.assumed()),
                &from,
            ]);
        }
    }
    records.text
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// RFC 4180 read back by its own rules.
    fn read(text: &str) -> Vec<Vec<String>> {
        let (mut rows, mut row, mut field) = (Vec::new(), Vec::new(), String::new());
        let mut letters = text.chars().peekable();
        let mut inside = false;
        while let Some(letter) = letters.next() {
            match letter {
                '"' if inside && letters.peek() == Some(&'"') => field.extend(letters.next()),
                '"' => inside = !inside,
                ',' if !inside => row.push(std::mem::take(&mut field)),
                '\r' if !inside => {}
                '\n' if !inside => {
                    row.push(std::mem::take(&mut field));
                    rows.push(std::mem::take(&mut row));
                }
                other => field.push(other),
            }
        }
        rows
    }

    proptest! {
        /// Whatever a field holds, the reader has it back, and no field is a formula.
        #[test]
        fn fields_read_back(fields in prop::collection::vec("[a-z0-9,\"\n=+@ -]{0,12}", 1..6)) {
            let mut records = Records::under(&["a"]);
            let refs: Vec<&str> = fields.iter().map(String::as_str).collect();
            records.put(&refs);
            let rows = read(&records.text);
            prop_assert_eq!(rows.len(), 2);
            for (field, back) in fields.iter().zip(&rows[1]) {
                prop_assert_eq!(field, back.strip_prefix('\'').unwrap_or(back));
                prop_assert!(!back.starts_with(['=', '@']));
            }
        }
    }

    #[test]
    fn signed_numbers_stay_numbers() {
        assert_eq!(quoted("-5.000 mm"), "-5.000 mm");
        assert_eq!(quoted("+0.013"), "+0.013");
        assert_eq!(quoted("=1+1"), "'=1+1");
        assert_eq!(quoted("-cmd"), "'-cmd");
    }
}
