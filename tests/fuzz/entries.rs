//! One function a kind of text that the program reads: what must hold for any text.
//! `cargo fuzz` calls them (`tests/fuzz/run`), and so does `tests/program/fuzz_entries.rs`.

use std::sync::Arc;

use chrono::{DateTime, Duration, Utc};
use solidby::{
    cli::{Failure, check_diary},
    explanation::changes::changes,
    freezing::mesh::{Mesh, Resolution},
    host::{Host, Native},
    planfile::{self, Fault, Opening, Plan, read, read_pan},
    prep::schedule::Schedule,
    report::{
        calendar::{self, Component, Options, ReviseError, text},
        clean::clean,
        listing::{Detail, listing},
        sheet,
    },
    shape::{Body, Shape},
    tables,
    units::*,
};

#[path = "../support/mod.rs"]
#[allow(dead_code)]
mod support;

/// A number that any reader accepts again.
const LARGEST: f64 = 1e9;

/// What is read is a number, and comes back when it is printed and read again:
/// exactly as a plain number, and readable as it is shown to people.
pub fn quantity(typed: &str) {
    again(typed, length, in_millimetres, "mm");
    again(typed, volume, in_millilitres, "mL");
    again(typed, mass, in_grams, "g");
    again(typed, temperature, in_celsius, "C");
    again(typed, share, in_percents, "%");
    again(typed, mass_rate, in_kilograms_per_day, "kg/day");
    again(typed, duration, in_minutes, "min");
    for system in [System::Us, System::Metric] {
        shown(length(typed).map(|it| show_length(it, system)), length);
        shown(volume(typed).map(|it| show_volume(it, system)), volume);
        shown(temperature(typed).map(|it| show_temperature(it, system)), temperature);
        let _ = mass(typed).map(|it| show_mass(it, system));
    }
    shown(duration(typed).map(show_duration), duration);
    if let Ok(sizes) = lengths(typed) {
        assert!(sizes.iter().all(|size| in_metres(*size).is_finite()), "{typed:?}");
    }
    if let Ok(open) = typed.parse::<Opening>() {
        assert!(open.from < open.until, "{typed:?}");
    }
}

fn again<Q>(
    typed: &str,
    read: fn(&str) -> Result<Q, QuantityError>,
    number: fn(Q) -> f64,
    unit: &str,
) {
    let Ok(value) = read(typed).map(number) else { return };
    assert!(value.is_finite(), "{typed:?} is {value}");
    if value.abs() <= LARGEST {
        let printed = format!("{value} {unit}");
        let back = read(&printed).map(number).unwrap_or_else(|error| panic!("{typed:?}: {error}"));
        // Two conversions of a double each round by half a unit in the last place;
        // a temperature also passes through kelvins.
        let slack = 1e-12 * (value.abs() + 300.0);
        assert!((back - value).abs() <= slack, "{typed:?}: {value} comes back as {back}");
    }
}

/// What is shown to people can be typed, as long as it is no longer than a kitchen.
fn shown<Q>(words: Result<String, QuantityError>, read: fn(&str) -> Result<Q, QuantityError>) {
    let Ok(words) = words else { return };
    if let Err(error) = read(&words)
        && error.wrong != NoQuantity::OutOfRange
    {
        panic!("{words:?} is shown and cannot be typed: {error}");
    }
}

/// A plan file is refused in words, or is sound: then it is laid out, and all
/// that is written of it can be read again.
pub fn plan(text: &str) {
    match read(text) {
        Err(faults) => told("plan.toml", text, &faults),
        Ok(plan) if is_small(&plan) => lay(&plan),
        Ok(_) => {}
    }
}

/// Whether it can be laid out hundreds of times a second.
fn is_small(plan: &Plan) -> bool {
    let blocks = |ice: &planfile::Ice| ice.sessions.len() * 4;
    let batches = |it: &planfile::Ornament| it.groups.len() * 3;
    let size = plan.ice.iter().map(blocks).sum::<usize>()
        + plan.ornaments.iter().map(batches).sum::<usize>();
    size <= 24 && plan.places.len() <= 6 && plan.groups.iter().all(|group| group.children <= 20)
}

fn lay(plan: &Plan) {
    let sessions = plan.ice.iter().flat_map(|ice| &ice.sessions).map(|session| session.at.to_utc());
    let gifts = plan.ornaments.iter().map(|it| it.give.and_time(chrono::NaiveTime::MIN).and_utc());
    let Some(first) = sessions.chain(gifts).min() else { return };
    let now = first.checked_sub_signed(Duration::days(4)).unwrap_or(first);
    let Ok(schedule) = solidby::report::plan::lay_out(plan, now, &support::Fixed::default()) else {
        return;
    };
    let detail = Detail { width: 80, reasons: true, more: true };
    assert!(!listing(&schedule, None, detail).is_empty());
    assert!(sheet::write(&schedule, false).is_ok_and(|it| sheet::is_ours(&it)));
    written(&schedule);
}

/// A calendar file says the same when it is read back.
fn written(schedule: &Schedule) {
    for options in
        [Component::Event, Component::Task].map(|kind| Options { kind, ..Options::default() })
    {
        let Some(file) = calendar::write(schedule, &options) else { continue };
        let again = calendar::revise(&file, schedule, &options);
        assert_eq!(again.as_ref().map(Option::as_deref), Ok(Some(&*file)));
    }
}

