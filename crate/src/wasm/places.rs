//! What the places beside Piece ask of the engine: tables and other copies of the studio, weigh-ins, pictures of what is known,
//! a load's forecasts, the lesson, the next tiles.
//!
//! Takes JSON text, typed text and identifiers; gives plain objects.

use wasm_bindgen::prelude::*;

use super::convert::{refused, said, value};
use super::engine::{Engine, SEED, Thrown, now_ms};
use super::pictures::picture;
use super::shapes::{MergeDone, TableRead};
use super::weighed::{self, Typed};
use crate::draw::film::Moment;
use crate::draw::picture::{Picture, View};
use crate::draw::scene::Scene;
use crate::draw::{known, lesson, pot};
use crate::physics::firing::{FiringClock, SEAL_K, SLOPE_DECADES_PER_100K};
use crate::predict::outcome::{FilmStory, PlanOutcome};
use crate::predict::{self, Lesson};
use crate::studio::any::AnyRecord;
use crate::studio::case::Case;
use crate::studio::check::Checks;
use crate::studio::csv::{self, Separator, Style, Table};
use crate::studio::document::{Entry, How, Studio};
use crate::studio::{edit, file, merge};

/// One stack of the lesson, with all that its drawing needs.
struct Stack {
    scene: Scene,
    story: FilmStory,
    outcome: PlanOutcome,
    clock: Option<FiringClock>,
}

/// The lesson that is being looked at.
pub struct InLesson {
    lesson: Lesson,
    stacks: Vec<Stack>,
}

fn table(name: &str) -> Table {
    match name {
        "weigh_ins" => Table::WeighIns,
        _ => Table::Log,
    }
}

fn set(object: &js_sys::Object, key: &str, to: &JsValue) {
    // Setting a key of a fresh object cannot fail.
    let _ = js_sys::Reflect::set(object, &JsValue::from_str(key), to);
}

/// An entry that is only thought of, held to the bounds of the document.
fn thought_of(studio: &Studio, json: &str) -> Thrown<Entry> {
    let entry: Entry = file::read_record(json).map_err(refused)?;
    let mut record = AnyRecord::Entry(Box::new(entry));
    if let Some(refusal) = Checks::new(studio).one(&mut record).into_iter().next() {
        return Err(refused(refusal));
    }
    match record {
        AnyRecord::Entry(entry) => Ok(*entry),
        _ => Err(said("This is no plan.".to_string(), "Choose another.")),
    }
}

impl Engine {
    // ---- tables and copies ------------------------------------------------------------------------------------

    /// The log or the weigh-ins as a table. `comma`: numbers have a decimal comma, and cells stand between semicolons.
    pub fn table_out(&self, which: &str, comma: bool) -> String {
        let separator = if comma {
            Separator::Semicolon
        } else {
            Separator::Comma
        };
        csv::write(
            &self.studio,
            table(which),
            Style {
                separator,
                decimal_comma: comma,
            },
        )
    }

    /// How a table is understood; nothing is taken.
    pub fn table_in(&self, which: &str, text: &str) -> Thrown<JsValue> {
        let read = csv::read(text, &self.studio, table(which), now_ms()).map_err(refused)?;
        Ok(value(&TableRead {
            separator: read.separator.letter().to_string(),
            columns: read.columns,
            new: read.new,
            changed: read.changed,
            same: read.same,
            problems: read.problems,
            edit: edit::write(&read.edit),
        }))
    }

    /// Merges another copy of this studio into it.
    pub fn merge(&mut self, text: &str) -> Thrown<JsValue> {
        let theirs = file::read(text).map_err(refused)?;
        let merged = merge::merge(&mut self.studio, &theirs).map_err(refused)?;
        Ok(value(&MergeDone {
            applied: self.applied(merged.applied),
            new: merged.new,
            newer: merged.newer,
            removed: merged.removed,
            conflicts: merged.conflicts,
        }))
    }

