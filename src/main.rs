//! Arguments in, exit code out; nothing else.

fn main() -> std::process::ExitCode {
    solidby::cli::main()
}
