//! Who the page answers, what it withstands, and how it ends,
//! on the real program.

use crate::page;

use std::{
    io::{BufReader, ErrorKind, Read, Write},
    net::TcpStream,
    time::Duration,
};

use page::{Page, STARS, load, read};

#[test]
fn only_our_own_address_is_answered() {
    let page = Page::start(&[]);
    let path = format!("GET {} HTTP/1.1\r\n", page.root);
    let own = format!("127.0.0.1:{}", page.port);
    let foreign = [
        "Host: evil.example\r\n".to_owned(),
        format!("Host: evil.example:{}\r\n", page.port),
        "Host: 127.0.0.1\r\n".to_owned(),
        "Host: 127.0.0.1:1\r\n".to_owned(),
        format!("Host: {own}.evil.example\r\n"),
        format!("Host: {own}\r\nHost: evil.example\r\n"),
        String::new(),
    ];
    for host in foreign {
        let reply = page.raw(&format!("{path}{host}"), b"");
        assert!([400, 421].contains(&reply.status), "{host:?}: {}", reply.status);
        assert!(!reply.text().contains("solidby serve"), "{host:?} is told where to ask");
    }
    let absolute = format!("GET http://evil.example{} HTTP/1.1\r\nHost: {own}\r\n", page.root);
    assert_eq!(page.raw(&absolute, b"").status, 421);
    for host in [own, format!("localhost:{}", page.port)] {
        assert_eq!(page.raw(&format!("{path}Host: {host}\r\n"), b"").status, 200, "{host}");
    }
    // Every address 127.x.y.z is this computer, but only 127.0.0.1 is listened on.
    let elsewhere = std::net::SocketAddr::from(([127, 0, 0, 2], page.port));
    assert!(TcpStream::connect_timeout(&elsewhere, Duration::from_secs(1)).is_err());
}

#[test]
fn another_page_may_not_ask() {
    let page = Page::start(&[]);
    let own = format!("http://127.0.0.1:{}", page.port);
    for origin in ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1:1", ""] {
        for method in ["GET", "POST"] {
            let reply = page.request(method, &page.root, &format!("Origin: {origin}\r\n"), b"");
            assert_eq!(reply.status, 403, "{method} from {origin:?}");
        }
    }
    let reply = page.request("GET", &page.root, &format!("Origin: {own}\r\n"), b"");
    assert_eq!(reply.status, 200);
    assert!(reply.header("access-control-allow-origin").is_none());
    let policy = reply.header("content-security-policy").unwrap();
    assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(reply.header("cache-control"), Some("no-store"));
    assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
}

#[test]
fn without_the_key_nothing_is_told() {
    let page = Page::start(&[]);
    let key = page.root.trim_matches('/').to_owned();
    assert_eq!(key.len(), 32, "128 bits in hexadecimal digits");
    let wrong = format!("{}0", &key[..31]);
    let wrong = if wrong == key { format!("{}1", &key[..31]) } else { wrong };
    for path in [
        "/",
        "/ice",
        "/look.css",
        "/sign.svg",
        &format!("/{wrong}/ice"),
        "//ice",
        &format!("/{key}"),
    ] {
        let reply = page.request("GET", path, "", b"");
        assert_eq!(reply.status, 403, "{path}");
        assert!(reply.text().contains("`solidby serve` printed"), "{path}: {}", reply.text());
        assert!(!reply.text().contains(&key) && !reply.head.contains(&key), "{path} leaks the key");
    }
    assert_ne!(Page::start(&[]).root, page.root, "a new start makes a new key");
}

#[test]
fn other_methods_and_paths_are_refused_plainly() {
    let page = Page::start(&[]);
    for (method, path, status) in [
        ("DELETE", "ice", 405),
        ("PUT", "ice", 405),
        ("POST", "ice", 405),
        ("GET", "diary/look", 405),
        ("GET", "nothing", 404),
        ("GET", "ice/../ice", 404),
        ("HEAD", "", 200),
    ] {
        let mut stream = page.connect();
        let head = format!(
            "{method} {}{path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
            page.root, page.port
        );
        stream.write_all(head.as_bytes()).unwrap();
        let mut all = String::new();
        stream.read_to_string(&mut all).unwrap();
        assert!(all.starts_with(&format!("HTTP/1.1 {status} ")), "{method} {path}: {all}");
    }
}

