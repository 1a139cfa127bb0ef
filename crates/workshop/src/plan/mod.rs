//! The whole road: drawing and bench in, sheets out, every number with its why.
//!
//! Begin with the types of [`sheet`]: what is printed and shown.

mod again;
mod as_read;
mod balance;
mod beside;
mod blanks;
mod cautions;
mod changes;
mod clamps;
mod cover;
mod cutting;
mod frame;
mod gripped;
mod in_floor;
mod inches;
mod inspection;
mod job;
mod joints;
mod lies;
mod lots;
mod own_order;
mod past_the_end;
mod pieces;
mod presets;
mod rounds;
mod rows;
mod rows_bench;
mod rows_curved;
mod rows_edges;
mod rows_filed;
mod rows_hole;
mod rows_hollow;
mod rows_keyway;
mod rows_lathe;
mod rows_mill;
mod rows_outline;
mod rows_parted;
mod rows_press;
mod rows_rotary;
mod rows_slot;
mod rows_taper;
mod rows_thread;
mod rows_turned;
mod rows_wide;
mod sawing;
mod scene;
mod slides;
mod tailstock;
mod travel;
pub mod views;
mod words;

pub use crate::sheet;
pub use changes::changes;
pub(crate) use changes::with_unit;
pub use joints::{Lying, Sized, lay_together};
pub(crate) use own_order::with_own_order;
pub use rounds::Round;
pub use sawing::cutting_list;

use job::{Job, Setup};
use sheet::{AidSheet, Cover, Inspection, Overlay, Projection, SawnBlank, Scene, SetupSheet};
use views::{Lettering, views};

use crate::abreast::both;
use crate::aids::{aid_sheet_for, needed_by};
use crate::bench::Bench;
use crate::drawing::solid::broken_in_space;
use crate::drawing::{AsTurned, Drawing, Part, Solved, Source, Stated, solve};
use crate::metric::{MetricPart, material, metricate, turned_from_bar};
use crate::order::Held;
use crate::order::work::{Machine, Step};
use crate::order::{OrderOfWork, order_of_work};
use crate::problem::{Outcome, Problem};
use crate::tables::materials::Material;
use crate::why::Figure;

/// Works a drawing out on a bench, all the way to the sheets.
///
/// # Errors
///
/// Every fault of the first stage that has any: places that do not solve, what
/// is impossible, sizes that this bench cannot make, an order that does not
/// exist, settings out of reach.
pub fn plan(drawing: &Drawing, bench: &Bench) -> Outcome<Plan> {
    let solved = solve(drawing)?;
    let drawn = Part::as_drawn(drawing, &solved);
    // What is drawn asks nothing of what is chosen.
    let choose = || {
        told(drawn.wrong())?;
        metricate(drawing, &solved, bench)
    };
    let (as_drawn, metric) = both(|| AsDrawn::of(&drawn), choose);
    planned(&drawn, || as_drawn, &metric?, bench)
}

