//! The pieces of the entry page: the list, the form that is open, the picture,
//! and what is wrong. Each is drawn whole from a look at the draft.

mod form;
mod paper;

use std::collections::BTreeMap;

use askama::Template;
use sheets::Screen;
use workshop::desk::asks::{FEATURES, On};
use workshop::desk::{Card, Look, Which};
use workshop::plan::sheet::Looking;

use super::{Head, rendered};
use form::FormPiece;

/// What of a draft is wanted on the page.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// The form that is open: `part`, `body`, `feature/3`.
    pub card: String,
    /// How wide the picture may be.
    pub screen: Screen,
    /// Whether sizes stand in inches and millimetres side by side.
    pub both: bool,
}

/// Every piece, under the name of its element.
pub struct Pieces {
    pub list: String,
    pub form: String,
    pub picture: String,
    pub troubles: String,
    pub paper: String,
}

/// What the project keeps of paper sheets.
pub struct Sheets {
    /// Images by name.
    pub images: Vec<String>,
    /// The width and height in pixels of the image that the draft names.
    pub size: Option<(usize, usize)>,
}

/// A kind of thing that can be added.
pub struct Kind {
    pub kind: &'static str,
    pub what: &'static str,
    /// `plate`, `turned`, or both.
    pub on: &'static str,
}

impl Wanted {
    /// What is open when the page is: the first form with something to fill in,
    /// or the first feature.
    pub fn at_first(look: &Look) -> Self {
        let wanting = |card: &&Card| card.which != Which::Stock && card.fields.iter().any(|f| f.is_wanting());
        let feature = |card: &&Card| matches!(card.which, Which::Feature(_));
        let card = look.cards.iter().find(wanting).or_else(|| look.cards.iter().find(feature));
        let card = card.or(look.cards.first()).map(name_of).unwrap_or_else(|| "part".to_owned());
        Self { card, screen: Screen::Middle, both: false }
    }

    /// What the page says that it has open, and how it wants the picture.
    pub fn of(state: &BTreeMap<String, String>) -> Self {
        let word = |key: &str| state.get(key).map(String::as_str).unwrap_or_default();
        // Narrower than any phone nothing could be read; wider than any desk is a slip.
        let wide_mm = word("wide_mm").parse::<f64>().unwrap_or(Screen::Middle.width_mm());
        let screen = Screen::Pane(wide_mm.clamp(70.0, 400.0) as u16);
        Self { card: word("card").to_owned(), screen, both: word("both") == "true" }
    }

    /// Opens the last form where the one that was open is gone.
    pub fn keep_to(&mut self, look: &Look) {
        if !look.cards.iter().any(|card| name_of(card) == self.card) {
            let same = |card: &&Card| name_of(card).split('/').next() == self.card.split('/').next();
            let near = look.cards.iter().rev().find(same).or(look
                .cards
                .iter()
                .rev()
                .find(|card| matches!(card.which, Which::Feature(_) | Which::Body)));
            self.card = near.map(name_of).unwrap_or_else(|| "part".to_owned());
        }
    }
}

/// Every kind of thing that can be added, in the order in which it is offered.
pub fn kinds() -> Vec<Kind> {
    let on = |on: On| match on {
        On::Plate => "plate",
        On::Turned => "turned",
        On::Either => "plate turned",
    };
    let features = FEATURES.iter().map(|row| Kind { kind: row.kind, what: row.what, on: on(row.on) });
    let others = [
        Kind { kind: "mate", what: "a shaft, pin or rod of another part that fits here", on: "plate turned" },
        Kind {
            kind: "equal sizes",
            what: "dimensions that stay equal whatever becomes of them",
            on: "plate turned",
        },
        Kind {
            kind: "geometry",
            what: "what is flat, square or parallel, or runs true, and within how much",
            on: "plate turned",
        },
        Kind {
            kind: "parted",
            what: "a cap that is sawn off, bolted on again and bored with the rest",
            on: "plate",
        },
        Kind { kind: "wall", what: "a wall that may be thinner than practice asks", on: "plate turned" },
        Kind { kind: "chain", what: "sizes that add up, of this part and others", on: "plate turned" },
    ];
    features.chain(others).collect()
}

/// The name that the page knows a form by.
pub fn name_of(card: &Card) -> String {
    match card.which {
        Which::Part => "part".to_owned(),
        which => which.at(),
    }
}

/// Draws every piece.
pub fn pieces(text: &str, look: &mut Look, sheets: Sheets, wanted: &Wanted, head: &Head) -> Pieces {
    let beneath = paper::beneath(look, sheets.size);
    if let Some(front) = look.picture.as_mut().and_then(|picture| picture.views.first_mut()) {
        front.beneath = beneath.filter(|_| front.looking == Looking::Front);
    }
    let look = &*look;
    let open = look.cards.iter().position(|card| name_of(card) == wanted.card);
    Pieces {
        list: rendered(&ListPiece::of(look, open)),
        form: match open {
            Some(open) => rendered(&FormPiece::of(look, open)),
            None => rendered(&BrokenPiece { text }),
        },
        picture: picture(look, wanted),
        troubles: rendered(&TroublesPiece::of(look, head)),
        paper: rendered(&paper::PaperPiece::of(look, sheets.images, sheets.size)),
    }
}

