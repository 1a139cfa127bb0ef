//! Pages written as PDF, black on white, with the part of the font they use.
//!
//! The same pages give the same bytes: no date is written, and the writer makes
//! the document's number from its content.

use krilla::Document;
use krilla::color::luma;
use krilla::geom::{PathBuilder, Point as PdfPoint, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill as PdfFill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use workshop::problem::Problem;

use crate::font::{Face, POINT_MM};
use crate::ink::{
    Anchor, End, Fill, Ink, Line, PAGE_HEIGHT_MM, PAGE_WIDTH_MM, Path, Point, Shape, Step, Sweep, Text, Tone,
    Turn,
};

/// Greys of a printed page: ink, tint, paper.
const BLACK: u8 = 0;
/// What was there before.
const GREY: u8 = 164;
const TINT: u8 = 238;
const WHITE: u8 = 255;

/// Writes A4 pages as one PDF document.
///
/// # Errors
/// A [`Problem`] when the writer refuses the document.
pub fn write(title: &str, pages: &[Ink]) -> Result<Vec<u8>, Problem> {
    let fonts = Fonts::load()?;
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(title.to_owned()).language("en".to_owned()));
    let (width_pt, height_pt) = (PAGE_WIDTH_MM / POINT_MM, PAGE_HEIGHT_MM / POINT_MM);
    for ink in pages {
        let size = PageSettings::from_wh(width_pt as f32, height_pt as f32).expect("A4 has a size");
        let mut page = document.start_page_with(size);
        let mut surface = page.surface();
        // From here on everything is in millimetres.
        let mm = (1.0 / POINT_MM) as f32;
        surface.push_transform(&Transform::from_scale(mm, mm));
        for mark in &ink.marks {
            draw(&mut surface, &mark.shape, &fonts);
        }
        surface.pop();
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|refusal| {
        Problem::new("the PDF cannot be written")
            .why(format!("the PDF writer refused it: {refusal:?}"))
            .mend("print the HTML sheet from a browser instead")
    })
}

struct Fonts {
    regular: Font,
    bold: Font,
}

impl Fonts {
    fn load() -> Result<Self, Problem> {
        let font = |face: Face| {
            Font::new(face.file().into(), 0)
                .ok_or_else(|| Problem::new("the PDF writer cannot read the sheet's font"))
        };
        Ok(Self { regular: font(Face::Regular)?, bold: font(Face::Bold)? })
    }
}

fn draw(surface: &mut Surface<'_>, shape: &Shape, fonts: &Fonts) {
    match shape {
        Shape::Path { path, line, fill } => {
            paint(surface, *line, *fill);
            if let Some(path) = pdf_path(path) {
                surface.draw_path(&path);
            }
        }
        Shape::Circle { centre, radius_mm, line, fill } => {
            paint(surface, *line, *fill);
            let start = centre.polar(*radius_mm, 0.0);
            let round = Path::from(start).arc(*centre, start, Turn::Anticlockwise).ending(End::Closed);
            if let Some(path) = pdf_path(&round) {
                surface.draw_path(&path);
            }
        }
        Shape::Text(text) => set(surface, text, fonts),
    }
}

fn paint(surface: &mut Surface<'_>, line: Option<Line>, fill: Fill) {
    let grey = match fill {
        Fill::None => None,
        Fill::Paper => Some(WHITE),
        Fill::Tint => Some(TINT),
        Fill::Ink | Fill::Accent => Some(BLACK),
    };
    surface.set_fill(grey.map(solid));
    surface.set_stroke(line.map(|line| {
        let dashes = line.dashes_mm();
        Stroke {
            paint: luma::Color::new(if line.tone() == Tone::Grey { GREY } else { BLACK }).into(),
            width: line.width_mm() as f32,
            miter_limit: 10.0,
            line_cap: LineCap::Butt,
            line_join: LineJoin::Round,
            opacity: NormalizedF32::ONE,
            dash: (!dashes.is_empty())
                .then(|| StrokeDash { array: dashes.iter().map(|d| *d as f32).collect(), offset: 0.0 }),
        }
    }));
}

fn solid(grey: u8) -> PdfFill {
    PdfFill { paint: luma::Color::new(grey).into(), ..PdfFill::default() }
}

