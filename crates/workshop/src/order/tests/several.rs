//! How several pieces go through the order, held against every way there is.

use super::brute::cheapest;
use super::planned;
use super::shop::{boathouse, made};
use super::stand_in::with_part;
use crate::bench::{Bench, EndMill};
use crate::measure::Length;
use crate::order::deed::{Job, Lot, Scheme, Token};
use crate::order::rules::lines;
use crate::order::uses::Uses;
use crate::order::work::{Held, OrderOfWork, Pieces, Work};
use crate::order::{answer, build};
use proptest::prelude::*;

/// Plates as they are bought, so that no face is cut, of 4 mm.
fn plate(head: &str, [width, height]: [u32; 2], features: &[String]) -> String {
    let mut text = format!(
        "part = \"plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n{head}\n[body]\nkind = \"rectangle\"\nwidth = \"{width}\"\nheight = \"{height}\"\nthickness = \"5\"\n"
    );
    for (n, feature) in features.iter().enumerate() {
        text += &format!("[[feature]]\nname = \"f{n}\"\n{feature}\n");
    }
    text
}

fn hole(size: &str, x: u32) -> String {
    format!("kind = \"hole\"\ndiameter = \"{size}\"\nplace = [\"{x} right of datum\", \"10 above datum\"]")
}

/// A vice in which but one lies.
fn narrow_vice() -> Bench {
    let mut bench = boathouse();
    bench.mill.vice = Some(Length::mm(40));
    bench
}

/// The height of the stacks, and how many they are; nothing where none are stuck.
fn stacks(order: &OrderOfWork) -> Option<(u32, u32)> {
    order.setups.iter().find_map(|setup| match setup.pieces {
        Pieces::Stack(lots) => Some((lots.high, lots.stacks())),
        _ => None,
    })
}

/// Drills reach ten diameters (common practice): six of 5 mm want one of 3 mm at least, three of
/// them one of 1.5 mm.
#[test]
fn stacks_are_as_tall_as_the_drill_reaches() {
    let tall = |make: u32, size: &str| {
        let text = plate(&format!("make = {make}"), [34, 40], &[hole(size, 10)]);
        stacks(&made(&text, &narrow_vice()))
    };
    assert_eq!(tall(6, "3"), Some((6, 1)));
    assert_eq!(tall(6, "1.5"), Some((3, 2)));
    assert_eq!(tall(7, "1.6"), Some((3, 3)), "of three, two and two");
    assert_eq!(tall(1, "3"), None);
    // Eight of 5 mm would stand as high as they are wide.
    assert_eq!(tall(8, "5"), Some((8, 1)));
    assert_eq!(tall(9, "5"), Some((5, 2)), "45 mm are taller than 34 and the saw's margin");
}

/// Twice 0.04 for two drilled ends, and twice a thousandth of what lies below the first piece: six
/// of 5 mm come to 0.13, three to 0.1, two to 0.09 (reckoned by hand from the tables).
#[test]
fn a_tolerance_makes_a_stack_lower_and_then_refuses_it() {
    let tall = |within: &str| {
        let second = format!(
            "kind = \"hole\"\ndiameter = \"4\"\nplace = [{{ is = \"12 right of f0\", role = \"hold\", within = \"{within}\" }}, \"level with f0\"]"
        );
        let text = plate("make = 6", [34, 40], &[hole("4", 10), second]);
        let order = made(&text, &narrow_vice());
        let in_stack = |step: &&crate::order::work::Step| {
            matches!(step.work, Work::Drill { .. }) && order.setups[step.setup].pieces.is_stack()
        };
        order.steps.iter().find(in_stack).map(|step| order.setups[step.setup].pieces.high())
    };
    assert_eq!(tall("0.13"), Some(6));
    assert_eq!(tall("0.129"), Some(3));
    assert_eq!(tall("0.1"), Some(3));
    assert_eq!(tall("0.099"), Some(2));
    assert_eq!(tall("0.09"), Some(2));
    assert_eq!(tall("0.089"), None, "each is drilled by itself");
}

/// Two of 34 mm and the finder between them take 34 + 12 + 34 mm of the jaws; a blind hole in
/// each keeps them from being made in a stack.
#[test]
fn as_many_lie_side_by_side_as_the_jaws_take() {
    let blind = "kind = \"hole\"\ndiameter = \"3\"\ndepth = \"2\"\nplace = [\"10 right of datum\", \"10 above datum\"]";
    let beside = |make: u32, wide: i64| {
        let mut bench = boathouse();
        bench.mill.vice = Some(Length::mm(wide));
        let order = made(&plate(&format!("make = {make}"), [34, 40], &[blind.into()]), &bench);
        let drilled = order.steps.iter().find(|step| step.text.contains("f0")).expect("it is drilled");
        let pieces = order.setups[drilled.setup].pieces;
        (pieces.beside(), pieces.lots().map_or(1, |lots| lots.fills()))
    };
    assert_eq!(beside(6, 79), (1, 6));
    assert_eq!(beside(6, 80), (2, 3));
    assert_eq!(beside(6, 126), (3, 2));
    assert_eq!(beside(4, 126), (2, 2), "as many each time, and no more than fill it as often");
    assert_eq!(beside(3, 126), (3, 1));
}

