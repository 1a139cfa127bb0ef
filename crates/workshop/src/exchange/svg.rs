//! Reading an SVG file: its shapes and paths, through every transform.
//!
//! Source: the published recommendation, Scalable Vector Graphics (SVG) 1.1
//! (Second Edition). Y runs down there, and up here. Style sheets are not read:
//! whatever is drawn counts, however it is coloured.

mod path;
mod shape;
mod size;

use std::collections::BTreeMap;

use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::Transform;

use super::affine::Affine;
use super::drawn::{Drawn, MOST_NESTED};
use crate::geometry::Point;
use crate::problem::Problem;

/// The most elements that are read.
const MOST_NODES: u32 = 400_000;
/// The layer of what stands in no group with a name.
const NO_LAYER: &str = "no layer";

/// Reads the bytes of an SVG file.
///
/// # Errors
///
/// A [`Problem`] with the line when it is no such file, breaks off, or holds
/// what cannot be.
pub(super) fn read(bytes: &[u8]) -> Result<Drawn, Problem> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Err(Problem::new("the SVG file is not text in UTF-8")
            .why("some of its bytes are no letters")
            .mend("save it again, in UTF-8 and not compressed"));
    };
    deepest(text)?;
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|fault| {
        Problem::new("cannot read the SVG file")
            .at(format!("line {}", fault.pos().row))
            .why(fault.to_string())
            .mend("save it again, whole; an SVG file is XML")
    })?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(Problem::new("this is not an SVG file")
            .at("line 1")
            .why(format!("it begins with `{}`, not with `svg`", clipped(root.tag_name().name())))
            .mend("name a DXF or an SVG file"));
    }
    let mut drawn = Drawn::new();
    let size = size::of_sheet(&root)?;
    drawn.stated = size.stated;
    let frame = Frame { to_sheet: size.to_sheet, layer: None, depth: 0, uses: 0 };
    let named = document.descendants().filter_map(|node| Some((node.attribute("id")?, node)));
    let mut reader = Reader { named: named.collect(), drawn };
    for child in root.children().filter(Node::is_element) {
        reader.element(child, frame)?;
    }
    Ok(reader.drawn)
}

/// Elements too deep in each other are refused before the file is taken apart:
/// they would take the reader's stack.
fn deepest(text: &str) -> Result<(), Problem> {
    let mut depth = 0_usize;
    let mut at = 0;
    while let Some(next) = text[at..].find('<') {
        at += next + 1;
        let rest = &text[at..];
        let past = |mark: &str| rest.find(mark).unwrap_or(rest.len());
        if rest.starts_with("!--") {
            at += past("-->");
        } else if rest.starts_with("![CDATA[") {
            at += past("]]>");
        } else if rest.starts_with('/') {
            depth = depth.saturating_sub(1);
        } else if !rest.starts_with(['!', '?']) {
            depth += usize::from(!rest[..past(">")].ends_with('/'));
        }
        if depth > 8 * MOST_NESTED {
            return Err(Problem::new("the SVG file has elements too deep in each other")
                .at(format!("line {}", text[..at].matches('\n').count() + 1))
                .why(format!("more than {} stand in each other", 8 * MOST_NESTED))
                .mend("ungroup the drawing, and save it again"));
        }
    }
    Ok(())
}

/// Where an element stands.
#[derive(Clone, Copy)]
struct Frame {
    to_sheet: Affine,
    layer: Option<usize>,
    /// How many elements stand around it, those it is copied through among them.
    depth: usize,
    /// How many `use`s it is copied through.
    uses: usize,
}

struct Reader<'a, 'b> {
    /// Every element with an id.
    named: BTreeMap<&'a str, Node<'a, 'b>>,
    drawn: Drawn,
}

impl<'a, 'b> Reader<'a, 'b> {
    /// Reads an element and all that stands in it.
    fn element(&mut self, node: Node<'a, 'b>, around: Frame) -> Result<(), Problem> {
        let fail = |fault: Problem| place(&node, fault);
        if hidden(&node) {
            self.drawn.skip("hidden thing");
            return Ok(());
        }
        let own = match node.attribute("transform") {
            Some(text) => transform(text).map_err(fail)?,
            None => Affine::SAME,
        };
        let frame = Frame { to_sheet: around.to_sheet.after(own), depth: around.depth + 1, ..around };
        match node.tag_name().name() {
            "g" | "a" | "switch" => self.group(node, frame),
            "svg" => {
                let within = size::of_nested(&node).map_err(fail)?;
                self.group(node, Frame { to_sheet: frame.to_sheet.after(within), ..frame })
            }
            "use" => self.copied(node, frame),
            // These draw only where something else calls for them.
            "defs" | "symbol" | "clipPath" | "mask" | "pattern" | "marker" | "linearGradient"
            | "radialGradient" | "style" | "title" | "desc" | "metadata" | "namedview" | "script"
            | "filter" => Ok(()),
            "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" => {
                let layer = frame.layer.unwrap_or_else(|| self.drawn.layer(NO_LAYER));
                for stroke in shape::strokes(&node).map_err(fail)? {
                    self.drawn.put(layer, stroke.transformed(frame.to_sheet)).map_err(fail)?;
                }
                Ok(())
            }
            other => {
                self.drawn.skip(match other {
                    "text" | "tspan" | "textPath" => "piece of lettering".to_owned(),
                    "image" => "picture".to_owned(),
                    other => format!("`{}`", clipped(other)),
                });
                Ok(())
            }
        }
    }

