//! Viscosity against temperature: one slope near the peak, or a Vogel–Fulcher–Tammann curve.
//!
//! Takes one to three measured points or a curve's numbers; gives log10 viscosity (Pa s), its slope, and a schedule's fluidity integral.

use super::super::error::{PhysicsError, PointsWrong, within};
use super::schedule::{Leg, Schedule};
use super::{REFERENCE_PEAK_K, SLOPE_DECADES_PER_100K};
use crate::order;
use std::f64::consts::LN_10;

/// `log10 eta = a + b/(T − c)`, eta in Pa s, T in K (Vogel 1921, Fulcher 1925, Tammann & Hesse 1926).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vft {
    /// log10 of the viscosity at endless temperature, log10(Pa s).
    pub a: f64,
    /// K.
    pub b_k: f64,
    /// Temperature at which it would be endless, K.
    pub c_k: f64,
}

impl Vft {
    /// log10 of viscosity, Pa s, at `temperature_k` above `c_k`.
    pub fn log10_eta_pa_s(&self, temperature_k: f64) -> f64 {
        self.a + self.b_k / (temperature_k - self.c_k)
    }

    /// 1/viscosity, 1/(Pa s); 0 at and below `c_k`, where the curve is a solid.
    pub fn fluidity_per_pa_s(&self, temperature_k: f64) -> f64 {
        if temperature_k <= self.c_k {
            0.0
        } else {
            (-LN_10 * self.log10_eta_pa_s(temperature_k)).exp()
        }
    }

    /// How fast log10 viscosity falls at `temperature_k`, decades per 100 K: `100 b/(T − c)²`.
    pub fn slope_decades_per_100k(&self, temperature_k: f64) -> f64 {
        100.0 * self.b_k / (temperature_k - self.c_k).powi(2)
    }
}

/// Steepest fall of viscosity taken, decades per 100 K; melts at their glass transition have half of it.
const STEEPEST: f64 = 20.0;

/// How a glaze's viscosity falls with temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Viscosity {
    /// `log10 eta = log10 eta(at) − s (T − at)/100 K`.
    Slope {
        /// Where it is known, K.
        at_k: f64,
        /// log10 of viscosity there, Pa s.
        log10_eta_pa_s: f64,
        /// Decades per 100 K.
        slope_decades_per_100k: f64,
    },
    /// A curve.
    Vft(Vft),
}

impl Viscosity {
    /// The law through measured points `(temperature K, log10 Pa s)`: one with the usual slope, two with their own, three by
    /// Vogel–Fulcher–Tammann in closed form (a straight line of three stays a slope).
    ///
    /// # Errors
    /// [`PhysicsError::ViscosityPoints`]: none or more than three, two at one temperature, not falling or falling too steeply, or bent the wrong way;
    /// [`PhysicsError::OutOfBounds`]: a temperature outside 500–1900 K, a log outside −2 to 14.
    pub fn through(points: &[(f64, f64)]) -> Result<Self, PhysicsError> {
        let wrong = |why| PhysicsError::ViscosityPoints {
            count: points.len(),
            why,
        };
        for (t, y) in points {
            within("temperature_k", *t, 500.0, 1900.0)?;
            within("log10_eta_pa_s", *y, -2.0, 14.0)?;
        }
        let mut p = points.to_vec();
        order::by(&mut p, |a, b| a.0.total_cmp(&b.0));
        for pair in p.windows(2) {
            if pair[1].0 - pair[0].0 < 1.0 {
                return Err(wrong(PointsWrong::SameTemperature));
            }
            if pair[1].1 >= pair[0].1 {
                return Err(wrong(PointsWrong::NotFalling));
            }
            if pair[0].1 - pair[1].1 > STEEPEST * (pair[1].0 - pair[0].0) / 100.0 {
                return Err(wrong(PointsWrong::TooSteep));
            }
        }
        let sloping = |from: (f64, f64), slope| Self::Slope {
            at_k: from.0,
            log10_eta_pa_s: from.1,
            slope_decades_per_100k: slope,
        };
        match p[..] {
            [one] => Ok(sloping(one, SLOPE_DECADES_PER_100K)),
            [cold, hot] => Ok(sloping(hot, 100.0 * (cold.1 - hot.1) / (hot.0 - cold.0))),
            [(t1, y1), (t2, y2), (t3, y3)] => {
                // (T3 − c)/(T1 − c), from the three differences.
                let ratio = (y1 - y2) / (y2 - y3) * (t3 - t2) / (t2 - t1);
                if (ratio - 1.0).abs() < 1e-6 {
                    return Ok(sloping((t3, y3), 100.0 * (y1 - y3) / (t3 - t1)));
                }
                if ratio < 1.0 {
                    return Err(wrong(PointsWrong::BendsTheWrongWay));
                }
                let c_k = (ratio * t1 - t3) / (ratio - 1.0);
                let b_k = (y1 - y3) / (1.0 / (t1 - c_k) - 1.0 / (t3 - c_k));
                Ok(Self::Vft(Vft {
                    a: y3 - b_k / (t3 - c_k),
                    b_k,
                    c_k,
                }))
            }
            _ => Err(wrong(PointsWrong::Count)),
        }
    }

