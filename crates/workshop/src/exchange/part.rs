//! The text of a part file, as a person would write it.

use std::fmt::Write;

use super::Datum;
use super::cuts::Inner;
use super::names::{corner_names, hole_names, numbered};
use super::patterns::Ring;
use super::recognise::{Bulge, Outer, Place, Share, Side, Stop, Turn};
use super::report::{Rounded, Spots};
use super::words::Words;
use crate::geometry::{Bounds, Circle, Point};
use crate::measure::Unit;
use crate::problem::Problem;

/// What a part file is written from.
pub(super) struct Subject<'a> {
    /// What the part is called.
    pub name: &'a str,
    /// The file it comes from.
    pub file: &'a str,
    /// The unit of its bare numbers.
    pub unit: Unit,
    /// As it is to be typed; none where nobody has said.
    pub thickness: Option<&'a str>,
    pub outer: Outer,
    /// Left to right, then bottom to top.
    pub inner: &'a [Inner],
    /// Holes on a circle, which are not among the others.
    pub rings: &'a [Ring],
    /// Of the outside.
    pub bounds: Bounds,
    pub datum: Datum,
    /// What the person should look at.
    pub questions: &'a [String],
}

/// The text, and what writing it did.
pub(super) struct Written {
    pub text: String,
    pub rounded: Vec<Rounded>,
    /// The datum, in the axes of the file.
    pub origin: Point,
    /// What the datum is.
    pub datum: String,
    /// What was found, in words.
    pub found: Vec<String>,
}

/// The most letters in a line of a list.
const MOST_ACROSS: usize = 100;
/// How far points of a curve may move in the metric part: as far as curves are off
/// the lines and arcs that stand for them, where nobody says otherwise.
const HELD_WITHIN: &str = "0.01 mm";
/// Two places nearer than this, in millimetres, are one.
const SAME_PLACE_MM: f64 = 1e-5;

/// Writes the part file, with so many decimals of a millimetre.
///
/// # Errors
///
/// A [`Problem`] when the datum asked for is not there.
pub(super) fn write(subject: &Subject<'_>, places: u32) -> Result<Written, Problem> {
    let (origin, datum, corner) = origin(subject)?;
    let mut page = Page {
        text: String::new(),
        words: Words { unit: subject.unit, places, rounded: Vec::new() },
        origin,
        edges: matches!(subject.outer, Outer::Rectangle { .. }) && corner == Some("bottom left"),
        named: Vec::new(),
        found: Vec::new(),
        spots: Spots { unit: subject.unit },
    };
    page.head(subject, &datum);
    page.body(subject, corner);
    page.cuts(subject.inner);
    page.rings(subject.rings);
    Ok(Written { text: page.text, rounded: page.words.rounded, origin, datum, found: page.found })
}

/// Where the datum is, what it is called, and the word for it where it is a corner
/// or the middle of a rectangle.
fn origin(subject: &Subject<'_>) -> Result<(Point, String, Option<&'static str>), Problem> {
    let Bounds { least, most } = subject.bounds;
    let corner = |word: &'static str, x: f64, y: f64| {
        (Point::new(x, y), format!("the {word} of the outline"), Some(word))
    };
    if let Outer::Disc(circle) = subject.outer {
        return Ok((circle.centre, "the centre of the disc".into(), None));
    }
    Ok(match subject.datum {
        Datum::BottomLeft => corner("bottom left", least.x_mm, least.y_mm),
        Datum::BottomRight => corner("bottom right", most.x_mm, least.y_mm),
        Datum::TopLeft => corner("top left", least.x_mm, most.y_mm),
        Datum::TopRight => corner("top right", most.x_mm, most.y_mm),
        Datum::Centre => {
            let middle = (least + most).times(0.5);
            corner("centre", middle.x_mm, middle.y_mm)
        }
        Datum::Origin => (Point::ORIGIN, "the origin of the file".into(), None),
        Datum::Hole(number) => {
            let holes: Vec<Circle> = holes(subject.inner).collect();
            let Some(hole) = number.checked_sub(1).and_then(|index| holes.get(index)) else {
                return Err(Problem::new(format!("there is no hole {number} for the datum"))
                    .why(format!("the outline has {} holes", holes.len()))
                    .mend("name a corner, `centre`, `origin`, or a hole that is there"));
            };
            (hole.centre, format!("the centre of hole {number}"), None)
        }
    })
}

fn holes(inner: &[Inner]) -> impl Iterator<Item = Circle> + '_ {
    inner.iter().filter_map(|cut| match cut {
        Inner::Hole(circle) => Some(*circle),
        _ => None,
    })
}

