//! The page of cool: when a baked piece and its tray may be touched.

use minijinja::{context, value::Serde};

use super::{
    Refusal, Site,
    asked::{Asked, PageError, Route, Verb},
    form::{Form, Input, in_a_terminal, input, labels},
    look, questions,
    reply::Reply,
    typed::Beside,
};
use crate::{
    answers::cool::CoolAnswer,
    report::dough::cool_said,
    units::{Locale, System},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "cool", show), (Verb::Get, "cool.json", json)];

/// The fields, in the order of the form. The oven's setting has no unit beside it: a number
/// alone is refused there and not taken as °C or °F.
const FIELDS: &[Input] = &[
    input("thickness", "Thickness of the piece").of(Beside::SIZE),
    input("from", "Comes out of the oven at"),
    input("on", "Cools on"),
    input("tray", "The tray is of"),
    input("room", "Temperature of the room").of(Beside::DEGREES),
];

/// On what it cools, as the form says it.
const ON: [(&str, &str); 2] = [("rack", "a wire rack"), ("tray", "the tray it was baked on")];

/// What trays are made of.
const TRAYS: [&str; 2] = ["aluminium", "steel"];

fn show(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = form(asked);
    let arguments = arguments(&form, asked.units());
    let locale = Locale::of(asked.units(), None);
    let said = match ask(asked, &arguments) {
        Ok(answer) => Some(cool_said(&answer, locale)),
        Err(refusal) => {
            form.refused(&refusal, str::to_owned, &labels(FIELDS));
            None
        }
    };
    let values = context! {
        said => said.map(Serde),
        terminal => in_a_terminal(&arguments),
        on => ON.to_vec(),
        trays => TRAYS.map(|metal| (metal, locale.spelled(metal))).to_vec(),
    };
    look::question(asked, &form, "Cool", include_str!("cool.html"), values)
}

/// The numbers.
fn json(asked: &Asked) -> Result<Reply, PageError> {
    Ok(match ask(asked, &arguments(&form(asked), asked.units())) {
        Ok(answer) => questions::numbers(&answer),
        Err(refusal) => questions::no_numbers(&refusal, &labels(FIELDS)),
    })
}

fn ask(asked: &Asked, arguments: &[String]) -> Result<CoolAnswer, Refusal> {
    let Site { cache, commands, .. } = asked.site;
    cache.heavy(|| commands.cool(arguments))
}

/// The form as sent, or the one to begin with: an ordinary ornament out of a low oven.
fn form(asked: &Asked) -> Form {
    let units = asked.units();
    Form::beginning(FIELDS.to_vec(), (asked.query.clone(), units), || {
        let [thickness, from] = match units {
            System::Us => ["1/4", "200 F"],
            System::Metric => ["6", "95 C"],
        };
        vec![("thickness", thickness.to_owned()), ("from", from.to_owned())]
    })
}

/// The arguments of `solidby cool`.
fn arguments(form: &Form, units: System) -> Vec<String> {
    let made = FIELDS.iter().filter_map(|field| form.argument(field.name));
    let units = format!("--units={}", units.word());
    ["cool".to_owned()].into_iter().chain(made).chain([units]).collect()
}
