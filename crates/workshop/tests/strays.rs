//! How far results of a mechanism stray, against closed forms, and what is wrong with what is
//! said of it; what a size that is made alone does.

use std::num::NonZeroUsize;

use workshop::drawing::read_drawing;
use workshop::linkage::{Machine, Strayed, read_mechanisms, reasons, strays};
use workshop::problem::Problem;
use workshop::stack::{Draws, Held, Which};

const DRAWS: Draws = Draws { samples: 200_000, seed: 1, threads: NonZeroUsize::MIN };

/// A crank and a crosshead, and an eccentric that drives a valve spindle, all in one line.
fn engine(throw: &str, more: &str) -> String {
    format!(
        "[[mechanism]]\nname = \"engine\"\n[mechanism.sizes]\n\"crank throw\" = \"{throw}\"\n\"rod\" = \"70 mm\"\n\
         \"travel\" = \"2 mm\"\n\"advance\" = \"30°\"\n[[mechanism.pivot]]\nname = \"shaft\"\n[[mechanism.line]]\n\
         name = \"cylinder\"\nthrough = \"shaft\"\nat = \"0°\"\n[[mechanism.crank]]\nname = \"crank\"\non = \"shaft\"\n\
         points = [{{ name = \"pin\", out = \"crank throw\", at = \"0°\" }}]\n[[mechanism.eccentric]]\nname = \"sheave\"\n\
         on = \"crank\"\nthrow = \"travel\"\nat = \"90° + advance\"\n[[mechanism.slider]]\nname = \"crosshead\"\n\
         along = \"cylinder\"\n[[mechanism.slider]]\nname = \"spindle\"\nalong = \"cylinder\"\n[[mechanism.link]]\n\
         name = \"rod\"\nfrom = \"crank: pin\"\nto = \"crosshead: centre\"\nlength = \"rod\"\n[[mechanism.link]]\n\
         name = \"strap\"\nfrom = \"crank: sheave\"\nto = \"spindle: centre\"\nlength = \"40 mm\"\n\
         [[mechanism.near]]\npoint = \"crosshead: centre\"\nat = [\"80 mm\", \"0 mm\"]\n[[mechanism.near]]\n\
         point = \"spindle: centre\"\nat = [\"40 mm\", \"0 mm\"]\n[[mechanism.valve]]\nname = \"valve\"\n\
         piston = \"crosshead\"\nvalve = \"spindle\"\nlap = \"1 mm\"\nport = \"1 mm\"\nmid = \"40 mm\"\n{more}"
    )
}

fn read(text: &str, parts: &[Held]) -> (Vec<Machine>, Vec<Problem>) {
    read_mechanisms("mechanism.toml", text, parts)
}

fn strayed(text: &str) -> Vec<Strayed> {
    let (machines, faults) = read(text, &[]);
    assert!(faults.is_empty(), "{faults:#?}");
    let told = machines[0].told().unwrap();
    let (all, faults) = strays(&machines[0], &told, &[], DRAWS);
    assert!(faults.is_empty(), "{faults:#?}");
    all.into_iter().filter(|one| one.which == Which::Drawn).collect()
}