fn told(path: &str, text: &str, faults: &[Fault]) {
    let message = Failure::faults(path, text, faults);
    assert!(message.text().contains("to mend") && message.code() == 2);
    for fault in faults {
        assert!(fault.span.start <= fault.span.end && fault.span.end <= text.len(), "{fault:?}");
        assert!(fault.line(text) >= 1);
    }
}

/// A diary is refused in words or read. A note may name a file to read (`outline`);
/// such texts are left out here.
pub fn diary(text: &str) {
    if text.contains("outline") {
        return;
    }
    let host: Arc<dyn Host> = Arc::new(Native);
    if let Err(failure) = check_diary(&host, text, "2026-12-20T12:00:00Z") {
        assert!(failure.text().starts_with("error: ") && failure.code() == 2);
    }
}

/// The file of a pan is refused in words, or is a form that can be cut into cells.
pub fn outline(text: &str) {
    match read_pan(text) {
        Err(faults) => told("pan.toml", text, &faults),
        Ok(pan) => {
            let body = Body::of(&pan.shape).unwrap();
            let volume = in_millilitres(body.capacity());
            assert!(volume.is_finite() && volume > 0.0, "{volume} mL");
            cut(&body);
        }
    }
    // The same points in a plan file.
    if let Ok(plan) = read(text) {
        assert!(plan.moulds.iter().all(|mould| !matches!(&mould.shape,
            Some(Shape::Outline { points, .. }) if points.len() < 3)));
    }
}

/// The cells make up the volume.
fn cut(body: &Body) {
    let mesh = Mesh::of(body, Resolution::Working, 1.0);
    let (cells, whole) = (mesh.total_volume(), in_cubic_metres(body.volume()));
    assert!((cells / whole - 1.0).abs() < 1e-6, "{} cells hold {cells} of {whole}", mesh.cells());
    assert!(mesh.cells() < 20_000, "{} cells", mesh.cells());
}

/// An earlier calendar is refused, or revised into a file that stays as it is when
/// it is revised again; and any text passes through a calendar unharmed.
pub fn calendar(text: &str) {
    // As long as anything a person writes: it stands in a dozen places.
    let end = text.char_indices().nth(500).map_or(text.len(), |(at, _)| at);
    let schedule = schedule(text.split_at(end).0);
    for options in
        [Component::Event, Component::Task].map(|kind| Options { kind, ..Options::default() })
    {
        let once = calendar::revise(text, &schedule, &options);
        stays(once, |file| calendar::revise(file, &schedule, &options));
    }
    let _ = changes(text, &schedule, &[]);
    written(&schedule);
    assert_eq!(text::unescape(&text::escape(text)), clean(text));
    let line = format!("SUMMARY:{}", text::escape(text));
    let mut file = String::new();
    text::fold_into(&mut file, &line);
    assert!(file.split("\r\n").all(|physical| physical.len() <= 75));
    assert_eq!(text::unfold(&file), [(1, line)]);
}

fn stays(
    once: Result<Option<String>, ReviseError>,
    revise: impl Fn(&str) -> Result<Option<String>, ReviseError>,
) {
    if let Ok(Some(file)) = once {
        let again = revise(&file);
        assert_eq!(again.as_ref().map(Option::as_deref), Ok(Some(&*file)));
    }
}

/// Two steps and something to carry, with the text as every word of them.
fn schedule(text: &str) -> Schedule {
    use solidby::prep::schedule::{Attention, SCHEMA, Status, Step};
    let computed: DateTime<Utc> = DateTime::UNIX_EPOCH + Duration::days(20_800);
    let at = |hours| (computed + Duration::hours(hours)).with_timezone(&chrono_tz::America::Denver);
    let step = |id: &str, from, to, attention| Step {
        id: id.to_owned(),
        goal: text.to_owned(),
        what: text.to_owned(),
        place: text.to_owned(),
        group: Some(text.to_owned()),
        start: at(from),
        end: at(to),
        attention,
        uses: vec![text.to_owned()],
        amounts: Vec::new(),
        bring: vec![text.to_owned()],
        take_back: vec![],
        because: text.to_owned(),
        cautions: Vec::new(),
        slack_h: 1.0,
        chance: Some(0.5),
        follow: solidby::prep::schedule::Follow::default(),
        kind: tables::Step::Fill,
        count: 4,
        after: Vec::new(),
        curve: None,
    };
    let leave = at(40);
    Schedule {
        locale: Default::default(),
        spelling: Default::default(),
        schema: SCHEMA,
        title: text.to_owned(),
        timezone: chrono_tz::America::Denver,
        computed,
        feasible: true,
        status: Status::Found,
        price: Some(90.0),
        promise: solidby::prep::schedule::Promise::default(),
        steps: vec![
            step("fill", 20, 21, Attention::Hands),
            step("freeze", 21, 33, Attention::None),
        ],
        shopping: Vec::new(),
        carry: vec![carried(leave, text)],
        back: vec![carried(leave, text)],
        looks: Vec::new(),
        problems: Vec::new(),
        one_change: Default::default(),
        notes: vec![text.to_owned()],
        without: Vec::new(),
    }
}

/// What is carried at a moment.
fn carried(leave: DateTime<chrono_tz::Tz>, text: &str) -> solidby::prep::schedule::Carry {
    let [place, goal, item] = [text; 3].map(str::to_owned);
    let (items, things) = (vec![item], Vec::new());
    solidby::prep::schedule::Carry { leave, place, goal, items, things }
}
