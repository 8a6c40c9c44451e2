//! The page of dough: a form, and oven and air side by side.

mod changes;
mod question;

use std::sync::Arc;

use minijinja::{Value, context, value::Serde};

use super::{
    Refusal,
    asked::{Asked, PageError, Route, Verb},
    form::{Form, in_a_terminal},
    look, questions,
    reply::Reply,
    typed,
};
use crate::{
    answers::dough::course,
    report::{
        chart,
        dough::{Answered, said},
        faults::Reader,
    },
    tables,
};
use question::Way;

/// The paths of this page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "dough", show),
    (Verb::Get, "dough.json", json),
    (Verb::Post, "dough/note", note),
];

fn show(asked: &Asked) -> Result<Reply, PageError> {
    if let Some(changed) = questions::tried(asked, "dough") {
        return Ok(changed);
    }
    let mut form = form(asked);
    let ways = Way::all(&form);
    let answered: Result<Vec<_>, Refusal> =
        ways.iter().map(|way| ask(asked, &form, *way).map(|answered| (*way, answered))).collect();
    let answers = match &answered {
        Ok(answered) => {
            answered.iter().map(|(way, answered)| answer(*way, answered, asked, &form)).collect()
        }
        Err(refusal) => {
            form.refused(refusal, str::to_owned, &question::labels());
            Vec::new()
        }
    };
    let recipes = tables::recipes().iter().map(|recipe| {
        let words = recipe.note().map(|note| format!("{}. {note}", recipe.words()));
        (recipe.name(), words.unwrap_or_else(|| recipe.words().to_owned()))
    });
    let ways_out = answered.as_deref().ok().and_then(|answered| answered.first());
    let ways_out = ways_out.map(|(_, answered)| said(answered, Reader::Page(&question::labels())));
    let values = context! {
        answers => answers,
        ways => ways_out.as_ref().map(|said| &said.ways),
        of_ways => ways_out.as_ref().and_then(|said| said.of_ways.as_ref()),
        ovens => [tables::Oven::still(), tables::Oven::fan()].map(|it| (it.name(), it.words())),
        recipes => recipes.collect::<Vec<_>>(),
        times => ["at", "by"].map(|name| typed::input_type(form.get(name))).to_vec(),
        hidden => form.hidden(),
    };
    look::question(asked, &form, "Dough", include_str!("dough.html"), values)
}

fn form(asked: &Asked) -> Form {
    question::form(asked.query.clone(), asked.now, asked.units())
}

fn ask(asked: &Asked, form: &Form, way: Way) -> Result<Arc<Answered>, Refusal> {
    asked.dough(&question::arguments(form, way, asked.units()))
}

/// One way's answer for the template.
fn answer(way: Way, answered: &Answered, asked: &Asked, form: &Form) -> Value {
    let said = said(answered, Reader::Page(&question::labels()));
    let remedies = answered.both.answer.remedies.iter();
    let change = |remedy| changes::fields(&answered.question, remedy, asked.units());
    let helps = questions::helps(&said.helps, remedies.map(change));
    let course = course(&answered.question).unwrap_or_default();
    let chart = (!course.is_empty()).then(|| {
        let mut chart = chart::dough(answered, &course);
        chart.id = format!("dough-{}", way.word());
        Value::from_safe_string(chart::in_answer(&chart))
    });
    let terminal = in_a_terminal(&question::arguments(form, way, asked.units()));
    context! { way => way.word(), said => Serde(&said), helps, chart, terminal }
}

/// The numbers of one way.
fn json(asked: &Asked) -> Result<Reply, PageError> {
    Ok(match ask(asked, &form(asked), Way::of(&asked.query)) {
        Ok(answered) => questions::numbers(&answered.both),
        Err(refusal) => questions::no_numbers(&refusal, &question::labels()),
    })
}

/// Notes in the diary that these pieces went in.
fn note(asked: &Asked) -> Result<Reply, PageError> {
    let form = Form::of(question::inputs(), asked.form.clone(), asked.units());
    questions::note(asked, question::noted(&form, Way::of(&asked.form)), &question::labels())
}
