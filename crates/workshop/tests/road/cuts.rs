//! How far a cut goes on the sheet, and what holds the work meanwhile.

use super::parts::{BENCHES, bench};
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;
use workshop::sheet::{Row, SetupSheet};

fn walk(text: &str, on: &str) -> Result<Plan, Vec<Problem>> {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"));
    plan(&drawing, &bench(on))
}

fn sheet_of<'a>(plan: &'a Plan, row: &str) -> (&'a SetupSheet, &'a Row) {
    let rows = plan.setups.iter().flat_map(|sheet| sheet.rows.iter().map(move |row| (sheet, row)));
    rows.into_iter().find(|(_, r)| r.what.starts_with(row)).unwrap_or_else(|| panic!("no row {row}"))
}

const LID: &str = "part = \"Lid\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\n\
                   diameter = \"1 1/2\"\nthickness = \"3/16\"\n[stock]\nform = \"plate\"\nsize = \"3/16\"\n[[feature]]\nname = \"screws\"\n\
                   kind = \"pitch circle\"\nholes = 4\npitch_circle = \"1 1/8\"\ndiameter = \"1/8\"\n\
                   place = [\"datum\"]\n";

/// A lid with no hole in its middle is turned between pads to a scribed circle, or
/// told what would help.
#[test]
fn a_disc_without_a_bore_is_turned_between_pads() {
    for (on, _) in BENCHES {
        match walk(LID, on) {
            // Thin enough to be filed to its circle where there is no lathe.
            Ok(plan) if bench(on).lathe.is_none() => {
                let (_, row) = sheet_of(&plan, "file the outside");
                assert!(row.what.contains("round"), "{on}: {}", row.what);
            }
            Ok(plan) => {
                let (sheet, row) = sheet_of(&plan, "turn the outside");
                assert!(sheet.held.contains("two flat pads") && sheet.located.contains("scribed"), "{on}");
                // 38 of disc, 3 left round it in the sawn blank: the same from both edges.
                let from: Vec<&str> = row.sets.iter().map(|f| f.shown.as_str()).collect();
                assert!(from.len() == 2 && from[0] == from[1], "{on}: {from:?}");
                assert!(sheet.cautions.iter().any(|c| c.contains("by pressure alone")), "{on}");
                assert!(plan.cover.assumed.iter().any(|a| a.contains("true to its holes")), "{on}");
            }
            Err(faults) => {
                assert!(bench(on).lathe.is_none(), "{on}: {faults:?}");
                assert!(faults[0].remedy().unwrap().contains("tooling hole"), "{on}: {}", faults[0]);
            }
        }
    }
}

/// A lever with a slit toward its top, through a boss of so many sixteenths.
fn slit_up(radius: u32) -> String {
    format!(
        "part = \"Lever\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\n\
         around = [\"hub\", \"tip\"]\nthickness = \"3/8\"\n[[feature]]\nname = \"hub\"\nkind = \"boss\"\n\
         radius = \"{radius}/16\"\nplace = [\"datum\"]\n[[feature]]\nname = \"tip\"\nkind = \"boss\"\n\
         radius = \"3/8\"\nplace = [\"3 right of hub\", \"level with hub\"]\n[[feature]]\nname = \"hub bore\"\n\
         kind = \"hole\"\ndiameter = \"1/2\"\nfinish = \"reamed\"\nplace = [\"concentric with hub\"]\n[[feature]]\n\
         name = \"tip bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nfinish = \"reamed\"\n\
         place = [\"concentric with tip\"]\n[[feature]]\nname = \"slit\"\nkind = \"slit\"\nwidth = \"1/32\"\n\
         into = \"hub bore\"\ntoward = \"top\"\n"
    )
}

/// A saw on a collar of 25 goes 18 deep at 63 across, 26.5 at 80, 36.5 at 100.
#[test]
fn a_saw_to_buy_reaches_the_bore() {
    for (radius, saw) in [(10, "63 mm"), (14, "80 mm"), (20, "100 mm")] {
        let plan = walk(&slit_up(radius), "empty").unwrap_or_else(|faults| panic!("{radius}: {faults:?}"));
        let (_, row) = sheet_of(&plan, "saw slit");
        assert!(row.tool.contains(&format!("slitting saw {saw}")), "{radius}: {}", row.tool);
    }
    let faults = walk(&slit_up(26), "empty").unwrap_err();
    assert!(faults[0].to_string().contains("no standard saw reaches"), "{}", faults[0]);
}

