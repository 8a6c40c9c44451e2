//! `solidby serve`: the same on a local page.

use std::net::{Ipv4Addr, TcpListener};

use chrono::{DateTime, FixedOffset};

use super::{
    Reply,
    args::{Common, Learning, ServeArgs},
    failure::Failure,
    moment::Moment,
};
use crate::{
    page::{self, Program, Site},
    units::System,
};

/// Answers `solidby serve`: prints the address at once, and returns when it is stopped.
///
/// # Errors
/// An input failure for a wrong `--now`; another when the port cannot be had.
pub fn run(args: &ServeArgs, common: &Common) -> Result<Reply, Failure> {
    Moment::new(common.now.as_deref())?;
    let failed =
        |error: std::io::Error| Failure::other(format!("the page cannot be served: {error}"));
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port)).map_err(failed)?;
    let program = Here {
        now: common.now.clone(),
        units: common.units,
        learning: Learning { diary: args.learning.diary.clone(), no_diary: args.learning.no_diary },
    };
    let site = Site {
        program: Box::new(program),
        key: key()?,
        port: listener.local_addr().map_err(failed)?.port(),
    };
    super::print(&Reply::answered(announced(&site.address(), common)))?;
    page::run(listener, site).map_err(failed)?;
    Ok(Reply::answered(String::new()))
}

fn announced(address: &str, common: &Common) -> String {
    if common.json {
        return format!("{}\n", serde_json::json!({ "schema": 1, "address": address }));
    }
    anstream::eprintln!("Open this address in your browser; Ctrl-C stops it.");
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
    now: Option<String>,
    units: Option<System>,
    learning: Learning,
}

impl Program for Here {
    fn now(&self) -> DateTime<FixedOffset> {
        // `--now` was read before the page was served.
        Moment::new(self.now.as_deref()).map_or_else(|_| DateTime::default(), Moment::now)
    }

    fn units(&self) -> System {
        self.units.unwrap_or_default()
    }
}
