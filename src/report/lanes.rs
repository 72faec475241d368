//! An evening as lanes: a line a sheet with its coats, waits and windows over the hours, and the air below.

use jiff::ZonedDateTime;

use super::look::Look;
use super::words::fullness;
use super::wrap::display_width;
use super::writer::Writer;
use crate::batch::{Evening, EveningPage, EveningStep};

/// Columns from which lanes are drawn; a narrower screen has the list alone.
const LEAST_COLUMNS: usize = 80;
/// Most sheets drawn; more are no picture any more.
const MOST_LANES: usize = 60;
/// Columns of the titles.
const TITLE: usize = 20;
/// Columns between two clock times.
const TICK: usize = 12;
/// The same, for minutes.
const TICK_COLUMNS: i64 = 12;

/// The signs of a lane.
struct Signs {
    wait: char,
    longer: char,
    rack: char,
    closes: char,
    pause: char,
    air: &'static [char],
}

const UNICODE: Signs = Signs {
    wait: '─',
    longer: '┄',
    rack: '░',
    closes: '┤',
    pause: '═',
    air: &['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'],
};
const ASCII: Signs = Signs {
    wait: '-',
    longer: '~',
    rack: '.',
    closes: '|',
    pause: '=',
    air: &['_', '.', ':', '-', '=', '+', '*', '#'],
};

/// Draws the lanes, if there is room for them.
pub(super) fn lanes(writer: &mut Writer<'_>, evening: &Evening, look: &Look) {
    let fitting: Vec<&EveningPage> = evening.pages.iter().filter(|page| page.fits).collect();
    let columns = look.columns();
    if columns < LEAST_COLUMNS || fitting.is_empty() || fitting.len() > MOST_LANES {
        return;
    }
    let signs = if look.unicode { &UNICODE } else { &ASCII };
    let scale = Scale::of(evening.makespan_min, columns - TITLE - 4);
    writer.head("The evening");
    writer.line(&line("", &axis(evening, &scale, look)));
    if let Some(pauses) = pauses(evening, &scale, signs) {
        writer.line(&line("break", pauses.trim_end()));
    }
    for page in fitting {
        let steps: Vec<&EveningStep> =
            evening.steps.iter().filter(|step| (step.page, step.copy) == (page.page, page.copy)).collect();
        let title = shortened(&look.clean(&evening.name_of(page.page, page.copy, &page.title)));
        writer.line(&line(&title, &lane(&steps, evening, &scale, signs)));
    }
    if let Some(air) = &evening.air {
        writer.line(&line("air of the room", &curve(evening, &scale, signs)));
        writer.text(2, &format!("At its highest the air of the room is {}.", fullness(air.room_index_peak)));
    }
    let Signs { wait, longer, rack, closes, .. } = signs;
    let closing = evening.steps.iter().any(|step| closes_at(step, evening).is_some());
    let window = if closing { format!(", {closes} where the can's recoat window closes") } else { String::new() };
    writer.text(
        2,
        &format!(
            "A number is a coat; {wait} its wait, {longer} waiting longer than it must, {rack} drying on the \
             rack{window}. A column is {} min.",
            scale.minutes
        ),
    );
}

/// Minutes to columns.
struct Scale {
    minutes: i64,
    columns: usize,
}

impl Scale {
    fn of(whole_min: i64, columns: usize) -> Self {
        let minutes = (whole_min + 1).max(1).div_euclid(i64::try_from(columns).unwrap_or(1).max(1)) + 1;
        Self { minutes, columns }
    }

    fn column(&self, minute: i64) -> usize {
        usize::try_from(minute / self.minutes).unwrap_or(0).min(self.columns - 1)
    }
}

fn line(title: &str, drawn: &str) -> String {
    format!("  {title}{}  {drawn}", " ".repeat(TITLE.saturating_sub(display_width(title))))
}

/// A title that keeps its end, where the copy stands.
fn shortened(title: &str) -> String {
    if display_width(title) <= TITLE {
        return title.to_owned();
    }
    let (head, tail) =
        title.rsplit_once(", copy ").map_or((title, String::new()), |(head, copy)| (head, format!(" {copy}")));
    let mut short = String::new();
    for letter in head.chars() {
        if display_width(&short) + display_width(&tail) + 2 > TITLE {
            short.push('.');
            break;
        }
        short.push(letter);
    }
    short + &tail
}

