//! The layers of one entry at one point, and the glaze above one of its edges as a film.
//!
//! Takes an entry of the log and a point; gives melt thicknesses, the film's fluidity and thickness, and what each layer changes in them.

use super::super::data::{Laid, Log, NONE, Piece};
use super::now::Now;
use crate::physics::laydown::PERSON_LN_SIGMA;
use crate::physics::melt;
use crate::studio::bounds::LAYERS;
use crate::studio::case::Method;

/// The layers of one entry.
#[derive(Clone, Debug, Default)]
pub struct Stack {
    /// How many there are.
    pub len: usize,
    /// Natural log of the melt thickness of each, m.
    pub ln_melt: [f64; LAYERS],
    /// Melt thickness of each, m.
    pub melt: [f64; LAYERS],
    /// log10 of the fluidity integral of each at the reference firing.
    pub log10_phi: [f64; LAYERS],
    /// What the kiln adds to all of them, decades.
    pub kiln: f64,
}

/// The glaze above one edge.
#[derive(Clone, Debug, Default)]
pub struct Film {
    /// Which of the entry's strips.
    pub strip: usize,
    /// Thickness of all layers together, spread over the strip, m.
    pub thickness: f64,
    /// log10 of the fluidity integral as one film, kiln and all.
    pub log10_phi: f64,
    /// Share of each layer in the thickness.
    pub share: [f64; LAYERS],
    /// Change of `log10_phi` per decade of each layer's own.
    pub per_log10_phi: [f64; LAYERS],
    /// Change of `log10_phi` per log of each layer's thickness.
    pub per_ln_melt: [f64; LAYERS],
    /// Change of `log10_phi` per mixing.
    pub per_mixing: f64,
}

impl Stack {
    /// Lays the layers of `piece`.
    pub fn lay(&mut self, log: &Log, piece: &Piece, now: &Now, point: &[f64]) {
        let layers = piece.layers.of(&log.layers);
        self.len = layers.len().min(LAYERS);
        for (i, laid) in layers.iter().take(LAYERS).enumerate() {
            self.ln_melt[i] = laid.ln_melt + ln_mass(laid, now, point);
            self.melt[i] = self.ln_melt[i].exp();
            self.log10_phi[i] = point.get(laid.glaze as usize).copied().unwrap_or(0.0);
        }
        let of = |place: u32| {
            if place == NONE {
                0.0
            } else {
                point[place as usize]
            }
        };
        self.kiln = piece.shift + of(piece.firing) + of(piece.shelf);
    }

    /// The glaze above strip number `strip` as a film.
    pub fn film(&self, log: &Log, piece: &Piece, now: &Now, point: &[f64], strip: usize) -> Film {
        let n = self.len;
        let mut film = Film {
            strip,
            ..Film::default()
        };
        let mut there = [0.0; LAYERS];
        let covers = piece
            .strips
            .of(&log.strips)
            .get(strip)
            .map_or(0, |s| s.covers as usize);
        let covers = log.covers.get(covers..covers + n).unwrap_or(&[]);
        for ((there, cover), melt) in there.iter_mut().zip(covers).zip(&self.melt) {
            *there = cover * melt;
            film.thickness += *there;
        }
        film.thickness = film.thickness.max(1e-12);
        for (share, there) in film.share.iter_mut().zip(&there[..n]) {
            *share = there / film.thickness;
        }
        if n == 1 {
            film.log10_phi = self.log10_phi[0];
            film.per_log10_phi[0] = 1.0;
        } else {
            let meetings = piece.meetings.of(&log.meetings);
            let mut shifts = [[0.0; LAYERS]; LAYERS];
            for m in meetings {
                let place = m.place as usize;
                shifts[m.lower as usize][m.upper as usize] =
                    point[place] + m.sign * point[place + 1];
            }
            let slopes = melt::stack_slopes(
                &there[..n],
                &self.log10_phi[..n],
                &|lower, upper| shifts[lower][upper],
                now.mixing.value,
                &mut film.per_log10_phi[..n],
                &mut film.per_ln_melt[..n],
            );
            film.log10_phi = slopes.log10_phi;
            film.per_mixing = slopes.per_mixing;
        }
        film.log10_phi += self.kiln;
        film
    }
}

/// Natural log of a layer's mass against the book's, all that has a name counted.
#[inline]
pub fn ln_mass(laid: &Laid, now: &Now, point: &[f64]) -> f64 {
    let habit = if laid.hand == NONE {
        0.0
    } else {
        point[laid.hand as usize]
    };
    match laid.method {
        Method::Brush => now.ln_method[0] + habit + now.thinned(laid.coats, laid.below).0,
        Method::Dip => now.ln_method[1] + now.carry.value * habit,
        Method::Spray => now.ln_method[2] + now.carry.value * habit,
    }
}

/// How much of an unnamed hand's spread a layer has.
#[inline]
pub fn unnamed(laid: &Laid, now: &Now) -> f64 {
    match (laid.hand, laid.method) {
        (NONE, Method::Brush) => PERSON_LN_SIGMA,
        (NONE, _) => PERSON_LN_SIGMA * now.carry.value,
        _ => 0.0,
    }
}
