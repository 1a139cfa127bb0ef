//! The metric parts of a project, chosen as one, for the commands.
//!
//! A path goes in: a folder, or one part file of it. All parts of the project are
//! chosen together either way, so that every command shows the same sizes; only what
//! was asked for is worked out further and comes out. A part that cannot be made takes nothing else down with it.

use std::path::{Path, PathBuf};

use workshop::abreast::abreast;
use workshop::assembly::Fitting;
use workshop::bench::Bench;
use workshop::drawing::{Drawing, Solved, Source};
use workshop::linkage::{hold_sizes, look_up};
use workshop::make_list::{Made, make_list};
use workshop::metric::{Memory, MetricPart, Piece, some_together};
use workshop::plan::{Lying, Plan, Sized, lay_together, plan_of, possible};
use workshop::problem::{Outcome, Problem};
use workshop::sheet::MakeList;
use workshop::stack::Held;

use crate::{fitting, project};

/// What was chosen.
pub struct Chosen {
    /// What is owned.
    pub bench: Bench,
    /// The parts asked for that have their sizes.
    pub parts: Vec<ChosenPart>,
    /// What is wrong with those that have none.
    pub problems: Vec<Problem>,
    /// What is said of parts that were not asked for and cannot be had.
    pub besides: Vec<String>,
    /// Those of the whole project that have no sizes, by name or else by file.
    pub open: Vec<String>,
    /// How the parts go together, and every part that can be read, in its order; none where
    /// that is faulty, or one part alone was asked for.
    pub whole: Option<(Fitting, Vec<Drawing>)>,
    /// What is wrong with what is said of that, where something is.
    pub unfitted: Vec<Problem>,
}

/// One part with its sizes.
pub struct ChosenPart {
    /// What the file says.
    pub drawing: Drawing,
    /// The places on it.
    pub solved: Solved,
    /// Its sizes.
    pub metric: MetricPart,
}

/// A part as far as it came.
struct Read {
    file: PathBuf,
    asked: bool,
    drawing: Option<Drawing>,
    solved: Outcome<Solved>,
}

