//! What parts stated before never changes what is chosen for them.

use std::fs;
use std::path::Path;

use proptest::prelude::*;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, Solved, read_drawing};
use workshop::metric::{Memory, Piece, together};
use workshop::plan::possible;

/// Parts of the demo that hang together, one that stands alone, and one with curved places
/// and walls in space.
const PARTS: [&str; 4] = ["crank-pin", "crank", "gear-cover", "pump-bracket"];

fn text(file: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake");
    fs::read_to_string(folder.join(file)).expect("the demo is there")
}

fn read(text: &str) -> Option<(Drawing, Solved)> {
    let drawing = read_drawing("part.toml", text).ok()?;
    let solved = possible(&drawing).ok()?;
    Some((drawing, solved))
}

fn told(parts: &[(Drawing, Solved)], bench: &Bench, memory: &mut Memory) -> String {
    let pieces: Vec<Piece> = parts.iter().map(|(drawing, solved)| Piece { drawing, solved }).collect();
    format!("{:#?}", together(&pieces, bench, memory))
}

/// The text with one of its digits another.
fn with_digit(text: &str, which: usize, digit: u8) -> String {
    let digits: Vec<usize> = text.bytes().enumerate().filter(|b| b.1.is_ascii_digit()).map(|b| b.0).collect();
    let mut bytes = text.as_bytes().to_vec();
    bytes[digits[which % digits.len()]] = b'0' + digit;
    String::from_utf8(bytes).expect("a digit for a digit")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    /// One memory through a row of changes to the parts and the bench, some taken back
    /// again, against a fresh memory each time.
    #[test]
    fn what_is_chosen_does_not_depend_on_what_was_stated_before(
        edits in prop::collection::vec((0..=PARTS.len(), any::<prop::sample::Index>(), 0..10_u8, any::<bool>()), 1..5),
    ) {
        let mut texts: Vec<String> = PARTS.iter().map(|part| text(&format!("parts/{part}.toml"))).collect();
        let mut bench = text("bench.toml");
        let mut memory = Memory::new();
        for (which, place, digit, back) in edits {
            let before = (texts.clone(), bench.clone());
            let changed = texts.get_mut(which).unwrap_or(&mut bench);
            *changed = with_digit(changed, place.index(10_000), digit);
            let parts: Option<Vec<(Drawing, Solved)>> = texts.iter().map(|text| read(text)).collect();
            if let (Some(parts), Ok(bench)) = (parts, read_bench("bench.toml", &bench)) {
                let warm = told(&parts, &bench, &mut memory);
                prop_assert_eq!(&warm, &told(&parts, &bench, &mut Memory::new()));
                prop_assert_eq!(&warm, &told(&parts, &bench, &mut memory), "asked again");
                if !back {
                    continue;
                }
            }
            (texts, bench) = before;
        }
    }
}
