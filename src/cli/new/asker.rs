//! Asking question by question, or saying which flags are wanted where nobody can be asked.
//!
//! Answers are read line by line from a terminal in its ordinary mode: nothing is hidden or drawn over, so Ctrl-C at
//! any moment leaves the terminal as it was and no file behind, and a screen reader reads it like any text. A library
//! for menus was weighed: it hides the cursor, and a list of forty media is quicker typed than walked.

use std::io::{BufRead, IsTerminal, Write};

use crate::cli::{Context, Failure};
use crate::diagnostic::{Problem, Problems, and_list, escape_untrusted, or_list};

/// What an answer is refused with.
pub(super) type Refusal = Box<Problem>;

/// One question.
#[derive(Debug, Clone, Copy)]
pub(super) struct Question<'q> {
    /// The flag that answers it.
    pub(super) flag: &'static str,
    /// The question, without its mark.
    pub(super) text: &'q str,
    /// What Enter alone means; `None` if an answer is needed.
    pub(super) enter: Option<&'q str>,
    /// What `?` shows, line by line.
    pub(super) help: &'q [String],
}

impl<'q> Question<'q> {
    /// A question that needs an answer.
    pub(super) fn needed(flag: &'static str, text: &'q str) -> Self {
        Self { flag, text, enter: None, help: &[] }
    }

    /// A question that Enter passes by, with what that means.
    pub(super) fn optional(flag: &'static str, text: &'q str, enter: &'q str) -> Self {
        Self { flag, text, enter: Some(enter), help: &[] }
    }

    /// Adds what `?` shows.
    pub(super) fn help(self, help: &'q [String]) -> Self {
        Self { help, ..self }
    }
}

/// The two directions of a talk.
struct Talk<'t> {
    from: Box<dyn BufRead + 't>,
    to: Box<dyn Write + 't>,
}

/// Asks, if somebody is there.
pub(super) struct Asker<'t> {
    talk: Option<Talk<'t>>,
    width: usize,
    missing: Vec<&'static str>,
}

