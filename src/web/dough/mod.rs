//! The page of dough: a form, and oven and air side by side.

mod changes;
mod question;

use std::sync::Arc;

use hyper::StatusCode;
use minijinja::{Value, context, value::Serde};

use super::{
    Refusal,
    asked::{Asked, PageError, Route, Verb},
    form::{Form, in_a_terminal, in_fields, in_form},
    look,
    reply::Reply,
    typed,
};
use crate::{
    answers::{Document, dough::course},
    report::{
        chart,
        dough::{Answered, said},
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
    if let Some(change) = asked.query.get("try") {
        let fields = asked.query.with("try", "").changed(change);
        return Ok(Reply::see(format!("{}dough{}#answer", asked.site.root(), fields.query())));
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
            form.refused(refusal, str::to_owned, question::LABELS);
            Vec::new()
        }
    };
    let recipes = tables::recipes().iter().map(|recipe| {
        let words = recipe.note().map(|note| format!("{}: {note}", recipe.name()));
        (recipe.name(), words.unwrap_or_else(|| recipe.name().to_owned()))
    });
    let ways_out = answered.as_deref().ok().and_then(|answered| answered.first());
    let ways_out = ways_out.map(|(_, answered)| said(answered));
    let values = context! {
        answers => answers,
        ways => ways_out.as_ref().map(|said| &said.ways),
        of_ways => ways_out.as_ref().and_then(|said| said.of_ways.as_ref()),
        recipes => recipes.collect::<Vec<_>>(),
        times => ["at", "by"].map(|name| typed::input_type(form.get(name))).to_vec(),
        hidden => form.hidden(),
        ..form.values()
    };
    look::page(asked, "Dough", include_str!("dough.html"), values)
}

fn form(asked: &Asked) -> Form {
    question::form(asked.query.clone(), asked.now, asked.units())
}

fn ask(asked: &Asked, form: &Form, way: Way) -> Result<Arc<Answered>, Refusal> {
    asked.dough(&question::arguments(form, way, asked.units()))
}

/// One way's answer for the template.
fn answer(way: Way, answered: &Answered, asked: &Asked, form: &Form) -> Value {
    let said = in_fields(said(answered), question::LABELS);
    let changes = answered.both.answer.remedies.iter().map(|remedy| {
        changes::fields(&answered.question, remedy, asked.units())
            .map(|fields| fields.query().trim_start_matches('?').to_owned())
    });
    let helps: Vec<Value> =
        said.helps.iter().zip(changes).map(|(words, change)| context! { words, change }).collect();
    let course = course(&answered.question).unwrap_or_default();
    let chart = (!course.is_empty()).then(|| {
        let mut chart = chart::dough(answered, &course);
        chart.id = format!("dough-{}", way.word());
        Value::from_safe_string(chart::in_answer(&chart))
    });
    let terminal = in_a_terminal(&question::arguments(form, way, asked.units()));
    context! { way => way.word(), said => Serde(&said), helps, chart, terminal }
}

/// The numbers of one way, byte for byte as `solidby dough --json` prints them.
fn json(asked: &Asked) -> Result<Reply, PageError> {
    let form = form(asked);
    let way = if asked.query.get("way") == Some("air") { Way::Air } else { Way::Oven };
    let document = match ask(asked, &form, way) {
        Ok(answered) => serde_json::to_string_pretty(&Document::of(&answered.both)),
        Err(refusal) => {
            let words = in_form(&refusal, question::LABELS);
            return Ok(Reply::plain(StatusCode::BAD_REQUEST, &words));
        }
    };
    Ok(match document {
        Ok(text) => Reply::of("application/json", text + "\n"),
        Err(error) => Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
    })
}

/// Notes in the diary that these pieces went in.
fn note(asked: &Asked) -> Result<Reply, PageError> {
    let way = if asked.form.get("way") == Some("air") { Way::Air } else { Way::Oven };
    let form = Form::of(question::NAMES, asked.form.clone());
    let mut words = vec!["add".to_owned()];
    words.extend(question::noted(&form, way));
    match asked.site.commands.note(&words) {
        Ok(()) => Ok(Reply::see(asked.link("diary"))),
        Err(refusal) => look::refused(asked, &refusal, question::LABELS),
    }
}
