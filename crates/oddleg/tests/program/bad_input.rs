//! What a person may get wrong: said with file, line, the text, why and how to
//! mend it; exit status 1, no panic.

use std::fs::{self, File};
use std::path::Path;

use serde_json::Value;

use crate::{complained, oddleg, printed};

const LEVER: &str = include_str!("../../../../examples/kittiwake/parts/valve-lever.toml");

/// What must be said.
struct Said {
    /// In the first line: the text at fault.
    what: &'static str,
    /// The file, and the line where there is one.
    place: &'static [&'static str],
    /// In the last line.
    mend: &'static str,
}

/// Runs a command that must fail, and checks what it says, as text and as JSON.
fn refused(folder: &Path, words: &[&str], said: &Said) {
    let output = oddleg(folder, words);
    let text = complained(&output);
    assert_eq!(output.status.code(), Some(1), "{words:?}: {text}{}", printed(&output));
    assert!(!text.contains("panicked"), "{text}");
    assert_eq!(printed(&output), "", "{words:?}");
    let fault = text.split("\n\n").find(|fault| fault.lines().next().is_some_and(|l| l.contains(said.what)));
    let fault = fault.unwrap_or_else(|| panic!("{words:?} should say `{}`:\n{text}", said.what));
    let line = |mark: &str| fault.lines().find_map(|line| line.trim_start().strip_prefix(mark)).unwrap_or("");
    for place in said.place {
        assert!(line("where:").contains(place), "{place} should be in:\n{fault}");
    }
    assert!(line("mend:").contains(said.mend), "{} should be in:\n{fault}", said.mend);

    let output = oddleg(folder, &[words, &["--json"]].concat());
    assert_eq!((output.status.code(), complained(&output).as_str()), (Some(1), ""), "{words:?}");
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    let same = json.as_array().unwrap().iter().any(|problem| {
        let is = |key: &str, mark: &str| problem[key].as_str().unwrap_or("") == line(mark).trim_start();
        is("where", "where:")
            && is("why", "why:")
            && is("mend", "mend:")
            && fault.starts_with(problem["what"].as_str().unwrap())
    });
    assert!(same, "{fault}\nis not in\n{json:#}");
}

#[test]
fn a_spoiled_drawing_is_refused_with_file_line_text_and_remedy() {
    for (was, becomes, said) in [
        (
            "unit = \"inch\"",
            "unit = \"foot\"",
            Said { what: "foot", place: &["lever.toml", "line 4"], mend: "inch" },
        ),
        (
            "unit = \"inch\"\n",
            "",
            Said { what: "`7/16` has no unit", place: &["lever.toml", "line 19"], mend: "unit = " },
        ),
        ("\"5 BA\"", "\"5 BX\"", Said { what: "5 BX", place: &["lever.toml", "line 66"], mend: "7 BA" }),
        (
            "radius = \"9/32\"",
            "radius = \"9/0\"",
            Said { what: "9/0", place: &["lever.toml", "line 26"], mend: "1 3/8" },
        ),
        (
            "[\"17/32 left of rod boss\", \"level with rod boss\"]",
            "[\"17/32 left of rod boss\", \"1 right of pivot boss\", \"level with rod boss\"]",
            Said {
                what: "the drawing disagrees with itself by 7.9375 mm (0.3125 in)",
                place: &["lever.toml", "lines 28, 76"],
                mend: "check each against the drawing",
            },
        ),
        (
            "13/32 left of stop hole\", \"3/32",
            "13/32 left of stop hole\", \"3/4",
            Said {
                what: "`spring anchor` breaks out of the part by",
                place: &["lever.toml", "spring anchor"],
                mend: "check its place",
            },
        ),
        (
            "place = [\"datum\"]",
            "place = [\"datum\"",
            Said { what: "cannot read", place: &["lever.toml", "line"], mend: "key = " },
        ),
    ] {
        let folder = tempfile::tempdir().unwrap();
        assert!(LEVER.contains(was), "{was}");
        fs::write(folder.path().join("lever.toml"), LEVER.replacen(was, becomes, 1)).unwrap();
        refused(folder.path(), &["check", "lever.toml"], &said);
    }
}