fn set(surface: &mut Surface<'_>, text: &Text, fonts: &Fonts) {
    let glyphs: Vec<KrillaGlyph> = text
        .face
        .glyphs(&text.words)
        .map(|glyph| KrillaGlyph {
            glyph_id: GlyphId::new(glyph.index.into()),
            text_range: glyph.bytes,
            x_advance: glyph.advance_em as f32,
            x_offset: 0.0,
            y_offset: 0.0,
            y_advance: 0.0,
            location: None,
        })
        .collect();
    let font = match text.face {
        Face::Regular => &fonts.regular,
        Face::Bold => &fonts.bold,
    };
    let left = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -text.width_mm() / 2.0,
        Anchor::End => -text.width_mm(),
    };
    surface.set_fill(Some(solid(BLACK)));
    surface.set_stroke(None);
    let (sin, cos) = (-text.turn_rad).sin_cos();
    surface.push_transform(&Transform::from_row(
        cos as f32,
        sin as f32,
        -sin as f32,
        cos as f32,
        text.at.x_mm as f32,
        text.at.y_mm as f32,
    ));
    surface.draw_glyphs(
        PdfPoint::from_xy(left as f32, 0.0),
        &glyphs,
        font.clone(),
        &text.words,
        (text.size_pt * POINT_MM) as f32,
        false,
    );
    surface.pop();
}

fn pdf_path(path: &Path<Point>) -> Option<krilla::geom::Path> {
    let mut builder = PathBuilder::new();
    builder.move_to(path.start.x_mm as f32, path.start.y_mm as f32);
    let mut at = path.start;
    for step in &path.steps {
        match *step {
            Step::To(to) => {
                builder.line_to(to.x_mm as f32, to.y_mm as f32);
                at = to;
            }
            Step::Arc { centre, to, turn } => {
                arc_as_cubics(&mut builder, centre, Sweep::of(at, centre, to, turn));
                at = to;
            }
        }
    }
    if path.end == End::Closed {
        builder.close();
    }
    builder.finish()
}

/// An arc as Bézier curves, each over an eighth of a turn at most, where the
/// usual handle length 4/3 tan(t/4) errs by less than 5 parts in a million of
/// the radius.
fn arc_as_cubics(builder: &mut PathBuilder, centre: Point, arc: Sweep) {
    let pieces = (arc.sweep_rad.abs() / std::f64::consts::FRAC_PI_4).ceil().max(1.0);
    let piece_rad = arc.sweep_rad / pieces;
    let handle_mm = 4.0 / 3.0 * (piece_rad / 4.0).tan() * arc.radius_mm;
    for n in 0..pieces as u32 {
        let begin_rad = arc.from_rad + piece_rad * f64::from(n);
        let end_rad = begin_rad + piece_rad;
        let quarter = std::f64::consts::FRAC_PI_2;
        let end = centre.polar(arc.radius_mm, end_rad);
        let first = centre.polar(arc.radius_mm, begin_rad).polar(handle_mm, begin_rad + quarter);
        let second = end.polar(-handle_mm, end_rad + quarter);
        builder.cubic_to(
            first.x_mm as f32,
            first.y_mm as f32,
            second.x_mm as f32,
            second.y_mm as f32,
            end.x_mm as f32,
            end.y_mm as f32,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two_pages() -> Vec<Ink> {
        let mut first = Ink::new();
        first.circle(Point::mm(100.0, 100.0), 20.0, Some(Line::Hidden), Fill::Tint);
        first.text(Text::new("Valve lever √2 → 1½ 你", 12.0, Point::mm(20.0, 30.0)));
        let mut second = Ink::new();
        second.line(Line::Phantom, Point::mm(20.0, 30.0), Point::mm(120.0, 30.0));
        vec![first, second]
    }

    #[test]
    fn another_reader_finds_the_pages_and_their_size() {
        let bytes = write("Lever <&>", &two_pages()).unwrap();
        assert!(bytes.starts_with(b"%PDF"));
        let read = lopdf::Document::load_mem(&bytes).unwrap();
        let pages = read.get_pages();
        assert_eq!(pages.len(), 2);
        let page = read.get_dictionary(pages[&1]).unwrap();
        let media: Vec<f32> = page
            .get(b"MediaBox")
            .unwrap()
            .as_array()
            .unwrap()
            .iter()
            .map(|n| n.as_float().unwrap())
            .collect();
        // ISO 216 A4 in points: 595.276 by 841.890.
        assert!((media[2] - 595.276).abs() < 0.01 && (media[3] - 841.890).abs() < 0.01, "{media:?}");
    }

    #[test]
    fn the_same_pages_give_the_same_bytes() {
        assert_eq!(write("Lever", &two_pages()).unwrap(), write("Lever", &two_pages()).unwrap());
    }

    #[test]
    fn a_document_of_no_pages_is_still_a_document() {
        assert!(write("", &[]).is_ok());
    }
}
