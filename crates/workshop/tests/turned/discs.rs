//! Small discs are turned from round bar and parted off, where a bar is there or no plate is.

use super::*;
use workshop::order::Machine;

/// A cover of 44 by 6 with its bore and three stud holes on 34, the first at 30° above the right.
const COVER: &str = r#"
part = "Small cover"
unit = "mm"
material = "brass"
[body]
kind = "disc"
diameter = "44"
thickness = "6"
[[feature]]
name = "bore"
kind = "hole"
diameter = "8"
finish = "reamed"
place = "datum"
[[feature]]
name = "studs"
kind = "pitch circle"
holes = 3
pitch_circle = "34"
first = "30°"
diameter = "3"
place = "datum"
"#;

const RACK: &str = "[lathe]\nswing = \"180 mm\"\nbetween_centres = \"350 mm\"\n[rotary_table]\nratio = 72\n\
    reamers = [\"8 mm H7\"]\n";

fn on(stock: &str) -> Bench {
    let text = format!("reamers = [\"8 mm H7\"]\n{}{stock}", RACK.replace("reamers = [\"8 mm H7\"]\n", ""));
    read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn stock(form: &str) -> String {
    format!("[[stock]]\nmaterial = \"brass\"\n{form}\n")
}

fn made(text: &str, stock: &str) -> Plan {
    plan(&read(text), &on(stock)).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn parted_off(plan: &Plan) -> bool {
    plan.order.steps.iter().any(|step| step.work == Work::PartOff)
}

#[test]
fn a_small_cover_is_turned_from_bar_and_then_drilled() {
    let cover = made(COVER, "");
    assert!(parted_off(&cover));
    let machines: Vec<Machine> = cover.order.setups.iter().map(|setup| setup.machine).collect();
    assert_eq!(machines, [Machine::Lathe, Machine::Lathe, Machine::Mill]);
    assert!(cover.order.assumed.iter().any(|words| words.contains("its front is the right end")));
    // No edge is squared that would be turned away.
    assert!(!cover.order.steps.iter().any(|step| step.work == Work::SquareEdges));
}

/// The holes lie where the drawing has them: 17 from the middle, an eighth of a turn and two thirds apart.
#[test]
fn its_holes_lie_where_the_drawing_has_them() {
    let cover = made(COVER, "");
    let studs = row(&cover, "drill studs");
    let value = |label: &str| {
        let mut all = studs.sets.iter().filter(|figure| figure.label() == label);
        let shown = &all.next().unwrap_or_else(|| panic!("no {label} in {:?}", studs.sets)).shown;
        shown.trim_end_matches(" mm").replace('\u{2212}', "-").parse::<f64>().unwrap()
    };
    for hole in 1..=3 {
        let [x, y] = ["X", "Y"].map(|axis| value(&format!("{axis}, hole {hole}")));
        assert!((x.hypot(y) - 17.0).abs() < 0.01, "{x} {y}");
    }
}

/// What the rack has decides, and the file before it.
#[test]
fn a_disc_comes_from_what_is_there() {
    let plate = stock("flat = [\"6 mm\"]\nwidth = \"100 mm\"");
    let bar = stock("round = [\"45 mm\"]");
    assert!(!parted_off(&made(COVER, &plate)), "a plate is there and no bar");
    assert!(parted_off(&made(COVER, &format!("{plate}{bar}"))), "a bar is there");
    let said = |form: &str, size: &str| {
        COVER.replace(
            "[[feature]]\nname = \"bore\"",
            &format!("[stock]\nform = \"{form}\"\nsize = \"{size}\"\n[[feature]]\nname = \"bore\""),
        )
    };
    assert!(!parted_off(&made(&said("plate", "6"), &bar)), "the file has it cut from plate");
    assert!(parted_off(&made(&said("round bar", "45"), &plate)), "the file has it turned from bar");
    let thin = plan(&read(&said("round bar", "40")), &on("")).expect_err("too thin a bar");
    assert!(told(&thin).contains("it is 44 mm across, and the bar only 40 mm"), "{}", told(&thin));
}

/// Wider than a parting tool reaches to the middle of, it is rounded from plate as ever.
#[test]
fn a_wide_disc_is_cut_from_plate() {
    let wide = COVER.replace("\"44\"", "\"52\"").replace("\"34\"", "\"40\"");
    assert!(!parted_off(&made(&wide, "")));
    // Nor is anything that no turned part has.
    let slit =
        "[[feature]]\nname = \"slit\"\nkind = \"slit\"\nwidth = \"1\"\ninto = \"bore\"\ntoward = \"left\"\n";
    assert!(!parted_off(&made(&format!("{COVER}{slit}"), "")));
}
