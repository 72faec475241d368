//! A run in a pipe or on a bare console: a line for whatever happens, and a question where one is needed.

use crate::caution;
use crate::report::{Look, RunPane, RunView, wrap};
use crate::run::{Loudness, Notice, rescues};

/// Whether it is said even when little is to be said.
pub(super) fn worth_saying_quietly(notice: &Notice) -> bool {
    notice.loudness == Loudness::Ring
        || matches!(notice.event, "started" | "resumed" | "replanned" | "notice" | "finished")
}

/// The question of the moment; `None` while nothing is asked.
pub(super) fn question(view: &RunView<'_>, look: &Look) -> Option<String> {
    let spec = &view.state.spec;
    let text = match view.pane {
        RunPane::Checklist(at) => {
            let item = spec.preflight.get(at)?;
            format!("Before the first coat, {} of {}: {}. Enter if it is so.", at + 1, spec.preflight.len(), item.text)
        }
        RunPane::Again(at) => format!("{}? Enter if it is so.", caution::AGAIN[at.min(1)]),
        RunPane::Mishaps => {
            let all = rescues().iter().map(|rescue| format!("{}: {}", rescue.word, rescue.title));
            let all: Vec<String> = all.collect();
            format!("What went wrong? One of these words, or Enter for none. {}.", all.join("; "))
        }
        RunPane::Rescue(mishap) => {
            let rescue = mishap.rescue();
            let steps: Vec<String> = rescue.now.iter().chain(rescue.when_dry).map(|step| format!("{step}.")).collect();
            format!("{}. {} Enter to go on.", rescue.never, steps.join(" "))
        }
        RunPane::Cautions => "The cautions stand above. Enter to go on.".to_owned(),
        RunPane::Coats => view.message?.to_owned(),
    };
    let lines = wrap(&look.clean(&text), look.columns());
    Some(lines.join("\n"))
}
