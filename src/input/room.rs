//! The room file.

use std::ops::Range;

use super::kind::FileKind;
use super::{Document, TableReader};
use crate::diagnostic::{Problem, Problems, SourceText};
use crate::quantity::{
    self, AirChanges, Area, Length, Pressure, Quantity, RelativeHumidity, Speed, Temperature, Volume, VolumeFlow,
};

/// How the air moves, in plain words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Airflow {
    /// Everything shut.
    Closed,
    /// One window tilted or a hand's width open.
    WindowAjar,
    /// One window wide open.
    WindowOpen,
    /// Windows or doors open on two sides.
    CrossDraught,
    /// A fan in the window.
    WindowFan,
    /// In the open air.
    Outdoors,
}

impl Airflow {
    /// The words in files, with UK and US spellings.
    pub const WORDS: [(&'static str, Self); 8] = [
        ("closed", Self::Closed),
        ("window-ajar", Self::WindowAjar),
        ("window-open", Self::WindowOpen),
        ("cross-draught", Self::CrossDraught),
        ("window-fan", Self::WindowFan),
        ("outdoors", Self::Outdoors),
        ("cross-draft", Self::CrossDraught),
        ("outside", Self::Outdoors),
    ];

    /// The word on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Closed => "closed",
            Self::WindowAjar => "window-ajar",
            Self::WindowOpen => "window-open",
            Self::CrossDraught => "cross-draught",
            Self::WindowFan => "window-fan",
            Self::Outdoors => "outdoors",
        }
    }
}

/// How the air of a room goes with the weather outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Follows {
    /// It is outdoors: it is the weather.
    Outdoors,
    /// Unheated: its temperature lags behind the weather's, its moisture is the weather's.
    Garage,
    /// Kept at its temperature, aired: its moisture is the weather's.
    Heated,
}

impl Follows {
    /// The words in files.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("outdoors", Self::Outdoors),
        ("garage", Self::Garage),
        ("heated", Self::Heated),
        ("outside", Self::Outdoors),
        ("unheated", Self::Garage),
    ];

    /// The word on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Outdoors => "outdoors",
            Self::Garage => "garage",
            Self::Heated => "heated",
        }
    }
}

/// A window with figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindowInput {
    /// Open area in m².
    pub area_m2: f64,
    /// Height of the opening in m.
    pub height_m: f64,
    /// Open area on the other side in m², for a cross draught.
    pub opposite_m2: Option<f64>,
}

/// A room as written. `None` means not stated, unless said otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomInput {
    /// Name of the room.
    pub name: String,
    /// Volume in m³; `None` outdoors.
    pub volume_m3: Option<f64>,
    /// Height in m, if the size was given.
    pub height_m: Option<f64>,
    /// Air temperature in °C; `None` if unknown.
    pub temperature_c: Option<f64>,
    /// Relative humidity as a fraction; `None` if unknown.
    pub relative_humidity: Option<f64>,
    /// Outdoor temperature in °C, for a window with figures.
    pub outdoor_temperature_c: Option<f64>,
    /// How the air moves; `None` if figures are given instead.
    pub airflow: Option<Airflow>,
    /// Air changes per hour, if given.
    pub air_changes_per_h: Option<f64>,
    /// Rated fan flow in m³/h, if given.
    pub fan_m3_h: Option<f64>,
    /// Where its file says so, bytes; `None` if the fan is that of a room it extends.
    pub fan_span: Option<Range<usize>>,
    /// Whether the fan is sealed into the opening.
    pub fan_sealed: bool,
    /// A window with figures, if given.
    pub window: Option<WindowInput>,
    /// Wind speed in m/s, if given.
    pub wind_m_s: Option<f64>,
    /// How it goes with the weather, if stated; only a forecast asks for it.
    pub follows: Option<Follows>,
    /// Air pressure in Pa.
    pub pressure_pa: f64,
    /// Pilot light, heater, candle within 6 m.
    pub ignition: bool,
}

