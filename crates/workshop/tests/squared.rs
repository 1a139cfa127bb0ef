//! Square and flatted holes: the marking button they are filed to, and the broach instead.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::order::work::{Aid, Work};
use workshop::plan::{Plan, plan};
use workshop::sheet::AidSheet;

/// Drills next to a square of 8, and a bar that its corners fit in.
fn bench(more: &str) -> Bench {
    let text = format!(
        "drills = [\"5 mm\", \"6.8 mm\", \"7.8 mm\", \"8.1 mm\", \"8.4 mm\"]\n{more}\n[mill]\nreadout_step = \"0.005 mm\"\n\
         [lathe]\n[[end_mill]]\ndiameter = \"10 mm\"\nflute = \"22 mm\"\nteeth = 4\n\
         [[stock]]\nmaterial = \"silver steel\"\nround = [\"8 mm\", \"12 mm\", \"16 mm\"]\n"
    );
    read_bench("bench.toml", &text)
        .unwrap_or_else(|faults| panic!("{}", faults.iter().map(ToString::to_string).collect::<String>()))
}

fn block(thick: &str, hole: &str, more: &str) -> String {
    format!(
        "part = \"Block\"\nunit = \"mm\"\nmaterial = \"brass\"\nusual_roles = true\n{more}[body]\nkind = \"rectangle\"\n\
         width = \"60\"\nheight = \"40\"\nthickness = \"{thick}\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"drive\"\n\
         {hole}\nplace = [\"30 right of datum\", \"20 above datum\"]\n"
    )
}

const SQUARE: &str = "kind = \"square hole\"\nacross = { is = \"8\", pin = \"8 mm\" }";
const FLATTED: &str = "kind = \"flatted hole\"\ndiameter = { is = \"8\", pin = \"8 mm\" }\nacross = { is = \"7\", pin = \"7 mm\" }\ntoward = \"90°\"";

fn planned(text: &str, bench: &Bench) -> Plan {
    let told = |faults: Vec<workshop::problem::Problem>| -> String {
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let drawing = read_drawing("block.toml", text).unwrap_or_else(|faults| panic!("{}", told(faults)));
    plan(&drawing, bench).unwrap_or_else(|faults| panic!("{}", told(faults)))
}

fn size<'a>(sheet: &'a AidSheet, name: &str) -> &'a str {
    let named = |figure: &&workshop::why::Figure| figure.name.ends_with(&format!(": {name}"));
    &sheet.sizes.iter().find(named).unwrap_or_else(|| panic!("no `{name}` in {sheet:#?}")).shown
}

fn drilled(plan: &Plan) -> Vec<String> {
    let drills = plan.order.steps.iter().filter(|step| matches!(step.work, Work::Drill { .. }));
    drills.map(|step| step.text.clone()).collect()
}

/// By hand. The drill: 8 - 0.2 = 7.8. The stub in it g6, from ISO 286-2 for 6 to 10 mm -5 and
/// -14 µm; the hole H11 there up to +90 µm. One and a half diameters are 11.7, three quarters
/// of 12 are 9. The diagonal of 8 is 11.314: a bar of 11.814 or more, and (11.314 - 7.8) / 2 in
/// each corner. Half of 8 - 7.7905 beside the stub.
#[test]
fn a_square_is_filed_to_its_marking_button() {
    let found = planned(&block("12", SQUARE, ""), &bench(""));
    assert!(drilled(&found).iter().any(|text| text.contains("7.8 mm")), "{:?}", drilled(&found));
    let [Aid::MarkingButton { .. }] = found.order.aids[..] else { panic!("{:?}", found.order.aids) };
    let [button] = &found.aids[..] else { panic!("one sheet") };
    assert_eq!(button.name, "Marking button for the drive");
    assert!(button.material.starts_with("12 mm silver steel"), "{}", button.material);
    for (name, shown) in [
        ("hole it stands in", "drill 7.8 mm"),
        ("stub diameter", "7.786 to 7.795 mm"),
        ("stub length", "9 mm"),
        ("head across its flats", "7.980 to 8.000 mm"),
        ("head length", "12 mm"),
        ("left for the file in each corner", "1.76 mm"),
        ("stub’s side to a flat", "0.1 mm"),
    ] {
        assert_eq!(size(button, name), shown, "{name}");
    }
    let stub = button.sizes.iter().find(|figure| figure.name.ends_with("stub diameter")).unwrap();
    assert!(stub.why.statement.contains("0.005 mm free and 0.104 mm loose"), "{}", stub.why.statement);
    assert!(button.steps.iter().any(|step| step.contains("Harden")));
    let ready = &found.cover.ready.iter().find(|(heading, _)| heading == "To make first").unwrap().1;
    assert_eq!(ready[0].what, button.name, "it is told before the work begins");
}

