//! The user's own can: its label, what is left, and section 3 of its safety data sheet.

use std::collections::BTreeMap;
use std::ops::Range;

use super::kind::FileKind;
use super::{Document, Located, TableReader};
use crate::diagnostic::{Problem, Problems, SourceText};
use crate::estimate::Triple;
use crate::quantity::{
    self, Length, Mass, MassRate, Quantity, QuantityError, RelativeHumidity, Share, Temperature, TimeSpan,
};

/// A time band in which a coat must not be laid: open after `within`, closed until `after`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForbiddenBand {
    /// Minutes after the last coat when the band begins.
    pub from_min: f64,
    /// Minutes after the last coat when it ends; infinite for a label that says only `within`.
    pub until_min: f64,
}

/// Whether what is sprayed cures with a hardener: a can with a button or a second chamber, or a part to be mixed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hardener {
    /// None.
    None,
    /// An isocyanate.
    Isocyanate,
    /// There is one, and it is not known which.
    Unknown,
}

impl Hardener {
    /// How a file says it.
    pub const WORDS: [(&'static str, Self); 3] =
        [("none", Self::None), ("isocyanate", Self::Isocyanate), ("unknown", Self::Unknown)];
}

/// What the can says. `None` is not printed on the can.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LabelInput {
    /// Spraying distance in m, low and high.
    pub distance_m: Option<(f64, f64)>,
    /// Minimum wait between coats in min: the upper end of the printed range.
    pub recoat_min: Option<f64>,
    /// Forbidden recoat band.
    pub recoat_window: Option<ForbiddenBand>,
    /// Printed touch-dry time in min, upper end.
    pub touch_dry_min: Option<f64>,
    /// Lowest temperature in °C.
    pub min_temperature_c: Option<f64>,
    /// Highest temperature in °C.
    pub max_temperature_c: Option<f64>,
    /// Highest relative humidity, fraction.
    pub max_humidity: Option<f64>,
    /// Its hardener.
    pub hardener: Option<Hardener>,
}

impl LabelInput {
    /// The hardener to warn of: what is not stated has none.
    pub fn hardener(&self) -> Hardener {
        self.hardener.unwrap_or(Hardener::None)
    }

    /// This label on a product that builds on another: a hardener stays unless this one says that there is none.
    #[must_use]
    pub fn over(self, base: Option<&Self>) -> Self {
        Self { hardener: self.hardener.or(base.and_then(|base| base.hardener)), ..self }
    }
}

/// The can in hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CanInput {
    /// Net content in g.
    pub net_g: Option<f64>,
    /// What is left, in g.
    pub left_g: Option<f64>,
    /// Discharge at 22 °C in g/s, if measured or known.
    pub discharge_g_s: Option<Triple>,
    /// Visible half angle of the cone in degrees, if measured.
    pub cone_half_angle_deg: Option<Triple>,
    /// Share of what arrives at 15 cm that stays on a sheet, if measured.
    pub transfer_at_15cm: Option<Triple>,
    /// How what is not known of the rate hangs together with what is not known of that share: the correlation of
    /// their logarithms, nought unless both were measured.
    pub rate_with_transfer: f64,
    /// How it dries against the model, if measured.
    pub drying: Option<MeasuredDrying>,
    /// What this can's scrap tests and past pages say a medium bears, by id.
    pub bears: BTreeMap<String, Borne>,
}

/// Drying as measured against the model's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredDrying {
    /// Times over the modelled ones.
    pub factor: f64,
    /// Width of what is left unknown over the model's own width, at most one.
    pub narrowing: f64,
}

/// What a medium was seen to bear under a can, as wet film in µm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Borne {
    /// The most that held.
    pub held_um: Option<f64>,
    /// The least that bled, lifted or pooled as a first coat.
    pub failed_um: Option<f64>,
    /// The least under which it did so as a later coat, over the mist.
    pub failed_over_mist_um: Option<f64>,
}

/// One part of a composition as written.
#[derive(Debug, Clone, PartialEq)]
pub struct PartInput {
    /// A name or a CAS number.
    pub name: Located<String>,
    /// Mass share as fractions, low and high.
    pub share: (f64, f64),
    /// Where the share stands.
    pub share_span: Range<usize>,
}

/// A composition as written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CompositionInput {
    /// The listed parts.
    pub parts: Vec<PartInput>,
}

/// A sealer file as written.
#[derive(Debug, Clone, PartialEq)]
pub struct SealerInput {
    /// The sealer it builds on.
    pub extends: Option<Located<String>>,
    /// Its name.
    pub name: Option<String>,
    /// What the can says.
    pub label: LabelInput,
    /// The can in hand.
    pub can: CanInput,
    /// The listed composition; `None` if the file has none.
    pub composition: Option<CompositionInput>,
    /// Whether the list is complete, so that the base's is discarded.
    pub composition_complete: bool,
    /// The text it was read from, for later errors.
    pub source: SourceText,
}

