//! The few tiles worth glazing next, for one question: how much of the last glaze stays above the foot on this piece?
//!
//! Takes a studio, what its log has taught, the plan that is asked about and how many tiles there is room for; gives tiles, the most
//! telling first, with the share of the answer's uncertainty that each would settle.

use super::advice::Amount;
use super::count::Counts;
use super::drawn::{Drawn, LayerLuck, Luck};
use super::plan::Plan;
use super::settle::{self, Candidate};
use super::spread::{StandardDraws, largest_of};
use super::stack;
use crate::learn::Params;
use crate::learn::forward::{EdgeBand, EntryBands};
use crate::learn::posterior::Posterior;
use crate::order;
use crate::physics::constants::RHO;
use crate::physics::melt;
use crate::physics::tile::{self, Band};
use crate::studio::case::{Case, Cases};
use crate::studio::document::{Edge, Entry, Form, How, Layer, Shape, Studio, Zone};
use crate::studio::error::Refusal;
use serde::Serialize;

/// Amounts of the last layer that the question asks about.
const AMOUNTS: u32 = 6;
/// Most coats on a tile of one glaze, and of each glaze on a tile of two.
const COATS_ALONE: u32 = 6;
const COATS_EACH: u32 = 4;
/// Most tiles that are ever asked for.
const MOST_TILES: usize = 24;
/// A run shorter than this is written down as "did not move", m.
const LEAST_READ_M: f64 = 0.5e-3;
/// Tile where the studio has none: standing, mm.
const USUAL_TILE_MM: (f64, f64) = (50.0, 100.0);
/// Share of a tile's length that is glazed; the rest is for the run.
const GLAZED: f64 = 0.6;
/// Columns of the standard draws of a candidate: its longest drip, its noise, coats and specific gravity of two layers.
const PER_TILE: usize = 6;

/// A tile worth glazing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct NextTile {
    /// Layers, the wall first, ready for a plan.
    pub layers: Vec<Layer>,
    /// What goes on it, e.g. "3 coats of Honey Drift over 2 coats of Iron Moss".
    pub what: String,
    /// What it would tell most, e.g. "how fluid Honey Drift is".
    pub tells: String,
    /// Share of what is not known of the answer that this tile settles, those before it already glazed, 0–1.
    pub settles: f64,
    /// Share that is still open after it and those before it, 0–1.
    pub left: f64,
    /// Chance that it can be read: that it moves and stays on the tile, 0–1.
    pub p_readable: f64,
}

/// An answer: tiles in the order in which they are worth it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct NextTiles {
    /// The question in words.
    pub question: String,
    /// Tiles, the most telling first.
    pub tiles: Vec<NextTile>,
    /// What is not known of the answer now, decades of fluidity (sd), over the amounts that are in doubt; only what tiles can tell.
    pub sd_now_decades: f64,
}

/// Ranks tiles for a plan.
///
/// The answer is, for each amount of the last layer, the margin by which the piece reaches its foot, in decades of fluidity; amounts whose
/// outcome is in doubt count most. Each candidate's reading is drawn from the posterior with all its luck and its censoring, and the drop in the
/// answers' variance is that of a linear regression on what would be read: exact for a linear-Gaussian log (the Kalman update), the best
/// linear estimate otherwise. Tiles are picked greedily, each given those before it; all go into one firing, whose effect they share.
///
/// # Errors
/// What [`crate::studio::case::Case::of`] refuses of the plan.
pub fn next_tiles(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    budget: usize,
    seed: u64,
) -> Result<NextTiles, Refusal> {
    let draws = posterior.params.len().max(1);
    let plan = Plan::new(studio, entry, draws, seed)?;
    let (answers, weights) = answers(posterior, entry, &plan);
    let (with_tile, tile_id, length_mm) = with_tile(studio);
    let mut cases = Cases::new(&with_tile);
    let stacks = stacks(&plan);
    let standard = StandardDraws::new(draws, PER_TILE * stacks.len(), seed.wrapping_add(1));
    let mut tiles = Vec::new();
    let mut candidates = Vec::new();
    for (at, stack) in stacks.iter().enumerate() {
        let layers: Vec<Layer> = stack
            .iter()
            .map(|(glaze, coats)| layer(studio, *glaze, *coats, length_mm))
            .collect();
        let tile = Entry {
            id: "next".into(),
            form: tile_id.clone(),
            hand: entry.hand.clone(),
            layers: layers.clone(),
            ..Entry::default()
        };
        let Ok(case) = cases.of(&tile) else { continue };
        let read = read(&case, posterior, &standard, PER_TILE * at);
        let readable = read
            .iter()
            .filter(|r| **r > LEAST_READ_M && **r < case.bare_below_m)
            .count();
        candidates.push(Candidate::censored(&read, LEAST_READ_M, case.bare_below_m));
        tiles.push((stack.clone(), layers, readable as f64 / draws as f64, read));
    }
    let (picked, before) = settle::greedy(&answers, &weights, &candidates, budget.min(MOST_TILES));
    let mut left = 1.0;
    let found = picked.into_iter().map(|(which, settles)| {
        let (stack, layers, p_readable, read) = &tiles[which];
        left = f64::max(left - settles, 0.0);
        NextTile {
            what: words(studio, stack),
            tells: tells(studio, posterior, stack, read),
            layers: layers.clone(),
            settles,
            left,
            p_readable: *p_readable,
        }
    });
    let tiles = found.collect();
    Ok(NextTiles {
        question: question(studio, entry, &plan),
        tiles,
        sd_now_decades: before.sqrt(),
    })
}

