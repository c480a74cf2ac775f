//! What the kiln is told: ramps and holds, up and down, in SI.
//!
//! Takes segments or a cone with its rate, checked; gives the legs (temperature against time) that the integrals run over.

use super::super::constants::ZERO_CELSIUS_K;
use super::super::error::{PhysicsError, within};
use super::cone::cone_k;
use super::{REFERENCE_PEAK_K, REFERENCE_RATE_K_PER_S, relative_fluidity};
use std::f64::consts::LN_10;

/// Temperature at which a schedule starts unless it says otherwise, K: 20 °C.
pub const ROOM_K: f64 = 20.0 + ZERO_CELSIUS_K;
/// Slowest and fastest rate taken, K/s: 0.5 and 3000 °C/h.
const RATE: (f64, f64) = (0.5 / 3600.0, 3000.0 / 3600.0);
/// Coldest and hottest target taken, K: 0 and 1500 °C.
const TARGET: (f64, f64) = (ZERO_CELSIUS_K, 1500.0 + ZERO_CELSIUS_K);
/// Longest hold taken, s: 200 h.
const HOLD_MOST: f64 = 200.0 * 3600.0;

/// One ramp with its hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Rate, K/s, positive; the target says whether it goes up or down.
    pub rate_k_per_s: f64,
    /// Temperature at its end, K.
    pub target_k: f64,
    /// Hold there, s.
    pub hold_s: f64,
}

/// A schedule, checked when it is made.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    start_k: f64,
    segments: Vec<Segment>,
}

/// A stretch of one straight line of temperature against time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// When it starts, s from the schedule's start.
    pub start_s: f64,
    /// How long it takes, s.
    pub seconds: f64,
    /// Temperature at its start, K.
    pub from_k: f64,
    /// Temperature at its end, K.
    pub to_k: f64,
}

impl Schedule {
    /// A schedule from `start_k` through `segments`, in order.
    ///
    /// # Errors
    /// [`PhysicsError::EmptySchedule`]; [`PhysicsError::Segment`] for a rate outside 0.5–3000 °C/h, a target outside 0–1500 °C, a hold outside 0–200 h;
    /// [`PhysicsError::OutOfBounds`] for the start.
    pub fn new(start_k: f64, segments: Vec<Segment>) -> Result<Self, PhysicsError> {
        within("start_k", start_k, TARGET.0, TARGET.1)?;
        if segments.is_empty() {
            return Err(PhysicsError::EmptySchedule);
        }
        for (index, s) in segments.iter().enumerate() {
            for &(field, value, least, most) in &[
                ("rate_k_per_s", s.rate_k_per_s, RATE.0, RATE.1),
                ("target_k", s.target_k, TARGET.0, TARGET.1),
                ("hold_s", s.hold_s, 0.0, HOLD_MOST),
            ] {
                if !(value >= least && value <= most) {
                    return Err(PhysicsError::Segment {
                        index,
                        field,
                        value,
                        least,
                        most,
                    });
                }
            }
        }
        Ok(Self { start_k, segments })
    }

    /// From room temperature through `segments`. Errors as [`Schedule::new`].
    ///
    /// # Errors
    /// As [`Schedule::new`].
    pub fn from_room(segments: Vec<Segment>) -> Result<Self, PhysicsError> {
        Self::new(ROOM_K, segments)
    }

    /// One ramp to the end point of `cone` at `rate_k_per_s`. The kiln's own cooling after it is left out, here as in the
    /// reference firing, so that it cancels where two such firings are compared.
    ///
    /// # Errors
    /// As [`cone_k`].
    pub fn of_cone(cone: &str, rate_k_per_s: f64) -> Result<Self, PhysicsError> {
        let target_k = cone_k(cone, rate_k_per_s)?;
        Self::from_room(vec![Segment {
            rate_k_per_s,
            target_k,
            hold_s: 0.0,
        }])
    }

