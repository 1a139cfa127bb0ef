//! Blocks down the page, and on to the next when it is full.

mod cautions;
mod items;
mod sharing;

use items::{Lead, in_columns};
use sharing::{as_many_as_share, flow};

use super::{Block, Fact, Says, Sheet, Smaller};
use crate::font::{Face, wrap};
use crate::furniture::{self, BODY, Heading, Leaf};
use crate::grid::{Band, Grid, LABEL_PT, Setting, words};
use crate::ink::{ASSUMED_MEANS, Bounds, Fill, Ink, Line, Point, Text};
use crate::picture::Placed;
use crate::rows::Rows;
use crate::table::{Ground, Spacing, Table};

const READING_PT: f64 = 10.0;
const HEADING_PT: f64 = 12.0;
/// Clear paper between two blocks.
const BLOCK_GAP_MM: f64 = 3.2;
const CLOSE_BLOCK_GAP_MM: f64 = 2.0;
/// What must still fit under a heading for it to stay on the page.
const KEPT_WITH_HEADING_MM: f64 = 15.0;

pub(super) fn paginate(sheets: &[Sheet], smaller: &Smaller) -> Vec<Ink> {
    let mut pages = Vec::new();
    let mut at = 0;
    while let Some(sheet) = sheets.get(at) {
        let (flow, taken) = as_many_as_share(&sheets[at..], &|n, level| smaller(at + n, level));
        at += taken;
        pages.extend(flow.pages.into_iter().enumerate().map(|(n, page)| (sheet, n, page)));
    }
    let of = pages.len();
    let inked = pages.into_iter().enumerate().map(|(n, (sheet, nth_of_sheet, page))| {
        let mut ink = Ink::new();
        let words = match nth_of_sheet {
            0 => sheet.heading.clone(),
            _ => format!("{} (continued)", sheet.heading),
        };
        let heading = Heading { ring: sheet.ring.as_deref(), words: &words };
        furniture::draw(&mut ink, heading, &sheet.title, &page.scales.join(", "), Leaf { page: n + 1, of });
        if page.ground == Ground::Supposed {
            furniture::legend(&mut ink, ASSUMED_MEANS);
        }
        ink.lay(page.ink, 0.0, 0.0);
        ink
    });
    inked.collect()
}

/// How many pages a sheet takes by itself.
pub(super) fn pages(sheet: &Sheet) -> usize {
    flow(sheet).pages.len()
}

/// Where the last words of a sheet stand.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Foot {
    /// Under what comes before.
    Text,
    /// At the foot of the page.
    Page,
}

#[derive(Default)]
struct Page {
    ink: Ink,
    scales: Vec<String>,
    /// Whether the meaning of the sign for something supposed must stand on it.
    ground: Ground,
}

struct Flow {
    pages: Vec<Page>,
    down_mm: f64,
    spacing: Spacing,
}

impl Flow {
    /// Sheets one under the other, the first under the heading of the page. The cautions of a
    /// sheet stand at its end where that is on the page on which it begins, else before its rows.
    fn of(sheets: &[&Sheet], spacing: Spacing) -> Self {
        let mut first = vec![false; sheets.len()];
        loop {
            match Self::with(sheets, spacing, &first) {
                Ok(flow) => return flow,
                Err(late) => first[late] = true,
            }
        }
    }

    /// The same with the cautions before the rows on some; otherwise the first sheet of which they
    /// come on a later page.
    fn with(sheets: &[&Sheet], spacing: Spacing, cautions_first: &[bool]) -> Result<Self, usize> {
        let mut flow = Flow { pages: vec![Page::default()], down_mm: BODY.top_mm, spacing };
        for (n, sheet) in sheets.iter().enumerate() {
            if n > 0 {
                flow.sheet_heading(sheet);
            }
            let begins = flow.pages.len();
            let blocks = cautions::in_order(sheet, cautions_first[n]);
            for (k, block) in blocks.iter().enumerate() {
                let next = blocks.get(k + 1);
                let last = n + 1 == sheets.len() && next.is_none();
                match (block, next) {
                    (Block::Heading(words), Some(Block::Table(table))) => flow.heading_of(words, table),
                    _ => flow.block(block, if last { Foot::Page } else { Foot::Text }),
                }
                let turned = flow.pages.len() > begins && matches!(block, Block::Cautions(_));
                if turned && !cautions_first[n] && cautions::warns_of_rows(sheet) {
                    return Err(n);
                }
            }
        }
        Ok(flow)
    }

