//! `solidby serve`: the same on a local page.

use std::{
    net::{Ipv4Addr, TcpListener},
    path::Path,
    sync::Arc,
};

use chrono::{DateTime, DurationRound, TimeDelta};
use clap::{ArgMatches, CommandFactory, FromArgMatches};

use super::{
    args::{Learning, ServeArgs},
    command::{Cli, Command},
    context::Common,
    context::Context,
    diary, dough,
    failure::Failure,
    files, ice,
    plan::schedule,
    refused::refused,
    reply::{Reply, remark},
};
use crate::{
    host::Host,
    planfile::Plan,
    prep::schedule::Schedule,
    report::{self, diary::Shown},
    units::{System, zone::Zone},
    web::{self, Buffer, Commands, Refusal, Site, Workspace},
};

/// Answers `solidby serve`: prints the address at once, and returns when it is stopped.
///
/// # Errors
/// An input failure for a wrong `--now`; another when the port cannot be had.
pub fn run(args: &ServeArgs, context: Context) -> Result<Reply, Failure> {
    context.now()?;
    let common = Common { json: false, ..context.common.clone() };
    let here = Here { host: context.host.clone(), common, learning: args.learning.clone() };
    let workspace =
        Workspace::with(args.plan.as_deref().map(|path| open(context.host(), path)).transpose()?);
    let failed =
        |error: std::io::Error| Failure::other(format!("the page cannot be served: {error}"));
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port)).map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    let site =
        Site::new(context.host.clone(), Box::new(here), workspace, (key(context.host())?, port));
    Reply::answered(announced(&site.address(), context.common)).print()?;
    web::run(listener, site).map_err(failed)?;
    Ok(Reply::answered(String::new()))
}

/// A plan file, and what earlier writes have left half-written beside it swept away.
fn open(host: &dyn Host, path: &Path) -> Result<Buffer, Failure> {
    let text = files::read(host, path)?;
    if let Some(folder) = host.real(path).parent() {
        host.list(folder);
    }
    Ok(Buffer::read(path.display().to_string(), text))
}

/// One line for scripts and people; what it is for goes beside it.
fn announced(address: &str, common: &Common) -> String {
    if common.json {
        return format!("{}\n", serde_json::json!({ "schema": 1, "address": address }));
    }
    remark("Open this address in your browser; Ctrl-C here stops it.\n");
    format!("{address}\n")
}

/// A key that nobody else on this computer can guess.
fn key(host: &dyn Host) -> Result<String, Failure> {
    let drawn = host.entropy();
    let bytes =
        drawn.map_err(|error| Failure::other(format!("no random key could be drawn: {error}")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// The commands behind the pages, on this computer.
struct Here {
    host: Arc<dyn Host>,
    /// The options that the page was started with.
    common: Common,
    learning: Learning,
}

impl Here {
    fn context<'a>(&'a self, common: &'a Common) -> Context<'a> {
        Context { host: &self.host, common }
    }

    /// The named diary where it is there: one that is not begins with the first note.
    fn learning(&self) -> Learning {
        let named = self.learning.diary.as_deref();
        match named.is_some_and(|diary| self.host.version(diary).is_none()) {
            true => Learning { diary: None, no_diary: true },
            false => self.learning.clone(),
        }
    }

    /// The arguments with the diary of this page and its clock, which goes by
    /// minutes so that an answer can be used again, read as typed.
    fn read(&self, arguments: &[String], learns: bool) -> Result<(Cli, ArgMatches), Refusal> {
        let mut words = vec!["solidby".to_owned()];
        words.extend_from_slice(arguments);
        let now = self.minute()?;
        words.push(format!("--now={}", now.to_rfc3339()));
        words.extend(now.timezone().name().map(|zone| format!("--zone={zone}")));
        let learning = if learns { self.learning() } else { self.learning.clone() };
        match &learning.diary {
            Some(diary) => words.push(format!("--diary={}", diary.display())),
            None if learns && learning.no_diary => words.push("--no-diary".to_owned()),
            None => {}
        }
        let typed = Cli::command().try_get_matches_from(words).map_err(|error| refused(&error))?;
        let cli = Cli::from_arg_matches(&typed).map_err(|error| refused(&error))?;
        Ok((cli, typed))
    }

    fn minute(&self) -> Result<DateTime<Zone>, Refusal> {
        let now = self.now()?;
        let minute = now.duration_trunc(TimeDelta::minutes(1)).unwrap_or(now);
        Ok(if self.common.now.is_some() { now } else { minute })
    }
}

impl Commands for Here {
    fn now(&self) -> Result<DateTime<Zone>, Refusal> {
        Ok(self.context(&self.common).now()?)
    }

    fn units(&self) -> System {
        self.common.units.unwrap_or_default()
    }

    fn state(&self) -> String {
        let diary = diary::place(&*self.host, self.learning.diary.as_deref()).ok();
        let version = diary.and_then(|diary| self.host.version(&diary)).unwrap_or_default();
        format!("{:?} {version}", self.minute().map(|now| now.to_rfc3339()))
    }

    fn ice(&self, arguments: &[String]) -> Result<report::ice::Answered, Refusal> {
        match self.read(arguments, true)?.0 {
            Cli { command: Command::Ice(args), common } => {
                Ok(ice::answered(&args, self.context(&common))?)
            }
            _ => Err(Refusal::of("this is no question on ice")),
        }
    }

    fn dough(&self, arguments: &[String]) -> Result<report::dough::Answered, Refusal> {
        match self.read(arguments, true)?.0 {
            Cli { command: Command::Dough(args), common } => {
                Ok(dough::answered(&args, self.context(&common))?)
            }
            _ => Err(Refusal::of("this is no question on dough")),
        }
    }

    fn diary(&self) -> Result<Shown, Refusal> {
        let path = diary::place(&*self.host, self.learning.diary.as_deref())?;
        if self.host.version(&path).is_none() {
            return Ok(Shown { diary: path.display().to_string(), appliances: Vec::new() });
        }
        match self.read(&["diary".to_owned(), "show".to_owned()], false)?.0 {
            Cli { command: Command::Diary(diary::args::DiaryCommand::Show(args)), common } => {
                Ok(diary::shown(&args, self.context(&common))?)
            }
            _ => Err(Refusal::of("this is no question to the diary")),
        }
    }

    fn note(&self, arguments: &[String]) -> Result<(), Refusal> {
        let mut words = vec!["diary".to_owned()];
        words.extend_from_slice(arguments);
        let (cli, typed) = self.read(&words, false)?;
        let context = self.context(&cli.common);
        if let Command::Diary(command) = &cli.command {
            diary::run(command, &typed, context)?;
        }
        Ok(())
    }

    fn lay_out(&self, plan: Plan) -> Result<Schedule, Refusal> {
        Ok(schedule(plan, &self.learning(), self.context(&self.common))?)
    }
}
