//! What is set for turned work: where cuts begin, how far holes go, what comes off castings.

use super::*;

fn lengths(text: &str) -> Vec<f64> {
    let words = text.split([' ', ',', ':', '≈']);
    words.filter_map(|word| word.parse().ok()).collect()
}

fn section(name: &str, diameter: u32, length: u32, more: &str) -> String {
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"section\"\ndiameter = \"{diameter}\"\nlength = \"{length}\"\n{more}"
    )
}

fn turned(material: &str, more: &str) -> String {
    format!(
        "part = \"Part\"\nunit = \"mm\"\nmaterial = \"{material}\"\nusual_roles = true\n{more}[body]\nkind = \"turned\"\n"
    )
}

const REAMED: &str =
    "[[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"8\"\nfinish = \"reamed\"\n";

/// An eccentric of 26 turned 3 off the axis leaves 32 to swing where its neighbour is turned next: a dial set to
/// nought at a touch there and wound in as from the whole bar would leave 4 of its 12.
#[test]
fn a_cut_begins_at_what_the_throw_left() {
    let text = turned("mild steel", "")
        + &section("a", 12, 20, "")
        + &section("e", 26, 8, "offset = \"3\"\noffset_at = \"0°\"\n")
        + &section("c", 12, 20, "");
    let made = planned(&text, "everything");
    let at = |start: &str| {
        let found = made.setups.iter().position(|s| s.rows.iter().any(|row| row.what.starts_with(start)));
        found.unwrap_or_else(|| panic!("no row `{start}`"))
    };
    // One side is parted from the whole bar afterwards, the other has been run over by the throw's cuts.
    let after = if at("turn c") < at("turn a") { "turn c" } else { "turn a" };
    assert!(at("turn e") < at(after));
    let first = shown(row(&made, after), "cut 1");
    let diameter = lengths(first).pop().unwrap();
    assert!((29.9..32.0).contains(&diameter), "{first}");
}

/// A reamer has a lead and its drill a point: in work that is still one with its bar both go on beyond the
/// finished end. By hand: 20 and 3 beyond it, and 0.3 of the drill.
#[test]
fn a_hole_through_goes_on_into_the_bar() {
    let text = turned("mild steel", "") + &section("a", 18, 20, "") + REAMED;
    let made = planned(&text, "everything");
    assert_eq!(shown(row(&made, "ream eye"), "depth"), "23 mm, 3 mm past its end");
    let drill = row(&made, "drill eye");
    let across = lengths(&drill.what).pop().unwrap();
    let to = lengths(shown(drill, "depth"))[0];
    assert!((to - (23.0 + 0.3 * across)).abs() < 0.06, "{}: {to}", drill.what);
}

/// Of a casting whose far end is not faced yet there are 2 more to go through; then it is through.
#[test]
fn a_hole_through_a_casting_goes_through_what_is_still_to_be_faced() {
    let cast = "[stock]\nform = \"casting\"\nallowance = \"2\"\n";
    let text =
        turned("cast iron", cast) + &section("boss", 30, 10, "") + &section("rim", 90, 14, "") + REAMED;
    let made = planned(&text, "everything");
    assert_eq!(shown(row(&made, "ream eye"), "depth"), "26 mm, 2 mm past its end");
    assert!(made.cover.blank.shown.ends_with("all over"), "{}", made.cover.blank.shown);
}

/// A groove goes in by half of what comes off: 22 to 16 is 3 by a dial of the radius, 6 by one of the diameter.
#[test]
fn a_groove_tells_how_far_it_goes_in() {
    let text = turned("mild steel", "")
        + &section("a", 22, 30, "")
        + "[[feature]]\nname = \"g\"\nkind = \"groove\"\ndiameter = \"16\"\nwidth = \"3\"\nplace = [\"8 right of left end\"]\n";
    let made = planned(&text, "everything");
    let into = lengths(shown(row(&made, "groove g"), "in, by the dial"))[0];
    let dial = bench("everything").lathe.unwrap().dial;
    let expected = if dial == workshop::bench::DialReads::Diameter { 6.0 } else { 3.0 };
    assert!((into - expected).abs() < 1e-9, "{into} by {dial:?}");
}

/// By hand: M12 has a pitch of 1.75 and is turned a tenth of it under size, to 11.83 mm in whole hundredths. From a
/// touch there a groove of 9 mm is 2.83 off the diameter.
#[test]
fn a_groove_behind_a_thread_counts_from_what_the_thread_is_turned_to() {
    let text = turned("mild steel", "")
        + "[[feature]]\nname = \"a\"\nkind = \"section\"\nthread = \"M12\"\nlength = \"20\"\n"
        + &section("head", 22, 12, "")
        + "[[feature]]\nname = \"g\"\nkind = \"groove\"\ndiameter = \"9\"\nwidth = \"3\"\nplace = [\"17 right of left end\"]\n";
    let made = planned(&text, "everything");
    assert!(row(&made, "turn a").what.ends_with("11.83 mm"), "{}", row(&made, "turn a").what);
    let into = lengths(shown(row(&made, "groove g"), "in, by the dial"))[0];
    let lathe = bench("everything").lathe.unwrap();
    let expected = if lathe.dial == workshop::bench::DialReads::Diameter { 2.83 } else { 1.415 };
    assert!((into - expected).abs() <= lathe.step.as_mm() / 2.0 + 1e-9, "{into}");
}

/// Flats on the section that is held: it is held where it is round.
#[test]
fn work_is_held_clear_of_its_own_flats() {
    let text = turned("mild steel", "")
        + &section("stem", 12, 30, "")
        + &section("head", 18, 5, "")
        + "[[feature]]\nname = \"way\"\nkind = \"flats\"\nacross = \"10\"\ncount = 2\nlength = \"10\"\n\
           place = [\"20 right of left end\"]\n";
    let made = planned(&text, "everything");
    let held = made.setups.iter().find(|s| s.rows.iter().any(|row| row.what.contains("flats"))).unwrap();
    assert!(held.held.contains("by the round of stem clear of way"), "{}", held.held);
}
