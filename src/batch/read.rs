//! Bench problems from JSON, with every problem of the file at once.

use std::ops::Range;

use super::fault::{MOST_PAGES, Site};
use super::json::{Json, Value, parse};
use super::problem::{Coat, Lag, Page, Pause, Presence, Problem as Bench, RoomAir, Tick};
use crate::diagnostic::{Problem, Problems, SourceText, nearest, or_list};

const TOP_KEYS: [&str; 11] =
    ["name", "family", "seed", "tick_s", "n", "rack_slots", "initial_can", "setup", "pauses", "session_end", "air"];
const AIR_KEYS: [&str; 6] = ["V", "ach", "k", "ceiling", "twa_limit", "presence"];
const PAGE_KEYS: [&str; 4] = ["id", "release", "final_dry", "coats"];
const COAT_KEYS: [&str; 7] = ["p", "can", "lag_min", "lag_max", "lag_resume", "q", "f"];

impl Bench {
    /// Reads a bench problem.
    ///
    /// # Errors
    /// Everything wrong with the text, each with its place and its cure.
    pub fn from_json(source: &SourceText) -> Result<Self, Problems> {
        let document = match parse(&source.text) {
            Ok(document) => document,
            Err(problem) => return Err(Problems::new(source.clone(), vec![*problem])),
        };
        let mut reader = Reader { problems: Vec::new(), places: Places::default() };
        let bench = reader.bench(&document);
        if reader.problems.is_empty() {
            for fault in bench.faults() {
                let (key, span) = reader.places.of(fault.site);
                let problem = Problem::new(fault.code, fault.message).with_hint(fault.hint).with_key(key);
                reader.problems.push(match span {
                    Some(span) => problem.at(span),
                    None => problem,
                });
            }
        }
        if reader.problems.is_empty() { Ok(bench) } else { Err(Problems::new(source.clone(), reader.problems)) }
    }
}

/// Where the parts of a problem stand in the text.
#[derive(Debug, Default)]
struct Places {
    keys: Vec<(&'static str, Range<usize>)>,
    pauses: Vec<Range<usize>>,
    pages: Vec<Range<usize>>,
    coats: Vec<Vec<Range<usize>>>,
}

impl Places {
    fn of(&self, site: Site) -> (String, Option<Range<usize>>) {
        let key = |name: &'static str| {
            let span = self.keys.iter().find(|(key, _)| *key == name).map(|(_, span)| span.clone());
            (name.to_owned(), span)
        };
        match site {
            Site::Whole => key("tick_s"),
            Site::Pages => key("pages"),
            Site::Rack => key("rack_slots"),
            Site::InitialCan => key("initial_can"),
            Site::Setup => key("setup"),
            Site::SessionEnd => key("session_end"),
            Site::Air => key("air"),
            Site::Pause(number) => (format!("pauses[{number}]"), self.pauses.get(number).cloned()),
            Site::Page(page) => (format!("pages[{page}]"), self.pages.get(page).cloned()),
            Site::Coat(page, coat) => {
                let span = self.coats.get(page).and_then(|coats| coats.get(coat)).cloned();
                (format!("pages[{page}].coats[{coat}]"), span)
            }
        }
    }
}

struct Reader {
    problems: Vec<Problem>,
    places: Places,
}

/// One table of the text with the name it is called by.
struct Table<'a> {
    entries: &'a [(String, Range<usize>, Json)],
    span: Range<usize>,
    path: String,
}

impl<'a> Table<'a> {
    fn find(&self, key: &str) -> Option<&'a Json> {
        self.entries.iter().find(|(name, _, _)| name == key).map(|(_, _, value)| value)
    }

    fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }
}

impl Reader {
    fn add(&mut self, code: &'static str, message: String, hint: &str, span: &Range<usize>, key: String) {
        self.problems.push(Problem::new(code, message).with_hint(hint).at(span.clone()).with_key(key));
    }