    /// The reference firing: cone 6, a ramp of 60 °C/h to 1222 °C.
    pub fn reference() -> Self {
        let segment = Segment {
            rate_k_per_s: REFERENCE_RATE_K_PER_S,
            target_k: REFERENCE_PEAK_K,
            hold_s: 0.0,
        };
        Self {
            start_k: ROOM_K,
            segments: vec![segment],
        }
    }

    /// Its segments.
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Its highest temperature, K.
    pub fn peak_k(&self) -> f64 {
        self.segments
            .iter()
            .fold(self.start_k, |most, s| most.max(s.target_k))
    }

    /// All of it as straight legs, ramps and holds, none of no length.
    pub fn legs(&self) -> Vec<Leg> {
        let mut legs = Vec::with_capacity(2 * self.segments.len());
        let (mut at_s, mut at_k) = (0.0, self.start_k);
        for s in &self.segments {
            let ramp_s = (s.target_k - at_k).abs() / s.rate_k_per_s;
            for &(seconds, from_k) in &[(ramp_s, at_k), (s.hold_s, s.target_k)] {
                if seconds > 0.0 {
                    legs.push(Leg {
                        start_s: at_s,
                        seconds,
                        from_k,
                        to_k: s.target_k,
                    });
                    at_s += seconds;
                }
            }
            at_k = s.target_k;
        }
        legs
    }

    /// The legs from the moment at which `seal_k` is first reached; empty where it never is.
    pub fn legs_from_sealing(&self, seal_k: f64) -> Vec<Leg> {
        let mut legs = self.legs();
        let Some(first) = legs
            .iter()
            .position(|leg| leg.from_k.max(leg.to_k) >= seal_k)
        else {
            return Vec::new();
        };
        legs.drain(..first);
        if let Some(leg) = legs.first_mut()
            && leg.from_k < seal_k
        {
            let below_s = leg.seconds * (seal_k - leg.from_k) / (leg.to_k - leg.from_k);
            *leg = Leg {
                start_s: leg.start_s + below_s,
                seconds: leg.seconds - below_s,
                from_k: seal_k,
                ..*leg
            };
        }
        legs
    }
}

impl Leg {
    /// Temperature `after_s` seconds into the leg, K.
    pub fn temperature_k(&self, after_s: f64) -> f64 {
        self.from_k + (self.to_k - self.from_k) * (after_s / self.seconds)
    }

    /// `∫ 10^(s (T − 1222 °C)/100) dt` over it, s, in closed form.
    pub fn equivalent_seconds(&self, slope_decades_per_100k: f64) -> f64 {
        self.equivalent_seconds_until(self.seconds, slope_decades_per_100k)
    }

    /// The same over its first `after_s` seconds.
    pub fn equivalent_seconds_until(&self, after_s: f64, slope_decades_per_100k: f64) -> f64 {
        let x = self.ln_growth(slope_decades_per_100k) * after_s / self.seconds;
        // (e^x − 1)/x, which is 1 where the leg is a hold.
        let mean = if x.abs() < 1e-12 { 1.0 } else { x.exp_m1() / x };
        relative_fluidity(self.from_k, slope_decades_per_100k) * after_s * mean
    }

    /// How far into the leg, s, the integral has reached `equivalent_s`.
    pub fn seconds_at(&self, equivalent_s: f64, slope_decades_per_100k: f64) -> f64 {
        let x = self.ln_growth(slope_decades_per_100k);
        let flat = equivalent_s / relative_fluidity(self.from_k, slope_decades_per_100k);
        let at = if x.abs() < 1e-12 {
            flat
        } else {
            self.seconds / x * (flat * x / self.seconds).max(-1.0).ln_1p()
        };
        at.clamp(0.0, self.seconds)
    }

    fn ln_growth(&self, slope_decades_per_100k: f64) -> f64 {
        LN_10 * slope_decades_per_100k * (self.to_k - self.from_k) / 100.0
    }
}
