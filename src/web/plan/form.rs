//! A plan file as a form: every table with its blanks, each fault beside its own.

use std::collections::HashMap;

use serde::Serialize;

use super::{
    blanks::{Blank, Way, blanks, code, list_code, names, places, shown},
    faults::{self, Place, Told, kind_words, legend, title},
    sent::local_minute,
};
use crate::planfile::{
    Days, Fault,
    edit::{Entry, Kind, List, Section, Written},
};

/// The form of a plan file.
#[derive(Debug, Serialize)]
pub struct Form {
    parts: Vec<Part>,
    /// Every fault in the order of the file.
    faults: Vec<Told>,
}

/// Tables of a kind.
#[derive(Debug, Serialize)]
struct Part {
    id: String,
    title: &'static str,
    intro: &'static str,
    /// Whether it may stay folded up.
    fold: bool,
    tables: Vec<Table>,
    /// The list that one more can be added to.
    add: Option<String>,
    one_more: &'static str,
}

/// A table with its blanks.
#[derive(Debug, Serialize)]
struct Table {
    id: String,
    /// What it is called, where several are of one kind.
    legend: Option<String>,
    faults: Vec<String>,
    fields: Vec<Field>,
    sessions: Option<Vec<Table>>,
    /// The list of its sessions.
    add: Option<String>,
    /// Whether the file can do without it.
    can_go: bool,
}

/// A blank with what stands in it.
#[derive(Debug, Serialize)]
struct Field {
    name: String,
    label: String,
    hint: &'static str,
    /// `text`, `number`, `datetime-local`, `date`, `zone`, `lines`, `pick` or `ticks`.
    kind: &'static str,
    value: String,
    choices: Vec<Choice>,
    fault: String,
}

#[derive(Debug, Serialize)]
struct Choice {
    value: String,
    label: String,
    on: bool,
}

impl Form {
    /// Of the text of a plan file, its tables and its faults.
    pub fn of(text: &str, all: &[Written], faults: &[Fault]) -> Self {
        let (beside, told) = faults::placed(text, all, faults);
        Self { parts: Maker { all, beside }.parts(), faults: told }
    }
}

/// Makes the parts; a fault that was placed is taken.
struct Maker<'a> {
    all: &'a [Written],
    beside: HashMap<Place, Vec<String>>,
}

