//! Arguments in, exit code out; nothing else.

use std::{env, process::ExitCode, sync::Arc};

use solidby::{
    cli,
    host::{Host, Native},
};

fn main() -> ExitCode {
    let host: Arc<dyn Host> = Arc::new(Native);
    cli::main(&host, env::args_os())
}
