//! Two pieces of work at once.

use std::sync::Mutex;
use std::thread::{Builder, Scope, ScopedJoinHandle};

/// Runs two pieces of work at the same time and returns both results, in that order.
///
/// Both get a thread of their own while the caller waits: a thread started beside a busy one often stays on its core
/// for the few milliseconds that the work takes. Where the system gives no more threads, the caller does the work.
///
/// # Panics
/// If one of them panics.
pub(crate) fn both<A: Send, B: Send>(first: impl FnOnce() -> A + Send, second: impl FnOnce() -> B + Send) -> (A, B) {
    let (first, second) = (Mutex::new(Some(first)), Mutex::new(Some(second)));
    std::thread::scope(|scope| {
        let first = (begin(scope, &first), &first);
        let second = (begin(scope, &second), &second);
        (end(first), end(second))
    })
}

/// Runs two pieces of work at the same time, the second by the caller: for work that keeps much memory, which a thread
/// of its own would have to fetch from the system piece by piece.
///
/// # Panics
/// If the first panics.
pub(crate) fn beside<A: Send, B>(first: impl FnOnce() -> A + Send, second: impl FnOnce() -> B) -> (A, B) {
    let first = Mutex::new(Some(first));
    std::thread::scope(|scope| {
        let begun = begin(scope, &first);
        let second = second();
        (end((begun, &first)), second)
    })
}

/// Work that is done once, by whoever takes it.
type Work<F> = Mutex<Option<F>>;

fn take<F>(work: &Work<F>) -> F {
    work.lock().expect("nobody panics while taking work").take().expect("work is taken once")
}

/// A thread that does the work, if there is one to be had.
fn begin<'scope, T: Send + 'scope, F: FnOnce() -> T + Send>(
    scope: &'scope Scope<'scope, '_>,
    work: &'scope Work<F>,
) -> Option<ScopedJoinHandle<'scope, T>> {
    Builder::new().spawn_scoped(scope, move || take(work)()).ok()
}

fn end<T, F: FnOnce() -> T>((thread, work): (Option<ScopedJoinHandle<'_, T>>, &Work<F>)) -> T {
    match thread {
        Some(thread) => thread.join().expect("the work does not panic"),
        None => take(work)(),
    }
}
