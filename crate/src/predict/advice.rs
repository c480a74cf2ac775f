//! One plain sentence: what to do, then the number, then the reason.
//!
//! Takes what a prediction found; gives a sentence in a potter's words, with chances as counts of pots
//! (natural frequencies: Gigerenzer & Hoffrage 1995, Psychological Review 102, 684).

use super::outcome::Verdict;
use crate::digits::{Fixed, Plain};
use crate::studio::bounds;
use crate::studio::document::{How, TextureKind};

/// A count of coats, dips or passes with its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    /// How many.
    pub count: u32,
    /// Of what.
    pub unit: Unit,
}

/// What a layer's amount is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Brushed.
    Coat,
    /// Dipped.
    Dip,
    /// Sprayed.
    Pass,
}

impl Amount {
    /// The amount of a layer as planned.
    pub fn of(how: &How) -> Self {
        match *how {
            How::Brush { coats } => Self {
                count: coats,
                unit: Unit::Coat,
            },
            How::Dip { dips, .. } => Self {
                count: dips,
                unit: Unit::Dip,
            },
            How::Spray { passes } => Self {
                count: passes,
                unit: Unit::Pass,
            },
        }
    }

    /// The most that a studio document takes.
    pub fn most(self) -> u32 {
        let bounds = match self.unit {
            Unit::Coat => &bounds::COATS,
            Unit::Dip => &bounds::DIPS,
            Unit::Pass => &bounds::PASSES,
        };
        bounds.most as u32
    }

    /// The word for more than one.
    pub fn units(self) -> &'static str {
        match self.unit {
            Unit::Coat => "coats",
            Unit::Dip => "dips",
            Unit::Pass => "passes",
        }
    }

    fn words(self) -> String {
        let word = match (self.unit, self.count) {
            (Unit::Coat, 1) => "coat",
            (Unit::Coat, _) => "coats",
            (Unit::Dip, 1) => "dip",
            (Unit::Dip, _) => "dips",
            (Unit::Pass, 1) => "pass",
            (Unit::Pass, _) => "passes",
        };
        format!("{} {word}", self.count)
    }

    fn with(self, count: u32) -> Self {
        Self { count, ..self }
    }
}

/// What the sentence is made from.
#[derive(Clone, Debug)]
pub struct Facts<'a> {
    /// The verdict at the studio's lines.
    pub verdict: Verdict,
    /// Chance of reaching the foot, or of running off the end of a tile.
    pub p_reaches_foot: f64,
    /// A tile rather than a pot.
    pub on_tile: bool,
    /// Name of the glaze that goes on last.
    pub last_glaze: &'a str,
    /// How much of it is planned.
    pub planned: Amount,
    /// Most of it that still holds.
    pub most_safe: Option<u32>,
    /// Up to which amount was tried.
    pub tried_up_to: u32,
    /// Bare wall below the lowest glaze line as planned, mm.
    pub bare_below_mm: f64,
    /// Bare wall at which it would hold, mm.
    pub bare_foot_mm: f64,
    /// Wall from the upper edge of the glaze to the foot, mm: what there is to leave bare.
    pub wall_mm: f64,
    /// Cookie to stand it on, mm.
    pub cookie_mm: Option<f64>,
    /// Texture, if the wall has one.
    pub texture: Option<TextureFacts>,
    /// Look of the last glaze, if it was ever logged.
    pub look: Option<LookFacts>,
    /// A glaze that was never logged and that the answer hangs on, with the coats of the tile that would narrow it.
    pub narrow: Option<(&'a str, u32)>,
}

/// What becomes of a texture.
#[derive(Clone, Copy, Debug)]
pub struct TextureFacts {
    /// Its kind.
    pub kind: TextureKind,
    /// Chance that more than half of its relief is kept.
    pub p_over_half: f64,
    /// Most of the last glaze that more likely than not keeps over half of it, where there is such an amount.
    pub most_that_keeps: Option<u32>,
}

/// What becomes of the look.
#[derive(Clone, Copy, Debug)]
pub struct LookFacts {
    /// Chance of too little.
    pub too_little: f64,
    /// Chance of too much.
    pub too_much: f64,
    /// The amount that most likely looks right among those that hold, where it is not the planned one.
    pub better: Option<u32>,
}

/// Under this chance a number says less than words: 1 in 200.
const HARDLY_EVER: f64 = 0.005;