impl Asker<'_> {
    /// Somebody is there if input and errors are terminals and `--no-input` was not given.
    pub(super) fn on_terminal(context: &Context) -> Self {
        let there = !context.no_input && std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
        let talk = there.then(|| Talk {
            from: Box::new(std::io::BufReader::new(std::io::stdin())) as Box<dyn BufRead>,
            to: Box::new(std::io::stderr()) as Box<dyn Write>,
        });
        Self { talk, width: context.width, missing: Vec::new() }
    }

    /// Whether somebody can be asked.
    pub(super) fn is_there(&self) -> bool {
        self.talk.is_some()
    }

    /// Says something, if somebody is there.
    pub(super) fn say(&mut self, line: &str) {
        let width = self.width;
        if let Some(talk) = &mut self.talk {
            for line in crate::report::wrap(line, width) {
                let _ = writeln!(talk.to, "{line}");
            }
        }
    }

    /// Says what is wrong with an answer and what to do, set in under the question.
    fn say_back(&mut self, line: &str) {
        let width = self.width.saturating_sub(4);
        if let Some(talk) = &mut self.talk {
            for line in crate::report::wrap(&escape_untrusted(line), width) {
                let _ = writeln!(talk.to, "    {line}");
            }
        }
    }

    /// Shows lines that may be cut at the edge of the screen, one row each, set off from what stands before.
    pub(super) fn show(&mut self, lines: &[String]) {
        let width = self.width.saturating_sub(1);
        if let Some(talk) = &mut self.talk {
            let _ = writeln!(talk.to);
            for line in lines {
                let _ = writeln!(talk.to, "{}", cut(line, width));
            }
        }
    }

    /// The answer to a question, from its flag or from the person; `None` if it was passed by, or if nobody is there.
    ///
    /// # Errors
    /// If the flag's value is refused, or the answers end.
    pub(super) fn ask<T>(
        &mut self,
        question: &Question<'_>,
        given: Option<&str>,
        check: impl Fn(&str) -> Result<T, Refusal>,
    ) -> Result<Option<T>, Failure> {
        if let Some(given) = given {
            return check(given).map(Some).map_err(|refusal| refused(question.flag, &refusal));
        }
        if self.talk.is_none() {
            if question.enter.is_none() && !self.missing.contains(&question.flag) {
                self.missing.push(question.flag);
            }
            return Ok(None);
        }
        loop {
            let answer = self.line(question)?;
            match (answer.as_str(), question.enter) {
                ("", Some(_)) => return Ok(None),
                ("", None) => self.say_back("this one is needed"),
                (search, _) if search.starts_with('?') => self.show_help(question, &search[1..]),
                (answer, _) => match check(answer) {
                    Ok(value) => return Ok(Some(value)),
                    Err(refusal) => {
                        self.say_back(&refusal.message);
                        if let Some(hint) = &refusal.hint {
                            self.say_back(&format!("hint: {hint}"));
                        }
                    }
                },
            }
        }
    }

    /// A yes or no.
    pub(super) fn yes_no(&mut self, question: &Question<'_>, given: Option<&str>) -> Result<Option<bool>, Failure> {
        self.ask(question, given, |answer| match answer.trim().to_lowercase().as_str() {
            "y" | "yes" | "true" => Ok(true),
            "n" | "no" | "false" => Ok(false),
            other => Err(Box::new(
                Problem::new("not-yes-or-no", format!("`{other}` is neither yes nor no"))
                    .with_hint("type `yes` or `no`"),
            )),
        })
    }

    fn show_help(&mut self, question: &Question<'_>, search: &str) {
        let wanted = search.trim().to_lowercase();
        let lines: Vec<String> =
            question.help.iter().filter(|line| line.to_lowercase().contains(&wanted)).cloned().collect();
        if lines.is_empty() {
            self.say_back("nothing more is known about this question");
        }
        self.show(&lines);
    }

    /// One line as typed. Keys that send control characters are refused here, since no answer has any.
    fn line(&mut self, question: &Question<'_>) -> Result<String, Failure> {
        let prompt = match question.enter {
            Some(enter) => format!("{} [{enter}]: ", question.text),
            None => format!("{}: ", question.text),
        };
        let indent = question.text.len() - question.text.trim_start().len();
        let rows = crate::report::wrap(prompt.trim(), self.width.saturating_sub(12 + indent));
        let rows = rows.join(&format!("\n{:1$}", "", indent + 2));
        loop {
            let Some(talk) = &mut self.talk else { return Ok(String::new()) };
            let _ = write!(talk.to, "{:indent$}{rows} ", "");
            let _ = talk.to.flush();
            let mut typed = Vec::new();
            let read = std::io::Read::take(&mut talk.from, 10_000).read_until(b'\n', &mut typed);
            match read {
                Ok(0) => {
                    let _ = writeln!(talk.to);
                    return Err(anyhow::anyhow!("the answers ended before the questions; nothing was written").into());
                }
                Ok(_) => {}
                Err(error) => return Err(anyhow::Error::new(error).context("cannot read the answer").into()),
            }
            let answer = String::from_utf8_lossy(&typed).trim().to_owned();
            if answer.chars().any(char::is_control) {
                self.say_back("that sent keys that are no text, arrow keys perhaps; type the answer again");
                continue;
            }
            return Ok(answer);
        }
    }

    /// Ends the questions.
    ///
    /// # Errors
    /// The flags that are missing where nobody could be asked.
    pub(super) fn finish(&self, what: &str) -> Result<(), Failure> {
        if self.missing.is_empty() {
            return Ok(());
        }
        let flags: Vec<String> = self.missing.iter().map(|flag| format!("`{flag}`")).collect();
        let message = format!("nobody can be asked here, and `new {what}` still needs {}", and_list(&flags));
        let hint = format!("give {}, or run it in a terminal; see `coatbell new {what} --help`", and_list(&flags));
        Err(Failure::usage("answers-missing", message, hint))
    }
}

