//! Shapes of pots and tiles.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::Id;
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule, words};

/// The shape of a pot or a tile.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// Identifier.
    pub id: Id,
    /// Name.
    pub name: String,
    /// Its outline.
    pub shape: Shape,
    /// Wall thickness, mm; none: the body's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_mm: Option<f64>,
    /// Radius of the rim's rounding, mm, at least 0.5; none: half the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rim_radius_mm: Option<f64>,
    /// Texture of the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texture: Option<Texture>,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

/// The outline of a form: a family with its measures, or points of a profile. All of the outside, mm.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, tag = "family", rename_all = "snake_case")]
pub enum Shape {
    /// Swelling wall, narrower mouth and foot.
    Jar {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Largest diameter.
        belly_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Open, wall curving out from the foot.
    Bowl {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Straight or slightly leaning wall.
    Mug {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Belly below, a neck, a flaring rim.
    Vase {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Smallest diameter of the neck.
        neck_diameter_mm: f64,
        /// Largest diameter.
        belly_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Wide and shallow.
    Plate {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// A flat tile fired leaning or standing.
    Tile {
        /// Width across the slope.
        width_mm: f64,
        /// Length down the slope.
        length_mm: f64,
        /// Slope from horizontal, degrees, 90 standing.
        slope_deg: f64,
    },
    /// A wall of the user's own, from rim to foot.
    Points {
        /// Points of the outside, from rim to foot.
        points: Vec<ProfilePoint>,
    },
}

/// One point of a profile.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct ProfilePoint {
    /// Distance from the axis.
    pub radius_mm: f64,
    /// Height above the shelf.
    pub height_mm: f64,
}

/// Texture of a wall.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Texture {
    /// What it is.
    pub kind: TextureKind,
    /// Crest to recess, mm.
    pub depth_mm: f64,
    /// Crest to crest, mm.
    pub repeat_mm: f64,
    /// Where it starts, measured down the wall from the rim or upper edge, mm.
    pub from_mm: f64,
    /// Where it ends, likewise.
    pub to_mm: f64,
}

/// Kinds of texture, by how gravity meets them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum TextureKind {
    /// Rings and bands around: the run crosses them.
    #[default]
    Rings,
    /// Upright flutes: the run follows them.
    UprightFlutes,
    /// Pressed or carved, both ways; taken as rings.
    Pressed,
}

words!(TextureKind { "rings" => Rings, "upright_flutes" => UprightFlutes, "pressed" => Pressed });

impl Record for Form {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text("name", &mut self.name, Need::Must, TextRule::Name);
        walk::record(fields, "shape", &mut self.shape);
        fields.maybe_number("wall_mm", &mut self.wall_mm, &bounds::WALL);
        fields.maybe_number(
            "rim_radius_mm",
            &mut self.rim_radius_mm,
            &bounds::RIM_RADIUS,
        );
        walk::maybe_record(fields, "texture", &mut self.texture);
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}

/// The families, in the order of [`Shape`]'s variants.
const FAMILIES: &[&str] = &["jar", "bowl", "mug", "vase", "plate", "tile", "points"];

impl Default for Shape {
    fn default() -> Self {
        Self::Tile {
            width_mm: 0.0,
            length_mm: 0.0,
            slope_deg: 0.0,
        }
    }
}

impl Shape {
    /// Its place among the families.
    fn family(&self) -> usize {
        match self {
            Self::Jar { .. } => 0,
            Self::Bowl { .. } => 1,
            Self::Mug { .. } => 2,
            Self::Vase { .. } => 3,
            Self::Plate { .. } => 4,
            Self::Tile { .. } => 5,
            Self::Points { .. } => 6,
        }
    }

    /// One of a family with nothing measured yet.
    fn blank(family: usize) -> Self {
        let (height_mm, rim_diameter_mm, belly_diameter_mm, neck_diameter_mm, foot_diameter_mm) =
            (0.0, 0.0, 0.0, 0.0, 0.0);
        match family {
            0 => Self::Jar {
                height_mm,
                rim_diameter_mm,
                belly_diameter_mm,
                foot_diameter_mm,
            },
            1 => Self::Bowl {
                height_mm,
                rim_diameter_mm,
                foot_diameter_mm,
            },
            2 => Self::Mug {
                height_mm,
                rim_diameter_mm,
                foot_diameter_mm,
            },
            3 => Self::Vase {
                height_mm,
                rim_diameter_mm,
                neck_diameter_mm,
                belly_diameter_mm,
                foot_diameter_mm,
            },
            4 => Self::Plate {
                height_mm,
                rim_diameter_mm,
                foot_diameter_mm,
            },
            5 => Self::default(),
            _ => Self::Points { points: Vec::new() },
        }
    }
}

impl Record for Shape {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let was = self.family();
        let mut family = was;
        fields.word("family", &mut family, None, FAMILIES);
        if family != was {
            *self = Self::blank(family);
        }
        let mut measure =
            |key, value: &mut f64| fields.number(key, value, Need::Must, &bounds::FORM_MEASURE);
        match self {
            Self::Jar {
                height_mm,
                rim_diameter_mm,
                belly_diameter_mm,
                foot_diameter_mm,
            } => {
                measure("height_mm", height_mm);
                measure("rim_diameter_mm", rim_diameter_mm);
                measure("belly_diameter_mm", belly_diameter_mm);
                measure("foot_diameter_mm", foot_diameter_mm);
            }
            Self::Bowl {
                height_mm,
                rim_diameter_mm,
                foot_diameter_mm,
            }
            | Self::Mug {
                height_mm,
                rim_diameter_mm,
                foot_diameter_mm,
            }
            | Self::Plate {
                height_mm,
                rim_diameter_mm,
                foot_diameter_mm,
            } => {
                measure("height_mm", height_mm);
                measure("rim_diameter_mm", rim_diameter_mm);
                measure("foot_diameter_mm", foot_diameter_mm);
            }
            Self::Vase {
                height_mm,
                rim_diameter_mm,
                neck_diameter_mm,
                belly_diameter_mm,
                foot_diameter_mm,
            } => {
                measure("height_mm", height_mm);
                measure("rim_diameter_mm", rim_diameter_mm);
                measure("neck_diameter_mm", neck_diameter_mm);
                measure("belly_diameter_mm", belly_diameter_mm);
                measure("foot_diameter_mm", foot_diameter_mm);
            }
            Self::Tile {
                width_mm,
                length_mm,
                slope_deg,
            } => {
                measure("width_mm", width_mm);
                measure("length_mm", length_mm);
                fields.number("slope_deg", slope_deg, Need::Must, &bounds::SLOPE);
            }
            Self::Points { points } => walk::list(fields, "points", points, 3, bounds::POINTS),
        }
    }
}

impl Record for ProfilePoint {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.number("radius_mm", &mut self.radius_mm, Need::Must, &bounds::POINT);
        fields.number("height_mm", &mut self.height_mm, Need::Must, &bounds::POINT);
    }
}

impl Record for Texture {
    fn walk(&mut self, fields: &mut dyn Fields) {
        walk::word(fields, "kind", &mut self.kind, None);
        fields.number(
            "depth_mm",
            &mut self.depth_mm,
            Need::Must,
            &bounds::TEXTURE_DEPTH,
        );
        fields.number(
            "repeat_mm",
            &mut self.repeat_mm,
            Need::Must,
            &bounds::TEXTURE_REPEAT,
        );
        fields.number(
            "from_mm",
            &mut self.from_mm,
            Need::Must,
            &bounds::DOWN_THE_WALL,
        );
        fields.number("to_mm", &mut self.to_mm, Need::Must, &bounds::DOWN_THE_WALL);
    }
}
