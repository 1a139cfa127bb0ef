//! Every row against a second witness, every name read back, every percent.

use num_rational::Ratio;
use proptest::prelude::*;

use super::*;
use crate::tables::source::Standing;

/// 3^½ / 2: the height of the sharp 60° triangle on a pitch of 1 (ISO 68-1).
const H60: f64 = 0.866_025_403_784_438_6;
/// Depth of the Whitworth form on a pitch of 1 (BS 84).
const WHITWORTH_DEPTH: f64 = 0.640_327;

fn close(a: f64, b: f64, within: f64, what: &str) {
    assert!((a - b).abs() <= within, "{what}: {a} is not {b} within {within}");
}

/// The first two figures of a number.
fn two_figures(value: f64) -> f64 {
    let scale = 10_f64.powi(1 - value.log10().floor() as i32);
    (value * scale).round() / scale
}

#[test]
fn every_series_is_all_there() {
    let counts = Series::ALL.map(|series| of(series).count());
    assert_eq!(counts, [27, 32, 17, 16, 13, 16, 6, 8, 14, 15]);
}

/// ISO 68-1: pitch diameter d - 3H/4, minor d - 5H/4, to the thousandth as ISO
/// 724 prints them; Unified to the ten-thousandth of an inch (ASME B1.1).
#[test]
fn sixty_degree_rows_agree_with_the_profile() {
    for thread in all().iter().filter(|t| matches!(t.form(), Form::Metric60 | Form::Unified60)) {
        let (d, h) = (thread.major.as_mm(), H60 * thread.pitch.as_mm());
        // Half the last figure printed, and a hair for a figure that ends in 5.
        let within = if thread.form() == Form::Metric60 { 0.000_51 } else { 0.000_06 * 25.4 };
        close(thread.pitch_diameter.as_mm(), d - 0.75 * h, within, &thread.designation);
        close(thread.minor.as_mm(), d - 1.25 * h, within, &thread.designation);
    }
}

/// BS 84: one depth to the pitch diameter, two to the minor, to the
/// ten-thousandth of an inch.
#[test]
fn whitworth_rows_agree_with_the_form() {
    for thread in all().iter().filter(|t| t.form() == Form::Whitworth55) {
        let depth = WHITWORTH_DEPTH * thread.pitch.as_inches();
        let d = thread.major.as_inches();
        close(thread.pitch_diameter.as_inches(), d - depth, 0.000_06, &thread.designation);
        close(thread.minor.as_inches(), d - 2.0 * depth, 0.000_06, &thread.designation);
    }
}

/// BS 93: pitch 0.9^n mm and major 6 p^1.2 mm, each to two figures; p unrounded,
/// or 13 and 16 BA come out wrong. Depth 0.6 p a side.
#[test]
fn ba_rows_agree_with_the_rule_of_the_series() {
    for (number, thread) in of(Series::Ba).enumerate() {
        let pitch = 0.9_f64.powi(number as i32);
        assert_eq!(thread.designation, format!("{number} BA"));
        close(thread.pitch.as_mm(), two_figures(pitch), 1e-12, &thread.designation);
        close(thread.major.as_mm(), two_figures(6.0 * pitch.powf(1.2)), 1e-12, &thread.designation);
        let depth = 0.6 * thread.pitch.as_mm();
        close(thread.pitch_diameter.as_mm(), thread.major.as_mm() - depth, 0.002_6, &thread.designation);
        close(thread.minor.as_mm(), thread.major.as_mm() - 2.0 * depth, 0.005_1, &thread.designation);
    }
}

