//! What `check` warns of in a plan file that is sound.

use super::words;
use crate::{
    planfile::Plan,
    tables::Threshold,
    units::{System, ThermodynamicTemperature, celsius, in_celsius, show_temperature},
};

/// What batches of a plan that is followed lack, each by its position in the file.
pub fn lacking_pieces(plan: &Plan) -> Vec<(usize, String)> {
    words::lacking_pieces(plan).map(|(n, words)| (plan.in_file(n), words)).collect()
}

/// A dial is not set more finely, K. Common practice, no source.
const DIAL_K: f64 = 2.0;

/// The lowest setting of an oven, °F. Common practice, no source.
const LOWEST_F: f64 = 150.0;

/// That dough in an oven set to `at`, `typed` in the file, may puff or brown; whether °F were
/// meant, where it was typed in °C and would be right in °F. None where it is not too hot.
pub fn hot_for_dough(typed: &str, at: ThermodynamicTemperature, units: System) -> Option<String> {
    let [puffs, browns] = [Threshold::puff(), Threshold::brown()].map(|it| it.temperature());
    if in_celsius(at) < in_celsius(puffs) + DIAL_K {
        return None;
    }
    let limit = |at| show_temperature(at, units);
    let browns = match at > browns {
        true => format!(" and brown above {}", limit(browns)),
        false => String::new(),
    };
    let typed_c = in_celsius(at).round();
    let as_fahrenheit = celsius((typed_c - 32.0) / 1.8);
    let meant = match typed.trim_end().ends_with(['C', 'c'])
        && typed_c >= LOWEST_F
        && as_fahrenheit <= puffs
    {
        true => format!("; was {typed_c} °F meant?"),
        false => String::new(),
    };
    Some(format!("dough at {typed} may puff above {}{browns}{meant}", limit(puffs)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_asked_whether_another_degree_was_meant() {
        let said = |typed, c| hot_for_dough(typed, celsius(c), System::Us);
        assert_eq!(
            said("200 C", 200.0).as_deref(),
            Some("dough at 200 C may puff above 221 °F and brown above 257 °F; was 200 °F meant?")
        );
        let hot = said("250 F", (250.0 - 32.0) / 1.8);
        assert_eq!(hot.as_deref(), Some("dough at 250 F may puff above 221 °F"));
        assert_eq!(said("200 F", (200.0 - 32.0) / 1.8), None);
        assert_eq!(said("106 C", 106.0), None);
        let metric = hot_for_dough("120 C", celsius(120.0), System::Metric);
        assert_eq!(metric.as_deref(), Some("dough at 120 C may puff above 105 °C"));
    }
}
