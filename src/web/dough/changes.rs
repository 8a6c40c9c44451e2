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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        planfile,
        prep::{
            durations::{Drying, Heat},
            physics::question_of,
        },
        units::{celsius, millimetres},
    };

    #[test]
    fn only_what_changes_is_filled_in() {
        let plan = planfile::read(include_str!("../../../demo/forest-fortnight.toml")).unwrap();
        let ornament = &plan.ornaments[0];
        let kind = plan.ovens[ornament.method.oven().unwrap().0].kind;
        let own = Drying { ornament, pieces: 4, room: plan.room, heat: Heat::Air };
        let at = |c: f64| Method::Oven(celsius(c), kind);
        let now = DoughQuestion { method: at(95.0), ..question_of(&own) };
        let query = |then: &DoughQuestion| fields(&now, then, System::Metric).map(|it| it.query());
        assert_eq!(query(&now), None);
        let thin = DoughQuestion { thickness: millimetres(4.0), ..now.clone() };
        assert_eq!(query(&thin).unwrap(), "?thickness=4+mm");
        let warm = DoughQuestion { method: at(110.0), ..now.clone() };
        assert_eq!(query(&warm).unwrap(), "?oven=110+C");
    }
}
