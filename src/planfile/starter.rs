//! A commented plan file to begin from, made of the examples and remarks of the schema.

use super::key::{Key, Line, Table};

/// Where remarks stand, where there is room.
const REMARKS: usize = 33;

/// The text of `solidby starter`.
pub fn starter() -> String {
    let head = "# A plan for solidby. Lines that begin with # are remarks.\n\
                # Change names, days and numbers; then: solidby check FILE, solidby plan FILE\n";
    let tables = [Table::Plan].into_iter().chain(Table::SECTIONS).chain(Table::LISTS);
    tables.fold(head.to_owned(), |text, table| text + &section(table))
}

/// A table with an empty line before it; nothing where none of its keys stands here.
fn section(table: Table) -> String {
    let rows = table.rows();
    let hidden = rows.keys.is_empty();
    let own = rows.own.filter(|_| hidden);
    let keys = || rows.keys.iter().chain(own).filter_map(|key| Some((key, key.starter?)));
    let hidden = hidden || keys().all(|(_, line)| line.hidden);
    if keys().next().is_none() {
        return String::new();
    }
    let name = rows.name;
    let header = match table {
        Table::Plan => String::new(),
        _ if Table::LISTS.contains(&table) => line(&format!("[[{name}]]"), rows.remark, hidden),
        _ => line(&format!("[{name}]"), rows.remark, hidden),
    };
    // Hours are read one below the other.
    let names = keys().map(|(key, _)| key.name.len()).filter(|_| table == Table::Hours);
    let width = names.max().unwrap_or(0);
    let lines = keys().map(|(key, at)| {
        line(&format!("{:width$} = {}", key.name, value(key, at)), at.remark, hidden || at.hidden)
    });
    let inner = table.inner().contains(&Table::Session).then(session);
    ["\n".to_owned(), header, lines.collect(), inner.unwrap_or_default()].concat()
}

fn value(key: &Key, line: Line) -> &'static str {
    line.value.unwrap_or(key.example)
}

/// One session, and behind it what else one may have.
fn session() -> String {
    let keys = Table::Session.rows().keys.iter().filter_map(|key| Some((key, key.starter?)));
    let (more, keys): (Vec<_>, Vec<_>) = keys.partition(|(_, line)| line.hidden);
    let pairs = keys.into_iter().map(|(key, at)| format!("{} = {}", key.name, value(key, at)));
    let pairs = pairs.collect::<Vec<_>>().join(", ");
    let more = more
        .into_iter()
        .map(|(key, at)| format!("   # {} = {} here {}", key.name, value(key, at), at.remark));
    format!("session = [\n  {{ {pairs} }},{}\n]\n", more.collect::<String>())
}

fn line(text: &str, remark: &str, hidden: bool) -> String {
    let text = if hidden { format!("# {text}") } else { text.to_owned() };
    match remark {
        "" => format!("{text}\n"),
        _ if text.len() < REMARKS => format!("{text:<REMARKS$}# {remark}\n"),
        _ => format!("{text}   # {remark}\n"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_file_that_users_know() {
        assert_eq!(starter(), include_str!("../../tests/data/starter.toml"));
    }
}
