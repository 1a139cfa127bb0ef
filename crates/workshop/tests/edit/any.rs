//! Any change to any file.

use proptest::prelude::*;
use toml_edit::Document;
use workshop::edit::{Change, Merged, Value, change, merge};

use super::LEVER;
use super::files::files;

fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        "\\PC{0,12}".prop_map(Value::Text),
        "[ -~\\t\\r\\n\u{0}\u{202e}]{0,8}".prop_map(Value::Text),
        "-?[0-9]{1,4}(\\.[0-9]{1,3})?".prop_map(Value::Number),
        any::<bool>().prop_map(Value::Flag),
    ];
    leaf.prop_recursive(2, 6, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::List),
            prop::collection::vec(("[a-z]{1,4}", inner), 0..3).prop_map(Value::Table),
        ]
    })
}

fn any_change() -> impl Strategy<Value = Change> {
    let step =
        prop_oneof!["(feature|body|mate|place|radius|is|role|name|stock|mill|drills)", "[0-3]", "[a-z]{1,3}"];
    let at = prop::collection::vec(step, 1..5).prop_map(|steps| steps.join("/"));
    let table = "(feature|mate|stock|body|end_mill|new)";
    let entries = prop::collection::vec(("[a-z]{1,4}", any_value()), 0..4);
    prop_oneof![
        4 => (at.clone(), any_value()).prop_map(|(at, to)| Change::Set { at, to }),
        2 => at.prop_map(|at| Change::Clear { at }),
        1 => (table, entries, prop::option::of(0usize..4))
            .prop_map(|(table, entries, before)| Change::Add { table, entries, before }),
        1 => (table, 0usize..4).prop_map(|(table, index)| Change::Remove { table, index }),
        1 => (table, 0usize..4, 0usize..4).prop_map(|(table, index, to)| Change::Move { table, index, to }),
        1 => ("(pivot boss|rod boss|bore)", "\\PC{0,10}").prop_map(|(from, to)| Change::Rename { from, to }),
    ]
}

/// The same things written in the less usual ways that TOML allows.
const ODD: &str = "part.x = 1\npart.'y z' = 'a'\nfeature = [{ name = 'pivot boss', place = 'datum' }, {name=\"rod boss\"}]\n\
                   body.kind = \"disc\" # c\nbody.a.b = [ # first\n  1, 2, # pair\n  # alone\n  3 # last\n]\n\
                   [mill.sub]\nx = '''\n# no comment\n'''\n[[end_mill]]\n[end_mill.shank]\nd = 1979-05-27\n[[end_mill]]\n\
                   [new]\n[mill]\ny = []\n  [[mate]]\n  a = { }\n  # tail";

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever is asked of whatever file, in a row: no panic, every text that
    /// comes out can be read, and nothing but removal loses a comment.
    #[test]
    fn any_changes_to_any_file_leave_one_that_reads(
        which in any::<prop::sample::Index>(),
        changes in prop::collection::vec(any_change(), 1..6),
    ) {
        let mut texts = files();
        texts.extend([String::new(), "# only a comment".into(), ODD.into(), ODD.replace('\n', "\r\n")]);
        let mut text = which.get(&texts).clone();
        for asked in &changes {
            match change(&text, asked) {
                Ok(after) => {
                    prop_assert!(Document::parse(after.as_str()).is_ok(), "{asked:?}\n{after}");
                    text = after;
                }
                Err(fault) => prop_assert!(fault.remedy().is_some(), "{asked:?}: {fault}"),
            }
        }
    }

    /// A file broken anywhere is answered, not mended by chance.
    #[test]
    fn any_text_is_answered(cut in any::<prop::sample::Index>(), with in "\\PC{0,6}", asked in any_change()) {
        let at = cut.index(LEVER.len());
        let at = (0..=at).rev().find(|&at| LEVER.is_char_boundary(at)).unwrap();
        let text = format!("{}{with}{}", &LEVER[..at], &LEVER[at..]);
        if let Ok(after) = change(&text, &asked) {
            prop_assert!(Document::parse(after.as_str()).is_ok());
        }
    }

    /// Two people at one file: no line either of them wrote is lost, however it
    /// comes together.
    #[test]
    fn merging_keeps_what_both_wrote(mine in any_change(), theirs in any_change()) {
        let (Ok(mine), Ok(theirs)) = (change(LEVER, &mine), change(LEVER, &theirs)) else { return Ok(()) };
        let text = match merge(LEVER, &mine, &theirs) {
            Merged::Both(text) => {
                prop_assert!(Document::parse(text.as_str()).is_ok());
                text
            }
            Merged::Conflict { marked } => marked,
        };
        for new in [&mine, &theirs] {
            for line in new.lines().filter(|line| !LEVER.lines().any(|old| old == *line)) {
                prop_assert!(text.contains(line), "{line}\n{text}");
            }
        }
    }
}
