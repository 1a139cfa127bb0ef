//! Holdings and operations in words.

use super::deed::Job;
use super::work::{
    Entry, Held, Holding, Joined, Located, Lots, Machine, Pieces, SlotSides, Steadied, Tool, Work,
};
use crate::drawing::{Face, FeatureId, Kind};
use crate::geometry::Segment;
use crate::measure::Length;

/// As a sheet heads a holding.
pub(super) fn title(job: &Job, holding: &Holding) -> String {
    let names = |bores: &[FeatureId]| bores.iter().map(|&b| job.name(b)).collect::<Vec<_>>().join(" and ");
    let bar = if job.casting().is_some() { "the casting" } else { "the bar" };
    let on = |on: &Option<FeatureId>| on.map_or(bar.to_owned(), |id| job.name(id).to_owned());
    let up = holding.up.word();
    let held = match &holding.held {
        Held::ViceOnParallels => format!("in the vice on parallels, {up} up"),
        Held::ViceOnEdge => format!("in the vice on edge, {up} up"),
        Held::PlateOnFaceplate { hole } => {
            format!("on the faceplate, the punched centre of {} running true, {up} out", job.name(*hole))
        }
        Held::BoltOnPlate { bores } => format!("bolted to a plate through {}, {up} up", names(bores)),
        Held::PlateOnEdge { bores } => {
            format!("on the plate through {}, the plate on edge, {up} up", names(bores))
        }
        Held::PlateSwung { bores } => {
            format!("on the plate through {}, swung for each flank, {up} up", names(bores))
        }
        Held::PlateTurned { bores, over, .. } => {
            format!("on the plate through {}, the centre of {} over the table's, {up} up", names(bores), over)
        }
        Held::StubMandrel { bore } => format!("on a stub in {}, {up} up", job.name(*bore)),
        Held::PressurePads => "pressed between two pads".into(),
        Held::ClampsMoved => format!("clamped flat on packing, {up} up"),
        Held::Chuck { on: section } => format!("in the chuck by {}, {up} end out", on(section)),
        Held::Collet { on: section } => format!("in a collet by {}, {up} end out", on(section)),
        Held::SoftJaws { on } => format!("in soft jaws bored to {}, {up} end out", job.name(*on)),
        Held::SplitBush { on } => format!("in a split bush on {}, {up} end out", job.name(*on)),
        Held::Clocked { on } => format!("in the four-jaw, {} clocked true, {up} end out", job.name(*on)),
        Held::SawnLength => format!("the sawn length in the chuck, {up} end out"),
        Held::Centres => format!("between centres, the {up} end at the tailstock"),
        Held::Mandrel { bore, owned: true } => format!("on a mandrel in {}, {up} end out", job.name(*bore)),
        Held::Mandrel { bore, owned: false } => {
            format!("on a stub turned in place to {}, {up} end out", job.name(*bore))
        }
        Held::Inside { bore } => {
            format!("in the chuck, its jaws opened in {}, {up} end out", job.name(*bore))
        }
        Held::Screwed { thread } => {
            format!("screwed by {} on a stub turned in place, {up} end out", job.name(*thread))
        }
        Held::Faceplate { bore } => {
            format!("on the faceplate, {} clocked true, {up} end out", job.name(*bore))
        }
        Held::OffsetCentres { section } => format!(
            "between offset centres, {} running true, the {up} end at the tailstock",
            job.name(*section)
        ),
        Held::WholeBar => format!("the sawn length on end in a vee, {up} end up"),
        Held::FourJaw { on: gripped, section } => format!(
            "off centre in the four-jaw by {}, {} running true, {up} end out",
            on(gripped),
            job.name(*section)
        ),
        Held::Packed { on: gripped, section } => format!(
            "off centre in the three-jaw with packing, by {}, {} running true, {up} end out",
            on(gripped),
            job.name(*section)
        ),
        Held::VeeBlock { on } if super::turned::is_bar(job, *on) => {
            format!("in the vice by the flats of {}, {up} up", job.name(*on))
        }
        Held::VeeBlock { on } => format!("in a vee block on {}, {up} up", job.name(*on)),
        Held::Upright { on } => format!("on end in a chuck by {}, {up} end up", job.name(*on)),
        Held::DividingHead { on } => {
            format!("along X in a dividing head, by {}, {up} up", job.part.held_round(*on))
        }
        Held::Indexed { on } => {
            format!("along X in a chuck on the rotary table, by {}, {up} up", job.part.held_round(*on))
        }
        Held::ColletBlock { on, .. } => {
            format!("in a collet block in the vice, by {}, {up} up", job.part.held_round(*on))
        }
        Held::FilingButtons => "between filing buttons in the vice".into(),
        Held::BenchVice => "in the bench vice".into(),
        Held::Bench => "flat on the bench".into(),
    };
    let steadied = match holding.steadied {
        Steadied::Not => String::new(),
        Steadied::Tailstock => ", steadied by the tailstock".into(),
        Steadied::Travelling => ", steadied by the tailstock and a travelling steady".into(),
        Steadied::Fixed { on } => format!(", {} in the fixed steady", job.name(on)),
    };
    let held = held + &steadied;
    let machine = match holding.machine {
        Machine::Mill => "Mill",
        Machine::RotaryTable => "Rotary table",
        Machine::Lathe => "Lathe",
        Machine::DrillPress => "Drill press",
        Machine::BenchVice => "Bench",
    };
    let pieces = match said(holding.pieces) {
        words if words.is_empty() => words,
        words => format!(", {words}"),
    };
    let joint = holding.pieces.joint().map(|which| &job.part.drawing.together[which]);
    let pieces = joint.map_or(String::new(), |joint| format!(", {}", joint.words())) + &pieces;
    let located = match holding.located {
        Located::Edges(..) if joint.is_some_and(|joint| joint.above > 0) => {
            let top = joint.and_then(|joint| joint.top()).map_or("", |top| top.part.as_str());
            format!("; from the edges of {top}")
        }
        Located::Edges(a, b) => format!("; from the {} and {} {}", a.word(), b.word(), faces_word(a, b)),
        Located::Bore(bore) => format!("; from {}", job.name(bore)),
        Located::TwoBores(first, second) => {
            format!("; from {}, in line with {}", job.name(first), job.name(second))
        }
        Located::EndAndAxis(end) => format!("; from the {} end", end.word()),
        Located::Marked(id) => format!("; from the marked centre of {}", job.name(id)),
        Located::SawnBlank if job.casting().is_some() => "; from the casting as it is".into(),
        Located::SawnBlank => "; from the sawn blank".into(),
        Located::Punched => "; at punched centres".into(),
        Located::Line => "; to a line".into(),
        Located::Nothing => String::new(),
    };
    format!("{machine}: {held}{pieces}{located}")
}

