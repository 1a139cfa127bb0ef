//! Writing a file so that it is whole at every moment.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, SystemTime};

use workshop::problem::Problem;

/// What a file is called until it is whole.
const UNFINISHED: &str = ".unfinished";
/// An unfinished file this old was left behind by a program that was killed.
const LEFT_BEHIND: Duration = Duration::from_secs(3600);

/// Writes a whole file: beside it first, then in its place. Killed at any moment,
/// the old file or the new one is there.
pub fn whole(file: &Path, bytes: &[u8]) -> Result<(), Problem> {
    let beside = unfinished(file);
    let done = write_beside(&beside, file, bytes).and_then(|()| fs::rename(&beside, file));
    if let Err(fault) = done {
        // The first fault is the one to tell.
        let _ = fs::remove_file(&beside);
        return Err(not_written(file, &fault));
    }
    let folder = file.parent().unwrap_or(Path::new("."));
    settle(folder);
    sweep(folder);
    Ok(())
}

fn write_beside(beside: &Path, file: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut made = OpenOptions::new().write(true).create_new(true).open(beside)?;
    if let Ok(old) = fs::metadata(file) {
        made.set_permissions(old.permissions())?;
    }
    made.write_all(bytes)?;
    made.sync_all()
}

/// Makes what a folder lists outlast a loss of power. Not every system can; the
/// files themselves are whole either way.
pub fn settle(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// A name beside a file that no other writer has.
fn unfinished(file: &Path) -> PathBuf {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!(".{name}.{}-{count}{UNFINISHED}", std::process::id()))
}

/// Clears away what a killed program left unfinished long ago.
fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if !(name.starts_with('.') && name.ends_with(UNFINISHED)) {
            continue;
        }
        let changed = entry.metadata().and_then(|about| about.modified());
        let age = changed.ok().and_then(|changed| SystemTime::now().duration_since(changed).ok());
        if age.is_some_and(|age| age > LEFT_BEHIND) {
            // One that cannot be cleared is in nobody's way.
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// A file that cannot be written.
pub fn not_written(file: &Path, fault: &io::Error) -> Problem {
    Problem::new(format!("cannot write `{}`", file.display()))
        .at(file.display().to_string())
        .why(fault.to_string())
        .mend("see that the disk has room and that you may write in the folder")
}
