//! Facts of the trade: common practice, no source.
