//! Mechanisms of a project: reading them, what they do, and what is wrong with them.

#[path = "linkage/sizes.rs"]
mod sizes;

use proptest::prelude::*;
use workshop::drawing::{Role, read_drawing};
use workshop::linkage::{Machine, Told, closest, hold_sizes, look, read_mechanisms};
use workshop::measure::Length;
use workshop::metric::limit;
use workshop::stack::Held;

/// A slide-valve engine; the rods and laps are as asked.
fn engine(rods: &str, more: &str) -> String {
    format!(
        "[[mechanism]]\nname = \"engine\"\n[mechanism.sizes]\n\"crank throw\" = \"12 mm\"\n\"throw\" = \"2 mm\"\n\
         \"advance\" = \"34.228866°\"\n\"rods\" = \"{rods}\"\n\"lap\" = \"1 mm\"\n[[mechanism.pivot]]\nname = \"shaft\"\n\
         [[mechanism.line]]\nname = \"cylinder\"\nthrough = \"shaft\"\nat = \"0°\"\n[[mechanism.crank]]\nname = \"crank\"\n\
         on = \"shaft\"\npoints = [{{ name = \"pin\", out = \"crank throw\", at = \"0°\" }}]\n[[mechanism.eccentric]]\n\
         name = \"sheave\"\non = \"crank\"\nthrow = \"throw\"\nat = \"90° + advance\"\n[[mechanism.slider]]\nname = \"piston\"\n\
         along = \"cylinder\"\n[[mechanism.slider]]\nname = \"valve\"\nalong = \"cylinder\"\n[[mechanism.link]]\nname = \"rod\"\n\
         from = \"crank: pin\"\nto = \"piston: centre\"\nlength = \"rods\"\n[[mechanism.link]]\nname = \"strap\"\n\
         from = \"crank: sheave\"\nto = \"valve: centre\"\nlength = \"rods\"\n[[mechanism.near]]\npoint = \"piston: centre\"\n\
         at = [\"{rods}\", \"0 mm\"]\n[[mechanism.near]]\npoint = \"valve: centre\"\nat = [\"{rods}\", \"0 mm\"]\n\
         [[mechanism.valve]]\nname = \"slide valve\"\npiston = \"piston\"\nvalve = \"valve\"\nlap = \"lap\"\n\
         exhaust_lap = \"0.125 mm\"\nport = \"1 mm\"\n{more}"
    )
}

fn read(text: &str) -> Machine {
    let (mut machines, faults) = read_mechanisms("mechanism.toml", text, &[]);
    assert!(faults.is_empty(), "{faults:#?}");
    machines.remove(0)
}

fn value(told: &Told, name: &str) -> f64 {
    let found = told.drawn.results.iter().find(|result| result.asked.name == name);
    found.unwrap_or_else(|| panic!("{name}")).value
}

/// The valve equation with endless rods: x = r sin(θ + δ), sin δ = (lap + lead)/r; lap 1,
/// lead 0.125, half travel 2, exhaust lap 0.125 (closed form; any text on the slide valve has
/// it). Cut-off at 115.7711° and 0.717389 of the stroke, release at 149.3545° and 0.930169,
/// compression at 322.1878°.
#[test]
fn an_engine_with_very_long_rods_keeps_the_valve_equation() {
    let told = read(&engine("50000 mm", "")).told().unwrap().remove(0);
    for end in ["head end", "crank end"] {
        let degrees = |name: &str| value(&told, &format!("angle of {name}, {end}")).to_degrees();
        assert!((value(&told, &format!("lead, {end}")) - 0.125).abs() < 1e-4);
        for (event, angle) in [("cut-off", 115.7711), ("release", 149.3545), ("compression", 322.1878)] {
            assert!((degrees(event) - angle).abs() < 0.01, "{event}, {end}: {}", degrees(event));
        }
        assert!((value(&told, &format!("cut-off, {end}")) - 0.717_389).abs() < 2e-4);
        assert!((value(&told, &format!("release, {end}")) - 0.930_169).abs() < 2e-4);
    }
    assert!((value(&told, "stroke of piston") - 24.0).abs() < 1e-6);
}

