//! Sizes that several dimensions make, several wishes at once, tolerances against what is needed,
//! corners of tolerances, and what clears what.

use workshop::bench::read_bench;
use workshop::drawing::{Drawing, Role, read_drawing, solve};
use workshop::linkage::{Machine, closest, hold_sizes, loosened, read_mechanisms, spared};
use workshop::metric::metricate;
use workshop::stack::Held;

use super::{engine, read, value};

/// A crank plate: its pin bore lies right of and above its shaft bore, by way of a third hole.
fn crank(right: &str, above: &str) -> Drawing {
    let text = format!(
        "part = \"Crank\"\nunit = \"inch\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
         width = 4\nheight = 3\nthickness = \"1/4\"\ndatum = \"bottom left\"\n\
         [[feature]]\nname = \"shaft bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"1 right of datum\", \"1 above datum\"]\n\
         [[feature]]\nname = \"oil hole\"\nkind = \"hole\"\ndiameter = \"1/8\"\nplace = [\"{right} right of shaft bore\", \"level with shaft bore\"]\n\
         [[feature]]\nname = \"pin bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"5/16 right of oil hole\", {above}]\n"
    );
    read_drawing("crank.toml", &text).unwrap()
}

fn machine(held: &[Held], more: &str) -> Machine {
    let text = engine("80 mm", more).replace("\"12 mm\"", "\"Crank: shaft bore to pin bore\"");
    let (mut machines, faults) = read_mechanisms("mechanism.toml", &text, held);
    assert!(faults.is_empty(), "{faults:#?}");
    machines.remove(0)
}

/// 3/16 and 5/16 in a line: a stroke is twice their sum, and what is asked of it is asked of both.
#[test]
fn a_distance_through_a_third_hole_is_the_sum_and_both_dimensions_share_what_is_asked() {
    let drawing = crank("3/16", "\"level with oil hole\"");
    let held = [Held { drawing: &drawing, metric: None }];
    let hold = "[[mechanism.hold]]\nresult = \"stroke of piston\"\nwithin = \"0.04 mm\"\n";
    let machine = machine(&held, hold);
    let told = machine.told().unwrap();
    assert!((value(&told[0], "stroke of piston") - 25.4).abs() < 1e-9);
    let close = closest(&machine, &told, &held).unwrap().unwrap();
    let own: Vec<f64> = close
        .rooms
        .iter()
        .filter(|room| machine.known[room.param].name.starts_with("Crank: "))
        .map(|room| room.worst)
        .collect();
    assert!(own.len() == 2 && (own.iter().sum::<f64>() - 0.02).abs() < 1e-9, "{own:?}");
    let mut drawings = [drawing];
    let text = engine("80 mm", hold).replace("\"12 mm\"", "\"Crank: shaft bore to pin bore\"");
    assert_eq!(hold_sizes(&mut drawings, "mechanism.toml", &text), 2);
    let held = drawings[0].dimensions.iter().filter(|d| d.held_by.is_some() && d.role.0 == Role::Hold);
    assert_eq!(held.count(), 2);
}

/// 3/4 across by three steps of it up: a 3-4-5 triangle of 15/16 in, whose legs count by 0.8 and
/// 0.6; in metric it is the root of the squares of the legs as they were chosen.
#[test]
fn a_slanting_distance_counts_each_leg_by_its_share() {
    let drawing = crank("7/16", "\"9/16 above oil hole\"");
    let solved = solve(&drawing).unwrap();
    let bench = read_bench("bench.toml", include_str!("../../../../examples/kittiwake/bench.toml")).unwrap();
    let metric = metricate(&drawing, &solved, &bench).unwrap();
    let held = [Held { drawing: &drawing, metric: Some(&metric) }];
    let machine = machine(&held, "");
    let told = machine.told().unwrap().remove(0);
    assert!((value(&told, "stroke of piston") - 2.0 * 15.0 / 16.0 * 25.4).abs() < 1e-9);
    let stroke = |told: &workshop::linkage::Run| {
        told.results.iter().find(|r| r.asked.name == "stroke of piston").unwrap().clone()
    };
    let drawn = stroke(&told.drawn);
    let by = |name: &str| drawn.by[machine.known.iter().position(|known| known.name.contains(name)).unwrap()];
    assert!((by("right of shaft bore") - 1.6).abs() < 1e-6 && (by("above oil hole") - 1.2).abs() < 1e-6);
    let made = |name: &str| {
        let at = drawing.dimensions.iter().position(|d| d.name.contains(name)).unwrap();
        metric.dimensions[at].chosen.as_mm()
    };
    let across = made("right of shaft bore") + made("right of oil hole");
    let wanted = 2.0 * across.hypot(made("above oil hole"));
    assert!((stroke(told.made.as_ref().unwrap()).value - wanted).abs() < 1e-5, "{wanted}");
}