/// The file as it grows.
struct Page {
    text: String,
    words: Words,
    origin: Point,
    /// True where places are told from the left and bottom edges.
    edges: bool,
    /// What others may be concentric with.
    named: Vec<(String, Point)>,
    found: Vec<String>,
    spots: Spots,
}

impl Page {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn head(&mut self, subject: &Subject<'_>, datum: &str) {
        let file = subject.file.replace(['\n', '\r'], " ");
        let file = file.rsplit(['/', '\\']).next().unwrap_or_default();
        self.line(&format!("# Read from {file}. Places are from {datum}."));
        for question in subject.questions {
            self.line(&format!("# Look at this: {}", question.replace(['\n', '\r'], " ")));
        }
        self.line(&format!("part = {}", quoted(subject.name)));
        let unit = match subject.unit {
            Unit::Inch => "inch",
            Unit::Mm => "mm",
        };
        self.line(&format!("unit = \"{unit}\""));
    }

    fn body(&mut self, subject: &Subject<'_>, corner: Option<&str>) {
        let thickness = match subject.thickness {
            Some(text) => format!("thickness = {}", quoted(text)),
            None => "# thickness = \"…\"   # the file does not say it".to_owned(),
        };
        self.line("\n[body]");
        let size = (subject.bounds.width_mm(), subject.bounds.height_mm());
        match (&subject.outer, corner) {
            (Outer::Disc(circle), _) => {
                let diameter = self.words.length("body: diameter", 2.0 * circle.radius_mm);
                self.found.push(format!("outline: a disc, {diameter} across"));
                self.line(&format!("kind = \"disc\"\ndiameter = \"{diameter}\"\n{thickness}"));
                self.named.push(("datum".into(), circle.centre));
            }
            (Outer::Rectangle { .. }, Some(corner)) => {
                let width = self.words.length("body: width", size.0);
                let height = self.words.length("body: height", size.1);
                self.found.push(format!("outline: a rectangle, {width} by {height}"));
                self.line(&format!("kind = \"rectangle\"\nwidth = \"{width}\"\nheight = \"{height}\""));
                self.line(&format!("{thickness}\ndatum = \"{corner}\""));
            }
            (Outer::Rectangle { least, most }, None) => {
                let around = [
                    (least.x_mm, least.y_mm),
                    (most.x_mm, least.y_mm),
                    (most.x_mm, most.y_mm),
                    (least.x_mm, most.y_mm),
                ]
                .map(|(x, y)| Stop {
                    at: Point::new(x, y),
                    turn: Turn::Sharp,
                    then: Side::Line,
                    place: Place::Free,
                });
                self.around(&around, &thickness);
            }
            (Outer::Around(stops), _) => self.around(stops, &thickness),
        }
    }

    /// An outline by what it goes round: of bosses alone, or of corners and arcs too.
    fn around(&mut self, stops: &[Stop], thickness: &str) {
        let names = corner_names(stops);
        let bosses = stops.iter().filter(|stop| matches!(stop.turn, Turn::Boss(_))).count();
        let kind = if bosses == stops.len() { "bosses" } else { "outline" };
        let mut items = Vec::new();
        let mut arcs = 0;
        for (stop, name) in stops.iter().zip(&names) {
            items.push(format!("\"{name}\""));
            if let Side::Arc { radius_mm, bulge, share } = stop.then {
                arcs += 1;
                let radius = self.words.length(&format!("arc after {name}"), radius_mm);
                let bulge = match bulge {
                    Bulge::Out => "out",
                    Bulge::In => "in",
                };
                let greater = if share == Share::Greater { ", greater = true" } else { "" };
                let radius = held(&radius, stop.place);
                items.push(format!("{{ arc = {radius}, bulge = \"{bulge}\"{greater} }}"));
            }
        }
        self.found.push(format!(
            "outline: {}, {}, {}",
            numbered(bosses, "boss", "bosses"),
            numbered(stops.len() - bosses, "corner", "corners"),
            numbered(arcs, "arc between corners", "arcs between corners")
        ));
        self.line(&format!("kind = \"{kind}\""));
        let one_line = format!("around = [{}]   # anticlockwise", items.join(", "));
        if one_line.len() <= MOST_ACROSS {
            self.line(&one_line);
        } else {
            self.line("around = [   # anticlockwise");
            let mut row = String::new();
            for item in items {
                if !row.is_empty() && row.len() + item.len() > MOST_ACROSS {
                    self.line(&format!("  {},", row));
                    row.clear();
                }
                row.push_str(if row.is_empty() { "" } else { ", " });
                row.push_str(&item);
            }
            self.line(&format!("  {row},"));
            self.line("]");
        }
        self.line(thickness);
        for (stop, name) in stops.iter().zip(&names) {
            let (kind, radius_mm) = match stop.turn {
                Turn::Sharp => ("corner", None),
                Turn::Rounded(radius_mm) => ("corner", Some(radius_mm)),
                Turn::Boss(radius_mm) => ("boss", Some(radius_mm)),
            };
            self.feature(name, kind);
            if let Some(radius_mm) = radius_mm {
                let radius = self.words.length(&format!("{name}: radius"), radius_mm);
                self.line(&format!("radius = \"{radius}\""));
            }
            self.place(name, stop.at, stop.place);
            if matches!(stop.turn, Turn::Boss(_)) {
                self.named.push((name.clone(), stop.at));
            }
        }
    }

