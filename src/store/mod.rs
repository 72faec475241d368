//! What is kept between two runs of the program: the folders of this user, private files, logs that lose nothing.
//!
//! A [`Log`] is an append-only file of JSON objects, one a line, each on the disk before the next is written. A
//! [`Lock`] names who holds it. [`replace_file`] puts a whole file in the place of another, or leaves it untouched.
//! What went wrong is data ([`StoreError`]), so that a run can say it and go on ringing.

mod error;
mod folders;
mod lock;
mod log;
mod private;
mod replace;

pub use error::{StoreError, Trouble};
pub use folders::{CONFIG_VARIABLE, Folders, STATE_VARIABLE};
pub use lock::{Holder, Lock};
pub use log::{Lines, Log, read_lines};
pub use private::private_folder;
pub use replace::replace_file;
