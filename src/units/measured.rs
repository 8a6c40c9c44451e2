//! Amounts that are measured out again and again, for so many of a mould: by what a kitchen has,
//! and never more than fits.

use uom::si::volume::{cup, gallon, liter, milliliter, tablespoon};

use super::{System, Volume, show_volume};

/// Tablespoons in a cup.
const SPOONS: f64 = 16.0;

/// Cups from which on a spoon more or less does not matter (common practice, no source).
const MANY_CUPS: f64 = 4.0;

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
            [each, all(each)].map(|gallons| format!("{} gal", quarters(gallons)))
        }
        System::Us => {
            let cups = each.get::<cup>();
            let step = match cups {
                cups if cups >= MANY_CUPS => SPOONS / 4.0,
                cups if cups * SPOONS >= 1.0 => 0.5,
                // By the teaspoon.
                _ => return [each, each * f64::from(count)].map(|all| show_volume(all, system)),
            };
            let each = down(each.get::<tablespoon>(), step);
            [each, all(each)].map(cups_and_spoons)
        }
    }
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

/// `3/4 cup + 2 tbsp`, `1 1/2 tbsp`, `27 cups`.
fn cups_and_spoons(spoons: f64) -> String {
    let cups = (spoons / 4.0).floor() / 4.0;
    let rest = spoons - SPOONS * cups;
    let unit = if cups > 1.0 { "cups" } else { "cup" };
    match (cups > 0.0, rest > 0.0) {
        (true, false) => format!("{} {unit}", quarters(cups)),
        (true, true) => format!("{} {unit} + {} tbsp", quarters(cups), quarters(rest)),
        (false, _) => format!("{} tbsp", quarters(rest)),
    }
}

/// A whole number of quarters: `1/4`, `2 1/2`, `3`.
fn quarters(value: f64) -> String {
    let rest = match (4.0 * value.fract()).round() as u8 {
        1 => "1/4",
        2 => "1/2",
        3 => "3/4",
        _ => "",
    };
    match (value.floor(), rest) {
        (whole, "") => format!("{whole}"),
        (0.0, rest) => rest.to_owned(),
        (whole, rest) => format!("{whole} {rest}"),
    }
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
