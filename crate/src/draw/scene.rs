//! What is drawn: one plan with its form, layers and clay, in the drawing's own plain terms.
//!
//! Takes a checked studio, one of its entries and the profile of its form; gives a [`Scene`], made once per plan and drawn at
//! any moment.

use super::colour::{BISQUE, BLACK, Colour, WHITE};
use super::path::{Say, bounded, text};
use super::wall::Wall;
use crate::physics::piece::Profile;
use crate::studio::document::{Entry, Form, Glaze, How, Shape, Studio, Texture, Units};

/// One plan, ready to be drawn.
#[derive(Clone, Debug)]
pub struct Scene {
    pub(crate) wall: Wall,
    /// Width across and slope of a tile; none for a pot.
    pub(crate) tile: Option<Tile>,
    pub(crate) texture: Option<Texture>,
    pub(crate) wall_mm: f64,
    /// Layers in the order in which they went on, the wall first.
    pub(crate) layers: Vec<SceneLayer>,
    /// What the piece is called: its own name or the form's.
    pub(crate) name: String,
    /// The family, in a word.
    pub(crate) family: &'static str,
    pub(crate) units: Units,
    /// Makes what is left to the hand (spacing of drips, wobble of an edge) vary from piece to piece.
    pub(crate) seed: u64,
    /// What stands beside it and is drawn to the same scales.
    pub beside: Beside,
}

/// What a piece takes of a drawing's room.
#[derive(Clone, Copy, Debug, Default)]
pub struct Beside {
    /// The thickest raw stack, mm.
    pub raw_mm: f64,
    /// The cookie's diameter, mm; 0 for none.
    pub cookie_mm: f64,
}

/// A tile's own measures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tile {
    pub width_mm: f64,
    pub slope_rad: f64,
}

/// One layer.
#[derive(Clone, Debug)]
pub(crate) struct SceneLayer {
    pub name: String,
    pub colour: Colour,
    /// 0 matt to 1 glossy.
    pub gloss: f64,
    /// Upper and lower edge, mm down the outside from the rim or the tile's upper edge.
    pub from_mm: f64,
    pub to_mm: f64,
    pub over_rim: bool,
    pub how: How,
}

impl Scene {
    /// The scene of an entry, `profile` being that of its form at its own size and slope. What the document refers to and does
    /// not hold is drawn without it.
    pub fn of(studio: &Studio, entry: &Entry, profile: &Profile) -> Self {
        let wall = Wall::new(profile);
        let form = studio.forms.iter().find(|form| form.id == entry.form);
        let below_rim_mm = (wall.foot_s - wall.rim_s).max(1.0);
        let mut seed = 7;
        for byte in entry.id.bytes() {
            seed = seed * 31 % 1_000_003 + u64::from(byte);
        }
        let mut layers = Vec::with_capacity(entry.layers.len());
        for layer in &entry.layers {
            let zone = &layer.zone;
            let from_mm = if zone.over_rim {
                0.0
            } else {
                bounded(zone.from_mm, 0.0, below_rim_mm)
            };
            let mut drawn = SceneLayer {
                name: String::new(),
                colour: glaze_colour(None, 0),
                gloss: 0.7,
                from_mm,
                to_mm: bounded(zone.to_mm, from_mm, below_rim_mm),
                over_rim: zone.over_rim,
                how: layer.how,
            };
            let mut name = &layer.glaze;
            for (index, glaze) in studio.glazes.iter().enumerate() {
                if glaze.id == layer.glaze {
                    name = &glaze.name;
                    drawn.colour = glaze_colour(Some(glaze), index);
                    drawn.gloss = gloss(glaze);
                    break;
                }
            }
            drawn.name.say(name);
            layers.push(drawn);
        }
        Self {
            layers,
            tile: form.and_then(|form| tile(form, entry)),
            texture: form
                .and_then(|form| form.texture.clone())
                .filter(|t| t.depth_mm > 0.0 && t.repeat_mm > 0.0),
            wall_mm: bounded(wall.thickness_at_end(), 0.5, 60.0),
            name: match form {
                Some(form) if entry.name.is_empty() => text(&form.name),
                _ => text(&entry.name),
            },
            family: form.map_or("piece", family),
            units: studio.settings.units,
            seed,
            beside: Beside::default(),
            wall,
        }
    }

    /// Lowest glaze line, mm down from the rim or the upper edge.
    pub(crate) fn lowest_mm(&self) -> f64 {
        let mut lowest = 0.0;
        for layer in &self.layers {
            lowest = f64::max(lowest, layer.to_mm);
        }
        lowest
    }

    /// Arc length of a place on the outside.
    pub(crate) fn s_of(&self, down_mm: f64) -> f64 {
        self.wall.rim_s + down_mm
    }

    /// The tone of layer `i` in the section: its glaze's colour, lighter where the layer under it is nearly the same.
    pub(crate) fn tone(&self, i: usize) -> Colour {
        let mut tone = self.layers.first().map_or(BISQUE, |layer| layer.colour);
        for (k, layer) in self.layers.iter().enumerate().take(i + 1).skip(1) {
            let near = (tone.lightness() - layer.colour.lightness()).abs() < 0.04;
            tone = match (near && k % 2 == 1, layer.colour.lightness() > 0.7) {
                (false, _) => layer.colour,
                (true, true) => layer.colour.towards(BLACK, 0.16),
                (true, false) => layer.colour.towards(WHITE, 0.16),
            };
        }
        tone
    }

    /// Gloss of the top layer.
    pub(crate) fn gloss(&self) -> f64 {
        self.layers.last().map_or(0.0, |layer| layer.gloss)
    }
}

pub(crate) fn glaze_colour(glaze: Option<&Glaze>, index: usize) -> Colour {
    let own = glaze
        .and_then(|g| g.colour.as_deref())
        .and_then(Colour::parse);
    own.unwrap_or_else(|| Colour::spare(index))
}

/// How a glaze shines, as far as its look says.
fn gloss(glaze: &Glaze) -> f64 {
    const SAID: [(&str, f64); 8] = [
        ("matt", 0.1),
        ("dry", 0.1),
        ("satin", 0.45),
        ("silky", 0.45),
        ("waxy", 0.45),
        ("gloss", 1.0),
        ("glass", 1.0),
        ("clear", 1.0),
    ];
    let look = glaze.look.as_bytes();
    for &(word, gloss) in &SAID {
        for from in 0..look.len() {
            let part = look.get(from..from + word.len());
            if part.is_some_and(|part| part.eq_ignore_ascii_case(word.as_bytes())) {
                return gloss;
            }
        }
    }
    0.75
}

fn tile(form: &Form, entry: &Entry) -> Option<Tile> {
    match form.shape {
        Shape::Tile {
            width_mm,
            slope_deg,
            ..
        } => {
            let slope = entry.slope_deg.unwrap_or(slope_deg);
            Some(Tile {
                width_mm: bounded(width_mm, 1.0, 2000.0),
                slope_rad: bounded(slope, 1.0, 90.0).to_radians(),
            })
        }
        _ => None,
    }
}

fn family(form: &Form) -> &'static str {
    match form.shape {
        Shape::Jar { .. } => "jar",
        Shape::Bowl { .. } => "bowl",
        Shape::Mug { .. } => "mug",
        Shape::Vase { .. } => "vase",
        Shape::Plate { .. } => "plate",
        Shape::Tile { .. } => "tile",
        Shape::Points { .. } => "pot",
    }
}
