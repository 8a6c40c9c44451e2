//! A plan file as a form: every table with its blanks, each fault beside its own.

use std::collections::HashMap;

use serde::Serialize;

use super::{
    blanks::{Blank, Way, blanks, code, list_code, names, places, shown},
    sent::local_minute,
};
use crate::plan::{
    edit::{Entry, Kind, List, Section, Written},
    file::{Days, Fault},
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

/// A fault for the list of all.
#[derive(Debug, Serialize)]
struct Told {
    /// The field or the table it is about, where the form has it.
    id: Option<String>,
    place: String,
    line: usize,
    words: String,
}

impl Form {
    /// Of the text of a plan file, its tables and its faults.
    pub fn of(text: &str, all: &[Written], faults: &[Fault]) -> Self {
        let mut beside: HashMap<(Entry, Option<String>), Vec<String>> = HashMap::new();
        let mut told = Vec::new();
        for fault in faults {
            let words = words(fault);
            let place = place(fault, all);
            let known = place.as_ref().filter(|(entry, key)| {
                key.as_ref().is_none_or(|key| blanks(*entry, all).iter().any(|b| b.key == *key))
            });
            // A key that the form does not have is a matter of its table.
            let place = known.cloned().or(place.map(|(entry, _)| (entry, None)));
            if let Some(place) = &place {
                beside.entry(place.clone()).or_default().push(words.clone());
            }
            told.push(Told {
                id: place
                    .as_ref()
                    .filter(|place| place.0 != Entry::Plan || place.1.is_some())
                    .map(id),
                place: place.as_ref().map(|place| in_words(place, all)).unwrap_or_default(),
                line: fault.line(text),
                words,
            });
        }
        let mut form = Maker { all, beside };
        Self { parts: form.parts(), faults: told }
    }
}

/// What is wrong and what would be right, in one sentence each.
fn words(fault: &Fault) -> String {
    match &fault.help {
        Some(help) => format!("{}; {help}.", fault.message),
        None => format!("{}.", fault.message),
    }
}

/// The table and the key that a fault is about.
fn place(fault: &Fault, all: &[Written]) -> Option<(Entry, Option<String>)> {
    let at = fault.span.start;
    let headed = |table: &&Written| table.header == fault.span;
    if let Some(missing) = fault.missing {
        let table = all.iter().rfind(headed)?;
        let section = Section::ALL.into_iter().find(|section| section.word() == missing);
        return Some(match section {
            Some(section) if table.entry == Entry::Plan => (Entry::Section(section), None),
            _ => (table.entry, Some(missing.to_owned())),
        });
    }
    let keys = all.iter().flat_map(|table| table.keys.iter().map(move |key| (table.entry, key)));
    let innermost = keys
        .filter(|(entry, key)| key.span.contains(&at) && !is_table(*entry, &key.name))
        .min_by_key(|(_, key)| key.span.len());
    match innermost {
        Some((entry, key)) => Some((entry, Some(key.name.clone()))),
        None => all.iter().rfind(headed).map(|table| (table.entry, None)),
    }
}

/// Whether a key holds tables that have a place of their own.
fn is_table(entry: Entry, key: &str) -> bool {
    match entry {
        Entry::Plan => {
            Kind::ALL.iter().any(|kind| kind.word() == key)
                || Section::ALL.iter().any(|section| section.word() == key)
        }
        _ => false,
    }
}

fn id((entry, key): &(Entry, Option<String>)) -> String {
    match key {
        Some(key) => format!("{}.{key}", code(*entry)),
        None => code(*entry),
    }
}

/// `Group “Otters”, Days`.
fn in_words((entry, key): &(Entry, Option<String>), all: &[Written]) -> String {
    let label = key.as_ref().map(|key| {
        let blank = blanks(*entry, all).into_iter().find(|blank| blank.key == *key);
        blank.map_or_else(|| key.clone(), |blank| blank.label)
    });
    let table = match entry {
        Entry::Plan => None,
        Entry::Section(section) => Some(title(*section).to_owned()),
        Entry::Of(..) => {
            all.iter().find(|table| table.entry == *entry).map(|table| legend(table, all))
        }
    };
    [table, label].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn title(section: Section) -> &'static str {
    match section {
        Section::Hours => "Hours",
        Section::Hands => "Hands",
        Section::Room => "The room",
    }
}

/// What a thing or a session is called on the page.
fn legend(table: &Written, all: &[Written]) -> String {
    let name = table.get("name").map(shown).unwrap_or_default().concat();
    match table.entry {
        Entry::Of(List::Sessions(ice), n) => {
            let activity = names(Kind::Ice, all).get(ice).cloned().unwrap_or_default();
            format!("Session {} of {activity}", n + 1)
        }
        Entry::Of(List::Things(kind), n) => {
            let (word, _, _) = kind_words(kind);
            if name.is_empty() {
                format!("{word} {}", n + 1)
            } else {
                format!("{word} “{name}”")
            }
        }
        _ => String::new(),
    }
}

/// One of a kind, the title of all, what to say about them.
fn kind_words(kind: Kind) -> (&'static str, &'static str, &'static str) {
    match kind {
        Kind::Group => ("Group", "Groups", ""),
        Kind::Freezer => ("Freezer", "Freezers", ""),
        Kind::Oven => ("Oven", "Ovens", ""),
        Kind::Mould => ("Mould", "Moulds", "The pans that you have, and how many of each."),
        Kind::Ice => ("Ice", "Ice", "What is done with the blocks, and when."),
        Kind::Ornament => ("Ornaments", "Ornaments", "Batches of salt dough."),
        Kind::Theme => ("Theme", "Themes", "A title over some of the activities, if you like."),
    }
}

/// Makes the parts; a fault that was placed is taken.
struct Maker<'a> {
    all: &'a [Written],
    beside: HashMap<(Entry, Option<String>), Vec<String>>,
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
        let (one, title, intro) = kind_words(kind);
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
                Kind::Theme if one.is_empty() => "",
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
            Way::Pick(words) => ("pick", choices(owned(words()), texts, true)),
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
        .map(|word| Choice {
            on: chosen.contains(&word),
            label: word.replace('-', "\u{2011}"),
            value: word,
        })
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
