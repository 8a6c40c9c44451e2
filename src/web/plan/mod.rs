//! The page of plan: a plan file as a form, and what it comes to.
//!
//! One open plan: its text as it was on the disk and as it is now. A form becomes typed
//! changes of the plan file; the plan file's reader alone says what is wrong. A wrong
//! value stays in the text, so that it can be seen and mended, and a text with faults is
//! neither saved nor laid out. A page from before the last change changes nothing, and a
//! file that is another one on the disk by now is not overwritten.

mod blanks;
mod desk;
mod faults;
mod form;
mod fresh;
mod planner;
mod sent;
mod steps;

pub use desk::{Desk, Open};
pub use planner::Planner;

use chrono_tz::TZ_VARIANTS;
use minijinja::{context, value::Serde};

use super::{
    look::{self, PageError},
    program::Refusal,
    reply::Reply,
    routes::{Asked, Route, Verb},
};
use crate::{
    planfile::{
        self,
        edit::{self, Change, EditError, Entry, List, written},
    },
    report::sheet,
};
use form::Form;

/// The paths of this page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "plan", plan),
    (Verb::Post, "plan", change),
    (Verb::Get, "plan/text", as_text),
    (Verb::Post, "plan/text", change_text),
    (Verb::Post, "plan/start", start),
    (Verb::Post, "plan/open", open_file),
    (Verb::Post, "plan/again", read_again),
    (Verb::Post, "plan/close", close),
    (Verb::Get, "plan/steps", steps::steps),
    (Verb::Get, "plan/plan.ics", steps::calendar),
    (Verb::Get, "plan/sheet.html", steps::sheet),
    (Verb::Get, "plan.css", |_| {
        let style = [sheet::DAYS, include_str!("plan.css")].concat();
        Ok(Reply::of("text/css; charset=utf-8", style))
    }),
];

const CHANGED_ELSEWHERE: &str = "The plan was changed in another window since this page was shown. \
    Here it is as it stands now; what you had typed on the old page was not taken.";

/// What a page says at its head. All are answers with status 200: a form that is
/// shown again is no failed request, and browsers log those that are.
#[derive(Clone, Copy)]
enum Said<'a> {
    /// What has happened; may be empty.
    Well(&'a str),
    /// Why it has not.
    Wrong(&'a str),
}

impl<'a> Said<'a> {
    fn words(self) -> &'a str {
        match self {
            Self::Well(words) | Self::Wrong(words) => words,
        }
    }
}

fn plan(asked: &Asked) -> Result<Reply, PageError> {
    let Some(open) = asked.site.desk.look() else { return nothing_open(asked, "") };
    let said = match asked.query.get("said") {
        Some("saved") => "Saved.",
        Some("read") => "Read again from the disk.",
        _ => "",
    };
    show(asked, &open, Said::Well(said))
}

/// The page to begin on: start a plan or open one.
fn nothing_open(asked: &Asked, fault: &str) -> Result<Reply, PageError> {
    let path = asked.form.get("path").unwrap_or_default();
    let values = context! { files => asked.site.program.plan_files(), fault, path };
    look::page(asked, "Plan", include_str!("open.html"), values)
}

/// The form, with a line of what has happened.
fn show(asked: &Asked, open: &Open, said: Said) -> Result<Reply, PageError> {
    let faults = planfile::read(&open.text).err().unwrap_or_default();
    let Some(all) = written(&open.text) else {
        return show_text(asked, open, said);
    };
    let values = context! {
        form => Serde(Form::of(&open.text, &all, &faults)),
        said => said.words(),
        is_fault => matches!(said, Said::Wrong(_)),
        at => asked.query.get("at").unwrap_or_default(),
        file => &open.path,
        saved => open.is_saved(),
        revision => open.revision,
        zones => TZ_VARIANTS.iter().map(|zone| zone.name()).collect::<Vec<_>>(),
    };
    look::page(asked, "Plan", include_str!("plan.html"), values)
}

/// The file as text: for what the form does not have, and for mistakes in the TOML.
fn show_text(asked: &Asked, open: &Open, said: Said) -> Result<Reply, PageError> {
    let faults = planfile::read(&open.text).err().unwrap_or_default();
    let faults: Vec<String> = faults
        .iter()
        .map(|fault| format!("line {}: {}", fault.line(&open.text), fault.message))
        .collect();
    let values = context! {
        faults,
        said => said.words(),
        whole => &open.text,
        file => &open.path,
        broken => written(&open.text).is_none(),
        revision => open.revision,
    };
    look::page(asked, "Plan as text", include_str!("text.html"), values)
}

