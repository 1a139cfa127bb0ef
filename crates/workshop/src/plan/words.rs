//! How holdings are said on a sheet.

use super::job::Setup;
use super::{joints, pieces, rows_hole};
use crate::drawing::{Body, Drawing, Form, Hand};
use crate::measure::Length;
use crate::order::work::{Holding, Loss, Lots, Machine, Steadied, Step};
use crate::order::{Held, Located, Pieces, Work};
use crate::settings::show::mm;

/// What keeps work on a stub from turning about it.
pub(super) const SECOND_CLAMP: &str = ", a second clamp clear of the cutter's path.";

/// `Mill: on parallels in the vice, front face up`.
pub fn title(drawing: &Drawing, holding: &Holding) -> String {
    let machine = match holding.machine {
        Machine::Mill => "Mill",
        Machine::RotaryTable => "Rotary table",
        Machine::Lathe => "Lathe",
        Machine::DrillPress => "Drill press",
        Machine::BenchVice => "Bench",
    };
    let held = short_held(drawing, holding);
    let held = match holding.steadied {
        Steadied::Not | Steadied::Tailstock => held,
        Steadied::Travelling => format!("{held}, with a travelling steady"),
        Steadied::Fixed { on } => format!("{held}, {} in the fixed steady", name(drawing, on)),
    };
    match holding.machine {
        Machine::BenchVice => format!("{machine}: {held}"),
        Machine::Lathe => {
            let end = if matches!(drawing.body, Body::Turned { .. }) { "end" } else { "face" };
            format!("{machine}: {held}, {} {end} outwards", holding.up.word())
        }
        Machine::Mill | Machine::RotaryTable | Machine::DrillPress => {
            format!("{machine}: {held}, {} {} up", holding.up.word(), face_or_edge(holding))
        }
    }
}

fn face_or_edge(holding: &Holding) -> &'static str {
    if matches!(holding.held, Held::Upright { .. }) {
        "end"
    } else if matches!(holding.up, crate::drawing::Face::Front | crate::drawing::Face::Back) {
        "face"
    } else {
        "edge"
    }
}

fn name(drawing: &Drawing, id: crate::drawing::FeatureId) -> &str {
    &drawing.features[id.0].name
}

/// True for a length of square or hexagon bar left as it comes.
fn as_bar(drawing: &Drawing, id: crate::drawing::FeatureId) -> bool {
    use crate::drawing::{Kind, SectionSize};
    matches!(drawing.features[id.0].kind, Kind::Section { size: SectionSize::AsBar { .. }, .. })
}

