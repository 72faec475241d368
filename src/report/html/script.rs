//! The script of the sheet, and the only script the sheet lets run.

/// What makes the sheet live.
pub(super) const SCRIPT: &str = include_str!("sheet.js");

/// SHA-256 of the script in Base64: the sheet's policy runs this text and nothing else, whatever a title holds.
pub(super) const SCRIPT_HASH: &str = "XR62VXGRJuvj20axhsa2W3leRQjPwn0lCOTPUDTjSpo=";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::html::base64::base64;
    use sha2::Digest;

    #[test]
    fn the_policy_names_the_script_as_it_is() {
        let hash = base64(&sha2::Sha256::digest(SCRIPT.as_bytes()));
        assert_eq!(hash, SCRIPT_HASH, "the script changed: put its new hash here");
        assert!(!SCRIPT.contains("</"), "a script inside a page cannot hold a closing tag");
    }
}
