//! A line of section 3 of a safety data sheet, typed or pasted as it stands there.

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SheetLine {
    /// The CAS number, if the line has one.
    pub(super) cas: Option<String>,
    /// The name, as written; may be empty beside a CAS number.
    pub(super) name: String,
    /// The share as written, in per cent.
    pub(super) share: String,
}

impl SheetLine {
    /// What the part is called in a sealer file: the number if there is one, since names differ from sheet to sheet.
    pub(super) fn key(&self) -> &str {
        self.cas.as_deref().unwrap_or(&self.name)
    }
}

/// Reads `Acetone 67-64-1 30 - <45 %`, `butane, 106-97-8, 10-25`, `xylene: < 5 %`, with columns in any order and any
/// of spaces, tabs, commas, semicolons or bars between; EC and registration numbers and hazard codes are passed over.
/// A share without its sign is per cent, as the head of the sheet's column says. `None` if there is no share, or
/// nothing it belongs to.
pub(super) fn read(line: &str) -> Option<SheetLine> {
    let line = decimal_points(line);
    let spaced = line.replace(['\t', ';', '|', ','], " ").replace(['–', '—', '−'], "-");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let cas = words.iter().map(|word| bare(word)).find(|word| has_shape(word, 2)).map(str::to_owned);
    let kept: Vec<&str> = words.into_iter().filter(|word| !is_number_of_a_register(bare(word))).collect();
    let (start, end) = share_words(&kept)?;
    let share = tidy_share(&kept[start..end])?;
    let name = if start > 0 { &kept[..start] } else { &kept[end..] };
    let name = name.join(" ").trim_matches(|c: char| c == ':' || c == '-' || c == '=' || c.is_whitespace()).to_owned();
    (cas.is_some() || name.chars().any(char::is_alphabetic)).then_some(SheetLine { cas, name, share })
}

fn bare(word: &str) -> &str {
    word.trim_matches(|c: char| "()[],;:".contains(c))
}

/// `2,5` is two and a half; a comma followed by three digits or a space only separates.
fn decimal_points(line: &str) -> String {
    let letters: Vec<char> = line.chars().collect();
    let digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let point = |at: usize| {
        let digits = (at + 1..letters.len()).take_while(|next| digit(*next)).count();
        letters[at] == ',' && at > 0 && digit(at - 1) && (1..=2).contains(&digits)
    };
    (0..letters.len()).map(|at| if point(at) { '.' } else { letters[at] }).collect()
}

/// Digits, digits, one digit with hyphens between: a CAS number has two in the middle, an EC number three.
fn has_shape(word: &str, middle: usize) -> bool {
    let parts: Vec<&str> = word.split('-').collect();
    let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    matches!(parts[..], [first, second, last] if parts.iter().all(|part| digits(part))
        && (2..=7).contains(&first.len()) && second.len() == middle && last.len() == 1)
}

/// CAS and EC numbers, registrations such as `01-2119471330-49`, index numbers such as `606-001-00-8`, and their labels.
fn is_number_of_a_register(word: &str) -> bool {
    let label = matches!(
        word.to_lowercase().trim_end_matches(['.', ':']),
        "cas" | "cas-no" | "cas-nr" | "ec" | "ec-no" | "einecs" | "reach" | "no" | "nr"
    );
    let long = word.matches('-').count() >= 2
        && word.chars().all(|c| c.is_ascii_digit() || c == '-' || c.is_ascii_uppercase())
        && word.chars().filter(char::is_ascii_digit).count() >= 8;
    label || has_shape(word, 2) || has_shape(word, 3) || long
}

/// The run of words that is the share: the first with a per cent sign, else the last with a digit.
fn share_words(words: &[&str]) -> Option<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let start = at;
        while at < words.len() && is_of_a_share(words[at]) {
            at += 1;
        }
        if words[start..at].iter().any(|word| word.chars().any(|c| c.is_ascii_digit())) {
            runs.push((start, at));
        }
        at = at.max(start + 1);
    }
    let with_sign = |run: &&(usize, usize)| words[run.0..run.1].iter().any(|word| word.contains('%'));
    runs.iter().find(with_sign).or(runs.last()).copied()
}

fn is_of_a_share(word: &str) -> bool {
    let word = bare(word);
    let sign = |c: char| c.is_ascii_digit() || ".-<>=≤≥~%".contains(c);
    ["to", "bis", "and"].contains(&word) || (!word.is_empty() && word.chars().all(sign))
}

/// The same share as a sealer file has it: `30 % to 45 %`, `< 10 %`, `12 %`.
fn tidy_share(words: &[&str]) -> Option<String> {
    let run = words.iter().map(|word| bare(word)).collect::<Vec<_>>().join(" ");
    let below = run.contains(['<', '≤']);
    let plain: String = run
        .replace("to", "-")
        .replace("bis", "-")
        .chars()
        .map(|c| if c.is_ascii_digit() || c == '.' { c } else { ' ' })
        .collect();
    let numbers: Vec<&str> = plain.split_whitespace().collect();
    if numbers.iter().any(|number| number.parse::<f64>().is_err()) {
        return None;
    }
    let open_above = run.contains(['>', '≥']) && !below;
    match numbers[..] {
        [one] if below => Some(format!("< {one} %")),
        [one] if open_above => Some(format!("{one} % to 100 %")),
        [one] => Some(format!("{one} %")),
        [low, high] => Some(format!("{low} % to {high} %")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(line: &str, cas: Option<&str>, name: &str, share: &str) {
        let expected = SheetLine { cas: cas.map(str::to_owned), name: name.to_owned(), share: share.to_owned() };
        assert_eq!(read(line), Some(expected), "{line}");
    }

    // Shapes of lines as safety data sheets print them (common practice, no source).
    #[test]
    fn lines_as_they_stand() {
        reads("acetone 30 % to 45 %", None, "acetone", "30 % to 45 %");
        reads("Acetone 67-64-1 30 - <45 %", Some("67-64-1"), "Acetone", "30 % to 45 %");
        reads("butane, 106-97-8, 10-25", Some("106-97-8"), "butane", "10 % to 25 %");
        reads("Xylene (mixed isomers)\t1330-20-7\t<5%", Some("1330-20-7"), "Xylene (mixed isomers)", "< 5 %");
        reads("n-butyl acetate: ≥10 - <20 %", None, "n-butyl acetate", "10 % to 20 %");
        reads("67-64-1 | 30 to 60", Some("67-64-1"), "", "30 % to 60 %");
        reads("2-butoxyethanol 2,5 - 10 %", None, "2-butoxyethanol", "2.5 % to 10 %");
        reads("2-butoxyethanol 111-76-2 1-5", Some("111-76-2"), "2-butoxyethanol", "1 % to 5 %");
        reads("30-45 % acetone", None, "acetone", "30 % to 45 %");
        reads("propane 12%", None, "propane", "12 %");
        reads(
            "ethyl acetate CAS: 141-78-6 EC: 205-500-4 01-2119475103-46 10 – 25 % Flam. Liq. 2 H225 Eye Irrit. 2 H319",
            Some("141-78-6"),
            "ethyl acetate",
            "10 % to 25 %",
        );
        reads("Resin > 5 %", None, "Resin", "5 % to 100 %");
    }

    #[test]
    fn lines_that_say_nothing() {
        for line in ["", "acetone", "30 %", "%", "acetone a lot", "67-64-1", "acetone 1 2 3 4 %"] {
            assert_eq!(read(line), None, "{line}");
        }
    }
}
