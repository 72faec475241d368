//! What was measured of a can: found by its name, by its id, or all of them; written back. The one place that knows how.

use std::path::Path;

use super::{Context, Failure, files, inputs, shelves};
use crate::catalog::{Catalog, Sealer};
use crate::input::read_sealer;
use crate::record::{CanRecord, posteriors};
use crate::store::{Holder, Lock, replace_file};

/// A can without its measurements, and they beside it.
#[derive(Debug, Clone)]
pub(super) struct Can {
    /// The can as the profile and its own file have it.
    pub(super) sealer: Sealer,
    /// What was measured of it.
    pub(super) record: CanRecord,
}

/// What was measured, held against another program from before it is read until it is written back: what both add is kept.
/// Held until it is dropped.
///
/// # Errors
/// If the disk does not take it, or another program has it for longer than a moment.
pub(super) fn alone(context: &Context) -> Result<Lock, Failure> {
    let since = context.now.strftime("%H:%M").to_string();
    let holder = Holder { what: "Another measurement".to_owned(), process: std::process::id(), since };
    Ok(Lock::wait_for(&shelves::can_lock(context)?, &holder)?)
}

/// The can a person names: a sealer, or a file of their own.
///
/// # Errors
/// A name nothing has, or a file that cannot be read.
pub(super) fn named(name: &str, plain: &Catalog, context: &Context, command: &'static str) -> Result<Can, Failure> {
    let found = inputs::sealer(name, plain, context, command)?;
    let sealer = found.unmeasured.as_deref().unwrap_or(&found).clone();
    let mut record = of_record(&sealer.id, context, command)?;
    if is_own(&sealer.id) {
        record.can_file = Path::new(name).canonicalize().ok().map(|path| path.to_string_lossy().into_owned());
    }
    Ok(Can { sealer, record })
}

/// The can of an id, as runs and measurements keep it. Of a can of the person's own the file is looked for where it was
/// when it was measured; without it, the sealer it builds on stands for it. `None` for an id nothing has.
///
/// # Errors
/// Measurements that cannot be read.
pub(super) fn of_id(
    id: &str,
    plain: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Option<Can>, Failure> {
    let record = of_record(id, context, command)?;
    let own = record.can_file.as_deref().and_then(|path| own_can(Path::new(path), id, plain, context, command));
    let base = || {
        let base = plain.sealers.get(id).or_else(|| plain.sealers.get(id.split(':').next().unwrap_or(id)))?;
        Some(Sealer { id: id.to_owned(), ..base.clone() })
    };
    Ok(own.or_else(base).map(|sealer| Can { sealer, record }))
}

/// Every can something was measured of, in the order of their files.
///
/// # Errors
/// Measurements that cannot be read.
pub(super) fn all(plain: &Catalog, context: &Context, command: &'static str) -> Result<Vec<Can>, Failure> {
    let mut cans = Vec::new();
    for path in shelves::measured_files(context)? {
        let record = CanRecord::read(&files::read_text(&path, context, command)?)?;
        if !record.measurements.is_empty() {
            cans.extend(of_id(&record.sealer, plain, context, command)?);
        }
    }
    Ok(cans)
}

impl Can {
    /// Writes the file of the can.
    ///
    /// # Errors
    /// If the disk does not take it.
    pub(super) fn keep(&self, plain: &Catalog, context: &Context) -> Result<(), Failure> {
        let path = shelves::can_path(&self.sealer.id, context)?;
        let text = self.record.to_text(&posteriors(&self.record, &self.sealer, &plain.model));
        Ok(replace_file(&path, &text)?)
    }
}

fn is_own(id: &str) -> bool {
    id.contains(':')
}

fn of_record(id: &str, context: &Context, command: &'static str) -> Result<CanRecord, Failure> {
    Ok(shelves::can_record(id, context, command)?.unwrap_or_else(|| CanRecord::new(id)))
}

/// The can of a file, if it is still there, can be read and has that id.
fn own_can(path: &Path, id: &str, plain: &Catalog, context: &Context, command: &'static str) -> Option<Sealer> {
    let source = files::read_text(path, context, command).ok()?;
    let can = plain.own_sealer(&read_sealer(&source).ok()?).ok()?;
    (can.id == id).then_some(can)
}
