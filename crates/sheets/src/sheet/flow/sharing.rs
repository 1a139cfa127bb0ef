//! Which sheets share a page: short ones of the same work, with smaller pictures where these stay clear.

use super::super::{Block, LEVELS, Paper, Sheet, Smaller};
use super::Flow;
use crate::table::Spacing;

/// A sheet set with room round everything, or closer where that saves a page.
pub(super) fn flow(sheet: &Sheet) -> Flow {
    let usual = Flow::of(&[sheet], Spacing::Usual);
    if usual.pages.len() == 1 {
        return usual;
    }
    let close = Flow::of(&[sheet], Spacing::Close);
    if close.pages.len() < usual.pages.len() { close } else { usual }
}

/// The first sheet and those after it that it has room for, and how many they are.
pub(super) fn as_many_as_share(sheets: &[Sheet], smaller: &Smaller) -> (Flow, usize) {
    let (mut found, mut taken) = (flow(&sheets[0]), 1);
    while sheets.get(taken).is_some_and(|next| share(&sheets[taken - 1], next)) {
        let (all, pages) = (&sheets[..=taken], found.pages.len());
        let more = on_as_few_pages(all, pages).or_else(|| with_less_picture(all, pages, smaller));
        let Some(more) = more else { break };
        (found, taken) = (more, taken + 1);
    }
    (found, taken)
}

/// The same sheets on so few pages with smaller pictures, none smaller than it must be.
fn with_less_picture(sheets: &[Sheet], pages: usize, smaller: &Smaller) -> Option<Flow> {
    let mut bare = sheets.to_vec();
    bare.iter_mut().for_each(|sheet| sheet.blocks.retain(|block| picture_mm(block).is_none()));
    on_as_few_pages(&bare, pages)?;
    // Where the smallest do not do, none between does.
    let mut least = sheets.to_vec();
    for (n, sheet) in least.iter_mut().enumerate() {
        if let Some(picture) = (0..LEVELS).rev().find_map(|level| smaller(n, level)) {
            give(sheet, picture);
        }
    }
    let found = on_as_few_pages(&least, pages)?;
    let mut sheets = sheets.to_vec();
    for level in 0..LEVELS {
        for (n, sheet) in sheets.iter_mut().enumerate() {
            if let Some(picture) = smaller(n, level) {
                give(sheet, picture);
            }
        }
        if let Some(found) = on_as_few_pages(&sheets, pages) {
            return Some(found);
        }
    }
    Some(found)
}

/// Gives a sheet a picture in place of its own, where that is higher.
fn give(sheet: &mut Sheet, picture: Block) {
    let own = sheet.blocks.iter_mut().find(|block| picture_mm(block).is_some());
    if let Some(own) = own.filter(|own| picture_mm(own) > picture_mm(&picture)) {
        *own = picture;
    }
}

/// How high a picture is; none of another block.
const fn picture_mm(block: &Block) -> Option<f64> {
    match block {
        Block::Picture { placed, .. } => Some(placed.height_mm),
        _ => None,
    }
}

/// True when one page may hold something of both: a short one and its neighbour, of the same work.
fn share(sheet: &Sheet, next: &Sheet) -> bool {
    (sheet.paper == Paper::Shared || next.paper == Paper::Shared) && sheet.title == next.title
}

fn on_as_few_pages(sheets: &[Sheet], pages: usize) -> Option<Flow> {
    let sheets: Vec<&Sheet> = sheets.iter().collect();
    let ways = [Spacing::Usual, Spacing::Close].map(|spacing| Flow::of(&sheets, spacing));
    ways.into_iter().find(|flow| flow.pages.len() <= pages)
}
