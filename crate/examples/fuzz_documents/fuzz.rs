//! What must hold of each mutated input.
//!
//! Takes a good document, how many inputs and a seed; gives counts. Deterministic: one seed, one set of inputs, however many
//! threads go through it.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;

use glazefall::studio::csv::{self, Separator, Style, Table};
use glazefall::studio::document::{List, Studio};
use glazefall::studio::error::{Message, Refusal};
use glazefall::studio::{check, edit, file, merge};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

mod mutate;

use mutate::mutated;

/// What came of all inputs.
#[derive(Debug, Default)]
pub struct Counts {
    /// Inputs tried.
    pub inputs: u64,
    /// Taken, and within every bound.
    pub taken: u64,
    /// Refused with words.
    pub refused: u64,
    /// Panicked, taken beyond a bound, or refused without saying what is wrong.
    pub broken: u64,
    /// Refusals by their kind.
    pub by_kind: BTreeMap<String, u64>,
    /// The first few that broke.
    pub samples: Vec<String>,
}

impl Counts {
    /// Those of another thread too.
    fn add(&mut self, other: Self) {
        self.inputs += other.inputs;
        self.taken += other.taken;
        self.refused += other.refused;
        self.broken += other.broken;
        for (kind, count) in other.by_kind {
            *self.by_kind.entry(kind).or_default() += count;
        }
        self.samples.extend(other.samples);
    }

    /// As one JSON object.
    pub fn json(&self) -> String {
        let kinds: Vec<String> = self
            .by_kind
            .iter()
            .map(|(kind, count)| format!("\"{kind}\": {count}"))
            .collect();
        format!(
            "{{\"inputs\": {}, \"taken\": {}, \"refused\": {}, \"broken\": {}, \"refusals\": {{{}}}, \"samples\": {:?}}}",
            self.inputs,
            self.taken,
            self.refused,
            self.broken,
            kinds.join(", "),
            self.samples
        )
    }
}

/// Inputs that share a stream of the generator.
const BLOCK: u64 = 500;

/// The entries that are mutated: one reading and one word, one layer and two, brush, dip and spray, a tile and a jar that is
/// still a plan. Few, so that a million inputs take minutes.
const ENTRIES: [&str; 5] = ["e-2", "e-15", "e-31", "e-47", "plan-1"];

/// What is mutated, and the studio it came from.
struct Source {
    studio: Studio,
    document: String,
    tables: [(Table, String); 2],
    edits: Vec<String>,
}

impl Source {
    fn of(mut studio: Studio) -> Self {
        studio
            .entries
            .retain(|entry| ENTRIES.contains(&entry.id.as_str()));
        studio
            .forms
            .retain(|form| matches!(form.id.as_str(), "test-tile" | "fluted-jar"));
        studio.weigh_ins.truncate(2);
        let commas = Style {
            separator: Separator::Semicolon,
            decimal_comma: true,
        };
        Self {
            document: file::write(&studio),
            tables: [
                (
                    Table::Log,
                    csv::write(&studio, Table::Log, Style::default()),
                ),
                (
                    Table::WeighIns,
                    csv::write(&studio, Table::WeighIns, commas),
                ),
            ],
            edits: studio
                .entries
                .iter()
                .filter_map(|entry| edit::record_text(&studio, List::Entries, &entry.id))
                .map(|record| {
                    format!("{{\"kind\":\"put\",\"list\":\"entries\",\"record\":{record}}}")
                })
                .collect(),
            studio,
        }
    }
}

/// Runs `inputs` mutations of `document`, on all cores.
pub fn run(document: &str, inputs: u64, seed: u64) -> Counts {
    let Ok(demo) = file::read(document) else {
        return Counts {
            broken: 1,
            ..Counts::default()
        };
    };
    let source = Source::of(demo);
    let next = AtomicU64::new(0);
    let work = || {
        let mut counts = Counts::default();
        loop {
            let block = next.fetch_add(1, Ordering::Relaxed);
            let first = block * BLOCK;
            if first >= inputs {
                return counts;
            }
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            rng.set_stream(block);
            for number in first..inputs.min(first + BLOCK) {
                one(&source, number, &mut rng, &mut counts);
            }
        }
    };
    let mut counts = Counts::default();
    thread::scope(|scope| {
        let threads = thread::available_parallelism().map_or(1, usize::from);
        let running: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        for one in running {
            match one.join() {
                Ok(part) => counts.add(part),
                // Every input is caught by itself: this one died outside of them.
                Err(_) => counts.broken += 1,
            }
        }
    });
    counts
}

fn one(source: &Source, number: u64, rng: &mut ChaCha8Rng, counts: &mut Counts) {
    counts.inputs += 1;
    let studio = &source.studio;
    let (input, outcome) = match number % 10 {
        0..=5 => {
            let input = mutated(&source.document, rng);
            let outcome = catch_unwind(|| document_holds(&input));
            (input, outcome)
        }
        6 => {
            let input = mutated(&source.edits[rng.random_range(0..source.edits.len())], rng);
            let outcome = catch_unwind(AssertUnwindSafe(|| edit_holds(studio, &input)));
            (input, outcome)
        }
        _ => {
            let (table, text) = &source.tables[rng.random_range(0..2)];
            let input = mutated(text, rng);
            let outcome = catch_unwind(AssertUnwindSafe(|| table_holds(studio, &input, *table)));
            (input, outcome)
        }
    };
    match outcome {
        Ok(Ok(None)) => counts.taken += 1,
        Ok(Ok(Some(kind))) => {
            counts.refused += 1;
            *counts.by_kind.entry(kind).or_default() += 1;
        }
        Ok(Err(why)) => broke(counts, why, &input),
        Err(_) => broke(counts, "panicked".into(), &input),
    }
}