/// Reads a room file.
///
/// # Errors
/// Everything wrong with the file, at once.
pub fn read_room(source: &SourceText) -> Result<RoomInput, Problems> {
    let document = Document::parse(source);
    document.expect(FileKind::Room);
    let root = document.root();
    let room = room_over(&root, None);
    root.finish();
    document.finish(Some(room))
}

/// Reads the keys of a room from a table; what it does not say is taken from the room it extends.
///
/// A room that says anything about its air takes nothing of the other's air.
pub(crate) fn room_over(root: &TableReader<'_>, base: Option<&RoomInput>) -> RoomInput {
    let air = ["airflow", "air_changes", "fan", "window"].into_iter().filter(|key| root.has(key)).count() > 0;
    let below = base.filter(|_| !air);
    let name = root.text("name").map_or_else(|| "the room".to_owned(), |name| name.value);
    let airflow = root.choice("airflow", &Airflow::WORDS);
    let outdoors = airflow.as_ref().is_some_and(|airflow| airflow.value == Airflow::Outdoors)
        || below.is_some_and(|base| base.airflow == Some(Airflow::Outdoors));
    let sized = root.has("size") || root.has("volume");
    let (volume_m3, height_m) = match base.filter(|base| !sized && (base.volume_m3.is_some() || outdoors)) {
        Some(base) => (base.volume_m3, base.height_m),
        None => volume(root, outdoors),
    };
    let air_changes = root.quantity::<AirChanges>("air_changes");
    let fan = root.quantity::<VolumeFlow>("fan");
    for (key, span, is_zero) in [
        (
            "air_changes",
            air_changes.as_ref().map(|value| value.span.clone()),
            air_changes.as_ref().is_some_and(|v| v.value.si() <= 0.0),
        ),
        ("fan", fan.as_ref().map(|value| value.span.clone()), fan.as_ref().is_some_and(|v| v.value.si() <= 0.0)),
    ] {
        if let Some(span) = span
            && is_zero
        {
            let problem = Problem::new("out-of-range", format!("`{key}`: no air at all is not a room anyone sits in"))
                .with_hint("write `airflow = \"closed\"` for a shut room");
            root.problem_at(key, span, problem);
        }
    }
    let window = root.table("window").and_then(|reader| {
        let area = reader.quantity::<Area>("area");
        let height = reader.quantity::<Length>("height");
        let opposite = reader.quantity::<Area>("opposite");
        reader.require("area", "\"0.5 m2\"");
        reader.require("height", "\"1 m\"");
        reader.finish();
        Some(WindowInput {
            area_m2: area?.value.si(),
            height_m: height?.value.si(),
            opposite_m2: opposite.map(|area| area.value.si()),
        })
    });
    let wind = root.quantity::<Speed>("wind");
    if let Some(wind) = &wind
        && !outdoors
        && window.is_none()
        && below.is_none_or(|base| base.window.is_none())
    {
        let problem = Problem::new(
            "wind-indoors",
            "`wind` is given for a room that is not outdoors and has no `window`",
        )
        .with_hint(
            "give the open window as `window = { area = \"0.5 m2\", height = \"1 m\" }`, or `airflow = \"outdoors\"`",
        );
        root.problem_at("wind", wind.span.clone(), problem);
    }
    let fan_sealed = root.boolean("sealed");
    let given = [air_changes.is_some(), fan.is_some(), window.is_some()].into_iter().filter(|given| *given).count();
    if given > 1 && !(given == 2 && fan.is_some() && window.is_some()) {
        let problem = Problem::new("two-airflows", "the air is described in more than one way")
            .with_hint("keep one of `air_changes`, `fan` and `window` (a fan may have the window that lets air in)");
        root.problem(problem.with_key("air_changes"));
    }
    // A word that shuts the room, or has none, beside a figure that says air comes in: one of them is a slip.
    if let Some(word) = airflow.as_ref().filter(|word| matches!(word.value, Airflow::Closed | Airflow::Outdoors))
        && given > 0
    {
        let message =
            format!("`airflow = \"{}\"` does not go with `air_changes`, `fan` or `window`", word.value.word());
        let problem = Problem::new("two-airflows", message).with_hint("keep the one that is true while you spray");
        root.problem_at("airflow", word.span.clone(), problem);
    }
    let temperature = unknown_or::<Temperature>(root, "temperature");
    let humidity = unknown_or::<RelativeHumidity>(root, "humidity");
    let outdoor = root.quantity::<Temperature>("outdoor_temperature").map(|value| value.value.si());
    let follows = root.choice("follows", &Follows::WORDS);
    if let Some(word) = follows.as_ref().filter(|word| outdoors != (word.value == Follows::Outdoors)) {
        let message = format!("`follows = \"{}\"` and the air of the room contradict each other", word.value.word());
        let hint = "`outdoors` goes with `airflow = \"outdoors\"`; a garage or a heated room is indoors";
        root.problem_at("follows", word.span.clone(), Problem::new("follows-what", message).with_hint(hint));
    }
    let follows = follows.map(|word| word.value);
    let pressure = root.quantity::<Pressure>("pressure").map(|value| value.value.si());
    RoomInput {
        name,
        volume_m3,
        height_m,
        temperature_c: if root.has("temperature") { temperature } else { base.and_then(|base| base.temperature_c) },
        relative_humidity: if root.has("humidity") { humidity } else { base.and_then(|base| base.relative_humidity) },
        outdoor_temperature_c: outdoor.or(base.and_then(|base| base.outdoor_temperature_c)),
        airflow: airflow.map(|airflow| airflow.value).or(below.and_then(|base| base.airflow)),
        air_changes_per_h: air_changes.map(|value| value.value.si()).or(below.and_then(|base| base.air_changes_per_h)),
        fan_span: fan.as_ref().map(|value| value.span.clone()),
        fan_m3_h: fan.map(|value| value.value.si()).or(below.and_then(|base| base.fan_m3_h)),
        fan_sealed: fan_sealed.unwrap_or(below.is_some_and(|base| base.fan_sealed)),
        window: window.or(below.and_then(|base| base.window)),
        wind_m_s: wind.map(|value| value.value.si()).or(below.and_then(|base| base.wind_m_s)),
        follows: follows.or(base.and_then(|base| base.follows)),
        pressure_pa: pressure.or(base.map(|base| base.pressure_pa)).unwrap_or(101_325.0),
        ignition: root.boolean("ignition").unwrap_or(base.is_some_and(|base| base.ignition)),
    }
}

