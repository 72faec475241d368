//! Writing iCalendar: content lines, escaped, folded, and the stable identity of an event.

use jiff::Timestamp;

use crate::diagnostic::escape_untrusted;

/// Most octets of a content line before it is folded, the line end left out (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;

/// A calendar being written.
#[derive(Debug, Default)]
pub(super) struct Lines {
    written: String,
}

impl Lines {
    /// A line whose value stands for itself: times, words of the standard, identities.
    pub(super) fn plain(&mut self, name: &str, value: &str) {
        self.fold(&format!("{name}:{value}"));
    }

    /// A line whose value is a text. Line feeds in it stay line feeds; other control characters are shown, not sent.
    pub(super) fn text(&mut self, name: &str, value: &str) {
        self.fold(&format!("{name}:{}", escaped(value)));
    }

    /// A line whose value is a moment in UTC.
    pub(super) fn moment(&mut self, name: &str, at: Timestamp) {
        self.plain(name, &at.strftime("%Y%m%dT%H%M%SZ").to_string());
    }

    /// The whole calendar.
    pub(super) fn finish(self) -> String {
        self.written
    }

    /// Ends every line with CR LF and cuts long ones between characters; a continued line begins with a space.
    fn fold(&mut self, line: &str) {
        let mut room = LONGEST_LINE;
        for letter in line.chars() {
            if letter.len_utf8() > room {
                self.written.push_str("\r\n ");
                room = LONGEST_LINE - 1;
            }
            self.written.push(letter);
            room -= letter.len_utf8();
        }
        self.written.push_str("\r\n");
    }
}

/// A text as RFC 5545, section 3.3.11, wants it.
fn escaped(text: &str) -> String {
    let safe: Vec<String> = text.split('\n').map(escape_untrusted).collect();
    let mut out = String::new();
    for letter in safe.join("\n").chars() {
        match letter {
            '\\' | ';' | ',' => out.extend(['\\', letter]),
            '\n' => out.push_str("\\n"),
            _ => out.push(letter),
        }
    }
    out
}

/// An identity that is the same whenever the same parts are: 128-bit FNV-1a in hexadecimal.
///
/// The parts are kept apart, so that `ab`, `c` is not `a`, `bc`. Not a protection against anyone: only a name.
pub(crate) fn identity<'a>(parts: impl IntoIterator<Item = &'a str>) -> String {
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    let mut hash: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    for part in parts {
        for octet in part.bytes().chain([0xff]) {
            hash = (hash ^ u128::from(octet)).wrapping_mul(PRIME);
        }
    }
    format!("{hash:032x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_escaped() {
        assert_eq!(escaped("a, b; c\\d\nnext\u{7}"), "a\\, b\\; c\\\\d\\nnext\\\\u{7}");
    }

    #[test]
    fn long_lines_are_cut_between_characters() {
        let mut lines = Lines::default();
        lines.text("SUMMARY", &"漁火".repeat(30));
        let written = lines.finish();
        assert!(written.ends_with("\r\n"));
        for line in written.split_terminator("\r\n") {
            assert!(line.len() <= 75, "{} octets", line.len());
        }
        assert_eq!(written.replace("\r\n ", ""), format!("SUMMARY:{}\r\n", "漁火".repeat(30)));
    }

    // Of nothing it is the offset basis, of one part the hash of its octets and of the end of a part: basis and prime of
    // the FNV specification, worked by another program (Python's integers).
    #[test]
    fn the_identity_is_fnv_1a() {
        assert_eq!(identity([]), "6c62272e07bb014262b821756295c58d");
        assert_eq!(identity(["foobar"]), "e01fcf9b144ff78da540f1b23235b13d");
        assert_ne!(identity(["ab", "c"]), identity(["a", "bc"]));
    }
}