/// Whoever is held by the bore that the saw opens is told about the stud in it.
#[test]
fn a_stud_in_a_bore_that_is_slit_is_cautioned() {
    let lever = super::sheet::Road::walk("valve-lever", "kittiwake").unwrap().plan;
    let (sheet, _) = sheet_of(&lever, "saw clamp slit");
    assert!(sheet.held.contains("through pivot bore"), "{}", sheet.held);
    assert!(sheet.cautions.iter().any(|c| c.contains("never hard")), "{:?}", sheet.cautions);
    for other in lever.setups.iter().filter(|s| !s.rows.iter().any(|r| r.what.starts_with("saw"))) {
        assert!(!other.cautions.iter().any(|c| c.contains("never hard")), "setup {}", other.number);
    }
}

/// The clamp screw of the valve lever goes through a boss of 11 mm radius, 7.25 mm from
/// its middle: by Pythagoras the metal there is 16.55 long and begins 2.73 lower.
#[test]
fn a_hole_off_the_middle_of_a_round_goes_through_its_chord() {
    let lever = super::sheet::Road::walk("valve-lever", "kittiwake").unwrap().plan;
    let half = (11.0_f64.powi(2) - 7.25_f64.powi(2)).sqrt();
    let (_, tap) = sheet_of(&lever, "tap clamp screw");
    assert_eq!(tap.depth[0].shown, format!("through {:.1} mm", (half * 20.0).ceil() / 10.0));
    let (sheet, drill) = sheet_of(&lever, "drill clamp screw");
    // To the far side of the round and the point of a 2.6 mm drill, 0.78.
    let to = 11.0 + half + 0.78;
    let shown = super::sheet::lengths_mm(&drill.depth[0].shown)[0];
    // The metal is told to the next tenth, and what is drilled to the next after that.
    assert!((0.0..=0.2).contains(&(shown - to)) && drill.depth[0].shown.contains("the top"), "{shown} {to}");
    let note = format!("clamp screw is met {:.1} mm lower", 11.0 - half);
    assert!(sheet.notes.iter().any(|n| n.contains(&note)), "{:?}", sheet.notes);
}

/// A slot's far end counts, and half the finder's tip on the other side of the edge.
#[test]
fn travel_counts_the_ends_of_slots_and_the_reach_of_the_finder() {
    let slotted = |centres: i32| {
        format!(
            "part = \"Bar\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"170\"\n\
             height = \"30\"\nthickness = \"6\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"way\"\nkind = \"slot\"\n\
             width = \"6\"\ncentres = \"{centres}\"\nplace = [\"120 from left edge\", \"15 from bottom edge\"]\n"
        )
    };
    // The slide of this bench travels 180 mm and its finder is 4 mm: 2 + 120 + 35 are
    // well within, and a travel of 156 is a millimetre short.
    let small = |travel: &str| {
        let mut small = bench("no-rotary");
        small.mill.travel[0] = workshop::measure::read_length(travel, None).unwrap().length;
        let drawing = read_drawing("bar.toml", &slotted(70)).unwrap();
        plan(&drawing, &small)
    };
    assert!(small("180 mm").is_ok());
    // The far edge, 174 away with the finder on both sides, is touched only to check.
    let checks = |travel: &str| {
        let rows = small(travel).unwrap().setups.into_iter().flat_map(|setup| setup.presets);
        rows.filter(|figure| figure.label().starts_with("check X")).count()
    };
    assert!(checks("180 mm") > checks("158 mm"));
    // Then it is picked up from its other end alone; a slot of 70 is one cut.
    let other_end = |travel: &str| {
        let rows = small(travel).unwrap().setups.into_iter().flat_map(|setup| setup.rows);
        rows.filter(|row| row.what.starts_with("pick the work up from the right-hand")).count()
    };
    assert_eq!((other_end("157 mm"), other_end("156 mm")), (0, 1));
    let told = small("69 mm").unwrap_err()[0].to_string();
    assert!(
        told.contains("way") && told.contains("70 mm") && told.contains("longer than the mill's travel"),
        "{told}"
    );
}

