//! What mutation starts from: the examples, and the texts between quotes in the sources and tests.

use std::path::Path;

use crate::damage::samples::{Kind, samples};

/// Whole files of a kind.
pub(super) fn files(kind: Kind) -> Vec<Vec<u8>> {
    samples().into_iter().filter(|sample| sample.kind == kind).map(|sample| sample.bytes).collect()
}

/// Short texts with a digit, from the sources of the readers, the tests of the command line and the examples.
pub(super) fn short_texts() -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["src/quantity", "src/input", "src/cli/new", "tests/cli"] {
        let entries = std::fs::read_dir(root.join(folder)).expect("a folder of this repository");
        for file in entries.filter_map(Result::ok).map(|entry| entry.path()).filter(|path| path.is_file()) {
            let text = std::fs::read_to_string(file).unwrap_or_default();
            found.extend(text.split('"').map(|piece| piece.as_bytes().to_vec()));
        }
    }
    for kind in [Kind::Page, Kind::Room, Kind::Can] {
        for file in files(kind) {
            found.extend(file.split(|byte| *byte == b'"').map(<[u8]>::to_vec));
        }
    }
    found.retain(|text| text.len() < 40 && text.iter().any(u8::is_ascii_digit) && !text.contains(&b'\n'));
    found.sort_unstable();
    found.dedup();
    found
}
