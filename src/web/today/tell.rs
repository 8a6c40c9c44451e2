//! What happened, told by a tap.

use std::path::PathBuf;

use super::show::{Said, moves, show};
use crate::{
    host::Source,
    planfile::{self, kept_beside},
    report::did::{doubt, seen},
    web::{
        Buffer, Laid,
        asked::{Asked, PageError},
        fields::Fields,
        laid::with_laid,
        reply::Reply,
        workspace::Told,
    },
};

/// A plan of many weeks with all that was told of it is still less than this, bytes.
const LARGEST: usize = 1 << 24;

/// Why a tap tells nothing.
const OLD_PAGE: &str = "Something was told since this page was shown, or this tap was sent \
    twice. Here is the day as it stands now.";

/// Keeps the plan as it is laid out now, to be followed.
pub fn keep(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, laid| {
        let Some(file) = followed(asked, open) else { return not_saved(asked, open, laid) };
        match asked.site.commands.keep(laid, &file) {
            Ok(()) => Ok(Reply::see(asked.link_with("today", "said", "followed"))),
            Err(refusal) => fault(asked, open, laid, refusal.words()),
        }
    })
}

/// Tells what happened to a step, or takes back what was told last.
pub fn did(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, laid| {
        let Some(file) = followed(asked, open) else { return not_saved(asked, open, laid) };
        if asked.form.get("count") != Some(number_told(laid).to_string().as_str()) {
            return fault(asked, open, laid, OLD_PAGE.to_owned());
        }
        if let Some(lacking) = lacking(&asked.form) {
            return wrong(asked, open, laid, lacking.to_owned());
        }
        let Ok(plan) = planfile::read(&open.text) else {
            return Ok(Reply::see(asked.link("plan")));
        };
        let answered = match asked.site.commands.did(plan, &file, &arguments(&asked.form)) {
            Ok(answered) => answered,
            Err(refusal) => return wrong(asked, open, laid, refusal.words()),
        };
        let schedule = &answered.schedule;
        let noted = answered.told.iter().map(|news| {
            let head = if news.back { "Taken back" } else { "Noted" };
            let doubt = doubt(news, schedule).map(|(doubt, _)| {
                format!(" {doubt} Then take it back below, and say when under “Something else”.")
            });
            let words = format!("{head}: {}.{}", seen(news, schedule), doubt.unwrap_or_default());
            schedule.spelling.words(&words)
        });
        let moved = moves(&answered.changes, schedule);
        let back = answered.told.iter().any(|news| news.back);
        let told = Told { noted: noted.collect(), moved, back };
        // What is kept is another plan now, and is laid out anew.
        with_laid(asked, |_, laid| {
            let (count, told) = (number_told(laid), told.clone());
            asked.site.workspace.change(|open| open.as_mut().map(|open| open.tell(count, told)));
            Ok(Reply::see(asked.link_with("today", "said", &count.to_string())))
        })
    })
}

/// How many things were told of the plan that is followed.
pub fn number_told(laid: &Laid) -> usize {
    laid.kept.as_ref().map_or(0, |kept| kept.happened.len())
}

/// The file of the plan that is followed, to be kept elsewhere.
pub fn file(asked: &Asked) -> Result<Reply, PageError> {
    let open = asked.site.workspace.look();
    let path = open.as_ref().and_then(|open| open.file(&asked.site.setting));
    let path = path.map(|path| kept_beside(&path));
    let read = path.as_ref().map(|path| asked.site.host.read(path, LARGEST, Source::File));
    match (open, read) {
        (Some(open), Some(Ok(Some(text)))) => {
            let name = format!("{}.kept.toml", open.stem());
            Ok(Reply::download("application/toml", &name, text))
        }
        _ => Ok(Reply::see(asked.link("today"))),
    }
}

/// The file of a plan that can be followed: one that is as its file has it.
fn followed(asked: &Asked, open: &Buffer) -> Option<PathBuf> {
    let can = asked.site.in_pocket() || open.is_saved();
    open.file(&asked.site.setting).filter(|_| can)
}

fn not_saved(asked: &Asked, open: &Buffer, laid: &Laid) -> Result<Reply, PageError> {
    fault(
        asked,
        open,
        laid,
        "Save the plan first: what happens is kept beside its file.".to_owned(),
    )
}

fn fault(asked: &Asked, open: &Buffer, laid: &Laid, words: String) -> Result<Reply, PageError> {
    show(asked, open, laid, Said { fault: words, ..Said::default() })
}

/// The same where something typed was wrong: it stays where it is.
fn wrong(asked: &Asked, open: &Buffer, laid: &Laid, words: String) -> Result<Reply, PageError> {
    let typed = asked.form.clone();
    show(asked, open, laid, Said { fault: words, typed, ..Said::default() })
}

/// What a form lacks to tell anything. The enter key presses a button that tells nothing.
fn lacking(form: &Fields) -> Option<&'static str> {
    let empty = |name: &str| form.get(name).is_none();
    match form.get("told") {
        None => Some("Nothing was noted: press one of the buttons."),
        Some("wet") if empty("wet") => Some("Nothing was noted: say how many are still wet."),
        Some("until") if empty("until") => Some("Nothing was noted: say until when it takes."),
        Some(_) => None,
    }
}

/// What a form tells, as the arguments of `solidby did`.
fn arguments(form: &Fields) -> Vec<String> {
    let told = form.get("told").unwrap_or_default();
    if told == "undo" {
        return vec!["--undo".to_owned()];
    }
    let option = |name: &str| form.get(name).map(|value| format!("--{name}={value}"));
    let mut all = vec![form.get("step").unwrap_or_default().to_owned()];
    all.extend(option("at"));
    match told {
        "solid" => all.push("--wet=0".to_owned()),
        "wet" | "until" => all.extend(option(told)),
        "firm" => all.extend(option("weight")),
        "soft" => all.extend(option("weight").into_iter().chain(["--soft".to_owned()])),
        "skipped" => all.push("--skipped".to_owned()),
        _ => {}
    }
    all
}
