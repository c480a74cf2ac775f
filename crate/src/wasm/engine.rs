//! The engine that the page's worker owns: one studio, what its log has taught, and the plan that is being looked at.
//!
//! Takes JSON text and identifiers; gives plain objects. Long work is cut into steps, so that the worker can hear newer questions.

use wasm_bindgen::prelude::*;

use super::convert::{refused, said, value, words};
use super::known;
use super::places::InLesson;
use super::shapes::{Applied, Fresh, Kept, MomentName, Opened, Records, WordMm};
use crate::draw::film::Moment;
use crate::draw::lens::Spot;
use crate::draw::picture::{Picture, View};
use crate::draw::scene::Scene;
use crate::draw::{chart, lens, pile, pot, twenty};
use crate::learn::posterior::Summary;
use crate::learn::{self, Learning, Options, Posterior};
use crate::predict;
use crate::predict::chart::{ChartCell, CoatChart};
use crate::predict::outcome::{FilmStory, PlanOutcome};
use crate::predict::simulate::WORDS;
use crate::studio::case::Case;
use crate::studio::document::{Entry, List, RunWord, Studio, Units};
use crate::studio::error::Message;
use crate::studio::reading::{self, Quantity};
use crate::studio::walk::Word;
use crate::studio::{codes, decimal, edit, file};

/// The same studio and plan give the same answer, always.
pub(super) const SEED: u64 = 1;

/// How the log is learned from.
const OPTIONS: Options = Options {
    draws: predict::FULL_DRAWS,
    seed: SEED,
};

pub(super) type Thrown<T> = Result<T, JsValue>;

/// The plan being looked at, with all that its drawings need.
struct Shown {
    entry: String,
    scene: Scene,
    story: FilmStory,
    outcome: PlanOutcome,
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
    learning: Option<Learning>,
    shown: Option<Shown>,
    full: Option<(String, usize)>,
    charting: Option<Charting>,
    pub(super) lesson: Option<InLesson>,
}

#[wasm_bindgen]
impl Engine {
    /// An engine with no studio.
    #[wasm_bindgen(constructor)]
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
            learning: None,
            shown: None,
            full: None,
            charting: None,
            lesson: None,
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
        let studio = file::read(text).map_err(|refusal| refused(&refusal))?;
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

    fn take(&mut self, studio: Studio, left_out: Vec<Message>) -> JsValue {
        self.posterior = learn::prior(&studio, &OPTIONS);
        self.before = None;
        self.studio = studio;
        self.unlearned = true;
        self.forget();
        self.shape(left_out)
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
        macro_rules! keep {
            ($($list:ident: $name:expr),+ $(,)?) => {
                $(for one in &self.studio.$list {
                    records.push(Kept { list: name_of($name).to_string(), id: one.id.clone(), json: Some(file::write_record(one)) });
                })+
            };
        }
        keep!(
            glazes: List::Glazes,
            hands: List::Hands,
            bodies: List::Bodies,
            firings: List::Firings,
            forms: List::Forms,
            entries: List::Entries,
            weigh_ins: List::WeighIns,
            photos: List::Photos,
        );
        value(&Records {
            head: file::write_head(&self.studio),
            records,
        })
    }

    /// Applies an edit.
    pub fn edit(&mut self, text: &str) -> Thrown<JsValue> {
        let change = edit::read(text).map_err(|refusal| refused(&refusal))?;
        let applied =
            edit::apply(&mut self.studio, change, now_ms()).map_err(|refusal| refused(&refusal))?;
        Ok(value(&self.applied(applied)))
    }

