//! A project as the pages see it: what it holds, and how it is kept.
//!
//! The caller of the app implements [`Shop`]; nothing here touches a disk.

use std::sync::Arc;

use workshop::bench::Bench;
use workshop::drawing::{Drawing, Solved};
use workshop::linkage::{Closest, Machine, Told};
use workshop::metric::{MetricPart, Standoff};
use workshop::plan::Plan;
use workshop::problem::{Outcome, Problem};
use workshop::sheet::MakeList;

/// A project as the pages see it.
pub trait Shop: Send + Sync + 'static {
    /// What the project is called.
    fn name(&self) -> String;

    /// The parts by the name of their file, in order.
    fn parts(&self) -> Vec<String>;

    /// Everything worked out for one part, or `None` when there is no such part.
    fn plan(&self, part: &str) -> Option<Result<Plan, Vec<Problem>>>;

    /// Everything worked out for a part whose text need not be saved.
    ///
    /// # Errors
    ///
    /// Every fault of the draft, and what of it cannot be made.
    fn planned(&self, part: &str, draft: &str) -> Outcome<Plan>;

    /// What to make and fit in which order; `None` for one part alone of which nothing is said.
    ///
    /// # Errors
    ///
    /// Every fault of what is said of fitting, or what of it cannot all hold.
    fn make_list(&self) -> Outcome<Option<MakeList>>;

    /// How the mechanisms move that a text describes, which need not be saved.
    ///
    /// # Errors
    ///
    /// That the bench cannot be read. What is wrong with the text is part of the answer.
    fn moving(&self, draft: &str) -> Outcome<Motion>;

    /// What is wrong with what is said of how the parts go together.
    fn unfitted(&self) -> Vec<Problem>;

    /// The metric sizes of a part and of the rest of the project, chosen together,
    /// for a part and a bench that need not be saved.
    ///
    /// # Errors
    ///
    /// Every fault of the two drafts as they read. That nothing satisfies them is
    /// part of the answer.
    fn metric(&self, part: &str, drafts: &Drafts) -> Outcome<Arc<Metric>>;

    /// The text of a file as it stands, or `None` when there is no such file.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when it is there and cannot be read.
    fn text(&self, paper: &Paper) -> Result<Option<Text>, Problem>;

    /// The stamp of a file as it stands; `None` when there is no such file.
    fn stamp(&self, paper: &Paper) -> Option<String>;

    /// Saves a text that was made from `base`. When the file has meanwhile
    /// become another, both are brought together or both are kept.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when it cannot be written; the file is then as it was.
    fn save(&self, paper: &Paper, base: &str, text: &str) -> Result<Saving, Problem>;

    /// Makes a file that is not there yet.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when there is one of that name, or it cannot be written.
    fn create(&self, paper: &Paper, text: &str) -> Result<Text, Problem>;

    /// Takes a part away; it stays among the earlier states.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when there is none, or it cannot be taken away.
    fn remove(&self, part: &str) -> Result<(), Problem>;

    /// Gives the file of a part another name.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when there is no such part, or one of the new name.
    fn rename(&self, part: &str, to: &str) -> Result<(), Problem>;

    /// Parts that were taken away and can be had back.
    fn removed(&self) -> Vec<String>;

    /// The earlier states of a file, the latest first.
    fn earlier(&self, paper: &Paper) -> Vec<Earlier>;

    /// The text of an earlier state, by its number.
    fn earlier_text(&self, paper: &Paper, number: u32) -> Option<String>;

    /// Makes an earlier state the file again; what stood there becomes one.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when there is no such state, or it cannot be written.
    fn restore(&self, paper: &Paper, number: u32) -> Result<Text, Problem>;

    /// The pictures of published sheets that the project keeps, by name.
    fn images(&self) -> Vec<String>;

    /// Keeps a picture; answers the name it is kept under.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when it is no PNG or JPEG, too large, or cannot be written.
    fn put_image(&self, name: &str, bytes: &[u8]) -> Result<String, Problem>;

    /// A kept picture, or `None` when there is none of that name.
    fn image(&self, name: &str) -> Option<Image>;

    /// Tells whether a kept picture is still the same without reading it; `None` when there
    /// is none of that name.
    fn image_stamp(&self, name: &str) -> Option<String>;
}

/// The mechanisms of a project.
#[derive(Debug, Default)]
pub struct Motion {
    /// Those that go round.
    pub machines: Vec<Moved>,
    /// What is wrong with the others.
    pub problems: Vec<Problem>,
}

/// A mechanism followed round.
#[derive(Debug)]
pub struct Moved {
    /// The mechanism.
    pub machine: Machine,
    /// What it does, in every setting.
    pub told: Vec<Told>,
    /// What its sizes may depart by, where something is asked of its results.
    pub closest: Option<Closest>,
}

/// A file of a project.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Paper {
    /// What is owned.
    Bench,
    /// How the parts move.
    Mechanism,
    /// One part, by the name of its file.
    Part(String),
}

/// The two files that decide the metric part, as a page has them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Drafts {
    /// The part.
    pub part: String,
    /// The bench; empty where there is none.
    pub bench: String,
}

/// The parts of a project with their sizes.
#[derive(Debug)]
pub struct Metric {
    /// The part asked about.
    pub own: Chosen,
    /// Where the part has no sizes: the demands that cannot all hold, with ways out.
    pub standoffs: Vec<Standoff>,
    /// The others that can be read.
    pub others: Vec<Chosen>,
    /// What is owned.
    pub bench: Bench,
}

/// One part with its sizes.
#[derive(Debug)]
pub struct Chosen {
    /// The part.
    pub piece: Arc<Piece>,
    /// Its sizes, or why there are none.
    pub metric: Outcome<MetricPart>,
}

/// One part as read.
#[derive(Debug)]
pub struct Piece {
    /// The name of its file.
    pub file: String,
    /// What the file says.
    pub drawing: Drawing,
    /// The places on it.
    pub solved: Solved,
}

/// The text of a file, with the stamp that it alone has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// What it says.
    pub text: String,
    /// Tells whether the file is still the same.
    pub stamp: String,
}

/// What became of a save.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saving {
    /// The file is as sent.
    Saved(Text),
    /// The file had changed; it now holds both changes.
    Merged(Text),
    /// The file had changed in the same lines and is as it was. The text sent is
    /// kept among the earlier states.
    Conflict {
        /// The file as it stands.
        theirs: Text,
        /// Both, with the lines in question between marks.
        marked: String,
    },
}

/// An earlier state of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// Its number, which grows with every state kept.
    pub number: u32,
    /// When it was kept, in words.
    pub kept: String,
    /// How many lines it has.
    pub lines: usize,
}

/// A picture of a published sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Image {
    /// `image/png` or `image/jpeg`.
    pub media_type: &'static str,
    /// The file.
    pub bytes: Vec<u8>,
}

/// Largest picture that is kept.
pub const MOST_IMAGE_BYTES: usize = 20_000_000;
/// Longest text that is saved: as long as any file the reader takes.
pub const MOST_TEXT_BYTES: usize = 1_000_000;
