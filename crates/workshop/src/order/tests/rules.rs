//! Every rule of the trade, once as it holds and once as it does not.

use super::held_parts::{JOURNALS, LONG, LONG_FIT, RIMMED, ROLLER, SLEEVE, TUBE, WASHER};
use super::rule_parts::{
    ANGLE, BLANK_COVER, BLOCK, BORELESS, CRANK, CRANKED, FILED, FOOTED, HARD_PIECES, LAPPED, NECKED,
    OVERHUNG, PLATE, SET_OVER, SPLIT, STAYS, THIN, THROWN, WALLED, WINDOW,
};
use super::screwed_on::CUP;
use super::shop::{BRACKET, COVER, LEVER, SPINDLE, boathouse};
use super::stand_in::with_part;
use crate::measure::Length;
use crate::order::deed::{Job, Makings, Scheme};
use crate::order::rules::{Rule, Says, all};
use crate::order::{plates, turned};

/// A case of one rule: in which part, and two pairs of texts.
///
/// Of a rule that puts one deed before another: `yes` are those two, which hold
/// forwards and not backwards. Of any other rule: the first of `yes` names a deed or
/// place that it speaks of, the second one that it does not.
struct Case {
    rule: &'static str,
    part: &'static str,
    scheme: Scheme,
    yes: (&'static str, &'static str),
}

const fn case(
    rule: &'static str,
    part: &'static str,
    scheme: Scheme,
    yes: (&'static str, &'static str),
) -> Case {
    Case { rule, part, scheme, yes }
}

const ALONE: Scheme = Scheme::ALONE;
const ALIKE_APART: Scheme = Scheme::apart(2);
const ALIKE_STUCK: Scheme = Scheme::apart(2).stuck(2);
const HANDS_APART: Scheme = Scheme::hands(1);
const HANDS_STUCK: Scheme = Scheme::hands(1).stuck(2);

const HANDS_SCREWED: Scheme = Scheme::hands(1).stuck(2).screwed();

