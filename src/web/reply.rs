//! What goes back to the browser.

use http::{
    StatusCode,
    header::{self, HeaderName},
};

/// A reply: status, kind, more headers, body.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// The status.
    pub status: StatusCode,
    /// Further headers; one named here takes the place of the usual one.
    pub headers: Vec<(HeaderName, String)>,
    /// The content.
    pub body: Vec<u8>,
}

impl Reply {
    /// A content of this kind.
    pub fn of(kind: &str, body: impl Into<Vec<u8>>) -> Self {
        let headers = vec![(header::CONTENT_TYPE, kind.to_owned())];
        Self { status: StatusCode::OK, headers, body: body.into() }
    }

    /// A page.
    pub fn html(page: String) -> Self {
        Self::of("text/html; charset=utf-8", page)
    }

    /// A few plain words with a status: a refusal.
    pub fn plain(status: StatusCode, words: &str) -> Self {
        Self::of("text/plain; charset=utf-8", format!("{words}\n")).status(status)
    }

    /// To another page, after a form that changed something.
    pub fn see(path: String) -> Self {
        Self::of("text/plain; charset=utf-8", "")
            .status(StatusCode::SEE_OTHER)
            .with(header::LOCATION, path)
    }

    /// A file to keep, under an ASCII name of ours.
    pub fn download(kind: &str, name: &str, body: impl Into<Vec<u8>>) -> Self {
        Self::of(kind, body)
            .with(header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\""))
    }

    /// With another status.
    pub fn status(self, status: StatusCode) -> Self {
        Self { status, ..self }
    }

    /// With one more header.
    pub fn with(mut self, name: HeaderName, value: String) -> Self {
        self.headers.push((name, value));
        self
    }
}
