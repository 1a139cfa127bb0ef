//! The entry page's look at a draft: what it asks, what it shows, what it survives.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use proptest::prelude::*;
use workshop::desk::asks::{
    Ask, BODIES, CHAIN, EQUAL, FEATURES, FeatureAsk, GEOMETRY, MATE, Need, On, PART, PARTED, SCAN, SCREWED,
    STOCK, Takes, WALL,
};
use workshop::desk::{Exact, Look, Which, fill, look, look_lettered, new_feature, outlined, statements};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::edit::change;
use workshop::measure::Length;
use workshop::plan::views::Lettering;
use workshop::problem::Problem;

/// A part with everything that an example may name.
fn around(on: On, more: &str) -> String {
    let head = "part = \"Try\"\nunit = \"inch\"\n";
    let body = match on {
        On::Turned => {
            "[body]\nkind = \"turned\"\n[[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"1/2\"\nlength = \"2\"\n"
        }
        On::Plate | On::Either => {
            "[body]\nkind = \"rectangle\"\nwidth = \"3\"\nheight = \"2\"\nthickness = \"1/2\"\ndatum = \"bottom left\"\n\
             [[feature]]\nname = \"pivot bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"1 right of datum\", \"1 above datum\"]\n\
             [[feature]]\nname = \"clamp slit\"\nkind = \"slit\"\nwidth = \"1/32\"\ninto = \"pivot bore\"\ntoward = \"left\"\n"
        }
    };
    format!("{head}{body}{more}")
}

fn line(ask: &Ask) -> String {
    let such_as = ask.such_as.replace("NAME", "pivot bore");
    match ask.takes {
        Takes::YesNo | Takes::Count => format!("{} = {such_as}\n", ask.key),
        Takes::Any(_)
        | Takes::Around(_)
        | Takes::Place
        | Takes::Dimensions
        | Takes::Lengths
        | Takes::Lines => {
            format!("{} = [\"{such_as}\"]\n", ask.key)
        }
        _ => format!("{} = \"{such_as}\"\n", ask.key),
    }
}

/// Each way to fill the fields of which only one may be filled, with or without
/// those that may be left empty.
fn fillings(row: &FeatureAsk) -> Vec<String> {
    let face = row.faces.first().map(|face| format!("face = \"{face}\"\n")).unwrap_or_default();
    let place = match row.place {
        Some(such_as) => {
            format!("place = [\"{}\", \"level with pivot bore\"]\n", such_as.replace("NAME", "pivot bore"))
        }
        None => String::new(),
    };
    let place = if row.on == On::Turned { place.replace(", \"level with pivot bore\"", "") } else { place };
    let one_of: Vec<&Ask> = row.fields.iter().filter(|ask| ask.need == Need::OneOf).collect();
    let choices: Vec<Option<&Ask>> =
        if one_of.is_empty() { vec![None] } else { one_of.into_iter().map(Some).collect() };
    let head = format!("[[feature]]\nname = \"tried\"\nkind = \"{}\"\n{face}{place}", row.kind);
    let must: String = row.fields.iter().filter(|ask| ask.need == Need::Must).map(line).collect();
    let mut fillings = Vec::new();
    for chosen in choices {
        // Directions go in pairs, and so do the middle of a slot and what lies between its ends.
        let with = chosen.and_then(|chosen| match chosen.key {
            "from" => row.fields.iter().find(|ask| ask.key == "to"),
            "centres" => row.fields.iter().find(|ask| ask.key == "middle"),
            _ => None,
        });
        let both: String = chosen.into_iter().chain(with).map(line).collect();
        let least = format!("{head}{must}{both}");
        fillings.push(least.clone());
        for ask in row.fields.iter().filter(|ask| ask.need == Need::May) {
            // A thread has no drill finish and nothing passes through it; a taper
            // starts from a diameter; where an offset points needs an offset.
            let fits = match (ask.key, chosen.map(|chosen| chosen.key)) {
                ("finish" | "clears", chosen) => chosen != Some("thread"),
                ("tapers_to", chosen) => chosen == Some("diameter"),
                ("offset", chosen) => !matches!(chosen, Some("square" | "hexagon")),
                ("offset_at" | "to" | "middle", _) => false,
                // An open slot runs square to the side it opens.
                ("along", chosen) => chosen != Some("open"),
                _ => true,
            };
            if fits {
                fillings.push(format!("{least}{}", line(ask)));
            }
        }
    }
    fillings
}

