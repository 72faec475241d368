//! An evening as a calendar: an alarm for every coat, and one for every sheet that may be handled.

use jiff::Timestamp;

use super::events::{Event, PREPARATION_MIN, Ring, allowed_event};
use super::{begin, identity, write_event};
use crate::batch::{Evening, EveningStep};
use crate::caution;
use crate::diagnostic::Problem;
use crate::finding::Level;
use crate::quantity::minutes_in_words;
use crate::report::by_the_clock::clock;
use crate::report::look::Look;
use crate::report::words::{how_to_spray, seconds, sentence};

/// Writes the calendar of an evening. The same batch on the same day keeps the identities of its events.
///
/// # Errors
/// `no-times` if nothing fits.
pub fn evening_ics(evening: &Evening, look: &Look) -> Result<String, Box<Problem>> {
    if evening.steps.is_empty() {
        let hold = evening.findings.iter().find(|finding| finding.level == Level::Hold);
        let why = hold.map_or(&evening.answer, |hold| &hold.text);
        let problem = Problem::new("no-times", format!("there is nothing to ring for: {why}"));
        let hint = hold.and_then(|hold| hold.remedy.clone());
        return Err(Box::new(
            problem.with_hint(hint.unwrap_or_else(|| "without `--format ics` it says why".to_owned())),
        ));
    }
    let day = evening.inputs.start.split('T').next().unwrap_or_default();
    let files = evening.inputs.pages.iter().map(|page| page.file.as_str());
    let series = identity(["evening", day].into_iter().chain(files));
    let mut lines = begin(evening.version, "an evening");
    let (mark, status) = if evening.verdict == Level::Hold { ("ON HOLD: ", "TENTATIVE") } else { ("", "CONFIRMED") };
    let mut events: Vec<Event> = Vec::new();
    for (at, step) in evening.steps.iter().enumerate() {
        events.extend(coat(evening, step, at == 0, look));
    }
    for page in &evening.pages {
        let Some(at) = page.handle_at.as_ref().and_then(|at| at.parse::<Timestamp>().ok()) else { continue };
        let title = evening.name_of(page.page, page.copy, &page.title);
        let event = allowed_event(&title, "handle", at, "It may be handled and leaves the rack");
        events.push(Event { step: format!("handle-{}-{}", page.page, page.copy), ..event });
    }
    for event in &events {
        let summary = format!("{mark}{}", event.summary);
        let mut said = event.details.clone();
        if !mark.is_empty() {
            said.push(sentence(&evening.answer));
        }
        if event.cautions_in_full {
            said.extend(evening.cautions.iter().map(|line| sentence(line)));
        } else {
            said.push(sentence(caution::IN_ONE_LINE));
        }
        write_event(&mut lines, event, &summary, &said.join("\n"), status, &series, look);
    }
    lines.plain("END", "VCALENDAR");
    Ok(lines.finish())
}

fn coat(evening: &Evening, step: &EveningStep, first: bool, look: &Look) -> Option<Event> {
    let at = step.starts_at.parse::<Timestamp>().ok()?;
    let kind = step.kind.word();
    let title = evening.name_of(step.page, step.copy, &step.title);
    let mut details = vec![format!("{} from {}.", seconds(step.spray_s), step.sealer_name)];
    let sheet = evening.pages.iter().find(|page| (page.page, page.copy) == (step.page, step.copy));
    let plan = sheet.and_then(|page| evening.plans.get(page.plan)).map(|entry| &entry.plan);
    if let Some(coat) = plan.and_then(|plan| plan.coats.iter().find(|coat| coat.number == step.coat)) {
        details.push(format!("From {}.", how_to_spray(coat, look)));
    }
    if step.change_can {
        details.insert(0, format!("Change to {} first.", step.sealer_name));
    }
    details.push(if step.coat == step.of {
        format!("Then {} on the rack.", minutes_in_words(step.wait_min))
    } else {
        format!("Its next coat follows in {}.", minutes_in_words(step.wait_min))
    });
    if let Some(by) = &step.next_by {
        details.push(format!("The next coat begins by {} at the latest, as the can's label says.", clock(by, look)));
    }
    Some(Event {
        step: format!("coat-{}-{}-{}", step.page, step.copy, step.coat),
        at,
        minutes: u32::try_from(step.end_min - step.start_min).unwrap_or(1).max(1),
        ring: match (first, step.change_can) {
            (true, _) => Ring::Before(PREPARATION_MIN),
            // The change takes its time, and the coat has to be on by then.
            (false, true) => Ring::Before(libm::ceil(evening.inputs.can_change_min) as u32),
            (false, false) => Ring::AtStart,
        },
        summary: format!("{title}: coat {} of {}, {kind}", step.coat, step.of),
        details,
        busy: true,
        cautions_in_full: first,
    })
}
