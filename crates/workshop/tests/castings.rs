//! Castings: what stays as cast keeps its size, and what is cut keeps within the metal.

use proptest::prelude::*;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Part, read_drawing, solve};
use workshop::measure::{Length, read_length};
use workshop::metric::{MadeWith, MetricPart, metricate};
use workshop::problem::Problem;

const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");

fn bench() -> Bench {
    read_bench("bench.toml", BENCH).expect("the bench reads")
}

fn shown(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn chosen(text: &str) -> (Drawing, MetricPart) {
    let drawing =
        read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}\n{text}", shown(&faults)));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}\n{text}", shown(&faults)));
    let part =
        metricate(&drawing, &solved, &bench()).unwrap_or_else(|faults| panic!("{}\n{text}", shown(&faults)));
    (drawing, part)
}

/// The names of the sizes that are as cast.
fn cast(text: &str) -> Vec<String> {
    let (drawing, part) = chosen(text);
    let stays = part.dimensions.iter().filter(|choice| choice.made == MadeWith::Exact);
    stays
        .map(|choice| {
            assert_eq!(choice.chosen, choice.exact, "what is cast stays as drawn");
            drawing.dimensions[choice.id.0].name.clone()
        })
        .collect()
}

fn mm(text: &str) -> Length {
    read_length(&format!("{text} mm"), None).expect("a length").length
}

fn casting(machined: &str, allowance: &str) -> String {
    format!("[stock]\nform = \"casting\"\nallowance = \"{allowance}\"\nmachined = [{machined}]\n")
}

fn part(body: &str, stock: &str, features: &str) -> String {
    format!("part = \"Cast part\"\nunit = \"inch\"\nmaterial = \"cast iron\"\n{body}{stock}{features}")
}

const BLOCK: &str = "[body]\nkind = \"rectangle\"\nwidth = \"2 1/8\"\nheight = \"1 1/8\"\nthickness = \"17/32\"\ndatum = \"bottom left\"\n";
const HOLE: &str = "[[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"1 right of datum\", \"1/2 above datum\"]\n";

/// Of a block each size stays whose two faces are both as cast.
#[test]
fn a_block_keeps_what_lies_between_cast_faces() {
    for (machined, stays) in [
        ("", &["body: width", "body: height", "body: thickness"][..]),
        ("\"front\"", &["body: width", "body: height"]),
        ("\"front\", \"left\"", &["body: height"]),
        ("\"left\", \"top\"", &["body: thickness"]),
        ("\"edges\", \"back\"", &[]),
    ] {
        assert_eq!(cast(&part(BLOCK, &casting(machined, "1/16"), HOLE)), stays, "{machined}");
    }
}

#[test]
fn a_disc_keeps_its_edge_or_its_faces() {
    let disc = "[body]\nkind = \"disc\"\ndiameter = \"2 1/8\"\nthickness = \"17/32\"\n";
    let hole = HOLE.replace("1 right", "1/4 right").replace("1/2 above", "1/4 above");
    assert_eq!(cast(&part(disc, &casting("\"front\", \"back\"", "1/16"), &hole)), ["body: diameter"]);
    assert_eq!(cast(&part(disc, &casting("\"edges\"", "1/16"), &hole)), ["body: thickness"]);
}

const BOSSES: &str = "[body]\nkind = \"bosses\"\naround = [\"big\", \"small\"]\nthickness = \"17/32\"\n";
const TWO_BOSSES: &str = "[[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"21/32\"\nplace = \"datum\"\n\
    [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"13/32\"\nplace = [\"1 23/32 right of big\", \"3/32 above big\"]\n\
    [[feature]]\nname = \"big bore\"\nkind = \"hole\"\ndiameter = \"3/8\"\nplace = [\"concentric with big\"]\n\
    [[feature]]\nname = \"oil hole\"\nkind = \"hole\"\ndiameter = \"1/16\"\nplace = [\"23/32 right of big\", \"level with big\"]\n";

