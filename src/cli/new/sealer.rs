//! The questions about the can in hand: what it is, its label, and section 3 of its safety data sheet.

use clap::Args;

use super::asker::{Asker, Question, Refusal, accepted};
use super::draft::Draft;
use super::section::{self, SheetLine};
use super::{FileArguments, Ready, known};
use crate::catalog::Catalog;
use crate::cli::Failure;
use crate::cli::files::file_stem;
use crate::diagnostic::{Problem, SourceText};
use crate::input::read_sealer;

/// Answers about a can; what is not answered here is asked.
#[derive(Debug, Clone, Args)]
pub(super) struct SealerAnswers {
    #[command(flatten)]
    pub(super) file: FileArguments,

    /// The kind of sealer it is: `acrylic-gloss`, `acrylic-uv` and others
    #[arg(long, value_name = "SEALER", help_heading = "Answers")]
    extends: Option<String>,

    /// What you call the can
    #[arg(long, value_name = "NAME", help_heading = "Answers")]
    name: Option<String>,

    /// Distance on the label: `6 in to 8 in`, `25-30 cm`
    #[arg(long, value_name = "DISTANCE", help_heading = "Answers: the label")]
    distance: Option<String>,

    /// Wait between coats on the label: `10 min to 15 min`
    #[arg(long, value_name = "TIME", help_heading = "Answers: the label")]
    recoat: Option<String>,

    /// Recoat window on the label: `within 1 h or after 24 h`
    #[arg(long, value_name = "WINDOW", help_heading = "Answers: the label")]
    recoat_window: Option<String>,

    /// Touch-dry time on the label: `10 min`
    #[arg(long, value_name = "TIME", help_heading = "Answers: the label")]
    touch_dry: Option<String>,

    /// Lowest temperature on the label: `60 F`
    #[arg(long, value_name = "TEMPERATURE", help_heading = "Answers: the label")]
    min_temperature: Option<String>,

    /// Highest temperature on the label: `90 F`
    #[arg(long, value_name = "TEMPERATURE", help_heading = "Answers: the label")]
    max_temperature: Option<String>,

    /// Highest humidity on the label: `65 %`
    #[arg(long, value_name = "HUMIDITY", help_heading = "Answers: the label")]
    max_humidity: Option<String>,

    /// Whether it is a two-part can: `none`, `isocyanate`, or `unknown` where the can does not say which hardener
    #[arg(long, value_name = "HARDENER", help_heading = "Answers: the label")]
    hardener: Option<String>,

    /// Content of a full can by weight: `300 g`, `11 oz`
    #[arg(long, value_name = "WEIGHT", help_heading = "Answers: the can")]
    net: Option<String>,

    /// What is left in it: `210 g`
    #[arg(long, value_name = "WEIGHT", help_heading = "Answers: the can")]
    left: Option<String>,

    /// A line of section 3 of the safety data sheet as it stands: "Acetone 67-64-1 30 - 45 %"; repeat for each
    #[arg(long, value_name = "LINE", help_heading = "Answers: the safety data sheet")]
    part: Vec<String>,
}

/// A key of a table with its question.
struct Ask {
    table: &'static str,
    key: &'static str,
    flag: &'static str,
    text: &'static str,
    example: &'static str,
    comment: &'static str,
}

const fn ask(
    table: &'static str,
    key: &'static str,
    flag: &'static str,
    text: &'static str,
    example: &'static str,
    comment: &'static str,
) -> Ask {
    Ask { table, key, flag, text, example, comment }
}

const ASKED: [Ask; 10] = [
    ask("label", "distance", "--distance", "Distance", "6 in to 8 in", "as printed"),
    ask("label", "recoat", "--recoat", "Wait between coats", "10 min to 15 min", "a minimum; the upper end is used"),
    ask("label", "recoat_window", "--recoat-window", "Recoat window", "within 1 h or after 24 h", "if it says one"),
    ask("label", "touch_dry", "--touch-dry", "Touch-dry after", "10 min", ""),
    ask("label", "min_temperature", "--min-temperature", "Lowest temperature", "60 F", ""),
    ask("label", "max_temperature", "--max-temperature", "Highest temperature", "90 F", ""),
    ask("label", "max_humidity", "--max-humidity", "Highest humidity", "65 %", ""),
    ask(
        "label",
        "hardener",
        "--hardener",
        "Its hardener, if it has two parts",
        "isocyanate",
        "or unknown; none without",
    ),
    ask("can", "net", "--net", "Net weight of a full can", "300 g", "the weight, not the volume"),
    ask("can", "left", "--left", "Left in it", "210 g", "kept up to date by `coatbell seal`"),
];

