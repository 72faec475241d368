//! `coatbell history rate`: how a run turned out, and what its can learns from that.

use super::super::common::Format;
use super::super::seal::open_history;
use super::super::{Context, Exit, Failure, cans, output, shelves};
use super::{NAME, document, outcome_words};
use crate::catalog::Catalog;
use crate::cli::measure::now;
use crate::record::Reading;
use crate::record::history::{Heard, Outcome, PastRun, RatedRun, Rating, append_rating, heard};
use crate::report::{Paragraph, paragraphs};

/// What was typed about a run.
pub(super) struct Said<'a> {
    pub(super) outcomes: &'a [String],
    pub(super) media: &'a [String],
    pub(super) note: Option<&'a str>,
}

/// Keeps what became of a run and lets its can learn from it.
pub(super) fn rate(one: &RatedRun, said: &Said<'_>, context: &Context) -> Result<Exit, Failure> {
    let run = &one.run;
    let plain = shelves::unmeasured(context, NAME)?;
    let rating = Rating {
        run: run.id.clone(),
        at: now(context),
        outcomes: outcomes(said.outcomes)?,
        media: media(run, said.media, &plain)?,
        note: said.note.map(str::to_owned),
    };
    let folders = context.folders()?;
    let mut lines = open_history(&folders, "a rating", &context.now)?;
    append_rating(&mut lines, &rating)?;
    let learnt = learn(run, &rating, &plain, context)?;
    let answer = format!("Kept for {}: {}{learnt}", run.title, outcome_words(Some(&rating)));
    if context.format == Format::Json {
        let rated = RatedRun { run: run.clone(), rating: Some(rating) };
        output::json(context, &document(answer, std::iter::once(&rated), 0))?;
    } else {
        output::text(context, &paragraphs(&[Paragraph::Text(answer)], &context.look()))?;
    }
    Ok(Exit::Done)
}

fn outcomes(typed: &[String]) -> Result<Vec<Outcome>, Failure> {
    let known = typed.iter().flat_map(|words| words.split(',')).filter(|word| !word.trim().is_empty()).map(|word| {
        Outcome::from_word(word).ok_or_else(|| {
            let words: Vec<&str> = Outcome::ALL.iter().map(|outcome| outcome.word()).collect();
            let message = format!("`{}` is no outcome", word.trim());
            Failure::usage("unknown-outcome", message, format!("one of: {}", words.join(", ")))
        })
    });
    let outcomes: Vec<Outcome> = known.collect::<Result<_, _>>()?;
    if outcomes.len() > 1 && outcomes.contains(&Outcome::Good) {
        let hint = "say `good` alone, or what went wrong";
        return Err(Failure::usage("good-and-bad", "a run is good, or something went wrong with it", hint));
    }
    Ok(outcomes)
}

fn media(run: &PastRun, typed: &[String], plain: &Catalog) -> Result<Vec<String>, Failure> {
    let named = typed.iter().map(|medium| {
        let found = plain.medium(medium.trim());
        let found = found.map_err(|unknown| Failure::usage("unknown-medium", unknown.to_string(), unknown.hint()))?;
        if run.media.contains(&found.id) {
            return Ok(found.id.clone());
        }
        let message = format!("there was no {} on that page", found.name);
        Err(Failure::usage("not-on-page", message, format!("on it: {}", run.media.join(", "))))
    });
    named.collect()
}

/// Lets the can of a run learn; what it learnt, in words that follow on.
fn learn(run: &PastRun, rating: &Rating, plain: &Catalog, context: &Context) -> Result<String, Failure> {
    let heard = heard(run, rating, |id| plain.media.contains_key(id));
    let _alone = cans::alone(context)?;
    let Some(mut can) = cans::of_id(&run.sealer, plain, context, NAME)? else {
        return Ok("; nothing is known any more of the can it was sprayed with".to_owned());
    };
    let before = can.record.clone();
    can.record.hear(&run.id, &rating.at, heard.readings().to_vec());
    let changed = can.record != before;
    if changed {
        can.keep(plain, context)?;
    }
    let names = |readings: &[Reading]| {
        let ids = readings.iter().filter_map(|reading| match reading {
            Reading::Scrap { medium, .. } => Some(plain.media.get(medium).map_or(&**medium, |found| &*found.name)),
            _ => None,
        });
        ids.collect::<Vec<_>>().join(", ")
    };
    let over_mist = |readings: &[Reading]| matches!(readings, [Reading::Scrap { over_mist: true, .. }, ..]);
    Ok(match &heard {
        Heard::Failed(readings) if over_mist(readings) => {
            format!(". The next builds over {} will be thinner under this can", names(readings))
        }
        Heard::Failed(readings) => {
            format!(". The next first coat over {} will be drier under this can", names(readings))
        }
        Heard::Held(readings) if !readings.is_empty() => format!(
            ". The next first coat over {} may be a little wetter under this can, never past what is known of it",
            names(readings)
        ),
        Heard::FailedUnnamed => format!(
            ". Say of which medium with `--media`, and it will be sprayed drier: {}",
            run.media.iter().filter(|id| plain.media.contains_key(*id)).cloned().collect::<Vec<_>>().join(", ")
        ),
        Heard::NotSure => ". No first coat becomes wetter by it: a coat was left out, or something went wrong on the \
                           way"
        .to_owned(),
        Heard::Held(_) | Heard::Nothing if changed => ". What the can had learnt from it is taken back".to_owned(),
        Heard::Held(_) | Heard::Nothing => ". It changes no figure".to_owned(),
    })
}