const CASES: &[Case] = &[
    case("drill, then finish", LEVER, HANDS_STUCK, ("drill pivot bore", "ream pivot bore")),
    case("true, then ream", THIN, ALONE, ("bring one to its place", "ream one")),
    case("step, then what stands in it", FOOTED, ALONE, ("mill inside", "drill bolt hole")),
    case("through, then thin", THIN, ALONE, ("drill drain", "mill well")),
    case("through the wall, then the pocket", WALLED, ALONE, ("drill vent", "mill well")),
    case("milled beside a slit", SPLIT, ALONE, ("mill b to c", "saw split")),
    case(
        "one half, then the other",
        THIN,
        ALONE,
        ("drill oil way 3 mm, half way", "drill oil way 3 mm, half way"),
    ),
    case("rough, then cut the outline", CRANK, ALONE, ("chain drill round the outline", "round long")),
    case("a line to work to", BORELESS, ALONE, ("file the flanks", "mill two edges")),
    case("scribed lines", BORELESS, ALONE, ("mark out the outline", "file the flanks")),
    case("drill, then tap", COVER, ALONE, ("drill oil hole", "tap oil hole")),
    case("drill, then open", LEVER, HANDS_APART, ("drill clamp screw", "open clamp screw")),
    case("open, then tap", LEVER, HANDS_APART, ("open clamp screw", "tap clamp screw")),
    case("small drill, then large", BLOCK, ALONE, ("drill shaft pin 1.9", "drill shaft pin 2.2")),
    case("drill, then ream the taper", BLOCK, ALONE, ("drill shaft pin 1.9", "ream shaft pin")),
    case("bore, then pin", BLOCK, ALONE, ("ream shaft bore", "drill shaft pin 1.9")),
    case("hole, then countersink", BLOCK, ALONE, ("drill shaft bore", "countersink sunk")),
    case("bore, then keyway", KEYED, ALONE, ("ream hub bore", "plane key")),
    case("drill a way in", BLOCK, ALONE, ("drill well", "mill well")),
    case("drill, then file", BLOCK, ALONE, ("drill key way", "file key way")),
    case("pocket, then its holes", BLOCK, ALONE, ("mill well", "drill drain")),
    case("hole, then counterbore", PLATE, ALIKE_APART, ("drill bolt hole", "counterbore seat")),
    case("in order of size", LEVER, HANDS_STUCK, ("ream rod bore", "ream pivot bore")),
    case("face, then stick", PLATE, ALIKE_STUCK, ("face to", "stick")),
    case("face, then square", PLATE, ALIKE_APART, ("face to", "mill two edges")),
    case("square, then size", BRACKET, ALONE, ("mill two edges", "mill the other two edges")),
    case("one hand, then the other", LEVER, HANDS_STUCK, ("mill arm step", "saw clamp slit")),
    case("round in order", ANGLE, ALONE, ("mill heel to toe", "mill top to heel")),
    case("everything square, then the outline", ANGLE, ALONE, ("drill rivet", "mill heel to toe")),
    case("mill, then file", ANGLE, ALONE, ("mill heel to toe", "file toe")),
    case("ends, then the line between", BORELESS, ALONE, ("round small end", "file the flanks")),
    case(
        "stuck together",
        LEVER,
        HANDS_STUCK,
        (
            "parallels, front up, the pair",
            "bolted to a plate through pivot bore and rod bore, front up, right",
        ),
    ),
    case("stick", LEVER, HANDS_STUCK, ("stick", "part the pair")),
    case("holes for the screws", LEVER, HANDS_SCREWED, ("screw the pair", "clamp the two")),
    case("a hole for a screw", LEVER, HANDS_SCREWED, ("ream pivot bore", "drill pivot bore")),
    case("drilled while it is clamped", LEVER, HANDS_SCREWED, ("drill pivot bore", "screw the pair")),
    case("screwed while it is clamped", LEVER, HANDS_SCREWED, ("screw the pair", "drill pivot bore")),
    case("screws hold", LEVER, HANDS_SCREWED, ("screw the pair", "clamp the two")),
    case("screw, then cut", LEVER, HANDS_SCREWED, ("round pivot boss", "drill stop hole")),
    case("nothing to part", LEVER, HANDS_STUCK, ("part the pair", "stick")),
    case("part", LEVER, HANDS_STUCK, ("part the pair", "stick")),
    case("parted", LEVER, HANDS_STUCK, ("part the pair", "stick")),
    case("one by one", LEVER, HANDS_STUCK, ("front up, right hand", "parallels, front up, the pair")),
    case("edges to work from", LEVER, HANDS_APART, ("in the vice on parallels", "bolted to a plate")),
    case("scribed from the edges", BLANK_COVER, ALONE, ("pressed between", "in the vice on parallels")),
    case("squared edges", COVER, ALONE, ("mill two edges", "drill shaft bore")),
    case("the outline takes the edges", LEVER, HANDS_APART, ("round rod boss", "mill arm step")),
    case("a bore to work from", LEVER, HANDS_APART, ("bolted to a plate", "in the vice on parallels")),
    case("step, then file the ridges", BORELESS, ALONE, ("round small end", "file the ridges off small end")),
    case("the pair or each piece", LEVER, HANDS_STUCK, ("round pivot boss", "drill pivot bore")),
    case("begun on the one or the other", LEVER, HANDS_STUCK, ("round pivot boss", "drill pivot bore")),
    case("a finished bore", LEVER, HANDS_APART, ("ream rod bore", "drill rod bore")),
    case("flat on the table", LEVER, HANDS_APART, ("Rotary table", "Mill")),
    case("a step takes the flat", LEVER, HANDS_APART, ("mill arm step", "round rod boss")),
    case("a slit opens its bore", LEVER, HANDS_APART, ("saw clamp slit", "tap clamp screw")),
    case("a slit weakens its boss", LEVER, HANDS_APART, ("saw clamp slit", "tap clamp screw")),
    case("finish the bore before the slit", LEVER, HANDS_APART, ("ream pivot bore", "saw clamp slit")),
    case("clamp screw before the slit", LEVER, HANDS_APART, ("tap clamp screw", "tap spring anchor")),
    case("outline before the slit", LEVER, HANDS_APART, ("round pivot boss", "mill arm step")),
    case("face the end first", SPINDLE, ALONE, ("turn tail", "face the right end")),
    case("a faced end", SPINDLE, ALONE, ("face the right end", "turn tail")),
    case("centre before turning", SPINDLE, ALONE, ("centre the left end", "turn guide")),
    case("thick before thin", SPINDLE, ALONE, ("turn guide", "turn nut end")),
    case("straight before taper", CRANKED, ALONE, ("turn stem", "turn cone")),
    case("turn before knurling", CRANKED, ALONE, ("turn head", "knurl grip")),
    case("knurl while stiff", CRANKED, ALONE, ("knurl grip", "turn stem")),
    case("chamfer last", CRANKED, ALONE, ("turn screw", "chamfer lead")),
    case("chamfer before threading", CRANKED, ALONE, ("chamfer lead", "thread screw")),
    case("turn before threading", SPINDLE, ALONE, ("turn nut end", "thread nut end")),
    case("turn before grooving", NECKED, ALONE, ("turn screw", "groove run-out")),
    case("necks last", DEEP, ALONE, ("turn pin", "groove neck")),
    case("groove before threading", NECKED, ALONE, ("groove run-out", "thread screw")),
    case("outside before the hole", NECKED, ALONE, ("turn screw", "drill centre hole")),
    case("on the bar", SPINDLE, ALONE, ("in the chuck by the bar", "in the chuck by tail")),
    case("part off last", SPINDLE, ALONE, ("part off", "turn tail")),
    case("off the bar", SPINDLE, ALONE, ("part off", "turn tail")),
    case(
        "part off before turning round",
        SPINDLE,
        ALONE,
        ("in the chuck by tail", "in the chuck by the bar"),
    ),
    case("held by a finished section", SPINDLE, ALONE, ("in the chuck by tail", "in the chuck by the bar")),
    case("a turned section", SPINDLE, ALONE, ("turn tail", "part off")),
    case("a thread is no grip", SPINDLE, ALONE, ("thread nut end", "turn nut end")),
    case("a knurl is no grip", CRANKED, ALONE, ("knurl grip", "turn head")),
    case("flats are no round", CRANKED, ALONE, ("mill spanner way", "turn stem")),
    case("turn before flats", CRANKED, ALONE, ("turn stem", "mill spanner way")),
    case("turn before what stands in the end", CRANKED, ALONE, ("turn screw", "drill side hole")),
    case("turn before the cross hole", SPINDLE, ALONE, ("turn tail", "drill cotter hole")),
    case("cut before hardened", HARD_PIECES, HANDS_APART, ("drill eye", "harden")),
    case("temper at once", HARD_PIECES, HANDS_APART, ("harden", "temper to straw")),
    case("one hardened piece, then the next", HARD_PIECES, HANDS_APART, ("temper to straw", "harden")),
    case("lap last", LAPPED, ALONE, ("ream eye", "lap eye")),
    case("lap once tempered", LAPPED, ALONE, ("temper to straw", "lap eye")),
    case("it stays where it is turned", STAYS, ALONE, ("turn stub", "leave it in the chuck")),
    case("bore while the wall is thick", TUBE, ALONE, ("bore through bore", "turn barrel")),
    case("centre before drilling", LONG, ALONE, ("centre the right end", "drill eye")),
    case("a bore to hold by", WASHER, ALONE, ("on a stub turned in place", "in the chuck by the bar")),
    case("a cross hole leaves a burr", TUBE, ALONE, ("drill oil hole", "turn flange")),
    case("a thread to hold by", CUP, ALONE, ("screwed by spigot on a stub", "in the chuck by the bar")),
    case("a finished thread", CUP, ALONE, ("thread spigot", "turn flange")),
    case("flat on the faceplate", RIMMED, ALONE, ("on the faceplate", "in the chuck by the bar")),
    case("two centre holes", ROLLER, ALONE, ("between centres", "in the chuck by the bar")),
    case("a centre hole", ROLLER, ALONE, ("centre the left end", "turn body")),
    case("held by the bar's own outside", ROLLER, ALONE, ("the sawn length", "in the chuck by the bar")),
    case("turned, it is bar no more", ROLLER, ALONE, ("turn body", "part off")),
    case("hard jaws want a thick wall", TUBE, ALONE, ("in the chuck by barrel", "in the chuck by the bar")),
    case("bored, the wall is thin", TUBE, ALONE, ("bore through bore", "turn flange")),
    case(
        "the steady runs on a turned section",
        LONG,
        ALONE,
        ("in the fixed steady", "in the chuck by the bar"),
    ),
    case(
        "a punched centre to drill at",
        FILED,
        ALONE,
        ("at punched centres", "in the bench vice; to a line"),
    ),
    case("edges to hold by", FILED, ALONE, ("at punched centres", "in the bench vice; to a line")),
    case("the circle before its middle goes", WINDOW, ALONE, ("chain drill window", "drill screw hole")),
    case("drill, then file out", FILED, ALONE, ("drill way", "file out way")),
    case("two offset centre holes", THROWN, ALONE, ("between offset centres", "in the chuck by the bar")),
    case("centred while the bar is whole", THROWN, ALONE, ("on end in a vee", "in the chuck by the bar")),
    case("the centre hole goes with its metal", THROWN, ALONE, ("turn right journal", "turn crank pin")),
    case("rough, then finish", LONG_FIT, ALONE, ("rough shank", "turn head")),
    case("rough both ends, then finish", JOURNALS, ALONE, ("turn left journal", "turn right journal")),
    case("drill between roughing and finishing", SLEEVE, ALONE, ("drill eye", "turn barrel")),
    case("true, then off centre", SET_OVER, ALONE, ("turn shaft", "turn sheave")),
    case("throws while the bar is stiff", THROWN, ALONE, ("turn crank pin", "turn right journal")),
    case("the pin by the bar last", OVERHUNG, ALONE, ("turn shaft", "turn pin")),
    case("bolts before the parting", PARTED, ALONE, ("drill bolt", "tap bolt")),
    case("bored with its cap on", PARTED, ALONE, ("drill shaft bore", "drill bolt")),
    case("the saw takes the cap off", PARTED, ALONE, ("saw the cap off", "bolt the cap on")),
    case("bolted on again", PARTED, ALONE, ("bolt the cap on", "saw the cap off")),
    case("square, part, face, bolt", PARTED, ALONE, ("saw the cap off", "mill both faces")),
    case("measure from a faced end", SPINDLE, ALONE, ("in a vee block", "in the chuck by tail")),
];