/// What a size does to a result, against the same mechanism with that size a little other.
#[test]
fn a_size_changes_results_by_what_is_told() {
    let machine = read(&engine("40 mm", ""));
    let told = machine.told().unwrap().remove(0);
    for (at, known) in machine.known.iter().enumerate() {
        // The nut is set anew for every size; its own place is no size to try.
        if known.name.contains("nut") || known.name == "rods" {
            continue;
        }
        let step = 1e-5;
        let with = |by: f64| {
            let mut machine = machine.clone();
            machine.of.params[at].value += by;
            machine.valves.iter_mut().for_each(|valve| valve.set = None);
            let nut = machine.known.iter().position(|k| k.name.contains("nut")).unwrap();
            machine.of.params[nut].value = told.drawn.values[nut];
            machine.told().unwrap().remove(0)
        };
        let (less, more) = (with(-step), with(step));
        for result in &told.drawn.results {
            let name = &result.asked.name;
            let central = (value(&more, name) - value(&less, name)) / (2.0 * step);
            let told = result.by[at];
            assert!(
                (central - told).abs() < 1e-5 * (1.0 + told.abs()),
                "{name} by {}: {central} {told}",
                known.name
            );
        }
    }
}

#[test]
fn a_wanted_result_is_found_or_told_how_near() {
    let machine = read(&engine("40 mm", ""));
    let (found, _) = machine.wanted("cut-off, head end = 70 %", "advance").unwrap();
    assert!((value(&found.told().unwrap()[0], "cut-off, head end") - 0.7).abs() < 1e-8);
    let fault = machine.wanted("stroke of piston = 40 mm", "lap").unwrap_err();
    assert!(fault.reason().unwrap().contains("24.000 mm"), "{fault}");
    for (want, by, word) in [
        ("cut-of, head end = 70 %", "advance", "cut-off, head end"),
        ("cut-off, head end = 70", "advance", "share"),
        ("cut-off, head end = 70 %", "advanse", "advance"),
    ] {
        let fault = machine.wanted(want, by).unwrap_err();
        assert!(fault.remedy().unwrap().contains(word) || fault.what().contains(word), "{fault}");
    }
    let tried = machine.with("lap = 1/16 in").unwrap();
    assert!(tried.known.iter().any(|known| known.name == "lap" && (known.drawn - 1.5875).abs() < 1e-12));
}

/// With every size at its worst at once the result strays by what is allowed, no more.
#[test]
fn the_closest_sizes_use_up_what_is_allowed() {
    let hold = "[[mechanism.hold]]\nresult = \"cut-off, head end\"\nwithin = \"1 %\"\n";
    let machine = read(&engine("40 mm", hold));
    let told = machine.told().unwrap();
    let close = closest(&machine, &told, &[]).unwrap().unwrap();
    let result = told[0].drawn.results.iter().find(|r| r.asked.name == "cut-off, head end").unwrap();
    let worst: f64 = close.rooms.iter().map(|room| (result.by[room.param] * room.worst).abs()).sum();
    assert!((worst - 0.01).abs() < 1e-9, "{worst}");
    let likely: f64 = close.rooms.iter().map(|room| (result.by[room.param] * room.likely).powi(2)).sum();
    assert!((likely.sqrt() - 0.01).abs() < 1e-9);
    assert!(close.rooms.iter().all(|room| room.likely >= room.worst));
    let wrong = read(&engine("40 mm", &hold.replace("cut-off,", "cutoff,")));
    let fault = closest(&wrong, &wrong.told().unwrap(), &[]).unwrap_err();
    assert!(fault.remedy().unwrap().contains("cut-off, head end"), "{fault}");
}

#[test]
fn a_size_of_a_part_is_taken_from_its_drawing() {
    let crank = read_drawing(
        "crank.toml",
        "part = \"Crank\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = 3\nheight = 1\n\
         thickness = \"1/4\"\ndatum = \"centre\"\n[[feature]]\nname = \"shaft bore\"\nkind = \"hole\"\ndiameter = \"3/8\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"pin bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"11/16 right of shaft bore\", \"level with shaft bore\"]\n",
    )
    .unwrap();
    let held = [Held { drawing: &crank, metric: None }];
    let text = engine("40 mm", "").replace("\"12 mm\"", "\"Crank: pin bore: right of shaft bore\"");
    let (machines, faults) = read_mechanisms("mechanism.toml", &text, &held);
    assert!(faults.is_empty(), "{faults:#?}");
    let told = machines[0].told().unwrap().remove(0);
    assert!((value(&told, "stroke of piston") - 2.0 * 11.0 / 16.0 * 25.4).abs() < 1e-9);
    assert!(told.made.is_none() && told.open.unwrap().contains("Crank"));
}