/// What lies in a holding, in words; nothing for a piece that is the only one.
fn said(pieces: Pieces) -> String {
    let beside = |lots: Lots, what: &str| match lots.beside {
        0 | 1 => String::new(),
        n => format!(", {n} {what}side by side"),
    };
    match pieces {
        Pieces::Single => String::new(),
        Pieces::One(hand) => hand.words().into(),
        Pieces::Stack(lots) => {
            let how = if lots.joined == Joined::Screwed { "clamped or screwed" } else { "stuck" };
            let stacks = match (lots.stacks(), lots.high) {
                (1, 2) => format!("the pair {how} together"),
                (1, high) => format!("the {high} {how} together"),
                (stacks, 2) => format!("each of {stacks} pairs {how} together"),
                (stacks, high) => format!("each of {stacks} stacks of {high}"),
            };
            stacks + &beside(lots, "stacks ")
        }
        Pieces::Each(lots) => {
            let hand = match lots.hand.words() {
                "" => String::new(),
                words => format!(" of the {words}"),
            };
            let number = if lots.pieces == 2 { "the two".to_owned() } else { lots.pieces.to_string() };
            let together = match lots.high {
                1 => String::new(),
                n => format!(", {n} gripped together"),
            };
            format!("each of {number}{hand}{together}{}", beside(lots, ""))
        }
        Pieces::Both(lots) if lots.high > 1 && lots.high == lots.pieces => {
            "both hands, gripped together".into()
        }
        Pieces::Both(lots) if lots.high > 1 => format!("both hands, {} gripped together", lots.high),
        Pieces::Both(lots) => format!("both hands{}", beside(lots, "")),
        Pieces::Joint { lots, .. } if lots.pieces > 1 => format!("each of {}", lots.pieces),
        Pieces::Joint { .. } => String::new(),
    }
}

