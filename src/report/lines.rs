//! Lines of text that wrap to a width, with style as a help and never as the
//! only sign.

use std::fmt::Write;

use anstyle::{AnsiColor, Style};

use super::clean::one_line;

/// Styles by what they are for.
pub mod styles {
    use super::{AnsiColor, Style};

    /// A heading.
    pub const HEADING: Style = Style::new().bold();
    /// The answer itself.
    pub const ANSWER: Style = Style::new().bold();
    /// Less important.
    pub const QUIET: Style = Style::new().dimmed();
    /// A caution.
    pub const CAUTION: Style = AnsiColor::Yellow.on_default();
}

/// The narrowest and the widest a text is set.
const WIDTHS: std::ops::RangeInclusive<usize> = 40..=100;

/// A text being set.
#[derive(Clone)]
pub struct Lines {
    text: String,
    width: usize,
}

impl Lines {
    /// An empty text for a terminal of `width` columns.
    pub fn new(width: usize) -> Self {
        Self { text: String::new(), width: width.clamp(*WIDTHS.start(), *WIDTHS.end()) }
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A paragraph with its first line after `first` and all others after `rest`.
    pub fn hang(&mut self, first: &str, rest: &str, words: &str, style: Style) {
        let words = one_line(words);
        let options = textwrap::Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(rest)
            .break_words(true);
        for (n, line) in textwrap::wrap(&words, options).iter().enumerate() {
            let indent = if n == 0 { first } else { rest };
            let body = line.strip_prefix(indent).unwrap_or(line);
            let written = writeln!(self.text, "{indent}{style}{body}{style:#}");
            debug_assert!(written.is_ok(), "writing to a String");
        }
    }

    /// A paragraph whose first line begins with a head, all its lines from `column` on.
    pub fn row(&mut self, head: &str, column: usize, words: &str, style: Style) {
        self.hang(&format!("{head:<column$}"), &" ".repeat(column), words, style);
    }

    /// A heading over rows, each of a head and words; nothing where there are none.
    pub fn section(
        &mut self,
        heading: &str,
        column: usize,
        rows: impl IntoIterator<Item = (String, String)>,
        style: Style,
    ) {
        for (n, (head, words)) in rows.into_iter().enumerate() {
            if n == 0 {
                self.blank();
                self.line(heading, styles::HEADING);
            }
            self.row(&head, column, &words, style);
        }
    }

    /// A heading over a list, each entry behind a mark of four columns.
    pub fn list(&mut self, heading: &str, mark: &str, all: &[String], style: Style) {
        self.section(heading, 4, all.iter().map(|words| (mark.to_owned(), words.clone())), style);
    }

    /// A line as it is, for pictures.
    pub fn exact(&mut self, line: &str) {
        self.text += line.trim_end();
        self.text.push('\n');
    }

    /// A paragraph.
    pub fn line(&mut self, words: &str, style: Style) {
        self.hang("", "", words, style);
    }

    /// Lines so far.
    pub fn count(&self) -> usize {
        self.text.lines().count()
    }

    /// The finished text.
    pub fn finish(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_with_a_hanging_indent() {
        let mut lines = Lines::new(40);
        lines.hang("  a  ", "     ", "one two three four five six seven eight", Style::new());
        let text = lines.finish();
        assert!(text.lines().all(|line| line.chars().count() <= 40));
        assert!(text.lines().nth(1).unwrap().starts_with("     "));
    }
}
