//! Connections on the loopback address: how many, how long, and how they end.

use std::{convert::Infallible, io, net, pin::pin, sync::Arc, time::Duration};

use http_body_util::Full;
use hyper::{
    Request, Response, StatusCode,
    body::{Bytes, Incoming},
    header::{self, HeaderValue},
    server::conn::http1,
    service::service_fn,
};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::{
    net::{TcpListener, TcpStream},
    sync::{OwnedSemaphorePermit, Semaphore, watch},
    task::spawn_blocking,
    time::{sleep, timeout},
};
use tokio_io_timeout::TimeoutStream;

use super::{
    Site,
    guard::{self, Address},
    reply::Reply,
    routes,
};

/// Nothing but our own style, script, pictures and forms; no inline script or style, no frame.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
                      img-src 'self' data:; form-action 'self'; connect-src 'self'; \
                      base-uri 'none'; frame-ancestors 'none'";

/// Connections at a time; more are closed at once. A browser opens six: the rest is for
/// callers that say nothing or never read, until their time is over.
const CONNECTIONS: u32 = 512;

/// Questions that are worked out at a time; more wait.
const ANSWERS: usize = 32;

/// Within this the head of a request has come; an idle connection lasts as long.
const HEAD_WITHIN: Duration = Duration::from_secs(5);

/// The largest head of a request, bytes: the address of a full form has some hundreds.
const LARGEST_HEAD: usize = 32 << 10;

/// Within this the other end has read on, when an answer waits for it.
const READ_ON_WITHIN: Duration = Duration::from_secs(5);

/// No connection lasts longer, so that one whose reader reads ever so slowly ends too.
const LONGEST: Duration = Duration::from_secs(600);

/// What is being answered when the program is asked to stop is given this long.
const LAST: Duration = Duration::from_secs(2);

/// Serves a site until the program is asked to stop (Ctrl-C, or a termination signal).
///
/// # Errors
/// When the listener or the signals cannot be had.
pub fn run(listener: net::TcpListener, site: Site, address: Address) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .max_blocking_threads(ANSWERS)
        .build()?;
    let served = runtime.block_on(accept(listener, Arc::new((site, address))));
    runtime.shutdown_timeout(LAST);
    served
}

/// A site and its address.
type Served = (Site, Address);

async fn accept(listener: net::TcpListener, site: Arc<Served>) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let listener = TcpListener::from_std(listener)?;
    let room = Arc::new(Semaphore::new(CONNECTIONS as usize));
    let (stop, stopping) = watch::channel(());
    let mut asked_to_stop = pin!(asked_to_stop());
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            stopped = &mut asked_to_stop => {
                stopped?;
                break;
            }
        };
        match accepted {
            Ok((stream, _)) => {
                // Without a permit the stream is dropped, which closes it.
                if let Ok(permit) = room.clone().try_acquire_owned() {
                    tokio::spawn(connection(stream, site.clone(), stopping.clone(), permit));
                }
            }
            // Out of file handles, or the caller has gone: not for ever.
            Err(_) => sleep(Duration::from_millis(50)).await,
        }
    }
    drop(listener);
    drop(stop);
    // Those that are not done by then are cut off.
    let _cut_off = timeout(LAST, room.acquire_many(CONNECTIONS)).await;
    Ok(())
}

#[cfg(unix)]
async fn asked_to_stop() -> io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut terminated = signal(SignalKind::terminate())?;
    tokio::select! {
        interrupted = tokio::signal::ctrl_c() => interrupted,
        _ = terminated.recv() => Ok(()),
    }
}

#[cfg(not(unix))]
async fn asked_to_stop() -> io::Result<()> {
    tokio::signal::ctrl_c().await
}

/// Answers one connection until its other end, its time or the program is over.
async fn connection(
    stream: TcpStream,
    site: Arc<Served>,
    mut stopping: watch::Receiver<()>,
    _room: OwnedSemaphorePermit,
) {
    let service = service_fn(|request| answer(site.clone(), request));
    let mut timed = TimeoutStream::new(stream);
    timed.set_write_timeout(Some(READ_ON_WITHIN));
    let talk = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_WITHIN)
        .max_buf_size(LARGEST_HEAD)
        .serve_connection(TokioIo::new(Box::pin(timed)), service);
    let mut talk = pin!(talk);
    tokio::select! {
        // An error here is a caller that broke off or spoke no HTTP: hyper has answered it.
        _ended = talk.as_mut() => return,
        _stopping = stopping.changed() => {}
        () = sleep(LONGEST) => {}
    }
    talk.as_mut().graceful_shutdown();
    let _cut_off = timeout(LAST, talk).await;
}

async fn answer(
    site: Arc<Served>,
    request: Request<Incoming>,
) -> Result<Response<Full<Bytes>>, Infallible> {
    let (head, body) = request.into_parts();
    let reply = match guard::asked(&head, body, &site.1).await {
        Err(refusal) => refusal.with(header::CONNECTION, "close".to_owned()),
        Ok((path, body)) => {
            let query = head.uri.query().unwrap_or_default().to_owned();
            spawn_blocking(move || routes::reply(&site.0, &head.method, &path, &query, &body))
                .await
                .unwrap_or_else(|_| {
                    let words = "Something went wrong in the program; the terminal says more.";
                    Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, words)
                })
        }
    };
    Ok(response(reply))
}

/// A reply with what every reply of the server says about itself.
fn response(reply: Reply) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(Bytes::from(reply.body)));
    *response.status_mut() = reply.status;
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
    for (name, value) in reply.headers {
        if let Ok(value) = HeaderValue::from_str(&value) {
            headers.insert(name, value);
        }
    }
    response
}
