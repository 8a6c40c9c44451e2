//! `solidby serve`: the same on a local page.

mod plan;

use std::{
    error::Error,
    fs,
    net::{Ipv4Addr, TcpListener},
    time::UNIX_EPOCH,
};

use chrono::{DateTime, FixedOffset, Timelike};
use clap::{
    ArgMatches, CommandFactory, FromArgMatches,
    error::{ContextKind, ContextValue},
};

use super::{
    Reply,
    args::{Cli, Command, Common, Learning, ServeArgs},
    diary, dough,
    failure::Failure,
    files, ice,
    moment::Moment,
};
use crate::{
    report::{self, diary::Shown},
    units::System,
    web::{self, Desk, Open, Program, Refusal, Site},
};

/// Answers `solidby serve`: prints the address at once, and returns when it is stopped.
///
/// # Errors
/// An input failure for a wrong `--now`; another when the port cannot be had.
pub fn run(args: &ServeArgs, common: &Common) -> Result<Reply, Failure> {
    let here = Here {
        now: common.now.as_deref().map(|now| Moment::new(Some(now))).transpose()?,
        told_now: common.now.clone(),
        units: common.units.unwrap_or_default(),
        asked_units: common.units,
        learning: args.learning.clone(),
    };
    let open = args
        .plan
        .as_ref()
        .map(|path| Ok::<_, Failure>(Open::read(path.display().to_string(), files::read(path)?)));
    let desk = Desk::with(open.transpose()?);
    let failed =
        |error: std::io::Error| Failure::other(format!("the page cannot be served: {error}"));
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port)).map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    let site = Site::new(Box::new(here), desk, key()?, port);
    super::print(&Reply::answered(announced(&site.address(), common)))?;
    web::run(listener, site).map_err(failed)?;
    Ok(Reply::answered(String::new()))
}

/// One line for scripts and people; what it is for goes beside it.
fn announced(address: &str, common: &Common) -> String {
    if common.json {
        return format!("{}\n", serde_json::json!({ "schema": 1, "address": address }));
    }
    anstream::eprintln!("Open this address in your browser; Ctrl-C here stops it.");
    format!("{address}\n")
}

/// 128 random bits, which nobody else on this computer can guess.
fn key() -> Result<String, Failure> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)
        .map_err(|error| Failure::other(format!("no random key could be drawn: {error}")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// The program behind the pages, on this computer.
struct Here {
    /// What `--now` says.
    now: Option<Moment>,
    /// The same as it was typed: a plan reads it in its own zone.
    told_now: Option<String>,
    units: System,
    /// What `--units` says; a plan has its own where it says nothing.
    asked_units: Option<System>,
    learning: Learning,
}

impl Here {
    /// The arguments with the diary of this page and its clock, which goes by
    /// minutes so that an answer can be used again, read as typed.
    fn read(&self, arguments: &[String], learns: bool) -> Result<(Cli, ArgMatches), Refusal> {
        let mut words = vec!["solidby".to_owned()];
        words.extend_from_slice(arguments);
        words.push(format!("--now={}", self.minute().to_rfc3339()));
        // A diary that is named but not there yet begins with the first note.
        match &self.learning.diary {
            Some(diary) if !learns || diary.exists() => {
                words.push(format!("--diary={}", diary.display()));
            }
            Some(_) => words.push("--no-diary".to_owned()),
            None if learns && self.learning.no_diary => words.push("--no-diary".to_owned()),
            None => {}
        }
        let typed = Cli::command().try_get_matches_from(words).map_err(|error| refused(&error))?;
        let cli = Cli::from_arg_matches(&typed).map_err(|error| refused(&error))?;
        Ok((cli, typed))
    }

    fn minute(&self) -> DateTime<FixedOffset> {
        let now = self.now();
        match self.now {
            Some(_) => now,
            None => now.with_second(0).and_then(|now| now.with_nanosecond(0)).unwrap_or(now),
        }
    }
}

impl Program for Here {
    fn now(&self) -> DateTime<FixedOffset> {
        self.now.unwrap_or_else(Moment::clock).now()
    }

    fn units(&self) -> System {
        self.units
    }

    fn state(&self) -> String {
        let about = diary::place(self.learning.diary.as_deref()).ok().map(fs::metadata);
        let about = about.and_then(Result::ok);
        let changed = about.as_ref().and_then(|about| about.modified().ok());
        let changed = changed.and_then(|at| at.duration_since(UNIX_EPOCH).ok());
        let length = about.map_or(0, |about| about.len());
        format!("{} {} {length}", self.minute(), changed.unwrap_or_default().as_nanos())
    }

    fn ice(&self, arguments: &[String]) -> Result<report::ice::Answered, Refusal> {
        match self.read(arguments, true)?.0 {
            Cli { command: Command::Ice(args), common } => Ok(ice::answered(&args, &common)?),
            _ => Err(Refusal::of("this is no question on ice")),
        }
    }

    fn dough(&self, arguments: &[String]) -> Result<report::dough::Answered, Refusal> {
        match self.read(arguments, true)?.0 {
            Cli { command: Command::Dough(args), common } => Ok(dough::answered(&args, &common)?),
            _ => Err(Refusal::of("this is no question on dough")),
        }
    }

    fn diary(&self) -> Result<Shown, Refusal> {
        let path = diary::place(self.learning.diary.as_deref())?;
        if !path.exists() {
            return Ok(Shown { diary: path.display().to_string(), appliances: Vec::new() });
        }
        match self.read(&["diary".to_owned(), "show".to_owned()], false)?.0 {
            Cli { command: Command::Diary(diary::args::DiaryCommand::Show(args)), common } => {
                Ok(diary::shown(&args, &common)?)
            }
            _ => Err(Refusal::of("this is no question to the diary")),
        }
    }

    fn note(&self, arguments: &[String]) -> Result<(), Refusal> {
        let mut words = vec!["diary".to_owned()];
        words.extend_from_slice(arguments);
        let (cli, typed) = self.read(&words, false)?;
        super::run(&cli, &typed)?;
        Ok(())
    }
}

impl From<Failure> for Refusal {
    /// Without the option at its beginning, which a page shows by its place.
    fn from(failure: Failure) -> Self {
        let option = failure.option().map(str::to_owned);
        let words = failure.message();
        let named = option.as_ref().and_then(|option| words.strip_prefix(&format!("--{option}: ")));
        Self { words: named.unwrap_or(words).to_owned(), option }
    }
}

/// The option and the reason of what the argument parser refuses.
fn refused(error: &clap::Error) -> Refusal {
    let option = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(usage)) => usage.strip_prefix("--"),
        _ => None,
    };
    let option =
        option.map(|usage| usage.split([' ', '=', '[']).next().unwrap_or(usage).to_owned());
    let words = match error.source() {
        Some(reason) => reason.to_string(),
        None => {
            let whole = error.to_string();
            whole.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned()
        }
    };
    Refusal { option, words }
}
