//! Invented studios for checks of learning: seeded, of any size, fired by a known truth, which may break the model that learns from them.
//!
//! Takes sizes and a truth; gives studio documents whose log says what that truth would say. No data about any real kiln.

use crate::fired::fire;
use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::params::Params;
use glazefall::studio::case::Cases;
use glazefall::studio::document::{
    Edge, Entry, Glaze, GlazeKind, Hand, Look, Outcome, Run, RunWord, Studio, TextureSeen, WeighIn,
};
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};

/// Sizes of an invented studio and what its log has in it.
#[derive(Clone, Copy, Debug)]
pub struct Design {
    /// Log entries.
    pub entries: usize,
    /// Glazes, at least 3.
    pub glazes: usize,
    /// Hands.
    pub hands: usize,
    /// Firings.
    pub firings: usize,
    /// Weigh-ins.
    pub weigh_ins: usize,
    /// Share of entries with more than one layer.
    pub layered: f64,
    /// Share of upper layers that end higher than the lowest.
    pub stepped: f64,
    /// Share of entries that are pots.
    pub pots: f64,
    /// Share of entries that are dipped or sprayed.
    pub other_methods: f64,
    /// Share of runs that are said in a word where they could be read.
    pub words: f64,
    /// Share of entries with a look and a texture.
    pub looks: f64,
    /// Seed.
    pub seed: u64,
}

impl Design {
    /// A studio of the demo's size, all kinds of entries in it.
    pub fn small(seed: u64) -> Self {
        Self {
            entries: 60,
            glazes: 5,
            hands: 3,
            firings: 4,
            weigh_ins: 4,
            layered: 0.5,
            stepped: 0.25,
            pots: 0.3,
            other_methods: 0.2,
            words: 0.25,
            looks: 0.4,
            seed,
        }
    }

    /// A studio that has grown to `entries`: thirty a firing.
    pub fn grown(entries: usize, seed: u64) -> Self {
        Self {
            entries,
            glazes: 8 + (entries as f64).sqrt() as usize / 6,
            hands: 5 + entries / 300,
            firings: entries.div_ceil(30),
            weigh_ins: 4 + entries / 50,
            layered: 0.6,
            pots: 0.5,
            ..Self::small(seed)
        }
    }
}

/// Ways in which a truth breaks the model that learns from it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Breaks {
    /// Noise from a t distribution of 3 degrees of freedom, scaled to the same middle half.
    pub heavy_tails: bool,
    /// Hands settle: their habit fades by this factor per firing; 0: none.
    pub settle: f64,
    /// Share of entries whose layers were written down in the wrong order, or with a coat too few or too many, or with the wrong word.
    pub blunders: f64,
}

pub(crate) fn normal(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}

pub(crate) fn chance(rng: &mut ChaCha8Rng, p: f64) -> bool {
    rng.random::<f64>() < p
}

const BASE: &str = r#"{"format":"glazefall-studio","version":1,"id":"made-up","name":"Made up","invented":true,
"bodies":[{"id":"stoneware","name":"stoneware","absorption":0.1,"wall_mm":6}],
"forms":[
{"id":"tile","name":"tile","shape":{"family":"tile","width_mm":50,"length_mm":100,"slope_deg":80}},
{"id":"ringed","name":"ringed tile","shape":{"family":"tile","width_mm":60,"length_mm":110,"slope_deg":90},
 "texture":{"kind":"upright_flutes","depth_mm":1,"repeat_mm":6,"from_mm":0,"to_mm":40}},
{"id":"jar","name":"jar","shape":{"family":"jar","height_mm":150,"rim_diameter_mm":80,"belly_diameter_mm":110,"foot_diameter_mm":70}},
{"id":"mug","name":"mug","shape":{"family":"mug","height_mm":100,"rim_diameter_mm":85,"foot_diameter_mm":75}}],
"settings":{"usual_body":"stoneware"}}"#;