    /// What a change means for all that was answered before, and for the page's store.
    pub(super) fn applied(&mut self, applied: edit::Applied) -> Applied {
        self.forget();
        self.unlearned |= applied.changed.iter().any(|one| self.teaches(one));
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
            inverse: edit::write(&applied.inverse),
        }
    }

    /// Whether a changed record bears on what the log has taught: all but photographs and plans do.
    fn teaches(&self, changed: &edit::Changed) -> bool {
        match changed.list {
            List::Photos => false,
            List::Entries => match (
                &changed.json,
                self.studio
                    .entries
                    .iter()
                    .find(|entry| entry.id == changed.id),
            ) {
                (Some(_), Some(entry)) => entry.outcome.is_some(),
                _ => true,
            },
            _ => true,
        }
    }

    /// A fresh identifier and a fresh code.
    pub fn fresh(&self, list: &str, name: &str) -> Thrown<JsValue> {
        let list = list_named(list)
            .ok_or_else(|| said(format!("There is no list “{list}”."), "Reload the page."))?;
        Ok(value(&Fresh {
            id: codes::fresh_id(&self.studio, list, name, now_ms()),
            code: codes::fresh_code(&self.studio),
        }))
    }

    /// What a typed text means.
    pub fn read(&self, text: &str, quantity: &str) -> Thrown<JsValue> {
        let quantity = Quantity::named(quantity).ok_or_else(|| {
            said(
                format!("There is no quantity “{quantity}”."),
                "Reload the page.",
            )
        })?;
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
            .ok_or_else(|| said(format!("There is no word “{word}”."), "Reload the page."))?;
        let (least_mm, most_mm) = match WORDS.iter().find(|(known, ..)| *known == word) {
            Some((_, least_mm, most_mm)) => (*least_mm, *most_mm),
            None => {
                let case = Case::of(&self.studio, entry).map_err(|refusal| refused(&refusal))?;
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

    /// Starts to learn from the log; what was known before serves meanwhile.
    pub fn learn_start(&mut self) {
        self.unlearned = false;
        self.learning = Some(Learning::start(&self.studio, &OPTIONS));
    }

    /// Goes on a little; gives the share that is done, 1 when what was learned serves.
    pub fn learn_step(&mut self) -> f64 {
        let Some(mut learning) = self.learning.take() else {
            return 1.0;
        };
        let progress = learning.step();
        if !progress.ready {
            self.learning = Some(learning);
            return progress.done.clamp(0.0, 0.999);
        }
        let known = learning.finish(&self.studio);
        let before = std::mem::replace(&mut self.posterior, known);
        // Before its log was read a studio knew nothing: that is no change to tell of.
        self.before =
            (before.summary.entries + before.summary.weigh_ins > 0).then_some(before.summary);
        self.forget();
        1.0
    }

    /// What is known now, in words.
    pub fn learned(&self) -> JsValue {
        value(&known::learned(
            &self.studio,
            &self.posterior,
            self.before.as_ref(),
        ))
    }

    // ---- answers ----------------------------------------------------------------------------------------------

    pub(super) fn entry(&self, id: &str) -> Thrown<&Entry> {
        self.studio
            .entries
            .iter()
            .find(|entry| entry.id == id)
            .ok_or_else(|| said(format!("There is no plan “{id}”."), "Choose another."))
    }

    fn show(&mut self, id: &str, outcome: PlanOutcome) -> Thrown<()> {
        let entry = self.entry(id)?;
        let case = Case::of(&self.studio, entry).map_err(|refusal| refused(&refusal))?;
        let scene = Scene::of(&self.studio, entry, &case.profile);
        let story = predict::story(&self.studio, &self.posterior, entry, outcome.run_mm.p50)
            .map_err(|refusal| refused(&refusal))?;
        self.shown = Some(Shown {
            entry: id.to_string(),
            scene,
            story,
            outcome,
        });
        Ok(())
    }

    /// The answer from few draws.
    pub fn quick(&mut self, id: &str) -> Thrown<JsValue> {
        let entry = self.entry(id)?;
        let outcome = predict::quick(&self.studio, &self.posterior, entry, SEED)
            .map_err(|refusal| refused(&refusal))?;
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
        let outcome = predict::predict(&self.studio, &self.posterior, entry, draws, SEED)
            .map_err(|refusal| refused(&refusal))?;
        let given = value(&outcome);
        self.show(&id, outcome)?;
        Ok(given)
    }

    /// Makes a coat chart ready.
    pub fn chart_start(&mut self, id: &str, draws: usize) -> Thrown<()> {
        let entry = self.entry(id)?;
        let chart = CoatChart::new(&self.studio, entry, draws, SEED)
            .map_err(|refusal| refused(&refusal))?;
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

    // ---- pictures ---------------------------------------------------------------------------------------------

    fn shown(&mut self, id: &str) -> Thrown<&Shown> {
        if self.shown.as_ref().is_none_or(|shown| shown.entry != id) {
            self.quick(id)?;
        }
        self.shown.as_ref().ok_or_else(|| {
            said(
                "There is nothing to draw.".to_string(),
                "Choose another plan.",
            )
        })
    }

    /// The piece at a moment (0 raw, then the moments of the firing, −1 the last), with the lens at a spot or nowhere.
    pub fn pot(
        &mut self,
        id: &str,
        moment: i32,
        lens: &str,
        width_px: f64,
        height_px: f64,
    ) -> Thrown<JsValue> {
        let shown = self.shown(id)?;
        let view = View {
            width_px,
            height_px,
            prefix: "pot",
        };
        let spot = spot_named(lens);
        Ok(picture(&pot::draw(
            &shown.scene,
            &shown.story,
            &shown.outcome,
            moment_at(moment, &shown.story),
            spot,
            &view,
        )))
    }

    /// Twenty such pots.
    pub fn twenty(&mut self, id: &str, width_px: f64, height_px: f64) -> Thrown<JsValue> {
        let shown = self.shown(id)?;
        Ok(picture(&twenty::draw(
            &shown.scene,
            &shown.outcome,
            &View {
                width_px,
                height_px,
                prefix: "twenty",
            },
        )))
    }

    /// The lens at a spot and moment, as a picture of its own.
    pub fn lens(
        &mut self,
        id: &str,
        moment: i32,
        spot: &str,
        width_px: f64,
        height_px: f64,
    ) -> Thrown<JsValue> {
        let spot = spot_named(spot)
            .ok_or_else(|| said(format!("There is no spot “{spot}”."), "Choose another."))?;
        let shown = self.shown(id)?;
        let view = View {
            width_px,
            height_px,
            prefix: "lens",
        };
        Ok(picture(&lens::draw(
            &shown.scene,
            &shown.story,
            &shown.outcome,
            moment_at(moment, &shown.story),
            spot,
            &view,
        )))
    }

    /// The layers of the pile, the wall first, the clay last.
    pub fn strata(&mut self, id: &str, width_px: f64, height_px: f64) -> Thrown<JsValue> {
        let layers = self.entry(id)?.layers.len();
        let scene = &self.shown(id)?.scene;
        let pictures = js_sys::Array::new();
        for at in 0..layers {
            let prefix = format!("layer-{at}");
            pictures.push(&picture(&pile::slab(
                scene,
                at,
                &View {
                    width_px,
                    height_px,
                    prefix: &prefix,
                },
            )));
        }
        pictures.push(&picture(&pile::clay(&View {
            width_px,
            height_px,
            prefix: "clay",
        })));
        Ok(pictures.into())
    }

    /// One swatch per glaze: pairs of identifier and picture.
    pub fn swatches(&self, width_px: f64, height_px: f64) -> JsValue {
        let pairs = js_sys::Array::new();
        for (index, glaze) in self.studio.glazes.iter().enumerate() {
            let prefix = format!("glaze-{index}");
            let drawn = pile::swatch(
                glaze,
                index,
                &View {
                    width_px,
                    height_px,
                    prefix: &prefix,
                },
            );
            pairs.push(&js_sys::Array::of2(
                &JsValue::from_str(&glaze.id),
                &picture(&drawn),
            ));
        }
        pairs.into()
    }

    /// What the moments of the scrubber are called.
    pub fn moments(&mut self, id: &str) -> Thrown<JsValue> {
        let units = self.studio.settings.units;
        let story = &self.shown(id)?.story;
        let mut names = vec![MomentName {
            label: "raw".to_string(),
            words: "Before the firing, the raw coats as they lie".to_string(),
        }];
        let last = story.fired.len().saturating_sub(1);
        let mut before_c = f64::NEG_INFINITY;
        for (at, moment) in story.fired.iter().enumerate() {
            let celsius = moment.temperature_c;
            let way = if celsius >= before_c {
                "rising"
            } else {
                "falling"
            };
            before_c = celsius;
            let temperature = match units {
                Units::Metric => format!("{celsius:.0} °C"),
                Units::Imperial => format!("{:.0} °F", celsius * 1.8 + 32.0),
            };
            let done = format!("{:.0} % of the flow done", 100.0 * moment.phi_share);
            names.push(if at == last {
                MomentName {
                    label: "fired".to_string(),
                    words: "After the firing".to_string(),
                }
            } else {
                MomentName {
                    label: format!("{temperature}, {way}"),
                    words: format!("{temperature}, {way}, {done}"),
                }
            });
        }
        Ok(value(&names))
    }

    /// The firing of a plan as a curve, a moment marked on it.
    pub fn firing(
        &mut self,
        id: &str,
        moment: i32,
        width_px: f64,
        height_px: f64,
    ) -> Thrown<JsValue> {
        let units = self.studio.settings.units;
        let entry = self.entry(id)?;
        let case = Case::of(&self.studio, entry).map_err(|refusal| refused(&refusal))?;
        let story = &self.shown(id)?.story;
        let share = match moment {
            0 => None,
            fired if fired > 0 => story
                .fired
                .get(fired.unsigned_abs() as usize - 1)
                .map(|at| at.phi_share),
            _ => Some(1.0),
        };
        let view = View {
            width_px,
            height_px,
            prefix: "firing",
        };
        Ok(picture(&chart::firing(&case.schedule, share, units, &view)))
    }

    /// Where the lens can look.
    pub fn spots(&self, id: &str) -> Thrown<JsValue> {
        let entry = self.entry(id)?;
        let textured = self
            .studio
            .forms
            .iter()
            .any(|form| form.id == entry.form && form.texture.is_some());
        let overlap = entry.layers.len() > 1;
        let spots: Vec<&str> = [
            ("rim", true),
            ("overlap", overlap),
            ("texture", textured),
            ("edge", true),
            ("foot", true),
        ]
        .into_iter()
        .filter_map(|(name, there)| there.then_some(name))
        .collect();
        Ok(words(&spots))
    }

    /// For tests: traps this instance as a bug would.
    pub fn trap(&self) {
        core::arch::wasm32::unreachable()
    }
}

pub(super) fn picture(drawn: &Picture) -> JsValue {
    let object = js_sys::Object::new();
    for (key, text) in [("svg", &drawn.svg), ("words", &drawn.words)] {
        // Setting a key of a fresh object cannot fail.
        let _ = js_sys::Reflect::set(&object, &JsValue::from_str(key), &JsValue::from_str(text));
    }
    object.into()
}

fn moment_at(moment: i32, story: &FilmStory) -> Moment {
    match moment {
        0 => Moment::Raw,
        fired if fired > 0 => Moment::Fired(fired.unsigned_abs() as usize - 1),
        _ => Moment::Fired(story.fired.len().saturating_sub(1)),
    }
}

fn spot_named(name: &str) -> Option<Spot> {
    match name {
        "rim" => Some(Spot::Rim),
        "overlap" => Some(Spot::Overlap),
        "texture" => Some(Spot::Texture),
        "edge" => Some(Spot::Edge),
        "foot" => Some(Spot::Foot),
        other => decimal::parse(other)
            .filter(|down| down.is_finite())
            .map(Spot::At),
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
