//! What the log has taught, in a few words for the lists of a studio.
//!
//! Takes a posterior, and what was known before the last change of the log; gives [`Learned`].

use crate::digits::Fixed;
use crate::draw::picture::put_number;
use crate::learn::posterior::{Calibration, GlazeKnown, HandKnown, Posterior, Spread, Summary};
use crate::order;
use crate::studio::any;
use crate::studio::document::{List, Studio};
use crate::wasm::shapes::{KnownOf, Learned, Odd};

/// Entries from which a calibration is worth saying.
const ENOUGH_ENTRIES: usize = 20;
/// Fluidities between which a glaze is called stiff, medium or fluid: halfway (in decades) between the medians of model.md 4,
/// 0.19, 1.5 and 38 1/Pa.
const STIFF_BELOW_LOG10_PHI: f64 = -0.27;
const FLUID_FROM_LOG10_PHI: f64 = 0.88;

/// A change is told from this size on: what it narrows (natural log of the spread) and shifts (in spreads), together. Two
/// posteriors of 512 draws each differ by about 0.04 and 0.06 by chance alone: three times that.
const TOLD_FROM: f64 = 0.2;
/// A shift is told from this many spreads on, a narrowing from this factor on.
const SHIFT_FROM: f64 = 0.15;
const NARROWED_FROM: f64 = 1.08;
/// Most changes that are told.
const MOST_TOLD: usize = 4;

/// The posterior in words; `lines` of the log that it counts though the whole was not learned with them, and that it does not count yet.
pub fn learned(
    studio: &Studio,
    posterior: &Posterior,
    before: Option<&Summary>,
    [counted, waiting]: [usize; 2],
) -> Learned {
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
        changed: before.map_or_else(Vec::new, |before| changed(studio, before, summary)),
        counted,
        waiting,
    }
}

/// What is known of one thing, before and now.
struct Change {
    name: String,
    before: Spread,
    now: Spread,
    /// More and less of it, in words.
    more: [&'static str; 2],
    /// What its natural logarithm is worth in its own unit: ln 10 for decades.
    ln: f64,
}

impl Change {
    fn size(&self) -> f64 {
        // A spread that widens by itself is the draws' own unrest.
        let narrowed = (self.before.sd.max(1e-9) / self.now.sd.max(1e-9))
            .ln()
            .max(0.0);
        narrowed + (self.now.mean - self.before.mean).abs() / self.before.sd.max(1e-9)
    }

    fn words(&self) -> String {
        let mut out = String::new();
        out.push_str(&self.name);
        let shift = self.now.mean - self.before.mean;
        let shifted = shift.abs() >= SHIFT_FROM * self.before.sd;
        if shifted {
            out.push(' ');
            out.push_str(self.more[usize::from(shift < 0.0)]);
            out.push_str(" by ");
            put_number(
                &mut out,
                (100.0 * ((shift.abs() * self.ln).exp() - 1.0)).round(),
            );
            out.push_str(" %");
        }
        let times = self.before.sd / self.now.sd.max(1e-9);
        if !shifted || times.max(1.0 / times) >= NARROWED_FROM {
            let factor = |sd: f64| ((sd * self.ln).min(5.0).exp() * 100.0).round() / 100.0;
            out.push_str(if shifted { ", known" } else { ": known" });
            out.push_str(" to within a factor of ");
            put_number(&mut out, factor(self.now.sd));
            out.push_str(", before ");
            put_number(&mut out, factor(self.before.sd));
        }
        out.push('.');
        out
    }
}

/// The largest changes in sentences.
pub fn changed(studio: &Studio, before: &Summary, now: &Summary) -> Vec<String> {
    let name = |list: List, id: &str| {
        let names = any::names(studio, list);
        names
            .iter()
            .find(|(_, known)| *known == id)
            .map_or(id, |(name, _)| *name)
            .to_string()
    };
    let mut changes = Vec::new();
    for one in &now.glazes {
        if let Some(was) = before.glazes.iter().find(|was| was.id == one.id) {
            changes.push(Change {
                name: name(List::Glazes, &one.id),
                before: was.log10_phi,
                now: one.log10_phi,
                more: ["is more fluid than thought", "is stiffer than thought"],
                ln: std::f64::consts::LN_10,
            });
        }
    }
    for one in &now.hands {
        if let Some(was) = before.hands.iter().find(|was| was.id == one.id) {
            changes.push(Change {
                name: name(List::Hands, &one.id),
                before: was.ln_laydown,
                now: one.ln_laydown,
                more: [
                    "lays it on thicker than thought",
                    "lays it on thinner than thought",
                ],
                ln: 1.0,
            });
        }
    }
    for one in &now.firings {
        if let Some(was) = before.firings.iter().find(|was| was.id == one.id) {
            changes.push(Change {
                name: name(List::Firings, &one.id),
                before: was.decades,
                now: one.decades,
                more: [
                    "moved glaze more than thought",
                    "moved glaze less than thought",
                ],
                ln: std::f64::consts::LN_10,
            });
        }
    }
    changes.retain(|one| one.size() >= TOLD_FROM);
    order::by(&mut changes, |a, b| b.size().total_cmp(&a.size()));
    changes.truncate(MOST_TOLD);
    let mut told: Vec<String> = changes.iter().map(Change::words).collect();
    if now.scale_known && !before.scale_known {
        told.push("A weigh-in ties thickness to a scale now.".to_string());
    }
    told
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
            "{}: {flows}, known to within a factor of {}",
            count(known.entries, "entry", "entries"),
            Fixed(10f64.powf(known.log10_phi.sd.clamp(0.0, 2.0)), 1)
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
        format!("{} % thicker than usual", Fixed(100.0 * (ratio - 1.0), 0))
    } else {
        format!("{} % thinner than usual", Fixed(100.0 * (1.0 - ratio), 0))
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
    // The luck of a log of so many entries where the bands hold as they say; that of the draws is a fifth of it (a test of what is left out holds it).
    let luck = 100.0 * (0.8 * 0.2 / of.entries as f64).sqrt();
    format!(
        "Each entry foretold from all the others: {} in 100 lay in their band of 80 in 100, give or take {}.",
        Fixed(100.0 * of.coverage_80, 0),
        Fixed(if luck > 1.0 { luck } else { 1.0 }, 0)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(before: (f64, f64), now: (f64, f64)) -> Change {
        let spread = |(mean, sd)| Spread { mean, sd };
        Change {
            name: "Wet Moss".into(),
            before: spread(before),
            now: spread(now),
            more: ["is more fluid than thought", "is stiffer than thought"],
            ln: std::f64::consts::LN_10,
        }
    }

    /// A decade is a factor of 10, so 0.1 decades are 26 %, and a spread of 0.2 decades is a factor of 1.58.
    #[test]
    fn a_change_says_which_way_and_how_far() {
        assert_eq!(
            change((1.0, 0.3), (1.1, 0.2)).words(),
            "Wet Moss is more fluid than thought by 26 %, known to within a factor of 1.58, before 2."
        );
        assert_eq!(
            change((1.0, 0.3), (0.9, 0.3)).words(),
            "Wet Moss is stiffer than thought by 26 %."
        );
        assert_eq!(
            change((1.0, 0.3), (1.0, 0.2)).words(),
            "Wet Moss: known to within a factor of 1.58, before 2."
        );
    }

    #[test]
    fn chance_of_the_draws_is_no_change() {
        assert!(change((1.0, 0.3), (1.018, 0.31)).size() < TOLD_FROM);
        assert!(change((1.0, 0.3), (1.0, 0.2)).size() > TOLD_FROM);
    }
}
