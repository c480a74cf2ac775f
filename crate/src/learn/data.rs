//! The log in the shape that the likelihood reads: every entry's layers, edges and readings as plain numbers and places of unknowns.
//!
//! Takes a checked studio; gives a [`Log`]: flat lists, so that a pass over them costs the same for every entry however many there are.

mod reading;

use reading::{WORDS, fullest, read, teaches, used, words};

use super::counts::Counts;
use super::drips::{self, Longest};
use super::forward::{EntryBands, drips};
use super::priors;
use super::unknowns::{Unknowns, Used};
use super::wall::{Wall, Walls};
use crate::physics::texture::{Across, Waves};
use crate::studio::bounds::LAYERS;
use crate::studio::case::{Case, CaseLayer, Cases, Method};
use crate::studio::document::{Entry, Look, Studio, TextureKind, TextureSeen};
use std::sync::Arc;

/// No unknown of its own.
pub const NONE: u32 = u32::MAX;

/// One layer.
#[derive(Clone, Copy, Debug)]
pub struct Laid {
    /// Place of its glaze's log10 Phi.
    pub glaze: u32,
    /// Place of its hand, [`NONE`] for anyone's.
    pub hand: u32,
    /// How it went on.
    pub method: Method,
    /// Natural log of its melt thickness at the book's medians, m.
    pub ln_melt: f64,
    /// Brushed coats, 0 for other methods.
    pub coats: u32,
    /// Brushed coats below it in the stack.
    pub below: u32,
    /// One over the number of coats, dips or passes.
    pub per_unit: f64,
    /// Variance of the log of its mass from the reading of the specific gravity.
    pub sg_variance: f64,
}

/// Two layers of different glazes in one stack.
#[derive(Clone, Copy, Debug)]
pub struct Meeting {
    /// The lower layer, counted in its stack.
    pub lower: u32,
    /// The upper layer.
    pub upper: u32,
    /// Place of the symmetric part of their shift, the order part right after.
    pub place: u32,
    /// +1 where the order part is added, −1 where it is taken off.
    pub sign: f64,
}

/// One edge as a band.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Length down the slope, m.
    pub length_m: f64,
    /// Down to the edge that is read, m.
    pub gap_m: f64,
    /// The same as a run on a straight wall, m.
    pub gap_straight_m: f64,
    /// Sine of the slope at the edge.
    pub sin_slope: f64,
    /// How many times as much the edge holds as on a straight wall of that slope.
    pub held: f64,
    /// From a run on a straight wall to one on this.
    pub wall: Arc<Wall>,
    /// First of its layers' covers in [`Log::covers`].
    pub covers: u32,
}

/// A stretch of a flat list.
#[derive(Clone, Copy, Debug, Default)]
pub struct Stretch {
    /// First.
    pub from: u32,
    /// How many.
    pub len: u32,
}

impl Stretch {
    /// The stretch of `list`.
    #[inline]
    pub fn of<'a, T>(&self, list: &'a [T]) -> &'a [T] {
        let from = self.from as usize;
        list.get(from..from + self.len as usize).unwrap_or(&[])
    }
}

/// What was read of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RunRead {
    /// By ruler.
    Ruler {
        /// Below the edge, m.
        run_m: f64,
        /// Sd of the reading, m.
        error_m: f64,
        /// Whether it is whole millimetres.
        whole: bool,
    },
    /// It lies between two runs, m; infinite: no upper end. `stuck`: said to have stayed where it was.
    Between {
        /// Least, m; below 0: no lower end.
        least_m: f64,
        /// Most, m.
        most_m: f64,
        /// The word "did not move".
        stuck: bool,
    },
}

/// A texture that was seen.
#[derive(Clone, Copy, Debug)]
pub struct Relief {
    /// What was seen.
    pub seen: TextureSeen,
    /// The texture itself.
    pub waves: Waves,
    /// The strip of its piece that stands for the glaze over it.
    pub strip: u32,
}

/// One entry.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its place in the studio's entries.
    pub entry: u32,
    /// Its layers, the wall first, in [`Log::layers`].
    pub layers: Stretch,
    /// Pairs that meet in it, in [`Log::meetings`].
    pub meetings: Stretch,
    /// Its strips in [`Log::strips`]: its edges, the one that is read first; after them the glaze over a texture.
    pub strips: Stretch,
    /// How many of them are edges.
    pub edges: u32,
    /// Place of its firing or [`NONE`].
    pub firing: u32,
    /// Place of its shelf or [`NONE`].
    pub shelf: u32,
    /// The schedule against the reference firing, decades.
    pub shift: f64,
    /// Variance of log10 Phi from what is not named: firing, shelf.
    pub variance: f64,
    /// Sine of the slope.
    pub sin_slope: f64,
    /// False for an edge on glaze.
    pub held: bool,
    /// The longest of its drips.
    pub longest: Longest,
    /// The bare wall below, m.
    pub bare_m: f64,
    /// The run that was read.
    pub run: Option<RunRead>,
    /// The look of its top layer, and the place of that glaze's cuts.
    pub look: Option<(Look, u32)>,
    /// Natural log of fired over melt thickness of the top layer.
    pub ln_fired_per_melt: f64,
    /// Layers that count for the look, the top one among them: a bit each.
    pub look_over: u32,
    /// The texture that was seen.
    pub relief: Option<Relief>,
    /// Whether the studio has looked at it again and keeps it.
    pub kept: bool,
}

