//! A part's sheets beside its coordinates, and readings reckoned by other means.

use std::fmt;

use super::parts::{bench, drawing};
use workshop::bench::{Bench, Grows, Readout};
use workshop::drawing::{Axis, Body, Drawing, Face, FeatureId, Image, Kind, Part, Sizes, solve};
use workshop::geometry::{Point, Segment};
use workshop::metric::metricate;
use workshop::order::work::{Holding, Step, Tool};
use workshop::order::{Held, Located, Machine, OrderOfWork, Work, order_of_work};
use workshop::plan::{Plan, plan, sheet::Row};
use workshop::problem::Problem;

/// One part on one bench, all the way.
pub struct Road {
    pub plan: Plan,
    pub order: OrderOfWork,
    told: String,
    bench: Bench,
    drawing: Drawing,
    sizes: Sizes,
}

/// Where a cutter runs, in the axes of the part as it lies.
pub struct Path {
    pub places: Vec<Point>,
    /// What it may leave: the step of the slide or the table, or a ridge.
    pub greatest_gap_mm: f64,
}

impl fmt::Display for Road {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.told)
    }
}

impl Road {
    /// Whether its work is moved along in a holding, so that a setup has more rows than steps.
    pub fn is_moved(&self) -> bool {
        let mut rows = self.plan.setups.iter().flat_map(|sheet| &sheet.rows);
        rows.any(|row| row.what.starts_with("move the work along"))
    }

    /// Walks it; nothing where the part cannot be made there.
    pub fn walk(part: &str, on: &str) -> Option<Self> {
        let (drawing, bench) = (drawing(part), bench(on));
        let plan = plan(&drawing, &bench).ok()?;
        let (sizes, order) = {
            let solved = solve(&drawing).unwrap();
            let metric = metricate(&drawing, &solved, &bench).unwrap();
            let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
            let order = order_of_work(&part, &metric, &bench).unwrap();
            (metric.sizes, order)
        };
        Some(Self { plan, order, told: format!("{part} on {on}"), bench, drawing, sizes })
    }

    fn part<T>(&self, image: Image, with: impl FnOnce(&Part) -> T) -> T {
        let solved = solve(&self.drawing).unwrap();
        let part = Part::as_drawn(&self.drawing, &solved).with_sizes(self.sizes.clone());
        if image == Image::Mirrored { with(&part.mirrored()) } else { with(&part) }
    }

    /// Every sentence that stands on its sheets beside the figures.
    pub fn said(&self) -> Vec<String> {
        let (plan, cover) = (&self.plan, &self.plan.cover);
        let mut all: Vec<String> = vec![cover.wanted.clone()];
        all.extend(cover.traps.iter().flat_map(|trap| [trap.early.clone(), trap.lost.clone()]));
        all.extend(
            [&cover.assumed, &cover.cautions, &cover.proofs, &cover.left].into_iter().flatten().cloned(),
        );
        all.extend(cover.ready.iter().flat_map(|(_, ready)| ready.iter().map(|one| one.what.clone())));
        for setup in &plan.setups {
            all.extend([&setup.title, &setup.hands, &setup.held, &setup.located].map(String::clone));
            all.extend([&setup.cautions, &setup.notes].into_iter().flatten().cloned());
            all.extend(setup.rows.iter().flat_map(|row| [row.what.clone(), row.tool.clone()]));
        }
        for aid in &plan.aids {
            all.extend([&aid.name, &aid.purpose, &aid.material].map(String::clone));
            all.extend([&aid.steps, &aid.cautions].into_iter().flatten().cloned());
        }
        all.extend(
            plan.inspection.rows.iter().flat_map(|row| [row.what.clone(), row.how.clone(), row.with.clone()]),
        );
        all.extend(plan.inspection.supposed.iter().cloned());
        all
    }

    /// The drawing it began with.
    pub fn drawing(&self) -> &Drawing {
        &self.drawing
    }

