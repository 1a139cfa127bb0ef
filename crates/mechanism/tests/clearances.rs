//! Least distances over a turn against closed forms and fine sampling.

mod made;

use std::f64::consts::TAU;

use made::*;
use mechanism::outline::{Outline, Piece};
use mechanism::{Assembly, FRAME, Model, Span, Turn};

fn turn_of(of: &mechanism::Mechanism, at: f64, how: &Assembly, steps: usize) -> Turn {
    let model = Model::new(of).unwrap();
    model.turn(&model.assemble(at, how).unwrap(), Span { long: TAU, steps })
}

/// A crankpin boss of radius 4 on a throw of 20 passes a post of radius 3 that stands 30 from the
/// axle: 30 - 20 - 7 = 3, at the post's own angle.
#[test]
fn a_boss_passes_a_post_as_near_as_the_radii_say() {
    let made = slider_crank(20.0, 70.0, 0.0);
    let turn = turn_of(&made.of, 0.3, &Assembly::Rough(vec![(made.small_end, [90.0, 0.0])]), 36);
    let angle = 1.234_f64;
    let post = Outline::disc(FRAME, "post", [30.0 * angle.cos(), 30.0 * angle.sin()], 6.0);
    let boss = Outline::disc(made.links[0], "boss", [20.0, 0.0], 8.0);
    let told = turn.clearance(&boss, &post, 1e-6).unwrap();
    assert!((told.least - 3.0).abs() < 1e-6 && (told.at - angle).abs() < 1e-3, "{told:?}");
    assert!(told.proven <= 3.0 + 1e-12 && told.proven > 3.0 - 1.1e-6 && told.unproven.is_empty());
}

/// The rod's side against a post above the crank's axle line, by a million samples.
#[test]
fn the_proven_bound_holds_against_fine_sampling() {
    let gear = link_motion(true, 0.2);
    let turn = turn_of(&gear.engine.of, 0.2, &Assembly::Rough(gear.rough.clone()), 72);
    let link = gear.engine.of.find_link("link").unwrap();
    let rod = gear.engine.of.find_link("rod").unwrap();
    let arc = Piece::Arc { centre: [-90.0, 0.0], radius: 90.0, from: -0.16, sweep: 0.32 };
    let slot = Outline { link, name: "link".into(), pieces: vec![arc], fat: 4.0, solid: false };
    let bolt = Outline::disc(FRAME, "bolt", [66.0, 24.0], 5.0);
    let bar = Outline::bar(rod, "connecting rod", [0.0, 0.0], [80.0, 0.0], 3.0);
    for (a, b) in [(&slot, &bolt), (&bar, &bolt)] {
        let told = turn.clearance(a, b, 1e-3).unwrap();
        assert!(told.unproven.is_empty() && told.proven >= told.least - 1e-3, "{told:?}");
        let least = (0..20_000).fold(f64::INFINITY, |least: f64, i| {
            let state = turn.at(0.2 + TAU * f64::from(i) / 20_000.0).unwrap();
            let one = |o: &Outline| o.pieces[0].placed(&turn.model.pose(&state, o.link));
            least.min(one(a).apart(&one(b)) - a.fat - b.fat)
        });
        assert!(told.proven <= least && told.least <= least + 1e-3, "{told:?} {least}");
    }
}

#[test]
fn what_crosses_or_lies_inside_has_no_clearance() {
    let made = slider_crank(20.0, 70.0, 0.0);
    let turn = turn_of(&made.of, 0.3, &Assembly::Rough(vec![(made.small_end, [90.0, 0.0])]), 36);
    let post = Outline::disc(FRAME, "post", [25.0, 5.0], 2.0);
    let rod = Outline::bar(made.links[1], "rod", [0.0, 0.0], [70.0, 0.0], 6.0);
    assert_eq!(turn.clearance(&rod, &post, 1e-3).unwrap().least, 0.0);
    let square = |r: f64| {
        let c = [[-r, -r], [r, -r], [r, r], [-r, r]];
        (0..4).map(|i| Piece::Line { from: c[i], to: c[(i + 1) % 4] }).collect::<Vec<_>>()
    };
    let mut case =
        Outline { link: FRAME, name: "case".into(), pieces: square(200.0), fat: 0.0, solid: false };
    let told = turn.clearance(&rod, &case, 1e-3).unwrap();
    // The rod's end stands 90 from the axle at most: 200 - 90 - 3.
    assert!((told.least - 107.0).abs() < 1e-3, "{told:?}");
    case.solid = true;
    assert_eq!(turn.clearance(&rod, &case, 1e-3).unwrap().least, 0.0);
}

#[test]
fn an_outline_of_nothing_is_a_fault_that_names_it() {
    let made = slider_crank(20.0, 70.0, 0.0);
    let turn = turn_of(&made.of, 0.3, &Assembly::Rough(vec![(made.small_end, [90.0, 0.0])]), 36);
    let post = Outline::disc(FRAME, "post", [25.0, 5.0], 2.0);
    let nothing = Outline { pieces: Vec::new(), name: "guard".into(), ..post.clone() };
    assert_eq!(turn.clearance(&nothing, &post, 1e-3).unwrap_err().place, ["guard"]);
    assert!(turn.clearance(&post, &post, 1e-3).is_err());
}
