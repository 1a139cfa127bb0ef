//! Parts that are hardened: what is read, where it stands in the order, and what is set.

use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

const BENCH: &str = include_str!("benches/everything.toml");

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn planned(text: &str) -> Plan {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let bench = read_bench("bench.toml", BENCH).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    plan(&drawing, &bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn pawl(material: &str, harden: &str, make: u32) -> String {
    format!(
        "part = \"Pawl\"\nunit = \"mm\"\nmaterial = \"{material}\"\n{harden}\nmake = {make}\nusual_roles = true\n[body]\n\
         kind = \"rectangle\"\nwidth = \"40\"\nheight = \"20\"\nthickness = \"10\"\ndatum = \"bottom left\"\n\
         [[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = \"5\"\nplace = [\"10 right of datum\", \"8 above datum\"]\n\
         [[feature]]\nname = \"stop\"\nkind = \"tapped hole\"\nthread = \"M4\"\nplace = [\"30 right of datum\", \"8 above datum\"]\n"
    )
}

const PIN: &str = "part = \"Pin\"\nunit = \"mm\"\nmaterial = \"silver steel\"\nharden = \"purple\"\nusual_roles = true\n\
    [body]\nkind = \"turned\"\n[[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"6\"\nlength = \"20\"\n\
    [[feature]]\nname = \"head\"\nkind = \"section\"\ndiameter = \"10\"\nlength = \"8\"\n";

fn works(plan: &Plan) -> Vec<String> {
    plan.setups.iter().flat_map(|setup| &setup.rows).map(|row| row.what.clone()).collect()
}

/// Everything that cuts, then hardening, then tempering and nothing more: of a plate, of two
/// alike, and of a turned part.
#[test]
fn hardening_comes_after_the_last_cut_and_tempering_at_once() {
    for (text, temper) in [
        (pawl("gauge plate", "harden = \"straw\"", 1), "temper to straw"),
        (pawl("silver steel", "harden = \"blue\"", 2), "temper to blue"),
        (PIN.to_owned(), "temper to purple"),
    ] {
        let works = works(&planned(&text));
        let [.., last_cut, harden, last] = &works[..] else { panic!("{works:?}") };
        assert!(harden.starts_with("harden") && last.starts_with(temper), "{works:?}");
        assert!(!last_cut.contains("harden"), "{works:?}");
        assert!(works.len() > 4, "{works:?}");
    }
    let soft = works(&planned(&pawl("gauge plate", "", 1)));
    assert!(soft.iter().all(|what| !what.contains("harden") && !what.contains("temper")), "{soft:?}");
}

/// Gauge plate: 790 to 820 °C, oil; a 10 mm plate is two sixths of 6 mm begun, at 5 minutes each;
/// straw is 230 °C (suppliers' notes).
#[test]
fn heats_soak_and_quench_are_those_of_the_steel() {
    let plan = planned(&pawl("gauge plate", "harden = \"straw\"", 1));
    let rows = plan.setups.iter().flat_map(|setup| &setup.rows);
    let sets: Vec<String> =
        rows.flat_map(|row| &row.sets).map(|f| format!("{}: {}", f.label(), f.shown)).collect();
    for wanted in [
        "heat to: 790 to 820 °C, full cherry red in a dim light",
        "at heat: 10 minutes",
        "quench in: oil",
        "let down to: 230 °C, straw",
    ] {
        assert!(sets.iter().any(|set| set == wanted), "{wanted} in {sets:?}");
    }
    let cautions = plan.setups.iter().flat_map(|setup| &setup.cautions);
    assert_eq!(cautions.filter(|words| words.starts_with("Hardening:")).count(), 1);
    assert!(plan.cover.cautions.iter().any(|words| words.contains("0.05 to 0.1 mm")));
}

#[test]
fn what_does_not_harden_is_refused_with_a_way_out() {
    for (material, harden, wanted) in [
        ("mild steel", "harden = \"straw\"", "mild steel is not hardened"),
        ("brass", "harden = \"blue\"", "brass is not hardened"),
        ("silver steel", "harden = \"pink\"", "`pink` is not known for `harden`"),
    ] {
        let faults = read_drawing("part.toml", &pawl(material, harden, 1)).unwrap_err();
        assert!(faults.iter().any(|f| f.what().contains(wanted)), "{}", told(&faults));
        assert!(faults.iter().all(|f| f.remedy().is_some()), "{}", told(&faults));
    }
}

/// What fits closely is brought to size once it is hard, as an operation of its own after
/// tempering; what only clears something is as it is.
#[test]
fn close_fits_are_lapped_once_hard() {
    let eye = "name = \"eye\"\nkind = \"hole\"\ndiameter = \"5\"";
    let text = pawl("gauge plate", "harden = \"straw\"", 1);
    let lapped = |text: &str| -> Vec<(String, Vec<String>, String)> {
        let plan = planned(text);
        let rows: Vec<_> = plan.setups.iter().flat_map(|setup| &setup.rows).collect();
        let tempered = rows.iter().position(|row| row.what.starts_with("temper")).unwrap();
        assert!(rows[..tempered].iter().all(|row| !row.what.starts_with("lap ")), "{:?}", works(&plan));
        assert!(rows[tempered + 1..].iter().all(|row| row.what.starts_with("lap ")), "{:?}", works(&plan));
        let laps = rows[tempered + 1..].iter();
        laps.map(|row| {
            let sets = row.sets.iter().map(|set| set.shown.clone()).collect();
            (row.what.clone(), sets, row.check.as_ref().unwrap().shown.clone())
        })
        .collect()
    };
    assert_eq!(lapped(&text), [], "a drilled hole is as it is");
    let reamed = text.replace(eye, &format!("{eye}\nfinish = \"reamed\""));
    let [(what, sets, check)] = &lapped(&reamed)[..] else { panic!("{:?}", lapped(&reamed)) };
    assert!(what.starts_with("lap eye 5 mm, hard"), "{what}");
    assert_eq!((sets[0].as_str(), check.as_str()), ("as its reamer leaves it", "5 mm"));
    let pin = format!("{PIN}[[mate]]\nname = \"bush\"\nin = \"shank\"\nsize = \"6\"\nfit = \"running\"\n");
    let pin = lapped(&pin);
    assert!(
        pin.len() == 1 && pin[0].0.starts_with("lap shank") && pin[0].1[0] == "0.08 mm over size",
        "{pin:?}"
    );
}

/// A few hundredths are left on a turned fit, as is common practice: it is supposed, and told, unless the
/// part file says how much. What is not hardened, or fits nothing, is turned to its size.
#[test]
fn a_turned_fit_keeps_what_is_lapped_off_once_hard() {
    let mate = "[[mate]]\nname = \"bush\"\nin = \"shank\"\nsize = \"6\"\nfit = \"running\"\n";
    let pin = format!("{PIN}{mate}").replace("\"6\"", "\"7\"");
    let turned = |text: &str| {
        let plan = planned(text);
        let rows = plan.setups.iter().flat_map(|setup| &setup.rows);
        let row = rows.into_iter().find(|row| row.what.starts_with("turn shank")).unwrap();
        let supposed = plan.cover.assumed.iter().any(|words| words.contains("is left on shank for lapping"));
        (row.what.clone(), row.check.as_ref().unwrap().shown.clone(), supposed)
    };
    let (what, check, supposed) = turned(&pin);
    assert!(
        what.contains("7.08 mm") && check.contains("0.08 mm over its size for lapping") && supposed,
        "{what}: {check}"
    );
    let (what, check, supposed) = turned(&pin.replace("harden =", "lapping = \"0.05 mm\"\nharden ="));
    assert!(what.contains("7.05 mm") && check.contains("0.05 mm over") && !supposed, "{what}: {check}");
    let (what, _, supposed) = turned(&pin.replace("harden = \"purple\"", ""));
    assert!(what.contains("7 mm") && !supposed, "{what}");
    let faults =
        read_drawing("part.toml", &pin.replace("harden =", "lapping = \"0.6 mm\"\nharden =")).unwrap_err();
    assert!(faults.iter().any(|f| f.what().contains("too much to lap off")), "{}", told(&faults));
}

/// A liner of soft iron: its seat is turned 0.04 over 28 and its bore left 0.04 under 20; both are lapped when
/// everything else is done, and nothing is heated.
#[test]
fn what_stays_soft_is_lapped_where_the_file_says_so() {
    let liner = "part = \"Liner\"\nunit = \"mm\"\nmaterial = \"cast iron\"\nlapping = \"0.04 mm\"\nusual_roles = true\n\
        [body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"36\"\nlength = \"8\"\n\
        [[feature]]\nname = \"seat\"\nkind = \"section\"\ndiameter = \"28\"\nlength = \"30\"\n\
        [[feature]]\nname = \"cylinder\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"20\"\nfinish = \"bored\"\n\
        [[mate]]\nname = \"jacket\"\nin = \"seat\"\nsize = \"28\"\nfit = \"locating\"\n\
        [[mate]]\nname = \"piston\"\nin = \"cylinder\"\nsize = \"20\"\nfit = \"running\"\nfixed = true\n";
    let plan = planned(liner);
    let works = works(&plan);
    let lapped = works.iter().filter(|what| what.starts_with("lap ")).count();
    assert_eq!(lapped, 2, "{works:?}");
    assert!(works[works.len() - 2..].iter().all(|what| what.starts_with("lap ")), "{works:?}");
    assert!(!works.iter().any(|what| what.contains("hard") || what.contains("temper")), "{works:?}");
    let row = |start: &str| {
        let mut rows = plan.setups.iter().flat_map(|setup| &setup.rows);
        rows.find(|row| row.what.starts_with(start)).unwrap_or_else(|| panic!("{start}: {works:?}"))
    };
    let seat = row("turn seat").check.as_ref().unwrap();
    assert!(seat.shown.contains("28.04 mm, 0.04 mm over its size for lapping"), "{}", seat.shown);
    assert!(!seat.shown.contains("hard"), "{}", seat.shown);
    let bored = row("bore cylinder").check.as_ref().unwrap();
    assert!(bored.shown.contains("19.96 mm, 0.04 mm left for lapping"), "{}", bored.shown);
    assert!(row("lap cylinder").sets.iter().any(|set| set.shown == "0.04 mm under size"));
    // Where nothing is said, nothing soft is lapped.
    let plain = planned(&liner.replace("lapping = \"0.04 mm\"\n", ""));
    assert!(!self::works(&plain).iter().any(|what| what.starts_with("lap ")));
}
