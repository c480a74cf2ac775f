//! Text in pictures: made safe, measured, cut to its room.
//!
//! Takes text as people wrote it; gives text that cannot become markup and that fits. All of it goes byte by byte: telling
//! characters apart costs the browser's core more than the little that is asked of them here.

use super::path::Say;

/// Writes text so that it is text in SVG; what XML cannot carry, and marks that turn the reading direction, are left
/// out.
#[inline(never)]
pub(crate) fn put_text(out: &mut String, text: &str) {
    let bytes = text.as_bytes();
    let (mut said, mut at) = (0, 0);
    while at < bytes.len() {
        let (instead, length) = match bytes[at..] {
            [b'&', ..] => ("&amp;", 1),
            [b'<', ..] => ("&lt;", 1),
            [b'>', ..] => ("&gt;", 1),
            [b'"', ..] => ("&quot;", 1),
            [0..=0x1f | 0x7f, ..] => (" ", 1),
            [0xc2, 0x80..=0x9f, ..] => (" ", 2),
            // U+200B to U+200F, U+202A to U+202E, U+2060 to U+206F, U+FEFF, U+FFFE and U+FFFF.
            [0xe2, 0x80, 0x8b..=0x8f | 0xaa..=0xae, ..]
            | [0xe2, 0x81, 0xa0..=0xaf, ..]
            | [0xef, 0xbb, 0xbf, ..]
            | [0xef, 0xbf, 0xbe..=0xbf, ..] => ("", 3),
            _ => {
                at += 1;
                continue;
            }
        };
        out.say(text.get(said..at).unwrap_or(""));
        out.say(instead);
        at += length;
        said = at;
    }
    out.say(text.get(said..).unwrap_or(""));
}

/// Estimated width of a text, px: system typefaces average a little over half their height.
pub(crate) fn text_width(text: &str, size_px: f64) -> f64 {
    measure(text, size_px, f64::MAX).0
}

/// Width of a text, px, and how many of its bytes are whole characters within `room_px`.
#[inline(never)]
fn measure(text: &str, size_px: f64, room_px: f64) -> (f64, usize) {
    let (mut width, mut fitting) = (0.0, 0);
    for (at, &byte) in text.as_bytes().iter().enumerate() {
        // The rest of a character is measured with its first byte.
        let ems = match byte {
            b'i' | b'j' | b'l' | b't' | b'f' | b'r' | b'I' => 0.36,
            b'.' | b',' | b':' | b'\'' | b' ' | b'|' => 0.36,
            b'm' | b'w' | b'M' | b'W' => 0.86,
            0..=0x7f => 0.61,
            0x80..=0xbf => continue,
            0xc0..=0xe0 => 0.62,
            // Dashes and other signs of running text, then the wide scripts.
            0xe2 => 0.86,
            _ => 1.0,
        };
        if width <= room_px {
            fitting = at;
        }
        width += ems * size_px;
    }
    if width <= room_px {
        fitting = text.len();
    }
    (width, fitting)
}

/// The text, cut with an ellipsis where it is wider than `width_px`.
#[inline(never)]
pub(crate) fn fit_text(text: &str, size_px: f64, width_px: f64) -> String {
    let mut out = String::new();
    if text_width(text, size_px) <= width_px {
        out.say(text);
    } else {
        let (_, fitting) = measure(text, size_px, width_px - size_px * 0.9);
        out.say(text.get(..fitting).unwrap_or("").trim_end_matches(' '));
        out.say("…");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_become_markup() {
        let mut out = String::new();
        put_text(&mut out, "a<b>&\"\u{0}\u{202e}c\u{200b}");
        assert_eq!(out, "a&lt;b&gt;&amp;&quot; c");
    }

    #[test]
    fn long_names_are_cut_to_their_room() {
        let cut = fit_text(
            "A very long name of a glaze that nobody would write on a bucket",
            13.0,
            100.0,
        );
        assert!(
            cut.ends_with('…') && text_width(&cut, 13.0) <= 100.0,
            "{cut}"
        );
        assert_eq!(fit_text("Tenmoku", 13.0, 100.0), "Tenmoku");
    }
}
