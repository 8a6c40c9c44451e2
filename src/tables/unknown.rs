//! What is not known, as distributions with plain words for narrowing them.

use serde::Deserialize;

use super::load::row;

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

row! {
    /// One unknown input.
    Unknown {
        questions: Vec<Question>,
        when: When,
        belief: Distribution,
        at_least: Option<f64>,
        at_most: Option<f64>,
        unit: String,
        about: String,
        narrow: String,
    }
}

impl Unknown {
    /// Whether the answer to a question depends on it.
    pub fn bears_on(&self, question: Question) -> bool {
        self.questions.contains(&question)
    }

    /// When this row is the one to use.
    pub fn when(&self) -> When {
        self.when
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
    pub fn narrow(&self) -> &str {
        &self.narrow
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        tables,
        units::{in_cubic_metres, in_metres},
    };

    #[test]
    fn every_belief_is_a_distribution_in_a_known_unit() {
        for row in tables::priors() {
            let (least, largest) = row.bounds();
            let (centre, sound) = match row.distribution() {
                Distribution::Normal { mean, sd } => (mean, sd > 0.0),
                Distribution::LogNormal { median, factor } => {
                    (median, median > 0.0 && factor > 1.0)
                }
                Distribution::Uniform { low, high } => (low, low < high),
                Distribution::Triangular { low, mode, high } => {
                    (mode, low <= mode && mode <= high && low < high)
                }
            };
            assert!(sound, "{}: {:?}", row.name(), row.distribution());
            assert!(least < largest && (least..=largest).contains(&centre), "{}", row.name());
            let units = ["1", "share", "K", "°C", "kg/kg", "W/m K", "kg/m³"];
            assert!(units.contains(&row.unit()), "{}: {}", row.name(), row.unit());
        }
    }

    #[test]
    fn the_belief_about_depth_covers_the_moulds() {
        let row = tables::prior("shape-depth").expect("in the table");
        let Distribution::Triangular { low, mode, high } = row.distribution() else {
            panic!("{:?}", row.distribution())
        };
        let mut relative: Vec<f64> = tables::moulds()
            .iter()
            .map(|mould| {
                let form = mould.form();
                in_metres(form.depth()) / in_cubic_metres(form.volume()).cbrt()
            })
            .collect();
        relative.sort_by(f64::total_cmp);
        let inside = relative.iter().filter(|ratio| (low..=high).contains(*ratio)).count();
        assert!(inside * 10 >= relative.len() * 9, "{inside} of {}: {relative:?}", relative.len());
        let median = relative[relative.len() / 2];
        assert!((median - mode).abs() < 0.1, "median {median}, mode {mode}");
    }
}
