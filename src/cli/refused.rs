//! What the argument parser refuses, as a fault of its field.

use std::error::Error;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::typed::CountError;
use crate::{
    report::faults::{Refusal, Wrong},
    units::QuantityError,
};

/// The option and the reason of what the argument parser refuses.
pub fn refused(error: &clap::Error) -> Refusal {
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::Strings(texts)) => texts.first().cloned(),
        _ => None,
    };
    let field = text(ContextKind::InvalidArg);
    let field = field.as_deref().and_then(|usage| usage.strip_prefix("--"));
    let field = field.and_then(|usage| usage.split([' ', '=', '[']).next()).map(str::to_owned);
    let source = error.source();
    let quantity = source.and_then(|source| source.downcast_ref::<QuantityError>());
    let count = source.and_then(|source| source.downcast_ref::<CountError>());
    let wrong = match (quantity, count, error.get(ContextKind::ValidValue)) {
        (Some(quantity), ..) => Wrong::NoQuantity(quantity.clone()),
        (_, Some(count), _) => {
            let CountError { least, most, .. } = *count;
            Wrong::NoCount { typed: count.typed.clone(), least, most }
        }
        (.., Some(ContextValue::Strings(known))) if error.kind() == ErrorKind::InvalidValue => {
            let typed = text(ContextKind::InvalidValue).unwrap_or_default();
            Wrong::NoneOf { typed, known: known.clone() }
        }
        _ if error.kind() == ErrorKind::MissingRequiredArgument => Wrong::Missing,
        _ => Wrong::Said(match source {
            Some(reason) => reason.to_string(),
            None => first_line(&error.to_string()),
        }),
    };
    Refusal { field, wrong: Box::new(wrong) }
}

/// What the parser prints first, without the word that it begins with.
pub fn first_line(printed: &str) -> String {
    printed.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned()
}
