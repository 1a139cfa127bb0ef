//! Everything that sets a machine can be asked for by itself, and says there what the sheets say.

use std::collections::BTreeSet;
use std::path::Path;

use workshop::assembly::{read_assembly, resolve};
use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::make_list::{Made, make_list};
use workshop::plan::plan;
use workshop::sheet::MakeList;
use workshop::tables::processes::process;

use crate::agree::{BENCH, alike, planned, reckoned, row, section, turned};
use crate::{oddleg, printed};

/// Each module of the settings, and the words that reach it.
const REACHED: &[(&str, &[&str])] = &[
    ("balance", &["balance"]),
    ("boring", &["boring"]),
    ("chain_drilling", &["chain-drilling"]),
    ("change_wheels", &["change-wheels"]),
    ("change_wheels/divided", &["starts"]),
    ("change_wheels/six", &["change-wheels"]),
    ("counterbore", &["counterbore"]),
    ("countersink", &["countersink"]),
    ("curved_slot", &["curved-slot"]),
    ("cutter", &["cutter"]),
    ("cutting/bars", &["saw-off"]),
    ("cutting/plates", &["saw-plate"]),
    ("cutting/weight", &["weight"]),
    ("dividing", &["dividing"]),
    ("drilling", &["drilling"]),
    ("eccentric", &["eccentric"]),
    ("filing_buttons", &["filing-buttons"]),
    ("flank", &["flank"]),
    ("flats", &["flats"]),
    ("force", &["force"]),
    ("handwheel", &["dial"]),
    ("hardening", &["hardening"]),
    ("keyway", &["keyway"]),
    ("knurl", &["knurl"]),
    ("lathe", &["turning", "groove", "shoulders"]),
    // How a left-hand tap or die is turned stands with its thread.
    ("left_hand", &["tapping", "outside-thread"]),
    // What goes on the thread stands with how it is cut.
    ("lubricant", &["outside-thread"]),
    ("measuring/arc", &["rise"]),
    ("measuring/discs", &["discs"]),
    ("measuring/over_pins", &["over-pins"]),
    ("measuring/over_rollers", &["over-rollers", "two-balls"]),
    ("measuring/over_wires", &["over-wires"]),
    ("measuring/protractor", &["protractor"]),
    ("measuring/reading", &["reading"]),
    ("measuring/sine_bar", &["sine-bar"]),
    ("milling", &["milling"]),
    ("outside_thread", &["outside-thread"]),
    ("passes", &["passes"]),
    ("pecking", &["drilling"]),
    ("pitch_circle", &["pitch-circle"]),
    ("plain_buttons", &["filing-buttons"]),
    ("position", &["position"]),
    ("reaming", &["reaming"]),
    ("rotary", &["arc"]),
    ("rotary/overrun", &["arc"]),
    ("rotary/table", &["arc"]),
    ("round_outline", &["round-outline"]),
    ("rounded_end", &["rounded-end"]),
    ("screw_cutting", &["screw-cutting"]),
    ("shrink", &["shrink-heat"]),
    ("slitting", &["slitting"]),
    ("speed", &["speed"]),
    ("split_clamp", &["split-clamp"]),
    ("squaring", &["squaring"]),
    ("starts", &["starts"]),
    ("stepped_curve", &["stepped-curve"]),
    ("stepped_line", &["side"]),
    ("stepped_profile", &["stepped-profile"]),
    ("straight", &["side"]),
    ("tailstock", &["drilling"]),
    ("taper", &["taper-turning"]),
    ("taper_pin", &["taper-pin"]),
    ("taper_way", &["taper-turning"]),
    ("tapping", &["tapping"]),
    ("time", &["time"]),
    ("vice", &["vice"]),
];

/// What only writes numbers down.
const NO_SETTING: [&str; 1] = ["show"];

/// Every module under a folder, without what only gathers or tests.
fn modules(folder: &Path, within: &str, into: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("the settings are there") {
        let path = entry.expect("it can be read").path();
        let name = path.file_stem().expect("it has a name").to_string_lossy().into_owned();
        if path.is_dir() {
            modules(&path, &format!("{within}{name}/"), into);
        } else if name == "mod" && std::fs::read_to_string(&path).expect("text").contains("pub fn ") {
            into.insert(within.trim_end_matches('/').to_owned());
        } else if !["mod", "tests"].contains(&name.as_str()) {
            into.insert(format!("{within}{name}"));
        }
    }
}

