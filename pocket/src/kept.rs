//! What the browser keeps between two questions: files, the open plan, and the states before.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use solidby::web::Buffer;

/// States before the last one that are kept at most.
const MOST_BEFORE: usize = 30;

/// Bytes that they may have together: a browser gives some megabytes.
const MOST_BYTES: usize = 1 << 20;

/// The form of the text; a text of another form is not touched.
const FORM: u32 = 1;

/// All that is kept, as one text that is written whole or not at all.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Kept {
    form: u32,
    /// The state now.
    pub state: State,
    /// The highest revision that any open plan has had: a page from before is known again
    /// also after the plan was put away.
    revisions: u64,
    /// The states before, the newest last.
    before: Vec<State>,
}

/// Files and the open plan.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct State {
    /// Texts by their paths.
    pub files: BTreeMap<String, String>,
    /// The plan that is open.
    pub open: Option<Open>,
}

/// The plan that is open, as [`Buffer`] has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Open {
    path: Option<String>,
    disk: Option<String>,
    text: String,
    revision: u64,
}

impl Default for Kept {
    fn default() -> Self {
        Self { form: FORM, state: State::default(), revisions: 0, before: Vec::new() }
    }
}

impl Kept {
    /// What was kept before.
    ///
    /// # Errors
    /// In words, where the text is not of this form.
    pub fn read(text: Option<&str>) -> Result<Self, String> {
        let Some(text) = text else { return Ok(Self::default()) };
        let kept: Self = serde_json::from_str(text).map_err(|error| error.to_string())?;
        match kept.form {
            FORM => Ok(kept),
            other => Err(format!("it is of form {other}, and this page reads form {FORM}")),
        }
    }

    /// The same as a text, after a change that can be taken back; none where there was none.
    pub fn changed(mut self, state: State) -> Option<Self> {
        if state == self.state {
            return None;
        }
        // A plan that stays as it is keeps its revision, and its pages stay true.
        let same = state.open == self.state.open;
        self.before.push(std::mem::replace(&mut self.state, state));
        while self.before.len() > MOST_BEFORE
            || self.before.len() > 1
                && self.before.iter().map(State::bytes).sum::<usize>() > MOST_BYTES
        {
            self.before.remove(0);
        }
        Some(if same { self } else { self.with_revision() })
    }

    /// The state before the last change; none where there is none.
    pub fn undone(mut self) -> Option<Self> {
        self.state = self.before.pop()?;
        if let Some(open) = &mut self.state.open {
            open.revision = 0;
        }
        Some(self.with_revision())
    }

    /// The open plan to be worked on again, with its texts before: another tab may show one.
    pub fn buffer(&self) -> Option<Buffer> {
        let mut buffer = self.state.open.clone()?.buffer();
        let earlier = self.before.iter().filter_map(|state| state.open.clone());
        earlier.for_each(|open| buffer.remember(open.revision, open.text));
        Some(buffer)
    }

    /// How many changes can be taken back.
    pub fn undo(&self) -> usize {
        self.before.len()
    }

    /// With a revision of the open plan that no other text has had.
    fn with_revision(mut self) -> Self {
        if let Some(open) = &mut self.state.open {
            if open.revision <= self.revisions {
                open.revision = self.revisions + 1;
            }
            self.revisions = open.revision;
        }
        self
    }
}

impl State {
    fn bytes(&self) -> usize {
        let open = self
            .open
            .as_ref()
            .map_or(0, |open| open.text.len() + open.disk.as_ref().map_or(0, String::len));
        open + self.files.values().map(String::len).sum::<usize>()
    }
}

impl Open {
    /// What of an open plan is kept.
    pub fn of(buffer: Buffer) -> Self {
        let Buffer { path, disk, text, revision, .. } = buffer;
        Self { path, disk, text, revision }
    }

    /// Whether this is what is open.
    pub fn is(&self, buffer: &Buffer) -> bool {
        *self == Self::of(buffer.clone())
    }

    /// To be worked on again.
    fn buffer(self) -> Buffer {
        let mut buffer = Buffer::new(self.text);
        (buffer.path, buffer.disk, buffer.revision) = (self.path, self.disk, self.revision);
        buffer
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn state(text: &str, revision: u64) -> State {
        let open = Open { path: None, disk: None, text: text.to_owned(), revision };
        State { files: BTreeMap::new(), open: Some(open) }
    }

    fn shown(kept: &Kept) -> (&str, u64) {
        kept.state.open.as_ref().map_or(("", 0), |open| (&open.text, open.revision))
    }

    #[test]
    fn each_change_is_taken_back_under_a_new_revision() {
        let kept = Kept::default().changed(state("a", 0)).unwrap();
        let kept = kept.changed(state("b", 2)).unwrap();
        assert_eq!((shown(&kept), kept.undo()), (("b", 2), 2));
        assert!(kept.clone().changed(kept.state.clone()).is_none(), "nothing has changed");
        let kept = kept.undone().unwrap();
        assert_eq!(shown(&kept), ("a", 3), "not 1: a page of that revision may still be open");
        let kept = kept.undone().unwrap();
        assert_eq!((shown(&kept), kept.undo()), (("", 0), 0));
        assert_eq!(shown(&kept.clone().changed(state("c", 0)).unwrap()), ("c", 4));
        assert!(kept.undone().is_none());
    }

    #[test]
    fn a_plan_that_stays_keeps_its_revision() {
        let kept = Kept::default().changed(state("a", 0)).unwrap();
        let revision = shown(&kept).1;
        let mut told = kept.state.clone();
        told.files.insert("a.kept.toml".to_owned(), "told".to_owned());
        let kept = kept.changed(told).unwrap();
        assert_eq!((shown(&kept), kept.undo()), (("a", revision), 2));
    }

    #[test]
    fn what_is_kept_has_an_end() {
        let mut kept = Kept::default();
        for n in 0..100 {
            kept = kept.changed(state(&n.to_string(), n)).unwrap();
        }
        assert_eq!(kept.undo(), MOST_BEFORE);
        let long = "x".repeat(MOST_BYTES);
        kept = kept.changed(state(&long, 200)).unwrap().changed(state("", 201)).unwrap();
        assert_eq!(kept.undo(), 1, "the last one at least");
    }

    #[test]
    fn reads_what_it_wrote_and_nothing_else() {
        let kept = Kept::default().changed(state("a", 0)).unwrap();
        let text = serde_json::to_string(&kept).unwrap();
        assert_eq!(Kept::read(Some(&text)).unwrap(), kept);
        assert!(Kept::read(Some(&text.replace("\"form\":1", "\"form\":2"))).is_err());
        assert!(Kept::read(Some("{}")).is_err());
        assert_eq!(Kept::read(None).unwrap(), Kept::default());
    }
}
