//! How words are spelled for who reads them, around what somebody wrote.

use std::cmp::Reverse;

use super::Locale;

/// How a page writes these differs: they part a name.
const WRITTEN_OTHERWISE: [char; 6] = ['&', '<', '>', '"', '\'', '/'];

/// The spelling of who reads, and names that somebody wrote, which stay as they are.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Spelling {
    locale: Locale,
    /// Words of each name in lower case, for those names that would be spelled otherwise; the
    /// longest first.
    own: Vec<Vec<String>>,
}

impl Spelling {
    /// That of a locale, but for these names.
    pub fn of<'a>(locale: Locale, names: impl IntoIterator<Item = &'a str>) -> Self {
        let parts = names.into_iter().flat_map(|name| name.split(WRITTEN_OTHERWISE));
        let parts = parts.filter(|part| locale.spelled(part) != *part);
        let mut own: Vec<Vec<String>> = parts.map(words_of).collect();
        own.sort_by_key(|words| Reverse(words.len()));
        Self { locale, own }
    }

    /// The same, but for the name of a plan file too, and of what is kept beside it.
    pub fn in_file(mut self, file: &str) -> Self {
        self.own.extend(Self::of(self.locale, [file.trim_end_matches(".toml")]).own);
        self
    }

    /// A text with its words as they are spelled there. A name stays also where it is part of an
    /// id, and where a line breaks in it.
    pub fn words(&self, text: &str) -> String {
        if self.own.is_empty() {
            return self.locale.spelled(text);
        }
        let (mut said, mut between) = (String::with_capacity(text.len()), String::new());
        let runs = runs(text);
        let mut left = &runs[..];
        while let [first, after @ ..] = left {
            if let Some(name) = self.own.iter().find(|name| begins_with(left, name)) {
                let (name, after) = left.split_at(2 * name.len() - 1);
                said += &self.locale.spelled(&std::mem::take(&mut between));
                said.extend(name.iter().copied());
                left = after;
            } else {
                between += first;
                left = after;
            }
        }
        said + &self.locale.spelled(&between)
    }
}

/// A text as words, and what stands between them, by turns.
fn runs(text: &str) -> Vec<&str> {
    let (mut runs, mut rest) = (Vec::new(), text);
    while !rest.is_empty() {
        let end = match rest.starts_with(char::is_alphanumeric) {
            true => rest.find(|letter: char| !letter.is_alphanumeric()),
            false => word_begins(rest),
        };
        let (run, after) = rest.split_at(end.unwrap_or(rest.len()));
        runs.push(run);
        rest = after;
    }
    runs
}

/// Where the first word begins; letters that tell a terminal a style are none.
fn word_begins(text: &str) -> Option<usize> {
    let mut styles = false;
    let mut letters = text.char_indices().filter(|(_, letter)| {
        let is_hidden = styles;
        styles = *letter == '\x1b' || styles && *letter != 'm';
        !is_hidden && letter.is_alphanumeric()
    });
    letters.next().map(|(at, _)| at)
}

/// Whether runs begin with the words of a name, whatever stands between them.
fn begins_with(runs: &[&str], name: &[String]) -> bool {
    let own = |n: usize| runs.get(2 * n).map(|run| run.to_lowercase());
    name.iter().enumerate().all(|(n, word)| own(n).as_ref() == Some(word))
}

fn words_of(name: &str) -> Vec<String> {
    let words = name.split(|letter: char| !letter.is_alphanumeric());
    words.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::System;

    #[test]
    fn what_somebody_wrote_stays_as_it_is() {
        let us = Locale::of(System::Us, None);
        let names = ["Mould makers", "colour tub", "Tom's mould", "Otters"];
        let spelling = Spelling::of(us, names);
        for (text, said) in [
            ("Fill 5 colour tub moulds", "Fill 5 colour tub molds"),
            ("[fill-mould-makers-10-dec] of mould", "[fill-mould-makers-10-dec] of mold"),
            ("moulds for Mould\n   makers, in colour", "molds for Mould\n   makers, in color"),
            ("the colour of tubs", "the color of tubs"),
            ("Tom&#x27;s mould, a mould", "Tom&#x27;s mould, a mold"),
            (
                "\x1b[1mMould\x1b[0m\n\x1b[1mmakers: moulds",
                "\x1b[1mMould\x1b[0m\n\x1b[1mmakers: molds",
            ),
            ("", ""),
        ] {
            assert_eq!(spelling.words(text), said);
        }
        let parted = Spelling::of(us, ["Zoë & colour"]);
        assert_eq!(parted.words("Zoë &amp; colour"), "Zoë &amp; colour");
        let beside = "my-colour.kept.toml, my-colour.toml";
        assert_eq!(spelling.in_file("my-colour.toml").words(beside), beside);
        let metric = Spelling::of(Locale::default(), names);
        assert_eq!(metric.words("the mould"), "the mould");
    }
}
