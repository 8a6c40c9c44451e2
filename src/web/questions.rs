//! What the pages of questions share: a change that is tried, the numbers, a note in the
//! diary.

use http::StatusCode;
use minijinja::{Value, context};
use serde::Serialize;

use super::{
    asked::{Asked, PageError},
    commands::Refusal,
    fields::Fields,
    form::Form,
    look,
    reply::Reply,
    shapes,
};
use crate::{answers::Document, report::clean};

/// The page of the question changed as a button says; none where none was pressed.
pub fn tried(asked: &Asked, page: &str) -> Option<Reply> {
    let fields = asked.query.with("try", "").changed(asked.query.get("try")?);
    Some(Reply::see(format!("{}{page}{}#answer", asked.site.root(), fields.query())))
}

/// What would help, each with the change of the form that tries it, where it has one.
pub fn helps(words: &[String], changes: impl Iterator<Item = Option<Fields>>) -> Vec<Value> {
    let changes = changes
        .map(|fields| fields.map(|fields| fields.query().trim_start_matches('?').to_owned()));
    words.iter().zip(changes).map(|(words, change)| context! { words, change }).collect()
}

/// The answer to a question of the form; where there is none, the form says why.
pub fn answered<A>(
    form: &mut Form,
    answer: Option<Result<A, Refusal>>,
    labels: &[(&str, &str)],
) -> Option<A> {
    let own = shapes::own_shape(form);
    let field = |option: &str| shapes::field(option, own.as_ref());
    answer?.map_err(|refusal| form.refused(&refusal, field, labels)).ok()
}

/// An answer, byte for byte as the command prints it with `--json`.
pub fn numbers(answer: &impl Serialize) -> Reply {
    match clean::json(&Document::of(answer)) {
        Ok(text) => Reply::of("application/json", text + "\n"),
        Err(error) => Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
    }
}

/// Why there are no numbers, for a form with these labels.
pub fn no_numbers(refusal: &Refusal, labels: &[(&str, &str)]) -> Reply {
    Reply::plain(StatusCode::BAD_REQUEST, &refusal.on_a_page(labels))
}

/// Why there are no numbers of a shape.
pub fn no_size() -> Reply {
    Reply::plain(StatusCode::BAD_REQUEST, "A size is missing or wrong.")
}

/// Notes in the diary what these arguments say was made, and shows the diary.
pub fn note(
    asked: &Asked,
    made: impl IntoIterator<Item = String>,
    labels: &[(&str, &str)],
) -> Result<Reply, PageError> {
    let words: Vec<String> = std::iter::once("add".to_owned()).chain(made).collect();
    match asked.site.commands.note(&words) {
        Ok(()) => Ok(Reply::see(asked.link_with("diary", "said", "filled"))),
        Err(refusal) => {
            let words = refusal.on_a_page(labels);
            look::trouble(asked, StatusCode::UNPROCESSABLE_ENTITY, &words)
        }
    }
}