/// The faults found, if any.
fn told(faults: Vec<Problem>) -> Outcome<()> {
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// The places of a drawing that solves, and that a workshop could make as drawn.
///
/// # Errors
///
/// Every fault of its places, or what is impossible or wrong about the part.
pub fn possible(drawing: &Drawing) -> Outcome<Solved> {
    let solved = solve(drawing)?;
    told(Part::as_drawn(drawing, &solved).wrong())?;
    Ok(solved)
}

/// Works a part out whose metric sizes are chosen already, such as those that suit the
/// other parts of its project.
///
/// # Errors
///
/// Walls too thin in depth, an order that does not exist, settings out of reach.
pub fn plan_of(drawing: &Drawing, solved: &Solved, metric: &MetricPart, bench: &Bench) -> Outcome<Plan> {
    let drawn = Part::as_drawn(drawing, solved);
    planned(&drawn, || AsDrawn::of(&drawn), metric, bench)
}

/// The part as it is drawn, seen.
struct AsDrawn {
    /// With its dimensions as written.
    views: Vec<Scene>,
    /// To have the metric part laid over.
    beneath: Vec<Projection>,
}

impl AsDrawn {
    fn of(drawn: &Part) -> Self {
        Self { views: views(drawn, Lettering::AsWritten), beneath: views::beneath(drawn) }
    }
}

fn planned(
    drawn: &Part,
    as_drawn: impl FnOnce() -> AsDrawn + Send,
    metric: &MetricPart,
    bench: &Bench,
) -> Outcome<Plan> {
    let drawing = drawn.drawing;
    if drawing.source == Source::Bought {
        return Err(vec![
            Problem::new(format!("{} is bought in: nothing of it is made", drawing.name))
                .at(drawing.file.clone())
                .mend("take `bought = true` out of its file to have it planned"),
        ]);
    }
    let (material, _) = material(drawing).map_err(|fault| vec![fault.at(drawing.file.clone())])?;
    let part = with_metric(drawn, metric);
    // What is drawn asks nothing of the order of work.
    let draw = || {
        let AsDrawn { views: as_drawn, beneath } = as_drawn();
        (as_drawn, views(&part, Lettering::Metric), views::laid_over(drawn, beneath, &part))
    };
    let ((as_drawn, in_metric, overlay), ordered) =
        both(draw, || Ordered::of(&part, metric, bench, material));
    let Ordered { order, cover, setups, aids, inspection, blank } = ordered?;
    let figures = figures(&cover, &setups, &aids, &inspection);
    Ok(Plan {
        part: drawing.name.clone(),
        as_drawn,
        metric: in_metric,
        overlay,
        cover,
        setups,
        aids,
        inspection,
        blank,
        figures,
        rounds: rounds::rounds(&part, metric),
        together: joints::setups(drawing, &order),
        order,
    })
}

/// The order of work of a part and the sheets that follow from it.
struct Ordered {
    order: OrderOfWork,
    cover: Cover,
    setups: Vec<SetupSheet>,
    aids: Vec<AidSheet>,
    inspection: Inspection,
    blank: Option<SawnBlank>,
}

/// What is told of a disc that is turned from bar.
const FROM_BAR: &str = "a disc so small is turned from round bar and parted off: its front is the right end on these \
     sheets, its back the left one; `[stock]` in its file with `form = \"plate\"` has it cut from plate";

impl Ordered {
    fn of(part: &Part, metric: &MetricPart, bench: &Bench, material: &'static Material) -> Outcome<Self> {
        // The choice kept the walls in plan; here those in depth are looked at too.
        told(broken_in_space(part))?;
        let (order, turned) = ordered(part, metric, bench)?;
        match turned {
            Some(turned) => {
                Self::following(order, &turned.part(metric.sizes.clone()), metric, bench, material)
            }
            None => Self::following(order, part, metric, bench, material),
        }
    }

    fn following(
        order: OrderOfWork,
        part: &Part,
        metric: &MetricPart,
        bench: &Bench,
        material: &'static Material,
    ) -> Outcome<Self> {
        let job = Job { bench, part, metric, order: &order, material };
        let in_file = |fault: Problem| vec![fault.at(part.drawing.file.clone())];
        // An aid that is made as parts are has an order of work of its own.
        let (aids, setups) = both(|| aid_sheets(&job), || setup_sheets(&job));
        let (aids, setups) = (aids.map_err(in_file)?, setups.map_err(in_file)?);
        let mut cover = cover::cover(&job, &aids);
        for (line, (sheet, minutes)) in cover.order.iter_mut().zip(&setups).filter(|(_, (_, more))| *more > 0)
        {
            line.steps = sheet.rows.iter().map(|row| row.what.clone()).collect();
            line.minutes += minutes;
            cover.minutes += minutes * u64::from(order.times);
        }
        let setups: Vec<SetupSheet> = setups.into_iter().map(|(sheet, _)| sheet).collect();
        let inspection = inspection::inspection(&job);
        let blank = blanks::sawn(&job);
        Ok(Self { order, cover, setups, aids, inspection, blank })
    }
}

/// The order of work of a part with one wish more than its file says: for asking
/// whether `drill A before ream B` can be had, and what it costs.
///
/// # Errors
///
/// As [`order_of_work`]: what stands against it, and which of the things said to take back.
pub fn order_with(
    drawing: &Drawing,
    solved: &Solved,
    metric: &MetricPart,
    bench: &Bench,
    wish: &str,
) -> Outcome<OrderOfWork> {
    let mut drawing = drawing.clone();
    drawing.asked.wanted.push(Stated { text: wish.to_owned(), line: 0 });
    let part = Part::as_drawn(&drawing, solved).with_sizes(metric.sizes.clone());
    Ok(ordered(&part, metric, bench)?.0)
}

/// The order of work of a part, of a disc that bar makes as it is turned from there: then with its drawing too.
fn ordered(part: &Part, metric: &MetricPart, bench: &Bench) -> Outcome<(OrderOfWork, Option<AsTurned>)> {
    if let Some(turned) = turned_from_bar(part, metric, bench)
        && let Ok(mut order) = order_of_work(&turned.part(metric.sizes.clone()), metric, bench)
    {
        order.assumed.push(FROM_BAR.into());
        return Ok((order, Some(turned)));
    }
    Ok((order_of_work(part, metric, bench)?, None))
}

fn with_metric<'p>(drawn: &Part<'p>, metric: &MetricPart) -> Part<'p> {
    drawn.with_sizes(metric.sizes.clone())
}

