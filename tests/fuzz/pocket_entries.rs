//! What the program in a page is told by a hand that is not ours: forms, `did`, the file of what
//! happened, what the browser has kept. `cargo fuzz` calls them, and so does
//! `pocket/tests/fuzz_entries.rs`.

use std::sync::OnceLock;

use solidby::planfile::Kept;
use solidby_pocket::{Answer, Message, Program, Wish};

/// A plan that is laid out in a moment.
const PLAN: &str = include_str!("small-plan.toml");

/// Sunday, 29 November 2026, 09:00 in Denver, when it is kept, and Wednesday, 2 December,
/// 07:45, when something is told: blocks come out, pieces dry.
const KEPT_MS: i64 = 1_795_968_000_000;
const NOW_MS: i64 = 1_796_222_700_000;

/// A browser with its one program: asks, and keeps what is to be kept.
#[derive(Clone, Default)]
struct Tab {
    kept: Option<String>,
}

impl Tab {
    fn ask(&mut self, wish: Wish) -> Answer {
        self.ask_at(NOW_MS, wish)
    }

    fn ask_at(&mut self, now: i64, wish: Wish) -> Answer {
        static PROGRAM: OnceLock<Program> = OnceLock::new();
        let (kept, zone) = (self.kept.clone(), Some("America/Denver".to_owned()));
        let message = Message { now, zone, entropy: [7; 16], kept, wish };
        let answer = PROGRAM.get_or_init(Program::default).answer(message);
        self.kept = answer.kept.clone().or(self.kept.take());
        answer
    }

    fn page(&mut self, post: bool, path: &str, body: &str) -> Answer {
        let (path, query, body) = (path.to_owned(), String::new(), body.to_owned());
        self.ask(Wish::Page { post, path, query, body })
    }

    fn command(&mut self, words: &[&str]) -> Answer {
        self.ask(Wish::Command(words.iter().map(|word| (*word).to_owned()).collect()))
    }

    /// With the plan open, and followed.
    fn following() -> Self {
        static FOLLOWING: OnceLock<Tab> = OnceLock::new();
        let make = || {
            let mut tab = Self::default();
            let open = Wish::Open { name: "plan.toml".to_owned(), text: PLAN.to_owned() };
            tab.ask_at(KEPT_MS, open);
            let (path, query) = ("today/keep".to_owned(), String::new());
            let body = format!("revision={}", tab.revision());
            tab.ask_at(KEPT_MS, Wish::Page { post: true, path, query, body });
            assert!(tab.happened().is_some(), "{:?}", tab.kept);
            tab
        };
        FOLLOWING.get_or_init(make).clone()
    }

    fn revision(&self) -> u64 {
        let kept: serde_json::Value =
            serde_json::from_str(self.kept.as_deref().unwrap_or("null")).unwrap_or_default();
        kept["state"]["open"]["revision"].as_u64().unwrap_or(0)
    }

    /// The file of what happened, as it is now.
    fn happened(&self) -> Option<String> {
        let kept: serde_json::Value = serde_json::from_str(self.kept.as_deref()?).ok()?;
        let files = kept["state"]["files"].as_object()?;
        let (_, text) = files.iter().find(|(path, _)| path.ends_with(".kept.toml"))?;
        Some(text.as_str()?.to_owned())
    }
}

/// No page fails of itself, and what is kept can be read again.
fn sound(answer: &Answer) {
    assert!(answer.status < 500, "{}: {}", answer.status, answer.body);
    if let Some(kept) = &answer.kept {
        let mut tab = Tab { kept: Some(kept.clone()) };
        let read = tab.page(false, "", "");
        assert!(read.status == 200 || read.status == 303, "{}", read.body);
    }
}

/// A form that is sent: the first line is the page, the rest its fields; a page that is looked
/// at where there is one line.
pub fn form(text: &str) {
    let mut tab = Tab::following();
    let answer = match text.split_once('\n') {
        Some((path, body)) => {
            let body = body.replace("revision=1", &format!("revision={}", tab.revision()));
            tab.page(true, path, &body)
        }
        None => {
            let (path, query) = text.split_once('?').unwrap_or((text, ""));
            let (path, query, body) = (path.to_owned(), query.to_owned(), String::new());
            tab.ask(Wish::Page { post: false, path, query, body })
        }
    };
    sound(&answer);
}

/// The words after `did plan.toml`. What was told can be taken back, and then all is as before.
pub fn did(text: &str) {
    let mut tab = Tab::following();
    let before = tab.happened();
    let mut words = vec!["did", "plan.toml"];
    words.extend(text.split_whitespace());
    let told = tab.command(&words);
    assert!([0, 2, 3].contains(&told.status), "{words:?}: {}", told.body);
    if told.status == 2 {
        assert_eq!(tab.happened(), before, "{words:?} was refused and changed something");
    } else if tab.happened() != before && !words.contains(&"--undo") {
        let back = tab.command(&["did", "plan.toml", "--undo"]);
        assert!([0, 3].contains(&back.status), "{words:?}: {}", back.body);
        let steps =
            |text: Option<String>| Kept::read(&text.unwrap_or_default()).map(|it| it.happened);
        assert_eq!(steps(tab.happened()).ok(), steps(before).ok(), "{words:?} is not taken back");
    }
}

/// A file of what happened: refused in words, or read; then it comes back as it was written.
pub fn happened(text: &str) {
    if let Ok(written) = Kept::read(text).map_err(drop).and_then(|it| it.written().map_err(drop)) {
        assert_eq!(Kept::read(&written).unwrap().written(), Ok(written));
    }
    let mut tab = Tab::following();
    sound(&tab.ask(Wish::Open { name: "plan.kept.toml".to_owned(), text: text.to_owned() }));
    sound(&tab.page(false, "today", ""));
}

/// What a browser has kept: refused in words, or answered from.
pub fn store(text: &str) {
    for page in ["", "plan", "today", "diary"] {
        sound(&Tab { kept: Some(text.to_owned()) }.page(false, page, ""));
    }
    let undone = Tab { kept: Some(text.to_owned()) }.ask(Wish::Undo);
    sound(&undone);
}
