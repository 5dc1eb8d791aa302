//! The checksum of a file: two comment lines round its text, so that a person can read it as before.
//!
//! A file that was written before there were checksums has neither line, and is read as it is. Of the two, damage
//! in one place leaves one at least, so that no damaged file passes for an older one.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// The first line of a file with a checksum.
const FIRST: &str = "// The last line is a checksum. Whoever changes this file by hand takes out this line and the last.\n";
/// How its last line begins.
const LAST: &str = "// SHA-256 of the lines above: ";
/// How its last line ends: no hexadecimal digit becomes a closing bracket or a line end by a slip of one bit.
const END: &str = ".\n";

/// A text with its checksum.
pub(super) fn seal(text: &str) -> String {
    let above = format!("{FIRST}{}\n", text.trim_end());
    let sum = checksum(&above);
    format!("{above}{LAST}{sum}{END}")
}

/// The text, if its checksum fits or if it has none.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn unseal(text: &str) -> Result<&str, &'static str> {
    let last = text.trim_end().rsplit('\n').next().unwrap_or_default();
    if !text.starts_with(FIRST) && !last.starts_with(LAST) {
        return Ok(text);
    }
    let parts = text
        .rfind(LAST)
        .and_then(|at| text.split_at_checked(at))
        .and_then(|(above, last)| Some((above, last.strip_prefix(LAST)?.strip_suffix(END)?)));
    match parts {
        None => Err("its end is missing or damaged"),
        Some((above, sum)) if checksum(above) == sum => Ok(above),
        Some(_) => Err(
            "its checksum does not fit: it is damaged, or was changed by hand with its first and last line left in",
        ),
    }
}

fn checksum(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().fold(String::new(), |mut sum, byte| {
        let _ = write!(sum, "{byte:02x}");
        sum
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "(\n    format: 1,\n    note: \"// SHA-256 of the lines above: \",\n)";

    #[test]
    fn a_text_comes_back_and_an_older_one_passes() {
        let sealed = seal(TEXT);
        assert_eq!(unseal(&sealed), Ok(format!("{FIRST}{TEXT}\n").as_str()));
        assert_eq!(unseal(TEXT), Ok(TEXT));
        assert_eq!(
            unseal("// mended by hand\n(format: 1)\n"),
            Ok("// mended by hand\n(format: 1)\n")
        );
    }

    #[test]
    fn every_single_bit_and_every_cut_is_noticed() {
        let sealed = seal(TEXT);
        for at in 0..sealed.len() {
            for bit in 0..8 {
                let mut bytes = sealed.clone().into_bytes();
                bytes[at] ^= 1 << bit;
                // What is no text any more is refused before.
                if let Ok(text) = std::str::from_utf8(&bytes) {
                    assert!(unseal(text).is_err(), "bit {bit} of byte {at}: {text}");
                }
            }
            if at >= FIRST.len() {
                assert!(unseal(&sealed[..at]).is_err(), "cut at {at}");
            }
        }
    }
}
