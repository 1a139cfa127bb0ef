//! What holds for every setting: each number has its source, and no
//! size, however wrong, makes one of them panic.

use proptest::prelude::*;
use workshop::bench::{DialReads, EndMill, Saw, Section};
use workshop::geometry::{Line, Point};
use workshop::measure::{Angle, Length};
use workshop::problem::Problem;
use workshop::settings::cutting::{bars, weight};
use workshop::settings::measuring::{arc, over_pins, over_rollers, over_wires, sine_bar};
use workshop::settings::*;
use workshop::tables::clearance::Class;
use workshop::tables::threads::{Basis, Percent};
use workshop::tables::{drills, materials, taper_pins, threads};
use workshop::why::{Figure, Why};

/// Every setting, made from six sizes and two angles.
fn everything(
    size: [Length; 6],
    angle: [Angle; 2],
    count: u32,
) -> Vec<(&'static str, Result<Vec<Figure>, Problem>)> {
    let [a, b, c, d, e, step] = size;
    let steel = materials::find("mild steel").unwrap();
    let m3 = threads::find("M3").unwrap();
    let aim = Percent::new(65, Basis::SharpVee);
    let table = rotary::RotaryTable { worm_ratio: count, division: angle[1], grows: None };
    let arc = |metal| rotary::Arc { radius: a, metal, start: angle[0], sweep: angle[1] };
    let because = || Why::new("a range of the table").source("the table");
    let place = |x, y| position::Place { name: "hole".into(), x, y };
    let pickup = position::Pickup {
        x_edge: position::XEdge::Right,
        y_edge: position::YEdge::Front,
        width: a,
        depth: b,
        tip: c,
        step,
    };
    let edge = flank::Edge {
        line: Line::new(Point::at(a, b), Point::at(c, -d)),
        before: flank::Beyond::Blend,
        after: flank::Beyond::Open,
    };
    let mill = force::Mill {
        diameter: a,
        teeth: count,
        flute_length: b,
        stick_out: b + c,
        shank: a,
        material: force::ToolMaterial::Carbide,
    };
    let load = force::Load { axial: c, radial: d, per_tooth: e, rev_per_min: count };
    let clamp = split_clamp::Clamp {
        thread: m3.clone(),
        across: a,
        to_slit: b,
        slit: step,
        screw_to_bore: c,
        bore: d,
    };
    let pinning = taper_pin::Pinning {
        pin: taper_pins::find("2 mm").unwrap().clone(),
        length: a,
        through: b,
        proud: step,
    };
    let boss =
        filing_buttons::Boss { diameter: a, bore: b, thickness: c, finish: filing_buttons::Finish::Polished };
    let bore = boring::Bore { drilled: b, finished: a, greatest_cut: c, finishing_cut: step, step };
    let saw = Saw { diameter: a, width: step, collar: b, teeth: count };
    let head = counterbore::Head { diameter: b, height: c, below: step, thickness: a };
    let chain = chain_drilling::Chain { drill: b, web: c, allowance: d };
    let turn = lathe::Turn {
        from: a,
        to: b,
        greatest_cut: c,
        finish: step,
        dial: DialReads::Diameter,
        division: step,
    };
    let circle = pitch_circle::PitchCircle { x: a, y: -b, diameter: c, holes: count, first: angle[0] };
    let end_mill = EndMill::new(b, a, count);
    let whole_cut = milling::Asked {
        cut: passes::Cut::SideRoughing,
        mill: &end_mill,
        depth: d,
        side: d,
        finish_side: step,
        finish_floor: step,
        tolerance: Some(step),
        material: steel,
        speeds: &[300, 800],
        power_w: None,
        step,
    };
    let profile = |profile, nose: Option<Length>| {
        let nose = nose.map_or(stepped_profile::Nose::Square, stepped_profile::Nose::Round);
        let asked = stepped_profile::Asked { profile, nose, ridge: step, step };
        stepped_profile::stepped_profile(asked).map(|found| found.figures())
    };
    let curve =
        stepped_curve::Curve { arc: arc(rotary::Metal::Outside), x: a, y: b, cutter: c, cusp: d, step };
    let stepped_side = stepped_line::Side { road: edge.line, cutter: c, ridge: d, step };
    let wheel = handwheel::Handwheel { lead: a, divisions: count, backlash: b, reads: DialReads::Diameter };
    let lever = rounded_end::Lever { radius: a, other: b, centres: c };
    let asked = cutter::Asked { depth: b, corner_radius: Some(a), gap: Some(c) };
    let mills = [EndMill::new(c, a, count)];
    let gear = change_wheels::Gear { leadscrew: b, wheels: &[20, 30, 40, 45, count.max(10)], gearbox: &[] };
    let wanted = change_wheels::Wanted { pitch: c, starts: 1, engaged: a, form: m3.form() };
    let cone = taper::Cone { large: a, small: b, length: c };
    let bar = Section::Hexagon { across: d };
    let sawing = bars::Sawing { pieces: vec![b, c, d], bars: vec![a, c], new_bar: a, saw_cut: step };
    vec![
        ("cutter", cutter::choose(&mills, asked).map(|s| s.figures())),
        ("arc inside", rotary::set_arc(arc(rotary::Metal::Inside), b, table, step).map(|s| s.figures())),
        ("arc outside", rotary::set_arc(arc(rotary::Metal::Outside), b, table, step).map(|s| s.figures())),
        ("rounded ends", rounded_end::rounded_ends(lever, d, table, step).map(|s| s.figures())),
        ("flank", flank::set_flank(edge, d, flank::Facing::Back, table, step, &[]).map(|s| s.figures())),
        ("positions", position::positions(pickup, &[place(a, -b)]).map(|s| s.figures())),
        ("handwheel", handwheel::wind(wheel, -c).map(|s| s.figures())),
        ("speed", speed::choose(25.0, a, &[count, 500]).map(|s| s.figures(because()))),
        ("feed", speed::feed(step, count, count).map(|s| s.figures())),
        ("passes", passes::passes(a, b, step, step).map(|s| s.figures())),
        ("force", force::effort(mill, load, steel).map(|s| s.figures())),
        (
            "tapping",
            tapping::tapping(m3, aim, drills::all(), tapping::Depth::Blind(a), steel).map(|s| s.figures()),
        ),
        ("clearance", tapping::clearance_figure(m3, Class::Fine).map(|f| vec![f])),
        ("split clamp", split_clamp::clamp_holes(clamp, aim, drills::all(), steel).map(|s| s.figures())),
        ("taper pin", taper_pin::taper_hole(pinning, drills::all()).map(|s| s.figures())),
        ("reaming", reaming::reaming(a, drills::all(), steel, reaming::Drive::Machine).map(|s| s.figures())),
        ("boring", boring::boring(bore).map(|s| s.figures())),
        ("slitting", slitting::slitting(&saw, c, 18.0, step, &[90]).map(|s| s.figures(because()))),
        ("counterbore", counterbore::counterbore(head, &[a, b, c]).map(|s| s.figures())),
        (
            "dividing",
            dividing::dividing(count, dividing::Division::By(angle[1]), &[18, count]).map(|s| s.figures()),
        ),
        ("pitch circle", pitch_circle::pitch_circle(circle, step).map(|s| s.figures())),
        ("filing buttons", filing_buttons::filing_buttons(boss).map(|s| s.figures())),
        ("turning", lathe::turning(turn).map(|s| s.figures())),
        (
            "shoulders",
            lathe::shoulders(&[("head", a), ("neck", b)], step)
                .map(|s| s.iter().map(|s| s.figure()).collect()),
        ),
        ("milling", milling::milling(whole_cut).map(|found| found.figures(steel))),
        (
            "countersink",
            countersink::figures(countersink::Countersink { diameter: a, hole: b, angle: angle[0] }),
        ),
        ("squaring by file", squaring::squaring(a, squaring::Way::File, drills::all())),
        ("squaring by broach", squaring::squaring(a, squaring::Way::Broach, &[])),
        ("stepped slope", profile(stepped_profile::Profile::Slope { along: a, deeper: b }, None)),
        ("stepped crest", profile(stepped_profile::Profile::Crest { radius: a, along: b }, Some(c))),
        ("stepped hollow", profile(stepped_profile::Profile::Hollow { radius: a, along: b }, Some(step))),
        ("stepped side", stepped_line::stepped_line(stepped_side, &[]).map(|s| s.figures())),
        ("stepped curve", stepped_curve::stepped_curve(curve, &[]).map(|s| s.figures())),
        ("chain row", chain_drilling::row(chain, a).map(|s| s.figures())),
        ("change wheels", change_wheels::change_wheels(gear, wanted).map(|s| s.figures())),
        ("over wires", over_wires::over_wires(m3, step).map(|s| s.figures())),
        ("from an edge", over_pins::from_edge(a, b).map(|s| s.figures("from the edge"))),
        ("between holes", over_pins::between_holes(a, [b, c]).map(|s| s.figures("from middle to middle"))),
        ("round a circle", over_pins::round_circle(count, a, d).map(|s| s.figures("the widest"))),
        ("dovetail", over_pins::dovetail(a, d, angle[0]).map(|s| s.figures("across"))),
        ("vee", over_pins::in_vee(a, d, [angle[0]; 2]).map(|over| vec![over_pins::vee_figure(over, d)])),
        (
            "over rollers",
            over_rollers::over_rollers(cone, over_rollers::StandsOn::Small, d, step).map(|s| s.figures()),
        ),
        ("two balls", over_rollers::balls_in_bore([b, d], [step, -a]).map(|s| s.figures())),
        ("sine bar", sine_bar::sine_bar(a, angle[1], &[b, c, d, e], step).map(|s| s.figures())),
        ("rise of an arc", arc::rise_of(a, c).map(|s| s.figures())),
        ("radius of an arc", arc::radius_of(a, step).map(|s| s.figures())),
        ("weight", weight::weigh(steel, bar, a, b).map(|s| s.figures())),
        ("sawing", bars::saw(&sawing).map(|s| s.figures(&sawing))),
        ("chain ring", chain_drilling::ring(chain, a, angle[1]).map(|s| s.figures())),
    ]
}