    /// Everything cut within the outline that a part file has a name for.
    fn cuts(&mut self, inner: &[Inner]) {
        for (cut, name) in inner.iter().zip(hole_names(inner)) {
            let mut keyway = None;
            let at = match cut {
                Inner::Hole(circle) => {
                    self.feature(&name, "hole");
                    let diameter = self.words.length(&format!("{name}: diameter"), 2.0 * circle.radius_mm);
                    self.line(&format!("diameter = \"{diameter}\""));
                    self.found.push(format!("{name}: {diameter} across"));
                    circle.centre
                }
                Inner::Slot { centre, width_mm, centres_mm, along_rad } => {
                    self.feature(&name, "slot");
                    let width = self.words.length(&format!("{name}: width"), *width_mm);
                    let centres = self.words.length(&format!("{name}: centres"), *centres_mm);
                    self.line(&format!("width = \"{width}\"\ncentres = \"{centres}\""));
                    self.along(&name, *along_rad, centres_mm / 2.0);
                    self.found.push(format!("{name}: {width} wide, {centres} between its ends' centres"));
                    *centre
                }
                Inner::CurvedSlot { arc, width_mm } => {
                    self.feature(&name, "curved slot");
                    let width = self.words.length(&format!("{name}: width"), *width_mm);
                    let radius = self.words.length(&format!("{name}: radius"), arc.radius_mm);
                    self.line(&format!("width = \"{width}\"\nradius = \"{radius}\""));
                    for (key, rad) in [("from", arc.start_rad), ("to", arc.end_rad())] {
                        let rad = crate::geometry::within_turn(rad);
                        let angle = self.words.angle(&format!("{name}: {key}"), rad, arc.radius_mm);
                        self.line(&format!("{key} = \"{angle}\""));
                    }
                    self.found.push(format!("{name}: {width} wide on a radius of {radius}"));
                    arc.centre
                }
                Inner::Pocket { centre, width_mm, height_mm, corner_mm, along_rad } => {
                    self.feature(&name, "pocket");
                    let width = self.words.length(&format!("{name}: width"), *width_mm);
                    let height = self.words.length(&format!("{name}: height"), *height_mm);
                    let corner = self.words.length(&format!("{name}: corner"), *corner_mm);
                    self.line(&format!("width = \"{width}\"\nheight = \"{height}\"\ncorner = \"{corner}\""));
                    self.along(&name, *along_rad, width_mm.hypot(*height_mm) / 2.0);
                    self.found
                        .push(format!("{name}: {width} by {height} with corners {corner}, right through"));
                    *centre
                }
                Inner::Square { centre, across_mm, along_rad } => {
                    self.feature(&name, "square hole");
                    let across = self.words.length(&format!("{name}: across"), *across_mm);
                    self.line(&format!("across = \"{across}\""));
                    self.along(&name, *along_rad, *across_mm);
                    self.found.push(format!("{name}: {across} across flats"));
                    *centre
                }
                Inner::Flatted { circle, across_mm, toward_rad } => {
                    self.feature(&name, "flatted hole");
                    let diameter = self.words.length(&format!("{name}: diameter"), 2.0 * circle.radius_mm);
                    let across = self.words.length(&format!("{name}: across"), *across_mm);
                    let toward = self.words.angle(&format!("{name}: toward"), *toward_rad, circle.radius_mm);
                    self.line(&format!("diameter = \"{diameter}\"\nacross = \"{across}\""));
                    self.line(&format!("toward = \"{toward}\""));
                    self.found.push(format!("{name}: {diameter} across, {across} over the flat"));
                    circle.centre
                }
                Inner::Keyed { circle, width_mm, depth_mm, toward_rad } => {
                    self.feature(&name, "hole");
                    let diameter = self.words.length(&format!("{name}: diameter"), 2.0 * circle.radius_mm);
                    self.line(&format!("diameter = \"{diameter}\""));
                    let key = format!("keyway of {name}");
                    let width = self.words.length(&format!("{key}: width"), *width_mm);
                    let depth = self.words.length(&format!("{key}: depth"), *depth_mm);
                    let far_mm = circle.radius_mm + depth_mm;
                    let toward = self.words.angle(&format!("{key}: toward"), *toward_rad, far_mm);
                    keyway = Some([key, width.clone(), depth.clone(), toward]);
                    self.found.push(format!(
                        "{name}: {diameter} across, with a keyway {width} wide and {depth} deep"
                    ));
                    circle.centre
                }
                Inner::Other { .. } => continue,
            };
            if let Some(found) = self.found.last_mut() {
                let _ = write!(found, ", at {}", self.spots.spot(at - self.origin));
            }
            self.place(&name, at, Place::Free);
            if let Some([key, width, depth, toward]) = keyway {
                self.feature(&key, "keyway");
                self.line(&format!("in = \"{name}\"\nwidth = \"{width}\"\ndepth = \"{depth}\""));
                self.line(&format!("toward = \"{toward}\""));
            }
            if matches!(cut, Inner::Hole(_) | Inner::Keyed { .. }) {
                self.named.push((name, at));
            }
        }
    }

