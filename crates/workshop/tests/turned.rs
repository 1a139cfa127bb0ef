//! Parts turned from bar: read, placed, doubted, made metric, ordered and set.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, read_drawing};
use workshop::plan::plan;

fn bench(text: &str) -> Bench {
    read_bench("bench.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn drawing(name: &str) -> Drawing {
    let text = std::fs::read_to_string(format!("tests/parts/{name}.toml")).unwrap();
    read_drawing(name, &text).unwrap_or_else(|faults| {
        panic!("{}", faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
    })
}

#[test]
fn shows() {
    let bench = bench(include_str!("benches/everything.toml"));
    let only = std::env::var("PART").unwrap_or_default();
    for name in [
        "knurled-knob",
        "eccentric-sheave",
        "turned-crank",
        "union",
        "gland",
        "flywheel",
        "flatted-spindle",
        "square-plug",
    ] {
        if !only.is_empty() && only != name {
            continue;
        }
        println!("===== {name}");
        match plan(&drawing(name), &bench) {
            Err(faults) => faults.iter().for_each(|f| println!("{f}")),
            Ok(plan) => {
                for change in &plan.cover.changes {
                    println!(
                        "  {} {} -> {} by {}",
                        change.name, change.written, change.chosen, change.made_with
                    );
                }
                for s in &plan.cover.assumed {
                    println!("  ? {s}");
                }
                for setup in &plan.setups {
                    println!("-- {} {} | {}", setup.number, setup.title, setup.held);
                    for f in &setup.presets {
                        println!("     preset {} = {}", f.label(), f.shown);
                    }
                    for row in &setup.rows {
                        let fs = |fs: &[workshop::why::Figure]| {
                            fs.iter()
                                .map(|f| format!("{}={}", f.label(), f.shown))
                                .collect::<Vec<_>>()
                                .join("; ")
                        };
                        println!(
                            "   {} {} [{}] {} | {} | {} | {}",
                            row.number,
                            row.what,
                            row.tool,
                            row.speed.as_ref().map_or("", |f| &f.shown),
                            fs(&row.sets),
                            fs(&row.depth),
                            row.check.as_ref().map_or(String::new(), |f| format!(
                                "{}={}",
                                f.label(),
                                f.shown
                            ))
                        );
                    }
                }
            }
        }
    }
}
