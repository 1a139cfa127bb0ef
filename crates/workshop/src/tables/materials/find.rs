//! A material by what a person calls it.

use super::{Material, all};
use crate::problem::Problem;
use crate::tables::near::{nearest, plain, quoted};

/// The material of that name, whatever its case, hyphens and spaces. Several names of one
/// material may stand together: `EN8 (080M40)`, `brass CZ121`.
///
/// # Errors
///
/// A [`Problem`] that lists the near names; for a name that several materials share, such as
/// `stainless`, one that lists those.
pub fn find(text: &str) -> Result<&'static Material, Problem> {
    if let Some(material) = named(text).or_else(|| side_by_side(text)) {
        return Ok(material);
    }
    let shared = sharing(text);
    if let [_, _, ..] = shared[..] {
        let names: Vec<&str> = shared.iter().map(|material| material.name.as_str()).collect();
        let slowest = shared.iter().min_by_key(|material| material.speeds[0].low_m_per_min);
        let slowest = slowest.map_or("", |material| material.name.as_str());
        return Err(Problem::new(format!("{} is not one material here", quoted(text)))
            .why(format!("they cut differently: {}", names.join(", ")))
            .mend(format!(
                "write which of these it is; of a bar that nobody knows, {slowest} cuts slowest"
            )));
    }
    let names = all().iter().flat_map(|m| std::iter::once(&m.name).chain(&m.also));
    let near = nearest(text, names.map(String::as_str)).join(", ");
    let known: Vec<&str> = all().iter().map(|m| m.name.as_str()).collect();
    Err(Problem::new(format!("no material is known as {}", quoted(text)))
        .why(format!("the nearest names are {near}"))
        .mend(format!("choose the one that cuts most like it: {}", known.join(", "))))
}

/// The material of exactly that name.
fn named(text: &str) -> Option<&'static Material> {
    let asked = plain(text);
    all().iter().find(|material| {
        plain(&material.name) == asked || material.also.iter().any(|name| plain(name) == asked)
    })
}

/// The one material that both halves of a text name.
fn side_by_side(text: &str) -> Option<&'static Material> {
    let breaks = text.char_indices().filter(|(_, c)| c.is_whitespace() || "(,;/".contains(*c));
    let halves = breaks.map(|(at, c)| (&text[..at], text[at + c.len_utf8()..].trim_end_matches([')', ' '])));
    halves.take(8).find_map(|(one, other)| {
        let material = named(one)?;
        (named(other)? == material).then_some(material)
    })
}

/// The materials whose names have that word.
fn sharing(text: &str) -> Vec<&'static Material> {
    let asked = text.trim().to_lowercase();
    let has = |name: &String| name.to_lowercase().split([' ', '-']).any(|word| word == asked);
    all().iter().filter(|m| has(&m.name) || m.also.iter().any(has)).collect()
}
