//! Colours of glazes: read, mixed where layers lie over one another, thinned where little lies.
//!
//! Takes `#rrggbb` and thicknesses; gives colours. Light is added in a linear scale taken as the square of the
//! written value, near enough to the true transfer curve for a drawing.

use super::path::{Say, bounded};

/// A colour: red, green, blue, as written, 0–1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Colour(pub [f64; 3]);

pub(crate) const WHITE: Colour = Colour([1.0, 1.0, 1.0]);
pub(crate) const BLACK: Colour = Colour([0.0, 0.0, 0.0]);
/// Bisque clay as it shows through thin glaze.
pub(crate) const BISQUE: Colour = Colour([0.86, 0.75, 0.64]);

/// Tones for glazes that have none of their own: one dark and one light in turn, hues apart.
const SPARE: [&str; 8] = [
    "#7d5a3a", "#c9b98f", "#41605a", "#d8d2c4", "#8a4436", "#8fa79b", "#34405a", "#c08f4e",
];

/// Melt thickness at which a glaze covers about two thirds of what is under it, m. Only for the drawing's tone.
const COVERING_M: f64 = 0.09e-3;

impl Colour {
    /// Reads `#rrggbb`.
    #[inline(never)]
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.as_bytes();
        if digits.len() != 7 || digits[0] != b'#' {
            return None;
        }
        let mut channels = [0.0; 3];
        for (k, &digit) in digits[1..].iter().enumerate() {
            let value = f64::from(char::from(digit).to_digit(16)?);
            channels[k / 2] += value * if k % 2 == 0 { 16.0 } else { 1.0 } / 255.0;
        }
        Some(Self(channels))
    }

    /// The colour of glaze number `index` of a studio where it has none of its own.
    pub fn spare(index: usize) -> Self {
        Self::parse(SPARE[index % SPARE.len()]).unwrap_or(BISQUE)
    }

    /// Writes `#rrggbb`.
    #[inline(never)]
    pub fn put(self, out: &mut String) {
        out.say("#");
        for channel in self.0 {
            let value = (bounded(channel, 0.0, 1.0) * 255.0).round() as usize;
            for &digit in &[value / 16 % 16, value % 16] {
                out.say(&"0123456789abcdef"[digit..=digit]);
            }
        }
    }

    /// This colour with a share 0–1 of another, as light adds.
    #[inline(never)]
    pub fn towards(self, other: Self, share: f64) -> Self {
        let share = bounded(share, 0.0, 1.0);
        let mut mixed = [0.0; 3];
        for (i, m) in mixed.iter_mut().enumerate() {
            *m = (self.0[i] * self.0[i] * (1.0 - share) + other.0[i] * other.0[i] * share).sqrt();
        }
        Self(mixed)
    }

    /// Lightness as the eye weighs it, 0–1.
    #[inline(never)]
    pub fn lightness(self) -> f64 {
        let [r, g, b] = self.0;
        (0.21 * r * r + 0.72 * g * g + 0.07 * b * b).sqrt()
    }

    /// A tone for marks on this colour: clearly darker on light, clearly lighter on dark.
    pub fn mark(self) -> Self {
        if self.lightness() > 0.45 {
            self.towards(BLACK, 0.62)
        } else {
            self.towards(WHITE, 0.38)
        }
    }
}

/// The colour of glazes melted into one another: each absorbs as much as there is of it (weighted geometric mean of the
/// light), so that an overlap is darker and richer than the mean of the two. None where nothing lies.
#[inline(never)]
pub(crate) fn melted(parts: &[(Colour, f64)]) -> Option<Colour> {
    let total = total(parts);
    if total <= 0.0 || !total.is_finite() {
        return None;
    }
    let mut mixed = [0.0; 3];
    for (i, m) in mixed.iter_mut().enumerate() {
        let mut log = 0.0;
        for (colour, h) in parts {
            log += h.max(0.0) / total * colour.0[i].max(0.02).ln();
        }
        *m = bounded(log.exp(), 0.0, 1.0);
    }
    Some(Colour(mixed))
}

/// What lies in all.
#[inline(never)]
fn total(parts: &[(Colour, f64)]) -> f64 {
    let mut total = 0.0;
    for part in parts {
        total += part.1.max(0.0);
    }
    total
}

/// The colour of a place on the outside: glazes of the given melt thicknesses, m, over bisque.
#[inline(never)]
pub(crate) fn seen_over_bisque(parts: &[(Colour, f64)]) -> Colour {
    match melted(parts) {
        None => BISQUE,
        Some(colour) => {
            let total = total(parts);
            let covered = 1.0 - (-total / COVERING_M).exp();
            // Thick glaze is a little deeper than its chip.
            let depth = (total / 1.2e-3).min(1.0) * 0.22;
            let over = melted(&[(BISQUE, 1.0 - covered), (colour, covered)]).unwrap_or(colour);
            over.towards(BLACK, depth * covered * 0.5)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_writes_hex() {
        let mut written = String::new();
        Colour::parse("#7d5a3a").unwrap().put(&mut written);
        assert_eq!(written, "#7d5a3a");
        for bad in ["7d5a3a", "#7d5a3", "#7d5a3g", "#7d5a3aff", "", "#é5a3a"] {
            assert!(Colour::parse(bad).is_none(), "{bad}");
        }
    }

    #[test]
    fn an_overlap_lies_between_its_glazes_and_is_no_lighter_than_their_mean() {
        let a = Colour::parse("#d8d2c4").unwrap();
        let b = Colour::parse("#8a4436").unwrap();
        let both = melted(&[(a, 0.3e-3), (b, 0.3e-3)]).unwrap();
        assert!(both.lightness() < a.towards(b, 0.5).lightness());
        assert!(both.lightness() > b.lightness() && both.lightness() < a.lightness());
        assert_eq!(melted(&[(a, 0.0)]), None);
    }

    #[test]
    fn thin_glaze_lets_the_clay_through() {
        let dark = Colour::parse("#222222").unwrap();
        let thin = seen_over_bisque(&[(dark, 0.02e-3)]).lightness();
        let thick = seen_over_bisque(&[(dark, 0.6e-3)]).lightness();
        assert!(thin > thick + 0.2, "{thin} {thick}");
        assert_eq!(seen_over_bisque(&[]), BISQUE);
    }
}
