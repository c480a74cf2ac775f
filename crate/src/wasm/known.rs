//! What the log has taught, in a few words for the lists of a studio.
//!
//! Takes a posterior; gives [`Learned`].

use crate::learn::posterior::{Calibration, GlazeKnown, HandKnown, Posterior};
use crate::wasm::shapes::{KnownOf, Learned, Odd};

/// Entries from which a calibration is worth saying.
const ENOUGH_ENTRIES: usize = 20;
/// Fluidities between which a glaze is called stiff, medium or fluid: halfway (in decades) between the medians of model.md 4,
/// 0.19, 1.5 and 38 1/Pa.
const STIFF_BELOW_LOG10_PHI: f64 = -0.27;
const FLUID_FROM_LOG10_PHI: f64 = 0.88;

/// The posterior in words.
pub fn learned(posterior: &Posterior) -> Learned {
    let summary = &posterior.summary;
    Learned {
        glazes: summary.glazes.iter().map(glaze).collect(),
        hands: summary.hands.iter().map(hand).collect(),
        odd_entries: posterior
            .odd_entries
            .iter()
            .map(|odd| Odd {
                id: odd.id.clone(),
                why: odd.why.clone(),
            })
            .collect(),
        scale_known: summary.scale_known,
        entries: summary.entries,
        weigh_ins: summary.weigh_ins,
        calibration: posterior
            .calibration
            .as_ref()
            .map_or_else(String::new, calibration),
    }
}

fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn glaze(known: &GlazeKnown) -> KnownOf {
    let words = if known.entries == 0 {
        "nothing logged".to_string()
    } else {
        let flows = match known.log10_phi.mean {
            phi if phi < STIFF_BELOW_LOG10_PHI => "stiff",
            phi if phi < FLUID_FROM_LOG10_PHI => "medium",
            _ => "fluid",
        };
        format!(
            "{}: {flows}, known to × {:.1}",
            count(known.entries, "entry", "entries"),
            10f64.powf(known.log10_phi.sd.clamp(0.0, 2.0))
        )
    };
    KnownOf {
        id: known.id.clone(),
        words,
        entries: known.entries,
    }
}

fn hand(known: &HandKnown) -> KnownOf {
    let told = known.entries + known.weigh_ins;
    let ratio = known.ln_laydown.mean.clamp(-3.0, 3.0).exp();
    let words = if told == 0 {
        "nothing logged".to_string()
    } else if (ratio - 1.0).abs() < 0.05 {
        "about as thick as usual".to_string()
    } else if ratio > 1.0 {
        format!("{:.0} % thicker than usual", 100.0 * (ratio - 1.0))
    } else {
        format!("{:.0} % thinner than usual", 100.0 * (1.0 - ratio))
    };
    KnownOf {
        id: known.id.clone(),
        words,
        entries: told,
    }
}

fn calibration(of: &Calibration) -> String {
    if of.entries < ENOUGH_ENTRIES {
        return format!(
            "{} read: too few to say how often the bands hold.",
            count(of.entries, "entry", "entries")
        );
    }
    format!(
        "Each entry foretold from all the others: {:.0} in 100 lay in their band of 80 in 100.",
        100.0 * of.coverage_80
    )
}
