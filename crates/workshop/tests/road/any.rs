//! Made-up plates, discs and levers on every bench.

use super::parts::{BENCHES, bench};
use std::collections::BTreeSet;

use proptest::prelude::*;
use workshop::drawing::read_drawing;
use workshop::plan::plan;

/// A hole for a made-up plate.
fn hole() -> impl Strategy<Value = String> {
    let place = (1i32..160, 1i32..100);
    let kinds = prop::sample::select(vec![
        "kind = \"hole\"\ndiameter = \"1/8\"",
        "kind = \"hole\"\ndiameter = \"3/16\"\nfinish = \"reamed\"",
        "kind = \"hole\"\ndiameter = \"No. 27\"\nclears = \"4 BA\"",
        "kind = \"hole\"\ndiameter = \"1/4\"\nfinish = \"bored\"",
        "kind = \"hole\"\nface = \"back\"\ndiameter = \"1/8\"\ndepth = \"1/8\"",
        "kind = \"tapped hole\"\nthread = \"6 BA\"",
        "kind = \"tapped hole\"\nface = \"back\"\nthread = \"8 BA\"\ndepth = \"5/32\"",
        "kind = \"slot\"\nwidth = \"3/16\"\ncentres = \"3/8\"\nalong = \"20°\"",
        "kind = \"pocket\"\nwidth = \"1/2\"\nheight = \"3/8\"\ncorner = \"3/32\"\ndepth = \"1/8\"",
        "kind = \"pocket\"\nface = \"back\"\nwidth = \"1/2\"\nheight = \"1/4\"\ncorner = \"1/8\"\nalong = \"90°\"",
        "kind = \"pocket\"\nwidth = \"1/4\"\nheight = \"1/4\"\ncorner = \"1/16\"\nalong = \"30°\"",
        "kind = \"square hole\"\nacross = \"1/4\"\nalong = \"45°\"",
        "kind = \"square hole\"\nacross = \"1/64\"",
        "kind = \"flatted hole\"\ndiameter = \"1/4\"\nacross = \"7/32\"\ntoward = \"200°\"",
        "kind = \"taper pin hole\"\npin = \"No. 1\"",
        "kind = \"taper pin hole\"\nface = \"back\"\npin = \"3 mm\"\ndepth = \"3/16\"",
        "kind = \"row\"\nholes = 3\nspacing = \"3/8\"\ndiameter = \"1/16\"\nalong = \"30°\"",
        "kind = \"row\"\nholes = 2\nspacing = \"0\"\nthread = \"8 BA\"",
    ]);
    (place, kinds).prop_map(|((x, y), kind)| {
        format!("{kind}\nplace = [\"{x}/64 right of datum\", \"{y}/64 above datum\"]\n")
    })
}

