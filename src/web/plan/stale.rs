//! A form that was made of an older text is not taken: what was typed in it is shown, and can be
//! put into the text as it is now.

use serde::Serialize;

use super::{
    blanks::{code, shown},
    faults::{in_words, legend},
    sent::{self, Changed},
};
use crate::{
    planfile::edit::{Entry, Written, written},
    web::{Buffer, fields::Fields},
};

/// What was typed in such a form.
#[derive(Debug, Default, Serialize)]
pub struct Stale {
    typed: Vec<Typed>,
    /// The fields that put it into the text as it is now, as a form sends them.
    fields: Vec<(String, String)>,
    /// Whether it was to be saved.
    save: bool,
}

/// One field that was changed.
#[derive(Debug, Serialize)]
struct Typed {
    place: String,
    value: String,
    /// What the text has there now.
    now: String,
    /// Whether the thing that it was typed for is another one now, or gone.
    gone: bool,
}

impl Stale {
    /// Of a form, beside the plan as it is open now.
    pub fn of(form: &Fields, open: &Buffer) -> Self {
        let mut stale = Self { save: form.get("do") == Some("save"), ..Self::default() };
        let older = written(open.made_of(form).unwrap_or(&open.text));
        let (Some(older), Some(now)) = (older, written(&open.text)) else { return stale };
        for changed in sent::changed(&older, form) {
            stale.add(&changed, (&older, &now), form);
        }
        stale
    }

    /// Whether nothing was typed in it.
    pub fn is_empty(&self) -> bool {
        self.typed.is_empty()
    }

    fn add(&mut self, changed: &Changed, (older, now): (&[Written], &[Written]), form: &Fields) {
        let Changed { entry, blank, sent, .. } = changed;
        let table = |all: &'_ [Written]| all.iter().position(|table| table.entry == *entry);
        let there = table(now).and_then(|n| now.get(n)?.get(&blank.key).map(shown));
        let there = there.unwrap_or_default();
        if there == *sent {
            return;
        }
        let called = |all: &[Written]| table(all).and_then(|n| Some(legend(all.get(n)?, all)));
        let gone = matches!(entry, Entry::Of(..)) && called(older) != called(now);
        let place = in_words(&(*entry, Some(blank.key.clone())), older);
        self.typed.push(Typed { place, value: sent.join(", "), now: there.join(", "), gone });
        if !gone {
            let name = format!("{}.{}", code(*entry), blank.key);
            let own = |field: &str| {
                field
                    .strip_prefix(&*name)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
            };
            let fields = form.iter().filter(|(field, _)| own(field));
            self.fields.extend(fields.map(|(name, value)| (name.to_owned(), value.to_owned())));
        }
    }
}
