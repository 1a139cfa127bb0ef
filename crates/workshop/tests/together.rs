//! Parts of one project chosen as one.

use std::fs;
use std::path::Path;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved, across, read_drawing, solve};
use workshop::measure::{Length, read_length};
use workshop::metric::{Memory, MetricPart, Piece, Proof, metricate, together};
use workshop::problem::Outcome;

fn kittiwake() -> (Bench, Vec<Drawing>) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake");
    let mut files: Vec<_> = fs::read_dir(folder.join("parts")).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    let read = |file: &std::path::PathBuf| {
        let name = file.file_name().unwrap().to_string_lossy();
        read_drawing(&name, &fs::read_to_string(file).unwrap()).unwrap()
    };
    let bench = fs::read_to_string(folder.join("bench.toml")).unwrap();
    (read_bench("bench.toml", &bench).unwrap(), files.iter().map(read).collect())
}

fn solved(parts: &[Drawing]) -> Vec<Solved> {
    parts.iter().map(|part| solve(part).unwrap_or_else(|faults| panic!("{faults:#?}"))).collect()
}

fn chosen(parts: &[Drawing], bench: &Bench) -> Vec<Outcome<MetricPart>> {
    let solved = solved(parts);
    let pieces: Vec<Piece> =
        parts.iter().zip(&solved).map(|(drawing, solved)| Piece { drawing, solved }).collect();
    together(&pieces, bench, &mut Memory::default())
}

