//! Process choice and sequence together: each end or hole is done as makes the whole order
//! cheapest, and what the other ways would cost or break is told.

use super::brute::cheapest;
use super::planned;
use super::rule_parts::{ANGLE, BORELESS};
use super::shop::{boathouse, made};
use super::stand_in::with_part;
use crate::bench::Bench;
use crate::measure::Length;
use crate::order::deed::{Job, Scheme};
use crate::order::work::{Aid, Held, Machine};
use crate::order::{OrderOfWork, Work, build, plates};

/// A link with two bosses and reamed bores in them.
fn link(bores: [&str; 2], radius: &str) -> String {
    let mut text = format!(
        "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\n\
         around = [\"big end\", \"small end\"]\nthickness = \"6\"\n\
         [[feature]]\nname = \"big end\"\nkind = \"boss\"\nradius = {radius}\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"small end\"\nkind = \"boss\"\nradius = \"7\"\n\
         place = [\"40 right of big end\", \"level with big end\"]\n"
    );
    for (name, diameter, boss) in [("big bore", bores[0], "big end"), ("small bore", bores[1], "small end")] {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"{diameter}\"\n\
             place = [\"concentric with {boss}\"]\n"
        );
    }
    text
}

/// A plate with three square corners and one end rounded about a bore.
fn tongue(radius: u32, thick: u32) -> String {
    format!(
        "part = \"Tongue\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\n\
         around = [\"near left\", \"near right\", \"nose\", \"far left\"]\nthickness = \"{thick}\"\n\
         [[feature]]\nname = \"nose\"\nkind = \"boss\"\nradius = \"{radius}\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"near right\"\nkind = \"corner\"\nplace = [\"{radius} right of nose\", \"60 below nose\"]\n\
         [[feature]]\nname = \"near left\"\nkind = \"corner\"\nplace = [\"80 left of nose\", \"60 below nose\"]\n\
         [[feature]]\nname = \"far left\"\nkind = \"corner\"\nplace = [\"80 left of nose\", \"{radius} above nose\"]\n\
         [[feature]]\nname = \"nose bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\nplace = [\"concentric with nose\"]\n\
         [[feature]]\nname = \"tail bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\nplace = [\"60 left of nose\", \"40 below nose\"]\n"
    )
}

fn wide() -> Bench {
    let mut bench = boathouse();
    bench.mill.column = Length::mm(400);
    bench.end_mills.push(crate::bench::EndMill::new(Length::mm(20), Length::mm(40), 4));
    bench
}

fn ends(order: &OrderOfWork) -> Vec<Work> {
    let of = |work: &Work| matches!(work, Work::RoundEnd | Work::FileEnd | Work::StepEnd);
    order.steps.iter().map(|step| step.work.clone()).filter(of).collect()
}

fn stubs(order: &OrderOfWork) -> usize {
    order.aids.iter().filter(|aid| matches!(aid, Aid::StubMandrel { on: Machine::RotaryTable, .. })).count()
}

/// One stub fits both bores when they are of one size.
#[test]
fn two_ends_on_the_table_share_a_stub_where_one_fits_both() {
    let alike = made(&link(["6", "6"], "\"9\""), &boathouse());
    assert_eq!((ends(&alike), stubs(&alike)), (vec![Work::RoundEnd, Work::RoundEnd], 1));
    let unlike = made(&link(["8", "6"], "\"9\""), &boathouse());
    assert_eq!(
        (ends(&unlike), stubs(&unlike), unlike.uses.aids),
        (vec![Work::RoundEnd, Work::RoundEnd], 2, 2)
    );
    assert_eq!(alike.uses.aids, 1);
}

