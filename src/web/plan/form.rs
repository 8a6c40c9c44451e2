//! A plan file as a form: every table with its blanks, each fault beside its own.

use serde::Serialize;

use super::{
    blanks::{Blank, blanks, code, list_code, locale, names, places, shown, spelling, units},
    choice::{Choice, week},
    faults::{self, Beside, Told, legend},
    rows::{Row, rows},
    sent::local_minute,
};
use crate::{
    planfile::{
        self, Days, Fault, Table,
        edit::{Entry, List, Written},
    },
    units::Locale,
};

const EMPTIED: &str = "empty a row to take it out";

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
    title: String,
    intro: String,
    /// Whether it may stay folded up.
    fold: bool,
    tables: Vec<Filled>,
    /// The list that one more can be added to.
    add: Option<String>,
    one_more: String,
}

/// A table with its blanks.
#[derive(Debug, Serialize)]
struct Filled {
    id: String,
    /// What it is called, where several are of one kind.
    legend: Option<String>,
    faults: Vec<String>,
    fields: Vec<Field>,
    sessions: Option<Vec<Filled>>,
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
    hint: String,
    /// `text`, `number`, `datetime-local`, `date`, `time`, `zone`, `rows`, `pick`, `ticks` or
    /// `days`.
    kind: &'static str,
    value: String,
    /// The unit that stands beside it.
    unit: &'static str,
    choices: Vec<Choice>,
    rows: Vec<Row>,
    fault: String,
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
    beside: Beside,
}