#[test]
fn a_form_of_ten_megabytes_is_refused() {
    let page = Page::start(&[]);
    let ten = vec![b'a'; 10_000_000];
    let before = page.most_memory_kb();
    for path in ["ice/note", "ice", "diary/look"] {
        let reply = page.post(path, std::str::from_utf8(&ten).unwrap());
        assert_eq!(reply.status, 413, "{path}");
        assert!(reply.text().contains("1 MB"));
    }
    // In pieces, without saying beforehand how long it is.
    let mut stream = page.connect();
    let head = format!(
        "POST {}ice/note HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nTransfer-Encoding: chunked\r\n\r\n",
        page.root, page.port
    );
    stream.write_all(head.as_bytes()).unwrap();
    for piece in ten.chunks(100_000) {
        stream.write_all(format!("{:x}\r\n", piece.len()).as_bytes()).unwrap();
        stream.write_all(piece).unwrap();
        stream.write_all(b"\r\n").unwrap();
    }
    stream.write_all(b"0\r\n\r\n").unwrap();
    assert_eq!(read(&mut BufReader::new(stream)).unwrap().status, 413);
    if let (Some(before), Some(after)) = (before, page.most_memory_kb()) {
        println!("four forms of 10 MB: {before} kB before, {after} kB at most");
        assert!(
            after < before + 8_000,
            "a form that is refused is not kept: {before} to {after} kB"
        );
    }
}

/// Nobody waits for the body of a form that will be refused: it is not asked for either.
#[test]
fn a_refused_form_is_not_read() {
    let page = Page::start(&[]);
    for (path, host, status) in [
        ("/wrong/ice", format!("127.0.0.1:{}", page.port), 403),
        (&*page.root, "evil.example".to_owned(), 421),
    ] {
        let mut stream = page.connect();
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nContent-Length: 100\r\n\
             Expect: 100-continue\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).unwrap();
        let mut reply = String::new();
        // Its end comes with the answer: the connection is not kept.
        stream.read_to_string(&mut reply).unwrap();
        assert!(reply.starts_with(&format!("HTTP/1.1 {status} ")), "{path}: {reply}");
        assert!(reply.to_ascii_lowercase().contains("connection: close"), "{path}: {reply}");
    }
}

/// Whether a connection has nothing to say and is not closed.
fn is_open(stream: &TcpStream) -> bool {
    stream.set_nonblocking(true).unwrap();
    let open = matches!(stream.peek(&mut [0]), Err(error) if error.kind() == ErrorKind::WouldBlock);
    stream.set_nonblocking(false).unwrap();
    open
}

#[test]
fn slow_clients_are_let_go_and_hold_up_nobody() {
    let page = Page::start(&[]);
    let host = format!("Host: 127.0.0.1:{}\r\n", page.port);
    let heads = [
        // Never ends its head.
        format!("GET {} HTTP/1.1\r\n{host}", page.root),
        // Never says anything.
        String::new(),
        // Never sends its body.
        format!("POST {}ice/note HTTP/1.1\r\n{host}Content-Length: 100\r\n\r\na=", page.root),
    ];
    let slow: Vec<_> = heads
        .iter()
        .cycle()
        .take(232)
        .map(|head| {
            let mut stream = page.connect();
            stream.write_all(head.as_bytes()).unwrap();
            (head, stream)
        })
        .collect();
    // Another one is answered long before they are let go.
    assert_eq!(page.get("").status, 200);
    let open = slow.iter().filter(|(_, stream)| is_open(stream)).count();
    assert!(open > slow.len() / 2, "only {open} of {} were still waited for", slow.len());
    for (head, mut stream) in slow {
        let mut reply = String::new();
        let ended = stream.read_to_string(&mut reply);
        assert!(!ended.is_err_and(|e| e.kind() == ErrorKind::WouldBlock), "{head:?} was kept");
        assert!(reply.is_empty() || reply.starts_with("HTTP/1.1 408"), "{head:?}: {reply}");
    }
    assert_eq!(page.get("").status, 200);
}

