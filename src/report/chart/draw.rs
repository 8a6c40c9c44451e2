//! Draws a chart into a view box that can be read on a phone.

use super::label::{Place, in_rows};
use super::{Chart, Filling, SIGNATURE, Span};
use crate::report::clean::one_line;
use crate::report::sheet::palette::{self, CLAY, INK, PAPER, QUIET, RULE};
use crate::report::svg::{Anchor, Svg, Type, text_width, wrapped};

/// Sizes of a chart in units of its view box, of which a phone shows about 400
/// and a sheet's column as many as there are CSS pixels.
pub(super) struct Layout {
    width: f64,
    /// Left of the panels, for the names of values.
    left: f64,
    /// Right of the panels.
    right: f64,
    /// Height of the first panel and of each other.
    panel: [f64; 2],
    /// Size of type.
    pub(super) size: f64,
    /// Whether title and finding stand in the picture.
    headed: bool,
    /// Steps of the axis of values at most.
    pub(super) steps: usize,
}

/// By itself in a file.
const FILE: Layout = Layout {
    width: 420.0,
    left: 42.0,
    right: 16.0,
    panel: [190.0, 110.0],
    size: 14.0,
    headed: true,
    steps: 5,
};

/// On a page whose own text says title and finding.
const ANSWER: Layout = Layout { headed: false, ..FILE };

/// Small beside its step on a page.
const PAGE: Layout = Layout {
    width: 300.0,
    left: 36.0,
    right: 8.0,
    panel: [74.0, 60.0],
    size: 12.5,
    headed: false,
    steps: 2,
};

/// A chart as a file of its own.
pub fn write(chart: &Chart) -> String {
    format!("{SIGNATURE}\n{}", Drawing::of(chart, &FILE).finish())
}

/// A chart as the picture of an answer on an HTML page.
pub fn in_answer(chart: &Chart) -> String {
    Drawing::of(chart, &ANSWER).finish()
}

/// A small chart as a part of an HTML page.
pub fn in_page(chart: &Chart) -> String {
    Drawing::of(chart, &PAGE).finish()
}

pub(super) struct Drawing<'a> {
    chart: &'a Chart,
    pub(super) layout: &'a Layout,
    pub(super) id: String,
    pub(super) svg: Svg,
    /// Where the panels begin.
    top: f64,
    /// Where the last one ends.
    bottom: f64,
    height: f64,
    /// Text lines above the panels.
    head: Vec<(String, bool)>,
    /// Left edge and row of each mark's name, then of each span's.
    names: Vec<(f64, usize)>,
}

impl<'a> Drawing<'a> {
    fn of(chart: &'a Chart, layout: &'a Layout) -> Self {
        let id: String =
            chart.id.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        let mut drawing = Self {
            chart,
            layout,
            id,
            svg: Svg::default(),
            top: 0.0,
            bottom: 0.0,
            height: 0.0,
            head: head(chart, layout),
            names: Vec::new(),
        };
        drawing.measure();
        drawing.draw();
        drawing
    }

    fn finish(self) -> String {
        let (size, words) =
            ([self.layout.width, self.height], [&*self.chart.title, &*self.chart.finding]);
        let look = (!self.layout.headed, "font-family=\"sans-serif\"");
        self.svg.finish(&self.id, size, words, look)
    }

