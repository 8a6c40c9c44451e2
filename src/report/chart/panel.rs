//! What stands in one panel: spans behind it, its axis of values, its lines with their names.

use super::axis::Values;
use super::draw::Drawing;
use super::label::{Place, Taken, beside};
use super::thin::thinned;
use super::{Dash, Filling, Panel};
use crate::report::clean::one_line;
use crate::report::sheet::palette::{self, FROST, INK, PAPER, RULE};
use crate::report::svg::{Anchor, Type, text_width};

/// How bad a label is on another label or on a strong line, and on the edge of a span.
const OPAQUE: f64 = 4.0;
const FAINT: f64 = 1.0;

impl Drawing<'_> {
    /// The pattern of hatched spans.
    pub(super) fn hatch(&mut self) {
        let (id, line, ground) = (&self.id, palette::hex(RULE), palette::hex(PAPER));
        self.svg.raw(&format!(
            "<pattern id=\"{id}-hatch\" width=\"9\" height=\"9\" \
             patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
             <rect width=\"9\" height=\"9\" fill=\"{ground}\" fill-opacity=\"0.4\"/>\
             <rect width=\"1\" height=\"9\" fill=\"{line}\"/></pattern>"
        ));
    }

    /// A span of time behind a panel.
    pub(super) fn span(&mut self, filling: Filling, [from, to]: [f64; 2], frame: &Place) {
        let (x, end) = (self.x(from), self.x(to));
        let fill = match filling {
            Filling::Plain => palette::hex(FROST),
            Filling::Hatched => format!("url(#{}-hatch)", self.id),
        };
        let look = format!("fill=\"{fill}\" stroke=\"{}\"", palette::hex(RULE));
        self.svg.rect([x, frame.y], [(end - x).max(1.5), frame.height], &look);
    }

    /// Axis of values, its lines, its levels.
    pub(super) fn panel(&mut self, panel: &Panel, frame: &Place) {
        let axis = axis(panel, self.layout.steps);
        let size = self.layout.size;
        for tick in &axis.ticks {
            let y = y(&axis, frame, tick.at);
            self.rule([frame.x, y], [frame.x + frame.width, y], RULE, 0.5, "1 4");
            let at = [frame.x - 6.0, y + 0.35 * size];
            self.svg.text(at, &tick.label, self.look(Anchor::End));
        }
        for level in &panel.levels {
            let y = y(&axis, frame, level.value);
            self.rule([frame.x, y], [frame.x + frame.width, y], INK, 1.0, "");
        }
        let floor = frame.y + frame.height;
        self.rule([frame.x, frame.y], [frame.x, floor], RULE, 1.0, "");
        self.rule([frame.x, floor], [frame.x + frame.width, floor], RULE, 1.0, "");
    }

    /// The lines of a panel with their names, and the names of its levels.
    pub(super) fn lines(&mut self, panel: &Panel, frame: &Place) {
        let axis = axis(panel, self.layout.steps);
        let at = |point: &[f64; 2]| [self.x(point[0]), y(&axis, frame, point[1])];
        let mut drawn: Vec<Vec<[f64; 2]>> = panel
            .lines
            .iter()
            .map(|line| {
                let finite = line.points.iter().filter(|p| p.iter().all(|v| v.is_finite()));
                thinned(&finite.map(at).collect::<Vec<_>>())
            })
            .collect();
        let above = [4.0, frame.y - 0.7 * self.layout.size];
        self.svg.text(above, &panel.values, self.look(Anchor::Start));
        for (line, points) in panel.lines.iter().zip(&drawn) {
            self.line(points, line.dash, palette::hex(line.colour));
        }
        let ends = frame.x + frame.width;
        drawn.extend(panel.levels.iter().map(|level| {
            let y = y(&axis, frame, level.value);
            vec![[frame.x, y], [ends, y]]
        }));
        let names = panel.lines.iter().map(|line| (&line.name, line.colour));
        let names = names.chain(panel.levels.iter().map(|level| (&level.name, INK)));
        let mut taken = self.upright(frame);
        for (n, (name, colour)) in names.enumerate().filter(|(_, (name, _))| !name.is_empty()) {
            let size = [text_width(&one_line(name), self.layout.size), self.layout.size];
            let place = beside(n, &drawn, size, &taken, frame);
            taken.push((place, OPAQUE));
            let look = Type { colour, bold: true, ..self.look(Anchor::Middle) };
            let at = [place.x + 0.5 * place.width, place.y + 0.85 * place.height];
            self.svg.text(at, name, look);
        }
    }

    /// The upright lines across a panel: its moments, and the faint edges of its spans.
    fn upright(&self, frame: &Place) -> Vec<Taken> {
        let line = |at| Place { x: self.x(at) - 1.0, y: frame.y, width: 2.0, height: frame.height };
        let moments = self.named().map(|(at, _)| (line(at), OPAQUE));
        let edges = self.spans().iter().flat_map(|span| [span.from, span.to]);
        moments.chain(edges.map(|at| (line(at), FAINT))).collect()
    }

    fn line(&mut self, points: &[[f64; 2]], dash: Dash, colour: String) {
        let dash = match dash {
            Dash::Solid => "",
            Dash::Long => " stroke-dasharray=\"9 5\"",
            Dash::Dots => " stroke-dasharray=\"2.5 4\"",
        };
        let look = format!(
            "fill=\"none\" stroke=\"{colour}\" stroke-width=\"2.5\" stroke-linejoin=\"round\"{dash}"
        );
        self.svg.points("polyline", points, &look);
    }
}

fn axis(panel: &Panel, steps: usize) -> Values {
    let lines = panel.lines.iter().flat_map(|line| line.points.iter().map(|point| point[1]));
    Values::covering(lines.chain(panel.levels.iter().map(|level| level.value)), steps)
}

fn y(axis: &Values, frame: &Place, value: f64) -> f64 {
    frame.y + frame.height * (axis.high - value) / (axis.high - axis.low)
}
