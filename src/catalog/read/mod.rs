//! From a table of a profile to an entry of the catalog. Built-in profiles and the user's own take the same way.

mod entry;
pub(super) mod medium;
pub(super) mod pairs;
pub(super) mod paper;
pub(super) mod sealer;
pub(super) mod substance;
