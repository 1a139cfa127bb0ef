//! The stack of blocks under a sine bar.

use crate::measure::{Angle, Length, Rounded, Toward};
use crate::problem::Problem;
use crate::settings::position::rounding;
use crate::settings::show::{both_angles, geometry, mm, positive, practice};
use crate::why::Figure;

/// What stands under a sine bar for an angle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stack {
    /// From roller to roller.
    pub bar: Length,
    /// The angle asked.
    pub angle: Angle,
    /// The height, exactly.
    pub height: Length,
    /// How many blocks there are to choose from.
    pub owned: usize,
    /// What of the blocks owned is wrung together, the thinnest first; empty where none are.
    pub blocks: Vec<Length>,
    /// The height that is set.
    pub set: Rounded,
    /// The angle that gives.
    pub gives: Angle,
}

/// The most blocks that are wrung together: a small set needs five for some heights, a set
/// of over sixty never does.
const fn most_blocks(owned: usize) -> usize {
    if owned > 60 { 4 } else { 5 }
}

/// Works out the stack: the height is the bar's length times the sine.
///
/// With blocks, the fewest that come as near as any; without, the height to a step.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the angle lies outside 0° to 60°, past
/// which a sine bar loses its fineness, or there are too many blocks.
pub fn sine_bar(bar: Length, angle: Angle, blocks: &[Length], step: Length) -> Result<Stack, Problem> {
    positive(bar, "length of the sine bar")?;
    positive(step, "step of the stack")?;
    if angle.as_degrees() <= 0.0 || angle.as_degrees() > 60.0 {
        return Err(Problem::new(format!("a sine bar for {}", both_angles(angle)))
            .why("it is set to more than 0° and no more than 60°: beyond that a small error of height tilts it far")
            .mend(instead(angle)));
    }
    if blocks.len() > 130 {
        return Err(Problem::new(format!("{} gauge blocks", blocks.len()))
            .why("the largest sets have 122")
            .mend("list one set"));
    }
    let height = Length::nearest(bar.as_mm() * angle.as_rad().sin());
    let wrung = fewest(blocks, height);
    let set = match &wrung[..] {
        [] => height.rounded(step, Toward::Nearest),
        some => {
            let value: Length = some.iter().copied().sum();
            Rounded { value, loss: value - height }
        }
    };
    let sine = (set.value.as_mm() / bar.as_mm()).min(1.0);
    Ok(Stack {
        bar,
        angle,
        height,
        owned: blocks.len(),
        blocks: wrung,
        set,
        gives: Angle::nearest_rad(sine.asin()),
    })
}

/// What to do about an angle that is none for a sine bar.
fn instead(angle: Angle) -> String {
    let rest = |whole: i64| both_angles(Angle::degrees(whole) - angle);
    match angle.as_degrees() {
        degrees if degrees < 0.0 => "turn the work end for end, and give the angle without its sign".into(),
        0.0 => "nothing stands under either roller: lay the work on the surface plate".into(),
        degrees if degrees < 90.0 => {
            format!("stand the work on its other side, square to this one: set {}", rest(90))
        }
        90.0 => "try a right angle with a square".into(),
        degrees if degrees < 120.0 => {
            let beyond = both_angles(angle - Angle::degrees(90));
            format!("against a square, or an angle plate, this is {beyond} past a right angle: set that")
        }
        degrees if degrees < 180.0 => format!("turn the work end for end: set {}", rest(180)),
        _ => "give the angle between the two faces, less than half a turn".into(),
    }
}

/// The fewest blocks whose sum comes as near a height as any sum of them does.
fn fewest(blocks: &[Length], height: Length) -> Vec<Length> {
    let mut sizes = blocks.to_vec();
    sizes.sort();
    let mut best: Option<(Length, Vec<Length>)> = None;
    for count in 1..=most_blocks(sizes.len()).min(sizes.len()) {
        let mut taken = Vec::new();
        choose(&sizes, count, height, &mut taken, &mut best);
        // More blocks cannot come nearer than exactly.
        if best.as_ref().is_some_and(|(off, _)| *off == Length::ZERO) {
            break;
        }
    }
    best.map(|(_, taken)| taken).unwrap_or_default()
}

/// Every choice of some blocks, the last by looking it up.
fn choose(
    sizes: &[Length],
    count: usize,
    rest: Length,
    taken: &mut Vec<Length>,
    best: &mut Option<(Length, Vec<Length>)>,
) {
    if count == 1 {
        let at = sizes.partition_point(|size| *size < rest);
        for size in sizes[at.saturating_sub(1)..].iter().take(2) {
            let off = size.gap(rest);
            if best.as_ref().is_none_or(|(known, _)| off < *known) {
                let all = taken.iter().copied().chain([*size]).collect();
                *best = Some((off, all));
            }
        }
        return;
    }
    for (n, size) in sizes.iter().enumerate() {
        // All that follow are as large: nothing nearer comes of a sum too high by as much already.
        if best.as_ref().is_some_and(|(off, _)| *size * count as i64 >= rest + *off) {
            break;
        }
        taken.push(*size);
        choose(&sizes[n + 1..], count - 1, rest - *size, taken, best);
        taken.pop();
    }
}