#[cfg(test)]
impl<'t> Asker<'t> {
    /// A talk with anyone, for tests.
    pub(super) fn with(from: impl BufRead + 't, to: impl Write + 't) -> Self {
        Self { talk: Some(Talk { from: Box::new(from), to: Box::new(to) }), width: 80, missing: Vec::new() }
    }

    /// Nobody is there, for tests.
    pub(super) fn alone() -> Self {
        Self { talk: None, width: 80, missing: Vec::new() }
    }
}

fn refused(flag: &str, refusal: &Problem) -> Failure {
    let hint = refusal.hint.clone().unwrap_or_else(|| "see `coatbell new --help`".to_owned());
    Failure::usage(refusal.code, format!("`{flag}`: {}", refusal.message), hint)
}

/// The first problem of a file, as the refusal of an answer.
pub(super) fn accepted<T>(read: Result<T, Problems>) -> Result<T, Refusal> {
    read.map_err(|problems| {
        let first = problems.list.into_iter().next();
        Box::new(first.unwrap_or_else(|| Problem::new("refused", "this answer is not understood")))
    })
}

/// A refusal of a word that is none of those known.
pub(super) fn not_among(written: &str, known: &[&str]) -> Refusal {
    let near = crate::diagnostic::nearest(written, known.iter().copied());
    let hint = match near {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("type {}", or_list(&known.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>())),
    };
    Box::new(Problem::new("unknown-word", format!("`{}` is none of the answers", written.trim())).with_hint(hint))
}

fn cut(line: &str, width: usize) -> String {
    if crate::report::display_width(line) <= width {
        return line.to_owned();
    }
    let mut kept = String::new();
    for letter in line.chars() {
        if crate::report::display_width(&kept) + 4 > width {
            break;
        }
        kept.push(letter);
    }
    format!("{}...", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(text: &str) -> Result<u32, Refusal> {
        text.parse().map_err(|_| Box::new(Problem::new("not-a-number", "no number").with_hint("type `3`")))
    }

    #[test]
    fn wrong_answers_are_asked_again_with_the_cure() {
        let mut said = Vec::new();
        {
            let mut asker = Asker::with("x\n\n\u{1b}[A\n7\n".as_bytes(), &mut said);
            let answer = asker.ask(&Question::needed("--count", "How many"), None, number);
            assert_eq!(answer.expect("an answer"), Some(7));
        }
        let said = String::from_utf8(said).expect("text");
        assert_eq!(said.matches("How many: ").count(), 4);
        assert!(said.contains("no number\n    hint: type `3`"), "{said}");
        assert!(said.contains("this one is needed"), "{said}");
        assert!(said.contains("arrow keys"), "{said}");
    }

    #[test]
    fn enter_passes_by_and_the_end_of_the_answers_is_an_error() {
        let question = Question::optional("--count", "How many", "none");
        let mut asker = Asker::with("\n".as_bytes(), std::io::sink());
        assert_eq!(asker.ask(&question, None, number).expect("passed by"), None);
        assert!(asker.ask(&question, None, number).is_err());
    }

    #[test]
    fn flags_answer_and_missing_ones_are_named_together() {
        let mut asker = Asker::alone();
        assert_eq!(asker.ask(&Question::needed("--count", "How many"), Some("3"), number).expect("given"), Some(3));
        assert!(asker.ask(&Question::needed("--count", "How many"), Some("x"), number).is_err());
        assert!(asker.finish("thing").is_ok());
        for flag in ["--size", "--paper", "--size"] {
            assert_eq!(asker.ask(&Question::needed(flag, "What"), None, number).expect("noted"), None);
        }
        let Err(Failure::Usage(problem)) = asker.finish("thing") else { panic!("flags are missing") };
        assert_eq!(problem.message, "nobody can be asked here, and `new thing` still needs `--size` and `--paper`");
    }
}