impl SealerAnswers {
    fn given(&self, flag: &str) -> Option<&str> {
        match flag {
            "--distance" => self.distance.as_deref(),
            "--recoat" => self.recoat.as_deref(),
            "--recoat-window" => self.recoat_window.as_deref(),
            "--touch-dry" => self.touch_dry.as_deref(),
            "--min-temperature" => self.min_temperature.as_deref(),
            "--max-temperature" => self.max_temperature.as_deref(),
            "--max-humidity" => self.max_humidity.as_deref(),
            "--hardener" => self.hardener.as_deref(),
            "--net" => self.net.as_deref(),
            "--left" => self.left.as_deref(),
            _ => None,
        }
    }
}

/// Asks what was not given, and drafts the file.
pub(super) fn ready(answers: &SealerAnswers, catalog: &Catalog, asker: &mut Asker<'_>) -> Result<Ready, Failure> {
    let sealers = known::sealers(catalog);
    if answers.extends.is_none() {
        asker.show(&sealers);
    }
    let extends = Question::needed("--extends", "Which of these is your can").help(&sealers);
    let extends = asker.ask(&extends, answers.extends.as_deref(), |answer| {
        catalog.sealer(answer).map(|sealer| sealer.id.clone()).map_err(|unknown| Box::new(unknown.problem(0..0)))
    })?;
    let base = extends.clone().unwrap_or_else(|| "acrylic-gloss".to_owned());
    let otherwise = format!("my {base} can");
    let name = Question::optional("--name", "What do you call it", &otherwise);
    let name = asker.ask(&name, answers.name.as_deref(), |answer| Ok(answer.trim().to_owned()))?;
    asker.say("");
    asker.say("The label, as printed. Enter for what it does not say.");
    let mut found: Vec<(&Ask, Option<String>)> = Vec::new();
    for asked in &ASKED {
        let text = format!("{}, such as {}", asked.text, asked.example);
        let not_said = if asked.key == "left" { "full" } else { "not on the can" };
        let so_far: Vec<(&Ask, Option<String>)> = found.clone();
        let answer =
            asker.ask(&Question::optional(asked.flag, &text, not_said), answers.given(asked.flag), |typed| {
                let tidy = tidy(asked.key, typed);
                let mut all = so_far.clone();
                all.push((asked, Some(tidy.clone())));
                let text = draft(&base, &otherwise, &all, &[]);
                accepted(read_sealer(&SourceText::new("", &text))).map(|_| tidy)
            })?;
        found.push((asked, answer));
    }
    let parts = composition(answers, catalog, &base, asker)?;
    asker.finish("sealer")?;
    let name = name.unwrap_or(otherwise);
    let text = draft(&base, &name, &found, &parts);
    let source = SourceText::new(crate::cli::failure::COMMAND_LINE, &text);
    catalog.own_sealer(&read_sealer(&source)?)?;
    let next = "  coatbell plan YOUR-PAGE.toml --sealer FILE\nyour own page: coatbell new page";
    Ok(Ready { name: file_stem(&name, "sealer"), text, next: next.to_owned() })
}

/// The lines of section 3.
fn composition(
    answers: &SealerAnswers,
    catalog: &Catalog,
    base: &str,
    asker: &mut Asker<'_>,
) -> Result<Vec<SheetLine>, Failure> {
    let check = |line: &str, so_far: &[SheetLine]| -> Result<SheetLine, Refusal> {
        let Some(read) = section::read(line) else {
            let problem = Problem::new("sheet-line", format!("`{}` has no name with a share", line.trim()));
            return Err(Box::new(
                problem.with_hint("type it as the sheet does: `Acetone 67-64-1 30 - 45 %`, `xylene < 5 %`"),
            ));
        };
        if so_far.iter().any(|line| line.key() == read.key()) {
            let problem = Problem::new("sheet-line-twice", format!("`{}` is there already", read.key()));
            return Err(Box::new(problem.with_hint("each substance stands once in section 3")));
        }
        let mut all = so_far.to_vec();
        all.push(read.clone());
        let source = SourceText::new("", &draft(base, "a can", &[], &all));
        let input = accepted(read_sealer(&source))?;
        accepted(catalog.own_sealer(&input)).map(|_| read)
    };
    let mut parts: Vec<SheetLine> = Vec::new();
    for given in &answers.part {
        let so_far = parts.clone();
        parts.extend(asker.ask(&Question::needed("--part", "line"), Some(given), |line| check(line, &so_far))?);
    }
    if !answers.part.is_empty() || !asker.is_there() {
        return Ok(parts);
    }
    asker.say("");
    asker.say("Section 3 of its safety data sheet, a line at a time as it stands there, such as");
    asker.say("Acetone 67-64-1 30 - 45 %   or   xylene < 5 %. Without the sheet press Enter.");
    loop {
        let text = format!("Line {}", parts.len() + 1);
        let so_far = parts.clone();
        let enter = if parts.is_empty() { "no sheet" } else { "that was all" };
        match asker.ask(&Question::optional("--part", &text, enter), None, |line| check(line, &so_far))? {
            Some(line) => parts.push(line),
            None => return Ok(parts),
        }
    }
}

