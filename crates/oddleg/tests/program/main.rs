//! The real binary, run as a person runs it.

mod agree;
mod bad_input;
mod cases;
mod choosing;
mod examples;
mod fitting;
mod guarding;
mod json;
mod keeping;
mod open;
mod reached;
mod serving;
mod together;

use std::path::Path;
use std::process::Output;

use assert_cmd::Command;

/// Runs `oddleg` in a folder.
fn oddleg<S: AsRef<std::ffi::OsStr>>(folder: &Path, words: &[S]) -> Output {
    let mut command = Command::new(assert_cmd::cargo_bin!("oddleg"));
    command.current_dir(folder).args(words).output().expect("the program starts")
}

/// A new project, with the files that a command asks for beyond it.
fn engine(folder: &Path, command: &[String]) {
    oddleg(folder, &["new", "engine"]);
    let put = |name: &str, text: &str| {
        std::fs::write(folder.join("engine").join(name), text).expect("the project can be written");
    };
    match command.first().map(String::as_str) {
        Some("motion") => {
            put("mechanism.toml", include_str!("../../../../examples/mechanisms/slide-valve-engine.toml"));
        }
        Some("stack") => put(
            "assembly.toml",
            "[[stack]]\nname = \"end float\"\nadds = [\"journal\"]\nless = [\"bush\"]\nleast = \"0.1 mm\"\n\
             size = [{ name = \"journal\", is = \"12.5 mm\", within = \"0.1 mm\" }, { name = \"bush\", is = \"12.3 mm\", within = \"0.05 mm\" }]\n",
        ),
        _ => {}
    }
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
fn every_part_of_the_demo_project_goes_through_every_command() {
    let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    for command in ["check", "metric", "order"] {
        let output = oddleg(examples, &[command, "kittiwake"]);
        assert_eq!(output.status.code(), Some(0), "{command}: {}", complained(&output));
        for part in ["Gear cover", "Pump bracket", "Valve lever", "Valve spindle"] {
            let heading = format!("\n{part} (kittiwake/parts/");
            assert!(printed(&output).contains(&heading), "{command}: {part}");
        }
    }
}

/// The trap that the demo part is chosen for: nothing can be tapped across a
/// boss that is already slit.
#[test]
fn the_order_of_the_valve_lever_slits_last_and_says_why() {
    let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    let order = printed(&oddleg(examples, &["order", "kittiwake/parts/valve-lever.toml"]));
    let at = |step: &str| order.find(step).unwrap_or_else(|| panic!("no `{step}` in\n{order}"));
    for hand in ["right hand", "left hand"] {
        let slit = at(&format!("  saw clamp slit ({hand})"));
        assert!(at(&format!("  tap clamp screw M3 ({hand})")) < slit);
        assert!(at("  ream pivot bore 8 mm") < slit);
    }
    let traps = &order[at("not to be done early")..];
    assert!(traps.contains("saw clamp slit before tap clamp screw M3"), "{traps}");
}

/// A part that holds pressure keeps its sizes, and the answer says so.
#[test]
fn a_part_that_holds_pressure_is_not_changed() {
    let folder = tempfile::tempdir().unwrap();
    let cover = include_str!("../../../../examples/kittiwake/parts/gear-cover.toml");
    let cover = cover.replacen("material =", "holds_pressure = true\nmaterial =", 1);
    std::fs::write(folder.path().join("cover.toml"), cover).unwrap();
    let output = oddleg(folder.path(), &["metric", "cover.toml"]);
    let printed = printed(&output);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    assert!(printed.contains("kept: holds pressure") && printed.contains("as drawn"), "{printed}");
    assert!(!printed.contains("set on the machine"), "{printed}");
}

#[test]
fn only_a_wrong_command_line_gives_status_2() {
    for line in [&["shelve"][..], &["shelf"], &["reckon", "dial", "3mm"], &["shelf", "drill", "--no"]] {
        let output = oddleg(Path::new("."), line);
        assert_eq!(output.status.code(), Some(2), "{line:?}");
        assert!(complained(&output).contains("Usage: oddleg"), "{line:?}");
    }
}