#[test]
fn every_setting_has_a_word() {
    let mut found = BTreeSet::new();
    let settings = Path::new(env!("CARGO_MANIFEST_DIR")).join("../workshop/src/settings");
    modules(&settings, "", &mut found);
    let listed: BTreeSet<String> =
        REACHED.iter().map(|(module, _)| *module).chain(NO_SETTING).map(str::to_owned).collect();
    assert_eq!(found, listed, "each module of the settings is listed with its word, and no other");
    let help = printed(&oddleg(Path::new("."), &["reckon", "--help"]));
    for word in REACHED.iter().flat_map(|(_, words)| *words) {
        assert!(help.contains(&format!("\n  {word} ")), "no word `{word}`");
    }
}

/// What is told by another module's figures is told under its word.
#[test]
fn what_has_no_word_of_its_own_stands_under_anothers() {
    for (words, name) in [
        (&["tapping", "M6-LH", "--percent", "65", "--in", "mild steel", "--blind", "10mm"][..], "turn"),
        (&["outside-thread", "M6", "mild steel"], "on the thread"),
        (&["outside-thread", "M6-LH", "mild steel"], "left-handed"),
        (
            &["drilling", "mild steel", "--drill", "3mm", "--deep", "30mm", "--turn", "2.5mm"],
            "out to clear, by the handwheel",
        ),
        (&["filing-buttons", "--diameter", "12mm"], "sight hole"),
        (&["taper-turning", "20mm", "--to", "16mm", "--length", "25mm"], "way"),
        (
            &["filing-buttons", "--diameter", "14mm", "--bore", "5mm", "--thickness", "5mm"],
            "button outside diameter",
        ),
    ] {
        let told = reckoned(words);
        assert!(told.contains_key(name), "{words:?}: {told:?}");
    }
}

/// The minutes of a setup are those that are counted for each of its steps.
#[test]
fn the_order_counts_what_is_reckoned_beside_a_cut() {
    let made = planned(&turned("mild steel", &[&section("a", "diameter = \"14\"", 20)]));
    let line = &made.cover.order[0];
    let known = |step: &String| {
        let work = [("face", "face an end"), ("turn", "turn a section"), ("part off", "part off")];
        work.into_iter().find(|(says, _)| step.starts_with(says)).map(|(_, work)| work)
    };
    let works: Vec<&str> =
        line.steps.iter().map(|step| known(step).unwrap_or_else(|| panic!("{step}"))).collect();
    assert!(works.len() >= 2, "{works:?}");
    let counted = |work: &&str| {
        let told = reckoned(&["time", "20mm", "--overrun", "2mm", "--feed", "50mm", "--work", work]);
        told["the order counts"].trim_end_matches(" min").parse::<u64>().expect("whole minutes")
    };
    assert_eq!(works.iter().map(counted).sum::<u64>(), line.minutes, "{works:?}");
    assert_eq!(counted(&"drill"), process("drill").minutes);
}

/// A side of an outline along a slide stands on the sheet as it does under its word. The datum is the
/// first hole, 10 mm from two sides.
#[test]
fn a_side_is_run_as_the_sheet_has_it() {
    let corners = [(0, 0), (60, 0), (60, 20), (20, 20), (20, 42), (0, 42)];
    let mut text = "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n[body]\n\
                    kind = \"outline\"\nthickness = 6\naround = [\"c1\", \"c2\", \"c3\", \"c4\", \"c5\", \"c6\"]\n"
        .to_owned();
    let place = |x: i32, y: i32| format!("place = [\"{x} right of datum\", \"{y} above datum\"]\n");
    for (n, (x, y)) in (1..).zip(corners) {
        text += &format!("[[feature]]\nname = \"c{n}\"\nkind = \"corner\"\n{}", place(x, y));
    }
    for (n, y) in [(1, 10), (2, 35)] {
        let hole = "kind = \"hole\"\ndiameter = 8\nfinish = \"reamed\"";
        text += &format!("[[feature]]\nname = \"hole {n}\"\n{hole}\n{}", place(10, y));
    }
    let made = planned(&text);
    for (what, from, to, [before, after]) in [
        ("mill c2 to c3", "50 mm, -10 mm", "50 mm, 10 mm", ["open", "open"]),
        ("mill c3 to c4", "50 mm, 10 mm", "10 mm, 10 mm", ["open", "inside"]),
        ("mill c6 to c1", "-10 mm, 32 mm", "-10 mm, -10 mm", ["open", "open"]),
    ] {
        let ends = ["--before", before, "--after", after, "--step", "0.005mm"];
        let told = alike(
            &row(&made, what),
            &[&["side", "--from", from, "--to", to, "--cutter", "10mm"][..], &ends].concat(),
        );
        assert_eq!(told.len(), 3, "{what}: {told:?}");
    }
}

