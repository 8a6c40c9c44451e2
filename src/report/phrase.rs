//! Short phrases that calendar and sheet share: durations and chances.

use crate::{
    answers::dough::{Level, Risk},
    uncertainty::Verdict,
    units::show_minutes,
};

/// The sentence with a capital first letter.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// How much later a step could begin, in a sentence; nothing to say below a quarter of an hour.
pub fn slack(hours: f64) -> Option<String> {
    let room = hours.is_finite() && hours >= 0.25;
    room.then(|| {
        format!("Could begin up to {} later.", show_minutes((hours * 60.0).round() as u64))
    })
}

/// A chance in words and per cent, never rounded to certainty:
/// `likely (about 87 %)`, with a space that does not break.
pub fn chance(chance: f64) -> String {
    let word = match verdict(chance) {
        Verdict::Sure => "very likely",
        Verdict::Likely => "likely",
        Verdict::Even => "could go either way",
        Verdict::Unlikely => "unlikely",
        Verdict::No => "hardly possible",
    };
    format!("{word} ({})", percent(chance))
}

/// A chance beside the one that is wished: what falls short of it is not rounded up to it.
pub fn chance_beside(chance: f64, wished: f64) -> String {
    self::chance(f64::from(in_hundred(chance, wished)) / 100.0)
}

/// The same in whole kitchens of a hundred.
pub fn in_hundred(chance: f64, wished: f64) -> u32 {
    let nearest = (100.0 * chance).round();
    let up = chance < wished && nearest >= 100.0 * wished;
    (if up { nearest - 1.0 } else { nearest }).clamp(0.0, 100.0) as u32
}

/// The word of a chance as it is printed: what reads alike is called alike.
pub fn verdict(chance: f64) -> Verdict {
    Verdict::from((chance * 100.0).round() / 100.0)
}

/// The same, or where it is a rough guess only its word, for what is likely at most: `likely, by
/// a rough guess`.
pub fn chance_or_guess(chance: f64, rough: bool) -> String {
    if !rough {
        return self::chance(chance);
    }
    let word = match verdict(chance) {
        Verdict::Sure | Verdict::Likely => "likely",
        Verdict::Even => "could go either way",
        Verdict::Unlikely | Verdict::No => "unlikely",
    };
    format!("{word}, by a rough guess ({})", percent(chance.clamp(0.05, 0.95)))
}

/// A chance in per cent, never rounded to certainty: `about 87 %`.
pub fn percent(chance: f64) -> String {
    match (chance * 100.0).round() as i64 {
        100.. => "over 99\u{a0}%".to_owned(),
        ..=0 => "under 1\u{a0}%".to_owned(),
        percent => format!("about {percent}\u{a0}%"),
    }
}

/// What can go wrong in the oven, and how likely.
pub fn risk(risk: &Risk) -> String {
    let level = match risk.level {
        Level::Some => "may happen",
        Level::High => "likely",
    };
    format!("{} ({level})", risk.text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_for_a_later_start_is_never_rounded_up() {
        let later = |hours| slack(hours).unwrap_or_default();
        assert_eq!(later(2.5), "Could begin up to 2 h 30 min later.");
        assert_eq!(later(9.0 + 5.0 / 60.0), "Could begin up to 9 h 05 min later.");
        assert_eq!(later(71.9), "Could begin up to 2 days 23 h later.");
        assert!([0.0, f64::INFINITY, f64::NAN].into_iter().all(|hours| slack(hours).is_none()));
    }

    #[test]
    fn a_chance_is_never_certain() {
        assert_eq!(chance(1.0), "very likely (over 99\u{a0}%)");
        assert_eq!(chance(0.87), "likely (about 87\u{a0}%)");
        assert_eq!(chance(0.0), "hardly possible (under 1\u{a0}%)");
    }

    #[test]
    fn one_number_has_one_word() {
        for (chances, words) in [
            ([0.9451, 0.9549], "very likely (about 95\u{a0}%)"),
            ([0.7451, 0.7549], "likely (about 75\u{a0}%)"),
            ([0.0451, 0.0549], "unlikely (about 5\u{a0}%)"),
        ] {
            assert_eq!(chances.map(chance), [words; 2]);
        }
    }
}
