//! Whole output of the binary.
