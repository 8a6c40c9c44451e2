//! A failure as one clear message: what is wrong, where, what would be right.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::{
    planfile::{Fault, MOST_FAULTS},
    report::clean::clean,
};

/// Why a command has no answer.
#[derive(Debug)]
pub struct Failure {
    text: String,
    code: u8,
    option: Option<&'static str>,
}

impl Failure {
    /// What was typed is wrong.
    pub fn input(message: impl AsRef<str>) -> Self {
        Self { text: format!("error: {}\n", clean(message.as_ref())), code: 2, option: None }
    }

    /// What was typed for an option is wrong.
    pub fn of(option: &'static str, message: impl AsRef<str>) -> Self {
        Self { option: Some(option), ..Self::input(message) }
    }

    /// Something else went wrong.
    pub fn other(message: impl AsRef<str>) -> Self {
        Self { text: format!("error: {}\n", clean(message.as_ref())), code: 1, option: None }
    }

    /// What the argument parser says of what was typed.
    pub fn usage(text: String) -> Self {
        Self { text, code: 2, option: None }
    }

    /// Faults of a file, each with its line.
    pub fn faults(path: &str, text: &str, faults: &[Fault]) -> Self {
        Self { text: render(path, text, faults), code: 2, option: None }
    }

    /// The message alone.
    pub fn message(&self) -> &str {
        self.text.trim_end().trim_start_matches("error: ")
    }

    /// The option it is about, where that is known: the one named here, or the one
    /// that the message begins with.
    pub fn option(&self) -> Option<&str> {
        self.option.or_else(|| {
            let words = self.message().strip_prefix("--")?;
            words.split([' ', ':']).next()
        })
    }

    /// The message, ready to print.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The exit code.
    pub fn code(&self) -> u8 {
        self.code
    }
}

/// Nobody mends more than this at a time.
const MOST_SHOWN: usize = 50;

fn render(path: &str, text: &str, faults: &[Fault]) -> String {
    let renderer = Renderer::styled();
    let mut all = String::new();
    for fault in faults.iter().take(MOST_SHOWN) {
        let snippet = Snippet::source(text)
            .path(path)
            .annotation(AnnotationKind::Primary.span(fault.span.clone()));
        let mut group = Level::ERROR.primary_title(fault.message()).element(snippet);
        if let Some(help) = fault.help() {
            group = group.element(Level::HELP.message(help));
        }
        all += &renderer.render(&[group]).to_string();
        all += "\n\n";
    }
    if faults.len() > MOST_SHOWN {
        all += &format!("… and {} more\n", faults.len() - MOST_SHOWN);
    }
    let things = if faults.len() == 1 { "thing" } else { "things" };
    let least = if faults.len() < MOST_FAULTS { "" } else { "at least " };
    all + &format!("{path}: {least}{} {things} to mend\n", faults.len())
}
