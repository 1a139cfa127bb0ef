//! A stub mandrel: a shouldered stub that carries the work by its finished bore.
//!
//! Turned at one holding so that stub and body run true together, with a tapped
//! end whose screw and washer pull the work against the shoulder.

use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::show::{mm, positive, practice};
use crate::tables::fits::{self, Limits};
use crate::tables::threads::Thread;
use crate::why::{Figure, Why};

/// What holds the body of the mandrel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Holder {
    /// A collet, any of these owned.
    Collets(Vec<Length>),
    /// The plain bore of a rotary table.
    TableBore(Length),
}

/// What the mandrel is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// The finished bore that it carries the work by.
    pub bore: Length,
    /// The thickness on the stub: of both parts where a pair lies on it.
    pub thickness: Length,
}

/// The sizes of a stub mandrel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StubMandrel {
    /// What it is for.
    pub work: Work,
    /// What holds it.
    pub holder: Holder,
    /// Limits of the stub: a close sliding fit in the bore.
    pub stub: Limits,
    /// Length of the stub: a little under the work's thickness.
    pub stub_length: Length,
    /// Diameter of the body.
    pub body: Length,
    /// Length of the body that is held.
    pub body_length: Length,
    /// The round bar to turn it from, owned; the size to buy where none serves.
    pub bar: Bar,
    /// The screw that holds the work on.
    pub screw: &'static Thread,
    /// How deep its thread goes into the stub.
    pub screw_depth: Length,
    fit_why: Why,
}

/// The bar that an aid is turned from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bar {
    /// In the rack.
    Owned(Length),
    /// At least this.
    Buy(Length),
}