fn as_text(asked: &Asked) -> Result<Reply, PageError> {
    match asked.site.desk.look() {
        Some(open) => show_text(asked, &open, Said::Well("")),
        None => Ok(Reply::see(asked.link("plan"))),
    }
}

/// What a form changes: the open plan after it, or why it was not changed.
enum Taken {
    Nothing,
    Stale(Open),
    Open(Open),
    Refused(Open, EditError),
}

fn take(asked: &Asked, edit: impl FnOnce(&Open) -> Result<String, EditError>) -> Taken {
    asked.site.desk.change(|current| {
        let Some(open) = current else { return Taken::Nothing };
        if asked.form.get("revision") != Some(open.revision.to_string().as_str()) {
            return Taken::Stale(open.clone());
        }
        match edit(open) {
            Ok(text) => {
                open.change(text);
                Taken::Open(open.clone())
            }
            Err(error) => Taken::Refused(open.clone(), error),
        }
    })
}

/// The form was sent: takes what was typed, then does what the button says.
fn change(asked: &Asked) -> Result<Reply, PageError> {
    let wish = asked.form.get("do").unwrap_or("check");
    let today = asked.site.program.now().date_naive();
    let mut at = None;
    let taken = take(asked, |open| {
        let all = written(&open.text).ok_or(EditError::NotToml)?;
        let text = edit::edit(&open.text, &sent::changes(&all, &asked.form))?;
        if let Some(list) = wish.strip_prefix("add.").and_then(blanks::list_of) {
            let all = written(&text).ok_or(EditError::NotToml)?;
            let index = all.iter().filter(|t| matches!(t.entry, Entry::Of(of, _) if of == list));
            at = Some(blanks::code(Entry::Of(list, index.count())));
            return edit::edit(
                &text,
                &[Change::Add { list, keys: fresh::keys(list, &all, today) }],
            );
        }
        let gone = wish.strip_prefix("drop.").and_then(|code| code.rsplit_once('.'));
        if let Some((code, index)) = gone
            && let (Some(list), Ok(index)) = (blanks::list_of(code), index.parse())
        {
            at = Some(match list {
                List::Things(kind) => format!("part-{}", kind.word()),
                List::Sessions(_) => "part-ice".to_owned(),
            });
            return edit::edit(&text, &[Change::Remove { list, index }]);
        }
        Ok(text)
    });
    let open = match taken {
        Taken::Open(open) => open,
        other => return not_taken(asked, other),
    };
    let sound = planfile::read(&open.text).is_ok();
    match wish {
        "save" if !sound => {
            let words = "Not saved: something is wrong. It is marked below.";
            show(asked, &open, Said::Wrong(words))
        }
        "save" => save(asked, open),
        "steps" if !sound => {
            let words = "The calendar can be made once what is marked below is mended.";
            show(asked, &open, Said::Wrong(words))
        }
        "steps" => Ok(Reply::see(asked.link("plan/steps"))),
        _ => Ok(Reply::see(back(asked, at.as_deref()))),
    }
}

fn not_taken(asked: &Asked, taken: Taken) -> Result<Reply, PageError> {
    match taken {
        Taken::Stale(open) => show(asked, &open, Said::Wrong(CHANGED_ELSEWHERE)),
        Taken::Refused(open, error) => show(asked, &open, Said::Wrong(&error.to_string())),
        Taken::Nothing | Taken::Open(_) => Ok(Reply::see(asked.link("plan"))),
    }
}

/// The form again: with the focus in a new table, or at the part that one is gone from.
fn back(asked: &Asked, at: Option<&str>) -> String {
    match at {
        Some(part) if part.starts_with("part-") => format!("{}#{part}", asked.link("plan")),
        // Where an address has a fragment, browsers give the focus to no field.
        Some(table) => asked.link_with("plan", "at", table),
        None => asked.link("plan"),
    }
}

