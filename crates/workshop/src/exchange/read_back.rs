//! The part file read back as any other, and held against the file it came from.

use super::part::Written;
use super::recognise::HalfTurns;
use super::report::Report;
use super::{Asked, part};
use crate::drawing::{Part, read_drawing, solve};
use crate::geometry::Outline;
use crate::problem::Problem;

/// Decimals of a millimetre, and how near half-turns are written, in the order
/// they are tried: the plainest that serves is taken.
const WAYS: [(u32, HalfTurns); 4] =
    [(3, HalfTurns::Whole), (4, HalfTurns::Whole), (4, HalfTurns::Parted), (5, HalfTurns::Parted)];
/// How far a part may lie from its file and count as the same, in millimetres.
const SAME_MM: f64 = 0.003;
/// The longest part file, in bytes, that is read back.
const MOST_READ_BACK: usize = 40_000;

/// Writes the part in the plainest way that, read back, lies on its outline; gives
/// how far off it lies, where it could be read back.
///
/// `gap_mm` is how far ends were moved to meet.
pub(super) fn best(
    outline: &Outline,
    gap_mm: f64,
    write: impl Fn(u32, HalfTurns) -> Result<Written, Problem>,
) -> Result<(Written, Option<f64>), Problem> {
    let mut kept: Option<(Written, Option<f64>)> = None;
    for (places, half_turns) in WAYS {
        let written = write(places, half_turns)?;
        let off_mm = off(&written, outline);
        let nearer = match (&kept, off_mm) {
            (None, _) => true,
            (Some((_, None)), Some(_)) => true,
            (Some((_, Some(before))), Some(now)) => now < *before,
            (Some(_), None) => false,
        };
        if nearer {
            kept = Some((written, off_mm));
        }
        let long = kept.as_ref().is_some_and(|(written, _)| written.text.len() > MOST_READ_BACK);
        if long || off_mm.is_some_and(|off| off <= SAME_MM + gap_mm) {
            break;
        }
    }
    Ok(kept.expect("the first way is always kept"))
}

/// How far the outline of a part file lies from the one it was written from.
fn off(written: &part::Written, outline: &Outline) -> Option<f64> {
    if written.text.len() > MOST_READ_BACK {
        return None;
    }
    let drawing = read_drawing("part", &completed(&written.text)).ok()?;
    let solved = solve(&drawing).ok()?;
    let made = Part::as_drawn(&drawing, &solved).outline().ok()?;
    let meant = outline.translated(written.origin.times(-1.0));
    Some(apart(&made, &meant).max(apart(&meant, &made)))
}

/// A part whose thickness nobody has said, or in which nothing is cut yet, is read
/// with any.
fn completed(text: &str) -> String {
    let mut text = text.replacen("\n# thickness = \"…\"", "\nthickness = \"1 mm\" #", 1);
    if !text.contains("[[feature]]") {
        text.push_str(
            "[[feature]]\nname = \"mark\"\nkind = \"hole\"\ndiameter = \"0.1 mm\"\nplace = [\"datum\"]\n",
        );
    }
    text
}

/// How far the points of one outline lie from the other, at most.
fn apart(one: &Outline, other: &Outline) -> f64 {
    one.segments()
        .iter()
        .flat_map(|segment| (0..6).map(|i| segment.along(f64::from(i) / 6.0)))
        .map(|at| other.distance_mm(at))
        .fold(0.0, f64::max)
}

/// Says what rounding did, and how the part file compares with its source.
pub(super) fn told(report: &mut Report, asked: &Asked) {
    const LISTED: usize = 10;
    let lines: Vec<String> = report
        .rounded
        .iter()
        .take(LISTED)
        .map(|one| format!("{}: {} ({:+.6} mm)", one.name, one.written, one.moved_mm))
        .collect();
    report.rounding = match report.rounded.first() {
        None => vec!["nothing moved: every length is written exactly".into()],
        Some(worst) => {
            let most = worst.moved_mm.abs();
            std::iter::once(format!("{} lengths moved, the most by {most:.6} mm", report.rounded.len()))
                .chain(lines)
                .collect()
        }
    };
    if report.rounded.len() > LISTED {
        report.rounding.push(format!("and {} that moved less", report.rounded.len() - LISTED));
    }
    match report.read_back_mm {
        Some(off) => {
            report.read.push(format!("read back: the part's outline lies within {off:.4} mm of the file's"))
        }
        None => report.questions.push(format!(
            "`{}` could not be held against the file: look at its picture before using it",
            asked.name
        )),
    }
}
