//! The form of a question on dough, and the arguments of `solidby dough` that it makes.

use chrono::{DateTime, Duration};

use crate::{
    units::{System, zone::Zone},
    web::{
        fields::Fields,
        form::{self, Form, Input, input},
        typed::{Beside, MOMENT},
    },
};

/// The fields in the order of the form. The oven's setting has no unit beside it: a number
/// alone is refused there and not taken as °C or °F.
const FIELDS: &[Input] = &[
    input("thickness", "Rolled to").of(Beside::SIZE),
    input("size", "Size across").of(Beside::SIZE),
    input("count", "How many at once"),
    input("recipe", "Flour : salt : water"),
    input("oven", "Oven set to"),
    input("oven-kind", "Oven"),
    input("faces", "Faces open to the air"),
    input("humidity", "Humidity of the room").of(Beside::SHARE),
    input("at", "Goes in"),
    input("by", "Needed dry"),
    input("room", "Temperature of the room").of(Beside::DEGREES),
    input("altitude", "Height above the sea").of(Beside::HEIGHT),
    input("pre-dry", "In the room before the oven for").of(Beside::HOURS),
    input("called", "Your oven's name in the diary"),
];

/// Options of what is made, each with a field of the same name.
const MADE: [&str; 9] =
    ["thickness", "size", "count", "recipe", "faces", "room", "humidity", "altitude", "called"];

/// Options that only an oven has.
const OF_OVEN: [&str; 3] = ["oven", "oven-kind", "pre-dry"];

/// How the pieces are dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Oven,
    /// In the room.
    Air,
}

impl Way {
    /// The ways to be compared: air alone where no oven is given.
    pub fn all(form: &Form) -> &'static [Self] {
        if form.get("oven").is_some() { &[Self::Oven, Self::Air] } else { &[Self::Air] }
    }

    /// The way that was sent.
    pub fn of(sent: &Fields) -> Self {
        if sent.get("way") == Some("air") { Self::Air } else { Self::Oven }
    }

    /// `oven` or `air`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Oven => "oven",
            Self::Air => "air",
        }
    }
}

/// The fields.
pub fn inputs() -> Vec<Input> {
    FIELDS.to_vec()
}

/// The labels of the fields by the options of the command line.
pub fn labels() -> Vec<(&'static str, &'static str)> {
    form::labels(FIELDS)
}

/// The form as sent, or the one to begin with: ordinary ornaments in a low oven,
/// wanted in three days.
pub fn form(fields: Fields, now: DateTime<Zone>, units: System) -> Form {
    Form::beginning(inputs(), (fields, units), || {
        let [thickness, size, oven] = match units {
            System::Us => ["1/4", "3", "200 F"],
            System::Metric => ["6", "75", "95 C"],
        };
        vec![
            ("thickness", thickness.to_owned()),
            ("size", size.to_owned()),
            ("oven", oven.to_owned()),
            ("at", now.format(MOMENT).to_string()),
            ("by", (now + Duration::days(3)).format("%Y-%m-%dT08:00").to_string()),
        ]
    })
}

/// The arguments of `solidby dough`, for one way. The first way to be compared
/// also asks for ways to have it dry in time, which are the same for both.
pub fn arguments(form: &Form, way: Way, units: System) -> Vec<String> {
    let mut arguments = made(form, way);
    if way == Way::Oven || form.get("oven").is_none() {
        // When it goes in matters only where there is a time to keep.
        let at = form.argument("at").filter(|_| form.get("by").is_some());
        arguments.extend(at.into_iter().chain(form.argument("by")));
    }
    arguments.push(format!("--units={}", units.word()));
    arguments
}

/// The arguments of `solidby diary add`, from `dough` on.
pub fn noted(form: &Form, way: Way) -> Vec<String> {
    let mut arguments = made(form, way);
    arguments.extend(form.argument("at"));
    arguments
}

fn made(form: &Form, way: Way) -> Vec<String> {
    let mut arguments = vec!["dough".to_owned()];
    arguments.extend(MADE.iter().filter_map(|name| form.argument(name)));
    match way {
        Way::Oven => arguments.extend(OF_OVEN.iter().filter_map(|name| form.argument(name))),
        Way::Air => arguments.push("--air-dry".to_owned()),
    }
    arguments
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made(query: &str, way: Way) -> String {
        let now = DateTime::parse_from_rfc3339("2026-12-06T18:30:00-07:00").unwrap();
        let now = now.with_timezone(&Zone::Offset(*now.offset()));
        let form = form(Fields::read(query.as_bytes()), now, System::Us);
        arguments(&form, way, System::Us).join(" ")
    }

    #[test]
    fn both_ways_are_asked_of_one_form() {
        let oven = "dough --thickness=1/4 in --size=3 in --oven=200 F \
                    --at=2026-12-06T18:30 --by=2026-12-09T08:00 --units=us";
        assert_eq!(made("units=us", Way::Oven), oven);
        assert_eq!(
            made("units=us", Way::Air),
            "dough --thickness=1/4 in --size=3 in --air-dry --units=us"
        );
    }

    #[test]
    fn when_it_goes_in_is_left_out_where_no_time_is_to_be_kept() {
        let query = "thickness=6+mm&oven=95+C&at=2026-12-06T18:30&by=";
        assert_eq!(made(query, Way::Oven), "dough --thickness=6 mm --oven=95 C --units=us");
    }

    #[test]
    fn options_are_called_by_labels_of_the_form() {
        let template = include_str!("dough.html");
        for (option, label) in labels() {
            let stands = [format!("\"{label}\""), format!(">{label}<")];
            assert!(stands.iter().any(|it| template.contains(it)), "{option}: {label}");
        }
    }
}
