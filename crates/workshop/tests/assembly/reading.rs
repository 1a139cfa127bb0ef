//! What is wrong with an assembly file is said with its line, its reason and how to mend it.

use super::{discs, faults, fitting};

/// A file that is in order, for one thing of it to be spoilt.
const GOOD: &str = r#"[[piece]]
name = "Shaft"
what = "5 mm silver steel, 60 long"

[[aid]]
name = "setting plug"
uses = ["Web: bore"]

[[aid]]
name = "square"
have = true

[[join]]
name = "pin in the web"
parts = ["Pin: eye", "Web, 2nd: pin bore", "Shaft"]
how = "pressed"
set_by = "setting plug"
sets = "the angle of the pin"
closes = ["Pin: cross hole"]
at = "mill"
minutes = 12
because = "it is the heart of it"

[[work]]
name = "finish the bore"
do = "ream"
to = ["Web: bore"]
in = ["pin in the web"]
set_by = "square"

[[heat]]
name = "harden the pin"
do = "harden"
parts = ["Pin"]
before = ["pin in the web"]
"#;

#[test]
fn a_file_in_order_is_read_whole() {
    let fitting = fitting(GOOD, &discs()).unwrap();
    assert_eq!((fitting.pieces.len(), fitting.tasks.len()), (1, 5));
    let names: Vec<&str> = fitting.tasks.iter().map(|task| task.name.as_str()).collect();
    assert_eq!(names, ["setting plug", "square", "pin in the web", "finish the bore", "harden the pin"]);
    let join = &fitting.tasks[2];
    assert_eq!((join.members.len(), join.closes.len(), join.minutes), (3, 1, Some(12)));
    assert_eq!(join.place.word(), "mill");
    assert_eq!(join.said.place, "assembly.toml, line 14");
    assert_eq!(fitting.task(join.after[0]).name, "harden the pin", "`before` is `after` said the other way");
}

