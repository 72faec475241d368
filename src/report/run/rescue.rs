//! What to do when something went wrong.

use crate::caution;
use crate::report::look::Look;
use crate::report::writer::Writer;
use crate::run::{Rescue, rescues};

/// One rescue.
pub fn rescue_text(rescue: &Rescue, look: &Look) -> String {
    let mut writer = Writer::new(look);
    writer.text(0, &format!("{}.", rescue.title));
    writer.text(0, &format!("{}.", rescue.never));
    if look.quiet {
        writer.text(0, caution::IN_ONE_LINE);
        return writer.finish();
    }
    writer.head("Now");
    for (place, step) in rescue.now.iter().enumerate() {
        writer.item(2, &format!("{}.", place + 1), step);
    }
    writer.head("When it is dry");
    for step in rescue.when_dry {
        writer.bullet(step);
    }
    writer.head("The coats still to come");
    writer.text(2, &format!("{}.", rescue.rest_text));
    if look.why {
        writer.text(2, &format!("Stands on: {}.", rescue.basis.in_words()));
    }
    writer.head("Cautions");
    for line in caution::IN_FULL {
        writer.bullet(line);
    }
    writer.finish()
}

/// All of them, by their words.
pub fn rescues_text(look: &Look) -> String {
    let mut writer = Writer::new(look);
    writer.text(0, "What went wrong? `coatbell rescue WHAT` says what to do:");
    let widest = rescues().iter().map(|rescue| rescue.word.len()).max().unwrap_or(0);
    for rescue in rescues() {
        writer.entry(widest, rescue.word, rescue.title);
    }
    writer.finish()
}
