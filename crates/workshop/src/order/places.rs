//! The places in which a plate's features may be cut.

use super::beside;
use super::chains::{Cut, Reach};
use super::deed::{Job, Lot, Makings};
use super::work::{Held, Holding, Located, Machine};
use crate::drawing::{Body, Depth, Face, FeatureId, Finish, Kind};
use crate::measure::{Length, Toward};
use crate::tables::processes;

/// Least bore that a stub or a bolt and dowel can be trusted in.
pub(super) fn least_bore() -> Length {
    processes::holding("stub").least_grip
}

/// Every place a cut may be made in.
pub(super) fn of_cut(job: &Job, makings: &mut Makings, cut: &Cut, lot: Lot) -> Vec<usize> {
    let feature = job.part.feature(cut.feature);
    if let Lot::Joint(which) = lot {
        let up = job.part.drawing.together[which].up;
        return vec![match job.mills() {
            true => makings.place(job, lot, from_edges(job, lot, up)),
            false => super::by_eye::drilled(job, makings, (lot, cut.feature), up),
        }];
    }
    let mut faces = match feature.kind {
        Kind::Slit { toward, .. } => saw_faces(job, toward),
        _ => vec![cut.from.unwrap_or(feature.face)],
    };
    let opposite = opposite(feature.face);
    let plain = !matches!(feature.kind, Kind::Slit { .. } | Kind::ClampScrew { .. });
    if cut.reach == Reach::Through && cut.from.is_none() && plain && job.works_from(opposite) {
        faces.push(opposite);
    }
    // A locating bore is not placed from another locating bore.
    let from_bores = !job.locators().contains(&cut.feature);
    let mut places = Vec::new();
    if !job.mills() {
        return faces
            .into_iter()
            .map(|face| super::by_eye::drilled(job, makings, (lot, cut.feature), face))
            .collect();
    }
    for face in faces {
        let holding = from_edges(job, lot, face);
        held_well(job, makings, &holding, face);
        places.push(makings.place(job, lot, holding));
        if let Some((lot, holding)) = beside::for_cut(job, lot, face, cut.feature) {
            places.push(makings.place(job, lot, holding));
        }
        if from_bores && let Some(holding) = from_plate(job, lot, face) {
            places.push(makings.place(job, lot, holding));
        }
    }
    places
}

/// Says when there is little to hold the work by: too tall on edge, too small for clamps.
fn held_well(job: &Job, makings: &mut Makings, holding: &Holding, face: Face) {
    let [left, right, bottom, top] = job.part.edges();
    let (wide, high) = (right - left, top - bottom);
    let tall = if matches!(face, Face::Left | Face::Right) { wide } else { high };
    let firm = processes::stands_firm(job.bench.mill.vice_depth());
    match holding.held {
        Held::ViceOnEdge if tall > firm => makings.assume(format!(
            "it stands {tall} high with the {} up, and a vice holds up to {} firmly: clamp it to an angle plate there",
            face.word(),
            firm
        )),
        Held::ClampsMoved if wide.min(high) < processes::holding("clamps on the table").least_grip * 3 => {
            makings.assume(format!(
                "{} across leaves no room for two clamps and a cutter: stick it to a larger plate with adhesive",
                wide.min(high)
            ));
        }
        _ => {}
    }
}

/// The faces a saw cut can be made from: those its plane is square to, ones that have
/// other work first.
fn saw_faces(job: &Job, toward: Face) -> Vec<Face> {
    let pair = match toward {
        Face::Left | Face::Right => [Face::Top, Face::Bottom],
        _ => [Face::Left, Face::Right],
    };
    let used: Vec<Face> = pair.into_iter().filter(|&face| job.works_from(face)).collect();
    if used.is_empty() { vec![pair[0]] } else { used }
}

