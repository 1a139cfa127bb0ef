//! Parts that hold pressure, and what screws or fits into them: nothing of them changes.

mod from_text;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved};
use workshop::measure::Length;
use workshop::metric::{Memory, MetricPart, Piece, together};
use workshop::why::Why;

use from_text::{BENCH, bench, mm, read, shown};

/// A valve chest: a block with a bore, a port beside it, and a tapped hole for a stud.
const CHEST: &str = r#"
part = "Chest"
unit = "inch"
material = "brass"
holds_pressure = true
[body]
kind = "rectangle"
width = "2"
height = "1"
thickness = "1/2"
datum = "bottom left"
[[feature]]
name = "bore"
kind = "hole"
diameter = "3/8"
finish = "reamed"
place = ["1/2 from left edge", "on the horizontal centre line"]
[[feature]]
name = "port"
kind = "hole"
diameter = "1/4"
place = ["1/2 right of bore", "level with bore"]
[[feature]]
name = "stud hole"
kind = "tapped hole"
thread = "4 BA"
depth = "5/16"
place = ["1/4 from right edge", "on the horizontal centre line"]
"#;

/// A stud that screws into it, and a rod that slides in its bore, each a part of its own.
const STUD: &str = r#"
part = "Stud"
unit = "inch"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "chest end"
kind = "section"
thread = "4 BA"
length = "5/16"
[[feature]]
name = "shank"
kind = "section"
diameter = "0.17"
length = "1/4"
"#;

const ROD: &str = r#"
part = "Rod"
unit = "inch"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "guide"
kind = "section"
diameter = "3/8"
length = "1"
[[feature]]
name = "head"
kind = "section"
diameter = "0.45"
length = "1/4"
"#;

const SCREWED_HERE: &str = "[[screwed]]\nin = \"chest end\"\nwith = \"Chest: stud hole\"\n";
const SCREWED_THERE: &str = "[[screwed]]\nin = \"stud hole\"\nwith = \"Stud: chest end\"\n";
const MATED_HERE: &str = "[[mate]]\nname = \"chest bore\"\nin = \"guide\"\nsize = \"3/8\"\nfit = \"sliding\"\nwith = \"Chest: bore\"\n";
const MATED_THERE: &str =
    "[[mate]]\nname = \"rod\"\nin = \"bore\"\nsize = \"3/8\"\nfit = \"sliding\"\nwith = \"Rod: guide\"\n";

type Answer = (Drawing, Result<MetricPart, String>);

fn all(texts: &[&str], bench: &Bench) -> Vec<Answer> {
    let read: Vec<(Drawing, Solved)> = texts.iter().map(|text| self::read(text)).collect();
    let pieces: Vec<Piece> = read.iter().map(|(drawing, solved)| Piece { drawing, solved }).collect();
    let parts = together(&pieces, bench, &mut Memory::default());
    let answers = parts.into_iter().map(|part| part.map_err(|faults| shown(&faults)));
    read.iter().map(|(drawing, _)| drawing.clone()).zip(answers).collect()
}

fn good(answer: &Answer) -> &MetricPart {
    answer.1.as_ref().unwrap_or_else(|fault| panic!("{fault}"))
}

fn size(answer: &Answer, name: &str) -> Length {
    let at = answer.0.dimensions.iter().position(|d| d.name == name).expect("it is there");
    good(answer).dimensions[at].chosen
}

fn said(why: &Why) -> String {
    let more: Vec<String> = why.because.iter().map(said).collect();
    format!("{}\n{}", why.statement, more.concat())
}

fn chest(from: &str, to: &str) -> String {
    assert!(CHEST.contains(from), "{from}");
    CHEST.replacen(from, to, 1)
}

fn alone(text: &str) -> Result<MetricPart, String> {
    all(&[text], &bench()).remove(0).1
}

