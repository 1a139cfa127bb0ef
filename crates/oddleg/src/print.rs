//! Writing an answer or its problems out, and the exit status that goes with it.
//!
//! Answers go to standard output. Problems go to standard error as text, and to
//! standard output as JSON, where the program that asked is reading.

use std::io::{self, Write};
use std::process::ExitCode;

use serde_json::Value;

use crate::answer::{Answer, problem_json};
use workshop::problem::Problem;

/// How an answer is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// For a person.
    Text,
    /// For another program.
    Json,
}

/// Writes an answer, and what could not be answered beside it; the exit status is 0
/// where there was nothing of that.
pub fn answer(answer: &Answer, form: Form) -> ExitCode {
    let text = match form {
        Form::Text => answer.to_string(),
        Form::Json => pretty(&answer.json()),
    };
    let status = written(io::stdout().lock(), &text, ExitCode::SUCCESS);
    match (answer.problems.as_slice(), form) {
        ([], _) => status,
        (faults, Form::Text) => problems(faults, form),
        (_, Form::Json) => ExitCode::FAILURE,
    }
}

/// Writes every problem; the exit status is 1.
pub fn problems(faults: &[Problem], form: Form) -> ExitCode {
    match form {
        Form::Text => {
            let text: Vec<String> = faults.iter().map(|fault| format!("{fault}\n")).collect();
            written(io::stderr().lock(), &text.join("\n"), ExitCode::FAILURE)
        }
        Form::Json => {
            let text = pretty(&faults.iter().map(problem_json).collect());
            written(io::stdout().lock(), &text, ExitCode::FAILURE)
        }
    }
}

fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

/// Writes the text. A reader that has gone away (`oddleg … | head`) has what it
/// wanted; anything else that stops the writing is a failure.
fn written(mut to: impl Write, text: &str, status: ExitCode) -> ExitCode {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(fault) if fault.kind() != io::ErrorKind::BrokenPipe => ExitCode::FAILURE,
        _ => status,
    }
}
