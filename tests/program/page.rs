//! A running `solidby serve` and a plain HTTP client, for tests of the page.
#![allow(dead_code, reason = "each test file uses a part of it")]

use crate::run::program;
use std::{
    fs,
    io::{BufRead, BufReader, Write},
    net::TcpStream,
    path::Path,
    process::{Child, ChildStdout, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

/// The clock of all tests here.
pub const NOW: &str = "2026-12-06T18:30:00-07:00";

/// A question on ice that is asked again and again.
pub const STARS: &str = "ice?shape=star&count=4&at=2026-12-06T18:30&by=2026-12-07T07:00&units=us";

/// `solidby` with the clock of the tests and no diary of whoever runs them.
pub fn solidby(arguments: &[&str]) -> Command {
    program(&[&["--now", NOW], arguments].concat())
}

/// A running page; it is ended with its test.
pub struct Page {
    pub child: Child,
    /// Where it listens.
    pub port: u16,
    /// What all paths begin with.
    pub root: String,
    _stdout: BufReader<ChildStdout>,
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ended = self.child.kill();
        let _waited = self.child.wait();
    }
}

/// What came back.
#[derive(Debug)]
pub struct Reply {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Reply {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// A header's value.
    pub fn header(&self, name: &str) -> Option<&str> {
        let named = |line: &&str| {
            line.split_once(':').is_some_and(|(found, _)| found.eq_ignore_ascii_case(name))
        };
        self.head.lines().find(named)?.split_once(':').map(|(_, value)| value.trim())
    }
}

impl Page {
    /// Starts one and waits for its address.
    pub fn start(arguments: &[&str]) -> Self {
        Self::start_in(Path::new("."), arguments)
    }

    /// The same in a folder.
    pub fn start_in(folder: &Path, arguments: &[&str]) -> Self {
        Self::start_at(NOW, folder, arguments)
    }

    /// The same with another clock.
    pub fn start_at(now: &str, folder: &Path, arguments: &[&str]) -> Self {
        let mut child = program(&[&["--now", now, "serve"], arguments].concat())
            .current_dir(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut stdout = BufReader::new(child.stdout.take().unwrap());
        let mut address = String::new();
        stdout.read_line(&mut address).unwrap();
        let rest = address.trim_end().strip_prefix("http://127.0.0.1:").expect("an address");
        let (port, path) = rest.split_once('/').unwrap();
        Self { child, port: port.parse().unwrap(), root: format!("/{path}"), _stdout: stdout }
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream.set_nodelay(true).unwrap();
        stream
    }

    /// A request with the head of a browser; `more` are further header lines.
    pub fn request(&self, method: &str, path: &str, more: &str, body: &[u8]) -> Reply {
        let host = format!("Host: 127.0.0.1:{}\r\n", self.port);
        self.raw(&format!("{method} {path} HTTP/1.1\r\n{host}{more}"), body)
    }

    /// A request as it stands, with the length of its body.
    pub fn raw(&self, head: &str, body: &[u8]) -> Reply {
        let mut stream = self.connect();
        let length = if body.is_empty() {
            String::new()
        } else {
            format!("Content-Length: {}\r\n", body.len())
        };
        stream.write_all(format!("{head}{length}\r\n").as_bytes()).unwrap();
        // A refusal may come before all is sent.
        let _refused_early = stream.write_all(body);
        read(&mut BufReader::new(stream)).expect("a reply")
    }

    /// A page below the root.
    pub fn get(&self, path: &str) -> Reply {
        self.request("GET", &format!("{}{path}", self.root), "", b"")
    }

    /// A form sent as a browser sends it.
    pub fn post(&self, path: &str, form: &str) -> Reply {
        let more = format!(
            "Origin: http://127.0.0.1:{}\r\nContent-Type: application/x-www-form-urlencoded\r\n",
            self.port
        );
        self.request("POST", &format!("{}{path}", self.root), &more, form.as_bytes())
    }

    /// The most memory it has had so far, kB (Linux only).
    pub fn most_memory_kb(&self) -> Option<u64> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
        line.split_whitespace().next()?.parse().ok()
    }

    /// Asks it to stop as Ctrl-C does; its exit code.
    pub fn interrupt(mut self) -> Option<i32> {
        let id = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
        let status = self.child.wait().unwrap();
        status.code()
    }
}

/// One reply from a connection; none when it was closed without one.
pub fn read(stream: &mut impl BufRead) -> Option<Reply> {
    let mut head = String::new();
    loop {
        let mut line = String::new();
        if stream.read_line(&mut line).ok()? == 0 {
            return None;
        }
        if line == "\r\n" {
            break;
        }
        head += &line;
    }
    let status = head.split_whitespace().nth(1)?.parse().ok()?;
    let mut reply = Reply { status, head, body: Vec::new() };
    let length: usize = reply.header("content-length").map_or(0, |length| length.parse().unwrap());
    reply.body = vec![0; length];
    stream.read_exact(&mut reply.body).ok()?;
    Some(reply)
}

/// A value as a form sends it.
pub fn encoded(value: &str) -> String {
    value.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

/// Text without the escapes of HTML.
pub fn plain(text: &str) -> String {
    let escapes = [
        ("&#x27;", "'"),
        ("&#x2f;", "/"),
        ("&quot;", "\""),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&amp;", "&"),
    ];
    escapes.iter().fold(text.to_owned(), |text, (escape, c)| text.replace(escape, c))
}

/// What an HTML page shows, without its marks.
pub fn shown(html: &str) -> String {
    let mut text = String::new();
    for part in html.split('<') {
        text += part.split_once('>').map_or(part, |(_, words)| words);
        text.push(' ');
    }
    plain(&text).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A folder of this test alone.
pub fn folder() -> tempfile::TempDir {
    tempfile::tempdir_in(Path::new(env!("CARGO_TARGET_TMPDIR"))).unwrap()
}

/// Asks all of it from so many connections; each must be answered. Milliseconds of each
/// answer, in order of length.
pub fn load(page: &Page, connections: usize, paths: &[String]) -> Vec<f64> {
    let mut times: Vec<f64> = thread::scope(|scope| {
        let ask = |n: usize| {
            let mut stream = BufReader::new(page.connect());
            let mine = paths.iter().skip(n).step_by(connections);
            mine.map(|path| {
                let start = Instant::now();
                let head = format!(
                    "GET {}{path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
                    page.root, page.port
                );
                stream.get_mut().write_all(head.as_bytes()).unwrap();
                let reply = read(&mut stream).expect("a reply");
                assert_eq!(reply.status, 200, "{path}");
                assert!(reply.text().contains("id=\"headline\""), "{path} has no answer");
                1e3 * start.elapsed().as_secs_f64()
            })
            .collect::<Vec<f64>>()
        };
        let callers: Vec<_> = (0..connections).map(|n| scope.spawn(move || ask(n))).collect();
        callers.into_iter().flat_map(|caller| caller.join().unwrap()).collect()
    });
    times.sort_by(f64::total_cmp);
    times
}
