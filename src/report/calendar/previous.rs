//! Reads a calendar file that this program wrote earlier, as far as a revision needs it.

use super::PRODID;
use super::entry::Component;
use super::text::unfold;

/// Why an earlier file cannot be revised.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReviseError {
    /// Another program wrote it.
    #[error("the file is not a calendar written by this program")]
    Foreign,
    /// Events were expected and it holds tasks, or the other way round.
    #[error("the file holds tasks where events belong, or events where tasks belong")]
    OtherKind,
    /// It is ours, but somebody changed or cut it.
    #[error("line {line}: the calendar was damaged: {why}")]
    Broken {
        /// Line of the file, from 1.
        line: usize,
        /// What is wrong there.
        why: &'static str,
    },
}

/// One event or task of an earlier file.
#[derive(Debug, Clone, PartialEq)]
pub struct Previous {
    pub uid: String,
    pub sequence: u32,
    pub stamp: String,
    /// Its unfolded lines between BEGIN and END, alarm and all.
    pub lines: Vec<String>,
}

impl Previous {
    /// The value of its first property of that name.
    pub fn value(&self, name: &str) -> Option<&str> {
        own(&self.lines).find_map(|line| value_of(line, name))
    }
}

/// Every component of an earlier file of ours.
///
/// # Errors
/// [`ReviseError::Foreign`] when it does not carry our PRODID,
/// [`ReviseError::OtherKind`] when it holds tasks instead of events or the other
/// way round, [`ReviseError::Broken`] when it is ours but damaged.
pub fn read(file: &str, kind: Component) -> Result<Vec<Previous>, ReviseError> {
    let lines = unfold(file);
    let is_line = |n: usize, text: &str| lines.get(n).is_some_and(|(_, line)| line == text);
    let prodid = lines.iter().find_map(|(_, line)| value_of(line, "PRODID"));
    if !is_line(0, "BEGIN:VCALENDAR") || prodid != Some(PRODID) {
        return Err(ReviseError::Foreign);
    }
    let (begin, end) = (format!("BEGIN:{}", kind.name()), format!("END:{}", kind.name()));
    let last = lines.last().map_or(0, |(n, _)| *n);
    let mut found = Vec::new();
    let mut open: Option<Vec<String>> = None;
    for (n, line) in lines.iter().skip(1) {
        match (line.as_str(), &mut open) {
            (line, None) if line == begin => open = Some(Vec::new()),
            ("BEGIN:VEVENT" | "BEGIN:VTODO", None) => return Err(ReviseError::OtherKind),
            ("END:VCALENDAR", None) if *n == last => return Ok(found),
            (line, None) if line.starts_with("BEGIN:") => return broken(*n, "an unknown part"),
            (line, None) if line.starts_with("END:") => {
                return broken(*n, "an end without a beginning");
            }
            (_, None) => {}
            (line, Some(body)) if line == end => {
                found.push(component(*n, std::mem::take(body))?);
                open = None;
            }
            (line, Some(_)) if line.starts_with("BEGIN:") && line != "BEGIN:VALARM" => {
                return broken(*n, "an entry before it never ends");
            }
            (line, Some(body)) => body.push(line.to_owned()),
        }
    }
    broken(last, "the file ends too early")
}

fn component(n: usize, lines: Vec<String>) -> Result<Previous, ReviseError> {
    let value = |name| {
        let found = own(&lines).find_map(|line| value_of(line, name));
        found.ok_or(ReviseError::Broken {
            line: n,
            why: "an entry without UID, SEQUENCE or DTSTAMP",
        })
    };
    let Ok(sequence) = value("SEQUENCE")?.parse() else {
        return broken(n, "a SEQUENCE that is no number");
    };
    Ok(Previous {
        uid: value("UID")?.to_owned(),
        sequence,
        stamp: value("DTSTAMP")?.to_owned(),
        lines,
    })
}

/// The properties of the entry itself, not those of its alarm, which comes last.
pub fn own(lines: &[String]) -> impl Iterator<Item = &String> {
    lines.iter().take_while(|line| *line != "BEGIN:VALARM")
}

/// The value of a line without parameters; we write none with.
fn value_of<'a>(line: &'a str, name: &str) -> Option<&'a str> {
    line.strip_prefix(name)?.strip_prefix(':')
}

fn broken<T>(line: usize, why: &'static str) -> Result<T, ReviseError> {
    Err(ReviseError::Broken { line, why })
}
