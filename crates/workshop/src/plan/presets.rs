//! What is set once for a setup: presets of the pick-up, and how the work is turned.

use super::job::Setup;
use crate::drawing::{Axis, Body, Face, FeatureId, Hand, Kind};
use crate::measure::{Angle, Length};
use crate::order::{Held, Located, Machine, Work};
use crate::settings::eccentric::{Eccentric, eccentric};
use crate::settings::handwheel::{Handwheel, wind};
use crate::settings::position::{Pickup, XEdge, YEdge, positions};
use crate::settings::show::{geometry, mm, practice};
use crate::why::Figure;

impl Setup<'_> {
    /// How a place is come to without a readout: always winding up, past the slack.
    pub fn winding(&self) -> Option<Figure> {
        let wheel = Handwheel::of(&self.job.bench.mill.readout)?;
        let past = wind(wheel, Length::ZERO).ok()?.from_above;
        let why = practice(format!(
            "the screw has {} of slack; past by twice that and back up, it lies on one side at every place",
            mm(wheel.backlash)
        ));
        let shown = format!("{past} divisions past it and back up");
        (past > 0).then(|| Figure::new(self.named(0, "down to any place, go"), shown, why))
    }

    /// The presets of the pick-up: what to make the readout show, and where.
    pub fn presets(&self) -> Vec<Figure> {
        let mut figures = if self.top().is_some() { Vec::new() } else { self.own_presets() };
        figures.extend(self.laid_presets());
        figures
    }

    fn own_presets(&self) -> Vec<Figure> {
        match self.holding.located {
            Located::Edges(a, b) => self.edge_presets(a, b),
            Located::Bore(id) | Located::TwoBores(id, _) if self.frame.in_plan() => {
                let name = &self.job.part.feature(id).name;
                let why =
                    practice(format!("a bar or indicator true in {name} puts the spindle over its centre"));
                let mut figures = ["X", "Y"]
                    .map(|axis| {
                        let label = format!("{axis} with the spindle over {name}");
                        Figure::new(self.named(0, &label), self.nought(), why.clone())
                    })
                    .to_vec();
                figures.extend(self.second_presets());
                figures.extend(self.turned_on_its_bolt());
                figures
            }
            Located::Bore(id) | Located::TwoBores(id, _) => {
                self.plate_presets(id).into_iter().chain(self.turned_on_its_bolt()).collect()
            }
            Located::Marked(id) => {
                let name = &self.job.part.feature(id).name;
                let why = practice(format!(
                    "mark out {name} from the cast outside, so that the metal lies evenly round it, and punch its centre; a point in the spindle finds the mark"
                ));
                ["X", "Y"]
                    .map(|axis| {
                        let label = format!("{axis} with the spindle over the mark of {name}");
                        Figure::new(self.named(0, &label), self.nought(), why.clone())
                    })
                    .to_vec()
            }
            Located::EndAndAxis(end) => self.end_presets(end),
            Located::SawnBlank | Located::Punched | Located::Line | Located::Nothing => Vec::new(),
        }
    }

    /// Turned work lying on the mill: X from its end, Y from the side of what it lies on.
    fn end_presets(&self, end: Face) -> Vec<Figure> {
        let on = match self.holding.held {
            Held::VeeBlock { on }
            | Held::Indexed { on }
            | Held::DividingHead { on }
            | Held::ColletBlock { on, .. } => on,
            Held::Upright { on } => return self.upright_presets(on),
            Held::OffsetCentres { section } => return self.offset_presets(section),
            Held::WholeBar => return self.over_the_bar(),
            Held::FourJaw { on, section } | Held::Packed { on, section } => {
                return self.off_centre_presets(on, section);
            }
            _ => return Vec::new(),
        };
        let across = self.part.along(on).and_then(|at| self.part.diameter_at(on, at));
        let Some(diameter) = across else { return Vec::new() };
        let half = self.job.bench.edge_finder.half();
        let outward = self.frame.side(end).0;
        let beyond = practice(format!("half the finder's tip, {}, beyond the end", mm(half)));
        let name = &self.part.feature(on).name;
        let beside = geometry(format!(
            "half of {name}, {}, and half the finder's tip, {}, before the axis",
            mm(diameter),
            mm(half)
        ));
        vec![
            self.slide(0, &format!("preset X at the {} end", end.word()), half * outward, beyond),
            self.slide(
                0,
                &format!("preset Y touching the near side of {name}"),
                -(diameter.half() + half),
                beside,
            ),
        ]
    }

    /// Work on end: the spindle over its axis.
    fn upright_presets(&self, on: FeatureId) -> Vec<Figure> {
        let name = &self.part.feature(on).name;
        let why = practice(format!(
            "an indicator in the spindle, swept round {name} or the finished bore, until it stays still"
        ));
        ["X", "Y"]
            .map(|axis| {
                let label = format!("{axis} with the spindle over the axis");
                Figure::new(self.named(0, &label), self.nought(), why.clone())
            })
            .to_vec()
    }

    /// The spindle over the axis of a bar on end.
    fn over_the_bar(&self) -> Vec<Figure> {
        if self.holding.machine != Machine::Mill {
            return Vec::new();
        }
        let why = practice("an indicator in the spindle, swept round the bar, until it stays still");
        let label = |axis| format!("{axis} with the spindle over the axis of the bar");
        ["X", "Y"].map(|axis| Figure::new(self.named(0, &label(axis)), self.nought(), why.clone())).to_vec()
    }

    /// Between offset centres: what an indicator shows on what runs true to the bar.
    fn offset_presets(&self, section: FeatureId) -> Vec<Figure> {
        let Kind::Section { throw: Some(throw), .. } = self.part.feature(section).kind else {
            return Vec::new();
        };
        let why = geometry("a round that hangs off its axis by the throw rises and falls by as much: twice that in all")
            .because(practice("on the bar's own outside or a section that is turned true, before the first cut, at both ends: they show whether both holes lie alike"))
            .because(self.job.why_dimension(throw.offset));
        let shown = self.indicated(self.part.size(throw.offset) * 2);
        vec![Figure::new(self.named(0, "indicator over one turn"), shown, why)]
    }

    /// Work off centre: what the indicator shows, and how this throw lies to another.
    fn off_centre_presets(&self, on: Option<FeatureId>, section: FeatureId) -> Vec<Figure> {
        let Kind::Section { throw: Some(throw), .. } = self.part.feature(section).kind else {
            return Vec::new();
        };
        let gripped = match on {
            Some(on) => self.part.cut_diameter(on).unwrap_or_default(),
            None => super::rows_lathe::bar_diameter(self),
        };
        let asked = Eccentric { throw: self.part.size(throw.offset), gripped };
        let mut figures = match eccentric(asked) {
            Ok(found) => self.place_all(0, found.figures()),
            // Too far for a chuck of three: the reading still stands.
            Err(fault) => {
                let why = geometry("twice the throw").because(practice(fault.what().to_owned()));
                vec![Figure::new(self.named(0, "indicator over one turn"), mm(asked.throw * 2), why)]
            }
        };
        // First of them is the indicator's.
        if let Some(first) = figures.first_mut() {
            first.shown = self.indicated(asked.throw * 2);
        }
        for figure in &mut figures {
            figure.why = figure.why.clone().because(self.job.why_dimension(throw.offset));
        }
        let other = self.part.sections().iter().find_map(|&id| match self.part.feature(id).kind {
            Kind::Section { throw: Some(first), .. } => Some((id, first)),
            _ => None,
        });
        if let Some((id, first)) = other.filter(|&(id, first)| id != section && first.at != throw.at) {
            let name = &self.part.feature(id).name;
            let turned = Angle::degrees(360) + throw.at - first.at;
            let why = geometry(format!(
                "from where the throw of {name} lies to where this one lies, anticlockwise seen from the right end"
            ))
            .because(practice("mark the chuck's body from the bed with a level on a jaw, or index the spindle"));
            let label = format!("round from the throw of {name}");
            figures.push(Figure::new(self.named(0, &label), turned.within_turn().degrees_minutes(), why));
        }
        figures
    }

    /// Where the second bore of a bolted plate must read, so that the work lies along
    /// its own axes.
    fn second_presets(&self) -> Vec<Figure> {
        let (Located::TwoBores(first, second), Held::BoltOnPlate { .. }) =
            (self.holding.located, &self.holding.held)
        else {
            return Vec::new();
        };
        let (x, y) = self.read(second);
        let [from, to] = [first, second].map(|id| &self.job.part.feature(id).name);
        let why = |axis| {
            practice(format!("turn the work about {from} until an indicator finds {to} there"))
                .because(self.why_place(second, axis))
        };
        [("X", x, Axis::X), ("Y", y, Axis::Y)]
            .map(|(word, at, axis)| self.slide(0, &format!("{word} over {to}"), at, why(axis)))
            .to_vec()
    }

    /// How far the second bore stands above the first where the work is on edge on its
    /// plate: nought when the plate's own edge lies level.
    pub fn second_stands(&self) -> Length {
        let (Located::TwoBores(first, second), Held::PlateOnEdge { .. }) =
            (self.holding.located, &self.holding.held)
        else {
            return Length::ZERO;
        };
        let up = self.frame.up();
        let at = |id| self.part.at(id, up.axis()).unwrap_or_default();
        let rise = at(second) - at(first);
        if matches!(up, Face::Top | Face::Right) { rise } else { -rise }
    }

    /// On edge against the plate: X from a plug in the bore, Y from the plate's face.
    fn plate_presets(&self, bore: FeatureId) -> Vec<Figure> {
        let name = &self.job.part.feature(bore).name;
        let half = self.job.bench.edge_finder.half();
        let middle = practice(format!(
            "touch a plug in {name} on both sides and halve the reading: the finder's tip and the plug cancel"
        ));
        let behind = practice(format!(
            "the back of the work lies on the plate; the finder touches the plate's face beside it, half its tip, {}, nearer",
            mm(half)
        ));
        let mut figures = vec![
            Figure::new(
                self.named(0, &format!("X at the middle of a plug in {name}")),
                self.nought(),
                middle,
            ),
            self.slide(0, "preset Y touching the plate's face", -half, behind),
        ];
        let rise = self.second_stands();
        if let (Located::TwoBores(_, second), false) = (self.holding.located, rise == Length::ZERO) {
            let other = &self.job.part.feature(second).name;
            let way = if rise.is_positive() { "above" } else { "below" };
            let why = practice(format!(
                "tilt the plate in the vice until an indicator on plugs in both finds {other} so much {way} {name}"
            ))
            .because(self.why_place(second, self.frame.up().axis()));
            let label = format!("{other} {way} {name}");
            figures.push(Figure::new(self.named(0, &label), mm(rise.abs()), why));
        }
        figures
    }

    fn edge_presets(&self, a: Face, b: Face) -> Vec<Figure> {
        let [x0, x1, y0, y1] = self.extent();
        let sides = [self.frame.side(a), self.frame.side(b)];
        let pickup = Pickup {
            x_edge: if sides.iter().any(|s| s.0 > 0) { XEdge::Right } else { XEdge::Left },
            y_edge: if sides.iter().any(|s| s.1 > 0) { YEdge::Back } else { YEdge::Front },
            width: x1 - x0,
            depth: y1 - y0,
            tip: self.job.bench.edge_finder,
            step: self.job.bench.mill.readout.step(),
        };
        let Ok(found) = positions(pickup, &[]) else { return Vec::new() };
        // The sides that only the saw has made are no check on a touch.
        let squared = self.squared();
        let values = [found.x_preset, found.x_check, found.y_preset, found.y_check];
        // Nor is an opposite edge that the slide does not reach: no position hangs on that.
        let half = self.job.bench.edge_finder.half();
        let [along, across] = [self.job.bench.mill.travel[0], self.job.bench.mill.travel[1]];
        let reached = |value: Length, travel: Length| value.abs() + half <= travel;
        let near_and_far =
            |name: &str| name.replace("front edge", "near edge").replace("back edge", "far edge");
        // Where a step took an edge, the finder comes to that step's wall.
        let (x_sign, y_sign) = (pickup.x_edge == XEdge::Right, pickup.y_edge == YEdge::Back);
        let sign = |positive: bool| if positive { 1 } else { -1 };
        let (x, y) = (sign(x_sign), sign(y_sign));
        let taken = [(x, 0), (-x, 0), (0, y), (0, -y)].map(|way| self.edge_taken(way));
        let mut figures: Vec<Figure> = found
            .figures()
            .into_iter()
            .zip(values.into_iter().zip([along, along, across, across]))
            .zip(taken)
            .filter(|((figure, (value, travel)), taken)| {
                !figure.name.starts_with("check") || squared && reached(*value, *travel) && taken.is_none()
            })
            .map(|((figure, (value, _)), _)| self.slide(0, &near_and_far(&figure.name), value, figure.why))
            .collect();
        figures.extend([0, 2].into_iter().filter_map(|n| taken[n]).map(|step| self.at_its_wall(step)));
        figures
    }

    /// Whether the side opposite to one that is worked from is as true as that.
    pub(super) fn squared(&self) -> bool {
        matches!(self.part.drawing.body, Body::Rectangle { .. })
            && self.part.drawing.stock.as_ref().is_none_or(|stock| stock.cuts_round())
    }

    /// The step, cut before this setup, that took the upper edge of the work on a side as it lies.
    pub(super) fn edge_taken(&self, way: (i64, i64)) -> Option<FeatureId> {
        let order = self.job.order;
        let same = |hand: Hand| hand == Hand::Neither || hand == self.holding.pieces.hand();
        let cut = |id: FeatureId| {
            let before = order.steps.iter().filter(|step| step.setup + 1 < self.number && same(step.hand));
            before
                .filter(|step| step.feature == Some(id))
                .any(|step| matches!(step.work, Work::MillStep { .. }))
                || order.done.iter().any(|done| done.feature == Some(id))
        };
        let takes = |&(id, _): &(FeatureId, &crate::drawing::Feature)| {
            let from_here = self.part.step_from(id, self.frame.up());
            from_here.is_some_and(|step| self.frame.side(step.open) == way) && cut(id)
        };
        self.part.features().find(takes).map(|(id, _)| id)
    }

    /// Where the wall of a step is touched, whose edge lies too deep for the finder.
    fn at_its_wall(&self, step: FeatureId) -> Figure {
        let name = &self.part.feature(step).name;
        let (open, deep) = match self.part.step_from(step, self.frame.up()) {
            Some(cut) => (self.frame.side(cut.open), cut.deep),
            None => ((0, 0), Length::ZERO),
        };
        let (axis, wall, sign) = match open {
            (0, sign) => ("Y", self.read(step).1, sign),
            (sign, _) => ("X", self.read(step).0, sign),
        };
        let why = practice(format!(
            "{name} took that edge {} down: where the tip does not go down to it, the wall that is left serves",
            mm(deep)
        ));
        let label = format!("or preset {axis} touching the wall of {name}");
        self.slide(0, &label, wall + self.job.bench.edge_finder.half() * sign, why)
    }
}