fn axis(evening: &Evening, scale: &Scale, look: &Look) -> String {
    let Ok(start) = evening.inputs.start.parse::<jiff::Timestamp>() else { return String::new() };
    let start: ZonedDateTime = start.to_zoned_datetime(look.now.time_zone().clone());
    let mut axis = String::new();
    let mut minutes = 0;
    for _ in (0..scale.columns.saturating_sub(4)).step_by(TICK) {
        let shift = jiff::SignedDuration::from_mins(minutes);
        minutes += scale.minutes * TICK_COLUMNS;
        let clock = start.checked_add(shift).map(|at| at.strftime("%H:%M").to_string()).unwrap_or_default();
        axis.push_str(&clock);
        axis.extend(std::iter::repeat_n(' ', TICK.saturating_sub(clock.len())));
    }
    axis.trim_end().to_owned()
}

/// The breaks, if some lie within the evening.
fn pauses(evening: &Evening, scale: &Scale, signs: &Signs) -> Option<String> {
    let minute = |moment: &str| minutes_between(&evening.inputs.start, moment);
    let mut drawn = vec![' '; scale.columns];
    for [from, to] in &evening.inputs.breaks {
        let (from, to) = (minute(from)?.max(0), minute(to)?.min(evening.makespan_min));
        if from < to {
            drawn[scale.column(from)..=scale.column(to - 1)].fill(signs.pause);
        }
    }
    drawn.contains(&signs.pause).then(|| drawn.into_iter().collect())
}

fn lane(steps: &[&EveningStep], evening: &Evening, scale: &Scale, signs: &Signs) -> String {
    let mut drawn = vec![' '; scale.columns];
    let mut fill = |from: i64, to: i64, sign: char| {
        for cell in &mut drawn[scale.column(from)..=scale.column((to - 1).max(from))] {
            *cell = sign;
        }
    };
    for step in steps {
        let due = step.end_min + step.least_wait_min;
        let ends = step.end_min + step.wait_min;
        fill(step.end_min, due.min(ends), if step.coat == step.of { signs.rack } else { signs.wait });
        if ends > due {
            fill(due, ends, signs.longer);
        }
        if let Some(closes) = closes_at(step, evening) {
            fill(closes, closes + 1, signs.closes);
        }
    }
    for step in steps {
        let number = char::from_digit(u32::try_from(step.coat % 10).unwrap_or(0), 10).unwrap_or('*');
        fill(step.start_min, step.start_min + 1, number);
    }
    drawn.into_iter().collect()
}

/// The minute at which the window after a coat closes, if that is drawn.
fn closes_at(step: &EveningStep, evening: &Evening) -> Option<i64> {
    let closes = minutes_between(&evening.inputs.start, step.next_by.as_ref()?)?;
    (closes < evening.makespan_min).then_some(closes)
}

fn minutes_between(from: &str, to: &str) -> Option<i64> {
    let [from, to] = [from, to].map(|text| text.parse::<jiff::Timestamp>().ok());
    Some(to?.duration_since(from?).as_mins())
}

/// The highest index of each column; its sign is the share of the highest of the evening.
fn curve(evening: &Evening, scale: &Scale, signs: &Signs) -> String {
    let Some(air) = &evening.air else { return String::new() };
    let offset = evening.steps.iter().map(|step| step.start_min).min().unwrap_or(0);
    let mut highest = vec![0.0_f64; scale.columns];
    for point in air.series.iter().filter(|point| (point.t_min as i64) + offset <= evening.makespan_min) {
        let cell = &mut highest[scale.column(point.t_min as i64 + offset)];
        *cell = cell.max(point.room_index);
    }
    let top = highest.iter().copied().fold(0.0, f64::max);
    let mut before = 0.0;
    let sign = |value: f64| {
        let value = if value > 0.0 { value } else { before };
        before = value;
        if top <= 0.0 || value <= 0.0 {
            return ' ';
        }
        let step = libm::ceil(value / top * signs.air.len() as f64) as usize;
        signs.air[step.clamp(1, signs.air.len()) - 1]
    };
    highest.into_iter().map(sign).collect()
}
