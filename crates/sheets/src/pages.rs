//! A plan as sheets: the cover, what changed, one sheet a setup, one an aid.

pub(crate) mod aid;
mod changes;
mod cover;
pub(crate) mod cutting;
mod inspection;
pub(crate) mod make_list;
pub(crate) mod setup;

use std::cell::RefCell;
use std::collections::BTreeMap;

use workshop::plan::Plan;
use workshop::plan::sheet::Scene;
use workshop::why::{Figure, quoted};

use crate::furniture::{BODY, Title};
use crate::picture::Placed;
use crate::scene::{self, Datum, Room};
use crate::sheet::{Block, LEVELS, Says, Sheet, pages};

/// Which sheet of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Which {
    Cover,
    Changes,
    /// Counted from nought among the setups.
    Setup(usize),
    Inspection,
    /// Counted from nought among the aids.
    Aid(usize),
}

/// Every sheet of a plan, in the order in which they are printed.
pub(crate) fn all(plan: &Plan) -> Vec<Which> {
    let mut all = vec![Which::Cover];
    if !plan.cover.changes.is_empty() {
        all.push(Which::Changes);
    }
    all.extend((0..plan.setups.len()).map(Which::Setup));
    if !plan.inspection.rows.is_empty() {
        all.push(Which::Inspection);
    }
    all.extend((0..plan.aids.len()).map(Which::Aid));
    all
}

impl Which {
    /// The name by which it is asked for.
    pub fn key(self, plan: &Plan) -> String {
        match self {
            Which::Cover => "cover".into(),
            Which::Changes => "changes".into(),
            Which::Setup(n) => format!("setup-{}", plan.setups[n].number),
            Which::Inspection => "inspection".into(),
            Which::Aid(n) => format!("aid-{}", n + 1),
        }
    }

    /// What a list of sheets calls it.
    pub fn title(self, plan: &Plan) -> String {
        match self {
            Which::Cover => format!("{}: before you start", plan.part),
            Which::Changes => changes::TITLE.into(),
            Which::Setup(n) => format!("Setup {}: {}", plan.setups[n].number, plan.setups[n].title),
            Which::Inspection => inspection::TITLE.into(),
            Which::Aid(n) => format!("Aid: {}", plan.aids[n].name),
        }
    }
}

/// The pictures of a plan's sheets at each level of smallness, where that may save a page.
pub(crate) struct SmallerPictures<'a> {
    book: Book<'a>,
    all: &'a [Which],
    usual: RefCell<BTreeMap<usize, Option<Block>>>,
    /// Those laid out already: neighbours are tried again with each sheet more.
    known: RefCell<BTreeMap<(usize, usize), Option<Block>>>,
}

impl<'a> SmallerPictures<'a> {
    /// Those of these sheets.
    pub fn of(plan: &'a Plan, all: &'a [Which]) -> Self {
        Self {
            book: Book::of(plan, Medium::Paper),
            all,
            usual: RefCell::default(),
            known: RefCell::default(),
        }
    }

    /// The picture of one of them, by its place, at a level.
    pub fn at(&self, n: usize, level: usize) -> Option<Block> {
        self.known.borrow_mut().entry((n, level)).or_insert_with(|| self.laid_out(n, level)).clone()
    }

    fn laid_out(&self, n: usize, level: usize) -> Option<Block> {
        let Which::Setup(setup) = *self.all.get(n)? else { return None };
        let setup = &self.book.plan.setups[setup];
        let mut usual = self.usual.borrow_mut();
        let usual = usual.entry(n).or_insert_with(|| setup::usual_picture(&self.book, setup)).as_ref()?;
        self.book.share_of_picture(&setup.scene, setup::datum(setup), usual, *SHARES.get(level)?)
    }
}

/// What a smaller picture takes of the paper that it usually has.
const SHARES: [f64; LEVELS] = [0.9, 0.8, 0.7, 0.6, 0.5, 0.4];

/// What sheets are set for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Medium {
    /// A4 pages, where a smaller picture may save turning over.
    Paper,
    /// A page without end: pictures are as large as they like, and set once.
    Screen,
}

/// One sheet of a plan.
pub(crate) fn sheet(plan: &Plan, which: Which, medium: Medium) -> Sheet {
    let book = Book::of(plan, medium);
    plain_quotes(match which {
        Which::Cover => cover::sheet(&book),
        Which::Changes => changes::sheet(&book),
        Which::Setup(n) => setup::sheet(&book, &plan.setups[n]),
        Which::Inspection => inspection::sheet(&book),
        Which::Aid(n) => aid::sheet(&book, &plan.aids[n]),
    })
}

/// Names that stand between the marks of a terminal stand between those of print.
pub(crate) fn plain_quotes(mut sheet: Sheet) -> Sheet {
    for block in &mut sheet.blocks {
        match block {
            Block::Heading(words) | Block::Words(words) => in_print(words),
            Block::Points(all) | Block::Cautions(all) | Block::Ticks(all) => {
                all.iter_mut().for_each(in_print);
            }
            Block::Facts(facts) => {
                for fact in facts {
                    if let Says::Words(cell) = &mut fact.says {
                        in_print(&mut cell.words);
                    }
                }
            }
            Block::Table(table) => table.words_mut().for_each(in_print),
            Block::Picture { .. } | Block::Rows(_) => {}
        }
    }
    sheet
}

