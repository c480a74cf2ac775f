//! A slurry's specific gravity, in whichever way a pail of it was weighed or floated.
//!
//! Takes a number, the unit behind it and the studio's pint and hydrometer; gives the SG with the words of what was understood.

use super::{NotRead, Reading, round, tidy};
use crate::digits::Fixed;
use crate::physics::slurry::{self, PintKind};
use crate::studio::document::{Pint, Settings};

/// Reads a specific gravity by any of its readings.
///
/// # Errors
/// [`NotRead`] where the unit is unknown, or no slurry can be so light or so heavy.
pub fn slurry(number: f64, unit: &str, settings: &Settings) -> Result<Reading, NotRead> {
    let refuse = |sg: f64| NotRead::NoSuchSlurry { sg };
    let pint = match settings.pint {
        Pint::Imperial => PintKind::Imperial,
        Pint::Us => PintKind::Us,
    };
    let pint_name = match settings.pint {
        Pint::Imperial => "an imperial pint",
        Pint::Us => "a US pint",
    };
    let unit: String = unit.split_whitespace().collect();
    let (sg, how) = match unit.as_str() {
        "" | "sg" => {
            // Without a unit the size says what it is: 1.45, or 145 g in 100 ml, or 1450 g/L.
            if number < 10.0 {
                (number, String::new())
            } else if (100.0..=220.0).contains(&number) {
                (number / 100.0, format!("{} g in 100 mL", tidy(number, 1)))
            } else if (1000.0..=2200.0).contains(&number) {
                (number / 1000.0, format!("{} g/L", tidy(number, 0)))
            } else {
                return Err(NotRead::UnknownUnit {
                    unit: tidy(number, 2),
                    known: "SG 1.45, 1450 g/L, 145 g in 100 ml, 36 oz (a pint), 90 Tw or 45 Bé",
                });
            }
        }
        "g/l" | "g/dm3" | "kg/m3" | "gperl" | "gperlitre" => {
            (number / 1000.0, format!("{} g/L", tidy(number, 0)))
        }
        "g/ml" | "g/cm3" | "g/cc" | "kg/l" => (number, format!("{} g/mL", tidy(number, 3))),
        "gin100ml" | "g/100ml" | "gper100ml" => {
            (number / 100.0, format!("{} g in 100 mL", tidy(number, 1)))
        }
        "oz" | "oz/pt" | "oz/pint" | "ozapint" | "ozperpint" | "ozpint" => (
            slurry::sg_from_pint_weight(number, pint)
                .map_err(|_| refuse(number * slurry::OUNCE_KG / pint.volume_m3() / 1000.0))?,
            format!("{} oz in {pint_name}", tidy(number, 1)),
        ),
        "tw" | "°tw" | "twaddell" => (
            slurry::sg_from_twaddell(number).map_err(|_| refuse(1.0 + number / 200.0))?,
            format!("{} °Tw", tidy(number, 1)),
        ),
        "bé" | "be" | "°bé" | "°be" | "baume" | "baumé" => (
            slurry::sg_from_baume(number, settings.baume_modulus)
                .map_err(|_| refuse(f64::from(u8::from(number > 0.0))))?,
            format!(
                "{} °Bé, modulus {}",
                tidy(number, 1),
                tidy(settings.baume_modulus, 1)
            ),
        ),
        _ => {
            return Err(NotRead::UnknownUnit {
                unit,
                known: "SG, g/L, g in 100 ml, oz (a pint), Tw or Bé",
            });
        }
    };
    if !(slurry::SG_LEAST..=slurry::SG_MOST).contains(&sg) {
        return Err(refuse(sg));
    }
    let understood = if how.is_empty() {
        format!("SG {}", tidy(sg, 3))
    } else {
        format!("{how}: SG {}", Fixed(sg, 3))
    };
    Ok(Reading {
        value: round(sg, 1e4),
        understood,
    })
}
