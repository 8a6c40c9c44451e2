//! Words of care beside an answer.

use schemars::JsonSchema;
use serde::Serialize;

use crate::tables::{self, Step};

/// A word of care.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CautionText {
    /// Name of it in the tables.
    pub id: &'static str,
    /// The words.
    pub text: &'static str,
    /// Title of its source.
    pub source: &'static str,
    /// Its row.
    #[serde(skip)]
    pub row: &'static tables::Caution,
}

impl CautionText {
    /// The words of a row.
    pub(super) fn of(caution: &'static tables::Caution) -> Self {
        Self { id: &caution.id, text: &caution.text, source: caution.source_title(), row: caution }
    }
}

/// The cautions of these steps for this age, each once, in the order of the table.
pub(super) fn cautions_at(steps: &[Step], youngest_years: f64) -> Vec<CautionText> {
    tables::cautions()
        .iter()
        .filter(|caution| steps.iter().any(|step| caution.applies(*step, youngest_years)))
        .map(CautionText::of)
        .collect()
}
