//! The open plan and its file: taken, saved, read again, put away. Each looks at the
//! text, the disk and the form under one lock, so that two windows are one after the other.

use std::path::Path;

use super::{
    fresh,
    show::{self, CHANGED_ELSEWHERE, Said, show},
};
use crate::{
    host::{Host, Over, Source, StoreError},
    planfile::{self, LARGEST_FILE, edit::EditError},
    web::{
        Buffer,
        asked::{Asked, PageError},
        reply::Reply,
        workspace::NotTaken,
    },
};

/// A folder of plans has some; more names would only hide the one looked for.
const MOST_FILES: usize = 40;

/// The page to begin on.
pub fn nothing_open(asked: &Asked, fault: &str) -> Result<Reply, PageError> {
    show::nothing_open(asked, plan_files(&*asked.site.host), fault)
}

/// Plan files in the folder where the program was started.
fn plan_files(host: &dyn Host) -> Vec<String> {
    let names = host.list(Path::new(".")).into_iter().filter(|name| name.ends_with(".toml"));
    // Other programs keep settings in files of this kind too.
    let plans =
        names.filter(|name| matches!(read(host, name), Ok(Some(text)) if looks_like_a_plan(&text)));
    plans.take(MOST_FILES).collect()
}

fn looks_like_a_plan(text: &str) -> bool {
    text.lines().any(|line| line.trim_start().starts_with("timezone"))
        && ["[[ice]]", "[[ornament]]", "[hours]"].iter().any(|part| text.contains(part))
}

/// The text of a plan file; none where there is none.
fn read(host: &dyn Host, path: &str) -> Result<Option<String>, String> {
    let read = host.read(Path::new(path), LARGEST_FILE, Source::File);
    let bytes = read.map_err(|error| format!("{path} cannot be read: {error}"))?;
    let text = bytes.map(String::from_utf8).transpose();
    text.map_err(|_| format!("{path} is no text; save it as UTF-8"))
}

/// Takes what a form changes: the open plan after it, or the page that says why not.
///
/// # Errors
/// That page.
pub fn take(
    asked: &Asked,
    edit: impl FnOnce(&Buffer) -> Result<String, EditError>,
) -> Result<Buffer, Result<Reply, PageError>> {
    let taken = asked.site.workspace.change(|current| {
        let open = current.as_mut()?;
        let taken = open.take(&asked.form, edit);
        Some((taken, open.clone()))
    });
    match taken {
        None => Err(Ok(Reply::see(asked.link("plan")))),
        Some((Ok(()), open)) => Ok(open),
        Some((Err(NotTaken::Stale), open)) => Err(show::not_taken(asked, &open)),
        Some((Err(NotTaken::Refused(error)), open)) => {
            Err(show(asked, &open, Said::Wrong(&error.to_string())))
        }
    }
}

/// The text of the open plan, sound or not, to be kept elsewhere.
pub fn file(asked: &Asked) -> Result<Reply, PageError> {
    let Some(open) = asked.site.workspace.look() else { return Ok(Reply::see(asked.link("plan"))) };
    let name = format!("{}.toml", open.stem());
    Ok(Reply::download("application/toml", &name, open.text))
}

/// Writes the open plan, unless its file is another one by now.
pub fn save(asked: &Asked) -> Result<Reply, PageError> {
    let saved = asked.site.workspace.change(|current| {
        let open = current.as_mut()?;
        Some((write(asked, open), open.clone()))
    });
    match saved {
        None => Ok(Reply::see(asked.link("plan"))),
        Some((Ok(()), _)) => Ok(Reply::see(asked.link_with("plan", "said", "saved"))),
        Some((Err(words), open)) => {
            show(asked, &open, Said::Wrong(&format!("Not saved: {words}.")))
        }
    }
}

