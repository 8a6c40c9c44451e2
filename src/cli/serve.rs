//! `solidby serve`: the same on a local page.

use std::{
    net::{Ipv4Addr, TcpListener},
    path::Path,
};

use super::{
    args::ServeArgs,
    context::{Common, Context},
    failure::Failure,
    files,
    pages::Pages,
    reply::{Reply, remark},
};
use crate::{
    host::Host,
    web::{self, Address, Buffer, Setting, Site, Workspace},
};

/// Answers `solidby serve`: prints the address at once, and returns when it is stopped.
///
/// # Errors
/// An input failure for a wrong `--now`; another when the port cannot be had.
pub fn run(args: &ServeArgs, context: Context) -> Result<Reply, Failure> {
    context.now()?;
    let common = Common { json: false, ..context.common.clone() };
    let pages = Pages { host: context.host.clone(), common, learning: args.learning.clone() };
    let workspace =
        Workspace::with(args.plan.as_deref().map(|path| open(context.host(), path)).transpose()?);
    let failed =
        |error: std::io::Error| Failure::other(format!("the page cannot be served: {error}"));
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port)).map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    let address = Address { key: key(context.host())?, port };
    let setting = Setting::Served { root: address.root() };
    let site = Site::new(context.host.clone(), Box::new(pages), workspace, setting);
    Reply::answered(announced(&address.url(), context.common)).print()?;
    web::run(listener, site, address).map_err(failed)?;
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