/// Per amount of the last layer, the margin of every draw by which the foot is reached, decades; and how much in doubt that amount is.
///
/// The margin is that of the drip of median luck in a firing that is true to its schedule: the rest no tile can tell.
fn answers(posterior: &Posterior, entry: &Entry, plan: &Plan) -> (Vec<Vec<f64>>, Vec<f64>) {
    let last = plan.case.layers.len().saturating_sub(1);
    let planned = entry.layers.last().map_or(1, |l| Amount::of(&l.how).count);
    let amounts: Vec<u32> = (1..=AMOUNTS.max(planned)).collect();
    let mut answers = Vec::new();
    let mut weights = Vec::new();
    for amount in &amounts {
        let plan = plan.with_units(last, *amount);
        let shots = plan.shots(posterior);
        let counts = Counts::without_relief(&plan, &shots, posterior);
        let p = counts.p_reaches_foot;
        weights.push(p * (1.0 - p));
        answers.push(
            posterior
                .params
                .iter()
                .map(|params| margin_decades(&plan, params))
                .collect(),
        );
    }
    // Nothing in doubt: the planned amount alone is asked about.
    if weights.iter().sum::<f64>() < 1e-3 {
        for (amount, weight) in amounts.iter().zip(&mut weights) {
            *weight = f64::from(*amount == planned);
        }
    }
    (answers, weights)
}

/// Decades of fluidity by which the furthest edge passes the foot; negative where it stays above. Held within ten decades.
fn margin_decades(plan: &Plan, params: &Params) -> f64 {
    let case = &plan.case;
    let place = (params.place_ln_sigma * largest_of(f64::from(plan.drips()), 0.5)).exp();
    let melt_m: Vec<f64> = params.melt_m(case).iter().map(|h| h * place).collect();
    let at_reference = |glaze: usize| params.log10_phi.get(glaze).copied().unwrap_or(0.0);
    let phi: Vec<f64> = case
        .layers
        .iter()
        .map(|l| at_reference(l.glaze) + case.phi_shift_decades)
        .collect();
    let pair = |lower: usize, upper: usize| stack::pair(case, params, lower, upper);
    let of_band = |band: &EdgeBand| {
        let there: Vec<f64> = band.cover.iter().zip(&melt_m).map(|(c, h)| c * h).collect();
        let film = Band {
            h0_m: there.iter().sum(),
            length_m: band.length_m,
            sin_slope: band.sin_slope,
        };
        let needed = tile::phi_for_run(
            &film,
            band.wall.straight_m(case.bare_below_m + band.gap_m).0,
            band.wall.held() * params.retention_m2,
            RHO,
        )?;
        let has = melt::stack_log10_phi(&there, &phi, &pair, params.mixing);
        Some(has - needed.max(1e-300).log10())
    };
    plan.bands
        .bands
        .iter()
        .filter_map(of_band)
        .fold(-10.0, f64::max)
        .clamp(-10.0, 10.0)
}

/// Stacks worth thinking of: one glaze of the plan alone, and each pair that lies on one another in it; glazes with their coats.
fn stacks(plan: &Plan) -> Vec<Vec<(usize, u32)>> {
    let mut glazes: Vec<usize> = Vec::new();
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for layer in &plan.case.layers {
        if let Some(under) = glazes.last().filter(|under| **under != layer.glaze) {
            let pair = (*under, layer.glaze);
            if !pairs.contains(&pair) {
                pairs.push(pair);
            }
        }
        glazes.push(layer.glaze);
    }
    order::sort(&mut glazes);
    glazes.dedup();
    let alone = glazes
        .iter()
        .flat_map(|g| (1..=COATS_ALONE).map(|coats| vec![(*g, coats)]));
    let both = pairs.iter().flat_map(|(under, over)| {
        (1..=COATS_EACH)
            .flat_map(move |u| (1..=COATS_EACH).map(move |o| vec![(*under, u), (*over, o)]))
    });
    alone.chain(both).collect()
}