/// A stroke is twice the throw: 0.02 mm of it leave 0.01 mm to the throw. What the file says
/// itself stays as it says.
#[test]
fn what_a_mechanism_hangs_on_is_held_as_closely_as_its_results() {
    let crank = |place: &str| {
        read_drawing(
            "crank.toml",
            &format!(
                "part = \"Crank\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = 60\nheight = 20\n\
                 thickness = 6\ndatum = \"centre\"\n[[feature]]\nname = \"shaft bore\"\nkind = \"hole\"\ndiameter = 9\nplace = [\"datum\"]\n\
                 [[feature]]\nname = \"pin bore\"\nkind = \"hole\"\ndiameter = 6\nplace = [{place}, \"level with shaft bore\"]\n"
            ),
        )
        .unwrap()
    };
    let hold = "[[mechanism.hold]]\nresult = \"stroke of piston\"\nwithin = \"0.02 mm\"\n";
    let text = engine("40 mm", hold).replace("\"12 mm\"", "\"Crank: pin bore: right of shaft bore\"");
    let held = |place: &str| {
        let mut drawings = [crank(place)];
        let count = hold_sizes(&mut drawings, "mechanism.toml", &text);
        let found = drawings[0].dimensions.iter().find(|d| d.name == "pin bore: right of shaft bore");
        (count, found.unwrap().clone())
    };
    let (count, dimension) = held("\"12 right of shaft bore\"");
    assert_eq!((count, dimension.role.0), (1, Role::Hold));
    assert_eq!(dimension.within, Some(Length::microns(10)));
    let why = limit(&dimension, None).1;
    assert!(why.statement.contains("stroke of piston within 0.02 mm of the mechanism `engine`"), "{why:?}");
    let (count, dimension) = held("{ is = \"12 right of shaft bore\", role = \"free\" }");
    // What the file says stands; that it lets the size go further is told.
    assert_eq!((count, dimension.role.0, dimension.within), (1, Role::Free, None));
    assert!(dimension.loose.is_some());
}

