//! What goes back to the browser.

use http_body_util::Full;
use hyper::{
    Response, StatusCode,
    body::Bytes,
    header::{self, HeaderName, HeaderValue},
};

/// Nothing but our own style, script, pictures and forms; no inline script or style, no frame.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
                      img-src 'self' data:; form-action 'self'; connect-src 'self'; \
                      base-uri 'none'; frame-ancestors 'none'";

/// A reply: status, kind, more headers, body.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    pub status: StatusCode,
    /// Further headers; one named here takes the place of the usual one.
    pub headers: Vec<(HeaderName, String)>,
    pub body: Vec<u8>,
}

impl Reply {
    pub fn of(kind: &str, body: impl Into<Vec<u8>>) -> Self {
        let headers = vec![(header::CONTENT_TYPE, kind.to_owned())];
        Self { status: StatusCode::OK, headers, body: body.into() }
    }

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

    /// As the server sends it.
    pub fn response(self) -> Response<Full<Bytes>> {
        let mut response = Response::new(Full::new(Bytes::from(self.body)));
        *response.status_mut() = self.status;
        let headers = response.headers_mut();
        for (name, value) in [
            (header::CONTENT_SECURITY_POLICY, POLICY),
            (header::CACHE_CONTROL, "no-store"),
            (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
            // With `no-referrer` browsers send our own forms with `Origin: null`, which
            // could not be told from a foreign page's.
            (header::REFERRER_POLICY, "same-origin"),
        ] {
            headers.insert(name, HeaderValue::from_static(value));
        }
        for (name, value) in self.headers {
            if let Ok(value) = HeaderValue::from_str(&value) {
                headers.insert(name, value);
            }
        }
        response
    }
}
