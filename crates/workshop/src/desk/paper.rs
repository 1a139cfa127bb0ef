//! What the entry page shows of the paper sheet beneath.

use crate::drawing::{Drawing, Pixel, Reference, Solved};
use crate::problem::Problem;
use crate::scan::{Form, Laid, judge};

/// The paper sheet beneath a draft.
#[derive(Clone, Debug)]
pub struct Paper {
    /// Name of the image.
    pub image: String,
    /// The two ends of each known dimension, as typed, on the image.
    pub known: Vec<(String, Pixel, Pixel)>,
    /// What was found on it, and where.
    pub spots: Vec<(String, Pixel)>,
    /// How it lies, once that is known.
    pub beneath: Option<Beneath>,
}

/// How the sheet lies beneath the drawing.
#[derive(Clone, Debug)]
pub struct Beneath {
    /// The map from the image to the part.
    pub laid: Laid,
    /// How it was squared, in words.
    pub words: String,
    /// How many dimensions the paper bears out, and how many it does not.
    pub agreeing: usize,
    /// Those that it does not.
    pub doubted: usize,
}

/// The paper of a drawing, and what it doubts.
pub(super) fn look(drawing: &Drawing, solved: &Solved) -> Option<(Paper, Vec<Problem>)> {
    let sheet = drawing.scan.as_ref()?;
    let (beneath, problems) = match judge(drawing, solved, sheet) {
        Err(problems) => (None, problems),
        Ok(judged) => {
            let doubted = judged.doubts.len();
            let doubts = judged.doubts.into_iter().map(|doubt| doubt.problem);
            let problems = judged.problems.into_iter().chain(doubts).collect();
            let words = words(&judged.laid);
            let agreeing = judged.agreeing.len();
            (Some(Beneath { laid: judged.laid, words, agreeing, doubted }), problems)
        }
    };
    let named = |of: Reference| of.word(&|id| drawing.features[id.0].name.clone());
    let paper = Paper {
        image: sheet.image.clone(),
        known: sheet.known.iter().map(|k| (k.written.text.clone(), k.from, k.to)).collect(),
        spots: sheet.spots.iter().map(|spot| (named(spot.of), spot.at)).collect(),
        beneath,
    };
    Some((paper, problems))
}

fn words(laid: &Laid) -> String {
    let how = match laid.form {
        Form::Turned => "turned and scaled; a dimension the other way would square it",
        Form::Squared => "squared and scaled",
        Form::Keystone => "squared and scaled, its keystone taken out",
    };
    let stretch = match laid.form {
        Form::Turned => String::new(),
        Form::Squared | Form::Keystone => {
            format!("; {:.1} % longer one way than the other", laid.stretch * 100.0)
        }
    };
    format!("{how}{stretch}; a pixel is {:.3} mm", laid.mm_per_px)
}