impl Maker<'_> {
    fn parts(&mut self) -> Vec<Part> {
        let part = |id: &str, title, intro, tables| Part {
            id: id.to_owned(),
            title,
            intro,
            fold: false,
            tables,
            add: None,
            one_more: "",
        };
        let hours = "When hands are free. Freezing and drying go on outside these hours.";
        let mut parts = vec![
            part("part-plan", "The plan", "", vec![self.table(Entry::Plan)]),
            part(
                "part-hours",
                title(Section::Hours),
                hours,
                vec![self.table(Entry::Section(Section::Hours))],
            ),
        ];
        parts.extend(
            Kind::ALL.into_iter().filter(|kind| *kind != Kind::Theme).map(|kind| self.list(kind)),
        );
        let air = "The air at home, where dough dries.";
        parts.push(part(
            "part-room",
            title(Section::Room),
            air,
            vec![self.table(Entry::Section(Section::Room))],
        ));
        parts.push(self.list(Kind::Theme));
        let stay = "Without this, one pair of hands goes from place to place.";
        let hands = self.table(Entry::Section(Section::Hands));
        let fold =
            hands.fields.iter().all(|field| field.value.is_empty() && field.fault.is_empty());
        parts.push(Part { fold, ..part("part-hands", "Hands that stay", stay, vec![hands]) });
        parts
    }

    fn list(&mut self, kind: Kind) -> Part {
        let (_, title, intro) = kind_words(kind);
        let all = self.all;
        let entries = all.iter().map(|table| table.entry);
        let own =
            entries.filter(|entry| matches!(entry, Entry::Of(List::Things(k), _) if *k == kind));
        Part {
            id: format!("part-{}", kind.word()),
            title,
            intro,
            fold: false,
            tables: own.map(|entry| self.table(entry)).collect(),
            add: Some(list_code(List::Things(kind))),
            one_more: match kind {
                Kind::Ice => "Another ice activity",
                Kind::Ornament => "Another batch of ornaments",
                Kind::Group => "Another group",
                Kind::Freezer => "Another freezer",
                Kind::Oven => "Another oven",
                Kind::Mould => "Another mould",
                Kind::Theme => "Another theme",
            },
        }
    }

    fn table(&mut self, entry: Entry) -> Table {
        let all = self.all;
        let written = all.iter().find(|table| table.entry == entry);
        let fields =
            blanks(entry, all).into_iter().filter_map(|blank| self.field(entry, written, blank));
        let fields = fields.collect();
        let sessions = match entry {
            Entry::Of(List::Things(Kind::Ice), n) => {
                let own = |table: &&Written| matches!(table.entry, Entry::Of(List::Sessions(ice), _) if ice == n);
                let own: Vec<Entry> = all.iter().filter(own).map(|table| table.entry).collect();
                Some((n, own))
            }
            _ => None,
        };
        Table {
            id: code(entry),
            legend: written.map(|table| legend(table, all)).filter(|legend| !legend.is_empty()),
            faults: self.beside.remove(&(entry, None)).unwrap_or_default(),
            fields,
            add: sessions.as_ref().map(|(ice, _)| list_code(List::Sessions(*ice))),
            sessions: sessions
                .map(|(_, own)| own.into_iter().map(|entry| self.table(entry)).collect()),
            can_go: matches!(entry, Entry::Of(..)),
        }
    }

    fn field(&mut self, entry: Entry, written: Option<&Written>, blank: Blank) -> Option<Field> {
        let value = written.and_then(|table| table.get(&blank.key));
        let texts = value.map(shown).unwrap_or_default();
        let fault = self.beside.remove(&(entry, Some(blank.key.clone()))).unwrap_or_default();
        let places = places(self.all);
        // Nobody who is only at home and in class is asked where.
        if matches!(blank.way, Way::Place)
            && value.is_none()
            && fault.is_empty()
            && places.len() <= 2
        {
            return None;
        }
        let (kind, choices) = self.way(&blank, &texts, &places);
        let joined = if kind == "lines" { texts.join("\n") } else { texts.join(" ") };
        Some(Field {
            name: format!("{}.{}", code(entry), blank.key),
            label: blank.label,
            hint: blank.hint,
            kind,
            value: if kind == "datetime-local" { local_minute(&joined) } else { joined },
            choices,
            fault: fault.join(" "),
        })
    }

    fn way(
        &self,
        blank: &Blank,
        texts: &[String],
        places: &[String],
    ) -> (&'static str, Vec<Choice>) {
        let text = texts.join(" ");
        let owned = |words: Vec<&str>| words.into_iter().map(str::to_owned).collect::<Vec<_>>();
        match blank.way {
            Way::Name | Way::Text => ("text", Vec::new()),
            Way::Zone => ("zone", Vec::new()),
            // Words are allowed in some of these, and wrong ones have to be seen.
            Way::Number if !text.is_empty() && text.parse::<i64>().is_err() => ("text", Vec::new()),
            Way::Number if blank.key == "blocks" || blank.key == "spare" => ("text", Vec::new()),
            Way::Number => ("number", Vec::new()),
            Way::Days => match text.parse::<Days>() {
                Ok(days) => ("ticks", week(Some(days))),
                Err(_) if text.is_empty() => ("ticks", week(None)),
                Err(_) => ("text", Vec::new()),
            },
            Way::Lines => ("lines", Vec::new()),
            Way::When => (field_of_time(&text, 19, "datetime-local"), Vec::new()),
            Way::Day => (field_of_time(&text, 10, "date"), Vec::new()),
            Way::Pick(words) => {
                let (words, labels): (Vec<_>, Vec<_>) = words().into_iter().unzip();
                let mut choices = choices(owned(words), texts, true);
                // The first one stands for nothing chosen.
                for (choice, label) in choices.iter_mut().skip(1).zip(labels) {
                    label.clone_into(&mut choice.label);
                }
                ("pick", choices)
            }
            Way::Refer(kind) => ("pick", choices(names(kind, self.all), texts, true)),
            Way::Place => ("pick", choices(places.to_vec(), texts, true)),
            Way::Refers(kinds) => {
                let names = kinds.iter().flat_map(|kind| names(*kind, self.all)).collect();
                ("ticks", choices(names, texts, false))
            }
            Way::Ticks(words) => ("ticks", choices(owned(words.to_vec()), texts, false)),
        }
    }
}

/// A browser's own field where it can show the value; else text, so that nothing is lost.
fn field_of_time(text: &str, length: usize, kind: &'static str) -> &'static str {
    let plain =
        text.is_empty() || (text.len() == length && text.starts_with(|c: char| c.is_ascii_digit()));
    if plain { kind } else { "text" }
}

fn week(days: Option<Days>) -> Vec<Choice> {
    use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
    let on = |day| days.is_some_and(|days: Days| days.include(day));
    let week = [Mon, Tue, Wed, Thu, Fri, Sat, Sun].into_iter();
    week.map(|day| Choice { value: day.to_string(), label: day.to_string(), on: on(day) }).collect()
}

/// The words, and what the file has besides them; an empty one where nothing is chosen.
fn choices(mut words: Vec<String>, chosen: &[String], one: bool) -> Vec<Choice> {
    words.dedup();
    let unknown = chosen.iter().filter(|text| !words.contains(text)).cloned().collect::<Vec<_>>();
    let mut choices: Vec<Choice> = words
        .into_iter()
        .map(|word| Choice { on: chosen.contains(&word), label: word.clone(), value: word })
        .collect();
    choices.extend(unknown.into_iter().filter(|text| !text.is_empty()).map(|word| Choice {
        label: format!("{word} (not known)"),
        value: word,
        on: true,
    }));
    if one {
        let nothing =
            Choice { value: String::new(), label: "(not said)".to_owned(), on: chosen.is_empty() };
        choices.insert(0, nothing);
    }
    choices
}