#[derive(Template)]
#[template(path = "entry/list.html")]
struct ListPiece {
    turned: bool,
    rows: Vec<ListRow>,
}

struct ListRow {
    at: String,
    title: String,
    kind: String,
    brief: String,
    open: bool,
    troubles: Vec<usize>,
}

impl ListPiece {
    fn of(look: &Look, open: Option<usize>) -> Self {
        let row = |(index, card): (usize, &Card)| ListRow {
            at: name_of(card),
            title: card.title.clone(),
            kind: card.kind.clone(),
            brief: card.brief.clone(),
            open: open == Some(index),
            troubles: card.troubles.clone(),
        };
        Self { turned: look.turned, rows: look.cards.iter().enumerate().map(row).collect() }
    }
}

/// A file that is not well formed: nothing but its text can be shown.
#[derive(Template)]
#[template(path = "entry/broken.html")]
struct BrokenPiece<'a> {
    text: &'a str,
}

#[derive(Template)]
#[template(path = "entry/troubles.html")]
struct TroublesPiece<'a> {
    rows: Vec<TroubleRow>,
    /// Thin walls, each with the form to open for it.
    walls: Vec<(String, String)>,
    hands: &'a [String],
    checks: &'a [String],
    supposed: &'a [String],
    /// Where the metric part is shown.
    metric: String,
}

struct TroubleRow {
    number: usize,
    card: String,
    at: String,
    what: String,
    why: String,
    mend: String,
}

impl<'a> TroublesPiece<'a> {
    fn of(look: &'a Look, head: &Head) -> Self {
        let row = |trouble: &workshop::desk::Trouble| TroubleRow {
            number: trouble.number,
            card: trouble.cards.first().map(|&card| name_of(&look.cards[card])).unwrap_or_default(),
            at: trouble.at.clone().unwrap_or_default(),
            what: trouble.problem.what().to_owned(),
            why: trouble.problem.reason().unwrap_or_default().to_owned(),
            mend: trouble.problem.remedy().unwrap_or_default().to_owned(),
        };
        let wall = |(words, cards): &(String, Vec<usize>)| {
            let card = cards.first().map(|&card| name_of(&look.cards[card])).unwrap_or_default();
            // Names stand plain on the page.
            (words.replace('`', ""), card)
        };
        Self {
            rows: look.troubles.iter().map(row).collect(),
            walls: look.walls.iter().map(wall).collect(),
            hands: &look.hands,
            checks: &look.checks,
            supposed: &look.supposed,
            metric: head.address("metric"),
        }
    }
}

/// The part as far as it is known.
fn picture(look: &Look, wanted: &Wanted) -> String {
    look.picture.as_ref().map(|views| sheets::views_svg(views, wanted.screen)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leaves_its_place_in_any_piece() {
        const NASTY: &str = "<script>alert('x')</script>";
        let text = format!(
            "part = \"{NASTY}\"\nunit = \"inch\"\nmaterial = \"{NASTY}\"\n{NASTY}x = 1\n[body]\nkind = \"disc\"\n\
             diameter = \"2\"\nthickness = \"1/4\"\n[[feature]]\nname = \"{NASTY}\"\nkind = \"hole\"\n\
             diameter = \"{NASTY}\"\nplace = [\"{NASTY}\", \"datum\"]\n\
             [[feature]]\nname = \"b {NASTY}\"\nkind = \"hole\"\ndiameter = \"1/4\"\nodd = \"{NASTY}\"\n\
             place = [\"1/2 right of {NASTY}\", \"level with {NASTY}\"]\n"
        );
        for text in [text.clone(), text.replace(&format!("{NASTY}x = 1\n"), "")] {
            let mut look = workshop::desk::look("nasty.toml", &text);
            let head = Head {
                project: NASTY.into(),
                part: NASTY.into(),
                parts: Vec::new(),
                title: NASTY.into(),
                tab: super::super::Tab::Drawing,
            };
            let mut cards: Vec<String> = look.cards.iter().map(name_of).collect();
            cards.push("none".into());
            for card in cards {
                let wanted = Wanted { card, screen: Screen::Narrow, both: true };
                let sheets = Sheets { images: vec![NASTY.into()], size: None };
                let Pieces { list, form, picture, troubles, paper } =
                    pieces(&text, &mut look, sheets, &wanted, &head);
                for piece in [list, form, picture, troubles, paper] {
                    assert!(!piece.contains("<script"), "{piece}");
                }
            }
        }
    }
}
