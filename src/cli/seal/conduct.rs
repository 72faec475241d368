//! Conducting: the one loop in which clock, keys, bell, desktop and journal meet.

mod keys;

use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration, Instant};

use jiff::{SignedDuration, Timestamp};

use super::calendar;
use super::clock::Clock;
use super::input::{Inbox, Input, Stop};
use super::journal::Journal;
use super::notifier::Notifier;
use super::screen::Screen;
use super::stage::Stage;
use super::{CanShelf, SealArguments};
use crate::cli::common::Format;
use crate::cli::{Context, Exit, Failure};
use crate::report::{Look, RunPane, RunView, wrap};
use crate::run::{Command, Conductor, Effect, Loudness, Notice, Refusal, refusal_words};
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
        notice: None,
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
    if !resumed && !options.confirmed && show.stage.hears_keys() {
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
    notice: Option<Notice>,
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
        self.can_is_low();
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

    /// How long nothing can happen.
    fn wait(&self) -> Duration {
        let now = self.clock.now();
        let mut wait = LOOK_EVERY;
        if let Some(at) = self.conductor.state().next_moment(now) {
            wait = wait.min(self.clock.until(at));
        }
        if let Some(at) = self.auto_at() {
            wait = wait.min(self.clock.until(at));
        }
        if let Some(beat) = self.beat {
            wait = wait.min(beat.next.saturating_duration_since(Instant::now()));
        }
        if self.stage.hears_keys() && self.conductor.state().rehearsal() {
            wait = wait.min(Duration::from_millis(100));
        } else if self.stage.hears_keys() {
            // The next whole second of the wall: the countdown must not skip one.
            let into_second = now.as_millisecond().rem_euclid(1000) as u64;
            wait = wait.min(Duration::from_millis(1000 - into_second));
        }
        wait
    }

    /// When the next coat is taken as sprayed by itself.
    fn auto_at(&self) -> Option<Timestamp> {
        let state = self.conductor.state();
        if !self.options.auto || !state.rehearsal() || !state.checked {
            return None;
        }
        let (index, due) = state.next_coat()?;
        let spray_s = state.pages[index].next().map_or(0.0, |coat| coat.spray_s);
        due.checked_add(SignedDuration::from_secs(spray_s.ceil() as i64)).ok()
    }

    fn auto(&mut self) {
        while let Some(at) = self.auto_at().filter(|at| *at <= self.clock.now()) {
            let Some((page, _)) = self.conductor.state().next_coat() else { return };
            // On a fast clock a hand would have been on time, however coarse the steps are.
            let _ = at;
            if !self.command(Command::Sprayed { page, insist: false }) {
                return;
            }
        }
    }

    fn look_after(&mut self) {
        if let Some(trouble) = self.notifier.look() {
            self.desktop_in_trouble(&trouble);
        }
        if !self.hands.journal.whole() && self.tried.elapsed() >= TRY_AGAIN {
            self.tried = Instant::now();
            if let Ok(true) = self.hands.journal.flush() {
                self.say_plainly("The journal is written again", "Nothing is missing in it");
            }
        }
        if let Some(mut beat) = self.beat
            && Instant::now() >= beat.next
        {
            super::stage::ring();
            beat.left = beat.left.saturating_sub(1);
            beat.next += beat.gap;
            self.beat = (beat.left > 0).then_some(beat);
        }
        if !self.by_hand
            && let Some((page, _)) = self.conductor.state().next_coat()
        {
            self.page = page;
        }
        if self.pane == RunPane::Coats
            && !self.conductor.state().checked
            && self.list_is_due()
            && !self.options.confirmed
        {
            self.pane = if self.options.listed { RunPane::Again(0) } else { RunPane::Checklist(0) };
        }
        if !self.calendar_written
            && self.conductor.state().all_sprayed()
            && let Some(path) = self.options.calendar.clone()
        {
            self.write_calendar(&path);
        }
    }

    fn list_is_due(&self) -> bool {
        let state = self.conductor.state();
        let now = self.clock.now().as_second();
        state.next_coat().is_some_and(|(_, due)| due.as_second() - now <= state.pace().prepare_s)
    }

    fn draw(&mut self) {
        let now = self.clock.now().to_zoned_datetime(self.conductor.zone().clone());
        let state = self.conductor.state();
        let sealer = state.pages.get(self.page).map(|page| page.spec.sealer.clone());
        let left_g = sealer.filter(|_| !state.rehearsal()).and_then(|sealer| self.hands.cans.left_g(&sealer));
        let view = RunView {
            state,
            now: &now,
            pane: self.pane,
            page: self.page,
            notice: self.notice.as_ref(),
            message: self.message.as_deref(),
            left_g,
            beat: self.options.beat,
        };
        if !self.stage.draw(&view, &self.look) {
            self.gone = true;
        }
    }

    fn carry_out(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            match effect {
                Effect::Say(notice) => self.say(notice),
                Effect::Write(entry) => {
                    let counts = matches!(
                        entry.what,
                        crate::run::What::CoatDone { .. }
                            | crate::run::What::Undone { .. }
                            | crate::run::What::NewCan { .. }
                            | crate::run::What::Mishap { .. }
                    );
                    match self.hands.journal.write(entry) {
                        Ok(true) => self.say_plainly("The journal is written again", "Nothing is missing in it"),
                        Ok(false) => {}
                        Err(error) => {
                            let text = format!("{error}; {}", error.remedy());
                            self.journal_in_trouble(&text);
                        }
                    }
                    if counts {
                        self.count_cans();
                    }
                }
            }
        }
    }

    fn say(&mut self, notice: Notice) {
        // The bell first: nothing that comes after may keep it waiting.
        if notice.loudness == Loudness::Ring {
            super::stage::ring();
        }
        if !self.stage.say(&notice, &self.look) {
            self.gone = true;
        }
        if notice.loudness == Loudness::Ring {
            self.notifier.show(&notice.head, &notice.text);
        }
        self.notice = Some(notice);
    }

    fn say_plainly(&mut self, head: &str, text: &str) {
        let notice = Notice {
            event: "notice",
            at: self.clock.now(),
            page: None,
            title: None,
            coat: None,
            rehearsal: self.conductor.state().rehearsal(),
            late_s: 0,
            early_s: 0,
            id: None,
            head: head.to_owned(),
            text: text.to_owned(),
            loudness: Loudness::Line,
        };
        self.say(notice);
    }

    fn journal_in_trouble(&mut self, why: &str) {
        super::stage::ring();
        let text = format!("{why}. The run goes on ringing, but write down when each coat was sprayed: it is not kept");
        self.say_plainly("The journal cannot be written", &text);
    }

    fn desktop_in_trouble(&mut self, why: &str) {
        let text = format!("{why}. The bell and the lines here go on");
        self.say_plainly("No reminders on the desktop", &text);
    }

    fn can_is_low(&mut self) {
        let state = self.conductor.state();
        if state.rehearsal() {
            return;
        }
        for page in state.pages.clone() {
            let needed: f64 = page.coats.iter().skip(page.done.len()).map(|coat| coat.sealer_g).sum();
            if let Some(left) = self.hands.cans.left_g(&page.spec.sealer)
                && needed > left
            {
                let text = format!("About {left:.0} g left, {needed:.0} g needed: have a second can of it at hand");
                self.say_plainly("The can will not last", &text);
            }
        }
    }

    fn count_cans(&mut self) {
        let state = self.conductor.state();
        if state.rehearsal() {
            return;
        }
        let run = self.hands.journal.name();
        for page in &state.pages {
            if let Some(used) = state.cans.get(&page.spec.sealer) {
                // Grams that could not be kept are in the journal.
                let _ = self.hands.cans.note(&run, &page.spec, *used);
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
            self.pane = if self.options.listed { RunPane::Again(0) } else { RunPane::Checklist(0) };
        }
        let zoned = now.to_zoned_datetime(self.conductor.zone().clone());
        let words = refusal_words(refusal, &zoned);
        if matches!(self.stage, Stage::Events) {
            self.say_plainly("Refused", &words);
        }
        self.message = Some(words);
    }

    fn write_calendar(&mut self, path: &std::path::Path) {
        self.calendar_written = true;
        let (Ok(said) | Err(said)) = calendar::write(self.conductor.state(), path, &self.look);
        if self.stage.hears_keys() {
            self.message = Some(said);
        } else {
            self.say_plainly("Calendar of the days after", &said);
        }
    }

    fn end(mut self, ended: &Ended) -> Exit {
        let effects = self.conductor.pause(self.clock.now());
        self.carry_out(effects);
        // A reminder that was handed over is still shown; a service that hangs is not waited for beyond its time.
        if matches!(ended, Ended::Over)
            && let Some(trouble) = self.notifier.drain()
        {
            self.desktop_in_trouble(&trouble);
        }
        self.tell_history();
        super::screen::restore();
        let state = self.conductor.state();
        if !matches!(self.stage, Stage::Events) && !self.gone {
            let mut out = std::io::stdout().lock();
            for line in self.last_words(ended) {
                for line in wrap(&self.look.clean(&line), self.look.columns()) {
                    let _ = writeln!(out, "{line}");
                }
            }
            let _ = out.flush();
        }
        let over = state.over();
        drop(std::mem::take(&mut self.hands.locks));
        match ended {
            Ended::Stopped(Stop::Interrupt) => Exit::Interrupted,
            Ended::Stopped(Stop::Terminate) => Exit::Terminated,
            Ended::Deaf if !over => Exit::Failed,
            _ => Exit::Done,
        }
    }

    /// A run that is over goes into the history.
    fn tell_history(&mut self) {
        let now = self.clock.now().to_zoned_datetime(self.conductor.zone().clone());
        let journal = self.hands.journal.path().to_owned();
        let told = super::history::tell(&self.hands.folders, self.conductor.state(), &journal, &now);
        if let Err(error) = told {
            self.say_plainly("The history cannot be written", &format!("{error}; the journal holds everything"));
        }
    }

    fn last_words(&self, ended: &Ended) -> Vec<String> {
        let state = self.conductor.state();
        let now = self.clock.now().to_zoned_datetime(self.conductor.zone().clone());
        let mut lines = Vec::new();
        if self.stage.hears_keys() {
            for page in &state.pages {
                let on = page.done.len();
                let rehearsal = if state.rehearsal() { "Rehearsal of " } else { "" };
                lines.push(format!("{rehearsal}{}: {on} of {} coats on", page.spec.title, page.coats.len()));
                for done in &page.done {
                    lines.push(format!("  coat {} at {}", done.coat.number, crate::run::clock_words(done.at, &now)));
                }
            }
        }
        if !state.over() {
            if !self.hands.journal.whole() {
                lines.push("The journal could not be written: note the coats above by hand.".to_owned());
            }
            let why = if matches!(ended, Ended::Deaf) { "No more keys can arrive here. " } else { "" };
            lines.push(match state.spec.rehearsal {
                Some(speed) => {
                    format!("{why}The rehearsal is kept: `coatbell seal --resume --rehearse {speed}x` goes on.")
                }
                None => {
                    format!("{why}The run is kept and the paint goes on drying: `coatbell seal --resume` goes on.")
                }
            });
        } else if state.finished && !self.calendar_written && !state.rehearsal() {
            lines.push("For the days after: `coatbell status --calendar after.ics`".to_owned());
        }
        lines
    }
}
