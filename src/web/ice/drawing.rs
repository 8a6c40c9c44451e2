//! The shape from above and from the side, to scale, with its sizes and the water in it.

use std::fmt::Write;

use crate::{
    answers::ice::{Block, IceQuestion},
    tables::Form,
    units::{Length, System, in_millimetres, show_length},
};

/// Width and height of the drawing, and the room for words around the shapes.
const WIDTH: f64 = 400.0;
const WORDS: f64 = 46.0;
/// The largest a shape is drawn, from above and in height.
const LARGEST: f64 = 150.0;

/// What a mould is usually filled to, as a share of its depth (as the answer takes it).
const USUAL_FILL: f64 = 0.9;

/// The drawing of a question's block; none where only its volume is known.
pub fn of(question: &IceQuestion, units: System) -> Option<String> {
    let Block::Form(form) = &question.block else { return None };
    let (across, depth) = (in_millimetres(form.across()), in_millimetres(form.depth()));
    let fill = question.fill.map_or(USUAL_FILL * depth, in_millimetres).min(depth);
    let (wide, high) = plan_size(form);
    let scale = (LARGEST / wide.max(high)).min(LARGEST / across).min(LARGEST / depth);
    let tall = scale * high.max(depth);
    let mut picture = Picture { body: String::new(), scale };
    picture.seen_from_above(form, [WIDTH * 0.25, WORDS * 0.5 + 0.5 * tall]);
    let base = WORDS * 0.5 + 0.5 * (tall + scale * depth);
    picture.seen_from_the_side(form, fill, [WIDTH * 0.72, base]);
    let below = WORDS * 0.5 + tall + 20.0;
    picture.words([WIDTH * 0.25, below], &above_words(form, units));
    let side = format!("{} deep", show_length(form.depth(), units));
    picture.words([WIDTH * 0.72, below], &side);
    let height = below + 14.0;
    let described = format!(
        "From above {}; from the side {side}, filled to {}.",
        above_words(form, units),
        show_length(question.fill.unwrap_or(USUAL_FILL * form.depth()), units)
    );
    Some(format!(
        "<svg class=\"shape\" viewBox=\"0 0 {WIDTH} {height:.1}\" role=\"img\" \
         aria-labelledby=\"shape-title shape-desc\">\n<title id=\"shape-title\">The shape, to scale</title>\n\
         <desc id=\"shape-desc\">{described}</desc>\n{}</svg>\n",
        picture.body
    ))
}

/// Width and height of the shape from above, mm.
fn plan_size(form: &Form) -> (f64, f64) {
    match form {
        Form::Outline { points, across, .. } => {
            let extent = |axis: usize| {
                let along = points.iter().map(|point| point[axis]);
                along.clone().fold(0.0, f64::max) - along.fold(1.0, f64::min)
            };
            let scale = in_millimetres(*across) / extent(0).max(extent(1)).max(1e-9);
            (scale * extent(0), scale * extent(1))
        }
        Form::Box { length, width, .. } => (in_millimetres(*length), in_millimetres(*width)),
        _ => (in_millimetres(form.across()), in_millimetres(form.across())),
    }
}

fn above_words(form: &Form, units: System) -> String {
    let show = |length: Length| show_length(length, units);
    match *form {
        Form::Box { length, width, .. } => format!("{} × {}", show(length), show(width)),
        Form::Cup { across, base, .. } => format!("{} top, {} base", show(across), show(base)),
        Form::Ring { across, inner, .. } => {
            format!("{} across, hole {}", show(across), show(inner))
        }
        _ => format!("{} across", show(form.across())),
    }
}

/// A drawing under way; sizes come in mm.
struct Picture {
    body: String,
    scale: f64,
}

impl Picture {
    fn put(&mut self, element: std::fmt::Arguments<'_>) {
        let written = self.body.write_fmt(element);
        debug_assert!(written.is_ok(), "writing to a String");
    }

    fn circle(&mut self, class: &str, [x, y]: [f64; 2], across: f64) {
        let r = 0.5 * across * self.scale;
        self.put(format_args!(
            "<circle class=\"{class}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\"/>\n"
        ));
    }

    fn polygon(&mut self, class: &str, points: &[[f64; 2]]) {
        let points: Vec<String> = points.iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect();
        self.put(format_args!("<polygon class=\"{class}\" points=\"{}\"/>\n", points.join(" ")));
    }

