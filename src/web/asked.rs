//! A question to a page, and how a page says which it answers.

use std::sync::Arc;

use chrono::DateTime;

use super::{Refusal, Site, fields::Fields, reply::Reply};
use crate::{
    report::{diary::Shown, dough, ice},
    units::{System, zone::Zone},
};

/// A question to a page.
pub struct Asked<'a> {
    /// The page's site.
    pub site: &'a Site,
    pub now: DateTime<Zone>,
    /// The path below the key, without a slash before it: `ice`.
    pub path: &'a str,
    /// What stands behind `?` in the address.
    pub query: Fields,
    /// What a form sent with POST.
    pub form: Fields,
}

impl Asked<'_> {
    /// Units by the address, else those of the program.
    pub fn units(&self) -> System {
        let sent = self.query.get("units").and_then(System::named);
        sent.unwrap_or_else(|| self.site.commands.units())
    }

    /// The answer of `solidby ice`.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    pub fn ice(&self, arguments: &[String]) -> Result<Arc<ice::Answered>, Refusal> {
        let Site { cache, commands, .. } = self.site;
        cache.answer(&cache.ice, (&**commands, arguments), || commands.ice(arguments))
    }

    /// The answer of `solidby dough`.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    pub fn dough(&self, arguments: &[String]) -> Result<Arc<dough::Answered>, Refusal> {
        let Site { cache, commands, .. } = self.site;
        cache.answer(&cache.dough, (&**commands, arguments), || commands.dough(arguments))
    }

    /// The diary.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn diary(&self) -> Result<Arc<Shown>, Refusal> {
        let Site { cache, commands, .. } = self.site;
        cache.answer(&cache.diary, (&**commands, &[]), || commands.diary())
    }

    /// The address of a page in the same units.
    pub fn link(&self, path: &str) -> String {
        self.link_with(path, "", "")
    }

    /// The same with one more value behind the `?`.
    pub fn link_with(&self, path: &str, name: &str, value: &str) -> String {
        let kept = self.query.get("units").unwrap_or_default();
        let query = Fields::default().with("units", kept).with(name, value).query();
        format!("{}{path}{query}", self.site.root())
    }
}

/// How a path is asked for: looked at, or with a form that changes something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verb {
    /// GET and HEAD.
    Get,
    Post,
}

/// A path and who answers it.
pub type Route = (Verb, &'static str, fn(&Asked) -> Result<Reply, PageError>);

/// Why a page could not be made: a mistake in a template, not in what was asked.
#[derive(Debug, thiserror::Error)]
#[error("a template of the page does not fit its values: {0}")]
pub struct PageError(#[from] minijinja::Error);
