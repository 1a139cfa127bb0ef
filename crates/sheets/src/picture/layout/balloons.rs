//! The balloons of a picture: what is numbered at one place shares one.

use super::super::{Note, Words};
use super::Page;
use crate::callout::{Balloon, Item, Target};
use crate::ink::{Bounds, Ink};
use crate::placement::{Asked, place_balloons};

/// Places nearer than this on paper are one: less than the width of a narrow line.
const ONE_PLACE_MM: f64 = 0.1;

impl Page {
    /// Draws the balloons, and tells whether there is room for them on so much paper.
    pub(super) fn balloons(&mut self, notes: &[Note], room: (f64, f64)) -> bool {
        let (targets, balloons): (Vec<Target>, Vec<Balloon>) = self.shared(notes).into_iter().unzip();
        let asked = targets.iter().zip(&balloons);
        let asked: Vec<Asked> =
            asked.map(|(&target, balloon)| Asked { target, spread: balloon.spread() }).collect();
        let drawing = self.ink.bounds().unwrap_or_else(|| Bounds::around(targets.iter().map(|t| t.at)));
        let Some(centres) = place_balloons(&asked, &self.taken, drawing, room) else { return false };
        let mut leaders = Ink::new();
        for ((target, balloon), centre) in targets.into_iter().zip(balloons).zip(centres) {
            let clear = self.words == Words::Clear;
            balloon.draw_leader(if clear { &mut leaders } else { &mut self.ink }, target, centre);
            balloon.draw(&mut self.ink, centre);
        }
        // Under every figure and ring, each of which lies on clean paper.
        self.ink.marks.splice(self.shapes..self.shapes, leaders.marks);
        true
    }

    /// What is numbered at each place. A leader stops at the edge of the widest feature there.
    fn shared<'a>(&self, notes: &'a [Note]) -> Vec<(Target, Balloon<'a>)> {
        let mut places: Vec<(Target, Vec<Item<'a>>)> = Vec::new();
        for note in notes {
            let Note::Balloon { at, rim_mm, key, tag } = note else { continue };
            let target = Target { at: self.view.at(*at), rim_mm: self.view.long(*rim_mm) };
            let item = Item { key, tag: tag.as_ref() };
            match places.iter_mut().find(|(own, _)| own.at.distance_mm(target.at) < ONE_PLACE_MM) {
                Some((own, items)) => {
                    own.rim_mm = own.rim_mm.max(target.rim_mm);
                    items.push(item);
                }
                None => places.push((target, vec![item])),
            }
        }
        places.into_iter().map(|(target, items)| (target, Balloon::of(items))).collect()
    }
}
