//! The ways of drying a batch, from which the search takes the one that costs least.

use super::durations::Heat;
use crate::{
    planfile::{Method, Ornament, OvenAt, Plan},
    tables::Dried,
    units::hours,
};

/// Hours in the oven that are tried, shortest first. Below two hours much of the time is
/// warming up; nobody is asked to stay beside an oven for more than four (common practice,
/// no source).
const BAKES_H: [f64; 3] = [2.0, 3.0, 4.0];

/// The shortest baking, in hours, where the hours at home allow no more than that (common
/// practice, no source).
const LEAST_H: f64 = 0.5;

/// A way of drying a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// On a rack in the room.
    Air,
    /// In an oven of the plan, then on a rack in the room.
    Oven {
        /// The oven and its setting.
        oven: OvenAt,
        /// Hours at a stretch.
        lasts_h: f64,
        /// How many stretches, each on a day of its own.
        times: u32,
    },
}

impl Way {
    /// Where it dries, for the cautions.
    pub fn dried(self) -> Dried {
        match self {
            Self::Air => Dried::Air,
            Self::Oven { .. } => Dried::Oven,
        }
    }

    /// Where the heat comes from.
    pub fn heat(self, plan: &Plan) -> Heat {
        match self {
            Self::Oven { oven: (oven, at), lasts_h, times } => {
                Heat::Oven { kind: plan.ovens[oven].kind, at, lasts: hours(lasts_h), times }
            }
            Self::Air => Heat::Air,
        }
    }

    /// The place in which a batch is made that dries in this way.
    pub fn made_at(self, plan: &Plan) -> usize {
        let oven = match self {
            Self::Air => None,
            Self::Oven { oven: (oven, _), .. } => plan.ovens.get(oven),
        };
        oven.map_or_else(|| plan.home(), |oven| oven.place)
    }
}

/// The ways that the file leaves open, where an oven can be watched for so many hours at a
/// stretch; baked on several days only where `again` says so.
pub fn ways(ornament: &Ornament, longest_h: f64, again: bool) -> Vec<Way> {
    let air = matches!(ornament.method, Method::Air | Method::Any(_)).then_some(Way::Air);
    let mut lasts: Vec<f64> = BAKES_H.into_iter().filter(|h| *h <= longest_h).collect();
    if lasts.is_empty() {
        let most = (longest_h / LEAST_H).floor() * LEAST_H;
        lasts.extend((most >= LEAST_H).then_some(most));
    }
    let mut baked = Vec::new();
    if let Some(oven) = ornament.method.oven() {
        baked.extend(lasts.iter().map(|lasts_h| Way::Oven { oven, lasts_h: *lasts_h, times: 1 }));
        let once = matches!(ornament.method, Method::OvenThenAir(_));
        if let Some(lasts_h) = lasts.last().filter(|_| again && !once) {
            baked.extend([2, 3].map(|times| Way::Oven { oven, lasts_h: *lasts_h, times }));
        }
    }
    air.into_iter().chain(baked).collect()
}