    /// Holes equally spaced on a circle.
    fn rings(&mut self, rings: &[Ring]) {
        for (index, ring) in rings.iter().enumerate() {
            let name = if rings.len() == 1 { "ring".to_owned() } else { format!("ring {}", index + 1) };
            self.feature(&name, "pitch circle");
            let across = self.words.length(&format!("{name}: pitch circle"), ring.across_mm);
            let hole = self.words.length(&format!("{name}: diameter"), ring.hole_mm);
            self.line(&format!("holes = {}\npitch_circle = \"{across}\"", ring.count));
            if ring.first_rad != 0.0 {
                let first = self.words.angle(&format!("{name}: first"), ring.first_rad, ring.across_mm / 2.0);
                self.line(&format!("first = \"{first}\""));
            }
            self.line(&format!("diameter = \"{hole}\""));
            self.place(&name, ring.centre, Place::Free);
            self.found.push(format!("{name}: {} holes {hole} across on a circle of {across}", ring.count));
        }
    }

    fn feature(&mut self, name: &str, kind: &str) {
        self.line(&format!("\n[[feature]]\nname = \"{name}\"\nkind = \"{kind}\""));
    }

    fn along(&mut self, name: &str, rad: f64, reach_mm: f64) {
        if rad != 0.0 {
            let along = self.words.angle(&format!("{name}: along"), rad, reach_mm);
            self.line(&format!("along = \"{along}\""));
        }
    }

    /// Where something is: concentric with what stands there already, else from the
    /// datum or from the two edges that it is the corner of.
    fn place(&mut self, name: &str, at: Point, may: Place) {
        let there = self.named.iter().find(|(_, centre)| centre.distance_mm(at) <= SAME_PLACE_MM);
        let statements = match there {
            Some((other, _)) if other == "datum" => vec!["datum".to_owned()],
            Some((other, _)) => vec![format!("concentric with {other}")],
            None => {
                let from = at - self.origin;
                if from.norm_mm() <= SAME_PLACE_MM {
                    vec!["datum".to_owned()]
                } else if self.edges {
                    let x = self.words.length(&format!("{name}: from left edge"), from.x_mm);
                    let y = self.words.length(&format!("{name}: from bottom edge"), from.y_mm);
                    vec![format!("{x} from left edge"), format!("{y} from bottom edge")]
                } else {
                    let x = self.apart(name, from.x_mm, "right of", "left of", "plumb with");
                    let y = self.apart(name, from.y_mm, "above", "below", "level with");
                    vec![x, y]
                }
            }
        };
        let statements: Vec<String> = statements
            .iter()
            .map(|text| match text.starts_with(|first: char| first.is_ascii_digit()) {
                true => held(text, may),
                false => format!("\"{text}\""),
            })
            .collect();
        self.line(&format!("place = [{}]", statements.join(", ")));
    }

    fn apart(&mut self, name: &str, mm: f64, more: &str, less: &str, same: &str) -> String {
        if mm.abs() <= SAME_PLACE_MM {
            return format!("{same} datum");
        }
        let way = if mm > 0.0 { more } else { less };
        let length = self.words.length(&format!("{name}: {way} datum"), mm.abs());
        // A length that rounds away is none.
        if length == "0" { format!("{same} datum") } else { format!("{length} {way} datum") }
    }
}

/// A length or a place with one, held where it lies on a curve: points of one curve
/// that moved each on its own would leave kinks.
fn held(text: &str, may: Place) -> String {
    match may {
        Place::Free => format!("\"{text}\""),
        Place::OnCurve => format!("{{ is = \"{text}\", role = \"hold\", within = \"{HELD_WITHIN}\" }}"),
    }
}

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}
