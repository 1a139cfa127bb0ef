//! The trial parts and benches.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, read_drawing};

/// Every trial part: its name, and its file.
pub const PARTS: &[(&str, &str)] = &[
    ("valve-lever", include_str!("../../../../examples/kittiwake/parts/valve-lever.toml")),
    ("gear-cover", include_str!("../../../../examples/kittiwake/parts/gear-cover.toml")),
    ("pump-bracket", include_str!("../../../../examples/kittiwake/parts/pump-bracket.toml")),
    ("valve-spindle", include_str!("../../../../examples/kittiwake/parts/valve-spindle.toml")),
    ("angle-bracket", include_str!("../parts/angle-bracket.toml")),
    ("back-boss-lever", include_str!("../parts/back-boss-lever.toml")),
    ("back-crank", include_str!("../parts/back-crank.toml")),
    ("barred-plate", include_str!("../parts/barred-plate.toml")),
    ("bearing-cap", include_str!("../parts/bearing-cap.toml")),
    ("bell-crank", include_str!("../parts/bell-crank.toml")),
    ("bush", include_str!("../parts/bush.toml")),
    ("cast-block", include_str!("../parts/cast-block.toml")),
    ("cast-bracket", include_str!("../parts/cast-bracket.toml")),
    ("cylinder-cover", include_str!("../parts/cylinder-cover.toml")),
    ("eccentric-sheave", include_str!("../parts/eccentric-sheave.toml")),
    ("flatted-cam", include_str!("../parts/flatted-cam.toml")),
    ("flatted-spindle", include_str!("../parts/flatted-spindle.toml")),
    ("flywheel", include_str!("../parts/flywheel.toml")),
    ("flywheel-disc", include_str!("../parts/flywheel-disc.toml")),
    ("fork", include_str!("../parts/fork.toml")),
    ("four-boss-frame", include_str!("../parts/four-boss-frame.toml")),
    ("gland", include_str!("../parts/gland.toml")),
    ("knurled-knob", include_str!("../parts/knurled-knob.toml")),
    ("long-link", include_str!("../parts/long-link.toml")),
    ("long-plate", include_str!("../parts/long-plate.toml")),
    ("low-clamp", include_str!("../parts/low-clamp.toml")),
    ("mated-arm", include_str!("../parts/mated-arm.toml")),
    ("mixed-units", include_str!("../parts/mixed-units.toml")),
    ("nosed-link", include_str!("../parts/nosed-link.toml")),
    ("plain-latch", include_str!("../parts/plain-latch.toml")),
    ("plain-pin", include_str!("../parts/plain-pin.toml")),
    ("pocket-plate", include_str!("../parts/pocket-plate.toml")),
    ("rebated-block", include_str!("../parts/rebated-block.toml")),
    ("sieve-disc", include_str!("../parts/sieve-disc.toml")),
    ("slanting-lever", include_str!("../parts/slanting-lever.toml")),
    ("slit-down", include_str!("../parts/slit-down.toml")),
    ("slotted-plate", include_str!("../parts/slotted-plate.toml")),
    ("square-plug", include_str!("../parts/square-plug.toml")),
    ("squared-arm", include_str!("../parts/squared-arm.toml")),
    ("stepped-roller", include_str!("../parts/stepped-roller.toml")),
    ("stop-lever", include_str!("../parts/stop-lever.toml")),
    ("tie-rod", include_str!("../parts/tie-rod.toml")),
    ("tiny-toggle", include_str!("../parts/tiny-toggle.toml")),
    ("top-step-block", include_str!("../parts/top-step-block.toml")),
    ("turned-crank", include_str!("../parts/turned-crank.toml")),
    ("two-step-lever", include_str!("../parts/two-step-lever.toml")),
    ("union", include_str!("../parts/union.toml")),
    ("upright-clamp", include_str!("../parts/upright-clamp.toml")),
    ("valve-chest-block", include_str!("../parts/valve-chest-block.toml")),
    ("wide-slot", include_str!("../parts/wide-slot.toml")),
];

/// Every trial bench: its name, and its file.
pub const BENCHES: &[(&str, &str)] = &[
    ("kittiwake", include_str!("../../../../examples/kittiwake/bench.toml")),
    ("empty", include_str!("../benches/empty.toml")),
    ("everything", include_str!("../benches/everything.toml")),
    ("inch-drills", include_str!("../benches/inch-drills.toml")),
    ("inch-handwheels", include_str!("../benches/inch-handwheels.toml")),
    ("no-lathe", include_str!("../benches/no-lathe.toml")),
    ("no-rotary", include_str!("../benches/no-rotary.toml")),
];

/// The trial benches without a mill.
pub const BY_HAND: &[(&str, &str)] = &[
    ("drill-press", include_str!("../benches/drill-press.toml")),
    ("hand-tools", include_str!("../benches/hand-tools.toml")),
];

/// A part by its name.
pub fn drawing(name: &str) -> Drawing {
    let (_, text) = PARTS.iter().find(|(part, _)| *part == name).expect("a trial part has that name");
    read_drawing(name, text).unwrap_or_else(|faults| panic!("{name}: {faults:?}"))
}

/// A bench by its name.
pub fn bench(name: &str) -> Bench {
    let (_, text) =
        BENCHES.iter().chain(BY_HAND).find(|(bench, _)| *bench == name).expect("a trial bench has that name");
    read_bench(name, text).unwrap_or_else(|faults| panic!("{name}: {faults:?}"))
}
