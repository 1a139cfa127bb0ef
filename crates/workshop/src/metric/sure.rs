//! How sure a choice is, in words: proven, or how far off it may be at most.

use super::model::Cost;
use super::search::Proof;

/// How sure a choice of this cost is.
pub fn how_sure(proof: Proof, cost: Cost) -> String {
    let Proof::Within { bound } = proof else {
        return "proven: no other choice is better".into();
    };
    let things = |count: u64| if count == 1 { "1 thing".to_owned() } else { format!("{count} things") };
    let off = if bound.things() < cost.things() {
        format!("it buys {}, and no choice can do with fewer than {}", things(cost.things()), bound.things())
    } else if bound.price() < cost.price() {
        let (most, least) = (cost.price(), bound.price());
        format!(
            "no choice buys fewer things; their price bands come to {most}, and no choice comes to less than {least}"
        )
    } else if bound.departure < cost.departure {
        format!(
            "no choice buys less; its sizes are {} halves of what they may go from the drawing, all counted by \
             weight, and no choice is nearer than {}",
            cost.departure, bound.departure
        )
    } else {
        "no choice buys less or lies nearer the drawing; some numbers might be rounder".into()
    };
    format!("not proven best, the search stopped at its limit: {off}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_proven_says_by_how_much_at_most() {
        let cost = Cost { buy: 2007, departure: 14, roughness: 300 };
        let within = |bound: Cost| how_sure(Proof::Within { bound }, cost);
        assert_eq!(how_sure(Proof::Optimal, cost), "proven: no other choice is better");
        assert!(
            within(Cost { buy: 1003, ..cost })
                .ends_with("buys 2 things, and no choice can do with fewer than 1")
        );
        assert!(
            within(Cost { buy: 2003, ..cost }).ends_with("come to 7, and no choice comes to less than 3")
        );
        assert!(within(Cost { departure: 9, ..cost }).contains("14 halves"));
        assert!(within(Cost { departure: 9, ..cost }).ends_with("nearer than 9"));
        assert!(within(Cost { roughness: 9, ..cost }).ends_with("rounder"));
    }
}
