//! The order of work of an aid and what it is sawn from, by the road that every part goes.

use super::job::Job;
use super::sheet::{AidSheet, OrderLine, SawnBlank};
use super::{blanks, cover, possible, with_metric};
use crate::bench::Bench;
use crate::drawing::{Part, read_drawing};
use crate::metric::metricate;
use crate::problem::Outcome;

/// Plans an aid that has a part file; why it has no order stands on it otherwise.
pub(crate) fn with_own_order(mut sheet: AidSheet, bench: &Bench) -> AidSheet {
    let Some(file) = &sheet.own.file else { return sheet };
    match order(file, bench) {
        Ok((order, blank)) => {
            sheet.own.order = order;
            sheet.own.blank = blank.map(|blank| SawnBlank { count: sheet.own.count, ..blank });
        }
        Err(faults) => {
            sheet.own.unplanned = faults.first().map(|fault| match fault.reason() {
                Some(why) => format!("{}: {why}", fault.what()),
                None => fault.what().to_owned(),
            });
        }
    }
    sheet
}

fn order(file: &str, bench: &Bench) -> Outcome<(Vec<OrderLine>, Option<SawnBlank>)> {
    let drawing = read_drawing("the aid", file)?;
    let solved = possible(&drawing)?;
    let metric = metricate(&drawing, &solved, bench)?;
    let drawn = Part::as_drawn(&drawing, &solved);
    let part: Part = with_metric(&drawn, &metric);
    let order = crate::order::order_of_work(&part, &metric, bench)?;
    let (material, _) = crate::metric::material(&drawing).map_err(|fault| vec![fault])?;
    let job = Job { bench, part: &part, metric: &metric, order: &order, material };
    let times = u64::from(order.times);
    let mut lines = cover::order(&job);
    lines.iter_mut().for_each(|line| line.minutes *= times);
    Ok((lines, blanks::sawn(&job)))
}
