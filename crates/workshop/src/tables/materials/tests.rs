//! Speeds, forces and densities against second lists; every name read back.

use super::*;
use crate::tables::near::plain;
use crate::tables::source::Standing;

/// Handbook drilling speeds for high-speed steel as a reamer maker reprints
/// them, and the Mechanical Engineer's Data Handbook for the copper alloys:
/// top of each range, m/min. They are for production machines with coolant, so
/// the range here lies below, but not so low that the figure must be a slip.
#[test]
fn drilling_speeds_lie_below_the_handbook() {
    for (name, handbook_m_per_min) in [
        ("free-cutting mild steel", 39.6),
        ("mild steel", 30.5),
        ("silver steel", 25.9),
        ("gauge plate", 13.7),
        ("stainless 303", 25.9),
        ("stainless 304", 16.8),
        ("grey cast iron", 30.5),
        ("brass", 60.0),
        ("phosphor bronze", 13.0),
        ("aluminium alloy", 121.9),
    ] {
        let speed = f64::from(find(name).unwrap().speed(Operation::Drilling).high_m_per_min);
        assert!(speed <= handbook_m_per_min && speed >= 0.4 * handbook_m_per_min, "{name} {speed}");
    }
}

/// Practice: ream at a third to two thirds of the drilling speed.
#[test]
fn reaming_is_about_half_of_drilling() {
    for material in all() {
        let middle = |operation| {
            let speed = material.speed(operation);
            assert!(speed.low_m_per_min > 0 && speed.low_m_per_min <= speed.high_m_per_min);
            f64::from(speed.low_m_per_min + speed.high_m_per_min) / 2.0
        };
        let share = middle(Operation::Reaming) / middle(Operation::Drilling);
        assert!((1.0 / 3.0..=2.0 / 3.0).contains(&share), "{} {share}", material.name);
        assert!(middle(Operation::Milling) <= middle(Operation::Turning), "{}", material.name);
    }
}

/// Mechanical Engineer's Data Handbook section 5.7, turning force constant K,
/// N/mm²: another kind of figure, so within a factor of two.
#[test]
fn cutting_forces_agree_with_a_second_list() {
    for (name, k) in [
        ("aluminium alloy", 700.0),
        ("brass", 1250.0),
        ("grey cast iron", 900.0),
        ("mild steel", 1200.0),
        ("silver steel", 3000.0),
    ] {
        let ratio = f64::from(find(name).unwrap().cutting_force.kc11_n_per_mm2) / k;
        assert!((0.5..=2.0).contains(&ratio), "{name} {ratio}");
    }
    assert!(all().iter().all(|m| (0.14..=0.28).contains(&m.cutting_force.mc)));
}

/// Ranges of two public density tables, kg/m³.
#[test]
fn densities_lie_within_the_published_ranges() {
    for (name, low, high) in [
        ("mild steel", 7850, 7850),
        ("free-cutting mild steel", 7850, 7850),
        ("silver steel", 7800, 7850),
        ("gauge plate", 7800, 7850),
        ("stainless 304", 7480, 8000),
        ("stainless 303", 7480, 8000),
        ("grey cast iron", 6800, 7800),
        ("brass", 8430, 8730),
        ("gunmetal", 7400, 8900),
        ("phosphor bronze", 8780, 8920),
        ("aluminium alloy", 2700, 2800),
        ("medium carbon steel", 7840, 7870),
        ("high tensile steel", 7830, 7870),
        ("copper", 8930, 8960),
        // The ranges that makers of plastic rod print, from memory.
        ("acetal", 1390, 1430),
        ("nylon", 1120, 1160),
        ("PTFE", 2130, 2220),
        ("phenolic laminate", 1330, 1400),
    ] {
        assert!((low..=high).contains(&find(name).unwrap().density.kg_per_m3), "{name}");
    }
}

