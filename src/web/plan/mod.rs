//! The page of plan: a plan file as a form, and what it comes to.
//!
//! One open plan: its text as it was on the disk and as it is now. A form becomes typed
//! changes of the plan file; the plan file's reader alone says what is wrong. A wrong
//! value stays in the text, so that it can be seen and mended, and a text with faults is
//! neither saved nor laid out. A page from before the last change changes nothing, and a
//! file that is another one on the disk by now is not overwritten.

mod blanks;
mod choice;
mod faults;
mod form;
mod fresh;
mod rows;
mod save;
mod sent;
mod show;
mod stale;
mod steps;

use super::{
    asked::{Asked, PageError, Route, Verb},
    reply::Reply,
};
use crate::{
    planfile::{
        self,
        edit::{self, Change, EditError, Entry, List, written},
    },
    report::sheet,
};
use show::{Said, show, show_text};

/// The paths of this page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "plan", plan),
    (Verb::Post, "plan", change),
    (Verb::Get, "plan/text", as_text),
    (Verb::Post, "plan/text", change_text),
    (Verb::Post, "plan/start", save::start),
    (Verb::Post, "plan/open", save::open),
    (Verb::Post, "plan/again", save::read_again),
    (Verb::Post, "plan/close", save::close),
    (Verb::Post, "plan/undo", save::undo),
    (Verb::Post, "plan/way", steps::way),
    (Verb::Get, "plan/steps", steps::steps),
    (Verb::Get, "plan/plan.toml", save::file),
    (Verb::Get, "plan/plan.ics", steps::calendar),
    (Verb::Get, "plan/sheet.html", steps::sheet),
    (Verb::Get, "plan/notes.html", steps::notes),
    (Verb::Get, "plan.css", |_| {
        let style = [sheet::DAYS, include_str!("plan.css")].concat();
        Ok(Reply::of("text/css; charset=utf-8", style))
    }),
];

fn plan(asked: &Asked) -> Result<Reply, PageError> {
    let Some(open) = asked.site.workspace.look() else {
        return save::nothing_open(asked, "");
    };
    let said = match asked.query.get("said") {
        Some("saved") => "Saved.",
        Some("read") => "Read again from the disk.",
        Some("undone") => "The last change is taken back.",
        Some("redone") => "It is made again.",
        Some("sound") if planfile::read(&open.text).is_ok() => "Nothing is to be mended.",
        _ => "",
    };
    show(asked, &open, Said::Well(said))
}

fn as_text(asked: &Asked) -> Result<Reply, PageError> {
    match asked.site.workspace.look() {
        Some(open) => show_text(asked, &open, Said::Well("")),
        None => Ok(Reply::see(asked.link("plan"))),
    }
}

/// The form was sent: takes what was typed, then does what the button says.
fn change(asked: &Asked) -> Result<Reply, PageError> {
    let wish = asked.form.get("do").unwrap_or("check");
    let today = asked.now.date_naive();
    let mut at = None;
    let taken = save::take(asked, |open| {
        let all = written(&open.text).ok_or(EditError::NotToml)?;
        let text = edit::edit(&open.text, &sent::changes(&all, &asked.form))?;
        if let Some(list) = wish.strip_prefix("add.").and_then(blanks::list_of) {
            let all = written(&text).ok_or(EditError::NotToml)?;
            let index = all.iter().filter(|t| matches!(t.entry, Entry::Of(of, _) if of == list));
            at = Some(blanks::code(Entry::Of(list, index.count())));
            return edit::edit(&text, &fresh::more(list, &all, today));
        }
        if let Some((word, code)) = wish.split_once('.')
            && let (Some(again), Some((list, index))) =
                (fresh::Again::named(word), code.rsplit_once('.'))
            && let (Some(list), Ok(index)) = (blanks::list_of(list), index.parse::<usize>())
        {
            let all = written(&text).ok_or(EditError::NotToml)?;
            let change = fresh::again(Entry::Of(list, index), again, &all);
            let sessions = all.iter().filter(|t| matches!(t.entry, Entry::Of(of, _) if of == list));
            at = Some(blanks::code(Entry::Of(
                list,
                match change {
                    Some(Change::Add { .. }) => sessions.count(),
                    _ => index,
                },
            )));
            return edit::edit(&text, change.as_slice());
        }
        let gone = wish.strip_prefix("drop.").and_then(|code| code.rsplit_once('.'));
        if let Some((code, index)) = gone
            && let (Some(list), Ok(index)) = (blanks::list_of(code), index.parse())
        {
            at = Some(match list {
                List::Things(table) => format!("part-{}", table.word()),
                List::Sessions(_) => "part-ice".to_owned(),
            });
            return edit::edit(&text, &[Change::Remove { list, index }]);
        }
        Ok(text)
    });
    let open = match taken {
        Ok(open) => open,
        Err(reply) => return reply,
    };
    match wish {
        "save" => save::save(asked),
        "steps" if planfile::read(&open.text).is_err() => {
            let words = "The calendar can be made once what is marked below is mended.";
            show(asked, &open, Said::Wrong(words))
        }
        "steps" => Ok(Reply::see(asked.link("plan/steps"))),
        "check" if planfile::read(&open.text).is_ok() => {
            Ok(Reply::see(asked.link_with("plan", "said", "sound")))
        }
        _ => Ok(Reply::see(back(asked, at.as_deref()))),
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

fn change_text(asked: &Asked) -> Result<Reply, PageError> {
    let sent = asked.form.all("text").next().unwrap_or_default().to_owned();
    let taken = save::take(asked, |open| {
        // A browser sends each end of a line as CR LF.
        let plain = sent.replace("\r\n", "\n");
        Ok(if open.text.contains("\r\n") { plain.replace('\n', "\r\n") } else { plain })
    });
    match taken {
        Ok(open) if written(&open.text).is_none() => {
            let words = "There is a mistake in the TOML.";
            show_text(asked, &open, Said::Wrong(words))
        }
        Ok(_) => Ok(Reply::see(asked.link("plan"))),
        Err(reply) => reply,
    }
}
