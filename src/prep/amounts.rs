//! Amounts by weight and by the cup, in the words of the plan's units.

use super::schedule::Amount;
use crate::units::{self, System, grams, show_mass, show_volume};

/// So much of something by weight, and the cups that it fills.
pub fn weighed(system: System, what: &str, mass_g: f64, cups: f64) -> Amount {
    let weight = show_mass(grams(mass_g), system);
    let measure = show_volume(units::us_cups(cups), System::Us);
    let text = match system {
        System::Us => format!("{measure} ({weight})"),
        System::Metric => format!("{weight} ({measure})"),
    };
    Amount { what: what.to_owned(), mass_g: Some(mass_g), cups: Some(cups), count: None, text }
}

/// The sum of two amounts of the same thing.
pub fn sum(units: System, a: &Amount, b: &Amount) -> Amount {
    match (a.mass_g.zip(b.mass_g), a.cups.zip(b.cups)) {
        (Some((mass, more)), Some((cups, more_cups))) => {
            weighed(units, &a.what, mass + more, cups + more_cups)
        }
        _ => counted(&a.what, a.count.unwrap_or(0) + b.count.unwrap_or(0)),
    }
}

/// `6 pots of acrylic paint`, `1 bottle of white glue`, from the plural.
pub fn counted(what: &str, count: u32) -> Amount {
    let singular = match what.split_once(' ') {
        Some((noun, rest)) if count == 1 && rest.starts_with("of ") => {
            format!("{} {rest}", noun.trim_end_matches('s'))
        }
        _ if count == 1 => what.trim_end_matches('s').to_owned(),
        _ => what.to_owned(),
    };
    let text = format!("{count} {singular}");
    Amount { what: what.to_owned(), mass_g: None, cups: None, count: Some(count), text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_say_what_they_are() {
        let one = weighed(System::Us, "flour", 125.0, 1.0);
        assert_eq!(one.text, "1 cup (4.4 oz)");
        let two = sum(System::Us, &one, &one);
        assert_eq!(two.text, "2 cups (8.8 oz)");
        assert_eq!(weighed(System::Metric, "flour", 125.0, 1.0).text, "125 g (1 cup)");
    }

    #[test]
    fn one_of_a_thing_is_singular() {
        for (plural, one) in [
            ("ribbons", "1 ribbon"),
            ("freezer bags", "1 freezer bag"),
            ("sheets of wrapping paper", "1 sheet of wrapping paper"),
        ] {
            assert_eq!(counted(plural, 1).text, one);
        }
        assert_eq!(counted("ribbons", 3).text, "3 ribbons");
    }
}