/// A studio with plans only, each with an outcome to be filled in: what is going to be read of it.
pub fn design(of: &Design) -> Studio {
    let mut rng = ChaCha8Rng::seed_from_u64(of.seed);
    let mut studio: Studio = serde_json::from_str(BASE).expect("the base is a studio");
    let glaze: Glaze =
        serde_json::from_str(r#"{"id":"g","name":"g","kind":"medium","usual_sg":1.45}"#)
            .expect("a glaze");
    let kinds = [
        GlazeKind::Fluid,
        GlazeKind::Medium,
        GlazeKind::Stiff,
        GlazeKind::NotKnown,
        GlazeKind::Medium,
    ];
    studio.glazes = (0..of.glazes)
        .map(|g| Glaze {
            id: format!("g{g}"),
            name: format!("Glaze {g}"),
            kind: kinds[g % kinds.len()],
            usual_sg: 1.40 + 0.02 * (g % 6) as f64,
            ..glaze.clone()
        })
        .collect();
    let hand: Hand =
        serde_json::from_str(r#"{"id":"h","name":"h","role":"student"}"#).expect("a hand");
    studio.hands = (0..of.hands)
        .map(|h| Hand {
            id: format!("h{h}"),
            name: format!("Hand {h}"),
            ..hand.clone()
        })
        .collect();
    studio.firings = (0..of.firings)
        .map(|f| {
            let schedule = match f % 3 {
                0 => r#""schedule":{"by":"cone","cone":"6","rate_c_per_h":60},"#,
                1 => r#""schedule":{"by":"cone","cone":"6","rate_c_per_h":150},"#,
                _ => "",
            };
            let kiln = ["big", "small"][f % 2];
            serde_json::from_str(&format!(
                r#"{{"id":"f{f}",{schedule}"kiln":"{kiln}","state":"opened"}}"#
            ))
            .expect("a firing")
        })
        .collect();
    studio.entries = (0..of.entries).map(|e| entry(e, of, &mut rng)).collect();
    studio.weigh_ins = (0..of.weigh_ins)
        .map(|w| {
            let coats = 1 + rng.random_range(0..3_u32);
            let (h, g) = (w % of.hands, rng.random_range(0..of.glazes));
            let json = format!(
                r#"{{"id":"w{w}","hand":"h{h}","glaze":"g{g}","how":{{"method":"brush","coats":{coats}}},"area_cm2":50,"sg":1.45,"gained_g":1}}"#
            );
            serde_json::from_str::<WeighIn>(&json).expect("a weigh-in")
        })
        .collect();
    studio
}

fn entry(e: usize, of: &Design, rng: &mut ChaCha8Rng) -> Entry {
    let looks = chance(rng, of.looks);
    let form = match (chance(rng, of.pots), looks) {
        (true, _) => ["jar", "mug"][rng.random_range(0..2)],
        (false, true) => "ringed",
        (false, false) => "tile",
    };
    let layered = chance(rng, of.layered);
    let count = if layered {
        2 + usize::from(chance(rng, 0.25))
    } else {
        1
    };
    let other = chance(rng, of.other_methods);
    let mut layers = Vec::new();
    let low = 40 + 10 * rng.random_range(0..3_u32);
    for l in 0..count {
        // Glazes that are used most come first, and pairs repeat: nobody tries all.
        let g = (rng.random::<f64>().powi(2) * of.glazes as f64) as usize;
        let how = match (other, rng.random_range(0..3_u32)) {
            (true, 0) => r#"{"method":"dip","dips":1,"seconds":3}"#.to_string(),
            (true, 1) => format!(
                r#"{{"method":"spray","passes":{}}}"#,
                3 + rng.random_range(0..5_u32)
            ),
            _ if count == 1 => format!(
                r#"{{"method":"brush","coats":{}}}"#,
                2 + rng.random_range(0..4_u32)
            ),
            _ => format!(
                r#"{{"method":"brush","coats":{}}}"#,
                1 + rng.random_range(0..3_u32)
            ),
        };
        let to = if l > 0 && chance(rng, of.stepped) {
            low - 15
        } else {
            low
        };
        let sg = if chance(rng, 0.7) {
            format!(
                r#","sg":{:.2}"#,
                1.40 + 0.01 * f64::from(rng.random_range(0..12_u32))
            )
        } else {
            String::new()
        };
        layers.push(format!(
            r#"{{"glaze":"g{g}","zone":{{"from_mm":0,"to_mm":{to}}},"how":{how}{sg}}}"#
        ));
    }
    let hand = if chance(rng, 0.92) {
        format!(r#""hand":"h{}","#, rng.random_range(0..of.hands))
    } else {
        String::new()
    };
    let shelf = if chance(rng, 0.8) {
        format!(r#""shelf":{},"#, 1 + rng.random_range(0..3_u32))
    } else {
        String::new()
    };
    let firing = e * of.firings / of.entries.max(1);
    let json = format!(
        r#"{{"id":"e{e}","form":"{form}",{hand}{shelf}"firing":"f{firing}","layers":[{}]}}"#,
        layers.join(",")
    );
    let mut entry: Entry = serde_json::from_str(&json).expect("an entry");
    let last = entry.layers.last().map_or(0.0, |l| l.zone.to_mm);
    let onto_glaze = last < f64::from(low)
        && entry.layers.iter().any(|l| l.zone.to_mm > last)
        && chance(rng, 0.3);
    entry.outcome = Some(Outcome {
        day: None,
        run: Some(Run::Word {
            word: RunWord::DidNotMove,
            least_mm: None,
            most_mm: Some(0.5),
        }),
        edge: if onto_glaze {
            Edge::OntoGlaze
        } else {
            Edge::OntoBareClay
        },
        look: looks.then_some(Look::Right),
        texture: (looks && form == "ringed").then_some(TextureSeen::Softened),
    });
    entry
}

/// Fires every entry of a designed studio and weighs its tiles; gives back the true runs, mm.
pub fn fill(
    studio: &mut Studio,
    truth: &Params,
    breaks: &Breaks,
    words: f64,
    seed: u64,
) -> Vec<f64> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let plans = studio.clone();
    let mut cases = Cases::new(&plans);
    let mut runs = Vec::with_capacity(plans.entries.len());
    for (entry, plan) in studio.entries.iter_mut().zip(&plans.entries) {
        let case = cases.of(plan).expect("a designed entry is within bounds");
        let what = plan
            .outcome
            .as_ref()
            .expect("a designed entry says what is read");
        let fired = fire(&case, what, truth, breaks, words, &mut rng);
        runs.push(fired.run_mm);
        entry.outcome = Some(fired.outcome);
        if chance(&mut rng, breaks.blunders) {
            blunder(entry, &mut rng);
        }
    }
    for (weigh_in, plan) in studio.weigh_ins.iter_mut().zip(&plans.weigh_ins) {
        let case = cases
            .weigh_in(plan)
            .expect("a designed weigh-in is within bounds");
        let layer = &case.layer;
        let habit = truth.ln_laydown_of(layer.hand, layer.method);
        let patches: f64 = 10.0;
        let mut ln = habit + truth.ln_thinning(0.0, layer.units);
        ln += truth.coat_ln_sigma / layer.units.sqrt() * normal(&mut rng);
        ln += truth.place_ln_sigma / patches.sqrt() * normal(&mut rng);
        ln += layer.sg_sigma * layer.dln_mass_dsg * normal(&mut rng);
        if chance(&mut rng, truth.outlier_share) {
            ln += 0.7 * normal(&mut rng);
        }
        let grams = layer.mass_kg_per_m2 * ln.exp() * weigh_in.area_cm2 * 1e-4 * 1e3;
        weigh_in.gained_g = (grams + weigh_in.error_g * normal(&mut rng)).max(0.02);
    }
    runs
}

/// A line entered wrong: order swapped, a coat miscounted, a word ticked wrong.
fn blunder(entry: &mut Entry, rng: &mut ChaCha8Rng) {
    use glazefall::studio::document::How;
    let kind = rng.random_range(0..3_u32);
    if kind == 0 && entry.layers.len() > 1 {
        let last = entry.layers.len() - 1;
        let (a, b) = (
            entry.layers[0].glaze.clone(),
            entry.layers[last].glaze.clone(),
        );
        entry.layers[0].glaze = b;
        entry.layers[last].glaze = a;
        return;
    }
    if kind <= 1
        && let How::Brush { coats } = &mut entry.layers[0].how
    {
        *coats += 2;
        return;
    }
    if let Some(outcome) = &mut entry.outcome {
        outcome.run = Some(match outcome.run {
            Some(Run::Word {
                word: RunWord::DidNotMove,
                ..
            }) => Run::Word {
                word: RunWord::ALot,
                least_mm: Some(10.0),
                most_mm: None,
            },
            _ => Run::Word {
                word: RunWord::DidNotMove,
                least_mm: None,
                most_mm: Some(0.5),
            },
        });
    }
}

/// A designed studio fired by a truth from the priors; the truth itself.
pub fn from_the_prior(of: &Design) -> (Studio, Params) {
    let mut studio = design(of);
    let log = glazefall::learn::data::Log::of(&studio);
    let mut rng = ChaCha8Rng::seed_from_u64(of.seed ^ 0x5eed);
    let point = log.unknowns.draw(&mut rng);
    let truth = log.unknowns.params(&point, rng.random());
    fill(
        &mut studio,
        &truth,
        &Breaks::default(),
        of.words,
        of.seed ^ 0xf19e,
    );
    (studio, truth)
}

/// An invented studio whose log has so many entries: small, or grown over years.
pub fn of_size(entries: usize) -> Studio {
    let of = if entries <= 100 {
        Design {
            entries,
            ..Design::small(1)
        }
    } else {
        Design::grown(entries, 1)
    };
    from_the_prior(&of).0
}