/// In the vice, from two square faces; of a casting without them, from a marked centre.
pub(super) fn from_edges(job: &Job, lot: Lot, face: Face) -> Holding {
    let own = |face| job.side(lot, face);
    let (side, end) = job.datum_edges();
    let back = job.cuts(Face::Back).then_some(Face::Back);
    let (held, pair) = match face {
        // A sheet bows between the jaws, and there is nothing for them to hold.
        Face::Front | Face::Back if job.metal(lot) < processes::holding("vice on parallels").least_grip => {
            (Held::ClampsMoved, (side, end))
        }
        Face::Front | Face::Back => (Held::ViceOnParallels, (side, end)),
        Face::Top | Face::Bottom => (Held::ViceOnEdge, (side, back)),
        Face::Left | Face::Right => (Held::ViceOnEdge, (end, back)),
    };
    let located = match pair {
        (Some(one), Some(other)) => Located::Edges(own(one), own(other)),
        _ => job.marked(face).map_or(Located::Line, Located::Marked),
    };
    holding(job, lot, face, held, located)
}

/// On a plate, from finished bores; none where a rectangle keeps its edges, or no bore serves.
pub(super) fn from_plate(job: &Job, lot: Lot, face: Face) -> Option<Holding> {
    let bores = job.plate_bores();
    let located = located_by(&bores)?;
    let held = match face {
        Face::Front | Face::Back => Held::BoltOnPlate { bores },
        _ => Held::PlateOnEdge { bores },
    };
    Some(holding(job, lot, face, held, located))
}

/// On the plate, swung so that flanks lie along X.
pub(super) fn plate_swung(job: &Job, lot: Lot) -> Option<Holding> {
    let bores = job.plate_bores();
    let located = located_by(&bores)?;
    Some(holding(job, lot, Face::Front, Held::PlateSwung { bores }, located))
}

/// On the plate, clamped on the rotary table with a place over its centre; why not, where it
/// cannot be.
pub(super) fn plate_turned(job: &Job, lot: Lot, about: (Length, Length)) -> Result<Holding, String> {
    if job.bench.rotary_table.is_none() || !job.mills() {
        return Err("there is no rotary table".into());
    }
    let bores = job.plate_bores();
    let located = match located_by(&bores) {
        Some(two @ Located::TwoBores(..)) => two,
        // An edge shows how it lies where there is but one.
        Some(one) if job.datum_edges().1 == Some(Face::Bottom) => one,
        _ => {
            return Err(
                "the rotary table takes a bore right through, to bolt the work down by, and another or a squared edge to show how it lies".into()
            );
        }
    };
    let (swing, column) = (super::ends::farthest(job, about), job.bench.mill.column);
    if swing > column {
        return Err(format!(
            "turning about its centre the blank reaches {}, and the column is {column} away",
            swing.rounded(Length::mm_ratio(1, 10), Toward::More).value
        ));
    }
    let over = job.part.centred_at(about);
    let lies = holding(job, lot, Face::Front, Held::PlateTurned { bores, about, over }, located);
    Ok(Holding { machine: Machine::RotaryTable, ..lies })
}

fn located_by(bores: &[FeatureId]) -> Option<Located> {
    match *bores {
        [first, second, ..] => Some(Located::TwoBores(first, second)),
        [only] => Some(Located::Bore(only)),
        [] => None,
    }
}

/// In the bench vice, to scribed lines.
pub(super) fn at_bench(job: &Job, makings: &mut Makings, lot: Lot) -> usize {
    let line = holding(job, lot, Face::Front, Held::BenchVice, Located::Line);
    makings.place(job, lot, Holding { machine: Machine::BenchVice, ..line })
}

/// A holding on the mill.
pub(super) fn holding(job: &Job, lot: Lot, face: Face, held: Held, located: Located) -> Holding {
    Holding {
        machine: Machine::Mill,
        pieces: job.pieces(lot),
        up: job.side(lot, face),
        held,
        located,
        image: job.image(lot),
        steadied: Default::default(),
    }
}

pub(super) const fn opposite(face: Face) -> Face {
    face.opposite()
}

