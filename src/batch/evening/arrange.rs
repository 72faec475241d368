//! The order of coats under the exact air: found by annealing, with every order placed anew as early as it can be.

use super::room::RoomTraces;
use crate::batch::measure::Measures;
use crate::batch::place::{Given, Placed, place};
use crate::batch::problem::{Problem, Schedule, Tick};
use crate::batch::replan::Sprayed;
use crate::batch::search::{Chance, STREAMS, worth_annealing};
use crate::batch::solve::Effort;

/// Coats in the order they are sprayed: page and coat, from 0.
pub(super) type Order = Vec<(usize, usize)>;

/// Weight of the mean end of pages beside the end of the last.
const MEAN_END: f64 = 0.01;
/// Weight of the time spent changing cans beside the end of the last page: a quarter of an hour at the end for an hour with
/// the cans.
const CHANGING: f64 = 0.25;
/// Turns in which a coat whose follower came too late for its window is put off.
const PUT_OFF: usize = 12;
/// Coats placed between two questions whether to stop.
const ASKED_EVERY: u64 = 1024;
/// Looks at the air that count as one coat placed.
const LOOKS_A_COAT: u64 = 512;
/// Pages left over up to which they are taken out one by one until the rest fits, not by halves.
const ONE_BY_ONE: usize = 16;
/// Temperatures of the annealing: at first as a share of the makespan, at last in ticks.
const HEAT: (f64, f64) = (0.015, 0.1);
/// Farthest a coat is moved in the order.
const FARTHEST: usize = 12;

/// A bench whose air is exact.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hall<'a> {
    /// The bench; its own air is not looked at.
    pub(super) problem: &'a Problem,
    pub(super) traces: &'a RoomTraces,
    /// Coats that are sprayed already, and from when on the rest is placed.
    pub(super) done: &'a [Vec<Sprayed>],
    pub(super) now: Tick,
}

/// An order with what it comes to.
#[derive(Debug, Clone)]
pub(super) struct Arranged {
    pub(super) order: Order,
    pub(super) placed: Placed,
    /// Pages of the order.
    inside: usize,
    cost: f64,
}

/// How the annealing may work.
pub(super) struct Search<'a> {
    /// Coats placed by each stream.
    pub(super) budget: u64,
    pub(super) threads: usize,
    pub(super) stop: &'a (dyn Fn() -> bool + Sync),
    /// Told by the first stream: share of the work done, and the makespan so far.
    pub(super) progress: &'a (dyn Fn(f64, Tick) + Sync),
}

/// Work of each stream, in coats placed.
pub(super) fn budget(effort: Effort) -> u64 {
    match effort {
        Effort::Quick => 20_000,
        Effort::Normal => 300_000,
        Effort::Thorough => 6_000_000,
    }
}

/// The coats of a schedule in the order they are sprayed.
pub(super) fn order_of(schedule: &Schedule) -> Order {
    let mut order: Vec<(Tick, usize, usize)> = Vec::new();
    for (page, starts) in schedule.starts.iter().enumerate() {
        order.extend(starts.iter().enumerate().map(|(coat, start)| (*start, page, coat)));
    }
    order.sort_unstable();
    order.into_iter().map(|(_, page, coat)| (page, coat)).collect()
}

impl<'a> Hall<'a> {
    /// A bench on which nothing is sprayed yet.
    pub(super) fn clean(problem: &'a Problem, traces: &'a RoomTraces) -> Self {
        Self { problem, traces, done: &[], now: 0 }
    }
}