#[test]
fn each_slip_is_told_with_its_line_and_how_to_mend_it() {
    // What stands there, what is written instead, and what must be said of it.
    for (was, slip, wanted) in [
        ("how = \"pressed\"", "how = \"presed\"", &["line 16, `how`", "did you mean `pressed`?"][..]),
        ("how = \"pressed\"", "", &["`how` is not given", "line 13"]),
        ("[[join]]", "[[joint]]", &["`joint` means nothing here", "line 13", "did you mean `join`?"]),
        (
            "\"Pin: eye\"",
            "\"Pim: eye\"",
            &["no part called `Pim`", "line 15, `parts`", "did you mean `Pin`?"],
        ),
        ("\"Pin: eye\"", "\"Pin: eyee\"", &["`Pin` has no feature called `eyee`", "did you mean `eye`?"]),
        ("\"Pin: eye\"", "\"Pin: nothing at all\"", &["name one of `eye`, `cross hole`"]),
        ("\"Shaft\"]", "\"Shaft: end\"]", &["`Shaft` has no drawing, and so no features", "line 15"]),
        ("Web, 2nd", "Web, 3rd", &["there is no 3rd `Web`", "2 are made"]),
        ("Web, 2nd", "Web, left hand", &["there is no left hand of `Web`"]),
        ("Web, 2nd", "Web, blue", &["`blue` does not say which `Web`"]),
        (
            "parts = [\"Pin: eye\", \"Web, 2nd: pin bore\", \"Shaft\"]",
            "parts = [\"Pin: eye\"]",
            &["a join needs at least two parts", "line 13"],
        ),
        (
            "set_by = \"setting plug\"",
            "set_by = \"seting plug\"",
            &["line 17, `set_by`", "did you mean the aid `setting plug`?"],
        ),
        ("set_by = \"setting plug\"", "set_by = \"a dream\"", &["add an `[[aid]]` named `a dream`"]),
        (
            "set_by = \"setting plug\"",
            "set_by = \"harden the pin\"",
            &["not a thing to set by", "it is a heat treatment"],
        ),
        ("set_by = \"setting plug\"\n", "", &["not said what sets the angle of the pin"]),
        ("closes = [\"Pin: cross hole\"]", "closes = [\"Pin\"]", &["does not say what of it is closed off"]),
        ("at = \"mill\"", "at = \"moon\"", &["`moon` is no known place", "line 20, `at`"]),
        ("minutes = 12", "minutes = 0", &["`0` is not a count", "line 21"]),
        ("do = \"ream\"", "do = \"raem\"", &["did you mean `ream`?", "line 26"]),
        ("to = [\"Web: bore\"]", "to = [\"Web\"]", &["does not say what of it to ream"]),
        ("to = [\"Web: bore\"]", "", &["`to` is not given", "line 24"]),
        ("in = [\"pin in the web\"]", "in = [\"square\"]", &["`square` is not a join", "line 28"]),
        ("in = [\"pin in the web\"]", "in = [\"pin in the wep\"]", &["did you mean `pin in the web`?"]),
        ("do = \"harden\"", "do = \"hardn\"", &["did you mean `harden`?"]),
        ("parts = [\"Pin\"]", "parts = [\"Pin: eye\"]", &["by the feature", "`keep_cool`"]),
        ("before = [\"pin in the web\"]", "before = [\"Web\"]", &["it is a part or a piece"]),
        ("before = [\"pin in the web\"]", "before = [\"nothing\"]", &["called `nothing`", "line 35"]),
        ("name = \"square\"", "name = \"setting plug\"", &["is named in line 6 already", "line 10"]),
        ("name = \"square\"", "name = \"web\"", &["`web` is the name of a part"]),
        ("name = \"square\"", "name = \"a: b\"", &["cannot be a name"]),
        ("have = true", "have = \"yes\"", &["neither `true` nor `false`", "line 11"]),
        ("have = true", "hvae = true", &["`hvae` means nothing here", "did you mean `have`?"]),
        ("[[heat]]", "[[heat]", &["cannot read", "line 31"]),
    ] {
        assert!(GOOD.contains(was), "{was}");
        let told = faults(fitting(&GOOD.replacen(was, slip, 1), &discs()));
        assert!(told.contains("assembly.toml"), "{slip}: {told}");
        for words in wanted {
            assert!(told.contains(words), "{slip}: `{words}` is not said in\n{told}");
        }
        assert!(told.contains("mend:"), "{slip}: {told}");
    }
}

#[test]
fn every_slip_of_a_file_is_told_at_once() {
    let text = GOOD.replace("Pin: eye", "Pim: eye").replace("name = \"square\"", "name = \"web\"");
    let told = fitting(&text, &discs()).unwrap_err();
    assert_eq!(told.len(), 3, "the part, the name, and what is set by the old name: {told:#?}");
}

#[test]
fn a_name_in_a_file_that_cannot_be_read_is_not_called_wrong_without_saying_so() {
    let said = workshop::assembly::read_assembly("assembly.toml", GOOD).unwrap();
    let parts = discs();
    let some: Vec<_> = parts.iter().skip(1).collect();
    let told = faults(workshop::assembly::resolve(Some(&said), &some, &["parts/web.toml".into()]));
    assert!(told.contains("a file that cannot be read: parts/web.toml"), "{told}");
}

#[test]
fn what_cannot_be_left_for_assembly_is_refused() {
    let plain = super::disc("Web", &["bore"]);
    let mut drilled = plain.clone();
    if let workshop::drawing::Kind::Hole { finish, .. } = &mut drilled.features[0].kind {
        *finish = workshop::drawing::Finish::Drilled;
    }
    let work = "[[work]]\nname = \"finish\"\ndo = \"ream\"\nto = [\"Web: bore\"]\n";
    assert!(fitting(work, &[plain]).is_ok());
    let told = faults(fitting(work, &[drilled]));
    assert!(told.contains("nothing of `bore` is left to finish"), "{told}");
    assert!(told.contains("line 4, `to`"), "{told}");
}
