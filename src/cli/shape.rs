//! The block that was typed: a volume, a shape with sizes, a named mould, or the
//! file of the user's own pan.

use std::path::Path;

use super::{
    args::{FillArgs, ShapeArgs},
    failure::Failure,
    files,
};
use crate::{
    answers::ice::Block,
    host::Host,
    planfile::read_pan,
    report::faults::{Refusal, Wrong},
    tables::{self, Form, Mould, SizeError},
    units::{Volume, in_litres},
};

/// The block, and what more is known of it.
pub struct Typed {
    /// The block.
    pub block: Block,
    /// The mould it is named after.
    pub mould: Option<&'static Mould>,
    /// Volume of the mould as measured.
    pub measured: Option<Volume>,
}

impl From<Block> for Typed {
    fn from(block: Block) -> Self {
        Self { block, mould: None, measured: None }
    }
}

/// The block as typed.
///
/// # Errors
/// An input failure for a name no table knows, sizes that cannot be, or a wrong file.
pub fn block(shape: &ShapeArgs, filled: &FillArgs, host: &dyn Host) -> Result<Typed, Failure> {
    if let Some(volume) = shape.volume {
        if !(1e-4..=100.0).contains(&in_litres(volume)) {
            let range = "0.1 mL and 100 L";
            return Err(Failure::of("volume", Wrong::Outside { range, example: "310 mL" }));
        }
        return Ok(Block::Volume(volume).into());
    }
    if let Some(name) = &shape.mould {
        let mould =
            tables::mould(name).map_err(|error| Failure::of("mould", Wrong::NoName(error)))?;
        let block = Block::Form(resized(mould.form(), filled)?);
        return Ok(Typed { mould: Some(mould), ..block.into() });
    }
    if let Some(path) = &shape.outline {
        return own_pan(path, filled, host);
    }
    form(shape)
        .map(|form| Block::Form(form).into())
        .ok_or_else(|| Refusal { field: None, wrong: Wrong::NoShape }.into())
}

/// A measured volume is that of the pan in the file, not of one resized.
fn own_pan(path: &Path, filled: &FillArgs, host: &dyn Host) -> Result<Typed, Failure> {
    let pan = files::read_as(host, path, read_pan)?;
    let as_drawn = filled.size.is_none() && filled.depth.is_none();
    let block = Block::Form(resized(&pan.form, filled)?);
    Ok(Typed { measured: pan.measured.filter(|_| as_drawn), ..block.into() })
}

fn resized(form: &Form, filled: &FillArgs) -> Result<Form, Failure> {
    form.resized(filled.size, filled.depth).map_err(|error| {
        let option = if error == SizeError::NoDepth { "depth" } else { "size" };
        Failure::of(option, Wrong::Said(error.to_string()))
    })
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
