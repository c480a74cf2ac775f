//! The engine that the page's worker owns: one studio, what its log has taught, and the plan that is being looked at.
//!
//! Takes JSON text and identifiers; gives plain objects. Long work is cut into steps, so that the worker can hear newer questions.

use wasm_bindgen::prelude::*;

use super::convert::{refused, said, unknown, value};
use super::earlier::Earlier;
use super::known;
use super::places::InLesson;
use super::shapes::{Applied, Fresh, Kept, Opened, Records, WordMm};
use crate::draw::scene::Scene;
use crate::learn::posterior::Summary;
use crate::learn::{self, Changes, Learning, Options, Posterior};
use crate::predict;
use crate::predict::chart::{ChartCell, CoatChart};
use crate::predict::outcome::{FilmStory, PlanOutcome};
use crate::predict::story::{Followed, story_of};
use crate::studio::any::{self, AnyRecord};
use crate::studio::case::Case;
use crate::studio::document::{Entry, List, RunWord, Studio};
use crate::studio::error::Message;
use crate::studio::reading::{self, Quantity};
use crate::studio::walk::Word;
use crate::studio::{codes, edit, file};

/// The same studio and plan give the same answer, always.
pub(super) const SEED: u64 = 1;

/// How the log is learned from.
pub(super) const OPTIONS: Options = Options {
    draws: predict::FULL_DRAWS,
    seed: SEED,
};

pub(super) type Thrown<T> = Result<T, JsValue>;

/// The plan being looked at, with all that its drawings need.
pub(super) struct Shown {
    pub(super) entry: String,
    pub(super) scene: Scene,
    pub(super) story: FilmStory,
    pub(super) outcome: PlanOutcome,
    /// The film behind the story, for when more draws have moved the median.
    followed: Option<Followed>,
}

/// A chart being filled: the cells still to do, nearest to the plan first.
struct Charting {
    chart: CoatChart,
    left: Vec<(u32, u32)>,
}

/// The engine.
#[wasm_bindgen]
pub struct Engine {
    pub(super) studio: Studio,
    pub(super) posterior: Posterior,
    /// What was known before the last change of the log.
    before: Option<Summary>,
    unlearned: bool,
    /// What has changed since the log was last learned from whole.
    changes: Changes,
    /// Lines among them that what is known counts already.
    counted: usize,
    pub(super) learning: Option<Learning>,
    pub(super) shown: Option<Shown>,
    full: Option<(String, usize)>,
    charting: Option<Charting>,
    pub(super) lesson: Option<InLesson>,
    pub(super) earlier: Earlier,
}

impl Engine {
    /// An engine with no studio.
    #[allow(clippy::new_without_default, reason = "made by JavaScript only")]
    pub fn new() -> Self {
        let studio = Studio::default();
        let posterior = learn::prior(
            &studio,
            &Options {
                draws: 16,
                seed: SEED,
            },
        );
        Self {
            studio,
            posterior,
            before: None,
            unlearned: false,
            changes: Changes::default(),
            counted: 0,
            learning: None,
            shown: None,
            full: None,
            charting: None,
            lesson: None,
            earlier: Earlier::default(),
        }
    }

    /// The version of the core.
    pub fn version() -> String {
        env!("CARGO_PKG_VERSION").to_string()
    }

    /// A new studio's document.
    pub fn blank(name: &str, id: &str) -> String {
        file::write(&Studio::empty(id, name))
    }

    // ---- the document -----------------------------------------------------------------------------------------

    /// Opens a studio's document.
    pub fn open(&mut self, text: &str) -> Thrown<JsValue> {
        let studio = file::read(text).map_err(refused)?;
        Ok(self.take(studio, Vec::new()))
    }

