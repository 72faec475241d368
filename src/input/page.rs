//! The page file.

use std::ops::Range;

use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::kind::FileKind;
use super::{Document, Located, TableReader, parse_when};
use crate::diagnostic::{Problem, Problems, SourceText};
use crate::quantity::{self, Grammage, Length, Quantity, Share};

/// The finish a person wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Finish {
    /// No shine.
    Matte,
    /// A little shine.
    Satin,
    /// Full shine.
    Gloss,
}

impl Finish {
    /// The words in files, with UK and US spellings.
    pub const WORDS: [(&'static str, Self); 6] = [
        ("matte", Self::Matte),
        ("satin", Self::Satin),
        ("gloss", Self::Gloss),
        ("matt", Self::Matte),
        ("mat", Self::Matte),
        ("glossy", Self::Gloss),
    ];

    /// The word on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Matte => "matte",
            Self::Satin => "satin",
            Self::Gloss => "gloss",
        }
    }
}

/// How much of a medium lies there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Laydown {
    /// A thin layer.
    Light,
    /// An ordinary layer.
    #[default]
    Normal,
    /// A thick, burnished or flooded layer.
    Heavy,
}

impl Laydown {
    /// The words in files.
    pub const WORDS: [(&'static str, Self); 3] =
        [("light", Self::Light), ("normal", Self::Normal), ("heavy", Self::Heavy)];
}

/// One layer as written.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerInput {
    /// Name of a medium, a fixative or a sealer, as written.
    pub medium: Located<String>,
    /// Technique, as written.
    pub technique: Option<Located<String>>,
    /// Share of the page it covers, 0 to 1; `None` if not stated.
    pub cover: Option<f64>,
    /// How much of it lies there.
    pub laydown: Laydown,
    /// The areas it is in; empty means the whole page.
    pub areas: Vec<String>,
    /// When it was finished; `None` is still to be laid.
    pub finished: Option<ZonedDateTime>,
    /// Covered while spraying.
    pub masked: bool,
    /// Where the layer stands in the file.
    pub span: Range<usize>,
}

/// A page as written, with quantities checked and names not yet resolved.
#[derive(Debug, Clone, PartialEq)]
pub struct PageInput {
    /// Title, or `Untitled page`.
    pub title: String,
    /// Width in metres.
    pub width_m: f64,
    /// Height in metres.
    pub height_m: f64,
    /// Name of the paper, as written.
    pub paper: Located<String>,
    /// This sheet's own weight in kg/m², if stated.
    pub grammage_kg_m2: Option<f64>,
    /// The finish wanted; `None` leaves it to the sealer.
    pub finish: Option<Finish>,
    /// How far the sheet bows, in metres; `None` if not stated.
    pub bow_m: Option<f64>,
    /// Layers from the bottom up; at least one.
    pub layers: Vec<LayerInput>,
}

/// Smallest and largest side of a page, in metres.
const SIDES_M: (f64, f64) = (0.02, 1.5);

/// Named sheet sizes: name, width and height in millimetres (ISO 216; US customary sizes).
const SIZES: [(&str, f64, f64); 13] = [
    ("a2", 420.0, 594.0),
    ("a3", 297.0, 420.0),
    ("a4", 210.0, 297.0),
    ("a5", 148.0, 210.0),
    ("a6", 105.0, 148.0),
    ("b4", 250.0, 353.0),
    ("b5", 176.0, 250.0),
    ("letter", 215.9, 279.4),
    ("us-letter", 215.9, 279.4),
    ("legal", 215.9, 355.6),
    ("tabloid", 279.4, 431.8),
    ("half-letter", 139.7, 215.9),
    ("postcard", 100.0, 148.0),
];

/// Reads `A4`, `letter`, `A4 landscape` or `210 mm x 297 mm` into metres.
///
/// # Errors
/// What is wrong and the cure.
pub fn parse_size(text: &str) -> Result<(f64, f64), (String, String)> {
    let hint = || "write `A4`, `letter` or `210 mm x 297 mm`".to_owned();
    let lower = text.trim().to_lowercase();
    let (name, turned) = match lower.strip_suffix(" landscape") {
        Some(name) => (name.trim(), true),
        None => (lower.as_str(), false),
    };
    let folded = name.replace(' ', "-");
    if let Some((_, width, height)) = SIZES.iter().find(|(known, ..)| *known == folded) {
        let (width, height) = (width / 1000.0, height / 1000.0);
        return Ok(if turned { (height, width) } else { (width, height) });
    }
    let Some((left, right)) = lower.split_once([' ', '×']).and_then(|_| split_cross(&lower)) else {
        let near = crate::diagnostic::nearest(&folded, SIZES.iter().map(|(known, ..)| *known));
        let cure = near.map_or_else(hint, |near| format!("did you mean `{near}`?"));
        return Err((format!("`{}` is not a known size", text.trim()), cure));
    };
    let side = |part: &str| quantity::parse::<Length>(part).map_err(|error| (error.to_string(), error.hint()));
    if let (Some((_, "")), Some((_, ""))) = (quantity::split_number(left), quantity::split_number(right)) {
        let cure = format!("write `{left} mm x {right} mm`, or the same in cm or in");
        return Err((format!("`{}` has no unit", text.trim()), cure));
    }
    let height = side(right)?;
    let width = match quantity::split_number(left) {
        Some((_, "")) => side(&format!("{left} {}", quantity::split_number(right).map_or("", |(_, unit)| unit)))?,
        _ => side(left)?,
    };
    let (low, high) = SIDES_M;
    for value in [width.si(), height.si()] {
        if value < low || value > high {
            return Err((
                format!("a side of {} cm is not a page", quantity::number(value * 100.0)),
                format!("sides from {} cm to {} cm are planned", low * 100.0, high * 100.0),
            ));
        }
    }
    Ok((width.si(), height.si()))
}

fn split_cross(text: &str) -> Option<(&str, &str)> {
    [" x ", "×", " by ", "x"].iter().find_map(|cross| text.split_once(cross)).map(|(l, r)| (l.trim(), r.trim()))
}

/// Reads a page file. Relative times count from `now`.
///
/// # Errors
/// Everything wrong with the file, at once.
pub fn read_page(source: &SourceText, now: &ZonedDateTime) -> Result<PageInput, Problems> {
    let document = Document::parse(source);
    document.expect(FileKind::Page);
    let root = document.root();
    let title = root.text("title").map_or_else(|| "Untitled page".to_owned(), |title| title.value);
    let paper = root.required_text("paper", "\"cardstock\"");
    let size = root.required_text("size", "\"A4\"").and_then(|size| match parse_size(&size.value) {
        Ok(sides) => Some(sides),
        Err((message, hint)) => {
            let problem = Problem::new("page-size", format!("`size`: {message}")).with_hint(hint);
            root.problem_at("size", size.span, problem);
            None
        }
    });
    let grammage = root.quantity::<Grammage>("grammage").map(|value| value.value.si());
    let finish = root.choice("finish", &Finish::WORDS).map(|finish| finish.value);
    let bow = root.quantity::<Length>("bow");
    if let Some(bow) = &bow
        && bow.value.si() > 0.1
    {
        let problem = Problem::new("out-of-range", "`bow`: over 10 cm is not a bowed sheet but a roll")
            .with_hint("measure the highest gap under the sheet on a table");
        root.problem_at("bow", bow.span.clone(), problem);
    }
    let inherited = finished(&root, now);
    let readers = root.tables("layer");
    // What is there and is no list of tables was named already.
    if readers.is_empty() && root.is_absent_or_empty("layer") {
        let problem = Problem::new("no-layers", "the page has no layers")
            .with_hint("add a `[[layer]]` with its `medium` for each, bottom to top");
        root.problem(problem.with_key("layer"));
    }
    let mut layers = Vec::new();
    for reader in readers {
        layers.extend(read_layer(&reader, inherited.as_ref(), now));
        reader.finish();
    }
    root.finish();
    let page = (|| {
        let (width_m, height_m) = size?;
        Some(PageInput {
            title,
            width_m,
            height_m,
            paper: paper?,
            grammage_kg_m2: grammage,
            finish,
            bow_m: bow.map(|bow| bow.value.si()),
            layers,
        })
    })();
    document.finish(page)
}

fn read_layer(reader: &TableReader<'_>, inherited: Option<&ZonedDateTime>, now: &ZonedDateTime) -> Option<LayerInput> {
    let medium = reader.required_text("medium", "\"watercolour\"");
    let technique = reader.text("technique");
    let cover = reader.quantity::<Share>("cover").map(|cover| cover.value.si());
    let laydown = reader.choice("laydown", &Laydown::WORDS).map_or(Laydown::Normal, |laydown| laydown.value);
    // An area without a name is none: the layer then meets every other.
    let areas = reader.texts("areas").into_iter().map(|area| area.value.trim().to_lowercase());
    let areas = areas.filter(|area| !area.is_empty()).collect();
    let own = finished(reader, now);
    let masked = reader.boolean("masked").unwrap_or(false);
    Some(LayerInput {
        medium: medium?,
        technique,
        cover,
        laydown,
        areas,
        finished: own.or_else(|| if reader.has("finished") { None } else { inherited.cloned() }),
        masked,
        span: reader.span(),
    })
}

/// Reads `finished`; `"no"`, `"not yet"` and `"to do"` mean still to be laid.
fn finished(reader: &TableReader<'_>, now: &ZonedDateTime) -> Option<ZonedDateTime> {
    let text = reader.text("finished")?;
    if ["no", "not yet", "to do", "todo"].contains(&text.value.trim().to_lowercase().as_str()) {
        return None;
    }
    match parse_when(&text.value, now) {
        // A day alone is its noon; of the day that has not come so far, no later than now.
        Ok(moment) if moment > *now && is_day_of(&text.value, now) => Some(now.clone()),
        Ok(moment) if moment > *now => {
            let problem = Problem::new("finished-in-future", format!("`finished`: {} is in the future", text.value))
                .with_hint(match now.year() {
                    // A machine without a battery wakes up there.
                    ..2020 => format!(
                        "set the clock of this machine: it says {}",
                        now.strftime("%e %B %Y").to_string().trim()
                    ),
                    _ => "leave `finished` out for a layer that is still to be laid".to_owned(),
                });
            reader.problem_at("finished", text.span, problem);
            None
        }
        Ok(moment) => Some(moment),
        Err(hint) => {
            let problem = Problem::new("not-a-time", format!("`finished`: `{}` is not a time", text.value));
            reader.problem_at("finished", text.span, problem.with_hint(hint));
            None
        }
    }
}

/// Whether a text is a date alone, that of a moment.
fn is_day_of(text: &str, moment: &ZonedDateTime) -> bool {
    !text.contains(':') && text.trim().parse().is_ok_and(|date: Date| date == moment.date())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<PageInput, Vec<&'static str>> {
        let now: ZonedDateTime = "2026-11-28T14:00[UTC]".parse().expect("a moment");
        let text = format!("size = \"A4\"\npaper = \"cardstock\"\n{text}");
        read_page(&SourceText::new("page.toml", &text), &now)
            .map_err(|problems| problems.list.iter().map(|problem| problem.code).collect())
    }

