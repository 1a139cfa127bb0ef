//! Sums across parts, against hand sums and the crate that reckons them.

use std::num::NonZeroUsize;

use proptest::prelude::*;
use workshop::assembly::read_assembly;
use workshop::bench::empty_bench;
use workshop::drawing::{Drawing, read_drawing, solve};
use workshop::measure::Length;
use workshop::metric::{Memory, MetricPart, Piece, some_together};
use workshop::problem::Problem;
use workshop::stack::{Draws, Held, Told, Which, stacks};

fn draws(samples: u64) -> Draws {
    Draws { samples, seed: 1, threads: NonZeroUsize::new(2).expect("two") }
}

/// A turned part of plain sections: name, diameter, length of each.
fn turned(part: &str, sections: &[(&str, &str, &str)], more: &str) -> Drawing {
    let mut text = format!(
        "part = \"{part}\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\ngeneral_tolerance = \"medium\"\n\
         [body]\nkind = \"turned\"\n"
    );
    for (name, diameter, length) in sections {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"section\"\ndiameter = {diameter}\nlength = {length}\n"
        );
    }
    text += more;
    read_drawing(&format!("{part}.toml"), &text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The metric parts of drawings, on a bench that owns nothing.
fn metric(drawings: &[Drawing]) -> Vec<MetricPart> {
    let solved: Vec<_> = drawings.iter().map(|drawing| solve(drawing).expect("the drawing holds")).collect();
    let pieces: Vec<Piece> =
        drawings.iter().zip(&solved).map(|(drawing, solved)| Piece { drawing, solved }).collect();
    let all = some_together(&pieces, |_| true, &empty_bench(), &mut Memory::new());
    all.into_iter().map(|one| one.expect("the part can be made").expect("it was asked for")).collect()
}

fn told(drawings: &[Drawing], metric: Option<&[MetricPart]>, said: &str) -> (Vec<Told>, Vec<Problem>) {
    let assembly = read_assembly("assembly.toml", said).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let held: Vec<Held> = drawings
        .iter()
        .enumerate()
        .map(|(at, drawing)| Held { drawing, metric: metric.map(|all| &all[at]) })
        .collect();
    stacks(&held, Some(&assembly), draws(20_000))
}

fn spindle() -> Drawing {
    turned(
        "Spindle",
        &[("head", "20", "5"), ("journal", "10", "{ is = \"40\", role = \"hold\", within = \"0.1\" }")],
        "",
    )
}

/// "Bore depth less spacer, ring and shoulder" of a public article: 40 ± 0.1, 25 ± 0.05,
/// 2 ± 0.03, 10 ± 0.05 leave 3.00 ± 0.23, or ± 0.1261 by the root of the sum of squares.
#[test]
fn a_gap_over_a_part_and_bought_things() {
    let said = "[[stack]]\nname = \"gap\"\nadds = [\"Spindle: journal: length\"]\nless = [\"spacer\", \"ring\", \"shoulder\"]\n\
                size = [{ name = \"spacer\", is = \"25 mm\", within = \"0.05 mm\" }, { name = \"ring\", is = \"2 mm\", within = \"0.03 mm\" }, \
                { name = \"shoulder\", is = \"10 mm\", within = \"0.05 mm\" }]\nleast = \"2.77 mm\"\nmost = \"3.2 mm\"\n";
    let (told, faults) = told(&[spindle()], None, said);
    assert!(faults.is_empty(), "{faults:#?}");
    let state = &told[0].states[0];
    assert_eq!(state.which, Which::Drawn);
    assert_eq!(state.worst, (Length::microns(2770), Length::microns(3230)));
    assert!((state.spread.root_sum_square - 0.1261).abs() < 1e-4);
    assert_eq!(state.trial.below, 0);
    assert!(state.trial.above > 0, "the most that is good lies within the worst case");
    assert_eq!(state.members[0].name, "Spindle: journal: length");
    assert!(told[0].open.as_ref().is_some_and(|open| open.contains("Spindle")), "no size is chosen yet");
}

/// What is measured does not vary, and is what is added up.
#[test]
fn what_is_made_takes_the_place_of_what_was_chosen() {
    let made = |text: &str| turned("Pin", &[("shank", "10", text), ("end", "6", "12")], "");
    let said = "[[stack]]\nname = \"reach\"\nadds = [\"Pin: shank: length\"]\n";
    let reach = |drawing: Drawing| {
        let drawings = [drawing];
        let chosen = metric(&drawings);
        let (told, faults) = told(&drawings, Some(&chosen), said);
        assert!(faults.is_empty(), "{faults:#?}");
        told[0].states[1].worst
    };
    // ISO 2768-1 medium over 6 up to 30: 0.2 either way.
    assert_eq!(reach(made("25")), (Length::microns(24_800), Length::microns(25_200)));
    let measured = Length::microns(25_130);
    assert_eq!(reach(made("{ is = \"25\", made = \"25.13 mm\" }")), (measured, measured));
}

/// A loose pin counts half its clearance to either side; under load its clearance lies to
/// one side. Bore 10 H11 is 10 to 10.090 (ISO 286-2), the pin 9.7 ± 0.1 as its drawing says.
#[test]
fn play_counts_half_of_its_clearance() {
    let pin = turned("Pin", &[("shank", "{ is = \"9.7\", within = \"0.1\" }", "20")], "");
    let rod = read_drawing(
        "rod.toml",
        "part = \"Rod\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\nwidth = 40\n\
         height = 20\nthickness = 5\ndatum = \"centre\"\n[[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = 10\nplace = [\"datum\"]\n",
    )
    .unwrap();
    let drawings = [pin, rod];
    let said = |lies: &str| {
        format!(
            "[[stack]]\nname = \"centre\"\nadds = [\"reach\"]\nsize = [{{ name = \"reach\", is = \"30 mm\", within = \"0 mm\" }}]\n\
             play = [{{ pin = \"Pin: shank\", bore = \"Rod: eye\"{lies} }}]\n"
        )
    };
    let worst = |lies: &str| {
        let (told, faults) = told(&drawings, None, &said(lies));
        assert!(faults.is_empty(), "{faults:#?}");
        told[0].states[0].worst
    };
    // Clearance from 10 - 9.8 to 10.09 - 9.6.
    assert_eq!(worst(""), (Length::microns(29_755), Length::microns(30_245)));
    assert_eq!(worst(", lies = \"adds\""), (Length::microns(30_100), Length::microns(30_245)));
    assert_eq!(worst(", lies = \"takes off\""), (Length::microns(29_755), Length::microns(29_900)));
    assert_eq!(
        worst(", times = \"1/2\", lies = \"adds\""),
        (Length::microns(30_050), Length::mm_ratio(301_225, 10_000))
    );
}

#[test]
fn pieces_alike_vary_by_themselves_and_the_same_piece_does_not() {
    let washer = turned("Washer", &[("rim", "20", "{ is = \"2\", within = \"0.1\" }")], "");
    let deviation = |adds: &str| {
        let said = format!("[[stack]]\nname = \"pack\"\nadds = [{adds}]\n");
        let (told, faults) = told(std::slice::from_ref(&washer), None, &said);
        assert!(faults.is_empty(), "{faults:#?}");
        told[0].states[0].spread.deviation
    };
    let one = 0.2 / 12f64.sqrt();
    assert!((deviation("\"2 × Washer: rim: length\"") - 2.0 * one).abs() < 1e-12);
    let two = deviation("\"Washer, 1st: rim: length\", \"Washer, 2nd: rim: length\"");
    assert!((two - one * 2f64.sqrt()).abs() < 1e-12);
}

#[test]
fn what_cannot_be_added_up_is_told_with_its_line() {
    let (_, faults) = told(
        &[spindle()],
        None,
        "[[stack]]\nname = \"gap\"\nadds = [\"Spindel: journal: length\", \"Spindle: jurnal: length\", \"rung\"]\n\
         size = [{ name = \"ring\", is = \"1 mm\" }]\n",
    );
    let all: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(all.len(), 4, "{all:#?}");
    for (fault, word) in all.iter().zip([
        "did you mean `Spindle`?",
        "did you mean `journal: length`?",
        "PART: SIZE",
        "same words",
    ]) {
        assert!(fault.contains(word) && fault.contains("line "), "{fault}");
    }
    let tight =
        "[[stack]]\nname = \"gap\"\nplay = [{ pin = \"Spindle: head\", bore = \"Spindle: journal\" }]\n";
    let (_, faults) = told(&[spindle()], None, tight);
    assert!(faults[0].what().contains("may be less than nothing"), "{}", faults[0]);
    for (wrong, word) in [
        ("name = \"a\"\n", "adds nothing up"),
        ("name = \"a\"\nadds = [\"x: y\"]\nleast = \"2\"\n", "has no unit"),
        ("name = \"a\"\nadds = [\"x: y\"]\nleast = \"2 mm\"\nmost = \"1 mm\"\n", "more than"),
        ("name = \"a\"\nadds = [\"1/0 × x: y\"]\n", "how many times"),
        ("name = \"a\"\nadds = [\"x: y\"]\nlies = \"evanly\"\n", "where it lies"),
        ("name = \"a\"\nadds = [\"x: y\"]\nplay = [\"pin\"]\n", "says too little"),
        ("name = \"a\"\nadds = [\"x: y\"]\nplay = [{ pin = \"a\", boar = \"b\" }]\n", "`bore` is not given"),
    ] {
        let faults = read_assembly("assembly.toml", &format!("[[stack]]\n{wrong}")).unwrap_err();
        assert!(faults.iter().any(|fault| fault.what().contains(word)), "{wrong}: {faults:#?}");
        assert!(faults.iter().all(|fault| fault.remedy().is_some()), "{wrong}: {faults:#?}");
    }
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "(\\[\\[stack\\]\\]\n)?[a-z =\\[\\]{}\"×/0-9.,:\\-\n]{0,120}") {
        let _ = read_assembly("assembly.toml", &text);
    }
}