/// One weigh-in.
#[derive(Clone, Copy, Debug)]
pub struct Weighed {
    /// Its place in the studio's weigh-ins.
    pub weigh_in: u32,
    /// What went on.
    pub laid: Laid,
    /// Natural log of the mass that was weighed over the book's.
    pub ln_ratio: f64,
    /// Variance of that from the balance.
    pub variance: f64,
    /// Independent patches in its area: place to place averages out over them.
    pub patches: f64,
}

/// The whole log.
#[derive(Clone, Debug)]
pub struct Log {
    /// The unknowns that it bears on.
    pub unknowns: Unknowns,
    /// Entries.
    pub pieces: Vec<Piece>,
    /// Weigh-ins.
    pub weighed: Vec<Weighed>,
    /// Layers of all entries.
    pub layers: Vec<Laid>,
    /// Meetings of all entries.
    pub meetings: Vec<Meeting>,
    /// Strips of all entries.
    pub strips: Vec<Strip>,
    /// Covers of all strips.
    pub covers: Vec<f64>,
    /// How many lie behind each unknown.
    pub counts: Counts,
    /// Share of the edges that moved, but not to the end, whose run is said in a word.
    pub words: f64,
}

/// Patches of glaze vary on their own over about this area, m²: the drips' spacing, squared.
const PATCH_M2: f64 = 5e-4;

impl Log {
    /// Reads the studio's entries that have an outcome, and its weigh-ins. What the physics cannot take (an unchecked studio) is left out.
    pub fn of(studio: &Studio) -> Self {
        let mut cases = Cases::new(studio);
        let logged: Vec<(usize, &Entry, Case)> = (studio.entries.iter().enumerate())
            .filter(|(_, entry)| teaches(entry))
            .filter_map(|(at, entry)| Some((at, entry, cases.of(entry).ok()?)))
            .filter(|(_, _, case)| case.layers.len() <= LAYERS)
            .collect();
        let weighed: Vec<_> = (studio.weigh_ins.iter().enumerate())
            .filter_map(|(at, w)| Some((at, w, cases.weigh_in(w).ok()?)))
            .filter(|(_, _, case)| case.weighed_kg_per_m2 > 0.0 && case.layer.mass_kg_per_m2 > 0.0)
            .collect();
        let kilns = super::unknowns::kilns(studio);
        let used = used(
            &logged,
            weighed.iter().map(|(_, _, case)| &case.layer),
            &kilns,
        );
        let mut log = Self::empty(studio, Unknowns::new(studio, used));
        let mut walls = Walls::default();
        for (at, entry, case) in &logged {
            log.add(*at, entry, case, studio.settings.recess_share, &mut walls);
        }
        for (at, weigh_in, case) in &weighed {
            let error = case.error_kg_per_m2 / case.weighed_kg_per_m2;
            log.weighed.push(Weighed {
                weigh_in: *at as u32,
                laid: log.laid(&case.layer, 0),
                ln_ratio: (case.weighed_kg_per_m2 / case.layer.mass_kg_per_m2).ln(),
                variance: error * error,
                patches: (weigh_in.area_cm2 * 1e-4 / PATCH_M2).max(1.0),
            });
            log.counts.weigh_in(case.layer.hand);
        }
        log.words = words(&log.pieces);
        log
    }

    fn empty(studio: &Studio, unknowns: Unknowns) -> Self {
        Self {
            unknowns,
            pieces: Vec::new(),
            weighed: Vec::new(),
            layers: Vec::new(),
            meetings: Vec::new(),
            strips: Vec::new(),
            covers: Vec::new(),
            counts: Counts::of(studio),
            words: WORDS,
        }
    }

    /// A log of one entry, for the unknowns of another log.
    pub fn of_one(studio: &Studio, unknowns: &Unknowns, entry: &Entry, case: &Case) -> Self {
        let mut log = Self::empty(studio, unknowns.clone());
        log.add(
            0,
            entry,
            case,
            studio.settings.recess_share,
            &mut Walls::default(),
        );
        log
    }

    fn laid(&self, layer: &CaseLayer, below: u32) -> Laid {
        let place = |place: Option<usize>| place.map_or(NONE, |p| p as u32);
        let sg = layer.dln_mass_dsg * layer.sg_sigma;
        Laid {
            glaze: place(self.unknowns.glaze(layer.glaze)),
            hand: place(layer.hand.and_then(|h| self.unknowns.hand(h))),
            method: layer.method,
            ln_melt: (layer.mass_kg_per_m2 * layer.melt_m_per).max(1e-12).ln(),
            coats: if layer.method == Method::Brush {
                layer.units.round() as u32
            } else {
                0
            },
            below,
            per_unit: 1.0 / layer.units.max(1.0),
            sg_variance: sg * sg,
        }
    }

