//! Reminders on the desktop.
