//! Ink written as SVG text.
//!
//! The same ink gives the same bytes: numbers to a thousandth of a millimetre,
//! attributes in one order, no dates. A mark that stands for something carries
//! its name in `data-why` and a sentence in `<title>`.

use std::fmt::Write;
use std::sync::OnceLock;

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;

use crate::font::{FAMILY, Face, POINT_MM};
use crate::ink::{
    Anchor, Bounds, End, Fill, Ink, Line, Mark, Path, Point, Shape, Step, Sweep, Tag, Text, Tone, Turn,
};

/// The colour of ink on a screen. A printer gets black on white.
pub const INK_COLOUR: &str = "#1d2126";
/// The one accent: the blue that is brushed on metal before scribing.
pub const ACCENT_COLOUR: &str = "#22409a";
/// What was there before, on screen and paper.
const GREY_COLOUR: &str = "#a4a6a4";

/// How a drawing gets its lettering and its style.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dress {
    /// A file of its own: carries its style and the font.
    Alone,
    /// A file of its own that names the font but does not carry it; text keeps
    /// its measured width in whatever face stands in.
    Light,
    /// Part of a page that has [`style`] already.
    Inline,
}

/// What a mark that stands for something does when it is asked about.
#[derive(Clone, Copy)]
pub enum Links<'a> {
    /// It carries its name and a sentence, and nothing more.
    Named,
    /// It also leads to an address made from its name.
    To(&'a dyn Fn(&str) -> String),
}

/// Writes ink as an SVG picture of the part of the page inside `view`.
pub fn write(ink: &Ink, view: Bounds, dress: Dress) -> String {
    write_linked(ink, view, dress, Links::Named)
}

/// Writes ink as an SVG picture whose marks lead where `links` says.
pub fn write_linked(ink: &Ink, view: Bounds, dress: Dress, links: Links<'_>) -> String {
    let mut out = String::new();
    let (left, top) = (number(view.left_mm), number(view.top_mm));
    let (width, height) = (number(view.width_mm()), number(view.height_mm()));
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"ink\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"{left} {top} {width} {height}\">"
    );
    match dress {
        Dress::Alone => {
            let _ = write!(out, "<style>\n{}{}</style>\n", font_faces(), style());
        }
        Dress::Light => {
            let _ = write!(out, "<style>\n{}</style>\n", style());
        }
        Dress::Inline => {}
    }
    if dress != Dress::Inline {
        let _ = writeln!(
            out,
            "<rect class=\"fill-paper\" x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\"/>"
        );
    }
    for image in &ink.beneath {
        let bounds = image.bounds;
        let _ = writeln!(
            out,
            "<image class=\"beneath\" href=\"{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" \
             preserveAspectRatio=\"none\"/>",
            escape(&image.address),
            number(bounds.left_mm),
            number(bounds.top_mm),
            number(bounds.width_mm()),
            number(bounds.height_mm())
        );
    }
    let mut open: Option<&Tag> = None;
    for mark in &ink.marks {
        if mark.tag.as_ref() != open {
            if let Some(tag) = open {
                let _ = writeln!(out, "</{}>", group(tag, links));
            }
            open = mark.tag.as_ref();
            if let Some(tag) = open {
                open_group(&mut out, tag, links);
            }
        }
        if open.is_some_and(|tag| tag.feature.is_some()) {
            write_touch(&mut out, mark);
        }
        write_mark(&mut out, mark);
    }
    if let Some(tag) = open {
        let _ = writeln!(out, "</{}>", group(tag, links));
    }
    out.push_str("</svg>\n");
    out
}

