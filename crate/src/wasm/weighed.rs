//! What a tile weighed before and after says: how much lies on it per coat, against the book and against what the studio knows.
//!
//! Takes a weigh-in, the studio and what its log has taught; gives the numbers and the sentences that the page shows at once.

use crate::draw::picture::put_number;
use crate::draw::words;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::order;
use crate::physics::laydown::COAT_LN_SIGMA;
use crate::studio::case::{Cases, Method};
use crate::studio::document::{How, Studio, WeighIn};
use crate::studio::error::Refusal;
use crate::studio::reading::{NotRead, Quantity, Reading, read};
use crate::wasm::shapes::Weighed;

/// A ratio this near to 1 is called the same.
const SAME: f64 = 0.05;
/// Half width of a normal's 90 % band in standard deviations.
const BAND: f64 = 1.644_853_6;
/// A dip where nobody counts, s.
const USUAL_DIP_S: f64 = 2.0;
/// A balance's resolution where nobody says, g.
const USUAL_ERROR_G: f64 = 0.05;

/// An area as typed: cm², or two sides of a tile ("50 x 100 mm").
///
/// # Errors
/// What the reading of either side says.
pub fn area(text: &str, studio: &Studio) -> Result<Reading, NotRead> {
    let settings = &studio.settings;
    let Some((one, other)) = text.split_once(['x', 'X', '×', '*']) else {
        return read(text, Quantity::AreaCm2, settings);
    };
    let bare = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | ' ');
    let unit = other.trim_start_matches(bare);
    let mut first = String::from(one.trim());
    if first.chars().all(bare) {
        first.push_str(unit);
    }
    let sides = [
        read(&first, Quantity::LengthMm, settings)?.value,
        read(other, Quantity::LengthMm, settings)?.value,
    ];
    let value = sides[0] * sides[1] / 100.0;
    let mut understood = String::new();
    words::put_size(&mut understood, sides[0], settings.units);
    understood.push_str(" by ");
    words::put_size(&mut understood, sides[1], settings.units);
    understood.push_str(": ");
    push(&mut understood, value, 1.0);
    understood.push_str(" cm²");
    Ok(Reading { value, understood })
}

