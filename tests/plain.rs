//! A broken studio in plain numbers, for somebody who models it on his own: layers, lowest edge, what was read; entries held back without it.
//!
//! Takes a broken studio; gives one JSON document. Nothing of the program's own law is in it: thicknesses by the book, lengths, slopes, widths.

use crate::broken::Broken;
use glazefall::learn::data::{Laid, Log, NONE, Piece, RunRead};
use glazefall::learn::forward::{EntryBands, drips};
use glazefall::learn::priors;
use glazefall::studio::case::{Cases, Method};
use glazefall::studio::document::{Edge, Entry, Outcome, Run, RunWord, Studio};
use serde_json::{Value, json};

/// The whole of it.
pub fn plain(of: &Broken) -> Value {
    let mut studio = of.studio.clone();
    // An entry without an outcome says nothing: those held back get one that is not handed on.
    for held in &of.held_out {
        let outcome = Outcome {
            day: None,
            run: Some(Run::Word {
                word: RunWord::DidNotMove,
                least_mm: None,
                most_mm: Some(0.5),
            }),
            edge: Edge::OntoBareClay,
            look: None,
            texture: None,
        };
        studio.entries.push(Entry {
            outcome: Some(outcome),
            ..held.entry.clone()
        });
    }
    let log = Log::of(&studio);
    let u = &log.unknowns;
    let logged = of.studio.entries.len();
    let entries: Vec<Value> = log
        .pieces
        .iter()
        .map(|piece| entry(&studio, &log, piece, (piece.entry as usize) < logged))
        .collect();
    json!({
        "glazes": u.used.glazes.iter().map(|g| { let o = &u.opinions[*g]; json!([o.mean, o.sd, o.can_be_wrong]) }).collect::<Vec<_>>(),
        "glaze_numbers": u.used.glazes, "hand_numbers": u.used.hands, "firing_numbers": u.used.firings, "pairs": u.used.pairs, "shelves": u.used.shelves,
        "firing_sd": u.used.firings.iter().map(|f| priors::firing_sd_decades(studio.firings[*f].schedule.is_some())).collect::<Vec<_>>(),
        "shelf_sd": priors::shelf_sd_decades(),
        "entries": entries,
        "weigh_ins": log.weighed.iter().map(|w| json!({"laid": laid(&log, &w.laid), "ln_ratio": w.ln_ratio, "variance": w.variance, "patches": w.patches})).collect::<Vec<_>>(),
    })
}

fn place(p: u32, first: usize) -> i64 {
    if p == NONE {
        -1
    } else {
        i64::from(p) - first as i64
    }
}

fn laid(log: &Log, l: &Laid) -> Value {
    let u = &log.unknowns;
    let (glazes, hands) = (u.glaze_number(0), u.glaze_number(u.used.glazes.len()));
    json!({
        "glaze": place(l.glaze, glazes), "hand": place(l.hand, hands),
        "method": match l.method { Method::Brush => 0, Method::Dip => 1, Method::Spray => 2 },
        "ln_melt": l.ln_melt, "coats": l.coats, "below": l.below, "per_unit": l.per_unit, "sg_variance": l.sg_variance,
    })
}

fn entry(studio: &Studio, log: &Log, piece: &Piece, logged: bool) -> Value {
    let u = &log.unknowns;
    let entry = &studio.entries[piece.entry as usize];
    let case = Cases::new(studio).of(entry).expect("a designed entry");
    let edge = entry
        .outcome
        .as_ref()
        .map_or(Edge::OntoBareClay, |o| o.edge);
    let bands = EntryBands::of(&case, edge);
    let band = &bands.bands[0];
    let read = match piece.run {
        Some(RunRead::Ruler {
            run_m,
            error_m,
            whole,
        }) => json!({"kind": "ruler", "run_m": run_m, "error_m": error_m, "whole": whole}),
        Some(RunRead::Between {
            least_m, most_m, ..
        }) => {
            json!({"kind": "between", "least_m": least_m.max(0.0), "most_m": if most_m.is_finite() { most_m } else { -1.0 }})
        }
        None => Value::Null,
    };
    let layers = piece.layers.of(&log.layers);
    json!({
        "layers": layers.iter().map(|l| laid(log, l)).collect::<Vec<_>>(),
        "cover": band.cover, "length_m": band.length_m, "sin_slope": band.sin_slope, "held": bands.held,
        "drips": drips(&case, EntryBands::thickness_m(band, &case.melt_m())), "bare_m": case.bare_below_m,
        "meetings": piece.meetings.of(&log.meetings).iter().map(|m| json!([m.lower, m.upper, (m.place as usize - u.pair(0)) / 2, m.sign])).collect::<Vec<_>>(),
        "firing": place(piece.firing, 0), "shelf": place(piece.shelf, u.shelf(0)), "shift": piece.shift, "variance": piece.variance,
        "read": if logged { read } else { Value::Null },
    })
}
