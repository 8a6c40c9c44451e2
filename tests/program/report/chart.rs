//! Charts: read by an XML reader that is not ours, inert under hostile text, named for those who do not see them.

use std::collections::HashSet;

use roxmltree::{Document, Node};
use solidby::report::chart::{
    Chart, Dash, Filling, Hours, Level, Line, Mark, Panel, Span, in_page, is_ours, write,
};
use solidby::report::sheet::palette;

use crate::report::random::HOSTILE;

/// Every part a chart can have, with `text` in each of its strings.
fn chart(text: &str) -> Chart {
    let line = |dash, points: Vec<[f64; 2]>| Line {
        name: text.to_owned(),
        points,
        dash,
        colour: palette::INK,
    };
    let level = Level { value: 0.0, name: text.to_owned() };
    let panel = Panel {
        values: text.to_owned(),
        lines: vec![
            line(Dash::Solid, vec![[0.0, 20.0], [3.0, 0.0], [9.0, -5.0]]),
            line(Dash::Long, vec![[0.0, -18.0], [f64::NAN, 3.0], [9.0, f64::INFINITY]]),
            line(Dash::Dots, Vec::new()),
        ],
        levels: vec![level],
    };
    let span = |filling| Span {
        from: 4.0,
        middle: 6.0,
        to: f64::INFINITY,
        name: text.to_owned(),
        filling,
    };
    let start = chrono::DateTime::parse_from_rfc3339("2026-12-06T20:00:00-07:00").unwrap();
    Chart {
        id: text.to_owned(),
        title: text.to_owned(),
        finding: text.to_owned(),
        time: Hours::clock(&start, 12.0, 6, Default::default()),
        panels: vec![panel.clone(), panel],
        spans: vec![span(Filling::Plain), span(Filling::Hatched)],
        marks: vec![Mark { at: 11.0, name: text.to_owned() }],
    }
}

fn drawn(node: Node<'_, '_>) -> Vec<String> {
    const KNOWN: [&str; 10] =
        ["svg", "title", "desc", "rect", "line", "polyline", "text", "pattern", "path", "defs"];
    let elements = node.descendants().filter(Node::is_element);
    elements
        .map(|e| e.tag_name().name().to_owned())
        .filter(|n| !KNOWN.contains(&n.as_str()))
        .collect()
}

fn check(svg: &str, whose: &str) {
    let page = Document::parse(svg).unwrap_or_else(|error| panic!("{whose}: {error}\n{svg}"));
    let root = page.root_element();
    assert_eq!(drawn(root), Vec::<String>::new(), "{whose}");
    assert_eq!(root.attribute("role"), Some("img"), "{whose}");
    let ids: Vec<&str> = page.descendants().filter_map(|node| node.attribute("id")).collect();
    let unique: HashSet<_> = ids.iter().collect();
    assert_eq!(ids.len(), unique.len(), "{whose}: an id is used twice");
    for (part, id) in
        ["title", "desc"].iter().zip(root.attribute("aria-labelledby").unwrap().split(' '))
    {
        let named = page.descendants().find(|node| node.attribute("id") == Some(id));
        assert_eq!(named.unwrap().tag_name().name(), *part, "{whose}");
    }
    for node in page.descendants() {
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            assert!(
                !name.starts_with("on") && name != "href" && name != "style",
                "{whose}: {name}"
            );
            let tenths = value.parse::<f64>().unwrap_or(0.0) * 10.0;
            assert!((tenths - tenths.round()).abs() < 1e-6, "{whose}: {name}={value}");
        }
        assert!(
            !node.text().unwrap_or("").chars().any(|c| (c.is_control() && c != '\n')
                || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')),
            "{whose}"
        );
    }
}

#[test]
fn hostile_text_is_inert() {
    let long = "<b onclick=\"x\">&'ש".repeat(600);
    for text in HOSTILE.into_iter().chain([long.as_str(), "", "plain"]) {
        check(&write(&chart(text)), text);
        check(&in_page(&chart(text)), text);
    }
}

