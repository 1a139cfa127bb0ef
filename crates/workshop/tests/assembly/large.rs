//! Projects too large to be planned as one are planned in stages, and say so.

use super::{at, disc, faults, listed};
use workshop::drawing::Drawing;

/// So many assemblies of two parts, a jig and a pressed pin each.
fn many(count: usize) -> (Vec<Drawing>, String) {
    let (mut parts, mut text) = (Vec::new(), String::new());
    for n in 0..count {
        parts.push(disc(&format!("Arm {n}"), &["eye"]));
        parts.push(disc(&format!("Pin {n}"), &["end"]));
        text += &format!(
            "[[aid]]\nname = \"jig {n}\"\nat = \"lathe\"\n[[join]]\nname = \"fit {n}\"\nparts = [\"Arm {n}: eye\", \"Pin {n}\"]\n\
             how = \"pressed\"\nset_by = \"jig {n}\"\n"
        );
    }
    (parts, text)
}

#[test]
fn thirty_assemblies_are_planned_as_one_and_forty_in_turn() {
    let (parts, text) = many(30);
    let list = listed(&text, &parts).unwrap();
    assert_eq!(list.rows.len(), 120);
    assert!(list.proofs[0].starts_with("No order of the whole project"), "{:?}", list.proofs);
    // All jigs are turned in one go, then everything else is done at the bench.
    let places: Vec<&str> = list.rows.iter().map(|row| row.place.as_str()).collect();
    assert_eq!(places.chunk_by(|a, b| a == b).count(), 2, "{places:?}");

    let (parts, text) = many(40);
    let list = listed(&text, &parts).unwrap();
    assert_eq!(list.rows.len(), 160);
    assert!(
        list.proofs[0].contains("planned in 40 stages") && list.proofs[0].contains("not proven"),
        "{:?}",
        list.proofs
    );
    for n in [0, 17, 39] {
        let fit = list.rows.iter().position(|row| row.what.ends_with(&format!("fit {n}"))).unwrap();
        let before: Vec<&str> = list.rows[..fit].iter().map(|row| row.what.as_str()).collect();
        for first in [format!("Arm {n}, 2 off"), format!("Pin {n}, 2 off"), format!("Jig {n}")] {
            assert!(before.contains(&first.as_str()), "{first} before fit {n}");
        }
    }
}

#[test]
fn a_thousand_loose_parts_are_listed_in_bunches() {
    let parts: Vec<Drawing> = (0..1000).map(|n| disc(&format!("Part {n}"), &["eye"])).collect();
    let list = listed("# nothing is fitted\n", &parts).unwrap();
    assert_eq!(list.rows.len(), 1000);
}

#[test]
fn an_assembly_of_many_parts_has_them_made_first_and_one_of_too_many_joins_is_refused() {
    let one = |count: usize| {
        let mut parts = vec![disc("Frame", &["eye"])];
        let mut text = String::new();
        for n in 0..count {
            parts.push(disc(&format!("Pin {n}"), &["end"]));
            text += &format!(
                "[[join]]\nname = \"fit {n}\"\nparts = [\"Frame\", \"Pin {n}\"]\nhow = \"pressed\"\n"
            );
        }
        (parts, text)
    };
    let (parts, text) = one(100);
    let list = listed(&text, &parts).unwrap();
    assert_eq!(list.rows.len(), 201);
    assert!(at(&list, "Press together: fit 0") >= 101, "every part is made first");
    assert!(list.proofs[0].contains("stages"), "{:?}", list.proofs);
    let (parts, text) = one(130);
    let told = faults(listed(&text, &parts));
    assert!(told.contains("too large to be planned") && told.contains("sub-assembly"), "{told}");
}