impl Hall<'_> {
    /// Places an order of whole pages; `None` if one of them cannot end.
    pub(super) fn arrange(&self, order: &[(usize, usize)]) -> Option<Arranged> {
        self.arrange_counting(order, &mut 0)
    }

    /// The same, adding to the work spent.
    fn arrange_counting(&self, order: &[(usize, usize)], spent: &mut u64) -> Option<Arranged> {
        let mut bounds: Vec<Vec<Tick>> = Vec::new();
        for _ in 0..PUT_OFF {
            let given = Given { done: self.done, now: self.now, bounds: &bounds };
            let mut air = self.traces.air();
            let placed = place(self.problem, order, &given, &mut air);
            let standing: usize = self.done.iter().map(Vec::len).sum();
            *spent += (order.len() + standing).max(1) as u64 + air.looks / LOOKS_A_COAT;
            let Some(first) = placed.stranded.first() else {
                let cost = self.cost(placed.coats.iter().map(|coats| Some(coats.last()?.start)), order);
                let inside = order.iter().filter(|(page, coat)| *coat == self.begun(*page)).count();
                return Some(Arranged { order: order.to_vec(), placed, inside, cost });
            };
            // Too late for its window: the coat before it is put off until both fit.
            let before = first.coat.checked_sub(1)?;
            let coat = &self.problem.pages[first.page].coats[before];
            let bound = first.late? - coat.lag?.max? - coat.spray;
            bounds.resize(self.problem.pages.len(), Vec::new());
            let own = &mut bounds[first.page];
            own.resize(own.len().max(before + 1), 0);
            if bound <= own[before] {
                return None;
            }
            own[before] = bound;
        }
        None
    }

    /// What a schedule costs.
    pub(super) fn cost_of(&self, schedule: &Schedule) -> f64 {
        self.cost(schedule.starts.iter().map(|starts| starts.last().copied()), &order_of(schedule))
    }

    /// What an order costs, from the start of each page's last coat.
    fn cost(&self, last_starts: impl Iterator<Item = Option<Tick>>, order: &[(usize, usize)]) -> f64 {
        let (mut last, mut sum, mut count) = (0, 0, 0_u32);
        for (start, page) in last_starts.zip(&self.problem.pages) {
            let (Some(start), Some(coat)) = (start, page.coats.last()) else { continue };
            let end = start + coat.spray + page.final_dry;
            (last, sum, count) = (last.max(end), sum + end, count + 1);
        }
        last as f64 + MEAN_END * sum as f64 / f64::from(count.max(1)) + CHANGING * self.changing(order) as f64
    }

    /// Time spent changing cans in an order.
    fn changing(&self, order: &[(usize, usize)]) -> Tick {
        let can = |page: usize, coat: usize| self.problem.pages[page].coats[coat].can;
        let done =
            self.done.iter().enumerate().filter_map(|(page, coats)| Some((coats.last()?.start, page, coats.len())));
        let held = done.max().map_or(self.problem.initial_can, |(_, page, coats)| can(page, coats - 1));
        let change = |held: &mut usize, (page, coat): &(usize, usize)| {
            let before = std::mem::replace(held, can(*page, *coat));
            Some(if before == *held { 0 } else { self.problem.setup[before][*held] })
        };
        order.iter().scan(held, change).sum()
    }

    /// Takes out pages, the last ones first, until the rest can be placed. Of many that cannot, half go at once.
    pub(super) fn as_many_as_fit(&self, order: &[(usize, usize)]) -> Arranged {
        let mut order: Order = order.to_vec();
        loop {
            if let Some(arranged) = self.arrange(&order) {
                return arranged;
            }
            let given = Given { done: self.done, now: self.now, bounds: &[] };
            let placed = place(self.problem, &order, &given, &mut self.traces.air());
            let mut out = vec![false; self.problem.pages.len()];
            let stranded: Vec<usize> = placed.stranded.iter().map(|stranded| stranded.page).collect();
            match (stranded.len(), stranded.first().copied().or(order.last().map(|(page, _)| *page))) {
                (count, _) if count > ONE_BY_ONE => stranded[count / 2..].iter().for_each(|page| out[*page] = true),
                (_, Some(page)) => out[page] = true,
                (_, None) => {}
            }
            order.retain(|(page, _)| !out[*page]);
        }
    }

    /// All coats that are not done, page by page.
    pub(super) fn one_by_one(&self, pages: impl Iterator<Item = usize>) -> Order {
        let left = |page: usize| {
            let first = self.done.get(page).map_or(0, Vec::len);
            (first..self.problem.pages[page].coats.len()).map(move |coat| (page, coat))
        };
        pages.flat_map(left).collect()
    }

    /// The best order found from some orders to begin with; `pages` are all that may be sprayed. Told to stop, it is content
    /// with the first of them.
    pub(super) fn search(&self, starts: &[Order], pages: &[usize], search: &Search<'_>) -> Arranged {
        let mut first: Vec<Arranged> = Vec::with_capacity(starts.len());
        for order in starts {
            if !first.is_empty() && (search.stop)() {
                break;
            }
            first.push(self.as_many_as_fit(order));
        }
        first.sort_by(|one, other| rank(one, pages).total_cmp(&rank(other, pages)));
        let workers = search.threads.clamp(1, STREAMS);
        let streams = |worker: usize| -> Vec<(usize, Arranged)> {
            let mine = (0..STREAMS).filter(move |stream| stream % workers == worker);
            mine.map(|stream| (stream, self.stream(&first[stream % 2 % first.len()], pages, stream, search))).collect()
        };
        let mut found: Vec<(usize, Arranged)> = std::thread::scope(|scope| {
            let handles: Vec<_> = (1..workers)
                .map(|worker| {
                    scope.spawn({
                        let streams = &streams;
                        move || streams(worker)
                    })
                })
                .collect();
            let mut found = streams(0);
            for handle in handles {
                found.extend(handle.join().expect("a stream of the search does not panic"));
            }
            found
        });
        found.sort_by_key(|(stream, _)| *stream);
        let all = first.into_iter().chain(found.into_iter().map(|(_, found)| found));
        let best = all.min_by(|one, other| rank(one, pages).total_cmp(&rank(other, pages)));
        best.expect("there is an order to begin with")
    }

    fn stream(&self, start: &Arranged, pages: &[usize], number: usize, search: &Search<'_>) -> Arranged {
        let mut chance = Chance::stream(0xa1 + number as u64);
        let (mut current, mut best) = (start.clone(), start.clone());
        if !worth_annealing(search.budget, start.order.len()) {
            return best;
        }
        let (mut spent, mut asked) = (0_u64, 0_u64);
        let hot = (HEAT.0 * start.cost).max(2.0 * HEAT.1);
        while spent < search.budget {
            if spent >= asked + ASKED_EVERY {
                asked = spent;
                if (search.stop)() {
                    break;
                }
                if number == 0 {
                    (search.progress)(spent as f64 / search.budget as f64, best.placed.makespan(self.problem));
                }
            }
            let order = self.changed(&current.order, pages, &mut chance);
            let Some(found) = self.arrange_counting(&order, &mut spent) else { continue };
            let heat = hot * libm::pow(HEAT.1 / hot, spent as f64 / search.budget as f64);
            let worse = rank(&found, pages) - rank(&current, pages);
            if worse <= heat * chance.exponential() {
                current = found;
                if rank(&current, pages) < rank(&best, pages) {
                    best.clone_from(&current);
                }
            }
        }
        best
    }

    /// A neighbour of an order.
    fn changed(&self, order: &[(usize, usize)], pages: &[usize], chance: &mut Chance) -> Order {
        let mut order = order.to_vec();
        let mut inside = vec![false; self.problem.pages.len()];
        for (page, _) in &order {
            inside[*page] = true;
        }
        let out: Vec<usize> = pages.iter().copied().filter(|page| !inside[*page]).collect();
        if !out.is_empty() && chance.below(4) == 0 {
            // A page that is out comes in, now and then in the place of another.
            let page = out[chance.below(out.len())];
            if chance.below(2) == 0 && !order.is_empty() {
                let other = order[chance.below(order.len())].0;
                order.retain(|(page, _)| *page != other);
            }
            self.put_in(&mut order, page, chance);
            return order;
        }
        if order.len() < 2 {
            return order;
        }
        let place = chance.below(order.len());
        match chance.below(10) {
            0..4 => {
                let (page, coat) = order.remove(place);
                let before = order.iter().position(|other| *other == (page, coat.wrapping_sub(1)));
                let after = order.iter().position(|other| *other == (page, coat + 1));
                let low = before.map_or(0, |before| before + 1).cast_signed();
                let high = after.unwrap_or(order.len()).cast_signed();
                let to = (place.cast_signed() + chance.step(FARTHEST)).clamp(low, high);
                order.insert(to.cast_unsigned(), (page, coat));
            }
            4..6 => {
                let place = place.min(order.len() - 2);
                if order[place].0 != order[place + 1].0 {
                    order.swap(place, place + 1);
                }
            }
            6..9 => {
                let page = order[place].0;
                order.retain(|(other, _)| *other != page);
                self.put_in(&mut order, page, chance);
            }
            _ => {
                let (one, other) = (order[place].0, order[chance.below(order.len())].0);
                let left = |page: usize| order.iter().filter(|(other, _)| *other == page).count();
                if left(one) == left(other) && self.begun(one) == 0 && self.begun(other) == 0 {
                    for (page, _) in &mut order {
                        *page = if *page == one {
                            other
                        } else if *page == other {
                            one
                        } else {
                            *page
                        };
                    }
                }
            }
        }
        order
    }

    fn begun(&self, page: usize) -> usize {
        self.done.get(page).map_or(0, Vec::len)
    }

    /// Puts the coats of a page in, the first anywhere, each later one not far behind.
    fn put_in(&self, order: &mut Order, page: usize, chance: &mut Chance) {
        let mut at = chance.below(order.len() + 1);
        for coat in self.begun(page)..self.problem.pages[page].coats.len() {
            order.insert(at.min(order.len()), (page, coat));
            at += 1 + chance.below(FARTHEST / 2);
        }
    }
}

