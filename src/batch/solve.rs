//! The engine: a problem in, a schedule and its bound out.

use super::network::Network;
use super::problem::{Problem, Schedule, Tick};
use super::search::{Round, STREAMS, Solution, anneal_all, first_solution};

/// How much work is spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// First schedules and a short search.
    Quick,
    /// About a second for a batch of twenty pages on two cores.
    Normal,
    /// Up to a minute.
    Thorough,
}

/// The handles a caller holds while the engine works.
pub struct Control<'a> {
    /// Threads to use; the result does not depend on it.
    pub threads: usize,
    /// Asked now and then; once it says yes, the best so far is handed out.
    pub stop: &'a (dyn Fn() -> bool + Sync),
    /// Told after each round: share of the work done, and the makespan so far.
    pub progress: &'a (dyn Fn(f64, Tick) + Sync),
}

/// The best schedule found.
pub struct Answer {
    /// The schedule.
    pub schedule: Schedule,
    /// Its makespan.
    pub makespan: Tick,
}

/// Schedules a faultless problem.
pub fn solve(problem: &Problem, effort: Effort, control: &Control<'_>) -> Answer {
    let network = Network::new(problem);
    let mut work = 0;
    let first = first_solution(&network, &mut work);
    let lb = super::bound::lower_bound(&network);
    println!("lb {lb}");
    if crate::batch::search::knob("PROVE", 0.0) > 0.0 {
        let t = std::time::Instant::now();
        let proof = super::prove::prove(&network, first.outcome.makespan + 1, lb, (crate::batch::search::knob("PROVE", 0.0) * 1e6) as u64, control.stop);
        println!("first {} proof {} {:?} {:.2}s", first.outcome.makespan, proof.complete, proof.better.as_ref().map(|b| b.outcome.makespan), t.elapsed().as_secs_f64());
    }
    let budget = match effort {
        Effort::Quick => 1_000_000,
        Effort::Normal => (crate::batch::search::knob("BUD", 25.0) * 1e6) as u64,
        Effort::Thorough => 600_000_000,
    };
    let starts: Vec<Solution> = vec![first; STREAMS];
    let round = Round { budget, heat: 1.0, goal: 0, number: crate::batch::search::knob("SEED", 1.0) as u64, threads: control.threads, stop: control.stop };
    let found = anneal_all(&network, &starts, &round);
    for f in &found { (control.progress)(f.cost(), f.outcome.makespan); }
    let best = found.into_iter().min_by(|a, b| a.cost().total_cmp(&b.cost())).expect("x");
    Answer { schedule: network.schedule(&best.starts, &best.sprayed), makespan: best.outcome.makespan }
}
