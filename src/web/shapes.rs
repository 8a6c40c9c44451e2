//! The shape of a block in a form: its kind, its sizes, and the arguments they make.

use minijinja::{Value, context};

use super::{
    form::{Form, Input, input},
    typed::Beside,
};
use crate::{
    shape::{Field, KINDS},
    tables,
    units::{Locale, System, length, show_length},
};

/// The fields of shape and sizes, in the order of the form.
pub fn inputs() -> Vec<Input> {
    let first = [input("shape", "Shape"), input("across", "Size across").of(Beside::SIZE)];
    let more = more_sizes().into_iter();
    let more = more.map(|field| input(field.name, field.words).of(Beside::SIZE));
    let last = [
        input("depth", "Depth").of(Beside::SIZE),
        input("volume", "How much water").of(Beside::WATER),
    ];
    first.into_iter().chain(more).chain(last).collect()
}

/// The label of the field of shape, by the options of the command line.
pub fn labels() -> impl Iterator<Item = (&'static str, &'static str)> {
    let kinds = KINDS.iter().map(|kind| (kind.name, "Shape"));
    kinds.chain([("mould", "Shape"), ("depth", "Depth"), ("volume", "How much water")])
}

/// What the template asks a shape with.
pub fn values(form: &Form, units: System) -> Value {
    let locale = Locale::of(units, None);
    let moulds = tables::moulds().iter().map(|it| (it.name(), locale.spelled(it.name())));
    let own = own_shapes().into_iter().map(|own| (own.name, own.words, own.sizes.join(" ")));
    let more = more_sizes().into_iter().map(|field| (field.name, field.words));
    context! {
        moulds => moulds.collect::<Vec<_>>(),
        own_shapes => own.collect::<Vec<_>>(),
        more_sizes => more.collect::<Vec<_>>(),
        usual => usual_size(form, units),
    }
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
fn own_shapes() -> Vec<OwnShape> {
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
fn more_sizes() -> Vec<Field> {
    let mut sizes: Vec<Field> = Vec::new();
    for field in KINDS.iter().flat_map(|kind| kind.fields) {
        let asked = sizes.iter().any(|size| size.name == field.name);
        if !asked && !["across", "depth"].contains(&field.name) {
            sizes.push(*field);
        }
    }
    sizes
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
fn usual_size(form: &Form, units: System) -> Option<[String; 2]> {
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

/// The arguments of shape and sizes; none when a size is missing or wrong, which the form
/// then says.
pub fn arguments(form: &mut Form) -> Option<Vec<String>> {
    let Some(own) = own_shape(form) else {
        let mut arguments = vec![format!("--mould={}", mould(form))];
        for (field, option) in [("across", "size"), ("depth", "depth")] {
            arguments.extend(form.measured(field).map(|size| format!("--{option}={size}")));
        }
        return Some(arguments);
    };
    Some(vec![sizes(form, &own)?])
}

/// `--box=10 cm x 8 cm x 4 cm`. Each size is read by itself first, so that a
/// fault stands beside its field.
fn sizes(form: &mut Form, own: &OwnShape) -> Option<String> {
    for &name in &own.sizes {
        let fault = match form.measured(name) {
            None => {
                Some(format!("empty, and needed for {}; for example “80 mm” or “3 in”", own.words))
            }
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
