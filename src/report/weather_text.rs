//! The review of a forecast as text: the answer, a strip of the days, the best hours, what keeps the others out.

use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::look::Look;
use super::plan_text::{cautions, noticed};
use super::words::moment;
use super::writer::Writer;
use crate::caution;
use crate::diagnostic::plural;
use crate::finding::Level;
use crate::quantity::{minutes_in_words, number};
use crate::weather::{Weather, WeatherHour, WeatherWindow};

/// Columns of the labels.
const LABEL: usize = 8;
/// Days drawn; more with `-v`.
const MOST_DAYS: usize = 10;
/// Stretches listed.
const MOST_WINDOWS: usize = 5;

/// The signs of the strip.
struct Signs {
    go: char,
    care: char,
    not: char,
}

const FULL: Signs = Signs { go: '█', care: '▒', not: '·' };
const PLAIN: Signs = Signs { go: '#', care: '+', not: '.' };

/// A review as text. Quiet, it is two lines: the answer and the caution.
pub fn weather_text(weather: &Weather, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        writer.line(&format!("{}  {}", weather.verdict.word().to_uppercase(), look.clean(&weather.answer)));
        writer.line(&look.clean(caution::IN_ONE_LINE));
        return writer.finish();
    }
    writer.verdict(weather.verdict, &weather.answer);
    writer.blank();
    writer.labelled(LABEL, "Page", &weather.page);
    writer.labelled(LABEL, "Sealer", &weather.sealer);
    writer.labelled(LABEL, "Bench", &bench(weather));
    let run = minutes_in_words(i64::from(weather.run_min));
    writer.labelled(LABEL, "Run", &format!("{run} at most, from the first coat to handle-dry"));
    strip(&mut writer, weather, look);
    windows(&mut writer, weather, look);
    limits(&mut writer, weather);
    noticed(&mut writer, &weather.findings, look);
    cautions(&mut writer, &weather.cautions);
    writer.finish()
}

fn bench(weather: &Weather) -> String {
    let follows = weather.inputs["follows"].as_str().unwrap_or_default();
    let room = weather.inputs["room"].as_str().unwrap_or_default();
    match follows {
        "garage" => format!("{room}, unheated: as damp as the weather, behind it in warmth"),
        "heated" => format!("{room}, heated and aired: warm as stated, as moist as the weather makes it"),
        _ if room.contains("outdoors") => format!("{room}: the air is the weather's"),
        _ => format!("{room}, outdoors: the air is the weather's"),
    }
}

/// A line a day, a sign an hour: when the first coat may begin.
fn strip(writer: &mut Writer, weather: &Weather, look: &Look) {
    let signs = if look.unicode { &FULL } else { &PLAIN };
    writer.head("When the first coat may begin");
    let mut days: Vec<(Date, [char; 24])> = Vec::new();
    for hour in &weather.hours {
        let Some(at) = moment(look, &hour.at) else { continue };
        let at = at.with_time_zone(look.now.time_zone().clone());
        if days.last().is_none_or(|(date, _)| *date != at.date()) {
            days.push((at.date(), [' '; 24]));
        }
        let Some((_, cells)) = days.last_mut() else { continue };
        let cell = &mut cells[usize::from(at.hour().unsigned_abs()).min(23)];
        *cell = better(*cell, sign(hour, &at, signs, look), signs);
    }
    let most = if look.verbose { usize::MAX } else { MOST_DAYS };
    writer.line(&format!("  {:<10}  0     6     12    18", ""));
    for (date, cells) in days.iter().take(most) {
        writer.line(&format!("  {:<10}  {}", day(*date), cells.iter().collect::<String>()));
    }
    if days.len() > most {
        writer.text(2, &format!("… and {} more; -v shows them", plural(days.len() - most, "day")));
    }
    writer.text(
        2,
        &format!("{} go   {} care   {} not; empty: past, or not in the forecast", signs.go, signs.care, signs.not),
    );
}

fn sign(hour: &WeatherHour, at: &ZonedDateTime, signs: &Signs, look: &Look) -> char {
    match hour.start {
        Some(Level::Go | Level::Note) => signs.go,
        Some(Level::Care) => signs.care,
        _ if *at < look.now => ' ',
        _ => signs.not,
    }
}

/// Of two rows of one hour the better one is shown.
fn better(one: char, other: char, signs: &Signs) -> char {
    [signs.go, signs.care, signs.not].into_iter().find(|sign| *sign == one || *sign == other).unwrap_or(' ')
}

fn day(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

fn windows(writer: &mut Writer, weather: &Weather, look: &Look) {
    if weather.windows.is_empty() {
        return;
    }
    writer.head("Best hours");
    for (n, window) in weather.windows.iter().take(MOST_WINDOWS).enumerate() {
        writer.item(2, &format!("{}.", n + 1), &window_text(window, look));
    }
    if weather.windows.len() > MOST_WINDOWS {
        let more = weather.windows.len() - MOST_WINDOWS;
        writer.text(2, &format!("… and {more} more {}", if more == 1 { "stretch" } else { "stretches" }));
    }
}

fn window_text(window: &WeatherWindow, look: &Look) -> String {
    let at = |iso: &str| moment(look, iso).map(|at| at.with_time_zone(look.now.time_zone().clone()));
    let clock = |iso: &str| at(iso).map(|at| at.strftime("%H:%M").to_string()).unwrap_or_default();
    let date = at(&window.best_at).map(|at| day(at.date())).unwrap_or_default();
    let stretch = if window.from == window.to {
        String::new()
    } else {
        let last = at(&window.to).map_or_else(String::new, |to| {
            let same = at(&window.from).is_some_and(|from| from.date() == to.date());
            if same { to.strftime("%H:%M").to_string() } else { to.strftime("%a %-d %b %H:%M").to_string() }
        });
        format!("; any start from {} to {last} suits", clock(&window.from))
    };
    let wind = window.wind_m_s.map(|wind| format!(", wind {} m/s", number((wind * 10.0).round() / 10.0)));
    let mut says = vec![format!(
        "{date} {}, {}: {}, {} % humidity{}; handle-dry by {}{stretch}.",
        clock(&window.best_at),
        window.level.word().to_uppercase(),
        look.units.temperature(window.temperature_c),
        number(window.relative_humidity_pct.round()),
        wind.unwrap_or_default(),
        clock(&window.ends_at),
    )];
    if window.level >= Level::Care {
        says.push(format!("Nearest limit: {}.", window.limit.in_words()));
    }
    if let (Some(verdict), Some(answer)) = (window.plan_verdict, &window.plan_answer) {
        says.push(format!("The plan then, {}: {answer}.", verdict.word().to_uppercase()));
    }
    says.join(" ")
}

fn limits(writer: &mut Writer, weather: &Weather) {
    if weather.limits.is_empty() {
        return;
    }
    writer.head("What keeps the other hours out");
    for limit in &weather.limits {
        writer.bullet(&format!("{}: {}", limit.limit.in_words(), plural(limit.hours, "hour")));
    }
}
