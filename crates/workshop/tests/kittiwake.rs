//! The demo project: every part of it goes the whole way on its bench, and parts
//! that meet agree.

use std::fs;
use std::path::Path;

use workshop::bench::read_bench;
use workshop::drawing::{Drawing, across, read_drawing};
use workshop::plan::plan;

fn example(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake");
    fs::read_to_string(folder.join(name)).expect("the example is there")
}

fn parts() -> Vec<Drawing> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake/parts");
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
        .iter()
        .map(|file| {
            let name = file.file_name().unwrap().to_string_lossy();
            read_drawing(&name, &fs::read_to_string(file).unwrap())
                .unwrap_or_else(|f| panic!("{name}: {f:#?}"))
        })
        .collect()
}

#[test]
fn every_part_goes_the_whole_way() {
    let bench = read_bench("bench.toml", &example("bench.toml")).unwrap();
    let parts = parts();
    assert!(parts.len() >= 12, "only {} parts", parts.len());
    for part in &parts {
        let plan = plan(part, &bench).unwrap_or_else(|faults| panic!("{}: {faults:#?}", part.file));
        assert!(!plan.setups.is_empty(), "{}", part.file);
    }
}

#[test]
fn parts_that_meet_agree_and_each_is_named_by_the_other() {
    let parts = parts();
    assert_eq!(across(&parts), []);
    let named = parts.iter().flat_map(|part| &part.mates).filter(|mate| mate.partner.is_some()).count();
    assert!(named >= 6, "only {named} mates name their part");
}
