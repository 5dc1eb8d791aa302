//! Photos on a page for a browser: within the page itself, so that it needs nothing else.

use maud::{Markup, html};

use crate::show::handbook::html::END;
use crate::visit::photo::PhotoKind;

/// A photo that belongs to a visit.
#[derive(Debug, Clone)]
pub struct Photo {
    /// The name of its file.
    pub file: String,
    /// What kind of picture it is.
    pub kind: PhotoKind,
    /// What its file holds.
    pub bytes: Vec<u8>,
}

/// All of them, small, under a heading; empty without any.
pub(super) fn figures(photos: &[Photo]) -> Markup {
    if photos.is_empty() {
        return Markup::default();
    }
    html! {
        h3 { "Photos" } (END)
        div.photos { (END)
            @for photo in photos {
                figure { (END)
                    img alt=(format_args!("Photo {}", photo.file)) src=(format_args!("data:{};base64,{}", photo.kind.media_type(), base64(&photo.bytes))) {} (END)
                    figcaption { (photo.file) } (END)
                } (END)
            }
        } (END)
    }
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |place: usize| u32::from(three.get(place).copied().unwrap_or(0));
        let joined = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let letter = LETTERS.get((joined >> (18 - 6 * place) & 63) as usize).copied();
            let shown = place <= three.len();
            text.push(letter.filter(|_| shown).map_or('=', char::from));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::base64;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn letters_are_those_of_the_standard() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, coded) in vectors {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
        assert_eq!(base64(&[0xff, 0xfe, 0xfb]), "//77");
    }
}
