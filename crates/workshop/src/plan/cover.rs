//! The cover: what the part is, what to have ready, what has changed, in what order.

use super::blanks::{self, section_words};
use super::changes::changes;
use super::frame::Blank;
use super::job::Job;
use super::sheet::{AidSheet, Cover, OrderLine, Ready, ReadyState, Trap};
use super::{cautions, lots, words};
use crate::bench::Bench;
use crate::drawing::solid::{THIN, thin_walls};
use crate::drawing::{Body, Form, Part, Pressure, hands};
use crate::metric::{self, Owned};
use crate::order::Work;
use crate::order::work::Tool;
use crate::settings::show::{self, mm, practice};
use crate::why::{Figure, Why, capital};

/// Writes the cover.
pub fn cover(job: &Job, aids: &[AidSheet]) -> Cover {
    let drawing = job.part.drawing;
    let mut assumed: Vec<String> = Vec::new();
    for words in
        [&drawing.assumed, &job.bench.assumed, &job.metric.assumed, &job.order.assumed].into_iter().flatten()
    {
        if !assumed.contains(words) {
            assumed.push(words.clone());
        }
    }
    let mut general = Vec::new();
    if drawing.pressure == Pressure::Holds {
        general.push(cautions::PRESSURE.to_owned());
    }
    general.extend(opposite_hand(job.part));
    general.extend(held_besides(job.part));
    general.extend(thin(job.part));
    if drawing.harden.is_some() {
        general.push(cautions::HARDENED.to_owned());
    }
    general.extend(drawing.dimensions.iter().filter_map(|dimension| dimension.loose.clone()));
    general.push(cautions::GENERAL.to_owned());
    Cover {
        part: drawing.name.clone(),
        wanted: wanted(job),
        sheet: drawing.sheet.clone(),
        material: material(job),
        blank: blank(job),
        ready: ready(job, aids),
        changes: changes(drawing, job.metric),
        order: order(job),
        minutes: job.order.minutes * u64::from(job.order.times),
        traps: job
            .order
            .traps
            .iter()
            .map(|t| Trap { early: t.early.clone(), lost: t.lost.clone() })
            .collect(),
        left: drawing.left.iter().map(|left| sentence(&left.words(drawing))).collect(),
        assumed,
        cautions: general,
        proofs: vec![
            format!("The sizes: {}.", job.metric.proven.trim_end_matches('.')),
            format!("The order: {}", job.order.proof.sentence),
        ],
    }
}

/// What the drawing holds square, parallel, flat or true.
fn held_besides(part: &Part) -> Option<String> {
    let all: Vec<String> = part.drawing.geometrical.iter().map(|one| one.words(part.drawing)).collect();
    (!all.is_empty()).then(|| format!("Besides its sizes the drawing holds {}.", all.join("; ")))
}

/// What to know of two hands: that they are one part, or what does not flip.
fn opposite_hand(part: &Part) -> Option<String> {
    if part.drawing.hands.len() < 2 {
        return None;
    }
    let count = part.drawing.make as usize * part.drawing.hands.len();
    let hands = hands(part);
    let words = hands.same_words().map(|words| format!("{words}: make {count} alike"));
    Some(sentence(&words.unwrap_or_else(|| {
        let threads = if part.drawing.threads.is_empty() { "" } else { "; threads do not flip" };
        format!("the opposite hand is the mirror image, left for right{threads}")
    })))
}

fn sentence(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!("{}.", capital(words)) }
}

/// How many thin walls the cover names.
const THIN_NAMED: usize = 3;

