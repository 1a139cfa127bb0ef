//! Changes to files: what is asked for happens, and nothing else does.

mod any;
mod cases;
mod files;

use workshop::edit::{Change, Value};

/// A part written by hand, with every kind of comment and quote.
const LEVER: &str = r#"# Sheet 7.
part = "Lever"
unit = "inch" # as published
make = 1

[body]
kind = "bosses"
around = ["pivot boss", "rod boss"]
thickness = "3/8"

# The big end.
[[feature]]
name = "pivot boss"
kind = "boss"
radius = "7/16"
place = ["datum"]

[[feature]]
name = 'rod boss'
kind = "boss"
radius = { is = "9/32", role = "free" } # measured
place = [
  { is = "1 27/32 right of pivot boss", role = "hold" }, # valve travel
  "level with the pivot boss",
]

# --- mates ---

[[mate]]
name = "pin"
in = "rod boss"
size = 0.1875
fit = "sliding"
"#;

fn set(at: &str, to: &str) -> Change {
    Change::Set { at: at.into(), to: Value::text(to) }
}

fn clear(at: &str) -> Change {
    Change::Clear { at: at.into() }
}

fn rename(from: &str, to: &str) -> Change {
    Change::Rename { from: from.into(), to: to.into() }
}
