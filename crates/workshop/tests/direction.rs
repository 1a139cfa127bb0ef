//! The direction of the core: a module uses only what stands above it.

use std::fs;
use std::path::{Path, PathBuf};

/// The modules from the top down; those on one line know nothing of each other.
const LEVELS: &[&[&str]] = &[
    &["abreast", "problem"],
    &["why"],
    &["document", "measure"],
    &["edit"],
    &["tables", "geometry"],
    &["bench", "drawing"],
    &["assembly", "scan", "settings"],
    &["exchange"],
    &["metric"],
    &["stack"],
    &["linkage"],
    &["order"],
    &["sheet"],
    &["aids"],
    &["plan"],
    &["make_list"],
    &["desk"],
];

fn level(module: &str) -> usize {
    LEVELS
        .iter()
        .position(|names| names.contains(&module))
        .unwrap_or_else(|| panic!("`{module}` has no level"))
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("the folder can be read").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn no_module_reads_down_or_beside() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut looked_at = 0;
    for file in files {
        let place = file.strip_prefix(&root).expect("below the root");
        let first = place.components().next().expect("a file has a name").as_os_str().to_string_lossy();
        let own = first.trim_end_matches(".rs").to_owned();
        if own == "lib" {
            continue;
        }
        let text = fs::read_to_string(&file).expect("a source file is text");
        for (number, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            for used in code.match_indices("crate::").map(|(at, _)| &code[at + "crate::".len()..]) {
                let module: String =
                    used.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
                if module.is_empty() || module == own {
                    continue;
                }
                looked_at += 1;
                assert!(
                    level(&module) < level(&own),
                    "{}:{}: `{own}` uses `{module}`, which stands below or beside it",
                    place.display(),
                    number + 1
                );
            }
        }
    }
    assert!(looked_at > 100, "the test found only {looked_at} uses: it no longer reads the sources");
}
