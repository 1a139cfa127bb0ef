//! Aids as parts of their own: each in the order that its part file gets from the planner.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Drawing, read_drawing};
use workshop::plan::plan;
use workshop::sheet::AidSheet;

const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");
const PARTS: [&str; 4] = [
    include_str!("../../../examples/kittiwake/parts/valve-lever.toml"),
    include_str!("../../../examples/kittiwake/parts/gear-cover.toml"),
    include_str!("../../../examples/kittiwake/parts/pump-bracket.toml"),
    include_str!("../../../examples/kittiwake/parts/valve-spindle.toml"),
];

fn bench() -> Bench {
    read_bench("bench.toml", BENCH).unwrap()
}

fn read(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn aids(text: &str) -> Vec<AidSheet> {
    plan(&read(text), &bench()).unwrap().aids
}

fn of<'a>(aids: &'a [AidSheet], name: &str) -> &'a AidSheet {
    let names: Vec<&str> = aids.iter().map(|aid| aid.name.as_str()).collect();
    aids.iter().find(|aid| aid.name.starts_with(name)).unwrap_or_else(|| panic!("{name} among {names:?}"))
}

fn steps(aid: &AidSheet) -> Vec<Vec<String>> {
    aid.own.order.iter().map(|line| line.steps.clone()).collect()
}

/// What stands in one list before something else in it.
fn before(steps: &[String], first: &str, then: &str) -> bool {
    let at = |words: &str| steps.iter().position(|step| step.starts_with(words));
    matches!((at(first), at(then)), (Some(a), Some(b)) if a < b)
}

#[test]
fn every_aid_of_a_part_has_an_order_and_its_minutes_come_from_it() {
    for text in PARTS {
        for aid in aids(text) {
            assert!(aid.own.unplanned.is_none(), "{}: {:?}\n{:?}", aid.name, aid.own.unplanned, aid.own.file);
            let minutes: u64 = aid.own.order.iter().map(|line| line.minutes).sum();
            assert_eq!(aid.minutes(), minutes, "{}", aid.name);
            assert!(minutes > 0, "{}", aid.name);
            read(aid.own.file.as_ref().unwrap());
        }
    }
}

/// Turned about one axis without being moved, they run true to each other: common practice.
#[test]
fn the_stub_and_the_spigot_of_a_table_mandrel_are_turned_in_one_holding() {
    let lever = aids(PARTS[0]);
    let stub = of(&lever, "Stub mandrel for the pivot bore");
    let [first, ..] = &steps(stub)[..] else { panic!("{:?}", stub.own) };
    for what in ["turn stub 7.99", "turn spigot", "turn shoulder", "turn flange"] {
        assert!(first.iter().any(|step| step.starts_with(what)), "{what}: {first:?}");
        assert!(before(first, what, "part off"), "{what}: {first:?}");
    }
    let last: Vec<String> = steps(stub).into_iter().skip(1).flatten().collect();
    assert!(last.iter().all(|step| !step.starts_with("turn ")), "{last:?}");
}

#[test]
fn a_plate_is_squared_and_its_seats_are_finished_before_the_part() {
    let lever = aids(PARTS[0]);
    let plate = of(&lever, "Bolt-on plate");
    let all: Vec<String> = steps(plate).concat();
    for what in ["mill two edges square", "mill the other two edges to size", "ream seat of pivot bore"] {
        assert!(all.iter().any(|step| step.starts_with(what)), "{what}: {all:?}");
    }
    assert!(before(&all, "drill thread below pivot bore", "tap thread below pivot bore"), "{all:?}");
    for bore in ["pivot bore", "rod bore"] {
        let stud = of(&lever, &format!("Hollow stud for the {bore}"));
        assert!(steps(stud).concat().iter().any(|step| step.starts_with("turn stud")), "{:?}", stud.own);
        let words = plate.steps.join(" ");
        assert!(words.contains(&format!("Make the hollow stud for the {bore} by its own sheet")), "{words}");
    }
}

