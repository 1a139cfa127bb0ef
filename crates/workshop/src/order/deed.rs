//! What the makers of operations hand to the rules: deeds, places and tokens.
//!
//! A [`Deed`] is one operation before the rules have spoken about it, a [`Place`]
//! one holding it may be done in. [`super::rules`] says which [`Token`] each of
//! them needs, makes and spoils; [`super::build`] turns all of it into a model.

use super::kept::HeldDistance;
use super::work::{Aid, Holding, Joined, Lots, Pieces, Tool, Work};
use crate::bench::Bench;
use crate::drawing::{DimensionId, FeatureId, Hand, Image, Kind, Part};
use crate::measure::Length;
use crate::metric::MetricPart;

/// Everything the makers of operations look at.
#[derive(Clone, Copy)]
pub(super) struct Job<'a> {
    pub part: &'a Part<'a>,
    pub metric: &'a MetricPart,
    pub bench: &'a Bench,
    pub scheme: Scheme,
}

/// How many are made, and how they go through the work together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Scheme {
    /// Whether both hands are made, or one part only.
    pub hands: Hands,
    /// How many of each hand go through the order.
    pub make: u32,
    /// How many lie in the tallest stack that is stuck or screwed together; one where none is.
    pub high: u32,
    /// What holds a stack together.
    pub joined: Joined,
    /// What lies in a holding that takes several.
    pub beside: Beside,
}

/// Whether a part is made in both hands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hands {
    One,
    Both,
}

/// What lies in a holding that takes several pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Beside {
    /// One piece or stack, the next one after it.
    InTurn,
    /// As many side by side as it takes.
    SideBySide,
}

impl Scheme {
    /// One piece at a time.
    pub(super) const ALONE: Self =
        Self { hands: Hands::One, make: 1, high: 1, joined: Joined::Stuck, beside: Beside::InTurn };

    /// So many of one part, each through every holding before the next.
    pub(super) const fn apart(make: u32) -> Self {
        Self { make, ..Self::ALONE }
    }

    /// So many of each hand, never stuck.
    pub(super) const fn hands(make: u32) -> Self {
        Self { hands: Hands::Both, make, ..Self::ALONE }
    }

    /// The same, stuck in stacks of at most so many.
    pub(super) const fn stuck(self, high: u32) -> Self {
        Self { high, ..self }
    }

    /// The same stacks, clamped and then screwed together.
    pub(super) const fn screwed(self) -> Self {
        Self { joined: Joined::Screwed, ..self }
    }

    /// The same, side by side where a holding takes several.
    pub(super) const fn side_by_side(self) -> Self {
        Self { beside: Beside::SideBySide, ..self }
    }

    /// Whether any are stuck or screwed together at all.
    pub(super) const fn sticks(self) -> bool {
        self.high > 1
    }

    /// How many pieces go through the order, both hands together.
    pub(super) const fn pieces(self) -> u32 {
        match self.hands {
            Hands::One => self.make,
            Hands::Both => self.make * 2,
        }
    }

    /// Whether both hands are made.
    pub(super) fn both_hands(self) -> bool {
        self.hands == Hands::Both
    }
}

/// Whose metal is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Lot {
    /// Every piece of a stack at once.
    Stack,
    /// One of each hand in one holding: side by side, where only places are of both; or gripped face to face.
    Both,
    /// One piece: the only one, each of those alike, or of one hand.
    Piece(usize),
    /// One piece of each of several parts, laid on each other: by the place of what says so.
    Joint(usize),
}

impl Lot {
    /// Whether both have metal in common.
    pub(super) fn meets(self, other: Self) -> bool {
        let every = |lot: Self| matches!(lot, Self::Stack | Self::Both | Self::Joint(_));
        self == other || every(self) || every(other)
    }
}