    /// A size of the metric part.
    pub fn size_mm(&self, id: workshop::drawing::DimensionId) -> f64 {
        self.sizes.lengths[id.0].as_mm()
    }

    /// The lines and arcs of an outline of corners, as drawn.
    pub fn pieces(&self) -> Vec<Segment> {
        self.part(Image::Drawn, |part| part.pieces().unwrap().outline.segments().to_vec())
    }

    /// The steps of a setup counted from one.
    pub fn steps(&self, setup: usize) -> impl Iterator<Item = &Step> {
        self.order.steps.iter().filter(move |step| step.setup + 1 == setup)
    }

    /// What is impossible about the metric part.
    pub fn impossible(&self) -> Vec<Problem> {
        self.part(Image::Drawn, |part| part.impossible())
    }

    /// The holes of a pitch circle, the hole under a counterbore, or the hole itself.
    pub fn holes(&self, id: FeatureId) -> Vec<FeatureId> {
        match &self.drawing.features[id.0].kind {
            Kind::PitchCircle { holes, .. } | Kind::Row { holes, .. } => holes.clone(),
            Kind::Countersink { over, .. } => self.holes(*over),
            Kind::Counterbore { over, .. } => vec![*over],
            _ => vec![id],
        }
    }

    /// X and Y that the slides must read for a feature, in millimetres.
    pub fn expected(&self, setup: &Holding, id: FeatureId) -> [f64; 2] {
        self.part(setup.image, |part| {
            let place =
                |id| [Axis::X, Axis::Y, Axis::Z].map(|axis| part.at(id, axis).map_or(0.0, |l| l.as_mm()));
            let datum = match setup.located {
                Located::Edges(a, b) => {
                    let mut at = [0.0; 3];
                    for face in [a, b] {
                        at[face.axis() as usize] = edge_mm(part, face);
                    }
                    at
                }
                Located::Bore(bore) | Located::TwoBores(bore, _) | Located::Marked(bore) => place(bore),
                Located::EndAndAxis(Face::Right) => [part.thickness().as_mm(), 0.0, 0.0],
                _ => [0.0; 3],
            };
            let (at, datum) = (laid(setup.up, place(id)), laid(setup.up, datum));
            [at[0] - datum[0], at[1] - datum[1]]
        })
    }

    /// How far from a feature's middle its drill stands: a flatted hole is drilled between
    /// its flat and its far side.
    pub fn drilled_off(&self, setup: &Holding, id: FeatureId) -> [f64; 2] {
        let Kind::Flatted { diameter, across, toward, .. } = self.drawing.features[id.0].kind else {
            return [0.0; 2];
        };
        let size = |id: workshop::drawing::DimensionId| self.sizes.lengths[id.0].as_mm();
        self.in_face(setup, id, toward.as_rad(), (size(across) - size(diameter)) / 2.0)
    }

    /// A way in the plane of a feature's face, as it lies on the machine.
    fn in_face(&self, setup: &Holding, id: FeatureId, rad: f64, long_mm: f64) -> [f64; 2] {
        let (sin, cos) = rad.sin_cos();
        let cross = if setup.image == Image::Mirrored { -1.0 } else { 1.0 };
        let way = match self.drawing.features[id.0].face {
            Face::Front | Face::Back => [cross * cos, sin, 0.0],
            Face::Top | Face::Bottom => [cross * cos, 0.0, sin],
            Face::Left | Face::Right => [0.0, cos, sin],
        };
        laid(setup.up, way.map(|share| share * long_mm))
    }