/// Writes the open plan, unless its file is another one by now.
fn save(asked: &Asked, open: Open) -> Result<Reply, PageError> {
    let other = asked.form.get("as").map(with_ending);
    let Some(path) = other.or(open.path.clone()) else {
        let words = "Not saved: give the file a name first, at the end of this page.";
        return show(asked, &open, Said::Wrong(words));
    };
    let is_own = open.path.as_ref() == Some(&path);
    let program = &asked.site.program;
    let written = program.read_plan(&path).and_then(|there| match there {
        None if is_own && open.disk.is_some() => {
            Err(Refusal::of(format!("{path} is no longer there; give it a name again")))
        }
        Some(there) if is_own && Some(&there) != open.disk.as_ref() => Err(Refusal::of(format!(
            "{path} was changed by another program since it was opened here. Save under another \
             name, or read it again (what you changed here is then lost)"
        ))),
        Some(_) if !is_own => {
            Err(Refusal::of(format!("{path} is there already; choose another name")))
        }
        _ => program.write_plan(&path, &open.text),
    });
    if let Err(refusal) = written {
        return show(asked, &open, Said::Wrong(&format!("Not saved: {}.", refusal.words)));
    }
    asked.site.desk.change(|current| {
        if let Some(current) = current {
            current.disk = Some(open.text);
            current.path = Some(path);
        }
    });
    Ok(Reply::see(asked.link_with("plan", "said", "saved")))
}

fn with_ending(name: &str) -> String {
    if name.ends_with(".toml") { name.to_owned() } else { format!("{name}.toml") }
}

fn change_text(asked: &Asked) -> Result<Reply, PageError> {
    let sent = asked.form.all("text").next().unwrap_or_default().to_owned();
    let taken = take(asked, |open| {
        // A browser sends each end of a line as CR LF.
        let plain = sent.replace("\r\n", "\n");
        Ok(if open.text.contains("\r\n") { plain.replace('\n', "\r\n") } else { plain })
    });
    match taken {
        Taken::Open(open) if written(&open.text).is_none() => {
            let words = "There is a mistake in the TOML.";
            show_text(asked, &open, Said::Wrong(words))
        }
        Taken::Open(_) => Ok(Reply::see(asked.link("plan"))),
        other => not_taken(asked, other),
    }
}

/// Puts a plan on the desk unless one with unsaved changes lies there.
fn put(asked: &Asked, open: Open) -> Result<Reply, PageError> {
    asked.site.desk.change(|current| {
        if current.as_ref().is_none_or(Open::is_saved) {
            *current = Some(open);
        }
    });
    Ok(Reply::see(asked.link("plan")))
}

fn start(asked: &Asked) -> Result<Reply, PageError> {
    let program = &asked.site.program;
    let text = fresh::starter(program.starter(), program.now().date_naive());
    put(asked, Open::new(text))
}

fn open_file(asked: &Asked) -> Result<Reply, PageError> {
    let path = asked.form.get("path").unwrap_or_default();
    let fault = match asked.site.program.read_plan(path) {
        _ if path.is_empty() => "Which file? Give its name.".to_owned(),
        Ok(Some(text)) => return put(asked, Open::read(path.to_owned(), text)),
        Ok(None) => format!("There is no file {path}."),
        Err(refusal) => refusal.words,
    };
    nothing_open(asked, &fault)
}

/// Throws away what was changed here and takes the file as it is now.
fn read_again(asked: &Asked) -> Result<Reply, PageError> {
    let Some(open) = asked.site.desk.look() else { return Ok(Reply::see(asked.link("plan"))) };
    let Some(path) = open.path.clone() else { return close(asked) };
    match asked.site.program.read_plan(&path) {
        Ok(Some(text)) => {
            asked.site.desk.change(|current| {
                if let Some(current) = current {
                    current.disk = Some(text.clone());
                    current.change(text);
                }
            });
            Ok(Reply::see(asked.link_with("plan", "said", "read")))
        }
        Ok(None) => show(asked, &open, Said::Wrong(&format!("{path} is no longer there."))),
        Err(refusal) => show(asked, &open, Said::Wrong(&refusal.words)),
    }
}

/// Puts the plan away, saved or not: the button says which.
fn close(asked: &Asked) -> Result<Reply, PageError> {
    asked.site.desk.change(|current| *current = None);
    Ok(Reply::see(asked.link("plan")))
}
