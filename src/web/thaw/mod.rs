//! The page of thaw: how long a block lasts out of the freezer.

use minijinja::{context, value::Serde};

use super::{
    Refusal, Site,
    asked::{Asked, PageError, Route, Verb},
    form::{self, Form, Input, in_a_terminal, input},
    look, questions,
    reply::Reply,
    shapes,
    typed::Beside,
};
use crate::{
    answers::thaw::ThawAnswer,
    report::thaw::thaw_said,
    units::{Locale, System, length},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "thaw", show), (Verb::Get, "thaw.json", json)];

/// The fields after those of the shape, in the order of the form.
const FIELDS: &[Input] = &[
    input("fill", "Depth of the water").of(Beside::SIZE),
    input("in", "Kept"),
    input("wall", "Wall of the cool box").of(Beside::SIZE),
    input("count", "How many together"),
    input("room", "Temperature of the room").of(Beside::DEGREES),
    input("humidity", "Humidity of the room").of(Beside::SHARE),
    input("start", "Temperature of the ice").of(Beside::DEGREES),
];

/// Options that have a field of the same name.
const SAME: [&str; 5] = ["fill", "count", "room", "humidity", "start"];

/// Where it is, as the form says it.
const KEEPING: [(&str, &str); 3] =
    [("open", "on the table"), ("bag", "in a bag"), ("cool-box", "in a cool box")];

fn show(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = form(asked);
    let arguments = arguments(&mut form, asked.units());
    let answer = arguments.as_deref().map(|arguments| ask(asked, arguments));
    let answer = questions::answered(&mut form, answer, &labels());
    let said = answer.map(|answer| thaw_said(&answer, Locale::of(asked.units(), None)));
    let values = context! {
        said => said.map(Serde),
        terminal => arguments.as_deref().map(in_a_terminal),
        keeping => KEEPING.to_vec(),
        ..shapes::values(&form, asked.units())
    };
    look::question(asked, &form, "Thaw", include_str!("thaw.html"), values)
}

/// The numbers.
fn json(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = form(asked);
    Ok(match arguments(&mut form, asked.units()).map(|arguments| ask(asked, &arguments)) {
        Some(Ok(answer)) => questions::numbers(&answer),
        Some(Err(refusal)) => questions::no_numbers(&refusal, &labels()),
        None => questions::no_size(),
    })
}

fn ask(asked: &Asked, arguments: &[String]) -> Result<ThawAnswer, Refusal> {
    let Site { cache, commands, .. } = asked.site;
    cache.heavy(|| commands.thaw(arguments))
}

/// The form as sent, or the one to begin with: four stars in a cool box.
fn form(asked: &Asked) -> Form {
    let inputs = shapes::inputs().into_iter().chain(FIELDS.iter().copied()).collect();
    Form::beginning(inputs, (asked.query.clone(), asked.units()), || {
        ["shape=star", "in=cool-box", "count=4"]
            .iter()
            .filter_map(|pair| pair.split_once('='))
            .map(|(name, value)| (name, value.to_owned()))
            .collect()
    })
}

fn labels() -> Vec<(&'static str, &'static str)> {
    shapes::labels().chain(form::labels(FIELDS)).collect()
}

/// The arguments of `solidby thaw`; none where the form has a fault, which it then says.
fn arguments(form: &mut Form, units: System) -> Option<Vec<String>> {
    let mut arguments = vec!["thaw".to_owned()];
    arguments.extend(shapes::arguments(form)?);
    let keeping = form.get("in").unwrap_or("open").to_owned();
    let wall = form.measured("wall").filter(|_| keeping == "cool-box");
    if let Some(fault) = wall.as_deref().and_then(|wall| length(wall).err()) {
        form.fault("wall", fault.to_string());
        return None;
    }
    arguments.push(match wall {
        Some(wall) => format!("--in={keeping}:{wall}"),
        None => format!("--in={keeping}"),
    });
    arguments.extend(SAME.iter().filter_map(|name| form.argument(name)));
    arguments.push(format!("--units={}", units.word()));
    Some(arguments)
}
