//! Several pieces side by side in one setup: where each lies, and what its rows and picture add.
//!
//! The first lies as a piece by itself would. Of the others every place reads so much more along
//! X as their own datum is set apart; of the other hand it is the mirror image, left for right.

use super::job::Setup;
use super::sheet::{Row, Runs, Scene, SceneDimension, Stage};
use crate::drawing::{Face, Hand, Image};
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::order::work::Step;
use crate::order::{Holding, Located, Pieces};
use crate::settings::show::{mm, practice};
use crate::why::Figure;

impl<'a> Setup<'a> {
    /// Every piece that lies in the setup at a time, from left to right; the setup as it is
    /// where it is but one.
    pub fn beside(&self) -> Vec<Setup<'a>> {
        let Some(lots) = self.holding.pieces.lots().filter(|lots| lots.beside > 1) else {
            return vec![Setup::new(self.job, self.number - 1)];
        };
        let both = matches!(self.holding.pieces, Pieces::Both(_));
        let mut all: Vec<Setup<'a>> = Vec::new();
        for place in 0..lots.beside {
            let mut piece = Setup::new(self.job, self.number - 1);
            if both && place % 2 == 1 {
                piece = Setup::lying(self.job, self.number - 1, other_hand(&piece.holding));
            }
            if let Some(last) = all.last() {
                let apart = last.reads_across()[1] + lots.gap - piece.reads_across()[0];
                piece.shift = piece.set_apart(apart);
            }
            piece.place = place as usize;
            all.push(piece);
        }
        all
    }

    /// How far from the first a further piece is set, no less than so far: a whole millimetre is
    /// easier to set, and the finder touches it at a reading that the readout or the dial has.
    fn set_apart(&self, least: Length) -> Length {
        let (_, touch) = self.touched_across();
        let reads = least.rounded(Length::mm(1), Toward::More).value + touch;
        reads.rounded(self.job.bench.mill.readout.step(), Toward::More).value - touch
    }

    /// Which edge of the piece the finder touches along X, and where the spindle stands then from it.
    fn touched_across(&self) -> (&'static str, Length) {
        let half = self.job.bench.edge_finder.half();
        let right = match self.holding.located {
            Located::Edges(a, b) => [a, b].into_iter().any(|face| self.frame.side(face).0 > 0),
            _ => false,
        };
        if right { ("right", half) } else { ("left", -half) }
    }

    /// What a piece beside others is called: with its hand, where both lie there.
    fn called(&self) -> String {
        let number = self.place + 1;
        match (self.holding.pieces, self.part.drawing.hands.get(self.place % 2)) {
            (Pieces::Both(_), Some(hand)) => format!("piece {number}, the {}", hand.words()),
            _ => format!("piece {number}"),
        }
    }

    /// Least and greatest X that the work reads.
    pub fn reads_across(&self) -> [Length; 2] {
        let [x0, x1, y0, _] = self.extent();
        [self.off_datum((x0, y0)).0, self.off_datum((x1, y0)).0]
    }

    /// The pieces that a step is done to, of those that lie side by side.
    pub fn done_to(&self, step: &Step) -> Vec<Setup<'a>> {
        let mut all = self.beside();
        if matches!(self.holding.pieces, Pieces::Both(_)) && step.hand != Hand::Neither {
            let first = step.hand == self.part.drawing.hands[0];
            all.retain(|piece| (piece.place % 2 == 0) == first);
        }
        all
    }

    /// What the presets of the further pieces are: where the datum edge of each is touched.
    pub fn presets_beside(&self) -> Vec<Figure> {
        if !matches!(self.holding.located, Located::Edges(..)) {
            return Vec::new();
        }
        let mut figures = Vec::new();
        for piece in self.beside().iter().skip(1) {
            let (edge, touch) = piece.touched_across();
            let why = practice(format!(
                "its {edge} edge is set to {} by the finder, half the tip, {}, beyond it, and it is clamped there: then the nought of the first serves it too",
                mm(piece.shift),
                mm(touch.abs())
            ));
            let label = format!("X touching the {edge} edge of {}", piece.called());
            figures.push(self.slide(0, &label, piece.shift + touch, why));
        }
        figures
    }
}

/// The same holding as the opposite hand lies in it.
fn other_hand(holding: &Holding) -> Holding {
    let flipped = |face: Face| match face {
        Face::Left => Face::Right,
        Face::Right => Face::Left,
        face => face,
    };
    Holding {
        image: if holding.image == Image::Drawn { Image::Mirrored } else { Image::Drawn },
        up: flipped(holding.up),
        located: match holding.located {
            Located::Edges(a, b) => Located::Edges(flipped(a), flipped(b)),
            other => other,
        },
        ..holding.clone()
    }
}

/// Adds to a row what has to be set otherwise for the next piece it is done to.
pub fn add_to(row: &mut Row, other: &Row, piece: &Setup) {
    let own = |figure: &Figure| row.sets.iter().find(|own| own.name == figure.name);
    let more: Vec<Figure> = other
        .sets
        .iter()
        .filter(|figure| own(figure).is_none_or(|own| own.shown != figure.shown))
        .map(|figure| Figure {
            name: format!("{}, piece {}", figure.name, piece.place + 1),
            ..figure.clone()
        })
        .collect();
    row.sets.extend(more);
}

/// Draws a further piece into a picture, with how far its datum is from the first.
pub fn draw_into(scene: &mut Scene, other: Scene, piece: &Setup) {
    scene.outline.extend(other.outline);
    scene.to_come.extend(other.to_come);
    scene.around.extend(other.around);
    scene.holes.extend(other.holes);
    scene.marks.extend(other.marks);
    scene.centre_lines.extend(other.centre_lines);
    scene.hidden.extend(other.hidden);
    let at = Point::at(piece.shift, Length::ZERO);
    scene.centre_lines.push(Segment::line(at, Point::new(at.x_mm, at.y_mm + MARK_MM)));
    scene.dimensions.push(SceneDimension {
        from: Point::ORIGIN,
        to: at,
        runs: Runs::Across,
        text: piece.shift.decimals(2),
        figure: None,
    });
}

/// How long the line is that marks the datum of a further piece.
const MARK_MM: f64 = 4.0;

/// Adds the metal of a further piece.
pub fn metal_into(stage: &mut Stage, other: Stage) {
    stage.metal.extend(other.metal);
    stage.cuts.extend(other.cuts);
}
