//! Reading a file of any kind the way the program does, and watching over time, memory and errors.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use coatbell::batch::{
    Control, Effort, EveningEntry, EveningRequest, EveningSheet, Problem as Bench, bench_document, evening, solve,
};
use coatbell::conditions::BenchAir;
use coatbell::diagnostic::{Problems, SourceText, render};
use coatbell::input::{
    BatchInput, Follows, Forecast, ForecastUnits, RoomInput, read_batch, read_forecast, read_page, read_room,
    read_sealer, text_from_bytes,
};
use coatbell::page::{Sheet, layers_document, review};
use coatbell::plan::SEED;
use coatbell::quantity::TimeSpan;
use coatbell::report::{Look, bench_text, evening_text, layers_text, plan_text, weather_text};
use coatbell::verify::{checks_text, read_checks, run};
use coatbell::weather::{WeatherRequest, review as review_weather};

use jiff::tz::TimeZone;

use super::samples::{Kind, Sample};
use crate::support::{CATALOG, REFERENCE_ROOM, now, page, request, room};

/// How far a file that can be read is worked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Depth {
    /// As far as is quick.
    Review,
    /// To the whole answer.
    Answer,
}

/// A page for the rooms and cans.
const SOME_PAGE: &str = "size = \"A5\"\npaper = \"cardstock\"\nfinished = \"5 days ago\"\n\
                         [[layer]]\nmedium = \"watercolour\"\ncover = \"60 %\"\n";

/// Reads a file and answers; the answer is the text a person would get.
pub(crate) fn read(kind: Kind, name: &str, bytes: &[u8], depth: Depth) -> Result<String, Vec<Problems>> {
    let source = text_from_bytes(name, bytes).map_err(|problems| vec![problems])?;
    let one = |problems: Problems| vec![problems];
    match kind {
        Kind::Page => answer_page(&source, &room(REFERENCE_ROOM), None, depth).map_err(one),
        Kind::Room => {
            let room = read_room(&source).map_err(one)?;
            let (page_source, _) = page(SOME_PAGE);
            answer_page(&page_source, &room, None, depth).map_err(one)
        }
        Kind::Can => {
            let can = read_sealer(&source).and_then(|can| CATALOG.own_sealer(&can)).map_err(one)?;
            let (page_source, _) = page(SOME_PAGE);
            answer_page(&page_source, &room(REFERENCE_ROOM), Some(&can), depth).map_err(one)
        }
        Kind::Materials => CATALOG.with_overlays(&[source]).map(|catalog| catalog.media.len().to_string()),
        Kind::Checks => {
            let checks = read_checks(&source).map_err(one)?;
            let report = run(&checks, &source, &CATALOG).map_err(one)?;
            Ok(checks_text(&report, &Look::plain(now())))
        }
        Kind::Forecast => {
            let forecast = read_forecast(&source, &TimeZone::UTC, ForecastUnits::default()).map_err(one)?;
            match depth {
                Depth::Review => Ok(format!("{} rows", forecast.hours.len())),
                Depth::Answer => Ok(answer_forecast(&forecast)),
            }
        }
        Kind::Evening => {
            let batch = read_batch(&source, &now()).map_err(one)?;
            match depth {
                Depth::Review => Ok(format!("{} pages", batch.pages.len())),
                Depth::Answer => Ok(answer_evening(&batch)),
            }
        }
        Kind::Bench => {
            let problem = Bench::from_json(&source).map_err(one)?;
            if depth == Depth::Review {
                return Ok(problem.pages.len().to_string());
            }
            let answer = solve(&problem, Effort::Quick, &ALONE);
            Ok(bench_text(&bench_document(&problem, &answer, Effort::Quick), &Look::plain(now())))
        }
    }
}

/// A search on one thread that nobody stops.
const ALONE: Control<'_> = Control { threads: 1, stop: &|| false, progress: &|_, _| {} };