/// Reads a sealer file.
///
/// # Errors
/// Everything wrong with the file, at once.
pub fn read_sealer(source: &SourceText) -> Result<SealerInput, Problems> {
    let document = Document::parse(source);
    document.expect(FileKind::Sealer);
    let root = document.root();
    let extends = root.required_text("extends", "\"acrylic-gloss\"");
    let name = root.text("name").map(|name| name.value);
    let label = root.table("label").map(|reader| read_label(reader)).unwrap_or_default();
    let can = root.table("can").map(read_can).unwrap_or_default();
    let composition = root.table("composition").map(|reader| read_composition(&reader));
    let composition_complete = root.boolean("composition_complete").unwrap_or(false);
    root.finish();
    document.finish(Some(SealerInput {
        extends,
        name,
        label,
        can,
        composition,
        composition_complete,
        source: source.clone(),
    }))
}

/// Reads a `[label]` table.
pub fn read_label(reader: TableReader<'_>) -> LabelInput {
    let distance = reader.quantity_range::<Length>("distance");
    let recoat = reader.time_range("recoat");
    let touch = reader.time_range("touch_dry");
    let window = reader.text("recoat_window").and_then(|text| match parse_window(&text.value) {
        Ok(band) => Some(band),
        Err(error) => {
            let problem = Problem::new("recoat-window", format!("`recoat_window`: {error}"))
                .with_hint("write it as the can does: `within 1 h or after 24 h`");
            reader.problem_at("recoat_window", text.span, problem);
            None
        }
    });
    if let (Some(recoat), Some(band)) = (&recoat, &window)
        && recoat.value.1.minutes() > band.from_min
    {
        let problem = Problem::new("recoat-window", "the recoat window closes before the shortest wait is over")
            .with_hint("check `recoat` and `recoat_window` against the can");
        reader.problem_at("recoat", recoat.span.clone(), problem);
    }
    let label = LabelInput {
        distance_m: distance.map(|range| (range.value.0.si(), range.value.1.si())),
        recoat_min: recoat.map(|range| range.value.1.minutes()),
        recoat_window: window,
        touch_dry_min: touch.map(|range| range.value.1.minutes()),
        min_temperature_c: reader.quantity::<Temperature>("min_temperature").map(|value| value.value.si()),
        max_temperature_c: reader.quantity::<Temperature>("max_temperature").map(|value| value.value.si()),
        max_humidity: reader.quantity::<RelativeHumidity>("max_humidity").map(|value| value.value.si()),
        hardener: reader.choice("hardener", &Hardener::WORDS).map(|word| word.value),
    };
    reader.finish();
    label
}

/// Reads `within 1 h or after 24 h`, `within 1 h, or after 24 h to 48 h`, `within 1 h`.
fn parse_window(text: &str) -> Result<ForbiddenBand, String> {
    let lower = text.trim().to_lowercase();
    let time = |part: &str, what: &str| -> Result<(TimeSpan, TimeSpan), String> {
        TimeSpan::parse_range(part.trim()).map_err(|error| format!("the time after `{what}`: {error}"))
    };
    let (within, after) = match lower.split_once(" or after ") {
        Some((within, after)) => (within.trim_end_matches([',', ' ']), Some(after)),
        None => (lower.as_str(), None),
    };
    let within = within.strip_prefix("within ").ok_or("it does not begin with `within`")?;
    let from_min = time(within, "within")?.0.minutes();
    let until_min = match after {
        Some(after) => time(after, "after")?.1.minutes(),
        None => f64::INFINITY,
    };
    if until_min <= from_min {
        return Err("the second time is not after the first".to_owned());
    }
    Ok(ForbiddenBand { from_min, until_min })
}

fn read_can(reader: TableReader<'_>) -> CanInput {
    let net = reader.quantity::<Mass>("net");
    let left = reader.quantity::<Mass>("left");
    if let Some(net) = net.as_ref().filter(|net| net.value.si() <= 0.0) {
        let problem = Problem::new("out-of-range", "`net`: a can that never held anything is no can")
            .with_hint("write the net content that is printed on it, and what is left as `left`");
        reader.problem_at("net", net.span.clone(), problem);
    }
    if let (Some(net), Some(left)) = (&net, &left)
        && left.value > net.value
    {
        let problem = Problem::new("out-of-range", "`left`: more is left than the can ever held")
            .with_hint("weigh the can and take off the weight of an empty one");
        reader.problem_at("left", left.span.clone(), problem);
    }
    let discharge = reader.quantity_triple::<MassRate>("discharge");
    if let Some(discharge) = &discharge
        && discharge.value.low() <= 0.0
    {
        let problem = Problem::new("out-of-range", "`discharge`: a can that gives nothing is empty")
            .with_hint("weigh the can before and after a burst of ten seconds");
        reader.problem_at("discharge", discharge.span.clone(), problem);
    }
    let can = CanInput {
        net_g: net.map(|net| net.value.si() * 1000.0),
        left_g: left.map(|left| left.value.si() * 1000.0),
        discharge_g_s: discharge.map(|discharge| discharge.value.scaled(1000.0)),
        ..CanInput::default()
    };
    reader.finish();
    can
}

/// Most substances of one composition; a safety data sheet lists a dozen.
const MOST_PARTS: usize = 100;

