//! A question in, an answer out: the library's own pages and commands.

use std::{ffi::OsString, sync::Arc};

use chrono::DateTime;
use http::{Method, header};
use solidby::{
    cli::{self, Outcome, Pages, check_diary},
    host::Host,
    planfile::{self, LARGEST_FILE, edit::written},
    web::{self, Buffer, Reply, Setting, Site, Workspace},
};

use crate::{
    browser::{Browser, Given},
    kept::{Kept, Open, State},
    message::{Answer, Message, Wish},
};

/// The program in the page. It remembers answers, which are worked out again where it is
/// started anew, and nothing else.
pub struct Program {
    browser: Arc<Browser>,
    site: Site,
}

impl Default for Program {
    fn default() -> Self {
        let browser = Arc::new(Browser::default());
        let pages = Box::new(Pages::plain(browser.clone()));
        let site = Site::new(browser.clone(), pages, Workspace::default(), Setting::Pocket);
        Self { browser, site }
    }
}

impl Program {
    /// Answers a message in JSON by JSON.
    pub fn answer_text(&self, message: &[u8]) -> Vec<u8> {
        let answer = match serde_json::from_slice(message) {
            Ok(message) => self.answer(message),
            Err(error) => failed(&format!("the page asked for what there is not: {error}")),
        };
        serde_json::to_vec(&answer).unwrap_or_default()
    }

    /// Answers a message.
    pub fn answer(&self, message: Message) -> Answer {
        let kept = match Kept::read(message.kept.as_deref()) {
            Ok(kept) => kept,
            Err(why) => {
                return failed(&format!("What this browser has kept cannot be read: {why}."));
            }
        };
        let now = DateTime::from_timestamp_millis(message.now).unwrap_or_default();
        let (zone, entropy) = (message.zone, message.entropy);
        self.browser.give(Given { now, zone, entropy, files: kept.state.files.clone() });
        self.open(kept.state.open.clone());
        let before = kept.undo();
        let (mut answer, kept) = match message.wish {
            Wish::Undo => (see("#/"), kept.undone()),
            wish => (self.fulfil(wish), kept.changed(self.state())),
        };
        answer.undo = kept.as_ref().map_or(before, Kept::undo);
        answer.kept = kept.and_then(|kept| serde_json::to_string(&kept).ok());
        answer
    }

    fn fulfil(&self, wish: Wish) -> Answer {
        match wish {
            Wish::Page { post, path, query, body } => {
                let method = if post { Method::POST } else { Method::GET };
                answer(web::reply(&self.site, &method, &path, &query, body.as_bytes()))
            }
            Wish::Open { name, text } => self.pick(name, text),
            Wish::Command(arguments) => self.command(arguments),
            Wish::Undo => see("#/"),
        }
    }

    /// Opens the plan that was kept, unless it is the one that is open: that one has been
    /// laid out already.
    fn open(&self, kept: Option<Open>) {
        self.site.workspace.change(|open| match (&kept, &*open) {
            (Some(kept), Some(buffer)) if kept.is(buffer) => {}
            _ => *open = kept.map(Open::buffer),
        });
    }

    fn state(&self) -> State {
        State { files: self.browser.files(), open: self.site.workspace.look().map(Open::of) }
    }

    /// Takes a file that the user has picked: a diary in the place of the diary, a plan in the
    /// place of the open one.
    fn pick(&self, name: String, text: String) -> Answer {
        let host: Arc<dyn Host> = self.browser.clone();
        if text.len() > LARGEST_FILE {
            let (bytes, most) = (text.len(), LARGEST_FILE);
            return failed(&format!("{name} has {bytes} bytes; it may have at most {most}."));
        }
        let now = host.now().to_rfc3339();
        if check_diary(&host, &text, &now).is_ok_and(|notes| notes > 0) {
            let path = host.home().unwrap_or_default().join("diary.toml");
            return match host.write(&path, text.as_bytes(), solidby::host::Over::Anything) {
                Ok(()) => see("#/diary"),
                Err(error) => failed(&format!("{name}: {error}.")),
            };
        }
        if planfile::read(&text).is_err()
            && !(text.contains("timezone") || written(&text).is_some())
        {
            return failed(&format!("{name} is neither a plan nor a diary; nothing was changed."));
        }
        self.site.workspace.change(|open| *open = Some(Buffer::read(name, text)));
        see("#/plan")
    }

    fn command(&self, arguments: Vec<String>) -> Answer {
        let host: Arc<dyn Host> = self.browser.clone();
        let words = std::iter::once("solidby".to_owned()).chain(arguments).map(OsString::from);
        let (status, body) = match cli::run(&host, words) {
            Ok(reply) => (if reply.outcome == Outcome::Answered { 0 } else { 3 }, reply.text),
            Err(failure) => (u16::from(failure.code()), failure.text().to_owned()),
        };
        Answer { status, kind: "text/plain".to_owned(), body, ..Answer::default() }
    }
}

/// A reply of the pages as the script is told it.
fn answer(reply: Reply) -> Answer {
    let named = |wanted: header::HeaderName| {
        let found = reply.headers.iter().rfind(|(name, _)| *name == wanted);
        found.map(|(_, value)| value.clone())
    };
    let file = |words: String| Some(words.split('"').nth(1)?.to_owned());
    Answer {
        status: reply.status.as_u16(),
        kind: named(header::CONTENT_TYPE).unwrap_or_default(),
        name: named(header::CONTENT_DISPOSITION).and_then(file),
        to: named(header::LOCATION),
        body: String::from_utf8_lossy(&reply.body).into_owned(),
        ..Answer::default()
    }
}

/// To another page.
fn see(address: &str) -> Answer {
    answer(Reply::see(address.to_owned()))
}

/// What could not be done, in words.
fn failed(words: &str) -> Answer {
    answer(Reply::plain(http::StatusCode::UNPROCESSABLE_ENTITY, words))
}
