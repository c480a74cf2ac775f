//! The firing as a clock of work: which moment of the schedule has spent which share of the fluidity integral.
//!
//! Takes a schedule, the sealing temperature and the slope; gives moments by share, by time or by temperature, for whoever
//! scrubs through a firing.

use super::super::error::PhysicsError;
use super::schedule::{Leg, Schedule};

/// Which way the temperature goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trend {
    /// Up.
    Rising,
    /// A hold.
    Holding,
    /// Down.
    Falling,
}

/// One moment of a firing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Time since the schedule's start, s.
    pub time_s: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Which way it goes.
    pub trend: Trend,
    /// Share of the whole firing's fluidity integral that is spent, 0–1.
    pub share: f64,
}

/// A firing from sealing over to the schedule's end, ready to be asked.
#[derive(Clone, Debug, PartialEq)]
pub struct FiringClock {
    /// Legs, each with the equivalent seconds spent before it.
    legs: Vec<(Leg, f64)>,
    total_s: f64,
    slope: f64,
}

impl FiringClock {
    /// The clock of a schedule.
    ///
    /// # Errors
    /// As [`super::phi_shift_decades`].
    pub fn new(
        schedule: &Schedule,
        seal_k: f64,
        slope_decades_per_100k: f64,
    ) -> Result<Self, PhysicsError> {
        super::check(seal_k, slope_decades_per_100k)?;
        let mut total_s = 0.0;
        let mut legs = Vec::new();
        for leg in schedule.legs_from_sealing(seal_k) {
            legs.push((leg, total_s));
            total_s += leg.equivalent_seconds(slope_decades_per_100k);
        }
        if total_s <= 0.0 {
            return Err(PhysicsError::NeverSeals {
                peak_k: schedule.peak_k(),
                seal_k,
            });
        }
        Ok(Self {
            legs,
            total_s,
            slope: slope_decades_per_100k,
        })
    }

    /// The whole integral, s at the reference peak.
    pub fn equivalent_seconds(&self) -> f64 {
        self.total_s
    }

    /// When the glaze seals over, s since the schedule's start.
    pub fn sealed_s(&self) -> f64 {
        self.legs.first().map_or(0.0, |(leg, _)| leg.start_s)
    }

    /// When the schedule ends, s since its start.
    pub fn end_s(&self) -> f64 {
        self.legs
            .last()
            .map_or(0.0, |(leg, _)| leg.start_s + leg.seconds)
    }

    /// The moment at which `share` of the integral is spent; 0 and below is sealing over, 1 and above the end.
    pub fn at_share(&self, share: f64) -> Moment {
        // The last legs of a long cooling add less than a double can tell, so the end is asked for by time.
        if share >= 1.0 {
            return Moment {
                share: 1.0,
                ..self.at_time(self.end_s())
            };
        }
        let want = share.max(0.0) * self.total_s;
        let i = self
            .legs
            .partition_point(|(_, before)| *before <= want)
            .max(1)
            - 1;
        self.moment(i, |leg, before| leg.seconds_at(want - before, self.slope))
    }

    /// The moment `time_s` after the schedule's start, not before sealing over nor after the end.
    pub fn at_time(&self, time_s: f64) -> Moment {
        let i = self
            .legs
            .partition_point(|(leg, _)| leg.start_s <= time_s)
            .max(1)
            - 1;
        self.moment(i, |leg, _| (time_s - leg.start_s).clamp(0.0, leg.seconds))
    }

    /// The moment at which the kiln stands at `temperature_k`: the first time on the way up, or the last time on the way down; none where it never does on that
    /// way after sealing.
    pub fn at_temperature(&self, temperature_k: f64, trend: Trend) -> Option<Moment> {
        let on_the_way = |(leg, _): &(Leg, f64)| {
            trend_of(leg) == trend
                && temperature_k >= leg.from_k.min(leg.to_k)
                && temperature_k <= leg.from_k.max(leg.to_k)
        };
        let i = match trend {
            Trend::Falling => self.legs.iter().rposition(on_the_way),
            Trend::Rising | Trend::Holding => self.legs.iter().position(on_the_way),
        }?;
        Some(self.moment(i, |leg, _| {
            let span = leg.to_k - leg.from_k;
            if span == 0.0 {
                0.0
            } else {
                leg.seconds * (temperature_k - leg.from_k) / span
            }
        }))
    }

    fn moment(&self, i: usize, after: impl Fn(&Leg, f64) -> f64) -> Moment {
        let (leg, before) = &self.legs[i];
        let after_s = after(leg, *before);
        let spent = before + leg.equivalent_seconds_until(after_s, self.slope);
        Moment {
            time_s: leg.start_s + after_s,
            temperature_k: leg.temperature_k(after_s),
            trend: trend_of(leg),
            share: (spent / self.total_s).clamp(0.0, 1.0),
        }
    }
}

fn trend_of(leg: &Leg) -> Trend {
    if leg.to_k > leg.from_k {
        Trend::Rising
    } else if leg.to_k < leg.from_k {
        Trend::Falling
    } else {
        Trend::Holding
    }
}

/// The moment of a schedule at which `share` of its fluidity integral is spent. To ask more than once, keep a [`FiringClock`].
///
/// # Errors
/// As [`FiringClock::new`].
pub fn temperature_at_share(
    schedule: &Schedule,
    seal_k: f64,
    slope_decades_per_100k: f64,
    share: f64,
) -> Result<Moment, PhysicsError> {
    Ok(FiringClock::new(schedule, seal_k, slope_decades_per_100k)?.at_share(share))
}