/// A stub as an aid's own file writes it, 8 mm in a shoulder of 14.
fn stub(more: &str) -> String {
    format!(
        "part = \"Stub\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\nturned = \"where it stays\"\n{more}\
         [body]\nkind = \"turned\"\n[[feature]]\nname = \"shoulder\"\nkind = \"section\"\ndiameter = \"14\"\nlength = \"8\"\n\
         [[feature]]\nname = \"stub\"\nkind = \"section\"\ndiameter = \"8\"\nlength = \"5\"\n"
    )
}

#[test]
fn what_is_turned_where_it_stays_is_left_there_and_never_parted_off() {
    let made = plan(&read(&stub("")), &bench()).unwrap();
    let [only] = &made.setups[..] else { panic!("{} holdings", made.setups.len()) };
    let rows: Vec<&str> = only.rows.iter().map(|row| row.what.as_str()).collect();
    assert!(
        rows.last().unwrap().starts_with("leave it in the chuck: it is used where it stands"),
        "{rows:?}"
    );
    assert!(rows.iter().all(|row| !row.contains("part off")), "{rows:?}");
    assert!(rows.iter().any(|row| row.starts_with("turn stub 8 mm")), "{rows:?}");
    // The same without that word is parted off and turned round.
    let free = stub("").replace("turned = \"where it stays\"\n", "").replace("\"5\"", "\"25\"");
    let free = plan(&read(&free), &bench()).unwrap();
    let rows: Vec<&str> = free.setups.iter().flat_map(|s| &s.rows).map(|row| row.what.as_str()).collect();
    assert!(rows.contains(&"part off") && !rows.iter().any(|row| row.starts_with("leave it")), "{rows:?}");
}

#[test]
fn what_does_not_go_with_staying_in_the_chuck_is_told() {
    let left = "[[feature]]\nname = \"draw thread\"\nkind = \"tapped hole\"\nface = \"left\"\nthread = \"M4\"\ndepth = \"6\"\n";
    let thrown = "[[feature]]\nname = \"throw\"\nkind = \"section\"\ndiameter = \"4\"\nlength = \"5\"\noffset = \"1\"\noffset_at = \"0\"\n";
    for (text, wanted) in [
        (stub("") + left, "`draw thread` is in the end that stays in the chuck"),
        (stub("") + thrown, "`throw` is off centre in a part turned in one holding"),
        (
            stub("harden = \"straw\"\n").replace("mild steel", "silver steel"),
            "a part that stays in the chuck is hardened",
        ),
        (stub("").replace("where it stays", "anyhow"), "`anyhow` is not known for `turned`"),
    ] {
        let faults = read_drawing("part.toml", &text).unwrap_err();
        let found = faults.iter().find(|fault| fault.what().contains(wanted));
        let found = found.unwrap_or_else(|| panic!("{wanted}: {faults:?}"));
        assert!(found.remedy().is_some(), "{found}");
    }
}

/// A latch whose small end has no bore and whose radius is held: discs of its size, stuck on.
#[test]
fn plain_buttons_have_a_sheet_and_an_order_of_their_own() {
    let latch = r#"
part = "Latch"
unit = "mm"
[body]
kind = "bosses"
around = ["big end", "small end"]
thickness = "6"
[[feature]]
name = "big end"
kind = "boss"
radius = "9"
place = ["datum"]
[[feature]]
name = "small end"
kind = "boss"
radius = { is = "6", within = "0.06" }
place = ["40 right of big end", "level with big end"]
"#;
    let made = aids(latch);
    let discs = of(&made, "Plain filing buttons for the small end");
    assert!(discs.sizes.iter().any(|f| f.name.ends_with("outside diameter") && f.shown == "12 mm"));
    assert!(discs.own.unplanned.is_none() && discs.minutes() > 0 && discs.own.count == 2);
    assert!(discs.steps.iter().any(|step| step.contains("punch mark")), "{:?}", discs.steps);
}
