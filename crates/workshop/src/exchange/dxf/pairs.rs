//! The pairs of lines that the text is made of.

use crate::problem::Problem;

/// A group code and its value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pair<'a> {
    pub code: i32,
    pub value: &'a str,
    /// The line of the value.
    pub line: usize,
}

/// The code of a remark, which means nothing.
const REMARK: i32 = 999;

/// Splits the text into its pairs, remarks left out.
pub(super) fn pairs(text: &str) -> Result<Vec<Pair<'_>>, Problem> {
    let mut pairs = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((at, code)) = lines.next() {
        if code.trim().is_empty() && lines.clone().all(|(_, rest)| rest.trim().is_empty()) {
            break;
        }
        let Ok(code) = code.trim().trim_start_matches('\u{feff}').parse::<i32>() else {
            let what = if pairs.is_empty() {
                Problem::new("this is neither a DXF nor an SVG file")
            } else {
                Problem::new("the DXF file is spoiled")
            };
            return Err(what
                .at(format!("line {}", at + 1))
                .why(format!("a group code should stand there, not `{}`", clipped(code)))
                .mend("save it again from the program that drew it"));
        };
        let Some((at, value)) = lines.next() else { return Err(broken_off(at + 1)) };
        if code != REMARK {
            pairs.push(Pair { code, value: value.trim(), line: at + 1 });
        }
    }
    match pairs.last() {
        None => Err(Problem::new("the file is empty").mend("name a DXF or an SVG file")),
        Some(Pair { code: 0, value: "EOF", .. }) => Ok(pairs),
        Some(last) => Err(broken_off(last.line)),
    }
}

fn broken_off(line: usize) -> Problem {
    Problem::new("the DXF file breaks off before its end")
        .at(format!("line {line}"))
        .why("its last record should be `EOF`: part of it is missing")
        .mend("fetch or save it again, whole")
}

/// At most thirty characters of a line, for quoting.
pub(super) fn clipped(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(30) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
