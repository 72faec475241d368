//! Conducting: the one loop in which clock, keys, bell, desktop and journal meet.

mod ending;
mod keys;
mod saying;
mod showing;
mod timing;

use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration, Instant};

use jiff::Timestamp;

use super::clock::Clock;
use super::input::{Inbox, Input, Stop};
use super::journal::Journal;
use super::notifier::Notifier;
use super::screen::Screen;
use super::stage::Stage;
use super::{CanShelf, SealArguments};
use crate::cli::common::Format;
use crate::cli::{Context, Exit, Failure};
use crate::report::{Look, RunPane};
use crate::run::{Command, Conductor, Notice, Refusal, refusal_words};
use crate::store::{Folders, Lock};

/// What belongs to a run besides its state.
pub(super) struct Stagehands {
    /// The journal.
    pub(super) journal: Journal,
    /// The cans.
    pub(super) cans: CanShelf,
    /// Where things are kept.
    pub(super) folders: Folders,
    /// The pages, held while it is conducted.
    pub(super) locks: Vec<Lock>,
    /// What went wrong with the journal before anything could be said.
    pub(super) journal_trouble: Option<String>,
}

/// How it is conducted.
#[derive(Debug, Clone)]
pub(super) struct Options {
    auto: bool,
    confirmed: bool,
    /// The list is done, mask and flames apart.
    listed: bool,
    beat: bool,
    calendar: Option<PathBuf>,
}

impl Options {
    /// As typed.
    pub(super) fn of(arguments: &SealArguments) -> Self {
        let run = &arguments.run;
        Self {
            auto: run.auto,
            confirmed: run.confirmed(),
            listed: run.yes,
            beat: run.beat,
            calendar: run.calendar.clone(),
        }
    }
}

/// Whether somebody is there to be asked.
pub(super) fn can_ask(context: &Context) -> bool {
    crate::cli::context::input_is_terminal() && !context.no_input && context.format == Format::Text
}

/// Longest time between two looks at the clock.
const LOOK_EVERY: Duration = Duration::from_secs(1);
/// Longest time between two tries of a journal whose disk does not take it.
const TRY_AGAIN: Duration = Duration::from_secs(5);

/// Conducts a run until it is over, left, or cut off.
pub(super) fn conduct(
    conductor: Conductor,
    hands: Stagehands,
    options: &Options,
    resumed: bool,
    context: &Context,
) -> Result<Exit, Failure> {
    let clock = Clock::of(&conductor.state().spec, context.now.timestamp(), resumed);
    let stage = stage(context)?;
    let patience = Duration::from_secs_f64(conductor.state().pace().service_s.clamp(0.1, 60.0));
    let pane = if !options.confirmed && !conductor.state().all_sprayed() {
        match (conductor.state().checked, options.listed) {
            (true, _) if resumed => RunPane::Again(0),
            (false, true) => RunPane::Again(0),
            (false, false) => RunPane::Checklist(0),
            (true, _) => RunPane::Coats,
        }
    } else {
        RunPane::Coats
    };
    let mut show = Show {
        conductor,
        hands,
        options: options.clone(),
        clock,
        stage,
        notifier: Notifier::new(patience),
        look: context.look(),
        pane,
        asked_first: pane,
        page: 0,
        by_hand: false,
        notices: Vec::new(),
        part: (0, 1),
        all_shown: false,
        message: None,
        sure: Sure::Of(None),
        beat: None,
        tried: Instant::now(),
        gone: false,
        calendar_written: false,
    };
    // A first coat that is far off: its list is gone through when the time comes.
    if matches!(show.pane, RunPane::Checklist(_)) && !show.list_is_due() {
        show.pane = RunPane::Coats;
    }
    // The cautions in full, once; a rehearsal without hands sprays nothing and waits for nobody.
    if !resumed && !options.auto && show.stage.hears_keys() {
        show.asked_first = show.pane;
        show.pane = RunPane::Cautions;
    }
    Ok(show.run(resumed))
}

fn stage(context: &Context) -> Result<Stage, Failure> {
    if context.format == Format::Json {
        return Ok(Stage::Events);
    }
    let capable = std::env::var("TERM").is_ok_and(|term| term != "dumb" && !term.is_empty()) || cfg!(windows);
    if capable && !context.no_input && std::io::stdin().is_terminal() && std::io::stdout().is_terminal() {
        let screen = Screen::take().map_err(|error| Failure::Other(anyhow::Error::new(error)))?;
        return Ok(Stage::Screen(Box::new(screen)));
    }
    Ok(Stage::Lines { asked: None })
}