/// Alone the stud becomes metric; screwed into the chest, whichever file says so, its
/// thread stays and says why, and its shank is as free as before.
#[test]
fn what_screws_into_a_pressure_part_keeps_its_thread() {
    let lone = all(&[STUD], &bench()).remove(0);
    assert_ne!(good(&lone).threads[0].chosen.designation, "4 BA");
    let (here, there) = (STUD.to_owned() + SCREWED_HERE, CHEST.to_owned() + SCREWED_THERE);
    for texts in [[CHEST, &here], [&there, STUD], [&there, &here]] {
        let answers = all(&texts, &bench());
        let stud = &answers[1];
        let thread = &good(stud).threads[0];
        assert_eq!(thread.chosen.designation, "4 BA");
        assert!(said(&thread.why).contains("holds pressure"), "{}", said(&thread.why));
        assert_ne!(size(stud, "shank: diameter"), mm("4.318"), "the shank is as free as before");
        let buys = |bench: &Bench| {
            let answers = all(&texts, bench);
            good(&answers[1]).purchases.iter().any(|buy| buy.what.contains("4 BA"))
        };
        assert!(!buys(&bench()), "the lathe is geared for it");
        let no_gear = read_bench("bench.toml", &BENCH.replace("change_wheels", "# change_wheels")).unwrap();
        assert!(buys(&no_gear), "the die is to be had");
    }
}

/// The rod keeps the size that slides in the chest, in both directions of `with`.
#[test]
fn what_fits_into_a_pressure_part_keeps_its_size() {
    let lone = all(&[ROD], &bench()).remove(0);
    assert_ne!(size(&lone, "guide: diameter"), mm("9.525"));
    let (here, there) = (ROD.to_owned() + MATED_HERE, CHEST.to_owned() + MATED_THERE);
    for texts in [[CHEST, &here], [&there, ROD], [&there, &here]] {
        let answers = all(&texts, &bench());
        let rod = &answers[1];
        assert_eq!(size(rod, "guide: diameter"), mm("9.525"));
        let choice = &good(rod).dimensions[0];
        assert!(said(&choice.why).contains("`Chest`, which holds pressure"), "{}", said(&choice.why));
        assert_eq!(size(rod, "head: diameter"), size(&lone, "head: diameter"));
    }
}

/// A pin of what belongs to it is refused too, and one of its own size stands.
#[test]
fn a_pin_of_what_belongs_to_a_pressure_part_is_refused() {
    let rod = |more: &str| {
        ROD.replacen("diameter = \"3/8\"", &format!("diameter = {{ is = \"3/8\", {more} }}"), 1) + MATED_HERE
    };
    let fault = all(&[CHEST, &rod("pin = \"9.5 mm\"")], &bench()).remove(1).1.expect_err("refused");
    assert!(fault.contains("it belongs to `Chest`, which holds pressure"), "{fault}");
    assert!(fault.contains("inspector") && fault.contains("code in force"), "{fault}");
    good(&all(&[CHEST, &rod("pin = \"3/8 in\"")], &bench())[1]);
    let fault = all(&[CHEST, &rod("made = \"9.4 mm\"")], &bench()).remove(1).1.expect_err("weaker");
    assert!(fault.contains("do not put it under pressure"), "{fault}");
}