/// A stroke is twice the throw, and a pin that lies anywhere in its bore adds half its
/// clearance at either dead centre: 2 × 0.05 + 2 × 0.02 either way. The variance of an even
/// law is its width squared over 12, that of a pin in a circle a quarter of the radius squared.
#[test]
fn a_stroke_strays_by_its_throw_and_by_its_pin_at_both_dead_centres() {
    let all = strayed(&engine(
        "20 mm",
        "[[mechanism.kept]]\nsize = \"crank throw\"\nwithin = \"0.05 mm\"\nlies = \"evenly\"\n\
         [[mechanism.play]]\njoint = \"rod: first end\"\nclear = [\"0.04 mm\", \"0.04 mm\"]\n\
         [[mechanism.spread]]\nresult = \"stroke of crosshead\"\nleast = \"39.9 mm\"\nmost = \"40.1 mm\"\n",
    ));
    assert_eq!(all.len(), 1);
    let one = &all[0];
    assert!((one.spread.worst.least - 39.86).abs() < 1e-9 && (one.spread.worst.most - 40.14).abs() < 1e-9);
    let variance = 4.0 * 0.1_f64.powi(2) / 12.0 + 2.0 * 0.02_f64.powi(2) / 4.0;
    assert!((one.spread.deviation - variance.sqrt()).abs() < 1e-9, "{}", one.spread.deviation);
    assert!((one.spread.root_sum_square - (0.01_f64 + 2.0 * 0.0004).sqrt()).abs() < 1e-9);
    assert_eq!(one.members.len(), 3);
    assert_eq!(one.members[0].name, "crank throw");
    assert!((one.members[0].share - 4.0 * 0.01 / 12.0 / variance).abs() < 1e-9);
    // Beyond 0.1 lies only what the pins add to the throw at its limits.
    assert!(one.trial.good() > 0.9 && one.trial.good() < 1.0);
    let figure = |what: &str| one.figures.iter().find(|f| f.name.ends_with(what)).unwrap();
    assert_eq!(figure("worst case").shown, "39.860 mm to 40.140 mm");
    assert_eq!(figure("at its worst").shown, "0.0400 mm too little or 0.0400 mm too much");
}

/// At the dead centre the eccentric's pin stands 2 cos 30° off the line, so its rod lies at
/// asin(2 cos 30° / 40) to it and passes a push along itself on by one over the cosine.
#[test]
fn a_lead_strays_by_the_strap_along_its_rod() {
    let all = strayed(&engine(
        "20 mm",
        "[[mechanism.play]]\njoint = \"strap: first end\"\nclear = [\"0.02 mm\", \"0.02 mm\"]\n\
         [[mechanism.spread]]\nresult = \"lead, head end\"\n",
    ));
    let sine = 2.0 * 30_f64.to_radians().cos() / 40.0;
    let adds = 0.01 / (1.0 - sine * sine).sqrt();
    let one = &all[0];
    let middle = 0.5 * (one.spread.worst.least + one.spread.worst.most);
    assert!((one.spread.worst.most - middle - adds).abs() < 1e-9, "{:?} {adds}", one.spread.worst);
    assert_eq!(one.members.len(), 1);
    assert!(one.exact.iter().any(|name| name == "travel"), "{:?}", one.exact);
}

/// A share of the stroke is taken at three moments. Against differences: the pin moved along
/// and across at one moment after the other by other sizes of the same engine.
#[test]
fn a_cut_off_strays_as_its_sizes_and_pins_do() {
    let all = strayed(&engine(
        "20 mm",
        "[[mechanism.play]]\njoint = \"rod: second end\"\nclear = [\"0.02 mm\", \"0.02 mm\"]\n\
         [[mechanism.hold]]\nresult = \"cut-off, head end\"\nwithin = \"1 %\"\n",
    ));
    // At either dead centre and at cut-off the rod's end strays along the line by 0.01 mm, and
    // at cut-off across it by as much times the tangent of the rod: of a stroke of 40 mm. The
    // dead centres count by what is left of the share on their side.
    let (machines, _) = read(&engine("20 mm", ""), &[]);
    let told = machines[0].told().unwrap();
    let value = |name: &str| told[0].drawn.results.iter().find(|r| r.asked.name == name).unwrap().value;
    let (share, angle) = (value("cut-off, head end"), value("angle of cut-off, head end"));
    let sine = 20.0 * angle.sin() / 70.0;
    let at_cut_off = 0.01 / 40.0 / (1.0 - sine * sine).sqrt();
    let centres = 0.01 / 40.0 * (share + (1.0 - share));
    let adds = 0.5 * (all[0].spread.worst.most - all[0].spread.worst.least);
    assert!((adds - at_cut_off - centres).abs() < 1e-9, "{adds} {at_cut_off} {centres}");
}

