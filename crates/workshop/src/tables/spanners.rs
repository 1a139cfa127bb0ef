//! The room that spanners take round the hexagons they turn.

use std::sync::LazyLock;

use super::rows::rows;

/// Across the flats, and from the axis to a wall, in millimetres.
fn all() -> &'static [(f64, f64)] {
    static ALL: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
        let rows = rows!("spanners/gost13682.csv");
        rows.iter().map(|row| (row.length("across_mm").as_mm(), row.length("room_mm").as_mm())).collect()
    });
    &ALL
}

/// From the axis of a hexagon to a wall beside it, so that a ring or socket turns it, in
/// millimetres; `across_mm` is its width across flats.
///
/// GOST 13682-80. Widths between two rows lie on the line between them, and those outside
/// the table go in proportion to the row next to them (common practice): below 8 mm across
/// flats the room is as wide as the flats.
pub fn room_mm(across_mm: f64) -> f64 {
    let rows = all();
    let after = rows.partition_point(|&(across, _)| across < across_mm);
    match (after.checked_sub(1).map(|before| rows[before]), rows.get(after)) {
        (Some((less, near)), Some(&(more, far))) => near + (far - near) * (across_mm - less) / (more - less),
        (None, Some(&(across, room))) | (Some((across, room)), None) => across_mm * room / across,
        (None, None) => across_mm,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The counterbores that DIN 974-2 has in its first row, for hexagon heads turned with a
    /// socket spanner (from memory): M3 to M24.
    #[test]
    fn the_room_is_that_of_counterbores_for_sockets() {
        const COUNTERBORES: [(f64, f64); 11] = [
            (5.5, 11.0),
            (7.0, 13.0),
            (8.0, 15.0),
            (10.0, 18.0),
            (13.0, 24.0),
            (16.0, 28.0),
            (18.0, 33.0),
            (21.0, 36.0),
            (24.0, 40.0),
            (30.0, 46.0),
            (36.0, 58.0),
        ];
        for (across, bored) in COUNTERBORES {
            let share = bored / 2.0 / room_mm(across);
            assert!((0.85..=1.001).contains(&share), "{across}: {share}");
        }
    }

    /// A wider hexagon never takes less room, and every spanner has metal outside the corners.
    #[test]
    fn room_grows_with_the_hexagon_and_is_more_than_its_corners() {
        let rooms: Vec<(f64, f64)> =
            (10..900).map(|tenths| f64::from(tenths) / 10.0).map(|s| (s, room_mm(s))).collect();
        assert!(rooms.windows(2).all(|pair| pair[0].1 < pair[1].1));
        assert!(rooms.iter().all(|&(across, room)| room > across / 3.0_f64.sqrt() * 1.2), "{rooms:?}");
    }
}