const DEEP: &str = r#"
part = "Deep neck"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "shank"
kind = "section"
diameter = "14"
length = "20"
[[feature]]
name = "pin"
kind = "section"
diameter = "8"
length = "10"
[[feature]]
name = "neck"
kind = "groove"
diameter = "7"
width = "3"
place = ["5 right of shank"]
"#;

const KEYED: &str = r#"
part = "Collar"
unit = "mm"
material = "mild steel"
[body]
kind = "rectangle"
width = "40"
height = "40"
thickness = "10"
datum = "centre"
[[feature]]
name = "hub bore"
kind = "hole"
diameter = "8"
finish = "reamed"
place = "datum"
[[feature]]
name = "key"
kind = "keyway"
in = "hub bore"
width = "2"
depth = "1"
"#;

const PARTED: &str = r#"
part = "Bearing"
unit = "mm"
material = "mild steel"
[body]
kind = "rectangle"
width = "40"
height = "30"
thickness = "16"
datum = "bottom left"
[[feature]]
name = "shaft bore"
kind = "hole"
diameter = "12"
place = ["15 from left edge", "16 from bottom edge"]
[[feature]]
name = "bolt"
kind = "tapped hole"
face = "top"
thread = "M4"
depth = "22"
place = ["32 from left edge", "mid thickness"]
[[parted]]
through = "shaft bore"
cap = "top"
bolts = ["bolt"]
"#;