impl Job<'_> {
    /// The lots for what cannot be done to a whole stack at once.
    pub(super) fn singles(&self) -> Vec<Lot> {
        match self.scheme.hands {
            Hands::One => vec![Lot::Piece(0)],
            Hands::Both => vec![Lot::Piece(0), Lot::Piece(1)],
        }
    }

    /// The pieces a lot stands for: those alike count as one, for all they go through is the same.
    pub(super) fn pieces_of(&self, lot: Lot) -> Vec<usize> {
        match (lot, self.scheme.hands) {
            (Lot::Stack, Hands::Both) | (Lot::Both, _) => vec![0, 1],
            (Lot::Stack, Hands::One) | (Lot::Joint(_), _) => vec![0],
            (Lot::Piece(piece), _) => vec![piece],
        }
    }

    /// What lies in a holding that holds this lot, one piece or stack at a time.
    pub(super) fn pieces(&self, lot: Lot) -> Pieces {
        let lots = Lots {
            pieces: self.scheme.pieces(),
            high: 1,
            beside: 1,
            gap: Length::ZERO,
            hand: Hand::Neither,
            joined: Joined::Stuck,
        };
        let hand = |piece: usize| self.part.drawing.hands.get(piece).copied().unwrap_or(Hand::Neither);
        match (lot, self.scheme) {
            (Lot::Stack, Scheme { high, joined, .. }) => Pieces::Stack(Lots { high, joined, ..lots }),
            (Lot::Both, _) => Pieces::Both(lots),
            (Lot::Joint(which), _) => Pieces::Joint { lots, which },
            (Lot::Piece(_), Scheme { hands: Hands::One, make: 1, .. }) => Pieces::Single,
            (Lot::Piece(_), Scheme { hands: Hands::One, .. }) => Pieces::Each(lots),
            (Lot::Piece(piece), Scheme { make: 1, .. }) => Pieces::One(hand(piece)),
            (Lot::Piece(piece), Scheme { make, .. }) => {
                Pieces::Each(Lots { pieces: make, hand: hand(piece), ..lots })
            }
        }
    }

    /// Whether a lot lies as the part was given or as its mirror image.
    pub(super) fn image(&self, lot: Lot) -> Image {
        match (lot, self.part.image) {
            (Lot::Piece(1), Image::Drawn) => Image::Mirrored,
            (Lot::Piece(1), Image::Mirrored) => Image::Drawn,
            (_, image) => image,
        }
    }

    /// How often minutes at the work are spent: once for every piece or stack that goes through.
    pub(super) fn turns(&self, lot: Lot) -> u64 {
        self.pieces(lot).lots().map_or(1, |lots| u64::from(lots.stacks()))
    }

    /// The metal a through tool meets: every thickness of the tallest stack, or of the parts that
    /// lie together.
    pub(super) fn metal(&self, lot: Lot) -> Length {
        let own = self.part.thickness();
        match lot {
            Lot::Stack => own * i64::from(self.scheme.high),
            Lot::Joint(which) => own + self.part.drawing.together[which].beside(),
            Lot::Both | Lot::Piece(_) => own,
        }
    }

    /// What is left of a size's own tolerance after the metric choice; none where it has none.
    pub(super) fn room_of(&self, size: DimensionId) -> Option<Length> {
        let drawn = &self.part.drawing.dimensions[size.0];
        let moved = self.metric.dimensions[size.0].chosen.gap(drawn.written.length);
        drawn.within.map(|within| (within - moved).max(Length::ZERO))
    }

    /// What says that a hole is made while the part lies with others.
    pub(super) fn joint_of(&self, id: FeatureId) -> Option<usize> {
        self.part.drawing.together.iter().position(|joint| joint.features.contains(&id))
    }

    /// A feature's name.
    pub(super) fn name(&self, id: FeatureId) -> &str {
        &self.part.feature(id).name
    }

    /// The slits of the part and the bores they open.
    pub(super) fn slits(&self) -> impl Iterator<Item = (FeatureId, FeatureId)> {
        self.part.features().filter_map(|(id, feature)| match feature.kind {
            Kind::Slit { into, .. } => Some((id, into)),
            _ => None,
        })
    }
}

/// One operation before the rules have spoken.
#[derive(Clone, Debug)]
pub(super) struct Deed {
    pub work: Work,
    pub feature: Option<FeatureId>,
    pub lot: Lot,
    pub tool: Tool,
    pub minutes: u64,
    /// In words, without the hand: `ream pivot bore 8 mm`.
    pub text: String,
    /// The places it may be done in.
    pub places: Vec<usize>,
    pub aids: Vec<Aid>,
    /// The either-or choice it belongs to, and the variant.
    pub choice: Option<(usize, usize)>,
}

/// One holding that steps may be done in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Place {
    pub holding: Holding,
    pub lot: Lot,
    /// As the sheet heads it.
    pub title: String,
}