/// A chance as a count of pots: "about 3 in 20", "fewer than 1 in 200".
pub fn frequency(p: f64) -> String {
    if p.is_nan() || p < HARDLY_EVER {
        return "fewer than 1 in 200".into();
    }
    if p > 1.0 - HARDLY_EVER {
        return "all but 1 in 200".into();
    }
    if p < 0.045 {
        let nice = [200.0, 100.0, 50.0, 40.0, 30.0, 25.0];
        let nearest = nice.into_iter().min_by(|a, b| {
            (p.ln() + f64::ln(*a))
                .abs()
                .total_cmp(&(p.ln() + f64::ln(*b)).abs())
        });
        return format!("about 1 in {}", Plain(nearest.unwrap_or(50.0)));
    }
    match (p * 20.0).round() {
        20.0.. => "nearly all".into(),
        n => format!("about {} in 20", Plain(n)),
    }
}

/// The sentence.
pub fn advice(facts: &Facts) -> String {
    let mut sentence = match facts.verdict {
        Verdict::Holds => holds(facts),
        Verdict::MayReachTheFoot | Verdict::WillRunOff => runs(facts),
    };
    if let Some((glaze, coats)) = facts.narrow {
        let amount = Amount {
            count: coats,
            unit: Unit::Coat,
        }
        .words();
        sentence.push_str(&format!(
            "; {glaze} was never logged, and one tile with {amount} of it would narrow this most"
        ));
    }
    sentence.push('.');
    sentence
}

fn holds(facts: &Facts) -> String {
    let glaze = facts.last_glaze;
    let (pots, reach) = where_to(facts);
    let chance = format!("{} such {pots} {reach}", frequency(facts.p_reaches_foot));
    if let Some(texture) = facts.texture.filter(|t| t.p_over_half < 0.5) {
        let name = texture_word(texture.kind);
        return match texture.most_that_keeps.filter(|n| *n < facts.planned.count) {
            Some(n) => format!(
                "Stop at {} of {glaze} to keep the {name}: as planned it holds, but more than half of the relief is likely to go",
                facts.planned.with(n).words()
            ),
            None => format!(
                "It holds, but expect the {name} to lose more than half of their relief: {chance}"
            ),
        };
    }
    if let Some(look) = facts.look {
        let why = if look.too_little > 0.5 {
            "likely too thin for its colour"
        } else if look.too_much > 0.5 {
            "likely too thick for its look"
        } else {
            ""
        };
        if !why.is_empty() {
            return match look.better {
                Some(n) => format!(
                    "Put on {} of {glaze}, which still hold: as planned it is {why}",
                    facts.planned.with(n).words()
                ),
                None => format!("It holds, but {glaze} is {why}: {chance}"),
            };
        }
    }
    let more = match facts.most_safe {
        Some(n) if n >= facts.tried_up_to => String::new(),
        Some(n) if n > facts.planned.count => format!(
            ", and up to {} of {glaze} still hold",
            facts.planned.with(n).words()
        ),
        Some(n) if n == facts.planned.count => format!(
            ", and {} of {glaze} is the most that holds",
            facts.planned.words()
        ),
        _ => String::new(),
    };
    format!("It holds: {chance}{more}")
}

fn runs(facts: &Facts) -> String {
    let (pots, reach) = where_to(facts);
    let glaze = facts.last_glaze;
    let mut ways = Vec::new();
    if let Some(n) = facts.most_safe.filter(|n| *n < facts.planned.count) {
        ways.push(format!(
            "stop at {} of {glaze}",
            facts.planned.with(n).words()
        ));
    }
    // Half the wall: with more left bare it is another pot.
    if facts.bare_foot_mm > facts.bare_below_mm && facts.bare_foot_mm <= 0.5 * facts.wall_mm {
        ways.push(format!(
            "leave {} mm bare {}",
            Fixed(facts.bare_foot_mm, 0),
            if facts.on_tile {
                "below"
            } else {
                "above the foot"
            }
        ));
    }
    if let (Some(cookie), true) = (
        facts.cookie_mm,
        ways.len() < 2 || facts.verdict == Verdict::WillRunOff,
    ) {
        ways.push(format!(
            "stand it on a cookie {} mm across",
            Fixed(cookie, 0)
        ));
    }
    if ways.is_empty() {
        ways.push(if facts.on_tile {
            "lay a catch below it".into()
        } else {
            "stand it on a cookie".to_string()
        });
    }
    let mut what = String::new();
    for (at, way) in ways.iter().enumerate() {
        if at > 0 {
            what.push_str(if at + 1 == ways.len() { " or " } else { ", " });
        }
        what.push_str(way);
    }
    if let Some(first) = what.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    let even = if facts.most_safe.is_none() && facts.planned.count > 1 {
        format!(
            ", and even {} of {glaze} would not hold",
            facts.planned.with(1).words()
        )
    } else {
        String::new()
    };
    format!(
        "{what}: as planned {} such {pots} {reach}{even}",
        frequency(facts.p_reaches_foot)
    )
}

