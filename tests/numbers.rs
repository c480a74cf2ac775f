//! A studio's log in plain numbers, for a second opinion by another program: what was read, the stacks, and the law's thresholds as tables.
//!
//! Takes a studio; gives one JSON document. Steps are left out: an entry stands for the glaze that reaches its lowest edge.

use glazefall::learn::data::{Log, NONE, RunRead};
use glazefall::learn::forward::EntryBands;
use glazefall::learn::priors;
use glazefall::physics::constants::{GAMMA, GRAVITY, RHO};
use glazefall::physics::texture;
use glazefall::studio::case::{Cases, Method};
use glazefall::studio::document::{Edge, Look, Studio, TextureSeen};
use serde_json::{Value, json};

/// Tables: natural logs of the melt thickness, m, and of the retention, m².
const LN_H: (f64, f64, usize) = (-10.4, 0.1, 54);
const LN_A: (f64, f64, usize) = (-15.5, 0.4, 11);
/// log10 of the fluidity integral, for the texture's table.
const LOG10_PHI: (f64, f64, usize) = (-4.0, 0.2, 41);
/// Thresholds beyond these say never and always, log10(1/Pa).
const ENDS: (f64, f64) = (-8.0, 9.0);

fn at(grid: (f64, f64, usize), i: usize) -> f64 {
    grid.0 + grid.1 * i as f64
}

/// The whole log.
pub fn numbers(studio: &Studio) -> Value {
    let log = Log::of(studio);
    let u = &log.unknowns;
    let mut cases = Cases::new(studio);
    let place = |p: u32, first: usize| -> i64 {
        if p == NONE {
            -1
        } else {
            i64::from(p) - first as i64
        }
    };
    let (glazes, hands) = (u.glaze_number(0), u.glaze_number(u.used.glazes.len()));
    let laid = |l: &glazefall::learn::data::Laid| {
        json!({
            "glaze": place(l.glaze, glazes), "hand": place(l.hand, hands),
            "method": match l.method { Method::Brush => 0, Method::Dip => 1, Method::Spray => 2 },
            "ln_melt": l.ln_melt, "coats": l.coats, "below": l.below, "per_unit": l.per_unit, "sg_variance": l.sg_variance,
        })
    };
    let mut known: Vec<(String, Value)> = Vec::new();
    let mut entries = Vec::new();
    for piece in &log.pieces {
        let entry = &studio.entries[piece.entry as usize];
        let Ok(case) = cases.of(entry) else { continue };
        let edge = entry
            .outcome
            .as_ref()
            .map_or(Edge::OntoBareClay, |o| o.edge);
        let mut bands = EntryBands::of(&case, edge);
        bands.bands.truncate(1);
        let strips = piece.strips.of(&log.strips);
        let n = piece.layers.len as usize;
        let cover = |strip: usize| {
            let from = strips[strip].covers as usize;
            log.covers[from..from + n].to_vec()
        };
        let edges: Vec<f64> = match piece.run {
            Some(RunRead::Ruler { run_m, error_m, .. }) if run_m < 0.25e-3 => {
                vec![0.5e-3, 0.5e-3 + error_m]
            }
            Some(RunRead::Ruler { run_m, .. }) => vec![0.5e-3, run_m.max(0.5e-3)],
            Some(RunRead::Between {
                least_m, most_m, ..
            }) => vec![least_m, most_m],
            None => Vec::new(),
        };
        let mut tables = Vec::new();
        for run_m in edges {
            if !(run_m.is_finite() && run_m > 0.0) {
                tables.push(-1);
                continue;
            }
            let band = &bands.bands[0];
            let key = format!(
                "{} {} {:.6} {:.6} {:.6} {run_m:.6}",
                entry.form, bands.held, band.edge_m, band.length_m, band.sin_slope
            );
            let number = known
                .iter()
                .position(|(k, _)| *k == key)
                .unwrap_or_else(|| {
                    known.push((key, threshold(&bands, n, run_m)));
                    known.len() - 1
                });
            tables.push(number as i64);
        }
        let read = match piece.run {
            Some(RunRead::Ruler {
                run_m,
                error_m,
                whole,
            }) => json!({"kind": "ruler", "run_m": run_m, "error_m": error_m, "whole": whole}),
            Some(RunRead::Between {
                least_m,
                most_m,
                stuck,
            }) => {
                json!({"kind": "between", "least": least_m > 0.0, "most": most_m.is_finite(), "stuck": stuck})
            }
            None => Value::Null,
        };
        let look = piece.look.map(|(look, cuts)| {
            json!({
                "seen": match look { Look::TooLittle => 0, Look::Right => 1, Look::TooMuch => 2 },
                "cuts": (cuts as usize - u.look(0)) / 2, "over": piece.look_over, "ln_fired_per_melt": piece.ln_fired_per_melt,
            })
        });
        let relief = piece.relief.map(|relief| {
            let table: Vec<Vec<f64>> = (0..LN_H.2)
                .map(|h| {
                    (0..LOG10_PHI.2)
                        .map(|phi| {
                            let kept = texture::relief_kept(
                                &relief.waves,
                                &texture::Film {
                                    melt_m: at(LN_H, h).exp(),
                                    phi_per_pa: 10_f64.powf(at(LOG10_PHI, phi)),
                                    weight_n_per_m3: RHO * GRAVITY,
                                    gamma_n_per_m: GAMMA,
                                    sin_slope: piece.sin_slope,
                                },
                            );
                            (-kept.clamp(1e-6, 1.0 - 1e-6).ln()).ln()
                        })
                        .collect()
                })
                .collect();
            json!({
                "seen": match relief.seen { TextureSeen::Crisp => 0, TextureSeen::Softened => 1, TextureSeen::Buried => 2 },
                "cover": cover(relief.strip as usize), "table": table,
            })
        });
        entries.push(json!({
            "layers": piece.layers.of(&log.layers).iter().map(laid).collect::<Vec<_>>(),
            "cover": cover(0),
            "meetings": piece.meetings.of(&log.meetings).iter().map(|m| json!([m.lower, m.upper, (m.place as usize - u.pair(0)) / 2, m.sign])).collect::<Vec<_>>(),
            "firing": place(piece.firing, 0), "shelf": place(piece.shelf, u.shelf(0)),
            "shift": piece.shift, "variance": piece.variance,
            "longest": {"weight": piece.longest.weight, "mean": piece.longest.mean, "sd": piece.longest.sd},
            "read": read, "tables": tables, "look": look, "relief": relief,
        }));
    }
    json!({
        "glazes": u.used.glazes.iter().map(|g| { let o = &u.opinions[*g]; json!([o.mean, o.sd, o.can_be_wrong]) }).collect::<Vec<_>>(),
        "glaze_numbers": u.used.glazes, "hand_numbers": u.used.hands, "firing_numbers": u.used.firings,
        "pairs": u.used.pairs, "shelves": u.used.shelves, "looks": u.used.looks,
        "firing_sd": u.used.firings.iter().map(|f| priors::firing_sd_decades(studio.firings[*f].schedule.is_some())).collect::<Vec<_>>(),
        "shelf_sd": priors::shelf_sd_decades(),
        "words": log.words,
        "ln_h": [LN_H.0, LN_H.1], "ln_a": [LN_A.0, LN_A.1], "log10_phi": [LOG10_PHI.0, LOG10_PHI.1],
        "thresholds": known.into_iter().map(|(_, table)| table).collect::<Vec<_>>(),
        "entries": entries,
        "weigh_ins": log.weighed.iter().map(|w| json!({"laid": laid(&w.laid), "ln_ratio": w.ln_ratio, "variance": w.variance, "patches": w.patches})).collect::<Vec<_>>(),
    })
}