/// Reads the parts of a composition: names or CAS numbers against shares.
pub(crate) fn read_composition(reader: &TableReader<'_>) -> CompositionInput {
    let mut parts = Vec::new();
    for (name, share) in reader.entries() {
        if parts.len() == MOST_PARTS {
            let problem = Problem::new("too-many-parts", format!("a composition has at most {MOST_PARTS} substances"))
                .with_hint("write what section 3 of the safety data sheet lists, and nothing else");
            reader.problem_at(&name.value, name.span, problem);
            break;
        }
        match parse_share(&share.value) {
            Ok(range) => parts.push(PartInput { name, share: range, share_span: share.span }),
            Err(error) => {
                let problem = Problem::new("composition-share", format!("`{}`: {error}", name.value))
                    .with_hint("write the share as the sheet does: `30 % to 45 %`, `30 - 45 %`, `< 10 %`");
                reader.problem_at(&name.value, share.span, problem);
            }
        }
    }
    CompositionInput { parts }
}

/// Reads `30 % to 45 %`, `30-45 %`, `< 10 %`, `≤ 10 %`, `>= 1 - < 5 %`, `12 %`, and `> 45 %`, which may be all of it.
fn parse_share(text: &str) -> Result<(f64, f64), QuantityError> {
    let plain: String = text.replace('≤', "<").replace('≥', ">").replace('=', "");
    let trimmed = plain.trim();
    let single = |text: &str| quantity::parse::<Share>(text).map(Share::si);
    if let Some(high) = trimmed.strip_prefix('<') {
        return single(high).map(|high| (0.0, high));
    }
    if let Some(Ok(low)) = trimmed.strip_prefix('>').map(single) {
        return Ok((low, 1.0));
    }
    let without = trimmed.replace(['<', '>'], "");
    quantity::parse_range::<Share>(&without).map(|(low, high)| (low.si(), high.si()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<SealerInput, Vec<String>> {
        let source = SourceText::new("can.toml", &format!("extends = \"acrylic-gloss\"\n{text}"));
        read_sealer(&source).map_err(|problems| problems.list.into_iter().map(|problem| problem.message).collect())
    }

    #[test]
    fn shares_are_read_as_a_sheet_writes_them() {
        for (written, low, high) in [
            ("30 % to 45 %", 0.3, 0.45),
            ("30-45 %", 0.3, 0.45),
            ("< 10 %", 0.0, 0.1),
            ("<= 10 %", 0.0, 0.1),
            ("≤ 10 %", 0.0, 0.1),
            (">= 1 - < 5 %", 0.01, 0.05),
            ("≥1-≤5 %", 0.01, 0.05),
            ("> 45 %", 0.45, 1.0),
            ("≥ 45 %", 0.45, 1.0),
            ("12 %", 0.12, 0.12),
        ] {
            let (got_low, got_high) = parse_share(written).expect(written);
            assert!(
                (got_low - low).abs() < 1e-12 && (got_high - high).abs() < 1e-12,
                "{written}: {got_low} {got_high}"
            );
        }
        assert!(parse_share("> some").is_err());
    }

    #[test]
    fn a_window_is_read_as_a_can_prints_it() {
        for written in
            ["within 1 h or after 24 h", "Within 1 hour, or after 24 hours", "within 1 h or after 12 h to 24 h"]
        {
            let band = parse_window(written).expect(written);
            assert_eq!((band.from_min, band.until_min), (60.0, 1440.0), "{written}");
        }
        assert_eq!(parse_window("within 1 h").map(|band| band.until_min), Ok(f64::INFINITY));
        assert!(parse_window("after 24 h to 48 h").is_err());
    }

    #[test]
    fn a_can_that_held_nothing_is_refused() {
        assert!(read("[can]\nnet = \"300 g\"\nleft = \"0 g\"\n").is_ok(), "an empty can is one");
        let said = read("[can]\nnet = \"0 g\"\n").expect_err("no can");
        assert_eq!(said, ["`net`: a can that never held anything is no can"]);
    }

    #[test]
    fn what_a_can_cannot_be_is_refused() {
        for (text, said) in [
            ("[can]\nnet = \"300 g\"\nleft = \"301 g\"\n", "`left`: more is left than the can ever held"),
            ("[can]\ndischarge = \"0 g/s\"\n", "`discharge`: a can that gives nothing is empty"),
            (
                "[label]\nrecoat = \"10 min to 90 min\"\nrecoat_window = \"within 1 h\"\n",
                "the recoat window closes before the shortest wait is over",
            ),
            (
                "[label]\nrecoat_window = \"within 2 h or after 1 h\"\n",
                "`recoat_window`: the second time is not after the first",
            ),
        ] {
            assert_eq!(read(text).expect_err(text), [said]);
        }
        let parts: String = (0..=MOST_PARTS).map(|n| format!("part{n} = \"1 %\"\n")).collect::<Vec<_>>().concat();
        let said = read(&format!("[composition]\n{parts}")).expect_err("too many");
        assert_eq!(said, ["a composition has at most 100 substances"]);
        let said = read("[composition]\nacetone = \"some\"\n").expect_err("no share");
        assert_eq!(said, ["`acetone`: `some` does not start with a number"]);
    }
}
