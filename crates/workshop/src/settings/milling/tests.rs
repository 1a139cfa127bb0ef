//! Milled cuts that practice knows, and those that cannot be.

use super::*;
use crate::tables::materials;
use proptest::prelude::*;

fn mill(diameter: i64, flute: i64) -> EndMill {
    EndMill::new(Length::mm(diameter), Length::mm(flute), 4)
}

fn asked<'a>(cut: Cut, mill: &'a EndMill, depth: i64, material: &str) -> Asked<'a> {
    Asked {
        cut,
        mill,
        depth: Length::mm(depth),
        side: Length::ZERO,
        finish_side: Length::mm_ratio(2, 10),
        finish_floor: Length::ZERO,
        tolerance: None,
        material: materials::find(material).unwrap(),
        speeds: &[180, 300, 500, 800, 1200, 2000],
        power_w: None,
        step: Length::microns(5),
    }
}

/// 10 mm in mild steel at some 20 m/min is 640 rev/min (n = 318 V / D, common practice), so
/// 500; 0.04 a tooth by 4 teeth is 80 mm/min.
#[test]
fn a_side_is_roughed_in_equal_widths_and_finished_once() {
    let ten = mill(10, 22);
    let found =
        milling(Asked { side: Length::mm(6), ..asked(Cut::SideRoughing, &ten, 10, "mild steel") }).unwrap();
    assert_eq!(found.speed.rev_per_min, 500);
    assert!((found.feed.mm_per_min - 80.0).abs() < 1e-9);
    // 5.8 at most 2.5 wide is three cuts.
    assert_eq!(found.sides, vec![Length::mm_ratio(58, 30); 3]);
    assert!(found.finishing.unwrap().deflection < found.roughing.deflection);
}

/// The cube law of the stick-out (a cutter maker's training page: twice the overhang is
/// eight times the bend) makes a long thin cutter take shallower passes.
#[test]
fn a_long_thin_cutter_takes_more_and_shallower_passes_and_says_so() {
    let (short, long) = (mill(4, 11), mill(4, 38));
    let near = milling(asked(Cut::Slot, &short, 6, "mild steel")).unwrap();
    let far = milling(asked(Cut::Slot, &long, 6, "mild steel")).unwrap();
    assert!(far.passes.depths.len() > near.passes.depths.len());
    assert!(near.cautions.is_empty());
    assert!(far.cautions.iter().any(|c| c.statement.contains("chatters")), "{:?}", far.cautions);
    assert!(far.figures(materials::find("mild steel").unwrap()).iter().any(Figure::assumed));
}

#[test]
fn a_small_cutter_is_warned_of_and_a_tight_tolerance_told() {
    let two = mill(2, 6);
    let found =
        milling(Asked { tolerance: Some(Length::microns(1)), ..asked(Cut::SideRoughing, &two, 4, "brass") });
    let words: Vec<String> = found.unwrap().cautions.into_iter().map(|c| c.statement).collect();
    assert!(words.iter().any(|w| w.contains("snaps")), "{words:?}");
    assert!(words.iter().any(|w| w.contains("cuts no more")), "{words:?}");
}

/// With a third of the power that a slot 16 wide asks for, its passes are shallower or its feed
/// is slower, and the sheet says what it would be otherwise; with plenty nothing changes.
#[test]
fn a_weak_motor_makes_the_cut_lighter_and_says_so() {
    let sixteen = mill(16, 32);
    let free = asked(Cut::Slot, &sixteen, 16, "mild steel");
    let strong = milling(Asked { power_w: Some(5000.0), ..free }).unwrap();
    assert_eq!(strong.passes, milling(free).unwrap().passes);
    let held = |found: &Milled| {
        found.power_figure().unwrap().why.because.iter().any(|w| w.statement.starts_with("held to"))
    };
    assert!(!held(&strong));
    let power = strong.roughing.power_w / 3.0;
    let weak = milling(Asked { power_w: Some(power), ..free }).unwrap();
    assert!(weak.roughing.power_w <= power);
    assert!(
        weak.passes.depths.len() > strong.passes.depths.len()
            || weak.feed.mm_per_min < strong.feed.mm_per_min
    );
    assert!(held(&weak), "{:?}", weak.power_figure());
    assert!(milling(free).unwrap().power_figure().is_none());
}

#[test]
fn what_cannot_be_cut_says_what_would_help() {
    let ten = mill(10, 22);
    let deep = milling(asked(Cut::Slot, &ten, 30, "brass")).unwrap_err();
    assert!(deep.reason().is_some() && deep.remedy().is_some());
    let weak = Asked { power_w: Some(0.01), ..asked(Cut::Slot, &ten, 5, "mild steel") };
    let fault = milling(weak).unwrap_err();
    assert!(fault.what().contains("does not stand") && fault.remedy().is_some(), "{fault}");
    assert!(milling(Asked { speeds: &[], ..asked(Cut::Slot, &ten, 5, "brass") }).is_err());
    assert!(milling(Asked { side: Length::mm(-1), ..asked(Cut::SideRoughing, &ten, 5, "brass") }).is_err());
}

proptest! {
    /// Whatever is cut: no roughing cut bends the cutter by half of what the last one
    /// takes, and more power never makes it slower.
    #[test]
    fn roughing_never_reaches_the_finished_side(
        d in 2i64..16, long in 1i64..4, depth in 1i64..30, side in 0i64..15, watts in 1.0..500.0f64,
    ) {
        let mill = mill(d, d * long + 2);
        let cut = Asked { side: Length::mm(side), power_w: Some(watts), ..asked(Cut::SideRoughing, &mill, depth, "mild steel") };
        if let Ok(found) = milling(cut) {
            prop_assert!(found.roughing.deflection < Length::microns(100));
            prop_assert!(found.roughing.power_w <= watts);
            let sum: Length = found.sides.iter().copied().sum();
            prop_assert!(sum == (Length::mm(side) - cut.finish_side).max(Length::ZERO));
            let more = milling(Asked { power_w: Some(watts * 2.0), ..cut }).unwrap();
            let takes = |cut: &Milled| cut.passes.depths.len() as f64 / cut.feed.mm_per_min;
            prop_assert!(takes(&more) <= takes(&found) + 1e-12);
        }
    }
}