/// A nose by itself does not pay for the rotary table, but its sides are laid along X there on
/// the same stub: nose and sides are then one setup, with no ridges to file in another. Where
/// there is no table the nose is stepped, or filed to buttons where less than stepping comes to
/// is asked.
#[test]
fn a_small_end_and_its_sides_are_cut_in_one_setup_on_the_rotary_table() {
    let free = tongue(6, 6);
    let order = made(&free, &wide());
    assert_eq!(ends(&order), vec![Work::RoundEnd]);
    let of_outline = |work: &Work| matches!(work, Work::RoundEnd | Work::MillSide { .. });
    let mut setups: Vec<usize> =
        order.steps.iter().filter(|step| of_outline(&step.work)).map(|step| step.setup).collect();
    assert!(setups.len() >= 4, "{:?}", order.steps);
    setups.dedup();
    assert_eq!(setups.len(), 1);
    assert_eq!(order.setups[setups[0]].machine, Machine::RotaryTable);
    let mut without = wide();
    without.rotary_table = None;
    assert_eq!(ends(&made(&free, &without)), vec![Work::StepEnd]);
    let held = free.replace("radius = \"6\"", "radius = { is = \"6\", within = \"0.06\" }");
    assert_eq!(ends(&made(&held, &without)), vec![Work::FileEnd]);
}

/// Buttons come within 0.05 and stepping within 0.1, the table within 0.03.
#[test]
fn a_tolerance_rules_out_what_comes_no_nearer() {
    let mut bench = boathouse();
    let out = |bench: &Bench, within: &str| {
        let radius = format!("{{ is = \"9\", within = \"{within}\" }}");
        let order = made(&link(["8", "6"], &radius), bench);
        let chosen = order.choices.iter().find(|chosen| chosen.name == "big end");
        chosen.map_or(9, |chosen| {
            chosen.out.iter().filter(|(_, because)| because.contains("comes within")).count()
        })
    };
    assert_eq!((out(&bench, "0.1"), out(&bench, "0.05")), (0, 1));
    let told = made(&link(["8", "6"], "{ is = \"9\", within = \"0.03\" }"), &bench);
    assert!(
        told.assumed.iter().any(|a| a.contains("filed to buttons it comes within 0.05 mm")),
        "{:?}",
        told.assumed
    );
    bench.rotary_table = None;
    let order = made(&link(["8", "6"], "{ is = \"9\", within = \"0.03\" }"), &bench);
    assert!(ends(&order).contains(&Work::FileEnd), "nothing comes nearer: {:?}", ends(&order));
}

/// Without a bore nothing but discs stuck to the faces comes within 0.06 of an end's radius or a
/// corner's: stepping and a line come within 0.1. Where that does, nothing is made for it.
#[test]
fn a_rounding_without_a_bore_is_filed_to_plain_discs_where_its_size_asks_for_it() {
    let discs = |order: &OrderOfWork| {
        let plain = order.aids.iter().filter(|aid| matches!(aid, Aid::PlainButtons { .. }));
        plain.count()
    };
    let held = |part: &str, within: &str| {
        let radius = format!("radius = {{ is = \"6\", within = \"{within}\" }}");
        // By its one bore and an edge the corner would go on the rotary table.
        let table = boathouse().rotary_table.filter(|_| part != ANGLE);
        made(&part.replace("radius = \"6\"", &radius), &Bench { rotary_table: table, ..boathouse() })
    };
    for (part, step) in [(BORELESS, "file small end to the buttons"), (ANGLE, "file top to the buttons")] {
        let near = held(part, "0.06");
        assert_eq!(discs(&near), 1, "{:?}", near.aids);
        let own = near.steps.iter().find(|s| s.text == step).unwrap_or_else(|| panic!("{step}"));
        assert_eq!(near.setups[own.setup].held, Held::FilingButtons);
        assert!(format!("{:?}", own.why).contains("comes out within 0.05 mm"), "{:?}", own.why);
        assert!(!near.assumed.iter().any(|a| a.contains("too much")), "{:?}", near.assumed);
        assert_eq!(discs(&held(part, "0.1")), 0);
        // Nothing comes within 0.02: it is told, and no discs are made for it.
        let none = held(part, "0.02");
        assert_eq!(discs(&none), 0);
        assert!(none.assumed.iter().any(|a| a.contains("0.08 mm too much")), "{:?}", none.assumed);
    }
}

