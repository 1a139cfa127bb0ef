//! An aid as a part file in millimetres, so that it is planned as any other part is.

use crate::measure::{Length, Toward};
use crate::tables::threads::Thread;

/// A turned aid, written down from its left end.
pub(super) struct Turned {
    head: String,
    features: String,
}

/// The least hole that a boring tool in the lathe gets into: common practice.
pub(super) fn bores_from() -> Length {
    Length::mm(6)
}

/// Exact to a tenth of a thousandth: no aid is turned closer.
fn exact(length: Length) -> String {
    format!("{} mm", length.decimals(4))
}

/// A name as TOML holds it.
fn text(name: &str) -> String {
    let plain: String = name.chars().filter(|c| !c.is_control()).collect();
    format!("\"{}\"", plain.replace('\\', "\\\\").replace('"', "\\\""))
}

impl Turned {
    /// One of a material; hardened and let down to straw where it is to be.
    pub fn new(name: &str, material: &str, make: u32, hard: bool) -> Self {
        let harden = if hard { "harden = \"straw\"\n" } else { "" };
        Self {
            head: format!(
                "part = {}\nunit = \"mm\"\nmaterial = {}\nmake = {make}\n{harden}usual_roles = true\n\
                 general_tolerance = \"medium\"\n\n[body]\nkind = \"turned\"\n",
                text(name),
                text(material)
            ),
            features: String::new(),
        }
    }

    /// Held as it says: `in one holding`, or `where it stays`.
    pub fn held(mut self, turned: &str) -> Self {
        self.head = self.head.replacen("usual_roles", &format!("turned = {}\nusual_roles", text(turned)), 1);
        self
    }

    /// A thread in an end, so deep.
    pub fn tapped(self, name: &str, end: &str, thread: &Thread, deep: Length) -> Self {
        let thread = text(&thread.designation);
        let rows = format!(
            "face = \"{end}\"\nthread = {{ is = {thread}, pin = {thread} }}\ndepth = \"{}\"\n",
            exact(deep)
        );
        self.feature(name, "tapped hole", &rows)
    }

    /// Metal turned out of an end, round the axis.
    pub fn recess(self, name: &str, end: &str, diameter: Length, deep: Length) -> Self {
        let rows =
            format!("face = \"{end}\"\ndiameter = \"{}\"\ndepth = \"{}\"\n", exact(diameter), exact(deep));
        self.feature(name, "recess", &rows)
    }

    /// The edge at an end of a section taken off at 45°.
    pub fn chamfer(self, name: &str, of: &str, end: &str, size: Length) -> Self {
        let rows = format!("of = {}\nend = \"{end}\"\nsize = \"{}\"\n", text(of), exact(size));
        self.feature(name, "chamfer", &rows)
    }

    fn feature(mut self, name: &str, kind: &str, rows: &str) -> Self {
        self.features += &format!("\n[[feature]]\nname = {}\nkind = \"{kind}\"\n{rows}", text(name));
        self
    }

    /// A plain section, to just this size.
    pub fn section(self, name: &str, diameter: Length, long: Length) -> Self {
        let rows = format!(
            "diameter = {{ is = \"{0}\", pin = \"{0}\" }}\nlength = \"{1}\"\n",
            exact(diameter),
            exact(long)
        );
        self.feature(name, "section", &rows)
    }

    /// A plain section beside the axis of the others, toward an angle.
    pub fn set_over(self, name: &str, diameter: Length, long: Length, offset: Length, at: &str) -> Self {
        let rows = format!(
            "diameter = {{ is = \"{0}\", pin = \"{0}\" }}\nlength = \"{1}\"\noffset = \"{2}\"\noffset_at = \"{at}\"\n",
            exact(diameter),
            exact(long),
            exact(offset)
        );
        self.feature(name, "section", &rows)
    }

    /// A threaded section.
    pub fn threaded(self, name: &str, thread: &Thread, long: Length) -> Self {
        let thread = text(&thread.designation);
        let rows = format!("thread = {{ is = {thread}, pin = {thread} }}\nlength = \"{}\"\n", exact(long));
        self.feature(name, "section", &rows)
    }

    /// A groove beside the left side of a section.
    pub fn groove(self, name: &str, beside: &str, diameter: Length, width: Length) -> Self {
        let rows = format!(
            "diameter = \"{}\"\nwidth = \"{}\"\nplace = [{}]\n",
            exact(diameter),
            exact(width),
            text(&format!("0 right of {beside}"))
        );
        self.feature(name, "groove", &rows)
    }

    /// Flats round a section, from its left side on.
    pub fn flats(self, name: &str, of: &str, count: u32, across: Length, long: Length) -> Self {
        let rows = format!(
            "count = {count}\nacross = \"{}\"\nlength = \"{}\"\nplace = [{}]\n",
            exact(across),
            exact(long),
            text(&format!("0 right of {of}"))
        );
        self.feature(name, "flats", &rows)
    }

