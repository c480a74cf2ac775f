//! The layers of one entry at one point, and the glaze above one of its edges as a film.
//!
//! Takes an entry of the log and a point; gives melt thicknesses, the film's fluidity and thickness, and what each layer changes in them.

use super::super::data::{Laid, Log, NONE, Piece, Strip};
use super::now::Now;
use super::reach::empty;
use super::ways::Ways;
use crate::physics::laydown::PERSON_LN_SIGMA;
use crate::physics::melt;
use crate::real::{Pair, Real};
use crate::studio::bounds::LAYERS;
use crate::studio::case::Method;

/// Most edges of one entry that are looked at, from the lowest.
pub const EDGES: usize = 3;

/// The layers of one entry.
#[derive(Clone, Debug, Default)]
pub struct Stack {
    /// How many there are.
    pub len: usize,
    /// Natural log of the melt thickness of each, m.
    pub ln_melt: [Pair; LAYERS],
    /// Melt thickness of each, m.
    pub melt: [Pair; LAYERS],
    /// log10 of the fluidity integral of each at the reference firing.
    pub log10_phi: [Pair; LAYERS],
    /// The same, 1/Pa.
    phi: [Pair; LAYERS],
    /// What the kiln adds to all of them, decades.
    pub kiln: Pair,
    /// The glaze above each edge.
    pub films: [Film; EDGES],
    /// The glaze over a texture.
    pub over_texture: Film,
    /// Pair shifts, upper by lower.
    shifts: Vec<Pair>,
    /// Room for melt thicknesses over one strip.
    there: [Pair; LAYERS],
}

/// The glaze above one edge.
#[derive(Clone, Debug, Default)]
pub struct Film {
    /// Thickness of all layers together, spread over the strip, m.
    pub thickness: Pair,
    /// Natural log of that.
    pub ln_thickness: Pair,
    /// log10 of the fluidity integral as one film, kiln and all.
    pub log10_phi: Pair,
    /// Share of each layer in the thickness.
    pub share: [Pair; LAYERS],
    /// Change of `log10_phi` per decade of each layer's own.
    pub per_log10_phi: [Pair; LAYERS],
    /// Change of `log10_phi` per log of each layer's thickness.
    pub per_ln_melt: [Pair; LAYERS],
    /// Change of `log10_phi` per mixing.
    pub per_mixing: Pair,
}

impl Stack {
    /// Lays the layers of `piece`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn lay(&mut self, ways: &Ways, piece: &Piece, now: &Now, point: &[Pair]) {
        let layers = piece.layers.of(&ways.layers);
        self.len = layers.len().min(LAYERS);
        let factors = &now.factors;
        for (i, way) in layers.iter().take(LAYERS).enumerate() {
            let glaze = way.glaze as usize;
            let habit = &factors.habits[way.habit as usize];
            let coats = &factors.coats[way.coats as usize];
            self.melt[i] = way.melt_m * habit.times * coats.times;
            self.ln_melt[i] = way.ln_melt + habit.ln + coats.ln;
            self.log10_phi[i] = factors.log10_phi[glaze];
            self.phi[i] = factors.phi[glaze];
        }
        let of = |place: u32| {
            if place == NONE {
                Pair::ZERO
            } else {
                point[place as usize]
            }
        };
        self.kiln = piece.shift + of(piece.firing) + of(piece.shelf);
    }

    /// Melts the glaze above each edge of `piece`, whose layers are laid and shifted.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn melt_edges(&mut self, log: &Log, piece: &Piece, now: &Now) {
        let (mut layers, films, _) = self.ready();
        let edges = (piece.edges as usize).min(EDGES);
        for (strip, film) in piece.strips.of(&log.strips).iter().zip(films).take(edges) {
            layers.melt_strip(log, now, strip, film);
        }
    }

    /// Melts the glaze over the texture of `piece`, whose layers are laid and shifted.
    pub fn melt_texture(&mut self, log: &Log, piece: &Piece, now: &Now, strip: usize) {
        let (mut layers, _, over_texture) = self.ready();
        if let Some(strip) = piece.strips.of(&log.strips).get(strip) {
            layers.melt_strip(log, now, strip, over_texture);
        }
    }

    /// The laid layers with their pair shifts, and the films they melt into: one per edge, and the one over a texture.
    fn ready(&mut self) -> (Layers<'_>, &mut [Film; EDGES], &mut Film) {
        let layers = Layers {
            melt: &self.melt[..self.len],
            ln_first: self.ln_melt[0],
            log10_phi: &self.log10_phi[..self.len],
            phi: &self.phi[..self.len],
            kiln: self.kiln,
            shifts: &self.shifts,
            there: &mut self.there,
        };
        (layers, &mut self.films, &mut self.over_texture)
    }

    /// Takes the pair shifts of the layers of `piece`, which are laid.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn shift(&mut self, log: &Log, piece: &Piece, now: &Now, point: &[Pair]) {
        if self.len > 1 {
            empty(&mut self.shifts, self.len * self.len, now.nothing);
            for m in piece.meetings.of(&log.meetings) {
                let place = m.place as usize;
                self.shifts[m.upper as usize * self.len + m.lower as usize] =
                    point[place] + m.sign * point[place + 1];
            }
        }
    }
}

