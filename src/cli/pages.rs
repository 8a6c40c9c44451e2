//! What the pages ask of the commands: arguments in, answers out.

use std::{path::Path, sync::Arc};

use chrono::{DateTime, DurationRound, TimeDelta};
use clap::{ArgMatches, CommandFactory, FromArgMatches};

use super::{
    args::Learning,
    command::{Cli, Command},
    context::{Common, Context},
    cool, diary, did, dough, ice, kept,
    plan::Known,
    refused::refused,
    thaw,
};
use crate::{
    answers::{cool::CoolAnswer, thaw::ThawAnswer},
    host::Host,
    planfile::Plan,
    report::{self, diary::Shown, did::Answered},
    units::{System, zone::Zone},
    web::{Commands, Laid, Refusal},
};

/// The commands behind the pages.
pub struct Pages {
    /// The outside.
    pub host: Arc<dyn Host>,
    /// The options that the page was started with.
    pub common: Common,
    /// The diary that answers learn from.
    pub learning: Learning,
}

impl Pages {
    /// The commands of a page that was started without options.
    pub fn plain(host: Arc<dyn Host>) -> Self {
        let common = Common { json: false, units: None, clock: None, now: None, zone: None };
        Self { host, common, learning: Learning { diary: None, no_diary: false } }
    }

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
        let mut words = arguments.to_vec();
        let learning = if learns { self.learning() } else { self.learning.clone() };
        match &learning.diary {
            Some(diary) => words.push(format!("--diary={}", diary.display())),
            None if learns && learning.no_diary => words.push("--no-diary".to_owned()),
            None => {}
        }
        self.typed(&words)
    }

    /// The arguments with the clock of this page alone.
    fn typed(&self, arguments: &[String]) -> Result<(Cli, ArgMatches), Refusal> {
        let mut words = vec!["solidby".to_owned()];
        words.extend_from_slice(arguments);
        let now = self.minute()?;
        words.push(format!("--now={}", now.to_rfc3339()));
        words.extend(now.timezone().name().map(|zone| format!("--zone={zone}")));
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

impl Commands for Pages {
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
        let Cli { command: Command::Ice(args), common } = self.read(arguments, true)?.0 else {
            return Err(Refusal::of("this is no question on ice"));
        };
        Ok(ice::answered(&args, self.context(&common))?)
    }

    fn dough(&self, arguments: &[String]) -> Result<report::dough::Answered, Refusal> {
        let Cli { command: Command::Dough(args), common } = self.read(arguments, true)?.0 else {
            return Err(Refusal::of("this is no question on dough"));
        };
        Ok(dough::answered(&args, self.context(&common))?)
    }

    fn thaw(&self, arguments: &[String]) -> Result<ThawAnswer, Refusal> {
        let Cli { command: Command::Thaw(args), common } = self.typed(arguments)?.0 else {
            return Err(Refusal::of("this is no question on thawing"));
        };
        Ok(thaw::answered(&args, self.context(&common))?)
    }

    fn cool(&self, arguments: &[String]) -> Result<CoolAnswer, Refusal> {
        match self.typed(arguments)?.0 {
            Cli { command: Command::Cool(args), common } => {
                Ok(cool::answered(&args, self.context(&common))?)
            }
            _ => Err(Refusal::of("this is no question on cooling")),
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

    fn lay_out(&self, mut plan: Plan, file: Option<&Path>) -> Result<Laid, Refusal> {
        let context = self.context(&self.common);
        let now = context.now_for(plan.zone)?.to_utc();
        if let Some(file) = file {
            kept::follow(&*self.host, file, &mut plan, now)?;
        }
        let known = Known::of(&mut plan, &self.learning(), context)?;
        let schedule = known.lay_out(&plan).map_err(|error| Refusal::of(error.to_string()))?;
        Ok(Laid { schedule, kept: plan.kept })
    }

    fn keep(&self, laid: &Laid, file: &Path) -> Result<(), Refusal> {
        kept::keep(&*self.host, file, (&laid.schedule, laid.kept.as_ref()))?;
        Ok(())
    }

    fn did(&self, plan: Plan, file: &Path, arguments: &[String]) -> Result<Answered, Refusal> {
        let mut words = vec!["did".to_owned(), file.display().to_string()];
        words.extend_from_slice(arguments);
        match self.read(&words, true)?.0 {
            // By the clock of the plan that is shown.
            Cli { command: Command::Did(args), .. } => {
                Ok(did::answered(&args, plan, self.context(&self.common))?)
            }
            _ => Err(Refusal::of("this says nothing of a plan")),
        }
    }
}
