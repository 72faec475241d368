//! CAS numbers and their check digit.

/// Whether a text looks like a CAS number: two to seven digits, two digits, one digit.
pub fn looks_like(text: &str) -> bool {
    let parts: Vec<&str> = text.trim().split('-').collect();
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    matches!(parts[..], [body, middle, check] if parts.iter().all(|part| digits(part))
        && (2..=7).contains(&body.len()) && middle.len() == 2 && check.len() == 1)
}

/// Whether a text is a CAS number with the right check digit.
///
/// The last digit is the sum of the others, each times its place counted from the right, modulo 10 (CAS Registry,
/// check digit verification). Water, 7732-18-5: 8·1 + 1·2 + 2·3 + 3·4 + 7·5 + 7·6 = 105, check digit 5.
pub fn is_valid(text: &str) -> bool {
    if !looks_like(text) {
        return false;
    }
    let digits: Vec<u32> = text.bytes().filter(u8::is_ascii_digit).map(|byte| u32::from(byte - b'0')).collect();
    let Some((check, body)) = digits.split_last() else { return false };
    let sum: u32 = body.iter().rev().zip(1..).map(|(digit, place)| digit * place).sum();
    sum % 10 == *check
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn check_digits() {
        // Water and caffeine: CAS Registry, published examples.
        assert!(is_valid("7732-18-5"));
        assert!(is_valid("58-08-2"));
        assert!(!is_valid("7732-18-6"));
        assert!(!is_valid("616-38-5"), "dimethyl carbonate is 616-38-6");
    }

    #[test]
    fn shapes() {
        assert!(looks_like("67-64-1"));
        assert!(!looks_like("2-butoxyethanol"));
        assert!(!looks_like("12345678-12-1"));
        assert!(!looks_like("67-64-"));
        assert!(!is_valid(""));
    }
}
