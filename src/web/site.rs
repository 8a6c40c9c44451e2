//! One running page.

use std::sync::Arc;

use super::{cache::Cache, commands::Commands, workspace::Workspace};
use crate::host::Host;

/// One running page: what it asks and under which address it is known.
pub struct Site {
    /// The outside.
    pub host: Arc<dyn Host>,
    /// The commands.
    pub commands: Box<dyn Commands>,
    /// The secret first part of every path: who knows it may ask.
    pub key: String,
    /// The port on the loopback address.
    pub port: u16,
    /// Answers that may be used again.
    pub cache: Cache,
    /// The plan that is open.
    pub workspace: Workspace,
}

impl Site {
    /// A site with a plan that may be open.
    pub fn new(
        host: Arc<dyn Host>,
        commands: Box<dyn Commands>,
        workspace: Workspace,
        (key, port): (String, u16),
    ) -> Self {
        Self { host, commands, key, port, cache: Cache::default(), workspace }
    }

    /// The address to open.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}{}", self.port, self.root())
    }

    /// What all paths begin with.
    pub fn root(&self) -> String {
        format!("/{}/", self.key)
    }
}
