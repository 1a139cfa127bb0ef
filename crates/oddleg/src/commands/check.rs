//! `check`: reads and solves, and says what is wrong or what was read.

use std::path::{Path, PathBuf};

use workshop::assembly::{self, Fitting, resolve};
use workshop::bench::Bench;
use workshop::drawing::solid::{Beside, SpaceWall, walls_in_space, weigh};
use workshop::drawing::{
    Axis, Check as Twice, Drawing, Feature, FeatureId, Given, Kind, Part, Role, Solved, across, across_one,
    hands, solve,
};
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::why::Figure;

use crate::answer::Answer;
use crate::args::listed;
use crate::project::{self, Project};

/// Checks a project or a part.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg check engine")]
pub struct Check {
    /// The folder of a project, a part file or a bench file
    path: PathBuf,
    /// Give every place to twelve decimals of a millimetre
    #[arg(long)]
    exact: bool,
}

/// How many of a part's walls are listed.
const WALLS_LISTED: usize = 8;

impl Check {
    /// Reads everything and says every fault, or what was read.
    pub fn run(&self) -> Outcome<Answer> {
        let project = project::open(&self.path)?;
        let mut faults = Vec::new();
        let mut answer = bench_read(Answer::new(format!("{} is in order", self.path.display())), &project);
        for drawing in &project.parts {
            match solve(drawing) {
                Err(more) => faults.extend(more),
                Ok(solved) => {
                    let part = Part::as_drawn(drawing, &solved);
                    faults.extend(part.wrong());
                    answer = part_read(answer, &part, self.exact);
                }
            }
        }
        if self.path.is_dir() {
            faults.extend(across(&project.parts));
            let said = project::assembly_of(&project::files(&self.path)?);
            let parts: Vec<&Drawing> = project.parts.iter().collect();
            match said.and_then(|said| resolve(said.as_ref(), &parts, &[])) {
                Ok(fitting) => answer = answer.lines("how it goes together", fitted(&fitting)),
                Err(more) => faults.extend(more),
            }
        } else if let [part] = &project.parts[..] {
            let (mut all, unread) = beside(&self.path)?;
            answer = answer.lines("other parts of the project", unread);
            all.insert(0, part.clone());
            faults.extend(across_one(&all, part));
        }
        if faults.is_empty() { Ok(answer) } else { Err(faults) }
    }
}

/// The other parts of the project of a part file, and what is said of those that cannot
/// be read.
fn beside(path: &Path) -> Outcome<(Vec<Drawing>, Vec<String>)> {
    let (mut parts, mut unread) = (Vec::new(), Vec::new());
    for file in project::files(path)?.beside {
        match project::read_part(&file) {
            Ok(part) => parts.push(part),
            Err(faults) => {
                let first = faults.first().map_or("", Problem::what);
                unread.push(format!("{} cannot be read: {first}", file.display()));
            }
        }
    }
    Ok((parts, unread))
}

/// What the assembly file says, in counts; nothing where there is none.
fn fitted(fitting: &Fitting) -> Vec<String> {
    let count = |is: fn(&assembly::Kind) -> bool, one: &str, many: &str| match fitting
        .tasks
        .iter()
        .filter(|task| !task.said.supposed && is(&task.kind))
        .count()
    {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{count} {many}")),
    };
    let counts = [
        count(|kind| matches!(kind, assembly::Kind::Join { .. }), "join", "joins"),
        count(|kind| matches!(kind, assembly::Kind::Work(_)), "work in assembly", "works in assembly"),
        count(|kind| matches!(kind, assembly::Kind::Heat(_)), "heat treatment", "heat treatments"),
        count(|kind| matches!(kind, assembly::Kind::Aid { .. }), "aid", "aids"),
    ];
    let said: Vec<String> = counts.into_iter().flatten().collect();
    if said.is_empty() { Vec::new() } else { vec![listed(&said)] }
}

/// What the bench file says, in counts, and what was supposed.
fn bench_read(answer: Answer, project: &Project) -> Answer {
    let bench = &project.bench;
    let file = project.bench_file.as_ref().map_or("no bench file".to_owned(), |f| f.display().to_string());
    answer
        .lines(format!("{} ({file})", bench.name), owned(bench))
        .lines("assumed of the bench", bench.assumed.clone())
}

fn owned(bench: &Bench) -> Vec<String> {
    let counts = [
        (bench.drills.len(), "drill", "drills"),
        (bench.reamers.len(), "reamer", "reamers"),
        (bench.taps.len(), "tap", "taps"),
        (bench.end_mills.len(), "end mill", "end mills"),
        (bench.saws.len(), "saw", "saws"),
        (bench.collets.len(), "collet", "collets"),
        (bench.stock.len(), "bar or flat in the rack", "bars and flats in the rack"),
    ];
    let tools: Vec<String> = counts
        .iter()
        .map(|&(count, one, many)| if count == 1 { format!("1 {one}") } else { format!("{count} {many}") })
        .collect();
    let mut machines = vec!["a mill"];
    machines.extend(bench.lathe.is_some().then_some("a lathe"));
    machines.extend(bench.rotary_table.is_some().then_some("a rotary table"));
    machines.extend(bench.boring.is_some().then_some("a boring head"));
    vec![listed(&machines), listed(&tools)]
}