fn short_held(drawing: &Drawing, holding: &Holding) -> String {
    match &holding.held {
        Held::ViceOnParallels => "in the vice on parallels".into(),
        Held::ViceOnEdge => "on edge in the vice".into(),
        Held::PlateOnFaceplate { hole } => {
            format!("on the faceplate, the punched centre of {} running true", name(drawing, *hole))
        }
        Held::BoltOnPlate { .. } => "bolted to the plate".into(),
        Held::PlateOnEdge { .. } => "on the plate, its edge in the vice".into(),
        Held::PlateSwung { .. } => "on the plate, swung for each flank".into(),
        Held::PlateTurned { over, .. } => format!("on the plate, the centre of {over} over the table's"),
        Held::StubMandrel { bore } => format!("on the stub in {}", name(drawing, *bore)),
        Held::PressurePads => "pressed between two pads".into(),
        Held::ClampsMoved => "clamped flat on packing".into(),
        Held::Chuck { on: None } if casting(drawing) => "casting in the chuck".into(),
        Held::Chuck { on: None } => "bar in the chuck".into(),
        Held::Chuck { on: Some(id) } => format!("in the chuck by {}", name(drawing, *id)),
        Held::Collet { on: None } => "bar in a collet".into(),
        Held::Collet { on: Some(id) } => format!("in a collet by {}", name(drawing, *id)),
        Held::SoftJaws { on } => format!("in soft jaws by {}", name(drawing, *on)),
        Held::SplitBush { on } => format!("in the chuck in a split bush on {}", name(drawing, *on)),
        Held::Clocked { on } => format!("in the four-jaw, {} clocked true", name(drawing, *on)),
        Held::SawnLength => "sawn length in the chuck".into(),
        Held::Centres => "between centres".into(),
        Held::OffsetCentres { section } => {
            format!("between offset centres, {} running true", name(drawing, *section))
        }
        Held::WholeBar => "the sawn length on end in a vee".into(),
        Held::Mandrel { bore, owned: true } => format!("on a mandrel in {}", name(drawing, *bore)),
        Held::Mandrel { bore, owned: false } => {
            format!("on a stub turned in place to {}", name(drawing, *bore))
        }
        Held::Inside { bore } => format!("in the chuck, its jaws opened in {}", name(drawing, *bore)),
        Held::Screwed { thread } => {
            format!("screwed by {} on a stub turned in place", name(drawing, *thread))
        }
        Held::Faceplate { bore } => format!("on the faceplate, {} clocked true", name(drawing, *bore)),
        Held::FourJaw { on: None, section } => {
            format!("bar off centre in the four-jaw, for {}", name(drawing, *section))
        }
        Held::FourJaw { on: Some(id), section } => {
            format!("off centre in the four-jaw by {}, for {}", name(drawing, *id), name(drawing, *section))
        }
        Held::Packed { on: None, section } => {
            format!("bar off centre in the three-jaw with packing, for {}", name(drawing, *section))
        }
        Held::Packed { on: Some(id), section } => format!(
            "off centre in the three-jaw with packing by {}, for {}",
            name(drawing, *id),
            name(drawing, *section)
        ),
        Held::Upright { on } => format!("on end in a chuck, by {}", name(drawing, *on)),
        Held::DividingHead { on } => format!("in the dividing head, by {}", name(drawing, *on)),
        Held::Indexed { on } => format!("in a chuck on the rotary table, by {}", name(drawing, *on)),
        Held::ColletBlock { on, .. } => format!("in a collet block, by {}", name(drawing, *on)),
        Held::VeeBlock { on } if as_bar(drawing, *on) => {
            format!("in the vice by the flats of {}", name(drawing, *on))
        }
        Held::VeeBlock { on } => format!("in a vee block on {}", name(drawing, *on)),
        Held::FilingButtons => "between filing buttons".into(),
        Held::BenchVice => "in the bench vice".into(),
        Held::Bench => "on the bench".into(),
    }
}

/// How to hold the work and steady it, as an instruction.
pub fn held(setup: &Setup) -> String {
    if let Some(joint) = setup.joint() {
        let more = if joint.above > 0 { String::new() } else { held_steady(setup) };
        return format!("{} {more}", joints::held(joint)).trim_end().to_owned();
    }
    match held_beside(setup) {
        Some(more) => format!("{} {more}", held_steady(setup)),
        None => held_steady(setup),
    }
}

/// How several pieces are held side by side, face to face or one after another, and stacks of unequal
/// height or with screws through them.
fn held_beside(setup: &Setup) -> Option<String> {
    let lots = setup.holding.pieces.lots()?;
    let mut said = Vec::new();
    if lots.beside > 1 {
        let what = if lots.high > 1 { "stack" } else { "piece" };
        let grip = match setup.holding.held {
            Held::ClampsMoved => "each with clamps of its own",
            _ => "a slip of card behind each at the moving jaw, so that all are gripped",
        };
        said.push(format!(
            "{} side by side, at least {} between them, {grip}; each {what} set along X as below.",
            lots.beside,
            mm(lots.gap)
        ));
    }
    if let Pieces::Each(Lots { high: 2.., .. }) | Pieces::Both(Lots { high: 2.., .. }) = setup.holding.pieces
    {
        said.push(pieces::face_to_face(lots));
    } else if lots.high > 1 && lots.lowest() < lots.high && setup.holding.machine != Machine::BenchVice {
        let less = setup.part.thickness() * i64::from(lots.high - lots.lowest());
        said.push(format!("A stack of {} is {} lower: so much less deep there.", lots.lowest(), mm(less)));
    }
    said.extend(pieces::screwed(setup));
    said.extend(pieces::turned(setup));
    (!said.is_empty()).then(|| said.join(" "))
}

/// How one piece or stack is held and steadied.
fn held_steady(setup: &Setup) -> String {
    let steadied = match setup.holding.steadied {
        Steadied::Not => return held_plain(setup),
        Steadied::Tailstock => {
            "Once the end is centred, bring up the tailstock's centre before anything is turned.".to_owned()
        }
        Steadied::Travelling => "Once the end is centred, bring up the tailstock's centre, and set the travelling steady's fingers behind the tool after the first cut.".to_owned(),
        Steadied::Fixed { on } => format!(
            "Set the fingers of the fixed steady to {} with the work turning true, oil them, and only then draw the tailstock back.",
            name(setup.part.drawing, on)
        ),
    };
    format!("{} {steadied}", held_plain(setup))
}

