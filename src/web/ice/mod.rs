//! The page of ice: a form, a drawing of the shape, the answer over the night.

mod changes;
mod drawing;
mod question;

use hyper::StatusCode;
use minijinja::{Value, context, value::Serde};

use super::{
    asked::{Asked, PageError, Route, Verb},
    form::{Form, in_a_terminal, in_fields, in_form},
    look,
    reply::Reply,
    typed,
};
use crate::{
    answers::Document,
    report::{
        chart,
        ice::{Answered, said},
    },
    tables,
};

/// The paths of this page.
pub const ROUTES: &[Route] =
    &[(Verb::Get, "ice", show), (Verb::Get, "ice.json", json), (Verb::Post, "ice/note", note)];

fn show(asked: &Asked) -> Result<Reply, PageError> {
    if let Some(change) = asked.query.get("try") {
        let fields = asked.query.with("try", "").changed(change);
        return Ok(Reply::see(format!("{}ice{}#answer", asked.site.root(), fields.query())));
    }
    let now = asked.now;
    let mut form = question::form(asked.query.clone(), now);
    let arguments = question::arguments(&mut form, asked.units());
    let answered = match arguments.as_deref().map(|arguments| asked.ice(arguments)) {
        Some(Ok(answered)) => Some(answered),
        Some(Err(refusal)) => {
            let shape = question::shape(&form);
            let field = |option: &str| question::field(option, &shape);
            form.refused(&refusal, field, &question::labels());
            None
        }
        None => None,
    };
    let shape = question::shape(&form);
    let values = context! {
        answer => answered.as_deref().map(|answered| answer(answered, asked)),
        terminal => arguments.as_deref().map(in_a_terminal),
        drawing => answered
            .as_deref()
            .and_then(|answered| drawing::of(&answered.question, asked.units()))
            .map(Value::from_safe_string),
        usual => question::usual_size(&shape, asked.units()),
        moulds => names(tables::moulds().iter().map(tables::Mould::name)),
        own_shapes => own_shapes(),
        more_sizes => more_sizes(),
        walls => names(tables::walls().iter().map(tables::Wall::name)),
        stands => names(tables::stands().iter().map(tables::Stand::name)),
        freezers => names(tables::freezers().iter().map(tables::Freezer::name)),
        times => ["at", "by"].map(|name| typed::input_type(form.get(name))).to_vec(),
        hidden => form.hidden(),
        ..form.values()
    };
    look::page(asked, "Ice", include_str!("ice.html"), values)
}

/// Each with its words and the fields of its sizes.
fn own_shapes() -> Vec<(&'static str, &'static str, String)> {
    let shapes = question::own_shapes().into_iter();
    shapes.map(|own| (own.name, own.words, own.sizes.join(" "))).collect()
}

/// Each with its label.
fn more_sizes() -> Vec<(&'static str, &'static str)> {
    question::more_sizes().iter().map(|field| (field.name, field.words)).collect()
}

fn names<'a>(names: impl Iterator<Item = &'a str>) -> Vec<(&'a str, &'a str)> {
    names.map(|name| (name, name)).collect()
}

/// The answer for the template.
fn answer(answered: &Answered, asked: &Asked) -> Value {
    let said = in_fields(said(answered), &question::labels());
    let changes = answered.answer.remedies.iter().map(|remedy| {
        changes::fields(&answered.question, remedy, asked.units())
            .map(|fields| fields.query().trim_start_matches('?').to_owned())
    });
    let helps: Vec<Value> =
        said.helps.iter().zip(changes).map(|(words, change)| context! { words, change }).collect();
    let chart = chart::in_answer(&chart::ice(answered));
    context! { said => Serde(&said), helps, chart => Value::from_safe_string(chart) }
}

/// The numbers, byte for byte as `solidby ice --json` prints them.
fn json(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = question::form(asked.query.clone(), asked.now);
    let arguments = question::arguments(&mut form, asked.units());
    let answered = arguments.as_deref().map(|arguments| asked.ice(arguments));
    let document = match answered {
        Some(Ok(answered)) => serde_json::to_string_pretty(&Document::of(&answered.answer)),
        Some(Err(refusal)) => {
            let words = in_form(&refusal, &question::labels());
            return Ok(Reply::plain(StatusCode::BAD_REQUEST, &words));
        }
        None => return Ok(Reply::plain(StatusCode::BAD_REQUEST, "A size is missing or wrong.")),
    };
    Ok(match document {
        Ok(text) => Reply::of("application/json", text + "\n"),
        Err(error) => Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
    })
}

/// Notes in the diary that these blocks were filled.
fn note(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = Form::of(&question::NAMES, asked.form.clone());
    let arguments = question::arguments(&mut form, asked.units()).unwrap_or_default();
    let made = arguments
        .into_iter()
        .filter(|argument| !["--by=", "--units="].iter().any(|other| argument.starts_with(other)));
    let words: Vec<String> = std::iter::once("add".to_owned()).chain(made).collect();
    match asked.site.commands.note(&words) {
        Ok(()) => Ok(Reply::see(asked.link("diary"))),
        Err(refusal) => look::refused(asked, &refusal, &question::labels()),
    }
}