impl Stack {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let why = geometry(format!(
            "the sine of {} times the {} between the rollers: {} mm",
            both_angles(self.angle),
            mm(self.bar),
            self.height.decimals(4)
        ));
        let set = match &self.blocks[..] {
            [] => why.clone().because(rounding(self.set, Length::microns(1))),
            some => {
                let list: Vec<String> = some.iter().map(|size| mm(*size)).collect();
                why.clone().because(geometry(format!(
                    "of the blocks owned: {}; no sum of {} or fewer comes nearer",
                    list.join(" + "),
                    most_blocks(self.owned)
                )))
            }
        };
        let list: Vec<String> = self.blocks.iter().map(|size| size.shown(4)).collect();
        let made = if list.is_empty() { String::new() } else { format!(" = {}", list.join(" + ")) };
        let apart_rad = (self.gives.as_rad() - self.angle.as_rad()).abs();
        let off = geometry("what the blocks miss the height by, as an angle");
        vec![
            Figure::new("stack under one roller", format!("{} mm{made}", self.set.value.decimals(4)), set),
            Figure::new("angle it gives", both_angles(self.gives), why),
            Figure::new(
                "off",
                format!("{:.4}°, {:.4} mm in 100 mm", apart_rad.to_degrees(), apart_rad.tan() * 100.0),
                off.because(practice(
                    "an indicator along the work then stands still: what it moves is the error",
                )),
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bare(bar: Length, angle: Angle) -> Stack {
        sine_bar(bar, angle, &[], Length::microns(1)).unwrap()
    }

    /// A gauge supplier's page: 5 in bar, 27°, 2.2700 in. A question bank of metrology: 100
    /// mm, 30°, 50 mm. A workshop page on inspection: sine 0.0504, 2.8889°.
    #[test]
    fn stacks_agree_with_printed_examples() {
        let five = bare(Length::inches(5, 1), Angle::degrees(27));
        assert!((five.set.value.as_inches() - 2.27).abs() < 6e-4);
        assert_eq!(bare(Length::mm(100), Angle::degrees(30)).set.value, Length::mm(50));
        let back = bare(Length::mm(100), Angle::ratio(26, 9));
        assert!((back.height.as_mm() / 100.0 - 0.0504).abs() < 1e-5, "{}", back.height);
    }

    /// The common set of 47 blocks makes the height exactly.
    #[test]
    fn blocks_make_the_height() {
        let mut set =
            vec![Length::microns(1_005), Length::mm(25), Length::mm(50), Length::mm(75), Length::mm(100)];
        set.extend((1..=9).map(|n| Length::microns(1_000 + 10 * n)));
        set.extend((1..=9).map(|n| Length::microns(1_000 + 100 * n)));
        set.extend((1..=24).map(Length::mm));
        let angle = Angle::nearest_rad((34.165_f64 / 100.0).asin());
        let stack = sine_bar(Length::mm(100), angle, &set, Length::microns(5)).unwrap();
        assert_eq!(stack.set.value, Length::microns(34_165));
        assert!(stack.blocks.len() == 5, "{:?}", stack.blocks);
    }

    /// Two large blocks too high may be nearer than any that stay below, by more than the
    /// smallest block.
    #[test]
    fn too_high_may_be_nearest() {
        let set = [1, 12, 13].map(Length::mm);
        let angle = Angle::nearest_rad((20.0_f64 / 100.0).asin());
        let stack = sine_bar(Length::mm(100), angle, &set, Length::microns(5)).unwrap();
        assert_eq!(stack.set.value, Length::mm(25));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// No sum of up to five of them is nearer.
        #[test]
        fn no_stack_is_nearer(
            blocks in prop::collection::btree_set(10i64..400, 1..9),
            degrees in 1i64..60,
        ) {
            let blocks: Vec<Length> = blocks.into_iter().map(|tenth| Length::microns(tenth * 100)).collect();
            let stack = sine_bar(Length::mm(100), Angle::degrees(degrees), &blocks, Length::microns(1)).unwrap();
            for some in 1u32..1 << blocks.len() {
                if some.count_ones() <= 5 {
                    let sum: Length = blocks.iter().enumerate().filter(|(n, _)| some >> n & 1 == 1).map(|(_, b)| *b).sum();
                    prop_assert!(sum.gap(stack.height) >= stack.set.value.gap(stack.height));
                }
            }
        }
    }

    #[test]
    fn an_angle_past_sixty_is_refused() {
        assert!(sine_bar(Length::mm(100), Angle::degrees(75), &[], Length::microns(1)).is_err());
        assert!(sine_bar(Length::ZERO, Angle::degrees(5), &[], Length::microns(1)).is_err());
    }
}