/// True when the reason, or one that it rests on, names a source or is marked as
/// supposed.
fn is_founded(why: &Why) -> bool {
    why.assumed || why.source.is_some() || why.because.iter().any(is_founded)
}

/// Sizes that suit all of them at once, or nearly: each must answer in some case.
#[test]
fn every_number_leads_back_to_a_source() {
    let mm = |tenths: [i128; 6]| tenths.map(|t| Length::mm_ratio(t, 10));
    let angle = [Angle::degrees(40), Angle::degrees(3)];
    let cases = [
        mm([140, 70, 80, 40, 1, 1]),
        mm([300, 60, 35, 20, 1, 2]),
        mm([200, 80, 250, 60, 2, 5]),
        mm([600, 250, 60, 34, 10, 10]),
    ];
    let mut answered = std::collections::BTreeSet::new();
    let mut all = std::collections::BTreeSet::new();
    for sizes in cases {
        for (name, figures) in everything(sizes, angle, 90) {
            all.insert(name);
            let Ok(figures) = figures else { continue };
            answered.insert(name);
            assert!(!figures.is_empty(), "{name}");
            let names: std::collections::BTreeSet<&str> = figures.iter().map(|f| f.name.as_str()).collect();
            assert_eq!(names.len(), figures.len(), "{name}: two figures of one name");
            for figure in figures {
                assert!(is_founded(&figure.why), "{name}: {figure:?}");
                assert!(!figure.shown.is_empty() && !figure.name.is_empty(), "{name}: {figure:?}");
            }
        }
    }
    let silent: Vec<_> = all.difference(&answered).collect();
    assert!(silent.is_empty(), "no case reaches {silent:?}");
}

