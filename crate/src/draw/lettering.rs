//! Text in pictures: made safe, measured, cut to its room.
//!
//! Takes text as people wrote it; gives text that cannot become markup and that fits.

/// Writes text so that it is text in SVG; what XML cannot carry, and marks that turn the reading direction, are left
/// out.
#[inline(never)]
pub(crate) fn put_text(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{feff}' => {}
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
}

/// Estimated width of a text, px: system typefaces average a little over half their height.
#[inline(never)]
pub(crate) fn text_width(text: &str, size_px: f64) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | 't' | 'f' | 'r' | 'I' | '.' | ',' | ':' | '\'' | ' ' | '|' => 0.36,
            'm' | 'w' | 'M' | 'W' | '–' => 0.86,
            c if c.is_ascii() => 0.61,
            c if (c as u32) < 0x1100 => 0.62,
            _ => 1.0,
        })
        .sum();
    ems * size_px
}

/// The text, cut with an ellipsis where it is wider than `width_px`.
#[inline(never)]
pub(crate) fn fit_text(text: &str, size_px: f64, width_px: f64) -> String {
    if text_width(text, size_px) <= width_px {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if text_width(&kept, size_px) > width_px - size_px * 0.9 {
            kept.pop();
            break;
        }
    }
    let mut cut = kept.trim_end().to_owned();
    cut.push('…');
    cut
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
