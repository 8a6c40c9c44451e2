//! What is not known: an enum of it, and a belief about each with plain words for narrowing it.

use serde::{Deserialize, Serialize};

use super::{load::TableError, wording::Wording};

macro_rules! unknowns {
    ($($unknown:ident)*) => {
        /// An input that nobody knows exactly; each has its row in `tables/priors.toml`, which
        /// says what it is about.
        #[expect(missing_docs, reason = "the row says what each is about")]
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Unknown { $($unknown),* }

        impl Unknown {
            /// Every unknown.
            pub const ALL: &[Self] = &[$(Self::$unknown),*];
        }
    };
}

unknowns! {
    FilmMultiplier FreezerAirOffset FreezerAirError FreezerCapacityUnknown
    FreezerCapacityRated FreezerHumidity WaterStartUnknown WaterStartError FillUnknown FillError
    SizeError MouldShape ShapeLength WallThickness StandContact StandOpenness Supercooling
    IceConductivity
    ThawFilmMultiplier
    RoomTemperatureUnknown RoomTemperatureError RoomHumidityUnknown RoomHumidityError
    DiffusivityMultiplier IsothermMultiplier OvenOffset OvenFilmMultiplier OvenVapour
    TrayUnderside RoomFilmMultiplier ThicknessError FlourByCup SaltByCup WaterByCup FlourWeighed
    SaltWeighed WaterWeighed
    DryDoughDensity CoolFilmMultiplier
}

/// The answers that an unknown bears on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Question {
    /// When is it frozen?
    Ice,
    /// When has it melted?
    Thaw,
    /// When is it dry?
    Dough,
    /// When may it be touched?
    Cool,
}

/// When a row of the priors is the one to use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Whatever the user said.
    Always,
    /// The user did not say.
    Unknown,
    /// The user said, and may be a little wrong.
    Given,
}

/// A distribution over one number, in the unit of its row.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
pub enum Distribution {
    /// Gaussian with a mean and a standard deviation.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// The logarithm is Gaussian: `median` times or divided by `factor` at one sigma.
    #[serde(rename = "lognormal")]
    LogNormal {
        /// Median.
        median: f64,
        /// One-sigma factor, above one.
        factor: f64,
    },
    /// Any value of a range, each as likely.
    Uniform {
        /// Least value.
        low: f64,
        /// Largest value.
        high: f64,
    },
    /// A range with one most likely value.
    Triangular {
        /// Least value.
        low: f64,
        /// Most likely value.
        mode: f64,
        /// Largest value.
        high: f64,
    },
}

/// What is believed of one unknown before any note.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prior {
    name: Unknown,
    questions: Vec<Question>,
    when: When,
    belief: Distribution,
    at_least: Option<f64>,
    at_most: Option<f64>,
    unit: String,
    about: String,
    narrow: Wording,
    // For `tables priors`, which reads the file itself.
    #[serde(rename = "source")]
    _source: String,
    #[serde(rename = "note")]
    _note: Option<String>,
}

/// The rows when each unknown has one, and its belief is a distribution.
pub(super) fn one_each(rows: Vec<Prior>) -> Result<Vec<Prior>, TableError> {
    for unknown in Unknown::ALL {
        let own: Vec<&Prior> = rows.iter().filter(|row| row.name == *unknown).collect();
        match own[..] {
            [row] if row.belief.is_sound() => {}
            [_] => return Err(faulty(*unknown, "its belief is no distribution")),
            _ => return Err(faulty(*unknown, "not one row, but none or several")),
        }
    }
    Ok(rows)
}

/// The row of an unknown among those of the table.
pub(super) fn of(rows: &[Prior], unknown: Unknown) -> Result<&Prior, TableError> {
    rows.iter().find(|row| row.name == unknown).ok_or_else(|| faulty(unknown, "no row"))
}

fn faulty(unknown: Unknown, why: &str) -> TableError {
    TableError::Unreadable { topic: "priors", reason: format!("{unknown:?}: {why}") }
}