/// They ask for much and read nothing, so that nothing more can be written to them.
#[test]
fn clients_that_never_read_are_let_go_and_hold_up_nobody() {
    let page = Page::start(&["--no-diary"]);
    assert_eq!(page.post("plan/start", "").status, 303);
    let long = format!("revision=0&text={}", "%23".repeat(300_000));
    assert_eq!(page.post("plan/text", &long).status, 303);
    let ask =
        format!("GET {}plan/text HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", page.root, page.port);
    let deaf: Vec<TcpStream> = (0..32)
        .map(|_| {
            let mut stream = page.connect();
            stream.write_all(ask.repeat(600).as_bytes()).unwrap();
            stream
        })
        .collect();
    assert_eq!(page.get("look.css").status, 200);
    // What was not read of their questions is thrown away with the connection, which resets it.
    for (n, mut stream) in deaf.into_iter().enumerate() {
        stream.set_nonblocking(true).unwrap();
        let reset = (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(100));
            let more = stream.write(ask.as_bytes());
            more.is_err_and(|error| error.kind() != ErrorKind::WouldBlock)
        });
        assert!(reset, "client {n} is still waited for");
    }
    assert_eq!(page.get("").status, 200);
}

#[test]
fn nonsense_is_no_end() {
    let page = Page::start(&[]);
    for nonsense in [
        "\r\n\r\n",
        "GET\r\n\r\n",
        "\0\u{1}\u{2}",
        "GET / HTTP/9\r\n\r\n",
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
    ] {
        let mut stream = page.connect();
        stream.write_all(nonsense.as_bytes()).unwrap();
        stream.shutdown(std::net::Shutdown::Write).unwrap();
        let mut reply = Vec::new();
        let _reset = stream.read_to_end(&mut reply);
        assert!(!reply.starts_with(b"HTTP/1.1 200"), "{nonsense:?}");
    }
    let long = "x".repeat(100_000);
    let reply = page.get(&format!("ice?shape={long}"));
    assert!([400, 414, 431].contains(&reply.status), "{}", reply.status);
    assert_eq!(page.get("").status, 200);
}

#[test]
fn ctrl_c_ends_it_cleanly_and_soon() {
    let page = Page::start(&[]);
    let port = page.port;
    let mut idle = page.connect();
    let mut busy = page.connect();
    let ask = format!("GET {}{STARS} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n", page.root);
    busy.write_all(ask.as_bytes()).unwrap();
    // The two before it have been accepted once this one is answered.
    assert_eq!(page.get("look.css").status, 200);
    let code = page.interrupt();
    assert_eq!(code, Some(0));
    // What was asked before is still answered, whole.
    assert_eq!(read(&mut BufReader::new(busy)).map(|reply| reply.status), Some(200));
    assert_eq!(idle.read(&mut [0]).unwrap_or(0), 0);
    assert!(TcpStream::connect(("127.0.0.1", port)).is_err());
}

/// How long they take is for `cargo bench --bench page_load`, on a quiet machine.
#[test]
fn two_thousand_requests_from_sixteen_connections() {
    let page = Page::start(&["--no-diary"]);
    let same = vec![STARS.to_owned(); 2000];
    assert_eq!(load(&page, 16, &same).len(), 2000);
    // Every question another one, worked out anew.
    let other =
        |n: usize| format!("ice?shape=star&count={}&air=-{}+C&units=metric", 1 + n % 8, 12 + n / 8);
    let different: Vec<String> = (0..40).map(other).collect();
    assert_eq!(load(&page, 16, &different).len(), 40);
    if let Some(memory) = page.most_memory_kb() {
        assert!(memory < 100_000, "{memory} kB; 100 MB is the most");
    }
}