/// The element round marks that stand for something.
fn group(tag: &Tag, links: Links<'_>) -> &'static str {
    match (links, &tag.why) {
        (Links::To(_), Some(_)) => "a",
        _ => "g",
    }
}

fn open_group(out: &mut String, tag: &Tag, links: Links<'_>) {
    let _ = write!(out, "<{}", group(tag, links));
    if let Some(feature) = &tag.feature {
        let _ = write!(out, " class=\"feature\" data-feature=\"{}\"", escape(feature));
    }
    if let Some(why) = &tag.why {
        if let Links::To(address) = links {
            let _ = write!(out, " href=\"{}\"", escape(&address(why)));
        }
        let _ = write!(out, " data-why=\"{}\"", escape(why));
    }
    let _ = writeln!(out, "><title>{}</title>", escape(&tag.hover));
}

/// The CSS that gives line classes, fills and tones their looks, on the screen
/// and on paper. A page with [`Dress::Inline`] pictures needs it once.
pub fn style() -> String {
    let mut css = String::new();
    let _ = write!(
        css,
        ".ink {{ --ink: {INK_COLOUR}; --accent: {ACCENT_COLOUR}; --tint: #ecebe6; --grey: {GREY_COLOUR}; }}\n\
         @media print {{ .ink {{ --ink: #000; --accent: #000; --tint: #eee; }} }}\n\
         .ink path, .ink circle {{ fill: none; stroke-linejoin: round; }}\n"
    );
    for line in Line::ALL {
        let colour = match line.tone() {
            Tone::Ink => "ink",
            Tone::Accent => "accent",
            Tone::Grey => "grey",
        };
        let _ = write!(
            css,
            ".ink .{} {{ stroke: var(--{colour}); stroke-width: {};",
            line.name(),
            number(line.width_mm())
        );
        let dashes = line.dashes_mm();
        if !dashes.is_empty() {
            let dashes: Vec<String> = dashes.iter().map(|d| number(*d)).collect();
            let _ = write!(css, " stroke-dasharray: {};", dashes.join(" "));
        }
        css.push_str(" }\n");
    }
    let _ = write!(
        css,
        ".ink .fill-paper {{ fill: #fff; }}\n\
         .ink .fill-tint {{ fill: var(--tint); }}\n\
         .ink .fill-ink {{ fill: var(--ink); }}\n\
         .ink .fill-accent {{ fill: var(--accent); }}\n\
         .ink text {{ font-family: {FAMILY}, \"DejaVu Sans\", Verdana, sans-serif; fill: var(--ink); white-space: pre; }}\n\
         .ink .touch {{ stroke: transparent; stroke-width: 2.5; pointer-events: stroke; }}\n\
         .ink text.bold {{ font-weight: 700; }}\n\
         .ink text.accent {{ fill: var(--accent); }}\n"
    );
    css
}

/// The CSS that carries the font itself, for a document that must stand alone.
pub fn font_faces() -> &'static str {
    static FACES: OnceLock<String> = OnceLock::new();
    FACES.get_or_init(|| {
        let face = |face: Face| {
            format!(
                "@font-face {{ font-family: {FAMILY}; font-weight: {}; src: url(data:font/otf;base64,{}) format(\"opentype\"); }}\n",
                face.css_weight(),
                BASE64.encode(face.file())
            )
        };
        [Face::Regular, Face::Bold].map(face).concat()
    })
}

/// Text made safe inside an element or a quoted attribute of SVG or HTML.
///
/// Characters that XML does not allow at all become U+FFFD.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\t' => safe.push(c),
            '\u{fffe}' | '\u{ffff}' => safe.push('\u{fffd}'),
            c if c.is_control() => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}

/// A wide line that is not seen, by which a narrow one can be pointed at.
fn write_touch(out: &mut String, mark: &Mark) {
    match &mark.shape {
        Shape::Path { path, line: Some(_), .. } => {
            let _ = writeln!(out, "<path class=\"touch\" d=\"{}\"/>", path_data(path));
        }
        Shape::Circle { centre, radius_mm, line: Some(_), .. } => {
            let (x, y, r) = (number(centre.x_mm), number(centre.y_mm), number(*radius_mm));
            let _ = writeln!(out, "<circle class=\"touch\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>");
        }
        _ => {}
    }
}