fn where_to(facts: &Facts) -> (&'static str, &'static str) {
    if facts.on_tile {
        ("tiles", "run off the end")
    } else {
        ("pots", "reach the foot")
    }
}

fn texture_word(kind: TextureKind) -> &'static str {
    match kind {
        TextureKind::Rings => "rings",
        TextureKind::UprightFlutes => "flutes",
        TextureKind::Pressed => "pressed marks",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts() -> Facts<'static> {
        Facts {
            verdict: Verdict::Holds,
            p_reaches_foot: 0.01,
            on_tile: false,
            last_glaze: "Honey Drift",
            planned: Amount {
                count: 3,
                unit: Unit::Coat,
            },
            most_safe: Some(3),
            tried_up_to: 12,
            bare_below_mm: 15.0,
            bare_foot_mm: 9.0,
            wall_mm: 120.0,
            cookie_mm: None,
            texture: None,
            look: None,
            narrow: None,
        }
    }

    #[test]
    fn chances_are_counts() {
        for (p, words) in [
            (0.0, "fewer than 1 in 200"),
            (0.004, "fewer than 1 in 200"),
            (0.01, "about 1 in 100"),
            (0.03, "about 1 in 30"),
            (0.05, "about 1 in 20"),
            (0.148, "about 3 in 20"),
            (0.98, "nearly all"),
            (1.0, "all but 1 in 200"),
            (f64::NAN, "fewer than 1 in 200"),
        ] {
            assert_eq!(frequency(p), words, "{p}");
        }
    }

    #[test]
    fn the_sentence_of_each_verdict() {
        let run = Facts {
            verdict: Verdict::MayReachTheFoot,
            p_reaches_foot: 0.21,
            most_safe: Some(2),
            bare_foot_mm: 28.0,
            cookie_mm: Some(104.0),
            ..facts()
        };
        let never = Facts {
            narrow: Some(("Iron Moss", 4)),
            ..run.clone()
        };
        let off = Facts {
            verdict: Verdict::WillRunOff,
            p_reaches_foot: 0.83,
            most_safe: None,
            bare_foot_mm: 90.0,
            ..run.clone()
        };
        let buried = TextureFacts {
            kind: TextureKind::UprightFlutes,
            p_over_half: 0.2,
            most_that_keeps: Some(2),
        };
        let thin = LookFacts {
            too_little: 0.7,
            too_much: 0.02,
            better: Some(4),
        };
        for (facts, sentence) in [
            (
                facts(),
                "It holds: about 1 in 100 such pots reach the foot, and 3 coats of Honey Drift is the most that holds.",
            ),
            (
                Facts {
                    most_safe: Some(5),
                    ..facts()
                },
                "It holds: about 1 in 100 such pots reach the foot, and up to 5 coats of Honey Drift still hold.",
            ),
            (
                run,
                "Stop at 2 coats of Honey Drift or leave 28 mm bare above the foot: as planned about 4 in 20 such pots reach the foot.",
            ),
            (
                never,
                "Stop at 2 coats of Honey Drift or leave 28 mm bare above the foot: as planned about 4 in 20 such pots reach the foot; Iron Moss was never logged, and one tile with 4 coats of it would narrow this most.",
            ),
            (
                off,
                "Stand it on a cookie 104 mm across: as planned about 17 in 20 such pots reach the foot, and even 1 coat of Honey Drift would not hold.",
            ),
            (
                Facts {
                    texture: Some(buried),
                    ..facts()
                },
                "Stop at 2 coats of Honey Drift to keep the flutes: as planned it holds, but more than half of the relief is likely to go.",
            ),
            (
                Facts {
                    look: Some(thin),
                    ..facts()
                },
                "Put on 4 coats of Honey Drift, which still hold: as planned it is likely too thin for its colour.",
            ),
        ] {
            assert_eq!(advice(&facts), sentence);
        }
    }
}