    #[test]
    fn a_page_has_layers() {
        assert_eq!(read("layer = []\n"), Err(vec!["no-layers"]));
        assert_eq!(read(""), Err(vec!["no-layers"]));
        assert_eq!(read("layer = \"toner\"\n"), Err(vec!["wrong-kind"]));
    }

    #[test]
    fn an_area_without_a_name_is_the_whole_page() {
        let page =
            read("[[layer]]\nmedium = \"toner\"\nareas = [\" \"]\n[[layer]]\nmedium = \"toner\"\nareas = [\"Sky \"]\n");
        let areas: Vec<Vec<String>> = page.expect("a page").layers.into_iter().map(|layer| layer.areas).collect();
        assert_eq!(areas, [vec![], vec!["sky".to_owned()]]);
    }

    #[test]
    fn a_layer_finished_today_is_finished() {
        let of = |finished: &str| {
            let page = read(&format!("[[layer]]\nmedium = \"toner\"\nfinished = \"{finished}\"\n"))?;
            Ok(page.layers[0].finished.as_ref().map(|at| at.strftime("%d %H:%M").to_string()))
        };
        // It is two in the afternoon of the 28th.
        assert_eq!(of("2026-11-28"), Ok(Some("28 12:00".to_owned())));
        assert_eq!(of("2026-11-29"), Err(vec!["finished-in-future"]));
        assert_eq!(of("2026-11-28 18:00"), Err(vec!["finished-in-future"]));
        assert_eq!(of("today"), Ok(Some("28 14:00".to_owned())));
        let morning: ZonedDateTime = "2026-11-28T09:00[UTC]".parse().expect("a moment");
        let text = "size = \"A4\"\npaper = \"cardstock\"\n[[layer]]\nmedium = \"toner\"\nfinished = \"2026-11-28\"\n";
        let page = read_page(&SourceText::new("page.toml", text), &morning).expect("a page");
        assert_eq!(page.layers[0].finished, Some(morning));
    }

    #[test]
    fn a_number_of_another_radix_is_refused_and_not_passed_over() {
        assert_eq!(read("bow = 0x10\n[[layer]]\nmedium = \"toner\"\n"), Err(vec!["wrong-kind"]));
        assert_eq!(read("bow = 5\n[[layer]]\nmedium = \"toner\"\n"), Err(vec!["missing-unit"]));
        assert_eq!(read("bow = \"20 cm\"\n[[layer]]\nmedium = \"toner\"\n"), Err(vec!["out-of-range"]));
    }
}