/// A step runs its cutter out: 16 mm and a millimetre either side between two of 34 mm.
#[test]
fn a_step_is_cut_beside_the_next_piece_only_with_room_for_its_cutter() {
    let step = "kind = \"step\"\nleaves = \"3\"\nside = \"right\"\nplace = [\"24 right of datum\"]";
    let mut bench = boathouse();
    bench.end_mills = vec![EndMill::new(Length::mm(16), Length::mm(32), 4)];
    for (wide, beside) in [(85, 1), (86, 2)] {
        bench.mill.vice = Some(Length::mm(wide));
        let order = made(&plate("make = 2", [34, 40], &[step.into()]), &bench);
        let milled = order.steps.iter().find(|step| step.text.contains("f0")).expect("it is milled");
        let setup = &order.setups[milled.setup];
        assert_eq!(setup.held, Held::ViceOnParallels);
        assert_eq!(setup.pieces.beside(), beside, "{wide}");
    }
}

/// The hands of a pair side by side are cut tool by tool: as many changes as for one.
#[test]
fn two_hands_side_by_side_change_no_tool_more_than_one() {
    let blind = |n: u32, size: &str| {
        format!(
            "kind = \"hole\"\ndiameter = \"{size}\"\ndepth = \"2\"\nplace = [\"{} right of datum\", \"10 above datum\"]",
            8 * n
        )
    };
    let features = [blind(1, "2"), blind(2, "3"), blind(3, "4")];
    let one = made(&plate("", [34, 40], &features), &boathouse());
    let two = made(&plate("hands = [\"right\", \"left\"]", [34, 40], &features), &boathouse());
    let drills = |order: &OrderOfWork| {
        let steps = order.steps.iter().filter(|step| matches!(step.work, Work::Drill { .. }));
        steps.map(|step| step.setup).collect::<Vec<_>>()
    };
    assert_eq!(drills(&one).len() * 2, drills(&two).len());
    assert!(drills(&two).windows(2).all(|two| two[0] == two[1]), "in one holding");
    let changes = |order: &OrderOfWork| {
        let mine = order.steps.iter().filter(|step| matches!(step.work, Work::Drill { .. }));
        let tools: Vec<_> = mine.map(|step| &step.tool).collect();
        tools.windows(2).filter(|two| two[0] != two[1]).count()
    };
    assert_eq!(changes(&two), changes(&one));
    let told = format!("{:?}", two.other_ways(two.steps.len() - 1));
    assert!(told.contains("would add"), "{told}");
}

/// By hand, of one: cutter, 2, 3, 4 mm. Of two, squared as one face to face: cutter, then 2, 3, 4 mm and 2, 3, 4 mm
/// again for the second.
#[test]
fn tools_are_changed_again_for_each_piece_that_goes_through_in_turn() {
    let blind = |n: u32, size: &str| {
        format!(
            "kind = \"hole\"\ndiameter = \"{size}\"\ndepth = \"2\"\nplace = [\"{} right of datum\", \"10 above datum\"]",
            8 * n
        )
    };
    let features = [blind(1, "2"), blind(2, "3"), blind(3, "4")];
    let changes = |make: u32, bench: &Bench| {
        let order = made(&plate(&format!("make = {make}"), [34, 40], &features), bench);
        (order.uses.tool_changes, order.proof.sentence.contains("counted once in this"))
    };
    assert_eq!(changes(1, &narrow_vice()), (3, false));
    assert_eq!(changes(2, &narrow_vice()), (6, true));
    assert_eq!(changes(3, &narrow_vice()), (9, true));
    // Side by side they are cut tool by tool.
    let mut wide = boathouse();
    wide.mill.vice = Some(Length::mm(126));
    assert_eq!(changes(2, &wide), (3, false));
}

/// The blanks of two hands are alike until the first cut is made in one: both are squared at once, then each is
/// drilled by itself where no two lie side by side.
#[test]
fn blanks_of_both_hands_are_squared_face_to_face() {
    let blind = "kind = \"hole\"\ndiameter = \"2\"\ndepth = \"2\"\nplace = [\"8 right of datum\", \"10 above datum\"]";
    let order = made(&plate("hands = [\"right\", \"left\"]", [34, 40], &[blind.into()]), &narrow_vice());
    let squared: Vec<_> = order.steps.iter().filter(|step| step.work == Work::SquareEdges).collect();
    let [squared] = squared[..] else { panic!("{squared:?}") };
    assert!(matches!(order.setups[squared.setup].pieces, Pieces::Both(lots) if lots.high == 2));
    assert_eq!((order.pieces_at(squared), order.uses.setups), (2, 3));
    // Jaws that open for one thickness of 50 mm take one at a time.
    let thick = plate("hands = [\"right\", \"left\"]", [34, 40], &[blind.into()]).replace("\"5\"", "\"50\"");
    // Nothing in the rack comes near it, so that it stays so thick.
    let order = made(&thick, &Bench { stock: Vec::new(), ..narrow_vice() });
    let together = |pieces: &Pieces| matches!(pieces, Pieces::Both(lots) if lots.high > 1);
    assert!(!order.setups.iter().any(|setup| together(&setup.pieces)), "{:?}", order.setups);
}