/// Bosses keep their radii and the way between them; the bores follow their tools, and
/// what is placed by a dimension of its own may move.
#[test]
fn bosses_keep_their_sizes_and_the_way_between_them() {
    assert_eq!(
        cast(&part(BOSSES, &casting("\"front\", \"back\"", "1/16"), TWO_BOSSES)),
        ["big: radius", "small: right of big", "small: above big", "small: radius"]
    );
    assert_eq!(cast(&part(BOSSES, &casting("\"edges\"", "1/16"), TWO_BOSSES)), ["body: thickness"]);
}

/// An outline keeps corners, arcs and places alike.
#[test]
fn an_outline_keeps_its_corners_arcs_and_places() {
    let body = "[body]\nkind = \"outline\"\naround = [\"heel\", \"toe\", { arc = \"2\", bulge = \"out\" }, \"brow\", \"nose\"]\nthickness = \"3/16\"\n";
    let corner = |name: &str, radius: &str, place: &str| {
        format!("[[feature]]\nname = \"{name}\"\nkind = \"corner\"\n{radius}place = {place}\n")
    };
    let corners = corner("heel", "radius = \"5/32\"\n", "\"datum\"")
        + &corner("toe", "", "[\"1 23/32 right of heel\", \"level with heel\"]")
        + &corner("brow", "", "[\"plumb with toe\", \"29/32 above heel\"]")
        + &corner("nose", "", "[\"plumb with heel\", \"level with brow\"]")
        + &HOLE
            .replace("1 right of datum", "13/16 right of heel")
            .replace("1/2 above datum", "7/16 above heel");
    let mut stays = cast(&part(body, &casting("\"front\", \"back\"", "1/16"), &corners));
    stays.sort();
    assert_eq!(
        stays.iter().filter(|name| !name.contains("arc")).collect::<Vec<_>>(),
        ["brow: above heel", "heel: radius", "toe: right of heel"]
    );
    assert_eq!(stays.len(), 4, "and the arc: {stays:?}");
}

const TURNED: &str = "[body]\nkind = \"turned\"\n";
const SECTIONS: &str = "[[feature]]\nname = \"spigot\"\nkind = \"section\"\ndiameter = \"25/32\"\nlength = \"13/32\"\n\
    [[feature]]\nname = \"neck\"\nkind = \"section\"\ndiameter = \"17/32\"\nlength = \"21/32\"\n\
    [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"1 11/32\"\nlength = \"9/32\"\n\
    [[feature]]\nname = \"bore\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"1/4\"\n";

/// Of a turned casting that is only faced the rounds and the way between cast shoulders
/// stay; what ends in a faced end may change.
#[test]
fn a_casting_that_is_only_faced_keeps_its_rounds_and_shoulders() {
    let rounds = ["spigot: diameter", "neck: diameter", "flange: diameter"];
    for (machined, lengths) in [
        ("\"left\", \"right\"", &["neck: length"][..]),
        ("\"right\"", &["spigot: length", "neck: length"]),
        ("\"left\"", &["neck: length", "flange: length"]),
    ] {
        let mut stays = cast(&part(TURNED, &casting(machined, "1/16"), SECTIONS));
        stays.sort();
        let mut wanted: Vec<&str> = rounds.iter().chain(lengths).copied().collect();
        wanted.sort_unstable();
        assert_eq!(stays, wanted, "{machined}");
    }
    // All over, everything is turned.
    assert!(cast(&part(TURNED, &casting("", "1/16"), SECTIONS)).is_empty());
    // A taper and an eccentric stay as cast with the rest.
    let taper = SECTIONS.replace("\"17/32\"\nlength", "\"17/32\"\ntapers_to = \"15/32\"\nlength");
    let stays = cast(&part(TURNED, &casting("\"left\", \"right\"", "1/16"), &taper));
    assert_eq!(stays.len(), 5, "{stays:?}");
}

