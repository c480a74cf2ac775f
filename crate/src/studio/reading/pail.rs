//! A slurry's specific gravity, in whichever way a pail of it was weighed or floated.
//!
//! Takes a number, the unit behind it and the studio's pint and hydrometer; gives the SG with the words of what was understood.

use super::{NotRead, Reading, round, said};
use crate::digits;
use crate::physics::slurry::{self, PintKind};
use crate::studio::document::{Pint, Settings};

/// Reads a specific gravity by any of its readings.
///
/// # Errors
/// [`NotRead`] where the unit is unknown, or no slurry can be so light or so heavy.
pub fn slurry(number: f64, unit: &str, settings: &Settings) -> Result<Reading, NotRead> {
    let refuse = |sg: f64| NotRead::NoSuchSlurry { sg };
    let (pint, in_a_pint) = match settings.pint {
        Pint::Imperial => (PintKind::Imperial, " oz in an imperial pint"),
        Pint::Us => (PintKind::Us, " oz in a US pint"),
    };
    let unit = unit.replace(' ', "");
    let litre = || (number / 1000.0, said(number, 0, " g/L"));
    let hundred = || (number / 100.0, said(number, 1, " g in 100 mL"));
    let (sg, how) = match unit.as_str() {
        // Without a unit the size says what it is: 1.45, or 145 g in 100 ml, or 1450 g/L.
        "" | "sg" if number < 10.0 => (number, String::new()),
        "" | "sg" if (100.0..=220.0).contains(&number) => hundred(),
        "" | "sg" if (1000.0..=2200.0).contains(&number) => litre(),
        "" | "sg" => {
            return Err(NotRead::UnknownUnit {
                unit: said(number, 2, ""),
                known: "SG 1.45, 1450 g/L, 145 g in 100 ml, 36 oz (a pint), 90 Tw or 45 Bé",
            });
        }
        "g/l" | "g/dm3" | "kg/m3" | "gperl" | "gperlitre" => litre(),
        "g/ml" | "g/cm3" | "g/cc" | "kg/l" => (number, said(number, 3, " g/mL")),
        "gin100ml" | "g/100ml" | "gper100ml" => hundred(),
        "oz" | "oz/pt" | "oz/pint" | "ozapint" | "ozperpint" | "ozpint" => (
            slurry::sg_from_pint_weight(number, pint)
                .map_err(|_| refuse(number * slurry::OUNCE_KG / pint.volume_m3() / 1000.0))?,
            said(number, 1, in_a_pint),
        ),
        "tw" | "°tw" | "twaddell" => (
            slurry::sg_from_twaddell(number).map_err(|_| refuse(1.0 + number / 200.0))?,
            said(number, 1, " °Tw"),
        ),
        "bé" | "be" | "°bé" | "°be" | "baume" | "baumé" => (
            slurry::sg_from_baume(number, settings.baume_modulus)
                .map_err(|_| refuse(f64::from(u8::from(number > 0.0))))?,
            said(number, 1, " °Bé, modulus ") + &said(settings.baume_modulus, 1, ""),
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
    let mut understood = how;
    if understood.is_empty() {
        understood.push_str("SG ");
        understood.push_str(&said(sg, 3, ""));
    } else {
        understood.push_str(": SG ");
        digits::put_fixed(&mut understood, sg, 3);
    }
    Ok(Reading {
        value: round(sg, 1e4),
        understood,
    })
}