/// Threads to the inch as BS 84 and ASME B1.1 list them, typed from memory of
/// the standards: a pitch that slipped would still satisfy the form above.
#[test]
fn threads_to_the_inch_agree_with_the_standards() {
    const BSW: &str = "1/16 60, 3/32 48, 1/8 40, 5/32 32, 3/16 24, 7/32 24, 1/4 20, 5/16 18, 3/8 16, \
                       7/16 14, 1/2 12, 9/16 12, 5/8 11, 3/4 10, 7/8 9, 1 8";
    const BSF: &str = "3/16 32, 7/32 28, 1/4 26, 9/32 26, 5/16 22, 3/8 20, 7/16 18, 1/2 16, 9/16 16, \
                       5/8 14, 3/4 12, 7/8 11, 1 10";
    const UNC: &str = "1 64, 2 56, 3 48, 4 40, 5 40, 6 32, 8 32, 10 24, 12 24, 1/4 20, 5/16 18, 3/8 16, \
                       7/16 14, 1/2 13";
    const UNF: &str = "0 80, 1 72, 2 64, 3 56, 4 48, 5 44, 6 40, 8 36, 10 32, 12 28, 1/4 28, 5/16 24, \
                       3/8 24, 7/16 20, 1/2 20";
    for (series, printed) in [(Series::Bsw, BSW), (Series::Bsf, BSF), (Series::Unc, UNC), (Series::Unf, UNF)]
    {
        let listed: Vec<String> = of(series).map(|t| format!("{} {}", t.size, t.count)).collect();
        assert_eq!(listed.join(", "), printed);
    }
    assert!(of(Series::Brass).all(|t| t.pitch == Length::inches(1, 26)));
    assert!(of(Series::ModelEngineer).all(|t| [32, 40].map(|n| Length::inches(1, n)).contains(&t.pitch)));
}

/// ISO 228-1: thread, threads to the inch, over the crests, the hole. 1/8 to 3/8 as Mechanical Engineer's Pocket Book,
/// 4.1.38, prints them (taper and parallel threads share them); the others from memory.
#[test]
fn pipe_threads_are_larger_than_their_names() {
    const PRINTED: &str = "1/16 28 7.723 6.561, 1/8 28 9.728 8.566, 1/4 19 13.157 11.445, 3/8 19 16.662 14.95, \
                           1/2 14 20.955 18.631, 5/8 14 22.911 20.587, 3/4 14 26.441 24.117, 1 11 33.249 30.291";
    let row = |t: &Thread| format!("{} {} {} {}", t.size, t.count, t.major.shown(3), t.minor.shown(3));
    assert_eq!(of(Series::Pipe).map(row).collect::<Vec<_>>().join(", "), PRINTED);
}

/// Every thread has its like that winds the other way, which no list of threads offers by itself.
#[test]
fn a_left_hand_thread_is_the_same_but_for_its_hand() {
    for thread in all() {
        let left = find(&format!("{} LH", thread.designation)).unwrap();
        assert_eq!((left.hand, left.listed_as()), (Hand::Left, thread.designation.as_str()));
        assert_eq!((left.major, left.pitch, left.minor), (thread.major, thread.pitch, thread.minor));
        assert_eq!(find(&left.designation).unwrap(), left);
        assert!(left.of_hand(Hand::Right) == thread && left != thread && !left.is_cut_as(thread));
        assert!(thread.winds_as(left).is_err() && left.winds_as(left).is_ok());
    }
    assert!(all().iter().all(|thread| thread.hand == Hand::Right));
    // A Whitworth tap of a quarter inch has 20 turns to the inch as a Unified one has, and another profile.
    assert!(!find("1/4 BSW").unwrap().is_cut_as(find("1/4-20 UNC").unwrap()));
    assert!(find("3/8 x 32 ME").unwrap().is_cut_as(find("3/8 x 32 ME").unwrap()));
}

/// Coarse pitches of ISO 261, typed from memory of the standard.
#[test]
fn coarse_pitches_agree_with_iso_261() {
    const PITCHES: &str = "1 0.25, 1.1 0.25, 1.2 0.25, 1.4 0.3, 1.6 0.35, 1.8 0.35, 2 0.4, 2.2 0.45, 2.5 0.45, \
                           3 0.5, 3.5 0.6, 4 0.7, 4.5 0.75, 5 0.8, 6 1, 7 1, 8 1.25, 9 1.25, 10 1.5, 11 1.5, \
                           12 1.75, 14 2, 16 2, 18 2.5, 20 2.5, 22 2.5, 24 3";
    let listed: Vec<String> =
        of(Series::MetricCoarse).map(|t| format!("{} {}", t.major.shown(3), t.pitch.shown(3))).collect();
    assert_eq!(listed.join(", "), PITCHES);
}

