//! Published values and reference libraries.

mod coats;
