//! What a person's own cans taught: past runs with their outcomes, measurements, scrap tests.
//!
//! Pure: the contents of files, times and seeds come in as arguments, and what is to be written goes out as text. The
//! files themselves are the business of `store` and `cli`.

pub mod history;
