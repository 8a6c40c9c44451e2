//! The shape from above and from the side, to scale, with its sizes and the water in it.

use crate::{
    answers::ice::{Block, IceQuestion},
    report::svg::Svg,
    shape::{Body, Section, Shape, USUAL_FILL},
    units::{System, in_metres, in_millimetres, show_length},
};

/// Width and height of the drawing, and the room for words around the shapes.
const WIDTH: f64 = 400.0;
const WORDS: f64 = 46.0;
/// The largest a shape is drawn, from above and in height.
const LARGEST: f64 = 150.0;

/// The drawing of a question's block; none where its shape is not known.
pub fn of(question: &IceQuestion, units: System) -> Option<String> {
    let Block::Shape(shape) = &question.block else { return None };
    let (body, depth) = (Body::of(shape).ok()?, in_millimetres(shape.depth()));
    let filled = question.fill.unwrap_or(USUAL_FILL * shape.depth());
    let [wide, high] = body.extent().map(|metres| 1e3 * metres);
    let scale = (LARGEST / wide.max(high)).min(LARGEST / depth);
    let tall = scale * high.max(depth);
    let mut picture = Picture { svg: Svg::default(), scale };
    picture.seen_from_above(&body, [WIDTH * 0.25, WORDS * 0.5 + 0.5 * tall]);
    let base = WORDS * 0.5 + 0.5 * (tall + scale * depth);
    let fill = in_millimetres(filled).min(depth);
    picture.seen_from_the_side(&body, [fill, depth], [WIDTH * 0.72, base]);
    let below = WORDS * 0.5 + tall + 20.0;
    let (above, side) = (above_words(shape, units), show_length(shape.depth(), units));
    let middle = "text-anchor=\"middle\"";
    picture.svg.words([WIDTH * 0.25, below], &above, middle);
    picture.svg.words([WIDTH * 0.72, below], &format!("{side} deep"), middle);
    let described = format!(
        "From above {above}; from the side {side} deep, filled to {}.",
        show_length(filled, units)
    );
    let (size, words) = ([WIDTH, below + 14.0], ["The shape, to scale", &*described]);
    Some(picture.svg.finish("shape", size, words, (true, "class=\"shape\"")))
}

/// A drawing under way; sizes come in mm.
struct Picture {
    svg: Svg,
    scale: f64,
}

impl Picture {
    fn circle(&mut self, class: &str, middle: [f64; 2], across: f64) {
        let radius = 0.5 * across * self.scale;
        self.svg.circle(middle, radius, &format!("class=\"{class}\""));
    }

    fn polygon(&mut self, class: &str, points: &[[f64; 2]]) {
        self.svg.points("polygon", points, &format!("class=\"{class}\""));
    }

    fn seen_from_above(&mut self, body: &Body, middle: [f64; 2]) {
        let scale = 1e3 * self.scale;
        match &body.section {
            Section::Prism(outline) => {
                let [low, high] = outline.bounds();
                let centre = [0, 1].map(|axis| 0.5 * (low[axis] + high[axis]));
                let at = |p: &[f64; 2]| {
                    [middle[0] + scale * (p[0] - centre[0]), middle[1] - scale * (p[1] - centre[1])]
                };
                let points: Vec<[f64; 2]> = outline.points().iter().map(at).collect();
                self.polygon("water", &points);
            }
            Section::Revolved(profile) => {
                let [base, rim] = [0.0, in_metres(body.depth())].map(|z| profile.radius(z));
                self.circle("water", middle, 2e3 * rim);
                if base > 0.0 && base != rim {
                    self.circle("hidden-edge", middle, 2e3 * base);
                }
                if profile.hole() > 0.0 {
                    self.circle("hole", middle, 2e3 * profile.hole());
                }
            }
            Section::Ball { radius } => self.circle("water", middle, 2e3 * radius),
            Section::Log { radius, length } => {
                let (x, y) = (scale * radius, 0.5 * scale * length);
                let at = |x: f64, y: f64| [middle[0] + x, middle[1] + y];
                self.polygon("water", &[at(-x, -y), at(x, -y), at(x, y), at(-x, y)]);
            }
            // No mould is like these.
            Section::Slab { .. } | Section::LongCylinder { .. } => {}
        }
    }

