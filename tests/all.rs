//! All integration tests in one binary, so that they link once.

mod cli;
mod damage;
mod faults;
mod fuzz;
mod laws;
mod live;
mod pages;
mod practice;
mod reference;
mod support;
mod warnings;