    /// Puts a studio together from what was kept: its head, and triples of list, identifier and record.
    pub fn assemble(&mut self, head: &str, records: &JsValue) -> JsValue {
        let pairs: Vec<(String, String, String)> = js_sys::Array::from(records)
            .iter()
            .map(|pair| {
                let pair = js_sys::Array::from(&pair);
                let text = |at| pair.get(at).as_string().unwrap_or_default();
                (text(0), text(1), text(2))
            })
            .collect();
        let known = pairs.iter().filter_map(|(list, id, json)| {
            list_named(list).map(|list| (list, id.as_str(), json.as_str()))
        });
        let whole = file::assemble(head, known);
        let left_out = whole.left_out.into_iter().map(|one| one.why).collect();
        self.take(whole.studio, left_out)
    }

    /// Opens a studio's document that the page has a copy of, as it was kept by its own core: only the choices come back.
    pub fn open_kept(&mut self, text: &str) -> Thrown<JsValue> {
        let studio = file::read(text).map_err(refused)?;
        let settings = value(&studio.settings);
        self.have(studio);
        Ok(settings)
    }

    fn take(&mut self, studio: Studio, left_out: Vec<Message>) -> JsValue {
        self.have(studio);
        self.shape(left_out)
    }

    fn have(&mut self, studio: Studio) {
        self.posterior = learn::prior(&studio, &OPTIONS);
        self.before = None;
        self.earlier = Earlier::default();
        self.studio = studio;
        self.unlearned = true;
        (self.changes, self.counted) = (Changes::default(), 0);
        self.forget();
    }

    fn shape(&self, left_out: Vec<Message>) -> JsValue {
        value(&Opened {
            studio: file::write(&self.studio),
            settings: self.studio.settings.clone(),
            left_out,
        })
    }

    /// The studio that is open, once more.
    pub fn opened(&self) -> JsValue {
        self.shape(Vec::new())
    }

    pub(super) fn forget(&mut self) {
        self.lesson = None;
        self.shown = None;
        self.full = None;
        self.charting = None;
    }

    /// The document as it is to be saved.
    pub fn document(&self) -> String {
        file::write(&self.studio)
    }

    /// The document record by record.
    pub fn records(&self) -> JsValue {
        let mut records = Vec::new();
        for list in List::ALL {
            for (at, id) in any::ids(&self.studio, *list).into_iter().enumerate() {
                records.push(Kept {
                    list: name_of(*list).to_string(),
                    id: id.to_string(),
                    json: AnyRecord::copy_of(&self.studio, *list, at)
                        .map(|mut record| record.text()),
                });
            }
        }
        value(&Records {
            head: file::write_head(&self.studio),
            records,
        })
    }

    /// Applies an edit.
    pub fn edit(&mut self, text: &str) -> Thrown<JsValue> {
        let change = edit::read(text).map_err(refused)?;
        let applied = edit::apply(&mut self.studio, change, now_ms()).map_err(refused)?;
        Ok(value(&self.applied(applied)))
    }

    /// What a change means for all that was answered before, and for the page's store.
    pub(super) fn applied(&mut self, applied: edit::Applied) -> Applied {
        self.forget();
        let inverse = edit::write(&applied.inverse);
        if self.changes.note(&self.studio, applied.inverse) {
            self.unlearned = true;
            self.earlier = Earlier::default();
        }
        let changed = applied
            .changed
            .into_iter()
            .map(|one| Kept {
                list: name_of(one.list).to_string(),
                id: one.id,
                json: one.json,
            })
            .collect();
        Applied {
            changed,
            settings: applied.head.is_some().then(|| self.studio.settings.clone()),
            head: applied.head,
            inverse,
        }
    }

    /// A fresh identifier and a fresh code.
    pub fn fresh(&self, list: &str, name: &str) -> Thrown<JsValue> {
        let list = list_named(list).ok_or_else(|| unknown("list", list, "Reload the page."))?;
        Ok(value(&Fresh {
            id: codes::fresh_id(&self.studio, list, name, now_ms()),
            code: codes::fresh_code(&self.studio),
        }))
    }