fn held_plain(setup: &Setup) -> String {
    let drawing = setup.part.drawing;
    let names = |ids: &[crate::drawing::FeatureId]| {
        ids.iter().map(|&id| name(drawing, id)).collect::<Vec<_>>().join(" and ")
    };
    match &setup.holding.held {
        Held::ViceOnParallels if setup.holding.machine == Machine::DrillPress => {
            "In the drilling vice, down on two parallels or on wood that drills may come into; the vice or a clamp against a stop, so that it cannot turn with the drill.".into()
        }
        Held::ViceOnParallels if setup.too_thin_for_jaws() => {
            format!("Stuck with adhesive or double-sided tape to a flat block in the vice, for {} is too thin for the jaws to hold flat. Part it with warmth, turn it over and stick it down again for the other face.", mm(setup.part.thickness()))
        }
        Held::ViceOnParallels => {
            "In the vice, down on parallels that leave a way for drills to come through, or on its floor where none are needed; tap it down until it rocks on neither.".into()
        }
        Held::PlateOnFaceplate { hole } => {
            format!("Clamped flat to the faceplate on packing that the tool may pass over, two clamps at least; tap it until the punched centre of {} runs true, then tighten. Balance it with a weight opposite.", name(drawing, *hole))
        }
        Held::ViceOnEdge if setup.holding.machine == Machine::DrillPress => {
            "On edge in the drilling vice, tried upright with a square; the vice against a stop, so that it cannot turn with the drill.".into()
        }
        Held::ClampsMoved if setup.holding.machine == Machine::DrillPress => {
            "Clamped flat on wood on the table of the drill press, two clamps at least, moved one at a time; never held by hand.".into()
        }
        Held::Upright { on } if !setup.job.bench.mills => {
            format!("On end in a drilling vice or vee block by {}, tried upright with a square.", name(drawing, *on))
        }
        Held::BenchVice if setup.holding.located == Located::Punched => {
            "In the bench vice between soft jaws, a square stood beside the drill both ways.".into()
        }
        Held::ViceOnEdge => "On edge in the vice, the opposite edge down on a parallel, or on its floor where none is needed, the front face towards you.".into(),
        Held::BoltOnPlate { bores } => {
            let turned = matches!(setup.holding.located, Located::TwoBores(_, second)
                if setup.read(second).1 != Length::ZERO);
            let how = match (turned, setup.shown_by()) {
                (true, _) => "turn the plate until the second bore reads as below, and clamp it",
                (false, Some(_)) => "clamp it there too, for one bolt lets it turn, once it lies as below",
                (false, None) => "the plate's edge is clocked along X",
            };
            format!("Bolt it flat to the plate through {}; {how}.", names(bores))
        }
        Held::PlateOnEdge { bores } => {
            let how = if setup.second_stands() == Length::ZERO {
                "the plate stands on its milled edge in the vice"
            } else {
                "the plate stands in the vice, tilted as below"
            };
            format!("Bolt it to the plate through {}; {how}.", names(bores))
        }
        Held::PlateSwung { bores, .. } => {
            format!("Bolt it to the plate through {}; clamp the plate flat on the table, and swing it anew for each flank until the flank lies along X.", names(bores))
        }
        Held::PlateTurned { bores, .. } if bores.len() == 1 => {
            format!("Bolt it to the plate through {}, and clamp it there too, for one bolt lets it turn; lay the plate on the rotary table with {} over the table's centre, as below, and clamp both down, two clamps at least in every cut.", names(bores), setup.datum_words())
        }
        Held::PlateTurned { bores, .. } => {
            format!("Bolt it to the plate through {}; lay the plate on the rotary table with {} over the table's centre, as below, and clamp both down, two clamps at least in every cut.", names(bores), setup.datum_words())
        }
        Held::StubMandrel { bore } if setup.holding.machine == Machine::Lathe => {
            format!("On the stub mandrel through {}, the stub in the chuck, washer and screw tight. Saw the corners off first: they knock.", name(drawing, *bore))
        }
        Held::StubMandrel { bore } => {
            format!("On the stub mandrel through {}, washer and screw tight{SECOND_CLAMP}", name(drawing, *bore))
        }
        Held::ClampsMoved => {
            "Clamped flat on packing that the cutter may mark, two clamps at least. For each side move only the clamp in its way, while another holds; if the work shifts, pick up again.".into()
        }
        Held::PressurePads => {
            "Between two flat pads smaller than the finished disc, one of them in the chuck and faced there, the other pressed on by the tailstock's running centre. Press lightly, tap the work until the scribed circle runs true, then press hard. Saw the corners off first: they knock.".into()
        }
        Held::Chuck { on: None } if casting(drawing) => {
            "The casting in the four-jaw chuck, by the far side, set so that what stays as cast runs true.".into()
        }
        Held::Chuck { on: None } if setup.part.bar_left().is_some_and(|(_, sides)| sides == 4) => {
            "The square bar in the four-jaw chuck, clocked true by its corners, no more of it out than the work needs.".into()
        }
        Held::Chuck { on: None } => "The bar in the chuck, no more of it out than the work needs.".into(),
        Held::Chuck { on: Some(id) } if as_bar(drawing, *id) => {
            format!("In the chuck by the bar of {}, soft packing under the jaws, running true.", name(drawing, *id))
        }
        Held::Chuck { on: Some(id) } => {
            format!("In the chuck by {}, soft packing under the jaws, running true.", name(drawing, *id))
        }
        Held::Collet { on: None } => "The bar in a collet, no more of it out than the work needs.".into(),
        Held::Collet { on: Some(id) } => format!("In a collet by {}.", name(drawing, *id)),
        Held::SoftJaws { on } => {
            let size = setup.part.cut_diameter(*on).unwrap_or_default();
            format!("In soft jaws by {}: close them on a ring or plug that leaves their front free, bore them to {} and as deep as the work goes in, its shoulder or end against their step; do not open them farther than lets the work in.", name(drawing, *on), mm(size))
        }
        Held::SplitBush { on } => {
            let size = setup.part.cut_diameter(*on).unwrap_or_default();
            format!("In the three-jaw chuck by {}, in a split bush so that the jaws do not crush the knurl: bore a ring of scrap brass or aluminium to {} in the chuck, mark where jaw number one stands, saw it through along one side and take off the burrs; put it back to the mark with the work in it, and close the jaws no tighter than the cut asks.", name(drawing, *on), mm(size))
        }
        Held::Clocked { on } => {
            format!("In the four-jaw chuck by {}, soft packing under the jaws; move opposite jaws until an indicator on it shows no more than 0.02 mm over one turn, and level along it.", name(drawing, *on))
        }
        Held::SawnLength => {
            "The length sawn or parted from the bar in the chuck by its own outside, little of it out: only its end is faced and centred here.".into()
        }
        Held::Centres => {
            format!("Between centres, the {} end at the tailstock: a carrier on the other end with soft packing under its screw, driven by the driving plate; oil a fixed centre, and feel that the work turns freely without shake.", setup.holding.up.word())
        }
        Held::Mandrel { bore, owned: true } => {
            format!("Pressed on a mandrel of its own size through {}, small end first, oiled; the mandrel between centres with its carrier. Cut towards the thick end, so that the work is pushed on and not off.", name(drawing, *bore))
        }
        Held::Mandrel { bore, owned: false } => {
            format!("Turn a stub from scrap bar in the chuck until {} just goes on with the hand, screw and washer at its end, and leave it there: taken out, it runs true no more.", name(drawing, *bore))
        }
        Held::Inside { bore } => {
            format!("In the three-jaw chuck from within, its jaws opened in {} just so far that the work cannot turn, the faced end against their steps; nothing presses on the outside, and the tool keeps clear of the jaws where it runs out into the bore.", name(drawing, *bore))
        }
        Held::Screwed { thread } => {
            format!("Turn the threaded stub in the chuck by its own sheet and leave it there; screw the work on by {} until it bears all round. The cut tightens it: never run the spindle backwards.", name(drawing, *thread))
        }
        Held::Faceplate { bore } => {
            format!("On the faceplate, the faced end flat against it on packing that the tool may pass over, two clamps at least; tap it until an indicator in {} shows no more than 0.02 mm over one turn, then tighten. Balance it with a weight opposite. Where a clamp lies in the way of the facing cut, face what is free, then move one clamp at a time while the others hold, and face the rest.", name(drawing, *bore))
        }
        Held::OffsetCentres { section } => {
            format!("Between the pair of centre holes drilled for {}, {} off the axis, the {} end at the tailstock: a carrier on the other end, its screw on soft packing, and a weight opposite on the driving plate. Begin at the lowest speed; feel that the work turns freely without shake.", name(drawing, *section), mm(setup.throw_of(*section)), setup.holding.up.word())
        }
        Held::WholeBar => {
            "The length sawn from the bar on end against a vee in the vice, or in a vee block clamped upright, tried with a square both ways; the same side of the bar, marked along its length, towards you for both ends.".into()
        }
        Held::FourJaw { on, section } => {
            let whole = if casting(drawing) { "The casting" } else { "The bar" };
            let gripped = on.map_or(whole.to_owned(), |id| format!("By {}, soft packing under the jaws,", name(drawing, id)));
            format!("{gripped} set over by {} in the four-jaw chuck, so that the axis of {} runs true: set it by the indicator as below, the throw lying as drawn. Weigh the chuck's balance and begin slowly.", mm(setup.throw_of(*section)), name(drawing, *section))
        }
        Held::Packed { on, section } => {
            let whole = if casting(drawing) { "the casting" } else { "the bar" };
            let gripped = on.map_or(whole.to_owned(), |id| name(drawing, id).to_owned());
            format!("In the three-jaw chuck by {gripped}, packing of the thickness below under one jaw, as wide as the jaw and bent to the round: {} off centre, so that the axis of {} runs true and the throw lies as drawn. Shim it until the indicator reads as below; the packing must not be able to fly: tie it, tighten all three, begin slowly.", mm(setup.throw_of(*section)), name(drawing, *section))
        }
        Held::Upright { on } => {
            format!("On end in a chuck bolted to the table, by {}, soft packing under the jaws; clock the section upright.", name(drawing, *on))
        }
        Held::DividingHead { on } => {
            format!("Along X in the chuck of the dividing head, by {}; clock the work level along X and true.", setup.part.held_round(*on))
        }
        Held::Indexed { on } => {
            format!("Along X in a chuck on the rotary table, which stands on its edge, by {}; clock the work level along X and true.", setup.part.held_round(*on))
        }
        Held::ColletBlock { on, sides } => {
            let block = if *sides == 6 { "hexagon" } else { "square" };
            format!("In a {block} collet block by {}, the block in the vice against a stop, the axis along X; turn the block side by side for each flat.", setup.part.held_round(*on))
        }
        Held::VeeBlock { on } if as_bar(drawing, *on) => {
            format!("In the vice by the flats of {}, the axis along X.", name(drawing, *on))
        }
        Held::VeeBlock { on } => format!("Lying in a vee block on {}, clamped, the axis along X.", name(drawing, *on)),
        Held::FilingButtons if !matches!(setup.holding.located, Located::Bore(_)) => {
            "Between its two plain buttons, one stuck to each face, the sandwich across them in the bench vice.".into()
        }
        Held::FilingButtons => "The boss between its two filing buttons, bolted through, the sandwich in the bench vice.".into(),
        Held::BenchVice => "In the bench vice between soft jaws.".into(),
        Held::Bench => "Flat on the bench.".into(),
    }
}