#[test]
fn a_distance_that_is_none_is_told() {
    let drawing = crank("3/16", "\"level with oil hole\"");
    let held = [Held { drawing: &drawing, metric: None }];
    for (said, word) in [
        ("Crank: shaft bore to pin hole", "pin hole"),
        ("Crank: shaft bore to shaft bore", "one place"),
        ("Crenk: shaft bore to pin bore", "Crank"),
    ] {
        let text = engine("80 mm", "").replace("\"12 mm\"", &format!("\"{said}\""));
        let (_, faults) = read_mechanisms("mechanism.toml", &text, &held);
        assert!(faults.iter().any(|fault| fault.to_string().contains(word)), "{said}: {faults:#?}");
    }
}

/// A stroke is twice the throw: 0.02 mm of it leave the throw 0.01.
#[test]
fn a_tolerance_that_is_looser_or_much_closer_than_needed_is_told_with_both_figures() {
    let hold = "[[mechanism.hold]]\nresult = \"stroke of piston\"\nwithin = \"0.02 mm\"\n";
    let text = engine("80 mm", hold).replace("\"12 mm\"", "\"Crank: oil hole: right of shaft bore\"");
    let said = |within: &str| {
        let text = format!(
            "part = \"Crank\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = 4\nheight = 3\n\
             thickness = \"1/4\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"shaft bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\n\
             place = [\"1 right of datum\", \"1 above datum\"]\n[[feature]]\nname = \"oil hole\"\nkind = \"hole\"\ndiameter = \"1/8\"\n\
             place = [{{ is = \"1/2 right of shaft bore\", role = \"hold\", within = \"{within}\" }}, \"level with shaft bore\"]\n"
        );
        [read_drawing("crank.toml", &text).unwrap()]
    };
    let mut loose = said("0.1 mm");
    assert_eq!(hold_sizes(&mut loose, "mechanism.toml", &text), 1);
    let told = loose[0].dimensions.iter().find_map(|d| d.loose.as_ref()).unwrap();
    assert!(
        told.contains("0.1 mm")
            && told.contains("0.01 mm")
            && told.contains("stroke of piston within 0.02 mm"),
        "{told}"
    );
    let held = [Held { drawing: &loose[0], metric: None }];
    let (machines, _) = read_mechanisms("mechanism.toml", &text, &held);
    assert_eq!(loosened(&machines[0], &held).len(), 1);
    for (within, closer) in [("0.003 mm", 1), ("0.004 mm", 0)] {
        let mut close = said(within);
        assert_eq!(hold_sizes(&mut close, "mechanism.toml", &text), 0);
        let held = [Held { drawing: &close[0], metric: None }];
        let (machines, _) = read_mechanisms("mechanism.toml", &text, &held);
        let found = closest(&machines[0], &machines[0].told().unwrap(), &held).unwrap().unwrap();
        let told = spared(&machines[0], &found, &held);
        assert_eq!(told.len(), closer, "{told:?}");
    }
}

fn said(all: &[&str]) -> Vec<String> {
    all.iter().map(|text| (*text).to_owned()).collect()
}

/// The closed form of the valve equation (see the engine with very long rods): lap 1 and advance
/// 34.2289° give a lead of 0.125 and a cut-off of 71.7389 %.
#[test]
fn two_wishes_by_two_sizes_find_the_closed_form_again() {
    let start = read(
        &engine("50000 mm", "")
            .replace("34.228866°", "28°")
            .replace("\"1 mm\"\n[[mechanism.pivot", "\"0.8 mm\"\n[[mechanism.pivot"),
    );
    let found = start
        .designed(
            &said(&[
                "lead, head end = 0.125 mm within 0.0001 mm",
                "cut-off, head end = 71.7389 % within 0.001 %",
            ]),
            &said(&["advance from 20° to 50°", "lap from 0.5 mm to 1.5 mm"]),
        )
        .unwrap();
    assert!(found.reached, "{found:?}");
    let drawn = |name: &str| found.machine.known.iter().find(|known| known.name == name).unwrap().drawn;
    assert!((drawn("lap") - 1.0).abs() < 1e-3 && (drawn("advance").to_degrees() - 34.2289).abs() < 1e-2);
}

/// More is wished than two sizes can give: no place of a grid over the bounds is better.
#[test]
fn what_cannot_all_be_had_is_the_least_squares_and_says_so() {
    let start = read(&engine("40 mm", ""));
    let wants = ["lead, head end = 0.3 mm within 0.05 mm", "cut-off, head end = 85 % within 1 %"];
    let found = start
        .designed(&said(&wants), &said(&["advance from 30° to 40°", "lap from 0.9 mm to 1.1 mm"]))
        .unwrap();
    assert!(!found.reached && found.notes.iter().any(|note| note.contains("squares")), "{found:?}");
    let cost = |machine: &Machine| {
        let told = machine.told().unwrap().remove(0);
        let lead = (value(&told, "lead, head end") - 0.3) / 0.05;
        let cut = (value(&told, "cut-off, head end") - 0.85) / 0.01;
        lead * lead + cut * cut
    };
    let best = cost(&found.machine);
    for advance in ["30°", "35°", "40°"] {
        for lap in ["0.9 mm", "1 mm", "1.1 mm"] {
            let tried =
                start.with(&format!("advance = {advance}")).unwrap().with(&format!("lap = {lap}")).unwrap();
            assert!(best <= cost(&tried) + 1e-6, "{advance} {lap}: {} under {best}", cost(&tried));
        }
    }
    for (want, by, word) in [
        ("lead, head end = 0.3 mm within 0 mm", "lap", "within"),
        ("lead, head = 0.3 mm", "lap", "lead, head end"),
        ("lead, head end = 0.3 mm", "lap from 2 mm to 1 mm", "lesser bound"),
        ("lead, head end = 0.3 mm", "lep", "lap"),
    ] {
        let fault = start.designed(&said(&[want]), &said(&[by])).unwrap_err();
        assert!(fault.to_string().contains(word), "{fault}");
    }
}

/// A stroke is twice the throw, at its worst too; a rod does nothing to it.
#[test]
fn at_worst_a_stroke_goes_twice_as_far_as_its_throw() {
    let mut machine = read(&engine("40 mm", ""));
    for (name, room) in [("crank throw", 0.05), ("rods", 0.5)] {
        machine.known.iter_mut().find(|known| known.name == name).unwrap().room = Some(room);
    }
    let told = machine.told().unwrap().remove(0);
    let (all, exact) = machine.at_worst(&told);
    let stroke = all.iter().find(|one| one.name == "stroke of piston").unwrap();
    let [least, most] = stroke.ends.clone().unwrap();
    assert!((least - 23.9).abs() < 1e-6 && (most - 24.1).abs() < 1e-6, "{least} {most}");
    assert!(exact.contains(&"advance".to_owned()) && !exact.contains(&"rods".to_owned()), "{exact:?}");
}

const CLEAR: &str = "[[mechanism.shape]]\nname = \"pin head\"\non = \"crank\"\nat = \"pin\"\ndiameter = \"6 mm\"\n\
                     [[mechanism.shape]]\nname = \"post\"\non = \"frame\"\nat = \"post\"\ndiameter = \"4 mm\"\n\
                     [[mechanism.clear]]\nbetween = [\"pin head\", \"post\"]\nleast = \"4 mm\"\n";

/// By hand: a pin head of 6 on a circle of 12 and a post of 4 at 20 in the line of the cylinder come
/// to 20 - 12 - 3 - 2. A plate of 30 by 10 turned about a hole 5 in from its left and lower edges reaches
/// √(25² + 5²) with its far corners: 40 less that less 2, at atan(5/25).
#[test]
fn the_least_clearance_over_the_turn_is_found_where_it_is() {
    let pivot = "[[mechanism.pivot]]\nname = \"post\"\nright = \"20 mm\"\n";
    let machine = read(&engine("80 mm", &format!("{pivot}{CLEAR}")));
    let told = machine.told().unwrap().remove(0);
    let cleared = machine.clearances(&told).unwrap().remove(0);
    let degrees = cleared.drawn.at.to_degrees().rem_euclid(360.0);
    assert!((cleared.drawn.least - 3.0).abs() < 1e-3 && degrees.min(360.0 - degrees) < 1.0, "{cleared:?}");
    assert!(cleared.drawn.proven > 2.9 && cleared.notes[0].contains("4.000 mm is wanted"), "{cleared:?}");

    let plate = read_drawing(
        "plate.toml",
        "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = 30\nheight = 10\n\
         thickness = 3\ndatum = \"bottom left\"\n[[feature]]\nname = \"near\"\nkind = \"hole\"\ndiameter = 4\n\
         place = [\"5 right of datum\", \"5 above datum\"]\n[[feature]]\nname = \"far\"\nkind = \"hole\"\ndiameter = 4\n\
         place = [\"12 right of near\", \"level with near\"]\n",
    )
    .unwrap();
    let held = [Held { drawing: &plate, metric: None }];
    let shape = CLEAR.replace(
        "on = \"crank\"\nat = \"pin\"\ndiameter = \"6 mm\"",
        "on = \"crank\"\npart = \"Plate\"\nlaid = [\"near on centre\", \"far on pin\"]",
    );
    let text = engine("80 mm", &format!("{}{shape}", pivot.replace("20 mm", "40 mm")));
    let (machines, faults) = read_mechanisms("mechanism.toml", &text, &held);
    assert!(faults.is_empty(), "{faults:#?}");
    let told = machines[0].told().unwrap().remove(0);
    let cleared = machines[0].clearances(&told).unwrap().remove(0);
    let (reach, degrees) = (650_f64.sqrt(), cleared.drawn.at.to_degrees().rem_euclid(360.0));
    assert!((cleared.drawn.least - (38.0 - reach)).abs() < 0.01, "{cleared:?}");
    assert!((degrees.min(360.0 - degrees) - (0.2_f64).atan().to_degrees()).abs() < 1.0, "{degrees}");
    assert!(cleared.notes.is_empty(), "{:?}", cleared.notes);
}

#[test]
fn shapes_and_wishes_that_say_too_little_are_told_with_their_line() {
    let pivot = "[[mechanism.pivot]]\nname = \"post\"\nright = \"20 mm\"\n";
    for (from, to, word) in [
        ("on = \"crank\"", "on = \"krank\"", "crank"),
        ("at = \"pin\"", "at = \"pen\"", "pin"),
        ("diameter = \"6 mm\"", "width = \"6 mm\"", "from"),
        (
            "diameter = \"6 mm\"",
            "diameter = \"6 mm\"\npart = \"Plate\"\nlaid = [\"a on pin\", \"b on centre\"]",
            "twice",
        ),
        ("at = \"pin\"\ndiameter = \"6 mm\"", "", "by nothing"),
        (
            "at = \"pin\"\ndiameter = \"6 mm\"",
            "part = \"Plate\"\nlaid = [\"near on pin\"]",
            "two of its features",
        ),
        ("at = \"pin\"\ndiameter = \"6 mm\"", "corners = [{ along = \"1 mm\" }]", "1 corners"),
        ("[\"pin head\", \"post\"]", "[\"pin head\", \"pest\"]", "post"),
        ("[\"pin head\", \"post\"]", "[\"pin head\"]", "two shapes"),
        ("[\"pin head\", \"post\"]", "[\"pin head\", \"pin head\"]", "one link"),
        ("name = \"post\"\non", "name = \"pin head\"\non", "two shapes are called"),
        (
            "least = \"4 mm\"\n",
            "least = \"4 mm\"\n[[mechanism.want]]\nresult = \"lead, head end\"\nis = \"0.1 mm\"\n",
            "belong together",
        ),
        (
            "least = \"4 mm\"\n",
            "least = \"4 mm\"\n[[mechanism.free]]\nsize = \"lap\"\nfrom = \"1 mm\"\n",
            "one bound only",
        ),
    ] {
        let text = engine("80 mm", &format!("{pivot}{CLEAR}").replacen(from, to, 1));
        let (_, faults) = read_mechanisms("mechanism.toml", &text, &[]);
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert!(told.iter().any(|fault| fault.contains(word) && fault.contains("line")), "{word}: {told:#?}");
    }
}

/// A throw of 12 and an eccentric of 2 a right angle on: √148 long, and its angle at the pin has the
/// tangent 2/12 (trade notes on return arms).
#[test]
fn a_return_arm_is_told_by_its_length_and_its_angle_at_the_pin() {
    let machine = read(&engine("40 mm", "").replace("34.228866°", "0.0000001°"));
    let told = machine.told().unwrap().remove(0);
    let arms = machine.arms(&told.drawn);
    let [arm] = &arms[..] else { panic!("{arms:?}") };
    assert!(
        (arm.length - 148_f64.sqrt()).abs() < 1e-6 && (arm.angle.tan() - 2.0 / 12.0).abs() < 1e-6,
        "{arm:?}"
    );
    assert!((arm.apart.to_degrees() - 90.0).abs() < 1e-6, "{arm:?}");
}