    /// `foot` is the middle of the base; water and mould reach up to `tops`, mm.
    fn seen_from_the_side(&mut self, body: &Body, tops: [f64; 2], foot: [f64; 2]) {
        const STEPS: usize = 24;
        let scale = self.scale;
        let at = |x: f64, z: f64| [foot[0] + scale * x, foot[1] - scale * z];
        for (class, top) in ["water", "mould"].into_iter().zip(tops) {
            let height = |n: usize| top * n as f64 / STEPS as f64;
            let edge = |n: usize| (500.0 * body.width_at(1e-3 * height(n)), height(n));
            let right = (0..=STEPS).map(edge).map(|(x, z)| at(x, z));
            let left = (0..=STEPS).rev().map(edge).map(|(x, z)| at(-x, z));
            self.polygon(class, &right.chain(left).collect::<Vec<_>>());
        }
        if let Section::Revolved(profile) = &body.section
            && profile.hole() > 0.0
        {
            let (half, depth) = (1e3 * profile.hole(), tops[1]);
            let hole = [at(-half, 0.0), at(half, 0.0), at(half, depth), at(-half, depth)];
            self.polygon("hidden-edge", &hole);
        }
    }
}

/// Its sizes seen from above.
fn above_words(shape: &Shape, units: System) -> String {
    let sizes = shape.sizes().into_iter().filter(|(field, _)| field.name != "depth");
    let words = sizes.map(|(field, size)| match field.name {
        "across" => format!("{} across", show_length(size, units)),
        _ => format!("{} {}", field.words, show_length(size, units)),
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use roxmltree::Document;

    use super::*;
    use crate::{
        tables,
        units::{Length, millimetres},
    };

    fn drawn(shape: Shape, fill: Option<Length>) -> String {
        let question = IceQuestion::of(Block::Shape(shape)).unwrap();
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

    /// Where the words of the drawing stand, likewise.
    fn words(svg: &Document) -> Vec<[f64; 2]> {
        let own = svg.descendants().filter(|node| node.has_tag_name("text"));
        own.map(|node| ["x", "y"].map(|axis| node.attribute(axis).unwrap().parse().unwrap()))
            .collect()
    }

    #[test]
    fn every_mould_is_drawn_inside_its_picture() {
        for mould in tables::moulds() {
            let svg = drawn(mould.shape().clone(), None);
            let svg = Document::parse(&svg).unwrap();
            let size = svg.root_element().attribute("viewBox").unwrap();
            let size: Vec<f64> = size.split(' ').map(|n| n.parse().unwrap()).collect();
            for [x, y] in [points(&svg), words(&svg)].concat() {
                let inside = (0.0..=size[2]).contains(&x) && (0.0..=size[3]).contains(&y);
                assert!(inside, "{}: {x} {y}", mould.name());
            }
        }
    }

    #[test]
    fn the_drawing_follows_the_sizes() {
        let flat = |depth: f64| {
            let shape = Shape::Round { across: millimetres(100.0), depth: millimetres(depth) };
            let svg = drawn(shape, None);
            let svg = Document::parse(&svg).unwrap();
            let heights = points(&svg).into_iter().map(|point| point[1]);
            heights.clone().fold(0.0, f64::max) - heights.fold(1e9, f64::min)
        };
        // 100 mm across is drawn 150 wide: 50 mm deep is 75 high, 20 mm is 30.
        assert!((flat(50.0) - 75.0).abs() < 0.2, "{}", flat(50.0));
        assert!((flat(20.0) - 30.0).abs() < 0.2, "{}", flat(20.0));
    }
}
