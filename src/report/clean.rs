//! Makes foreign text safe to print: no control, no direction override, one kind of line end.

use serde::Serialize;

/// Text with every line end as `\n`, tabs as spaces, and without characters
/// that change how the rest is shown or read: controls (C0, C1, DEL), bidi
/// controls, the byte order mark and non-characters.
///
/// Line ends are CR LF, CR, NEL, LS, PS, VT and FF (Unicode 5.8, newline
/// guidelines). Bidi controls are those of UAX #9, table 4; without them
/// right-to-left text still runs right to left.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut after_cr = false;
    for c in text.chars() {
        match c {
            '\n' if after_cr => {}
            '\r' | '\n' | '\u{85}' | '\u{2028}' | '\u{2029}' | '\u{b}' | '\u{c}' => out.push('\n'),
            '\t' => out.push(' '),
            c if c.is_control() || is_invisible_order(c) || is_noncharacter(c) => {}
            c => out.push(c),
        }
        after_cr = c == '\r';
    }
    out
}

/// [`clean`] text as one line: each run of white space is one space.
pub fn one_line(text: &str) -> String {
    clean(text).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// [`one_line`], and words to stand for it where nothing is left: a label that is
/// empty cannot be read out, ticked or found.
pub fn named(text: &str) -> String {
    Some(one_line(text)).filter(|line| !line.is_empty()).unwrap_or_else(|| "(no name)".to_owned())
}

/// At most `limit` characters of one line, cut at a word where that keeps half
/// of it, and then ended by an ellipsis.
pub fn shorten(text: &str, limit: usize) -> String {
    let line = one_line(text);
    if line.chars().count() <= limit {
        return line;
    }
    let cut = line.char_indices().nth(limit.saturating_sub(1)).map_or(line.len(), |(at, _)| at);
    let (head, rest) = line.split_at(cut);
    let kept = match head.rfind(' ') {
        Some(at) if at * 2 >= head.len() && !rest.starts_with(' ') => head.split_at(at).0,
        _ => head,
    };
    // A joiner or a comma left hanging before the ellipsis would look broken.
    let kept = kept.trim_end_matches([' ', ',', ';', ':', '(', '\u{200d}', '\u{fe0f}']);
    format!("{kept}…")
}

/// An answer as JSON, in which what [`clean`] takes out of a text is written as `\u202e` is: the
/// same values for a program, and nothing for a terminal to obey.
///
/// # Errors
/// As `serde_json` has them.
pub fn json(answer: &impl Serialize) -> serde_json::Result<String> {
    let raw = serde_json::to_string_pretty(answer)?;
    let mut out = String::with_capacity(raw.len());
    for c in raw.chars() {
        match c {
            // Between the values; inside of them it is escaped already.
            '\n' => out.push(c),
            c if c.is_control() || is_invisible_order(c) || is_noncharacter(c) => {
                let units = &mut [0; 2];
                out.extend(c.encode_utf16(units).iter().map(|unit| format!("\\u{unit:04x}")));
            }
            c => out.push(c),
        }
    }
    Ok(out)
}

fn is_invisible_order(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn is_noncharacter(c: char) -> bool {
    matches!(c, '\u{fdd0}'..='\u{fdef}') || (c as u32) & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_become_one_kind() {
        assert_eq!(clean("a\r\nb\rc\u{2028}d\u{85}e\n\nf\r\r\ng"), "a\nb\nc\nd\ne\n\nf\n\ng");
    }

    #[test]
    fn json_has_the_same_values_and_nothing_to_obey() {
        let names = ["a\u{202e}b", "c\u{9b}d\u{7f}", "e\n\u{10ffff}שלום 🦊"];
        let told = json(&names).unwrap();
        assert_eq!(told.lines().map(clean).collect::<Vec<_>>().join("\n"), told);
        assert_eq!(serde_json::from_str::<[String; 3]>(&told).unwrap(), names);
    }

    #[test]
    fn what_could_mislead_is_gone() {
        assert_eq!(
            clean("\u{feff}a\u{0}b\u{7f}c\u{9b}d\u{202e}e\u{2066}f\u{ffff}g\th"),
            "abcdefg h"
        );
        assert_eq!(clean("שלום, 🦊👩‍🍳 \\;"), "שלום, 🦊👩‍🍳 \\;");
    }

    #[test]
    fn a_label_is_never_empty() {
        assert_eq!((named(" \u{202e}\r\n"), named("a")), ("(no name)".into(), "a".into()));
    }

    #[test]
    fn a_long_line_is_cut_at_a_word() {
        assert_eq!(shorten("Fill four moulds, then freeze", 18), "Fill four moulds…");
        assert_eq!(shorten("short\n one", 18), "short one");
        assert_eq!(shorten(&"x".repeat(99), 60).chars().count(), 60);
    }
}
