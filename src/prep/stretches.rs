//! Pieces that are baked on several days, as they are followed: what was ready as it came out
//! of the oven stays on the rack, and only what was not goes in again.

use super::{
    durations::{Drying, DurationError, Durations, FirmDry, Heat, Outcomes, Until},
    looks::{not_ready, seen_to_dry},
};
use crate::planfile::Plan;

/// Hours until pieces are firm and until they are dry, since they began to dry, by kitchen.
type Runs = Vec<[f64; 2]>;

/// A batch in every kitchen.
pub struct Followed {
    /// Hours until its pieces are firm and until they are dry.
    pub runs: Runs,
    /// Stretches in the oven that it had.
    pub stretches: Vec<u32>,
    /// What decides on a further one.
    pub until: Until,
    /// Hours from the first of the oven to the end of each stretch.
    ends_h: Vec<f64>,
}

impl Followed {
    /// The share of kitchens in which there are more than so many stretches.
    pub fn more_than(&self, stretches: u32) -> f64 {
        self.share(|kitchen| self.stretches[kitchen] > stretches)
    }

    /// The share of kitchens in which pieces are ready as they come out of a stretch, counted
    /// from one, or of one before.
    pub fn ready_after(&self, stretch: u32) -> f64 {
        let last = |kitchen: usize| self.stretches[kitchen].min(stretch) as usize;
        let ends = |kitchen: usize| self.ends_h.get(last(kitchen).wrapping_sub(1));
        let ready = |kitchen: usize, end: &f64| self.until.of(&self.runs[kitchen]) <= *end;
        self.share(|kitchen| ends(kitchen).is_some_and(|end| ready(kitchen, end)))
    }

    fn share(&self, holds: impl Fn(usize) -> bool) -> f64 {
        let held = (0..self.runs.len()).filter(|kitchen| holds(*kitchen)).count();
        held as f64 / self.runs.len().max(1) as f64
    }

    /// When its pieces are firm and when they are dry, over the kitchens.
    pub fn outcomes(&self) -> FirmDry {
        let of = |until: Until| Outcomes::new(self.runs.iter().map(|run| until.of(run)).collect());
        FirmDry { firm: of(Until::Firm), dry: of(Until::Dry) }
    }
}

/// Follows a batch in every kitchen: pieces that are firm stay on the rack where the room is
/// sure to dry them, else only those that are dry. One that was seen not to be ready goes in
/// as often as it is planned: that was decided as it was seen.
///
/// # Errors
/// [`DurationError`] when the piece is outside the model.
pub fn followed(
    plan: &Plan,
    durations: &dyn Durations,
    drying: &Drying<'_>,
) -> Result<Followed, DurationError> {
    let whole = seen_to_dry(plan, durations, drying)?;
    let Heat::Oven { kind, at, lasts, times } = drying.heat else {
        let stretches = vec![0; whole.len()];
        return Ok(Followed { runs: whole, stretches, until: Until::Firm, ends_h: Vec::new() });
    };
    let heats = (1..=times).map(|times| Heat::Oven { kind, at, lasts, times });
    let ends_h: Vec<f64> = heats.clone().map(Heat::until_out_h).collect();
    let stretches = vec![times; whole.len()];
    let planned = Followed { runs: whole, stretches, until: Until::Firm, ends_h };
    if times == 1 || not_ready(plan, drying.ornament) != [None, None] {
        return Ok(planned);
    }
    let fewer = heats.take(times as usize - 1);
    let fewer = fewer.map(|heat| durations.dry_in_kitchens(&Drying { heat, ..*drying }));
    let fewer: Vec<Runs> = fewer.collect::<Result<_, _>>()?;
    let firm = planned.until(Until::Firm, &fewer);
    let sure = |followed: &Followed| followed.outcomes().dry.sure().is_finite();
    match sure(&firm) || !sure(&planned) {
        true => Ok(firm),
        false => Ok(planned.until(Until::Dry, &fewer)),
    }
}

impl Followed {
    /// The same where pieces that are ready after fewer stretches do not go in again; `fewer`
    /// has their hours after one stretch, after two, and so on.
    fn until(&self, until: Until, fewer: &[Runs]) -> Self {
        let in_kitchen = |kitchen: usize| {
            let mut ends = fewer.iter().zip(&self.ends_h).zip(1..);
            let enough = ends.find_map(|((runs, end), stretch)| {
                let run = runs.get(kitchen)?;
                (until.of(run) <= *end).then_some((*run, stretch))
            });
            enough.unwrap_or((self.runs[kitchen], self.stretches[kitchen]))
        };
        let (runs, stretches) = (0..self.runs.len()).map(in_kitchen).unzip();
        Self { runs, stretches, until, ends_h: self.ends_h.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four kitchens: firm after 3, 4, 6 and 30 hours with one stretch of four.
    fn planned() -> (Followed, Vec<Runs>) {
        let once = vec![[3.0, 4.0], [4.0, 50.0], [30.0, 60.0], [40.0, f64::INFINITY]];
        let twice = vec![[3.0, 4.0], [4.0, 17.0], [18.0, 20.0], [22.0, 90.0]];
        let ends_h = vec![4.0, 20.0];
        (Followed { runs: twice, stretches: vec![2; 4], until: Until::Firm, ends_h }, vec![once])
    }

    #[test]
    fn what_is_ready_does_not_go_in_again() {
        let (planned, fewer) = planned();
        let firm = planned.until(Until::Firm, &fewer);
        assert_eq!(firm.stretches, [1, 1, 2, 2]);
        assert_eq!(firm.runs[1], [4.0, 50.0]);
        assert_eq!([firm.more_than(0), firm.more_than(1), firm.more_than(2)], [1.0, 0.5, 0.0]);
        assert_eq!([firm.ready_after(1), firm.ready_after(2)], [0.5, 0.75]);
        let dry = planned.until(Until::Dry, &fewer);
        assert_eq!(dry.stretches, [1, 2, 2, 2]);
        assert_eq!(dry.runs[1], [4.0, 17.0]);
        assert_eq!([dry.ready_after(1), dry.ready_after(2)], [0.25, 0.75]);
    }
}
