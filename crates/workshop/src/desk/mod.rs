//! A part file as it is being entered: everything that the entry page shows.
//!
//! The text of a file goes in, however unfinished; a [`Look`] comes out: the
//! fields of every form with what stands in them and what that comes to, the
//! pictures drawn as far as they are known, and every problem with the feature and
//! field it is about. Nothing here changes the text ([`crate::edit`] does), and
//! nothing is supposed that the sheets would not suppose too.
//!
//! Begin with [`look`]. What a kind of feature is asked stands in [`asks`].

pub mod asks;
mod cards;
pub mod choices;
mod field;
mod fill;
mod outlined;
mod paper;
mod said;
pub mod statements;
mod troubles;

pub use field::{Exact, Field, Item};
pub use fill::{fill, new_feature, new_table};
pub use outlined::outlined;
pub use paper::{Beneath, Paper};
pub use said::Said;

use cards::{cards, cards_of};
use troubles::{owns, troubles};

use crate::document::read_document;
use crate::drawing::solid::{Beside, Standing, thin_walls};
use crate::drawing::{Body, Drawing, FeatureId, Part, Solved, hands, read_as_far, solve_as_far};
use crate::plan::views::{Lettering, projections};
use crate::problem::Problem;
use crate::sheet::{Marked, Projection, Projections, Stroke};

/// Everything that the entry page shows of a draft.
#[derive(Clone, Debug)]
pub struct Look {
    /// What the part is called, once it is.
    pub name: String,
    /// The forms, in the order of the page: part, body, stock, features, mates, equals.
    pub cards: Vec<Card>,
    /// What is wrong, as [`crate::plan::plan`] would say it, in the order of the file.
    pub troubles: Vec<Trouble>,
    /// The part as far as it is known, with the numbers of the troubles at the
    /// features they are about.
    pub picture: Option<Projections>,
    /// Dimensions that the drawing gives twice and that agree.
    pub checks: Vec<String>,
    /// Walls that are thin, each with the forms of what it lies between; none
    /// before the part is whole.
    pub walls: Vec<(String, Vec<usize>)>,
    /// What reads the other way on the opposite hand, where both are made.
    pub hands: Vec<String>,
    /// What is supposed because nobody has said.
    pub supposed: Vec<String>,
    /// Whether turned features are offered, or those of plates.
    pub turned: bool,
    /// Every feature that has a place of its own, by name.
    pub placeable: Vec<String>,
    /// The paper sheet beneath, where there is one.
    pub paper: Option<Paper>,
}

/// Which table of the file a form is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Which {
    /// What stands above the first heading.
    Part,
    /// `[body]`.
    Body,
    /// `[stock]`.
    Stock,
    /// A `[[feature]]`, counted from nought.
    Feature(usize),
    /// A `[[mate]]`.
    Mate(usize),
    /// An `[[equal]]`.
    Equal(usize),
    /// A `[[screwed]]`.
    Screwed(usize),
    /// A `[[chain]]`.
    Chain(usize),
    /// A `[[wall]]`.
    Wall(usize),
    /// A `[[geometry]]`.
    Geometry(usize),
    /// A `[[parted]]`.
    Parted(usize),
    /// `[scan]`.
    Scan,
}

impl Which {
    /// The path of the table, as a change to the file names it; empty for the part.
    pub fn at(self) -> String {
        match self {
            Self::Part => String::new(),
            Self::Body => "body".to_owned(),
            Self::Stock => "stock".to_owned(),
            Self::Feature(index) => format!("feature/{index}"),
            Self::Mate(index) => format!("mate/{index}"),
            Self::Equal(index) => format!("equal/{index}"),
            Self::Screwed(index) => format!("screwed/{index}"),
            Self::Chain(index) => format!("chain/{index}"),
            Self::Wall(index) => format!("wall/{index}"),
            Self::Geometry(index) => format!("geometry/{index}"),
            Self::Parted(index) => format!("parted/{index}"),
            Self::Scan => "scan".to_owned(),
        }
    }

    /// The path of a key in the table.
    fn key(self, key: &str) -> String {
        match self {
            Self::Part => key.to_owned(),
            _ => format!("{}/{key}", self.at()),
        }
    }
}

/// One form.
#[derive(Clone, Debug)]
pub struct Card {
    /// The table it is of.
    pub which: Which,
    /// What it is called: a feature's name.
    pub title: String,
    /// The word for what it is, where it has one.
    pub kind: String,
    /// Its size in a few words, for the list.
    pub brief: String,
    /// Its fields.
    pub fields: Vec<Field>,
    /// Keys that mean nothing here, each with what stands there.
    pub strays: Vec<(String, String)>,
    /// Numbers of the troubles that are about it.
    pub troubles: Vec<usize>,
}

/// A problem, and where on the page to mend it.
#[derive(Clone, Debug)]
pub struct Trouble {
    /// Its number on the picture, counted from one.
    pub number: usize,
    /// What, where, why and how to mend it.
    pub problem: Problem,
    /// The forms it is about, the likeliest first: indices into [`Look::cards`].
    pub cards: Vec<usize>,
    /// The field to go to.
    pub at: Option<String>,
}

/// Looks at a draft; `file` is the name of its file, for problems.
pub fn look(file: &str, text: &str) -> Look {
    look_lettered(file, text, Lettering::AsWritten)
}

