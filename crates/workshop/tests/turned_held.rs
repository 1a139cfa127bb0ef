//! Turned work held in more ways than a chuck: the sheets name the holding, draw it and say
//! how to set it up.

use workshop::bench::{Bench, WorkHolder, read_bench};
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// The ideal shop with these to hold work and no others, and no collets.
fn with(holders: &[WorkHolder]) -> Bench {
    let text = std::fs::read_to_string("tests/benches/everything.toml").unwrap();
    let mut bench = read_bench("everything", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    bench.work_holding = Some(holders.to_vec());
    bench.collets.clear();
    bench
}

fn planned(text: &str, bench: &Bench) -> Plan {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    plan(&drawing, bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn part(features: &[&str]) -> String {
    let head = "part = \"Held\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n";
    features.iter().fold(head.to_owned(), |text, feature| text + feature)
}

const JOURNAL: &str =
    "[[feature]]\nname = \"left journal\"\nkind = \"section\"\ndiameter = \"9\"\nlength = \"15\"\n";
const BODY: &str = "[[feature]]\nname = \"body\"\nkind = \"section\"\ndiameter = \"14\"\nlength = \"20\"\n";
const OTHER: &str =
    "[[feature]]\nname = \"right journal\"\nkind = \"section\"\ndiameter = \"9\"\nlength = \"20\"\n";
const FITS: &str = "[[mate]]\nname = \"left bearing\"\nin = \"left journal\"\nsize = \"9\"\nfit = \"sliding\"\n\
                    [[mate]]\nname = \"right bearing\"\nin = \"right journal\"\nsize = \"9\"\nfit = \"sliding\"\n";
const RING: &str = "[[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"40\"\nlength = \"5\"\n\
                    [[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\nfinish = \"reamed\"\ndiameter = \"10\"\n";

const SPIGOT: &str =
    "[[feature]]\nname = \"spigot\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"3\"\n";
const SHIM: &str = "[[feature]]\nname = \"disc\"\nkind = \"section\"\ndiameter = \"28\"\nlength = \"1\"\n\
                    [[feature]]\nname = \"hole\"\nkind = \"hole\"\nface = \"left\"\ndiameter = \"6\"\n";

/// What is parted off thinner than any seat keeps two tenths to be rubbed off, and is measured over all.
#[test]
fn a_shim_is_rubbed_to_its_length() {
    let made = planned(&part(&[SHIM]), &with(&[WorkHolder::ThreeJaw, WorkHolder::SoftJaws]));
    let rows: Vec<_> = made.setups.iter().flat_map(|setup| &setup.rows).collect();
    let parted = rows.iter().find(|row| row.what == "part off").unwrap();
    assert_eq!(parted.sets[0].shown, "1.200 mm");
    let rubbed = rows.iter().find(|row| row.what.starts_with("rub the ")).unwrap();
    assert_eq!(rubbed.check.as_ref().unwrap().shown, "1 mm");
    assert!(rubbed.speed.is_none(), "it is rubbed by hand");
}

#[test]
fn the_sheet_names_what_holds_the_work_and_how() {
    use WorkHolder::{Centres, Faceplate, FourJaw, SoftJaws, ThreeJaw};
    let roller = part(&[JOURNAL, BODY, OTHER, FITS]);
    for (holders, title, words) in [
        (&[ThreeJaw, FourJaw][..], "clocked true", "no more than 0.02 mm over one turn"),
        (&[ThreeJaw, SoftJaws], "in soft jaws by", "bore them to ⌀ 14 mm"),
        (&[ThreeJaw, Centres], "between centres", "a carrier on the other end"),
    ] {
        let made = planned(&roller, &with(holders));
        let setup = made.setups.iter().find(|s| s.title.contains(title));
        let setup = setup.unwrap_or_else(|| {
            panic!("{title}: {:?}", made.setups.iter().map(|s| &s.title).collect::<Vec<_>>())
        });
        assert!(setup.held.contains(&words.replace("⌀ ", "")), "{}", setup.held);
        assert!(!setup.scene.around.is_empty(), "{title} is drawn");
        // Everything turned there says where it stops and what it comes to.
        for row in setup.rows.iter().filter(|row| row.what.starts_with("turn ")) {
            assert!(row.check.is_some() && !row.sets.is_empty(), "{}", row.what);
        }
    }
    // Clamps bear on the rim round the spigot: on a ring they would lie on the face that is cut.
    let made = planned(&part(&[SPIGOT, RING]), &with(&[ThreeJaw, Faceplate]));
    assert!(made.setups.iter().any(|s| s.title.contains("on the faceplate")), "{made:?}");
    let made = planned(&part(&[RING]), &with(&[ThreeJaw]));
    assert!(made.setups.iter().any(|s| s.title.contains("on a stub turned in place to eye")), "{made:?}");
    assert!(made.aids.iter().any(|aid| aid.name.contains("eye")), "the stub has a sheet of its own");
}

/// The two journals come to the same axis whichever way: what is charged stands in the reasons.
#[test]
fn a_reason_says_why_this_holding() {
    let roller = part(&[JOURNAL, BODY, OTHER, FITS]);
    let made = planned(&roller, &with(&[WorkHolder::ThreeJaw, WorkHolder::FourJaw]));
    let notes: Vec<&String> = made.setups.iter().flat_map(|s| &s.notes).collect();
    let said = |words: &str| notes.iter().any(|note| note.contains(words));
    assert!(said("in the three-jaw chuck they could be out by 0.05 mm"), "{notes:?}");
    let poor = planned(&roller, &with(&[WorkHolder::ThreeJaw]));
    assert!(
        poor.cover.assumed.iter().any(|s| s.contains("may run out of true by 0.05 mm")),
        "{:?}",
        poor.cover.assumed
    );
}

/// Every one of the turned parts that are kept is planned on benches with less and less to
/// hold work by.
#[test]
fn the_turned_parts_are_made_with_whatever_holds_them() {
    use WorkHolder::{Centres, FixedSteady, FourJaw, ThreeJaw};
    for name in [
        "knurled-knob",
        "eccentric-sheave",
        "turned-crank",
        "union",
        "gland",
        "flywheel",
        "bush",
        "stepped-roller",
        "tie-rod",
    ] {
        let text = std::fs::read_to_string(format!("tests/parts/{name}.toml")).unwrap();
        for holders in [&[ThreeJaw, FourJaw][..], &[ThreeJaw, FourJaw, Centres, FixedSteady], &[FourJaw]] {
            let made = planned(&text, &with(holders));
            assert!(!made.setups.is_empty(), "{name}");
            let said = made.setups.iter().map(|s| &s.title);
            assert!(!said.clone().any(|t| t.contains("soft jaws")), "{name}: {:?}", said.collect::<Vec<_>>());
        }
    }
}

const HANDLE: &str = "[[feature]]\nname = \"head\"\nkind = \"section\"\ndiameter = \"18\"\nlength = \"30\"\n\
                      [[feature]]\nname = \"grip\"\nkind = \"section\"\ndiameter = \"16\"\ntapers_to = \"14\"\nlength = \"90\"\n";

/// Half of 2 mm times 120 over 90 is 1.333; without centres 90 mm are two lengths of a top slide
/// that travels 60 mm, 45 each.
#[test]
fn the_sheet_sets_a_taper_by_the_way_that_is_chosen() {
    use WorkHolder::{Centres, ThreeJaw};
    let shown = |holders: &[WorkHolder], label: &str| {
        let made = planned(&part(&[HANDLE]), &with(holders));
        let mut rows = made.setups.iter().flat_map(|setup| &setup.rows);
        let row = rows.find(|row| row.what.starts_with("turn grip")).expect("it is turned");
        let told: Vec<String> = row.sets.iter().map(|f| format!("{}: {}", f.label(), f.shown)).collect();
        assert!(told.iter().any(|line| line.starts_with(label)), "{label}: {told:?}");
    };
    shown(&[ThreeJaw, Centres], "way: between centres, the tailstock set over");
    shown(&[ThreeJaw, Centres], "tailstock over: 1.33");
    shown(&[ThreeJaw], "way: with the top slide, in lengths");
    shown(&[ThreeJaw], "in 2 lengths, the carriage on by: 45");
    shown(&[ThreeJaw], "top slide from the axis");
}

/// A slender shank that runs in something: roughed to half a millimetre over, its shoulder left
/// 0.2 mm short, and finished from there.
#[test]
fn the_sheet_leaves_metal_where_it_roughs_and_finishes_from_there() {
    let slender = "[[feature]]\nname = \"head\"\nkind = \"section\"\ndiameter = \"16\"\nlength = \"10\"\n\
                   [[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"8\"\nlength = \"60\"\n\
                   [[mate]]\nname = \"guide\"\nin = \"shank\"\nsize = \"8\"\nfit = \"running\"\n";
    let made = planned(&part(&[slender]), &with(&[WorkHolder::ThreeJaw]));
    let row = |start: &str| {
        let mut rows = made.setups.iter().flat_map(|setup| &setup.rows);
        rows.find(|row| row.what.starts_with(start)).unwrap_or_else(|| panic!("{start}"))
    };
    let (rough, finish) = (row("rough shank"), row("turn shank"));
    let stop = |row: &workshop::plan::sheet::Row| {
        row.sets.iter().find(|f| f.label() == "stop at").expect("it stops").shown.clone()
    };
    assert_eq!((stop(rough).as_str(), stop(finish).as_str()), ("59.800 mm", "60.000 mm"));
    let check = rough.check.as_ref().expect("it is measured");
    assert!(check.shown.starts_with("⌀ 8.5 mm"), "{}", check.shown);
    assert!(format!("{:?}", check.why).contains("springs"), "{:?}", check.why);
    let first = finish.depth.first().expect("it is cut");
    assert!(first.shown.contains("diameter 8") && finish.depth.len() <= 2, "{:?}", finish.depth);
}

fn section(name: &str, across: &str, long: &str, more: &str) -> String {
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"section\"\ndiameter = \"{across}\"\nlength = \"{long}\"\n{more}"
    )
}

/// A crank of journals and webs, a pin between each two of those; all webs wide but the first.
fn crank(angles: &[&str], first_web: &str) -> String {
    let mut all = vec![section("left journal", "10", "30", ""), section("web 0", first_web, "6", "")];
    for (n, angle) in angles.iter().enumerate() {
        let off = format!("offset = \"7\"\noffset_at = \"{angle}°\"\n");
        all.push(section(&format!("pin {n}"), "10", "12", &off));
        all.push(section(&format!("web {}", n + 1), "33", "6", ""));
    }
    all.push(section("right journal", "10", "36", ""));
    part(&all.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Every throw before anything true and thinner than its webs, and each gap packed before the next
/// cut: common practice for cranks from the solid. With webs of one size or not, by an indicator
/// in four jaws, by packing in three, or between centres.
#[test]
fn the_throws_of_a_crank_are_turned_while_the_bar_is_stiff_and_then_packed() {
    use WorkHolder::{Centres, FourJaw, ThreeJaw};
    let cranks: [&[&str]; 4] = [&["0"], &["0", "90"], &["0", "180"], &["0", "120", "240"]];
    for (angles, web) in cranks.into_iter().flat_map(|angles| [(angles, "33"), (angles, "28")]) {
        let benches = [&[ThreeJaw, FourJaw][..], &[ThreeJaw, Centres], &[ThreeJaw]];
        for holders in benches.into_iter().take(if web == "33" { 3 } else { 1 }) {
            let made = planned(&crank(angles, web), &with(holders));
            let rows: Vec<(usize, &str)> = made
                .setups
                .iter()
                .enumerate()
                .flat_map(|(n, setup)| setup.rows.iter().map(move |row| (n, row.what.as_str())))
                .filter(|(_, what)| what.starts_with("turn "))
                .collect();
            let last_pin = rows.iter().rposition(|(_, what)| what.starts_with("turn pin")).unwrap();
            let journal = rows.iter().position(|(_, what)| what.contains("journal")).unwrap();
            assert!(last_pin < journal, "{angles:?}, {holders:?}: {rows:?}");
            for n in 0..angles.len() {
                let at =
                    rows.iter().position(|(_, what)| what.starts_with(&format!("turn pin {n}"))).unwrap();
                let gap = format!("the gap of 12 mm between web {n} and web {}", n + 1);
                let (next, what) = rows[at + 1];
                let notes = &made.setups[next].notes;
                let packs = |note: &&String| note.contains("pack ") && note.contains(&gap);
                assert!(notes.iter().any(|note| packs(&note)), "{what}: {gap}: {notes:?}");
                assert!(
                    !made.setups[rows[at].0].notes.iter().any(|note| packs(&note)),
                    "packed before it is there"
                );
                // Twice the throw, whichever way it is set.
                let setup = &made.setups[rows[at].0];
                let read = setup.presets.iter().find(|figure| figure.label() == "indicator over one turn");
                assert_eq!(read.map(|figure| figure.shown.as_str()), Some("14 mm"), "{}", setup.title);
                assert!(
                    setup.cautions.iter().any(|caution| caution.contains("out of balance")),
                    "{}",
                    setup.title
                );
            }
            // Turned round, no cut goes through the throws where a web can be gripped.
            let round = made.setups.last().unwrap();
            assert!(
                round.title.contains("by web") || web == "28" && round.title.contains("journal"),
                "{}",
                round.title
            );
        }
    }
}

/// What is taken out between two webs leaves the bar nearer the end as thick as it was: each
/// journal is cut from the whole bar.
#[test]
fn a_journal_between_webs_takes_nothing_off_the_one_beyond() {
    let off = |angle: &str| format!("offset = \"7\"\noffset_at = \"{angle}\"\n");
    let web = |n: u8| section(&format!("web {n}"), "33", "6", "");
    let all = [
        section("left journal", "10", "30", ""),
        web(0),
        section("pin 0", "10", "12", &off("0°")),
        web(1),
        section("middle journal", "10", "12", ""),
        web(2),
        section("pin 1", "10", "12", &off("90°")),
        web(3),
        section("right journal", "10", "36", ""),
    ];
    let text = part(&all.iter().map(String::as_str).collect::<Vec<_>>());
    let made = planned(&text, &with(&[WorkHolder::ThreeJaw, WorkHolder::FourJaw]));
    let rows = made.setups.iter().flat_map(|setup| &setup.rows);
    let journals: Vec<_> = rows.filter(|row| row.what.contains("journal")).collect();
    assert_eq!(journals.len(), 3);
    // From over 31 mm, the first cut taken, down to 10.
    for journal in journals {
        let first = journal.depth.iter().find(|cut| cut.label() == "cut 1").map(|cut| cut.shown.as_str());
        let left = first.and_then(|shown| shown.rsplit("diameter ").next()).unwrap_or_default();
        let left: f64 = left.trim_start_matches('≈').trim_end_matches(" mm").parse().unwrap_or_default();
        assert!(left > 30.0, "{}: {first:?}", journal.what);
    }
}

/// An overhung pin stands at the end of a stiff bar where its web can be gripped for the shaft; by
/// the rim of a thin web it cannot, and the pin is turned next to the bar, the last of all.
#[test]
fn the_pin_of_an_overhung_crank_is_turned_from_the_bar() {
    use WorkHolder::{Centres, FourJaw, ThreeJaw};
    let overhung = |web: &str| {
        let pin = section("pin", "8", "14", "offset = \"11\"\n");
        part(&[&pin, &section("web", "36", web, ""), &section("shaft", "10", "50", "")])
    };
    let turned = |made: &Plan| -> Vec<String> {
        let rows = made.setups.iter().flat_map(|setup| setup.rows.iter().map(move |row| (&setup.title, row)));
        rows.filter(|(_, row)| row.what.starts_with("turn "))
            .map(|(title, row)| format!("{}: {title}", row.what))
            .collect()
    };
    let firm = turned(&planned(&overhung("8"), &with(&[ThreeJaw, FourJaw])));
    assert!(firm[0].starts_with("turn pin 8 mm") && firm[2].contains("in the chuck by web"), "{firm:?}");
    let thin = planned(&overhung("5"), &with(&[ThreeJaw, FourJaw]));
    let rows = turned(&thin);
    assert!(rows[2].starts_with("turn pin 8 mm") && rows[2].contains("bar off centre"), "{rows:?}");
    let pin = thin.setups.iter().flat_map(|s| &s.rows).find(|row| row.what.starts_with("turn pin")).unwrap();
    // 50, 5 and 14 from the shaft's end, and 5 into the bar, so that the saw meets the pin alone.
    assert_eq!(pin.sets.iter().find(|f| f.label() == "stop at").unwrap().shown, "74.000 mm");
    // A throw over a quarter of the bar is not packed: between centres, the shaft after the pin.
    let hung = turned(&planned(&overhung("8"), &with(&[ThreeJaw, Centres])));
    let at = |what: &str| hung.iter().position(|row| row.starts_with(what)).unwrap();
    assert!(hung[at("turn pin")].contains("between offset centres"), "{hung:?}");
    assert!(at("turn web") < at("turn pin") && at("turn pin") < at("turn shaft"), "{hung:?}");
}

/// Four diameters of bar and more set over in a chuck have no tailstock: it goes between centres where
/// there are any, and else it is told what to do.
#[test]
fn a_long_bar_is_not_set_over_without_a_centre() {
    use WorkHolder::{Centres, FourJaw, ThreeJaw};
    let long = crank(&["0"], "33").replace("\"36\"", "\"120\"").replace("\"30\"", "\"120\"");
    let told = planned(&long, &with(&[ThreeJaw, FourJaw])).cover.assumed;
    assert!(told.iter().any(|words| words.contains("out of the chuck off centre")), "{told:?}");
    let hung = planned(&long, &with(&[ThreeJaw, FourJaw, Centres]));
    let titles: Vec<&String> = hung.setups.iter().map(|s| &s.title).collect();
    assert!(titles.iter().any(|title| title.contains("between offset centres, pin 0")), "{titles:?}");
    assert!(!hung.cover.assumed.iter().any(|words| words.contains("off centre, more than")), "{titles:?}");
}

/// A length of bright bar that is only faced is not centred for a tailstock; turned down it is.
#[test]
fn an_end_that_nothing_is_turned_of_is_not_centred() {
    let bench = with(&[WorkHolder::ThreeJaw]);
    let centred = |more: &str| {
        let made = planned(&part(&[&section("rod", "16", "80", ""), more]), &bench);
        made.setups.iter().flat_map(|s| &s.rows).any(|row| row.what.starts_with("centre "))
    };
    assert!(!centred(""));
    assert!(centred(&section("neck", "12", "60", "")));
}

const CUP: &str = "[[feature]]\nname = \"cup\"\nkind = \"section\"\ndiameter = \"12\"\ntapers_to = \"14\"\nlength = \"20\"\n\
                   [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"3\"\n\
                   [[feature]]\nname = \"spigot\"\nkind = \"section\"\nthread = \"M8\"\nlength = \"9\"\n";
const CONE: &str = "[[feature]]\nname = \"crown\"\nkind = \"section\"\ndiameter = \"10\"\ntapers_to = \"18\"\nlength = \"9\"\n\
                    [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"18\"\nlength = \"2\"\n\
                    [[feature]]\nname = \"cap thread\"\nkind = \"tapped hole\"\nface = \"right\"\nthread = \"M8\"\ndepth = \"6\"\n";

/// The stub is drawn, has an order of work of its own that ends where it stays, and the sheet of the work
/// says what unscrews it. M8 x 1.25: a screw of once and a half its diameter, or a turn less than the 6 mm
/// that the work is tapped; the mouth of a tapped stub is opened past the two turns that are not full.
#[test]
fn a_threaded_stub_has_a_sheet_and_an_order_of_its_own() {
    for (features, thread, figure, shown) in
        [(CUP, "spigot", "mouth", "⌀ 8.5 mm × 2.5 mm"), (CONE, "cap thread", "thread", "M8, 4.5 mm long")]
    {
        let made = planned(&part(&[features]), &with(&[WorkHolder::ThreeJaw]));
        let setup = made.setups.iter().find(|s| s.title.contains(&format!("screwed by {thread} on a stub")));
        let setup = setup.unwrap_or_else(|| panic!("{made:?}"));
        assert!(setup.cautions.iter().any(|words| words.contains("never run the spindle backwards")));
        let [aid] = &made.aids[..] else { panic!("{:?}", made.aids) };
        assert_eq!(aid.own.unplanned, None);
        assert!(
            aid.own
                .order
                .last()
                .is_some_and(|line| line.steps.last().is_some_and(|step| step.contains("leave it"))),
            "{:?}",
            aid.own.order
        );
        let of = |name: &str| aid.sizes.iter().find(|f| f.name.ends_with(&format!(": {name}"))).unwrap();
        assert_eq!(of(figure).shown, shown);
    }
}

/// What was turned runs true to the spindle; the bar's own outside ran out in the three jaws meanwhile, so
/// that gripped by it the work would lie off twice.
#[test]
fn what_has_to_run_true_is_not_held_by_the_bars_own_outside() {
    let spindle = part(&[JOURNAL, &BODY.replace("14", "16"), OTHER, FITS]);
    let made = planned(&spindle, &with(&[WorkHolder::ThreeJaw, WorkHolder::FourJaw]));
    let bar = made.cover.assumed.iter().any(|words| words.contains("nothing is turned off body"));
    assert!(bar, "{:?}", made.cover.assumed);
    let titles: Vec<&String> = made.setups.iter().map(|setup| &setup.title).collect();
    assert!(titles.iter().all(|title| !title.contains("body")), "{titles:?}");
}
