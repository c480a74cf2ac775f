//! One layer as the physics sees it: its mass at the prior medians and how thick that is.
//!
//! Takes a glaze, how it went on, and the wall it went on to; gives a [`CaseLayer`].

use super::{USUAL_ABSORPTION, USUAL_WALL_MM};
use crate::physics::error::PhysicsError;
use crate::physics::laydown::{self, DipParams};
use crate::physics::slurry;
use crate::studio::document::{Body, Glaze, How};

/// How a layer went on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Brushed coats.
    Brush,
    /// Dips.
    Dip,
    /// Sprayed passes.
    Spray,
}

/// One layer.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseLayer {
    /// Place of its glaze in [`Studio::glazes`](crate::studio::document::Studio::glazes).
    pub glaze: usize,
    /// Place of the hand in [`Studio::hands`](crate::studio::document::Studio::hands); none: anyone's.
    pub hand: Option<usize>,
    /// How it went on.
    pub method: Method,
    /// Coats, dips or passes.
    pub units: f64,
    /// Dry mass per area at the prior medians, every coat like the first, kg/m².
    pub mass_kg_per_m2: f64,
    /// Raw thickness per mass, m per kg/m².
    pub raw_m_per: f64,
    /// Fired thickness per mass, m per kg/m².
    pub fired_m_per: f64,
    /// Melt thickness per mass, m per kg/m².
    pub melt_m_per: f64,
    /// Specific gravity it went on with.
    pub sg: f64,
    /// Spread (sd) of that specific gravity.
    pub sg_sigma: f64,
    /// Relative change of the mass per unit of specific gravity.
    pub dln_mass_dsg: f64,
    /// Upper edge, m down from the rim's crest or the tile's upper edge.
    pub from_m: f64,
    /// Lower edge, likewise.
    pub to_m: f64,
    /// Whether it goes over the rim.
    pub over_rim: bool,
    /// How far it goes down the inside, m from the rim's crest.
    pub inside_m: f64,
    pub(super) laid: Laid,
}

/// How the mass follows from the units.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Laid {
    /// So many times this, kg/m².
    Each(f64),
    /// By the cake law, after so many dips before it.
    Dip { one: DipParams, before: u32 },
}

impl CaseLayer {
    pub(super) fn mass(&self) -> Result<f64, PhysicsError> {
        match &self.laid {
            Laid::Each(each) => Ok(self.units * each),
            // No dip at all lays nothing down; the law answers from one on.
            Laid::Dip { .. } if self.units < 0.5 => Ok(0.0),
            Laid::Dip { one, before } => {
                let dips = self.units.round() as u32;
                laydown::dip_layer(&DipParams { dips, ..*one }, *before)
                    .map(|layer| layer.kg_per_m2)
            }
        }
    }
}

pub(super) struct Wall<'a> {
    pub(super) form_wall_mm: Option<f64>,
    pub(super) body: Option<&'a Body>,
    pub(super) sides: f64,
}

/// One layer's mass and thickness at the prior medians, without its zone.
pub(super) fn lay(
    glaze_at: usize,
    glaze: &Glaze,
    hand: Option<usize>,
    how: How,
    measured_sg: Option<f64>,
    wall: &Wall<'_>,
    dips_before: u32,
) -> Result<CaseLayer, PhysicsError> {
    let sg = measured_sg.unwrap_or(glaze.usual_sg);
    let dry = glaze.dry_density.unwrap_or(slurry::DRY_DENSITY);
    let loi = glaze.loss_on_ignition.unwrap_or(laydown::LOI);
    slurry::check(sg, dry)?;
    let (method, units, laid, dln_mass_dsg) = match how {
        How::Brush { coats } => {
            let each = laydown::brush_kg_per_m2(1.0, laydown::WET_PER_COAT_M, sg, dry);
            (
                Method::Brush,
                coats,
                Laid::Each(each),
                laydown::brush_ln_per_sg(sg),
            )
        }
        How::Spray { passes } => {
            let each = laydown::spray_kg_per_m2(1.0, laydown::SPRAY_RAW_M, dry, laydown::PACKING);
            (Method::Spray, passes, Laid::Each(each), 0.0)
        }
        How::Dip { dips, seconds } => {
            let body = wall.body;
            let one = DipParams {
                dips: 1,
                seconds,
                sg,
                dry_density: dry,
                packing: laydown::PACKING,
                cake_k_m2_per_s: laydown::CAKE_K_M2_PER_S,
                wall_m: wall
                    .form_wall_mm
                    .or(body.map(|body| body.wall_mm))
                    .unwrap_or(USUAL_WALL_MM)
                    * 1e-3,
                body_kg_per_m3: body.map_or(laydown::RHO_BODY, |body| body.density_kg_per_m3),
                absorption: body.map_or(USUAL_ABSORPTION, |body| body.absorption),
                glazed_sides: wall.sides,
                dry_gap: laydown::DRY_GAP,
            };
            let slope = laydown::dip_layer(&DipParams { dips, ..one }, dips_before)?.ln_per_sg;
            (
                Method::Dip,
                dips,
                Laid::Dip {
                    one,
                    before: dips_before,
                },
                slope,
            )
        }
    };
    let mut layer = CaseLayer {
        glaze: glaze_at,
        hand,
        method,
        units: f64::from(units),
        mass_kg_per_m2: 0.0,
        raw_m_per: laydown::raw_m(1.0, dry, laydown::PACKING),
        fired_m_per: laydown::fired_m(1.0, loi),
        melt_m_per: laydown::melt_m(1.0, loi),
        sg,
        sg_sigma: if measured_sg.is_some() {
            slurry::SG_SIGMA
        } else {
            slurry::SG_SIGMA_UNMEASURED
        },
        dln_mass_dsg,
        from_m: 0.0,
        to_m: 0.0,
        over_rim: false,
        inside_m: 0.0,
        laid,
    };
    layer.mass_kg_per_m2 = layer.mass()?;
    Ok(layer)
}