/// The same with the sizes on the picture lettered some other way.
pub fn look_lettered(file: &str, text: &str, lettering: Lettering) -> Look {
    let (drawing, mut problems) = read_as_far(file, text);
    let complete = problems.is_empty();
    let solved = drawing.as_ref().map(|drawing| {
        let (solved, more) = solve_as_far(drawing);
        problems.extend(more);
        solved
    });
    let part = drawing.as_ref().zip(solved.as_ref()).map(|(drawing, solved)| Part::as_drawn(drawing, solved));
    let sound = complete && problems.is_empty();
    if complete && let Some(part) = &part {
        problems.extend(part.wrong());
    }
    let paper = drawing.as_ref().zip(solved.as_ref()).and_then(|(drawing, solved)| {
        let (paper, more) = paper::look(drawing, solved)?;
        problems.extend(more);
        Some(paper)
    });
    let mut cards = read_document(text).map(|sheet| cards(&sheet, drawing.as_ref())).unwrap_or_default();
    statements::judge(&mut cards, drawing.as_ref(), &problems);
    let troubles = troubles(problems, &mut cards);
    let picture = part.as_ref().map(|part| picture(part, lettering, &cards, &troubles));
    Look {
        name: drawing.as_ref().map(|drawing| drawing.name.clone()).unwrap_or_default(),
        troubles,
        picture,
        walls: part.as_ref().filter(|_| sound).map(|part| thin(part, &cards)).unwrap_or_default(),
        hands: part.as_ref().filter(|_| sound).map(flips).unwrap_or_default(),
        checks: solved.as_ref().map(said_twice).unwrap_or_default(),
        supposed: drawing.as_ref().map(|drawing| drawing.assumed.clone()).unwrap_or_default(),
        placeable: drawing.as_ref().map(placeable).unwrap_or_default(),
        turned: drawing.is_some_and(|drawing| matches!(drawing.body, Body::Turned { .. })),
        paper,
        cards,
    }
}

/// Features that a place is asked of, the holes of a pattern among them.
fn placeable(drawing: &Drawing) -> Vec<String> {
    let has_place = |kind: &str| asks::feature(kind).is_some_and(|row| row.place.is_some());
    let placed = drawing.features.iter().filter(|feature| has_place(feature.kind.word()));
    placed.map(|feature| feature.name.clone()).collect()
}

/// The views that are true of what is known, marked.
fn picture(part: &Part, lettering: Lettering, cards: &[Card], troubles: &[Trouble]) -> Projections {
    let mut drawn = projections(part, lettering);
    leave_out(&mut drawn, part.drawing);
    for trouble in troubles {
        for &card in &trouble.cards {
            let name = &cards[card].title;
            let spot = |view: &Projection| view.anchors.iter().find(|(of, _)| owns(name, of)).cloned();
            if let Some((view, (of, at))) = drawn
                .views
                .iter_mut()
                .find_map(|view| Some((spot(view)?, view)).map(|(spot, view)| (view, spot)))
            {
                view.marks.push(Marked { number: trouble.number, of, at });
            }
        }
    }
    drawn
}

/// Takes from the views what only stands in for something that is not known yet.
/// Where a feature is stays shown by its centre lines.
fn leave_out(drawn: &mut Projections, drawing: &Drawing) {
    let unknown = drawing.unknown();
    if unknown.contains(&"body: thickness") {
        drawn.views.truncate(1);
    }
    let owners: Vec<&str> = unknown.iter().map(|name| name.split(": ").next().unwrap_or(name)).collect();
    for view in &mut drawn.views {
        view.lines.retain(|line| match &line.of {
            Some(of) => line.stroke == Stroke::Centre || !owners.iter().any(|name| owns(name, of)),
            None => !drawing.outside_unknown(),
        });
        view.says
            .retain(|said| said.figure.as_ref().is_none_or(|figure| !unknown.contains(&figure.as_str())));
    }
}

/// The thin walls that stand, with the forms of what they lie between.
fn thin(part: &Part, cards: &[Card]) -> Vec<(String, Vec<usize>)> {
    let card = |id: FeatureId| {
        let name = &part.feature(id).name;
        cards.iter().position(|card| matches!(card.which, Which::Feature(_)) && owns(&card.title, name))
    };
    let standing = thin_walls(part).into_iter().filter(|wall| wall.standing != Standing::Broken);
    standing
        .map(|wall| {
            let second = match wall.second {
                Beside::Feature(id) => card(id),
                _ => None,
            };
            (wall.words(part), card(wall.first).into_iter().chain(second).collect())
        })
        .collect()
}

/// What flips on the opposite hand; nothing where only one is made.
fn flips(part: &Part) -> Vec<String> {
    if part.drawing.hands.len() < 2 {
        return Vec::new();
    }
    let hands = hands(part);
    match hands.same_words() {
        Some(same) => vec![same],
        None => hands.flips.iter().map(|flip| flip.words()).collect(),
    }
}

fn said_twice(solved: &Solved) -> Vec<String> {
    let several = |check: &&crate::drawing::Check| check.statements.len() > 1;
    solved.checks.iter().filter(several).map(|check| check.statements.join("; ")).collect()
}