/// What a way is said to come to is what it does come to when it is asked for.
#[test]
fn the_price_of_each_other_way_is_that_of_its_own_order() {
    let mut bench = boathouse();
    bench.mill.vice = Some(Length::mm(126));
    let blind = "kind = \"hole\"\ndiameter = \"2\"\ndepth = \"2\"\nplace = [\"26 right of datum\", \"10 above datum\"]";
    let text = plate("make = 4", [34, 40], &[hole("3", 8), hole("4", 16), blind.into()]);
    let order = made(&text, &bench);
    let pieces = order.choices.iter().find(|chosen| chosen.name == "the pieces").expect("there are several");
    assert!(pieces.others.len() > 2, "{pieces:?}");
    let mut priced = 0;
    for other in &pieces.others {
        let Some(price) = order.price(pieces, other) else { continue };
        let asked = made(&format!("{text}[order]\nwanted = [\"{other}\"]\n"), &bench);
        assert_eq!(price, format!("would add {}", asked.uses.more_than(&order.uses).words()), "{other}");
        priced += 1;
    }
    assert!(priced > 2, "{:?}", order.of_ways);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Of every height of stack, side by side or not, none has an order that costs less, every
    /// order of every one of them tried.
    #[test]
    fn no_way_of_going_about_several_is_cheaper(
        head in prop::sample::select(vec!["make = 2", "make = 3", "make = 4", "make = 6"]),
        sizes in prop::collection::vec((prop::sample::select(vec!["1.5", "2", "4"]), any::<bool>()), 1..3),
        wide in prop::sample::select(vec![40, 80, 126]),
    ) {
        let feature = |(n, (size, blind)): (usize, &(&str, bool))| {
            let depth = if *blind { "\ndepth = \"2\"" } else { "" };
            hole(size, 8 + 10 * n as u32) + depth
        };
        let features: Vec<String> = sizes.iter().enumerate().map(feature).collect();
        let text = plate(head, [34, 40], &features);
        let mut bench = boathouse();
        bench.mill.vice = Some(Length::mm(wide));
        let order = made(&text, &bench);
        let mut least: Option<Uses> = None;
        with_part(&text, &bench, |part, metric| {
            let make = part.drawing.make;
            // Every height that some drill or cutter reaches through, not only the equal ones.
            let plain = Scheme::apart(make);
            let reaches = |high: &u32| {
                let metal = 5.0 * f64::from(*high);
                let drill = sizes.iter().any(|(size, blind)| !blind && 10.0 * size.parse::<f64>().unwrap() >= metal);
                *high < 3 || drill || bench.end_mills.iter().any(|mill| mill.flute.as_mm() >= metal)
            };
            let all = (1..=make).filter(reaches).map(|high| plain.stuck(high)).flat_map(|one| [one, one.side_by_side()]);
            for scheme in all {
                let job = Job { part, metric, bench: &bench, scheme };
                let makings = answer::makings(&job, None).expect("it can be made");
                let (model, _) = build::model(&job, &makings);
                let plan = planned(&model);
                assert_eq!(Some(plan.score), cheapest(&model), "{scheme:?}");
                let uses = Uses::of(&model, &plan.steps, &plan.tally);
                least = Some(least.map_or(uses, |least| least.min(uses)));
            }
        });
        prop_assert_eq!(Some(order.uses), least);
    }
}

/// A face between two others is covered while lines are scribed, and has none when the stack is parted.
#[test]
fn lines_on_a_tall_stack_are_none_of_its_pieces() {
    let bench = boathouse();
    with_part(&plate("make = 3", [34, 40], &[hole("5", 10)]), &bench, |part, metric| {
        let scribed = |high: u32, lot: Lot| {
            let scheme = Scheme { make: high, ..Scheme::ALONE }.stuck(high);
            lines(&Job { part, metric, bench: &bench, scheme }, lot)
        };
        assert_eq!(scribed(3, Lot::Stack), [Token::LinesOfStack]);
        assert_eq!(scribed(3, Lot::Piece(0)), [Token::Lines(0)]);
        // Of a pair both outer faces are its pieces' own.
        assert_eq!(scribed(2, Lot::Stack), scribed(2, Lot::Piece(0)));
    });
}
