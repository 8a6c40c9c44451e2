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
        self.open(&kept);
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
    fn open(&self, kept: &Kept) {
        self.site.workspace.change(|open| match (&kept.state.open, &*open) {
            (Some(kept), Some(buffer)) if kept.is(buffer) => {}
            _ => *open = kept.buffer(),
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
        if planfile::Kept::is_ours(&text) {
            return self.pick_kept(name, &text);
        }
        if planfile::read(&text).is_err()
            && !(text.contains("timezone") || written(&text).is_some())
        {
            return failed(&format!("{name} is neither a plan nor a diary; nothing was changed."));
        }
        self.site.workspace.change(|open| *open = Some(Buffer::read(name, text)));
        see("#/plan")
    }

    /// Takes what happened of the plan that is open.
    fn pick_kept(&self, name: String, text: &str) -> Answer {
        let setting = &self.site.setting;
        let Some(file) = self.site.workspace.look().and_then(|open| open.file(setting)) else {
            return failed(&format!("{name} tells what happened of a plan: open that plan first."));
        };
        if let Err(error) = planfile::Kept::read(text) {
            return failed(&format!("{name}: {error}; nothing was changed."));
        }
        let path = planfile::kept_beside(&file);
        match self.browser.write(&path, text.as_bytes(), solidby::host::Over::Anything) {
            Ok(()) => see("#/today"),
            Err(error) => failed(&format!("{name}: {error}.")),
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A browser with its one program: asks, and keeps what is to be kept.
    #[derive(Default)]
    struct Tab {
        program: Program,
        kept: Option<String>,
    }

    impl Tab {
        fn ask(&mut self, wish: Wish) -> Answer {
            let (kept, zone) = (self.kept.clone(), Some("America/Denver".to_owned()));
            let (now, entropy) = (1_796_000_000_000, [7; 16]);
            let answer = self.program.answer(Message { now, zone, entropy, kept, wish });
            self.kept = answer.kept.clone().or(self.kept.take());
            answer
        }

        fn get(&mut self, path: &str) -> Answer {
            let (path, query, body) = (path.to_owned(), String::new(), String::new());
            self.ask(Wish::Page { post: false, path, query, body })
        }

        fn post(&mut self, path: &str, body: &str) -> Answer {
            let (path, query, body) = (path.to_owned(), String::new(), body.to_owned());
            self.ask(Wish::Page { post: true, path, query, body })
        }
    }

    fn open(name: &str, text: &str) -> Wish {
        Wish::Open { name: name.to_owned(), text: text.to_owned() }
    }

    #[test]
    fn a_plan_outlives_the_program_and_goes_out_as_a_file() {
        let mut tab = Tab::default();
        assert_eq!(tab.post("plan/start", "").to.as_deref(), Some("#/plan"));
        tab.program = Program::default();
        let page = tab.get("plan");
        assert!(
            page.body.contains("kept in this browser<") && page.kept.is_none(),
            "{}",
            page.body
        );
        let file = tab.get("plan/plan.toml");
        assert_eq!(file.name.as_deref(), Some("plan.toml"));
        assert_eq!(tab.ask(open("winter.toml", &file.body)).to.as_deref(), Some("#/plan"));
        assert_eq!(tab.get("plan/plan.toml").name.as_deref(), Some("winter.toml"));
        let undone = tab.ask(Wish::Undo);
        assert_eq!(undone.undo, 1, "the plan can be taken back too");
        assert_eq!(tab.get("plan/plan.toml").name.as_deref(), Some("plan.toml"));
    }

    #[test]
    fn a_page_from_before_changes_nothing() {
        let mut tab = Tab::default();
        tab.post("plan/start", "");
        let changed = tab.post("plan", "revision=1&do=check&plan.title=First");
        assert!(changed.kept.is_some() && changed.to.is_some(), "{changed:?}");
        let stale = tab.post("plan", "revision=1&do=check&plan.title=Second");
        assert!(stale.kept.is_none() && stale.body.contains("changed in another window"));
        // Put away and begun anew, it is still known for another plan's page.
        tab.post("plan/close", "revision=2");
        tab.post("plan/start", "");
        assert!(tab.post("plan", "revision=2&do=check&plan.title=Third").kept.is_none());
    }

    #[test]
    fn a_file_that_is_neither_plan_nor_diary_changes_nothing() {
        let mut tab = Tab::default();
        for (name, text) in
            [("photo.jpg", "\u{0} no text"), ("long.toml", &"#".repeat(LARGEST_FILE + 1))]
        {
            let refused = tab.ask(open(name, text));
            assert!(refused.kept.is_none() && refused.body.starts_with(name), "{}", refused.body);
        }
    }

    #[test]
    fn a_diary_comes_back_from_its_file() {
        let mut tab = Tab::default();
        let words = ["diary", "add", "ice", "--mould", "fox", "--at", "2026-11-26T20:00"];
        let added = tab.ask(Wish::Command(words.map(str::to_owned).to_vec()));
        assert_eq!(added.status, 0, "{}", added.body);
        let file = tab.get("diary/diary.toml");
        assert_eq!(file.name.as_deref(), Some("diary.toml"));
        let mut other = Tab::default();
        assert_eq!(other.ask(open("from home.toml", &file.body)).to.as_deref(), Some("#/diary"));
        assert_eq!(other.get("diary/diary.toml").body, file.body);
    }

    #[test]
    fn what_cannot_be_read_is_left_alone() {
        let mut tab = Tab { kept: Some("{\"form\":9}".to_owned()), ..Tab::default() };
        let answer = tab.post("plan/start", "");
        assert!(answer.kept.is_none() && answer.body.contains("cannot be read"), "{answer:?}");
        let garbage: Answer = tab.program.answer(Message {
            now: i64::MAX,
            zone: Some("Nowhere/Land".to_owned()),
            entropy: [0; 16],
            kept: None,
            wish: Wish::Command(vec!["ice".to_owned()]),
        });
        assert_eq!(garbage.status, 2, "{garbage:?}");
    }
}