#[test]
fn every_kind_that_is_offered_reads_as_its_row_asks() {
    for row in FEATURES {
        for filling in fillings(row) {
            let text = around(row.on, &filling);
            if let Err(faults) = read_drawing("try.toml", &text) {
                panic!("{}\n{text}\n{faults:#?}", row.kind);
            }
        }
    }
}

/// What the reader says it reads when it meets a key that means nothing.
fn keys_read(faults: &[Problem], key: &str) -> BTreeSet<String> {
    let fault =
        faults.iter().find(|f| f.what() == format!("`{key}` means nothing here")).expect("a stray key");
    let list = fault.remedy().and_then(|mend| mend.split_once("what is read here: ")).expect("the keys").1;
    list.split(", ").map(|key| key.trim_matches('`').to_owned()).collect()
}

#[test]
fn nothing_is_readable_that_cannot_be_entered() {
    const STRAY: &str = "qqqqqqqqqqqq";
    let own = |row: &FeatureAsk| row.fields.iter().map(|ask| ask.key);
    for row in FEATURES {
        for filling in fillings(row) {
            let text = around(row.on, &format!("{filling}{STRAY} = 1\n"));
            let read = keys_read(&read_drawing("try.toml", &text).unwrap_err(), STRAY);
            let asked: BTreeSet<&str> = own(row).chain(["name", "kind", "face", "place"]).collect();
            for key in read {
                assert!(asked.contains(key.as_str()), "`{key}` of a {} cannot be entered", row.kind);
            }
        }
    }
    let kinds: BTreeSet<&str> = FEATURES.iter().map(|row| row.kind).collect();
    let faults = read_drawing(
        "try.toml",
        &around(On::Plate, "[[feature]]\nname = \"a\"\nkind = \"qqqqqqqqqqqqqqq\"\n"),
    );
    let faults = faults.unwrap_err();
    let known = faults.iter().find_map(|f| f.remedy()?.strip_prefix("it may be ")).expect("the kinds");
    let known: BTreeSet<&str> = known.split(", ").map(|kind| kind.trim_matches('`')).collect();
    assert_eq!(known, kinds);
}

#[test]
fn the_body_the_part_its_stock_and_its_mates_ask_for_all_that_is_read() {
    const STRAY: &str = "qqqqqqqqqqqq = 1\n";
    let bosses = "[[feature]]\nname = \"pivot boss\"\nkind = \"boss\"\nradius = \"1/4\"\nplace = [\"datum\"]\n\
                  [[feature]]\nname = \"other boss\"\nkind = \"boss\"\nradius = \"1/4\"\nplace = [\"1 right of pivot boss\", \"level with pivot boss\"]\n\
                  [[feature]]\nname = \"corner a\"\nkind = \"corner\"\nplace = [\"datum\"]\n\
                  [[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"1/2\"\nlength = \"2\"\n";
    for body in BODIES {
        let fields: String = body.fields.iter().filter(|ask| ask.key != "around").map(line).collect();
        let text = format!(
            "part = \"Try\"\nunit = \"inch\"\n[body]\nkind = \"{}\"\n{fields}{STRAY}{bosses}",
            body.kind
        );
        let read = keys_read(&read_drawing("try.toml", &text).unwrap_err(), "qqqqqqqqqqqq");
        let asked: BTreeSet<String> =
            body.fields.iter().map(|ask| ask.key).chain(["kind"]).map(str::to_owned).collect();
        assert_eq!(read, asked, "{}", body.kind);
    }
    let anchor = "[[feature]]\nname = \"spring anchor\"\nkind = \"tapped hole\"\nthread = \"8 BA\"\nplace = [\"datum\"]\n";
    for (heading, asks) in [
        ("", PART),
        ("[stock]\n", STOCK),
        ("[[mate]]\n", MATE),
        ("[[equal]]\n", EQUAL),
        ("[[screwed]]\n", SCREWED),
        ("[[chain]]\n", CHAIN),
        ("[[wall]]\n", WALL),
        ("[[geometry]]\n", GEOMETRY),
        ("[[parted]]\n", PARTED),
        ("[scan]\n", SCAN),
    ] {
        let own: String = asks.iter().map(line).collect();
        let rest = around(On::Plate, anchor).replace("part = \"Try\"\nunit = \"inch\"\n", "");
        let own =
            own.replace("size = [\"1\"]", "size = [\"1\", \"1/4\"]").replace("machined = [\"front\"]\n", "");
        let own = own.replace("pivot boss: radius\"", "pivot bore: diameter\", \"clamp slit: width\"");
        let own = own.replace("rod boss: radius", "clamp slit: width");
        let own = own.replace("rod boss at", "pivot bore at");
        let own = own.replace("shaft bore", "pivot bore").replace("left bolt", "spring anchor");
        // Of mild steel nothing is hardened.
        let own = own.replace("mild steel", "silver steel");
        // A plate is not turned.
        let own = own.replace("turned = \"in one holding\"\n", "");
        let text = match heading {
            "" => format!("{own}{STRAY}{rest}"),
            _ => format!("part = \"Try\"\nunit = \"inch\"\n{rest}{heading}{own}{STRAY}"),
        };
        let faults = read_drawing("try.toml", &text).unwrap_err();
        assert_eq!(faults.len(), 1, "{heading}: {faults:#?}\n{text}");
        let read = keys_read(&faults, "qqqqqqqqqqqq");
        // What is said of the order of work is said on the page Order.
        let headings = [
            "body", "stock", "feature", "mate", "equal", "screwed", "chain", "wall", "geometry", "parted",
            "order", "scan",
        ];
        let asked = asks.iter().map(|ask| ask.key).chain(headings.into_iter().filter(|_| heading.is_empty()));
        assert_eq!(read, asked.map(str::to_owned).collect::<BTreeSet<_>>(), "{heading}");
    }
}