    /// log10 of viscosity, Pa s, at `temperature_k`.
    pub fn log10_eta_pa_s(&self, temperature_k: f64) -> f64 {
        match self {
            Self::Slope {
                at_k,
                log10_eta_pa_s,
                slope_decades_per_100k,
            } => log10_eta_pa_s - slope_decades_per_100k * (temperature_k - at_k) / 100.0,
            Self::Vft(v) => v.log10_eta_pa_s(temperature_k),
        }
    }

    /// Fluidity integral of a schedule from sealing over, 1/Pa: `∫ dt/eta(T(t))`.
    ///
    /// A slope is integrated exactly; a curve by Gauss–Legendre quadrature of 5 points on panels of at most 25 K, whose error is under 1e-9 of the
    /// integral over the range of glaze melts.
    ///
    /// # Errors
    /// [`PhysicsError::NeverSeals`] where the schedule stays below `seal_k`, or so cold that the curve is a solid throughout.
    pub fn phi_per_pa(&self, schedule: &Schedule, seal_k: f64) -> Result<f64, PhysicsError> {
        let legs = schedule.legs_from_sealing(seal_k);
        let phi: f64 = match self {
            Self::Slope {
                slope_decades_per_100k: s,
                ..
            } => {
                let at_reference = (-LN_10 * self.log10_eta_pa_s(REFERENCE_PEAK_K)).exp();
                at_reference
                    * legs
                        .iter()
                        .map(|leg| leg.equivalent_seconds(*s))
                        .sum::<f64>()
            }
            Self::Vft(v) => legs.iter().map(|leg| integrate(v, leg)).sum(),
        };
        if phi > 0.0 {
            Ok(phi)
        } else {
            Err(PhysicsError::NeverSeals {
                peak_k: schedule.peak_k(),
                seal_k,
            })
        }
    }
}

/// Abscissae and weights of Gauss–Legendre quadrature with 5 points on −1…1 (Abramowitz & Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

fn integrate(v: &Vft, leg: &Leg) -> f64 {
    let panels = ((leg.to_k - leg.from_k).abs() / 25.0).ceil().max(1.0);
    let half = leg.seconds / panels / 2.0;
    let mut sum = 0.0;
    // A leg spans at most 1500 K, so 60 panels.
    for panel in 0..panels as u32 {
        let middle = (2.0 * f64::from(panel) + 1.0) * half;
        for &(x, w) in &GAUSS {
            sum += w * v.fluidity_per_pa_s(leg.temperature_k(middle + x * half));
        }
    }
    sum * half
}
