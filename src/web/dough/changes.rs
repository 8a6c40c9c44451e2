//! What a remedy changes in the form: the question builder, backwards.

use crate::{
    answers::dough::{DoughQuestion, Method},
    drying::solver::Faces,
    units::System,
    web::{
        fields::Fields,
        typed::{degrees, size},
    },
};

/// The fields that turn the form of one question into that of another, each with
/// its new value; none where the form has no field for the change.
pub fn fields(now: &DoughQuestion, then: &DoughQuestion, units: System) -> Option<Fields> {
    let mut fields = Fields::default();
    let mut set = |name: &str, value: &str| fields = fields.set(name, value);
    if then.thickness != now.thickness {
        set("thickness", &size(then.thickness, units));
    }
    if let Some(faces) = then.faces.filter(|_| then.faces != now.faces) {
        let word = match faces {
            Faces::One => "one",
            Faces::Two => "two",
            Faces::Turn => "turn",
        };
        set("faces", word);
    }
    if let (Method::Oven(at, _), true) = (&then.method, then.method != now.method) {
        set("oven", &degrees(*at, units));
    }
    (!fields.is_empty()).then_some(fields)
}
