//! Sheets as one printable HTML document: real tables, pictures as SVG, the font
//! carried inside, nothing fetched from anywhere.

use std::fmt::Write;

use workshop::abreast::abreast;

use crate::font::FAMILY;
use crate::furniture::Title;
use crate::grid::{Setting, Weight, weighed};
use crate::ink::{ASSUMED_MEANS, Tag};
use crate::picture::Placed;
use crate::rows::{Likes, Operation, Rows};
use crate::sheet::{Block, Fact, Paper, Says, Sheet};
use crate::svg::{self, ACCENT_COLOUR, Dress, INK_COLOUR, Links, escape};
use crate::table::{Cell, Column, Ground, Look, Set, Table, Use};

/// Writes sheets as one document that prints on A4 and needs no other file.
pub fn document(title: &str, sheets: &[Sheet]) -> String {
    let body = abreast(sheets, |sheet| section(sheet, Links::Named)).concat();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{}{}{}</style>\n</head>\n<body class=\"sheets\">\n{body}</body>\n</html>\n",
        escape(title),
        svg::font_faces(),
        svg::style(),
        style()
    )
}

/// The CSS of sheets on a screen and on paper, without the font and without the
/// style of the pictures ([`svg::font_faces`], [`svg::style`]).
pub fn style() -> String {
    format!(
        "\
@page {{ size: A4 portrait; margin: 10mm 10mm 10mm 20mm; }}
.sheets {{ margin: 0; color: {INK_COLOUR}; background: #f4f2ec; font-family: {FAMILY}, \"DejaVu Sans\", Verdana, sans-serif; font-size: 10pt; line-height: 1.25; }}
.sheet {{ overflow-wrap: break-word; box-sizing: border-box; max-width: 210mm; margin: 8mm auto; padding: 10mm 14mm; background: #fff; }}
.sheet h1 .key {{ min-width: 10mm; line-height: 9.5mm; border-radius: 6mm; font-size: 18pt; margin-right: 3mm; vertical-align: middle; }}
.sheet dl.facts {{ display: grid; grid-template-columns: 26mm 1fr; gap: 0.8mm 0; margin: 0 0 3mm; }}
.sheet dl.facts dt {{ font-size: 9pt; font-weight: 700; }}
.sheet dl.facts dd {{ margin: 0; }}
.sheet .setting {{ display: inline-block; min-width: 26mm; margin: 0 2mm 0.6mm 0; vertical-align: top; }}
.sheet .setting .label {{ display: block; font-size: 9pt; font-weight: 400; }}
.sheet .dial {{ font-size: 9pt; }}
.sheet .dial b {{ font-size: 12pt; font-weight: 700; white-space: nowrap; }}
.sheet .dial strong, .sheet .rows strong {{ font-size: 10pt; }}
.sheet .rows td:nth-child(2) {{ width: 44mm; }}
.sheet .rows td:nth-child(3) {{ width: 62mm; }}
.sheet .rows.unset td:nth-child(3) {{ width: 0; padding: 0; }}
.sheet .rows .box {{ display: inline-block; width: 4mm; height: 4mm; border: 0.25mm solid; }}
.sheet a {{ color: inherit; text-decoration: none; border-bottom: 0.2mm dotted {ACCENT_COLOUR}; }}
.sheet a:hover, .sheet a:focus-visible {{ color: {ACCENT_COLOUR}; border-bottom-style: solid; }}
.sheet svg a:hover text, .sheet svg a:focus-visible text {{ fill: {ACCENT_COLOUR}; }}
.sheet h1 {{ font-size: 15pt; margin: 0 0 4mm; padding-bottom: 1.5mm; border-bottom: 0.5mm solid; }}
.sheet h2 {{ font-size: 12pt; margin: 4mm 0 2mm; break-after: avoid; }}
.sheet p, .sheet ul {{ margin: 2mm 0; }}
.sheet figure {{ margin: 4mm 0; text-align: center; break-inside: avoid; }}
.sheet figure svg {{ max-width: 100%; height: auto; }}
.sheet .supposed {{ font-size: 9pt; }}
.sheet figcaption {{ font-size: 9pt; }}
.sheet table {{ width: 100%; border-collapse: collapse; font-size: 9pt; margin: 4mm 0; }}
.sheet thead {{ display: table-header-group; }}
.sheet tr {{ break-inside: avoid; }}
.sheet th {{ text-align: left; vertical-align: bottom; border-bottom: 0.5mm solid; padding: 1mm 1.5mm; }}
.sheet td {{ vertical-align: baseline; border-bottom: 0.18mm solid; padding: 1mm 1.5mm; white-space: pre-line; }}
.sheet .over > td {{ border-bottom: none; }}
.sheet .likes table {{ width: auto; margin: 0; }}
.sheet .likes th, .sheet .likes table td {{ border: none; padding: 0 3mm 0 0; font-weight: 400; max-width: 32mm; }}
.sheet .figures {{ text-align: right; }}
.sheet .keys {{ text-align: center; }}
.sheet td.dial {{ font-size: 12pt; font-weight: 700; }}
.sheet td.dial.figures {{ white-space: nowrap; }}
.sheet .key {{ display: inline-block; min-width: 6.4mm; box-sizing: border-box; padding: 0 1mm; line-height: 6.4mm; border: 0.25mm solid; border-radius: 3.4mm; font-weight: 700; text-align: center; }}
.sheet .cautions {{ border: 0.25mm solid; padding: 1.5mm 2mm 1.5mm 12mm; position: relative; break-inside: avoid; }}
.sheet .cautions ul {{ margin: 0; padding-left: 4mm; }}
.sheet .cautions svg {{ position: absolute; left: 2.5mm; top: 1.6mm; width: 7mm; height: 6.5mm; }}
.sheet .ticks {{ list-style: none; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(52mm, 1fr)); gap: 1mm 3mm; }}
.sheet .ticks li {{ padding-left: 6.5mm; position: relative; break-inside: avoid; }}
.sheet .ticks li::before {{ content: \"\"; position: absolute; left: 0.5mm; top: 0.6mm; width: 3mm; height: 3mm; border: 0.25mm solid; }}
.sheet footer {{ display: flex; flex-wrap: wrap; gap: 1mm 6mm; margin-top: 6mm; padding-top: 1.5mm; border-top: 0.7mm solid; font-size: 9pt; }}
.sheets [data-why] {{ cursor: help; }}
.sheets [data-why]:hover {{ color: {ACCENT_COLOUR}; }}
@media screen and (max-width: 600px) {{
.sheet {{ padding: 4mm 2mm; }}
.sheet .setting {{ min-width: 0; margin-right: 0; }}
.sheet .rows > thead {{ display: none; }}
.sheet .rows > tbody > tr {{ display: grid; grid-template-columns: 9mm 1fr 6mm; border-bottom: 0.18mm solid; }}
.sheet .rows > tbody > tr.over {{ border-bottom: none; }}
.sheet .rows > tbody > tr > td {{ grid-column: 2 / -1; width: auto; border: none; padding: 0.6mm; }}
.sheet .rows > tbody > tr > td:nth-child(1) {{ grid-column: 1; }}
.sheet .rows > tbody > tr > td:nth-child(2) {{ grid-column: 2; }}
.sheet .rows > tbody > tr > td:nth-child(6) {{ grid-column: 3; grid-row: 1; }}
.sheet .rows > tbody > tr > td:nth-child(5):not(:empty)::before {{ content: \"Check: \"; }}
.sheet .rows > tbody > tr.likes > td {{ grid-column: 1 / -1; overflow-x: auto; }}
}}
@media print {{
.sheets {{ background: none; color: #000; }}
.sheet {{ max-width: none; margin: 0; padding: 0; break-after: page; }}
.sheet figure, .sheet table {{ margin: 2mm 0; }}
.sheet figure svg {{ max-height: 72mm; }}
.sheet footer {{ margin-top: 3mm; break-before: avoid; }}
.sheet:last-child, .sheet.short {{ break-after: auto; }}
.sheet.short, .sheet.short + .sheet {{ break-inside: avoid; }}
.sheet.short {{ margin-bottom: 8mm; }}
}}
"
    )
}

/// Writes one sheet as a `<section>` whose figures lead where `links` says.
pub fn section(sheet: &Sheet, links: Links<'_>) -> String {
    let ring = sheet.ring.as_ref().map(|n| format!("<span class=\"key\">{}</span>", escape(n)));
    let mut html = format!(
        "<section class=\"sheet{}\">\n<h1>{}{}</h1>\n",
        if sheet.paper == Paper::Shared { " short" } else { "" },
        ring.unwrap_or_default(),
        escape(&sheet.heading)
    );
    for block in &sheet.blocks {
        match block {
            Block::Heading(words) => {
                let _ = writeln!(html, "<h2>{}</h2>", escape(words));
            }
            Block::Words(words) => {
                let _ = writeln!(html, "<p>{}</p>", escape(words));
            }
            Block::Points(points) => html.push_str(&list("points", points)),
            Block::Facts(facts) => html.push_str(&list_facts(facts, links)),
            Block::Picture { placed, caption } => html.push_str(&figure(placed, caption, links)),
            Block::Table(rows) => html.push_str(&table(rows, links)),
            Block::Rows(rows) => html.push_str(&operations(rows, links)),
            Block::Cautions(cautions) => {
                let points = list("points", cautions);
                let _ = writeln!(html, "<div class=\"cautions\">{WARNING}{points}</div>");
            }
            Block::Ticks(things) => html.push_str(&list("ticks", things)),
        }
    }
    html.push_str(&footer(&sheet.title));
    html.push_str("</section>\n");
    html
}

/// Writes a picture as a `<figure>` with its caption.
pub fn figure(placed: &Placed, caption: &str, links: Links<'_>) -> String {
    let svg = svg::write_linked(&placed.ink, placed.view(), Dress::Inline, links);
    format!("<figure>\n{svg}<figcaption>{}</figcaption>\n</figure>\n", escape(caption))
}

fn list_facts(facts: &[Fact], links: Links<'_>) -> String {
    let mut html = String::from("<dl class=\"facts\">\n");
    for fact in facts {
        let says = match &fact.says {
            Says::Words(cell) => asked(&escape(&cell.words), "", cell.tag.as_ref(), links),
            Says::Settings(settings) => settings.iter().map(|s| setting(s, links)).collect(),
        };
        let _ = writeln!(html, "<dt>{}</dt><dd>{says}</dd>", escape(&fact.name));
    }
    html.push_str("</dl>\n");
    let supposes = facts.iter().any(|fact| match &fact.says {
        Says::Words(cell) => cell.ground == Ground::Supposed,
        Says::Settings(settings) => settings.iter().any(|s| s.cell.ground == Ground::Supposed),
    });
    html + &legend(supposes)
}

fn setting(setting: &Setting, links: Links<'_>) -> String {
    let value = asked(&dial(&setting.cell.words), "dial", setting.cell.tag.as_ref(), links);
    format!("<span class=\"setting\"><span class=\"label\">{}</span> {value}</span> ", escape(&setting.label))
}

/// A figure to set: its numbers large, the words round them small.
fn dial(words: &str) -> String {
    let word = |(word, weight): (&str, Weight)| match weight {
        Weight::Number => format!("<b>{}</b>", escape(word)),
        Weight::Telling => format!("<strong>{}</strong>", escape(word)),
        Weight::Small => escape(word),
    };
    weighed(words).into_iter().map(word).collect::<Vec<_>>().join(" ")
}

/// Words that answer to their name: a link where there is somewhere to lead.
fn asked(inner: &str, class_name: &str, tag: Option<&Tag>, links: Links<'_>) -> String {
    let class = if class_name.is_empty() { String::new() } else { class(&[class_name]) };
    match (tag, links) {
        (Some(tag), Links::To(address)) => {
            let address = address(tag.why.as_deref().unwrap_or_default());
            format!("<a{class} href=\"{}\"{}>{inner}</a>", escape(&address), why(Some(tag)))
        }
        (tag, _) if tag.is_some() || !class.is_empty() => format!("<span{class}{}>{inner}</span>", why(tag)),
        _ => inner.to_owned(),
    }
}

fn legend(supposes: bool) -> String {
    if supposes { format!("<p class=\"supposed\">{ASSUMED_MEANS}</p>\n") } else { String::new() }
}

/// Writes the operations of a setup as a table.
fn operations(rows: &Rows, links: Links<'_>) -> String {
    // Where nothing is set its column leaves its room to the others.
    let headings = rows.headings();
    let unset = if headings[2].is_empty() { " unset" } else { "" };
    let mut html = format!("<table class=\"rows{unset}\">\n<thead><tr>");
    for heading in headings {
        let _ = write!(html, "<th scope=\"col\">{heading}</th>");
    }
    html.push_str("</tr></thead>\n<tbody>\n");
    for Operation { key, what, tool, speed, sets, depth, check } in &rows.0 {
        let read = |s: &Setting| asked(&escape(&s.cell.words), "", s.cell.tag.as_ref(), links);
        let set = |s: &Setting| asked(&dial(&s.cell.words), "dial", s.cell.tag.as_ref(), links);
        let all = |settings: &[Setting]| settings.iter().map(|s| setting(s, links)).collect::<String>();
        let speed = speed.as_ref().map(|s| format!("<br>{}", set(s))).unwrap_or_default();
        let check = check.as_ref().map(read).unwrap_or_default();
        let likes = Likes::among(sets);
        let (class, beside, under) = match &likes {
            Some((likes, rest)) => (" class=\"over\"", all(rest), chart(likes, &set)),
            None => ("", all(sets), String::new()),
        };
        let _ = writeln!(
            html,
            "<tr{class}><td><span class=\"key\">{}</span></td><td><strong>{}</strong><br>{}{speed}</td>\
             <td>{beside}</td><td>{}</td><td>{check}</td><td><span class=\"box\"></span></td></tr>{under}",
            escape(key),
            escape(what),
            escape(tool),
            all(depth)
        );
    }
    html.push_str("</tbody>\n</table>\n");
    html + &legend(rows.supposes())
}

/// Writes what is set of several like things, a line for each, under its row.
fn chart(likes: &Likes<'_>, set: &dyn Fn(&Setting) -> String) -> String {
    let mut html = String::from("\n<tr class=\"likes\"><td></td><td colspan=\"5\"><table><tr><th></th>");
    for asked in &likes.asked {
        let _ = write!(html, "<th scope=\"col\">{}</th>", escape(asked));
    }
    for (thing, settings) in likes.things.iter().zip(&likes.settings) {
        let _ = write!(html, "</tr>\n<tr><th scope=\"row\">{}</th>", escape(thing));
        for setting in settings {
            let _ = write!(html, "<td>{}</td>", set(setting));
        }
    }
    html.push_str("</tr></table></td></tr>");
    html
}

/// Writes a table.
pub fn table(table: &Table, links: Links<'_>) -> String {
    let mut html = String::from("<table>\n<thead><tr>");
    for column in table.columns() {
        let _ = write!(html, "<th scope=\"col\"{}>{}</th>", class(&classes(column)), escape(&column.heading));
    }
    html.push_str("</tr></thead>\n<tbody>\n");
    for row in table.rows() {
        html.push_str("<tr>");
        for (column, cell) in table.columns().iter().zip(row) {
            html.push_str(&table_cell(column, cell, links));
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody>\n</table>\n");
    html + &legend(table.supposes())
}

fn table_cell(column: &Column, cell: &Cell, links: Links<'_>) -> String {
    let words = escape(&cell.words);
    let inner = match cell.look {
        Look::Plain => words,
        Look::Strong => format!("<strong>{words}</strong>"),
        Look::Ring => format!("<span class=\"key\">{words}</span>"),
    };
    format!("<td{}>{}</td>", class(&classes(column)), asked(&inner, "", cell.tag.as_ref(), links))
}

/// The attributes by which a page answers a click on a number.
pub fn why(tag: Option<&Tag>) -> String {
    match tag {
        None => String::new(),
        Some(tag) => {
            let why = escape(tag.why.as_deref().unwrap_or_default());
            format!(" data-why=\"{why}\" title=\"{}\"", escape(&tag.hover))
        }
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

fn list(name: &str, things: &[String]) -> String {
    let mut html = format!("<ul class=\"{name}\">\n");
    for thing in things {
        let _ = writeln!(html, "<li>{}</li>", escape(thing));
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
        insta::assert_snapshot!(table(&rows, Links::Named), @r#"
        <table>
        <thead><tr><th scope="col" class="keys">No.</th><th scope="col">Do</th><th scope="col" class="figures dial">X</th></tr></thead>
        <tbody>
        <tr><td class="keys"><span class="key">1</span></td><td>drill &amp; ream</td><td class="figures dial"><span data-why="bore, X" title="supposed, no &lt;edge&gt; given">12.50*</span></td></tr>
        </tbody>
        </table>
        <p class="supposed">* supposed, because nobody said</p>
        "#);
    }

    #[test]
    fn nothing_typed_by_the_person_becomes_markup() {
        let nasty = "</title><script>alert('\"&')</script>".to_owned();
        let mut rows = Table::new(vec![Column::words(nasty.clone())]);
        rows.row(vec![Cell::words(nasty.clone()).tagged(Tag::new(&nasty, &nasty))]);
        let sheet = Sheet {
            ring: Some(nasty.clone()),
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
            paper: Paper::Own,
        };
        let html = document(&nasty, &[sheet]);
        assert!(!html.contains("<script"), "markup got through");
        assert_eq!(html.matches("&lt;script&gt;").count(), 15);
    }

    #[test]
    fn the_document_fetches_nothing() {
        let html = document("Lever", &[]);
        let fetched = html.replace("http://www.w3.org/2000/svg", "");
        for reach in ["http:", "https:", "url(/", "src=\"", "href=", "@import"] {
            assert!(!fetched.contains(reach), "{reach}");
        }
    }
}
