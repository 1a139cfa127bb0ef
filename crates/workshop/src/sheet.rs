//! What goes on the sheets: plain words, figures and pictures, ready to lay out.
//!
//! Everything is reckoned by now. Whoever prints or shows these types chooses
//! type and place on the paper, and nothing else. It stands above [`crate::aids`]
//! and [`crate::plan`], since both fill it in.

mod cutting;
mod inspection;
mod make_list;
mod overlay;
mod projection;
mod stage;

use std::f64::consts::TAU;

pub use cutting::{CuttingGroup, CuttingList, CuttingRow, SawnBlank};
pub use inspection::{Inspection, InspectionRow};
pub use make_list::{MakeKind, MakeList, MakeRow, Tie, tell};
pub use overlay::{Moved, Overlay};
pub use projection::{Beneath, Looking, Marked, Projection, Projections, Said, Saying, Stroke, ViewLine};
pub use stage::{Cut, Stage};

use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::metric::Other;
use crate::order::Machine;
use crate::why::{Figure, Why};

/// The first page: what the part is, what to have ready, what has changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// What the part is called.
    pub part: String,
    /// `one right hand, one left hand`, or `two off`.
    pub wanted: String,
    /// The published sheet.
    pub sheet: Option<String>,
    /// Material, and the bar or plate to cut it from.
    pub material: Figure,
    /// Size to saw each blank to.
    pub blank: Figure,
    /// What to have ready, under headings: tools, instruments, aids to make first.
    pub ready: Vec<(String, Vec<Ready>)>,
    /// Every dimension of the drawing and what became of it.
    pub changes: Vec<Change>,
    /// The order of work in one line a setup.
    pub order: Vec<OrderLine>,
    /// Minutes for all pieces, an estimate.
    pub minutes: u64,
    /// Steps that spoil what a later one needs, if taken early.
    pub traps: Vec<Trap>,
    /// What is not done in this order, because it is done in assembly.
    pub left: Vec<String>,
    /// Everything that was supposed.
    pub assumed: Vec<String>,
    /// Cautions for the whole job.
    pub cautions: Vec<String>,
    /// What proves the choice of sizes and the order, in a sentence each.
    pub proofs: Vec<String>,
}

/// A thing to have ready.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ready {
    /// `8 mm reamer, H7`.
    pub what: String,
    /// Owned, to buy, or to make first.
    pub state: ReadyState,
}

/// Whether a thing is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadyState {
    /// On the bench file.
    Owned,
    /// Not on the bench file.
    Buy,
    /// An aid with its own sheet.
    Make,
}

/// What became of a dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// `rod bore: diameter`.
    pub name: String,
    /// As written on the drawing.
    pub written: String,
    /// Exact millimetres of that.
    pub exact: String,
    /// The size chosen.
    pub chosen: String,
    /// Chosen less drawn in millimetres, with its sign: `+0.238`; empty when there is none.
    pub difference: String,
    /// The same in the drawing's own unit: `+0.0094 in`; empty where that is millimetres.
    pub difference_drawn: String,
    /// How far it was allowed to go either way: `0.5 mm`.
    pub limit: String,
    /// What makes it: a tool, a bar, the readout.
    pub made_with: String,
    /// `hold`, `suit` or `free`, with `(assumed)` where nobody said.
    pub role: String,
    /// The whole reason.
    pub why: Why,
    /// Every other size there was, nearest the drawing first.
    pub refused: Vec<Other>,
}

/// One setup of the order of work, for the cover and the terminal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// Which setup, counted from one.
    pub setup: usize,
    /// The machine it stands on.
    pub machine: Machine,
    /// `Mill, vice, front up: located from the left and bottom edges`.
    pub title: String,
    /// The operations in it, in order.
    pub steps: Vec<String>,
    /// Minutes, an estimate.
    pub minutes: u64,
}

/// A step that must not be taken early.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trap {
    /// `slit the clamp before drilling the clamp screw`.
    pub early: String,
    /// What would be lost.
    pub lost: String,
}

/// One holding of the work, one page.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupSheet {
    /// Counted from one, in order of work.
    pub number: usize,
    /// `Mill: in the vice, front face up`.
    pub title: String,
    /// Which hands lie in it: `the pair, stuck together` or `left hand`.
    pub hands: String,
    /// How to hold it.
    pub held: String,
    /// What to pick up, and from where.
    pub located: String,
    /// Presets, offsets and other numbers set once for the whole setup.
    pub presets: Vec<Figure>,
    /// The rows, in order.
    pub rows: Vec<Row>,
    /// The work as it lies.
    pub scene: Scene,
    /// The metal as it is held: what is cut already, what is cut here, what is to come.
    pub stage: Option<Stage>,
    /// Cautions of these operations.
    pub cautions: Vec<String>,
    /// What else to know: why here, what would be lost otherwise.
    pub notes: Vec<String>,
}

/// One operation on a setup's page.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The number in the ring, the same on the picture.
    pub number: usize,
    /// `Ream pivot bore`.
    pub what: String,
    /// `8 mm reamer, H7`.
    pub tool: String,
    /// Spindle speed.
    pub speed: Option<Figure>,
    /// Everything to set: X, Y, table readings, divisions.
    pub sets: Vec<Figure>,
    /// Depth and passes.
    pub depth: Vec<Figure>,
    /// What to check, with its limits.
    pub check: Option<Figure>,
}