fn write_mark(out: &mut String, mark: &Mark) {
    match &mark.shape {
        Shape::Path { path, line, fill } => {
            let _ = writeln!(out, "<path{} d=\"{}\"/>", class(*line, *fill), path_data(path));
        }
        Shape::Circle { centre, radius_mm, line, fill } => {
            let _ = writeln!(
                out,
                "<circle{} cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                class(*line, *fill),
                number(centre.x_mm),
                number(centre.y_mm),
                number(*radius_mm)
            );
        }
        Shape::Text(text) => write_text(out, text),
    }
}

fn write_text(out: &mut String, text: &Text) {
    let mut classes = Vec::new();
    if text.face == Face::Bold {
        classes.push("bold");
    }
    if text.tone == Tone::Accent {
        classes.push("accent");
    }
    out.push_str("<text");
    if !classes.is_empty() {
        let _ = write!(out, " class=\"{}\"", classes.join(" "));
    }
    let (x, y) = (number(text.at.x_mm), number(text.at.y_mm));
    let _ = write!(out, " x=\"{x}\" y=\"{y}\" font-size=\"{}\"", number(text.size_pt * POINT_MM));
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if text.turn_rad != 0.0 {
        let _ = write!(out, " transform=\"rotate({} {x} {y})\"", number(-text.turn_rad.to_degrees()));
    }
    // The measured width holds even where another face has to stand in.
    let _ = writeln!(
        out,
        " textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>",
        number(text.width_mm()),
        escape(&text.words)
    );
}

fn class(line: Option<Line>, fill: Fill) -> String {
    let fill = match fill {
        Fill::None => None,
        Fill::Paper => Some("fill-paper"),
        Fill::Tint => Some("fill-tint"),
        Fill::Ink => Some("fill-ink"),
        Fill::Accent => Some("fill-accent"),
    };
    let names: Vec<&str> = line.map(Line::name).into_iter().chain(fill).collect();
    if names.is_empty() { String::new() } else { format!(" class=\"{}\"", names.join(" ")) }
}

fn path_data(path: &Path<Point>) -> String {
    let pair = |data: &mut String, p: Point| {
        put_number(data, p.x_mm);
        data.push(' ');
        put_number(data, p.y_mm);
    };
    let mut data = String::from("M");
    pair(&mut data, path.start);
    let mut at = path.start;
    for step in &path.steps {
        match *step {
            Step::To(to) => {
                data.push('L');
                pair(&mut data, to);
                at = to;
            }
            Step::Arc { centre, to, turn } => {
                let Sweep { radius_mm, from_rad, sweep_rad } = Sweep::of(at, centre, to, turn);
                let radius = number(radius_mm);
                let clockwise = u8::from(turn == Turn::Clockwise);
                // In two halves, so that neither is the larger part of a circle:
                // SVG cannot otherwise tell a whole turn from none.
                let half = centre.polar(radius_mm, from_rad + sweep_rad / 2.0);
                for to in [half, to] {
                    let _ = write!(data, "A{radius} {radius} 0 0 {clockwise} ");
                    pair(&mut data, to);
                }
                at = to;
            }
        }
    }
    if path.end == End::Closed {
        data.push('Z');
    }
    data
}

/// A number to a thousandth, without needless noughts or a negative nought.
pub(crate) fn number(value: f64) -> String {
    let mut text = String::new();
    put_number(&mut text, value);
    text
}

