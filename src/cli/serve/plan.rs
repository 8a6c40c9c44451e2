//! Plan files for the local page, read and written as the commands do.

use std::{fs, path::Path};

use super::{
    super::{
        args::Common,
        files,
        plan::{calendar, printed, schedule},
        starter::STARTER,
    },
    Here,
};
use crate::{
    planfile::Plan,
    prep::schedule::Schedule,
    web::{Planner, Refusal},
};

/// A folder of plans has some; more names would only hide the one looked for.
const MOST_FILES: usize = 40;

impl Planner for Here {
    fn read_plan(&self, path: &str) -> Result<Option<String>, Refusal> {
        let path = Path::new(path);
        if !path.exists() {
            return Ok(None);
        }
        Ok(Some(files::read(path)?))
    }

    fn write_plan(&self, path: &str, text: &str) -> Result<(), Refusal> {
        Ok(files::write(Path::new(path), text)?)
    }

    fn plan_files(&self) -> Vec<String> {
        let entries = fs::read_dir(".").into_iter().flatten().flatten();
        let mut names: Vec<String> = entries
            .filter(|entry| entry.path().extension().is_some_and(|end| end == "toml"))
            .filter_map(|entry| entry.file_name().into_string().ok())
            // Other programs keep settings in files of this kind too.
            .filter(|name| files::read(Path::new(name)).is_ok_and(|text| looks_like_a_plan(&text)))
            .collect();
        names.sort();
        names.truncate(MOST_FILES);
        names
    }

    fn starter(&self) -> &'static str {
        STARTER
    }

    fn lay_out(&self, plan: Plan) -> Result<Schedule, Refusal> {
        let common = Common { json: false, units: self.asked_units, now: self.told_now.clone() };
        let mut learning = self.learning.clone();
        // A diary that is named but not there yet begins with the first note.
        if learning.diary.as_ref().is_some_and(|diary| !diary.exists()) {
            learning.diary = None;
            learning.no_diary = true;
        }
        Ok(schedule(plan, &learning, &common)?)
    }

    fn calendar(&self, schedule: &Schedule) -> Option<String> {
        calendar(schedule)
    }

    fn sheet(&self, schedule: &Schedule) -> Result<String, Refusal> {
        printed(schedule).map_err(|error| Refusal::of(error.to_string()))
    }
}

fn looks_like_a_plan(text: &str) -> bool {
    text.lines().any(|line| line.trim_start().starts_with("timezone"))
        && ["[[ice]]", "[[ornament]]", "[hours]"].iter().any(|part| text.contains(part))
}
