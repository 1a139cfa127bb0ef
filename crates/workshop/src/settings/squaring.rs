//! Squaring a round hole with files or with a broach: the drill before it, and what the drill leaves.

use num_rational::Ratio;

use super::show::{geometry, mm, positive, practice};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::drills::{self, Drill};
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// A drill for a hole that is then squared.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// The drill.
    pub drill: Drill,
    /// Whether it is among those owned; else it has to be bought.
    pub owned: bool,
}

/// The widest drill that leaves the file its allowance on every side: the file then has
/// little but the corners to take.
///
/// `across` is the finished size from side to side, or from the flat of a flatted hole to
/// its far side.
pub fn to_file(across: Length, drills: &[Drill]) -> Hole {
    let most = across - limit("filing allowance") * 2;
    let widest = |from: &[Drill]| {
        from.iter().filter(|drill| drill.diameter <= most).max_by_key(|drill| drill.diameter).cloned()
    };
    owned_or(widest(drills), || widest(drills::all()))
}

/// The narrowest drill from the size of the square to four hundredths more: the broach then
/// cuts its four corners and not the whole of its sides.
///
/// The span is kept from memory; no standard prints it.
pub fn to_broach(across: Length, drills: &[Drill]) -> Hole {
    let most = across.scaled(Ratio::new(104, 100));
    let narrowest = |from: &[Drill], most: Option<Length>| {
        let fits =
            |drill: &&Drill| drill.diameter >= across && most.is_none_or(|most| drill.diameter <= most);
        from.iter().filter(fits).min_by_key(|drill| drill.diameter).cloned()
    };
    owned_or(narrowest(drills, Some(most)), || narrowest(drills::all(), None))
}

fn owned_or(owned: Option<Drill>, other: impl FnOnce() -> Option<Drill>) -> Hole {
    match owned {
        Some(drill) => Hole { drill, owned: true },
        None => Hole { drill: other().unwrap_or_else(|| drills::all()[0].clone()), owned: false },
    }
}

/// What a round hole leaves in each corner of a square, along its diagonal: half of the
/// diagonal less half of the hole. To a millionth of a millimetre.
pub fn corner(across: Length, hole: Length) -> Length {
    (Length::nearest(across.as_mm() * std::f64::consts::SQRT_2) - hole).half()
}

/// How wide the round stays in the middle of each side, where the hole is wider than the
/// square: the chord at half the square from the middle. Nought where it is not wider.
pub fn round_left(across: Length, hole: Length) -> Length {
    if hole <= across {
        return Length::ZERO;
    }
    Length::nearest((hole.as_mm().powi(2) - across.as_mm().powi(2)).sqrt())
}

/// The rows for a square that is broached in a drilled hole.
pub fn broaching(across: Length, hole: Length) -> Vec<Figure> {
    let memory = |words: &str| Why::new(words).source("from memory");
    let hundredth = |length: Length| mm(length.rounded(Length::mm_ratio(1, 100), Toward::Nearest).value);
    vec![
        Figure::new(
            "cut in each corner",
            hundredth(corner(across, hole)),
            geometry(format!("half of the diagonal of {} less half of the hole", mm(across))),
        ),
        Figure::new(
            "round left in each side",
            hundredth(round_left(across, hole)),
            geometry(format!("where the hole of {} is wider than the square", mm(hole))).because(memory(
                "the hole is drilled to the square’s size and up to four hundredths over, so that the broach cuts \
                 corners only",
            )),
        ),
    ]
}

/// What brings a hole square.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Files, to lines scribed on both faces.
    File,
    /// A broach pressed through.
    Broach,
}

