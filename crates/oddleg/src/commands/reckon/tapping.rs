//! `reckon tapping`.

use workshop::problem::{Outcome, Problem};
use workshop::settings::tapping::{self, Depth};
use workshop::tables::drills::{self, Drill};
use workshop::tables::materials;
use workshop::tables::threads::{self, Basis, Percent, Thread};
use workshop::why::{Figure, Why};

use super::one;
use super::supposed::Given;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for a tapping drill.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon tapping \"7 BA\" --percent 65 --basis \"full depth\"
  oddleg reckon tapping M3 --percent 65 --basis \"sharp vee\" --in brass --through 6mm --bench engine")]
pub struct Tapping {
    /// The thread: `M3`, `7 BA`, `1/4 BSW`
    thread: String,
    /// Percent of thread to aim at
    #[arg(long, value_name = "P", value_parser = clap::value_parser!(u32).range(1..=100))]
    percent: u32,
    /// Percent of what: `internal height`, `external depth`, `sharp vee` or `full depth`
    #[arg(long)]
    basis: Option<String>,
    /// The material tapped, for depths and cautions
    #[arg(long = "in", value_name = "MATERIAL", requires = "depth")]
    material: Option<String>,
    /// Right through metal of this thickness
    #[arg(long, value_name = "SIZE", group = "depth", requires = "material")]
    through: Option<String>,
    /// Blind, with this much full thread
    #[arg(long, value_name = "SIZE", group = "depth", requires = "material")]
    blind: Option<String>,
    #[command(flatten)]
    bench: BenchArg,
}

impl Tapping {
    /// Reckons it: the hole and the nearest drill, and the depths where the metal
    /// is known.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let basis = match &self.basis {
            Some(name) => Some(Basis::find(name).map_err(|fault| one(fault.at("--basis")))?),
            None => None,
        };
        let owned = self.bench.drills()?;
        let metal = self.metal()?;
        let usual = thread.form().workshop_basis();
        // A form with one basis leaves nothing to suppose.
        let other = thread.form().bases().iter().copied().find(|&other| other != usual && basis.is_none());
        let said = Given::said(basis.unwrap_or(usual));
        let given = other.map_or(said, |other| {
            let statement = format!("the percent is of {}: say yours with `--basis`", usual.name());
            Given::supposing(usual, other, statement)
        });
        let percent = |basis| Percent::new(i128::from(self.percent), basis);
        let aim = percent(given.value);
        let with = |drills: &[Drill], aim| match metal {
            Some((material, depth)) => Ok(tapping::tapping(thread, aim, drills, depth, material)?.figures()),
            None => hole(thread, aim, drills),
        };
        let figures = given.reckon(|basis| with(&owned.drills, percent(basis)));
        let figures = figures.map_err(|fault| self.bench.blamed(fault, |drills| with(drills, aim)))?;
        Ok(Answer::new(format!("tapping {}, {aim}", thread.designation))
            .figures("", figures)
            .lines("chosen from", vec![owned.said]))
    }

    /// The metal that is tapped and how deep, where that was said.
    fn metal(&self) -> Outcome<Option<(&'static materials::Material, Depth)>> {
        let depth = match (&self.through, &self.blind) {
            (Some(text), _) => Depth::Through(args::size("--through", text).map_err(one)?),
            (None, Some(text)) => Depth::Blind(args::size("--blind", text).map_err(one)?),
            (None, None) => return Ok(None),
        };
        let Some(name) = &self.material else { return Ok(None) };
        let material = materials::find(name).map_err(|fault| one(fault.at("--in")))?;
        Ok(Some((material, depth)))
    }
}

/// The hole for a percent of thread and the drill nearest to it, where nothing is
/// known of the metal.
fn hole(thread: &Thread, aim: Percent, drills: &[Drill]) -> Result<Vec<Figure>, Problem> {
    let hole = thread.drill_for(aim)?;
    let said = Why::new(format!("{aim} of {}", thread.designation)).source(thread.source.to_string());
    let serving: Vec<Drill> = drills
        .iter()
        .filter(|drill| thread.minor < drill.diameter && drill.diameter < thread.major)
        .cloned()
        .collect();
    let Some(drill) = drills::nearest(hole, &serving) else {
        return Err(Problem::new(format!("no drill serves to tap {}", thread.designation))
            .why(format!("it must lie between {} and {}", thread.minor, thread.major))
            .mend(format!("buy one of about {} mm", hole.shown(2))));
    };
    let leaves = thread.percent(drill.diameter, aim.basis)?;
    let nearest = Why::new("the drill nearest to that hole").source("common practice").because(said.clone());
    Ok(vec![
        Figure::new("hole", format!("{} mm", hole.shown(3)), said),
        Figure::new("nearest drill", format!("{}: {leaves}", drill.name), nearest),
    ])
}
