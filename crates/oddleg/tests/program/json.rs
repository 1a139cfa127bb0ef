//! `--json` says what the text says.

use serde_json::Value;

use crate::examples::every_command;
use crate::{oddleg, printed};

/// Every text and number in a JSON value.
fn leaves<'a>(value: &'a Value, into: &mut Vec<&'a str>) {
    match value {
        Value::String(text) => into.push(text),
        Value::Array(items) => items.iter().for_each(|item| leaves(item, into)),
        Value::Object(fields) => fields.values().for_each(|field| leaves(field, into)),
        _ => {}
    }
}

#[test]
fn every_example_gives_the_same_content_as_json_and_as_text() {
    for helped in every_command() {
        // The examples of one command may go on from each other.
        let folder = tempfile::tempdir().unwrap();
        if helped.command != ["new"] && !helped.command.is_empty() {
            crate::engine(folder.path(), &helped.command);
        }
        for words in helped.examples.into_iter().filter(|words| runs(words)) {
            let mut with_json = words.clone();
            with_json.push("--json".into());
            let text = printed(&oddleg(folder.path(), &words));
            if words[0] == "new" {
                std::fs::remove_dir_all(folder.path().join("engine")).unwrap();
            }
            // An import writes over nothing.
            if words[0] == "import" {
                let to = words.iter().position(|word| word == "-o").expect("the example says where to");
                std::fs::remove_file(folder.path().join(&words[to + 1])).unwrap();
            }
            let output = oddleg(folder.path(), &with_json);
            let json: Value =
                serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{words:?}: {e}"));
            let mut said = Vec::new();
            leaves(&json, &mut said);
            // Nothing in the JSON that the text does not say…
            for leaf in &said {
                assert!(text.contains(leaf), "{words:?}: the text lacks `{leaf}`");
            }
            // …and nothing in the text that the JSON does not, marks and headings apart.
            let mut rest = text.clone();
            said.sort_by_key(|leaf| std::cmp::Reverse(leaf.len()));
            said.iter().filter(|leaf| !leaf.is_empty()).for_each(|leaf| rest = rest.replace(leaf, " "));
            for word in rest.split_whitespace() {
                let mark = word.trim_matches(|c: char| "[](),:;".contains(c) || c.is_ascii_digit());
                let known = ["", "sources", "assumed", "from", "memory"].contains(&mark);
                let column = json["sections"].as_array().into_iter().flatten().any(|section| {
                    let first = section["rows"].get(0).and_then(Value::as_object);
                    first.is_some_and(|row| row.keys().any(|key| key.split_whitespace().any(|k| k == word)))
                });
                assert!(known || column, "{words:?}: the JSON lacks `{word}`");
            }
        }
    }
}

/// It does not serve until it is stopped, and needs no earlier state of a file.
fn runs(words: &[String]) -> bool {
    words[0] != "open" && !words.contains(&"--restore".to_owned())
}