/// Something that exists or not at a moment of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Token {
    /// Two square edges of a piece.
    Edges(usize),
    /// A finished bore of a piece, round and closed.
    Bore(FeatureId, usize),
    /// Lines scribed on a piece to file and saw to.
    Lines(usize),
    /// Lines scribed on the outer pieces of a stack of more than two: those between have none.
    LinesOfStack,
    /// Nothing of the outline has been cut on a piece by itself.
    OutlineOfPair,
    /// Nothing of the outline has been cut on a stack.
    OutlineOfEach,
    /// No hole that goes through a whole stack has been made in a piece by itself.
    HolesOfPair,
    /// No hole that goes through a whole stack has been made in one.
    HolesOfEach,
    /// The metal round a bore of a piece, not yet slit.
    Solid(FeatureId, usize),
    /// A block that is parted later, still one.
    Whole(usize),
    /// A block whose cap was sawn off and is bolted on.
    Bolted(usize),
    /// A face of a piece, flat all over.
    Flat(Flat, usize),
    /// The pieces are stuck together, or clamped.
    Stuck,
    /// Screws hold the stack.
    Screwed,
    /// A hole that a screw goes through is finished in the stack.
    ScrewHole(FeatureId),
    /// The pieces are apart.
    Apart,
    /// The work is still part of its bar.
    OnBar,
    /// The work is off its bar.
    OffBar,
    /// A finished section of a turned part, round and unmarked.
    Section(FeatureId),
    /// A finished thread on the axis of a turned part.
    Thread(FeatureId),
    /// The centre hole of the left end.
    CentredLeft,
    /// The centre hole of the right end.
    CentredRight,
    /// The centre hole of the left end for a section off the axis.
    OffCentredLeft(FeatureId),
    /// The centre hole of the right end for a section off the axis.
    OffCentredRight(FeatureId),
    /// The bar's own outside, not yet turned.
    Unturned,
    /// The metal in a section that keeps it from giving in jaws, not yet bored away.
    Stout(FeatureId),
    /// The left end of a turned part, faced.
    FacedLeft,
    /// The right end of a turned part, faced.
    FacedRight,
}

impl Token {
    /// The same token of the first piece: what is said of one hand holds for the other.
    pub(super) const fn of_any(self) -> Self {
        match self {
            Self::Edges(_) => Self::Edges(0),
            Self::Lines(_) => Self::Lines(0),
            Self::Whole(_) => Self::Whole(0),
            Self::Bolted(_) => Self::Bolted(0),
            Self::Bore(bore, _) => Self::Bore(bore, 0),
            Self::Solid(bore, _) => Self::Solid(bore, 0),
            Self::Flat(flat, _) => Self::Flat(flat, 0),
            other => other,
        }
    }
}

/// Which of the two large faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Flat {
    Front,
    Back,
}

/// Everything that may be done and where, before the rules have spoken.
#[derive(Clone, Debug, Default)]
pub(super) struct Makings {
    pub places: Vec<Place>,
    pub deeds: Vec<Deed>,
    /// Either-or choices by name, with their variants.
    pub choices: Vec<(String, Vec<String>)>,
    /// What was supposed.
    pub assumed: Vec<String>,
    /// How often jaws have less than they close on: another way of going about the part comes before.
    pub loosely_held: usize,
    /// Ways of a choice that this bench or this part rules out.
    pub refused: Vec<Refused>,
    /// Whether parts of the outline may be cut on a stack or on each piece: then all of it
    /// is cut alike.
    pub blends: bool,
    /// The choices how a hole is made that goes through a whole stack: all such holes are made
    /// in the stack, or all in each piece.
    pub aligns: Vec<usize>,
    /// Distances whose ends have to agree.
    pub held: Vec<HeldDistance>,
    /// Surfaces of a turned part that have to run true to each other.
    pub coaxial: Vec<super::coaxial::Coaxial>,
    /// Faces and axes that have to lie square, parallel or flat.
    pub oriented: Vec<super::oriented::Oriented>,
}

/// A way of doing something that is out, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Refused {
    /// The choice, by place.
    pub choice: usize,
    /// The way, in the words of a variant.
    pub way: String,
    pub because: String,
}

impl Makings {
    /// The place of a holding in the list, added when it is not there.
    pub(super) fn place(&mut self, job: &Job, lot: Lot, holding: Holding) -> usize {
        let title = super::words::title(job, &holding);
        let place = Place { holding, lot, title };
        self.places.iter().position(|p| *p == place).unwrap_or_else(|| {
            self.places.push(place);
            self.places.len() - 1
        })
    }

    /// The choice whether something is done to a whole stack at once (variant 0) or to each piece
    /// by itself (variant 1), added when it is not there.
    pub(super) fn choice(&mut self, job: &Job, what: &str) -> usize {
        self.choices.iter().position(|(name, _)| name == what).unwrap_or_else(|| {
            let variants = vec![job.at_once().to_owned(), "each piece by itself".into()];
            self.choices.push((what.into(), variants));
            self.choices.len() - 1
        })
    }

    /// Notes a supposition once.
    pub(super) fn assume(&mut self, words: String) {
        if !self.assumed.contains(&words) {
            self.assumed.push(words);
        }
    }
}