/// A quantity, or `None` for the word `unknown` and for a missing key.
fn unknown_or<Q: Quantity>(root: &TableReader<'_>, key: &'static str) -> Option<f64> {
    let text = if root.has(key) { root.raw_text(key) } else { None };
    if text.is_some_and(|text| text.trim().eq_ignore_ascii_case("unknown")) {
        return None;
    }
    root.quantity::<Q>(key).map(|value| value.value.si())
}

/// Volume in m³ and height in m, from `size` or `volume`.
fn volume(root: &TableReader<'_>, outdoors: bool) -> (Option<f64>, Option<f64>) {
    let size = root.text("size");
    let volume = root.quantity::<Volume>("volume");
    let span = size.as_ref().map(|size| size.span.clone()).or(volume.as_ref().map(|volume| volume.span.clone()));
    let key = if size.is_some() { "size" } else { "volume" };
    let measured = match size {
        Some(size) => match parse_room_size(&size.value) {
            Ok([length, width, height]) => Some((length * width * height, Some(height))),
            Err((message, hint)) => {
                root.problem_at(
                    "size",
                    size.span,
                    Problem::new("room-size", format!("`size`: {message}")).with_hint(hint),
                );
                return (None, None);
            }
        },
        None => volume.map(|volume| (volume.value.si(), None)),
    };
    match measured {
        Some((cubic, _)) if !(1.0..=20_000.0).contains(&cubic) => {
            let problem = Problem::new("room-size", format!("`{key}`: {} m3 is not a room", quantity::number(cubic)))
                .with_hint("rooms from 1 m3 to 20000 m3 are reviewed");
            root.problem_at(key, span.unwrap_or(0..0), problem);
            (None, None)
        }
        Some((cubic, height)) => (Some(cubic), height),
        None if outdoors => (None, None),
        None => {
            let problem = Problem::new("missing-key", "the room has no `size`")
                .with_hint("add `size = \"3.4 m x 2.8 m x 2.4 m\"` or `volume = \"23 m3\"`");
            root.problem(problem.with_key("size"));
            (None, None)
        }
    }
}

