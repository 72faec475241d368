//! Everything that reads what a person wrote.

use coatbell::input::{parse_size, parse_when};
use coatbell::page::{PageWords, Sheet, page_from_words};
use coatbell::quantity::{
    AirChanges, Area, Grammage, Length, Mass, MassRate, Pressure, Quantity, QuantityError, RelativeHumidity, Share,
    Speed, Temperature, TimeSpan, Volume, VolumeFlow, minutes_in_words, parse, parse_range, split_number,
};
use jiff::ZonedDateTime;

use super::seeds::{files, short_texts};
use super::{Outcome, fuzz};
use crate::damage::reading::{Depth, pointed, read};
use crate::damage::samples::Kind;
use crate::support::{CATALOG, now};

/// Executions of a normal run: of what takes microseconds, and of what takes milliseconds.
const CHEAP: u64 = 20_000;
const DEAR: u64 = 1_000;

/// An error says what and what to do.
fn said(error: &QuantityError) -> Result<(), String> {
    if error.to_string().is_empty() || error.hint().is_empty() {
        Err(format!("says nothing: {error:?}"))
    } else {
        Ok(())
    }
}

fn quantity<Q: Quantity>(text: &str) -> Outcome {
    let inside = |value: Q| value.si().is_finite() && (Q::MIN..=Q::MAX).contains(&value.si());
    let one = match parse::<Q>(text) {
        Ok(value) if !inside(value) => return Err(format!("{} of {}", value.si(), Q::NAME)),
        Ok(_) => true,
        Err(error) => said(&error).map(|()| false)?,
    };
    match parse_range::<Q>(text) {
        Ok((low, high)) if !inside(low) || !inside(high) || low > high => Err("a range outside its range".to_owned()),
        Ok(_) => Ok(true),
        // What is one value is a range as well.
        Err(_) if one => Err("a value that is no range".to_owned()),
        Err(error) => said(&error).map(|()| false),
    }
}

#[test]
fn quantities() {
    const READERS: [fn(&str) -> Outcome; 13] = [
        quantity::<Length>,
        quantity::<Area>,
        quantity::<Volume>,
        quantity::<Mass>,
        quantity::<MassRate>,
        quantity::<Grammage>,
        quantity::<Speed>,
        quantity::<Temperature>,
        quantity::<RelativeHumidity>,
        quantity::<Share>,
        quantity::<Pressure>,
        quantity::<AirChanges>,
        quantity::<VolumeFlow>,
    ];
    fuzz("quantities", short_texts(), CHEAP, 200, |input| {
        let text = String::from_utf8_lossy(input);
        split_number(&text);
        // One kind an execution, drawn by the text, so that an execution is one reading.
        let kind = input.iter().map(|byte| usize::from(*byte)).sum::<usize>() % READERS.len();
        READERS[kind](&text)
    });
}

#[test]
fn durations() {
    fuzz("durations", short_texts(), CHEAP, 200, |input| {
        let text = String::from_utf8_lossy(input);
        let most = 2.0 * 365.0 * 86_400.0;
        match TimeSpan::parse(&text) {
            Ok(span) if !(0.0..=most).contains(&span.seconds()) => return Err(format!("{} s", span.seconds())),
            Ok(span) if minutes_in_words(span.minutes() as i64).is_empty() => return Err("no words".to_owned()),
            Ok(_) => {}
            Err(error) => said(&error)?,
        }
        match TimeSpan::parse_range(&text) {
            Ok((low, high)) if low > high => Err("a range backwards".to_owned()),
            Ok(_) => Ok(true),
            Err(error) => said(&error).map(|()| false),
        }
    });
}

#[test]
fn moments_and_sizes() {
    let moments: Vec<ZonedDateTime> =
        ["2026-11-25T18:00[UTC]", "1970-01-01T00:00[Europe/Berlin]", "9999-12-30T12:00[UTC]"]
            .map(|moment| moment.parse().expect("a moment"))
            .to_vec();
    fuzz("moments", short_texts(), CHEAP, 200, |input| {
        let text = String::from_utf8_lossy(input);
        let when = parse_when(&text, &moments[input.len() % 3]);
        let size = parse_size(&text);
        match (&when, &size) {
            (Err(hint), _) if hint.is_empty() => Err("no hint".to_owned()),
            (_, Err((message, hint))) if message.is_empty() || hint.is_empty() => Err("says nothing".to_owned()),
            (_, Ok((width, height))) if !(0.02..=1.5).contains(width) || !(0.02..=1.5).contains(height) => {
                Err(format!("a page of {width} m x {height} m"))
            }
            _ => Ok(when.is_ok() || size.is_ok()),
        }
    });
}

#[test]
fn pages_in_words() {
    let seeds = [
        "watercolour, wax-pencil:40 %",
        "toner:8 %, alcohol-marker:heavy, glitter:loose:1 %",
        "watercolour:wet-on-dry",
        "wax pencil: 40 %, gel-pen",
        "acrylic-gloss, watercolour",
    ];
    let seeds = seeds.iter().map(|seed| seed.as_bytes().to_vec()).chain(short_texts()).collect();
    fuzz("words", seeds, CHEAP / 20, 400, |input| {
        let media = String::from_utf8_lossy(input);
        let words = PageWords { media: &media, paper: Some("cardstock"), size: Some("A4"), finish: None };
        let read = page_from_words(&words, &now());
        match read.and_then(|(page, source)| Sheet::resolve(&page, &source, &CATALOG).map(|_| ())) {
            Ok(()) => Ok(true),
            Err(problems) => pointed(&problems).map(|()| false),
        }
    });
}

/// A target that reads files.
fn file(name: &str, kind: Kind) {
    fuzz(name, files(kind), DEAR, 100_000, |input| match read(kind, "file", input, Depth::Review) {
        Ok(said) if said.is_empty() => Err("an answer that says nothing".to_owned()),
        Ok(_) => Ok(true),
        Err(all) => all.iter().try_for_each(pointed).map(|()| false),
    });
}

#[test]
fn pages() {
    file("page", Kind::Page);
}

#[test]
fn rooms() {
    file("room", Kind::Room);
}

#[test]
fn cans() {
    file("sealer", Kind::Can);
}

#[test]
fn materials() {
    file("materials", Kind::Materials);
}

#[test]
fn checks() {
    file("checks", Kind::Checks);
}

#[test]
fn bench_problems() {
    file("batch", Kind::Bench);
}

#[test]
fn forecasts() {
    file("forecast", Kind::Forecast);
}

#[test]
fn evenings() {
    file("evening", Kind::Evening);
}