    /// Places the rows of names above the panels, and from them the rest.
    fn measure(&mut self) {
        let layout = self.layout;
        let wanted: Vec<(f64, f64)> = self
            .named()
            .map(|(at, name)| (self.x(at), text_width(&one_line(name), layout.size)))
            .collect();
        self.names = in_rows(&wanted, [2.0, layout.width - 2.0], 0.7 * layout.size);
        let rows = self.names.iter().map(|(_, row)| row + 1).max().unwrap_or(0);
        let head: f64 = self.head.iter().map(|(_, bold)| self.line_height(*bold)).sum();
        let unit = 1.7 * layout.size;
        let margin = if layout.headed { 0.8 * layout.size } else { 0.2 * layout.size };
        self.top = head + margin + 1.25 * layout.size * rows as f64 + unit;
        let panels = self.chart.panels.len();
        let rest = panels.saturating_sub(1) as f64;
        self.bottom = self.top + layout.panel[0] + rest * (layout.panel[1] + self.between());
        let days = !self.chart.time.days.is_empty() || !self.chart.time.unit.is_empty();
        let rows = if days { 2.6 } else { 1.5 };
        self.height = self.bottom + rows * layout.size + 0.5 * margin;
    }

    fn line_height(&self, bold: bool) -> f64 {
        self.layout.size * if bold { 1.5 } else { 1.3 }
    }

    fn between(&self) -> f64 {
        2.2 * self.layout.size
    }

    /// Marks, then spans: where, and their names.
    pub(super) fn named(&self) -> impl Iterator<Item = (f64, &'a str)> + use<'a> {
        let chart = self.chart;
        let marks = chart.marks.iter().map(|mark| (mark.at, mark.name.as_str()));
        marks.chain(chart.spans.iter().map(|span| (span.middle, span.name.as_str())))
    }

    pub(super) fn spans(&self) -> &'a [Span] {
        &self.chart.spans
    }

    pub(super) fn x(&self, hours: f64) -> f64 {
        let width = self.layout.width - self.layout.left - self.layout.right;
        self.layout.left + width * (hours / self.chart.time.end).clamp(0.0, 1.0)
    }

    pub(super) fn look(&self, anchor: Anchor) -> Type {
        Type { size: self.layout.size, colour: QUIET, bold: false, anchor }
    }

    fn draw(&mut self) {
        if self.layout.headed {
            self.svg.ground([self.layout.width, self.height], PAPER);
        }
        self.headings();
        let frames = self.frames();
        if self.chart.spans.iter().any(|span| span.filling == Filling::Hatched) {
            self.hatch();
        }
        for span in &self.chart.spans {
            for frame in &frames {
                self.span(span.filling, [span.from, span.to], frame);
            }
        }
        let chart = self.chart;
        for (panel, frame) in chart.panels.iter().zip(&frames) {
            self.panel(panel, frame);
        }
        self.moments(&frames);
        self.hours();
        for (panel, frame) in chart.panels.iter().zip(&frames) {
            self.lines(panel, frame);
        }
        self.names_above();
    }

    fn headings(&mut self) {
        let mut y = 0.4 * self.layout.size;
        for (words, bold) in std::mem::take(&mut self.head) {
            y += self.line_height(bold);
            let look = Type { colour: INK, bold, ..self.look(Anchor::Start) };
            self.svg.text([8.0, y], &words, look);
        }
    }

    fn frames(&self) -> Vec<Place> {
        let layout = self.layout;
        let mut y = self.top;
        let frame = |n: usize| {
            let height = layout.panel[usize::from(n > 0)];
            let width = layout.width - layout.left - layout.right;
            let frame = Place { x: layout.left, y, width, height };
            y += height + self.between();
            frame
        };
        (0..self.chart.panels.len()).map(frame).collect()
    }

    /// Marks, and the likeliest moments of spans; none is drawn across words.
    fn moments(&mut self, frames: &[Place]) {
        let marks = self.chart.marks.len();
        let words = self.words_above(frames);
        let moments: Vec<f64> = self.named().map(|(at, _)| at).collect();
        for (n, (at, (_, row))) in moments.into_iter().zip(self.names.clone()).enumerate() {
            let x = self.x(at);
            let (colour, width, dash) =
                if n < marks { (CLAY, 2.0, "") } else { (QUIET, 1.5, "5 3") };
            let top = self.row(row) + 0.25 * self.layout.size;
            let mut from = top;
            for place in words.iter().filter(|place| place.y > top && place.spans(x)) {
                self.rule([x, from], [x, place.y], colour, width, dash);
                from = place.y + place.height;
            }
            self.rule([x, from], [x, self.bottom], colour, width, dash);
        }
    }