#[test]
fn a_look_has_every_point_at_every_angle() {
    let machine = read(&engine("40 mm", ""));
    let told = machine.told().unwrap().remove(0);
    let seen = look(&machine, &told.drawn);
    assert!(seen.angles.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", seen.angles);
    let pin = seen.points.iter().position(|name| name == "pin of crank").unwrap();
    for (angle, places) in seen.angles.iter().zip(&seen.places) {
        let (s, c) = angle.to_radians().sin_cos();
        assert!((places[pin][0] - 12.0 * c).hypot(places[pin][1] - 12.0 * s) < 1e-9);
    }
    let opening = seen.curves.iter().filter(|curve| curve.kind.starts_with("opening"));
    assert_eq!(opening.count(), 2);
    for curve in &seen.curves {
        assert!(curve.along.is_sorted_by(|a, b| a[0] <= b[0]), "{}: {} goes back", curve.name, curve.kind);
    }
}

#[test]
fn what_is_wrong_is_told_with_its_line_and_how_to_mend_it() {
    let good = engine("40 mm", "");
    for (from, to, word) in [
        ("out = \"crank throw\"", "out = \"crank thro\"", "no size is called"),
        ("out = \"crank throw\"", "out = \"30°\"", "an angle, and a length is wanted"),
        ("at = \"90° + advance\"", "at = \"90° + throw\"", "adds a length and an angle"),
        ("\"12 mm\"", "\"12\"", "has no unit"),
        ("\"12 mm\"", "\"Crank: pin\"", "no part called"),
        ("from = \"crank: pin\"", "from = \"crank: pim\"", "no point is called"),
        ("from = \"crank: pin\"", "from = \"cranck: pin\"", "no link is called"),
        ("along = \"cylinder\"", "along = \"cylindre\"", "no line is called"),
        ("piston = \"piston\"", "piston = \"pistn\"", "no slider is called"),
        ("[[mechanism.crank]]", "[[mechanism.link]]", "nothing drives"),
        ("name = \"strap\"", "name = \"rod\"", "cannot be the name of a link"),
        ("length = \"rods\"\n[[mechanism.link]]", "[[mechanism.link]]", "has no length"),
        ("port = \"1 mm\"", "prot = \"1 mm\"", "wants one size"),
    ] {
        let text = good.replacen(from, to, 1);
        assert_ne!(text, good, "{from}");
        let (_, faults) = read_mechanisms("mechanism.toml", &text, &[]);
        assert!(faults.iter().any(|fault| fault.what().contains(word)), "{to}: {faults:#?}");
        for fault in &faults {
            assert!(fault.remedy().is_some() && fault.place().contains("mechanism.toml"), "{fault}");
        }
    }
    // A rod that does not reach is found when it is put together.
    let short = read(&engine("9 mm", ""));
    let faults = short.told().map(|told| told[0].drawn.notes.clone());
    assert!(faults.is_err() || faults.unwrap().iter().any(|note| note.contains("locks")));
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(
        cut in any::<prop::sample::Index>(),
        put in "[a-z\"=\\[\\]{}0-9.°+×/ \n-]{0,12}",
        long in 0usize..30,
    ) {
        let good = engine("40 mm", "[[mechanism.hold]]\nresult = \"a\"\nwithin = \"1 %\"\n[[mechanism.gear]]\nteeth = [1, 2]\n");
        let chars: Vec<char> = good.chars().collect();
        let at = cut.index(chars.len());
        let spoiled: String = chars[..at].iter().chain(put.chars().collect::<Vec<_>>().iter()).chain(&chars[(at + long).min(chars.len())..]).collect();
        let (machines, _) = read_mechanisms("mechanism.toml", &spoiled, &[]);
        for machine in machines {
            let _ = machine.told();
        }
    }
}

/// A crank of 40 mm 120 mm above the pivot of its slotted arm: the arm turns back where it is
/// tangent to the crank's circle, asin(40/120) = 19.4712° either side of upright (elementary
/// geometry of the crank shaper): with the crank at −19.4712° and 199.4712°, so that it goes
/// 218.9424° one way and 141.0576° back. A throw of 130 mm goes right round the arm's pivot, and
/// the ram's rod cannot follow.
#[test]
fn a_quick_return_turns_back_where_its_arm_is_tangent() {
    let shaper = |throw: &str| {
        format!(
            "[[mechanism]]\nname = \"shaper\"\nunit = \"mm\"\nstart = \"10°\"\n[mechanism.sizes]\n\"throw\" = \"{throw}\"\n\
             [[mechanism.pivot]]\nname = \"gear\"\n[[mechanism.pivot]]\nname = \"rocker\"\nabove = \"-120\"\n\
             [[mechanism.pivot]]\nname = \"way point\"\nabove = \"100\"\n[[mechanism.line]]\nname = \"way\"\n\
             through = \"way point\"\nat = \"0°\"\n[[mechanism.crank]]\nname = \"crank\"\non = \"gear\"\n\
             points = [{{ name = \"pin\", out = \"throw\", at = \"0°\" }}]\n[[mechanism.link]]\nname = \"arm\"\n\
             on = \"rocker\"\npoints = [{{ name = \"top\", out = \"220\", at = \"0°\" }}]\n[[mechanism.line]]\n\
             name = \"arm slot\"\nfrom = \"arm: centre\"\nto = \"arm: top\"\n[[mechanism.slot]]\nname = \"die\"\n\
             pin = \"crank: pin\"\nalong = \"arm slot\"\n[[mechanism.slider]]\nname = \"ram\"\nalong = \"way\"\n\
             [[mechanism.link]]\nname = \"rod\"\nfrom = \"arm: top\"\nto = \"ram: centre\"\nlength = \"60\"\n\
             [[mechanism.near]]\npoint = \"ram: centre\"\nat = [\"60\", \"100\"]\n[[mechanism.near]]\n\
             point = \"arm: top\"\nat = [\"0\", \"100\"]\n[[mechanism.hold]]\nresult = \"stroke of ram\"\nwithin = \"0.2 mm\"\n"
        )
    };
    let told = read(&shaper("40")).told().unwrap().remove(0);
    let degrees = |name: &str| value(&told, name).to_degrees();
    let tangent = (1.0_f64 / 3.0).asin().to_degrees();
    assert!((degrees("dead centre of ram, far") - (360.0 - tangent)).abs() < 1e-6);
    assert!((degrees("dead centre of ram, near") - (180.0 + tangent)).abs() < 1e-6);
    assert!((degrees("turn of the crank from near to far for ram") - (180.0 - 2.0 * tangent)).abs() < 1e-6);
    assert!((value(&told, "stroke of ram") - 2.0 * 220.0 / 3.0).abs() < 1e-6);
    // A bare length is in the mechanism's unit; a shape's points may be named with their link.
    let bar = "[[mechanism.shape]]\nname = \"bar\"\non = \"arm\"\nfrom = \"arm: centre\"\nto = \"top\"\nwidth = \"20\"\n";
    let machine = read(&(shaper("40") + bar));
    let (_, found) = machine.wanted("stroke of ram = 150", "throw").unwrap();
    assert_eq!(found, "40.909 mm");
    let machine = read(&shaper("130"));
    let fault = closest(&machine, &machine.told().unwrap(), &[]).unwrap_err();
    assert!(fault.what().contains("`stroke of ram` cannot be held within 0.2 mm"), "{fault:?}");
    assert!(fault.place().starts_with("mechanism.toml, mechanism `shaper`, line"), "{fault:?}");
}