    /// The shoulder of a step: which slide it is set with, its place, and the way to
    /// the side that is cut away.
    pub fn expected_shoulder(&self, setup: &Holding, id: FeatureId) -> (&'static str, f64, f64) {
        let Kind::Step { side, leaves } = self.drawing.features[id.0].kind else { panic!("a step") };
        let face = self.drawing.features[id.0].face;
        let outward =
            |face: Face| if matches!(face, Face::Right | Face::Top | Face::Front) { 1.0 } else { -1.0 };
        let left_mm = self.sizes.lengths[leaves.0].as_mm();
        // What is seen of it: its shoulder from its face, its floor from its side.
        let (open, more_mm) = self.part(setup.image, |part| match (part.side(face), part.side(side)) {
            (face, side) if setup.up == side => {
                (face, edge_mm(part, opposite(face)) + outward(face) * left_mm)
            }
            (_, side) => (side, 0.0),
        });
        let along = |mm: f64| {
            let mut way = [0.0; 3];
            way[open.axis() as usize] = mm;
            laid(setup.up, way)
        };
        let ([x, y], more) = (along(outward(open)), along(more_mm));
        let own = self.expected(setup, id);
        let at = [own[0] + more[0], own[1] + more[1]];
        if x != 0.0 { ("X", at[0], x) } else { ("Y", at[1], y) }
    }

    /// The centres of a slot's two ends, in either order; where it is open, the radius of
    /// the cutter and 1 mm past the outside.
    pub fn expected_slot(&self, setup: &Holding, id: FeatureId, radius_mm: f64) -> [[f64; 2]; 2] {
        let Kind::Slot { centres, along, ref open, .. } = self.drawing.features[id.0].kind else {
            panic!("a slot")
        };
        if !open.is_empty() {
            let at = self.expected(setup, id);
            let mut ends = [at; 2];
            for (end, &side) in ends.iter_mut().zip(open) {
                let (side, apart_mm) = self.part(setup.image, |part| {
                    let side = part.side(side);
                    let at_mm = part.at(id, side.axis()).unwrap().as_mm();
                    (side, (edge_mm(part, side) - at_mm).abs())
                });
                let mut way = [0.0; 3];
                let out = if matches!(side, Face::Right | Face::Top | Face::Front) { 1.0 } else { -1.0 };
                way[side.axis() as usize] = out * (apart_mm + radius_mm + 1.0);
                let [dx, dy] = laid(setup.up, way);
                *end = [at[0] + dx, at[1] + dy];
            }
            return ends;
        }
        let half_mm = self.sizes.lengths[centres.expect("a closed slot has a length").0].as_mm() / 2.0;
        let [dx, dy] = self.in_face(setup, id, along.as_rad(), half_mm);
        let [x, y] = self.expected(setup, id);
        [[x - dx, y - dy], [x + dx, y + dy]]
    }

    /// A reading of the slides in millimetres, or turns and divisions of a handwheel.
    pub fn slide_mm(&self, shown: &str) -> f64 {
        match &self.bench.mill.readout {
            Readout::Digital { .. } => lengths_mm(shown)[0],
            Readout::Handwheels { pitch, divisions, .. } => {
                if shown.starts_with("at nought") || shown == "0 mm" {
                    return 0.0;
                }
                // Less than a turn is told in divisions alone; what is wound past and back follows a comma.
                let to = shown.split(',').next().unwrap_or(shown);
                let mut numbers = lengths_mm(to);
                if !to.contains("turn") {
                    numbers.insert(0, 0.0);
                }
                let sign = if shown.starts_with("down") { -1.0 } else { 1.0 };
                let over = numbers.get(1).copied().unwrap_or_default();
                sign * (numbers[0] + over / f64::from(*divisions)) * pitch.as_mm()
            }
        }
    }

    /// Half of the least that the slides are set by, in millimetres.
    pub fn half_step_mm(&self) -> f64 {
        self.bench.mill.readout.step().as_mm() / 2.0
    }

    /// The finished outline, drawn and mirrored.
    pub fn outlines(&self) -> Option<[Vec<Segment>; 2]> {
        if matches!(self.drawing.body, Body::Turned { .. } | Body::Rectangle { .. }) {
            return None;
        }
        Some(
            [Image::Drawn, Image::Mirrored]
                .map(|image| self.part(image, |part| part.outline().unwrap().segments().to_vec())),
        )
    }

    /// The radius of a step's cutter, in millimetres.
    pub fn cutter_radius_mm(&self, step: &Step) -> f64 {
        match &step.tool {
            Tool::EndMill(mill) => mill.diameter.as_mm() / 2.0,
            _ => 0.0,
        }
    }

