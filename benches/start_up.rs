//! Start-up and peak memory of the program itself. `cargo bench --bench start_up`
//!
//! Peak memory is what Linux has counted (`VmHWM`) when the program has its answer and waits:
//! its output goes to a pipe that is full.

mod measure;

use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Duration;

use measure::{best, wall_seconds};

const PROGRAM: &str = env!("CARGO_BIN_EXE_solidby");
const MONTH: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/whole-december.toml");
const NOW: [&str; 2] = ["--now", "2026-11-23T15:00:00Z"];

/// Capacity of a pipe on Linux, bytes. Source: pipe(7).
const PIPE: usize = 65_536;

/// Longer than any of the answers takes, even on a busy machine.
const ANSWERED: Duration = Duration::from_secs(3);

fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(arguments).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Peak resident memory, MB, or none where the system does not say.
fn peak(arguments: &[&str]) -> Option<f64> {
    let (reader, mut writer) = std::io::pipe().ok()?;
    writer.write_all(&[b' '; PIPE]).ok()?;
    let mut child = command(arguments).stdout(writer).spawn().ok()?;
    std::thread::sleep(ANSWERED);
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).ok();
    child.kill().ok()?;
    child.wait().ok()?;
    drop(reader);
    let line = status?.lines().find(|line| line.starts_with("VmHWM"))?.to_owned();
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn main() {
    let bytes = std::fs::metadata(PROGRAM).map_or(0, |data| data.len());
    println!("the program has {bytes} bytes");
    let ice = ["ice", "--mould", "snowflake", "--no-diary", NOW[0], NOW[1]];
    let dough = ["dough", "--thickness", "6 mm", "--oven", "200 F", "--no-diary", NOW[0], NOW[1]];
    let plan = ["plan", MONTH, "--no-diary", NOW[0], NOW[1]];
    for (name, arguments) in [
        ("--version", &["--version"][..]),
        ("ice snowflake", &ice),
        ("dough", &dough),
        ("plan of a month", &plan),
    ] {
        let run = || command(arguments).status().expect("the program runs");
        assert!(run().code().is_some_and(|code| code <= 1), "{name} failed");
        let ms = 1e3 * best(if arguments.len() == 1 { 50 } else { 5 }, wall_seconds, run);
        let memory = peak(arguments).map_or("unknown".to_owned(), |mb| format!("{mb:.1} MB"));
        println!("{name:16} {ms:7.2} ms from start to end, peak memory {memory}");
    }
}