/// What a weigh-in says.
///
/// # Errors
/// A glaze, hand or body that is not there; an area or a mass outside their bounds.
pub fn judge(
    studio: &Studio,
    posterior: &Posterior,
    weigh_in: &WeighIn,
) -> Result<Weighed, Refusal> {
    let case = Cases::new(studio).weigh_in(weigh_in)?;
    let layer = &case.layer;
    let units = layer.units.max(1.0);
    let ratio = case.weighed_kg_per_m2 / layer.mass_kg_per_m2.max(1e-9);
    let expected = |params: &Params| {
        let thinned = match layer.method {
            Method::Brush => params.ln_thinning(0.0, layer.units),
            _ => 0.0,
        };
        (params.ln_laydown_of(layer.hand, layer.method) + thinned).exp()
    };
    let mut hand: Vec<f64> = posterior.params.iter().map(expected).collect();
    order::ascending(&mut hand);
    let at = |share: f64| {
        let place = share * hand.len().saturating_sub(1) as f64;
        hand.get(place.round() as usize).copied().unwrap_or(1.0)
    };
    let (p05, p50, p95) = (at(0.05), at(0.5), at(0.95));
    let told = layer
        .hand
        .and_then(|at| studio.hands.get(at))
        .and_then(|hand| posterior.summary.hands.iter().find(|one| one.id == hand.id))
        .map_or(0, |one| one.entries + one.weigh_ins);
    let name = layer
        .hand
        .and_then(|at| studio.hands.get(at))
        .map_or("", |one| one.name.as_str());
    let unit = match weigh_in.how {
        How::Brush { .. } => "coat",
        How::Dip { .. } => "dip",
        How::Spray { .. } => "pass",
    };
    let mut says = Vec::new();
    let mut one = String::new();
    push(&mut one, 1e3 * case.weighed_kg_per_m2, 1.0);
    one.push_str(" g/m² dry, ");
    push(&mut one, 1e3 * case.weighed_kg_per_m2 / units, 1.0);
    one.push_str(" g/m² a ");
    one.push_str(unit);
    one.push_str(": ");
    words::put_thickness(
        &mut one,
        1e3 * case.weighed_kg_per_m2 / units * layer.raw_m_per,
    );
    one.push_str(" raw, ");
    words::put_thickness(
        &mut one,
        1e3 * case.weighed_kg_per_m2 / units * layer.fired_m_per,
    );
    one.push_str(" fired.");
    says.push(one);
    let mut two = against(ratio);
    two.push_str(" the book’s ");
    two.push_str(unit);
    two.push_str(" at SG ");
    push(&mut two, layer.sg, 0.01);
    two.push_str(", which is ");
    push(&mut two, 1e3 * layer.mass_kg_per_m2 / units, 1.0);
    two.push_str(" g/m².");
    says.push(two);
    let mut three = String::new();
    if told == 0 {
        three.push_str("Nothing was known of this hand yet: this is its first.");
    } else {
        three.push_str(name);
        three.push_str(" so far: ");
        push(&mut three, 100.0 * p50, 1.0);
        three.push_str(" % of the book’s, between ");
        push(&mut three, 100.0 * p05, 1.0);
        three.push_str(" and ");
        push(&mut three, 100.0 * p95, 1.0);
        three.push_str(" %. ");
        // What the balance and the coats themselves scatter widens the band.
        let scatter = (BAND * COAT_LN_SIGMA / units.sqrt()).exp();
        three.push_str(if ratio < p05 / scatter || ratio > p95 * scatter {
            "This one lies beyond that: look at the grams, the area and the coats."
        } else {
            "This one fits."
        });
    }
    says.push(three);
    Ok(Weighed {
        per_unit_g_per_m2: 1e3 * case.weighed_kg_per_m2 / units,
        ratio_to_book: ratio,
        says,
        record: String::new(),
    })
}

fn against(ratio: f64) -> String {
    let mut out = String::new();
    if (ratio - 1.0).abs() < SAME {
        out.push_str("About as heavy as");
    } else {
        push(&mut out, 100.0 * (ratio - 1.0).abs(), 1.0);
        out.push_str(if ratio > 1.0 {
            " % heavier than"
        } else {
            " % lighter than"
        });
    }
    out
}

fn push(out: &mut String, value: f64, step: f64) {
    put_number(out, (value / step).round() * step);
}

/// Takes what was typed for a weigh-in; the text of each field that is not understood is said under its name.
pub struct Typed<'a> {
    /// Identifier of the hand.
    pub hand: &'a str,
    /// Identifier of the glaze.
    pub glaze: &'a str,
    /// How it went on; a dip's seconds as below.
    pub how: How,
    /// Area, as typed.
    pub area: &'a str,
    /// Grams before, as typed; empty: what follows is the gain.
    pub before: &'a str,
    /// Grams after, as typed.
    pub after: &'a str,
    /// Slurry, as typed; empty: not measured.
    pub sg: &'a str,
    /// Seconds of each dip, as typed; empty: as usual.
    pub seconds: &'a str,
}