    /// What a typed text means.
    pub fn read(&self, text: &str, quantity: &str) -> Thrown<JsValue> {
        let quantity = Quantity::named(quantity)
            .ok_or_else(|| unknown("quantity", quantity, "Reload the page."))?;
        match reading::read(text, quantity, &self.studio.settings) {
            Ok(reading) => Ok(value(&reading)),
            Err(not) => Err(said(not.to_string(), "")),
        }
    }

    /// What a word means for the run of an entry, mm: the studio's interval, or all that lies past the end.
    pub fn word_mm(&self, id: &str, word: &str) -> Thrown<JsValue> {
        let entry = self.entry(id)?;
        let word = RunWord::WORDS
            .iter()
            .position(|known| *known == word)
            .and_then(RunWord::at)
            .ok_or_else(|| unknown("word", word, "Reload the page."))?;
        let (least_mm, most_mm) = match RunWord::RANGES_MM.iter().find(|(known, ..)| *known == word)
        {
            Some((_, least_mm, most_mm)) => (*least_mm, *most_mm),
            None => {
                let case = Case::of(&self.studio, entry).map_err(refused)?;
                (Some(case.bare_below_m * 1e3), None)
            }
        };
        Ok(value(&WordMm { least_mm, most_mm }))
    }

    // ---- learning ---------------------------------------------------------------------------------------------

    /// Whether something in the log has changed since it was last learned from.
    pub fn unlearned(&self) -> bool {
        self.unlearned
    }

    /// Counts at once what has changed in the log, where it is little; what is known then serves until the whole log has been learned from. Gives
    /// whether the log was ever learned from, so that there is something to tell.
    pub fn count(&mut self) -> bool {
        if self.posterior.points.is_empty() {
            return false;
        }
        let (studio, known) = (&mut self.studio, &mut self.posterior);
        let counted = learn::update(studio, known, &self.changes, &OPTIONS);
        self.before = counted.and_then(|counted| counted.before);
        if self.before.is_some() {
            self.counted = self.changes.lines();
            // Back at the very log that was learned from.
            self.unlearned = self.counted > 0;
            if !self.unlearned {
                self.learning = None;
            }
            self.forget();
        }
        true
    }

    /// Starts to learn from the log; what was known before serves meanwhile.
    pub fn learn_start(&mut self) {
        self.unlearned = false;
        self.learning = Some(Learning::start(&self.studio, &OPTIONS));
    }

    /// Goes on a little; gives the share that is done, 1 when what was learned serves, below 0 while there is nothing to do but to wait for what a helper draws.
    pub fn learn_step(&mut self) -> f64 {
        let Some(mut learning) = self.learning.take() else {
            return 1.0;
        };
        let progress = learning.step();
        if !progress.ready {
            self.learning = Some(learning);
            return match progress.waits {
                true => -1.0,
                false => progress.done.clamp(0.0, 0.999),
            };
        }
        let known = learning.finish(&self.studio);
        let before = std::mem::replace(&mut self.posterior, known);
        // What was counted at once has been told of. Before its log was read a studio knew nothing: that is no change to tell of either.
        if self.counted == 0 || self.counted != self.changes.lines() {
            self.before =
                (before.summary.entries + before.summary.weigh_ins > 0).then_some(before.summary);
        }
        (self.changes, self.counted) = (Changes::default(), 0);
        self.forget();
        1.0
    }

    /// How many changes of the log what is known does not count; at least one where more than lines has changed.
    fn waiting(&self) -> usize {
        let lines = self.changes.lines().abs_diff(self.counted);
        lines.max(usize::from(!self.changes.few()))
    }

    /// What is known now, in words.
    pub fn learned(&self) -> JsValue {
        value(&known::learned(
            &self.studio,
            &self.posterior,
            self.before.as_ref(),
            [self.counted, self.waiting()],
        ))
    }