/// What to pick up.
pub fn located(setup: &Setup) -> String {
    if let Some(top) = setup.top() {
        return format!("From the edges of {}: nothing of its own is picked up.", top.part);
    }
    match setup.holding.located {
        Located::Edges(..) if setup.holding.held == Held::Bench => {
            format!("From {}, with square and rule or a height gauge.", setup.datum_words())
        }
        Located::Edges(..) => format!("From {}: pick both up with the edge finder.", setup.datum_words()),
        Located::Bore(id) => format!("From the centre of {}.", name(setup.part.drawing, id)),
        Located::TwoBores(..) if setup.table_centre().is_some() => format!(
            "From {}, which lies over the middle of the rotary table.",
            setup.datum_words()
        ),
        Located::TwoBores(..) => format!("From {}.", setup.datum_words()),
        Located::EndAndAxis(face) if !setup.job.bench.mills && setup.holding.machine != Machine::Lathe => {
            format!("At centres scribed from the {} end and on the line of the axis, and punched.", face.word())
        }
        Located::EndAndAxis(face) => format!("From the {} end: lengths count from its face.", face.word()),
        Located::Marked(id) if setup.holding.held == Held::FilingButtons => format!(
            "By the centre of {}, marked and punched on both faces.",
            name(setup.part.drawing, id)
        ),
        Located::Marked(id) if setup.holding.machine == Machine::BenchVice => {
            format!("By the scribed circle of {}.", name(setup.part.drawing, id))
        }
        Located::Marked(id) => format!(
            "From the centre of {}, marked out on the casting: no face is cut yet to work from.",
            name(setup.part.drawing, id)
        ),
        Located::SawnBlank if casting(setup.part.drawing) => {
            "Nothing is cut yet: by rule from the casting, its lumps and slants evened out.".into()
        }
        Located::SawnBlank => "Nothing is finished yet: by rule from the sawn blank.".into(),
        Located::Punched => "Each hole at its own centre, marked out and punched.".into(),
        Located::Line if setup.holding.held == Held::PressurePads => {
            "To a circle scribed round the middle of the disc, which lies as far from the squared edges as row 1 says.".into()
        }
        Located::Line if setup.holding.held == Held::FilingButtons => {
            "By both sides that the rounding joins: each button flush with them, by a straight edge.".into()
        }
        Located::Line => "To the scribed line.".into(),
        Located::Nothing => "Nothing needs positioning here.".into(),
    }
}