/// Chooses the sizes of the project at a path: its folder, or one part file of it.
///
/// # Errors
///
/// Every fault of the bench and, where no part that was asked for has its sizes, of
/// these parts.
pub fn chosen(path: &Path) -> Outcome<Chosen> {
    let files = project::files(path)?;
    let bench = project::bench_of(&files);
    let read = |file: &PathBuf, asked: bool| {
        let (drawing, solved) = match project::read_part(file) {
            Ok(drawing) => {
                let solved = possible(&drawing);
                (Some(drawing), solved)
            }
            Err(faults) => (None, Err(faults)),
        };
        Read { file: file.clone(), asked, drawing, solved }
    };
    let mut all: Vec<Read> = files.parts.iter().map(|file| read(file, true)).collect();
    all.extend(files.beside.iter().map(|file| read(file, false)));
    let bench = match bench {
        Ok(bench) => bench,
        Err(mut faults) => {
            faults.extend(
                all.into_iter().filter(|read| read.asked).filter_map(|read| read.solved.err()).flatten(),
            );
            return Err(faults);
        }
    };
    hold(&files, &mut all);
    let (mut parts, mut problems, mut besides) = (Vec::new(), Vec::new(), Vec::new());
    let mut unfitted = Vec::new();
    let mut fitting_of_all = Fitting::default();
    let mut whole = match fitted(&files, &mut all) {
        Ok(fitting) => {
            fitting_of_all = fitting.clone();
            let drawings = || all.iter().filter_map(|read| read.drawing.as_ref());
            // One part alone has nothing to be fitted to, unless the project says so.
            let wanted = path.is_dir() && (files.assembly.is_some() || drawings().count() > 1);
            wanted.then(|| (fitting, drawings().cloned().collect::<Vec<Drawing>>()))
        }
        Err(faults) => {
            problems.extend(faults.iter().cloned());
            unfitted = faults;
            None
        }
    };
    let good = || all.iter().filter_map(|read| Some((read.drawing.as_ref()?, read.solved.as_ref().ok()?)));
    let pieces: Vec<Piece> = good().map(|(drawing, solved)| Piece { drawing, solved }).collect();
    let wanted = with_those_beneath(&all, &fitting_of_all);
    let asked: Vec<bool> = all
        .iter()
        .zip(&wanted)
        .filter(|(read, _)| read.drawing.is_some() && read.solved.is_ok())
        .map(|(_, wanted)| *wanted)
        .collect();
    let metric = some_together(&pieces, |at| asked[at], &bench, &mut Memory::new());
    let laid = laid(&all, &fitting_of_all, &metric);
    problems.extend(laid.unlaid);
    if let Some((fitting, _)) = &mut whole {
        fitting.proposed = laid.proposed;
    }
    let mut joints = laid.joints.into_iter();
    let mut metric = metric.into_iter();
    let mut open = Vec::new();
    for read in all {
        let name = match &read.drawing {
            Some(drawing) => drawing.name.clone(),
            None => read.file.display().to_string(),
        };
        let own = read.drawing.is_some().then(|| joints.next()).flatten().unwrap_or_default();
        let outcome = read.solved.and_then(|solved| {
            let mut drawing = read.drawing.expect("what is solved was read");
            drawing.together = own;
            let metric = metric.next().expect("each part that was read has its place").transpose()?;
            Ok(metric.filter(|_| read.asked).map(|metric| ChosenPart { drawing, solved, metric }))
        });
        open.extend(outcome.is_err().then_some(name));
        match outcome {
            Ok(part) => parts.extend(part),
            Err(faults) if read.asked => problems.extend(faults),
            Err(faults) => besides.push(format!(
                "{} is left out, and what meets it is chosen without it: {}",
                read.file.display(),
                faults.first().map_or("", Problem::what)
            )),
        }
    }
    if parts.is_empty() && !problems.is_empty() {
        return Err(problems);
    }
    if let Some((fitting, drawings)) = &mut whole {
        let metric = |drawing: &Drawing| parts.iter().find(|part| part.drawing.file == drawing.file);
        let held = |drawing| Held { drawing, metric: metric(drawing).map(|part| &part.metric) };
        let held: Vec<Held> = drawings.iter().map(held).collect();
        look_up(fitting, project::MECHANISM_FILE, mechanism(&files).as_deref(), &held);
    }
    Ok(Chosen { bench, parts, problems, besides, open, whole, unfitted })
}

/// The text that says how the parts move, where there is one that can be read.
fn mechanism(files: &project::Files) -> Option<String> {
    files.mechanism.as_ref().and_then(|file| project::read_text(file).ok())
}

/// Holds the sizes that a mechanism of the project depends on.
fn hold(files: &project::Files, all: &mut [Read]) {
    let Some(text) = mechanism(files) else { return };
    told(all, |drawings, _| hold_sizes(drawings, project::MECHANISM_FILE, &text));
}

/// Tells the drawings that could be read something more of themselves; their places come with
/// them, where they have any.
fn told<T>(all: &mut [Read], tell: impl FnOnce(&mut [Drawing], &[Option<&Solved>]) -> T) -> T {
    let (mut read, solved): (Vec<&mut Drawing>, Vec<Option<&Solved>>) =
        all.iter_mut().filter_map(|read| Some((read.drawing.as_mut()?, read.solved.as_ref().ok()))).unzip();
    let mut drawings: Vec<Drawing> = read.iter().map(|drawing| (**drawing).clone()).collect();
    let said = tell(&mut drawings, &solved);
    read.iter_mut().zip(drawings).for_each(|(read, told)| **read = told);
    said
}

/// Which parts are worked out for those that are asked for: these, and those that lie on them while
/// their holes are made.
fn with_those_beneath(all: &[Read], fitting: &Fitting) -> Vec<bool> {
    // The parts of the fitting are those that can be read, in order.
    let read: Vec<usize> = (0..all.len()).filter(|&n| all[n].drawing.is_some()).collect();
    let mut wanted: Vec<bool> = all.iter().map(|read| read.asked).collect();
    for together in &fitting.together {
        let parts: Vec<usize> =
            together.parts.iter().filter_map(|(part, _)| read.get(*part).copied()).collect();
        if parts.iter().any(|&n| all[n].asked) {
            parts.into_iter().for_each(|n| wanted[n] = true);
        }
    }
    wanted
}

