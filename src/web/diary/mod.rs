//! The page of the diary: what was foretold and what was seen, and a look with one tap.

use std::path::Path;

use chrono::DateTime;
use http::StatusCode;
use minijinja::{Value, context};

use super::{
    asked::{Asked, PageError, Route, Verb},
    look,
    reply::Reply,
};
use crate::{
    answers::diary::Taker,
    host::Source,
    planfile::LARGEST_FILE,
    report::{
        answers::{band, time},
        diary::{Appliance, NoteShown},
    },
    units::{Locale, zone::Zone},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "diary", show),
    (Verb::Get, "diary/diary.toml", file),
    (Verb::Post, "diary/look", add_look),
    (Verb::Post, "diary/back", take_back),
];

/// A look at what went in longer ago than this is no longer a tap away, days.
const RECENT_DAYS: i64 = 4;

fn show(asked: &Asked) -> Result<Reply, PageError> {
    shown(asked, "")
}

/// The diary, with what was wrong with the last tap.
fn shown(asked: &Asked, fault: &str) -> Result<Reply, PageError> {
    let shown = match asked.diary() {
        Ok(shown) => shown,
        Err(refusal) => return look::trouble(asked, StatusCode::OK, &refusal.words()),
    };
    let now = (asked.now, Locale::of(asked.units(), None));
    let appliances: Vec<Value> =
        shown.appliances.iter().map(|appliance| appliance_values(appliance, now)).collect();
    let [noted, said] = ["noted", "said"].map(|name| asked.query.get(name).unwrap_or_default());
    let values = context! { diary => &shown.diary, appliances, noted, said, fault };
    look::page(asked, "Diary", include_str!("diary.html"), values)
}

fn appliance_values(appliance: &Appliance, now: (DateTime<Zone>, Locale)) -> Value {
    let looks: Vec<String> = appliance.looks.iter().map(|look| time(look.after_h)).collect();
    context! {
        heading => appliance.heading(),
        warning => appliance.warning(),
        called => &appliance.called,
        looks => looks.join(" and "),
        // The newest first: it is the one to look at.
        notes => appliance
            .notes
            .iter()
            .rev()
            .map(|note| note_values(note, appliance, now))
            .collect::<Vec<_>>(),
    }
}

fn note_values(
    note: &NoteShown,
    appliance: &Appliance,
    (now, locale): (DateTime<Zone>, Locale),
) -> Value {
    let NoteShown { told, noted } = note;
    let at = DateTime::parse_from_rfc3339(&told.at).ok();
    let recent = at.is_some_and(|at| now.signed_duration_since(at).num_days() < RECENT_DAYS);
    let words: [(&str, &str); 2] = match appliance.kind {
        Taker::Freezer => [("wet", "Still wet"), ("solid", "Solid")],
        _ => [("soft", "Still soft"), ("hard", "Hard")],
    };
    context! {
        number => told.number,
        at => &told.at,
        when => told.when(locale),
        made => locale.spelled(&told.made),
        seen => told.seen_words(),
        looked => told.seen.len(),
        last => told.seen.last().map(|(after_h, what)| format!("{what} after {}", time(*after_h))),
        before => noted.before_h.as_ref().map(band),
        after => noted.after_h.as_ref().map(band),
        odd => noted.odd,
        done => words[1].0,
        looks => recent.then(|| words.to_vec()),
    }
}

/// The diary's own file, to be kept elsewhere.
fn file(asked: &Asked) -> Result<Reply, PageError> {
    let path = asked.diary().map(|shown| shown.diary.clone()).unwrap_or_default();
    match asked.site.host.read(Path::new(&path), LARGEST_FILE, Source::File) {
        Ok(Some(text)) => Ok(Reply::download("application/toml", "diary.toml", text)),
        Ok(None) => look::trouble(asked, StatusCode::NOT_FOUND, "There are no notes yet."),
        Err(error) => look::trouble(asked, StatusCode::NOT_FOUND, &error.to_string()),
    }
}

/// Adds a look of this moment to a note.
fn add_look(asked: &Asked) -> Result<Reply, PageError> {
    let field = |name: &str| asked.form.get(name).unwrap_or_default().to_owned();
    let (what, now) = (field("seen"), asked.now.to_rfc3339());
    let words = [
        "look".to_owned(),
        format!("--note={}", field("note")),
        format!("--at={}", field("at")),
        format!("--seen={now} {what}"),
    ];
    told(asked, &words, "noted", &what)
}

/// Takes a note back, or its last look: the one that the page showed.
fn take_back(asked: &Asked) -> Result<Reply, PageError> {
    let field = |name: &str| asked.form.get(name).unwrap_or_default();
    let shown = ["note", "at", "looks"].map(|name| format!("--{name}={}", field(name)));
    let what = if field("what") == "look" { "look" } else { "note" };
    let mut words = vec!["back".to_owned()];
    words.extend(shown);
    words.extend((what == "look").then(|| "--last-look".to_owned()));
    told(asked, &words, "said", what)
}

/// The diary after a tap, with a word in its address of what was done; or with why it was not.
fn told(asked: &Asked, words: &[String], name: &str, what: &str) -> Result<Reply, PageError> {
    match asked.site.commands.note(words) {
        Ok(()) => Ok(Reply::see(asked.link_with("diary", name, what))),
        Err(refusal) => {
            Ok(shown(asked, &refusal.words())?.status(StatusCode::UNPROCESSABLE_ENTITY))
        }
    }
}