/// ISO 965-1: grade 6 of the minor diameter is 433 P - 190 P^1.22 µm up to 0.8
/// pitch and 230 P^0.7 µm above, before its rounding to a preferred number. A
/// tapping drill above that leaves too little thread, one below breaks the tap.
#[test]
fn metric_tapping_drills_lie_within_the_6h_minor_diameter() {
    const ROUNDING: f64 = 1.04;
    for thread in all().iter().filter(|t| t.form() == Form::Metric60) {
        let p = thread.pitch.as_mm();
        let grade_6_um = if p < 1.0 { 433.0 * p - 190.0 * p.powf(1.22) } else { 230.0 * p.powf(0.7) };
        for drill in &thread.tapping_drills {
            let over = (drill.diameter - thread.minor).as_mm();
            assert!(
                over >= 0.0 && over <= grade_6_um * ROUNDING / 1000.0,
                "{} {}",
                thread.designation,
                drill.name
            );
        }
    }
}

/// The workshop rule for 60 degrees: each printed drill is within 0.05 mm of the
/// major diameter less the pitch.
#[test]
fn metric_tapping_drills_are_major_less_pitch() {
    for thread in all().iter().filter(|t| t.form() == Form::Metric60) {
        for drill in &thread.tapping_drills {
            let gap = drill.diameter.gap(thread.major - thread.pitch);
            assert!(gap <= Length::microns(50), "{} {}", thread.designation, drill.name);
        }
    }
}

/// The customary drills for Unified threads, typed from memory of the chart that
/// hangs in every American shop.
#[test]
fn unified_tapping_drills_agree_with_the_chart() {
    const CHART: &str = "0-80 3/64 in, 1-64 No. 53, 1-72 No. 53, 2-56 No. 50, 2-64 No. 50, 3-48 No. 47, \
                         3-56 No. 45, 4-40 No. 43, 4-48 No. 42, 5-40 No. 38, 5-44 No. 37, 6-32 No. 36, \
                         6-40 No. 33, 8-32 No. 29, 8-36 No. 29, 10-24 No. 25, 10-32 No. 21, 12-24 No. 16, \
                         12-28 No. 14, 1/4-20 No. 7, 1/4-28 No. 3, 5/16-18 letter F, 5/16-24 letter I, \
                         3/8-16 5/16 in, 3/8-24 letter Q, 7/16-14 letter U, 7/16-20 25/64 in, \
                         1/2-13 27/64 in, 1/2-20 29/64 in";
    let listed: Vec<String> = all()
        .iter()
        .filter(|t| t.form() == Form::Unified60)
        .map(|t| {
            format!("{} {}", t.designation.replace(" UNC", "").replace(" UNF", ""), t.tapping_drills[0].name)
        })
        .collect();
    assert_eq!(listed.join(", "), CHART);
}

#[test]
fn every_printed_tapping_drill_leaves_a_usable_thread() {
    for thread in all() {
        for drill in &thread.tapping_drills {
            let percent = thread.percent(drill.diameter, thread.form().workshop_basis()).unwrap().value;
            let usable = Ratio::from_integer(55)..=Ratio::from_integer(86);
            assert!(usable.contains(&percent), "{} {} {percent}", thread.designation, drill.name);
        }
    }
}

/// The M6 row is reckoned by hand from 1.0825, 1.2269 and 1.2990: one hole, three
/// percentages. The 1/4 × 26 rows are printed on two pages for the same form:
/// BSF practice 5.4 mm, brass practice 5.6 mm. The last is a tap chart's 71 %.
#[test]
fn percent_of_thread_names_its_basis() {
    let shown = |name: &str, hole, basis| find(name).unwrap().percent(hole, basis).unwrap().to_string();
    let five = Length::mm(5);
    assert_eq!(shown("M6", five, Basis::InternalHeight), "92 % of internal height 5H/8");
    assert_eq!(shown("M6", five, Basis::ExternalDepth), "82 % of external depth 17H/24");
    assert_eq!(shown("M6", five, Basis::SharpVee), "77 % of 3H/4");
    assert_eq!(shown("1/4 BSF", Length::microns(5400), Basis::FullDepth), "76 % of full depth");
    assert_eq!(shown("1/4 x 26 brass", Length::microns(5600), Basis::FullDepth), "60 % of full depth");
    assert_eq!(shown("0 BA", Length::microns(5100), Basis::FullDepth), "75 % of full depth");
    assert_eq!(shown("4-40 UNC", Length::thou(89), Basis::SharpVee), "71 % of 3H/4");
}

