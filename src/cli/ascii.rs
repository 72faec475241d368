//! Spelling symbols for a screen that shows only ASCII. Letters of names are left as they are.

/// Symbols of this project's own texts with their spelling.
const SPELLED: [(char, &str); 24] = [
    ('µ', "u"),
    ('μ', "u"),
    ('°', ""),
    ('²', "2"),
    ('³', "3"),
    ('–', "-"),
    ('—', "-"),
    ('−', "-"),
    ('…', "..."),
    ('×', "x"),
    ('≥', ">="),
    ('≤', "<="),
    ('≈', "~"),
    ('→', "->"),
    ('·', "|"),
    ('•', "*"),
    ('’', "'"),
    ('‘', "'"),
    ('“', "\""),
    ('”', "\""),
    ('½', "1/2"),
    ('─', "-"),
    ('│', "|"),
    ('Σ', "sum"),
];

/// The text with symbols spelled in ASCII.
pub(super) fn spelled(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars() {
        match SPELLED.iter().find(|(symbol, _)| *symbol == letter) {
            Some((_, spelling)) => plain.push_str(spelling),
            None => plain.push(letter),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    #[test]
    fn units_stay_readable() {
        assert_eq!(super::spelled("9 µm at 21 °C, 6–12 m³/h"), "9 um at 21 C, 6-12 m3/h");
    }
}
