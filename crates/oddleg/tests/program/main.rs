//! The real binary, run as a person runs it.

mod bad_input;
mod examples;
mod json;

use std::path::Path;
use std::process::Output;

use assert_cmd::Command;

/// Runs `oddleg` in a folder.
fn oddleg<S: AsRef<std::ffi::OsStr>>(folder: &Path, words: &[S]) -> Output {
    let mut command = Command::new(assert_cmd::cargo_bin!("oddleg"));
    command.current_dir(folder).args(words).output().expect("the program starts")
}

/// What a run printed on standard output.
fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("only text is printed")
}

/// What a run complained of on standard error.
fn complained(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("only text is printed")
}

#[test]
fn the_version_is_that_of_the_package() {
    let output = oddleg(Path::new("."), &["--version"]);
    assert_eq!(printed(&output), format!("oddleg {}\n", env!("CARGO_PKG_VERSION")));
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn only_a_wrong_command_line_gives_status_2() {
    for line in [&["shelve"][..], &["shelf"], &["reckon", "dial", "3mm"], &["shelf", "drill", "--no"]] {
        let output = oddleg(Path::new("."), line);
        assert_eq!(output.status.code(), Some(2), "{line:?}");
        assert!(complained(&output).contains("Usage: oddleg"), "{line:?}");
    }
}
