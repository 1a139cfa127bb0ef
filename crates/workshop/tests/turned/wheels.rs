//! Wheels: bored and faced first, then tread and flange turned by the bore in one holding.

use super::*;

/// A railway wheel of cast iron: a flange of 98.5 by 3, a tread of 92 by 9.5, a boss that stands `proud`.
fn wheel(proud: &str) -> String {
    format!(
        "part = \"Wheel\"\nunit = \"mm\"\nmaterial = \"cast iron\"\n[body]\nkind = \"turned\"\n[stock]\nform = \"casting\"\n\
         allowance = \"1.5\"\n\
         [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"98.5\"\nlength = \"3\"\n\
         [[feature]]\nname = \"tread\"\nkind = \"section\"\ndiameter = \"92\"\nlength = \"9.5\"\n\
         [[feature]]\nname = \"boss\"\nkind = \"section\"\ndiameter = \"28\"\nlength = \"{proud}\"\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"12\"\nfinish = \"reamed\"\n\
         [[mate]]\nname = \"axle\"\nin = \"bore\"\nsize = \"12\"\nfit = \"press\"\n"
    )
}

/// Where each step stands, and what holds the work there.
fn held<'a>(plan: &'a Plan, call: &str) -> (usize, &'a Held) {
    let step = plan.order.steps.iter().find(|step| step.call == call).unwrap_or_else(|| {
        panic!("no {call} in {:?}", plan.order.steps.iter().map(|step| &step.call).collect::<Vec<_>>())
    });
    (step.setup, &plan.order.setups[step.setup].held)
}

#[test]
fn tread_and_flange_are_turned_by_the_bore_in_one_holding() {
    for proud in ["0.8", "6"] {
        let made = planned(&wheel(proud), "everything");
        let [bore, flange, tread] = ["ream bore", "turn flange", "turn tread"].map(|call| held(&made, call));
        assert!(matches!(bore.1, Held::Chuck { on: None }), "{proud}: {:?}", bore.1);
        assert_eq!(flange.0, tread.0, "{proud}: one holding for the whole rim");
        assert!(bore.0 < tread.0, "{proud}: bored before");
        assert!(
            matches!(tread.1, Held::Mandrel { .. } | Held::Faceplate { .. }),
            "{proud}: by its bore, {:?}",
            tread.1
        );
        assert_eq!(made.order.setups.len(), 2);
        let told = &made.order.assumed;
        assert!(
            told.iter().any(|words| words.contains("the jaws hold the casting by tread as it is cast")),
            "{told:?}"
        );
        assert!(
            !told.iter().any(|words| words.contains("stands out by only")),
            "the jaws have the tread: {told:?}"
        );
    }
}

/// From bar the wheel is turned as any other work: nothing of it is cast.
#[test]
fn a_wheel_from_bar_is_turned_on_its_bar() {
    let from_bar = wheel("6").replace("[stock]\nform = \"casting\"\nallowance = \"1.5\"\n", "");
    let made = planned(&from_bar, "everything");
    assert!(made.order.steps.iter().any(|step| step.work == Work::PartOff));
    assert!(!made.order.assumed.iter().any(|words| words.contains("as it is cast")));
}