/// The sheets of the aids, for the setups that use them.
fn aid_sheets(job: &Job) -> Result<Vec<AidSheet>, Problem> {
    let mut sheets = Vec::new();
    for aid in &job.order.aids {
        // What an aid needs is made before it is used.
        sheets.extend(needed_by(aid, &job.order.setups, job.part, job.metric, job.bench)?);
        sheets.push(aid_sheet_for(aid, &job.order.setups, job.part, job.metric, job.bench)?);
    }
    Ok(sheets.into_iter().map(|sheet| with_own_order(sheet, job.bench)).collect())
}

/// The sheets of the setups, and of each the minutes for moving its work along.
fn setup_sheets(job: &Job) -> Result<Vec<(SetupSheet, u64)>, Problem> {
    (0..job.order.setups.len()).map(|index| setup_sheet(&Setup::new(job, index))).collect()
}

fn setup_sheet(setup: &Setup) -> Result<(SetupSheet, u64), Problem> {
    let steps: Vec<&Step> = setup.job.order.steps_in(setup.number - 1).map(|(_, step)| step).collect();
    let mut keyed = rows::rows(setup, &rows::lines(&steps))?;
    let mut parted = again::parted(setup, &steps, &keyed)?;
    if let Some(parted) = &mut parted {
        keyed = std::mem::take(&mut parted.keyed);
    }
    let mut scene = scene::scene(setup, &keyed);
    let stage = scene::stage(setup);
    let numbers = parted.as_ref().map(|parted| parted.numbers.as_slice());
    let clamps = clamps::clamps(setup, &steps, numbers);
    // Clamps over the ends of what the jaws hold are not in the cutter's way up.
    let over = clamps.is_some() && setup.holding.held != Held::ViceOnParallels;
    setup.check_height(&steps, over)?;
    let mut presets = match setup.holding.machine {
        Machine::RotaryTable => rows_rotary::presets(setup),
        Machine::Mill => {
            let own = setup.presets().into_iter().chain(setup.presets_beside());
            let moves = !setup.slid.borrow().is_empty();
            let winding = setup.winding().filter(|_| moves);
            own.chain(gripped::presets(setup, &steps)).chain(winding).collect()
        }
        Machine::Lathe if setup.holding.held.set_over().is_some() => {
            setup.presets().into_iter().chain(balance::thrown(setup)).collect()
        }
        Machine::Lathe => match setup.holding.held {
            Held::PlateOnFaceplate { hole } => rows_press::clocked(setup, hole)
                .into_iter()
                .chain(balance::on_faceplate(setup, hole))
                .collect(),
            _ => Vec::new(),
        },
        Machine::DrillPress | Machine::BenchVice => Vec::new(),
    };
    let (mut held, mut notes) = (words::held(setup), words::notes(setup, &steps));
    let mut rows: Vec<_> = keyed.into_iter().map(|k| k.row).collect();
    if let Some(clamps) = clamps {
        presets.extend(clamps.presets(setup));
        clamps.mark(setup, &mut rows);
        clamps.draw(&mut scene);
        clamps.without(&mut held, &mut notes);
    }
    let starts = parted.as_ref().map_or(&[][..], |parted| &parted.starts);
    presets.extend(clamps::stack::screws(setup, (&steps, numbers), &mut rows, &mut scene));
    setup.check_slides(&rows, starts)?;
    notes.extend(setup.longer_than_the_travel(&steps));
    let mut minutes = 0;
    if let Some(parted) = parted {
        presets.extend(parted.first);
        notes.extend(parted.notes);
        minutes = parted.minutes;
    }
    let mut sheet = SetupSheet {
        number: setup.number,
        title: words::title(setup.part.drawing, &setup.holding),
        hands: lots::pieces(setup.part.drawing, &setup.holding),
        held,
        located: words::located(setup),
        presets,
        rows,
        scene,
        stage,
        cautions: cautions::cautions(&setup.holding, &steps, setup.job.material),
        notes,
    };
    setup.beside_inches(&mut sheet);
    Ok((sheet, minutes))
}