    // ---- answers ----------------------------------------------------------------------------------------------

    pub(super) fn entry(&self, id: &str) -> Thrown<&Entry> {
        self.studio
            .entries
            .iter()
            .find(|entry| entry.id == id)
            .ok_or_else(|| unknown("plan", id, "Choose another."))
    }

    fn show(&mut self, id: &str, outcome: PlanOutcome) -> Thrown<()> {
        let before = self.shown.take().filter(|shown| shown.entry == id);
        let mut followed = before.and_then(|shown| shown.followed);
        let entry = self.entry(id)?;
        let case = Case::of(&self.studio, entry).map_err(refused)?;
        let scene = Scene::of(&self.studio, entry, &case.profile);
        let run_mm = outcome.run_mm.p50;
        let story = story_of(&case, &self.posterior, run_mm, &mut followed);
        self.shown = Some(Shown {
            entry: id.to_string(),
            scene,
            story,
            outcome,
            followed,
        });
        Ok(())
    }

    /// The answer from few draws.
    pub fn quick(&mut self, id: &str) -> Thrown<JsValue> {
        let entry = self.entry(id)?;
        let outcome =
            predict::quick(&self.studio, &self.posterior, entry, SEED).map_err(refused)?;
        let given = value(&outcome);
        self.show(id, outcome)?;
        Ok(given)
    }

    /// Makes the full answer ready.
    pub fn predict_start(&mut self, id: &str, draws: usize) {
        self.full = Some((id.to_string(), draws));
    }

    /// Goes on with the full answer; gives it when it is whole, `undefined` before.
    pub fn predict_step(&mut self) -> Thrown<JsValue> {
        let Some((id, draws)) = self.full.take() else {
            return Err(said("Nothing was asked.".to_string(), "Ask again."));
        };
        let entry = self.entry(&id)?;
        let outcome =
            predict::predict(&self.studio, &self.posterior, entry, draws, SEED).map_err(refused)?;
        let given = value(&outcome);
        self.show(&id, outcome)?;
        Ok(given)
    }

    /// Makes a coat chart ready.
    pub fn chart_start(&mut self, id: &str, draws: usize) -> Thrown<()> {
        let entry = self.entry(id)?;
        let chart =
            CoatChart::new(&self.studio, &self.posterior, entry, draws, SEED).map_err(refused)?;
        let unders = if chart.under.is_empty() {
            vec![0]
        } else {
            chart.under.clone()
        };
        let mut left: Vec<(u32, u32)> = unders
            .iter()
            .flat_map(|under| chart.over.iter().map(|over| (*under, *over)))
            .collect();
        left.reverse();
        self.charting = Some(Charting { chart, left });
        Ok(())
    }

    /// The next cell or none.
    pub fn chart_step(&mut self) -> JsValue {
        let mut cells: Vec<ChartCell> = Vec::new();
        if let Some(charting) = &mut self.charting
            && let Some((under, over)) = charting.left.pop()
        {
            cells.push(
                charting
                    .chart
                    .cell(&self.studio, &self.posterior, under, over),
            );
        }
        value(&cells)
    }

    /// Whether the chart is filled.
    pub fn chart_done(&self) -> bool {
        self.charting
            .as_ref()
            .is_none_or(|charting| charting.left.is_empty())
    }

    /// For tests: traps this instance as a bug would.
    pub fn trap(&self) {
        core::arch::wasm32::unreachable()
    }
}

/// Milliseconds since 1970 UTC by the browser's clock.
pub(super) fn now_ms() -> u64 {
    js_sys::Date::now().max(0.0) as u64
}

fn list_named(name: &str) -> Option<List> {
    List::WORDS
        .iter()
        .position(|word| *word == name)
        .and_then(List::at)
}

fn name_of(list: List) -> &'static str {
    List::WORDS.get(list.place()).copied().unwrap_or_default()
}
