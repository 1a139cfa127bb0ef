//! ISO 286 against its own rules, against printed rows, and end to end.

use super::*;

/// The main steps of nominal size, mm (ISO 286-1).
const STEPS: [(i64, i64); 9] =
    [(0, 3), (3, 6), (6, 10), (10, 18), (18, 30), (30, 50), (50, 80), (80, 120), (120, 180)];

/// The geometric mean of a step; nought stands for 1 (ISO 286-1).
fn mean(over_mm: f64, upto_mm: f64) -> f64 {
    (over_mm.max(1.0) * upto_mm).sqrt()
}

fn um(length: Length) -> f64 {
    length.as_mm() * 1000.0
}

fn width_um(number: u32, size: Length) -> f64 {
    um(grade(number, size).unwrap().0)
}

/// A class as its letters and its grade.
fn split(class: &str) -> (&str, u32) {
    let digits = class.find(|c: char| c.is_ascii_digit()).unwrap();
    (&class[..digits], class[digits..].parse().unwrap())
}

/// i = 0.45 D^⅓ + 0.001 D, and 7, 10, 16 … of it (ISO 286-1, 1988 edition). The
/// table was rounded by hand: the smallest steps stand up to 13.3 % off.
#[test]
fn grades_agree_with_the_tolerance_unit() {
    for (over, upto) in STEPS {
        let d = mean(over as f64, upto as f64);
        let unit = 0.45 * d.cbrt() + 0.001 * d;
        let mut last = 0.0;
        for (number, units) in (5..).zip([7.0, 10.0, 16.0, 25.0, 40.0, 64.0, 100.0, 160.0, 250.0, 400.0]) {
            let width = width_um(number, Length::mm(upto));
            assert!((units * unit / width - 1.0).abs() < 0.134, "IT{number} at {upto}: {width}");
            assert!(width > last, "IT{number} at {upto} is no wider than the grade before");
            last = width;
        }
    }
    assert_eq!(grade(14, Length::mm(150)).unwrap().1.to_string(), "ISO 286-1:2010 Table 1, from memory");
}

/// Every grade has a row for every step.
#[test]
fn grades_meet_without_a_gap() {
    for number in 5..=14 {
        let at = |microns| grade(number, Length::microns(microns)).unwrap().0;
        for (over, upto) in STEPS {
            assert_eq!(at(over * 1000 + 1), at(upto * 1000), "IT{number} over {over} up to {upto}");
        }
    }
}

/// Each class has the width of its grade, and its rows meet without a gap.
#[test]
fn rows_have_the_width_of_their_grade_and_meet() {
    for class in classes() {
        let (_, number) = split(class);
        let mut reached = Length::ZERO;
        for row in table().iter().filter(|row| row.class == class) {
            assert_eq!(row.over, reached, "{class}");
            assert_eq!(um(row.upper - row.lower), width_um(number, row.upto), "{class} to {}", row.upto);
            reached = row.upto;
        }
        assert_eq!(reached, Length::mm(180), "{class}");
    }
}

/// The fundamental deviations by the formulas of ISO 286-1 (1988 edition), over
/// 3 mm; below it the standard gives values, which the next test has. A hole
/// mirrors its shaft, and K, N and P move by the grade's step (delta).
#[test]
fn rows_stand_where_the_fundamental_deviation_puts_them() {
    for row in table().iter().filter(|row| row.over >= Length::mm(3)) {
        let (letters, number) = split(&row.class);
        let shaft = letters.to_lowercase();
        let (over, upto) = STEPS
            .into_iter()
            .find(|&(over, upto)| Length::mm(over) <= row.over && row.upto <= Length::mm(upto))
            .unwrap();
        let d = mean(over as f64, upto as f64);
        let it7 = width_um(7, row.upto);
        // What the formula gives, and by how much its rounding may differ.
        let (wanted, within) = match shaft.as_str() {
            "d" => (-16.0 * d.powf(0.44), 1.5),
            "e" => (-11.0 * d.powf(0.41), 1.5),
            "f" => (-5.5 * d.powf(0.41), 1.5),
            "g" => (-2.5 * d.powf(0.34), 1.5),
            "h" => (0.0, 0.0),
            "k" => (0.6 * d.cbrt(), 1.0),
            "m" => (it7 - width_um(6, row.upto), 1.5),
            "n" => (5.0 * d.powf(0.34), 1.5),
            "p" => (it7 + 2.5, 2.5),
            "s" if row.upto <= Length::mm(50) => (width_um(8, row.upto) + 2.5, 1.5),
            "s" => (it7 + 0.4 * mean(row.over.as_mm(), row.upto.as_mm()), 2.0),
            "r" => {
                let of = |class: &str| um(limits(class, row.upto).unwrap().lower);
                ((of("p6") * of("s6")).sqrt(), 1.0)
            }
            "js" => {
                assert_eq!(row.lower, -row.upper, "{}", row.class);
                continue;
            }
            _ => panic!("no formula for {}", row.class),
        };
        let hole = letters.starts_with(char::is_uppercase);
        let delta = it7 - width_um(6, row.upto);
        let found = match shaft.as_str() {
            "d" | "e" | "f" | "g" | "h" if hole => -um(row.lower),
            "d" | "e" | "f" | "g" | "h" => um(row.upper),
            _ if hole => {
                assert_eq!(number, 7, "the delta above is that of grade 7");
                delta - um(row.upper)
            }
            _ => um(row.lower),
        };
        assert!((found - wanted).abs() <= within, "{} to {}: {found}, formula {wanted}", row.class, row.upto);
    }
}