/// Works out a stub mandrel. `bars` are the round bars owned, `taps` the taps.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, no collet or table bore
/// leaves a shoulder, or no tap owned suits the stub.
pub fn stub_mandrel(
    work: Work,
    holder: Holder,
    bars: &[Length],
    taps: &[&'static Thread],
) -> Result<StubMandrel, Problem> {
    positive(work.bore, "bore")?;
    positive(work.thickness, "thickness of the work")?;
    let fit = fits::fit("H7/g6", work.bore)?;
    let fit_why = Why::new(format!("H7/g6 at {}: a close sliding fit", mm(work.bore)))
        .source(fit.shaft.source.to_string());
    let body = body(work.bore, &holder)?;
    let screw = screw(work.bore, taps)?;
    let bar = bars.iter().copied().filter(|bar| *bar >= body).min().map_or(Bar::Buy(body), Bar::Owned);
    // Half a millimetre of slack, a tenth of thin work: the washer must bear on the work.
    let short = Length::mm_ratio(1, 2).min(work.thickness / 10);
    Ok(StubMandrel {
        stub: fit.shaft,
        stub_length: work.thickness - short,
        body,
        body_length: Length::mm(25).max(body * 3 / 2),
        bar,
        screw,
        screw_depth: screw.major * 2,
        work,
        holder,
        fit_why,
    })
}

/// The body that its holder takes and that leaves a shoulder for the work.
fn body(bore: Length, holder: &Holder) -> Result<Length, Problem> {
    let least = bore + least_shoulder() * 2;
    let (found, which) = match holder {
        Holder::Collets(owned) => (owned.iter().copied().filter(|c| *c >= least).min(), "collet owned"),
        Holder::TableBore(bore) => (Some(*bore).filter(|b| *b >= least), "table's bore"),
    };
    found.ok_or_else(|| {
        Problem::new(format!("no {which} carries a stub mandrel for a bore of {}", mm(bore)))
            .why(format!(
                "the body must be at least {}, to leave {} of shoulder",
                mm(least),
                mm(least_shoulder())
            ))
            .mend("hold the body in the three-jaw chuck and do not move it until the work is done")
    })
}

/// The least shoulder beside the stub, common practice.
fn least_shoulder() -> Length {
    Length::mm_ratio(3, 2)
}

/// The largest tap owned that leaves the stub most of its metal.
fn screw(bore: Length, taps: &[&'static Thread]) -> Result<&'static Thread, Problem> {
    let most = bore * 3 / 5;
    taps.iter().copied().filter(|t| t.major <= most).max_by_key(|t| (t.major, t.pitch)).ok_or_else(|| {
        Problem::new(format!("no tap owned suits a stub of {}", mm(bore)))
            .why(format!("the screw may be three fifths of the stub at most: {}", mm(most)))
            .mend("buy a smaller tap, or hold the work on the stub with adhesive")
    })
}

impl StubMandrel {
    /// The sizes to make it to.
    pub fn figures(&self) -> Vec<Figure> {
        let bar = match self.bar {
            Bar::Owned(size) => {
                Figure::new("bar", mm(size), practice("the smallest round bar owned that makes the body"))
            }
            Bar::Buy(size) => {
                Figure::new("bar, to buy", mm(size), practice("no round bar owned makes the body"))
            }
        };
        let body = match &self.holder {
            Holder::Collets(_) => {
                format!("the smallest collet owned that leaves {} of shoulder", mm(least_shoulder()))
            }
            Holder::TableBore(_) => "the table's bore: turn it to slide in without shake".to_owned(),
        };
        vec![
            bar,
            Figure::new("body diameter", mm(self.body), practice(body)),
            Figure::new(
                "body length",
                mm(self.body_length),
                practice("25 mm, or half as much again as its diameter, to be held straight"),
            ),
            Figure::new(
                "stub diameter",
                format!("{} to {} mm", self.stub.least().decimals(3), self.stub.greatest().decimals(3)),
                practice("the work slides on by hand and does not shake").because(self.fit_why.clone()),
            ),
            Figure::new(
                "stub length",
                mm(self.stub_length),
                practice(format!(
                    "a little under the work's {}, so that the washer bears on the work",
                    mm(self.work.thickness)
                )),
            ),
            Figure::new(
                "tapped in the end",
                format!("{}, {} deep", self.screw.designation, mm(self.screw_depth)),
                practice("the largest tap owned within three fifths of the stub; twice its diameter deep"),
            ),
        ]
    }

    /// How to make it, in order.
    pub fn steps(&self) -> Vec<String> {
        vec![
            format!("Turn the body to {} and leave the bar long enough to hold.", mm(self.body)),
            "Without moving it in the chuck: face the end, turn the stub to its limits and square to the shoulder.".into(),
            "Undercut the corner a little, so that the work lies against the shoulder.".into(),
            format!("Centre, drill and tap the end {}.", self.screw.designation),
            "Try the work on before the bar leaves the chuck.".into(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads;

    fn taps() -> Vec<&'static Thread> {
        ["M2.5", "M3", "M4", "M5"].map(|name| threads::find(name).unwrap()).to_vec()
    }

    fn mandrel(bore: i64, thickness: i64) -> Result<StubMandrel, Problem> {
        let collets = Holder::Collets([6, 8, 10, 12, 16].map(Length::mm).to_vec());
        let work = Work { bore: Length::mm(bore), thickness: Length::mm(thickness) };
        stub_mandrel(work, collets, &[8, 10, 12, 16].map(Length::mm), &taps())
    }

    /// ISO 286-2: g6 over 6 up to 10 mm is −5 to −14 µm.
    #[test]
    fn the_stub_slides_in_the_bore_and_ends_within_the_work() {
        let found = mandrel(8, 12).unwrap();
        assert_eq!(
            (found.stub.least(), found.stub.greatest()),
            (Length::microns(7986), Length::microns(7995))
        );
        assert_eq!(found.stub_length, Length::mm_ratio(115, 10));
        assert_eq!((found.body, found.bar), (Length::mm(12), Bar::Owned(Length::mm(12))));
        assert_eq!(found.screw.designation, "M4");
        assert_eq!(mandrel(8, 3).unwrap().stub_length, Length::mm_ratio(27, 10));
    }

    #[test]
    fn the_table_bore_may_hold_the_body() {
        let work = Work { bore: Length::mm(8), thickness: Length::mm(12) };
        let found =
            stub_mandrel(work, Holder::TableBore(Length::mm(20)), &[Length::mm(16)], &taps()).unwrap();
        assert_eq!((found.body, found.bar), (Length::mm(20), Bar::Buy(Length::mm(20))));
        assert_eq!(found.figures()[0].name, "bar, to buy");
    }

    #[test]
    fn a_bore_too_large_for_any_collet_or_too_small_for_a_tap_is_refused() {
        assert!(mandrel(14, 10).unwrap_err().what().contains("no collet owned"));
        assert!(mandrel(3, 10).unwrap_err().what().contains("no tap owned"));
        assert!(mandrel(8, 0).is_err());
    }
}
