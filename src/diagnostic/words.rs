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

/// Makes a text from a file safe for a terminal: control, bidirectional and zero-width characters are shown as
/// `\u{…}`, so that a title cannot move the cursor, recolour the screen or reverse a line.
pub fn escape_untrusted(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        let hidden = letter.is_control()
            || matches!(letter, '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{061C}' | '\u{FFF9}'..='\u{FFFB}');
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
        assert_eq!(escape_untrusted("Fuchsia & Möwe"), "Fuchsia & Möwe");
    }

    #[test]
    fn lists_read_naturally() {
        let words = |list: &[&str]| or_list(&list.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
        assert_eq!(words(&["a"]), "a");
        assert_eq!(words(&["a", "b", "c"]), "a, b or c");
    }
}
