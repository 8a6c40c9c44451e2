//! What is done in a step and what it takes, in words.

use super::{
    fact::drying,
    names::{freezer, named, oven, pieces},
};
use crate::{
    planfile::Plan,
    prep::{
        draft::Task,
        what::{Load, Moulds, Numbered, Part, Thing, What},
    },
    report::phrase::capital,
    tables::Step,
    units::{show_temperature, show_thickness},
};

/// What is done in a step, or goes on in it by itself, one line.
pub fn what(plan: &Plan, task: &Task) -> String {
    let blocks = |count: u32| pieces(count, "block");
    let on = |load: Load| pieces(load.pieces, "piece");
    match task.what {
        What::Wash(of) => format!("Wash {}", washed(plan, of)),
        What::Fill(of, round) => format!("Fill {}{}", moulds(plan, of), numbered(round)),
        What::Freeze(of, round, _) => {
            let verb = if of.count == 1 { "freezes" } else { "freeze" };
            format!("{} {verb}{}", moulds(plan, of), numbered(round))
        }
        What::TurnOut(count, round) => {
            format!("Turn out and bag {}{}", blocks(count), numbered(round))
        }
        What::Pack(count) => format!("Pack {} into the cool box", blocks(count)),
        What::Carry(count) => format!("Carry {} to class", blocks(count)),
        What::SetOut(count) => format!("Set {} out on trays", blocks(count)),
        What::Temper => "The blocks temper on their trays".to_owned(),
        What::Use(ice) => plan.ice[ice].name.clone(),
        What::Drain => "Drain, dry the floor, rinse the trays".to_owned(),
        What::AskForPhotos => "Ask parents for a photo of each child".to_owned(),
        What::GatherPhotos(count) => format!("Gather {}", pieces(count, "photo")),
        What::Mix => "Weigh and mix the dough".to_owned(),
        What::Roll(to, count, part) => {
            format!("Roll to {} and cut {}", show_thickness(to, plan.units), portion(count, part))
        }
        What::Photo(count, part) => format!("Glue the photo into {}", portion(count, part)),
        What::Seal(count, part) => format!("Seal every face of {}", portion(count, part)),
        What::SealAgain(count, part) => {
            format!("Seal again every face of {}", portion(count, part))
        }
        What::Wrap(count, part) => format!("Wrap {}", portion(count, part)),
        What::PutIn(load) => {
            format!("Put {} on a rack into the oven{}{}", on(load), of_load(load), others(load))
        }
        What::Bake(load, (_, at)) => {
            let at = show_temperature(at, plan.units);
            format!("Bake {} on a rack at {at}{}", on(load), of_load(load))
        }
        What::TakeOut(load) => {
            format!("Take {} out of the oven onto a rack{}", on(load), of_load(load))
        }
        What::Cool => "Baked pieces cool on a rack, out of reach, and go on drying".to_owned(),
        What::BecomeFirm => "Pieces become firm on a rack in the room".to_owned(),
        What::DryThrough => "Pieces dry through in the room".to_owned(),
        What::Paint(group, count) => {
            format!("{} paint {}", plan.groups[group].name, pieces(count, "piece"))
        }
        What::CoatDries(coat) => capital(drying(coat)),
        What::Give(count) => format!("Give {} to the parents", pieces(count, "piece")),
    }
}

fn moulds(plan: &Plan, Moulds { mould, count }: Moulds) -> String {
    let mould = &plan.moulds[mould];
    match mould.cups {
        1 => pieces(count, &named(&mould.name, "mould")),
        _ => format!("{} of the {}", pieces(count, "cup"), named(&mould.name, "tin")),
    }
}

/// What is washed: a tin as one.
fn washed(plan: &Plan, of: Moulds) -> String {
    let mould = &plan.moulds[of.mould];
    match mould.cups {
        1 => moulds(plan, of),
        _ => pieces(mould.tins(of.count), &named(&mould.name, "tin")),
    }
}

fn numbered(Numbered { own, all, rest }: Numbered) -> String {
    let of = if all == 1 { String::new() } else { format!(" (round {own} of {all})") };
    if rest { of + ", what was still wet" } else { of }
}

/// Pieces, and which part of all they are.
fn portion(count: u32, Part { number, of }: Part) -> String {
    let part = if of == 1 { String::new() } else { format!(" (part {} of {of})", number + 1) };
    pieces(count, "piece") + &part
}