#[test]
fn the_finding_is_the_description() {
    let svg = write(&Chart { finding: "Solid by 06:40.".to_owned(), ..chart("night") });
    let page = Document::parse(&svg).unwrap();
    let text = |tag: &str| {
        page.descendants().find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", tag)))
    };
    assert_eq!(text("desc").and_then(|node| node.text()), Some("Solid by 06:40."));
    assert_eq!(text("title").and_then(|node| node.text()), Some("night"));
}

#[test]
fn lines_differ_without_colour() {
    let svg = write(&chart("line"));
    let page = Document::parse(&svg).unwrap();
    let lines: Vec<_> = page.descendants().filter(|n| n.tag_name().name() == "polyline").collect();
    let dashes: HashSet<_> = lines[..3].iter().map(|n| n.attribute("stroke-dasharray")).collect();
    assert_eq!(dashes.len(), 3);
}

#[test]
fn everything_lies_in_the_view_box() {
    let svg = write(&chart("a name"));
    let page = Document::parse(&svg).unwrap();
    let size: Vec<f64> = page
        .root_element()
        .attribute("viewBox")
        .unwrap()
        .split(' ')
        .map(|n| n.parse().unwrap())
        .collect();
    let number = |node: &Node<'_, '_>, name: &str| -> f64 {
        node.attribute(name).map_or(0.0, |value| value.parse().unwrap())
    };
    for node in page.descendants().filter(|node| {
        node.parent().is_some_and(|p| p.has_tag_name(("http://www.w3.org/2000/svg", "svg")))
    }) {
        let (x, y) = match node.tag_name().name() {
            "line" => (number(&node, "x2"), number(&node, "y2")),
            _ => (
                number(&node, "x") + number(&node, "width"),
                number(&node, "y") + number(&node, "height"),
            ),
        };
        assert!((0.0..=size[2]).contains(&x) && (0.0..=size[3]).contains(&y), "{node:?}");
    }
}

#[test]
fn a_chart_is_known_again() {
    assert!(is_ours(&write(&chart("a"))));
    assert!(!is_ours("<svg xmlns=\"http://www.w3.org/2000/svg\"/>") && !is_ours(""));
}

/// Upright lines stop above words and go on below them.
#[test]
fn no_line_is_drawn_across_words() {
    let span = |middle, name: &str| Span {
        from: middle - 1.0,
        middle,
        to: middle + 1.0,
        name: name.to_owned(),
        filling: Filling::Plain,
    };
    let empty = Panel { values: "water, % of the dry mass".into(), lines: vec![], levels: vec![] };
    let chart = Chart {
        panels: vec![empty.clone(), empty],
        spans: vec![
            span(3.0, "firm 4 h 45 min (2 h 35 min to 9 h 20 min)"),
            span(4.0, "dry 6 h (3 h 15 min to 13 h)"),
        ],
        marks: vec![Mark { at: 2.0, name: "turn".to_owned() }],
        ..chart("a")
    };
    let svg = write(&chart);
    let document = Document::parse(&svg).unwrap();
    let all = |name| document.descendants().filter(move |node| node.has_tag_name(name));
    let number = |node: Node, name| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let upright = all("line").filter(|line| line.attribute("x1") == line.attribute("x2"));
    let mut lines = 0;
    for line in upright {
        let (x, from, to) = (number(line, "x1"), number(line, "y1"), number(line, "y2"));
        lines += 1;
        for text in all("text").filter(|text| text.attribute("text-anchor") != Some("end")) {
            let words = text.text().unwrap();
            let width = 0.58 * 14.0 * words.chars().count() as f64;
            let left = number(text, "x")
                - if text.attribute("text-anchor") == Some("middle") { 0.5 * width } else { 0.0 };
            let (base, inside) = (number(text, "y"), (left..left + width).contains(&x));
            let across = inside && from < base - 1.0 && to > base - 8.0;
            assert!(!across, "a line at {x} from {from} to {to} crosses “{words}” at {base}");
        }
    }
    assert!(lines > 6, "{lines} lines");
}