/// 5H/8 and 3H/4 a side and the 17H/24 of the external thread, from the triangle.
#[test]
fn the_factors_are_those_of_the_profile() {
    let m10 = find("M10").unwrap();
    for (basis, heights) in
        [(Basis::InternalHeight, 5.0 / 8.0), (Basis::ExternalDepth, 17.0 / 24.0), (Basis::SharpVee, 0.75)]
    {
        let hole = m10.drill_for(Percent::new(100, basis)).unwrap().as_mm();
        close(10.0 - hole, 2.0 * heights * H60 * 1.5, 0.000_1, basis.name());
        assert_eq!(Basis::find(basis.name()).unwrap(), basis);
    }
    assert!(Basis::find("loose").unwrap_err().remedy().unwrap().contains("1.0825 P"));
}

#[test]
fn a_basis_of_another_form_is_refused() {
    let problem = find("2 BA").unwrap().percent(Length::mm(4), Basis::SharpVee).unwrap_err();
    assert_eq!(problem.remedy(), Some("use full depth"));
    assert!(find("M6").unwrap().drill_for(Percent::new(70, Basis::FullDepth)).is_err());
    for value in [-1, 1000] {
        assert!(find("M6").unwrap().drill_for(Percent::new(value, Basis::SharpVee)).is_err(), "{value}");
    }
}

proptest! {
    /// The hole for a percent gives back that percent, exactly.
    #[test]
    fn drill_and_percent_undo_each_other(at in 0..all().len(), tenths in 1i128..1000) {
        let thread = &all()[at];
        for &basis in thread.form().bases() {
            let percent = Percent::new(Ratio::new(tenths, 10), basis);
            let hole = thread.drill_for(percent).unwrap();
            prop_assert_eq!(thread.percent(hole, basis).unwrap(), percent);
        }
    }
}

#[test]
fn every_thread_is_found_by_its_own_name() {
    for thread in all() {
        let name = &thread.designation;
        for text in [name.clone(), name.to_lowercase(), format!("  {name} thread"), name.replace(' ', "  ")] {
            assert_eq!(find(&text).unwrap(), thread, "{text}");
        }
        if !name.contains('/') && !name.contains('-') {
            assert_eq!(find(&name.replace(' ', "")).unwrap(), thread, "{name} closed up");
        }
    }
}

/// The same thread by size, count and series in any order.
#[test]
fn every_thread_is_found_by_series_size_and_count() {
    let word = |series| match series {
        Series::MetricCoarse | Series::MetricFine => "M",
        Series::Ba => "B.A.",
        Series::Bsw => "B.S.W.",
        Series::Bsf => "B.S.F.",
        Series::ModelEngineer => "M.E.",
        Series::Brass => "brass",
        Series::Pipe => "G",
        Series::Unc => "UNC",
        Series::Unf => "UNF",
    };
    for thread in all() {
        let (series, size) = (word(thread.series), thread.size);
        let metric = matches!(thread.form(), Form::Metric60 | Form::Ba47);
        let count = if metric { thread.pitch.shown(3) } else { format!("{} t.p.i.", thread.count) };
        for text in [
            format!("{series} {size} x {count}"),
            format!("{size} x {count} {series}"),
            format!("{size}-{count} {series}"),
        ] {
            assert_eq!(find(&text).unwrap(), thread, "{text}");
        }
    }
}

