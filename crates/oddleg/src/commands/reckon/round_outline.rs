//! `reckon round-outline`.

use workshop::geometry::around::{Side, Stop, Turn, around};
use workshop::geometry::{Circle, Point};
use workshop::problem::{Outcome, Problem};
use workshop::settings::round_outline::{Asked, round_outline};

use super::one;
use super::rounded_end::gouge_borne;
use super::supposed::readout_step;
use super::table_arg::TableArg;
use crate::answer::Answer;
use crate::args;

/// Asks how every line and arc of an outline is cut on the rotary table.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon round-outline --cutter 8mm --ratio 90 \\
    \"round: 0 mm, 0 mm; 11 mm\" \"round: 47 mm, 0 mm; 7 mm\" \"corner: 20 mm, 30 mm; 4 mm\"")]
pub struct RoundOutline {
    /// What the outline goes round, anticlockwise: `round: X, Y; RADIUS`, met by lines that
    /// touch it, or `corner: X, Y`, rounded with `corner: X, Y; RADIUS`
    #[arg(required = true, value_name = "STOP")]
    stops: Vec<String>,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// The deepest gouge into a side that can be borne
    #[arg(long, value_name = "SIZE")]
    gouge: Option<String>,
    /// From the spindle to the column, for how far the work may swing
    #[arg(long, value_name = "SIZE")]
    column: Option<String>,
    /// The smallest step of the readout
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
    #[command(flatten)]
    pub(super) table: TableArg,
}

impl RoundOutline {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let cutter = args::size("--cutter", &self.cutter).map_err(one)?;
        let column = self.column.as_deref().map(|text| args::size("--column", text)).transpose();
        let column = column.map_err(one)?;
        let stops = args::all(self.stops.iter().enumerate().map(|(n, text)| stop(n + 1, text)))?;
        let named = around(&stops).map_err(one)?;
        let given = self.table.read()?.and(gouge_borne(self.gouge.as_deref())?);
        let given = given.and(readout_step(self.step.as_deref())?);
        let figures = given.reckon(|((table, gouge), step)| {
            let pieces = round_outline(&named, Asked { cutter, table, step, gouge, column })?;
            Ok(pieces.iter().enumerate().flat_map(|(n, piece)| piece.figures(n + 1, step)).collect())
        });
        Ok(Answer::new(format!("outline of {} pieces, cutter {cutter}", named.names.len()))
            .figures("", figures.map_err(one)?))
    }
}

/// `round: 0 mm, 0 mm; 11 mm` or `corner: 40 mm, 0 mm`.
fn stop(number: usize, text: &str) -> Result<(Stop, Side), Problem> {
    let unread = |why: &str| {
        Problem::new(format!("cannot read `{text}` as a stop of the outline"))
            .at(format!("stop {number}"))
            .why(why.to_owned())
            .mend("write `round: X, Y; RADIUS`, `corner: X, Y`, or `corner: X, Y; RADIUS`, each size with its unit")
    };
    let (kind, rest) =
        text.split_once(':').ok_or_else(|| unread("it says neither `round:` nor `corner:`"))?;
    let (at, radius) = match rest.split_once(';') {
        Some((at, radius)) => (at, Some(radius)),
        None => (rest, None),
    };
    let argument = format!("stop {number}");
    let place = args::place(at, &argument)?;
    let radius_mm = match radius {
        Some(text) => {
            let radius = args::size(&argument, text)?;
            if !radius.is_positive() {
                return Err(unread("its radius is not more than nought"));
            }
            radius.as_mm()
        }
        None => 0.0,
    };
    let at = Point::at(place.x, place.y);
    let turn = match (kind.trim(), radius) {
        ("round", Some(_)) => Turn::Round(Circle::new(at, radius_mm)),
        ("round", None) => return Err(unread("a round end has a radius")),
        ("corner", _) => Turn::Corner { at, radius_mm },
        _ => return Err(unread("it says neither `round:` nor `corner:`")),
    };
    Ok((Stop { name: format!("{} {number}", kind.trim()), turn }, Side::Line))
}
