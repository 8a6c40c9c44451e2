//! What every answer shares: drawn unknowns, what widens the band, cautions.

use schemars::JsonSchema;
use serde::Serialize;
use thiserror::Error;

use crate::tables::{self, Step, UnknownName};
use crate::uncertainty::{Learned, RUNS, finite_or_null, sequence, variance_shares};

/// A question that cannot be answered.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AskError {
    /// A name that no table knows.
    #[error(transparent)]
    Name(#[from] UnknownName),
    /// Amounts that make no dough.
    #[error(transparent)]
    Recipe(#[from] crate::drying::recipe::RecipeError),
    /// A value outside what the model holds for.
    #[error("{field} must lie between {low} and {high}, for example {example}")]
    OutOfRange {
        /// Which input.
        field: &'static str,
        /// Least value, as people write it.
        low: &'static str,
        /// Largest value.
        high: &'static str,
        /// One that is right.
        example: &'static str,
    },
}

/// Which unknown widens the band, and by what share of its variance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Unsure {
    /// The unknown, in words.
    pub input: &'static str,
    /// Share of the spread it explains.
    pub share: f64,
    /// How to narrow it.
    pub narrow: &'static str,
}

/// A change and what it saves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Help {
    /// What to do instead.
    pub change: String,
    /// Hours sooner at the central inputs; `null` when it turns never into some time.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub saves_h: f64,
}

/// Version of the answers' JSON; raised when a field changes its meaning.
pub const SCHEMA: u32 = 1;

/// An answer as a JSON document that says its version.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Document<Answer> {
    /// Version of this document.
    #[schemars(extend("const" = SCHEMA))]
    pub schema: u32,
    /// The answer.
    #[serde(flatten)]
    pub answer: Answer,
}

impl<Answer> Document<Answer> {
    /// The document of an answer, in the present version.
    pub fn of(answer: Answer) -> Self {
        Self { schema: SCHEMA, answer }
    }
}

/// A word of care.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CautionText {
    /// Name of it in the tables.
    pub id: &'static str,
    /// The words.
    pub text: &'static str,
    /// Title of its source.
    pub source: &'static str,
}

impl CautionText {
    fn of(caution: &'static tables::Caution) -> Self {
        Self { id: &caution.id, text: &caution.text, source: caution.source_title() }
    }
}

/// The cautions of these names, those that the table holds.
pub(super) fn cautions_named(ids: &[&str]) -> Vec<CautionText> {
    ids.iter().filter_map(|id| tables::caution(id).ok()).map(CautionText::of).collect()
}

/// The cautions of these steps for this age, each once, in the order of the table.
pub(super) fn cautions_at(steps: &[Step], youngest_years: f64) -> Vec<CautionText> {
    tables::cautions()
        .iter()
        .filter(|caution| steps.iter().any(|step| caution.applies(*step, youngest_years)))
        .map(CautionText::of)
        .collect()
}

/// Unknowns of one question and their draws.
pub(super) struct Unknowns {
    rows: Vec<&'static tables::Unknown>,
    /// `runs[n][j]`: unknown j in run n.
    pub(super) runs: Vec<Vec<f64>>,
    /// The central value of each.
    pub(super) centre: Vec<f64>,
}

impl Unknowns {
    /// [`RUNS`] draws of the priors of these names, or of what a diary has learnt
    /// of them, their bounds kept.
    ///
    /// # Errors
    /// [`AskError::Name`] for a name that `tables/priors.toml` does not hold.
    pub(super) fn named(names: &[&str], learned: &Learned) -> Result<Self, AskError> {
        Self::some(RUNS, names, learned)
    }

    /// [`Self::named`] with another number of draws.
    pub(super) fn some(number: usize, names: &[&str], learned: &Learned) -> Result<Self, AskError> {
        let rows = names.iter().map(|name| tables::prior(name)).collect::<Result<Vec<_>, _>>()?;
        let at = |row: &tables::Unknown, p: f64| {
            let (least, largest) = row.bounds();
            row.distribution().quantile(p).clamp(least, largest)
        };
        // One more coordinate chooses among what was learnt.
        let run = |point: Vec<f64>| {
            let mut run: Vec<f64> = point.iter().zip(&rows).map(|(p, row)| at(row, *p)).collect();
            learned.put(point[rows.len()], rows.iter().map(|row| row.name()), &mut run);
            run
        };
        let runs = sequence(rows.len() + 1, number).into_iter().map(run).collect();
        let middle = |row: &&'static tables::Unknown| {
            learned.quantile(row.name(), 0.5).unwrap_or_else(|| at(row, 0.5))
        };
        let centre = rows.iter().map(middle).collect();
        Ok(Self { rows, runs, centre })
    }

    /// Their rows in the table, in the order of a run.
    pub(super) fn rows(&self) -> &[&'static tables::Unknown] {
        &self.rows
    }

    /// Which of them widen the outcomes.
    pub(super) fn unsure(&self, outcomes: &[f64]) -> Vec<Unsure> {
        widest(&self.rows, &self.runs, outcomes)
    }
}

/// Which unknowns widen the outcomes, the widest first; shares below 2 % are left out.
pub(super) fn widest(
    rows: &[&'static tables::Unknown],
    runs: &[Vec<f64>],
    outcomes: &[f64],
) -> Vec<Unsure> {
    let mut unsure: Vec<Unsure> = rows
        .iter()
        .zip(variance_shares(runs, outcomes))
        .filter(|(_, share)| *share >= 0.02)
        .map(|(row, share)| Unsure { input: row.about(), share, narrow: row.narrow() })
        .collect();
    unsure.sort_by(|a, b| b.share.total_cmp(&a.share));
    unsure
}
