//! The page of ice: a form, a drawing of the shape, the answer over the night.

mod changes;
mod drawing;
mod question;

use minijinja::{Value, context, value::Serde};

use super::{
    asked::{Asked, PageError, Route, Verb},
    form::{Form, in_a_terminal},
    look, questions,
    reply::Reply,
    shapes, typed,
};
use crate::{
    report::{
        chart,
        faults::Reader,
        ice::{Answered, said},
    },
    tables,
    units::Locale,
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
    let answered = arguments.as_deref().map(|arguments| asked.ice(arguments));
    let answered = questions::answered(&mut form, answered, &question::labels());
    let locale = Locale::of(asked.units(), None);
    let spelled = |words| locale.spelled(words);
    let values = context! {
        answer => answered.as_deref().map(|answered| answer(answered, asked)),
        terminal => arguments.as_deref().map(in_a_terminal),
        drawing => answered
            .as_deref()
            .and_then(|answered| drawing::of(&answered.question, asked.units()))
            .map(Value::from_safe_string),
        walls => tables::walls().iter().map(|it| (it.name(), spelled(it.words()))).collect::<Vec<_>>(),
        stands => tables::stands().iter().map(|it| (it.name(), it.words())).collect::<Vec<_>>(),
        freezers => tables::freezers().iter().map(|it| (it.name(), it.words())).collect::<Vec<_>>(),
        times => ["at", "by"].map(|name| typed::input_type(form.get(name))).to_vec(),
        hidden => form.hidden(),
        ..shapes::values(&form, asked.units())
    };
    look::question(asked, &form, "Ice", include_str!("ice.html"), values)
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
        None => questions::no_size(),
    })
}

/// Notes in the diary that these blocks were filled.
fn note(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = Form::of(question::inputs(), asked.form.clone(), asked.units());
    let arguments = question::arguments(&mut form, asked.units()).unwrap_or_default();
    let asks = |argument: &String| ["--by=", "--units="].iter().any(|it| argument.starts_with(it));
    questions::note(asked, arguments.into_iter().filter(|it| !asks(it)), &question::labels())
}
