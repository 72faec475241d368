//! Keys, lines and signals, as they come in.

use std::io::BufRead;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use crossterm::event::{Event, KeyCode, KeyEventKind, KeyModifiers};

/// Something came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Input {
    /// A key of a terminal.
    Key(Key),
    /// A line of a pipe.
    Line(String),
    /// No more lines will come.
    End,
    /// The terminal has another size.
    Resized,
    /// Asked to stop.
    Stop(Stop),
}

/// A key that means something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    /// A letter, in lower case, or a sign.
    Letter(char),
    /// Space or Enter.
    Go,
    /// Escape or Backspace.
    Back,
    /// To the next page.
    Next,
}

/// Who asked to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    /// Ctrl-C.
    Interrupt,
    /// A request from outside, or a closed terminal.
    Terminate,
}

/// The place where everything comes in.
pub(super) struct Inbox {
    /// Where it arrives.
    pub(super) receiver: Receiver<Input>,
    sender: Sender<Input>,
}

impl Inbox {
    /// An inbox that hears signals.
    pub(super) fn new() -> Self {
        let (sender, receiver) = channel();
        hear_signals(sender.clone());
        Self { receiver, sender }
    }

    /// Hears the keys of a terminal in raw mode.
    pub(super) fn hear_keys(&self) {
        let sender = self.sender.clone();
        thread::spawn(move || {
            while let Ok(event) = crossterm::event::read() {
                let input = match event {
                    Event::Key(key) if key.kind != KeyEventKind::Release => {
                        let control = key.modifiers.contains(KeyModifiers::CONTROL);
                        match key.code {
                            KeyCode::Char('c' | 'd') if control => Some(Input::Stop(Stop::Interrupt)),
                            KeyCode::Char(' ') | KeyCode::Enter => Some(Input::Key(Key::Go)),
                            KeyCode::Char(letter) if !control => {
                                Some(Input::Key(Key::Letter(letter.to_ascii_lowercase())))
                            }
                            KeyCode::Esc | KeyCode::Backspace => Some(Input::Key(Key::Back)),
                            KeyCode::Tab | KeyCode::Right | KeyCode::Down => Some(Input::Key(Key::Next)),
                            _ => None,
                        }
                    }
                    Event::Resize(..) => Some(Input::Resized),
                    _ => None,
                };
                if let Some(input) = input
                    && sender.send(input).is_err()
                {
                    return;
                }
            }
            let _ = sender.send(Input::End);
        });
    }

    /// Hears the lines of standard input.
    pub(super) fn hear_lines(&self) {
        let sender = self.sender.clone();
        thread::spawn(move || {
            for line in std::io::stdin().lock().lines() {
                let Ok(line) = line else { break };
                if sender.send(Input::Line(line)).is_err() {
                    return;
                }
            }
            let _ = sender.send(Input::End);
        });
    }
}

#[cfg(unix)]
fn hear_signals(sender: Sender<Input>) {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGINT, SIGTERM, SIGHUP]) else { return };
    thread::spawn(move || {
        for signal in signals.forever() {
            let stop = if signal == SIGINT { Stop::Interrupt } else { Stop::Terminate };
            if sender.send(Input::Stop(stop)).is_err() {
                return;
            }
        }
    });
}

#[cfg(not(unix))]
fn hear_signals(sender: Sender<Input>) {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};

    use signal_hook::consts::{SIGINT, SIGTERM};
    let (interrupt, terminate) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicBool::new(false)));
    let heard = [(SIGINT, &interrupt), (SIGTERM, &terminate)];
    if heard.into_iter().any(|(signal, asked)| signal_hook::flag::register(signal, Arc::clone(asked)).is_err()) {
        return;
    }
    thread::spawn(move || {
        let stop = loop {
            if interrupt.load(Ordering::Relaxed) {
                break Stop::Interrupt;
            }
            if terminate.load(Ordering::Relaxed) {
                break Stop::Terminate;
            }
            thread::sleep(std::time::Duration::from_millis(100));
        };
        let _ = sender.send(Input::Stop(stop));
    });
}