impl Typed<'_> {
    /// The weigh-in, without an identifier or a day.
    ///
    /// # Errors
    /// Pairs of field and what is wrong with it.
    pub fn weigh_in(&self, studio: &Studio) -> Result<WeighIn, Vec<(&'static str, String)>> {
        let mut wrong = Vec::new();
        let mut number = |field: &'static str, read: Result<Reading, NotRead>| match read {
            Ok(reading) => reading.value,
            Err(not) => {
                wrong.push((field, not.to_string()));
                0.0
            }
        };
        let settings = &studio.settings;
        let area_cm2 = number("area", area(self.area, studio));
        let after = number("after", read(self.after, Quantity::Grams, settings));
        let before = match self.before.trim() {
            "" => 0.0,
            text => number("before", read(text, Quantity::Grams, settings)),
        };
        let sg = match self.sg.trim() {
            "" => None,
            text => Some(number("sg", read(text, Quantity::Sg, settings))),
        };
        let mut how = self.how;
        if let How::Dip { seconds, .. } = &mut how {
            *seconds = match self.seconds.trim() {
                "" => USUAL_DIP_S,
                text => number("seconds", read(text, Quantity::Seconds, settings)),
            };
        }
        if wrong.is_empty() && after <= before {
            wrong.push((
                "after",
                "It should weigh more after glazing than before.".to_string(),
            ));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        Ok(WeighIn {
            hand: self.hand.to_string(),
            glaze: self.glaze.to_string(),
            how,
            area_cm2,
            sg,
            // A balance's grams have two decimals: what a difference leaves behind them is no weight.
            gained_g: ((after - before) * 1e4).round() / 1e4,
            error_g: USUAL_ERROR_G,
            ..WeighIn::default()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learn::{self, Options};
    use crate::studio::document::{Glaze, Hand, Units};

    fn studio() -> Studio {
        Studio {
            glazes: vec![Glaze {
                id: "g".into(),
                usual_sg: 1.45,
                ..Glaze::default()
            }],
            hands: vec![Hand {
                id: "h".into(),
                ..Hand::default()
            }],
            ..Studio::default()
        }
    }

    fn typed<'a>(area: &'a str, before: &'a str, after: &'a str) -> Typed<'a> {
        Typed {
            hand: "h",
            glaze: "g",
            how: How::Brush { coats: 3 },
            area,
            before,
            after,
            sg: "",
            seconds: "",
        }
    }

    /// model.md 3: one 200 µm coat at SG 1.45, D 2.6 weighs 146 g/m² and lies 0.11 mm thick raw, 0.06 mm fired; 5 × 10 cm gain 0.73 g.
    #[test]
    fn the_books_coat_is_the_books_coat() {
        let studio = studio();
        let posterior = learn::prior(&studio, &Options { draws: 64, seed: 1 });
        let weigh_in = typed("5 x 10 cm", "101,20", "103.39 g")
            .weigh_in(&studio)
            .unwrap();
        let said = judge(&studio, &posterior, &weigh_in).unwrap();
        assert!((said.per_unit_g_per_m2 - 146.0).abs() < 0.5);
        assert!((said.ratio_to_book - 1.0).abs() < 0.005);
        assert_eq!(
            said.says[0],
            "438 g/m² dry, 146 g/m² a coat: 0.11 mm raw, 0.06 mm fired."
        );
        assert!(said.says[1].starts_with("About as heavy as the book’s coat at SG 1.45"));
        assert!(said.says[2].contains("first"));
    }

    #[test]
    fn sides_of_a_tile_make_an_area_in_the_unit_that_is_named() {
        let studio = studio();
        for text in ["50 x 100 mm", "5x10cm", "5 cm × 100 mm", "50", "50 cm2"] {
            assert!(
                (area(text, &studio).unwrap().value - 50.0).abs() < 1e-9,
                "{text}"
            );
        }
        assert!(area("5 x wide", &studio).is_err());
        let mut inches = studio;
        inches.settings.units = Units::Imperial;
        assert!((area("2 x 4 in", &inches).unwrap().value - 51.6128).abs() < 1e-9);
    }

    #[test]
    fn each_field_says_for_itself_what_is_wrong() {
        let studio = studio();
        let wrong = typed("wide", "2", "heavy").weigh_in(&studio).unwrap_err();
        let fields: Vec<&str> = wrong.iter().map(|one| one.0).collect();
        assert_eq!(fields, ["area", "after"]);
        let less = typed("50", "2.5", "2.4").weigh_in(&studio).unwrap_err();
        assert_eq!(less[0].0, "after");
    }
}
