//! Blocks down the page, and on to the next when it is full.

use workshop::problem::{Outcome, Problem};

use super::{Block, Sheet};
use crate::callout::warning;
use crate::font::{Face, wrap};
use crate::furniture::{self, BODY, Leaf};
use crate::ink::{ASSUMED_MEANS, Bounds, Fill, Ink, Line, Point, Text};
use crate::picture::Picture;
use crate::table::Table;

const READING_PT: f64 = 10.0;
const CAUTION_PT: f64 = 10.0;
const HEADING_PT: f64 = 12.0;
/// Clear paper between two blocks.
const BLOCK_GAP_MM: f64 = 4.0;
/// What must still fit under a heading for it to stay on the page.
const KEPT_WITH_HEADING_MM: f64 = 25.0;

pub(super) fn paginate(sheets: &[Sheet]) -> Outcome<Vec<Ink>> {
    let mut pages = Vec::new();
    let mut problems = Vec::new();
    for sheet in sheets {
        let mut flow = Flow::new();
        for block in &sheet.blocks {
            if let Err(problem) = flow.block(block) {
                problems.push(problem.at(format!("sheet `{}`", sheet.heading)));
            }
        }
        pages.extend(flow.pages.into_iter().enumerate().map(|(n, page)| (sheet, n, page)));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let of = pages.len();
    let inked = pages.into_iter().enumerate().map(|(n, (sheet, nth_of_sheet, page))| {
        let mut ink = Ink::new();
        let heading = match nth_of_sheet {
            0 => sheet.heading.clone(),
            _ => format!("{} (continued)", sheet.heading),
        };
        furniture::draw(&mut ink, &heading, &sheet.title, &page.scales.join(", "), Leaf { page: n + 1, of });
        ink.lay(page.ink, 0.0, 0.0);
        ink
    });
    Ok(inked.collect())
}

#[derive(Default)]
struct Page {
    ink: Ink,
    scales: Vec<String>,
}

struct Flow {
    pages: Vec<Page>,
    down_mm: f64,
}

impl Flow {
    fn new() -> Self {
        Self { pages: vec![Page::default()], down_mm: BODY.top_mm }
    }

    fn page(&mut self) -> &mut Page {
        self.pages.last_mut().expect("a flow begins with a page and never loses one")
    }

    fn at_top(&self) -> bool {
        self.down_mm <= BODY.top_mm
    }

    /// Turns to a new page unless so much is left on this one.
    fn need(&mut self, height_mm: f64) {
        if !self.at_top() && self.down_mm + height_mm > BODY.bottom_mm + 1e-9 {
            self.pages.push(Page::default());
            self.down_mm = BODY.top_mm;
        }
    }

    fn gap(&mut self) {
        if !self.at_top() {
            self.down_mm += BLOCK_GAP_MM;
        }
    }

    fn block(&mut self, block: &Block) -> Result<(), Problem> {
        self.gap();
        match block {
            Block::Heading(words) => self.heading(words),
            Block::Words(words) => self.lines(words, READING_PT, Face::Regular, 0.0),
            Block::Picture { picture, tallest_mm } => self.picture(picture, *tallest_mm)?,
            Block::Table(table) => self.table(table),
            Block::Cautions(cautions) => self.cautions(cautions),
            Block::Ticks(things) => self.ticks(things),
        }
        Ok(())
    }

    fn heading(&mut self, words: &str) {
        self.need(Text::leading_mm(HEADING_PT) + KEPT_WITH_HEADING_MM);
        self.lines(words, HEADING_PT, Face::Bold, 0.0);
        // A heading stands nearer to what it heads than to what it follows.
        self.down_mm -= BLOCK_GAP_MM / 2.0;
    }

    fn lines(&mut self, words: &str, size_pt: f64, face: Face, indent_mm: f64) {
        let leading_mm = Text::leading_mm(size_pt);
        for line in wrap(words, face, size_pt, BODY.width_mm() - indent_mm) {
            self.need(leading_mm);
            let base_mm = self.down_mm + leading_mm - face.descent_mm(size_pt);
            let text = Text::new(&line, size_pt, Point::mm(BODY.left_mm + indent_mm, base_mm)).face(face);
            self.page().ink.text(text);
            self.down_mm += leading_mm;
        }
    }

    fn picture(&mut self, picture: &Picture, tallest_mm: f64) -> Result<(), Problem> {
        let placed = picture.fit(BODY.width_mm(), tallest_mm.min(BODY.height_mm()))?;
        self.need(placed.height_mm);
        let left_mm = BODY.left_mm + (BODY.width_mm() - placed.width_mm) / 2.0;
        let top_mm = self.down_mm;
        self.down_mm += placed.height_mm;
        let scale = placed.scale.to_string();
        let page = self.page();
        if !page.scales.contains(&scale) {
            page.scales.push(scale);
        }
        page.ink.lay(placed.ink, left_mm, top_mm);
        Ok(())
    }

    fn table(&mut self, table: &Table) {
        let laid = table.lay_out(BODY.width_mm(), BODY.height_mm());
        let mut headed = false;
        for strip in &laid.strips {
            let pages = self.pages.len();
            let with_heading_mm = if headed { 0.0 } else { laid.heading_mm };
            self.need(strip.height_mm + with_heading_mm);
            if !headed || self.pages.len() > pages {
                let corner = Point::mm(BODY.left_mm, self.down_mm);
                laid.draw_heading(&mut self.page().ink, corner);
                self.down_mm += laid.heading_mm;
                headed = true;
            }
            let corner = Point::mm(BODY.left_mm, self.down_mm);
            laid.draw_strip(&mut self.page().ink, strip, corner);
            self.down_mm += strip.height_mm;
        }
        if table.supposes() {
            self.down_mm += 1.0;
            self.lines(ASSUMED_MEANS, 9.0, Face::Regular, 0.0);
        }
    }

    fn cautions(&mut self, cautions: &[String]) {
        const SIGN_MM: f64 = 5.0;
        const INDENT_MM: f64 = 12.0;
        const PAD_MM: f64 = 2.0;
        let leading_mm = Text::leading_mm(CAUTION_PT);
        for caution in cautions {
            let lines = wrap(caution, Face::Regular, CAUTION_PT, BODY.width_mm() - INDENT_MM - PAD_MM);
            // A caution is kept whole unless it is longer than a page.
            let most = ((BODY.height_mm() - 2.0 * PAD_MM) / leading_mm).floor() as usize;
            for piece in lines.chunks(most) {
                let height_mm = (piece.len() as f64 * leading_mm + 2.0 * PAD_MM).max(SIGN_MM + 2.0 * PAD_MM);
                self.need(height_mm);
                let top_mm = self.down_mm;
                self.down_mm += height_mm;
                let ink = &mut self.page().ink;
                let frame = Bounds::new(BODY.left_mm, top_mm, BODY.width_mm(), height_mm);
                ink.rectangle(frame, Some(Line::Dimension), Fill::None);
                let middle_mm = top_mm + height_mm / 2.0;
                warning(ink, Point::mm(BODY.left_mm + 2.8, middle_mm + SIGN_MM / 2.0), SIGN_MM);
                let first_mm = middle_mm - piece.len() as f64 * leading_mm / 2.0 + leading_mm
                    - Face::Regular.descent_mm(CAUTION_PT)
                    - 0.3;
                for (n, line) in piece.iter().enumerate() {
                    let at = Point::mm(BODY.left_mm + INDENT_MM, first_mm + leading_mm * n as f64);
                    ink.text(Text::new(line, CAUTION_PT, at));
                }
            }
        }
    }

    fn ticks(&mut self, things: &[String]) {
        const BOX_MM: f64 = 3.2;
        const INDENT_MM: f64 = 6.5;
        const BETWEEN_MM: f64 = 1.2;
        let leading_mm = Text::leading_mm(READING_PT);
        for thing in things {
            self.need(leading_mm);
            let corner = Point::mm(BODY.left_mm + 0.5, self.down_mm + leading_mm - BOX_MM - 0.6);
            let frame = Bounds::new(corner.x_mm, corner.y_mm, BOX_MM, BOX_MM);
            self.page().ink.rectangle(frame, Some(Line::Dimension), Fill::None);
            self.lines(thing, READING_PT, Face::Regular, INDENT_MM);
            self.down_mm += BETWEEN_MM;
        }
    }
}