#[test]
fn what_is_no_part_file_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(path("empty.toml"), "").unwrap();
    let noise: Vec<u8> = (0..4096_u32).map(|n| (n.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
    fs::write(path("noise.toml"), noise).unwrap();
    fs::write(path("scrawl.toml"), ")(*&^%\n$£@! ]]][[[ = = =\n").unwrap();
    fs::write(path("nul.toml"), "part = \"a\"\nunit\0").unwrap();
    fs::write(path("latin.toml"), b"part = \"a\"\n# \xe9\n").unwrap();
    fs::create_dir(path("bare")).unwrap();
    fs::create_dir_all(path("none/parts")).unwrap();
    for (name, said) in [
        ("empty.toml", Said { what: "the file is empty", place: &["empty.toml"], mend: "oddleg new DIR" }),
        (
            "noise.toml",
            Said { what: "`noise.toml` is not text", place: &["noise.toml", "line 1"], mend: "UTF-8" },
        ),
        (
            "scrawl.toml",
            Said { what: "cannot read `)(*&^%`", place: &["scrawl.toml", "line 1"], mend: "key = " },
        ),
        ("nul.toml", Said { what: "the file is not text", place: &["nul.toml", "line 2"], mend: "TOML" }),
        (
            "latin.toml",
            Said { what: "`latin.toml` is not text", place: &["latin.toml", "line 2"], mend: "UTF-8" },
        ),
        ("bare", Said { what: "`bare` has no parts", place: &["bare"], mend: "oddleg new DIR" }),
        ("none", Said { what: "`none` has no parts", place: &["none"], mend: "oddleg new DIR" }),
        (
            "gone.toml",
            Said { what: "there is no `gone.toml`", place: &["gone.toml"], mend: "check the path" },
        ),
        (
            "empty.toml/x",
            Said {
                what: "cannot read `empty.toml/x`",
                place: &["empty.toml/x"],
                mend: "check that the path",
            },
        ),
    ] {
        refused(folder.path(), &["check", name], &said);
    }
    let folder_for_bench =
        Said { what: "there is no `bare/bench.toml`", place: &["bare/bench.toml"], mend: "" };
    refused(
        folder.path(),
        &["reckon", "reaming", "8mm", "--in", "brass", "--bench", "bare"],
        &folder_for_bench,
    );
}

/// The file is all hole: reading it would still take its full length in memory.
#[test]
fn a_hundred_megabytes_are_refused_unread() {
    let folder = tempfile::tempdir().unwrap();
    File::create(folder.path().join("huge.toml")).unwrap().set_len(100_000_000).unwrap();
    let said = Said { what: "`huge.toml` is 100 MB long", place: &["huge.toml"], mend: "name the TOML file" };
    refused(folder.path(), &["check", "huge.toml"], &said);
}

#[cfg(unix)]
#[test]
fn a_device_is_refused_and_a_link_is_followed() {
    let folder = tempfile::tempdir().unwrap();
    let said = Said { what: "`/dev/zero` is not a file", place: &["/dev/zero"], mend: "name a TOML file" };
    refused(folder.path(), &["check", "/dev/zero"], &said);
    oddleg(folder.path(), &["new", "engine"]);
    std::os::unix::fs::symlink("engine", folder.path().join("link")).unwrap();
    assert_eq!(oddleg(folder.path(), &["check", "link"]).status.code(), Some(0));
}

#[test]
fn a_bench_with_no_drill_near_is_named() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("bench.toml"), "name = \"bare\"\ndrills = [\"10 mm\"]\n").unwrap();
    for words in [
        &["reckon", "tapping", "M3", "--percent", "65", "--bench", "bench.toml"][..],
        &["reckon", "tapping", "M3", "--percent", "65", "--bench", ".", "--in", "brass", "--through", "5mm"],
    ] {
        let place: &[&str] = if words.contains(&".") { &["."] } else { &["bench.toml"] };
        refused(folder.path(), words, &Said { what: "M3", place, mend: "buy" });
    }
}

#[test]
fn a_bad_argument_is_named() {
    for (words, said) in [
        (
            &["shelf", "fit", "12", "running"][..],
            Said { what: "`12` has no unit", place: &["SIZE"], mend: "`12 mm` or `12 in`" },
        ),
        (&["shelf", "fit", "12mm", "Z9/q6"], Said { what: "Z9", place: &[], mend: "choose one of those" }),
        (&["shelf", "thread", "7", "BX"], Said { what: "7 BX", place: &[], mend: "7 BA" }),
        (&["shelf", "thread", "5"], Said { what: "`5`", place: &[], mend: "M3" }),
        (&["shelf", "drill", "43"], Said { what: "43", place: &[], mend: "`No. 43`" }),
        (&["shelf", "material", "cheese"], Said { what: "cheese", place: &[], mend: "choose" }),
        (&["shelf", "taper", "4"], Said { what: "4", place: &[], mend: "`No. 4` or `4 mm`" }),
        (&["shelf", "tolerance", "9000mm"], Said { what: "9000 mm", place: &[], mend: "its own tolerance" }),
        (
            &["reckon", "dial", "3mm", "--pitch", "0mm", "--divisions", "100"],
            Said { what: "lead of the screw", place: &[], mend: "as measured" },
        ),
        (
            &["reckon", "dial", "three", "--pitch", "2mm", "--divisions", "100"],
            Said { what: "`three`", place: &["LENGTH"], mend: "1 3/8" },
        ),
        (
            &["reckon", "position", "--width", "60", "--depth", "2mm", "1mm"],
            Said { what: "`60` has no unit", place: &["--width"], mend: "60 in" },
        ),
        (
            &["reckon", "position", "--width", "60mm", "--depth", "2mm", "1mm"],
            Said { what: "`1mm` as a place", place: &["place 1"], mend: "oil hole" },
        ),
        (
            &["reckon", "tapping", "7 BA", "--percent", "65", "--basis", "sharp vee"],
            Said { what: "7 BA", place: &[], mend: "full depth" },
        ),
        (
            &[
                "reckon",
                "rounded-end",
                "--radius",
                "5mm",
                "--other",
                "50mm",
                "--centres",
                "10mm",
                "--cutter",
                "6mm",
            ],
            Said { what: "one circle lies within the other", place: &[], mend: "check both radii" },
        ),
    ] {
        refused(Path::new("."), words, &said);
    }
}

#[test]
fn a_new_project_is_not_written_over_an_old_one() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(oddleg(folder.path(), &["new", "engine"]).status.code(), Some(0));
    let said = Said {
        what: "bench.toml` is there already",
        place: &["engine/bench.toml"],
        mend: "name another folder",
    };
    refused(folder.path(), &["new", "engine"], &said);
    fs::write(folder.path().join("file"), "").unwrap();
    let said = Said {
        what: "cannot write `file/bench.toml`",
        place: &["file/bench.toml"],
        mend: "a folder that you may write in",
    };
    refused(folder.path(), &["new", "file"], &said);
}
