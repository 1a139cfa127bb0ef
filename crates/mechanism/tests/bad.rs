//! Descriptions of any kind: a fault in words or a mechanism, never a panic.

mod made;

use mechanism::{
    Assembly, At, Drive, Kind, Line, LinkId, Mechanism, Model, ParamId, PointId, Side, Size, Span,
};
use proptest::prelude::*;

fn size() -> impl Strategy<Value = Size> {
    let number = prop_oneof![8 => -30.0..60.0_f64, 1 => Just(0.0), 1 => Just(f64::NAN), 1 => Just(1e300)];
    prop_oneof![
        4 => number.prop_map(Size::from),
        1 => (0..4_usize, -2.0..2.0_f64).prop_map(|(p, by)| Size { terms: vec![(ParamId(p), by)], plus: 1.0 }),
    ]
}

fn link() -> impl Strategy<Value = LinkId> {
    prop_oneof![20 => (0..4_usize).prop_map(LinkId), 1 => Just(LinkId(9))]
}

fn point() -> impl Strategy<Value = PointId> {
    (link(), prop_oneof![20 => 0..2_usize, 1 => Just(7)]).prop_map(|(link, point)| PointId { link, point })
}

fn line() -> impl Strategy<Value = Line> {
    prop_oneof![
        (point(), size()).prop_map(|(p, a)| Line::At(p, a)),
        (point(), point()).prop_map(|(a, b)| Line::Between(a, b)),
    ]
}

fn place() -> impl Strategy<Value = At> {
    prop_oneof![
        6 => (size(), size()).prop_map(|(x, y)| At::xy(x, y)),
        2 => (proptest::option::of(point()), size(), size())
            .prop_map(|(from, length, angle)| At::Polar { from, length, angle }),
        1 => (point(), point(), size(), size())
            .prop_map(|(a, b, from_a, from_b)| At::Reach { a, b, from_a, from_b, side: Side::Left }),
    ]
}

fn kind() -> impl Strategy<Value = Kind> {
    prop_oneof![
        6 => (point(), point()).prop_map(|(a, b)| Kind::Pin(a, b)),
        2 => (point(), line()).prop_map(|(p, l)| Kind::Slot(p, l)),
        1 => (point(), point(), size()).prop_map(|(point, centre, radius)| Kind::Arc { point, centre, radius }),
        1 => (link(), link(), size()).prop_map(|(link, on, angle)| Kind::Keep { link, on, angle }),
        1 => (link(), link(), link(), size(), size())
            .prop_map(|(link, by, carrier, ratio, phase)| Kind::Gear { link, by, carrier, ratio, phase }),
    ]
}

fn drive() -> impl Strategy<Value = Option<Drive>> {
    prop_oneof![
        1 => Just(None),
        6 => (link(), link(), size())
            .prop_map(|(link, on, zero)| Some(Drive::Turn { link, on, zero, way: Side::Left })),
        1 => (point(), line(), size()).prop_map(|(point, line, zero)| Some(Drive::Slide { point, line, zero })),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]
    #[test]
    fn anything_is_a_mechanism_or_a_fault_in_words(
        places in proptest::collection::vec(place(), 8),
        kinds in proptest::collection::vec(kind(), 0..7),
        drive in drive(),
        at in -4.0..4.0_f64,
    ) {
        let mut m = Mechanism::new();
        m.param("a", 10.0);
        m.param("b", 25.0);
        m.link("one");
        m.link("two");
        m.link("three");
        for (i, place) in places.into_iter().enumerate() {
            m.point(LinkId(i / 2), format!("p{i}"), place);
        }
        for (i, kind) in kinds.into_iter().enumerate() {
            m.joint(format!("joint {i}"), kind);
        }
        m.drive = drive;
        match Model::new(&m) {
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(!fault.what.is_empty() && !fault.why.is_empty() && !fault.mend.is_empty());
                }
            }
            Ok(model) => match model.assemble(at, &Assembly::Mode(0)) {
                Err(fault) => prop_assert!(!fault.what.is_empty() && !fault.mend.is_empty()),
                Ok(state) => {
                    prop_assert!(model.error(&state) < 1e-8, "{}", model.error(&state));
                    let turn = model.turn(&state, Span { long: 1.0, steps: 8 });
                    prop_assert!(turn.states.iter().all(|s| model.error(s) < 1e-8));
                }
            },
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    /// Gears of every kind with sizes that are far off: they lock, or do not go together, or go
    /// round; wherever they stand their equations hold.
    #[test]
    fn a_gear_of_any_sizes_stands_or_says_why_not(
        which in 0..6_usize,
        by in proptest::collection::vec(prop_oneof![6 => 0.7..1.3_f64, 2 => 0.1..4.0_f64, 1 => Just(0.0)], 24),
        at in 0.0..6.3_f64,
    ) {
        let mut of = match which {
            0 => made::link_motion(true, 0.2).engine.of,
            1 => made::radial_gear(0.1).engine.of,
            2 => made::displacer().of,
            3 => made::drop_valve().of,
            4 => made::slide_valve(20.0, 70.0, 6.0, 30.0, 80.0).of,
            _ => made::generated::generated(by[0].to_bits(), 7).of,
        };
        for (param, by) in of.params.iter_mut().zip(&by) {
            param.value *= by;
        }
        let Ok(model) = Model::new(&of) else { return Ok(()) };
        match model.assemble(at, &Assembly::Mode(0)) {
            Err(fault) => prop_assert!(!fault.what.is_empty() && !fault.why.is_empty()),
            Ok(state) => {
                let turn = model.turn(&state, Span { steps: 60, ..Span::TURN });
                for state in &turn.states {
                    prop_assert!(model.error(state) < 1e-7, "{} at {}", model.error(state), state.angle);
                }
                prop_assert!(turn.whole || !turn.events.is_empty());
                for told in turn.transmission() {
                    prop_assert!((0.0..=1.58).contains(&told.least));
                }
            }
        }
    }
}

#[test]
fn a_joint_of_a_link_with_itself_is_named() {
    let mut m = Mechanism::new();
    let l = m.link("arm");
    let (a, b) = (m.point(l, "a", At::xy(0.0, 0.0)), m.point(l, "b", At::xy(1.0, 0.0)));
    m.pin("odd pin", a, b);
    m.crank(l);
    let faults = Model::new(&m).unwrap_err();
    assert!(faults[0].what.contains("odd pin joins a link to itself"), "{}", faults[0]);
}