    /// Where words stand that a line from above may meet, from the highest down.
    fn words_above(&self, frames: &[Place]) -> Vec<Place> {
        let size = self.layout.size;
        let words = |x: f64, base: f64, words: &str| Place {
            x,
            y: base - 0.9 * size,
            width: text_width(&one_line(words), size),
            height: 1.2 * size,
        };
        let names = self.named().zip(&self.names);
        let names = names.map(|((_, name), (x, row))| words(*x, self.row(*row), name));
        let panels = self.chart.panels.iter().zip(frames);
        let heads = panels.map(|(panel, frame)| words(4.0, frame.y - 0.7 * size, &panel.values));
        let mut all: Vec<Place> = names.chain(heads).collect();
        all.sort_by(|a, b| a.y.total_cmp(&b.y));
        all
    }

    fn names_above(&mut self) {
        let marks = self.chart.marks.len();
        let names: Vec<&str> = self.named().map(|(_, name)| name).collect();
        for (n, (name, (x, row))) in names.into_iter().zip(self.names.clone()).enumerate() {
            let colour = if n < marks { CLAY } else { INK };
            let width = text_width(&one_line(name), self.layout.size);
            let look = Type { colour, bold: true, ..self.look(Anchor::Middle) };
            self.svg.text([x + 0.5 * width, self.row(row)], name, look);
        }
    }

    /// Base line of a row of names above the panels, 0 the lowest.
    fn row(&self, row: usize) -> f64 {
        self.top - self.layout.size * (2.1 + 1.25 * row as f64)
    }

    fn hours(&mut self) {
        let chart = self.chart;
        let size = self.layout.size;
        let y = self.bottom + 1.15 * size;
        for tick in &chart.time.ticks {
            let x = self.x(tick.at);
            self.rule([x, self.bottom], [x, self.bottom + 4.0], RULE, 1.0, "");
            let half = 0.5 * text_width(&tick.label, size);
            let x = x.min(self.layout.width - half - 1.0).max(half + 1.0);
            self.svg.text([x, y], &tick.label, self.look(Anchor::Middle));
        }
        let below = y + 1.15 * size;
        if !chart.time.unit.is_empty() {
            let x = self.layout.width - self.layout.right;
            self.svg.text([x, below], chart.time.unit, self.look(Anchor::End));
        }
        let mut free = f64::INFINITY;
        for day in chart.time.days.iter().rev() {
            let width = text_width(&day.label, size);
            let x = if day.at > 0.0 { self.x(day.at) - 0.5 * width } else { 4.0 };
            let x = x.min(self.layout.width - width - 1.0);
            if x + width + 0.5 * size < free {
                self.svg.text([x, below], &day.label, self.look(Anchor::Start));
                free = x;
            }
        }
    }

    pub(super) fn rule(
        &mut self,
        from: [f64; 2],
        to: [f64; 2],
        colour: palette::Rgb,
        width: f64,
        dash: &str,
    ) {
        let stroke = palette::hex(colour);
        let dash = match dash {
            "" => String::new(),
            dash => format!(" stroke-dasharray=\"{dash}\""),
        };
        let look = format!("stroke=\"{stroke}\" stroke-width=\"{width}\"{dash}");
        self.svg.line(from, to, &look);
    }
}

/// Title in bold, then the finding.
fn head(chart: &Chart, layout: &Layout) -> Vec<(String, bool)> {
    if !layout.headed {
        return Vec::new();
    }
    let lines = |words: &str, bold: bool| {
        wrapped(words, layout.width - 12.0, layout.size).into_iter().map(move |line| (line, bold))
    };
    lines(&chart.title, true).chain(lines(&chart.finding, false)).collect()
}
