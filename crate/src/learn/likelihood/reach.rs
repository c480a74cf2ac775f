//! From slopes of one entry's films and masses to slopes of the unknowns.
//!
//! Takes, entry by entry, changes by film, look and weigh-in; adds each unknown its part.

use super::super::data::{Laid, Log, NONE, Piece};
use super::super::unknowns::global;
use super::look::LookSlopes;
use super::now::Now;
use super::stack::{Film, Stack};
use super::ways::Ways;
use crate::real::Pair;
use crate::studio::bounds::LAYERS;
use crate::studio::case::Method;

/// Makes `list` so long and empty.
#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn empty(list: &mut Vec<Pair>, len: usize, nothing: Pair) {
    if list.len() != len {
        list.resize(len, nothing);
    }
    for own in list {
        *own = nothing;
    }
}

/// What one entry's readings change, by layer and as a whole.
#[derive(Clone, Debug, Default)]
pub struct Reach {
    layers: usize,
    /// Per log of each layer's thickness.
    mass: [Pair; LAYERS],
    /// Per decade of each layer's Phi.
    phi: [Pair; LAYERS],
    /// Per decade of each pair's shift.
    pairs: Vec<Pair>,
    /// Per decade of the kiln.
    kiln: Pair,
    /// Per mixing.
    mixing: Pair,
    /// Per log of the retention.
    pub ln_retention: Pair,
    /// Per weight of the log share in the look.
    look_share: Pair,
}

impl Reach {
    /// Ready for another entry.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn clear(&mut self, stack: &Stack, piece: &Piece, now: &Now) {
        let (n, nothing) = (stack.len, now.nothing);
        self.layers = n;
        for (mass, phi) in self.mass.iter_mut().zip(&mut self.phi).take(n) {
            (*mass, *phi) = (nothing, nothing);
        }
        empty(&mut self.pairs, piece.meetings.len as usize, nothing);
        (self.kiln, self.mixing) = (nothing, nothing);
        (self.ln_retention, self.look_share) = (nothing, nothing);
    }

    /// Adds a change by `eta` per decade of a film's Phi and by `ln_h` per log of its thickness.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn film(
        &mut self,
        log: &Log,
        piece: &Piece,
        now: &Now,
        film: &Film,
        eta: Pair,
        ln_h: Pair,
    ) {
        for i in 0..self.layers {
            self.phi[i] += eta * film.per_log10_phi[i];
            self.mass[i] += eta * film.per_ln_melt[i] + ln_h * film.share[i];
        }
        let weight = 4.0 * eta * now.mixing.value;
        for (pair, meeting) in self.pairs.iter_mut().zip(piece.meetings.of(&log.meetings)) {
            *pair +=
                weight * film.share[meeting.lower as usize] * film.share[meeting.upper as usize];
        }
        self.kiln += eta;
        self.mixing += eta * film.per_mixing;
    }

    /// Adds a change by `by` per log of the thickness that the look is judged by.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn look(&mut self, look: &LookSlopes, by: Pair) {
        for i in 0..self.layers {
            self.mass[i] += by * look.per_ln_melt[i];
        }
        self.look_share += by * look.per_look_share;
    }

    /// Adds each unknown its part, but for what lies behind the layers' masses: that goes to the slopes of their ways.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn give_with_ways(
        &self,
        log: &Log,
        piece: &Piece,
        (ways, mass): (&Ways, &mut [Pair]),
        now: &Now,
        to: &mut [Pair],
    ) {
        let first = piece.layers.from as usize;
        for layer in 0..self.layers {
            ways.add(first + layer, self.mass[layer], mass);
        }
        self.give_melts(log, piece, now, to);
    }

    /// Adds each unknown its part.
    pub fn give(&self, log: &Log, piece: &Piece, now: &Now, point: &[Pair], to: &mut [Pair]) {
        for (i, laid) in piece.layers.of(&log.layers).iter().take(LAYERS).enumerate() {
            give_mass(log, laid, now, point, self.mass[i], to);
        }
        self.give_melts(log, piece, now, to);
    }

    /// The part of all but the masses.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn give_melts(&self, log: &Log, piece: &Piece, now: &Now, to: &mut [Pair]) {
        let first = log.unknowns.globals();
        for (i, laid) in piece.layers.of(&log.layers).iter().take(LAYERS).enumerate() {
            if laid.glaze != NONE {
                to[laid.glaze as usize] += self.phi[i];
            }
        }
        for (slope, meeting) in self
            .pairs
            .iter()
            .copied()
            .zip(piece.meetings.of(&log.meetings))
        {
            to[meeting.place as usize] += slope;
            to[meeting.place as usize + 1] += meeting.sign * slope;
        }
        for &place in &[piece.firing, piece.shelf] {
            if place != NONE {
                to[place as usize] += self.kiln;
            }
        }
        to[first + global::MIXING] += self.mixing * now.mixing.slope;
        to[first + global::LN_RETENTION] += self.ln_retention;
        to[first + global::LOOK_SHARE] += self.look_share;
    }
}

/// Adds each unknown behind a layer's mass its part of a change by `slope` per log of it.
pub fn give_mass(log: &Log, laid: &Laid, now: &Now, point: &[Pair], slope: Pair, to: &mut [Pair]) {
    let first = log.unknowns.globals();
    let (method, carried) = match laid.method {
        Method::Brush => (global::LN_BRUSH, false),
        Method::Dip => (global::LN_DIP, true),
        Method::Spray => (global::LN_SPRAY, true),
    };
    to[first + method] += slope;
    if laid.hand != NONE {
        let hand = laid.hand as usize;
        if carried {
            to[hand] += slope * now.carry.value;
            to[first + global::CARRY] += slope * now.carry.slope * point[hand];
        } else {
            to[hand] += slope;
        }
    }
    if laid.coats > 0 {
        let (_, per_thinning, per_anew) = now.thinned(laid.coats, laid.below);
        to[first + global::THINNING] += slope * per_thinning;
        to[first + global::ANEW] += slope * per_anew;
    }
}

/// Every place that [`give_mass`] can add to.
pub fn places_of_mass(log: &Log, laid: &Laid, places: &mut Vec<u32>) {
    let first = log.unknowns.globals();
    let global = [
        global::LN_BRUSH,
        global::LN_DIP,
        global::LN_SPRAY,
        global::CARRY,
        global::THINNING,
        global::ANEW,
    ];
    places.extend(global.map(|g| (first + g) as u32));
    places.extend(Some(laid.hand).filter(|place| *place != NONE));
}

/// Every place that [`Reach::give`] can add to.
pub fn places_of(log: &Log, piece: &Piece, places: &mut Vec<u32>) {
    let first = log.unknowns.globals();
    places.extend(
        [piece.firing, piece.shelf]
            .into_iter()
            .filter(|place| *place != NONE),
    );
    for laid in piece.layers.of(&log.layers) {
        places.extend(Some(laid.glaze).filter(|place| *place != NONE));
        places_of_mass(log, laid, places);
    }
    for meeting in piece.meetings.of(&log.meetings) {
        places.extend([meeting.place, meeting.place + 1]);
    }
    places.extend(
        [global::MIXING, global::LN_RETENTION, global::LOOK_SHARE].map(|g| (first + g) as u32),
    );
}
