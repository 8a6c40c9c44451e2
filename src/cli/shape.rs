//! The block that was typed: a volume, a shape with sizes, or a named mould.

use super::{
    args::{FillArgs, ShapeArgs},
    failure::Failure,
};
use crate::{
    ask::ice::Block,
    tables::{self, Form, Mould},
    units::in_litres,
};

/// The block, and the mould it is named after.
///
/// # Errors
/// An input failure for a name no table knows, or sizes that cannot be.
pub fn block(
    shape: &ShapeArgs,
    filled: &FillArgs,
) -> Result<(Block, Option<&'static Mould>), Failure> {
    if let Some(volume) = shape.volume {
        if !(1e-4..=100.0).contains(&in_litres(volume)) {
            return Err(Failure::input(
                "--volume is between 0.1 mL and 100 L; for example “310 mL”",
            ));
        }
        return Ok((Block::Volume(volume), None));
    }
    if let Some(name) = &shape.mould {
        let mould = tables::mould(name).map_err(|error| Failure::input(error.to_string()))?;
        let form = mould
            .form()
            .resized(filled.size, filled.depth)
            .map_err(|error| Failure::input(error.to_string()))?;
        return Ok((Block::Form(form), Some(mould)));
    }
    form(shape)
        .map(|form| (Block::Form(form), None))
        .ok_or_else(|| Failure::input("no shape is given; for example --round '80x50 mm'"))
}

fn form(shape: &ShapeArgs) -> Option<Form> {
    if let Some([length, width, depth]) = shape.cuboid.as_ref().map(|sizes| sizes.0) {
        return Some(Form::Box { length, width, depth });
    }
    if let Some([across, depth]) = shape.round.as_ref().map(|sizes| sizes.0) {
        return Some(Form::Round { across, depth });
    }
    if let Some([across, base, depth]) = shape.cup.as_ref().map(|sizes| sizes.0) {
        return Some(Form::Cup { across, base, depth });
    }
    if let Some([across]) = shape.ball.as_ref().map(|sizes| sizes.0) {
        return Some(Form::Ball { across });
    }
    if let Some([across]) = shape.half_ball.as_ref().map(|sizes| sizes.0) {
        return Some(Form::HalfBall { across });
    }
    let [across, inner, depth] = shape.ring.as_ref().map(|sizes| sizes.0)?;
    Some(Form::Ring { across, inner, depth })
}
