//! What a remedy changes in the form: the question builder, backwards.

use crate::{
    answers::ice::IceQuestion,
    units::System,
    web::{
        fields::Fields,
        typed::{degrees, size},
    },
};

/// The fields that turn the form of one question into that of another, each with
/// its new value; none where the form has no field for the change.
pub fn fields(now: &IceQuestion, then: &IceQuestion, units: System) -> Option<Fields> {
    let mut fields = Fields::default();
    let mut set = |name: &str, value: String| fields = fields.set(name, &value);
    if let Some(start) = then.start.filter(|_| then.start != now.start) {
        set("start", degrees(start, units));
    }
    if let Some(air) = then.air.filter(|_| then.air != now.air) {
        set("air", degrees(air, units));
    }
    if let Some(fill) = then.fill.filter(|_| then.fill != now.fill) {
        set("fill", size(fill, units));
    }
    if then.count != now.count {
        set("count", then.count.to_string());
    }
    if then.covered != now.covered {
        set("covered", if then.covered { "yes".to_owned() } else { String::new() });
    }
    if then.wall.name() != now.wall.name() {
        set("wall", then.wall.name().to_owned());
        set("thickness", then.thickness.map(|it| size(it, units)).unwrap_or_default());
    }
    if let Some(stand) = then.stand.filter(|_| then.stand != now.stand) {
        set("stand", stand.name().to_owned());
    }
    (!fields.is_empty()).then_some(fields)
}
