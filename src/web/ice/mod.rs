//! The page of ice: a form, a drawing of the shape, the answer over the night.

mod changes;
mod drawing;
mod question;

use http::StatusCode;
use minijinja::{Value, context, value::Serde};

use super::{
    asked::{Asked, PageError, Route, Verb},
    form::{Form, in_a_terminal},
    look, questions,
    reply::Reply,
    typed,
};
use crate::{
    report::{
        chart,
        faults::Reader,
        ice::{Answered, said},
    },
    tables,
};

/// The paths of this page.
pub const ROUTES: &[Route] =
    &[(Verb::Get, "ice", show), (Verb::Get, "ice.json", json), (Verb::Post, "ice/note", note)];

fn show(asked: &Asked) -> Result<Reply, PageError> {
    if let Some(changed) = questions::tried(asked, "ice") {
        return Ok(changed);
    }
    let now = asked.now;
    let mut form = question::form((asked.query.clone(), asked.units()), now);
    let arguments = question::arguments(&mut form, asked.units());
    let answered = match arguments.as_deref().map(|arguments| asked.ice(arguments)) {
        Some(Ok(answered)) => Some(answered),
        Some(Err(refusal)) => {
            let own = question::own_shape(&form);
            let field = |option: &str| question::field(option, own.as_ref());
            form.refused(&refusal, field, &question::labels());
            None
        }
        None => None,
    };
    let values = context! {
        answer => answered.as_deref().map(|answered| answer(answered, asked)),
        terminal => arguments.as_deref().map(in_a_terminal),
        drawing => answered
            .as_deref()
            .and_then(|answered| drawing::of(&answered.question, asked.units()))
            .map(Value::from_safe_string),
        usual => question::usual_size(&form, asked.units()),
        moulds => names(tables::moulds().iter().map(tables::Mould::name)),
        own_shapes => own_shapes(),
        more_sizes => more_sizes(),
        walls => names(tables::walls().iter().map(tables::Wall::name)),
        stands => names(tables::stands().iter().map(tables::Stand::name)),
        freezers => names(tables::freezers().iter().map(tables::Freezer::name)),
        times => ["at", "by"].map(|name| typed::input_type(form.get(name))).to_vec(),
        hidden => form.hidden(),
    };
    look::question(asked, &form, "Ice", include_str!("ice.html"), values)
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
    let said = said(answered, Reader::Page(&question::labels()));
    let remedies = answered.answer.remedies.iter();
    let change = |remedy| changes::fields(&answered.question, remedy, asked.units());
    let helps = questions::helps(&said.helps, remedies.map(change));
    let chart = chart::in_answer(&chart::ice(answered));
    context! { said => Serde(&said), helps, chart => Value::from_safe_string(chart) }
}

/// The numbers.
fn json(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = question::form((asked.query.clone(), asked.units()), asked.now);
    let arguments = question::arguments(&mut form, asked.units());
    Ok(match arguments.as_deref().map(|arguments| asked.ice(arguments)) {
        Some(Ok(answered)) => questions::numbers(&answered.answer),
        Some(Err(refusal)) => questions::no_numbers(&refusal, &question::labels()),
        None => Reply::plain(StatusCode::BAD_REQUEST, "A size is missing or wrong."),
    })
}

/// Notes in the diary that these blocks were filled.
fn note(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = Form::of(question::inputs(), asked.form.clone(), asked.units());
    let arguments = question::arguments(&mut form, asked.units()).unwrap_or_default();
    let asks = |argument: &String| ["--by=", "--units="].iter().any(|it| argument.starts_with(it));
    questions::note(asked, arguments.into_iter().filter(|it| !asks(it)), &question::labels())
}