#[test]
fn what_the_other_ways_would_cost_is_told_of_each_step_that_has_them() {
    let order = made(&link(["8", "6"], "\"9\""), &boathouse());
    let at = order.steps.iter().position(|step| step.text.starts_with("round big end")).unwrap();
    let told: Vec<String> = order.other_ways(at).iter().map(|why| why.statement.clone()).collect();
    assert!(told.iter().any(|words| words.starts_with("big end filed to buttons would add")), "{told:?}");
    assert!(
        told.iter()
            .any(|words| words.starts_with("big end rounded by stepped coordinates would add 1 setup")),
        "{told:?}"
    );
    assert!(format!("{:?}", order.why_here(at)).contains("filed to buttons would add"));
    let mut bench = boathouse();
    bench.rotary_table = None;
    let order = made(&link(["8", "6"], "\"9\""), &bench);
    let at = order.steps.iter().position(|step| step.text.starts_with("file big end")).unwrap();
    let told = format!("{:?}", order.other_ways(at));
    assert!(told.contains("not rounded on the rotary table: there is no rotary table"), "{told}");
    assert!(order.other_ways(0).is_empty(), "blanks are squared in one way");
}

/// A block with two reamed bores a held distance apart.
fn block(head: &str, within: &str) -> String {
    format!(
        "part = \"Block\"\nunit = \"mm\"\n{head}\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"8\"\n\
         [[feature]]\nname = \"one\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"8\"\n\
         place = [\"10 right of datum\", \"20 above datum\"]\n\
         [[feature]]\nname = \"two\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\n\
         place = [{{ is = \"30 right of one\", role = \"hold\", within = \"{within}\" }}, \"level with one\"]\n"
    )
}

fn boring() -> Bench {
    let mut bench = boathouse();
    bench.boring = Some(crate::bench::Boring { least: Length::mm(4), most: Length::mm(50) });
    bench
}

/// Two drilled ends are out by twice 0.04, one of them bored by 0.055, and each drilled through
/// a second piece of 8 mm by 0.008 more, an inch in a thousand: of two hands stuck
/// together both are made alike, and the way that would break the distance says so.
#[test]
fn a_position_held_picks_the_boring_and_the_other_way_says_what_it_breaks() {
    for head in ["", "hands = [\"right\", \"left\"]", "make = 2"] {
        let trues = |within: &str| {
            let order = made(&block(head, within), &boring());
            let pieces = |text: &str| {
                let of = order.steps.iter().filter(|step| step.text.starts_with(text));
                of.map(|step| order.setups[step.setup].pieces).collect::<Vec<_>>()
            };
            assert_eq!(pieces("drill one"), pieces("drill two"), "both are drilled in the same metal");
            order.steps.iter().filter(|step| matches!(step.work, Work::TrueHole { .. })).count()
        };
        let (two, one) = if head.is_empty() { ("0.08", "0.055") } else { ("0.096", "0.063") };
        assert_eq!([trues(two), trues(one), trues("0.03")], [0, 1, 2], "{head}");
        if !head.is_empty() {
            assert_eq!([trues("0.095"), trues("0.062")], [1, 2], "{head}");
        }
    }
    let order = made(&block("", "0.03"), &boring());
    let at = order.steps.iter().position(|step| step.text.starts_with("ream one")).unwrap();
    let told = format!("{:?}", order.other_ways(at));
    assert!(
        told.contains("one drilled and reamed cannot be") && told.contains("made so its ends come to"),
        "{told}"
    );
}

/// Of all orders of all ways there is none cheaper.
#[test]
fn no_order_of_any_ways_is_cheaper() {
    for table in [true, false] {
        let mut bench = boathouse();
        bench.rotary_table = bench.rotary_table.filter(|_| table);
        with_part(&link(["6", "6"], "\"9\""), &bench, |part, metric| {
            let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
            let (model, _) = build::model(&job, &plates::makings(&job).expect("it can be made"));
            assert!(model.groups.len() >= 2);
            assert_eq!(Some(planned(&model).score), cheapest(&model));
        });
    }
    for within in ["0.08", "0.06", "0.03"] {
        with_part(&block("", within), &boring(), |part, metric| {
            let job = Job { part, metric, bench: &boring(), scheme: Scheme::ALONE };
            let (model, _) = build::model(&job, &plates::makings(&job).expect("it can be made"));
            assert!(model.groups.len() == 2 && !model.agreements.is_empty());
            assert_eq!(Some(planned(&model).score), cheapest(&model), "{within}");
        });
    }
}
