//! SVG text: elements, attributes, numbers to a tenth, everything foreign escaped.

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
fn number(value: f64) -> String {
    let tenths = if value.is_finite() { (value * 10.0).round() / 10.0 } else { 0.0 };
    // Adding zero turns −0 into 0.
    format!("{}", tenths + 0.0)
}

/// Foreign text, cleaned, on one line, inert between tags and in attributes.
fn escaped(text: &str) -> String {
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
    Middle,
    /// The right end.
    End,
}

/// How a text looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Size in units of the view box.
    pub size: f64,
    pub colour: Rgb,
    /// Whether bold.
    pub bold: bool,
    /// What stands at the position.
    pub anchor: Anchor,
}

/// An SVG picture being written; `look` are attributes of ours, without anything foreign.
#[derive(Debug, Default)]
pub struct Svg(String);

impl Svg {
    /// Text that is already SVG.
    pub fn raw(&mut self, svg: &str) {
        self.0.push_str(svg);
        self.0.push('\n');
    }

    /// The ground of the whole picture.
    pub fn ground(&mut self, size: [f64; 2], colour: Rgb) {
        let ([width, height], fill) = (size.map(number), palette::hex(colour));
        self.raw(&format!("<rect width=\"{width}\" height=\"{height}\" fill=\"{fill}\"/>"));
    }

    /// A rectangle by its left upper corner and its size.
    pub fn rect(&mut self, corner: [f64; 2], size: [f64; 2], look: &str) {
        let ([x, y], [width, height]) = (corner.map(number), size.map(number));
        let place = format!("x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"");
        self.raw(&format!("<rect {place} {look}/>"));
    }

    /// A straight line.
    pub fn line(&mut self, from: [f64; 2], to: [f64; 2], look: &str) {
        let ([x1, y1], [x2, y2]) = (from.map(number), to.map(number));
        self.raw(&format!("<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" {look}/>"));
    }

    /// A circle round a middle.
    pub fn circle(&mut self, middle: [f64; 2], radius: f64, look: &str) {
        let ([x, y], radius) = (middle.map(number), number(radius));
        self.raw(&format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" {look}/>"));
    }

    /// A `polyline` or a `polygon`.
    pub fn points(&mut self, name: &str, points: &[[f64; 2]], look: &str) {
        let point = |[x, y]: &[f64; 2]| format!("{},{}", number(*x), number(*y));
        let points = points.iter().map(point).collect::<Vec<_>>().join(" ");
        self.raw(&format!("<{name} points=\"{points}\" {look}/>"));
    }

    /// One line of foreign text.
    pub fn words(&mut self, at: [f64; 2], words: &str, look: &str) {
        let ([x, y], words) = (at.map(number), escaped(words));
        self.raw(&format!("<text x=\"{x}\" y=\"{y}\" {look}>{words}</text>"));
    }

    /// A text with a rim of paper, so that it can be read across lines.
    pub fn text(&mut self, at: [f64; 2], words: &str, look: Type) {
        let anchor = match look.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let (size, ink) = (number(look.size), palette::hex(look.colour));
        let rim = palette::hex(palette::PAPER);
        let bold = if look.bold { " font-weight=\"700\"" } else { "" };
        let look = format!(
            "font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"{ink}\" stroke=\"{rim}\" \
             stroke-width=\"3\" stroke-linejoin=\"round\" paint-order=\"stroke\"{bold}"
        );
        self.words(at, words, &look);
    }

    /// The finished picture, `id` before the ids of its parts. In an HTML page an svg is
    /// known without its name space.
    pub fn finish(
        self,
        id: &str,
        size: [f64; 2],
        [title, description]: [&str; 2],
        (in_page, look): (bool, &str),
    ) -> String {
        let space = if in_page { "" } else { " xmlns=\"http://www.w3.org/2000/svg\"" };
        let [width, height] = size.map(number);
        let (title, description, body) = (escaped(title), escaped(description), self.0);
        format!(
            "<svg{space} viewBox=\"0 0 {width} {height}\" role=\"img\" \
             aria-labelledby=\"{id}-title {id}-desc\" {look}>\n\
             <title id=\"{id}-title\">{title}</title>\n\
             <desc id=\"{id}-desc\">{description}</desc>\n{body}</svg>\n"
        )
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
