//! Small wordings shared by all messages.

/// Joins words as `a`, `a or b`, `a, b or c`.
pub fn or_list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} or {last}", head.join(", ")),
    }
}

/// Joins words as `a`, `a and b`, `a, b and c`.
pub fn and_list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// `1 coat`, `2 coats`.
pub fn plural(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

/// The same words with a capital at the start.
pub fn sentence_start(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

/// The same words with a small letter at the start, to stand inside another sentence, unless they begin with an
/// abbreviation or a single letter.
pub fn sentence_inside(words: &str) -> String {
    let mut letters = words.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if first.is_uppercase() && second.is_lowercase() => {
            first.to_lowercase().collect::<String>() + letters.as_str()
        }
        _ => words.to_owned(),
    }
}

/// Makes a text from a file safe for a terminal: control, line-breaking, bidirectional and invisible characters are
/// shown as `\u{…}`, so that a title cannot move the cursor, recolour the screen, break or reverse a line.
pub fn escape_untrusted(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        let hidden = letter.is_control()
            || matches!(letter, '\u{AD}' | '\u{61C}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}')
            || matches!(letter, '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}')
            || matches!(letter, '\u{E0000}'..='\u{E007F}');
        if hidden {
            safe.extend(letter.escape_unicode());
        } else {
            safe.push(letter);
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_are_shown() {
        assert_eq!(escape_untrusted("a\u{1b}[31mb\u{202E}c"), "a\\u{1b}[31mb\\u{202e}c");
        assert_eq!(escape_untrusted("a\u{2028}b\u{AD}c"), "a\\u{2028}b\\u{ad}c");
        assert_eq!(escape_untrusted("Fuchsia & Möwe"), "Fuchsia & Möwe");
    }

    #[test]
    fn lists_read_naturally() {
        let words = |list: &[&str]| or_list(&list.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
        assert_eq!(words(&["a"]), "a");
        assert_eq!(words(&["a", "b", "c"]), "a, b or c");
    }
}
