//! SVG text: elements, attributes, numbers to a tenth, everything foreign escaped.

use std::fmt::Write;

use crate::report::clean::one_line;
use crate::report::sheet::palette::{self, Rgb};

/// Width of a character over the size of its type, on average, in the sans-serif
/// faces that browsers fall back to (measured on DejaVu Sans; others are narrower).
const CHARACTER: f64 = 0.58;

/// How wide words will be, about.
pub fn text_width(words: &str, size: f64) -> f64 {
    CHARACTER * size * textwrap::core::display_width(words) as f64
}

/// Words broken into lines of a width.
pub fn wrapped(words: &str, width: f64, size: f64) -> Vec<String> {
    let columns = (width / (CHARACTER * size)).max(8.0) as usize;
    textwrap::wrap(&one_line(words), columns).into_iter().map(String::from).collect()
}

/// A coordinate to a tenth; one that is no number becomes 0.
pub fn number(value: f64) -> String {
    let tenths = if value.is_finite() { (value * 10.0).round() / 10.0 } else { 0.0 };
    // Adding zero turns −0 into 0.
    format!("{}", tenths + 0.0)
}

/// Foreign text, cleaned, on one line, inert between tags and in attributes.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in one_line(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Which part of a text stands at its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The left end.
    Start,
    /// The middle.
    Middle,
    /// The right end.
    End,
}

/// How a text looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Size in units of the view box.
    pub size: f64,
    /// Colour.
    pub colour: Rgb,
    /// Whether bold.
    pub bold: bool,
    /// What stands at the position.
    pub anchor: Anchor,
}

/// An SVG text being written.
#[derive(Debug, Default)]
pub struct Svg(String);

impl Svg {
    /// Text that is already SVG.
    pub fn raw(&mut self, svg: &str) {
        self.0.push_str(svg);
        self.0.push('\n');
    }

    /// An element without content.
    pub fn element(&mut self, name: &str, attributes: &[(&str, String)]) {
        self.0.push('<');
        self.0.push_str(name);
        self.attributes(attributes);
        self.0.push_str("/>\n");
    }

    /// An element around one line of foreign text.
    pub fn holding(&mut self, name: &str, attributes: &[(&str, String)], text: &str) {
        self.0.push('<');
        self.0.push_str(name);
        self.attributes(attributes);
        let written = writeln!(self.0, ">{}</{name}>", escaped(text));
        debug_assert!(written.is_ok(), "writing to a String");
    }

    /// A text with a rim of paper, so that it can be read across lines.
    pub fn text(&mut self, [x, y]: [f64; 2], words: &str, look: Type) {
        let anchor = match look.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let mut attributes = vec![
            ("x", number(x)),
            ("y", number(y)),
            ("font-size", number(look.size)),
            ("text-anchor", anchor.to_owned()),
            ("fill", palette::hex(look.colour)),
            ("stroke", palette::hex(palette::PAPER)),
            ("stroke-width", "3".to_owned()),
            ("stroke-linejoin", "round".to_owned()),
            ("paint-order", "stroke".to_owned()),
        ];
        if look.bold {
            attributes.push(("font-weight", "700".to_owned()));
        }
        self.holding("text", &attributes, words);
    }

    /// The finished text.
    pub fn finish(self) -> String {
        self.0
    }

    fn attributes(&mut self, attributes: &[(&str, String)]) {
        for (name, value) in attributes {
            let written = write!(self.0, " {name}=\"{}\"", escaped(value));
            debug_assert!(written.is_ok(), "writing to a String");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_one_decimal_at_most() {
        let cases = [(1.0, "1"), (-0.04, "0"), (12.345, "12.3"), (f64::NAN, "0")];
        for (value, text) in cases {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn nothing_foreign_is_markup() {
        assert_eq!(
            escaped("<b a='1'>\u{202e}&\r\n\"]]>"),
            "&lt;b a=&#39;1&#39;&gt;&amp; &quot;]]&gt;"
        );
    }
}
