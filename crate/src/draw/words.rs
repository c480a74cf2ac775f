//! Numbers and counts as the pictures and their words write them.
//!
//! Takes numbers with a unit; gives short texts, metric first, inches on request.

use super::path::{Say, bounded};
use super::picture::{put_integer, put_number};
use crate::studio::document::{How, Units};

/// A length to the millimetre ("14 mm"), or to the sixteenth of an inch where the studio works in inches.
#[inline(never)]
pub(crate) fn put_length(out: &mut String, mm: f64, units: Units) {
    match units {
        Units::Metric => {
            put_number(out, mm.round());
            out.say(" mm");
        }
        Units::Imperial => inches(out, mm),
    }
}

/// The same as a text of its own.
#[inline(never)]
pub(crate) fn length(mm: f64, units: Units) -> String {
    let mut out = String::new();
    put_length(&mut out, mm, units);
    out
}

/// A range of lengths ("6–24 mm").
#[inline(never)]
pub(crate) fn put_length_range(out: &mut String, from_mm: f64, to_mm: f64, units: Units) {
    let (from, to) = (length(from_mm, units), length(to_mm, units));
    if from != to {
        match units {
            Units::Metric => put_number(out, from_mm.round()),
            Units::Imperial => out.say(&from),
        }
        out.say("–");
    }
    out.say(&to);
}

/// Inches and sixteenths, lowest terms.
fn inches(out: &mut String, mm: f64) {
    let sixteenths = (bounded(mm, 0.0, 1e6) / 25.4 * 16.0).round() as u64;
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
pub(crate) fn put_size(out: &mut String, mm: f64, units: Units) {
    if units == Units::Metric && mm >= 30.0 {
        put_number(out, (mm / 5.0).round() / 2.0);
        out.say(" cm");
    } else {
        put_length(out, mm, units);
    }
}

/// A thickness to a hundredth of a millimetre ("0.34 mm"), glaze being thinner than any inch rule.
#[inline(never)]
pub(crate) fn put_thickness(out: &mut String, mm: f64) {
    // Always to the hundredth: 0.30 is known better than 0.3.
    let hundredths = (bounded(mm, 0.0, 1e6) * 100.0).round() as u64;
    put_integer(out, hundredths / 100);
    out.say(".");
    put_integer(out, hundredths / 10 % 10);
    put_integer(out, hundredths % 10);
    out.say(" mm");
}

/// A temperature ("1222 °C", "2232 °F").
#[inline(never)]
pub(crate) fn put_temperature(out: &mut String, celsius: f64, units: Units) {
    let (degrees, unit) = match units {
        Units::Metric => (celsius, " °C"),
        Units::Imperial => (celsius * 1.8 + 32.0, " °F"),
    };
    put_number(out, degrees.round());
    out.say(unit);
}

/// How a layer went on ("3 coats", "1 dip of 3 s", "2 sprayed passes").
#[inline(never)]
pub(crate) fn put_how(out: &mut String, how: How) {
    let (n, one, many) = match how {
        How::Brush { coats } => (coats, " coat", " coats"),
        How::Dip { dips, .. } => (dips, " dip of ", " dips of "),
        How::Spray { passes } => (passes, " sprayed pass", " sprayed passes"),
    };
    put_integer(out, u64::from(n));
    out.say(if n == 1 { one } else { many });
    if let How::Dip { seconds, .. } = how {
        put_number(out, (seconds * 10.0).round() / 10.0);
        out.say(" s");
    }
}

/// A share as a whole percentage ("63 %").
#[inline(never)]
pub(crate) fn put_percent(out: &mut String, share: f64) {
    put_number(out, (bounded(share, 0.0, 10.0) * 100.0).round());
    out.say(" %");
}

/// A chance: "18 %", "under 1 in 200", "nearly certain".
#[inline(never)]
pub(crate) fn put_chance(out: &mut String, p: f64) {
    if p > 0.995 {
        out.say("over 199 in 200");
    } else if p >= 0.005 {
        put_percent(out, p);
    } else {
        out.say("under 1 in 200");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(put: impl Fn(&mut String)) -> String {
        let mut out = String::new();
        put(&mut out);
        out
    }

    #[test]
    fn lengths_carry_their_unit() {
        let range = |from, to| said(|out| put_length_range(out, from, to, Units::Metric));
        let size = |mm| said(|out| put_size(out, mm, Units::Metric));
        let thickness = |mm| said(|out| put_thickness(out, mm));
        assert_eq!(length(13.6, Units::Metric), "14 mm");
        assert_eq!(length(12.7, Units::Imperial), "1/2 in");
        assert_eq!(length(38.1, Units::Imperial), "1 1/2 in");
        assert_eq!(length(0.0, Units::Imperial), "0 in");
        assert_eq!(range(6.2, 23.7), "6–24 mm");
        assert_eq!(range(6.2, 6.4), "6 mm");
        assert_eq!(size(152.0), "15 cm");
        assert_eq!(size(118.0), "12 cm");
        assert_eq!(thickness(0.342), "0.34 mm");
        assert_eq!(thickness(0.3), "0.30 mm");
        assert_eq!(thickness(1.0), "1.00 mm");
        let hot = said(|out| put_temperature(out, 1222.0, Units::Imperial));
        assert_eq!(hot, "2232 °F");
    }

    #[test]
    fn counts_agree_in_number() {
        let how = |how| said(|out| put_how(out, how));
        let (dips, seconds) = (2, 3.0);
        assert_eq!(how(How::Brush { coats: 1 }), "1 coat");
        assert_eq!(how(How::Dip { dips, seconds }), "2 dips of 3 s");
        assert_eq!(how(How::Spray { passes: 4 }), "4 sprayed passes");
    }

    #[test]
    fn small_chances_are_said_in_words() {
        let chance = |p| said(|out| put_chance(out, p));
        assert_eq!(chance(0.0), "under 1 in 200");
        assert_eq!(chance(0.004), "under 1 in 200");
        assert_eq!(chance(0.182), "18 %");
        assert_eq!(chance(0.999), "over 199 in 200");
        assert_eq!(chance(f64::NAN), "under 1 in 200");
    }
}