fn body() -> impl Strategy<Value = (String, String)> {
    let plate = (16i32..64, 12i32..48, prop::sample::select(vec!["bottom left", "centre"])).prop_map(|(w, h, datum)| {
        (format!("kind = \"rectangle\"\nwidth = \"{w}/16\"\nheight = \"{h}/16\"\nthickness = \"1/4\"\ndatum = \"{datum}\"\n"), String::new())
    });
    let outline = (
        prop::collection::vec((0i32..48, 0i32..40, prop::option::of(1i32..16), 0u8..6), 3..6),
        prop::sample::select(vec!["", "[stock]\nform = \"casting\"\nmachined = [\"front\", \"edges\"]\n", "[stock]\nform = \"casting\"\n"]),
    )
        .prop_map(|(corners, stock)| {
            let (mut around, mut features) = (Vec::new(), String::new());
            for (n, (x, y, radius, after)) in corners.into_iter().enumerate() {
                around.push(format!("\"stop {n}\""));
                match after {
                    0 => around.push("{ arc = \"4\", bulge = \"out\" }".into()),
                    1 => around.push("{ arc = \"5\", bulge = \"in\" }".into()),
                    2 => around.push("{ arc = \"2 1/2\", bulge = \"out\", greater = true }".into()),
                    _ => {}
                }
                let radius = radius.map_or(String::new(), |r| format!("radius = \"{r}/32\"\n"));
                let kind = if after == 5 && !radius.is_empty() { "boss" } else { "corner" };
                // Round the middle in turn, so that many of them are outlines.
                let turn = f64::from(u8::try_from(n).unwrap()) * 1.3;
                let (x, y) = (f64::from(x + 20) * turn.cos() / 16.0, f64::from(y + 20) * turn.sin() / 16.0);
                features += &format!(
                    "[[feature]]\nname = \"stop {n}\"\nkind = \"{kind}\"\n{radius}place = [\"{:.3} {} datum\", \"{:.3} {} datum\"]\n",
                    x.abs(), if x < 0.0 { "left of" } else { "right of" }, y.abs(), if y < 0.0 { "below" } else { "above" },
                );
            }
            let body = format!("kind = \"outline\"\naround = [{}]\nthickness = \"3/16\"\n", around.join(", "));
            (body, format!("{stock}{features}"))
        });
    let block = (
        prop::sample::select(vec!["top", "bottom", "left", "right", "front", "back"]),
        prop::sample::select(vec!["top", "bottom", "left", "right", "front", "back"]),
        1i32..30,
        prop::sample::select(vec![
            "", "[stock]\nform = \"casting\"\nmachined = [\"back\", \"left\"]\n",
            "[stock]\nform = \"casting\"\nmachined = [\"top\", \"right\", \"left\"]\n",
            "[stock]\nform = \"flat bar\"\nsize = [\"2\", \"3/4\"]\nallowance = \"1/16\"\n",
        ]),
    )
        .prop_map(|(face, side, leaves, stock)| {
            let place = match side {
                "front" | "back" => "3/16 in front of back face",
                "left" | "right" => "1/2 from left edge",
                _ => "1/2 from bottom edge",
            };
            (
                "kind = \"rectangle\"\nwidth = \"2\"\nheight = \"1 1/4\"\nthickness = \"1/2\"\ndatum = \"bottom left\"\n".to_owned(),
                format!(
                    "{stock}[[feature]]\nname = \"shelf\"\nkind = \"step\"\nface = \"{face}\"\nside = \"{side}\"\nleaves = \"{leaves}/16\"\nplace = [\"{place}\"]\n\
                     [[feature]]\nname = \"way\"\nkind = \"slot\"\nface = \"{face}\"\nwidth = \"1/8\"\ncentres = \"{leaves}/32\"\ndepth = \"1/8\"\nplace = [\"mid thickness\", \"1 from left edge\", \"5/8 from bottom edge\"]\n",
                ),
            )
        });
    let disc = (12i32..48).prop_map(|d| {
        (
            format!("kind = \"disc\"\ndiameter = \"{d}/16\"\nthickness = \"1/4\"\n"),
            "[[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nfinish = \"reamed\"\nplace = [\"datum\"]\n".to_owned(),
        )
    });
    let lever = (8i32..20, 6i32..20, -24i32..24, 24i32..60, any::<bool>()).prop_map(|(r, s, up, along, bored)| {
        let mut features = format!(
            "[[feature]]\nname = \"one\"\nkind = \"boss\"\nradius = \"{r}/32\"\nplace = [\"datum\"]\n\
             [[feature]]\nname = \"two\"\nkind = \"boss\"\nradius = \"{s}/32\"\nplace = [\"{along}/16 right of one\", \"{}/16 {} one\"]\n\
             [[feature]]\nname = \"bore one\"\nkind = \"hole\"\ndiameter = \"3/16\"\nfinish = \"reamed\"\nplace = [\"concentric with one\"]\n",
            up.abs().max(1), if up < 0 { "below" } else { "above" },
        );
        if bored {
            features += "[[feature]]\nname = \"bore two\"\nkind = \"hole\"\ndiameter = \"5/32\"\nfinish = \"reamed\"\nplace = [\"concentric with two\"]\n";
        }
        ("kind = \"bosses\"\naround = [\"one\", \"two\"]\nthickness = \"5/16\"\n".to_owned(), features)
    });
    prop_oneof![plate, disc, lever, outline, block]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is drawn: a plan, or problems that say how to mend them.
    #[test]
    fn any_plate_has_a_plan_or_a_remedy(
        (body, own) in body(), holes in prop::collection::vec(hole(), 0..4),
        hands in prop::sample::select(vec!["", "hands = [\"left\", \"right\"]\n", "make = 2\n"]),
        bench_index in 0..BENCHES.len(),
    ) {
        let mut text = format!("part = \"Any\"\nunit = \"inch\"\nmaterial = \"brass\"\n{hands}[body]\n{body}{own}");
        for (n, hole) in holes.iter().enumerate() {
            text += &format!("[[feature]]\nname = \"cut {n}\"\n{hole}");
        }
        let told = |faults: Vec<workshop::problem::Problem>| {
            faults.iter().all(|f| f.remedy().is_some()).then_some(()).ok_or_else(|| format!("{faults:?}\n{text}"))
        };
        let bench = bench(BENCHES[bench_index].0);
        match read_drawing("any.toml", &text) {
            Err(faults) => prop_assert!(told(faults).is_ok(), "{text}"),
            Ok(drawing) => match plan(&drawing, &bench) {
                Err(faults) => { let told = told(faults); prop_assert!(told.is_ok(), "{told:?}"); }
                Ok(plan) => {
                    let names: BTreeSet<&str> = plan.figures.iter().map(|f| f.name.as_str()).collect();
                    prop_assert_eq!(names.len(), plan.figures.len());
                }
            },
        }
    }
}