#[test]
fn every_way_of_placing_that_is_offered_reads() {
    for way in statements::WAYS {
        let edges = if way.shape.contains("EDGE") { statements::EDGES } else { &[""] };
        for edge in edges {
            let said = way
                .shape
                .replace("LENGTH", "3/8")
                .replace("NAME", "pivot bore")
                .replace("OTHER", "clamp slit");
            let said = said.replace("EDGE", edge).replace("ANGLE", "30°");
            let feature = format!(
                "[[feature]]\nname = \"a\"\nkind = \"hole\"\ndiameter = \"1/8\"\nplace = [\"{said}\"]\n"
            );
            let read = read_drawing("try.toml", &around(On::Plate, &feature));
            assert!(read.is_ok(), "{said}: {read:#?}");
        }
    }
}

fn every_part() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folders = [root.join("../../examples/kittiwake/parts"), root.join("tests/parts")];
    let mut parts = Vec::new();
    for folder in folders {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|end| end == "toml") {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                parts.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    parts.sort();
    assert!(parts.len() > 20, "the test found only {} parts", parts.len());
    parts
}

/// Everything of the file stands in some field, list or stray.
fn shown(look: &Look) -> String {
    let mut words = String::new();
    for card in &look.cards {
        for field in &card.fields {
            words += &format!("{}={}\n", field.at, field.text);
            for item in &field.items {
                words += &format!("{}={}\n", item.at, item.text);
            }
        }
        for (at, text) in &card.strays {
            words += &format!("{}={text}\n", at);
        }
    }
    words
}

#[test]
fn a_whole_part_shows_every_word_of_it_a_picture_and_no_other_trouble_than_it_has() {
    for (name, text) in every_part() {
        let drawing = read_drawing(&name, &text).unwrap();
        let look = look(&name, &text);
        assert_eq!(look.name, drawing.name);
        let solved = solve(&drawing).unwrap();
        let impossible = Part::as_drawn(&drawing, &solved).impossible();
        let said: Vec<&Problem> = look.troubles.iter().map(|trouble| &trouble.problem).collect();
        assert_eq!(said, impossible.iter().collect::<Vec<_>>(), "{name}");
        let picture = look.picture.as_ref().expect("a picture");
        assert!(picture.views.iter().all(|view| !view.lines.is_empty()), "{name}");
        let words = shown(&look);
        for dimension in &drawing.dimensions {
            assert!(words.contains(&dimension.written.text), "{name}: {}", dimension.name);
        }
        for feature in &drawing.features {
            for statement in &feature.placing {
                assert!(words.contains(&format!("={}\n", statement.text)), "{name}: {}", statement.text);
            }
        }
        let strays: Vec<_> = look.cards.iter().flat_map(|card| &card.strays).collect();
        assert!(strays.is_empty(), "{name}: {strays:?}");
    }
}

