//! The `coatbell` binary: arguments in, exit code out.

fn main() {}