const COLLAR: &str = "part = \"Collar\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n\
    [body]\nkind = \"turned\"\n[[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"40\"\nlength = \"12\"\n\
    [[feature]]\nname = \"bore\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"20\"\nfinish = \"bored\"\n\
    [[mate]]\nname = \"shaft\"\nin = \"bore\"\nsize = \"20\"\nfit = \"shrink\"\nwith = \"Shaft: seat\"\n";

const SHAFT: &str = "part = \"Shaft\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n\
    [body]\nkind = \"turned\"\n[[feature]]\nname = \"seat\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"30\"\n\
    [[feature]]\nname = \"end\"\nkind = \"section\"\ndiameter = \"26\"\nlength = \"20\"\n\
    [[mate]]\nname = \"collar\"\nin = \"seat\"\nsize = \"20\"\nfit = \"shrink\"\nwith = \"Collar: bore\"\n";

fn listed(said: &str) -> MakeList {
    let bench = read_bench("bench.toml", BENCH).expect("it reads");
    let parts = [("collar.toml", COLLAR), ("shaft.toml", SHAFT)]
        .map(|(file, text)| read_drawing(file, text).unwrap_or_else(|faults| panic!("{faults:?}")));
    let read = || read_assembly("assembly.toml", said).unwrap_or_else(|faults| panic!("{faults:?}"));
    let assembly = (!said.is_empty()).then(read);
    let fitting =
        resolve(assembly.as_ref(), &parts.iter().collect::<Vec<_>>(), &[]).expect("the names are there");
    let plans: Vec<_> = parts.iter().map(|part| plan(part, &bench).expect("it is planned")).collect();
    let made: Vec<Made> = parts
        .iter()
        .zip(&plans)
        .map(|(drawing, plan)| Made { drawing, plan: Some(plan), fault: None })
        .collect();
    make_list(&made, &fitting, &bench).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// A shrink fit of 20 mm is at most 0.00175 of it, 0.035 mm (the table of fits).
#[test]
fn a_ring_is_heated_as_the_make_list_has_it() {
    let told = reckoned(&["shrink-heat", "mild steel", "--bore", "20mm", "--over", "0.035mm"]);
    let words = format!(
        "heat Collar to {}, until {} goes into its bore",
        told["heat to"], told["goes into the hot bore"]
    );
    let said =
        "[[join]]\nname = \"collar on\"\nparts = [\"Collar: bore\", \"Shaft: seat\"]\nhow = \"shrunk\"\n";
    for said in ["", said] {
        let list = listed(said);
        let row =
            list.rows.iter().find(|row| row.what.starts_with("Shrink together")).expect("it is shrunk on");
        assert!(row.with.contains(&words), "{} lacks {words}", row.with);
        let whys: Vec<&str> = row.why.because.iter().map(|why| why.statement.as_str()).collect();
        assert!(whys.iter().any(|why| *why == format!("heat to: {}", told["heat to"])), "{whys:?}");
        assert!(list.cautions.iter().any(|caution| caution.contains("tongs")), "{:?}", list.cautions);
    }
}

#[test]
fn a_plug_is_the_one_of_the_make_list() {
    let said = "[[aid]]\nname = \"plug\"\ndesign = \"setting plug\"\nbetween = [\"Shaft: end\", \"centre of Shaft: seat\"]\n\
                distance = \"40 mm\"\n";
    let list = listed(said);
    let told = reckoned(&["setting-plug", "--pin", "26mm", "--distance", "40mm", "--on", "20mm"]);
    let [sheet] = &list.aids[..] else { panic!("{:?}", list.unplanned) };
    let sizes = |name: &str| {
        sheet.sizes.iter().find(|size| size.label().ends_with(name)).map(|size| size.shown.clone())
    };
    for name in ["plug diameter", "bore", "length"] {
        assert_eq!(sizes(name).as_ref(), told.get(name), "{name}");
    }
    let over = told["reads when set"].split(" over").next().expect("a size").to_owned();
    assert!(sizes("reads when set").is_some_and(|words| words.starts_with(&over)), "{:?}", sheet.sizes);
}
