//! What work is held by where the plain chuck does not do: its own thread on a stub, its bore from
//! within. How it is done is common practice; the parts are invented.

use super::shop::{at, boathouse, listed, made};
use crate::bench::{Bench, WorkHolder};
use crate::drawing::Face;
use crate::order::work::{Aid, Held, OrderOfWork, Work};

/// A tapered cup on a thin flange: no section of it is one for jaws, and no hole goes through.
pub(super) const CUP: &str = r#"
part = "Cup"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "cup"
kind = "section"
diameter = "12"
tapers_to = "14"
length = "20"
[[feature]]
name = "flange"
kind = "section"
diameter = "20"
length = "3"
[[feature]]
name = "spigot"
kind = "section"
thread = "M8"
length = "9"
[[feature]]
name = "well"
kind = "hole"
face = "left"
diameter = "8"
depth = "18"
"#;

/// A low cap, tapped blind, its outside one short cone.
const CAP: &str = r#"
part = "Cap"
unit = "mm"
material = "brass"
[body]
kind = "turned"
[[feature]]
name = "crown"
kind = "section"
diameter = "10"
tapers_to = "18"
length = "9"
[[feature]]
name = "rim"
kind = "section"
diameter = "18"
length = "2"
[[feature]]
name = "thread"
kind = "tapped hole"
face = "right"
thread = "M8"
depth = "6"
"#;

const RING: &str = r#"
part = "Ring"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "rim"
kind = "section"
diameter = "50"
length = "5"
[[feature]]
name = "eye"
kind = "hole"
face = "right"
finish = "bored"
diameter = "30"
"#;

/// A liner: a wall of 1.5 on a barrel long enough for jaws.
const LINER: &str = r#"
part = "Liner"
unit = "mm"
material = "cast iron"
[body]
kind = "turned"
[[feature]]
name = "seat"
kind = "section"
diameter = "28"
length = "40"
[[feature]]
name = "flange"
kind = "section"
diameter = "32"
length = "3"
[[feature]]
name = "bore"
kind = "hole"
face = "right"
diameter = "25"
finish = "bored"
"#;

fn last_held(order: &OrderOfWork) -> &Held {
    &order.setups.last().unwrap().held
}

/// The thread is cut, and the end beside it faced, before the work is screwed on by it; the stub is an aid.
#[test]
fn what_only_has_a_thread_is_screwed_on_a_stub() {
    for (text, thread, then) in [(CUP, "thread spigot", "turn cup"), (CAP, "tap thread", "turn crown")] {
        let order = made(text, &boathouse());
        assert!(matches!(last_held(&order), Held::Screwed { .. }), "{}", listed(&order));
        assert!(at(&order, thread) < at(&order, then), "{}", listed(&order));
        assert!(matches!(order.aids[..], [Aid::ThreadedStub { .. }]), "{:?}", order.aids);
    }
    // A thread too thin to carry a cut does not, nor one with no shoulder round it.
    for (from, to) in [("\"M8\"", "\"M2\""), ("\"20\"\nlength = \"3\"", "\"9\"\nlength = \"3\"")] {
        let faults = super::stand_in::order(&CUP.replace(from, to), &boathouse()).unwrap_err();
        assert!(faults[0].to_string().contains("screwed on a stub"), "{}", faults[0]);
    }
}

fn only(holders: &[WorkHolder]) -> Bench {
    Bench { work_holding: Some(holders.to_vec()), ..boathouse() }
}

/// Three jaws hold a ring from within a bore that they go into, and a stub one that they do not.
#[test]
fn a_wide_ring_is_held_from_within() {
    let order = made(RING, &only(&[WorkHolder::ThreeJaw]));
    assert!(matches!(last_held(&order), Held::Inside { .. }), "{}", listed(&order));
    let narrow = made(&RING.replace("\"30\"", "\"16\""), &only(&[WorkHolder::ThreeJaw]));
    assert!(matches!(last_held(&narrow), Held::Mandrel { .. }), "{}", listed(&narrow));
}

/// Bored in jaws that close on it, a wall of 1.5 is round only until they let go.
#[test]
fn no_thin_wall_is_bored_in_hard_jaws() {
    for holders in
        [&[WorkHolder::ThreeJaw][..], &[WorkHolder::ThreeJaw, WorkHolder::FourJaw, WorkHolder::Faceplate]]
    {
        let order = made(LINER, &only(holders));
        for step in order.steps.iter().filter(|step| matches!(step.work, Work::Bore { .. })) {
            let held = &order.setups[step.setup].held;
            assert!(held.grips().is_none(), "{}", listed(&order));
        }
        assert!(!order.assumed.iter().any(|words| words.contains("hard jaws close")), "{:?}", order.assumed);
    }
    // A blind one from the other end has nothing else to be held by.
    let blind = LINER.replace("finish = \"bored\"", "finish = \"bored\"\ndepth = \"41\"");
    let order = made(&blind, &only(&[WorkHolder::ThreeJaw]));
    let told = order.assumed.iter().any(|words| words.contains("hard jaws close"));
    let pressed = order.steps.iter().any(|step| {
        matches!(step.work, Work::Bore { .. }) && order.setups[step.setup].held.grips().is_some()
    });
    assert_eq!(told, pressed, "{}\n{:?}", listed(&order), order.assumed);
}

/// The jaws hold a casting by its far side: nothing is turned there until it is turned round.
#[test]
fn a_casting_is_not_turned_where_the_jaws_hold_it() {
    let wheel = "part = \"Wheel\"\nunit = \"mm\"\nmaterial = \"cast iron\"\n[stock]\nform = \"casting\"\nallowance = \"2\"\n\
        [body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"60\"\nlength = \"3\"\n\
        [[feature]]\nname = \"tread\"\nkind = \"section\"\ndiameter = \"54\"\nlength = \"14\"\n\
        [[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"8\"\nfinish = \"reamed\"\n";
    let order = made(wheel, &boathouse());
    let far = match order.setups[0].up {
        Face::Right => "turn flange",
        _ => "turn tread",
    };
    assert!(order.steps[at(&order, far)].setup > 0, "{}", listed(&order));
}