/// Work 60 high with a hole right through it wants 120 of a head that travels 100.
#[test]
fn a_hole_too_deep_for_the_head_is_named() {
    let text = "part = \"Post\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"40\"\n\
                height = \"60\"\nthickness = \"20\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"long way\"\n\
                kind = \"hole\"\nface = \"top\"\ndiameter = \"8\"\nplace = [\"20 from left edge\", \"mid thickness\"]\n";
    let drawing = read_drawing("post.toml", text).unwrap();
    let mut low = bench("no-rotary");
    assert!(plan(&drawing, &low).is_ok());
    low.mill.travel[2] = workshop::measure::Length::mm(100);
    let told = plan(&drawing, &low).unwrap_err()[0].to_string();
    assert!(told.contains("long way is too deep") && told.contains("travel_z"), "{told}");
}

/// The valve lever with its rod boss 1/2 up for 1 27/32 along: 12.5 up for 46.83 as chosen,
/// whose tangent 0.2669 is that of 14° 57′.
#[test]
fn a_plate_along_slanting_bores_says_so() {
    let level = include_str!("../../../../examples/kittiwake/parts/valve-lever.toml");
    let slanting = level.replacen("\"level with pivot boss\"", "\"1/2 above pivot boss\"", 1).replacen(
        "3/32 above stop hole",
        "3/16 below stop hole",
        1,
    );
    let cautions = |text: &str| {
        let made = plan(&read_drawing("lever.toml", text).unwrap(), &bench("kittiwake")).unwrap();
        let plates = made.aids.into_iter().filter(|aid| aid.name.starts_with("Bolt-on plate"));
        plates.flat_map(|plate| plate.cautions).collect::<Vec<_>>()
    };
    assert!(cautions(&slanting).iter().any(|c| c.contains("slants by 14° 57′")), "{:?}", cautions(&slanting));
    assert!(!cautions(level).is_empty() && !cautions(level).iter().any(|c| c.contains("slants")));
}

/// The pump bracket's lock screw comes down on its bore: 32 high, the bore of 10 at half
/// height, so 11 of metal; and a plate of which nothing is said is faced in passes.
#[test]
fn a_drill_that_comes_out_in_a_bore_is_said_and_facing_has_its_passes() {
    let text = include_str!("../../../../examples/kittiwake/parts/pump-bracket.toml");
    let made = plan(&read_drawing("bracket.toml", text).unwrap(), &bench("kittiwake")).unwrap();
    let notes: Vec<&String> = made.setups.iter().flat_map(|setup| &setup.notes).collect();
    let said = "The drill for lock screw comes out in pump bore after 11.0 mm";
    assert!(notes.iter().any(|note| note.starts_with(said)), "{notes:?}");
    assert!(
        !notes.iter().any(|note| note.contains("for cross hole")),
        "it stops short of the bore: {notes:?}"
    );
    let faced = made.setups.iter().flat_map(|s| &s.rows).find(|row| row.what.starts_with("face to")).unwrap();
    assert!(faced.depth[0].shown.ends_with("3.500 mm"), "{:?}", faced.depth);
}

/// With nothing owned there are still machines to make the part on, and the cover says so.
#[test]
fn with_no_bench_every_example_is_made_on_supposed_machines() {
    for text in [
        include_str!("../../../../examples/kittiwake/parts/valve-lever.toml"),
        include_str!("../../../../examples/kittiwake/parts/gear-cover.toml"),
        include_str!("../../../../examples/kittiwake/parts/pump-bracket.toml"),
        include_str!("../../../../examples/kittiwake/parts/valve-spindle.toml"),
    ] {
        let made = plan(&read_drawing("part.toml", text).unwrap(), &workshop::bench::empty_bench()).unwrap();
        assert!(made.cover.assumed.iter().any(|said| said.contains("a lathe and a rotary table")));
        // A tool that a step names is not listed again under the name it is bought by.
        let tools = made.cover.ready.iter().flat_map(|(_, things)| things).map(|thing| thing.what.as_str());
        let again =
            |what: &&str| what.starts_with("saw ") || what.starts_with("end mill") && what.contains('(');
        assert_eq!(tools.filter(again).collect::<Vec<_>>(), Vec::<&str>::new());
    }
}
