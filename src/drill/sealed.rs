//! A text that is not to be read at a glance: the drill of an examination in the file of its run.
//!
//! This keeps an honest learner from seeing the answer by opening the file. It is no secret: the key is in the program
//! and in the file, so whoever is determined, and knows how, opens it.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// Stands before every sealed text, with the way in which it is sealed.
const MARK: &str = "sealed-1:";
/// So many bytes of the checksum of the text stand before it.
const CHECK: usize = 8;

/// Whether a text is a sealed one.
pub fn is_sealed(text: &str) -> bool {
    text.starts_with(MARK)
}

/// The sealed form of a text. The same text with another key looks altogether different.
pub fn seal(key: &str, text: &str) -> String {
    let check = Sha256::digest(text.as_bytes());
    let bytes = check.iter().take(CHECK).chain(text.as_bytes()).copied();
    bytes.zip(stream(key)).fold(MARK.to_owned(), |mut sealed, (byte, with)| {
        let _ = write!(sealed, "{:02x}", byte ^ with);
        sealed
    })
}

/// The text again; nothing if it was changed, or sealed with another key.
pub fn open(key: &str, sealed: &str) -> Option<String> {
    let digits = sealed.strip_prefix(MARK)?.as_bytes();
    let bytes = digits.chunks(2).map(|pair| {
        let pair = std::str::from_utf8(pair).ok().filter(|pair| pair.len() == 2)?;
        u8::from_str_radix(pair, 16).ok()
    });
    let bytes: Vec<u8> = bytes.collect::<Option<_>>()?;
    let opened: Vec<u8> =
        bytes.into_iter().zip(stream(key)).map(|(byte, with)| byte ^ with).collect();
    let (check, text) = opened.split_at_checked(CHECK)?;
    let sum = Sha256::digest(text);
    let fits = sum.iter().take(CHECK).eq(check);
    fits.then(|| String::from_utf8(text.to_vec()).ok())?
}

/// Bytes that hang on the key alone, without end.
fn stream(key: &str) -> impl Iterator<Item = u8> {
    let key = key.to_owned();
    (0_u64..).flat_map(move |block| {
        let mut hash = Sha256::new();
        hash.update(b"straybelt drill ");
        hash.update(key.as_bytes());
        hash.update(block.to_be_bytes());
        hash.finalize().to_vec()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "(id: \"crooked-splice\", title: \"Nöthing\")";

    #[test]
    fn it_comes_back_with_its_key_and_with_no_other() {
        let sealed = seal("7 2031", TEXT);
        assert!(is_sealed(&sealed) && !is_sealed(TEXT));
        assert_eq!(open("7 2031", &sealed).as_deref(), Some(TEXT));
        assert_eq!(open("8 2031", &sealed), None);
        assert_ne!(sealed, seal("8 2031", TEXT));
    }

    #[test]
    fn nothing_of_it_can_be_read_and_no_change_passes() {
        let sealed = seal("7 2031", TEXT);
        assert!(!sealed.contains("splice") && sealed.len() > 2 * TEXT.len());
        for at in MARK.len()..sealed.len() {
            let mut changed = sealed.clone().into_bytes();
            changed[at] = if changed[at] == b'0' { b'1' } else { b'0' };
            let changed = String::from_utf8(changed).expect("digits");
            assert_eq!(open("7 2031", &changed), None, "{at}");
            assert_eq!(open("7 2031", &sealed[..at]), None, "{at}");
        }
        assert_eq!(open("7", "sealed-1:é0"), None);
    }
}
