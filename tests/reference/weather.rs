//! A typical year of weather (TMY3 of Greensboro, as carried by pvlib 0.16.1): the hours found equal those of a
//! brute-force script that shares nothing with the program (`weather/starts.py`).

use std::path::Path;

use coatbell::catalog::Catalog;
use coatbell::diagnostic::SourceText;
use coatbell::input::{Follows, ForecastUnits, RoomInput, read_forecast, read_room};
use coatbell::page::{PageWords, Sheet, page_from_words};
use coatbell::weather::{Weather, WeatherRequest, review};
use jiff::ZonedDateTime;

fn file(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/weather").join(name);
    std::fs::read_to_string(path).expect("a reference file")
}

/// The year reviewed for a page that is ready, with a sealer whose film does not blush.
pub(crate) fn year(room: &RoomInput, follows: Follows, change: impl Fn(&mut coatbell::input::Forecast)) -> Weather {
    let catalog = Catalog::builtin();
    let now: ZonedDateTime = "2001-01-01T00:00[-05:00]".parse().expect("a moment");
    let source = SourceText::new("year.csv", &file("year.csv"));
    let mut forecast = read_forecast(&source, now.time_zone(), ForecastUnits::default()).expect("a forecast");
    change(&mut forecast);
    let words = PageWords { media: "wax-pencil", paper: Some("cardstock"), size: Some("A4"), finish: None };
    let (page, page_source) = page_from_words(&words, &now).expect("a page");
    let sheet = Sheet::resolve(&page, &page_source, &catalog).expect("known names");
    let sealer = catalog.sealer("water-clear").expect("a built-in sealer");
    review(
        &WeatherRequest {
            sheet: &sheet,
            sealer: Some(sealer),
            room,
            follows,
            forecast: &forecast,
            between_h: (0, 24),
            now: &now,
            seed: 1,
        },
        &catalog,
    )
}

pub(crate) fn room(text: &str) -> RoomInput {
    read_room(&SourceText::new("room.toml", text)).expect("a room")
}

pub(crate) fn starts(weather: &Weather) -> Vec<usize> {
    weather.hours.iter().enumerate().filter(|(_, hour)| hour.start.is_some()).map(|(row, _)| row).collect()
}

#[test]
fn a_year_of_hours_equals_brute_force() {
    let catalog = Catalog::builtin();
    let text = file("starts.csv");
    let mut compared = 0;
    for line in text.lines().skip(1) {
        let [mode, run_min, count, hours] = line.split(',').collect::<Vec<_>>()[..] else { panic!("{line}") };
        let (room, follows) = match mode {
            "outdoors" => (catalog.room("outdoors").expect("a room").clone(), Follows::Outdoors),
            "garage" => (room("volume = \"40 m3\"\nairflow = \"cross-draught\"\n"), Follows::Garage),
            "heated" => {
                (room("volume = \"40 m3\"\nairflow = \"cross-draught\"\ntemperature = \"20 C\"\n"), Follows::Heated)
            }
            other => panic!("{other}"),
        };
        let weather = year(&room, follows, |_| ());
        assert_eq!(weather.run_min.to_string(), run_min, "the script was run for another length");
        let expected: Vec<usize> = hours
            .split(' ')
            .flat_map(|run| {
                let (first, last) = run.split_once('-').expect("first-last");
                first.parse().expect("a row")..=last.parse::<usize>().expect("a row")
            })
            .collect();
        assert_eq!(expected.len().to_string(), count);
        assert_eq!(starts(&weather), expected, "{mode}");
        compared += 1;
    }
    assert_eq!(compared, 3);
}
