//! Speed of a plan beside its reference.

fn main() {}