    /// The heading of a sheet that begins half-way down a page.
    fn sheet_heading(&mut self, sheet: &Sheet) {
        const ABOVE_MM: f64 = 5.0;
        let heading = Heading { ring: sheet.ring.as_deref(), words: &sheet.heading };
        self.down_mm += ABOVE_MM;
        self.need(furniture::HEADING_MM + KEPT_WITH_HEADING_MM);
        let top_mm = self.down_mm;
        furniture::heading_band(&mut self.page().ink, heading, top_mm);
        self.down_mm += furniture::HEADING_MM - BLOCK_GAP_MM;
    }

    /// The lettering of words to read.
    fn reading_pt(&self) -> f64 {
        match self.spacing {
            Spacing::Usual => READING_PT,
            Spacing::Close => LABEL_PT,
        }
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
            self.down_mm += match self.spacing {
                Spacing::Usual => BLOCK_GAP_MM,
                Spacing::Close => CLOSE_BLOCK_GAP_MM,
            };
        }
    }

    fn block(&mut self, block: &Block, foot: Foot) {
        self.gap();
        match block {
            Block::Heading(words) => self.heading(words),
            Block::Words(words) => self.lines(words, READING_PT, Face::Regular, 0.0),
            Block::Points(points) => self.points(points),
            Block::Facts(facts) => facts.iter().for_each(|fact| self.fact(fact)),
            Block::Picture { placed, caption } => self.picture(placed, caption),
            Block::Table(table) => self.table(table),
            Block::Rows(rows) => self.rows(rows),
            Block::Cautions(cautions) => self.cautions(cautions, foot),
            Block::Ticks(things) => self.ticks(things),
        }
    }

    /// A heading that stays with the first row of its table.
    fn heading_of(&mut self, words: &str, table: &Table) {
        self.gap();
        let laid = table.lay_out(BODY.width_mm(), BODY.height_mm(), self.spacing);
        let first_mm = laid.strips.first().map_or(0.0, |strip| strip.height_mm);
        self.need(Text::leading_mm(HEADING_PT) + BLOCK_GAP_MM + laid.heading_mm + first_mm);
        self.heading(words);
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

    fn points(&mut self, points: &[String]) {
        const INDENT_MM: f64 = 4.0;
        if self.close_items(points, Lead::Dot) {
            return;
        }
        for point in points {
            let leading_mm = Text::leading_mm(READING_PT);
            self.need(leading_mm);
            let dot = Point::mm(BODY.left_mm + 1.2, self.down_mm + leading_mm * 0.55);
            self.page().ink.circle(dot, 0.55, None, Fill::Ink);
            self.lines(point, READING_PT, Face::Regular, INDENT_MM);
        }
    }

    /// Sets statements in columns where the sheet is set close and they do not
    /// take much of a page; says whether it did.
    fn close_items(&mut self, things: &[String], lead: Lead) -> bool {
        if self.spacing == Spacing::Usual {
            return false;
        }
        let band = in_columns(things, lead, BODY.width_mm());
        if band.height_mm > BODY.height_mm() / 2.0 {
            return false;
        }
        self.need(band.height_mm);
        self.band(band, BODY.left_mm);
        true
    }

    fn fact(&mut self, fact: &Fact) {
        const NAME_MM: f64 = 26.0;
        const LEAST_COLUMN_MM: f64 = 34.0;
        let width_mm = BODY.width_mm() - NAME_MM;
        let bands = match &fact.says {
            Says::Words(cell) => {
                self.mark_ground(cell.ground);
                words(&cell.words, Face::Regular, self.reading_pt(), width_mm, cell.tag.as_ref())
            }
            Says::Settings(settings) => {
                settings.iter().for_each(|s: &Setting| self.mark_ground(s.cell.ground));
                Grid::new(width_mm, LEAST_COLUMN_MM, &[settings]).lay_out(settings)
            }
        };
        self.need_bands(&bands);
        let base_mm = Text::leading_mm(self.reading_pt()) - Face::Regular.descent_mm(self.reading_pt());
        let name = Point::mm(BODY.left_mm, self.down_mm + base_mm);
        let text = Text::new(&fact.name, LABEL_PT, name).face(Face::Bold);
        self.page().ink.text(text);
        for band in bands {
            self.need(band.height_mm);
            self.band(band, BODY.left_mm + NAME_MM);
        }
        self.down_mm += 0.8;
    }

    /// Turns the page before the first of some bands if it would not fit.
    fn need_bands(&mut self, bands: &[Band]) {
        self.need(bands.first().map_or(0.0, |band| band.height_mm));
    }

    fn band(&mut self, band: Band, left_mm: f64) {
        let top_mm = self.down_mm;
        self.page().ink.lay(band.ink, left_mm, top_mm);
        self.down_mm += band.height_mm;
    }

    fn mark_ground(&mut self, ground: Ground) {
        if ground == Ground::Supposed {
            self.page().ground = ground;
        }
    }

    fn picture(&mut self, placed: &Placed, caption: &str) {
        let caption = words(caption, Face::Regular, LABEL_PT, BODY.width_mm(), None);
        let caption_mm: f64 = caption.iter().map(|band| band.height_mm).sum();
        self.need(placed.height_mm + caption_mm);
        let left_mm = BODY.left_mm + (BODY.width_mm() - placed.width_mm) / 2.0;
        let top_mm = self.down_mm;
        self.down_mm += placed.height_mm;
        let scale = placed.scale.to_string();
        let page = self.page();
        if !page.scales.contains(&scale) {
            page.scales.push(scale);
        }
        page.ink.lay(placed.ink.clone(), left_mm, top_mm);
        for band in caption {
            self.need(band.height_mm);
            self.band(band, BODY.left_mm);
        }
    }

    fn rows(&mut self, rows: &Rows) {
        let laid = rows.lay_out(BODY.width_mm(), BODY.height_mm(), self.spacing);
        let mut headed = false;
        for strip in laid.strips {
            let pages = self.pages.len();
            let with_heading_mm = if headed { 0.0 } else { laid.heading.height_mm };
            self.need(strip.band.height_mm + with_heading_mm);
            let turned = self.pages.len() > pages;
            if !headed || turned {
                self.band(laid.heading.clone(), BODY.left_mm);
                headed = true;
            }
            if let Some(goes_on) = strip.goes_on.filter(|_| turned) {
                self.band(goes_on, BODY.left_mm);
            }
            if rows.supposes() {
                self.mark_ground(Ground::Supposed);
            }
            self.band(strip.band, BODY.left_mm);
        }
    }

    fn table(&mut self, table: &Table) {
        let laid = table.lay_out(BODY.width_mm(), BODY.height_mm(), self.spacing);
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
            if table.supposes() {
                self.mark_ground(Ground::Supposed);
            }
        }
    }

    /// Boxes to tick, in as many columns up to three as every one is short enough for.
    fn ticks(&mut self, things: &[String]) {
        const BOX_MM: f64 = 3.2;
        const INDENT_MM: f64 = 6.5;
        const BETWEEN_MM: f64 = 1.0;
        if self.close_items(things, Lead::Box) {
            return;
        }
        let leading_mm = Text::leading_mm(READING_PT);
        let wide_mm = |thing: &String| Face::Regular.width_mm(thing, READING_PT) + INDENT_MM + 2.0;
        let column_mm = |columns: usize| BODY.width_mm() / columns as f64;
        let short = |columns: usize| things.iter().filter(move |thing| wide_mm(thing) <= column_mm(columns));
        // A few that are too long stand by themselves after the rest.
        let columns = [3, 2].into_iter().find(|&columns| short(columns).count() * 4 >= things.len() * 3);
        let columns = columns.unwrap_or(1);
        let in_columns: Vec<&String> = short(columns).collect();
        let alone = things.iter().filter(|thing| columns > 1 && wide_mm(thing) > column_mm(columns));
        let column_mm = column_mm(columns);
        let lines = match columns {
            1 => things.iter().map(|thing| vec![thing]).collect(),
            _ => in_columns
                .chunks(columns)
                .map(<[&String]>::to_vec)
                .chain(alone.map(|thing| vec![thing]))
                .collect::<Vec<_>>(),
        };
        for line in lines {
            self.need(leading_mm);
            let top_mm = self.down_mm;
            for (n, thing) in line.iter().enumerate() {
                let right_mm = column_mm * n as f64;
                if n > 0 {
                    self.down_mm = top_mm;
                }
                let corner =
                    Point::mm(BODY.left_mm + right_mm + 0.5, self.down_mm + leading_mm - BOX_MM - 0.6);
                let frame = Bounds::new(corner.x_mm, corner.y_mm, BOX_MM, BOX_MM);
                self.page().ink.rectangle(frame, Some(Line::Dimension), Fill::None);
                self.lines(thing, READING_PT, Face::Regular, right_mm + INDENT_MM);
            }
            self.down_mm += BETWEEN_MM;
        }
    }
}