#[test]
fn names_are_read_as_people_write_them() {
    for (text, name) in [
        ("M3x0.5", "M3"),
        ("m3 × 0.5", "M3"),
        ("M3 x .35", "M3x0.35"),
        ("M6 fine", "M6x0.75"),
        ("7BA", "7 BA"),
        ("7 B.A.", "7 BA"),
        ("BA 7", "7 BA"),
        ("No. 7 BA", "7 BA"),
        ("1/4 x 26 BSF", "1/4 BSF"),
        ("1/4\" Whitworth", "1/4 BSW"),
        ("3/16 ME 40", "3/16 x 40 ME"),
        ("3/16 x 40", "3/16 x 40 ME"),
        ("5/16\" x 32 T.P.I.", "5/16 x 32 ME"),
        ("5-40 UNC", "5-40 UNC"),
        ("#5-40", "5-40 UNC"),
        ("No.10-32", "10-32 UNF"),
        ("1/4-28", "1/4-28 UNF"),
        ("G 1/8", "1/8 BSP"),
        ("1/8\" B.S.P.P.", "1/8 BSP"),
        ("M6-LH", "M6-LH"),
        ("M8 x 1 left-hand", "M8x1-LH"),
        ("4 BA L.H.", "4 BA-LH"),
        ("M6 RH", "M6"),
    ] {
        assert_eq!(find(text).unwrap().designation, name, "{text}");
    }
}

/// 1/4-20 is Whitworth or Unified, and they do not fit each other well.
#[test]
fn a_name_for_two_threads_is_refused_with_both() {
    for (text, both) in [
        ("1/4-20", "it fits 1/4 BSW, 1/4-20 UNC"),
        ("1/4 x 26", "it fits 1/4 BSF, 1/4 x 26 brass"),
        ("1/4 ME", "it fits 1/4 x 40 ME, 1/4 x 32 ME"),
        ("M10 fine", "it fits M10x0.75, M10x1, M10x1.25"),
    ] {
        assert_eq!(find(text).unwrap_err().reason(), Some(both), "{text}");
    }
}

#[test]
fn an_unknown_name_lists_the_near_ones() {
    let reason = |text: &str| find(text).unwrap_err().reason().unwrap().to_owned();
    assert!(reason("M13").contains("M12") && reason("M13").contains("M14"), "{}", reason("M13"));
    assert!(reason("17 BA").ends_with("16 BA, 15 BA, 14 BA, 13 BA, 12 BA"), "{}", reason("17 BA"));
    assert!(reason("M3x0.6").contains("M3, M3x0.35"), "{}", reason("M3x0.6"));
    assert!(reason("1/4 x 28 BSF").contains("1/4 BSF"));
    for text in ["", "7", "M", "BA", "1/4", "M6@1", "1/0 BSW", "3 mm", "M6x1x20", "##", "M99999999999"] {
        let problem = find(text).unwrap_err();
        assert!(problem.reason().is_some() && problem.remedy().is_some(), "{text}");
    }
}

#[test]
fn what_is_from_memory_is_marked() {
    let drill = |name: &str| find(name).unwrap().tapping_drills[0].source.standing;
    assert_eq!(drill("3 BA"), Standing::FromMemory);
    assert_eq!(drill("M1"), Standing::FromMemory);
    assert_eq!(drill("2 BA"), Standing::Published);
    let described = find("3 BA").unwrap().describe();
    assert_eq!(described[4].why.source.as_deref(), Some("customary drill, from memory"));
}

#[test]
fn a_thread_describes_itself() {
    let lines: Vec<String> = find("1/4 BSW")
        .unwrap()
        .describe()
        .iter()
        .map(|f| format!("{}: {} [{}]", f.name, f.shown, f.why.source.as_deref().unwrap_or("")))
        .collect();
    insta::assert_snapshot!(lines.join("\n"), @r"
    pitch: 20 t.p.i. (1.27 mm) [BS 84]
    major diameter: 6.35 mm [BS 84]
    pitch diameter: 5.5372 mm [BS 84]
    minor diameter: 4.7244 mm [BS 84]
    tapping drill: 5.2 mm: 71 % of full depth [model engineers' screwing tables]
    tapping drill: 5.1 mm: 77 % of full depth [printed BSW chart]
    ");
}