    fn words(&mut self, [x, y]: [f64; 2], words: &str) {
        self.put(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\">{words}</text>\n"
        ));
    }

    fn seen_from_above(&mut self, form: &Form, middle: [f64; 2]) {
        let (wide, high) = plan_size(form);
        let scale = self.scale;
        let at = |x: f64, y: f64| [middle[0] + scale * x, middle[1] - scale * y];
        match form {
            Form::Outline { points, .. } => {
                let low = |axis: usize| points.iter().map(|p| p[axis]).fold(1.0, f64::min);
                let side = in_millimetres(form.across());
                let place = |p: &[f64; 2]| {
                    at(side * (p[0] - low(0)) - 0.5 * wide, side * (p[1] - low(1)) - 0.5 * high)
                };
                let points: Vec<[f64; 2]> = points.iter().map(place).collect();
                self.polygon("water", &points);
            }
            Form::Box { .. } => {
                let (x, y) = (0.5 * wide, 0.5 * high);
                let corners = [at(-x, -y), at(x, -y), at(x, y), at(-x, y)];
                self.polygon("water", &corners);
            }
            Form::Cup { base, .. } => {
                self.circle("water", middle, wide);
                self.circle("hidden-edge", middle, in_millimetres(*base));
            }
            Form::Ring { inner, .. } => {
                self.circle("water", middle, wide);
                self.circle("hole", middle, in_millimetres(*inner));
            }
            Form::Round { .. } | Form::Ball { .. } | Form::HalfBall { .. } => {
                self.circle("water", middle, wide);
            }
        }
    }

    /// `foot` is the middle of the base.
    fn seen_from_the_side(&mut self, form: &Form, fill: f64, foot: [f64; 2]) {
        let depth = in_millimetres(form.depth());
        let width_at = |z: f64| width_at(form, z);
        let scale = self.scale;
        let at = |x: f64, z: f64| [foot[0] + scale * x, foot[1] - scale * z];
        let outline = |top: f64| {
            const STEPS: usize = 24;
            let height = |n: usize| top * n as f64 / STEPS as f64;
            let right = (0..=STEPS).map(|n| at(0.5 * width_at(height(n)), height(n)));
            let left = (0..=STEPS).rev().map(|n| at(-0.5 * width_at(height(n)), height(n)));
            right.chain(left).collect::<Vec<_>>()
        };
        let (water, mould) = (outline(fill), outline(depth));
        self.polygon("water", &water);
        self.polygon("mould", &mould);
        if let Form::Ring { inner, .. } = form {
            let half = 0.5 * in_millimetres(*inner);
            let hole = [at(-half, 0.0), at(half, 0.0), at(half, depth), at(-half, depth)];
            self.polygon("hidden-edge", &hole);
        }
    }
}

/// Width at a height above the base, mm.
fn width_at(form: &Form, z: f64) -> f64 {
    let across = in_millimetres(form.across());
    let chord = |radius: f64| 2.0 * (z * (2.0 * radius - z)).max(0.0).sqrt();
    match form {
        Form::Cup { base, depth, .. } => {
            let base = in_millimetres(*base);
            base + (across - base) * z / in_millimetres(*depth)
        }
        Form::Ball { .. } | Form::HalfBall { .. } => chord(0.5 * across),
        Form::Outline { .. } => plan_size(form).0,
        _ => across,
    }
}

#[cfg(test)]
mod tests {
    use roxmltree::Document;

    use super::*;
    use crate::{tables, units::millimetres};

    fn drawn(form: Form, fill: Option<Length>) -> String {
        let question = IceQuestion::of(Block::Form(form)).unwrap();
        of(&IceQuestion { fill, ..question }, System::Metric).unwrap()
    }

    /// Every coordinate of the drawing, as (x, y).
    fn points(svg: &Document) -> Vec<[f64; 2]> {
        let number = |text: &str| text.parse::<f64>().unwrap();
        let pair = |pair: &str| {
            let (x, y) = pair.split_once(',').unwrap();
            [number(x), number(y)]
        };
        let polygons = svg.descendants().filter_map(|node| node.attribute("points"));
        polygons.flat_map(|points| points.split(' ').map(pair).collect::<Vec<_>>()).collect()
    }

    #[test]
    fn every_mould_is_drawn_inside_its_picture() {
        for mould in tables::moulds() {
            let svg = drawn(mould.form().clone(), None);
            let svg = Document::parse(&svg).unwrap();
            let size = svg.root_element().attribute("viewBox").unwrap();
            let size: Vec<f64> = size.split(' ').map(|n| n.parse().unwrap()).collect();
            for [x, y] in points(&svg) {
                let inside = (0.0..=size[2]).contains(&x) && (0.0..=size[3]).contains(&y);
                assert!(inside, "{}: {x} {y}", mould.name());
            }
        }
    }

    #[test]
    fn the_drawing_follows_the_sizes() {
        let flat = |depth: f64| {
            let form = Form::Round { across: millimetres(100.0), depth: millimetres(depth) };
            let svg = drawn(form, None);
            let svg = Document::parse(&svg).unwrap();
            let heights = points(&svg).into_iter().map(|point| point[1]);
            heights.clone().fold(0.0, f64::max) - heights.fold(1e9, f64::min)
        };
        // 100 mm across is drawn 150 wide: 50 mm deep is 75 high, 20 mm is 30.
        assert!((flat(50.0) - 75.0).abs() < 0.2, "{}", flat(50.0));
        assert!((flat(20.0) - 30.0).abs() < 0.2, "{}", flat(20.0));
    }
}
