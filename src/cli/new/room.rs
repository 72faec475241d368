//! The questions about a room.

use clap::Args;

use super::asker::{Asker, Question, Refusal, accepted};
use super::draft::{Draft, quoted};
use super::{FileArguments, Ready, known};
use crate::cli::Failure;
use crate::cli::files::file_stem;
use crate::diagnostic::SourceText;
use crate::input::{Airflow, read_room};

/// Answers about a room; what is not answered here is asked.
#[derive(Debug, Clone, Args)]
pub(super) struct RoomAnswers {
    #[command(flatten)]
    pub(super) file: FileArguments,

    /// What the room is called
    #[arg(long, value_name = "NAME", help_heading = "Answers")]
    name: Option<String>,

    /// How the air moves: closed, window-ajar, window-open, cross-draught, window-fan or outdoors
    #[arg(long, value_name = "AIRFLOW", help_heading = "Answers")]
    airflow: Option<String>,

    /// Length, width and height: `3.4 m x 2.8 m x 2.4 m`, `11 x 9 x 8 ft`
    #[arg(long, value_name = "SIZE", help_heading = "Answers")]
    size: Option<String>,

    /// Temperature, for instance "21 C" or "70 F", or `unknown`
    #[arg(long, value_name = "TEMPERATURE", help_heading = "Answers")]
    temperature: Option<String>,

    /// Relative humidity, for instance "48 %", or `unknown`
    #[arg(long, value_name = "HUMIDITY", help_heading = "Answers")]
    humidity: Option<String>,

    /// Whether there is a pilot light, a heater or a flame within 6 m (20 ft): yes or no
    #[arg(long, value_name = "yes|no", help_heading = "Answers")]
    ignition: Option<String>,
}

/// Asks what was not given, and drafts the file.
pub(super) fn ready(answers: &RoomAnswers, asker: &mut Asker<'_>) -> Result<Ready, Failure> {
    let name = Question::optional("--name", "What is the room called", "the room");
    let name = asker.ask(&name, answers.name.as_deref(), |answer| Ok(answer.trim().to_owned()))?;
    let airflows = known::airflows();
    if answers.airflow.is_none() {
        asker.show(&airflows);
    }
    let airflow = Question::needed("--airflow", "How does the air move while you spray, one of these").help(&airflows);
    let airflow = asker.ask(&airflow, answers.airflow.as_deref(), airflow_word)?;
    let outdoors = airflow == Some(Airflow::Outdoors.word());
    let size = if outdoors {
        None
    } else {
        let size = Question::needed("--size", "Length, width and height, such as 3.4 x 2.8 x 2.4 m or 11 x 9 x 8 ft");
        asker.ask(&size, answers.size.as_deref(), |answer| key("size", answer))?
    };
    let temperature = Question::needed("--temperature", "Temperature, such as 21 C or 70 F, or unknown");
    let temperature = asker.ask(&temperature, answers.temperature.as_deref(), |answer| key("temperature", answer))?;
    let humidity = Question::needed("--humidity", "Humidity on the hygrometer, such as 48 %, or unknown");
    let humidity = asker.ask(&humidity, answers.humidity.as_deref(), |answer| key("humidity", answer))?;
    let ignition = "Is there a pilot light, heater, candle or any flame within 6 m (20 ft)? yes or no";
    let ignition = asker.yes_no(&Question::needed("--ignition", ignition), answers.ignition.as_deref())?;
    asker.finish("room")?;
    let name = name.unwrap_or_else(|| "the room".to_owned());

    let mut draft = Draft::default();
    draft.note("A room for coatbell: measured once, used for every page.");
    draft.key("name", &name, "");
    if let Some(size) = &size {
        draft.key("size", size, "length x width x height; or volume = \"22.8 m3\"");
    }
    draft.key("temperature", temperature.as_deref().unwrap_or("unknown"), "at the bench, when you spray");
    draft.key("humidity", humidity.as_deref().unwrap_or("unknown"), "a hygrometer costs little and decides much");
    draft.key(
        "airflow",
        airflow.unwrap_or("closed"),
        "closed, window-ajar, window-open, cross-draught, window-fan, outdoors",
    );
    draft.plain("ignition", ignition.unwrap_or(true), "pilot light, heater, candle within 6 m (20 ft)");
    draft.offered("pressure", "1013 hPa", "matters high in the mountains");
    let text = draft.finish();
    read_room(&SourceText::new(crate::cli::failure::COMMAND_LINE, &text))?;
    let next = "  coatbell plan YOUR-PAGE.toml --room FILE\nyour own page: coatbell new page";
    Ok(Ready { name: file_stem(&name, "room"), text, next: next.to_owned() })
}

fn airflow_word(answer: &str) -> Result<&'static str, Refusal> {
    let text = format!("volume = \"20 m3\"\nairflow = {}\n", quoted(answer));
    accepted(read_room(&SourceText::new("", &text))).map(|room| room.airflow.map_or("closed", Airflow::word))
}

/// A value of a room, checked by the reader of room files; comes back as typed.
fn key(key: &str, answer: &str) -> Result<String, Refusal> {
    let size = if key == "size" { "" } else { "volume = \"20 m3\"\n" };
    let text = format!("{size}{key} = {}\n", quoted(answer));
    accepted(read_room(&SourceText::new("", &text))).map(|_| answer.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nothing() -> RoomAnswers {
        let file = FileArguments { file: None, force: false };
        RoomAnswers { file, name: None, airflow: None, size: None, temperature: None, humidity: None, ignition: None }
    }

    #[test]
    fn a_whole_talk_becomes_a_room() {
        let typed = "Spare room\nwindow open\n3.4\n3.4 x 2.8 x 2.4 m\n21\n21 C\n140 %\nunknown\nmaybe\nno\n";
        let mut said = Vec::new();
        let ready = ready(&nothing(), &mut Asker::with(typed.as_bytes(), &mut said)).expect("a room");
        let said = String::from_utf8(said).expect("text");
        let room = read_room(&SourceText::new("", &ready.text)).expect("a room");
        assert_eq!((room.name.as_str(), room.airflow), ("Spare room", Some(Airflow::WindowOpen)));
        assert_eq!((room.temperature_c, room.relative_humidity, room.ignition), (Some(21.0), None, false));
        assert!(said.contains("is not three sides"), "{said}");
        assert!(said.contains("write `21 C` or `21 F`"), "{said}");
        assert!(said.contains("neither yes nor no"), "{said}");
    }

    #[test]
    fn outdoors_has_no_size() {
        let typed = "Garden\noutside\n18 C\n50 %\nno\n";
        let ready = ready(&nothing(), &mut Asker::with(typed.as_bytes(), std::io::sink())).expect("a room");
        assert!(!ready.text.contains("size"), "{}", ready.text);
    }

    #[test]
    fn nobody_there_names_all_flags_at_once() {
        let Err(Failure::Usage(problem)) = ready(&nothing(), &mut Asker::alone()) else { panic!("flags are missing") };
        let expected = "`--airflow`, `--size`, `--temperature`, `--humidity` and `--ignition`";
        assert!(problem.message.contains(expected), "{}", problem.message);
    }
}
