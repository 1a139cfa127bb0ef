//! Parts that meet: both drawings give one size, one thread and one fit.

use workshop::drawing::{across, read_drawing};

const WEB: &str = r#"
part = "Crank web"
unit = "inch"
[body]
kind = "rectangle"
width = "2"
height = "1"
thickness = "1/4"
datum = "bottom left"
[[feature]]
name = "pin bore"
kind = "hole"
diameter = "1/4"
place = ["1/2 from left edge", "1/2 from bottom edge"]
[[feature]]
name = "lock screw"
kind = "tapped hole"
thread = "4 BA"
place = ["1 1/2 from left edge", "1/2 from bottom edge"]
[[mate]]
name = "crank pin"
in = "pin bore"
size = "1/4"
fit = "press"
with = "Crank pin: press end"
[[screwed]]
in = "lock screw"
with = "Crank pin: nut end"
"#;

const PIN: &str = r#"
part = "Crank pin"
unit = "inch"
[body]
kind = "turned"
[[feature]]
name = "press end"
kind = "section"
diameter = "1/4"
length = "5/16"
[[feature]]
name = "collar"
kind = "section"
diameter = "7/16"
length = "1/16"
[[feature]]
name = "nut end"
kind = "section"
thread = "4 BA"
length = "1/4"
[[mate]]
name = "web"
in = "press end"
size = "1/4"
fit = "press"
with = "Crank web: pin bore"
"#;

/// What is said when one thing of either file is typed otherwise.
fn said(web: (&str, &str), pin: (&str, &str)) -> Vec<String> {
    let typed = |text: &str, (from, to): (&str, &str)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    };
    let parts = [("web.toml", typed(WEB, web)), ("pin.toml", typed(PIN, pin))]
        .map(|(file, text)| read_drawing(file, &text).unwrap_or_else(|faults| panic!("{faults:#?}")));
    across(&parts).iter().map(ToString::to_string).collect()
}

const AS_IS: (&str, &str) = ("part", "part");

#[test]
fn parts_that_agree_are_in_order() {
    assert_eq!(said(AS_IS, AS_IS), Vec::<String>::new());
}

#[test]
fn a_slip_in_either_file_is_said_with_both_sizes() {
    // The mate's size in the web, then the section's and the mate's in the pin.
    for (web, pin, words) in [
        (("size = \"1/4\"", "size = \"3/4\""), AS_IS, "12.7 mm (0.5000 in)"),
        (AS_IS, ("diameter = \"1/4\"", "diameter = \"1/2\""), "6.35 mm (0.2500 in)"),
        (("4 BA", "5 BA"), AS_IS, "different threads"),
        (AS_IS, ("4 BA", "2 BA"), "different threads"),
        (AS_IS, ("press\"\nwith", "running\"\nwith"), "how closely"),
        (("Crank pin: press", "Crank pni: press"), AS_IS, "did you mean `Crank pin`?"),
        (("pin: press end", "pin: pres end"), AS_IS, "did you mean `press end`?"),
        (("pin: nut end", "pin: collar"), AS_IS, "collar has no thread"),
    ] {
        let said = said(web, pin);
        assert!(said.iter().any(|problem| problem.contains(words)), "{words}: {said:#?}");
        assert!(said.iter().all(|problem| problem.contains("line")), "{said:#?}");
    }
}

#[test]
fn a_partner_that_says_no_feature_is_refused_by_the_reader() {
    for (from, to, words) in [
        ("Crank pin: press end", "Crank pin", "which feature of which part"),
        ("in = \"lock screw\"", "in = \"pin bore\"", "`pin bore` has no thread"),
    ] {
        let faults = read_drawing("web.toml", &WEB.replacen(from, to, 1)).unwrap_err();
        assert!(faults.iter().any(|fault| fault.to_string().contains(words)), "{faults:#?}");
    }
}

/// A cover with its studs, or the screws of a flange, are said once for the whole circle; so is what each goes into.
#[test]
fn a_pattern_is_screwed_hole_by_hole() {
    let plate = |name: &str, holes: u32, what: &str, rest: &str| {
        format!(
            "part = \"{name}\"\nunit = \"mm\"\n[body]\nkind = \"disc\"\ndiameter = \"60\"\nthickness = \"6\"\n\
             [[feature]]\nname = \"ring\"\nkind = \"pitch circle\"\nholes = {holes}\npitch_circle = \"48\"\n{what}\n\
             place = [\"datum\"]\n{rest}"
        )
    };
    let with = |thing: &str| format!("[[screwed]]\nin = \"ring\"\nwith = \"{thing}\"\n");
    let stud = "part = \"Stud\"\nunit = \"mm\"\n[body]\nkind = \"turned\"\n[[feature]]\nname = \"end\"\nkind = \"section\"\n\
                thread = \"M4\"\nlength = \"12\"\n";
    let read = |texts: &[String]| {
        let parts: Vec<_> = texts.iter().map(|text| read_drawing("part.toml", text).unwrap()).collect();
        let told: Vec<String> = across(&parts).iter().map(ToString::to_string).collect();
        (parts, told)
    };
    let cover = plate("Cover", 6, "diameter = \"4.3\"\nclears = \"M4\"", &with("Block: ring"));
    let block =
        |holes, thread: &str| plate("Block", holes, &format!("thread = \"{thread}\""), &with("Stud: end"));
    let (parts, told) = read(&[cover.clone(), block(6, "M4"), stud.into()]);
    assert_eq!(told, [""; 0]);
    let into: Vec<&str> = parts[0]
        .screwed
        .iter()
        .map(|screwed| {
            let id = screwed.partner.find(&parts[1].features).expect("there is one for each");
            parts[1].features[id.0].name.as_str()
        })
        .collect();
    assert_eq!(into, ["ring 1", "ring 2", "ring 3", "ring 4", "ring 5", "ring 6"]);
    let of_studs = parts[1].screwed.iter().map(|screwed| screwed.partner.find(&parts[2].features).unwrap().0);
    assert_eq!(of_studs.collect::<Vec<_>>(), [0; 6]);
    let (_, told) = read(&[cover.clone(), block(5, "M4"), stud.into()]);
    assert!(told.iter().any(|words| words.contains("fewer holes")), "{told:?}");
    let (_, told) = read(&[cover, block(6, "M5"), stud.into()]);
    assert!(told.iter().any(|words| words.contains("different threads")), "{told:?}");
}
