//! Assemblies: what is said of them, what it asks of the order, and what stands on the list.

mod brute;
mod designs;
#[path = "../draw/mod.rs"]
mod draw;
mod laid;
mod large;
mod left;
mod own;
mod reading;
mod rules;
mod sharing;

use workshop::assembly::{Fitting, read_assembly, resolve};
use workshop::bench::empty_bench;
use workshop::drawing::{Drawing, read_drawing};
use workshop::make_list::{Made, make_list};
use workshop::problem::Outcome;
use workshop::sheet::MakeList;

/// A brass disc with reamed holes of these names.
pub fn disc(name: &str, holes: &[&str]) -> Drawing {
    let mut text = format!(
        "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"brass\"\nmake = 2\n[body]\nkind = \"disc\"\n\
         diameter = \"60\"\nthickness = \"6\"\n"
    );
    for (n, hole) in holes.iter().enumerate() {
        text += &format!(
            "[[feature]]\nname = \"{hole}\"\nkind = \"hole\"\ndiameter = \"5\"\nfinish = \"reamed\"\n\
             place = [\"{} right of datum\", \"level with datum\"]\n",
            n * 9
        );
    }
    read_drawing(&format!("{}.toml", name.to_lowercase()), &text).expect("the disc can be read")
}

/// Three discs that assemblies are made of.
pub fn discs() -> Vec<Drawing> {
    vec![
        disc("Web", &["bore", "pin bore"]),
        disc("Pin", &["eye", "cross hole"]),
        disc("Cover", &["screw hole"]),
    ]
}

/// What an assembly file says of these parts.
pub fn fitting(text: &str, parts: &[Drawing]) -> Outcome<Fitting> {
    let said = read_assembly("assembly.toml", text)?;
    resolve(Some(&said), &parts.iter().collect::<Vec<_>>(), &[])
}

/// The make list of parts without plans of their own.
pub fn listed(text: &str, parts: &[Drawing]) -> Outcome<MakeList> {
    let fitting = fitting(text, parts)?;
    let made: Vec<Made> = parts.iter().map(|drawing| Made { drawing, plan: None, fault: None }).collect();
    make_list(&made, &fitting, &empty_bench())
}

/// The rows in words.
pub fn rows(list: &MakeList) -> Vec<&str> {
    list.rows.iter().map(|row| row.what.as_str()).collect()
}

/// The place of the row that holds these words.
pub fn at(list: &MakeList, words: &str) -> usize {
    let found = list.rows.iter().position(|row| row.what.contains(words));
    found.unwrap_or_else(|| panic!("no row says `{words}`: {:#?}", rows(list)))
}

/// Everything that is said of what is wrong.
pub fn faults<T: std::fmt::Debug>(outcome: Outcome<T>) -> String {
    outcome.unwrap_err().iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}