/// The fewer pages out the better, then the cost.
fn rank(arranged: &Arranged, pages: &[usize]) -> f64 {
    pages.len().saturating_sub(arranged.inside) as f64 * 1e9 + arranged.cost
}

/// What a schedule comes to; a page without starts is not in it. The air is judged elsewhere.
pub(super) fn measured(problem: &Problem, starts: &[Vec<Tick>]) -> Measures {
    let mut coats: Vec<(Tick, usize)> = Vec::new();
    let mut stays: Vec<(Tick, i32)> = Vec::new();
    let mut found = Measures::default();
    for (page, starts) in problem.pages.iter().zip(starts) {
        let ends: Vec<Tick> = starts.iter().zip(&page.coats).map(|(start, coat)| start + coat.spray).collect();
        let (Some(first), Some(last)) = (starts.first(), ends.last()) else { continue };
        stays.extend([(*first, 1), (last + page.final_dry, -1)]);
        found.makespan = found.makespan.max(last + page.final_dry);
        found.work_end = found.work_end.max(*last);
        let gaps = ends.iter().zip(starts.iter().skip(1)).zip(&page.coats);
        found.wet_wait += gaps.map(|((end, next), coat)| next - end - coat.lag.map_or(0, |lag| lag.min)).sum::<Tick>();
        coats.extend(starts.iter().zip(&page.coats).map(|(start, coat)| (*start, coat.can)));
    }
    coats.sort_unstable();
    let mut can = problem.initial_can;
    for (_, next) in coats {
        found.changeovers += usize::from(next != can);
        can = next;
    }
    stays.sort_unstable();
    let mut on_rack = 0;
    for (_, change) in stays {
        on_rack += change;
        found.rack_peak = found.rack_peak.max(usize::try_from(on_rack).unwrap_or(0));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::CoatTrace;
    use crate::batch::problem::{Coat, Lag, Page};

    fn page(can: usize, count: usize, final_dry: Tick) -> Page {
        let lag = Some(Lag { min: 10, max: None, resume: None });
        let coat =
            |number| Coat { spray: 2, can, lag: lag.filter(|_| number + 1 < count), vapour_m3: 0.0, flash_share: 0.0 };
        Page { label: String::new(), release: 0, final_dry, coats: (0..count).map(coat).collect() }
    }

    #[test]
    fn a_can_is_not_changed_for_an_end_that_nobody_waits_for() {
        // The first page dries for so long that the others are done before it, whatever their order. By turns two pages
        // of two cans end at 14 and 18 with three changes; one after the other at 14 and 30 with one.
        let problem = Problem {
            name: String::new(),
            tick_s: 30.0,
            pages: vec![page(0, 1, 1000), page(0, 2, 0), page(1, 2, 0)],
            rack_slots: None,
            initial_can: 0,
            setup: vec![vec![0, 2], vec![2, 0]],
            pauses: Vec::new(),
            session_end: None,
            air: None,
        };
        let clean = CoatTrace { peaks: [vec![0.0], vec![0.0], vec![0.0]], means: [vec![0.0], vec![0.0], vec![0.0]] };
        let traces = RoomTraces::new(&[clean], vec![vec![0], vec![0; 2], vec![0; 2]], 1.0);
        let hall = Hall::clean(&problem, &traces);
        let by_turns: Order = vec![(0, 0), (1, 0), (2, 0), (1, 1), (2, 1)];
        let search = Search { budget: 20_000, threads: 1, stop: &|| false, progress: &|_, _| {} };
        let found = hall.search(std::slice::from_ref(&by_turns), &[0, 1, 2], &search);
        let changes = |order: &[(usize, usize)]| hall.changing(order) / 2;
        assert_eq!((changes(&by_turns), changes(&found.order)), (3, 1), "{:?}", found.order);
        assert_eq!(found.placed.makespan(&problem), 1002);
    }
}
