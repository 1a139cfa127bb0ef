//! Every example in every help text is run, and what it prints is held.
//!
//! The commands are found by reading the help of each, so a new command is held
//! as soon as it has an example; one without an example fails.

use std::path::Path;

use crate::{complained, oddleg, printed};

/// A command by its words after `oddleg`, its help text, and its examples.
pub struct Helped {
    pub command: Vec<String>,
    pub help: String,
    pub examples: Vec<Vec<String>>,
}

/// Every command that does something, found from the help of the program itself.
pub fn every_command() -> Vec<Helped> {
    let mut found = Vec::new();
    let mut waiting = vec![Vec::new()];
    while let Some(command) = waiting.pop() {
        let words: Vec<String> = command.iter().cloned().chain(["--help".to_owned()]).collect();
        let help = printed(&oddleg(Path::new("."), &words));
        let under = subcommands(&help);
        for name in &under {
            let mut longer: Vec<String> = command.clone();
            longer.push(name.clone());
            waiting.push(longer);
        }
        found.push(Helped { examples: examples(&help), help, command });
    }
    found.sort_by(|a, b| a.command.cmp(&b.command));
    found
}

/// The names under `Commands:`, without `help` itself.
fn subcommands(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = lines.take_while(|line| !line.is_empty()).filter_map(|line| line.split_whitespace().next());
    names.filter(|name| *name != "help").map(str::to_owned).collect()
}

/// The lines under `Example:` or `Examples:`, as a shell would split them.
fn examples(help: &str) -> Vec<Vec<String>> {
    let lines = help.lines().skip_while(|line| !line.starts_with("Example")).skip(1);
    let text = lines.collect::<Vec<_>>().join("\n").replace("\\\n", " ");
    text.lines().filter_map(|line| line.trim().strip_prefix("oddleg ")).map(shell_words).collect()
}

/// Words between spaces; a pair of double quotes holds one together.
fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            _ => words.last_mut().expect("there is always a word").push(c),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// The words as a person would type them.
fn as_typed(words: &[String]) -> String {
    let typed = |word: &String| if word.contains(' ') { format!("\"{word}\"") } else { word.clone() };
    words.iter().map(typed).collect::<Vec<_>>().join(" ")
}

#[test]
fn every_command_has_an_example_that_runs_and_prints_what_is_held() {
    for Helped { command, help, examples } in every_command() {
        assert!(!examples.is_empty(), "no example in the help of {command:?}");
        let folder = tempfile::tempdir().unwrap();
        if command != ["new"] && !command.is_empty() {
            crate::engine(folder.path(), &command);
        }
        let mut held = help;
        for words in examples {
            // It serves until it is stopped: `open.rs` runs it.
            if words[0] == "open" {
                continue;
            }
            // A new project has no earlier states to have back: `keeping.rs` restores one.
            if words.contains(&"--restore".to_owned()) {
                continue;
            }
            let output = oddleg(folder.path(), &words);
            assert_eq!(output.status.code(), Some(0), "{words:?}: {}", complained(&output));
            let printed = printed(&output);
            held.push_str(&format!("\n$ oddleg {}\n{printed}", as_typed(&words)));
        }
        let name = if command.is_empty() { "oddleg".to_owned() } else { command.join("_") };
        insta::assert_snapshot!(name, held);
    }
}