/// A bench by its reamers and bars; everything else that the parts below take is there.
fn bench(reamers: &str, rounds: &str) -> Bench {
    let text = format!(
        "drills = [\"1 mm to 13 mm by 0.1 mm\"]\nreamers = [{reamers}]\ntaps = [\"M4\", \"M5\"]\n\
         [lathe]\nswing = \"180 mm\"\nbetween_centres = \"300 mm\"\nspeeds = [100, 2000]\n\
         [[stock]]\nmaterial = \"mild steel\"\nflat = [\"6 mm\", \"8 mm\", \"10 mm\"]\nround = [{rounds}]\n"
    );
    read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// A web with one reamed bore.
fn web(bore: &str, more: &str) -> Drawing {
    part(&format!(
        "part = \"Web\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = \"40 mm\"\nheight = \"30 mm\"\nthickness = \"8 mm\"\ndatum = \"centre\"\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = {bore}\nplace = [\"datum\"]\n{more}"
    ))
}

/// A pin with a journal and a collar.
fn pin(journal: &str, more: &str) -> Drawing {
    part(&format!(
        "part = \"Pin\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"journal\"\nkind = \"section\"\ndiameter = {journal}\nlength = \"20 mm\"\n\
         [[feature]]\nname = \"collar\"\nkind = \"section\"\ndiameter = \"16 mm\"\nlength = \"4 mm\"\n{more}"
    ))
}

fn part(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"))
}

fn mate(in_: &str, size: &str, fit: &str, with: &str) -> String {
    format!(
        "[[mate]]\nname = \"{with}\"\nin = \"{in_}\"\nsize = {size}\nfit = \"{fit}\"\nwith = \"{with}\"\n"
    )
}

/// The size chosen for a dimension.
fn size(part: &MetricPart, drawing: &Drawing, name: &str) -> String {
    let at = drawing.dimensions.iter().position(|d| d.name == name).unwrap_or_else(|| panic!("no {name}"));
    part.dimensions[at].chosen.to_string()
}

fn length(text: &str) -> Length {
    read_length(text, None).unwrap().length
}

fn whole(answers: Vec<Outcome<MetricPart>>) -> Vec<MetricPart> {
    answers.into_iter().map(|answer| answer.unwrap_or_else(|faults| panic!("{faults:#?}"))).collect()
}

#[test]
fn a_pin_is_turned_to_the_hole_that_the_owned_reamer_makes() {
    let bench = bench("\"5/16 in\"", "\"16 mm\"");
    // The web alone takes its owned reamer, the pin alone the round number.
    let drawings =
        [web("\"5/16\"", &mate("bore", "\"5/16\"", "sliding", "Pin: journal")), pin("\"5/16\"", "")];
    let alone: Vec<MetricPart> =
        drawings.iter().map(|part| metricate(part, &solve(part).unwrap(), &bench).unwrap()).collect();
    assert_eq!(size(&alone[0], &drawings[0], "bore: diameter"), "7.9375 mm");
    assert_eq!(size(&alone[1], &drawings[1], "journal: diameter"), "8 mm");
    let both = whole(chosen(&drawings, &bench));
    assert_eq!(size(&both[0], &drawings[0], "bore: diameter"), "7.9375 mm");
    assert_eq!(size(&both[1], &drawings[1], "journal: diameter"), "7.9375 mm");
    assert_eq!(size(&both[0], &drawings[0], "Pin: journal: size"), "7.9375 mm");
    assert!(both.iter().all(|part| part.proof == Proof::Optimal && part.purchases.is_empty()));
}

#[test]
fn both_may_say_the_fit_and_what_is_not_there_is_supposed() {
    let bench = bench("\"8 mm\"", "\"16 mm\"");
    let web = web("\"5/16\"", &mate("bore", "\"5/16\"", "sliding", "Pin: journal"));
    let pin = pin("\"5/16\"", &mate("journal", "\"5/16\"", "sliding", "Web: bore"));
    let both = whole(chosen(&[web.clone(), pin.clone()], &bench));
    assert_eq!(size(&both[0], &web, "bore: diameter"), "8 mm");
    assert_eq!(size(&both[1], &pin, "journal: diameter"), "8 mm");
    let said = |part: &MetricPart| part.assumed.iter().any(|line| line.contains("no part called"));
    assert!(both.iter().all(|part| !said(part)), "{:?}", both[0].assumed);
    let alone = whole(chosen(&[web], &bench));
    assert!(said(&alone[0]), "{:?}", alone[0].assumed);
}

#[test]
fn a_pin_of_one_part_moves_the_other() {
    let bench = bench("\"8 mm\", \"7.9 mm\"", "\"16 mm\"");
    let web = web("\"5/16\"", &mate("bore", "\"5/16\"", "sliding", "Pin: journal"));
    for (pinned, to) in [("\"5/16\"", "8 mm"), ("{ is = \"5/16\", pin = \"7.9 mm\" }", "7.9 mm")] {
        let drawings = [web.clone(), pin(pinned, "")];
        let both = whole(chosen(&drawings, &bench));
        assert_eq!(size(&both[0], &drawings[0], "bore: diameter"), to);
        assert_eq!(size(&both[1], &drawings[1], "journal: diameter"), to);
    }
}

#[test]
fn a_part_that_cannot_be_made_leaves_the_others_standing() {
    let bench = bench("\"8 mm\"", "\"16 mm\"");
    let web = web("\"5/16\"", &mate("bore", "\"5/16\"", "sliding", "Pin: journal"));
    // Nothing holds a journal to a micron round an odd size that is pinned elsewhere.
    let faulty = pin("{ is = \"5/16\", role = \"hold\", within = \"0.001 mm\", pin = \"8.5 mm\" }", "");
    let apart = self::web("\"5/16\"", "");
    let answers = chosen(&[faulty, web.clone(), Drawing { name: "Apart".into(), ..apart }], &bench);
    assert!(answers[0].is_err());
    let web_alone = answers[1].as_ref().unwrap();
    assert_eq!(size(web_alone, &web, "bore: diameter"), "8 mm");
    let said = web_alone.assumed.iter().any(|line| line.contains("Pin cannot be made"));
    assert!(said, "{:?}", web_alone.assumed);
    assert!(answers[2].is_ok());
}

#[test]
fn demands_that_clash_between_two_parts_name_both() {
    let bench = bench("", "\"16 mm\"");
    let held = |is: &str| format!("{{ is = \"{is}\", role = \"hold\", within = \"0.01 mm\" }}");
    let web = web(&held("8 mm"), &mate("bore", "\"8 mm\"", "sliding", "Pin: journal"));
    let pin = pin(&held("8.1 mm"), "");
    let answers = chosen(&[web, pin], &bench);
    for answer in answers {
        let told = answer.expect_err("an 8.1 pin does not slide in an 8 hole")[0].to_string();
        assert!(told.contains("of Web") && told.contains("of Pin"), "{told}");
    }
}

#[test]
fn threads_that_screw_together_are_one_thread_and_both_tools_are_listed() {
    let bench = bench("", "\"16 mm\"");
    let web = |thread: &str| {
        web(
            "\"8 mm\"",
            &format!(
                "[[feature]]\nname = \"screw\"\nkind = \"tapped hole\"\nthread = \"{thread}\"\n\
                 place = [\"12 mm right of datum\", \"level with datum\"]\n\
                 [[screwed]]\nin = \"screw\"\nwith = \"Pin: end\"\n"
            ),
        )
    };
    let end = |thread: &str| {
        pin(
            "\"8 mm\"",
            &format!(
                "[[feature]]\nname = \"end\"\nkind = \"section\"\nthread = {thread}\nlength = \"8 mm\"\n"
            ),
        )
    };
    let both = whole(chosen(&[web("2 BA"), end("\"2 BA\"")], &bench));
    let names: Vec<&str> = both.iter().map(|part| part.threads[0].chosen.designation.as_str()).collect();
    assert_eq!(names, ["M5", "M5"]);
    // The pin keeps its own thread: so must the web, and its tap is to buy.
    let both = whole(chosen(&[web("2 BA"), end("{ is = \"2 BA\", role = \"hold\" }")], &bench));
    let names: Vec<&str> = both.iter().map(|part| part.threads[0].chosen.designation.as_str()).collect();
    assert_eq!(names, ["2 BA", "2 BA"]);
    let buys = |part: &MetricPart, what: &str| part.purchases.iter().any(|buy| buy.what == what);
    assert!(buys(&both[0], "tap 2 BA") && buys(&both[1], "die 2 BA"), "{:?}", both[1].purchases);
    // A pin of the other thread is followed too.
    for (pin, thread) in [("", "M4"), (", pin = \"M5\"", "M5")] {
        let end = end(&format!("{{ is = \"3 BA\"{pin} }}"));
        for part in whole(chosen(&[web("3 BA"), end], &bench)) {
            assert_eq!(part.threads[0].chosen.designation, thread);
        }
    }
}

/// A frame, a bush twice, and a journal that turns between them.
fn float(least: &str, most: &str) -> [Drawing; 3] {
    let frame = part(
        "part = \"Frame\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = \"4\"\nheight = \"2\"\nthickness = \"8 mm\"\ndatum = \"centre\"\n\
         [[feature]]\nname = \"left cheek\"\nkind = \"hole\"\ndiameter = \"6 mm\"\nplace = [\"15/16 left of datum\", \"level with datum\"]\n\
         [[feature]]\nname = \"right cheek\"\nkind = \"hole\"\ndiameter = \"6 mm\"\n\
         place = [\"1 7/8 right of left cheek\", \"level with datum\"]\n",
    );
    let bush = pin(
        "\"8 mm\"",
        "[[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"14 mm\"\nlength = \"1/8\"\n",
    );
    let mut bush = bush;
    bush.name = "Bush".into();
    let shaft = part(&format!(
        "part = \"Shaft\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"turned\"\n[[feature]]\nname = \"journal\"\nkind = \"section\"\ndiameter = \"12 mm\"\nlength = \"1.618\"\n\
         [[feature]]\nname = \"end\"\nkind = \"section\"\ndiameter = \"10 mm\"\nlength = \"1/2\"\n\
         [[chain]]\nname = \"end float\"\nadds = [\"Frame: right cheek: right of left cheek\"]\n\
         less = [\"journal: length\", \"2 × Bush: flange: length\"]\nleast = \"{least}\"\nmost = \"{most}\"\n"
    ));
    [frame, bush, shaft]
}

#[test]
fn a_chain_over_three_parts_holds_exactly_what_is_left() {
    let bench = bench("", "\"16 mm\"");
    // 1 7/8 less 1.618 less twice 1/8 is 0.007 in, 0.18 mm: the round sizes leave more or less.
    for (least, most) in [("0.05 mm", "0.2 mm"), ("0.15 mm", "0.2 mm"), ("0.18 mm", "0.18 mm")] {
        let drawings = float(least, most);
        assert_eq!(across(&drawings), [], "{least}");
        let parts = whole(chosen(&drawings, &bench));
        let sized = |at: usize, name: &str| {
            let place = drawings[at].dimensions.iter().position(|d| d.name == name).unwrap();
            parts[at].dimensions[place].chosen
        };
        let flange = sized(1, "flange: length");
        let left =
            sized(0, "right cheek: right of left cheek") - sized(2, "journal: length") - flange - flange;
        assert!(left >= length(least) && left <= length(most), "{left} for {least} to {most}");
        assert!(parts.iter().all(|part| part.proof == Proof::Optimal));
    }
}

#[test]
fn a_chain_that_the_drawings_break_is_told_with_the_amount() {
    let told: Vec<String> = across(&float("0.2 mm", "0.3 mm")).iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("too small by 0.0222 mm") && told[0].contains("journal: length"), "{}", told[0]);
    let alone = &float("0.05 mm", "0.2 mm")[2..];
    let parts = whole(chosen(alone, &bench("", "\"16 mm\"")));
    assert!(
        parts[0].assumed.iter().any(|line| line.contains("`end float` is not held")),
        "{:?}",
        parts[0].assumed
    );
    assert!(across(alone)[0].to_string().contains("no part of the project is called `Frame`"));
}