#[test]
fn each_problem_of_the_plain_reader_is_shown_at_the_feature_and_field_it_is_about() {
    let lever = fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake/parts/valve-lever.toml"),
    )
    .unwrap();
    for (from, to, feature, key) in [
        ("diameter = \"3/16\"", "diameter = \"3/1x\"", "rod bore", "diameter"),
        ("thread = \"5 BA\"", "thread = \"5 BX\"", "clamp screw", "thread"),
        ("into = \"pivot bore\"", "into = \"pivto bore\"", "clamp slit", "into"),
        ("1 27/32 right of pivot boss", "1 27/32 right of pivto boss", "rod boss", "place"),
        ("radius = \"7/16\"", "", "pivot boss", "radius"),
    ] {
        let text = lever.replacen(from, to, 1);
        assert_ne!(text, lever, "{from} is no longer in the lever");
        let look = look("lever.toml", &text);
        let trouble = look
            .troubles
            .iter()
            .find(|trouble| trouble.cards.first().is_some_and(|&card| look.cards[card].title == feature));
        let trouble =
            trouble.unwrap_or_else(|| panic!("nothing is marked at {feature}: {:#?}", look.troubles));
        let at = trouble.at.as_ref().expect("a field to go to");
        assert_eq!(at.split('/').nth(2), Some(key), "{feature}: {:?}", trouble.problem);
        let strict = match read_drawing("lever.toml", &text).and_then(|drawing| solve(&drawing)) {
            Err(faults) => faults,
            Ok(_) => panic!("{to} reads"),
        };
        for fault in strict {
            assert!(look.troubles.iter().any(|t| t.problem.what() == fault.what()), "{fault}");
        }
    }
}

#[test]
fn sizes_as_typed_have_what_they_come_to_beside_them() {
    let text = around(
        On::Plate,
        "[[feature]]\nname = \"a\"\nkind = \"hole\"\ndiameter = \"no 43\"\ndepth = \"9/32\"\n\
         place = [\"27/32 right of pivot bore\", \"level with pivot bore\"]\n\
         [[feature]]\nname = \"b\"\nkind = \"tapped hole\"\nthread = \"7ba\"\nplace = [\"level with a\"]\n",
    );
    let look = look("try.toml", &text);
    let field = |card: &str, key: &str| {
        let card = look.cards.iter().find(|c| c.title == card).unwrap();
        card.fields.iter().find(|field| field.ask.key == key).unwrap().clone()
    };
    // 0.089 in of the number series, and 0.28125 in, by hand.
    let mm = |exact: Option<Exact>| match exact {
        Some(Exact::Length { mm, inch, .. }) => (mm, inch),
        other => panic!("{other:?}"),
    };
    assert_eq!(mm(field("a", "diameter").exact), ("≈2.261".to_owned(), "0.089".to_owned()));
    assert_eq!(mm(field("a", "depth").exact), ("≈7.144".to_owned(), "≈0.2813".to_owned()));
    assert_eq!(mm(field("a", "place").items[0].exact.clone()).0, "≈21.431");
    assert_eq!(field("a", "place").items[1].exact, None);
    // BS 93: 7 BA is 2.5 mm over the crests, 0.48 mm pitch.
    assert_eq!(field("b", "thread").exact, Some(Exact::Words("7 BA: ⌀ 2.5 mm, pitch 0.48 mm".to_owned())));
    let missing: Vec<&str> = look.troubles.iter().map(|trouble| trouble.problem.what()).collect();
    assert_eq!(missing, ["nothing says how far to the right or left `b` is"]);
    assert_eq!(look.cards[look.troubles[0].cards[0]].which, Which::Feature(3));
}