/// The studio with a tile form in it, that form's identifier and its length, mm.
fn with_tile(studio: &Studio) -> (Studio, String, f64) {
    let tile = studio.forms.iter().find_map(|form| match form.shape {
        Shape::Tile { length_mm, .. } => Some((form.id.clone(), length_mm)),
        _ => None,
    });
    // Only what a case is made from.
    let mut small = Studio {
        entries: Vec::new(),
        photos: Vec::new(),
        ..studio.clone()
    };
    let (id, length_mm) = tile.unwrap_or_else(|| {
        let (width_mm, length_mm) = USUAL_TILE_MM;
        let id = String::from("next-tile");
        small.forms.push(Form {
            id: id.clone(),
            shape: Shape::Tile {
                width_mm,
                length_mm,
                slope_deg: 90.0,
            },
            ..Form::default()
        });
        (id, length_mm)
    });
    (small, id, length_mm)
}

fn layer(studio: &Studio, glaze: usize, coats: u32, length_mm: f64) -> Layer {
    Layer {
        glaze: studio
            .glazes
            .get(glaze)
            .map_or_else(String::new, |g| g.id.clone()),
        zone: Zone {
            to_mm: (GLAZED * length_mm).round(),
            ..Zone::default()
        },
        how: How::Brush { coats },
        ..Layer::default()
    }
}

/// What would be read off a tile in every draw, m, its luck and its firing's included; 0 where it did not move.
fn read(case: &Case, posterior: &Posterior, standard: &StandardDraws, column: usize) -> Vec<f64> {
    // A firing to come, the same for all tiles of a draw, and none of those in the log.
    let case = Case {
        firing: None,
        shelf: None,
        ..case.clone()
    };
    let bands = EntryBands::of(&case, Edge::OntoBareClay);
    let drips = f64::from(stack::drips(&case, &bands));
    let of = |(i, params): (usize, &Params)| {
        let layer = |l: usize| LayerLuck {
            coats: standard.normal(i, column + 2 + 2 * l),
            sg: standard.normal(i, column + 3 + 2 * l),
        };
        let luck = Luck {
            longest: standard.uniform(i, column),
            noise: standard.normal(i, column + 1),
            layers: (0..case.layers.len()).map(layer).collect(),
        };
        let drawn = Drawn::new(&case, params, drips, &luck);
        stack::run_m(&case, &bands, params, &drawn, drawn.longest_factor)
    };
    posterior.params.iter().enumerate().map(of).collect()
}

fn words(studio: &Studio, stack: &[(usize, u32)]) -> String {
    let of = |(glaze, coats): &(usize, u32)| {
        let name = studio.glazes.get(*glaze).map_or("", |g| g.name.as_str());
        format!(
            "{coats} {} of {name}",
            if *coats == 1 { "coat" } else { "coats" }
        )
    };
    let mut words = String::new();
    for one in stack.iter().rev() {
        if !words.is_empty() {
            words.push_str(" over ");
        }
        words.push_str(&of(one));
    }
    words
}

/// The unknown that goes most with what would be read.
fn tells(studio: &Studio, posterior: &Posterior, stack: &[(usize, u32)], read: &[f64]) -> String {
    let seen: Vec<f64> = read.iter().map(|r| r.max(LEAST_READ_M).ln()).collect();
    let name = |g: usize| studio.glazes.get(g).map_or("", |g| g.name.as_str());
    let mut unknowns: Vec<(String, Vec<f64>)> = stack
        .iter()
        .map(|(g, _)| {
            let fluid = posterior
                .params
                .iter()
                .map(|p| p.log10_phi.get(*g).copied().unwrap_or(0.0));
            (format!("how fluid {} is", name(*g)), fluid.collect())
        })
        .collect();
    if let [(under, _), (over, _)] = stack {
        let shift = posterior
            .params
            .iter()
            .map(|p| p.pair(*over, *under).unwrap_or(0.0));
        unknowns.push((
            format!("how {} and {} melt together", name(*under), name(*over)),
            shift.collect(),
        ));
    }
    let best = unknowns.iter().max_by(|a, b| {
        settle::correlation(&a.1, &seen)
            .abs()
            .total_cmp(&settle::correlation(&b.1, &seen).abs())
    });
    best.map_or_else(String::new, |(what, _)| what.clone())
}

fn question(studio: &Studio, entry: &Entry, plan: &Plan) -> String {
    let name = |l: usize| {
        plan.case
            .layers
            .get(l)
            .and_then(|l| studio.glazes.get(l.glaze))
            .map_or("", |g| g.name.as_str())
    };
    let unit = entry
        .layers
        .last()
        .map_or("coats", |l| Amount::of(&l.how).units());
    let last = plan.case.layers.len().saturating_sub(1);
    let end = if plan.case.is_tile {
        "stay on the tile"
    } else {
        "stay above the foot"
    };
    if last == 0 {
        format!("How many {unit} of {} {end}?", name(0))
    } else {
        format!(
            "How many {unit} of {} over {} {end}?",
            name(last),
            name(last - 1)
        )
    }
}
