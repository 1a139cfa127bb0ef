//! Sheets as one printable HTML document: real tables, pictures as SVG, the font
//! carried inside, nothing fetched from anywhere.

use std::fmt::Write;

use workshop::problem::Outcome;

use crate::font::FAMILY;
use crate::furniture::{BODY, Title};
use crate::ink::{ASSUMED_MEANS, Tag};
use crate::picture::Placed;
use crate::sheet::{Block, Sheet};
use crate::svg::{self, ACCENT_COLOUR, Dress, INK_COLOUR, escape};
use crate::table::{Cell, Column, Look, Set, Table, Use};

/// Writes sheets as one document that prints on A4 and needs no other file.
///
/// # Errors
/// A [`workshop::problem::Problem`] for every picture that does not fit at any
/// standard scale.
pub fn document(title: &str, sheets: &[Sheet]) -> Outcome<String> {
    let mut problems = Vec::new();
    let mut body = String::new();
    for sheet in sheets {
        match section(sheet) {
            Ok(html) => body.push_str(&html),
            Err(more) => problems.extend(more),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{}{}{}</style>\n</head>\n<body class=\"sheets\">\n{body}</body>\n</html>\n",
        escape(title),
        svg::font_faces(),
        svg::style(),
        style()
    ))
}

/// The CSS of sheets on a screen and on paper, without the font and without the
/// style of the pictures ([`svg::font_faces`], [`svg::style`]).
pub fn style() -> String {
    format!(
        "\
@page {{ size: A4 portrait; margin: 10mm 10mm 10mm 20mm; }}
.sheets {{ margin: 0; color: {INK_COLOUR}; background: #f4f2ec; font-family: {FAMILY}, \"DejaVu Sans\", Verdana, sans-serif; font-size: 10pt; line-height: 1.25; }}
.sheet {{ overflow-wrap: anywhere; box-sizing: border-box; max-width: 210mm; margin: 8mm auto; padding: 10mm 14mm; background: #fff; }}
.sheet h1 {{ font-size: 15pt; margin: 0 0 4mm; padding-bottom: 1.5mm; border-bottom: 0.5mm solid; }}
.sheet h2 {{ font-size: 12pt; margin: 4mm 0 2mm; break-after: avoid; }}
.sheet p, .sheet ul {{ margin: 2mm 0; }}
.sheet figure {{ margin: 4mm 0; text-align: center; break-inside: avoid; }}
.sheet figure svg {{ max-width: 100%; height: auto; }}
.sheet .supposed {{ font-size: 9pt; margin-top: -3mm; }}
.sheet figcaption {{ font-size: 9pt; }}
.sheet table {{ width: 100%; border-collapse: collapse; font-size: 9pt; margin: 4mm 0; }}
.sheet thead {{ display: table-header-group; }}
.sheet tr {{ break-inside: avoid; }}
.sheet th {{ text-align: left; vertical-align: bottom; border-bottom: 0.5mm solid; padding: 1mm 1.5mm; }}
.sheet td {{ vertical-align: baseline; border-bottom: 0.18mm solid; padding: 1mm 1.5mm; white-space: pre-line; }}
.sheet .figures {{ text-align: right; }}
.sheet .keys {{ text-align: center; }}
.sheet td.dial {{ font-size: 12pt; font-weight: 700; white-space: nowrap; }}
.sheet .key {{ display: inline-block; min-width: 6.4mm; box-sizing: border-box; padding: 0 1mm; line-height: 6.4mm; border: 0.25mm solid; border-radius: 3.4mm; font-weight: 700; text-align: center; }}
.sheet .cautions {{ list-style: none; padding: 0; }}
.sheet .cautions li {{ border: 0.25mm solid; margin-top: -0.25mm; padding: 2mm 2mm 2mm 12mm; position: relative; break-inside: avoid; }}
.sheet .cautions svg {{ position: absolute; left: 2.5mm; top: 1.6mm; width: 6mm; height: 5.5mm; }}
.sheet .ticks {{ list-style: none; padding: 0; }}
.sheet .ticks li {{ padding-left: 6.5mm; position: relative; break-inside: avoid; }}
.sheet .ticks li::before {{ content: \"\"; position: absolute; left: 0.5mm; top: 0.6mm; width: 3mm; height: 3mm; border: 0.25mm solid; }}
.sheet footer {{ display: flex; flex-wrap: wrap; gap: 1mm 6mm; margin-top: 6mm; padding-top: 1.5mm; border-top: 0.7mm solid; font-size: 9pt; }}
.sheets [data-why] {{ cursor: help; }}
.sheets [data-why]:hover {{ color: {ACCENT_COLOUR}; }}
@media print {{
.sheets {{ background: none; color: #000; }}
.sheet {{ max-width: none; margin: 0; padding: 0; break-after: page; }}
.sheet:last-child {{ break-after: auto; }}
}}
"
    )
}

/// Writes one sheet as a `<section>`.
///
/// # Errors
/// A [`workshop::problem::Problem`] for every picture that does not fit at any
/// standard scale.
pub fn section(sheet: &Sheet) -> Outcome<String> {
    let mut html = format!("<section class=\"sheet\">\n<h1>{}</h1>\n", escape(&sheet.heading));
    let mut problems = Vec::new();
    for block in &sheet.blocks {
        match block {
            Block::Heading(words) => {
                let _ = writeln!(html, "<h2>{}</h2>", escape(words));
            }
            Block::Words(words) => {
                let _ = writeln!(html, "<p>{}</p>", escape(words));
            }
            Block::Picture { picture, tallest_mm } => match picture.fit(BODY.width_mm(), *tallest_mm) {
                Ok(placed) => html.push_str(&figure(&placed)),
                Err(problem) => problems.push(problem.at(format!("sheet `{}`", sheet.heading))),
            },
            Block::Table(rows) => html.push_str(&table(rows)),
            Block::Cautions(cautions) => html.push_str(&list("cautions", WARNING, cautions)),
            Block::Ticks(things) => html.push_str(&list("ticks", "", things)),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    html.push_str(&footer(&sheet.title));
    html.push_str("</section>\n");
    Ok(html)
}

/// Writes a picture as a `<figure>` with its scale.
pub fn figure(placed: &Placed) -> String {
    let svg = svg::write(&placed.ink, placed.view(), Dress::Inline);
    format!("<figure>\n{svg}<figcaption>scale {}</figcaption>\n</figure>\n", placed.scale)
}

/// Writes a table.
pub fn table(table: &Table) -> String {
    let mut html = String::from("<table>\n<thead><tr>");
    for column in table.columns() {
        let _ = write!(html, "<th scope=\"col\"{}>{}</th>", class(&classes(column)), escape(&column.heading));
    }
    html.push_str("</tr></thead>\n<tbody>\n");
    for row in table.rows() {
        html.push_str("<tr>");
        for (column, cell) in table.columns().iter().zip(row) {
            html.push_str(&table_cell(column, cell));
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody>\n</table>\n");
    if table.supposes() {
        let _ = writeln!(html, "<p class=\"supposed\">{ASSUMED_MEANS}</p>");
    }
    html
}

fn table_cell(column: &Column, cell: &Cell) -> String {
    let words = escape(&cell.words);
    let inner = match cell.look {
        Look::Plain => words,
        Look::Strong => format!("<strong>{words}</strong>"),
        Look::Ring => format!("<span class=\"key\">{words}</span>"),
    };
    format!("<td{}{}>{inner}</td>", class(&classes(column)), why(cell.tag.as_ref()))
}

/// The attributes by which a page answers a click on a number.
pub fn why(tag: Option<&Tag>) -> String {
    match tag {
        None => String::new(),
        Some(tag) => format!(" data-why=\"{}\" title=\"{}\"", escape(&tag.why), escape(&tag.hover)),
    }
}

fn classes(column: &Column) -> Vec<&'static str> {
    let set = match column.set {
        Set::Left => None,
        Set::Right => Some("figures"),
        Set::Middle => Some("keys"),
    };
    let used = (column.used == Use::Dial).then_some("dial");
    set.into_iter().chain(used).collect()
}

fn class(names: &[&str]) -> String {
    if names.is_empty() { String::new() } else { format!(" class=\"{}\"", names.join(" ")) }
}

const WARNING: &str = "<svg viewBox=\"0 0 24 22\" aria-hidden=\"true\"><path d=\"M12 2L22 20H2Z\" fill=\"none\" \
stroke=\"currentColor\" stroke-width=\"2\"/><path d=\"M12 8V14M12 16V18\" stroke=\"currentColor\" stroke-width=\"2.4\"/></svg>";

fn list(name: &str, sign: &str, things: &[String]) -> String {
    let mut html = format!("<ul class=\"{name}\">\n");
    for thing in things {
        let _ = writeln!(html, "<li>{sign}{}</li>", escape(thing));
    }
    html.push_str("</ul>\n");
    html
}

fn footer(title: &Title) -> String {
    let Title { project, part, hand, material } = title;
    let mut html = String::from("<footer>");
    for (name, value) in [("part", part), ("hand", hand), ("material", material), ("project", project)] {
        if !value.is_empty() {
            let _ = write!(html, "<span>{name} <strong>{}</strong></span>", escape(value));
        }
    }
    html.push_str("<span>dimensions in mm</span></footer>\n");
    html
}

#[cfg(test)]
mod tests {
    use super::*;
    use workshop::why::{Figure, Why};

    #[test]
    fn a_table_is_a_real_table() {
        let mut rows = Table::new(vec![Column::keys("No."), Column::words("Do"), Column::dial("X")]);
        let x = Figure::new("bore, X", "12.50", Why::assumed("supposed, no <edge> given"));
        rows.row(vec![Cell::key("1"), Cell::words("drill & ream"), Cell::figure(&x)]);
        insta::assert_snapshot!(table(&rows), @r#"
        <table>
        <thead><tr><th scope="col" class="keys">No.</th><th scope="col">Do</th><th scope="col" class="figures dial">X</th></tr></thead>
        <tbody>
        <tr><td class="keys"><span class="key">1</span></td><td>drill &amp; ream</td><td class="figures dial" data-why="bore, X" title="supposed, no &lt;edge&gt; given">12.50*</td></tr>
        </tbody>
        </table>
        <p class="supposed">* supposed, because nobody said</p>
        "#);
    }

    #[test]
    fn nothing_typed_by_the_person_becomes_markup() {
        let nasty = "</title><script>alert('\"&')</script>".to_owned();
        let mut rows = Table::new(vec![Column::words(nasty.clone())]);
        rows.row(vec![Cell::words(nasty.clone()).tagged(Tag { why: nasty.clone(), hover: nasty.clone() })]);
        let sheet = Sheet {
            heading: nasty.clone(),
            title: Title {
                project: nasty.clone(),
                part: nasty.clone(),
                hand: nasty.clone(),
                material: nasty.clone(),
            },
            blocks: vec![
                Block::Heading(nasty.clone()),
                Block::Words(nasty.clone()),
                Block::Table(rows),
                Block::Cautions(vec![nasty.clone()]),
                Block::Ticks(vec![nasty.clone()]),
            ],
        };
        let html = document(&nasty, &[sheet]).unwrap();
        assert!(!html.contains("<script"), "markup got through");
        assert_eq!(html.matches("&lt;script&gt;").count(), 14);
    }

    #[test]
    fn the_document_fetches_nothing() {
        let html = document("Lever", &[]).unwrap();
        let fetched = html.replace("http://www.w3.org/2000/svg", "");
        for reach in ["http:", "https:", "url(/", "src=\"", "href=", "@import"] {
            assert!(!fetched.contains(reach), "{reach}");
        }
    }
}