/// What the next key would confirm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sure {
    /// An early coat of that page, if any.
    Of(Option<usize>),
    /// Taking the last coat back.
    Undo,
    /// Leaving out the next coat of that page.
    Skip(usize),
    /// Taking that page out.
    TakeOut(usize),
}

/// The beat of the passes.
#[derive(Debug, Clone, Copy)]
struct Beat {
    next: Instant,
    gap: Duration,
    left: usize,
}

/// How the loop ends.
enum Ended {
    /// Over, or given up.
    Over,
    /// Left with a key, or by a reader that went away.
    Left,
    /// No more lines, although coats are left.
    Deaf,
    /// Asked to stop.
    Stopped(Stop),
}

struct Show {
    conductor: Conductor,
    hands: Stagehands,
    options: Options,
    clock: Clock,
    stage: Stage,
    notifier: Notifier,
    look: Look,
    pane: RunPane,
    /// What comes after the cautions.
    asked_first: RunPane,
    page: usize,
    /// The page was chosen by hand.
    by_hand: bool,
    /// What was said since the last key that may have been read.
    notices: Vec<Notice>,
    /// The part of the pane that is shown, from 0, and how many there are.
    part: (usize, usize),
    /// Everything said was shown.
    all_shown: bool,
    message: Option<String>,
    sure: Sure,
    beat: Option<Beat>,
    tried: Instant,
    /// The reader of the output went away.
    gone: bool,
    calendar_written: bool,
}

impl Show {
    fn run(mut self, resumed: bool) -> Exit {
        let inbox = Inbox::new();
        if self.stage.hears_keys() {
            inbox.hear_keys();
        } else {
            inbox.hear_lines();
        }
        let now = self.clock.now();
        let first = self.conductor.begin(now, resumed);
        self.carry_out(first);
        if let Some(trouble) = self.hands.journal_trouble.take() {
            self.journal_in_trouble(&trouble);
        }
        self.cans_are_low();
        if self.options.confirmed && !self.conductor.state().checked {
            let effects = self.conductor.checked_by("flags", now);
            self.carry_out(effects);
        }
        let ended = self.watch(&inbox);
        self.end(&ended)
    }

    fn watch(&mut self, inbox: &Inbox) -> Ended {
        let mut deaf = false;
        loop {
            let effects = self.conductor.tick(self.clock.read());
            self.carry_out(effects);
            self.auto();
            self.look_after();
            let state = self.conductor.state();
            if state.over() && (state.cancelled || !self.stage.hears_keys()) {
                return Ended::Over;
            }
            if self.gone {
                return Ended::Left;
            }
            if deaf && !self.options.auto && !state.all_sprayed() {
                return Ended::Deaf;
            }
            self.draw();
            match inbox.receiver.recv_timeout(self.wait()) {
                Ok(Input::Stop(stop)) => return Ended::Stopped(stop),
                Ok(Input::End) => deaf = true,
                Ok(Input::Resized) => {
                    if let Stage::Screen(screen) = &mut self.stage {
                        screen.forget();
                        // Parts of another size: what was read in the old ones is not known.
                        self.part.0 = 0;
                    }
                }
                Ok(Input::Key(key)) => {
                    if self.key(key) {
                        return Ended::Left;
                    }
                }
                Ok(Input::Line(line)) => {
                    if self.line(&line) {
                        return Ended::Left;
                    }
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => std::thread::sleep(self.wait()),
            }
        }
    }

    /// Carries a command out; `false` if it was refused.
    fn command(&mut self, command: Command) -> bool {
        let now = self.clock.now();
        match self.conductor.command(command, now) {
            Ok(effects) => {
                self.message = None;
                self.carry_out(effects);
                true
            }
            Err(refusal) => {
                self.refused(&refusal, now);
                false
            }
        }
    }

    fn refused(&mut self, refusal: &Refusal, now: Timestamp) {
        if let Refusal::Early { page, .. } = refusal {
            self.sure = Sure::Of(Some(*page));
        }
        if *refusal == Refusal::NotChecked && !self.options.confirmed {
            self.turn_to(if self.options.listed { RunPane::Again(0) } else { RunPane::Checklist(0) });
        }
        let zoned = now.to_zoned_datetime(self.conductor.zone().clone());
        let words = refusal_words(refusal, &zoned);
        if matches!(self.stage, Stage::Events) {
            self.say_plainly("Refused", &words);
        }
        self.message = Some(words);
        self.part.0 = 0;
    }
}
