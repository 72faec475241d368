//! What sheets are called: pages of one title go on counting their copies, whichever entry of the file they come from, and are
//! sprayed in that order.

use std::collections::BTreeMap;

use crate::batch::problem::Tick;
use crate::batch::solve::Answer;

/// How the sheets of an entry are called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct EntryNames {
    /// Sheets of the same title in the entries before.
    before: usize,
    /// Whether the title alone names one sheet.
    alone: bool,
}

impl EntryNames {
    /// Of all entries, in their order; each is given by its title and its copies.
    pub(super) fn of<'t>(entries: impl Iterator<Item = (&'t str, usize)> + Clone) -> Vec<Self> {
        let mut of_title: BTreeMap<&str, usize> = BTreeMap::new();
        let mut counted = Vec::new();
        for (title, copies) in entries.clone() {
            let sheets = of_title.entry(title).or_default();
            counted.push(*sheets);
            *sheets += copies;
        }
        let names = entries.zip(counted).map(|((title, _), before)| Self { before, alone: of_title[title] == 1 });
        names.collect()
    }

    /// The name of a copy, from 1, of this entry.
    pub(super) fn name(self, title: &str, copy: usize) -> String {
        if self.alone { title.to_owned() } else { format!("{title}, copy {}", self.before + copy) }
    }
}

/// The same schedule with the sheets of one plan in the order in which they are sprayed, those left out behind them: they
/// are alike, and whoever reads that copy 3 comes first looks for a reason. `plans` are the plans of the sheets.
pub(super) fn in_order(mut answer: Answer, plans: &[usize]) -> Answer {
    let mut alike: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (sheet, plan) in plans.iter().enumerate() {
        alike.entry(*plan).or_default().push(sheet);
    }
    for (plan, sheets) in &alike {
        let mut starts: Vec<Vec<Tick>> =
            sheets.iter().map(|sheet| std::mem::take(&mut answer.schedule.starts[*sheet])).collect();
        starts.sort_by_key(|starts| (starts.is_empty(), starts.first().copied()));
        let out = starts.iter().filter(|starts| starts.is_empty()).count();
        for (sheet, starts) in sheets.iter().zip(starts) {
            answer.schedule.starts[*sheet] = starts;
        }
        let left_out = answer.unfit.iter_mut().filter(|unfit| plans[unfit.page] == *plan);
        for (unfit, sheet) in left_out.zip(&sheets[sheets.len() - out..]) {
            unfit.page = *sheet;
        }
    }
    answer.unfit.sort_by_key(|unfit| unfit.page);
    answer
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::batch::measure::Measures;
    use crate::batch::problem::Schedule;
    use crate::batch::solve::{Unfit, UnfitReason};

    #[test]
    fn sheets_of_one_plan_are_sprayed_in_their_order() {
        let answer = Answer {
            schedule: Schedule { starts: vec![vec![], vec![9, 30], vec![4], vec![2, 20], vec![], vec![7]] },
            measures: Measures::default(),
            lower_bound: 0,
            proved: false,
            stopped: false,
            dose_allowed: true,
            unfit: vec![
                Unfit { page: 0, reason: UnfitReason::NoRoom },
                Unfit { page: 4, reason: UnfitReason::NeverAlone },
            ],
        };
        let found = in_order(answer, &[0, 0, 1, 0, 1, 1]);
        assert_eq!(found.schedule.starts, [vec![2, 20], vec![9, 30], vec![4], vec![], vec![7], vec![]]);
        let out: Vec<(usize, UnfitReason)> = found.unfit.iter().map(|unfit| (unfit.page, unfit.reason)).collect();
        assert_eq!(out, [(3, UnfitReason::NoRoom), (5, UnfitReason::NeverAlone)]);
    }

    #[test]
    fn sheets_of_one_title_are_counted_on() {
        let names = EntryNames::of([("Heron", 2), ("Pond", 1), ("Heron", 1), ("Moon", 3)].into_iter());
        let called = |entry: usize, title: &str, copy: usize| names[entry].name(title, copy);
        assert_eq!([called(0, "Heron", 1), called(0, "Heron", 2)], ["Heron, copy 1", "Heron, copy 2"]);
        assert_eq!([called(1, "Pond", 1), called(2, "Heron", 1)], ["Pond", "Heron, copy 3"]);
        assert_eq!(called(3, "Moon", 3), "Moon, copy 3");
    }
}
