//! Content lines of RFC 5545: escaping (3.3.11) and folding (3.1), both ways.

use crate::report::clean::clean;

/// Octets of one physical line without its line break (RFC 5545, 3.1).
const LINE_OCTETS: usize = 75;

/// A TEXT value: [`clean`] text with backslash, semicolon, comma and line end
/// escaped (RFC 5545, 3.3.11). A colon stays bare.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in clean(text).chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c => out.push(c),
        }
    }
    out
}

/// The text of a TEXT value.
pub fn unescape(value: &str) -> String {
    let mut out = String::with_capacity(value.len());
    let mut chars = value.chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' => match chars.next() {
                Some('n' | 'N') => out.push('\n'),
                Some(escaped) => out.push(escaped),
                None => {}
            },
            c => out.push(c),
        }
    }
    out
}

/// Appends one content line, folded on character boundaries: the first piece has
/// at most 75 octets, each later one a space and at most 74 (RFC 5545, 3.1).
pub fn fold_into(out: &mut String, line: &str) {
    let mut octets = 0;
    for c in line.chars() {
        if octets + c.len_utf8() > LINE_OCTETS {
            out.push_str("\r\n ");
            octets = 1;
        }
        out.push(c);
        octets += c.len_utf8();
    }
    out.push_str("\r\n");
}

/// The content lines of a file, each with the number of its first physical line.
/// Bare LF line ends, which editors and mail programs leave behind, are read too.
pub fn unfold(file: &str) -> Vec<(usize, String)> {
    let mut lines: Vec<(usize, String)> = Vec::new();
    for (n, physical) in file.split('\n').enumerate() {
        let physical = physical.strip_suffix('\r').unwrap_or(physical);
        match (physical.strip_prefix([' ', '\t']), lines.last_mut()) {
            (Some(rest), Some((_, line))) => line.push_str(rest),
            _ if physical.is_empty() => {}
            _ => lines.push((n + 1, physical.to_owned())),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(line: &str) -> String {
        let mut out = String::new();
        fold_into(&mut out, line);
        out
    }

    /// RFC 5545, 3.3.11, its example.
    #[test]
    fn escaping_as_in_the_standard() {
        let text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        let value = r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        assert_eq!(escape(text), value);
        assert_eq!(unescape(value), text);
        assert_eq!(escape(r"a:b\c;d,e"), r"a:b\\c\;d\,e");
    }

    /// RFC 5545, 3.1, its example: three ways to write one line.
    #[test]
    fn unfolding_as_in_the_standard() {
        let line = "DESCRIPTION:This is a long description that exists on a long line.";
        let files = [
            "DESCRIPTION:This is a long description that exists on a long line.\r\n",
            "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n",
            "DESCRIPTION:This is a lo\n\tng description\n  that exists on a long line.\n",
        ];
        for file in files {
            assert_eq!(unfold(file), [(1, line.to_owned())], "{file:?}");
        }
    }

    #[test]
    fn seventy_five_octets_stay_whole() {
        assert_eq!(folded(&"a".repeat(75)), format!("{}\r\n", "a".repeat(75)));
        assert_eq!(folded(&"a".repeat(76)), format!("{}\r\n a\r\n", "a".repeat(75)));
        assert_eq!(folded(&"a".repeat(150)).lines().map(str::len).collect::<Vec<_>>(), [75, 75, 2]);
    }

    #[test]
    fn no_character_is_split() {
        // 74 octets, then four-octet characters: the first cannot fit.
        let line = format!("{}🦊🦊", "a".repeat(74));
        assert_eq!(folded(&line), format!("{}\r\n 🦊🦊\r\n", "a".repeat(74)));
        assert_eq!(unfold(&folded(&line)), [(1, line)]);
    }
}