#[test]
fn what_is_said_wrongly_is_told_where_it_stands() {
    for (more, words) in [
        ("[[mechanism.play]]\njoint = \"rod: frist end\"\nclear = \"0.02 mm\"\n", "rod: first end"),
        ("[[mechanism.play]]\njoint = \"crosshead: centre\"\nclear = \"-0.02 mm\"\n", "nought or more"),
        ("[[mechanism.play]]\njoint = \"rod: first end\"\n", "pin"),
        ("[[mechanism.play]]\njoint = \"rod: first end\"\npin = \"Rod: pin\"\nbore = \"Rod: bore\"\n", "Rod"),
        ("[[mechanism.kept]]\nsize = \"advanse\"\nwithin = \"1°\"\n", "advance"),
        ("[[mechanism.kept]]\nsize = \"advance\"\nwithin = \"1 mm\"\n", "write an angle"),
        ("[[mechanism.kept]]\nsize = \"advance\"\nwithin = \"1°\"\nlies = \"oddly\"\n", "evenly"),
        ("[[mechanism.spread]]\nresult = \"lead, head end\"\nleast = \"1 mm\"\nmost = \"0 mm\"\n", "lower"),
    ] {
        let (_, faults) = read(&engine("20 mm", more), &[]);
        let told = faults.iter().any(|f| f.to_string().contains(words) && f.place().contains("line"));
        assert!(told, "{more}: {faults:#?}");
    }
    let (machines, _) = read(&engine("20 mm", "[[mechanism.spread]]\nresult = \"leed, head end\"\n"), &[]);
    let told = machines[0].told().unwrap();
    let (_, faults) = strays(&machines[0], &told, &[], DRAWS);
    assert!(faults[0].remedy().unwrap().contains("lead, head end"), "{faults:#?}");
}

/// A size of a part strays between the limits of its own file: ± 0.2 mm of the class
/// medium for 6 to 30 mm (ISO 2768-1), seen twice in the stroke.
#[test]
fn a_size_of_a_part_strays_between_its_own_limits() {
    let plain = read_drawing(
        "crank.toml",
        "part = \"Crank\"\nunit = \"mm\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"medium\"\n[body]\nkind = \"rectangle\"\n\
         width = 60\nheight = 20\nthickness = 8\ndatum = \"centre\"\n[[feature]]\nname = \"shaft bore\"\nkind = \"hole\"\n\
         diameter = 8\nplace = [\"datum\"]\n[[feature]]\nname = \"pin bore\"\nkind = \"hole\"\ndiameter = 6\n\
         place = [\"20 right of shaft bore\", \"level with shaft bore\"]\n",
    )
    .unwrap();
    let text = engine(
        "Crank: pin bore: right of shaft bore",
        "[[mechanism.spread]]\nresult = \"stroke of crosshead\"\n",
    );
    let held = [Held { drawing: &plain, metric: None }];
    let (machines, faults) = read(&text, &held);
    assert!(faults.is_empty(), "{faults:#?}");
    let told = machines[0].told().unwrap();
    assert!(told[0].measured.is_none() && told[0].made.is_none());
    let (all, _) = strays(&machines[0], &told, &held, DRAWS);
    let worst = all[0].spread.worst;
    assert!((worst.least - 39.6).abs() < 1e-9 && (worst.most - 40.4).abs() < 1e-9, "{worst:?}");
    assert!(all[0].members[0].name.starts_with("Crank"), "{:?}", all[0].members);
    let figures = reasons(&machines[0], &told, None);
    let stroke = figures.iter().find(|figure| figure.name == "engine: stroke of crosshead").unwrap();
    assert_eq!(stroke.shown, "40.000 mm");
    assert!(stroke.why.because[0].statement.contains("pin bore"), "{:?}", stroke.why);
}

/// What is proven of a turn is said in words, with no stretch left over for this engine.
#[test]
fn a_turn_is_proven_in_words() {
    let (machines, _) = read(&engine("20 mm", ""), &[]);
    let proof = machines[0].told().unwrap()[0].drawn.proof();
    assert!(proof[0].contains("nothing locks and no two ways part anywhere"), "{proof:?}");
    assert!(proof[1].contains("turns back nowhere but where it was found"), "{proof:?}");
}