/// Rows of the selected-fits data sheet to BS 4500 (the same values as ISO
/// 286-2), typed from memory: lower and upper deviation, µm.
#[test]
fn rows_agree_with_the_printed_table() {
    const PRINTED: &[(&str, i64, i64, i64)] = &[
        ("H7", 8, 0, 15),
        ("H7", 16, 0, 18),
        ("H7", 25, 0, 21),
        ("H8", 8, 0, 22),
        ("H9", 25, 0, 52),
        ("H11", 8, 0, 90),
        ("e9", 16, -75, -32),
        ("f7", 8, -28, -13),
        ("f7", 2, -16, -6),
        ("g6", 8, -14, -5),
        ("g6", 2, -8, -2),
        ("h6", 25, -13, 0),
        ("h9", 8, -36, 0),
        ("k6", 2, 0, 6),
        ("k6", 16, 1, 12),
        ("n6", 2, 4, 10),
        ("n6", 16, 12, 23),
        ("p6", 2, 6, 12),
        ("p6", 25, 22, 35),
        ("s6", 2, 14, 20),
        ("s6", 25, 35, 48),
        ("s6", 60, 53, 72),
        ("K7", 2, -10, 0),
        ("K7", 16, -12, 6),
        ("N7", 2, -14, -4),
        ("P7", 25, -35, -14),
    ];
    for &(class, mm, lower, upper) in PRINTED {
        let found = limits(class, Length::mm(mm)).unwrap();
        assert_eq!(
            (found.lower, found.upper),
            (Length::microns(lower), Length::microns(upper)),
            "{class} {mm}"
        );
        assert_eq!(found.greatest() - found.least(), found.upper - found.lower);
    }
}

/// The clearances that workshop tables print for whole fits: H7/f7 and H7/h6 over
/// 6 up to 10, and the interference of H7/p6 at 25.
#[test]
fn a_fit_gives_both_clearances_with_their_sign() {
    for (text, mm, least, greatest) in
        [("H7/f7", 8, 13, 43), ("H7/h6", 10, 0, 24), ("H7/g6", 12, 6, 35), ("H7 / p6", 25, -35, -1)]
    {
        let fit = fit(text, Length::mm(mm)).unwrap();
        let clearances = (fit.least_clearance(), fit.greatest_clearance());
        assert_eq!(clearances, (Length::microns(least), Length::microns(greatest)), "{text}");
        assert_eq!(fit.describe().len(), 6);
    }
}

/// A size at the end of a row belongs to it; a hair more is the next row.
#[test]
fn a_row_holds_up_to_and_including_its_end() {
    let upper = |microns| limits("H7", Length::microns(microns)).unwrap().upper;
    assert_eq!((upper(10_000), upper(10_001)), (Length::microns(15), Length::microns(18)));
}

#[test]
fn what_is_no_fit_is_refused() {
    let eight = Length::mm(8);
    let problem = limits("H12", eight).unwrap_err();
    assert!(
        problem.reason().unwrap().contains("holes H6 H7 H8")
            && problem.reason().unwrap().contains("shafts d9")
    );
    for size in [Length::ZERO, Length::mm(-1), Length::mm(181)] {
        let problem = limits("h6", size).unwrap_err();
        assert_eq!(problem.reason(), Some("the table runs over 0 mm up to 180 mm"));
    }
    for text in ["", "H7", "g6/H7", "H7/G7", "/", "H7/", "H7/z9"] {
        assert!(fit(text, eight).unwrap_err().remedy().is_some(), "{text}");
    }
    assert!(grade(4, eight).is_err() && grade(7, Length::mm(200)).is_err());
}