/// The hours of a forecast in which a page can be sealed in a garage.
fn answer_forecast(forecast: &Forecast) -> String {
    let (page_source, input) = page(SOME_PAGE);
    let sheet = Sheet::resolve(&input, &page_source, &CATALOG).expect("a page of these tests");
    let room = room("volume = \"40 m3\"\nairflow = \"window-open\"\nfollows = \"garage\"\n");
    let now = now();
    let request = WeatherRequest {
        sheet: &sheet,
        sealer: Some(&CATALOG.sealers["acrylic-gloss"]),
        room: &room,
        follows: Follows::Garage,
        forecast,
        between_h: (0, 24),
        now: &now,
        seed: SEED,
    };
    weather_text(&review_weather(&request, &CATALOG), &Look::plain(now.clone()))
}

/// The evening, with a page of these tests for every page it names: its file is read by the program alone.
fn answer_evening(batch: &BatchInput) -> String {
    let (page_source, input) = page(SOME_PAGE);
    let sealers: Vec<Option<String>> =
        batch.pages.iter().map(|entry| entry.sealer.as_ref().map(|sealer| sealer.value.clone())).collect();
    let mut distinct = sealers.clone();
    distinct.sort_unstable();
    distinct.dedup();
    let sheets = distinct.iter().map(|sealer| EveningSheet {
        sheet: Sheet::resolve(&input, &page_source, &CATALOG).expect("a page of these tests"),
        sealer: sealer.as_ref().and_then(|sealer| CATALOG.sealer(sealer).ok()).cloned(),
    });
    let place = |sealer: &Option<String>| distinct.iter().position(|other| other == sealer).unwrap_or(0);
    let entries = batch.pages.iter().zip(&sealers);
    let room = room(REFERENCE_ROOM);
    let request = EveningRequest {
        sheets: sheets.collect(),
        entries: entries
            .map(|(entry, sealer)| EveningEntry {
                sheet: place(sealer),
                file: entry.file.value.clone(),
                sealer: sealer.clone(),
                copies: entry.copies,
                written_at: None,
            })
            .collect(),
        rack: batch.rack,
        start: batch.start.clone(),
        stop_by: batch.stop_by.clone(),
        breaks: batch.breaks.clone(),
        can_change_min: batch.can_change.map(TimeSpan::minutes),
        handling_min: batch.handling.map(TimeSpan::minutes),
        room: Some(&room),
        room_named: true,
        respirator: None,
        now: now(),
    };
    evening_text(&evening(&request, Effort::Quick, &ALONE, &CATALOG), &Look::plain(now()))
}

fn answer_page(
    source: &SourceText,
    room: &RoomInput,
    sealer: Option<&coatbell::catalog::Sealer>,
    depth: Depth,
) -> Result<String, Problems> {
    let now = now();
    let input = read_page(source, &now)?;
    let sheet = Sheet::resolve(&input, source, &CATALOG)?;
    let bench = BenchAir::from_room(Some(room), &CATALOG.rules);
    let review = review(&sheet, &CATALOG, &bench.air, &now);
    let look = Look::plain(now.clone());
    let mut said = layers_text(&layers_document(&sheet, &review, &bench.air, &now), &look);
    if depth == Depth::Answer {
        let request = request(&sheet, sealer, room, &now);
        said += &plan_text(&coatbell::plan::make(&request, &CATALOG), &look);
    }
    Ok(said)
}

/// Watches over many readings.
pub(crate) struct Watch {
    limit: Duration,
    /// An evening plans every page it names, so that its answer is several.
    limit_of_evenings: Duration,
    slowest: (Duration, String),
    most_kilobytes: u64,
}

impl Watch {
    /// The limit is a second, or, where the build is not optimised, several times what the whole files take.
    pub(crate) fn new(samples: &[Sample]) -> Self {
        let (limit, limit_of_evenings) = (Duration::MAX, Duration::MAX);
        let mut watch = Self { limit, limit_of_evenings, slowest: (Duration::ZERO, String::new()), most_kilobytes: 0 };
        let some = samples.iter().filter(|sample| matches!(sample.kind, Kind::Page | Kind::Bench)).step_by(4);
        watch.limit = watch.several_times(some.chain(samples.iter().filter(|sample| sample.kind == Kind::Forecast)));
        watch.limit_of_evenings = watch.several_times(samples.iter().filter(|sample| sample.kind == Kind::Evening));
        watch.slowest = (Duration::ZERO, String::new());
        watch
    }