    fn table<'a>(&mut self, json: &'a Json, path: &str, allowed: &[&str]) -> Option<Table<'a>> {
        let Value::Table(entries) = &json.value else {
            let message = format!("{} is {}, not a table", shown(path), json.value.kind());
            self.add("wrong-type", message, "write it as `{ … }`", &json.span, path.to_owned());
            return None;
        };
        let table = Table { entries, span: json.span.clone(), path: path.to_owned() };
        let mut met: Vec<&str> = Vec::with_capacity(allowed.len());
        for (key, span, _) in entries {
            if !allowed.contains(&key.as_str()) {
                let hint = match nearest(key, allowed.iter().copied()) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => {
                        let names: Vec<String> = allowed.iter().map(|name| format!("`{name}`")).collect();
                        format!("{} may have {}", shown(path), or_list(&names))
                    }
                };
                let message = format!("{} has no `{key}`", shown(path));
                self.add("unknown-key", message, &hint, span, table.path_of(key));
            } else if met.contains(&key.as_str()) {
                let message = format!("`{key}` stands twice in {}", shown(path));
                self.add("duplicate-key", message, "keep one of the two", span, table.path_of(key));
            } else {
                met.push(key);
            }
        }
        Some(table)
    }

    /// Says that a key is missing, unless what stands there was refused already.
    fn missing(&mut self, table: &Table<'_>, key: &str, hint: &str) {
        if table.find(key).is_some_and(|found| found.value != Value::Null) {
            return;
        }
        let span = table.span.start..table.span.start + 1;
        let message = format!("{} needs `{key}`", shown(&table.path));
        self.add("missing-key", message, hint, &span, table.path_of(key));
    }

    fn wrong(&mut self, table: &Table<'_>, key: &str, value: &Json, wanted: &str) {
        let message = format!("`{}` is {}, not {wanted}", table.path_of(key), value.value.kind());
        self.add("wrong-type", message, &format!("give {wanted}"), &value.span, table.path_of(key));
    }

    /// A whole number; `Ok(None)` where it is absent or null.
    fn ticks(&mut self, table: &Table<'_>, key: &str) -> Option<Tick> {
        let value = table.find(key)?;
        match &value.value {
            Value::Null => None,
            Value::Number(number) => self.whole(*number, value, table.path_of(key)),
            _ => {
                self.wrong(table, key, value, "a whole number");
                None
            }
        }
    }

    fn whole(&mut self, number: f64, value: &Json, path: String) -> Option<Tick> {
        if number.fract() == 0.0 && number.abs() < 1e15 {
            return Some(number as Tick);
        }
        let message = format!("`{path}` is {number}, not a whole number of ticks");
        self.add("not-whole", message, "count in whole ticks", &value.span, path);
        None
    }

    fn ticks_or(&mut self, table: &Table<'_>, key: &str, default: Tick) -> Tick {
        self.ticks(table, key).unwrap_or(default)
    }

    fn needed_ticks(&mut self, table: &Table<'_>, key: &str) -> Tick {
        if matches!(table.find(key).map(|found| &found.value), None | Some(Value::Null)) {
            self.missing(table, key, "give a whole number of ticks");
            return 1;
        }
        self.ticks_or(table, key, 1)
    }

    fn number(&mut self, table: &Table<'_>, key: &str) -> Option<f64> {
        let value = table.find(key)?;
        match &value.value {
            Value::Number(number) => Some(*number),
            Value::Null => None,
            _ => {
                self.wrong(table, key, value, "a number");
                None
            }
        }
    }

    fn list<'a>(&mut self, table: &Table<'a>, key: &str) -> Option<&'a [Json]> {
        let value = table.find(key)?;
        match &value.value {
            Value::List(list) => Some(list),
            Value::Null => None,
            _ => {
                self.wrong(table, key, value, "a list");
                None
            }
        }
    }

    fn bench(&mut self, document: &Json) -> Bench {
        let mut bench = Bench {
            name: String::new(),
            tick_s: 30.0,
            pages: Vec::new(),
            rack_slots: None,
            initial_can: 0,
            setup: vec![vec![0]],
            pauses: Vec::new(),
            session_end: None,
            air: None,
        };
        let keys: Vec<&str> = TOP_KEYS.into_iter().chain(["pages"]).collect();
        let Some(top) = self.table(document, "", &keys) else { return bench };
        for key in &keys {
            if let Some(value) = top.find(key) {
                self.places.keys.push((known(key), value.span.clone()));
            }
        }
        match top.find("name").map(|name| (&name.value, name)) {
            Some((Value::Text(name), _)) => bench.name.clone_from(name),
            None | Some((Value::Null, _)) => {}
            Some((_, value)) => self.wrong(&top, "name", value, "a text"),
        }
        bench.tick_s = self.number(&top, "tick_s").unwrap_or(30.0);
        bench.rack_slots = self.ticks(&top, "rack_slots").and_then(|slots| self.count(&top, "rack_slots", slots));
        let initial = self.ticks_or(&top, "initial_can", 0);
        bench.initial_can = self.count(&top, "initial_can", initial).unwrap_or(0);
        bench.session_end = self.ticks(&top, "session_end");
        if let Some(rows) = self.list(&top, "setup") {
            bench.setup = rows.iter().enumerate().map(|(at, row)| self.row(row, format!("setup[{at}]"))).collect();
        }
        for (at, pause) in self.list(&top, "pauses").unwrap_or_default().iter().enumerate() {
            self.places.pauses.push(pause.span.clone());
            match self.row(pause, format!("pauses[{at}]"))[..] {
                [start, end] => bench.pauses.push(Pause { start, end }),
                _ => {
                    let message = format!("break {} is not a start and an end", at + 1);
                    self.add("bad-break", message, "write it as `[85, 125]`", &pause.span, format!("pauses[{at}]"));
                }
            }
        }
        bench.air = top.find("air").filter(|air| air.value != Value::Null).and_then(|air| self.air(air));
        match self.list(&top, "pages") {
            None => self.missing(&top, "pages", "list the pages under `pages`"),
            // Far too many pages are one problem, not one each.
            Some(list) if list.len() > 20 * MOST_PAGES => {
                let message =
                    format!("{} pages are more than one bench can be planned for (at most {MOST_PAGES})", list.len());
                let span = top.find("pages").map_or(0..1, |pages| pages.span.start..pages.span.start + 1);
                self.add("too-many-pages", message, "split the batch into several sessions", &span, "pages".into());
            }
            Some(list) => {
                for (at, page) in list.iter().enumerate() {
                    let page = self.page(page, at, bench.air.is_some());
                    bench.pages.push(page);
                }
            }
        }
        bench
    }

    fn count(&mut self, table: &Table<'_>, key: &str, ticks: Tick) -> Option<usize> {
        if let Ok(count) = usize::try_from(ticks) {
            return Some(count);
        }
        let span = table.find(key).map_or(0..1, |value| value.span.clone());
        self.add("negative", format!("`{key}` is {ticks}"), "it counts from 0", &span, table.path_of(key));
        None
    }

    fn row(&mut self, json: &Json, path: String) -> Vec<Tick> {
        let Value::List(cells) = &json.value else {
            let message = format!("`{path}` is {}, not a list of ticks", json.value.kind());
            self.add("wrong-type", message, "write it as `[0, 4]`", &json.span, path);
            return Vec::new();
        };
        let mut row = Vec::new();
        for cell in cells {
            match &cell.value {
                Value::Number(number) => row.extend(self.whole(*number, cell, path.clone())),
                other => {
                    let message = format!("`{path}` holds {}, not a whole number", other.kind());
                    self.add("wrong-type", message, "count in whole ticks", &cell.span, path.clone());
                }
            }
        }
        row
    }

    fn air(&mut self, json: &Json) -> Option<RoomAir> {
        let table = self.table(json, "air", &AIR_KEYS)?;
        let mut figure = |key: &'static str| {
            self.number(&table, key).unwrap_or_else(|| {
                self.missing(&table, key, "give a number above 0, or set `air` to `null`");
                1.0
            })
        };
        let (volume_m3, air_changes_per_h, evaporation_per_min) = (figure("V"), figure("ach"), figure("k"));
        let (ceiling, dose_limit) = (figure("ceiling"), figure("twa_limit"));
        let presence = match table.find("presence").map(|value| (&value.value, value)) {
            Some((Value::Text(word), _)) if word == "ops" => Presence::AtWork,
            Some((Value::Text(word), _)) if word == "all" => Presence::Throughout,
            None | Some((Value::Null, _)) => Presence::Throughout,
            Some((_, value)) => {
                let message = "`air.presence` is neither `ops` nor `all`".to_owned();
                let hint = "`ops`: only while spraying or changing over; `all`: the whole time";
                self.add("unknown-presence", message, hint, &value.span, "air.presence".into());
                Presence::Throughout
            }
        };
        Some(RoomAir { volume_m3, air_changes_per_h, evaporation_per_min, ceiling, dose_limit, presence })
    }

    fn page(&mut self, json: &Json, at: usize, aired: bool) -> Page {
        let path = format!("pages[{at}]");
        self.places.pages.push(json.span.start..json.span.start + 1);
        self.places.coats.push(Vec::new());
        let mut page = Page { label: format!("page {at}"), release: 0, final_dry: 0, coats: Vec::new() };
        let Some(table) = self.table(json, &path, &PAGE_KEYS) else { return page };
        match table.find("id").map(|id| (&id.value, id)) {
            Some((Value::Number(number), _)) => page.label = format!("page {number}"),
            Some((Value::Text(name), _)) => page.label.clone_from(name),
            None | Some((Value::Null, _)) => {}
            Some((_, value)) => self.wrong(&table, "id", value, "a number or a text"),
        }
        page.release = self.ticks_or(&table, "release", 0);
        page.final_dry = self.ticks_or(&table, "final_dry", 0);
        let Some(coats) = self.list(&table, "coats") else {
            self.missing(&table, "coats", "list its coats under `coats`");
            return page;
        };
        for (index, coat) in coats.iter().enumerate() {
            self.places.coats[at].push(coat.span.clone());
            let last = index + 1 == coats.len();
            let coat = self.coat(coat, &format!("{path}.coats[{index}]"), last, aired);
            page.coats.push(coat);
        }
        page
    }

    fn coat(&mut self, json: &Json, path: &str, last: bool, aired: bool) -> Coat {
        let mut coat = Coat { spray: 1, can: 0, lag: None, vapour_m3: 0.0, flash_share: 0.0 };
        let Some(table) = self.table(json, path, &COAT_KEYS) else { return coat };
        coat.spray = self.needed_ticks(&table, "p");
        let can = self.ticks_or(&table, "can", 0);
        coat.can = self.count(&table, "can", can).unwrap_or(0);
        if !last {
            let min = self.needed_ticks(&table, "lag_min");
            let (max, resume) = (self.ticks(&table, "lag_max"), self.ticks(&table, "lag_resume"));
            coat.lag = Some(Lag { min, max, resume });
        }
        if aired {
            // Vapour that is not stated would be no vapour: with air, it must be said.
            match self.number(&table, "q") {
                Some(vapour) => coat.vapour_m3 = vapour,
                None => self.missing(&table, "q", "give the vapour in m³ at the limit; 0 for none"),
            }
            match self.number(&table, "f") {
                Some(share) => coat.flash_share = share,
                None => self.missing(&table, "f", "give the share released while spraying, 0 to 1"),
            }
        } else {
            coat.vapour_m3 = self.number(&table, "q").unwrap_or(0.0);
            coat.flash_share = self.number(&table, "f").unwrap_or(0.0);
        }
        coat
    }
}

/// A key of the top table as a name that lives as long as the program.
fn known(key: &str) -> &'static str {
    TOP_KEYS.into_iter().find(|name| *name == key).unwrap_or("pages")
}

fn shown(path: &str) -> String {
    if path.is_empty() { "a bench problem".to_owned() } else { format!("`{path}`") }
}