/// The thin walls of the metric part, the thinnest first.
fn thin(part: &Part) -> Option<String> {
    let walls = thin_walls(part);
    let named: Vec<String> = walls.iter().take(THIN_NAMED).map(|wall| wall.words(part)).collect();
    let more = match walls.len().saturating_sub(THIN_NAMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    (!named.is_empty()).then(|| format!("Thin walls: {}{more}. Thin here: {THIN}.", named.join("; ")))
}

/// How many, and how often the sheets are gone through for them.
fn wanted(job: &Job) -> String {
    let wanted = words::wanted(job.part.drawing);
    let at_once = job.order.setups.iter().map(|setup| setup.pieces.count()).max().unwrap_or(1);
    let wanted = match job.order.times {
        2.. if at_once > 1 => format!("{wanted}, {at_once} at a time at most"),
        _ => wanted,
    };
    match job.order.times {
        1 => wanted,
        2 => format!("{wanted}: go through all the setups twice"),
        times => format!("{wanted}: go through all the setups {times} times"),
    }
}

/// What it is made from, and what is cut from which bar.
fn material(job: &Job) -> Figure {
    let name = job.material.name.clone();
    let (shown, why) = match &job.metric.stock {
        Some(choice) => {
            let buy = if choice.owned == Owned::Buy { " (to buy)" } else { "" };
            (format!("{name}, {}{buy}", section_words(&choice.stock)), choice.why.clone())
        }
        None => (name, Why::new("the drawing's own material and size").source("the drawing")),
    };
    let (shown, why) = match &job.part.drawing.stock {
        Some(given) => {
            let said = Why::new(format!("the file names {} (line {})", given.words(), given.line));
            (format!("{shown}, from {}", given.words()), why.because(said))
        }
        None => (shown, why),
    };
    Figure::new("cover: material", shown, why)
}

/// What to saw off.
fn blank(job: &Job) -> Figure {
    let pieces = blanks::pieces(job);
    let count = if pieces == 1 { "1 piece".to_owned() } else { format!("{pieces} pieces") };
    let name = "cover: saw off";
    if let Some(casting) = job.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting) {
        let cut: Vec<&str> = casting.machined.iter().map(|face| face.word()).collect();
        let turned = matches!(job.part.drawing.body, Body::Turned { .. });
        let off = |faces: &str| format!("{} to come off: {faces}", mm(casting.left_on()));
        let cut = match cut.is_empty() {
            true if turned => off("all over"),
            true => "which stays as cast".to_owned(),
            false => off(&cut.join(", ")),
        };
        let castings = if pieces == 1 { "1 casting".to_owned() } else { format!("{pieces} castings") };
        let why = practice("look it over for holes and hard spots, and mark it out before anything is cut");
        return Figure::new(name, format!("{castings}, {cut}"), why);
    }
    let Some(sawn) = blanks::sawn(job) else {
        let blank = Blank::of(job.part);
        let shown = format!("{count} to hold {} × {}", mm(blank.width()), mm(blank.height()));
        return Figure::new(
            name,
            shown,
            Why::assumed("neither the drawing nor the choice says what it is sawn from")
                .because(practice("round work keeps at least 2 mm of margin inside its squared edges")),
        );
    };
    let shown = match sawn.width {
        None => match blanks::stick(job) {
            Some(stick) => format!(
                "{count} of bar {} long; or one stick of {} that goes through the spindle, from which all are turned and \
                 parted one after another before their other ends are",
                mm(sawn.length),
                mm(stick)
            ),
            None => format!("{count} of bar {} long, or work from the whole bar", mm(sawn.length)),
        },
        Some(width) => format!("{count} {} × {}", mm(sawn.length), mm(width)),
    };
    Figure::new(name, shown, sawn.why)
}

/// Tools, gauges and aids, under headings.
fn ready(job: &Job, aids: &[AidSheet]) -> Vec<(String, Vec<Ready>)> {
    let mut tools: Vec<Ready> = Vec::new();
    for step in &job.order.steps {
        if matches!(step.tool, Tool::Adhesive | Tool::Warmth)
            && tools.iter().any(|t| t.what == "adhesive and clamps")
        {
            continue;
        }
        let state = if owned(job.bench, &step.tool) { ReadyState::Owned } else { ReadyState::Buy };
        let what = match &step.tool {
            Tool::Adhesive | Tool::Warmth => "adhesive and clamps".to_owned(),
            Tool::EndMill(mill) if state == ReadyState::Buy => {
                format!("{}, {} teeth", metric::mill_as_bought(mill), mill.teeth)
            }
            tool => tool.words(),
        };
        if !tools.iter().any(|t| t.what == what) {
            tools.push(Ready { what, state });
        }
    }
    if job.order.steps.iter().any(|step| matches!(step.work, Work::Drill { .. }))
        && !tools.iter().any(|t| t.what == Tool::CentreDrill.words())
    {
        tools.insert(0, Ready { what: Tool::CentreDrill.words(), state: ReadyState::Owned });
    }
    // What metrication wants bought and no step names: a bar for a mate, say.
    for buy in &job.metric.purchases {
        let named = job.order.steps.iter().any(|step| bought_as(&step.tool).as_ref() == Some(&buy.what));
        if !named {
            tools.push(Ready { what: format!("{} ({})", buy.what, buy.because), state: ReadyState::Buy });
        }
    }
    let mut groups = vec![("Tools".to_owned(), tools), ("To measure with".to_owned(), gauges(job))];
    if !aids.is_empty() {
        let kept = |aid: &&AidSheet| job.bench.keeps(&aid.own.kept_as);
        let named = |state| move |aid: &AidSheet| Ready { what: aid.name.clone(), state };
        let drawer: Vec<Ready> = aids.iter().filter(kept).map(named(ReadyState::Owned)).collect();
        let make: Vec<Ready> = aids.iter().filter(|aid| !kept(aid)).map(named(ReadyState::Make)).collect();
        for (heading, aids) in [("From the drawer", drawer), ("To make first", make)] {
            if !aids.is_empty() {
                groups.push((heading.to_owned(), aids));
            }
        }
    }
    groups
}

