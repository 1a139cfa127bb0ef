//! The program: commands, the project folder on disk, serving.

fn main() {}
