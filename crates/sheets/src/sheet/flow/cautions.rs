//! Boxes of cautions: on the page on which the work begins that they are about, or before it.

use super::super::{Block, Sheet};
use super::items::{Lead, in_columns};
use super::{BODY, Flow, Foot};
use crate::callout::warning;
use crate::font::{Face, wrap};
use crate::ink::{Bounds, Fill, Line, Point, Text};
use crate::table::Spacing;

const CAUTION_PT: f64 = 10.0;
/// The warning sign of a box of cautions, and the clear paper inside the box.
const SIGN_MM: f64 = 6.0;
const PAD_MM: f64 = 1.8;

/// The blocks of a sheet in the order in which they stand, its cautions before its first row or,
/// unless that is asked for, where they were.
pub(super) fn in_order(sheet: &Sheet, cautions_first: bool) -> Vec<&Block> {
    let mut blocks: Vec<&Block> = sheet.blocks.iter().collect();
    let rows = blocks.iter().position(|block| matches!(block, Block::Rows(_)));
    if let Some(rows) = rows.filter(|_| cautions_first) {
        let is_caution = |block: &&Block| matches!(block, Block::Cautions(_));
        let (cautions, rest): (Vec<&Block>, Vec<&Block>) =
            blocks.split_off(rows).into_iter().partition(is_caution);
        blocks.extend(cautions);
        blocks.extend(rest);
    }
    blocks
}

/// True when a sheet has rows of work, before which its cautions must be read.
pub(super) fn warns_of_rows(sheet: &Sheet) -> bool {
    sheet.blocks.iter().any(|block| matches!(block, Block::Rows(_)))
}

impl Flow {
    /// A box with a warning sign in it, and where its top is.
    fn caution_box(&mut self, height_mm: f64, foot: Foot) -> f64 {
        if foot == Foot::Page {
            self.down_mm = self.down_mm.max(BODY.bottom_mm - height_mm);
        }
        let top_mm = self.down_mm;
        self.down_mm += height_mm;
        let ink = &mut self.page().ink;
        let frame = Bounds::new(BODY.left_mm, top_mm, BODY.width_mm(), height_mm);
        ink.rectangle(frame, Some(Line::Visible), Fill::None);
        warning(ink, Point::mm(BODY.left_mm + 2.5, top_mm + PAD_MM + SIGN_MM), SIGN_MM);
        top_mm
    }

    /// All cautions in one box under one sign.
    pub(super) fn cautions(&mut self, cautions: &[String], foot: Foot) {
        const INDENT_MM: f64 = 12.0;
        const POINT_MM: f64 = 3.5;
        if self.spacing == Spacing::Close {
            let band = in_columns(cautions, Lead::Dot, BODY.width_mm() - INDENT_MM - PAD_MM);
            if band.height_mm <= BODY.height_mm() / 2.0 {
                let height_mm = band.height_mm.max(SIGN_MM) + 2.0 * PAD_MM;
                self.need(height_mm);
                let top_mm = self.caution_box(height_mm, foot);
                self.page().ink.lay(band.ink, BODY.left_mm + INDENT_MM, top_mm + PAD_MM);
                return;
            }
        }
        let leading_mm = Text::leading_mm(CAUTION_PT);
        let room_mm = BODY.width_mm() - INDENT_MM - POINT_MM - PAD_MM;
        let lines: Vec<(usize, String)> = cautions
            .iter()
            .flat_map(|caution| wrap(caution, Face::Regular, CAUTION_PT, room_mm).into_iter().enumerate())
            .collect();
        // The box is kept whole unless it is longer than a page.
        let most = ((BODY.height_mm() - 2.0 * PAD_MM) / leading_mm).floor() as usize;
        for piece in lines.chunks(most) {
            let height_mm = (piece.len() as f64 * leading_mm).max(SIGN_MM) + 2.0 * PAD_MM;
            self.need(height_mm);
            let top_mm = self.caution_box(height_mm, foot);
            let ink = &mut self.page().ink;
            let left_mm = BODY.left_mm + INDENT_MM;
            for (n, (line_of_caution, line)) in piece.iter().enumerate() {
                let line_top_mm = top_mm + PAD_MM + leading_mm * n as f64;
                if *line_of_caution == 0 {
                    ink.circle(
                        Point::mm(left_mm + 1.0, line_top_mm + leading_mm * 0.55),
                        0.55,
                        None,
                        Fill::Ink,
                    );
                }
                let base_mm = line_top_mm + leading_mm - Face::Regular.descent_mm(CAUTION_PT) - 0.3;
                ink.text(Text::new(line, CAUTION_PT, Point::mm(left_mm + POINT_MM, base_mm)));
            }
        }
    }
}