/// Takes off the words a label puts around a figure.
fn tidy(key: &str, typed: &str) -> String {
    let mut text = typed.trim().trim_end_matches('.').to_owned();
    if key == "recoat_window" {
        return text.replace(", or after", " or after").replace(" and after ", " or after ");
    }
    for word in [
        "above ",
        "below ",
        "under ",
        "over ",
        "min. ",
        "max. ",
        "at least ",
        "at most ",
        "after ",
        "from ",
        "about ",
        "approx. ",
    ] {
        if text.to_lowercase().starts_with(word) {
            text = text[word.len()..].trim().to_owned();
        }
    }
    text
}

fn draft(extends: &str, name: &str, found: &[(&Ask, Option<String>)], parts: &[SheetLine]) -> String {
    let mut draft = Draft::default();
    draft.note("A can for coatbell. What its label and its safety data sheet say wins over the built-in figures.");
    draft.key("extends", extends, "what it is like where this file says nothing");
    draft.key("name", name, "");
    for (table, comment) in [("label", "what the can says"), ("can", "the can in hand")] {
        draft.blank();
        draft.table(&format!("[{table}]"), comment);
        for (asked, answer) in found.iter().filter(|(asked, _)| asked.table == table) {
            draft.key_or_offer(asked.key, answer.as_deref(), asked.example, asked.comment);
        }
    }
    draft.blank();
    if parts.is_empty() {
        draft.note("Section 3 of the safety data sheet, by mass, as it stands: names or CAS numbers.");
        draft.note("[composition]");
        draft.note("acetone = \"30 % to 45 %\"");
        draft.note("\"123-86-4\" = \"< 10 %\"");
        return draft.finish();
    }
    draft.table("[composition]", "safety data sheet, section 3, by mass");
    for part in parts {
        let comment = if part.cas.is_some() { part.name.as_str() } else { "" };
        draft.key(part.key(), &part.share, comment);
    }
    draft.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Component;

    fn nothing() -> SealerAnswers {
        SealerAnswers {
            file: FileArguments { file: None, force: false },
            extends: None,
            name: None,
            distance: None,
            recoat: None,
            recoat_window: None,
            touch_dry: None,
            min_temperature: None,
            max_temperature: None,
            max_humidity: None,
            hardener: None,
            net: None,
            left: None,
            part: Vec::new(),
        }
    }

    #[test]
    fn a_label_and_a_sheet_typed_as_they_stand() {
        let catalog = Catalog::builtin();
        let typed = "acrylic gloss\nShelf can\n6-8\n6-8 in\n10-15 minutes\nwithin 1 hour, or after 24 hours\n\n\
                     above 60 F\n\nbelow 65 %\n\n300 g\n400 g\n210 g\n\
                     Acetone 67-64-1 30 - 45 %\nbutyl acetate 123-86-5 5 %\nn-butyl acetate 123-86-4 < 10 %\n\
                     acetone 67-64-1 3 %\nunobtainium 3 %\nxylene <5\n\n";
        let mut said = Vec::new();
        let ready = ready(&nothing(), &catalog, &mut Asker::with(typed.as_bytes(), &mut said));
        let said = String::from_utf8(said).expect("text");
        let ready = ready.unwrap_or_else(|failure| panic!("{failure:?}\n{said}"));
        let input = read_sealer(&SourceText::new("can.toml", &ready.text)).expect("a sealer");
        let sealer = catalog.own_sealer(&input).expect("a sealer");
        let (near, far) = sealer.label.distance_m.expect("a distance");
        assert!((near - 0.1524).abs() < 1e-9 && (far - 0.2032).abs() < 1e-9);
        assert_eq!(sealer.label.recoat_min, Some(15.0));
        assert_eq!(sealer.label.recoat_window.map(|band| (band.from_min, band.until_min)), Some((60.0, 1440.0)));
        assert_eq!(sealer.label.max_humidity, Some(0.65));
        assert_eq!(sealer.can.left_g.map(f64::round), Some(210.0));
        let acetone = Component::Substance("acetone".into());
        let part = sealer.composition.parts.iter().find(|part| part.component == acetone).expect("acetone");
        assert!((part.share.low() - 0.3).abs() < 1e-9 && (part.share.high() - 0.45).abs() < 1e-9);
        for said_once in [
            "has no unit",
            "more is left than",
            "last digit does not check",
            "is there already",
            "there is no substance",
        ] {
            assert!(said.contains(said_once), "{said_once} in {said}");
        }
    }

    #[test]
    fn a_can_without_its_sheet_offers_the_rest_in_comments() {
        let catalog = Catalog::builtin();
        let answers = SealerAnswers { extends: Some("acrylic-uv".into()), ..nothing() };
        let ready = ready(&answers, &catalog, &mut Asker::alone()).expect("a sealer");
        assert!(ready.text.contains("# distance = \"6 in to 8 in\""), "{}", ready.text);
        assert!(ready.text.contains("# [composition]"), "{}", ready.text);
    }
}
