//! Roughing by itself, and tapers that want the tailstock: where it is asked for, and where not.
//! Half a millimetre is left on the diameter; a wall that will be thin keeps 2 mm, or a tenth
//! of its width, while it is bored: common practice, from memory.

use super::held_parts::{JOURNALS, LONG, LONG_FIT, ROLLER, SLEEVE, TUBE};
use super::shop::{at, boathouse, in_turn, made};
use crate::bench::{Bench, WorkHolder};
use crate::measure::Length;
use crate::order::work::Roughing;
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

/// Both ends of a slender shaft are roughed before a journal that slides is finished (IT6 in IT7); what is
/// stouter than six times its width, or runs loosely, is turned in two holdings as ever.
#[test]
fn both_ends_of_a_slender_shaft_are_roughed_before_either_is_finished() {
    let order = made(JOURNALS, &boathouse());
    let [first, last] = match at(&order, "turn left journal") < at(&order, "turn right journal") {
        true => ["right journal", "left journal"],
        false => ["left journal", "right journal"],
    };
    in_turn(
        &order,
        &[
            &format!("rough {first} to 10.5 mm"),
            &format!("turn {last} 10 mm"),
            &format!("turn {first} 10 mm"),
        ],
    );
    let why = format!("{:?}", order.steps[at(&order, &format!("rough {first}"))]);
    assert!(why.contains("AllOver") && why.contains("slender shaft"), "{why}");
    let stout = JOURNALS.replace("length = \"70\"", "length = \"40\"");
    let loose = JOURNALS.replace("fit = \"sliding\"", "fit = \"H8/f7\"");
    for plain in [stout, loose] {
        let order = made(&plain, &boathouse());
        assert!(roughed(&order).is_empty(), "{:?}", roughed(&order));
    }
}

/// A journal that is put off has a taper, a thread and an edge beyond it: they are made with it or while the bar holds it.
#[test]
fn what_lies_beyond_a_journal_that_is_put_off_has_an_order() {
    let beyond = "[[feature]]\nname = \"tip\"\nkind = \"section\"\ndiameter = \"9\"\ntapers_to = \"8\"\nlength = \"4\"\n\
        [[feature]]\nname = \"end\"\nkind = \"section\"\nthread = \"M6\"\nlength = \"12\"\n\
        [[feature]]\nname = \"edge\"\nkind = \"chamfer\"\nof = \"right journal\"\nend = \"right\"\nsize = \"0.5\"\n";
    let order = made(
        &JOURNALS.replace("[[mate]]\nname = \"left", &format!("{beyond}[[mate]]\nname = \"left")),
        &boathouse(),
    );
    let put_off = roughed(&order).iter().any(|text| text.starts_with("rough right journal"));
    assert!(put_off, "{:?}", roughed(&order));
    in_turn(&order, &["part off", "turn left journal", "turn right journal", "chamfer edge"]);
}

/// A casting is roughed at both ends before what fits is finished, however stout it is.
#[test]
fn a_casting_is_roughed_all_over_first() {
    let cast = JOURNALS
        .replace("\"mild steel\"", "\"cast iron\"\n[stock]\nform = \"casting\"\nallowance = \"2\"")
        .replace("length = \"70\"", "length = \"20\"");
    let order = made(&cast, &boathouse());
    assert_eq!(roughed(&order).len(), 1, "{:?}", roughed(&order));
    let row = order.steps.iter().find_map(|step| match step.work {
        Work::RoughSection { because: Roughing::AllOver { row }, .. } => Some(row.work),
        _ => None,
    });
    assert_eq!(row, Some("casting"));
    assert!(order.setups.len() == 3 && order.true_running.len() == 1, "{:?}", order.setups);
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
