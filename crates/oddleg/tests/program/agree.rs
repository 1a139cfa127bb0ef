//! A setting is one number: what `reckon` says of an input is what the sheet says of it.
//!
//! Each case is a part, a row of its sheet and the words that reckon the same by themselves; every figure of the
//! row that both name has to read alike, and so many do.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::Value;
use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::why::Figure;

use crate::oddleg;

pub const BENCH: &str = r#"
name = "Trial"
edge_finder = "10 mm"
drills = ["1 mm to 13 mm by 0.1 mm"]
reamers = ["8 mm H7", "10 mm H7"]
taper_reamers = ["4 mm"]
taps = ["M6"]
dies = ["M6"]
instruments = ["caliper to 150 mm by 0.02 mm", "micrometer 0 to 25 mm by 0.01 mm"]
[mill]
speeds = [90, 180, 340, 600, 1000, 1500, 2200]
readout_step = "0.005 mm"
[lathe]
speeds = [60, 110, 190, 320, 560, 900, 1600]
swing = "180 mm"
between_centres = "350 mm"
dial_step = "0.02 mm"
dial_reads = "diameter"
leadscrew = "3 mm"
change_wheels = [20, 25, 30, 35, 40, 45, 50, 55, 60, 65]
top_slide = "60 mm"
set_over = "10 mm"
tailstock_pitch = "2.5 mm"
tailstock_divisions = 50
[rotary_table]
ratio = 72
reads = "1'"
scale_grows = "clockwise"
[[end_mill]]
diameter = "10 mm"
flute = "22 mm"
teeth = 4
[[stock]]
material = "mild steel"
round = ["12 mm", "16 mm", "20 mm", "25 mm", "40 mm"]
[[stock]]
material = "silver steel"
round = ["12 mm"]
"#;

const LATHE_SPEEDS: [&str; 2] = ["--speeds", "60,110,190,320,560,900,1600"];
const DIAL: [&str; 4] = ["--division", "0.02mm", "--dial", "diameter"];

pub fn turned(material: &str, features: &[&str]) -> String {
    let head = format!("part = \"Part\"\nunit = \"mm\"\nmaterial = \"{material}\"\nusual_roles = true\n");
    let end = if material == "silver steel" { "harden = \"straw\"\n" } else { "" };
    let features: String = features.iter().map(|one| format!("[[feature]]\n{one}\n")).collect();
    format!("{head}{end}[body]\nkind = \"turned\"\n{features}")
}

pub fn section(name: &str, size: &str, length: u32) -> String {
    format!("name = \"{name}\"\nkind = \"section\"\n{size}\nlength = \"{length}\"")
}

pub fn planned(text: &str) -> Plan {
    let bench = read_bench("bench.toml", BENCH).unwrap_or_else(|faults| panic!("{faults:?}"));
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
    plan(&drawing, &bench).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"))
}

/// What a row of the sheet sets, by its names; or what the setup of such a row has set once.
pub fn row(made: &Plan, what: &str) -> BTreeMap<String, String> {
    let setups = made.setups.iter();
    let found = setups.flat_map(|setup| setup.rows.iter().map(move |row| (setup, row)));
    let (setup, row) = found
        .into_iter()
        .find(|(_, row)| row.what.starts_with(what))
        .unwrap_or_else(|| panic!("no `{what}`"));
    let own = row.sets.iter().chain(&row.depth).chain(&row.check).chain(&row.speed);
    let named = |figure: &Figure| (figure.label().to_owned(), figure.shown.clone());
    setup.presets.iter().chain(own).map(named).collect()
}

/// What `reckon` answers, by its names.
pub fn reckoned(words: &[&str]) -> BTreeMap<String, String> {
    let all: Vec<&str> = ["reckon"].into_iter().chain(words.iter().copied()).chain(["--json"]).collect();
    let output = oddleg(Path::new("."), &all);
    let json: Value = serde_json::from_slice(&output.stdout).unwrap_or_else(|fault| {
        panic!("{words:?}: {fault}: {}", String::from_utf8_lossy(&output.stderr));
    });
    let sections = json["sections"].as_array().into_iter().flatten();
    let figures = sections.flat_map(|section| section["figures"].as_array().into_iter().flatten());
    let text = |figure: &Value, key: &str| figure[key].as_str().unwrap_or_default().to_owned();
    figures.map(|figure| (text(figure, "name"), text(figure, "shown"))).collect()
}

/// The names that both have must read alike; how many those are.
pub fn alike(sheet: &BTreeMap<String, String>, words: &[&str]) -> Vec<String> {
    let reckoned = reckoned(words);
    let both: Vec<&String> = sheet.keys().filter(|name| reckoned.contains_key(*name)).collect();
    for name in &both {
        // A sheet gives the minutes alone where a scale is read in them.
        let minutes = reckoned[*name].ends_with(&format!("({})", sheet[*name]));
        assert!(
            minutes || sheet[*name] == reckoned[*name],
            "{words:?}: {name}: {} and {}",
            sheet[*name],
            reckoned[*name]
        );
    }
    both.into_iter().cloned().collect()
}

