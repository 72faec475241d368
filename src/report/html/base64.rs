//! Base64 (RFC 4648, section 4), for the calendar that a sheet carries as a link.

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Octets as Base64 with padding.
pub(super) fn base64(octets: &[u8]) -> String {
    let mut text = String::with_capacity(octets.len().div_ceil(3) * 4);
    for group in octets.chunks(3) {
        let at = |index: usize| u32::from(group.get(index).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4 {
            if place <= group.len() {
                text.push(char::from(LETTERS[(bits >> (18 - 6 * place) & 63) as usize]));
            } else {
                text.push('=');
            }
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    // Test vectors of RFC 4648, section 10.
    #[test]
    fn test_vectors() {
        let known =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("foobar", "Zm9vYmFy")];
        for (plain, coded) in known {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
