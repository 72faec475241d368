//! The schedule of a bench on a terminal: the answer, what does not fit, and the coats in order.

use super::look::Look;
use super::plan_text::noticed;
use super::words::sentence;
use super::writer::Writer;
use crate::batch::BenchDocument;
use crate::quantity::number;

/// A bench schedule as text. Quiet, it is the answer alone.
pub fn bench_text(document: &BenchDocument, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        let word = document.verdict.word().to_uppercase();
        writer.line(&format!("{word}  {}", look.clean(&document.answer)));
        return writer.finish();
    }
    writer.verdict(document.verdict, &document.answer);
    noticed(&mut writer, &document.findings, look);
    writer.head("Coats in order, minutes from the start");
    writer.line(&format!("{:>8}  {:>8}  coat  {:<8}  page", "start", "end", "can"));
    for step in &document.steps {
        let (start, end) = (number(step.start_min), number(step.end_min));
        writer.line(&format!(
            "{start:>8}  {end:>8}  {:>4}  {:<8}  {}",
            step.coat,
            step.sealer,
            look.clean(&step.title)
        ));
    }
    writer.head("Before you start");
    for caution in &document.cautions {
        writer.bullet(&sentence(caution));
    }
    writer.finish()
}