impl Maker<'_> {
    fn parts(&mut self) -> Vec<Part> {
        let order = [Table::Plan, Table::Hours].into_iter();
        let order = order.chain(Table::LISTS.into_iter().filter(|list| *list != Table::Theme));
        let order = order.chain([Table::Room, Table::Wishes, Table::Theme, Table::Hands]);
        order.map(|table| self.part(table)).collect()
    }

    fn part(&mut self, table: Table) -> Part {
        let (all, rows, is_list) = (self.all, table.rows(), Table::LISTS.contains(&table));
        let listed = all.iter().map(|written| written.entry).filter(|it| it.nth(table).is_some());
        let entries = if is_list { listed.collect() } else { vec![Entry::One(table)] };
        let tables: Vec<Filled> = entries.into_iter().map(|entry| self.table(entry)).collect();
        let spelled = |words| locale(all).spelled(words);
        let mut fields = tables.iter().flat_map(|filled| &filled.fields);
        let is_empty = fields.all(|field| field.value.is_empty() && field.fault.is_empty());
        Part {
            id: format!("part-{}", table.word()),
            title: spelled(rows.title),
            intro: spelled(rows.intro),
            fold: matches!(table, Table::Hands | Table::Wishes) && is_empty,
            tables,
            add: is_list.then(|| list_code(List::Things(table))),
            one_more: spelled(rows.another),
        }
    }

    fn table(&mut self, entry: Entry) -> Filled {
        let all = self.all;
        let written = all.iter().find(|table| table.entry == entry);
        let fields =
            blanks(entry, all).into_iter().filter_map(|blank| self.field(entry, written, blank));
        let fields = fields.collect();
        let list = entry.nth(Table::Ice).map(List::Sessions);
        let sessions = list.map(|list| {
            let own = all.iter().map(|table| table.entry);
            let own = own.filter(|it| matches!(it, Entry::Of(of, _) if *of == list));
            own.map(|entry| self.table(entry)).collect()
        });
        Filled {
            id: code(entry),
            legend: written.map(|table| legend(table, all)).filter(|legend| !legend.is_empty()),
            faults: self.beside.words.remove(&(entry, None)).unwrap_or_default(),
            fields,
            add: list.map(list_code),
            sessions,
            can_go: matches!(entry, Entry::Of(..)),
        }
    }

    fn field(&mut self, entry: Entry, written: Option<&Written>, blank: Blank) -> Option<Field> {
        let value = written.and_then(|table| table.get(&blank.key));
        let texts = value.map(shown).unwrap_or_default();
        let place = (entry, Some(blank.key.clone()));
        let fault = self.beside.words.remove(&place).unwrap_or_default();
        let wrong = self.beside.entries.remove(&place).unwrap_or_default();
        let places = places(self.all);
        // Nobody who is only at home and in class is asked where.
        if matches!(blank.row.value, planfile::Value::Place)
            && value.is_none()
            && fault.is_empty()
            && places.len() <= 2
        {
            return None;
        }
        let (kind, choices) = self.way(&blank, &texts, &places);
        let (joined, units) = (texts.join(" "), units(self.all));
        let name = format!("{}.{}", code(entry), blank.key);
        let rows = match kind {
            "rows" => rows(blank.row.value, &name, &texts, &wrong),
            _ => Vec::new(),
        };
        let plain = !rows.is_empty() && rows.iter().all(|row| !row.is_text());
        let hint = if plain { EMPTIED.to_owned() } else { blank.row.hint_words() };
        Some(Field {
            name,
            rows,
            hint: locale(self.all).spelled(&hint),
            kind,
            unit: blank.unit(units).unwrap_or_default(),
            value: match kind {
                "datetime-local" => local_minute(&joined),
                _ => blank.beside_unit(&joined, units),
            },
            label: spelling(self.all).words(&blank.label),
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
        use planfile::Value as Kind;
        let text = texts.join(" ");
        match blank.row.value {
            Kind::Zone => ("zone", Vec::new()),
            // A wrong one has to be seen.
            Kind::Count(..) if !text.is_empty() && text.parse::<i64>().is_err() => {
                ("text", Vec::new())
            }
            Kind::Count(..) => ("number", Vec::new()),
            Kind::Days => match text.parse::<Days>() {
                Ok(days) => ("days", week(Some(days))),
                Err(_) if text.is_empty() => ("days", week(None)),
                Err(_) => ("text", Vec::new()),
            },
            Kind::Openings(_) | Kind::Dates(_) | Kind::Absences(_) => ("rows", Vec::new()),
            Kind::Moment => (field_of_time(&text, 19, "datetime-local"), Vec::new()),
            Kind::Hour => (field_of_time(&text, 5, "time"), Vec::new()),
            Kind::Day => (field_of_time(&text, 10, "date"), Vec::new()),
            Kind::Word(words) => ("pick", labelled(words(), (texts, true), locale(self.all))),
            Kind::Words(words, _) => ("ticks", labelled(words(), (texts, false), locale(self.all))),
            Kind::Thing(kind) => ("pick", choices(names(kind, self.all), texts, true)),
            Kind::Place => ("pick", choices(places.to_vec(), texts, true)),
            Kind::Things(kinds, _) => {
                let names = kinds.iter().flat_map(|kind| names(*kind, self.all)).collect();
                ("ticks", choices(names, texts, false))
            }
            Kind::Text
            | Kind::Name
            | Kind::Age
            | Kind::Sides
            | Kind::Shape
            | Kind::Points
            | Kind::Within(..)
            | Kind::DayCount(..)
            | Kind::EachOrCount(..)
            | Kind::CountOrShare(..)
            | Kind::YesNo
            | Kind::Steps(_) => ("text", Vec::new()),
        }
    }
}

/// Words of the file, each by what people call it.
fn labelled(
    words: Vec<(&str, &str)>,
    (chosen, one): (&[String], bool),
    locale: Locale,
) -> Vec<Choice> {
    let (words, labels): (Vec<_>, Vec<_>) = words.into_iter().unzip();
    let known = usize::from(one) + words.len();
    let mut choices = choices(words.into_iter().map(str::to_owned).collect(), chosen, one);
    // The first one of a list to pick from stands for nothing chosen.
    for (choice, label) in choices.iter_mut().skip(usize::from(one)).zip(labels) {
        choice.label = locale.spelled(label);
    }
    // Another name of one of them, or a word whose fault stands at its field.
    for choice in choices.iter_mut().skip(known) {
        choice.label.clone_from(&choice.value);
    }
    choices
}

/// A browser's own field where it can show the value; else text, so that nothing is lost.
fn field_of_time(text: &str, length: usize, kind: &'static str) -> &'static str {
    let plain =
        text.is_empty() || (text.len() == length && text.starts_with(|c: char| c.is_ascii_digit()));
    if plain { kind } else { "text" }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_to_pick_from_has_names_for_people() {
        let words = || vec![("us", "Cups"), ("metric", "Grams")];
        let labels = |chosen: &[&str], one: bool| {
            let chosen: Vec<String> = chosen.iter().map(|word| (*word).to_owned()).collect();
            let all = labelled(words(), (&chosen, one), Locale::default());
            all.into_iter().map(|it| (it.label, it.on)).collect::<Vec<_>>()
        };
        let told = |all: &[(&str, bool)]| {
            all.iter().map(|(label, on)| ((*label).to_owned(), *on)).collect::<Vec<_>>()
        };
        let nothing = told(&[("(not said)", true), ("Cups", false), ("Grams", false)]);
        assert_eq!(labels(&[], true), nothing);
        assert_eq!(labels(&["metric"], false), told(&[("Cups", false), ("Grams", true)]));
        let other =
            told(&[("(not said)", false), ("Cups", false), ("Grams", false), ("cups", true)]);
        assert_eq!(labels(&["cups"], true), other);
    }
}
