//! Who may ask: this computer's own browser, at our address, with the key, in a small form.

use std::time::Duration;

use http_body_util::BodyExt;
use hyper::{
    HeaderMap, Method, StatusCode,
    body::{Body, Bytes, Incoming},
    header::{self, HeaderName},
    http::request::Parts,
};

use super::reply::Reply;

/// The longest form, bytes.
const LONGEST_BODY: usize = 1 << 20;

/// Of a body that is too long this much is read and thrown away, so that its
/// sender gets to read the refusal.
const THROWN_AWAY: usize = 32 << 20;

/// Within this a body has come whole.
const BODY_WITHIN: Duration = Duration::from_secs(5);

/// Where a site is served: on this computer only, to who knows the key.
pub struct Address {
    /// The secret first part of every path: who knows it may ask.
    pub key: String,
    /// The port on the loopback address.
    pub port: u16,
}

impl Address {
    /// The address to open.
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}{}", self.port, self.root())
    }

    /// What all paths begin with.
    pub fn root(&self) -> String {
        format!("/{}/", self.key)
    }
}

/// The path below the key and the body, of a request that may be answered; nothing is
/// read of one that may not.
///
/// # Errors
/// As [`path`] and [`whole_body`].
pub async fn asked(
    head: &Parts,
    body: Incoming,
    address: &Address,
) -> Result<(String, Bytes), Reply> {
    let path = path(head, address)?;
    Ok((path, whole_body(body).await?))
}

/// The path below the key, for a request that may be answered.
///
/// # Errors
/// The refusal: 421 for another Host (a foreign name that was pointed at this
/// computer), 403 for another Origin or a wrong key, 405 for another method.
fn path(head: &Parts, address: &Address) -> Result<String, Reply> {
    let ours = [format!("127.0.0.1:{}", address.port), format!("localhost:{}", address.port)];
    let is_ours = |name: &str| ours.iter().any(|own| own.eq_ignore_ascii_case(name));
    let foreign_target = head.uri.authority().is_some_and(|name| !is_ours(name.as_str()));
    let host = only(&head.headers, header::HOST);
    if foreign_target || !host.is_some_and(is_ours) {
        let words = "This page is only for the browser on this computer.";
        return Err(Reply::plain(StatusCode::MISDIRECTED_REQUEST, words));
    }
    if head.headers.contains_key(header::ORIGIN) {
        let origin = only(&head.headers, header::ORIGIN);
        if !origin.and_then(|origin| origin.strip_prefix("http://")).is_some_and(is_ours) {
            let words = "Another page may not ask this one.";
            return Err(Reply::plain(StatusCode::FORBIDDEN, words));
        }
    }
    let mut parts = head.uri.path().splitn(3, '/').skip(1);
    let (key, below) = (parts.next().unwrap_or_default(), parts.next());
    let Some(below) = below.filter(|_| same(key.as_bytes(), address.key.as_bytes())) else {
        let words = "The address lacks its key. Open the whole address that `solidby serve` \
                     printed in the terminal; a new start makes a new one.";
        return Err(Reply::plain(StatusCode::FORBIDDEN, words));
    };
    if ![Method::GET, Method::HEAD, Method::POST].contains(&head.method) {
        let words = "Only GET, HEAD and POST are answered.";
        let refusal = Reply::plain(StatusCode::METHOD_NOT_ALLOWED, words);
        return Err(refusal.with(header::ALLOW, "GET, HEAD, POST".to_owned()));
    }
    Ok(below.to_owned())
}

/// The value of a header that is there exactly once.
fn only(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?.to_str().ok()?;
    all.next().is_none().then_some(first)
}

/// Whether two keys are the same, in a time that does not depend on where they differ.
fn same(a: &[u8], b: &[u8]) -> bool {
    a.len() == b.len() && a.iter().zip(b).fold(0, |all, (a, b)| all | (a ^ b)) == 0
}

/// The whole body of a request.
///
/// # Errors
/// The refusal: 413 for one of more than 1 MB, 408 for one that does not come
/// within five seconds, 400 for one that breaks off.
async fn whole_body(mut body: Incoming) -> Result<Bytes, Reply> {
    let read = tokio::time::timeout(BODY_WITHIN, whole(&mut body));
    read.await.unwrap_or_else(|_| {
        Err(Reply::plain(StatusCode::REQUEST_TIMEOUT, "The form took too long to arrive."))
    })
}

async fn whole(body: &mut Incoming) -> Result<Bytes, Reply> {
    let announced = body.size_hint().lower();
    let mut kept = Vec::new();
    let mut length = 0;
    while let Some(frame) = body.frame().await {
        let frame = frame
            .map_err(|_| Reply::plain(StatusCode::BAD_REQUEST, "The form broke off on its way."))?;
        let Ok(bytes) = frame.into_data() else { continue };
        length += bytes.len();
        if length > THROWN_AWAY {
            break;
        }
        if length <= LONGEST_BODY && announced <= LONGEST_BODY as u64 {
            kept.extend_from_slice(&bytes);
        } else {
            kept = Vec::new();
        }
    }
    if length > LONGEST_BODY {
        let words = "A form may have at most 1 MB.";
        return Err(Reply::plain(StatusCode::PAYLOAD_TOO_LARGE, words));
    }
    Ok(kept.into())
}