fn broke(counts: &mut Counts, why: String, input: &str) {
    counts.broken += 1;
    if counts.samples.len() < 5 {
        let near: String = input.chars().take(2000).collect();
        counts.samples.push(format!("{why}: {near}"));
    }
}

/// The name of a refusal's cause.
fn kind_of(refusal: &Refusal) -> String {
    let cause = format!("{:?}", refusal.cause);
    cause
        .chars()
        .take_while(|letter| letter.is_alphanumeric())
        .collect()
}

/// What is wrong with the whole of a file or table, not with a place in it.
const OF_THE_WHOLE: [&str; 5] = [
    "EmptyTable",
    "FileTooLong",
    "FromTheFuture",
    "NoSuchVersion",
    "NotAStudio",
];

/// Whether a refusal says what is wrong, where, and what to do.
fn says(kind: String, place: &str, message: &Message) -> Result<Option<String>, String> {
    let Message {
        problem, remedy, ..
    } = message;
    if problem.len() < 10 || remedy.len() < 5 || problem.len() > 2000 {
        return Err(format!(
            "a refusal that says nothing, or too much: {message:?}"
        ));
    }
    let where_it_is = !place.is_empty() || problem.contains("line ");
    if !where_it_is && !OF_THE_WHOLE.contains(&kind.as_str()) {
        return Err(format!("a refusal without a place, {kind}: {message:?}"));
    }
    Ok(Some(kind))
}

fn refused(refusal: &Refusal) -> Result<Option<String>, String> {
    says(kind_of(refusal), &refusal.place, &refusal.message())
}

fn document_holds(input: &str) -> Result<Option<String>, String> {
    match file::read(input) {
        Err(refusal) => refused(&refusal),
        Ok(studio) => {
            sound(&studio)?;
            let again = file::read(&file::write(&studio))
                .map_err(|refusal| format!("does not read back: {refusal}"))?;
            if again != studio {
                return Err("reads back as something else".into());
            }
            Ok(None)
        }
    }
}

fn edit_holds(studio: &Studio, input: &str) -> Result<Option<String>, String> {
    let edit = match edit::read(input) {
        Ok(edit) => edit,
        Err(refusal) => return refused(&refusal),
    };
    let mut changed = studio.clone();
    match edit::apply(&mut changed, edit, 1) {
        Err(_) if changed != *studio => Err("half applied".into()),
        Err(refusal) => refused(&refusal),
        Ok(applied) => {
            sound(&changed)?;
            let mut merged = studio.clone();
            merge::merge(&mut merged, &changed)
                .map_err(|refusal| format!("does not merge: {refusal}"))?;
            sound(&merged)?;
            edit::apply(&mut changed, applied.inverse, 2)
                .map_err(|refusal| format!("not taken back: {refusal}"))?;
            if changed.entries.len() != studio.entries.len() {
                return Err("taken back to something else".into());
            }
            Ok(None)
        }
    }
}

fn table_holds(studio: &Studio, input: &str, table: Table) -> Result<Option<String>, String> {
    let understood = match csv::read(input, studio, table, 1) {
        Ok(understood) => understood,
        Err(refusal) => return refused(&refusal),
    };
    if let Some(problem) = understood.problems.into_iter().next() {
        if problem.line == 0 {
            return Err("a problem on no line".into());
        }
        let place = format!("line {}", problem.line);
        return says("OnALine".into(), &place, &problem.message);
    }
    let mut changed = studio.clone();
    match edit::apply(&mut changed, understood.edit, 1) {
        Err(_) if changed != *studio => Err("half applied".into()),
        Err(refusal) => refused(&refusal),
        Ok(_) => sound(&changed).map(|()| None),
    }
}

/// Whether a studio that was taken keeps every bound, looked at once more by other eyes than the reader's.
fn sound(studio: &Studio) -> Result<(), String> {
    check::check(studio).map_err(|refusals| format!("taken beyond a bound: {}", refusals[0]))?;
    for entry in &studio.entries {
        let case = glazefall::studio::case::Case::of(studio, entry)
            .map_err(|refusal| format!("no case: {refusal}"))?;
        for layer in &case.layers {
            let fine =
                (1e-6..1e3).contains(&layer.mass_kg_per_m2) && layer.dln_mass_dsg.is_finite();
            let within = (1.02..=1.9).contains(&layer.sg)
                && layer.from_m >= 0.0
                && layer.to_m > layer.from_m;
            if !fine || !within {
                return Err(format!("an odd layer in {}: {layer:?}", entry.id));
            }
        }
        if !(case.sin_slope > 0.0 && case.around_m > 0.0 && case.bare_below_m >= 0.0) {
            return Err(format!("an odd wall in {}", entry.id));
        }
    }
    let text = file::write(studio);
    if text.contains(['\u{202e}', '\u{0}', '\u{200b}', '<']) {
        return Err("hidden letters or markup were taken as they are".into());
    }
    Ok(())
}
