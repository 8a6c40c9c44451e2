//! Which page answers which path.
//!
//! A page is a folder with a handler, `fn(&Asked) -> Result<Reply, PageError>`,
//! and a list of its paths, `ROUTES`, which is named once in [`all`].

use std::sync::Arc;

use hyper::{Method, StatusCode};

use super::{Refusal, Site, fields::Fields, look, reply::Reply};
use crate::{
    report::{diary::Shown, dough, ice},
    units::System,
};

/// A question to a page.
pub struct Asked<'a> {
    /// The page's site.
    pub site: &'a Site,
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
        match self.query.get("units") {
            Some("us") => System::Us,
            Some("metric") => System::Metric,
            _ => self.site.program.units(),
        }
    }

    /// The answer of `solidby ice`.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    pub fn ice(&self, arguments: &[String]) -> Result<Arc<ice::Answered>, Refusal> {
        self.site.remembered.ice(&*self.site.program, arguments)
    }

    /// The answer of `solidby dough`.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    pub fn dough(&self, arguments: &[String]) -> Result<Arc<dough::Answered>, Refusal> {
        self.site.remembered.dough(&*self.site.program, arguments)
    }

    /// The diary.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn diary(&self) -> Result<Arc<Shown>, Refusal> {
        self.site.remembered.diary(&*self.site.program)
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
    /// POST.
    Post,
}

/// A path and who answers it.
pub type Route = (Verb, &'static str, fn(&Asked) -> Result<Reply, look::PageError>);

fn all() -> impl Iterator<Item = &'static Route> {
    use super::{diary, dough, ice, plan, start};
    [look::ROUTES, start::ROUTES, ice::ROUTES, dough::ROUTES, plan::ROUTES, diary::ROUTES]
        .into_iter()
        .flatten()
}

/// The reply to a request that the guard let pass.
pub fn reply(site: &Site, method: &Method, path: String, query: &str, body: &[u8]) -> Reply {
    let verb = if *method == Method::POST { Verb::Post } else { Verb::Get };
    let (query, form) = (Fields::read(query.as_bytes()), Fields::read(body));
    let asked = Asked { site, path: &path, query, form };
    let found: Vec<&Route> = all().filter(|route| route.1 == path).collect();
    match found.iter().find(|route| route.0 == verb) {
        Some((_, _, handler)) => handler(&asked).unwrap_or_else(|error| {
            Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string())
        }),
        None if !found.is_empty() => {
            Reply::plain(StatusCode::METHOD_NOT_ALLOWED, "This page is not asked that way.")
        }
        None => Reply::plain(StatusCode::NOT_FOUND, "There is no such page."),
    }
}