    /// Where a row that forms the outline takes the middle of its cutter.
    pub fn cutter_paths(&self, setup: &Holding, step: &Step, row: &Row) -> Vec<Path> {
        let value = |label: &str| row.sets.iter().find(|f| f.label() == label).map(|f| f.shown.as_str());
        let centre = match (&setup.held, setup.located) {
            (Held::PlateTurned { about: (x, y), .. }, _) => {
                let x = if setup.image == Image::Mirrored { -*x } else { *x };
                let [x, y] = laid(setup.up, [x.as_mm(), y.as_mm(), 0.0]);
                Point::new(x, y)
            }
            (_, Located::Bore(id) | Located::TwoBores(id, _)) => self.laid_at(setup, id),
            _ => Point::ORIGIN,
        };
        let slide_mm = 2.0 * self.half_step_mm();
        match (&step.work, setup.machine) {
            (Work::RoundEnd | Work::TurnArc { .. }, Machine::RotaryTable) => {
                let offset_mm = self.slide_mm(value("offset from the table centre").unwrap());
                let (from, to) = match (value("start at"), value("stop at")) {
                    (Some(from), Some(to)) => (degrees(from), degrees(to)),
                    _ => (0.0, 360.0),
                };
                let (from_rad, to_rad) = (self.on_part(setup, from), self.on_part(setup, to));
                // The table turns clockwise: the cutter goes anticlockwise round the work.
                let mut sweep_rad = (to_rad - from_rad).rem_euclid(std::f64::consts::TAU);
                if sweep_rad < 1e-9 {
                    sweep_rad = std::f64::consts::TAU;
                }
                // Within a hollow it goes the other way.
                if value("turn the table").is_some_and(|way| way.starts_with("anticlockwise")) {
                    sweep_rad -= std::f64::consts::TAU;
                }
                let at = |n: i32| centre.polar(offset_mm, from_rad + sweep_rad * f64::from(n) / 90.0);
                let places = (0..=90).map(at).map(|p| upright(setup, p)).collect();
                vec![Path { places, greatest_gap_mm: slide_mm + 1e-3 }]
            }
            (Work::MillFlanks { joins }, _) => (1..=joins.len())
                .map(|n| {
                    let own = |label: &str| self.slide_mm(value(&format!("flank {n}, {label}")).unwrap());
                    let (y, from, to, turned_rad) = if setup.machine == Machine::RotaryTable {
                        let turned = degrees(value(&format!("flank {n}, turn the table to")).unwrap());
                        let [y, from, to] =
                            ["Y", "X", "X"].map(|axis| format!("{axis} from the table centre"));
                        (
                            own(&y),
                            own(&format!("{from}, start")),
                            own(&format!("{to}, stop")),
                            self.on_part(setup, turned),
                        )
                    } else {
                        (own("Y"), own("X start"), own("X stop"), self.swung_rad(setup, row, Some(n)))
                    };
                    let at = |k: i32| {
                        let x = from + (to - from) * f64::from(k) / 50.0;
                        centre + Point::new(x, y).rotated(turned_rad)
                    };
                    let places = (0..=50).map(at).map(|p| upright(setup, p)).collect();
                    // A coarse table or dial leaves the flank a little out of parallel.
                    Path { places, greatest_gap_mm: slide_mm + 0.05 }
                })
                .collect(),
            (Work::MillSide { .. }, Machine::RotaryTable) => {
                let own = |label: &str| self.slide_mm(value(label).unwrap());
                let turned_rad = self.on_part(setup, degrees(value("turn the table to").unwrap()));
                let y = own("Y from the table centre");
                let [from, to] = ["start", "stop"].map(|end| own(&format!("X from the table centre, {end}")));
                let at = |n: i32| {
                    let x = from + (to - from) * f64::from(n) / 100.0;
                    upright(setup, centre + Point::new(x, y).rotated(turned_rad))
                };
                vec![Path { places: (0..=100).map(at).collect(), greatest_gap_mm: slide_mm + 0.05 }]
            }
            (Work::MillSide { .. }, _) => {
                let number = |label: &str| value(label).map(|shown| self.slide_mm(shown));
                let (from, to) = match (number("Y"), number("X")) {
                    (Some(y), None) => {
                        let [from, to] = ["X start", "X stop"].map(|label| number(label).unwrap());
                        (Point::new(from, y), Point::new(to, y))
                    }
                    (None, Some(x)) => {
                        let [from, to] = ["Y start", "Y stop"].map(|label| number(label).unwrap());
                        (Point::new(x, from), Point::new(x, to))
                    }
                    _ => panic!("{self}: {} has one slide that moves and one that stands", row.what),
                };
                let swung_rad = match setup.held {
                    Held::PlateSwung { .. } => self.swung_rad(setup, row, None),
                    _ => 0.0,
                };
                let datum = self.datum(setup);
                let at = |n: i32| {
                    let share = f64::from(n) / 100.0;
                    datum + (from + (to - from).times(share)).rotated(swung_rad)
                };
                let places = (0..=100).map(at).map(|p| upright(setup, p)).collect();
                vec![Path { places, greatest_gap_mm: slide_mm + 0.05 }]
            }
            (Work::StepArc { .. }, _) => {
                let mut places = Vec::new();
                while let (Some(x), Some(y)) = (
                    value(&format!("place {}, X", places.len() + 1)),
                    value(&format!("place {}, Y", places.len() + 1)),
                ) {
                    places.push(Point::new(self.slide_mm(x), self.slide_mm(y)));
                }
                if let (Some(x), Some(y)) = (value("X"), value("Y")) {
                    places.push(Point::new(self.slide_mm(x), self.slide_mm(y)));
                }
                let datum = self.datum(setup);
                let places = places.into_iter().map(|p| upright(setup, p + datum)).collect();
                vec![Path { places, greatest_gap_mm: slide_mm + 1e-3 }]
            }
            (Work::StepEnd, _) => {
                let mut places = Vec::new();
                while let (Some(x), Some(y)) = (
                    value(&format!("place {}, X", places.len() + 1)),
                    value(&format!("place {}, Y", places.len() + 1)),
                ) {
                    places.push(Point::new(self.slide_mm(x), self.slide_mm(y)));
                }
                let boss = step.feature.unwrap();
                let [x, y] = self.expected(setup, boss);
                let shift = self.laid_at(setup, boss) - Point::new(x, y);
                let places = places.into_iter().map(|p| upright(setup, p + shift)).collect();
                vec![Path { places, greatest_gap_mm: slide_mm + 1e-3 }]
            }
            _ => Vec::new(),
        }
    }

