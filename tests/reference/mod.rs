//! Published values and reference libraries.