impl Job<'_> {
    /// What a stack is called: two are a pair.
    pub(super) fn stack_words(&self) -> &'static str {
        if self.scheme.high > 2 { "the stack" } else { "the pair" }
    }
}

fn faces_word(a: Face, b: Face) -> &'static str {
    if [a, b].iter().any(|f| matches!(f, Face::Front | Face::Back)) { "faces" } else { "edges" }
}

/// An operation without its hand: `ream pivot bore 8 mm`.
pub(super) fn text(job: &Job, work: &Work, feature: Option<FeatureId>, tool: &Tool) -> String {
    let name = feature.map_or("", |id| job.name(id));
    let joined = |joins: &[(FeatureId, FeatureId)]| {
        let mut bosses: Vec<&str> = Vec::new();
        for id in joins.iter().flat_map(|&(a, b)| [a, b]) {
            if !bosses.contains(&job.name(id)) {
                bosses.push(job.name(id));
            }
        }
        bosses.join(" and ")
    };
    match work {
        Work::SquareEdges | Work::MillToSize | Work::FaceToThickness if *tool == Tool::File => {
            by_hand(job, work)
        }
        Work::SquareEdges if job.casting().is_some() => {
            format!("mill the {} of the casting", edges(&job.cast_edges().0))
        }
        Work::MillToSize if job.casting().is_some() => {
            format!("mill the {} to size", edges(&job.cast_edges().1))
        }
        Work::SquareEdges => "mill two edges square".into(),
        Work::FaceToThickness => format!("face to {} thick", job.part.thickness()),
        Work::MillToSize => "mill the other two edges to size".into(),
        Work::Stick if *tool == Tool::Clamps && job.scheme.high > 2 => "clamp the blanks together".into(),
        Work::Stick if *tool == Tool::Clamps => "clamp the two blanks together".into(),
        Work::Part if *tool == Tool::Screws => {
            format!("unscrew {} and take off the burrs", job.stack_words())
        }
        Work::ScrewTogether { screws } => {
            let names: Vec<&str> = screws.iter().map(|screw| job.name(screw.hole)).collect();
            format!("screw {} together through {}", job.stack_words(), names.join(" and "))
        }
        Work::Stick if job.scheme.high > 2 => "stick the blanks together".into(),
        Work::Stick => "stick the two blanks together".into(),
        Work::Part if job.scheme.high > 2 => "part the stack and clean it".into(),
        Work::Part => "part the pair and clean it".into(),
        Work::SawCap => "saw the cap off".into(),
        Work::FaceJoint if *tool == Tool::File => "file both faces of the joint".into(),
        Work::FaceJoint => "mill both faces of the joint".into(),
        Work::BoltCap => "bolt the cap on".into(),
        Work::Harden => "harden".into(),
        Work::Temper => match job.part.drawing.harden {
            Some(temper) => format!("temper to {}", temper.colour),
            None => "temper".into(),
        },
        Work::Lap { diameter, .. } if job.part.drawing.harden.is_some() => {
            format!("lap {name} {diameter}, hard")
        }
        Work::Lap { diameter, .. } => format!("lap {name} {diameter}"),
        Work::Drill { diameter, .. } if is_pilot(job, feature, *diameter) => {
            let half = if super::chains::is_half(job, feature, work) { ", half way" } else { "" };
            format!("pilot {name} {}{half}", tool.words().trim_start_matches("drill "))
        }
        Work::Drill { .. } if super::chains::is_half(job, feature, work) => {
            format!("drill {name} {}, half way", tool.words().trim_start_matches("drill "))
        }
        Work::ChainDrill { .. } => format!("chain drill {name} inside its line"),
        Work::Drill { diameter, .. } => match tool {
            Tool::Drill(drill) => format!("drill {name} {}{}", drill.name, pinned(job, feature)),
            _ => format!("drill {name} {diameter}"),
        },
        Work::Ream { diameter, .. } => format!("ream {name} {diameter}"),
        Work::Bore { diameter, .. } => format!("bore {name} {diameter}"),
        Work::TrueHole { diameter, .. } => format!("bring {name} to its place, {diameter}"),
        Work::Tap { .. } => match tool {
            Tool::Tap(thread) => format!("tap {name} {}", thread.designation),
            _ => format!("tap {name}"),
        },
        Work::OpenClearance { diameter, .. } => match tool {
            Tool::Drill(drill) => format!("open {name} to {} as far as the slit", drill.name),
            _ => format!("open {name} to {diameter} as far as the slit"),
        },
        Work::Counterbore { diameter, .. } => format!("counterbore {name} {diameter}"),
        Work::Countersink { diameter, .. } => format!("countersink {name} {diameter}"),
        Work::TaperReam { .. } => match tool {
            Tool::TaperReamer(pin) => {
                format!("ream {name} for the {} taper pin{}", pin.name, pinned(job, feature))
            }
            _ => format!("ream {name} taper"),
        },
        Work::MillPocket { .. } | Work::MillSlot { .. } if *tool == Tool::File => format!("file out {name}"),
        Work::MillPocket { .. } | Work::MillSlot { .. } if *tool == Tool::Chisel => {
            format!("chisel out {name}")
        }
        Work::MillPocket { .. } => format!("mill {name}"),
        Work::MillSide { piece } => format!("mill {}", side(job, *piece)),
        Work::StepArc { piece } if is_straight(job, *piece) => {
            format!("mill {} by stepped coordinates", side(job, *piece))
        }
        Work::StepArc { piece } => format!("round {} by stepped coordinates", side(job, *piece)),
        Work::TurnArc { piece } => format!("round {} on the rotary table", side(job, *piece)),
        Work::FileRidges { piece: Some(piece) } => format!("file the ridges off {}", side(job, *piece)),
        Work::FileRidges { piece: None } => format!("file the ridges off {}", rounded(job, feature)),
        Work::FileSide { piece } => format!("file {}", side(job, *piece)),
        Work::FileRound if name.is_empty() => "file the outside round to its line".into(),
        Work::FileRound => format!("file {name} round to its line"),
        Work::FileHole => match feature.map(|id| &job.part.feature(id).kind) {
            Some(Kind::Flatted { .. }) => format!("file {name} to its flat"),
            _ => format!("file {name} square"),
        },
        Work::FileHoleRound { .. } => format!("file {name} round to its line"),
        Work::PlaneKeyway if *tool == Tool::File => format!("file {name}"),
        Work::PlaneKeyway => format!("plane {name}"),
        Work::Broach { across } => format!("broach {name} square {across}"),
        Work::MillStep { leaves, .. } if *tool == Tool::File => {
            format!("saw and file {name} down to {leaves}")
        }
        Work::MillStep { leaves, entry: Entry::Face } => format!("mill {name} down to {leaves}"),
        Work::MillStep { leaves, entry: Entry::Side } => {
            format!("mill {name} in from its side, down to {leaves}")
        }
        Work::MillSlot { .. } => match feature.map(|id| &job.part.feature(id).kind) {
            Some(Kind::CurvedSlot { .. })
                if matches!(work, Work::MillSlot { sides: SlotSides::Stepped, .. }) =>
            {
                format!("mill {name} by stepped coordinates")
            }
            Some(Kind::CurvedSlot { .. }) => format!("mill {name} on the rotary table"),
            _ => format!("mill {name}"),
        },
        Work::RoundEnd => format!("round {} on the rotary table", rounded(job, feature)),
        Work::StepEnd => format!("round {} by stepped coordinates", rounded(job, feature)),
        Work::FileEnd => format!("file {name} to the buttons"),
        Work::TurnDisc => "turn the outside".into(),
        Work::MillFlanks { joins } => format!("mill the flanks of {}", joined(joins)),
        Work::FileFlanks { joins } => format!("file the flanks of {} to a line", joined(joins)),
        Work::MarkOut => format!("mark out {}", super::by_eye::marked(job)),
        Work::RoughOut { chain: true } => "chain drill round the outline and break the waste away".into(),
        Work::RoughOut { chain: false } => "saw the waste off outside the line".into(),
        Work::Slit if *tool == Tool::HandSaw => format!("saw {name} by hand"),
        Work::Slit => format!("saw {name}"),
        Work::FaceEnd { end } if *tool == Tool::File => format!("rub the {} end flat", end.word()),
        Work::FaceEnd { end } => format!("face the {} end", end.word()),
        Work::CentreEnd { end } => format!("centre the {} end", end.word()),
        Work::OffsetCentre { end } => format!("centre the {} end for {name}", end.word()),
        Work::RoughSection { diameter, .. } => format!("rough {name} to {diameter}"),
        Work::TurnSection { diameter } => format!("turn {name} {diameter}"),
        Work::TurnTaper { large, small } => format!("turn {name} from {large} to {small}"),
        Work::Knurl => format!("knurl {name}"),
        Work::Chamfer { size } => format!("chamfer {name} {size}"),
        Work::Recess { diameter, .. } => format!("recess {name} {diameter}"),
        Work::MillFlats { across, count } if *tool == Tool::File => match count {
            1 => format!("file {name} to {across}"),
            _ => format!("file {name}, {count} flats {across} across"),
        },
        Work::MillFlats { across, count: 1 } => format!("mill {name} to {across}"),
        Work::MillFlats { across, count } => format!("mill {name}, {count} flats {across} across"),
        Work::CutThread => match tool {
            Tool::Die(thread) => format!("thread {name} {}", thread.designation),
            _ => format!("cut the thread of {name}"),
        },
        Work::Groove { diameter, .. } => format!("groove {name} down to {diameter}"),
        Work::PartOff if *tool == Tool::HandSaw => "saw off the bar".into(),
        Work::PartOff => "part off".into(),
        Work::Leave => "leave it in the chuck: it is used where it stands".into(),
    }
}

