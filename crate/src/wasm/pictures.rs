//! The pictures of the plan being looked at: pot, lens, pile, twenty pots, firing.
//!
//! Takes a plan's identifier and a size in px; gives SVG with its words.

use wasm_bindgen::prelude::*;

use super::convert::{refused, said, unknown, value};
use super::engine::{Engine, Shown, Thrown};
use super::shapes::MomentName;
use crate::digits::Fixed;
use crate::draw::film::Moment;
use crate::draw::lens::Spot;
use crate::draw::picture::{Picture, View};
use crate::draw::{chart, lens, pile, pot, twenty};
use crate::predict::outcome::FilmStory;
use crate::studio::case::Case;
use crate::studio::decimal;
use crate::studio::document::Units;

/// Room for a lens that is a picture of its own, px.
const LENS_HEIGHT_PX: f64 = 300.0;

impl Engine {
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

    /// The lens at a spot and moment, as a picture of its own; nothing where the drawing of the piece in these px holds it.
    pub fn lens(
        &mut self,
        id: &str,
        moment: i32,
        spot: &str,
        width_px: f64,
        height_px: f64,
    ) -> Thrown<JsValue> {
        let spot = spot_named(spot).ok_or_else(|| unknown("spot", spot, "Choose another."))?;
        let shown = self.shown(id)?;
        let mut view = View {
            width_px,
            height_px,
            prefix: "lens",
        };
        if pot::holds_lens(&shown.scene, &shown.story, &shown.outcome, &view) {
            return Ok(JsValue::NULL);
        }
        view.height_px = LENS_HEIGHT_PX;
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
                Units::Metric => format!("{} °C", Fixed(celsius, 0)),
                Units::Imperial => format!("{} °F", Fixed(celsius * 1.8 + 32.0, 0)),
            };
            let done = format!("{} % of the flow done", Fixed(100.0 * moment.phi_share, 0));
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
        let case = Case::of(&self.studio, entry).map_err(refused)?;
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
        Ok(value(&spots))
    }
}

pub(super) fn picture(drawn: &Picture) -> JsValue {
    let object = js_sys::Object::new();
    for &(key, text) in &[("svg", &drawn.svg), ("words", &drawn.words)] {
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