fn of_load(Load { load, stretch, .. }: Load) -> String {
    let named = |name: &str, Part { number, of }: Part| match of {
        1 => String::new(),
        _ => format!(", {name} {} of {of}", number + 1),
    };
    named("load", load) + &named("part", stretch)
}

/// Where the pieces of later loads are meanwhile.
fn others(Load { load, stretch, .. }: Load) -> &'static str {
    match (load.number, load.of, stretch.number) {
        (0, 2.., 0) => "; the others wait on a rack in the room",
        _ => "",
    }
}

/// What that is called in a reason: `packing the cool box`.
pub fn doing(task: &Task) -> &'static str {
    match task.step {
        _ if task.what == What::AskForPhotos => "asking for the photos",
        Step::Wash => "washing the moulds",
        Step::Fill => "filling the moulds",
        Step::Freeze => "freezing",
        Step::TurnOut => "turning the blocks out",
        Step::Pack => "packing the cool box",
        Step::Carry => "the way to class",
        Step::Temper => "tempering",
        Step::Use => "the session",
        Step::Rinse => "draining",
        Step::Gather => "gathering the photos",
        Step::Mix => "mixing the dough",
        Step::Roll => "rolling and cutting",
        Step::Load => "loading the oven",
        Step::Bake => "baking",
        Step::TakeOut => "taking the pieces out",
        Step::Cool => "cooling",
        Step::AirDry => "drying",
        Step::Paint => "painting",
        Step::Photo => "gluing the photos in",
        Step::Seal => "sealing",
        Step::Wrap => "wrapping",
        Step::Give => "giving",
        Step::Dry => "the drying of the coat",
    }
}

/// What is had at hand, or carried away.
pub fn thing(thing: Thing) -> String {
    let simple = match thing {
        Thing::CoolBox => "cool box with a lid",
        Thing::Towels => "towels",
        Thing::Trays => "trays",
        Thing::FloorTowels => "floor towels",
        Thing::IcePaint => "paint and brushes",
        Thing::NoteForFamilies => "a note for each family with the day the photo is needed",
        Thing::PaintSet => "paint, brushes, trays",
        Thing::Rack => "wire rack on the tray",
        Thing::OvenThermometer => "oven thermometer",
        Thing::OvenGloves => "oven gloves",
        Thing::CoolingRack => "a rack out of reach",
        Thing::Emptied => "cool box, trays and towels",
        Thing::Blocks(count) => {
            return format!("{}, frozen, in the cool box", pieces(count, "block"));
        }
        Thing::Photos(count) => return pieces(count, "photo"),
        Thing::ToPaint(count) => return format!("{}, firm and cool", pieces(count, "piece")),
        Thing::Painted(count) => return format!("{}, lying flat", pieces(count, "painted piece")),
        Thing::Finished(count) => return pieces(count, "finished piece"),
    };
    simple.to_owned()
}

/// The oven or freezer in use meanwhile: `kitchen freezer`.
pub fn uses(plan: &Plan, what: What) -> Option<String> {
    match what {
        What::Freeze(_, _, of) => Some(freezer(plan, of)),
        What::Bake(_, (of, _)) => Some(oven(plan, of)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Load, Part, of_load, others};

    #[test]
    fn loads_and_stretches_are_told_where_there_are_several() {
        let told = |load: [u32; 2], stretch: [u32; 2]| {
            let [load, stretch] = [load, stretch].map(|[number, of]| Part { number, of });
            of_load(Load { pieces: 9, load, stretch })
        };
        assert_eq!(told([0, 1], [0, 1]), "");
        assert_eq!(told([0, 1], [1, 3]), ", part 2 of 3");
        assert_eq!(told([1, 2], [0, 1]), ", load 2 of 2");
        assert_eq!(told([1, 2], [0, 2]), ", load 2 of 2, part 1 of 2");
    }

    #[test]
    fn where_the_other_loads_are_is_told_once() {
        let told = |load: [u32; 2], stretch: [u32; 2]| {
            let [load, stretch] = [load, stretch].map(|[number, of]| Part { number, of });
            !others(Load { pieces: 9, load, stretch }).is_empty()
        };
        assert!(told([0, 2], [0, 1]) && told([0, 3], [0, 2]));
        assert!(!told([0, 1], [0, 1]) && !told([1, 2], [0, 1]) && !told([0, 2], [1, 2]));
    }
}