/// Every figure of the sheets, in the order they are met.
fn figures(cover: &Cover, setups: &[SetupSheet], aids: &[AidSheet], inspection: &Inspection) -> Vec<Figure> {
    let mut figures: Vec<Figure> = changes::figures(&cover.changes).collect();
    figures.extend([cover.material.clone(), cover.blank.clone()]);
    for setup in setups {
        figures.extend(setup.presets.iter().cloned());
        for row in &setup.rows {
            figures.extend(row.speed.iter().chain(&row.sets).chain(&row.depth).chain(&row.check).cloned());
        }
    }
    figures.extend(aids.iter().flat_map(|aid| aid.sizes.iter().cloned()));
    figures.extend(inspection.rows.iter().flat_map(|row| [row.size.clone(), row.reading.clone()]));
    figures
}

/// Everything worked out for one part, ready to print, show or ask about.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What the part is called.
    pub part: String,
    /// The first page.
    pub cover: Cover,
    /// The part as drawn, with its dimensions as written.
    pub as_drawn: Vec<Scene>,
    /// The metric part, with its dimensions.
    pub metric: Vec<Scene>,
    /// The metric part laid over the drawing, differences magnified.
    pub overlay: Overlay,
    /// One page a setup, in order of work.
    pub setups: Vec<SetupSheet>,
    /// The aids to make first.
    pub aids: Vec<AidSheet>,
    /// What to measure, with what, and what it should read.
    pub inspection: Inspection,
    /// What to saw off, where it is sawn.
    pub blank: Option<SawnBlank>,
    /// Every number that stands on a sheet, under a name that is its own:
    /// `rod bore: diameter`, `setup 3: offset from the table centre`.
    pub figures: Vec<Figure>,
    /// The order of work, for asking what may stand elsewhere.
    pub order: OrderOfWork,
    /// Its round features in metric, for plugs and bushes made to them.
    pub rounds: Vec<Round>,
    /// What is made while it lies with other parts, by the name that the project gives it, and
    /// in which of its setups, from nought; in order of work.
    pub together: Vec<(String, usize)>,
}

impl Plan {
    /// Why a step stands where it does, by its call, its number or the line on its sheet.
    ///
    /// # Errors
    ///
    /// The calls of steps that might have been meant, possibly none.
    pub fn step(&self, asked: &str) -> Result<Figure, Vec<&str>> {
        let at = self.order.step_named(asked)?;
        let step = &self.order.steps[at];
        let shown = format!("step {} of {}, setup {}", at + 1, self.order.steps.len(), step.setup + 1);
        Ok(Figure::new(step.call.clone(), shown, self.order.why_here(at)))
    }

    /// The figure a person asks about: by its own name, or by the only one whose
    /// name holds what was typed. Otherwise the names that come near.
    ///
    /// # Errors
    ///
    /// The names that might have been meant, possibly none.
    pub fn figure(&self, asked: &str) -> Result<&Figure, Vec<&str>> {
        let asked = asked.trim().to_lowercase();
        if let Some(exact) = self.figures.iter().find(|f| f.name.to_lowercase() == asked) {
            return Ok(exact);
        }
        let words: Vec<&str> = asked.split_whitespace().collect();
        // A size goes by its own name: its reading is meant only where that is said, and the size
        // beside the reading only where it is asked for as that.
        let reading = ["inspection", "reading"].iter().any(|word| asked.contains(word));
        let meant = if words.contains(&"size") { "size" } else { "reading" };
        let near: Vec<&Figure> = self
            .figures
            .iter()
            .filter(|f| {
                let name = f.name.to_lowercase();
                let inspected = name.starts_with("inspection, ");
                let beside = inspected && f.label() != meant;
                !words.is_empty()
                    && inspected == reading
                    && !beside
                    && words.iter().all(|word| name.contains(word))
            })
            .collect();
        match near.as_slice() {
            [only] => Ok(only),
            several => Err(several.iter().map(|f| f.name.as_str()).collect()),
        }
    }
}
