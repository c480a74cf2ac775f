//! Numbers and counts as the pictures and their words write them.
//!
//! Takes numbers with a unit; gives short texts, metric first, inches on request.

use super::path::Say;
use super::picture::{put_integer, put_number};
use crate::studio::document::{How, Units};

/// A length to the millimetre ("14 mm"), or to the sixteenth of an inch where the studio works in inches.
#[inline(never)]
pub(crate) fn length(mm: f64, units: Units) -> String {
    let mut out = String::new();
    match units {
        Units::Metric => {
            put_number(&mut out, mm.round());
            out.say(" mm");
        }
        Units::Imperial => inches(&mut out, mm),
    }
    out
}

/// A range of lengths ("6–24 mm").
#[inline(never)]
pub(crate) fn length_range(from_mm: f64, to_mm: f64, units: Units) -> String {
    if length(from_mm, units) == length(to_mm, units) {
        return length(from_mm, units);
    }
    let mut out = String::new();
    match units {
        Units::Metric => put_number(&mut out, from_mm.round()),
        Units::Imperial => inches(&mut out, from_mm),
    }
    out.say("–");
    out.say(&length(to_mm, units));
    out
}

/// Inches and sixteenths, lowest terms.
fn inches(out: &mut String, mm: f64) {
    let sixteenths = if mm.is_finite() {
        (mm.max(0.0) / 25.4 * 16.0).round().min(1e6) as u64
    } else {
        0
    };
    let (whole, mut part, mut of) = (sixteenths / 16, sixteenths % 16, 16);
    while part > 0 && part.is_multiple_of(2) {
        part /= 2;
        of /= 2;
    }
    if whole > 0 || part == 0 {
        put_integer(out, whole);
    }
    if part > 0 {
        if whole > 0 {
            out.say(" ");
        }
        put_integer(out, part);
        out.say("/");
        put_integer(out, of);
    }
    out.say(" in");
}

/// A size of a pot ("15 cm", "6 in").
#[inline(never)]
pub(crate) fn size(mm: f64, units: Units) -> String {
    match units {
        Units::Metric if mm >= 30.0 => {
            let mut out = String::new();
            put_number(&mut out, (mm / 5.0).round() / 2.0);
            out.say(" cm");
            out
        }
        _ => length(mm, units),
    }
}

/// A thickness to a hundredth of a millimetre ("0.34 mm"), glaze being thinner than any inch rule.
#[inline(never)]
pub(crate) fn thickness(mm: f64) -> String {
    let mut out = String::new();
    put_number(&mut out, mm);
    // Always to the hundredth: 0.30 is known better than 0.3.
    match out.split_once('.').map(|(_, decimals)| decimals.len()) {
        None => out.say(".00"),
        Some(1) => out.say("0"),
        Some(_) => {}
    }
    out.say(" mm");
    out
}

/// A temperature ("1222 °C", "2232 °F").
#[inline(never)]
pub(crate) fn temperature(celsius: f64, units: Units) -> String {
    let mut out = String::new();
    match units {
        Units::Metric => {
            put_number(&mut out, celsius.round());
            out.say(" °C");
        }
        Units::Imperial => {
            put_number(&mut out, (celsius * 1.8 + 32.0).round());
            out.say(" °F");
        }
    }
    out
}

/// How a layer went on ("3 coats", "1 dip of 3 s", "2 sprayed passes").
#[inline(never)]
pub(crate) fn how(how: How) -> String {
    let mut out = String::new();
    match how {
        How::Brush { coats } => counted(&mut out, coats, " coat", " coats"),
        How::Dip { dips, seconds } => {
            counted(&mut out, dips, " dip of ", " dips of ");
            put_number(&mut out, (seconds * 10.0).round() / 10.0);
            out.say(" s");
        }
        How::Spray { passes } => counted(&mut out, passes, " sprayed pass", " sprayed passes"),
    }
    out
}

fn counted(out: &mut String, n: u32, one: &str, many: &str) {
    put_integer(out, u64::from(n));
    out.say(if n == 1 { one } else { many });
}

/// A whole number as text.
#[inline(never)]
pub(crate) fn count(n: usize) -> String {
    let mut out = String::new();
    put_integer(&mut out, n as u64);
    out
}

/// A chance: "18 %", "under 1 in 200", "nearly certain".
#[inline(never)]
pub(crate) fn chance(p: f64) -> String {
    if p.is_nan() || p < 0.005 {
        return "under 1 in 200".to_owned();
    }
    if p > 0.995 {
        return "over 199 in 200".to_owned();
    }
    let mut out = String::new();
    put_number(&mut out, (p * 100.0).round());
    out.say(" %");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_carry_their_unit() {
        assert_eq!(length(13.6, Units::Metric), "14 mm");
        assert_eq!(length(12.7, Units::Imperial), "1/2 in");
        assert_eq!(length(38.1, Units::Imperial), "1 1/2 in");
        assert_eq!(length(0.0, Units::Imperial), "0 in");
        assert_eq!(length_range(6.2, 23.7, Units::Metric), "6–24 mm");
        assert_eq!(length_range(6.2, 6.4, Units::Metric), "6 mm");
        assert_eq!(size(152.0, Units::Metric), "15 cm");
        assert_eq!(size(118.0, Units::Metric), "12 cm");
        assert_eq!(thickness(0.342), "0.34 mm");
        assert_eq!(thickness(0.3), "0.30 mm");
        assert_eq!(thickness(1.0), "1.00 mm");
        assert_eq!(temperature(1222.0, Units::Imperial), "2232 °F");
    }

    #[test]
    fn counts_agree_in_number() {
        assert_eq!(how(How::Brush { coats: 1 }), "1 coat");
        assert_eq!(
            how(How::Dip {
                dips: 2,
                seconds: 3.0
            }),
            "2 dips of 3 s"
        );
        assert_eq!(how(How::Spray { passes: 4 }), "4 sprayed passes");
    }

    #[test]
    fn small_chances_are_said_in_words() {
        assert_eq!(chance(0.0), "under 1 in 200");
        assert_eq!(chance(0.004), "under 1 in 200");
        assert_eq!(chance(0.182), "18 %");
        assert_eq!(chance(0.999), "over 199 in 200");
        assert_eq!(chance(f64::NAN), "under 1 in 200");
    }
}