/// The hole lies half way between the flat and the far side, half a millimetre from the middle
/// of a round of 8 of which 7 are left; 7 - 0.2 = 6.8 is drilled.
#[test]
fn a_flatted_button_has_its_stub_where_the_hole_is_drilled() {
    let found = planned(&block("12", FLATTED, ""), &bench(""));
    let [button] = &found.aids[..] else { panic!("one sheet") };
    assert_eq!(size(button, "hole it stands in"), "drill 6.8 mm");
    assert_eq!(size(button, "stub beside the round’s middle"), "0.5 mm");
    assert_eq!(size(button, "head diameter"), "7.980 to 8.000 mm");
    assert_eq!(size(button, "flat to the far side"), "6.980 to 7.000 mm");
    assert!(button.steps.iter().any(|step| step.contains("1 mm on a clock")), "{:?}", button.steps);
}

/// A broach of the size needs no button: it is taken where it is owned, unless the part file
/// wants the files. 8 to 8.32 is drilled for it: 8.1 it is. (11.314 - 8.1) / 2 = 1.607 in each
/// corner; the root of 8.1² - 8² = 1.269 of round in each side.
#[test]
fn a_broach_that_is_owned_is_an_either_or() {
    let owned = bench("broaches = [\"6 mm\", \"8 mm\"]");
    let found = planned(&block("12", SQUARE, ""), &owned);
    assert!(
        found.order.steps.iter().any(|step| step.text == "broach drive square 8 mm"),
        "{:?}",
        found.order.steps
    );
    assert!(drilled(&found).iter().any(|text| text.contains("8.1 mm")), "{:?}", drilled(&found));
    assert!(found.aids.is_empty(), "{:?}", found.order.aids);
    let rows: Vec<_> = found.setups.iter().flat_map(|setup| &setup.rows).collect();
    let row = rows.iter().find(|row| row.what.starts_with("broach")).unwrap();
    let shown: Vec<&str> = row.sets.iter().map(|figure| figure.shown.as_str()).collect();
    assert_eq!(shown, ["1.61 mm", "1.27 mm"]);
    assert!(found.setups.iter().flat_map(|setup| &setup.cautions).any(|words| words.starts_with("Broach")));
    let choice = found.order.choices.iter().find(|choice| choice.name == "drive").unwrap();
    assert_eq!(
        (choice.taken.as_str(), &choice.others[..]),
        ("broached", &["drive: drilled and filed".to_owned()][..])
    );
    let wanted = planned(&block("12", SQUARE, "[order]\nwanted = [\"drive: drilled and filed\"]\n"), &owned);
    assert!(wanted.order.steps.iter().any(|step| step.work == Work::FileHole), "{:?}", wanted.order.steps);
    assert_eq!(wanted.aids.len(), 1);
}

/// Twice its size is as deep as a broach goes; a flat is never broached, nor a size not owned.
#[test]
fn a_broach_is_not_offered_where_it_cannot_be_used() {
    let owned = bench("broaches = [\"6 mm\", \"8 mm\"]");
    let deep = planned(&block("20", SQUARE, ""), &owned);
    assert!(deep.order.assumed.iter().any(|words| words.contains("it is filed")), "{:?}", deep.order.assumed);
    for text in
        [block("12", FLATTED, ""), block("12", &SQUARE.replace('8', "9"), ""), block("20", SQUARE, "")]
    {
        let found = planned(&text, &owned);
        assert!(found.order.steps.iter().any(|step| step.work == Work::FileHole), "{text}");
        assert!(found.order.choices.iter().all(|choice| choice.name != "drive"));
    }
    assert!(planned(&block("16", SQUARE, ""), &owned).aids.is_empty(), "16 is just twice 8");
}