#[test]
fn every_rule_holds_where_it_should_and_not_where_it_should_not() {
    for rule in all() {
        let cases: Vec<&Case> = CASES.iter().filter(|case| case.rule == rule.name).collect();
        assert_eq!(cases.len(), 1, "`{}` has one case", rule.name);
        check(rule, cases[0]);
    }
    assert_eq!(CASES.len(), all().count(), "a case for every rule and no other");
}

fn check(rule: &Rule, case: &Case) {
    let mut bench = boathouse();
    if case.rule == "face, then stick" || case.rule == "face, then square" {
        bench.stock.clear(); // so that the thickness has to be milled
    }
    if case.rule == "true, then ream" {
        bench.boring = Some(crate::bench::Boring { least: Length::mm(4), most: Length::mm(50) });
    }
    if case.part == FILED {
        bench = super::by_hand::pressed();
    }
    with_part(case.part, &bench, |part, metric| {
        let job = Job { part, metric, bench: &bench, scheme: case.scheme };
        let makings = match part.drawing.body {
            crate::drawing::Body::Turned { .. } => turned::makings(&job, turned::First::Right),
            _ => plates::makings(&job),
        };
        let makings = makings.expect("the part can be made");
        let (first, second) = case.yes;
        let name = rule.name;
        match rule.says {
            Says::Before(before) => {
                let other_hand = matches!(
                    case.rule,
                    "one hand, then the other"
                        | "one half, then the other"
                        | "one hardened piece, then the next"
                );
                let a = &makings.deeds[deed(&makings, first, 0)];
                let b = &makings.deeds[deed(&makings, second, usize::from(other_hand))];
                assert!(before(&job, &makings, a, b), "{name}: {first}, {second}");
                assert!(!before(&job, &makings, b, a), "{name}: {second}, {first}");
            }
            Says::Needs(of) | Says::Makes(of) | Says::Spoils(of) => {
                let [yes, no] = [first, second].map(|text| &makings.deeds[deed(&makings, text, 0)]);
                assert!(!of(&job, &makings, yes).is_empty(), "{name}: {first}");
                assert!(of(&job, &makings, no).is_empty(), "{name}: {second}");
            }
            Says::HoldingNeeds(of) => {
                let [yes, no] = [first, second].map(|text| place(&makings, text));
                assert!(!of(&job, &makings.places[yes]).is_empty(), "{name}: {first}");
                assert!(of(&job, &makings.places[no]).is_empty(), "{name}: {second}");
            }
        }
    });
}

/// The deeds that begin so, counted from nought.
fn deed(makings: &Makings, text: &str, which: usize) -> usize {
    let found: Vec<usize> =
        (0..makings.deeds.len()).filter(|&n| makings.deeds[n].text.starts_with(text)).collect();
    *found.get(which).unwrap_or_else(|| panic!("no deed `{text}`"))
}

fn place(makings: &Makings, text: &str) -> usize {
    let found = makings.places.iter().position(|place| place.title.contains(text));
    found.unwrap_or_else(|| panic!("no place `{text}` in {:#?}", makings.places))
}