#[test]
fn reckon_says_what_the_sheet_says() {
    let stepped = planned(&turned(
        "mild steel",
        &[
            &section("a", "diameter = \"8\"", 12),
            &section("b", "diameter = \"14\"", 20),
            &section("c", "diameter = \"18\"", 9),
            "name = \"g\"\nkind = \"groove\"\ndiameter = \"11\"\nwidth = \"3\"\nplace = [\"20 right of left end\"]",
            "name = \"oil\"\nkind = \"tapped hole\"\nface = \"right\"\nthread = \"M6\"\ndepth = \"14\"",
        ],
    ));
    let taper = planned(&turned(
        "mild steel",
        &[&section("a", "diameter = \"20\"\ntapers_to = \"16\"", 25), &section("b", "diameter = \"24\"", 15)],
    ));
    let thrown = planned(&turned(
        "mild steel",
        &[
            &section("a", "diameter = \"12\"", 20),
            &section("e", "diameter = \"26\"\noffset = \"3\"\noffset_at = \"0°\"", 8),
            &section("c", "diameter = \"12\"", 20),
        ],
    ));
    let threaded = planned(&turned(
        "mild steel",
        &[&section("s", "thread = \"M10x1\"", 12), &section("b", "diameter = \"16\"", 20)],
    ));
    let pulley = planned(&turned(
        "mild steel",
        &[
            &section("rim", "diameter = \"40\"", 12),
            "name = \"bore\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"10\"\nfinish = \"reamed\"",
            "name = \"key\"\nkind = \"keyway\"\nin = \"bore\"\nwidth = \"3\"\ndepth = \"1.4\"",
        ],
    ));
    let knob = planned(&turned(
        "mild steel",
        &[
            &section("stem", "diameter = \"8\"", 10),
            &section("head", "diameter = \"23\"", 14),
            "name = \"grip\"\nkind = \"knurl\"\nover = \"head\"\npitch = \"0.8\"\npattern = \"diamond\"",
        ],
    ));
    let spindle = planned(&turned(
        "mild steel",
        &[
            &section("stem", "diameter = \"12\"", 50),
            &section("head", "diameter = \"18\"", 8),
            "name = \"way\"\nkind = \"flats\"\nacross = \"10\"\ncount = 2\nlength = \"10\"\nplace = [\"0 right of left end\"]",
        ],
    ));
    let hard = planned(&turned("silver steel", &[&section("a", "diameter = \"12\"", 20)]));
    let cases: Vec<(&Plan, &str, Vec<&str>, usize)> = vec![
        (&stepped, "turn b 14", [&["turning", "14mm", "--from", "18mm"][..], &DIAL[..]].concat(), 3),
        (&stepped, "groove g", [&["groove", "11mm", "--from", "14mm"][..], &DIAL[..]].concat(), 1),
        (
            &stepped,
            "drill oil",
            [
                &[
                    "drilling",
                    "mild steel",
                    "--drill",
                    "5.2mm",
                    "--deep",
                    "16.8mm",
                    "--turn",
                    "2.5mm",
                    "--marks",
                    "50",
                ][..],
                &LATHE_SPEEDS[..],
            ]
            .concat(),
            4,
        ),
        (&taper, "turn a from", vec!["taper-turning", "20mm", "--to", "16mm", "--length", "25mm"], 3),
        (&thrown, "turn e", vec!["eccentric", "3mm", "--gripped", "40mm"], 1),
        (
            &threaded,
            "cut the thread of s",
            vec![
                "change-wheels",
                "M10x1",
                "--leadscrew",
                "3mm",
                "--wheels",
                "20,25,30,35,40,45,50,55,60,65",
                "--engaged",
                "12mm",
            ],
            3,
        ),
        (
            &threaded,
            "cut the thread of s",
            vec!["screw-cutting", "M10x1", "--first", "0.2mm", "--step", "0.02mm", "--dial", "diameter"],
            1,
        ),
        (
            &threaded,
            "cut the thread of s",
            [&["outside-thread", "M10x1", "mild steel", "--tool", "--shoulder"][..], &LATHE_SPEEDS[..]]
                .concat(),
            3,
        ),
        (
            &pulley,
            "plane key",
            [&["keyway", "3mm", "--bore", "10mm", "--depth", "1.4mm"][..], &DIAL[..]].concat(),
            4,
        ),
        (&knob, "knurl", vec!["knurl", "23mm", "--pitch", "0.8mm", "--pattern", "diamond"], 3),
        (&spindle, "mill way", vec!["flats", "10mm", "--round", "12mm", "--count", "2"], 1),
        (&hard, "harden", vec!["hardening", "silver steel", "--thickest", "12mm", "--temper", "straw"], 3),
    ];
    for (made, what, words, at_least) in cases {
        let told = alike(&row(made, what), &words);
        assert!(told.len() >= at_least, "{words:?} and `{what}` have only {told:?} in common");
    }
}

/// The passes of a thread stand on one line of the sheet, each on its own line of `reckon`.
#[test]
fn the_passes_of_a_thread_are_the_same() {
    let made = planned(&turned(
        "mild steel",
        &[&section("s", "thread = \"M10x1\"", 12), &section("b", "diameter = \"16\"", 20)],
    ));
    let line = row(&made, "cut the thread of s")["passes, dial from a touch"].clone();
    let each =
        reckoned(&["screw-cutting", "M10x1", "--first", "0.2mm", "--step", "0.02mm", "--dial", "diameter"]);
    let count = line.split(", ").count();
    let passes: Vec<String> = (1..=count)
        .map(|n| each[&format!("pass {n}")].trim_start_matches("dial ").trim_end_matches(" mm").to_owned())
        .collect();
    assert_eq!(line.trim_end_matches(" mm"), passes.join(", "));
    assert!(!each.contains_key(&format!("pass {}", count + 1)), "{line}");
}

/// What a measurement has to read stands on the inspection sheet.
#[test]
fn a_reading_is_the_one_of_the_inspection_sheet() {
    let made = planned(&turned("mild steel", &[&section("a", "diameter = \"14\"", 20)]));
    let rows = &made.inspection.rows;
    let row = rows.iter().find(|row| row.what.contains("diameter")).expect("it is measured");
    let by = ["reading", "14mm", "--within", "0.5mm", "--with", "caliper to 150 mm by 0.02 mm"];
    assert_eq!(row.reading.shown, reckoned(&by)["should read"], "{row:?}");
}
