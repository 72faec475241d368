//! Reminders on the desktop, from a thread of their own: a service that is dead or silent delays nothing.

use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

/// What went wrong with the desktop, said once.
pub(in crate::cli) type Trouble = String;

/// The desktop's notification service.
pub(in crate::cli) struct Notifier {
    orders: Option<Sender<Order>>,
    answers: Receiver<Result<(), Trouble>>,
    /// Since when how many orders wait for their answer.
    waiting: u32,
    since: Instant,
    patience: Duration,
    said: bool,
}

struct Order {
    title: String,
    body: String,
}

impl Notifier {
    /// A notifier that gives its service so long to answer.
    pub(in crate::cli) fn new(patience: Duration) -> Self {
        let (orders, ordered) = channel();
        let (answer, answers) = channel();
        let started = std::thread::Builder::new().name("desktop".to_owned()).spawn(move || {
            let mut desktop = desktop::Desktop::default();
            for Order { title, body } in ordered {
                if answer.send(desktop.show(&title, &body)).is_err() {
                    return;
                }
            }
        });
        let orders = started.is_ok().then_some(orders);
        Self { orders, answers, waiting: 0, since: Instant::now(), patience, said: false }
    }

    /// Hands a reminder over, and returns at once.
    pub(in crate::cli) fn show(&mut self, title: &str, body: &str) {
        let Some(orders) = &self.orders else { return };
        if orders.send(Order { title: title.to_owned(), body: body.to_owned() }).is_ok() {
            if self.waiting == 0 {
                self.since = Instant::now();
            }
            self.waiting += 1;
        }
    }

    /// Looks whether the service answered, without waiting. Hands back trouble the first time there is any.
    pub(super) fn look(&mut self) -> Option<Trouble> {
        let mut trouble = None;
        loop {
            match self.answers.try_recv() {
                Ok(answer) => {
                    self.waiting = self.waiting.saturating_sub(1);
                    self.since = Instant::now();
                    trouble = trouble.or(answer.err());
                }
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => {
                    self.orders = None;
                    self.waiting = 0;
                    break;
                }
            }
        }
        if self.waiting > 0 && self.since.elapsed() > self.patience {
            // The thread hangs in the call: nothing more is handed to it.
            self.orders = None;
            self.waiting = 0;
            trouble = trouble.or_else(|| Some("the notification service does not answer".to_owned()));
        }
        trouble.filter(|_| !std::mem::replace(&mut self.said, true))
    }

    /// Waits until everything was shown, as long as the service answers; used at the end of a run.
    pub(in crate::cli) fn drain(&mut self) -> Option<Trouble> {
        let mut trouble = self.look();
        while self.waiting > 0 {
            std::thread::sleep(Duration::from_millis(5));
            trouble = trouble.or(self.look());
        }
        trouble
    }
}

#[cfg(all(feature = "desktop", unix, not(target_os = "macos")))]
mod desktop {
    use notify_rust::{Notification, Timeout, Urgency};

    /// The service as met so far.
    #[derive(Debug, Default)]
    pub(super) struct Desktop {
        /// The notification of this run, which each reminder replaces.
        id: Option<u32>,
        /// Whether the body is read as markup; asked once.
        markup: Option<bool>,
    }

    impl Desktop {
        /// Shows a reminder in place of the one before. May hang: only called from the thread of the notifier.
        pub(super) fn show(&mut self, title: &str, body: &str) -> Result<(), String> {
            if self.markup.is_none() {
                let all = notify_rust::get_capabilities().map_err(|error| error.to_string())?;
                self.markup = Some(all.iter().any(|one| one == "body-markup"));
            }
            let body = if self.markup == Some(true) { escaped(body) } else { body.to_owned() };
            let mut notification = Notification::new();
            notification.appname("coatbell").summary(title).body(&body);
            notification.urgency(Urgency::Critical).timeout(Timeout::Never);
            if let Some(id) = self.id {
                notification.id(id);
            }
            let handle = notification.show().map_err(|error| error.to_string())?;
            self.id = Some(handle.id());
            Ok(())
        }
    }

    fn escaped(text: &str) -> String {
        text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
    }
}

#[cfg(all(feature = "desktop", not(all(unix, not(target_os = "macos")))))]
mod desktop {
    /// The service as met so far.
    #[derive(Debug, Default)]
    pub(super) struct Desktop;

    impl Desktop {
        /// Shows a reminder.
        pub(super) fn show(&mut self, title: &str, body: &str) -> Result<(), String> {
            let mut notification = notify_rust::Notification::new();
            notification.appname("coatbell").summary(title).body(body);
            notification.show().map(|_| ()).map_err(|error| error.to_string())
        }
    }
}

#[cfg(not(feature = "desktop"))]
mod desktop {
    /// Built without the desktop.
    #[derive(Debug, Default)]
    pub(super) struct Desktop;

    impl Desktop {
        /// Shows nothing.
        pub(super) fn show(&mut self, _title: &str, _body: &str) -> Result<(), String> {
            Err("this coatbell was built without it".to_owned())
        }
    }
}