/// The layers of one entry, laid.
struct Layers<'a> {
    melt: &'a [Pair],
    ln_first: Pair,
    log10_phi: &'a [Pair],
    phi: &'a [Pair],
    kiln: Pair,
    shifts: &'a [Pair],
    there: &'a mut [Pair; LAYERS],
}

impl Layers<'_> {
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn melt_strip(&mut self, log: &Log, now: &Now, strip: &Strip, film: &mut Film) {
        let n = self.melt.len();
        let covers = log
            .covers
            .get(strip.covers as usize..strip.covers as usize + n)
            .unwrap_or(&[]);
        let there = &mut self.there[..n];
        let mut thickness = Pair::ZERO;
        for i in 0..n.min(covers.len()) {
            there[i] = covers[i] * self.melt[i];
            thickness += there[i];
        }
        film.thickness = thickness.or_more(Pair::splat(1e-12));
        film.ln_thickness = if n == 1 && covers == [1.0] {
            self.ln_first
        } else {
            film.thickness.logarithm()
        };
        if n == 1 {
            film.share[0] = there[0] / film.thickness;
            film.log10_phi = self.log10_phi[0] + self.kiln;
            film.per_log10_phi[0] = Pair::ONE;
            film.per_ln_melt[0] = Pair::ZERO;
            film.per_mixing = Pair::ZERO;
            return;
        }
        let per = 1.0 / film.thickness;
        for (share, there) in film.share[..n].iter_mut().zip(&*there) {
            *share = *there * per;
        }
        let slopes = melt::stack_slopes(
            there,
            [self.log10_phi, self.phi],
            |lower, upper| self.shifts[upper * n + lower],
            now.mixing.value,
            &mut film.per_log10_phi[..n],
            &mut film.per_ln_melt[..n],
        );
        film.log10_phi = slopes.log10_phi + self.kiln;
        film.per_mixing = slopes.per_mixing;
    }
}

/// Natural log of a layer's mass against the book's, all that has a name counted.
#[inline]
pub fn ln_mass(laid: &Laid, now: &Now, point: &[Pair]) -> Pair {
    let habit = if laid.hand == NONE {
        Pair::ZERO
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
pub fn unnamed(laid: &Laid, now: &Now) -> Pair {
    match (laid.hand, laid.method) {
        (NONE, Method::Brush) => Pair::splat(PERSON_LN_SIGMA),
        (NONE, _) => PERSON_LN_SIGMA * now.carry.value,
        _ => Pair::ZERO,
    }
}