    /// A hole down the axis, right through; bored to a hundredth, as boring tools are set.
    pub fn through(self, name: &str, diameter: Length, finish: &str) -> Self {
        let hundredth = Length::mm_ratio(1, 100);
        let diameter =
            if finish == "bored" { diameter.rounded(hundredth, Toward::Nearest).value } else { diameter };
        let size = match finish {
            "drilled" => format!("\"{}\"", exact(diameter)),
            _ => format!("{{ is = \"{0}\", pin = \"{0}\" }}", exact(diameter)),
        };
        self.feature(name, "hole", &format!("face = \"right\"\ndiameter = {size}\nfinish = \"{finish}\"\n"))
    }

    /// The file.
    pub fn file(self) -> String {
        self.head + &self.features
    }
}

/// A rectangular plate with holes, from the lower left corner; its lower edge is the one that
/// carries the direction.
pub(super) struct Milled {
    head: String,
    features: String,
}

impl Milled {
    /// One of a material, so long, wide and thick.
    pub fn new(name: &str, material: &str, [long, wide, thick]: [Length; 3]) -> Self {
        let thick = exact(thick);
        Self {
            head: format!(
                "part = {}\nunit = \"mm\"\nmaterial = {}\nmake = 1\nusual_roles = true\n\
                 general_tolerance = \"medium\"\n\n[body]\nkind = \"rectangle\"\nwidth = \"{}\"\nheight = \"{}\"\n\
                 thickness = {{ is = \"{thick}\", pin = \"{thick}\" }}\ndatum = \"bottom left\"\n",
                text(name),
                text(material),
                exact(long),
                exact(wide)
            ),
            features: String::new(),
        }
    }

    /// A hole from above: so deep, finished so, its middle held as near as given.
    pub fn hole(mut self, name: &str, (x, y): (Length, Length), near: Length, seat: &Seat) -> Self {
        let held = |distance: Length, words: &str| {
            format!(
                "{{ is = \"{} {words}\", role = \"hold\", within = \"{}\" }}",
                exact(distance),
                exact(near)
            )
        };
        self.features += &format!(
            "\n[[feature]]\nname = {}\nkind = \"hole\"\ndiameter = {{ is = \"{1}\", pin = \"{1}\" }}\nfinish = \"{2}\"\n\
             depth = \"{3}\"\nplace = [{4}, {5}]\n",
            text(name),
            exact(seat.diameter),
            seat.finish,
            exact(seat.deep),
            held(x, "right of datum"),
            held(y, "above datum")
        );
        self
    }

    /// A thread right through below a hole.
    pub fn tapped_below(mut self, name: &str, hole: &str, thread: &Thread) -> Self {
        let thread = text(&thread.designation);
        self.features += &format!(
            "\n[[feature]]\nname = {}\nkind = \"tapped hole\"\nthread = {{ is = {thread}, pin = {thread} }}\n\
             place = [{}]\n",
            text(name),
            text(&format!("concentric with {hole}"))
        );
        self
    }

    /// The file.
    pub fn file(self) -> String {
        self.head + &self.features
    }
}

/// A hole that a stud or a shoulder stands in.
pub(super) struct Seat {
    pub diameter: Length,
    pub deep: Length,
    /// `reamed` or `bored`.
    pub finish: &'static str,
}

/// A block of flat bar that stands on one edge: its top milled to a height or, half of its length
/// each, to two, each within so much.
pub(super) fn standing(
    name: &str,
    material: &str,
    thick: Length,
    (land, within): (Length, Length),
    heights: &[Length],
) -> String {
    let held = |height: Length| {
        format!(
            "{{ is = \"{0}\", pin = \"{0}\", role = \"hold\", within = \"{1}\" }}",
            exact(height),
            exact(within)
        )
    };
    let high = heights.first().copied().unwrap_or_default();
    let head = format!(
        "part = {}\nunit = \"mm\"\nmaterial = {}\nmake = 1\nusual_roles = true\ngeneral_tolerance = \"medium\"\n\n\
         [body]\nkind = \"rectangle\"\nwidth = \"{}\"\nheight = {}\nthickness = \"{}\"\ndatum = \"bottom left\"\n",
        text(name),
        text(material),
        exact(land * heights.len() as i64),
        held(high),
        exact(thick)
    );
    let lower = heights.get(1).map(|low| {
        format!(
            "\n[[feature]]\nname = \"lower land\"\nkind = \"step\"\nface = \"top\"\nleaves = {}\nside = \"right\"\n\
             place = [\"{} right of datum\"]\n",
            held(*low),
            exact(land)
        )
    });
    head + &lower.unwrap_or_default()
}
