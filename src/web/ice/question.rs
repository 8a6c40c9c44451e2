//! The form of a question on ice, and the arguments of `solidby ice` that it makes.

use chrono::{DateTime, Duration, NaiveDateTime, Timelike};

use crate::{
    shape::{Field, KINDS},
    tables,
    units::{System, length, show_length, zone::Zone},
    web::{
        fields::Fields,
        form::{Form, Input, input},
        typed::{Beside, MOMENT},
    },
};

/// The fields after those of the sizes, in the order of the form.
const FIELDS: &[Input] = &[
    input("depth", "Depth").of(Beside::SIZE),
    input("volume", "How much water").of(Beside::WATER),
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
    let first = [input("shape", "Shape"), input("across", "Size across").of(Beside::SIZE)];
    let more = more_sizes().into_iter();
    let more = more.map(|field| input(field.name, field.words).of(Beside::SIZE));
    first.into_iter().chain(more).chain(FIELDS.iter().copied()).collect()
}

/// The labels of the fields by the options of the command line.
pub fn labels() -> Vec<(&'static str, &'static str)> {
    let own = FIELDS.iter().map(|field| (field.name, field.label));
    let kinds = KINDS.iter().map(|kind| (kind.name, "Shape"));
    own.chain([("mould", "Shape")]).chain(kinds).collect()
}

/// A shape by its own sizes.
#[derive(Debug, Clone)]
pub struct OwnShape {
    /// The option of the command line.
    pub name: &'static str,
    /// What it is called on the page.
    pub words: &'static str,
    /// The fields of its sizes, in the order of the option.
    pub sizes: Vec<&'static str>,
}

/// Shapes by their own sizes.
pub fn own_shapes() -> Vec<OwnShape> {
    let sized = KINDS.iter().map(|kind| OwnShape {
        name: kind.name,
        words: kind.words,
        sizes: kind.fields.iter().map(|field| field.name).collect(),
    });
    let volume =
        OwnShape { name: "volume", words: "I only know how much water", sizes: vec!["volume"] };
    sized.chain([volume]).collect()
}

/// Sizes besides those that every mould of the tables has, as the form asks for them.
pub fn more_sizes() -> Vec<Field> {
    let mut sizes: Vec<Field> = Vec::new();
    for field in KINDS.iter().flat_map(|kind| kind.fields) {
        let asked = sizes.iter().any(|size| size.name == field.name);
        if !asked && !["across", "depth"].contains(&field.name) {
            sizes.push(*field);
        }
    }
    sizes
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

/// The shape that is chosen, by its own sizes; none where it is a mould of the tables.
pub fn own_shape(form: &Form) -> Option<OwnShape> {
    own_shapes().into_iter().find(|own| form.get("shape") == Some(own.name))
}

/// The mould of the tables that is chosen where no shape by its own sizes is.
fn mould(form: &Form) -> &str {
    form.get("shape").unwrap_or("star")
}

/// What a mould of the tables measures, where one is chosen.
pub fn usual_size(form: &Form, units: System) -> Option<[String; 2]> {
    let shape = tables::mould(mould(form)).ok().filter(|_| own_shape(form).is_none())?.shape();
    Some([shape.across(), shape.depth()].map(|size| show_length(size, units)))
}

/// The field that an option comes from.
pub fn field(option: &str, own: Option<&OwnShape>) -> String {
    match option {
        "mould" => "shape".to_owned(),
        _ if option == "size" || own.is_some_and(|own| own.name == option) => {
            own.and_then(|own| own.sizes.first()).unwrap_or(&"across").to_string()
        }
        option => option.to_owned(),
    }
}

/// The arguments of `solidby ice`; none when a size of the shape is missing or wrong,
/// which the form then says.
pub fn arguments(form: &mut Form, units: System) -> Option<Vec<String>> {
    let mut arguments = vec!["ice".to_owned()];
    match own_shape(form) {
        None => {
            arguments.push(format!("--mould={}", mould(form)));
            for (field, option) in [("across", "size"), ("depth", "depth")] {
                arguments.extend(form.measured(field).map(|size| format!("--{option}={size}")));
            }
        }
        Some(own) => arguments.push(sizes(form, &own)?),
    }
    arguments.extend(wall(form)?);
    arguments.extend(form.get("covered").map(|_| "--covered".to_owned()));
    arguments.extend(SAME.iter().filter_map(|name| form.argument(name)));
    arguments.push(format!("--units={}", units.word()));
    Some(arguments)
}

/// `--box=10 cm x 8 cm x 4 cm`. Each size is read by itself first, so that a
/// fault stands beside its field.
fn sizes(form: &mut Form, own: &OwnShape) -> Option<String> {
    for &name in &own.sizes {
        let fault = match form.measured(name) {
            None => Some(format!("empty, and needed for {}; for example “80 mm” or “3 in”", own.words)),
            // The command line reads a volume by itself.
            Some(_) if own.name == "volume" => None,
            Some(size) => length(&size).err().map(|error| error.to_string()),
        };
        if let Some(fault) = fault {
            form.fault(name, fault);
        }
    }
    if form.is_faulty() {
        return None;
    }
    let sizes: Vec<String> = own.sizes.iter().filter_map(|name| form.measured(name)).collect();
    Some(format!("--{}={}", own.name, sizes.join(" x ")))
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
        for (option, label) in labels() {
            let stands = [format!("\"{label}\""), format!(">{label}<")];
            assert!(stands.iter().any(|it| template.contains(it)), "{option}: {label}");
        }
    }
}