impl Distribution {
    /// Whether its parameters make a distribution: finite, with a spread, the right way up.
    fn is_sound(&self) -> bool {
        match *self {
            Self::Normal { mean, sd } => mean.is_finite() && sd.is_finite() && sd > 0.0,
            Self::LogNormal { median, factor } => {
                median > 0.0 && median.is_finite() && factor > 1.0 && factor.is_finite()
            }
            Self::Uniform { low, high } => low < high && (high - low).is_finite(),
            Self::Triangular { low, mode, high } => {
                low <= mode && mode <= high && low < high && (high - low).is_finite()
            }
        }
    }
}

impl Prior {
    /// The unknown.
    pub fn unknown(&self) -> Unknown {
        self.name
    }

    /// Itself, where the answer to a question depends on it.
    ///
    /// # Errors
    /// [`TableError`] where its row says otherwise.
    pub fn on(&self, question: Question) -> Result<&Self, TableError> {
        let bears = self.questions.contains(&question);
        bears.then_some(self).ok_or_else(|| faulty(self.name, &format!("not on {question:?}")))
    }

    /// What is believed, in [`Self::unit`].
    pub fn distribution(&self) -> Distribution {
        self.belief
    }

    /// Where the ends are cut off: (least, largest); infinite where they are not.
    pub fn bounds(&self) -> (f64, f64) {
        (self.at_least.unwrap_or(f64::NEG_INFINITY), self.at_most.unwrap_or(f64::INFINITY))
    }

    /// Unit of the number: `1` for a multiplier, `share`, `K` (a difference), `°C`,
    /// `kg/kg`, `W/m K`, `kg/m³`.
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// What it is, in words.
    pub fn about(&self) -> &str {
        &self.about
    }

    /// What the user could do to make it surer, in words.
    pub fn narrow(&self) -> &Wording {
        &self.narrow
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables;

    #[test]
    fn every_belief_lies_within_its_bounds_in_a_known_unit() {
        for row in tables::priors() {
            let (least, largest) = row.bounds();
            let centre = match row.distribution() {
                Distribution::Normal { mean, .. } => mean,
                Distribution::LogNormal { median, .. } => median,
                Distribution::Uniform { low, .. } => low,
                Distribution::Triangular { mode, .. } => mode,
            };
            assert!(least < largest && (least..=largest).contains(&centre), "{row:?}");
            let units = ["1", "share", "K", "°C", "kg/kg", "W/m K", "kg/m³"];
            assert!(units.contains(&row.unit()), "{row:?}");
        }
    }

    #[test]
    fn what_is_no_distribution_is_refused() {
        for belief in [
            Distribution::Normal { mean: 0.0, sd: -1.0 },
            Distribution::LogNormal { median: 0.0, factor: 2.0 },
            Distribution::Uniform { low: 2.0, high: 1.0 },
            Distribution::Triangular { low: 0.0, mode: f64::NAN, high: 1.0 },
        ] {
            let mut rows = tables::priors().to_vec();
            rows[3].belief = belief;
            assert!(one_each(rows).is_err(), "{belief:?}");
        }
    }

    #[test]
    fn each_unknown_has_one_row_and_no_other_name_has_any() {
        let rows = tables::priors().to_vec();
        assert_eq!(rows.len(), Unknown::ALL.len());
        assert!(one_each(rows[1..].to_vec()).is_err());
        assert!(one_each([&rows[..], &rows[..1]].concat()).is_err());
        assert_eq!(one_each(rows.clone()).as_ref(), Ok(&rows));
        #[derive(Debug, Deserialize)]
        struct Named {
            #[expect(dead_code, reason = "only whether it is read")]
            name: Unknown,
        }
        assert!(toml::from_str::<Named>("name = \"film-multiplier\"").is_ok());
        assert!(toml::from_str::<Named>("name = \"film-multiplyer\"").is_err());
    }
}