    /// A group; the outermost with a name is a layer.
    fn group(&mut self, node: Node<'a, 'b>, frame: Frame) -> Result<(), Problem> {
        let mut frame = frame;
        if frame.depth > 8 * MOST_NESTED {
            return Err(place(
                &node,
                Problem::new("the SVG file has groups too deep in each other").mend("ungroup the drawing"),
            ));
        }
        if frame.layer.is_none()
            && let Some(name) = name(&node)
        {
            frame.layer = Some(self.drawn.layer(name));
        }
        for child in node.children().filter(Node::is_element) {
            self.element(child, frame)?;
        }
        Ok(())
    }

    /// What a `use` calls for, drawn where it stands.
    fn copied(&mut self, node: Node<'a, 'b>, frame: Frame) -> Result<(), Problem> {
        let fail = |fault: Problem| place(&node, fault);
        let href = node.attributes().find(|a| a.name() == "href").map(|a| a.value());
        let id = href.and_then(|href| href.trim().strip_prefix('#')).ok_or_else(|| {
            fail(
                Problem::new("a `use` names nothing in this file")
                    .why("it calls for something in another file, or for nothing")
                    .mend("put the thing itself into the drawing"),
            )
        })?;
        let Some(&found) = self.named.get(id) else {
            return Err(fail(
                Problem::new(format!("nothing has the id `{}`", clipped(id)))
                    .why("a `use` calls for it")
                    .mend("put the thing itself into the drawing"),
            ));
        };
        let things = found.descendants().count();
        self.drawn.copy(&format!("`{}`", clipped(id)), things, frame.uses + 1).map_err(fail)?;
        let at = Point::new(size::user(&node, "x").map_err(fail)?, size::user(&node, "y").map_err(fail)?);
        let uses = frame.uses + 1;
        let frame = Frame { to_sheet: frame.to_sheet.after(Affine::moved(at)), uses, ..frame };
        match found.tag_name().name() {
            "symbol" => {
                let within = size::of_symbol(&found, &node).map_err(fail)?;
                self.group(found, Frame { to_sheet: frame.to_sheet.after(within), ..frame })
            }
            _ => self.element(found, frame),
        }
    }
}

/// A transform and the list of them that a `transform` holds, the first outermost.
fn transform(text: &str) -> Result<Affine, Problem> {
    let read: Transform = text.parse().map_err(|fault: svgtypes::Error| {
        Problem::new(format!("cannot read the transform `{}`", clipped(text)))
            .why(fault.to_string())
            .mend("save the file again from the program that drew it")
    })?;
    let Transform { a, b, c, d, e, f } = read;
    Ok(Affine::new(Point::new(a, b), Point::new(c, d), Point::new(e, f)))
}

/// Not drawn at all, by its own attributes.
fn hidden(node: &Node<'_, '_>) -> bool {
    let style = node.attribute("style").unwrap_or_default();
    let says = |name: &str, value: &str| {
        node.attribute(name) == Some(value)
            || style
                .split(';')
                .any(|part| part.split_once(':').is_some_and(|(n, v)| n.trim() == name && v.trim() == value))
    };
    says("display", "none") || says("visibility", "hidden")
}

/// What a group is called: by its label where it has one, else by its id.
fn name<'a>(node: &Node<'a, '_>) -> Option<&'a str> {
    let label = node.attributes().find(|a| a.name() == "label").map(|a| a.value());
    label.or_else(|| node.attribute("id")).map(str::trim).filter(|name| !name.is_empty())
}

/// Adds the line and the element to a fault.
fn place(node: &Node<'_, '_>, fault: Problem) -> Problem {
    let line = node.document().text_pos_at(node.range().start).row;
    fault.at(format!("line {line}, `{}`", clipped(node.tag_name().name())))
}

/// At most thirty characters of a text, for quoting.
fn clipped(text: &str) -> String {
    match text.char_indices().nth(30) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