/// A square hole from the drill to the lines: what to drill, what is left, what to scribe.
///
/// # Errors
///
/// A [`Problem`] when the square is not more than nought, or too small for any drill that
/// leaves a file its allowance.
pub fn squaring(across: Length, way: Way, drills: &[Drill]) -> Result<Vec<Figure>, Problem> {
    positive(across, "square across")?;
    let least = drills::all()[0].diameter + limit("filing allowance") * 2;
    if across < least {
        return Err(Problem::new(format!("no drill goes before a square of {}", mm(across)))
            .why(format!("the smallest that is sold, with its allowance for the file, wants {}", mm(least)))
            .mend("check the size and its unit"));
    }
    let hole = match way {
        Way::File => to_file(across, drills),
        Way::Broach => to_broach(across, drills),
    };
    let rule = match way {
        Way::File => practice("the widest that leaves a file its allowance on every side"),
        Way::Broach => {
            Why::new("the narrowest from the size of the square up: the broach cuts the corners alone")
                .source("from memory")
        }
    };
    let owned = if hole.owned { "" } else { ", to buy" };
    let mut figures =
        vec![Figure::new("drill", format!("{} ({}){owned}", hole.drill.name, mm(hole.drill.diameter)), rule)];
    match way {
        Way::Broach => figures.extend(broaching(across, hole.drill.diameter)),
        Way::File => {
            let left = (across - hole.drill.diameter).half();
            let corner = corner(across, hole.drill.diameter);
            figures.push(Figure::new(
                "left on each side",
                mm(left),
                geometry(format!("half of {} less the drill {}", mm(across), mm(hole.drill.diameter))),
            ));
            figures.push(Figure::new(
                "left in each corner",
                mm(corner),
                geometry("half of the diagonal less half of the hole"),
            ));
        }
    }
    figures.extend(witness_lines(across));
    Ok(figures)
}

/// The lines to scribe for a square that is filed.
pub fn witness_lines(across: Length) -> Vec<Figure> {
    let corners = Length::nearest(across.as_mm() * std::f64::consts::SQRT_2);
    vec![
        Figure::new(
            "lines either side of the middle",
            mm(across.half()),
            practice("scribe round the marking button on both faces: half of the line is left"),
        ),
        Figure::new(
            "corner to corner",
            mm(corners),
            geometry(format!("{} times the root of two", mm(across))),
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn owned(sizes: &[i64]) -> Vec<Drill> {
        let size = |tenths: &i64| Length::mm_ratio(i128::from(*tenths), 10);
        drills::all()
            .iter()
            .filter(|drill| sizes.iter().any(|tenths| size(tenths) == drill.diameter))
            .cloned()
            .collect()
    }

    /// By hand for a square of 8: to file 8 - 0.2 = 7.8 at most; to broach 8.0 to 8.32.
    #[test]
    fn the_drill_is_the_one_next_to_the_square() {
        let bench = owned(&[50, 78, 79, 80, 82, 85]);
        let across = Length::mm(8);
        let filed = to_file(across, &bench);
        assert_eq!((filed.drill.diameter, filed.owned), (Length::mm_ratio(78, 10), true));
        let broached = to_broach(across, &bench);
        assert_eq!((broached.drill.diameter, broached.owned), (Length::mm(8), true));
        let poor = to_broach(across, &owned(&[50, 85]));
        assert!(!poor.owned, "8.5 is over 8.32: the broach would leave no square");
        assert_eq!(poor.drill.diameter, Length::mm(8));
        assert!(!to_file(across, &[]).owned);
    }

    /// A 3-4-5 triangle: a square of 6 in a round of 10 leaves 8 of round in each side, and
    /// a square of 6 has a diagonal of 8.485.
    #[test]
    fn a_square_is_drilled_then_filed_to_its_lines() {
        let shown = |way| {
            let figures = squaring(Length::mm(6), way, drills::all()).unwrap();
            figures.into_iter().map(|f| format!("{}: {}", f.name, f.shown)).collect::<Vec<_>>()
        };
        let filed = shown(Way::File);
        assert!(filed.contains(&"lines either side of the middle: 3 mm".to_owned()), "{filed:?}");
        assert!(filed.contains(&"corner to corner: ≈8.485 mm".to_owned()), "{filed:?}");
        assert!(shown(Way::Broach).iter().any(|row| row.starts_with("round left")));
        let fault = squaring(Length::microns(100), Way::File, &[]).unwrap_err();
        assert!(fault.reason().is_some() && fault.remedy().is_some());
    }

    #[test]
    fn what_is_left_is_a_chord_and_a_corner() {
        assert_eq!(round_left(Length::mm(6), Length::mm(10)), Length::mm(8));
        assert_eq!(round_left(Length::mm(6), Length::mm(6)), Length::ZERO);
        assert!((corner(Length::mm(6), Length::mm(6)).as_mm() - 1.2426).abs() < 1e-4);
        let shown: Vec<String> =
            broaching(Length::mm(6), Length::mm_ratio(62, 10)).into_iter().map(|f| f.shown).collect();
        assert_eq!(shown, ["1.14 mm", "1.56 mm"]);
    }
}
