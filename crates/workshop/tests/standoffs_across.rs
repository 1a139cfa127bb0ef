//! Parts of one project that cannot go together: what stands between them, and the ways
//! out, each carried out on the files of all of them.

use std::collections::BTreeMap;

use workshop::bench::read_bench;
use workshop::drawing::{Drawing, Solved, read_drawing, solve};
use workshop::edit;
use workshop::metric::{Edit, Memory, Piece, Standoff, WayOut, all_can_be_had, standoffs_among, together};
use workshop::problem::Problem;

const BENCH: &str = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\nreamers = [\"8 mm\"]\ntaps = [\"M4\", \"M5\"]\n\
    [lathe]\nswing = \"180 mm\"\nbetween_centres = \"300 mm\"\nspeeds = [100, 2000]\n\
    [[stock]]\nmaterial = \"mild steel\"\nflat = [\"6 mm\", \"8 mm\", \"10 mm\"]\nround = [\"16 mm\"]\n";

type Texts = BTreeMap<String, String>;

fn shown(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn read(texts: &Texts) -> Vec<(Drawing, Solved)> {
    let read = |(file, text): (&String, &String)| {
        let drawing = read_drawing(file, text).unwrap_or_else(|f| panic!("{}\n{text}", shown(&f)));
        let solved = solve(&drawing).unwrap_or_else(|f| panic!("{}\n{text}", shown(&f)));
        (drawing, solved)
    };
    texts.iter().map(read).collect()
}

fn pieces(parts: &[(Drawing, Solved)]) -> Vec<Piece<'_>> {
    parts.iter().map(|(drawing, solved)| Piece { drawing, solved }).collect()
}

/// A web with a bore of 8 mm and a screw of 3 BA beside it.
fn web(bore: &str, thread: &str, more: &str) -> (String, String) {
    let text = format!(
        "part = \"Web\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = \"40 mm\"\nheight = \"30 mm\"\nthickness = \"8 mm\"\ndatum = \"centre\"\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = {bore}\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"screw\"\nkind = \"tapped hole\"\nthread = {thread}\n\
         place = [\"12 mm right of datum\", \"level with datum\"]\n{more}"
    );
    ("web.toml".into(), text)
}

/// A pin with a journal, a collar and a screwed end.
fn pin(journal: &str, thread: &str, more: &str) -> (String, String) {
    let text = format!(
        "part = \"Pin\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"journal\"\nkind = \"section\"\ndiameter = {journal}\nlength = \"20 mm\"\n\
         [[feature]]\nname = \"collar\"\nkind = \"section\"\ndiameter = \"16 mm\"\nlength = \"4 mm\"\n\
         [[feature]]\nname = \"end\"\nkind = \"section\"\nthread = {thread}\nlength = \"8 mm\"\n{more}"
    );
    ("pin.toml".into(), text)
}

fn mate(in_: &str, size: &str, fit: &str, with: &str) -> String {
    format!(
        "[[mate]]\nname = \"{with}\"\nin = \"{in_}\"\nsize = \"{size}\"\nfit = \"{fit}\"\nwith = \"{with}\"\n"
    )
}

fn held(is: &str) -> String {
    format!("{{ is = \"{is}\", role = \"hold\", within = \"0.01 mm\" }}")
}

/// Every project here whose parts cannot go together.
fn stuck() -> Vec<(&'static str, Texts)> {
    let sliding = || mate("bore", "8 mm", "sliding", "Pin: journal");
    let back = || mate("journal", "8 mm", "sliding", "Web: bore");
    let screwed = "[[screwed]]\nin = \"screw\"\nwith = \"Pin: end\"\n";
    let chain = "[[chain]]\nname = \"float\"\nadds = [\"Web: body: thickness\"]\nless = [\"collar: length\"]\n\
                 least = \"3.9 mm\"\nmost = \"4 mm\"\n";
    vec![
        ("held sizes", [web(&held("8 mm"), "\"M4\"", &sliding()), pin(&held("8.1 mm"), "\"M4\"", "")].into()),
        (
            "pinned sizes",
            [
                web("{ is = \"8 mm\", pin = \"8 mm\" }", "\"M4\"", &sliding()),
                pin("{ is = \"8 mm\", pin = \"8.5 mm\" }", "\"M4\"", ""),
            ]
            .into(),
        ),
        // 8.03 in 8 mm: a running fit, said to be sliding in both files.
        (
            "fits in both files",
            [
                web("{ is = \"8 mm\", made = \"8.025 mm\" }", "\"M4\"", &sliding()),
                pin("{ is = \"8 mm\", made = \"7.995 mm\" }", "\"M4\"", &back()),
            ]
            .into(),
        ),
        (
            "screwed pair",
            [
                web("\"8 mm\"", "{ is = \"3 BA\", pin = \"M4\" }", screwed),
                pin("\"8 mm\"", "{ is = \"3 BA\", role = \"hold\" }", ""),
            ]
            .into(),
        ),
        (
            "chain",
            [web("\"8 mm\"", "\"M4\"", "").clone(), pin("\"8 mm\"", "\"M4\"", chain)]
                .map(|(file, text)| {
                    let text = text
                        .replace("thickness = \"8 mm\"", "thickness = { is = \"8 mm\", made = \"8.3 mm\" }")
                        .replace("length = \"4 mm\"", "length = { is = \"4 mm\", within = \"0.1 mm\" }");
                    (file, text)
                })
                .into(),
        ),
    ]
}

/// The sets as each part sees them.
fn found(texts: &Texts) -> Vec<Vec<Standoff>> {
    let parts = read(texts);
    let bench = read_bench("bench.toml", BENCH).expect("the bench reads");
    (0..parts.len())
        .map(|which| standoffs_among(&pieces(&parts), which, &bench, &mut Memory::new()))
        .collect()
}

/// The files with a way out gone, as seen from one of them.
fn gone(texts: &Texts, own: &str, way: &WayOut) -> (Texts, String) {
    let (mut texts, mut owned) = (texts.clone(), BENCH.to_owned());
    for step in &way.edits {
        let (file, change) = match step {
            Edit::Part(change) => (own, change),
            Edit::Other { file, change, .. } => (file.as_str(), change),
            Edit::Bench(change) => {
                owned = edit::change(&owned, change).expect("the bench can be changed");
                continue;
            }
        };
        let changed = edit::change(&texts[file], change).expect("the file can be changed");
        texts.insert(file.to_owned(), changed);
    }
    (texts, owned)
}

#[test]
fn every_way_out_between_parts_can_be_gone_at_the_price_told() {
    for (name, texts) in stuck() {
        let seen = found(&texts);
        let files: Vec<&String> = texts.keys().collect();
        for (file, sets) in files.iter().zip(&seen) {
            assert_eq!(sets.len(), 1, "{name}, {file}: {sets:#?}");
            assert!(!sets[0].ways_out.is_empty(), "{name}, {file}: {sets:#?}");
            for way in &sets[0].ways_out {
                let (changed, owned) = gone(&texts, file, way);
                let bench = read_bench("bench.toml", &owned).expect("the bench reads");
                let parts = read(&changed);
                let made: Vec<_> = together(&pieces(&parts), &bench, &mut Memory::new())
                    .into_iter()
                    .map(|part| part.unwrap_or_else(|f| panic!("{name}, {}: {}", way.advice, shown(&f))))
                    .collect();
                let mut buys: Vec<String> =
                    made.iter().flat_map(|part| &part.purchases).map(|buy| buy.what.clone()).collect();
                buys.sort();
                buys.dedup();
                assert_eq!(buys, way.buys, "{name}, {}", way.advice);
                for (of, size) in &way.brings {
                    let (of, part) = of.rsplit_once(" of ").expect("whose it is is said");
                    let at = parts.iter().position(|(drawing, _)| drawing.name == part).expect("it is there");
                    let drawing = &parts[at].0;
                    let chosen = match drawing.dimensions.iter().position(|d| d.name == of) {
                        Some(id) => format!("{} mm", made[at].dimensions[id].chosen.shown(3)),
                        None => {
                            let id = drawing.threads.iter().position(|t| t.name == of).expect("a thread");
                            made[at].threads[id].chosen.designation.clone()
                        }
                    };
                    assert_eq!(*size, chosen, "{name}, {}: {of}", way.advice);
                }
            }
        }
    }
}

#[test]
fn both_parts_are_told_the_same_and_each_demand_is_needed() {
    let bench = read_bench("bench.toml", BENCH).expect("the bench reads");
    for (name, texts) in stuck() {
        let seen = found(&texts);
        let advice = |sets: &[Standoff]| -> Vec<String> {
            sets.iter().flat_map(|set| &set.ways_out).map(ToString::to_string).collect()
        };
        assert_eq!(advice(&seen[0]), advice(&seen[1]), "{name}");
        let parts = read(&texts);
        let set = &seen[0][0];
        assert!(set.least, "{name}");
        assert_eq!(all_can_be_had(&pieces(&parts), &bench, &[]), Some(false), "{name}");
        // What both files say goes by two names: then one of them alone is no way out.
        if name == "fits in both files" {
            continue;
        }
        for demand in &set.demands {
            let without = all_can_be_had(&pieces(&parts), &bench, &[&demand.name]);
            assert_eq!(without, Some(true), "{name}: {}", demand.name);
        }
        // The commands print the same.
        for (answer, sets) in together(&pieces(&parts), &bench, &mut Memory::new()).iter().zip(&seen) {
            let faults = answer.as_ref().expect_err("they cannot go together");
            let told = shown(faults);
            assert!(told.contains("go together") && told.contains(&sets[0].ways_out[0].advice), "{told}");
        }
    }
}

#[test]
fn every_kind_of_way_out_between_parts_comes_up() {
    let all: BTreeMap<&str, Vec<String>> = stuck()
        .iter()
        .map(|(name, texts)| {
            let sets = found(texts).remove(0);
            let ways = sets.into_iter().flat_map(|set| set.ways_out);
            (*name, ways.map(|way| way.to_string()).collect())
        })
        .collect();
    for (name, words) in [
        ("held sizes", "allow `journal: diameter` of Pin"),
        ("pinned sizes", "take back the pin of `bore: diameter` of Web"),
        ("pinned sizes", "take back the pin of `journal: diameter` of Pin"),
        ("fits in both files", "make the fit of `Web: bore` of Pin and `Pin: journal` of Web running"),
        ("screwed pair", "take back the pin of `screw: thread` of Web"),
        ("screwed pair", "let `end: thread` of Pin be another (`role = \"suit\"`): it would be M4"),
        ("chain", "let `float` of Pin leave as much as"),
    ] {
        let ways = &all[name];
        let either = words.replace(
            "`Web: bore` of Pin and `Pin: journal` of Web",
            "`Pin: journal` of Web and `Web: bore` of Pin",
        );
        let has = ways.iter().any(|way| way.starts_with(words) || way.starts_with(&either));
        assert!(has, "{name}: no `{words}` in {ways:#?}");
    }
}

/// What is asked for is no way out of itself, and is not said to stand in the file.
#[test]
fn what_is_asked_for_is_not_advised_to_be_taken_back() {
    use workshop::metric::instead;
    let texts: Texts = [
        web("\"8 mm\"", "\"M4\"", &mate("bore", "8 mm", "sliding", "Pin: journal")),
        pin(&held("8 mm"), "\"M4\"", ""),
    ]
    .into();
    let parts = read(&texts);
    let bench = read_bench("bench.toml", BENCH).expect("the bench reads");
    let ask = |name: &str, size: &str| {
        let which =
            parts.iter().position(|(drawing, _)| drawing.size_named(name).is_some()).expect("it is there");
        let faults = instead(&pieces(&parts), which, name, size, &bench, &mut Memory::new());
        shown(&faults.map(|follows| follows.to_string()).expect_err("it cannot be had"))
    };
    for told in
        [ask("bore: diameter", "8.5 mm"), ask("bore: diameter", "19 mm"), ask("journal: diameter", "9 mm")]
    {
        assert!(!told.contains("take back the pin") && !told.contains("pinned"), "{told}");
    }
    let told = ask("bore: diameter", "8.5 mm");
    assert!(
        told.contains("is asked to be 8.5 mm") && told.contains("allow `journal: diameter` of Pin"),
        "{told}"
    );
    // A part beside it that cannot be made is left out, and said.
    let mut faulty = texts.clone();
    let (file, text) =
        pin("{ is = \"8 mm\", role = \"hold\", within = \"0.001 mm\", pin = \"8.5 mm\" }", "\"M4\"", "");
    faulty.insert(file, text);
    let parts = read(&faulty);
    let which = parts.iter().position(|(drawing, _)| drawing.name == "Web").expect("it is there");
    let follows = instead(&pieces(&parts), which, "bore: diameter", "8.5 mm", &bench, &mut Memory::new())
        .expect("it can be had alone");
    assert_eq!(follows.left_out.len(), 1);
    assert!(follows.left_out[0].starts_with("Pin: "), "{:?}", follows.left_out);
}