    fn laid_at(&self, setup: &Holding, id: FeatureId) -> Point {
        let place = self.part(setup.image, |part| {
            [Axis::X, Axis::Y, Axis::Z].map(|axis| part.at(id, axis).map_or(0.0, |l| l.as_mm()))
        });
        let [x, y] = laid(setup.up, place);
        Point::new(x, y)
    }

    /// The direction of the work that lies along X at a reading of the table.
    fn on_part(&self, setup: &Holding, reading: f64) -> f64 {
        let nought = match setup.located {
            Located::TwoBores(first, second) => {
                self.laid_at(setup, first).direction_rad(self.laid_at(setup, second))
            }
            _ => 0.0,
        };
        let grows = self.bench.rotary_table.as_ref().and_then(|table| table.grows);
        let sign = if grows == Some(Grows::Anticlockwise) { -1.0 } else { 1.0 };
        nought + sign * reading.to_radians()
    }

    /// Where the slides read nought, as the part lies on the machine.
    fn datum(&self, setup: &Holding) -> Point {
        match setup.located {
            Located::Bore(id) | Located::TwoBores(id, _) => self.laid_at(setup, id),
            // Any feature's own place, less what it is expected to read.
            _ => {
                let id = FeatureId(0);
                let [x, y] = self.expected(setup, id);
                self.laid_at(setup, id) - Point::new(x, y)
            }
        }
    }