/// How the parts lie whose holes are made in one setup, of each that can be read; what of it is
/// not so.
fn laid(all: &[Read], fitting: &Fitting, metric: &[Option<Outcome<MetricPart>>]) -> Lying {
    let mut sizes = metric.iter();
    let mut parts = Vec::new();
    for read in all {
        let Some(drawing) = &read.drawing else { continue };
        let Ok(solved) = &read.solved else {
            parts.push(None);
            continue;
        };
        let metric = sizes.next().and_then(|one| one.as_ref()?.as_ref().ok());
        parts.push(metric.map(|metric| Sized { drawing, solved, metric }));
    }
    lay_together(fitting, &parts)
}

/// How the parts that can be read go together; each is told what of it is left for assembly.
fn fitted(files: &project::Files, all: &mut [Read]) -> Outcome<Fitting> {
    let unread = all.iter().filter(|read| read.drawing.is_none());
    let unread: Vec<String> = unread.map(|read| read.file.display().to_string()).collect();
    told(all, |drawings, solved| fitting::fitted(project::assembly_of(files), drawings, solved, &unread))
}

/// Works out every part asked for, each with its file; what is wrong with the others
/// comes with them.
///
/// # Errors
///
/// As [`chosen`].
pub fn plans(path: &Path) -> Outcome<Planned> {
    plans_of(&chosen(path)?)
}

/// The same of what was chosen already.
///
/// # Errors
///
/// What is wrong with every part, where none can be planned.
pub fn plans_of(chosen: &Chosen) -> Outcome<Planned> {
    let mut planned = Planned {
        plans: Vec::new(),
        problems: chosen.problems.clone(),
        besides: chosen.besides.clone(),
        make_list: None,
        bench: chosen.bench.clone(),
    };
    let several = chosen.parts.len() > 1;
    // Among others a bought part is only passed over; asked for alone, it is said why.
    let passed_over = |part: &&ChosenPart| several && part.drawing.source == Source::Bought;
    let (bought, made_here): (Vec<_>, Vec<_>) = chosen.parts.iter().partition(passed_over);
    planned.besides.extend(
        bought.iter().map(|part| format!("{} is bought in: nothing of it is made", part.drawing.name)),
    );
    let plans = abreast(&made_here, |part| plan_of(&part.drawing, &part.solved, &part.metric, &chosen.bench));
    for (part, plan) in made_here.into_iter().zip(plans) {
        match plan {
            Ok(mut plan) => {
                fitting::warn(&mut plan, &chosen.unfitted);
                planned.plans.push((PathBuf::from(&part.drawing.file), plan));
            }
            Err(faults) => planned.problems.extend(faults),
        }
    }
    if planned.plans.is_empty() && !planned.problems.is_empty() {
        return Err(planned.problems);
    }
    if let Some((fitting, drawings)) = &chosen.whole {
        match make_list(&made(drawings, &planned), fitting, &chosen.bench) {
            Ok(list) => {
                for (file, plan) in &mut planned.plans {
                    list.tell(&file.display().to_string(), &mut plan.aids);
                }
                planned.make_list = Some(list);
            }
            Err(faults) => planned.problems.extend(faults),
        }
    }
    Ok(planned)
}

/// Every part with its plan, or why it has none.
fn made<'a>(drawings: &'a [Drawing], planned: &'a Planned) -> Vec<Made<'a>> {
    let part = |drawing: &'a Drawing| {
        let own = |file: &Path| file == Path::new(&drawing.file);
        let plan = planned.plans.iter().find(|(file, _)| own(file)).map(|(_, plan)| plan);
        let fault = planned.problems.iter().find(|fault| fault.place().starts_with(&drawing.file));
        Made { drawing, plan, fault }
    };
    drawings.iter().map(part).collect()
}

/// Parts worked out all the way.
pub struct Planned {
    /// Each with the file it came from.
    pub plans: Vec<(PathBuf, Plan)>,
    /// What is wrong with those asked for that are not among them.
    pub problems: Vec<Problem>,
    /// What is said of parts that were not asked for and cannot be had.
    pub besides: Vec<String>,
    /// What to make and fit in which order, where a whole project was asked for.
    pub make_list: Option<MakeList>,
    /// What is owned.
    pub bench: Bench,
}
