//! The `coatbell` binary: arguments in, exit code out. Everything else is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    coatbell::cli::main(std::env::args_os())
}
