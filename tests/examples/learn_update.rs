//! What counting a few new lines at once takes, how far it can be trusted, and how far it is from learning anew.
//!
//! `cargo run --release -p glazefall-tests --example learn_update [entries …]`; no number: the demo.

use glazefall::learn::{Changes, Options, Posterior, learn, update};
use glazefall::studio::any::AnyRecord;
use glazefall::studio::document::{Entry, Studio};
use glazefall::studio::edit::{self, Edit};
use glazefall::studio::file;
use glazefall_tests::studios::of_size;
use std::time::Instant;

/// Puts lines into the log of a studio.
fn put(studio: &mut Studio, entries: &[Entry]) -> Changes {
    let mut edits = Vec::new();
    for entry in entries {
        let record = AnyRecord::Entry(Box::new(entry.clone()));
        edits.push(Edit::Put { record, at: None });
    }
    let applied = edit::apply(studio, Edit::Many(edits), 1).expect("lines of a sound studio");
    let mut changes = Changes::default();
    changes.note(studio, applied.inverse);
    changes
}

/// The largest shift of a glaze's or a firing's mean, in spreads, and its spread against learning anew.
fn apart(quick: &Posterior, anew: &Posterior) -> (f64, f64) {
    let (mut shift, mut wide) = (0.0_f64, 0.0_f64);
    for (q, a) in quick.summary.glazes.iter().zip(&anew.summary.glazes) {
        shift = shift.max((q.log10_phi.mean - a.log10_phi.mean).abs() / a.log10_phi.sd);
        wide = wide.max((q.log10_phi.sd / a.log10_phi.sd).ln().abs());
    }
    for (q, a) in quick.summary.firings.iter().zip(&anew.summary.firings) {
        shift = shift.max((q.decades.mean - a.decades.mean).abs() / a.decades.sd);
        wide = wide.max((q.decades.sd / a.decades.sd).ln().abs());
    }
    (shift, wide)
}

fn main() {
    let entries: Option<usize> = std::env::args().nth(1).and_then(|a| a.parse().ok());
    let whole = match entries {
        None => file::read(include_str!("../../fixtures/demo/studio.json")).expect("the demo"),
        Some(entries) => of_size(entries),
    };
    let options = Options::default();
    let read: Vec<Entry> = (whole.entries.iter())
        .filter(|entry| entry.outcome.is_some())
        .cloned()
        .collect();
    let anew = learn(&whole, &options);
    println!("whole log: {} entries", read.len());
    let mut cases: Vec<(String, Vec<usize>)> = Vec::new();
    for i in (0..read.len()).step_by((read.len() / 8).max(1)) {
        cases.push((format!("entry {i}"), vec![i]));
    }
    let last = whole.firings.iter().rev().find(|firing| {
        (read.iter()).any(|entry| entry.firing.as_deref() == Some(firing.id.as_str()))
    });
    let last: Vec<usize> = (0..read.len())
        .filter(|i| read[*i].firing.as_ref() == last.map(|f| &f.id))
        .collect();
    for many in [2, 4, 8, 16, 32] {
        if many < last.len() {
            cases.push((
                format!("{many} of the last firing's"),
                last[last.len() - many..].to_vec(),
            ));
        }
    }
    // The kiln just opened: none of its entries are in the base.
    for many in [1, 2, 4, 8, 16] {
        if many <= last.len() {
            cases.push((format!("first {many} of the last firing"), last.clone()));
        }
    }
    cases.push((
        format!("all {} of the last firing", last.len()),
        last.clone(),
    ));
    for (name, out) in cases {
        let back: Vec<Entry> = match name.strip_prefix("first ") {
            Some(rest) => {
                let many: usize = rest.split(' ').next().unwrap().parse().unwrap();
                out[..many].iter().map(|i| read[*i].clone()).collect()
            }
            None => out.iter().map(|i| read[*i].clone()).collect(),
        };
        let mut studio = whole.clone();
        studio
            .entries
            .retain(|entry| !out.iter().any(|i| read[*i].id == entry.id));
        let start = Instant::now();
        let base = learn(&studio, &options);
        let learned = start.elapsed().as_secs_f64();
        let changes = put(&mut studio, &back);
        let mut quick = base.clone();
        let start = Instant::now();
        let found = update(&mut studio, &mut quick, &changes, &options);
        let took = start.elapsed().as_secs_f64();
        let exact = if back.len() == out.len() {
            anew.clone()
        } else {
            learn(&studio, &options)
        };
        match found {
            None => println!("{name:28} not one of few lines"),
            Some(trust) => {
                let (shift, wide) = apart(&quick, &exact);
                let (base_shift, base_wide) = apart(&base, &exact);
                println!(
                    "{name:28} {:7.1} ms (learning {:6.0})  k {:5.2} worth {:4.2} of {}  {}  apart {shift:.2} sd, {wide:.2}; before {base_shift:.2} sd, {base_wide:.2}",
                    1e3 * took,
                    1e3 * learned,
                    trust.shape,
                    trust.share,
                    base.params.len(),
                    if trust.before.is_some() {
                        "counted"
                    } else {
                        "NOT"
                    },
                );
            }
        }
    }
}