fn write(asked: &Asked, open: &mut Buffer) -> Result<(), String> {
    if planfile::read(&open.text).is_err() {
        return Err("something is wrong. It is marked below".to_owned());
    }
    let other = asked.form.get("as").map(with_ending);
    let Some(path) = other.or(open.path.clone()) else {
        return Err("give the file a name first, at the end of this page".to_owned());
    };
    let is_own = open.path.as_ref() == Some(&path);
    let over = match &open.disk {
        Some(disk) if is_own => Over::Only(disk.as_bytes()),
        _ => Over::Nothing,
    };
    let host = &*asked.site.host;
    host.write(Path::new(&path), open.text.as_bytes(), over).map_err(|error| match error {
        StoreError::Changed if host.version(Path::new(&path)).is_none() => {
            format!("{path} is no longer there; give it a name again")
        }
        StoreError::Changed => format!(
            "{path} was changed by another program since it was opened here. Save under another \
             name, or read it again (what you changed here is then lost)"
        ),
        StoreError::Exists => format!("{path} is there already; choose another name"),
        error => format!("{path}: {error}"),
    })?;
    open.disk = Some(open.text.clone());
    open.path = Some(path);
    Ok(())
}

fn with_ending(name: &str) -> String {
    if name.ends_with(".toml") { name.to_owned() } else { format!("{name}.toml") }
}

fn put(asked: &Asked, open: Buffer) -> Result<Reply, PageError> {
    asked.site.open(open);
    Ok(Reply::see(asked.link("plan")))
}

/// Opens a new plan.
pub fn start(asked: &Asked) -> Result<Reply, PageError> {
    let text = fresh::starter(&planfile::starter(), asked.now.date_naive());
    put(asked, Buffer::new(text))
}

/// Opens the plan file of the name that was sent.
pub fn open(asked: &Asked) -> Result<Reply, PageError> {
    let path = asked.form.get("path").unwrap_or_default();
    let fault = match read(&*asked.site.host, path) {
        _ if path.is_empty() => "Which file? Give its name.".to_owned(),
        Ok(Some(text)) => return put(asked, Buffer::read(path.to_owned(), text)),
        Ok(None) => format!("There is no file {path}."),
        Err(words) => words,
    };
    nothing_open(asked, &fault)
}

/// Throws away what was changed here and takes the file as it is now.
pub fn read_again(asked: &Asked) -> Result<Reply, PageError> {
    let host = &*asked.site.host;
    as_shown(asked, |current| {
        let open = current.as_mut()?;
        let Some(path) = open.path.clone() else {
            *current = None;
            return None;
        };
        match read(host, &path) {
            Ok(Some(text)) => {
                open.disk = Some(text.clone());
                open.change(text);
                None
            }
            Ok(None) => Some(format!("{path} is no longer there.")),
            Err(words) => Some(words),
        }
    })
    .unwrap_or_else(|| Ok(Reply::see(asked.link_with("plan", "said", "read"))))
}

/// Takes the last change back, or makes it again: the button says which.
pub fn undo(asked: &Asked) -> Result<Reply, PageError> {
    let again = asked.form.get("do") == Some("redo");
    as_shown(asked, |current| {
        let open = current.as_mut()?;
        if again {
            open.redo()
        } else {
            open.undo()
        }
        None
    })
    .unwrap_or_else(|| {
        let said = if again { "redone" } else { "undone" };
        Ok(Reply::see(asked.link_with("plan", "said", said)))
    })
}

/// Puts the plan away, saved or not: the button says which.
pub fn close(asked: &Asked) -> Result<Reply, PageError> {
    as_shown(asked, |current| {
        *current = None;
        None
    })
    .unwrap_or_else(|| Ok(Reply::see(asked.link("plan"))))
}

/// Does something with the plan that the page showed: not with what another window has
/// made of it since. A page where that did not go; none where it went.
fn as_shown(
    asked: &Asked,
    act: impl FnOnce(&mut Option<Buffer>) -> Option<String>,
) -> Option<Result<Reply, PageError>> {
    let (open, words) = asked.site.workspace.change(|current| {
        let open = current.clone()?;
        let shown = asked.form.get("revision") == Some(open.revision.to_string().as_str());
        let words = if shown { act(current) } else { Some(CHANGED_ELSEWHERE.to_owned()) };
        words.map(|words| (open, words))
    })?;
    Some(show(asked, &open, Said::Wrong(&words)))
}
