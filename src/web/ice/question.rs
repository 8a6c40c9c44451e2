//! The form of a question on ice, and the arguments of `solidby ice` that it makes.

use chrono::{DateTime, Duration, NaiveDateTime, Timelike};

use crate::{
    units::{System, length, zone::Zone},
    web::{
        fields::Fields,
        form::{self, Form, Input, input},
        shapes,
        typed::{Beside, MOMENT},
    },
};

/// The fields after those of the sizes, in the order of the form.
const FIELDS: &[Input] = &[
    input("count", "How many at once"),
    input("at", "Filled"),
    input("by", "Needed solid"),
    input("freezer", "Kind"),
    input("air", "Temperature in it").of(Beside::DEGREES),
    input("fill", "Depth of the water").of(Beside::SIZE),
    input("start", "Temperature of the water").of(Beside::DEGREES),
    input("wall", "Made of"),
    input("thickness", "Thickness of its wall").of(Beside::SIZE),
    input("stand", "Stands on"),
    input("rated", "Freezing capacity").of(Beside::A_DAY),
    input("salt", "Salt in the water").of(Beside::SHARE),
    input("called", "Your freezer's name in the diary"),
    input("covered", "with a lid"),
];

/// All fields, in the order of the form.
pub fn inputs() -> Vec<Input> {
    shapes::inputs().into_iter().chain(FIELDS.iter().copied()).collect()
}

/// The labels of the fields by the options of the command line.
pub fn labels() -> Vec<(&'static str, &'static str)> {
    form::labels(FIELDS).into_iter().chain(shapes::labels()).collect()
}

/// Options that have a field of the same name.
const SAME: [&str; 11] =
    ["fill", "count", "start", "salt", "freezer", "air", "rated", "stand", "called", "at", "by"];

/// The form as sent, or the one to begin with: four stars, filled now, needed in the morning.
pub fn form(sent: (Fields, System), now: DateTime<Zone>) -> Form {
    Form::beginning(inputs(), sent, || {
        vec![
            ("shape", "star".to_owned()),
            ("count", "4".to_owned()),
            ("at", now.format(MOMENT).to_string()),
            ("by", morning(now).format(MOMENT).to_string()),
        ]
    })
}

/// The first seven o'clock that is six hours away.
fn morning(now: DateTime<Zone>) -> NaiveDateTime {
    let least = now.naive_local() + Duration::hours(6);
    let seven = least.date().and_time(least.time()).with_hour(7).and_then(|at| at.with_minute(0));
    let seven = seven.and_then(|at| at.with_second(0)).unwrap_or(least);
    if seven >= least { seven } else { seven + Duration::days(1) }
}

/// The arguments of `solidby ice`; none when a size of the shape is missing or wrong,
/// which the form then says.
pub fn arguments(form: &mut Form, units: System) -> Option<Vec<String>> {
    let mut arguments = vec!["ice".to_owned()];
    arguments.extend(shapes::arguments(form)?);
    arguments.extend(wall(form)?);
    arguments.extend(form.get("covered").map(|_| "--covered".to_owned()));
    arguments.extend(SAME.iter().filter_map(|name| form.argument(name)));
    arguments.push(format!("--units={}", units.word()));
    Some(arguments)
}

/// `--wall=silicone:2 mm`; the thickness is read by itself first.
fn wall(form: &mut Form) -> Option<Option<String>> {
    let (wall, thickness) = (form.get("wall"), form.measured("thickness"));
    let fault = match (wall, thickness) {
        (Some(wall), Some(thickness)) => match length(&thickness) {
            Ok(_) => return Some(Some(format!("--wall={wall}:{thickness}"))),
            Err(error) => ("thickness", error.to_string()),
        },
        (None, Some(_)) => ("wall", "say what it is made of, since it has a thickness".to_owned()),
        (wall, None) => return Some(wall.map(|wall| format!("--wall={wall}"))),
    };
    form.fault(fault.0, fault.1);
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made(query: &str) -> (Form, Option<Vec<String>>) {
        let now = DateTime::parse_from_rfc3339("2026-12-06T18:30:00-07:00").unwrap();
        let now = now.with_timezone(&Zone::Offset(*now.offset()));
        let mut form = form((Fields::read(query.as_bytes()), System::Metric), now);
        let arguments = arguments(&mut form, System::Metric);
        (form, arguments)
    }

    #[test]
    fn an_untouched_form_asks_for_the_morning() {
        let (_, arguments) = made("units=metric");
        let wanted = [
            "ice",
            "--mould=star",
            "--count=4",
            "--at=2026-12-06T18:30",
            "--by=2026-12-07T07:00",
            "--units=metric",
        ];
        assert_eq!(arguments.unwrap(), wanted);
    }

    #[test]
    fn own_sizes_become_one_option() {
        let (_, arguments) =
            made("shape=cup&across=70+mm&base=2+in&depth=4+cm&wall=paper&thickness=1+mm");
        let wanted = ["ice", "--cup=70 mm x 2 in x 4 cm", "--wall=paper:1 mm", "--units=metric"];
        assert_eq!(arguments.unwrap(), wanted);
    }

    #[test]
    fn a_number_alone_is_read_in_the_unit_beside_it() {
        let (form, arguments) = made("shape=star&depth=35&air=-18&start=55+F&salt=3");
        let wanted =
            ["ice", "--mould=star", "--depth=35 mm", "--start=55 F", "--salt=3 %", "--air=-18 °C"];
        assert_eq!(arguments.unwrap().split_last().unwrap().1, wanted);
        let whole = form.whole();
        assert_eq!([whole.get("depth"), whole.get("start")], [Some("35 mm"), Some("55 F")]);
    }

    #[test]
    fn a_wrong_size_is_a_fault_of_its_field() {
        let (form, arguments) = made("shape=box&length=10+x&width=8+cm");
        assert!(arguments.is_none());
        let faults = form.values().get_attr("f").unwrap();
        let fault = |name: &str| faults.get_attr(name).unwrap().to_string();
        assert!(fault("length").contains("10"), "{}", fault("length"));
        assert_eq!(fault("width"), "");
        assert!(fault("depth").starts_with("empty, and needed for a box"));
    }

    #[test]
    fn options_are_called_by_labels_of_the_form() {
        let template = include_str!("ice.html");
        let template = [template, include_str!("../look/fields.html")].concat();
        for (option, label) in labels() {
            let stands = [format!("\"{label}\""), format!(">{label}<")];
            assert!(stands.iter().any(|it| template.contains(it)), "{option}: {label}");
        }
    }
}