/// The work as it lies on the machine, in the setup's axes, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// `front face up, seen from above`.
    pub view: String,
    /// Metal edges that are there now.
    pub outline: Vec<Segment>,
    /// Edges that this setup makes or that come later: thin.
    pub to_come: Vec<Segment>,
    /// The blank or bar around it, and clamps, jaws, plate: phantom lines.
    pub around: Vec<Segment>,
    /// Round things in plan.
    pub holes: Vec<SceneHole>,
    /// Where X and Y read nought, or the table's centre.
    pub datum: Point,
    /// What the datum is: `left and bottom edges of the blank`.
    pub datum_name: String,
    /// Numbered places, keyed to the rows.
    pub marks: Vec<Mark>,
    /// Dimensions worth drawing: from, to, text.
    pub dimensions: Vec<SceneDimension>,
    /// Words with a leader: `⌀ 8 reamed`.
    pub notes: Vec<SceneNote>,
    /// Centre lines and axes, thin dash and dot.
    pub centre_lines: Vec<Segment>,
    /// Edges behind the metal, dashed.
    pub hidden: Vec<Segment>,
}

/// Words that point at a place in a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneNote {
    /// The place.
    pub at: Point,
    /// What to say of it.
    pub text: String,
    /// The figure it shows, where it shows one.
    pub figure: Option<String>,
}

/// A hole in a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneHole {
    /// Its centre.
    pub centre: Point,
    /// Across, in millimetres.
    pub diameter_mm: f64,
    /// Whether it is there yet.
    pub when: When,
}

/// When a thing of a scene is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Before this setup.
    Before,
    /// In this setup.
    Now,
    /// Later.
    Later,
}

/// A numbered place in a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The row's number.
    pub number: usize,
    /// Where.
    pub at: Point,
}

/// A dimension to draw in a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneDimension {
    /// From here.
    pub from: Point,
    /// To here.
    pub to: Point,
    /// Which way its line runs.
    pub runs: Runs,
    /// What stands on it.
    pub text: String,
    /// The figure it shows, where it shows one.
    pub figure: Option<String>,
}

/// Which way a dimension line runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Runs {
    /// Along X.
    Across,
    /// Along Y.
    Up,
    /// Straight between its ends.
    Along,
    /// From a centre to an arc: the text carries `R`.
    Radius,
}

/// The sheet of an aid to make first.
#[derive(Clone, Debug, PartialEq)]
pub struct AidSheet {
    /// `Stub mandrel for the pivot bore`.
    pub name: String,
    /// What it is for.
    pub purpose: String,
    /// What to make it from.
    pub material: String,
    /// Its sizes, each with its reason.
    pub sizes: Vec<Figure>,
    /// How to make it, in order.
    pub steps: Vec<String>,
    /// Its picture.
    pub scene: Scene,
    /// Cautions.
    pub cautions: Vec<String>,
    /// What else it would serve.
    pub serves: Serves,
    /// The thing itself: its part file, its order of work, what it is kept as.
    pub own: Own,
}

/// An aid as a part of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Own {
    /// How many are wanted at once.
    pub count: u32,
    /// What `aids` of the bench file calls it once it is in the drawer: `drill bush 10 mm for
    /// 5 mm, 7.5 mm long`. Empty where it is not worth keeping, or does not stay true.
    pub kept_as: String,
    /// Its part file, in millimetres; none where it is not made as parts are.
    pub file: Option<String>,
    /// Its order of work, by the planner that plans parts.
    pub order: Vec<OrderLine>,
    /// What it is sawn from, where it has an order.
    pub blank: Option<SawnBlank>,
    /// Why it has no order by that planner; its steps are then the order.
    pub unplanned: Option<String>,
    /// What the whole project knows of it: what else it is used for, or what does instead.
    pub besides: Vec<String>,
}

impl Default for Own {
    fn default() -> Self {
        Self {
            count: 1,
            kept_as: String::new(),
            file: None,
            order: Vec::new(),
            blank: None,
            unplanned: None,
            besides: Vec::new(),
        }
    }
}

impl AidSheet {
    /// Minutes to make it: those of its order, else a supposed 45, from memory.
    pub fn minutes(&self) -> u64 {
        match self.own.order.iter().map(|line| line.minutes).sum() {
            0 => 45,
            minutes => minutes,
        }
    }
}

/// What decides whether an aid made for one part serves another.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Serves {
    /// What must be the same: `stub diameter 7.97 to 7.99 mm`. Nothing where it serves no other.
    pub same: Vec<String>,
    /// What may be less than its own part wants, by name, but not less than half as much.
    pub at_most: Vec<(String, Length)>,
}

/// An empty scene.
pub fn blank_scene(view: impl Into<String>, datum: Point, datum_name: impl Into<String>) -> Scene {
    Scene {
        view: view.into(),
        outline: Vec::new(),
        to_come: Vec::new(),
        around: Vec::new(),
        holes: Vec::new(),
        datum,
        datum_name: datum_name.into(),
        marks: Vec::new(),
        dimensions: Vec::new(),
        notes: Vec::new(),
        centre_lines: Vec::new(),
        hidden: Vec::new(),
    }
}

/// Four lines round a rectangle.
pub fn box_lines(left: f64, bottom: f64, right: f64, top: f64) -> Vec<Segment> {
    let corners =
        [Point::new(left, bottom), Point::new(right, bottom), Point::new(right, top), Point::new(left, top)];
    (0..4).map(|i| Segment::line(corners[i], corners[(i + 1) % 4])).collect()
}

/// A whole circle.
pub fn circle_line(centre: Point, radius_mm: f64) -> Segment {
    Segment::arc(centre, radius_mm, 0.0, TAU)
}