    /// The direction of the work that lies along X once the plate is swung.
    fn swung_rad(&self, setup: &Holding, row: &Row, flank: Option<usize>) -> f64 {
        let of = |label: &str| match flank {
            Some(flank) => format!("flank {flank}, {label}"),
            None => label.to_owned(),
        };
        match setup.located {
            Located::TwoBores(first, second) => {
                let name = &self.drawing.features[second.0].name;
                let read = |axis| {
                    let label = of(&format!("{axis} of {name} after the swing"));
                    self.slide_mm(&row.sets.iter().find(|f| f.label() == label).unwrap().shown)
                };
                let lies = Point::ORIGIN.direction_rad(Point::new(read("X"), read("Y")));
                self.laid_at(setup, first).direction_rad(self.laid_at(setup, second)) - lies
            }
            _ => {
                let label = of("swing the plate");
                let shown = &row.sets.iter().find(|f| f.label() == label).unwrap().shown;
                let swing = degrees(shown).to_radians();
                if shown.ends_with("anticlockwise") { -swing } else { swing }
            }
        }
    }
}

/// The six ways up, as (X, Y) of a place (x, y, z): X to the right, Y away.
fn laid(up: Face, [x, y, z]: [f64; 3]) -> [f64; 2] {
    match up {
        Face::Front => [x, y],
        Face::Back => [-x, y],
        Face::Top => [x, -z],
        Face::Bottom => [-x, -z],
        Face::Left => [y, -z],
        Face::Right => [-y, -z],
    }
}

/// A place as it lies, back in the plan of the part.
fn upright(setup: &Holding, at: Point) -> Point {
    assert!(!matches!(setup.held, Held::PlateOnEdge { .. }));
    if setup.up == Face::Back { Point::new(-at.x_mm, at.y_mm) } else { at }
}

/// The edge picked up: a rectangle's own, or that of a blank with 2 mm at least to
/// spare and its edges a whole number of millimetres from the datum.
fn edge_mm(part: &Part, face: Face) -> f64 {
    let [left, right, bottom, top] = part.edges().map(|l| l.as_mm());
    let own = matches!(part.drawing.body, Body::Rectangle { .. });
    let low = |edge: f64| if own { edge } else { (edge - 2.0 + 1e-9).floor() };
    let high = |edge: f64| if own { edge } else { (edge + 2.0 - 1e-9).ceil() };
    match face {
        Face::Left => low(left),
        Face::Right => high(right),
        Face::Bottom => low(bottom),
        Face::Top => high(top),
        Face::Back => 0.0,
        Face::Front => part.thickness().as_mm(),
    }
}

/// Every number in a text.
pub fn lengths_mm(text: &str) -> Vec<f64> {
    let numeric = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let words = text.split(|c: char| !numeric(c)).filter_map(|word| word.trim_end_matches('.').parse().ok());
    words.collect()
}

/// Degrees, with the minutes that may follow them.
fn degrees(shown: &str) -> f64 {
    let (whole, rest) = shown.split_once('°').unwrap_or_else(|| panic!("{shown}"));
    let whole: f64 = whole.trim().parse().unwrap_or_else(|_| panic!("{shown}"));
    let (minutes, rest) = rest.split_once('′').unwrap_or(("0", ""));
    let minutes: f64 = minutes.trim().parse().unwrap();
    let seconds: f64 = rest.split_once('″').map_or(0.0, |(s, _)| s.trim().parse().unwrap());
    whole + (minutes + seconds / 60.0).copysign(whole) / 60.0
}

fn opposite(face: Face) -> Face {
    match face {
        Face::Front => Face::Back,
        Face::Back => Face::Front,
        Face::Left => Face::Right,
        Face::Right => Face::Left,
        Face::Top => Face::Bottom,
        Face::Bottom => Face::Top,
    }
}