/// `name` becomes “name”.
fn in_print(words: &mut String) {
    if words.contains('`') {
        *words = quoted(words);
    }
}

/// A plan with its figures at hand.
struct Book<'a> {
    plan: &'a Plan,
    medium: Medium,
    figures: BTreeMap<&'a str, &'a Figure>,
}

impl<'a> Book<'a> {
    fn of(plan: &'a Plan, medium: Medium) -> Self {
        let figures = plan.figures.iter().map(|figure| (figure.name.as_str(), figure)).collect();
        Self { plan, medium, figures }
    }

    fn title(&self, hand: &str) -> Title {
        let plan = self.plan;
        Title {
            project: plan.cover.sheet.clone().unwrap_or_default(),
            part: plan.part.clone(),
            hand: hand.into(),
            material: plan.cover.material.shown.clone(),
        }
    }

    /// A scene over the width of the page, and the words under it.
    fn picture(&self, scene: &Scene, datum: Datum, height_mm: f64) -> Block {
        let room = Room { width_mm: BODY.width_mm(), height_mm };
        let find = |name: &str| self.figures.get(name).copied();
        captioned(scene, datum, scene::picture(scene, datum, room, BODY.height_mm() - 12.0, &find))
    }

    /// A scene that is only looked at: without its sizes where they would press it out, since a
    /// table has them.
    fn view(&self, scene: &Scene, height_mm: f64) -> Block {
        let full = self.picture(scene, Datum::Hidden, height_mm);
        let Block::Picture { placed, .. } = &full else { return full };
        let room = Room { width_mm: BODY.width_mm(), height_mm };
        let Some(bare) = scene::bare_if_clearer(scene, room, placed) else { return full };
        let caption =
            format!("{}; its sizes are in the changes from the drawing; scale {}", scene.view, bare.scale);
        Block::Picture { placed: bare, caption }
    }

    /// The same on less and less paper, as long as it loses nothing by that.
    fn smaller_pictures(&self, scene: &Scene, datum: Datum, usual: &Block) -> impl Iterator<Item = Block> {
        SHARES.into_iter().filter_map(move |share| self.share_of_picture(scene, datum, usual, share))
    }

    /// The same on a share of its paper, if it loses nothing by that and stays
    /// large enough to be clear.
    fn share_of_picture(&self, scene: &Scene, datum: Datum, usual: &Block, share: f64) -> Option<Block> {
        let of = |block: &Block| match block {
            Block::Picture { placed, .. } => Some((placed.height_mm, placed.scale.factor())),
            _ => None,
        };
        let (usual_mm, usual_scale) = of(usual)?;
        let smaller = self.smaller_picture(scene, datum, usual_mm * share)?;
        (of(&smaller)?.1 * scene::SMALLER >= usual_scale).then_some(smaller)
    }

    /// The same on so much paper, if it loses nothing by that.
    fn smaller_picture(&self, scene: &Scene, datum: Datum, height_mm: f64) -> Option<Block> {
        let room = Room { width_mm: BODY.width_mm(), height_mm };
        let find = |name: &str| self.figures.get(name).copied();
        Some(captioned(scene, datum, scene::smaller_picture(scene, datum, room, &find)?))
    }
}

/// The first of some ways to set a sheet that takes as few pages as it would
/// without any picture, or else the fewest.
fn fewest_pages(usual: Sheet, others: impl Iterator<Item = Sheet>) -> Sheet {
    let mut best = (pages(&usual), usual);
    if best.0 == 1 {
        return best.1;
    }
    let least = pages(&without_pictures(&best.1));
    for other in others {
        if best.0 <= least {
            break;
        }
        let needed = pages(&other);
        if needed < best.0 {
            best = (needed, other);
        }
    }
    best.1
}

fn without_pictures(sheet: &Sheet) -> Sheet {
    let mut bare = sheet.clone();
    bare.blocks.retain(|block| !matches!(block, Block::Picture { .. }));
    bare
}

/// Words without what they say at their end in brackets, where the sheet says
/// that already: `drill 2.6 mm (left hand)` on the sheet of the left hand.
fn without_aside<'w>(words: &'w str, aside: &str) -> &'w str {
    let shorter = words.strip_suffix(')').and_then(|rest| rest.strip_suffix(aside));
    let shorter = shorter.filter(|_| !aside.is_empty()).and_then(|rest| rest.strip_suffix(" ("));
    shorter.unwrap_or(words)
}

fn captioned(scene: &Scene, datum: Datum, placed: Placed) -> Block {
    let mut caption = scene.view.clone();
    match datum {
        Datum::Axes => caption.push_str(&format!("; nought of X and Y: {}", scene.datum_name)),
        Datum::Place => caption.push_str(&format!("; counted from: {}", scene.datum_name)),
        Datum::Hidden => {}
    }
    caption.push_str(&format!("; scale {}", placed.scale));
    Block::Picture { placed, caption }
}