    /// Four times the slowest of some whole files, but at least a second.
    fn several_times<'s>(&mut self, whole: impl Iterator<Item = &'s Sample>) -> Duration {
        self.slowest.0 = Duration::ZERO;
        for sample in whole {
            let answered = self.over(&sample.name, sample, &sample.bytes, Depth::Answer);
            assert_eq!(answered, Ok("answered"), "{}", sample.name);
        }
        (self.slowest.0 * 4).max(Duration::from_secs(1))
    }

    /// Reads one file; `answered` or `refused`, or what went wrong.
    pub(crate) fn over(
        &mut self,
        what: &str,
        sample: &Sample,
        bytes: &[u8],
        depth: Depth,
    ) -> Result<&'static str, String> {
        let start = Busy::now();
        let read = catch_unwind(AssertUnwindSafe(|| read(sample.kind, &sample.name, bytes, depth)));
        let took = start.elapsed();
        let outcome = match read {
            Err(_) => return Err("a panic".to_owned()),
            Ok(Ok(said)) if said.trim().is_empty() => return Err("an answer that says nothing".to_owned()),
            Ok(Ok(said)) => only_visible(&said).map(|()| "answered")?,
            Ok(Err(all)) => {
                all.iter().try_for_each(pointed)?;
                "refused"
            }
        };
        if took > self.slowest.0 {
            self.slowest = (took, what.to_owned());
        }
        let limit = if sample.kind == Kind::Evening { self.limit_of_evenings } else { self.limit };
        if took > limit {
            return Err(format!("took {took:?} of {limit:?}"));
        }
        self.most_kilobytes = self.most_kilobytes.max(peak_kilobytes().unwrap_or(0));
        Ok(outcome)
    }

    pub(crate) fn slowest(&self) -> String {
        format!("{:?} ({})", self.slowest.0, self.slowest.1)
    }

    pub(crate) fn most_megabytes(&self) -> u64 {
        self.most_kilobytes / 1000
    }

    /// Nothing took more than 200 MB. Only counts where these tests have the process to themselves.
    pub(crate) fn small(&self) {
        assert!(self.most_megabytes() < 200, "{} MB", self.most_megabytes());
    }
}

/// Whether every problem says what, where and what to do, and draws without hidden characters.
pub(crate) fn pointed(problems: &Problems) -> Result<(), String> {
    if problems.list.is_empty() {
        return Err("refused without a word".to_owned());
    }
    for problem in &problems.list {
        let whole_file =
            problem.code.starts_with("file-") || ["no-checks", "other-kind-of-file"].contains(&problem.code);
        let lacks = match problem {
            _ if problem.message.is_empty() => "message",
            _ if problem.span.is_none() && problem.key.is_none() && !whole_file => "place",
            _ if problem.hint.is_none() => "cure",
            _ => continue,
        };
        return Err(format!("`{}` has no {lacks}: {problem:?}", problem.code));
    }
    let mut few = problems.clone();
    few.list.truncate(40);
    only_visible(&render(&few, false, 80))
}

/// Nothing that moves a cursor, breaks or turns a line.
fn only_visible(said: &str) -> Result<(), String> {
    let hidden = said.chars().find(|letter| {
        (letter.is_control() && *letter != '\n') || matches!(letter, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}')
    });
    hidden.map_or(Ok(()), |hidden| Err(format!("shows {hidden:?} in {said:.3000?}")))
}

/// Time of the processor rather than of the clock, so that a busy machine does not fail a test.
pub(crate) struct Busy {
    clock: Instant,
    processor: Option<Duration>,
}

impl Busy {
    pub(crate) fn now() -> Self {
        Self { clock: Instant::now(), processor: processor_time() }
    }

    pub(crate) fn elapsed(&self) -> Duration {
        match (self.processor, processor_time()) {
            (Some(before), Some(after)) => after.saturating_sub(before),
            _ => self.clock.elapsed(),
        }
    }
}

/// What this thread has used of the processor, where the system tells.
fn processor_time() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse().ok().map(Duration::from_nanos)
}

/// The most memory this process ever had, where the system tells.
fn peak_kilobytes() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