    fn add(&mut self, at: usize, entry: &Entry, case: &Case, recess_share: f64, walls: &mut Walls) {
        let Some(outcome) = &entry.outcome else {
            return;
        };
        let (first, first_meeting, first_strip) =
            (self.layers.len(), self.meetings.len(), self.strips.len());
        let mut below = 0;
        for layer in &case.layers {
            let laid = self.laid(layer, below);
            below += laid.coats;
            self.layers.push(laid);
        }
        for (upper, over) in case.layers.iter().enumerate() {
            for (lower, under) in case.layers[..upper].iter().enumerate() {
                let key = (over.glaze.min(under.glaze), over.glaze.max(under.glaze));
                if let Ok(pair) = self.unknowns.used.pairs.binary_search(&key) {
                    self.meetings.push(Meeting {
                        lower: lower as u32,
                        upper: upper as u32,
                        place: self.unknowns.pair(pair) as u32,
                        sign: if over.glaze > under.glaze { 1.0 } else { -1.0 },
                    });
                    self.counts.pair(pair, over.glaze > under.glaze);
                }
            }
        }
        let bands = EntryBands::among(case, outcome.edge, walls);
        for band in &bands.bands {
            self.strips.push(Strip {
                length_m: band.length_m,
                gap_m: band.gap_m,
                gap_straight_m: band.gap_straight_m,
                sin_slope: band.sin_slope,
                held: band.wall.held(),
                wall: Arc::clone(&band.wall),
                covers: self.covers.len() as u32,
            });
            self.covers.extend_from_slice(&band.cover);
        }
        let edges = (self.strips.len() - first_strip) as u32;
        let relief = outcome
            .texture
            .zip(case.texture.as_ref())
            .and_then(|(seen, marks)| {
                let over = fullest(case, marks.from_m, marks.to_m)?;
                self.strips.push(Strip {
                    length_m: 1.0,
                    gap_m: 0.0,
                    gap_straight_m: 0.0,
                    sin_slope: case.sin_slope,
                    held: 1.0,
                    wall: Arc::new(Wall::straight()),
                    covers: self.covers.len() as u32,
                });
                self.covers
                    .extend((0..case.layers.len()).map(|i| f64::from((over >> i) & 1)));
                let across = match marks.kind {
                    TextureKind::UprightFlutes => Across::Level,
                    TextureKind::Rings | TextureKind::Pressed => Across::Run,
                };
                let waves = Waves {
                    wavelength_m: marks.repeat_m,
                    depth_m: marks.depth_m,
                    across,
                    recess_share,
                };
                Some(Relief {
                    seen,
                    waves,
                    strip: edges,
                })
            });
        let melt: Vec<f64> = self.layers[first..]
            .iter()
            .map(|l| l.ln_melt.exp())
            .collect();
        let thickness = bands
            .bands
            .first()
            .map_or(0.0, |b| EntryBands::thickness_m(b, &melt));
        let firing = case.firing.and_then(|f| self.unknowns.firing(f));
        let kiln = case
            .firing
            .and_then(|f| self.unknowns.keys.kiln_of_firing.get(f))
            .copied();
        let shelf_number = kiln
            .zip(case.shelf)
            .and_then(|key| self.unknowns.used.shelves.binary_search(&key).ok());
        let mut variance = 0.0;
        if firing.is_none() {
            variance += priors::firing_sd_decades(case.schedule_known).powi(2);
        }
        if shelf_number.is_none() {
            variance += priors::shelf_sd_decades().powi(2);
        }
        let top = case.layers.last();
        let cuts = top.and_then(|l| self.unknowns.used.looks.binary_search(&l.glaze).ok());
        let place = |place: Option<usize>| place.map_or(NONE, |p| p as u32);
        let stretch = |from: usize, to: usize| Stretch {
            from: from as u32,
            len: (to - from) as u32,
        };
        self.counts
            .entry(case, kiln.and(shelf_number), outcome.look.is_some());
        self.pieces.push(Piece {
            entry: at as u32,
            layers: stretch(first, self.layers.len()),
            meetings: stretch(first_meeting, self.meetings.len()),
            strips: stretch(first_strip, self.strips.len()),
            firing: place(firing),
            shelf: place(shelf_number.map(|s| self.unknowns.shelf(s))),
            shift: case.phi_shift_decades,
            variance,
            sin_slope: case.sin_slope,
            held: bands.held,
            longest: drips::longest_of(drips(case, thickness)),
            bare_m: case.bare_below_m,
            run: outcome
                .run
                .and_then(|run| read(&run, case.bare_below_m, bands.held)),
            look: outcome
                .look
                .zip(cuts)
                .map(|(look, cuts)| (look, self.unknowns.look(cuts) as u32)),
            ln_fired_per_melt: top.map_or(0.0, |l| (l.fired_m_per / l.melt_m_per).ln()),
            look_over: top
                .and_then(|l| fullest(case, l.from_m, l.to_m))
                .unwrap_or(0),
            edges,
            relief,
            kept: entry.kept,
        });
    }
}
