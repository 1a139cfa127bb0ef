//! The worked cases of `examples/cases` through the program, as they print.

use std::path::Path;

use crate::{complained, oddleg, printed};

#[test]
fn the_cases_of_fitting_print_what_is_held() {
    let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    let mut held = String::new();
    for case in ["jig-first", "jig-too-late"] {
        let output = oddleg(examples, &["order", &format!("cases/{case}")]);
        held += &format!("$ oddleg order cases/{case}\n{}{}\n", printed(&output), complained(&output));
    }
    insta::assert_snapshot!(held);
}

#[test]
fn the_worked_cases_print_what_is_held() {
    let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    let mut held = String::new();
    for (case, instead) in [
        ("no-rod-suits", Some("rod bore: diameter=6.5 mm")),
        ("wider-saw", Some("slit: width=1.6 mm")),
        ("thread-in-thin-wall", Some("body: thickness=2 mm")),
        ("chain-of-three", Some("far hole: right of near hole=25.4 mm")),
        ("no-answer", None),
        ("pinned", None),
    ] {
        let path = format!("cases/{case}");
        let mut runs = vec![vec!["metric".to_owned(), path.clone()]];
        runs.extend(instead.map(|wish| vec!["metric".into(), path.clone(), "--instead".into(), wish.into()]));
        for words in runs {
            let output = oddleg(examples, &words);
            held += &format!("$ oddleg {}\n{}{}\n", words.join(" "), printed(&output), complained(&output));
        }
    }
    insta::assert_snapshot!(held);
}
