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
    ]);
    (place, kinds).prop_map(|((x, y), kind)| {
        format!("{kind}\nplace = [\"{x}/64 right of datum\", \"{y}/64 above datum\"]\n")
    })
}

fn body() -> impl Strategy<Value = (String, String)> {
    let plate = (16i32..64, 12i32..48, prop::sample::select(vec!["bottom left", "centre"])).prop_map(|(w, h, datum)| {
        (format!("kind = \"rectangle\"\nwidth = \"{w}/16\"\nheight = \"{h}/16\"\nthickness = \"1/4\"\ndatum = \"{datum}\"\n"), String::new())
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
    prop_oneof![plate, disc, lever]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

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
