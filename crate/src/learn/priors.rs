//! Priors that only learning needs; those of the physics stand beside their formulas.
//!
//! Takes nothing; gives medians and spreads with their source. "Judged" is an estimate, "practice" is common in the trade.

use super::prior::Prior;
use crate::physics::composition;
use crate::physics::constants::ZERO_CELSIUS_K;
use crate::physics::firing::{self, GlazeStiffness};
use crate::studio::document::{Glaze, GlazeKind, Oxides};
use std::f64::consts::LN_10;

/// Sd of a firing's effect beyond its schedule, decades; where no schedule is given, the effective time itself is unsure too.
pub fn firing_sd_decades(schedule_known: bool) -> f64 {
    let time = if schedule_known {
        0.0
    } else {
        firing::EFFECTIVE_LN_SIGMA / LN_10
    };
    firing::FIRING_SD_DECADES.hypot(time)
}

/// Sd of a shelf's effect within one kiln, decades.
pub fn shelf_sd_decades() -> f64 {
    firing::shelf_sd_decades(firing::SLOPE_DECADES_PER_100K)
}

/// What is thought of a glaze before anything is logged: log10 of its fluidity integral at the reference firing, log10(1/Pa).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opinion {
    /// Mean.
    pub mean: f64,
    /// Sd.
    pub sd: f64,
    /// Whether it is somebody's opinion; where nothing is known there is nothing to be wrong about.
    pub can_be_wrong: bool,
}

impl Opinion {
    /// The prior if the opinion holds.
    pub fn prior(&self) -> Prior {
        Prior::Normal {
            mean: self.mean,
            sd: self.sd,
        }
    }
}

/// What the studio thinks of a glaze, narrowed by its oxide analysis and by measured viscosities where there are any that the physics can take.
pub fn opinion(glaze: &Glaze) -> Opinion {
    let thought = firing::prior_log10_phi(match glaze.kind {
        GlazeKind::Stiff => GlazeStiffness::Stiff,
        GlazeKind::Medium => GlazeStiffness::Medium,
        GlazeKind::Fluid => GlazeStiffness::Fluid,
        GlazeKind::NotKnown => GlazeStiffness::NotKnown,
    });
    let mut known = thought;
    if let Some(oxides) = &glaze.oxides_wt_pct
        && let Ok(analysed) = composition::log10_phi(&analysis(oxides))
    {
        known = firing::narrowed(known, analysed);
    }
    let mut points = Vec::with_capacity(glaze.viscosity_points.len());
    for point in &glaze.viscosity_points {
        points.push((point.temperature_c + ZERO_CELSIUS_K, point.log10_eta_pa_s));
    }
    if let Ok(viscosity) = firing::Viscosity::through(&points)
        && let Ok(measured) = firing::measured_log10_phi(&viscosity)
    {
        known = firing::narrowed(known, measured);
    }
    let (mean, sd) = known;
    Opinion {
        mean,
        sd,
        can_be_wrong: glaze.kind != GlazeKind::NotKnown,
    }
}

/// Sd of the log10 of the fluidity integral from piece to piece: half-normal with this scale, decades (judged).
pub const NOISE_SCALE_DECADES: f64 = 0.30;
/// Spread of the place and the coat spread themselves about their medians, natural log (judged).
pub const SPREAD_LN_SIGMA: f64 = 0.25;
/// Thinning per coat: half-normal with this scale (judged).
pub const THINNING_SCALE: f64 = 0.10;
/// Mixing, Beta(a, b) with mean 0.7 (a/(a + b)); its sd is 0.19 (judged).
pub const MIXING_BETA: (f64, f64) = (3.5, 1.5);
/// How far a brush's habit carries over to dip and spray, Beta(a, b): mean 0.4 (judged).
pub const CARRY_BETA: (f64, f64) = (2.0, 3.0);
/// Whether coats thin anew with each glaze, Beta(a, b): even (judged).
pub const ANEW_BETA: (f64, f64) = (1.5, 1.5);
/// Share of entries that are blunders, Beta(a, b): mean 0.04 (judged).
pub const OUTLIER_BETA: (f64, f64) = (1.5, 36.0);
/// Share of stuck edges written down without a ruler, Beta(a, b): mean 0.6 (judged).
pub const STUCK_BETA: (f64, f64) = (3.0, 2.0);
/// Share of rulers read to whole millimetres, Beta(a, b): mean 0.6 (judged).
pub const WHOLE_MM_BETA: (f64, f64) = (1.5, 1.0);
/// The document's analysis as the physics takes it; water is left out, a fired glaze is dry.
fn analysis(o: &Oxides) -> composition::Oxides {
    composition::Oxides {
        sio2: o.sio2,
        tio2: o.tio2,
        al2o3: o.al2o3,
        fe2o3: o.fe2o3,
        feo: o.feo,
        mno: o.mno,
        mgo: o.mgo,
        cao: o.cao,
        na2o: o.na2o,
        k2o: o.k2o,
        p2o5: o.p2o5,
        f2o: o.f2o,
        b2o3: o.b2o3,
        zno: o.zno,
        li2o: o.li2o,
        bao: o.bao,
        sro: o.sro,
        pbo: o.pbo,
        zro2: o.zro2,
        sno2: o.sno2,
        other: o.other,
    }
}

/// Share of opinions stiff/medium/fluid that are wrong, Beta(a, b): mean 0.1 (judged).
pub const OPINION_WRONG_BETA: (f64, f64) = (1.5, 13.5);
/// What holds of a glaze's log10 Phi where the studio's opinion of it is wrong: about where "not known" is, 0.48 (a test holds them together), and wide (judged).
pub const WRONG: Opinion = Opinion {
    mean: 0.477,
    sd: 0.90,
    can_be_wrong: false,
};
/// Its prior.
pub const WRONG_OPINION: Prior = Prior::Normal {
    mean: WRONG.mean,
    sd: WRONG.sd,
};
/// Fired thickness in the middle of "right" for a top glaze: median, m, and sd of its log (practice: three brushed coats are the rule; judged).
pub const LOOK_MIDDLE_M: (f64, f64) = (170e-6, 0.40);
/// Half width of "right" in the log of thickness: median, and sd of its log (judged).
pub const LOOK_HALF_WIDTH: (f64, f64) = (0.35, 0.40);
/// Weight of the log of the top layer's share against the log of its thickness: mean and sd (judged).
pub const LOOK_SHARE: (f64, f64) = (0.0, 0.5);
/// Spread of one judgement of the look, in the log of thickness: median, and sd of its log (judged).
pub const LOOK_SIGMA: (f64, f64) = (0.20, 0.40);
/// ln(−ln) of the relief kept where crisp becomes softened: mean (0.70 kept) and sd (judged).
pub const CRISP_CUT: (f64, f64) = (-1.03, 0.40);
/// From there to buried: median (to 0.31 kept), and sd of its log (judged).
pub const BURIED_GAP: (f64, f64) = (1.2, 0.35);
/// Spread of one judgement of the texture, in ln(−ln(relief kept)): median, and sd of its log (judged).
pub const TEXTURE_SIGMA: (f64, f64) = (0.40, 0.40);
