//! Earlier states of a file: one folder for each, a numbered file for each state.
//!
//! What a save writes over is kept first. The newest [`NEWEST`] states stay, and
//! so does the very first; when there are more than [`MOST`], the one whose
//! neighbours lie closest together goes, so that the past grows coarser the
//! further back it lies and never ends abruptly.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use web::Earlier;
use workshop::problem::Problem;

use super::write;
use crate::project::{PARTS_FOLDER, read_text};

/// The folder of earlier states in a project.
pub const FOLDER: &str = "earlier";
/// Most states kept of one file.
pub const MOST: usize = 60;
/// How many of the newest are never thinned.
const NEWEST: usize = 20;

/// The file of a state.
pub fn state(folder: &Path, number: u32) -> PathBuf {
    folder.join(format!("{number:05}.toml"))
}

/// Keeps a text as the newest state, unless it is that already.
pub fn keep(folder: &Path, text: &str) -> Result<(), Problem> {
    let numbers = numbers(folder);
    if let Some(newest) = numbers.last()
        && read_text(&state(folder, *newest)).is_ok_and(|kept| kept == text)
    {
        return Ok(());
    }
    let next = numbers.last().map_or(1, |newest| newest.saturating_add(1));
    write::whole(&state(folder, next), text.as_bytes())?;
    for number in surplus(numbers.into_iter().chain([next]).collect()) {
        // One too many is no harm.
        let _ = fs::remove_file(state(folder, number));
    }
    Ok(())
}

/// Which states go, of those there in order.
fn surplus(mut numbers: Vec<u32>) -> Vec<u32> {
    let mut gone = Vec::new();
    while numbers.len() > MOST {
        let between = 1..numbers.len() - NEWEST;
        let closest = between.min_by_key(|&at| numbers[at + 1] - numbers[at - 1]).unwrap_or(1);
        gone.push(numbers.remove(closest));
    }
    gone
}

/// The states in a folder, the latest first.
pub fn listed(folder: &Path) -> Vec<Earlier> {
    let about = |number: u32| {
        let file = state(folder, number);
        let kept = fs::metadata(&file).and_then(|about| about.modified()).ok()?;
        let lines = read_text(&file).ok()?.lines().count();
        Some(Earlier {
            number,
            kept: words(SystemTime::now().duration_since(kept).unwrap_or_default()),
            lines,
        })
    };
    numbers(folder).into_iter().rev().filter_map(about).collect()
}

/// The names of parts that have earlier states.
pub fn parts(project: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(project.join(FOLDER).join(PARTS_FOLDER)) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.flatten().filter_map(|entry| entry.file_name().into_string().ok()).collect();
    names.sort();
    names
}

fn numbers(folder: &Path) -> Vec<u32> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let number = |name: String| name.strip_suffix(".toml")?.parse().ok();
    let mut numbers: Vec<u32> =
        entries.flatten().filter_map(|entry| number(entry.file_name().into_string().ok()?)).collect();
    numbers.sort_unstable();
    numbers
}

/// How long ago, as one would say it.
fn words(ago: Duration) -> String {
    let minutes = ago.as_secs() / 60;
    let count = |number: u64, one: &str, many: &str| match number {
        1 => format!("1 {one} ago"),
        _ => format!("{number} {many} ago"),
    };
    match minutes {
        0 => "just now".into(),
        1..60 => count(minutes, "minute", "minutes"),
        60..1440 => count(minutes / 60, "hour", "hours"),
        _ => count(minutes / 1440, "day", "days"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A thousand saves: never more than the most, the first and the newest all
    /// there, and no gap wider than what has gone by since.
    #[test]
    fn the_past_grows_coarser_and_keeps_its_beginning() {
        let mut numbers = Vec::new();
        for next in 1..=1000_u32 {
            numbers.push(next);
            for gone in surplus(numbers.clone()) {
                numbers.retain(|&number| number != gone);
            }
            assert!(numbers.len() <= MOST);
            assert_eq!((numbers[0], numbers[numbers.len() - 1]), (1, next));
            let newest: Vec<u32> = (next.saturating_sub(NEWEST as u32 - 1).max(1)..=next).collect();
            assert!(numbers.ends_with(&newest), "{numbers:?}");
            assert!(numbers.windows(2).all(|pair| pair[1] - pair[0] <= (next / 20).max(1)), "{numbers:?}");
        }
    }

    #[test]
    fn a_while_ago_is_said_in_words() {
        let said = |seconds| words(Duration::from_secs(seconds));
        assert_eq!(
            [said(5), said(60), said(7200), said(90_000)],
            ["just now", "1 minute ago", "2 hours ago", "1 day ago"]
        );
    }
}
