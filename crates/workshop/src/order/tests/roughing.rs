//! Roughing by itself, and tapers that want the tailstock: where it is asked for, and where not.
//! Half a millimetre is left on the diameter; a wall that will be thin keeps 2 mm, or a tenth
//! of its width, while it is bored: common practice, from memory.

use super::held_parts::{LONG, LONG_FIT, ROLLER, SLEEVE, TUBE};
use super::shop::{at, boathouse, in_turn, made};
use crate::bench::{Bench, WorkHolder};
use crate::measure::Length;
use crate::order::{Held, OrderOfWork, Work};

fn roughed(order: &OrderOfWork) -> Vec<&str> {
    let rough = order.steps.iter().filter(|step| matches!(step.work, Work::RoughSection { .. }));
    rough.map(|step| step.text.as_str()).collect()
}

/// 20 over 17.5 leaves 1.25 mm of wall: 0.75 more a side stands while it is bored.
#[test]
fn a_wall_that_will_be_thin_is_left_thick_while_it_is_bored() {
    let blind = TUBE.replace("diameter = \"17.5\"", "diameter = \"17.5\"\ndepth = \"34\"");
    let mut bench = boathouse();
    bench.work_holding.as_mut().expect("it lists some").push(WorkHolder::SoftJaws);
    let order = made(&blind, &bench);
    in_turn(&order, &["rough barrel to 21.5 mm", "bore through bore", "turn barrel"]);
}

#[test]
fn what_fits_is_finished_after_the_drill_that_hollows_it() {
    let order = made(SLEEVE, &boathouse());
    in_turn(&order, &["rough barrel to 14.5 mm", "drill eye", "turn barrel 14 mm"]);
    // A small hole neither heats it nor frees much.
    let small = made(&SLEEVE.replace("diameter = \"8\"", "diameter = \"6\""), &boathouse());
    assert!(roughed(&small).is_empty(), "{:?}", roughed(&small));
    in_turn(&small, &["turn barrel 14 mm", "drill eye"]);
}

/// All of an end is roughed before what fits is finished; what fits nothing is turned in one go.
#[test]
fn slender_work_is_roughed_all_along_before_it_is_finished() {
    let order = made(LONG_FIT, &boathouse());
    in_turn(&order, &["rough shank to 8.5 mm", "rough tail to 6.5 mm", "turn shank 8 mm"]);
    assert!(at(&order, "rough tail") < at(&order, "turn head"));
    for plain in [LONG, ROLLER] {
        assert!(roughed(&made(plain, &boathouse())).is_empty());
    }
    let free = &LONG_FIT[..LONG_FIT.find("[[mate]]").expect("it has one")];
    assert!(roughed(&made(free, &boathouse())).is_empty());
}

/// A taper of 90 mm from 16 to 14 on a handle 120 mm long: half of 2 times 120 over 90 is 1.33
/// of set-over, and no top slide of 60 mm goes along it.
#[test]
fn a_long_taper_is_turned_between_centres_where_the_tailstock_goes_over() {
    let text = r#"
part = "Handle"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "head"
kind = "section"
diameter = "18"
length = "30"
[[feature]]
name = "grip"
kind = "section"
diameter = "16"
tapers_to = "14"
length = "90"
"#;
    let held = |bench: &Bench| {
        let order = made(text, bench);
        order.setups[order.steps[at(&order, "turn grip")].setup].held.clone()
    };
    let mut bench = boathouse();
    assert_eq!(held(&bench), Held::Centres);
    let lathe = bench.lathe.as_mut().expect("it has one");
    lathe.set_over = Some(Length::mm(1));
    assert_ne!(held(&bench), Held::Centres);
    let lathe = bench.lathe.as_mut().expect("it has one");
    (lathe.set_over, lathe.top_slide) = (None, Some(Length::mm(100)));
    assert_ne!(held(&bench), Held::Centres);
}