/// Nearer to the bore the port thins the wall: 12.7 less both halves is 4.7625, and 4.3625.
#[test]
fn a_pin_that_would_thin_a_wall_is_refused_with_the_wall() {
    let nearer = chest("\"1/2 right of bore\"", "{ is = \"1/2 right of bore\", pin = \"12.3 mm\" }");
    insta::assert_snapshot!(alone(&nearer).expect_err("refused"), @r"
    `port: right of bore` is not pinned to 12.3 mm: this part holds pressure
      where: part.toml, line 22, `port: right of bore`
      why:   the drawing has 12.7 mm, and its sizes were proved together; the wall between `bore` and `port` would be ≈4.363 instead of ≈4.763; the code in force where you live and a boiler inspector or other licensed person decide on any change to it, not this program; a wall, stay or thread that looks alike may be weaker
      mend:  take the pin out; it may stay if it is the drawing's own size, 12.7 mm
    ");
    // One that thins nothing is no less a change of what was proved.
    let higher = chest("thickness = \"1/2\"", "thickness = { is = \"1/2\", pin = \"13 mm\" }");
    let fault = alone(&higher).expect_err("refused");
    assert!(fault.contains("this part holds pressure") && !fault.contains("less metal"), "{fault}");
    let thread = chest("thread = \"4 BA\"", "thread = { is = \"4 BA\", pin = \"M3\" }");
    let fault = alone(&thread).expect_err("refused");
    assert!(fault.contains("M3 keeps") && fault.contains("inspector"), "{fault}");
}

#[test]
fn a_pin_equal_to_the_drawing_stands() {
    for (from, to) in [
        ("thickness = \"1/2\"", "thickness = { is = \"1/2\", pin = \"12.7 mm\" }"),
        ("thread = \"4 BA\"", "thread = { is = \"4 BA\", pin = \"4 BA\" }"),
    ] {
        let part = alone(&chest(from, to)).unwrap_or_else(|fault| panic!("{fault}"));
        let drawn = read(CHEST).0;
        let same = part.dimensions.iter().zip(&drawn.dimensions).all(|(c, d)| c.chosen == d.written.length);
        assert!(same);
    }
}

/// What is made thicker is taken as measured; what is made thinner is told, and sent to
/// the people who decide.
#[test]
fn what_is_made_is_judged() {
    let thick = chest("thickness = \"1/2\"", "thickness = { is = \"1/2\", made = \"12.8 mm\" }");
    let part = alone(&thick).unwrap_or_else(|fault| panic!("{fault}"));
    assert!(part.sizes.lengths.contains(&mm("12.8")));
    let thin = chest("thickness = \"1/2\"", "thickness = { is = \"1/2\", made = \"12.5 mm\" }");
    insta::assert_snapshot!(alone(&thin).expect_err("thinner"), @r"
    `body: thickness` is made 12.5 mm: `body: thickness` would leave 0.2 mm less metal than drawn; the wall between `stud hole` and the back face would be ≈3.718 instead of ≈3.918
      where: part.toml, line 10, `body: thickness`
      why:   the drawing has 12.7 mm; the code in force where you live and a boiler inspector or other licensed person decide on any change to it, not this program; a wall, stay or thread that looks alike may be weaker
      mend:  do not put it under pressure: show it to a boiler inspector, who answers by the code in force, or make it again
    ");
    // Within what the drawing allows it is as drawn.
    let allowed =
        chest("thickness = \"1/2\"", "thickness = { is = \"1/2\", within = \"0.3 mm\", made = \"12.5 mm\" }");
    alone(&allowed).unwrap_or_else(|fault| panic!("{fault}"));
    let wide = chest("diameter = \"3/8\"", "diameter = { is = \"3/8\", made = \"9.6 mm\" }");
    let fault = alone(&wide).expect_err("a wider bore leaves less");
    assert!(fault.contains("`bore: diameter` would leave 0.075 mm less metal"), "{fault}");
    let other = chest("thread = \"4 BA\"", "thread = { is = \"4 BA\", made = \"M4\" }");
    let fault = alone(&other).expect_err("another thread");
    assert!(fault.contains("is made M4, and this part holds pressure"), "{fault}");
}

/// Roles, tolerances and wishes change nothing, and that is said.
#[test]
fn roles_tolerances_and_wishes_change_nothing_and_say_so() {
    let loose =
        chest("thickness = \"1/2\"", "thickness = { is = \"1/2\", role = \"free\", within = \"2 mm\" }");
    let wishing = BENCH.replacen("drills =", "would_buy = [\"reamer 9.5 mm H7\"]\ndrills =", 1);
    let wishing = read_bench("bench.toml", &wishing).expect("it reads");
    let answer = all(&[&loose], &wishing).remove(0);
    let part = good(&answer);
    let drawn: Vec<Length> = answer.0.dimensions.iter().map(|d| d.written.length).collect();
    assert_eq!(part.sizes.lengths, drawn);
    let remarks = part.assumed.join("\n");
    assert!(
        remarks.contains("roles and tolerances that the file gives 1 dimensions change nothing"),
        "{remarks}"
    );
    assert!(remarks.contains("what would be bought changes nothing here"), "{remarks}");
}