#[test]
fn names_in_a_chain_are_told_with_the_nearest() {
    let text = |link: &str, bounds: &str| {
        format!(
            "part = \"Pin\"\nunit = \"mm\"\n[body]\nkind = \"turned\"\n[[feature]]\nname = \"journal\"\n\
             kind = \"section\"\ndiameter = \"8\"\nlength = \"20\"\n[[chain]]\nname = \"room\"\n\
             adds = [\"{link}\"]\n{bounds}\n"
        )
    };
    for (link, bounds, said) in [
        ("journal: lenght", "least = \"1\"", "did you mean `journal: length`?"),
        ("Pin: journal: lenght", "least = \"1\"", "did you mean `journal: length`?"),
        ("jurnal", "least = \"1\"", "no size of this part is called `jurnal`"),
        ("journal: length", "", "does not say what must be left"),
        ("journal: length", "least = \"3\"\nmost = \"2\"", "`least` 3 is more than `most` 2"),
        ("journal: length", "least = \"1 x\"", "`least`"),
    ] {
        let faults = read_drawing("pin.toml", &text(link, bounds)).expect_err(link);
        let told = faults.iter().map(ToString::to_string).collect::<String>();
        assert!(told.contains(said), "{link}: {told}");
    }
    // Within one part the drawing is held to it at once, and so is the choice.
    let part = part(&text("2 × journal: length", "least = \"40\"\nmost = \"40\""));
    assert!(solve(&part).is_ok());
    let off = read_drawing("pin.toml", &text("journal: length", "most = \"19.5\"")).unwrap();
    assert!(solve(&off).unwrap_err()[0].to_string().contains("too large by 0.5 mm"));
}