/// What a part file says: features, checks, walls, and what was supposed.
fn part_read(answer: Answer, part: &Part, exact: bool) -> Answer {
    let drawing = part.drawing;
    let name = &drawing.name;
    answer
        .lines(format!("{name} ({})", drawing.file), said_of(drawing))
        .table(
            format!("{name}: features, places in mm from the datum"),
            &["feature", "kind", "from", "x", "y", "z", "size as written"],
            part.features().map(|(id, _)| feature_row(part, id, exact)).collect(),
        )
        .lines(format!("{name}: checks"), agreeing(part.solved))
        .table(
            format!("{name}: thinnest walls"),
            &["between", "and", "mm", "at x", "y", "z", ""],
            walls(part),
        )
        .figures(format!("{name}: volume and weight"), weight(part))
        .lines(format!("{name}: the opposite hand"), opposite(part))
        .lines(format!("{name}: look again at"), part.doubts().iter().map(doubt).collect())
        .lines(format!("{name}: assumed"), assumed(drawing))
}

fn said_of(drawing: &Drawing) -> Vec<String> {
    let hands: Vec<&str> = drawing.hands.iter().map(|hand| hand.words()).filter(|w| !w.is_empty()).collect();
    let of_each = if hands.is_empty() { String::new() } else { format!(" of each: {}", listed(&hands)) };
    let mut said = Vec::new();
    said.extend(drawing.sheet.clone());
    said.push(format!("make {}{of_each}", drawing.make));
    said.extend(drawing.material.as_ref().map(|material| format!("in {material}")));
    said.extend(drawing.mates.iter().map(|mate| {
        let with = &drawing.features[mate.with.0].name;
        format!("{} with {with}: {} fit", mate.name, mate.fit)
    }));
    said
}

/// A doubt on one line.
fn doubt(doubt: &Problem) -> String {
    let rest = [doubt.reason(), doubt.remedy()].into_iter().flatten().collect::<Vec<_>>().join("; ");
    format!("{} ({rest})", doubt.what())
}

fn feature_row(part: &Part, id: FeatureId, exact: bool) -> Vec<String> {
    let feature = part.feature(id);
    let shown = |at: Length| if exact { at.decimals(12) } else { at.shown(3) };
    let at = |axis| part.at(id, axis).map_or(String::new(), shown);
    vec![
        feature.name.clone(),
        feature.kind.word().to_owned(),
        cut_from(feature).to_owned(),
        at(Axis::X),
        at(Axis::Y),
        at(Axis::Z),
        sizes(part.drawing, id).join(", "),
    ]
}

/// The face that a feature is cut from; nothing for what is formed all round.
const fn cut_from(feature: &Feature) -> &'static str {
    match feature.kind {
        Kind::Boss { .. }
        | Kind::Corner { .. }
        | Kind::Section { .. }
        | Kind::Groove { .. }
        | Kind::Knurl { .. }
        | Kind::Flats { .. }
        | Kind::Chamfer { .. } => "",
        _ => feature.face.word(),
    }
}

/// The sizes of a feature as the drawing has them: `radius 7/16`.
fn sizes(drawing: &Drawing, id: FeatureId) -> Vec<String> {
    let kind = &drawing.features[id.0].kind;
    let threads = kind.thread().map(|thread| drawing.threads[thread.0].text.clone());
    let lengths = kind.sizes().into_iter().map(|size| {
        let dimension = &drawing.dimensions[size.0];
        let (_, what) = dimension.name.rsplit_once(": ").unwrap_or(("", &dimension.name));
        format!("{what} {}", dimension.written.text)
    });
    threads.into_iter().chain(lengths).collect()
}

fn agreeing(solved: &Solved) -> Vec<String> {
    let twice = |check: &Twice| format!("given twice and agrees: {}", check.statements.join("; "));
    solved.checks.iter().map(twice).collect()
}

/// What flips on the opposite hand, where both are wanted.
fn opposite(part: &Part) -> Vec<String> {
    if part.drawing.hands.len() < 2 {
        return Vec::new();
    }
    let hands = hands(part);
    let flips = hands.flips.iter().map(|flip| format!("flips: {}", flip.words()));
    let stays = hands.stays.iter().map(|words| format!("stays: {words}"));
    hands.same_words().into_iter().chain(flips).chain(stays).collect()
}

/// The thinnest walls, and every other that is thin.
fn walls(part: &Part) -> Vec<Vec<String>> {
    let row = |wall: &SpaceWall| {
        let [x, y, z] = wall.at[0].map(|at| at.decimals(2));
        let thin = if wall.is_thin() {
            format!("thin: below {}", wall.thin_below.decimals(2))
        } else {
            String::new()
        };
        let second = match wall.second {
            Beside::Feature(id) => part.feature(id).name.clone(),
            other => other.words(part),
        };
        vec![part.feature(wall.first).name.clone(), second, wall.thickness.decimals(2), x, y, z, thin]
    };
    let walls = walls_in_space(part);
    walls.iter().enumerate().filter(|(i, w)| *i < WALLS_LISTED || w.is_thin()).map(|(_, w)| row(w)).collect()
}

/// Volume and weight; nothing where the material is not known, which is a fault elsewhere.
fn weight(part: &Part) -> Vec<Figure> {
    weigh(part).map_or(Vec::new(), |weight| weight.figures())
}

/// What the reader supposed, the roles that the drawing does not give among it.
fn assumed(drawing: &Drawing) -> Vec<String> {
    let mut lines = drawing.assumed.clone();
    for role in [Role::Hold, Role::Suit, Role::Free] {
        let lengths = drawing.dimensions.iter().map(|d| (&d.name, d.role));
        let threads = drawing.threads.iter().map(|t| (&t.name, t.role));
        let named: Vec<&str> = lengths
            .chain(threads)
            .filter(|(_, given)| *given == (role, Given::Assumed))
            .map(|(name, _)| name.as_str())
            .collect();
        if !named.is_empty() {
            lines.push(format!("role {}: {}", role.word(), named.join("; ")));
        }
    }
    lines
}
