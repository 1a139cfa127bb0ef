//! The same assembly with other sizes: a step of a reversing lever, a changed length.

use crate::fault::Fault;
use crate::model::{Model, State};
use crate::plan::Way;
use crate::turn::{Span, Turn};

/// As fine as the way from one set of sizes to another is cut before it is given up.
const FINEST: f64 = 1.0 / 4096.0;

impl Model {
    /// Carries a position over to other values of the parameters, the drive standing, without
    /// leaving its assembly.
    ///
    /// # Errors
    ///
    /// Where the links cease to reach on the way: how far it got.
    pub fn carry(&self, state: &State, params: &[f64]) -> Result<(Self, State), Fault> {
        let (mut done, mut share) = (0.0_f64, 1.0_f64);
        let mut state = state.clone();
        while done < 1.0 {
            let next = (done + share).min(1.0);
            let mix: Vec<f64> = if next == 1.0 {
                params.to_vec()
            } else {
                self.params.iter().zip(params).map(|(a, b)| a + next * (b - a)).collect()
            };
            let model = self.with(&mix)?;
            let mut one = state.clone();
            Self::stand(&mut one);
            let angle = one.angle;
            let near =
                model.go(&mut one, angle).is_ok()
                    && self
                        .blocks
                        .iter()
                        .zip(one.room.iter().zip(&state.room))
                        .all(|(b, (now, was))| !matches!(b.way, Way::Newton) || now * was > 0.0)
                    && one.poses.iter().zip(&state.poses).all(|(p, q)| {
                        (p.x - q.x).hypot(p.y - q.y) < 0.1 * self.reach && (p.t - q.t).abs() < 0.1
                    });
            if near {
                state = one;
                done = next;
                share = (2.0 * share).min(1.0);
            } else if share > FINEST {
                share *= 0.5;
            } else {
                let moved: Vec<String> = self
                    .of
                    .params
                    .iter()
                    .zip(self.params.iter().zip(params))
                    .filter(|(_, (a, b))| a != b)
                    .map(|(p, (a, b))| format!("{} at {:.4}", p.name, a + done * (b - a)))
                    .collect();
                return Err(Fault::new(
                    "the links cease to meet as the sizes are changed",
                    moved,
                    format!("{:.1} % of the way they no longer reach", 100.0 * done),
                    "change the sizes less, or put it together anew with them",
                ));
            }
        }
        Ok((self.with(params)?, state))
    }

    /// Follows the mechanism round at each of several values of one parameter, in their order:
    /// a reversing gear from full forward through mid gear to full back.
    ///
    /// # Errors
    ///
    /// As [`Self::carry`].
    pub fn settings(
        &self,
        start: &State,
        param: crate::ParamId,
        values: &[f64],
        span: Span,
    ) -> Result<Vec<Turn>, Fault> {
        let (mut model, mut state) = (self.clone(), start.clone());
        let mut all = Vec::new();
        for &value in values {
            let mut params = model.params.clone();
            if param.0 >= params.len() {
                return Err(Fault::new(
                    "the setting is a parameter that is not there",
                    vec![format!("parameter {}", param.0)],
                    "the mechanism has fewer",
                    "name one of its parameters",
                ));
            }
            params[param.0] = value;
            (model, state) = model.carry(&state, &params)?;
            all.push(model.turn(&state, span));
        }
        Ok(all)
    }
}
