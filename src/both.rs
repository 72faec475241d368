//! Two pieces of work at once.

/// Runs two pieces of work at the same time and returns both results, in that order.
///
/// Both get a thread of their own while the caller waits: a thread started beside a busy one often stays on its core
/// for the few milliseconds that the work takes.
///
/// # Panics
/// If one of them panics.
pub(crate) fn both<A: Send, B: Send>(first: impl FnOnce() -> A + Send, second: impl FnOnce() -> B + Send) -> (A, B) {
    std::thread::scope(|scope| {
        let first = scope.spawn(first);
        let second = scope.spawn(second);
        let first = first.join().expect("the first piece of work does not panic");
        (first, second.join().expect("the second piece of work does not panic"))
    })
}
