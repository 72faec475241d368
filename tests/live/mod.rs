//! Against the outside world: a real browser, a desktop, a terminal. Where it is missing a test says so in one line and ends, unless
//! `COATBELL_LIVE=1` is set, as in `.ci/run`.

#[cfg(unix)]
mod desktop;
mod driver;
mod run;
mod sheets;
#[cfg(unix)]
mod terminal;
