//! The colours of sheet and charts, and the contrast each pair must keep (WCAG 2.2, 1.4.3 and 1.4.11).

/// A colour as red, green and blue, 0 to 255.
pub type Rgb = [u8; 3];

/// The ground of page and picture.
pub const PAPER: Rgb = [0xff, 0xfd, 0xf8];
/// Text, and the line that matters most.
pub const INK: Rgb = [0x2a, 0x22, 0x1e];
/// Text that matters less.
pub const QUIET: Rgb = [0x5c, 0x50, 0x47];
/// Rules and axes.
pub const RULE: Rgb = [0x8c, 0x7b, 0x6b];
/// What needs care, and what is warm.
pub const CLAY: Rgb = [0x8f, 0x3d, 0x14];
/// What is cold.
pub const ICE: Rgb = [0x1d, 0x53, 0x70];
/// Bars and bands that lie behind.
pub const FROST: Rgb = [0xcf, 0xe3, 0xec];

/// Name in the style sheet, colour.
pub const COLOURS: [(&str, Rgb); 8] = [
    ("paper", PAPER),
    ("card", [0xf8, 0xf1, 0xe6]),
    ("ink", INK),
    ("quiet", QUIET),
    ("rule", RULE),
    ("clay", CLAY),
    ("ice", ICE),
    ("frost", FROST),
];

/// The colours as custom properties.
pub fn css() -> String {
    let colours: String =
        COLOURS.iter().map(|(name, colour)| format!("--{name}:{};", hex(*colour))).collect();
    format!(":root{{{colours}}}\n")
}

/// A colour as `#rrggbb`.
pub fn hex([r, g, b]: Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Foreground, background, least contrast: 4.5 for text, 3 for lines and bars.
    const PAIRS: [(&str, &str, f64); 16] = [
        ("ink", "paper", 4.5),
        ("ink", "card", 4.5),
        ("ink", "frost", 4.5),
        ("quiet", "paper", 4.5),
        ("quiet", "card", 4.5),
        ("clay", "paper", 4.5),
        ("clay", "card", 4.5),
        ("ice", "paper", 4.5),
        ("ice", "card", 4.5),
        ("paper", "clay", 4.5),
        ("paper", "ice", 4.5),
        ("rule", "paper", 3.0),
        ("rule", "card", 3.0),
        ("ice", "frost", 4.5),
        ("quiet", "frost", 4.5),
        ("clay", "frost", 4.5),
    ];

    /// Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio).
    fn contrast(a: Rgb, b: Rgb) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// Relative luminance in sRGB (WCAG 2.2, definition of relative luminance).
    fn luminance(colour: Rgb) -> f64 {
        let [r, g, b] = colour.map(|channel| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    fn colour(name: &str) -> Rgb {
        COLOURS.iter().find(|(known, _)| *known == name).unwrap().1
    }

    #[test]
    fn black_on_white_is_21() {
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn every_pair_can_be_read() {
        for (front, back, least) in PAIRS {
            let found = contrast(colour(front), colour(back));
            assert!(found >= least, "{front} on {back}: {found:.2}, wanted {least}");
        }
    }
}
