//! A screw, the cover it passes and the block it is screwed into, chosen as one: how much
//! thread they have in common, reckoned here by the published formulas and not by the
//! program's own.

use proptest::prelude::*;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, read_drawing, solve};
use workshop::metric::{Memory, MetricPart, Piece, together};
use workshop::problem::Outcome;
use workshop::tables::threads::{self, Form, Thread};

fn bench() -> Bench {
    let text = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\ntaps = [\"M4\", \"M5\", \"M6\"]\n\
         [lathe]\nswing = \"180 mm\"\nbetween_centres = \"300 mm\"\nspeeds = [100, 2000]\n\
         [[stock]]\nmaterial = \"mild steel\"\nflat = [\"3 mm\", \"4 mm\", \"5 mm\", \"6 mm\", \"8 mm\", \"10 mm\", \"12 mm\"]\nround = [\"8 mm\", \"10 mm\"]\n";
    read_bench("bench.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn part(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"))
}

/// A plate whose hole, in its middle, is as given.
fn plate(name: &str, thick_64: u32, hole: &str) -> Drawing {
    part(&format!(
        "part = \"{name}\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = \"1\"\nheight = \"1\"\nthickness = \"{thick_64}/64\"\ndatum = \"centre\"\n{hole}"
    ))
}

fn block(thick_64: u32, thread: &str) -> Drawing {
    let hole = format!(
        "[[feature]]\nname = \"screw hole\"\nkind = \"tapped hole\"\nthread = \"{thread}\"\nplace = [\"datum\"]\n"
    );
    plate("Block", thick_64, &hole)
}

fn cover(thick_64: u32, thread: &str, drill: &str, sunk_64: Option<u32>) -> Drawing {
    let mut hole = format!(
        "[[feature]]\nname = \"bolt hole\"\nkind = \"hole\"\nclears = \"{thread}\"\ndiameter = \"{drill}\"\nplace = [\"datum\"]\n"
    );
    if let Some(sunk) = sunk_64 {
        hole += &format!(
            "[[feature]]\nname = \"sinking\"\nkind = \"counterbore\"\nover = \"bolt hole\"\ndiameter = \"3/8\"\ndepth = \"{sunk}/64\"\n"
        );
    }
    plate("Cover", thick_64, &format!("{hole}[[screwed]]\nin = \"bolt hole\"\nwith = \"Screw: thread\"\n"))
}

/// A headed screw: a shank, where there is one, and the thread.
fn screw(thread: &str, shank_64: Option<u32>, long_64: u32, shank: &str) -> Drawing {
    let shank = shank_64.map_or_else(String::new, |long| {
        format!("[[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"{shank}\"\nlength = \"{long}/64\"\n")
    });
    part(&format!(
        "part = \"Screw\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"head\"\nkind = \"section\"\ndiameter = \"5/16\"\nlength = \"1/8\"\n{shank}\
         [[feature]]\nname = \"thread\"\nkind = \"section\"\nthread = \"{thread}\"\nlength = \"{long_64}/64\"\n\
         [[screwed]]\nin = \"thread\"\nwith = \"Block: screw hole\"\n"
    ))
}

fn chosen(parts: &[Drawing]) -> Vec<Outcome<MetricPart>> {
    let solved: Vec<_> = parts.iter().map(|part| solve(part).unwrap()).collect();
    let pieces: Vec<Piece> =
        parts.iter().zip(&solved).map(|(drawing, solved)| Piece { drawing, solved }).collect();
    together(&pieces, &bench(), &mut Memory::default())
}

fn size_mm(drawing: &Drawing, part: Option<&MetricPart>, name: &str) -> f64 {
    let Some(at) = drawing.dimensions.iter().position(|d| d.name == name) else { return 0.0 };
    part.map_or(drawing.dimensions[at].written.length, |part| part.dimensions[at].chosen).as_mm()
}

/// What screw and block have in common, from the shoulder under the head: drawn, or chosen.
fn common_mm(parts: &[Drawing], chosen: Option<&[MetricPart]>) -> f64 {
    let at = |which: usize, name: &str| size_mm(&parts[which], chosen.map(|all| &all[which]), name);
    let begins = at(0, "shank: length");
    let ends = begins + at(0, "thread: length");
    let face = at(2, "body: thickness") - at(2, "sinking: depth");
    let far = face + at(1, "body: thickness");
    ends.min(far) - begins.max(face)
}

