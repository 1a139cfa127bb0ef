//! One aid for several parts, and each aid before the part that needs it.

use workshop::bench::read_bench;
use workshop::drawing::{Drawing, read_drawing};
use workshop::make_list::{Made, make_list};
use workshop::plan::{Plan, plan};
use workshop::sheet::{MakeKind, MakeList};

const BENCH: &str = include_str!("../../../../examples/kittiwake/bench.toml");

/// A lever whose ends are rounded on the rotary table, so many millimetres thick.
fn lever(name: &str, bore: &str, thickness: &str) -> Drawing {
    let text = format!(
        "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n\
         general_tolerance = \"coarse\"\n[body]\nkind = \"bosses\"\naround = [\"left\", \"right\"]\nthickness = \"{thickness}\"\n\
         [[feature]]\nname = \"left\"\nkind = \"boss\"\nradius = \"11\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"right\"\nkind = \"boss\"\nradius = \"10\"\nplace = [\"45 right of left\", \"level with left\"]\n\
         [[feature]]\nname = \"left bore\"\nkind = \"hole\"\ndiameter = {{ is = \"{bore}\", pin = \"{bore} mm\" }}\nfinish = \"reamed\"\nplace = [\"concentric with left\"]\n\
         [[feature]]\nname = \"right bore\"\nkind = \"hole\"\ndiameter = {{ is = \"{bore}\", pin = \"{bore} mm\" }}\nfinish = \"reamed\"\nplace = [\"concentric with right\"]\n"
    );
    read_drawing(&format!("{name}.toml"), &text).unwrap()
}

fn listed(parts: &[Drawing]) -> (Vec<Plan>, MakeList) {
    let bench = read_bench("bench.toml", BENCH).unwrap();
    let plans: Vec<Plan> = parts.iter().map(|part| plan(part, &bench).unwrap()).collect();
    let drawings: Vec<&Drawing> = parts.iter().collect();
    let fitting = workshop::assembly::resolve(None, &drawings, &[]).unwrap();
    let made: Vec<Made> = parts
        .iter()
        .zip(&plans)
        .map(|(drawing, plan)| Made { drawing, plan: Some(plan), fault: None })
        .collect();
    let list = make_list(&made, &fitting, &bench).unwrap();
    (plans, list)
}

fn mandrels(list: &MakeList) -> Vec<usize> {
    let aids = list.rows.iter().enumerate().filter(|(_, row)| row.kind == MakeKind::Aid);
    aids.filter(|(_, row)| row.what.contains("mandrel")).map(|(n, _)| n).collect()
}

#[test]
fn one_stub_mandrel_serves_both_bores_of_two_levers_alike() {
    let parts = [lever("Long lever", "8", "8"), lever("Short lever", "8", "8")];
    let (plans, list) = listed(&parts);
    let asked = plans.iter().flat_map(|plan| &plan.aids).filter(|aid| aid.name.contains("mandrel")).count();
    assert!(asked >= 2, "each lever asks for a mandrel: {asked}");
    let made = mandrels(&list);
    assert!(made.len() < asked, "{} are made where {asked} are asked for", made.len());
    assert!(list.rows[made[0]].with.contains("also used"), "{:?}", list.rows[made[0]]);
    assert!(list.proofs.iter().any(|words| words.contains("aids serve where")), "{:?}", list.proofs);
    for (n, row) in list.rows.iter().enumerate().filter(|(_, row)| row.kind == MakeKind::Part) {
        assert!(made[0] < n, "the mandrel is made before {}", row.what);
    }
}

#[test]
fn another_bore_wants_another_mandrel() {
    let (plans, list) = listed(&[lever("Long lever", "8", "8"), lever("Short lever", "6", "8")]);
    let sizes = |plan: &Plan| plan.aids.iter().map(|aid| aid.serves.same.clone()).collect::<Vec<_>>();
    assert!(!sizes(&plans[0]).iter().any(|same| sizes(&plans[1]).contains(same)));
    assert!(mandrels(&list).len() >= 2, "{:#?}", list.rows);
}

#[test]
fn work_more_than_twice_as_thick_wants_a_mandrel_of_its_own() {
    let (_, same) = listed(&[lever("Thin lever", "8", "8"), lever("Thick lever", "8", "10")]);
    let (_, thicker) = listed(&[lever("Thin lever", "8", "4"), lever("Thick lever", "8", "12")]);
    assert!(mandrels(&same).len() < mandrels(&thicker).len(), "{:#?}\n{:#?}", same.rows, thicker.rows);
}
