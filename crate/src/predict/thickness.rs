//! How thick each layer lies, raw and fired, at any one place of the piece.
//!
//! Takes a plan with its shots; gives bands in µm. The band is that of a place: hand, coats, slurry, place on the pot, packing,
//! and the loss on ignition where nobody has said it.

use super::outcome::{Band90, LayerThickness};
use super::plan::{Plan, Shot};
use super::spread::Sample;
use super::stack;
use crate::learn::posterior::Posterior;
use crate::physics::laydown;
use crate::studio::document::Studio;

/// Loss on ignition can take no more than this.
const LOI_MOST: f64 = 0.5;

/// Bands of each layer and of the whole stack where the layers overlap most, fired.
pub fn bands(
    studio: &Studio,
    posterior: &Posterior,
    plan: &Plan,
    shots: &[Shot],
) -> (Vec<LayerThickness>, Band90) {
    let fullest = stack::fullest(&plan.case, None);
    let layers = plan.case.layers.len();
    let mut raw = vec![Vec::with_capacity(shots.len()); layers];
    let mut fired = raw.clone();
    let mut total = Vec::with_capacity(shots.len());
    for (i, shot) in shots.iter().enumerate() {
        let place_ln_sigma = posterior
            .params
            .get(shot.params)
            .map_or(0.0, |p| p.place_ln_sigma);
        let place = (place_ln_sigma * plan.place(i)).exp();
        for (l, layer) in plan.case.layers.iter().enumerate() {
            let mass = shot.drawn.melt_m[l] / layer.melt_m_per * place;
            raw[l].push(
                mass * layer.raw_m_per
                    * (-laydown::PACKING_LN_SIGMA * plan.packing(i, l)).exp()
                    * 1e6,
            );
            let stated = studio
                .glazes
                .get(layer.glaze)
                .and_then(|g| g.loss_on_ignition);
            let kept = if stated.is_some() {
                1.0
            } else {
                let drawn = laydown::LOI * (laydown::LOI_LN_SIGMA * plan.loss(i, l)).exp();
                (1.0 - drawn.min(LOI_MOST)) / (1.0 - laydown::LOI)
            };
            fired[l].push(mass * layer.fired_m_per * kept * 1e6);
        }
        total.push(fullest.iter().filter_map(|l| fired[*l].last()).sum());
    }
    let layers = raw.into_iter().zip(fired);
    let bands = layers.map(|(raw, fired)| LayerThickness {
        raw_um: Sample::new(raw).band90(),
        fired_um: Sample::new(fired).band90(),
    });
    (bands.collect(), Sample::new(total).band90())
}