fn parse_room_size(text: &str) -> Result<[f64; 3], (String, String)> {
    let lower = text.to_lowercase().replace('×', " x ").replace(" by ", " x ");
    let parts: Vec<&str> = lower.split('x').map(str::trim).collect();
    let [_, _, last] = parts[..] else {
        return Err((format!("`{}` is not three sides", text.trim()), "write `3.4 m x 2.8 m x 2.4 m`".to_owned()));
    };
    let unit = quantity::split_number(last).map_or("", |(_, unit)| unit);
    let mut sides = [0.0; 3];
    for (side, part) in sides.iter_mut().zip(&parts) {
        let spelled = match quantity::split_number(part) {
            Some((_, "")) if !unit.is_empty() => format!("{part} {unit}"),
            _ => (*part).to_owned(),
        };
        *side = quantity::parse::<Length>(&spelled).map_err(|error| (error.to_string(), error.hint()))?.si();
    }
    Ok(sides)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn air_described_twice_or_not_at_all_is_refused() {
        const WINDOW: &str = "window = { area = \"0.5 m2\", height = \"1 m\" }\n";
        let codes = |keys: &str| {
            let text = format!("volume = \"20 m3\"\n{keys}");
            let room = read_room(&SourceText::new("room.toml", &text)).map(|_| ());
            room.map_err(|problems| problems.list.iter().map(|problem| problem.code).collect::<Vec<_>>())
        };
        assert_eq!(codes(&format!("air_changes = \"3 /h\"\n{WINDOW}")), Err(vec!["two-airflows"]));
        assert_eq!(codes("air_changes = \"3 /h\"\nfan = \"500 m3/h\"\n"), Err(vec!["two-airflows"]));
        assert_eq!(codes(&format!("airflow = \"closed\"\n{WINDOW}")), Err(vec!["two-airflows"]));
        assert_eq!(codes(&format!("fan = \"500 m3/h\"\n{WINDOW}")), Ok(()));
        assert_eq!(codes(&format!("airflow = \"window-open\"\n{WINDOW}wind = \"1 m/s\"\n")), Ok(()));
        assert_eq!(codes("air_changes = \"0 /h\"\n"), Err(vec!["out-of-range"]));
        assert_eq!(codes("fan = \"0 m3/h\"\n"), Err(vec!["out-of-range"]));
        assert_eq!(codes("airflow = \"window-open\"\nwind = \"1 m/s\"\n"), Err(vec!["wind-indoors"]));
    }

    #[test]
    fn a_number_without_a_unit_is_shown_as_it_was_written() {
        let room = read_room(&SourceText::new("room.toml", "volume = \"20 m3\"\nair_changes = 0.000001\n"));
        let problems = room.expect_err("no unit");
        let said: Vec<&str> = problems.list.iter().map(|problem| &*problem.message).collect();
        assert_eq!(said, ["`air_changes`: `0.000001` has no unit, and this air change rate needs one"]);
        assert_eq!(problems.list[0].hint.as_deref(), Some("write `0.000001 /h`"));
    }

    #[test]
    fn a_fan_is_no_longer_sealed_where_a_room_says_so() {
        let base = "size = \"3 m x 3 m x 2.4 m\"\nfan = \"500 m3/h\"\nsealed = true\n";
        let base = read_room(&SourceText::new("base.toml", base)).expect("a room");
        for (written, sealed) in [("sealed = false\n", false), ("", true), ("fan = \"500 m3/h\"\n", false)] {
            let source = SourceText::new("own.toml", written);
            let document = Document::parse(&source);
            assert_eq!(room_over(&document.root(), Some(&base)).fan_sealed, sealed, "{written}");
        }
    }
}
