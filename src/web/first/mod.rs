//! The page of a first plan: six questions, and the plan file that their answers make of the
//! starter.

mod plan;

use chrono::{Datelike, Duration, Weekday};
use minijinja::context;

use super::{
    Buffer,
    asked::{Asked, PageError, Route, Verb},
    form::{Form, Input, input},
    look,
    reply::Reply,
    shapes,
};
use crate::{
    planfile::{self, Fault, Named, Table},
    tables,
    units::Locale,
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "first", show), (Verb::Post, "first", make)];

/// The fields, in the order of the form.
const FIELDS: &[Input] = &[
    input("name", "What your group is called"),
    input("children", "How many children"),
    input("at", "Day and time of the first session"),
    input("mould", "Shape of the blocks"),
    input("own", "How many of these you have"),
    input("freezer", "Kind of freezer"),
    input("from", "Hands free at home from"),
    input("until", "Hands free at home until"),
    input("leave", "When you leave for school that day"),
    input("way", "Minutes that the way takes"),
    input("zone", "Time zone"),
];

/// The field that a key of the plan file comes from.
const KEYS: [(&str, &str); 10] = [
    ("name", "name"),
    ("children", "children"),
    ("at", "at"),
    ("shape", "mould"),
    ("own", "own"),
    ("kind", "freezer"),
    ("home", "until"),
    ("class", "at"),
    ("travel", "way"),
    ("timezone", "zone"),
];

/// Days until the session that the form begins with: time to freeze.
const AHEAD: i64 = 7;

fn show(asked: &Asked) -> Result<Reply, PageError> {
    let form = Form::beginning(FIELDS.to_vec(), (asked.query.clone(), asked.units()), || {
        let soon = asked.now.date_naive() + Duration::days(AHEAD);
        let weekend =
            |day: &chrono::NaiveDate| [Weekday::Sat, Weekday::Sun].contains(&day.weekday());
        let day = soon.iter_days().find(|day| !weekend(day)).unwrap_or(soon);
        let zone = asked.now.timezone().name().unwrap_or_default();
        let first = [
            ("mould", "star"),
            ("own", "4"),
            ("freezer", "fridge-freezer"),
            ("from", "18:30"),
            ("until", "21:30"),
            ("leave", "08:30"),
            ("way", "15"),
            ("zone", zone),
        ];
        let first = first.map(|(name, value)| (name, value.to_owned()));
        first.into_iter().chain([("at", format!("{day}T09:30"))]).collect()
    });
    asks(asked, &form)
}

fn asks(asked: &Asked, form: &Form) -> Result<Reply, PageError> {
    let values = context! {
        is_open => unsaved(asked),
        zones => chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name()).collect::<Vec<_>>(),
        freezers => tables::freezers().iter().map(|it| (it.name(), it.words())).collect::<Vec<_>>(),
        ..shapes::values(form, asked.units())
    };
    look::question(asked, form, "A first plan", include_str!("first.html"), values)
}

/// Whether a plan with changes that would be lost is open.
fn unsaved(asked: &Asked) -> bool {
    !asked.site.in_pocket() && asked.site.workspace.look().is_some_and(|open| !open.is_saved())
}

/// Makes the plan, opens it, and goes to its calendar.
fn make(asked: &Asked) -> Result<Reply, PageError> {
    let mut form = Form::of(FIELDS.to_vec(), asked.form.clone(), asked.units());
    for field in FIELDS {
        if form.get(field.name).is_none() {
            form.fault(field.name, "empty, and needed for a plan");
        }
    }
    let Some(text) = plan::text(&mut form, asked.units()) else { return asks(asked, &form) };
    match planfile::read(&text) {
        Ok(plan) => {
            let mut sessions = plan.ice.iter().flat_map(|ice| &ice.sessions);
            if sessions.any(|session| session.at <= asked.now) {
                form.fault("at", "is over; choose a day and a time still to come");
            }
        }
        Err(faults) => {
            let locale = Locale::of(asked.units(), None);
            faults.iter().for_each(|fault| tell(&mut form, fault, locale));
        }
    }
    if form.is_faulty() || unsaved(asked) {
        return asks(asked, &form);
    }
    asked.site.open(Buffer::new(text));
    Ok(Reply::see(asked.link("plan/steps")))
}

/// A fault of the plan file at the field that it comes from.
fn tell(form: &mut Form, fault: &Fault, locale: Locale) {
    let key = fault.key.as_deref().unwrap_or_default();
    let name = KEYS.iter().find(|(known, _)| *known == key).map(|(_, name)| *name);
    let field = FIELDS.iter().find(|field| name == Some(field.name));
    let named = field.map_or(Named::Key(key), |field| Named::Label(field.label, Table::Plan));
    let words = [Some(fault.wrong.message(named)), fault.wrong.help(named)];
    let words = locale.spelled(&words.into_iter().flatten().collect::<Vec<_>>().join("; "));
    match field {
        Some(field) => form.fault(field.name, words),
        None => form.other(words),
    }
}
