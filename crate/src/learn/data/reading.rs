//! From the document's entries to what the log keeps of them.
//!
//! Takes entries and cases; gives runs as they are written in SI, which layers count for a look, which unknowns a log bears on.

use super::{Piece, RunRead, Used};
use crate::order;
use crate::studio::case::{Case, CaseLayer};
use crate::studio::document::{Entry, Run, RunWord};

/// What "did not move" means where its interval is not stated, m.
const STUCK_UP_TO_M: f64 = 0.5e-3;

/// The layers that lie over one another where the glaze between `from_m` and `to_m` is thickest, a bit each; none where there is none.
pub(super) fn fullest(case: &Case, from_m: f64, to_m: f64) -> Option<u32> {
    let mut lines: Vec<f64> = case
        .layers
        .iter()
        .flat_map(|l| [l.from_m, l.to_m])
        .chain([from_m, to_m])
        .collect();
    lines.retain(|line| (from_m..=to_m).contains(line));
    order::ascending(&mut lines);
    let mut best = None;
    for pair in lines.windows(2).filter(|pair| pair[1] - pair[0] > 1e-4) {
        let middle = 0.5 * (pair[0] + pair[1]);
        let (mut over, mut thickness) = (0_u32, 0.0);
        for (i, layer) in case
            .layers
            .iter()
            .enumerate()
            .filter(|(_, l)| l.from_m < middle && middle < l.to_m)
        {
            over |= 1 << i;
            thickness += layer.mass_kg_per_m2 * layer.melt_m_per;
        }
        if over != 0 && best.is_none_or(|(most, _)| thickness > most) {
            best = Some((thickness, over));
        }
    }
    best.map(|(_, over)| over)
}

/// Whether an entry has anything to say.
pub(super) fn teaches(entry: &Entry) -> bool {
    entry
        .outcome
        .as_ref()
        .is_some_and(|o| o.run.is_some() || o.look.is_some() || o.texture.is_some())
}

/// Share of the edges that moved whose run is said in a word, where the log does not say it, and how many entries that is worth (judged).
pub(super) const WORDS: f64 = 0.25;
const WORDS_WORTH: f64 = 4.0;

/// That share in a log.
pub(super) fn words(pieces: &[Piece]) -> f64 {
    let (mut words, mut all) = (WORDS * WORDS_WORTH, WORDS_WORTH);
    for piece in pieces {
        match piece.run {
            Some(RunRead::Between { most_m, stuck, .. }) if !stuck && most_m.is_finite() => {
                words += 1.0;
                all += 1.0;
            }
            Some(RunRead::Ruler { run_m, .. }) if run_m >= STUCK_UP_TO_M => all += 1.0,
            _ => {}
        }
    }
    words / all
}

/// A run as it is written, m. `None` where a word without an interval says nothing. `held`: on bare clay, where reaching the end is a word of its own.
pub(super) fn read(run: &Run, bare_m: f64, held: bool) -> Option<RunRead> {
    match *run {
        Run::Ruler { run_mm, error_mm } => Some(RunRead::Ruler {
            run_m: run_mm * 1e-3,
            error_m: error_mm.max(0.05) * 1e-3,
            whole: (run_mm - run_mm.round()).abs() < 1e-9,
        }),
        Run::Word {
            word,
            least_mm,
            most_mm,
        } => {
            let stuck = word == RunWord::DidNotMove;
            let to_the_end = matches!(word, RunWord::RanOffTheEnd | RunWord::ReachedTheFoot);
            let least_m = match least_mm {
                Some(mm) => mm * 1e-3,
                None if to_the_end => bare_m,
                None => -1.0,
            };
            let most_m = match most_mm {
                // Who says "to the foot" does not say how far beyond it would have gone.
                _ if to_the_end => f64::INFINITY,
                Some(mm) => mm * 1e-3,
                None if stuck => STUCK_UP_TO_M,
                None => f64::INFINITY,
            };
            // Who says "a lot" has not seen it reach the end.
            let most_m = if held && !to_the_end && bare_m > least_m.max(0.0) {
                most_m.min(bare_m)
            } else {
                most_m
            };
            let least_m = if least_m <= 0.0 || stuck {
                -1.0
            } else {
                least_m
            };
            (least_m > 0.0 || most_m.is_finite()).then_some(RunRead::Between {
                least_m,
                most_m,
                stuck,
            })
        }
    }
}

pub(super) fn used<'a>(
    logged: &[(usize, &Entry, Case)],
    weighed: impl Iterator<Item = &'a CaseLayer>,
    kilns: &[usize],
) -> Used {
    let mut used = Used::default();
    for layer in weighed {
        used.hands.extend(layer.hand);
    }
    for (_, entry, case) in logged {
        used.firings.extend(case.firing);
        if let (Some(kiln), Some(shelf)) = (case.firing.and_then(|f| kilns.get(f)), case.shelf) {
            used.shelves.push((*kiln, shelf));
        }
        for (upper, over) in case.layers.iter().enumerate() {
            used.glazes.push(over.glaze);
            used.hands.extend(over.hand);
            for under in case.layers[..upper]
                .iter()
                .filter(|under| under.glaze != over.glaze)
            {
                used.pairs
                    .push((over.glaze.min(under.glaze), over.glaze.max(under.glaze)));
            }
        }
        if entry.outcome.as_ref().is_some_and(|o| o.look.is_some()) {
            used.looks.extend(case.layers.last().map(|l| l.glaze));
        }
    }
    tidy(&mut used.firings);
    tidy(&mut used.glazes);
    tidy(&mut used.hands);
    tidy(&mut used.pairs);
    tidy(&mut used.shelves);
    tidy(&mut used.looks);
    used
}

fn tidy<T: Ord>(list: &mut Vec<T>) {
    order::sort(list);
    list.dedup();
}