/// Whether a part is made from a casting.
pub fn casting(drawing: &Drawing) -> bool {
    drawing.stock.as_ref().is_some_and(|stock| stock.form == Form::Casting)
}

/// `1 right hand and 1 left hand`, `3 off`.
pub fn wanted(drawing: &Drawing) -> String {
    match drawing.hands.as_slice() {
        [Hand::Neither] => format!("{} off", drawing.make),
        hands => {
            hands.iter().map(|h| format!("{} {}", drawing.make, h.words())).collect::<Vec<_>>().join(" and ")
        }
    }
}

/// What else to know in a setup: what it takes away for good, and how a drill
/// starts on a round.
pub fn notes(setup: &Setup, steps: &[&Step]) -> Vec<String> {
    let index = setup.number - 1;
    let mut notes = setup.job.order.held_for.get(index).cloned().unwrap_or_default();
    notes.extend(setup.joint().map(joints::note));
    notes.extend(setup.to_scribe(steps));
    let lost_before = |loss: &Loss| {
        let earlier = setup.job.order.steps.iter().filter(|step| step.setup < index);
        earlier.flat_map(|step| &step.takes_away).any(|known| known == loss)
    };
    for step in steps {
        // What one step takes away goes by one name: the first says enough.
        let Some(Loss { what, because }) = step.takes_away.iter().find(|loss| !lost_before(loss)) else {
            continue;
        };
        // Both hands lose the same thing: say it once.
        let what = what.replace(" of the right hand", "").replace(" of the left hand", "");
        let note = format!("Afterwards there is no {what}: {because}.");
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    for step in steps {
        let (Some(id), Some(tip)) = (step.feature, rows_hole::tip(setup, step)) else { continue };
        for (met, metal) in setup.part.in_the_way(id) {
            if tip > metal {
                notes.push(format!(
                    "The drill for {} comes out in {} after {} mm: ease off there, and take the burr out of {1}.",
                    name(setup.part.drawing, id),
                    name(setup.part.drawing, met),
                    metal.decimals(1)
                ));
            }
        }
    }
    let round =
        matches!(setup.part.drawing.body, Body::Bosses { .. } | Body::Outline { .. } | Body::Disc { .. });
    let across = steps.iter().any(|step| matches!(step.work, Work::Drill { .. }));
    if round && across && !setup.frame.in_plan() && setup.holding.machine == Machine::Mill {
        notes.push(
            "A drill runs off a round: mill a small flat first, which also seats the head of the screw."
                .into(),
        );
        let drilled = steps.iter().filter(|step| matches!(step.work, Work::Drill { .. }));
        for id in drilled.filter_map(|step| step.feature) {
            let below = setup.below_top(id);
            if below >= Length::mm(1) {
                notes.push(format!(
                    "Depths count from the very top of the round: {} is met {} mm lower.",
                    name(setup.part.drawing, id),
                    below.decimals(1)
                ));
            }
        }
    }
    notes
}
