//! Turning the bytes of a file into text, or saying why that cannot be.

use crate::diagnostic::{Problem, Problems, SourceText};

/// The largest file read, in bytes. A page with a hundred layers is ten kilobytes.
pub const LARGEST_FILE: u64 = 1_000_000;

/// Checks that bytes are a text that can be a TOML file.
///
/// # Errors
/// `file-too-large`, `file-not-text` or `file-empty`.
pub fn text_from_bytes(name: &str, bytes: &[u8]) -> Result<SourceText, Problems> {
    if bytes.len() as u64 > LARGEST_FILE {
        let problem = Problem::new("file-too-large", format!("the file is over {} kB", LARGEST_FILE / 1000))
            .with_hint("a page, room or sealer file is a few kilobytes of text; check that this is the right file");
        return Err(Problems::whole(name, problem));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        let problem = Problem::new("file-not-text", "the file is UTF-16 text").with_hint("save the file as UTF-8");
        return Err(Problems::whole(name, problem));
    }
    if bytes.contains(&0) {
        let problem = Problem::new("file-not-text", "the file is binary, not text")
            .with_hint("give a TOML text file; `coatbell new` writes one");
        return Err(Problems::whole(name, problem));
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let line = bytes[..error.valid_up_to()].iter().filter(|byte| **byte == b'\n').count() + 1;
            let problem = Problem::new("file-not-text", format!("line {line} is not UTF-8 text"))
                .with_hint("save the file as UTF-8");
            return Err(Problems::whole(name, problem));
        }
    };
    if text.trim().is_empty() {
        let problem =
            Problem::new("file-empty", "the file is empty").with_hint("`coatbell new page` asks and writes one");
        return Err(Problems::whole(name, problem));
    }
    Ok(SourceText::new(name, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_text_says_what_to_save_it_as() {
        let said = |bytes: &[u8]| {
            let problems = text_from_bytes("page.toml", bytes).expect_err("no text").list;
            let hint = problems[0].hint.clone().unwrap_or_default();
            (problems[0].code, problems[0].message.clone(), hint)
        };
        let wide: Vec<u8> = "\u{FEFF}title".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(
            said(&wide),
            ("file-not-text", "the file is UTF-16 text".to_owned(), "save the file as UTF-8".to_owned())
        );
        assert_eq!(said(b"a\nb\xE4").1, "line 2 is not UTF-8 text");
        assert_eq!(said(b"a\0b").1, "the file is binary, not text");
        assert_eq!(said(b"\xEF\xBB\xBF \n").0, "file-empty");
        assert_eq!(said(&vec![b'a'; 1_000_001]).0, "file-too-large");
        assert!(
            text_from_bytes("page.toml", b"\xEF\xBB\xBFtitle = 1").is_ok_and(|source| &*source.text == "title = 1")
        );
    }
}
