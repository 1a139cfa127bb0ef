//! A plan as sheets: the cover, what changed, one sheet a setup, one an aid.

mod aid;
mod cover;
pub(crate) mod setup;

use std::collections::BTreeMap;

use workshop::plan::Plan;
use workshop::plan::sheet::Scene;
use workshop::why::Figure;

use crate::furniture::{BODY, Title};
use crate::scene::{Datum, picture};
use crate::sheet::{Block, Sheet};

/// A sheet with the name by which it is asked for and a title for a list.
pub(crate) struct Page {
    pub key: String,
    pub title: String,
    pub sheet: Sheet,
}

/// Every sheet of a plan, in the order in which they are printed.
pub(crate) fn pages(plan: &Plan) -> Vec<Page> {
    let book = Book::of(plan);
    let mut pages = cover::pages(&book);
    pages.extend(plan.setups.iter().map(|setup| Page {
        key: format!("setup-{}", setup.number),
        title: format!("Setup {}: {}", setup.number, setup.title),
        sheet: setup::sheet(&book, setup),
    }));
    pages.extend(plan.aids.iter().enumerate().map(|(n, aid)| Page {
        key: format!("aid-{}", n + 1),
        title: format!("Aid: {}", aid.name),
        sheet: aid::sheet(&book, aid),
    }));
    pages
}

/// A plan with its figures at hand.
struct Book<'a> {
    plan: &'a Plan,
    figures: BTreeMap<&'a str, &'a Figure>,
}

impl<'a> Book<'a> {
    fn of(plan: &'a Plan) -> Self {
        let figures = plan.figures.iter().map(|figure| (figure.name.as_str(), figure)).collect();
        Self { plan, figures }
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
    fn picture(&self, scene: &Scene, datum: Datum, tallest_mm: f64) -> Block {
        let find = |name: &str| self.figures.get(name).copied();
        let placed = picture(scene, datum, BODY.width_mm(), tallest_mm, &find);
        let mut caption = scene.view.clone();
        match datum {
            Datum::Axes => caption.push_str(&format!("; nought of X and Y: {}", scene.datum_name)),
            Datum::Place => caption.push_str(&format!("; counted from: {}", scene.datum_name)),
            Datum::Hidden => {}
        }
        caption.push_str(&format!("; scale {}", placed.scale));
        Block::Picture { placed, caption }
    }
}
