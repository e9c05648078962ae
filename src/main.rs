//! The command line: arguments in, an exit status out.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}