impl Job<'_> {
    /// A face of the drawing as it is on the piece that lies there.
    pub(super) fn side(&self, lot: Lot, face: Face) -> Face {
        if self.image(lot) == self.part.image {
            self.part.side(face)
        } else {
            self.part.mirrored().side(face)
        }
    }

    /// Whether anything has to be cut from a face.
    pub(super) fn works_from(&self, face: Face) -> bool {
        self.part.features().any(|(_, f)| {
            let cut = !matches!(f.kind, Kind::Boss { .. } | Kind::Corner { .. } | Kind::Slit { .. });
            cut && f.kind.pattern().is_none() && f.face == face
        })
    }

    /// The holes that belong to a pitch circle or a row.
    pub(super) fn in_patterns(&self) -> Vec<FeatureId> {
        self.part.in_patterns().collect()
    }

    /// The bores work can be held and located by: plain, right through, from the front
    /// or back, and large enough; those a reamer or boring tool finishes first.
    pub(super) fn locators(&self) -> Vec<FeatureId> {
        let circles = self.in_patterns();
        let mut found: Vec<(bool, FeatureId)> = Vec::new();
        for (id, feature) in self.part.features() {
            let Kind::Hole { diameter, finish, depth: Depth::Through, .. } = feature.kind else { continue };
            let flat = matches!(feature.face, Face::Front | Face::Back);
            let whole = self.drilled_from_both_sides(id).is_none()
                && !self.filed_round(id)
                && self.part.drawing.left(id).is_none();
            if flat && whole && self.part.size(diameter) >= least_bore() && !circles.contains(&id) {
                found.push((finish == Finish::Drilled, id));
            }
        }
        found.sort();
        found.into_iter().map(|(_, id)| id).collect()
    }

    /// The one or two bores a plate is made to: finished before drilled, not slit before
    /// slit, far apart before near. Drilled holes alone are not trusted with a position.
    pub(super) fn plate_bores(&self) -> Vec<FeatureId> {
        // Without a mill there is nothing to cut it by.
        let kept = matches!(self.part.drawing.body, Body::Rectangle { .. } | Body::Turned { .. });
        if kept || !self.mills() {
            return Vec::new();
        }
        let bores = self.locators();
        let slit = |id: FeatureId| self.slits().any(|(_, into)| into == id);
        let worth = |id: FeatureId| {
            let drilled = matches!(self.part.feature(id).kind, Kind::Hole { finish: Finish::Drilled, .. });
            u8::from(!drilled) * 2 + u8::from(!slit(id))
        };
        let gap = |a: FeatureId, b: FeatureId| match (self.part.xy(a), self.part.xy(b)) {
            (Some((ax, ay)), Some((bx, by))) => (ax - bx).abs().max((ay - by).abs()),
            _ => Length::ZERO,
        };
        let pairs = bores.iter().flat_map(|&a| bores.iter().map(move |&b| (a, b))).filter(|(a, b)| a < b);
        match pairs.max_by_key(|&(a, b)| (worth(a) + worth(b), gap(a, b), std::cmp::Reverse((a, b)))) {
            Some((a, b)) => vec![a, b],
            None => bores,
        }
    }

    /// The through bore on a boss's or disc's own axis, whatever its size.
    pub(super) fn bore_on_axis(&self, place: (Length, Length)) -> Option<(FeatureId, Length)> {
        self.part.features().find_map(|(id, feature)| match feature.kind {
            Kind::Hole { diameter, depth: Depth::Through, .. }
                if matches!(feature.face, Face::Front | Face::Back)
                    && self.part.xy(id) == Some(place)
                    && self.drilled_from_both_sides(id).is_none() =>
            {
                Some((id, self.part.size(diameter)))
            }
            _ => None,
        })
    }

    /// The size of a plain hole.
    pub(super) fn bore_size(&self, bore: FeatureId) -> Option<Length> {
        match self.part.feature(bore).kind {
            Kind::Hole { diameter, .. } => Some(self.part.size(diameter)),
            _ => None,
        }
    }

    /// Whether a stub in a bore of this size carries a milling cut.
    pub(super) fn takes_a_stub(diameter: Length) -> bool {
        diameter >= least_bore()
    }
}
