//! Speeds, forces and densities against second lists; every name read back.

use super::*;
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
    ] {
        assert!((low..=high).contains(&find(name).unwrap().density.kg_per_m3), "{name}");
    }
}

/// Published tapping guidance: harder and tougher takes less thread, and soft
/// metal a longer engagement (in half diameters). All rows, typed again.
#[test]
fn tapping_aims_agree_with_the_guidance() {
    const GUIDANCE: [(&str, u32, u32, i128); 11] = [
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

/// Steel, stainless and bronze are each several materials that cut differently.
#[test]
fn a_loose_name_is_refused_with_the_near_ones() {
    assert!(find("bras").unwrap_err().reason().unwrap().contains("nearest names are brass"));
    for text in ["steel", "stainless", "bronze", "unobtainium", ""] {
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