/// From a millionth of a millimetre to more than any number a file can hold, of
/// either sign, and nought.
fn any_length() -> impl Strategy<Value = Length> {
    prop_oneof![
        Just(Length::ZERO),
        (1i64..1_000_000).prop_map(|n| Length::mm_ratio(n.into(), 1_000_000)),
        (-20i64..50_000).prop_map(|n| Length::mm_ratio(n.into(), 100)),
        (1i64..4000).prop_map(|n| Length::inches(n.into(), 64)),
        Just(Length::inches(999_999_999, 1)),
        Just(Length::inches(-999_999_999, 1)),
    ]
}

proptest! {
    /// A wrong size is a problem with words in it, or an answer; never a panic.
    #[test]
    fn no_size_makes_a_setting_panic(
        sizes in prop::array::uniform6(any_length()),
        angles in prop::array::uniform2(-800_000i64..800_000),
        count in prop_oneof![Just(0u32), 1u32..200, Just(u32::MAX)],
    ) {
        for (name, answer) in everything(sizes, angles.map(|a| Angle::ratio(a.into(), 1000)), count) {
            if let Err(fault) = answer {
                prop_assert!(!fault.what().is_empty(), "{}", name);
                prop_assert!(fault.reason().is_some() || fault.remedy().is_some(), "{name}: {fault}");
            }
        }
    }
}
