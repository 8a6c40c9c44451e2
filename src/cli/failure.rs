//! A failure as one clear message: what is wrong, where, what would be right.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::{
    answers::AskError,
    planfile::{Fault, MOST_FAULTS},
    report::{
        clean::clean,
        faults::{self, Refusal, Wrong},
    },
    shape::ShapeError,
    tables::UnknownName,
    units::Locale,
};

/// Why a command has no answer.
#[derive(Debug)]
pub struct Failure {
    text: String,
    code: u8,
    refusal: Refusal,
}

impl From<Refusal> for Failure {
    /// What was typed is wrong.
    fn from(refusal: Refusal) -> Self {
        let text = format!("error: {}\n", clean(&refusal.in_a_terminal()));
        Self { text, code: 2, refusal }
    }
}

impl From<UnknownName> for Failure {
    /// A name that no table knows.
    fn from(error: UnknownName) -> Self {
        Self::of(error.what, Wrong::NoName(error))
    }
}

impl From<AskError> for Failure {
    /// As [`Failure::asked`], for who reads the same in all units and spellings.
    fn from(error: AskError) -> Self {
        Self::asked(&error, Locale::default())
    }
}

impl Failure {
    /// What was typed makes no question, by the option that says it.
    pub fn asked(error: &AskError, locale: Locale) -> Self {
        let option = match error {
            AskError::Name(unknown) => return unknown.clone().into(),
            AskError::Recipe(_) => "recipe",
            AskError::OutOfRange(out) => out.field.option(),
            AskError::TooMuchWork { .. } => "count",
            AskError::Shape(ShapeError::TooDeep { .. }) => "fill",
            AskError::Shape(_) => "size",
            AskError::Medium(_) => "salt",
            AskError::Table(_) => return Self::other(error.to_string()),
        };
        Self::of(option, faults::asked(error, locale))
    }
}

impl From<Failure> for Refusal {
    fn from(failure: Failure) -> Self {
        failure.refusal
    }
}

impl Failure {
    /// What was typed is wrong.
    pub fn input(message: impl Into<String>) -> Self {
        Refusal::of(message).into()
    }

    /// What was typed for an option is wrong.
    pub fn of(option: &'static str, wrong: Wrong) -> Self {
        Refusal::about(option, wrong).into()
    }

    /// Something else went wrong.
    pub fn other(message: impl Into<String>) -> Self {
        Self { code: 1, ..Self::input(message) }
    }

    /// What the argument parser says of what was typed.
    pub fn usage(text: String) -> Self {
        Self { refusal: Refusal::of(text.clone()), text, code: 2 }
    }

    /// Faults of a file, each with its line.
    pub fn faults(path: &str, text: &str, faults: &[Fault]) -> Self {
        Self::usage(render(path, text, faults))
    }

    /// The message alone.
    pub fn message(&self) -> &str {
        self.text.trim_end().trim_start_matches("error: ")
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
