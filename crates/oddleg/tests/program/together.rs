//! Every command shows the one choice for the whole project.

use std::fs;
use std::path::Path;

use tempfile::TempDir;

use crate::{oddleg, printed};

const WEB: &str = "part = \"Web\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"40 mm\"\n\
                   height = \"30 mm\"\nthickness = \"8 mm\"\ndatum = \"centre\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\n\
                   finish = \"reamed\"\ndiameter = \"5/16\"\nplace = [\"datum\"]\n[[mate]]\nname = \"pin\"\nin = \"bore\"\n\
                   size = \"5/16\"\nfit = \"sliding\"\nwith = \"Pin: journal\"\n";
const PIN: &str = "part = \"Pin\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n[[feature]]\n\
                   name = \"journal\"\nkind = \"section\"\ndiameter = \"5/16\"\nlength = \"20 mm\"\n[[feature]]\nname = \"collar\"\n\
                   kind = \"section\"\ndiameter = \"16 mm\"\nlength = \"4 mm\"\n";
const BENCH: &str = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\nreamers = [\"5/16 in\"]\n[lathe]\nswing = \"180 mm\"\n\
                     between_centres = \"300 mm\"\nspeeds = [100, 2000]\n[[stock]]\nmaterial = \"mild steel\"\n\
                     flat = [\"8 mm\"]\nround = [\"16 mm\"]\n";

fn project(pin: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("parts")).unwrap();
    for (file, text) in [("parts/web.toml", WEB), ("parts/pin.toml", pin), ("bench.toml", BENCH)] {
        fs::write(folder.path().join(file), text).unwrap();
    }
    folder
}

/// The size of the journal as a command shows it.
fn journal(folder: &Path, words: &[&str]) -> String {
    let text = printed(&oddleg(folder, words));
    let line = text.lines().find(|line| line.trim_start().starts_with("journal: diameter"));
    line.unwrap_or_else(|| panic!("{words:?}: {text}")).to_owned()
}

#[test]
fn one_part_is_chosen_with_the_others_of_its_project_whichever_way_it_is_asked_for() {
    let folder = project(PIN);
    let whole = journal(folder.path(), &["metric", "."]);
    assert!(whole.contains("7.938") || whole.contains("7.9375"), "{whole}");
    assert_eq!(journal(folder.path(), &["metric", "parts/pin.toml"]), whole);
    assert_eq!(journal(&folder.path().join("parts"), &["metric", "pin.toml"]), whole);
    // By itself it would be round.
    fs::remove_file(folder.path().join("parts/web.toml")).unwrap();
    assert!(journal(folder.path(), &["metric", "parts/pin.toml"]).contains("8 mm"));
}

#[test]
fn a_part_that_cannot_be_read_is_said_and_the_others_are_answered() {
    let folder = project(&PIN.replace("\"16 mm\"", "\"16 mn\""));
    for words in [&["metric", "."][..], &["order", "."]] {
        let output = oddleg(folder.path(), words);
        let (out, err) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
        assert_eq!(output.status.code(), Some(1), "{err}");
        assert!(out.contains("Web (") && err.contains("pin.toml"), "{out}\n{err}");
    }
    let output = oddleg(folder.path(), &["metric", "parts/web.toml"]);
    let out = String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(0));
    assert!(out.contains("pin.toml is left out") && out.contains("no part called Pin"), "{out}");
    let json = oddleg(folder.path(), &["metric", ".", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(json["problems"].as_array().map(Vec::len), Some(1), "{json}");
    // Nothing at all can be answered of the part itself.
    assert_eq!(oddleg(folder.path(), &["metric", "parts/pin.toml"]).status.code(), Some(1));
}

#[test]
fn check_of_one_part_holds_it_against_those_it_meets() {
    let folder = project(&PIN.replace("\"5/16\"", "\"3/8\""));
    for part in ["parts/web.toml", "parts/pin.toml"] {
        let output = oddleg(folder.path(), &["check", part]);
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(err.contains("two parts disagree by 1.5875 mm"), "{part}: {err}");
    }
}

/// One part of a project cannot be read: a question about another is answered without it,
/// and what is left out is said. A tool ticked for nothing is said too.
#[test]
fn a_faulty_part_takes_no_answer_down_with_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let parts = folder.path().join("parts");
    std::fs::create_dir(&parts).expect("a folder for parts");
    let plate = "part = \"Plate\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\n\
                 width = \"2\"\nheight = \"1\"\nthickness = \"1/4\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"hole\"\n\
                 kind = \"hole\"\ndiameter = \"3/16\"\nplace = [\"1 from left edge\", \"1/2 from bottom edge\"]\n";
    std::fs::write(parts.join("plate.toml"), plate).expect("it can be written");
    std::fs::write(parts.join("stud.toml"), "part = \"Stud\"\nunit = \"inch\"\n").expect("it can be written");
    let bench = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\nwould_buy = [\"reamer 99 mm H7\"]\n";
    std::fs::write(folder.path().join("bench.toml"), bench).expect("it can be written");
    let asked = ["metric", ".", "--instead", "hole: diameter=5 mm"];
    let told = printed(&oddleg(folder.path(), &asked));
    assert!(told.contains("can be 5 mm"), "{told}");
    assert!(told.contains("left out, and answered without") && told.contains("stud.toml"), "{told}");
    let told = printed(&oddleg(folder.path(), &["metric", "."]));
    assert!(told.contains("`reamer 99 mm H7` would be bought, and nothing chosen here uses it"), "{told}");
    assert!(told.contains("stud.toml has no sizes yet"), "{told}");
}