    /// The document without its photographs.
    pub fn document_without_photos(&self) -> String {
        let mut plain = Studio {
            photos: Vec::new(),
            ..self.studio.clone()
        };
        for entry in &mut plain.entries {
            entry.photo = None;
        }
        file::write(&plain)
    }

    // ---- weigh-ins --------------------------------------------------------------------------------------------

    /// What a weigh-in says as it is typed: numbers, sentences and the record, or under `wrong` what is not understood.
    #[allow(
        clippy::too_many_arguments,
        reason = "one per field of the form, as typed"
    )]
    pub fn weigh(
        &self,
        hand: &str,
        glaze: &str,
        method: &str,
        count: f64,
        area: &str,
        before: &str,
        after: &str,
        sg: &str,
        seconds: &str,
    ) -> Thrown<JsValue> {
        let units = count.clamp(0.0, 1e6) as u32;
        let how = match method {
            "spray" => How::Spray { passes: units },
            "dip" => How::Dip {
                dips: units,
                seconds: 0.0,
            },
            _ => How::Brush { coats: units },
        };
        let typed = Typed {
            hand,
            glaze,
            how,
            area,
            before,
            after,
            sg,
            seconds,
        };
        let answer = js_sys::Object::new();
        let wrong = js_sys::Object::new();
        match typed.weigh_in(&self.studio) {
            Ok(weigh_in) => {
                let mut said =
                    weighed::judge(&self.studio, &self.posterior, &weigh_in).map_err(refused)?;
                said.record = AnyRecord::WeighIn(Box::new(weigh_in)).text();
                set(&answer, "weighed", &value(&said));
            }
            Err(fields) => {
                for (field, why) in fields {
                    set(&wrong, field, &JsValue::from_str(&why));
                }
                set(&answer, "weighed", &JsValue::NULL);
            }
        }
        set(&answer, "wrong", &wrong);
        Ok(answer.into())
    }

    // ---- what is known ----------------------------------------------------------------------------------------

    /// What is known of glazes, hands and firings, and how far it can be trusted, as pictures.
    pub fn known(&self, width_px: f64) -> JsValue {
        let summary = &self.posterior.summary;
        let studio = &self.studio;
        let pictures = js_sys::Object::new();
        let view = |prefix| View {
            width_px,
            height_px: 320.0,
            prefix,
        };
        let put = |key: &str, drawn: &Picture| set(&pictures, key, &picture(drawn));
        put(
            "glazes",
            &known::glazes(studio, summary, None, &view("known-g")),
        );
        if !summary.pairs.is_empty() {
            put("pairs", &known::pairs(studio, summary, &view("known-p")));
        }
        put("hands", &known::hands(studio, summary, &view("known-h")));
        put(
            "firings",
            &known::firings(studio, summary, &view("known-f")),
        );
        if let Some(calibration) = &self.posterior.calibration {
            let view = View {
                width_px: width_px.min(360.0),
                ..view("known-r")
            };
            put("reliability", &known::reliability(calibration, &view));
        }
        pictures.into()
    }

    /// The forecast of a plan, for a list: nothing is drawn.
    pub fn forecast(&self, id: &str, draws: usize) -> Thrown<JsValue> {
        let entry = self.entry(id)?;
        predict::predict(&self.studio, &self.posterior, entry, draws, SEED)
            .map(|outcome| value(&outcome))
            .map_err(refused)
    }

    /// The tiles worth glazing next for a plan.
    pub fn next_tiles(&self, id: &str, budget: usize) -> Thrown<JsValue> {
        let entry = self.entry(id)?;
        predict::next_tiles(&self.studio, &self.posterior, entry, budget, SEED)
            .map(|tiles| value(&tiles))
            .map_err(refused)
    }

    // ---- the lesson -------------------------------------------------------------------------------------------

    /// Compares two stacks that are only thought of.
    pub fn lesson_start(&mut self, first: &str, second: &str) -> Thrown<JsValue> {
        let (studio, posterior) = (&self.studio, &self.posterior);
        let entries = [thought_of(studio, first)?, thought_of(studio, second)?];
        let both = [&entries[0], &entries[1]];
        let lesson = predict::compare(studio, posterior, both, predict::FULL_DRAWS, SEED)
            .map_err(refused)?;
        let mut stacks = Vec::new();
        for (entry, side) in entries.iter().zip(&lesson.sides) {
            let case = Case::of(studio, entry).map_err(refused)?;
            let mut outcome = predict::quick(studio, posterior, entry, SEED).map_err(refused)?;
            // Pot, chart and table say the numbers of a full answer.
            outcome.run_mm = side.run_mm;
            let story =
                predict::story(studio, posterior, entry, side.run_mm.p50).map_err(refused)?;
            stacks.push(Stack {
                scene: Scene::of(studio, entry, &case.profile),
                story,
                outcome,
                clock: FiringClock::new(&case.schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok(),
            });
        }
        // Twice as thick is to be seen as twice as thick.
        let mut beside = stacks
            .iter()
            .map(|one| pot::takes(&one.scene, &one.story, &one.outcome))
            .collect::<Vec<_>>();
        beside.reverse();
        for (stack, beside) in stacks.iter_mut().zip(beside) {
            stack.scene.beside = beside;
        }
        let given = value(&lesson);
        self.lesson = Some(InLesson { lesson, stacks });
        Ok(given)
    }

    /// The fronts of the lesson and both pots, at one of its moments.
    pub fn lesson_look(
        &self,
        moment: usize,
        names: Vec<String>,
        chart_px: f64,
        pot_width_px: f64,
        pot_height_px: f64,
    ) -> Thrown<JsValue> {
        let Some(InLesson { lesson, stacks }) = &self.lesson else {
            return Err(said(
                "There is no lesson.".to_string(),
                "Choose two stacks.",
            ));
        };
        let name = |at: usize| names.get(at).map_or("", String::as_str);
        let fronts = lesson::fronts(
            lesson,
            [name(0), name(1)],
            Some(moment),
            self.studio.settings.units,
            &View {
                width_px: chart_px,
                height_px: 300.0,
                prefix: "fronts",
            },
        );
        let pots = js_sys::Array::new();
        for (stack, prefix) in stacks.iter().zip(["first", "second"]) {
            let view = View {
                width_px: pot_width_px,
                height_px: pot_height_px,
                prefix,
            };
            pots.push(&picture(&pot::draw(
                &stack.scene,
                &stack.story,
                &stack.outcome,
                stack.at(lesson, moment),
                None,
                &view,
            )));
        }
        let looked = js_sys::Object::new();
        set(&looked, "fronts", &picture(&fronts));
        let square = lesson::square(
            lesson,
            [name(0), name(1)],
            &View {
                width_px: chart_px.min(420.0),
                height_px: 240.0,
                prefix: "square",
            },
        );
        set(&looked, "square", &picture(&square));
        set(&looked, "pots", &pots);
        Ok(looked.into())
    }
}

impl Stack {
    /// The moment of the drawn story that is nearest to one of the lesson's, by the share of the firing that is spent.
    fn at(&self, lesson: &Lesson, moment: usize) -> Moment {
        let last = self.story.fired.len().saturating_sub(1);
        let (Some(now), Some(clock)) = (lesson.moments.get(moment), &self.clock) else {
            return Moment::Fired(last);
        };
        if moment + 1 >= lesson.moments.len() {
            return Moment::Fired(last);
        }
        let share = clock.at_time(now.minutes * 60.0).share;
        let mut nearest = (f64::INFINITY, last);
        for (at, one) in self.story.fired.iter().enumerate() {
            let off = (one.phi_share - share).abs();
            if off < nearest.0 {
                nearest = (off, at);
            }
        }
        Moment::Fired(nearest.1)
    }
}
