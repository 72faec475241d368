//! Random input for everything that reads what a person wrote.
//!
//! A mutational fuzzer of our own: it starts from the examples and the texts of the tests, changes bytes and tokens,
//! and lets what was accepted back into its pool. It is **not guided by coverage**: it does not see which branches an
//! input takes. What it found is kept in `tests/fuzz/kept/TARGET/`, and runs first.
//!
//! A normal run does a fixed number of executions; `COATBELL_FUZZ_SECONDS=60 cargo test fuzz:: -- --nocapture` runs every
//! target for a minute, `COATBELL_FUZZ_SEED=7` with other numbers.

mod mutate;
mod seeds;
mod targets;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

use mutate::mutate;

use crate::damage::reading::Busy;
use crate::support::{Numbers, say};

/// What an execution came to: whether it was accepted, or what is wrong with the reader.
type Outcome = Result<bool, String>;

/// Most inputs that accepted mutants may displace.
const POOL: usize = 400;

/// Runs one target.
fn fuzz(name: &str, seeds: Vec<Vec<u8>>, normal: u64, largest: usize, target: impl Fn(&[u8]) -> Outcome) {
    assert!(!seeds.is_empty(), "{name}: nothing to start from");
    let number = |variable: &str| std::env::var(variable).ok().and_then(|value| value.parse::<u64>().ok());
    let seed = number("COATBELL_FUZZ_SEED").unwrap_or(1);
    let time = number("COATBELL_FUZZ_SECONDS").map(Duration::from_secs);
    let kept = kept(name);
    let fixed = seeds.len();
    let mut pool = seeds;
    let mut draw = Numbers(seed);
    let (mut executions, mut accepted, mut slowest) = (0, 0, Duration::ZERO);
    let mut first = kept.iter().chain(&pool).cloned().collect::<Vec<_>>().into_iter();
    let begun = Instant::now();
    loop {
        let over = time.map_or(executions >= normal, |time| executions % 64 == 0 && begun.elapsed() >= time);
        let input = match first.next() {
            Some(whole) => whole,
            None if over => break,
            None => mutate(&pool, largest, &mut draw),
        };
        let clock = Instant::now();
        let busy = (largest > 1000).then(Busy::now);
        let outcome = catch_unwind(AssertUnwindSafe(|| target(&input))).unwrap_or_else(|_| Err("a panic".to_owned()));
        let took = busy.map_or_else(|| clock.elapsed(), |busy| busy.elapsed());
        let outcome = match outcome {
            Ok(_) if took > Duration::from_secs(5) => Err(format!("took {took:?}")),
            other => other,
        };
        executions += 1;
        slowest = slowest.max(took);
        match outcome {
            Ok(true) => {
                accepted += 1;
                if pool.len() < fixed + POOL {
                    pool.push(input);
                } else {
                    let at = fixed + draw.below(POOL);
                    pool[at] = input;
                }
            }
            Ok(false) => {}
            Err(fault) => {
                let found = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("fuzz-{name}-{seed}-{executions}"));
                let _ = std::fs::write(&found, &input);
                panic!(
                    "{name}, seed {seed}, execution {executions}: {fault:.3000}\nthe input is in {} (mend it, and keep it \
                     in tests/fuzz/kept/{name}): {:?}",
                    found.display(),
                    String::from_utf8_lossy(&input[..input.len().min(2000)])
                );
            }
        }
    }
    let seconds = begun.elapsed().as_secs_f64();
    say(&format!("{name}: {executions} executions in {seconds:.0} s, {accepted} accepted, slowest {slowest:?}"));
    assert!(accepted > 0, "{name}: nothing was accepted, so nothing was tried");
}

/// What was found before.
fn kept(name: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/kept").join(name);
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut files: Vec<_> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    files.sort_unstable();
    files.iter().map(|file| std::fs::read(file).expect("a kept input")).collect()
}