/// With next to no allowance nothing may grow; with enough the rounder size is taken.
/// 1 21/32 in is 42.06875: 42 and 42.5 are round. 17/32 in is 13.49375: 13.5 is nearest.
#[test]
fn what_is_cut_keeps_within_the_casting() {
    let thickness = |allowance: &str, faces: &str| {
        let (drawing, part) = chosen(&part(BLOCK, &casting(faces, allowance), HOLE));
        let at = drawing.dimensions.iter().position(|d| d.name == "body: thickness").expect("it is there");
        part.dimensions[at].chosen
    };
    let both = "\"front\", \"back\"";
    assert_eq!(thickness("1/16", both), mm("13.5"));
    // 0.4 mm of allowance is all clean cut: the part may not outgrow the drawing.
    assert!(thickness("0.4 mm", both) < mm("13.49375"));
    // 0.503 mm leaves 0.003 mm on each face, or 0.006 on two, where 0.00625 is wanted.
    assert!(thickness("0.503 mm", both) < mm("13.49375"));
    assert_eq!(thickness("0.504 mm", both), mm("13.5"));
    assert!(thickness("0.504 mm", "\"front\"") < mm("13.49375"));
}

/// A pin that asks for metal that is not there is refused by name.
#[test]
fn a_pin_beyond_the_casting_is_named() {
    let pinned = BLOCK.replace("thickness = \"17/32\"", "thickness = { is = \"17/32\", pin = \"16.6 mm\" }");
    let text = part(&pinned, &casting("\"front\", \"back\"", "1/16"), HOLE);
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let fault = shown(&metricate(&drawing, &solved, &bench()).map(|_| ()).expect_err("no such metal"));
    assert!(fault.contains("pinned to 16.6 mm") && fault.contains("clean cut of 0.5 mm"), "{fault}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Whatever the sizes, an outline that is cut all round lies within the casting: the
    /// drawn outline grown by the allowance, less the clean cut.
    #[test]
    fn an_outline_cut_all_round_lies_within_the_casting(
        big in 18i128..40, small in 10i128..16, right in 90i128..140, above in -20i128..20, allowance in 1i128..30,
    ) {
        let side = if above < 0 { "below" } else { "above" };
        let bosses = format!("[[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"{big}/64\"\nplace = \"datum\"\n\
            [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"{small}/64\"\nplace = [\"{right}/64 right of big\", \"{}/64 {side} big\"]\n\
            [[feature]]\nname = \"oil hole\"\nkind = \"hole\"\ndiameter = \"1/16\"\nplace = [\"concentric with big\"]\n", above.abs());
        let left = Length::microns(allowance as i64 * 10 + 400);
        let text = part(BOSSES, &casting("\"edges\"", &left.to_string()), &bosses);
        let drawing = read_drawing("part.toml", &text).expect("it reads");
        let solved = solve(&drawing).expect("it solves");
        let metric = metricate(&drawing, &solved, &bench());
        prop_assume!(metric.is_ok());
        let drawn = Part::as_drawn(&drawing, &solved);
        let made = drawn.with_sizes(metric.expect("just seen").sizes);
        let clean = left.min(mm("0.5"));
        let most_mm = (left - clean).as_mm() + 1e-6; // places are held to the nanometre
        let outline = drawn.outline().expect("drawn");
        for point in made.outline().expect("made").segments().iter().flat_map(|s| [0.0, 0.3, 0.6].map(|at| s.along(at))) {
            let out_mm = if outline.contains(point) { 0.0 } else { outline.distance_mm(point) };
            prop_assert!(out_mm <= most_mm, "{out_mm} beyond {most_mm}\n{text}");
        }
    }
}

/// Each face of a casting is cut by itself: its passes come to what is left on it, not to what is left on both.
#[test]
fn the_passes_of_a_face_come_to_what_is_left_on_it() {
    let text = part(BLOCK, &casting("\"front\", \"back\"", "2 mm"), HOLE);
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let made = workshop::plan::plan(&drawing, &bench()).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let rows = made.setups.iter().flat_map(|setup| &setup.rows);
    let faced = rows.filter(|row| row.what.starts_with("face to")).collect::<Vec<_>>();
    let all = |label: &str| {
        let figure = faced[0].depth.iter().find(|figure| figure.label() == label);
        figure.unwrap_or_else(|| panic!("no {label}")).shown.clone()
    };
    assert!(all("passes").ends_with("2.000 mm"), "{}", all("passes"));
    assert!(all("of each face").contains("the same again"));
}
