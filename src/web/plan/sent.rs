//! A form that was sent, as changes to the plan file it was made from.

use toml::Value;

use super::{
    blanks::{Blank, blanks, code, shown, units},
    rows,
};
use crate::{
    planfile::{
        self, Days, Need, Table,
        edit::{Change, Entry, List, Written},
    },
    units::System,
    web::fields::Fields,
};

/// A blank that the user changed in the form.
pub struct Changed {
    pub entry: Entry,
    pub blank: Blank,
    /// What was sent for it.
    pub sent: Vec<String>,
    change: Change,
    /// Whether the file had it.
    was_there: bool,
}

/// The blanks that the user changed; what is as it was shown is no change.
pub fn changed(all: &[Written], form: &Fields) -> Vec<Changed> {
    let (mut changed, units) = (Vec::new(), units(all));
    for entry in entries(all) {
        let table = all.iter().find(|table| table.entry == entry);
        for blank in blanks(entry, all) {
            let now = table.and_then(|table| table.get(&blank.key));
            let Some(sent) = sent(&blank, entry, now, form) else { continue };
            if let Some(change) = change((&blank, units), entry, now, &sent) {
                let was_there = now.is_some();
                changed.push(Changed { entry, blank, sent, change, was_there });
            }
        }
    }
    changed
}

/// What the user changed in the form, as changes of the file.
pub fn changes(all: &[Written], form: &Fields) -> Vec<Change> {
    let (mut set, mut renamed) = (Vec::new(), Vec::new());
    for Changed { entry, blank, change, was_there, .. } in changed(all, form) {
        match (change, entry, blank.row.value) {
            // Others that refer to it follow, after they have got their own new values.
            (
                Change::Set { to: Value::String(to), .. },
                Entry::Of(List::Things(kind), index),
                planfile::Value::Name,
            ) if was_there => renamed.push(Change::Rename { kind, index, to }),
            (change, ..) => set.push(change),
        }
    }
    set.extend(no_longer(all, form));
    set.extend(renamed);
    set
}

/// Every table of the file, and the sections that it has not yet.
pub fn entries(all: &[Written]) -> Vec<Entry> {
    let mut entries: Vec<Entry> = all.iter().map(|table| table.entry).collect();
    for section in Table::SECTIONS.map(Entry::One) {
        if !entries.contains(&section) {
            entries.push(section);
        }
    }
    entries
}

/// What was sent for a blank; none where the form did not have it.
fn sent(blank: &Blank, entry: Entry, now: Option<&Value>, form: &Fields) -> Option<Vec<String>> {
    use planfile::Value::{Absences, Dates, Openings};
    let name = format!("{}.{}", code(entry), blank.key);
    if matches!(blank.row.value, Openings(_) | Dates(_) | Absences(_)) {
        return rows::sent(blank.row.value, &name, &now.map(shown).unwrap_or_default(), form);
    }
    let mut values = form.all(&name).map(str::trim).peekable();
    values.peek()?;
    Some(values.filter(|text| !text.is_empty()).map(str::to_owned).collect())
}

fn change(
    (blank, units): (&Blank, System),
    entry: Entry,
    now: Option<&Value>,
    sent: &[String],
) -> Option<Change> {
    use planfile::Value::{Count, CountOrShare, Day, EachOrCount, Moment};
    let key = blank.key.clone();
    let before = now.map(shown).unwrap_or_default();
    let shown: Vec<_> = before.iter().map(|text| blank.beside_unit(text, units)).collect();
    if same(blank, &before, sent) || shown == sent {
        return None;
    }
    if sent.is_empty() {
        return now.map(|_| Change::Unset { entry, key });
    }
    let text = sent.join(" ");
    let to = match blank.row.value {
        _ if blank.is_list() => sent.to_vec().into(),
        Count(..) | EachOrCount(..) | CountOrShare(..) => {
            text.parse().map_or(Value::String(text), Value::Integer)
        }
        Moment | Day => moment(&text),
        _ => Value::String(blank.as_written(&text, units)),
    };
    (now != Some(&to)).then_some(Change::Set { entry, key, to })
}

/// Whether what was sent means what is there.
fn same(blank: &Blank, before: &[String], sent: &[String]) -> bool {
    let sorted = |texts: &[String]| {
        let mut texts = texts.to_vec();
        texts.sort();
        texts
    };
    match blank.row.value {
        planfile::Value::Days => {
            let days = |texts: &[String]| texts.join(" ").parse::<Days>();
            before == sent || days(before).is_ok_and(|old| days(sent).is_ok_and(|new| old == new))
        }
        // Boxes that are ticked have no order.
        planfile::Value::Things(..) | planfile::Value::Words(..) => sorted(before) == sorted(sent),
        planfile::Value::Moment => {
            before == sent || sent.join(" ") == local_minute(&before.join(" "))
        }
        _ => before.iter().filter(|text| !text.is_empty()).eq(sent),
    }
}

/// A day and time as a browser's field has them: `2026-12-09T09:30`.
pub fn local_minute(text: &str) -> String {
    text.strip_suffix(":00").filter(|short| short.len() == 16).unwrap_or(text).to_owned()
}

/// A date-time; what is none stays the text that was typed.
fn moment(text: &str) -> Value {
    let whole = if text.len() == 16 { format!("{text}:00") } else { text.to_owned() };
    whole.parse().map_or_else(|_| Value::from(text), Value::Datetime)
}

/// Keys that go with the word of another one go, where that is now another word: dough
/// that is to dry in the room has no oven any more.
fn no_longer(all: &[Written], form: &Fields) -> Vec<Change> {
    let mut gone = Vec::new();
    for table in all {
        for key in table.entry.table().rows().keys {
            let Need::With(other, words) = key.need else { continue };
            let now = form.get(&format!("{}.{other}", code(table.entry)));
            let before = table.get(other).and_then(Value::as_str);
            if now.is_some_and(|now| !words.contains(&now) && before != Some(now)) {
                gone.push(Change::Unset { entry: table.entry, key: key.name.to_owned() });
            }
        }
    }
    gone
}