/// log10 of the fluidity integral that a run takes, by thickness and retention, and its change per m of run.
fn threshold(bands: &EntryBands, layers: usize, run_m: f64) -> Value {
    let cover = &bands.bands[0].cover;
    let all: f64 = cover.iter().sum();
    let needed = |run_m: f64, ln_h: f64, ln_a: f64| -> f64 {
        let melt: Vec<f64> = vec![ln_h.exp() / all; layers];
        let run = |log10_phi: f64| {
            let phi = vec![log10_phi; layers];
            bands.run_m(&melt, &phi, &|_, _| 0.0, 1.0, ln_a.exp())
        };
        let (mut low, mut high) = ENDS;
        for _ in 0..24 {
            let middle = 0.5 * (low + high);
            if run(middle) < run_m {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    };
    let step = 0.05e-3;
    let mut y = Vec::new();
    let mut slope = Vec::new();
    for h in 0..LN_H.2 {
        let (mut row, mut slopes) = (Vec::new(), Vec::new());
        for a in 0..LN_A.2 {
            let (ln_h, ln_a) = (at(LN_H, h), at(LN_A, a));
            let (less, more) = (
                needed(run_m - step, ln_h, ln_a),
                needed(run_m + step, ln_h, ln_a),
            );
            row.push(0.5 * (less + more));
            slopes.push((more - less) / (2.0 * step));
        }
        y.push(row);
        slope.push(slopes);
    }
    json!({"y": y, "per_m": slope})
}
