//! A strict reader of iCalendar (RFC 5545) for the tests: it shares nothing with the writer and refuses what clients
//! only forgive.

use jiff::Timestamp;

/// A component with its properties and parts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Component {
    pub(super) name: String,
    pub(super) properties: Vec<(String, String)>,
    pub(super) parts: Vec<Component>,
}

impl Component {
    /// The raw value of a property that stands exactly once.
    pub(super) fn one(&self, name: &str) -> &str {
        let found: Vec<&str> = self.properties.iter().filter(|(key, _)| key == name).map(|(_, v)| v.as_str()).collect();
        assert_eq!(found.len(), 1, "{} has {name} {} times", self.name, found.len());
        found[0]
    }

    /// A text property without its escapes.
    pub(super) fn text(&self, name: &str) -> String {
        unescape(self.one(name))
    }

    /// A moment in UTC.
    pub(super) fn moment(&self, name: &str) -> Timestamp {
        moment(self.one(name))
    }
}

/// Reads one calendar, checking the lines, the nesting, and that each component has what the standard asks for.
pub(super) fn read(calendar: &str) -> Component {
    assert!(calendar.ends_with("\r\n"), "the last line has no end");
    let mut unfolded: Vec<String> = Vec::new();
    for line in calendar.strip_suffix("\r\n").expect("checked above").split("\r\n") {
        assert!(line.len() <= 75, "a line of {} octets: {line}", line.len());
        assert!(!line.contains(['\r', '\n']), "a bare line break in {line:?}");
        match line.strip_prefix([' ', '\t']) {
            Some(rest) => unfolded.last_mut().expect("a continued line needs a first").push_str(rest),
            None => unfolded.push(line.to_owned()),
        }
    }
    let mut open: Vec<Component> = Vec::new();
    let mut lines = unfolded.iter();
    for line in lines.by_ref() {
        let (name, value) = line.split_once(':').unwrap_or_else(|| panic!("no colon in {line:?}"));
        assert!(!name.is_empty() && name.chars().all(|c| c.is_ascii_uppercase() || c == '-'), "name {name:?}");
        assert!(value.chars().all(|c| !c.is_control()), "a control character in {value:?}");
        match name {
            "BEGIN" => open.push(Component { name: value.into(), properties: vec![], parts: vec![] }),
            "END" => {
                let done = open.pop().expect("something is open");
                assert_eq!(done.name, value, "components overlap");
                check(&done);
                match open.last_mut() {
                    Some(outer) => outer.parts.push(done),
                    None => {
                        assert_eq!(lines.next(), None, "lines after the calendar");
                        return done;
                    }
                }
            }
            _ => open.last_mut().expect("inside a component").properties.push((name.into(), value.into())),
        }
    }
    panic!("the calendar does not end");
}

fn check(component: &Component) {
    let allowed: &[&str] = match component.name.as_str() {
        "VCALENDAR" => {
            assert_eq!(component.one("VERSION"), "2.0");
            unescape(component.one("PRODID"));
            &["VERSION", "PRODID", "CALSCALE", "X-WR-CALNAME"]
        }
        "VEVENT" => {
            assert!(!component.one("UID").is_empty());
            component.moment("DTSTAMP");
            component.moment("DTSTART");
            duration_minutes(component.one("DURATION"));
            assert!(component.one("SEQUENCE").parse::<i32>().expect("an integer") >= 0);
            assert!(["TENTATIVE", "CONFIRMED"].contains(&component.one("STATUS")));
            assert!(["OPAQUE", "TRANSPARENT"].contains(&component.one("TRANSP")));
            component.text("SUMMARY");
            component.text("DESCRIPTION");
            &["UID", "DTSTAMP", "DTSTART", "DURATION", "SEQUENCE", "STATUS", "TRANSP", "SUMMARY", "DESCRIPTION"]
        }
        "VALARM" => {
            assert_eq!(component.one("ACTION"), "DISPLAY");
            duration_minutes(component.one("TRIGGER"));
            component.text("DESCRIPTION");
            &["ACTION", "TRIGGER", "DESCRIPTION"]
        }
        other => panic!("component {other}"),
    };
    for (name, _) in &component.properties {
        assert!(allowed.contains(&name.as_str()), "{name} in {}", component.name);
    }
}

/// `-PT15M` as minutes.
pub(super) fn duration_minutes(value: &str) -> i64 {
    let (sign, rest) = value.strip_prefix('-').map_or((1, value), |rest| (-1, rest));
    let digits = rest.strip_prefix("PT").and_then(|rest| rest.strip_suffix('M')).expect("a duration in minutes");
    sign * digits.parse::<i64>().expect("a whole number")
}

fn moment(value: &str) -> Timestamp {
    let digits = |range: std::ops::Range<usize>| value[range].parse::<u32>().expect("digits");
    assert!(value.len() == 16 && &value[8..9] == "T" && value.ends_with('Z'), "moment {value}");
    let iso = format!(
        "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z",
        digits(0..4),
        digits(4..6),
        digits(6..8),
        digits(9..11),
        digits(11..13),
        digits(13..15)
    );
    iso.parse().expect("a moment")
}

fn unescape(value: &str) -> String {
    let mut text = String::new();
    let mut letters = value.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => match letters.next() {
                Some('n' | 'N') => text.push('\n'),
                Some(escaped @ ('\\' | ';' | ',')) => text.push(escaped),
                other => panic!("escape {other:?} in {value:?}"),
            },
            ';' | ',' => panic!("a bare {letter} in {value:?}"),
            _ => text.push(letter),
        }
    }
    text
}