/// Published tapping guidance: harder and tougher takes less thread, and soft
/// metal a longer engagement (in half diameters). All rows, typed again.
#[test]
fn tapping_aims_agree_with_the_guidance() {
    const GUIDANCE: [(&str, u32, u32, i128); 18] = [
        ("free-cutting mild steel", 60, 65, 2),
        ("mild steel", 60, 65, 2),
        ("silver steel", 50, 50, 2),
        ("gauge plate", 50, 50, 2),
        ("stainless 303", 60, 60, 2),
        ("stainless 304", 50, 50, 2),
        ("grey cast iron", 70, 75, 3),
        ("brass", 65, 70, 3),
        ("gunmetal", 55, 55, 3),
        ("phosphor bronze", 55, 55, 3),
        ("aluminium alloy", 65, 65, 4),
        // From memory, as the table says.
        ("medium carbon steel", 60, 60, 2),
        ("high tensile steel", 50, 50, 2),
        ("copper", 60, 60, 3),
        ("acetal", 70, 75, 4),
        ("nylon", 70, 75, 4),
        ("PTFE", 70, 75, 4),
        ("phenolic laminate", 65, 70, 4),
    ];
    assert_eq!(all().len(), GUIDANCE.len());
    for (name, low, high, halves) in GUIDANCE {
        let tapping = &find(name).unwrap().tapping;
        assert_eq!((tapping.percent_low, tapping.percent_high), (low, high), "{name}");
        assert_eq!(tapping.engagement_diameters, Ratio::new(halves, 2), "{name}");
    }
}

/// Common practice for hobby machines, typed again: turning and milling, drilling,
/// reaming, m/min.
#[test]
fn hobby_speeds_agree_with_common_practice() {
    for (name, cut, drill, ream) in [
        ("free-cutting mild steel", (25, 30), 25, (8, 10)),
        ("silver steel", (12, 18), 12, (5, 6)),
        ("gauge plate", (12, 18), 12, (5, 6)),
        ("stainless 303", (14, 20), 12, (5, 5)),
        ("grey cast iron", (18, 24), 20, (8, 8)),
        ("brass", (50, 90), 50, (20, 25)),
        ("gunmetal", (25, 40), 25, (10, 12)),
        ("aluminium alloy", (60, 120), 60, (20, 30)),
    ] {
        let range = |operation| {
            let speed = find(name).unwrap().speed(operation);
            (speed.low_m_per_min, speed.high_m_per_min)
        };
        let wanted = [cut, cut, (drill, drill), ream];
        assert_eq!(Operation::ALL.map(range), wanted, "{name}");
    }
}

/// VDI 3323 groups as a tool catalogue prints them: kc1.1 in N/mm² and mc.
#[test]
fn cutting_forces_are_those_of_their_group() {
    let group =
        |name: &str| (find(name).unwrap().cutting_force.kc11_n_per_mm2, find(name).unwrap().cutting_force.mc);
    for (name, printed) in [
        ("free-cutting mild steel", (1350, 0.21)),
        ("mild steel", (1350, 0.21)),
        ("silver steel", (1700, 0.24)),
        ("gauge plate", (1775, 0.24)),
        ("stainless 303", (2150, 0.20)),
        ("stainless 304", (2150, 0.20)),
        ("grey cast iron", (1150, 0.20)),
        ("brass", (700, 0.27)),
        ("gunmetal", (700, 0.27)),
        ("aluminium alloy", (800, 0.25)),
        ("medium carbon steel", (1500, 0.22)),
        ("high tensile steel", (1675, 0.24)),
    ] {
        assert_eq!(group(name), printed, "{name}");
    }
}

#[test]
fn every_name_means_one_material() {
    let mut seen = std::collections::BTreeSet::new();
    for material in all() {
        for name in std::iter::once(&material.name).chain(&material.also) {
            assert!(seen.insert(plain(name)), "{name} stands twice");
            for text in [name.clone(), name.to_uppercase(), name.replace(['-', ' '], "")] {
                assert_eq!(find(&text).unwrap(), material, "{text}");
            }
        }
    }
}

/// A milling machine's manual and a university course's table for high-speed steel, and Mechanical
/// Engineer's Data Handbook section 5.7.5 for plastics: the fastest each gives for turning, m/min.
/// The range here lies below, but not so low that the figure must be a slip.
#[test]
fn turning_speeds_lie_below_what_is_published() {
    for (name, published_m_per_min) in
        [("high tensile steel", 45.7), ("copper", 76.2), ("acetal", 244.0), ("nylon", 300.0), ("PTFE", 150.0)]
    {
        let speed = f64::from(find(name).unwrap().speed(Operation::Turning).high_m_per_min);
        assert!(speed <= published_m_per_min && speed >= 0.3 * published_m_per_min, "{name} {speed}");
    }
}

