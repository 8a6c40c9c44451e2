//! Amounts that are measured out again and again, for so many of a mould: by what a kitchen has,
//! and never more than fits.

use uom::si::volume::{gallon, liter, milliliter, tablespoon};

use super::{System, Volume, show_volume};

/// Tablespoons in a cup.
const SPOONS: f64 = 16.0;

/// What is measured out is so much of what fits at the least, before spoons are counted (common
/// practice, no source).
const LEAST: f64 = 0.95;

/// Gallons from which on nobody counts cups, and that are told in quarters.
const MANY_GALLONS: f64 = 2.0;

/// What goes into each of so many, and into all: `3/4 cup` and `4 1/2 cups`. It is rounded down,
/// so that nothing spills, and what all take is so many times what each does.
pub fn show_each_and_all(each: Volume, count: u32, system: System) -> [String; 2] {
    let all = |each: f64| each * f64::from(count);
    match system {
        System::Metric => {
            // Of litres in hundredths.
            let step = if each.get::<liter>() >= 1.0 { 10.0 } else { 1.0 };
            let each = down(each.get::<milliliter>(), step);
            [each, all(each)].map(metric)
        }
        System::Us if each.get::<gallon>() >= MANY_GALLONS => {
            let each = down(each.get::<gallon>(), 0.25);
            [each, all(each)].map(|gallons| format!("{} gal", parts(gallons)))
        }
        System::Us if each.get::<tablespoon>() < 1.0 => {
            [each, each * f64::from(count)].map(|all| show_volume(all, system))
        }
        System::Us => {
            let each = measured(each.get::<tablespoon>());
            [each, all(each)].map(cups_and_spoons)
        }
    }
}

/// The most of so many tablespoons that is one of a set of cup measures, and where that is much
/// less, whole spoons beside it; of what is less than a cup measure, halves.
fn measured(spoons: f64) -> f64 {
    // No set has less than a quarter.
    if spoons < SPOONS / 4.0 {
        return down(spoons, 0.5);
    }
    let [quarters, thirds] = [4.0, 3.0].map(|parts| down(spoons, SPOONS / parts));
    let cups = if thirds <= spoons { quarters.max(thirds) } else { quarters };
    if cups >= LEAST * spoons { cups } else { down(spoons, 1.0) }
}

/// The largest multiple of a step that is not more, but for what a unit loses as it is converted.
fn down(value: f64, step: f64) -> f64 {
    ((value / step) * (1.0 + 1e-9)).floor().max(1.0) * step
}

fn metric(millilitres: f64) -> String {
    match millilitres >= 1000.0 {
        true => format!("{} L", (millilitres / 10.0).round() / 100.0),
        false => format!("{millilitres:.0} mL"),
    }
}

/// `3/4 cup + 2 tbsp`, `1 1/2 tbsp`, `2 2/3 cups`, `27 cups`.
fn cups_and_spoons(spoons: f64) -> String {
    let cups = spoons / SPOONS;
    let whole = |parts: f64| (parts * cups - (parts * cups).round()).abs() < 1e-6;
    let [in_quarters, in_thirds] = [4.0, 3.0].map(whole);
    let under = (4.0 * cups + 1e-6).floor() / 4.0;
    let measures =
        |cups: f64| format!("{} {}", parts(cups), if cups > 1.0 { "cups" } else { "cup" });
    match under > 0.0 {
        _ if in_quarters || in_thirds => measures(cups),
        true => format!("{} + {} tbsp", measures(under), parts(spoons - SPOONS * under)),
        false => format!("{} tbsp", parts(spoons)),
    }
}

/// A whole number of quarters or thirds: `1/4`, `2 2/3`, `3`.
fn parts(value: f64) -> String {
    let (whole, rest) = ((value + 1e-6).floor(), (12.0 * value).round() as u64 % 12);
    let rest = match rest {
        3 => "1/4",
        4 => "1/3",
        6 => "1/2",
        8 => "2/3",
        9 => "3/4",
        _ => return format!("{whole}"),
    };
    if whole == 0.0 { rest.to_owned() } else { format!("{whole} {rest}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{litres, millilitres, us_cups};

    #[test]
    fn no_mould_spills_and_all_is_so_many_times_each() {
        let us = |each, count| show_each_and_all(each, count, System::Us).join(", ");
        assert_eq!(us(millilitres(270.0), 3), "1 cup + 2 tbsp, 3 1/4 cups + 2 tbsp");
        assert_eq!(us(us_cups(0.75), 6), "3/4 cup, 4 1/2 cups");
        assert_eq!(us(us_cups(1.0), 1), "1 cup, 1 cup");
        assert_eq!(us(us_cups(0.7), 4), "2/3 cup, 2 2/3 cups");
        assert_eq!(us(millilitres(310.0), 4), "1 1/4 cups, 5 cups");
        assert_eq!(us(millilitres(60.0), 5), "1/4 cup, 1 1/4 cups");
        assert_eq!(us(us_cups(27.1), 2), "27 cups, 54 cups");
        assert_eq!(us(millilitres(23.0), 12), "1 1/2 tbsp, 1 cup + 2 tbsp");
        assert_eq!(us(millilitres(3.7), 2), "3/4 tsp, 1 1/2 tsp");
        assert_eq!(us(litres(10.0), 2), "2 1/2 gal, 5 gal");
        let metric = |each, count| show_each_and_all(each, count, System::Metric).join(", ");
        assert_eq!(metric(millilitres(280.0), 6), "280 mL, 1.68 L");
        assert_eq!(metric(millilitres(279.7), 2), "279 mL, 558 mL");
        assert_eq!(metric(litres(1.268), 3), "1.26 L, 3.78 L");
    }

    #[test]
    fn what_is_told_is_never_more_than_fits() {
        for ml in 15..3_000 {
            let told = show_each_and_all(millilitres(f64::from(ml)), 1, System::Us);
            let cups: f64 = told[0].split(" + ").map(in_cups).sum();
            assert!(cups * 236.588 <= f64::from(ml) + 0.1, "{ml} mL: {}", told[0]);
        }
    }

    /// What words of amounts say.
    fn in_cups(words: &str) -> f64 {
        let (number, unit) = words.rsplit_once(' ').unwrap();
        let part = |part: &str| match part.split_once('/') {
            Some((top, bottom)) => top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap(),
            None => part.parse().unwrap(),
        };
        let number: f64 = number.split(' ').map(part).sum();
        if unit == "tbsp" { number / SPOONS } else { number }
    }
}
