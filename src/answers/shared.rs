//! What every answer shares: drawn unknowns, what widens the band, cautions.

use schemars::JsonSchema;
use serde::Serialize;
use thiserror::Error;

use crate::tables::{self, Step, TableError, UnknownName};
use crate::uncertainty::{Draw, Unknowns, finite_or_null};

/// A question that cannot be answered.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AskError {
    /// A name that no table knows.
    #[error(transparent)]
    Name(#[from] UnknownName),
    /// An embedded table does not load.
    #[error(transparent)]
    Priors(#[from] TableError),
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

/// Which unknowns widen the outcomes, the widest first; shares below 2 % are left out.
pub(super) fn unsure(unknowns: &Unknowns, draws: &[Draw], outcomes: &[f64]) -> Vec<Unsure> {
    let shares = unknowns.shares(draws, outcomes).into_iter();
    shares
        .take_while(|(_, share)| *share >= 0.02)
        .map(|(prior, share)| Unsure { input: prior.about(), share, narrow: prior.narrow() })
        .collect()
}