fn mangled() -> impl Strategy<Value = String> {
    let parts: Vec<String> = every_part().into_iter().map(|(_, text)| text).collect();
    let slips = prop::collection::vec(
        (any::<prop::sample::Index>(), 0usize..6, "[\\[\\]{}=\"'#.,a-z0-9\\n/ -]{0,6}"),
        1..5,
    );
    (prop::sample::select(parts), slips).prop_map(|(mut text, slips)| {
        for (at, cut, put) in slips {
            let chars: Vec<char> = text.chars().collect();
            let at = at.index(chars.len() + 1);
            let end = (at + cut).min(chars.len());
            text =
                chars[..at].iter().copied().chain(put.chars()).chain(chars[end..].iter().copied()).collect();
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Whatever has been typed, the page has something to show, and says at least
    /// what the plain reader says.
    #[test]
    fn no_draft_makes_the_look_panic_or_hides_a_fault(text in mangled()) {
        let look = look_lettered("part.toml", &text, Lettering::Both);
        if let Err(faults) = read_drawing("part.toml", &text).and_then(|drawing| solve(&drawing)) {
            for fault in faults {
                prop_assert!(look.troubles.iter().any(|t| t.problem.what() == fault.what()), "{fault}");
            }
        }
    }
}

/// Types into one field after another, as the page does.
fn typed(text: &str, fields: &[(&str, &str)]) -> String {
    fields.iter().fold(text.to_owned(), |text, (at, words)| {
        let changed = fill(&text, at, words).and_then(|fill| change(&text, &fill));
        changed.unwrap_or_else(|fault| panic!("{at}: {fault}\n{text}"))
    })
}

#[test]
fn what_is_typed_stands_in_the_file_as_a_person_would_write_it() {
    let start = "part = \"Link\"\nunit = \"inch\"   # as the sheet says\n";
    let text = typed(
        start,
        &[
            ("body/kind", "outline"),
            ("body/thickness", "1/4"),
            ("stock/form", "flat bar"),
            ("stock/size", "1, 1/4"),
            ("hands", "right, left"),
            ("make", "2"),
            ("usual_roles", "true"),
        ],
    );
    let text = change(&text, &new_feature(&text, "corner", None).0).unwrap();
    let text = change(&text, &new_feature(&text, "corner", None).0).unwrap();
    let text = change(&text, &new_feature(&text, "hole", Some(0)).0).unwrap();
    let text = typed(
        &text,
        &[
            ("feature/0/place/0", "datum"),
            ("body/around/0", "corner a"),
            ("body/around/1", "arc 1 1/2 out"),
            ("body/around/2", "corner b"),
            ("feature/1/name", "pin bore"),
            ("feature/1/diameter", "no 43"),
            ("feature/1/diameter/role", "hold"),
            ("feature/1/diameter/within", "0.001"),
            ("feature/1/place/0", "1 3/32 right of corner a"),
            ("feature/1/place/1", "1/4 above corner a"),
            ("feature/0/name", "heel"),
            ("make", ""),
        ],
    );
    insta::assert_snapshot!(text);
}

#[test]
fn a_field_that_is_not_there_is_not_filled() {
    for at in ["feature/9/diameter", "body", "", "part/0", "body/kind/role", "feature/0/place/7"] {
        assert!(fill(&around(On::Plate, ""), at, "1").is_err(), "{at}");
    }
}

/// A plate 40 × 20 mm with one hole, as a drawing program writes it.
const PLATE: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<path d="M10 10 H50 V30 H10 Z"/><circle cx="20" cy="20" r="3"/></svg>"#;

#[test]
fn an_outline_that_is_read_begins_a_part_and_keeps_what_was_said_of_it() {
    let start = "part = \"Keep plate\"\nsheet = \"sheet 4\"\nunit = \"mm\"\nmaterial = \"brass\"\n\n[body]\nkind = \"rectangle\"\nthickness = \"3\"\n";
    let (text, told) = outlined(start, "plate.svg", PLATE.as_bytes(), None).unwrap();
    let drawing = read_drawing("plate.toml", &text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    assert_eq!((drawing.name.as_str(), drawing.material.as_deref()), ("Keep plate", Some("brass")));
    assert_eq!(drawing.sheet.as_deref(), Some("sheet 4"));
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    assert_eq!(part.thickness(), Length::mm(3));
    let outline = part.outline().unwrap().bounds();
    assert!((outline.width_mm() - 40.0).abs() < 1e-6 && (outline.height_mm() - 20.0).abs() < 1e-6);
    assert!(!told.is_empty());
    // What has features is not overwritten.
    assert!(outlined(&text, "plate.svg", PLATE.as_bytes(), None).is_err());
    assert!(outlined(start, "plate.svg", b"\x00nothing", None).is_err());
}