/// Customary figures for the words: running 0.015 to 0.03, retaining compound
/// 0.02 to 0.05, a small press fit 0.005 to 0.012 at 4 to 10 mm; sliding is H7/h6.
#[test]
fn words_agree_with_the_customary_figures() {
    let range = |word: &str, mm| {
        let fit = plain_fit(word, Length::mm(mm)).unwrap();
        (um(fit.least_clearance), um(fit.greatest_clearance))
    };
    assert_eq!(range("running", 8), (15.0, 30.0));
    assert_eq!(range("Sliding fit", 8), (0.0, 24.0));
    assert_eq!(range("locating", 10), range("sliding", 10));
    assert_eq!(range("adhesive", 12), (20.0, 50.0));
    assert_eq!(range("press", 8), (-12.0, -8.0));
    // 0.0015 of the diameter, in the middle.
    assert_eq!(range("shrink", 20), (-35.0, -25.0));
    // A running fit by the word lies inside what H7/f7 allows.
    let iso = fit("H7/f7", Length::mm(8)).unwrap();
    let word = plain_fit("running", Length::mm(8)).unwrap();
    assert!(iso.least_clearance() <= word.least_clearance);
    assert!(word.greatest_clearance <= iso.greatest_clearance());
    assert!(word.describe()[0].why.source.as_deref().is_some_and(|source| source.contains("handbook")));
}

/// A handbook for hobby engineers, as a public page quotes it, in thousandths of an inch and
/// for each inch: precision running 0.5 + 0.65, close running 0.6 + 0.8, shrink 0.5 + 1.5; a
/// course for metal workers has 1 for each inch of a shrunk tyre.
#[test]
fn words_agree_with_published_allowances() {
    let allowed_um = |fixed: f64, each: f64, mm: i64| fixed * 25.4 + each * mm as f64;
    let range = |word: &str, mm| {
        let fit = plain_fit(word, Length::mm(mm)).unwrap();
        (um(fit.least_clearance), um(fit.greatest_clearance))
    };
    for mm in 4..=12 {
        let (least, greatest) = range("running", mm);
        for (fixed, each) in [(0.5, 0.65), (0.6, 0.8)] {
            let published = allowed_um(fixed, each, mm);
            assert!(published >= least && published <= greatest, "{published} at {mm}");
        }
    }
    for mm in 4..=50 {
        let (tightest, loosest) = range("shrink", mm);
        assert!(-loosest >= allowed_um(0.0, 1.0, mm) && -tightest <= allowed_um(0.5, 1.5, mm), "at {mm}");
    }
}

/// Every word has an answer at every size of the table, its two ends in order, and where
/// practice states none it is the pair of ISO 286 that the row names.
#[test]
fn every_word_is_stated_at_every_size() {
    for word in plain_words() {
        for tenths in 1..=1800 {
            let size = Length::microns(tenths * 100);
            let found = plain_fit(word, size).unwrap();
            assert!(found.least_clearance < found.greatest_clearance, "{word} {size}");
            let pressed = ["press", "shrink"].contains(&word);
            // The loosest of H7/p6 just touches up to 3 mm; everything else presses.
            assert_eq!(found.greatest_clearance <= Length::microns(4), pressed, "{word} {size}");
            assert_eq!(found.least_clearance < Length::ZERO, pressed, "{word} {size}");
        }
    }
    for (word, mm, pair) in [
        ("running", 2, "H7/f7"),
        ("running", 30, "H7/f7"),
        ("sliding", 30, "H7/h6"),
        ("press", 3, "H7/p6"),
        ("press", 60, "H7/p6"),
        ("shrink", 3, "H7/s6"),
    ] {
        let (word, pair) = (plain_fit(word, Length::mm(mm)).unwrap(), fit(pair, Length::mm(mm)).unwrap());
        assert_eq!(word.least_clearance, pair.least_clearance(), "{word:?}");
        assert_eq!(word.greatest_clearance, pair.greatest_clearance(), "{word:?}");
        assert_eq!(word.source, pair.hole.source, "{word:?}");
    }
}

#[test]
fn a_word_outside_its_sizes_is_refused() {
    let problem = plain_fit("running", Length::mm(181)).unwrap_err();
    assert_eq!(problem.reason(), Some("the table runs over 0 mm up to 180 mm"));
    let problem = plain_fit("snug", Length::mm(8)).unwrap_err();
    assert_eq!(problem.reason(), Some("the words are running, sliding, locating, press, shrink, adhesive"));
    assert!(plain_fit("sliding", Length::ZERO).is_err());
    assert!(
        plain_fit("sliding", Length::microns(500)).is_ok() && plain_fit("locating", Length::mm(180)).is_ok()
    );
}
