//! One run of the real program, in a folder of its own and with nothing of
//! whoever runs the tests: `Run::of(&["check", "plan.toml"]).file("plan.toml", text).succeeds()`.

use std::{ffi::OsStr, fs, path::Path, process::Command};

use serde_json::Value;
use tempfile::TempDir;

/// The program as a plain command, for tests that need the process itself.
pub fn program<S: AsRef<OsStr>>(arguments: &[S]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_solidby"));
    command
        .args(arguments)
        .env("NO_COLOR", "1")
        // No diary of whoever runs the tests.
        .env("HOME", env!("CARGO_TARGET_TMPDIR"))
        .env_remove("XDG_DATA_HOME");
    command
}

/// A copy of the first demo in a folder.
pub fn demo_in(folder: &Path) -> String {
    let copy = folder.join("forest-fortnight.toml");
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/forest-fortnight.toml");
    fs::copy(demo, &copy).unwrap();
    copy.to_str().unwrap().to_owned()
}

/// What is to be run.
pub struct Run {
    command: Command,
    folder: TempDir,
}

/// What came of it.
pub struct Ran {
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
    folder: TempDir,
}

impl Run {
    /// The program with these arguments, in an empty folder.
    pub fn of<S: AsRef<OsStr>>(arguments: &[S]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut command = program(arguments);
        command.current_dir(folder.path()).env("HOME", folder.path());
        Self { command, folder }
    }

    /// The same, ended by the system once it has computed for so many seconds, however
    /// long it had to wait for the machine.
    pub fn thrifty<S: AsRef<OsStr>>(seconds: u32, arguments: &[S]) -> Self {
        let plain = Self::of(arguments);
        let mut command = Command::new("sh");
        command
            .args(["-c", &format!("ulimit -t {seconds}; exec \"$@\""), "sh"])
            .arg(plain.command.get_program())
            .args(plain.command.get_args())
            .env("NO_COLOR", "1")
            .env_remove("XDG_DATA_HOME")
            .env("HOME", plain.folder.path())
            .current_dir(plain.folder.path());
        Self { command, folder: plain.folder }
    }

    /// With the clock at this time.
    pub fn now(self, time: &str) -> Self {
        self.with(&["--now", time])
    }

    /// With more arguments.
    pub fn with<S: AsRef<OsStr>>(mut self, arguments: &[S]) -> Self {
        self.command.args(arguments);
        self
    }

    /// With a file of this text in its folder.
    pub fn file(self, name: &str, text: &str) -> Self {
        fs::write(self.folder.path().join(name), text).unwrap();
        self
    }

    /// In this folder instead of its own.
    pub fn inside(mut self, folder: &Path) -> Self {
        self.command.current_dir(folder);
        self
    }

    /// Beside a copy of the demos, without what somebody who tried them has kept beside them.
    pub fn with_demos(self) -> Self {
        let demo = self.folder.path().join("demo");
        fs::create_dir(&demo).unwrap();
        for file in fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/demo")).unwrap() {
            let file = file.unwrap();
            let name = file.file_name().to_string_lossy().into_owned();
            if name.ends_with(".toml") && !name.ends_with(".kept.toml") {
                fs::copy(file.path(), demo.join(file.file_name())).unwrap();
            }
        }
        self
    }

    /// With a variable of the environment.
    pub fn env(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// Without a variable of the environment.
    pub fn without(mut self, name: &str) -> Self {
        self.command.env_remove(name);
        self
    }

    /// Runs it, whatever comes of it; but it never panics.
    pub fn ends(mut self) -> Ran {
        let output = self.command.output().unwrap();
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
        let (stdout, stderr) = (text(&output.stdout), text(&output.stderr));
        assert!(!stderr.contains("panicked"), "{:?}: {stderr}", self.command);
        Ran { code: output.status.code(), stdout, stderr, folder: self.folder }
    }

    /// Runs it; it must end with this exit code.
    pub fn exits(self, code: i32) -> Ran {
        let words = format!("{:?}", self.command);
        let ran = self.ends();
        assert_eq!(ran.code, Some(code), "{words}: {}{}", ran.stdout, ran.stderr);
        ran
    }

    /// Runs it; it must answer.
    pub fn succeeds(self) -> Ran {
        self.exits(0)
    }
}

/// Seconds that this thread has computed so far: no other program's load is in them. Zero
/// where the system does not say.
pub fn computed_s() -> f64 {
    let told = fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = told.split(' ').next().and_then(|first| first.parse::<f64>().ok());
    1e-9 * nanoseconds.unwrap_or_default()
}

impl Ran {
    /// The one JSON document that it printed.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.stdout)
            .unwrap_or_else(|error| panic!("{error}: {}", self.stdout))
    }

    /// Whether there is such a file in its folder.
    pub fn has(&self, name: &str) -> bool {
        self.folder.path().join(name).exists()
    }

    /// A file that it wrote into its folder.
    pub fn written(&self, name: &str) -> String {
        fs::read_to_string(self.folder.path().join(name)).unwrap()
    }
}
