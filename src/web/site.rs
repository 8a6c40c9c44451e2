//! One running page.

use std::sync::Arc;

use super::{cache::Cache, commands::Commands, workspace::Workspace};
use crate::host::Host;

/// One running page: what it asks and what its addresses begin with.
pub struct Site {
    /// The outside.
    pub host: Arc<dyn Host>,
    /// The commands.
    pub commands: Box<dyn Commands>,
    /// Who answers its addresses.
    pub setting: Setting,
    /// Answers that may be used again.
    pub cache: Cache,
    /// The plan that is open.
    pub workspace: Workspace,
}

/// Who answers the addresses of a site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Setting {
    /// A server on this computer, whose paths begin with `root`. Plans are files on its disk.
    Served {
        /// With a slash at both ends.
        root: String,
    },
    /// The page itself: an address is what stands behind its `#`. Every change is kept in
    /// the browser at once, and files come and go by the browser's own dialogs.
    Pocket,
}

impl Site {
    /// A site with a plan that may be open.
    pub fn new(
        host: Arc<dyn Host>,
        commands: Box<dyn Commands>,
        workspace: Workspace,
        setting: Setting,
    ) -> Self {
        Self { host, commands, setting, cache: Cache::default(), workspace }
    }

    /// What all addresses of its pages begin with.
    pub fn root(&self) -> &str {
        match &self.setting {
            Setting::Served { root } => root,
            Setting::Pocket => "#/",
        }
    }

    /// Whether the page answers itself.
    pub fn in_pocket(&self) -> bool {
        self.setting == Setting::Pocket
    }
}