#[test]
fn the_order_of_the_parts_plays_no_part() {
    let (bench, mut parts) = kittiwake();
    let told = |parts: &[Drawing]| {
        let mut told: Vec<String> = parts
            .iter()
            .zip(chosen(parts, &bench))
            .map(|(part, chosen)| {
                let chosen = chosen.unwrap();
                format!("{} {:?} {:?} {:?}", part.name, chosen.sizes, chosen.purchases, chosen.assumed)
            })
            .collect();
        told.sort();
        told
    };
    let first = told(&parts);
    parts.reverse();
    assert_eq!(told(&parts), first);
    parts.swap(2, 7);
    assert_eq!(told(&parts), first);
}

#[test]
fn parts_that_share_nothing_are_chosen_as_each_alone() {
    // Nothing is to buy: what is bought is shared, and may rightly differ.
    let (bench, parts) = kittiwake();
    let mut compared = 0;
    let solved = solved(&parts);
    let alone: Vec<MetricPart> =
        parts.iter().zip(&solved).map(|(part, solved)| metricate(part, solved, &bench).unwrap()).collect();
    let apart: Vec<Drawing> = parts
        .iter()
        .zip(&alone)
        .filter(|(part, alone)| {
            let tied = part.mates.iter().any(|mate| mate.partner.is_some()) || !part.screwed.is_empty();
            !tied && alone.purchases.is_empty()
        })
        .map(|(part, _)| part.clone())
        .collect();
    for (part, chosen) in apart.iter().zip(chosen(&apart, &bench)) {
        let at = parts.iter().position(|other| other.name == part.name).unwrap();
        assert_eq!(chosen.unwrap().sizes, alone[at].sizes, "{}", part.name);
        compared += 1;
    }
    assert!(compared >= 5, "{compared}");
}