/// π D L/p (p/2 + (across the pitch − D) tan of the flank), as FED-STD-H28/2B has it with 1/√3
/// for 60° threads, along the crests of the screw and along the wall of the hole.
fn areas_mm2(thread: &Thread, long_mm: f64, hole_mm: f64) -> [f64; 2] {
    let flank = if thread.form() == Form::Ba47 { 23.75_f64.to_radians().tan() } else { 1.0 / 3.0_f64.sqrt() };
    let (major, pitch) = (thread.major.as_mm(), thread.pitch.as_mm());
    let across = thread.pitch_diameter.as_mm();
    let along = |d: f64, more: f64| std::f64::consts::PI * d * long_mm / pitch * (pitch / 2.0 + more * flank);
    [along(major, major - across), along(hole_mm, across - hole_mm)]
}

#[test]
fn what_is_named_agrees_and_what_is_not_there_is_supposed() {
    let parts = [screw("2 BA", None, 40, ""), block(24, "2 BA"), cover(12, "2 BA", "3/16", None)];
    let all = chosen(&parts);
    let all: Vec<&MetricPart> = all.iter().map(|part| part.as_ref().expect("it can be made")).collect();
    let threads: Vec<_> = all.iter().map(|part| part.threads[0].chosen.designation.as_str()).collect();
    assert!(threads.iter().all(|thread| *thread == threads[0]), "one screw through all three: {threads:?}");
    let alone = chosen(&parts[..1]);
    let said = &alone[0].as_ref().expect("it can be made").assumed;
    assert!(said.iter().any(|line| line.contains("its hole is supposed to take all of it")), "{said:?}");
}

/// Whether what is left in common is the material's one diameter, or strips no sooner than nine
/// tenths of the drawing's, and has three turns where the drawing has them; none where the parts
/// do not meet or cannot be made.
fn keeps_its_thread(parts: &[Drawing; 3]) -> Option<Result<(), String>> {
    let drawn_mm = common_mm(parts, None);
    if drawn_mm <= 0.5 {
        return None;
    }
    let all: Vec<MetricPart> = chosen(parts).into_iter().collect::<Result<_, _>>().ok()?;
    let has_mm = common_mm(parts, Some(&all));
    let (drawn, now) = (threads::find("2 BA").unwrap(), all[1].threads[0].chosen);
    let pitch = |thread: &Thread| thread.pitch.as_mm();
    let turns = (drawn_mm / pitch(drawn)).min(3.0);
    if has_mm < turns * pitch(now) - 1e-6 {
        return Some(Err(format!("{has_mm} of {turns} turns")));
    }
    // The drill that the drawing's thread would have: the middle of what steel asks.
    let short = drawn_mm < 3.0 * pitch(drawn);
    let percent = if short { 72.5 } else { 62.5 };
    let hole_mm = drawn.major.as_mm() - percent / 100.0 * 1.2 * pitch(drawn);
    let drill_mm = all[1].threads[0].tapping_drill.as_ref().unwrap().diameter.as_mm();
    let had = areas_mm2(drawn, drawn_mm, hole_mm);
    let has = areas_mm2(now, has_mm, drill_mm);
    let kept = (has[0] / had[0]).min(has[1] / had[1]);
    let enough = has_mm >= now.major.as_mm() - 1e-6 || kept >= 0.9 - 1e-4;
    Some(if enough { Ok(()) } else { Err(format!("{kept} of {drawn_mm} in {has_mm}")) })
}

/// Of two drills for one thread the larger leaves so little of it that the length chosen with it
/// must be longer: what is kept goes by the drill that is taken.
#[test]
fn what_a_screw_must_reach_goes_by_the_drill_taken() {
    let parts = [screw("2 BA", None, 27, ""), block(10, "2 BA"), cover(19, "2 BA", "3/16", None)];
    assert_eq!(keeps_its_thread(&parts), Some(Ok(())));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Whatever the lengths.
    #[test]
    fn a_screw_keeps_its_thread_through_all_it_passes(
        shank in prop::option::of(1u32..12), long in 12u32..48, thick in 6u32..32, over in 6u32..24,
        sunk in prop::option::of(1u32..4),
    ) {
        let parts = [screw("2 BA", shank, long, "0.184"), block(thick, "2 BA"), cover(over, "2 BA", "3/16", sunk)];
        let kept = keeps_its_thread(&parts);
        prop_assume!(kept.is_some());
        prop_assert_eq!(kept, Some(Ok(())));
    }
}