/// What is rounded: a boss, a corner, or a disc about its bore.
fn rounded<'a>(job: &'a Job, feature: Option<FeatureId>) -> &'a str {
    match feature {
        Some(id) if matches!(job.part.feature(id).kind, Kind::Boss { .. } | Kind::Corner { .. }) => {
            job.name(id)
        }
        _ => "the outside",
    }
}

/// Whether a drill goes before a large one of the same hole, to take its web's place.
fn is_pilot(job: &Job, feature: Option<FeatureId>, diameter: Length) -> bool {
    let last = feature.and_then(|id| job.last_drill(id));
    last.is_some_and(|last| diameter * 2 <= last.diameter)
}

/// What is filed where there is no mill.
fn by_hand(job: &Job, work: &Work) -> String {
    let (first, then) = job.cast_edges();
    let cast = job.casting().is_some();
    match work {
        Work::FaceToThickness => format!("file to {} thick", job.part.thickness()),
        Work::SquareEdges if cast => format!("file the {} of the casting", edges(&first)),
        Work::MillToSize if cast => format!("file the {} to size", edges(&then)),
        Work::SquareEdges => "file two edges square".into(),
        _ => "file the other two edges to size".into(),
    }
}

/// What a pin is drilled and reamed through together with this part.
fn pinned(job: &Job, feature: Option<FeatureId>) -> String {
    let Some(bore) = feature.and_then(|id| job.part.pins(id)) else { return String::new() };
    match job.part.drawing.mates.iter().find(|mate| mate.with == bore) {
        Some(mate) => format!(", the {} in place in {}", mate.name, job.name(bore)),
        None => format!(", the shaft in place in {}", job.name(bore)),
    }
}

/// Whether a piece of the outline is a straight side.
fn is_straight(job: &Job, piece: usize) -> bool {
    let named = job.part.pieces();
    named.is_ok_and(|named| matches!(named.outline.segments().get(piece), Some(Segment::Line(_))))
}

/// A piece of the outline by its name: a corner, or what it lies between.
fn side(job: &Job, piece: usize) -> String {
    let names = job.part.pieces().map(|named| named.names).unwrap_or_default();
    names.get(piece).cloned().unwrap_or_else(|| "the outline".into())
}

/// `left and bottom edges`.
fn edges(faces: &[Face]) -> String {
    let words: Vec<&str> = faces.iter().map(|face| face.word()).collect();
    format!("{} {}", words.join(" and "), if faces.len() == 1 { "edge" } else { "edges" })
}
