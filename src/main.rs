//! The command line: arguments in, an exit status out.

fn main() {}
