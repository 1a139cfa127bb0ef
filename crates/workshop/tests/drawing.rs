//! The drawing as a whole: read, solved, and told what is wrong with it.

use proptest::prelude::*;
use workshop::bench::{empty_bench, read_bench};
use workshop::drawing::{Axis, Drawing, FeatureId, Given, Part, read_drawing, solve, solve_as_far};
use workshop::geometry::Point;
use workshop::measure::Length;
use workshop::metric::metricate;
use workshop::tables::general_tolerance::Class;

const LEVER: &str = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
const EXAMPLES: [(&str, &str); 4] = [
    ("valve-lever.toml", LEVER),
    ("gear-cover.toml", include_str!("../../../examples/kittiwake/parts/gear-cover.toml")),
    ("pump-bracket.toml", include_str!("../../../examples/kittiwake/parts/pump-bracket.toml")),
    ("valve-spindle.toml", include_str!("../../../examples/kittiwake/parts/valve-spindle.toml")),
];

fn read(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", shown(&faults)))
}

fn shown(faults: &[workshop::problem::Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn feature(drawing: &Drawing, name: &str) -> FeatureId {
    FeatureId(drawing.features.iter().position(|f| f.name == name).expect("the part has the feature"))
}

#[test]
fn every_example_reads_solves_and_is_possible() {
    for (file, text) in EXAMPLES {
        let drawing = read(text);
        let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{file}: {}", shown(&faults)));
        let faults = Part::as_drawn(&drawing, &solved).impossible();
        assert!(faults.is_empty(), "{file}: {}", shown(&faults));
    }
    let bench = read_bench("bench.toml", include_str!("../../../examples/kittiwake/bench.toml"));
    let bench = bench.unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    assert_eq!(bench.drills.iter().filter(|d| d.diameter == Length::microns(2500)).count(), 1);
    assert!(bench.assumed.is_empty(), "{:?}", bench.assumed);
    assert!(!empty_bench().assumed.is_empty());
}

/// Worked by hand from the sheet: 59/32 - 17/32 = 42/32; 42/32 - 13/32 = 29/32.
#[test]
fn a_chain_away_from_the_datum_adds_up_exactly() {
    let drawing = read(LEVER);
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    let anchor = feature(&drawing, "spring anchor");
    assert_eq!(part.xy(anchor), Some((Length::inches(29, 32), Length::inches(3, 32))));
    assert_eq!(part.at(feature(&drawing, "clamp screw"), Axis::Z), Some(Length::inches(3, 16)));
}

#[test]
fn mirrored_twice_is_the_same_part_and_once_is_its_image() {
    let drawing = read(LEVER);
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    let (once, twice) = (part.mirrored(), part.mirrored().mirrored());
    for (id, _) in part.features() {
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            assert_eq!(part.at(id, axis), twice.at(id, axis));
            let expected = part.at(id, axis).map(|at| if axis == Axis::X { -at } else { at });
            assert_eq!(once.at(id, axis), expected);
        }
    }
    let (drawn, image) = (part.outline().unwrap(), once.outline().unwrap());
    assert!((drawn.area_mm2() - image.area_mm2()).abs() < 1e-9 && drawn.area_mm2() > 0.0);
    for place in [(30.0, 7.0), (46.0, -6.9), (-11.0, 0.0), (50.0, 5.9)] {
        assert_eq!(
            drawn.contains(Point::new(place.0, place.1)),
            image.contains(Point::new(-place.0, place.1))
        );
    }
}

/// Each change to the lever, and what must be said about it.
#[test]
fn what_is_wrong_with_a_drawing_is_said_with_line_reason_and_remedy() {
    for (was, becomes, said) in [
        ("unit = \"inch\"\n", "", "`7/16` has no unit"),
        ("\"5 BA\"", "\"5 BX\"", "5 BX"),
        ("\"No. 43\"", "\"No. 93\"", "93"),
        ("\"level with rod boss\"]", "\"level with rood boss\"]", "nothing is called `rood boss`"),
        ("  \"level with pivot boss\",\n", "", "nothing says how far up or down the sheet `rod boss` is"),
        ("radius = \"9/32\"", "raduis = \"9/32\"", "rod boss: radius is missing"),
        ("radius = \"9/32\"", "radius = \"0\"", "`0` is not more than nought"),
        ("radius = \"9/32\"", "radius = \"9/0\"", "cannot read `9/0` as a length"),
        ("\"mid thickness\"]", "\"halfway\"]", "cannot read the place `halfway`"),
        ("kind = \"slit\"", "kind = \"slti\"", "`slti` is not known for `kind`"),
        ("17/32 left of rod boss", "1 17/32 left of rod boss", "`pivot bore` breaks into `spring anchor` by"),
        (
            "13/32 left of stop hole\", \"3/32",
            "13/32 left of stop hole\", \"3/8",
            "`spring anchor` breaks out of the part by",
        ),
        ("leaves = \"3/16\"", "leaves = \"3/8\"", "`arm step` leaves 9.525 mm"),
        ("1 27/32 right", "1/16 right", "boss"),
        ("\"mild steel\"", "\"unobtainium\"", "no material is known as `unobtainium`"),
        ("\"sliding\"", "\"wobbly\"", "`wobbly` is no fit that is known by a word"),
        ("name = \"stop hole\"", "name = \"rod bore\"", "two features are called `rod bore`"),
    ] {
        assert!(LEVER.contains(was), "{was}");
        let text = LEVER.replacen(was, becomes, 1);
        let faults = match read_drawing("lever.toml", &text) {
            Err(faults) => faults,
            Ok(drawing) => match solve(&drawing) {
                Err(faults) => faults,
                Ok(solved) => Part::as_drawn(&drawing, &solved).impossible(),
            },
        };
        let found = faults.iter().find(|fault| fault.what().contains(said));
        let fault = found.unwrap_or_else(|| panic!("{becomes} should say {said}:\n{}", shown(&faults)));
        assert!(fault.place().starts_with("lever.toml"), "{fault}");
        assert!(fault.remedy().is_some() || fault.what().contains("boss"), "{fault}");
    }
}

#[test]
fn a_dimension_given_twice_is_a_check_or_a_disagreement_with_its_amount() {
    let chain = |extra: &str| {
        LEVER.replacen(
            "place = [\"17/32 left of rod boss\",",
            &format!("place = [\"17/32 left of rod boss\", \"{extra} right of pivot boss\","),
            1,
        )
    };
    let drawing = read(&chain("1 5/16"));
    let solved = solve(&drawing).unwrap();
    assert_eq!(solved.checks.len(), 1);
    // 1.3125 exactly; three places may hide half a thousandth.
    let drawing = read(&chain("1.313"));
    assert_eq!(solve(&drawing).unwrap().checks.len(), 1);
    let drawing = read(&chain("1 3/8"));
    let faults = solve(&drawing).unwrap_err();
    assert_eq!(faults[0].what(), "the drawing disagrees with itself by 1.5875 mm (0.0625 in)");
    let why = faults[0].reason().unwrap();
    for part in ["17/32 left of rod boss", "1 3/8 right of pivot boss", "1 27/32 right of pivot boss"] {
        assert!(why.contains(part), "{why}");
    }
    assert!(!why.contains("level with"), "only the statements that disagree: {why}");
}

/// By hand: in a plate 2 wide, a hole 5/8 from the left has its image 5/8 from
/// the right, at the same height.
#[test]
fn a_hole_can_be_the_image_of_another_in_a_centre_line() {
    let text = "part = \"plate\"\nunit = \"inch\"\n[body]\nkind = \"rectangle\"\nwidth = \"2\"\nheight = \"1\"\n\
                thickness = \"1/4\"\ndatum = \"bottom left\"\n\
                [[feature]]\nname = \"A\"\nkind = \"hole\"\ndiameter = \"1/8\"\n\
                place = [\"5/8 from left edge\", \"3/8 from bottom edge\"]\n\
                [[feature]]\nname = \"B\"\nkind = \"hole\"\ndiameter = \"1/8\"\n\
                place = \"symmetrical with A about the vertical centre line\"\n\
                [[equal]]\ndimensions = [\"A: diameter\", \"B: diameter\"]\n";
    let drawing = read(text);
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    assert_eq!(part.xy(feature(&drawing, "B")), Some((Length::inches(11, 8), Length::inches(3, 8))));
    assert_eq!(solved.checks.len(), 1);
    // Whatever the bench, both take the same size.
    let metric =
        metricate(&drawing, &solved, &empty_bench()).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let size = |name: &str| {
        metric.dimensions.iter().find(|choice| drawing.dimensions[choice.id.0].name == name).unwrap().chosen
    };
    assert_eq!(size("A: diameter"), size("B: diameter"));
    let differing = read(&text.replacen("diameter = \"1/8\"", "diameter = \"9/64\"", 1));
    let faults = solve(&differing).unwrap_err();
    assert_eq!(faults[0].what(), "`A: diameter` and `B: diameter` differ by 0.396875 mm");
    let misnamed = read_drawing("plate.toml", &text.replacen("A: diameter", "A: diametre", 1)).unwrap_err();
    assert_eq!(misnamed[0].remedy(), Some("did you mean `A: diameter`?"));
}

/// A role and a tolerance that nobody gave are marked as supposed; saying once
/// that the usual ones hold makes them said.
#[test]
fn usual_roles_and_a_general_tolerance_are_supposed_until_they_are_said() {
    let said = read(LEVER);
    let silent =
        read(&LEVER.replacen("usual_roles = true", "", 1).replacen("general_tolerance = \"coarse\"", "", 1));
    let supposed =
        |drawing: &Drawing| drawing.dimensions.iter().filter(|d| d.role.1 == Given::Assumed).count();
    assert_eq!((supposed(&said), supposed(&silent)), (0, said.dimensions.len() - 1));
    assert_eq!((said.general_tolerance, silent.general_tolerance), (Some(Class::Coarse), None));
    let faults = read_drawing("lever.toml", &LEVER.replacen("\"coarse\"", "\"corse\"", 1)).unwrap_err();
    assert!(faults[0].remedy().unwrap().contains("`coarse`"), "{}", shown(&faults));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Holes chained one from another in any order and direction land where the
    /// sum of their own steps puts them.
    #[test]
    fn solved_positions_satisfy_every_statement(
        steps in prop::collection::vec((0usize..8, -640i64..640, -640i64..640), 1..8),
        rotate in 0usize..8,
    ) {
        let mut at = vec![(Length::ZERO, Length::ZERO)];
        let mut features = Vec::new();
        for (index, &(from, right, up)) in steps.iter().enumerate() {
            let from = from % (index + 1);
            let base = if from == 0 { "datum".to_owned() } else { format!("hole {from}") };
            let (side, height) = (if right < 0 { "left of" } else { "right of" }, if up < 0 { "below" } else { "above" });
            features.push(format!(
                "[[feature]]\nname = \"hole {}\"\nkind = \"hole\"\ndiameter = \"1/64\"\n\
                 place = [\"{}/64 {side} {base}\", \"{}/64 {height} {base}\"]\n",
                index + 1, right.abs(), up.abs(),
            ));
            let (x, y) = at[from];
            at.push((x + Length::inches(right.into(), 64), y + Length::inches(up.into(), 64)));
        }
        let turn = rotate % features.len();
        features.rotate_left(turn);
        let text = format!(
            "part = \"plate\"\nunit = \"inch\"\n[body]\nkind = \"rectangle\"\nwidth = \"4\"\nheight = \"4\"\n\
             thickness = \"1/4\"\ndatum = \"centre\"\n{}",
            features.concat()
        );
        let drawing = read(&text);
        let solved = solve(&drawing).unwrap();
        let part = Part::as_drawn(&drawing, &solved);
        for (index, &(x, y)) in at.iter().enumerate().skip(1) {
            prop_assert_eq!(part.xy(feature(&drawing, &format!("hole {index}"))), Some((x, y)));
        }
    }

    #[test]
    fn no_text_makes_the_readers_panic(at in 0usize..2000, text in "\\PC{0,12}") {
        let mut at = at.min(LEVER.len());
        while !LEVER.is_char_boundary(at) {
            at -= 1;
        }
        let spoilt = format!("{}{text}{}", &LEVER[..at], &LEVER[at..]);
        if let Ok(drawing) = read_drawing("spoilt.toml", &spoilt)
            && let Ok(solved) = solve(&drawing)
        {
            let _ = Part::as_drawn(&drawing, &solved).impossible();
        }
        let _ = read_bench("spoilt.toml", &spoilt);
    }
}

/// A drawing still being entered: what is settled has its place, and the fault
/// names the feature that has none.
#[test]
fn an_unfinished_drawing_is_solved_as_far_as_it_goes() {
    let drawing = read(&LEVER.replacen("  \"level with pivot boss\",\n", "", 1));
    let (solved, faults) = solve_as_far(&drawing);
    let part = Part::as_drawn(&drawing, &solved);
    let rod = feature(&drawing, "rod boss");
    assert_eq!((part.at(rod, Axis::X), part.at(rod, Axis::Y)), (Some(Length::inches(59, 32)), None));
    assert_eq!(part.xy(feature(&drawing, "pivot bore")), Some((Length::ZERO, Length::ZERO)));
    assert!(faults.iter().any(|fault| fault.concerned() == ["rod boss"]), "{}", shown(&faults));
    // Nothing that draws the part stumbles over what is missing.
    let _ = (part.walls(), part.impossible(), part.outline(), part.edges(), part.mirrored().walls());
    assert!(solve(&drawing).is_err());
}
