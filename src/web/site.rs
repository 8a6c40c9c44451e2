//! One running page.

use std::{path::Path, sync::Arc};

use super::{
    cache::Cache,
    commands::Commands,
    setting::Setting,
    workspace::{Buffer, Workspace},
};
use crate::{host::Host, planfile::kept_beside};

/// Names that are tried for a new plan.
const MOST_NAMES: usize = 40;

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

    /// Opens a plan unless one with unsaved changes is open; in the pocket nothing is lost by
    /// it, and a plan has a name from the beginning.
    pub fn open(&self, mut plan: Buffer) {
        if self.in_pocket() && plan.path.is_none() {
            plan.path = Some(self.new_name());
        }
        self.workspace.change(|current| {
            if self.in_pocket() || current.as_ref().is_none_or(Buffer::is_saved) {
                *current = Some(plan);
            }
        });
    }

    /// A name under which nothing is kept yet.
    fn new_name(&self) -> String {
        let names =
            (1..).map(|n| if n == 1 { "plan.toml".to_owned() } else { format!("plan-{n}.toml") });
        let free = |name: &String| self.host.version(&kept_beside(Path::new(name))).is_none();
        names.take(MOST_NAMES).find(free).unwrap_or_else(|| "plan.toml".to_owned())
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