/// Practice: free-cutting, then mild, medium carbon, tool and tempered alloy steel, each slower.
#[test]
fn the_steels_stand_in_their_order() {
    let steels = [
        "free-cutting mild steel",
        "mild steel",
        "medium carbon steel",
        "silver steel",
        "high tensile steel",
    ];
    for operation in Operation::ALL {
        let speeds = steels.map(|name| find(name).unwrap().speed(operation).high_m_per_min);
        assert!(speeds.is_sorted_by(|a, b| a >= b), "{operation:?} {speeds:?}");
    }
}

/// Group 28 of VDI 3323 gives copper 700 N/mm²; a second list, from memory, twice that.
#[test]
fn copper_lies_between_two_lists_and_plastics_far_below_metal() {
    assert!((700..=1400).contains(&find("copper").unwrap().cutting_force.kc11_n_per_mm2));
    for material in all() {
        let force = material.cutting_force.kc11_n_per_mm2;
        assert_eq!(force < 500, matches!(material.kind, Kind::Plastic | Kind::Laminate), "{}", material.name);
    }
}

/// Names as drawings and stockholders' labels have them, and what each is sold as.
#[test]
fn names_as_people_write_them_are_known() {
    for (written, name) in [
        ("EN8 (080M40)", "medium carbon steel"),
        ("080m40", "medium carbon steel"),
        ("En24T", "high tensile steel"),
        ("817M40 T", "high tensile steel"),
        ("stainless steel 316", "stainless 304"),
        ("303 stainless", "stainless 303"),
        ("304/316", "stainless 304"),
        ("brass CZ121", "brass"),
        ("gunmetal, LG2", "gunmetal"),
        ("C101 copper", "copper"),
        ("Delrin", "acetal"),
        ("acetal (POM)", "acetal"),
        ("Nylon 66", "nylon"),
        ("Teflon", "PTFE"),
        ("Tufnol", "phenolic laminate"),
        ("HE30 6082", "aluminium alloy"),
        ("6082-T6", "aluminium alloy"),
    ] {
        assert_eq!(find(written).unwrap().name, name, "{written}");
    }
    for text in ["brass EN8", "EN1A / EN8", "(", ")"] {
        assert!(find(text).is_err(), "{text}");
    }
}

/// Steel and stainless are several materials that cut differently: those are named, and not one
/// is guessed at.
#[test]
fn a_name_that_several_share_is_refused_with_those() {
    let stainless = find("Stainless").unwrap_err();
    assert_eq!(stainless.reason(), Some("they cut differently: stainless 303, stainless 304"));
    assert!(stainless.remedy().unwrap().ends_with("stainless 304 cuts slowest"));
    let steel = find("steel").unwrap_err();
    assert!(steel.reason().unwrap().contains("free-cutting mild steel, mild steel, silver steel"));
    assert!(!steel.reason().unwrap().contains("brass"));
}

#[test]
fn a_loose_name_is_refused_with_the_near_ones() {
    assert!(find("bras").unwrap_err().reason().unwrap().contains("nearest names are brass"));
    for text in ["bronze", "unobtainium", ""] {
        assert!(find(text).unwrap_err().remedy().unwrap().contains("silver steel"), "{text}");
    }
}

#[test]
fn a_material_describes_itself_with_its_sources() {
    let lines: Vec<String> = find("silver steel")
        .unwrap()
        .describe()
        .iter()
        .map(|f| format!("{}: {} [{}]", f.name, f.shown, f.why.source.as_deref().unwrap_or("")))
        .collect();
    insta::assert_snapshot!(lines.join("\n"), @r"
    turning speed: 12 to 18 m/min [common practice for hobby machines]
    milling speed: 12 to 18 m/min [common practice for hobby machines]
    drilling speed: 12 m/min [common practice for hobby machines]
    reaming speed: 5 to 6 m/min [common practice for hobby machines]
    specific cutting force: kc1.1 1700 N/mm², mc 0.24, within 40 % [VDI 3323 material groups, tool catalogue, group 4, the nearest group]
    density: 7830 kg/m³ [density tables, carbon tool steel 7800 to 7850, from memory]
    percent of thread to aim at: 50 % of 3H/4, or of full depth for BA and Whitworth [published tapping guidance]
    length of engagement: 1 × diameter [published tapping guidance]
    ");
    assert_eq!(find("silver steel").unwrap().density.source.standing, Standing::FromMemory);
}
