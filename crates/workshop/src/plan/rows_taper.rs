//! Rows that turn a taper: by the top slide, the tailstock or a ground tool.

use super::job::Setup;
use super::rows_lathe::{bar_diameter, cuts, diameter_before, shoulder};
use super::sheet::Row;
use crate::drawing::{Kind, SectionSize};
use crate::measure::{Angle, Length, Toward};
use crate::order::Held;
use crate::order::work::Step;
use crate::problem::Problem;
use crate::settings::measuring::sine_bar::sine_bar;
use crate::settings::position::rounding;
use crate::settings::show::{as_set, both_angles, geometry, mm, practice};
use crate::settings::taper::{Cone, set_over_figure, taper};
use crate::settings::taper_way::{Asked, Way, way};
use crate::tables::materials::Operation;
use crate::why::Figure;

/// Fills a row that turns a taper.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let (Some(lathe), Some(id)) = (&setup.job.bench.lathe, step.feature) else { return Ok(()) };
    let Kind::Section { size: SectionSize::Taper { left, right }, .. } = setup.part.feature(id).kind else {
        return Ok(());
    };
    let number = row.number;
    let from = diameter_before(setup, step, bar_diameter(setup));
    row.speed = setup.speed(number, Operation::Turning, from, &lathe.speeds);
    let centres = setup.holding.held == Held::Centres;
    let Some(asked) = Asked::of(&setup.part, id, lathe, centres) else { return Ok(()) };
    let (cone, work) = (asked.cone, asked.work);
    let Cone { large, small, .. } = cone;
    let (way, because) = way(asked)?;
    let set = taper(cone)?;
    let then = match way {
        Way::Ground => {
            "then the ground tool straight in, slowly and with oil, until the small end has its size"
        }
        Way::TopSlide => {
            "then along the taper with the top slide, a little at a time, until the small end has its size"
        }
        Way::Tailstock { .. } => {
            "then along with the carriage, a little deeper each time, until the small end has its size"
        }
        Way::InLengths { .. } => {
            "then along the taper, each length blended into the last with the lightest cuts, until the small end has its size"
        }
    };
    row.sets.push(Figure::new(setup.named(number, "way"), way.words(), because));
    row.sets.extend(match way {
        Way::Tailstock { over } => {
            let figure = set_over_figure(cone, work)?;
            let shown = format!("{} mm", over.decimals(2));
            let mut figures = vec![Figure::new("tailstock over", shown, figure.why)];
            figures.push(set.indicator());
            setup.place_all(number, figures)
        }
        Way::Ground => {
            let why = geometry("half the taper's angle, to either side of it")
                .because(practice("tried against a template or on a piece of scrap, and stoned keen: it cuts along its whole edge"));
            let angle = both_angles(set.half_angle);
            vec![Figure::new(setup.named(number, "tool ground to, from the axis"), angle, why)]
        }
        Way::TopSlide | Way::InLengths { .. } => {
            let mut figures = set.figures();
            figures.extend(by_sine_bar(setup, set.half_angle));
            setup.place_all(number, figures)
        }
    });
    if let Way::InLengths { count } = way {
        let each = (cone.length / count).rounded(lathe.step, Toward::Nearest);
        let why = practice(format!("the length of the taper in {count}: the carriage is moved on along its stop or an indicator, the top slide wound back"))
            .because(rounding(each, lathe.step));
        row.sets.push(Figure::new(
            setup.named(number, &format!("in {count} lengths, the carriage on by")),
            as_set(each.value, lathe.step),
            why,
        ));
    }
    row.sets.extend(shoulder(setup, number, step));
    if from > large {
        row.depth = cuts(setup, number, from, large)?;
    }
    row.depth.push(Figure::new(
        setup.named(number, "then along the taper to"),
        format!("⌀ {}", mm(small)),
        practice(then),
    ));
    let why = setup.job.why_dimension(left).because(setup.job.why_dimension(right));
    let shown = format!("⌀ {} to ⌀ {}", mm(large), mm(small));
    row.check = Some(Figure::new(setup.named(number, "check"), shown, why));
    Ok(())
}

/// The top slide set by a sine bar, where one is owned with its blocks.
fn by_sine_bar(setup: &Setup, half_angle: Angle) -> Option<Figure> {
    let bench = setup.job.bench;
    let (&bar, blocks) = (bench.gauges("sine bar").first()?, bench.gauges("gauge blocks"));
    let stack = sine_bar(bar, half_angle, &blocks, Length::microns(10)).ok()?;
    let figure = stack.figures().swap_remove(0);
    let why = figure.why.because(practice(
        "the bar on its side on the cross slide, one roller and the stack against a parallel clocked along the bed; the top slide carries an indicator along the bar, and is tapped round until it stands still",
    ));
    Some(Figure::new(format!("or sine bar {}, stack", mm(bar)), figure.shown, why))
}