/// The same at the end of a text.
fn put_number(text: &mut String, value: f64) {
    let thousandths = value * 1e3;
    let nearest = thousandths.round();
    // Whole numbers are written many times quicker; between two of them the exact way decides.
    if (thousandths - nearest).abs() >= 0.499 || nearest.abs() >= 1e15 {
        let exact = format!("{value:.3}");
        let kept = exact.trim_end_matches('0').trim_end_matches('.');
        text.push_str(if kept == "-0" { "0" } else { kept });
        return;
    }
    if nearest < 0.0 {
        text.push('-');
    }
    let units = nearest.abs() as u64;
    let _ = write!(text, "{}", units / 1000);
    let mut rest = units % 1000;
    if rest > 0 {
        text.push('.');
    }
    while rest > 0 {
        text.push(char::from(b'0' + (rest / 100) as u8));
        rest = rest % 100 * 10;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    fn inline(ink: &Ink) -> String {
        write(ink, Bounds::new(0.0, 0.0, 40.0, 20.0), Dress::Inline)
    }

    #[test]
    fn a_small_drawing_reads_as_svg() {
        let tag = Tag::new("lever/bore", "reamed 8 H7");
        let mut ink = Ink::new();
        ink.tagged(Some(&tag), |ink| {
            ink.circle(Point::mm(10.0, 10.0), 4.0, Some(Line::Visible), Fill::Paper);
            ink.text(Text::new("Ø8", 10.0, Point::mm(10.0, 10.0)).centred().face(Face::Bold));
        });
        ink.line(Line::Centre, Point::mm(3.0, 10.0), Point::mm(17.0, 10.0));
        ink.arc(Line::Visible, Point::mm(30.0, 10.0), 5.0, FRAC_PI_2, PI);
        insta::assert_snapshot!(inline(&ink), @r#"
        <svg xmlns="http://www.w3.org/2000/svg" class="ink" width="40mm" height="20mm" viewBox="0 0 40 20">
        <g data-why="lever/bore"><title>reamed 8 H7</title>
        <circle class="visible fill-paper" cx="10" cy="10" r="4"/>
        <text class="bold" x="10" y="11.323" font-size="3.528" text-anchor="middle" textLength="5.115" lengthAdjust="spacingAndGlyphs">Ø8</text>
        </g>
        <path class="centre" d="M3 10L17 10"/>
        <path class="visible" d="M30 5A5 5 0 0 0 25 10A5 5 0 0 0 30 15"/>
        </svg>
        "#);
    }

    #[test]
    fn names_from_outside_cannot_leave_their_place() {
        let nasty = "<script>&\"'\u{0}</script>";
        let mut ink = Ink::new();
        ink.tagged(Some(&Tag::new(nasty, nasty)), |ink| {
            ink.text(Text::new(nasty, 9.0, Point::mm(0.0, 5.0)));
        });
        let svg = inline(&ink);
        assert!(!svg.contains("<script") && !svg.contains('\0') && !svg.contains("'"), "{svg}");
        assert_eq!(svg.matches("&lt;script&gt;&amp;&quot;&#39;").count(), 3);
    }

    #[test]
    fn numbers_are_short_and_never_minus_nought() {
        let shown = [0.0, -0.0001, 1.0, 1.25, -2.71846, 100.0].map(number);
        assert_eq!(shown, ["0", "0", "1", "1.25", "-2.718", "100"]);
    }

    /// Against the exact decimals that the language writes, near halves too.
    #[test]
    fn numbers_are_the_nearest_thousandths() {
        for n in -4000..4000 {
            for off in [0.0, 0.0005, 0.000_499, 0.000_501, 0.25, 123_456.0, 1e15] {
                let value = f64::from(n) / 1000.0 + off;
                let exact = format!("{value:.3}");
                let exact = exact.trim_end_matches('0').trim_end_matches('.');
                assert_eq!(number(value), if exact == "-0" { "0" } else { exact }, "{value:?}");
            }
        }
    }

    #[test]
    fn a_file_of_its_own_carries_the_font_and_a_light_one_does_not() {
        let view = Bounds::new(0.0, 0.0, 10.0, 10.0);
        assert!(write(&Ink::new(), view, Dress::Alone).contains("font/otf;base64,T1RUTw"));
        let light = write(&Ink::new(), view, Dress::Light);
        assert!(!light.contains("base64") && light.contains("stroke-dasharray: 3 0.75"));
    }
}