/// What metrication calls a tool among the things to buy.
fn bought_as(tool: &Tool) -> Option<String> {
    match tool {
        Tool::Drill(drill) => Some(metric::drill_name(drill)),
        Tool::Reamer(reamer) => Some(metric::reamer_name(reamer)),
        Tool::EndMill(mill) => Some(metric::mill_as_bought(mill)),
        Tool::Saw(saw) => Some(metric::saw_name(saw)),
        // Named alike on both lists.
        Tool::Tap(_) | Tool::Die(_) | Tool::TaperReamer(_) => Some(tool.words()),
        _ => None,
    }
}

fn gauges(job: &Job) -> Vec<Ready> {
    let have = |what: String| Ready { what, state: ReadyState::Owned };
    let mut gauges = vec![have("micrometer or caliper".into())];
    if !matches!(job.part.drawing.body, Body::Turned { .. }) {
        if job.bench.mills {
            gauges.push(have(format!("edge finder, tip {}", mm(job.bench.edge_finder))));
        }
        gauges.push(have("square".into()));
    }
    for step in &job.order.steps {
        if let Work::Ream { diameter, .. } | Work::Bore { diameter, .. } = &step.work {
            let what = format!("plug or pin {} to try the bore", show::bought_as(*diameter));
            if !gauges.iter().any(|g| g.what == what) {
                gauges.push(have(what));
            }
        }
    }
    gauges
}

/// Whether the bench has a tool.
fn owned(bench: &Bench, tool: &Tool) -> bool {
    match tool {
        Tool::Drill(drill) => bench.drills.iter().any(|d| d.diameter == drill.diameter),
        Tool::Reamer(reamer) => bench.reamers.contains(reamer),
        Tool::Die(thread) => bench.has_die(thread),
        Tool::Tap(thread) => bench.taps.iter().any(|tap| tap.is_cut_as(thread)),
        Tool::EndMill(mill) => bench.end_mills.contains(mill),
        Tool::TaperReamer(pin) => bench.taper_reamers.contains(pin),
        Tool::Broach(across) => bench.broaches.contains(across),
        Tool::Saw(saw) => bench.saws.contains(saw),
        Tool::BoringTool => bench.boring.is_some() || bench.lathe.is_some(),
        Tool::PilotedCounterbore(_) => false,
        // Ground from the piece of tool steel that is in every drawer.
        Tool::PlaningTool(_)
        | Tool::LatheTool
        | Tool::PartingTool
        | Tool::KnurlingTool { .. }
        | Tool::CentreDrill
        | Tool::Countersink(_)
        | Tool::File
        | Tool::HandSaw
        | Tool::Chisel
        | Tool::Scriber
        | Tool::Adhesive
        | Tool::Warmth
        | Tool::Bolts
        | Tool::Clamps
        | Tool::Screws
        | Tool::Lap { .. }
        | Tool::Chuck
        | Tool::Hearth => true,
    }
}

/// One line a setup.
pub(super) fn order(job: &Job) -> Vec<OrderLine> {
    job.order
        .setups
        .iter()
        .enumerate()
        .map(|(index, holding)| {
            let steps: Vec<_> = job.order.steps_in(index).map(|(_, step)| step).collect();
            let pieces = lots::pieces(job.part.drawing, holding);
            let title = words::title(job.part.drawing, holding);
            OrderLine {
                setup: index + 1,
                machine: holding.machine,
                title: if pieces.is_empty() { title } else { format!("{title} ({pieces})") },
                steps: steps.iter().map(|s| s.text.clone()).collect(),
                minutes: steps.iter().map(|s| s.minutes).sum(),
            }
        })
        .collect()
}
