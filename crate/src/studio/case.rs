//! What an entry means to the physics: masses, thicknesses, slope, edges, the firing's shift; all at the prior medians.
//!
//! Takes a studio and an entry (or a weigh-in); gives a [`Case`], everything that the forward model needs, in SI.

use std::sync::Arc;

mod layer;

pub use layer::{CaseLayer, Method};
use layer::{Laid, Wall, lay};

use super::check::Index;
use super::document::{
    Body, Entry, Firing, Form, How, List, Schedule, Shape, Studio, TextureKind, WeighIn,
};
use super::error::{Cause, Refusal};
use super::outline;
use crate::physics::constants::ZERO_CELSIUS_K;
use crate::physics::error::PhysicsError;
use crate::physics::firing;
use crate::physics::laydown;
use crate::physics::piece::Profile;

/// Stretch above the lowest glaze line over which the slope is averaged, m.
const SLOPE_OVER_M: f64 = 0.02;
/// Least sine of a slope that the run's law is asked about: the flattest tile that is taken, 5 degrees.
const LEAST_SIN_SLOPE: f64 = 0.087;
/// Wall where neither form nor body says one, mm (judged: a thrown pot of a class).
const USUAL_WALL_MM: f64 = 6.0;
/// Profiles that are kept for the next entry.
const MOST_PROFILES: usize = 4096;
/// Water that bisque takes up where no body is named (judged).
const USUAL_ABSORPTION: f64 = 0.10;

/// Texture of the wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CaseTexture {
    /// What it is.
    pub kind: TextureKind,
    /// Crest to recess, m.
    pub depth_m: f64,
    /// Crest to crest, m.
    pub repeat_m: f64,
    /// Where it starts, m down from the rim or the upper edge.
    pub from_m: f64,
    /// Where it ends, likewise.
    pub to_m: f64,
}

/// Everything that the forward model needs of one entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Layers, the wall first.
    pub layers: Vec<CaseLayer>,
    /// The piece.
    pub profile: Arc<Profile>,
    /// Whether it is a flat tile.
    pub is_tile: bool,
    /// Sine of the wall's slope, mean of the 20 mm above the lowest glaze line.
    pub sin_slope: f64,
    /// Width of a tile, or circumference at the lowest glaze line, m.
    pub around_m: f64,
    /// Lowest glaze line, m down from the rim's crest or the upper edge.
    pub lowest_m: f64,
    /// Bare wall below it, m.
    pub bare_below_m: f64,
    /// From the rim's crest (the upper edge) down to the foot (the lower edge), m.
    pub wall_length_m: f64,
    /// Diameter of the foot, m; none on a tile.
    pub foot_diameter_m: Option<f64>,
    /// Texture of the wall.
    pub texture: Option<CaseTexture>,
    /// Place of its firing in [`Studio::firings`]; none: not said.
    pub firing: Option<usize>,
    /// Shelf from the bottom, from 1.
    pub shelf: Option<u8>,
    /// The firing's schedule against the reference firing, decades of Phi.
    pub phi_shift_decades: f64,
    /// What the kiln does; the reference firing where nothing is said.
    pub schedule: firing::Schedule,
    /// Whether that is known: false for a firing without a schedule and for a log entry without a firing.
    pub schedule_known: bool,
}

/// A weigh-in as the physics sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseWeighIn {
    /// What went on, with its mass at the prior medians; its zone is empty.
    pub layer: CaseLayer,
    /// Dry mass per area that was weighed, kg/m².
    pub weighed_kg_per_m2: f64,
    /// Spread (sd) of that from the balance, kg/m².
    pub error_kg_per_m2: f64,
}

/// What a case is made from, looked up once for many entries.
pub struct Cases<'a> {
    studio: &'a Studio,
    index: Index<'a>,
    /// By firing: schedule, its shift, whether it is known; none where it is refused.
    firings: Vec<Option<Fired>>,
    /// Profiles made lately, by form, wall, diameter and slope.
    profiles: Vec<(ProfileKey, Arc<Profile>)>,
    /// Whether more profiles were asked for than are kept.
    too_many: bool,
}

#[derive(Clone, Copy, PartialEq)]
struct ProfileKey {
    form: usize,
    wall_mm: f64,
    diameter_mm: Option<f64>,
    slope_deg: Option<f64>,
}

#[derive(Clone)]
struct Fired {
    schedule: firing::Schedule,
    shift: f64,
    known: bool,
}

impl Case {
    /// The case of one entry. For many of one studio, [`Cases`] is quicker.
    ///
    /// # Errors
    /// A refusal with its place within the entry where a reference is missing or a number beyond the physics.
    pub fn of(studio: &Studio, entry: &Entry) -> Result<Self, Refusal> {
        Cases::new(studio).of(entry)
    }

    /// The same with another number of coats, dips or passes in one layer; later dips follow.
    pub fn with_units(&self, layer: usize, units: f64) -> Self {
        let mut case = self.clone();
        if let Some(changed) = case.layers.get_mut(layer) {
            changed.units = units.max(0.0);
        }
        let mut dips = 0;
        for one in &mut case.layers {
            if let Laid::Dip { before, .. } = &mut one.laid {
                *before = dips;
                dips += one.units.round() as u32;
            }
            // Beyond the law's bounds the layer keeps what it had: the caller asks within them.
            if let Ok(mass) = one.mass() {
                one.mass_kg_per_m2 = mass;
            }
        }
        case
    }

    /// Melt thickness of each layer at the prior medians, m.
    pub fn melt_m(&self) -> Vec<f64> {
        self.layers
            .iter()
            .map(|layer| layer.mass_kg_per_m2 * layer.melt_m_per)
            .collect()
    }
}

impl<'a> Cases<'a> {
    /// Ready for the entries of a studio.
    pub fn new(studio: &'a Studio) -> Self {
        let firings = studio
            .firings
            .iter()
            .enumerate()
            .map(|(at, firing)| fired(at, firing).ok())
            .collect();
        Self {
            studio,
            index: Index::of(studio),
            firings,
            profiles: Vec::new(),
            too_many: false,
        }
    }

    /// The case of an entry, which need not stand in the studio's own list.
    ///
    /// # Errors
    /// See [`Case::of`].
    pub fn of(&mut self, entry: &Entry) -> Result<Case, Refusal> {
        let studio = self.studio;
        let (form_at, form) = self.record(List::Forms, &entry.form, "form", &studio.forms)?;
        let body = self.body(entry.body.as_ref(), "body")?;
        let profile = self.profile(form_at, form, body, entry)?;
        let rim_s = profile.rim_s_m();
        let wall_length_m = profile.foot_s_m() - rim_s;
        let mut layers = Vec::with_capacity(entry.layers.len());
        let mut dips = 0;
        for (at, layer) in entry.layers.iter().enumerate() {
            let place = |key: &str| format!("layers[{at}].{key}");
            let (glaze_at, glaze) =
                self.record(List::Glazes, &layer.glaze, &place("glaze"), &studio.glazes)?;
            let hand = match layer.hand.as_ref().or(entry.hand.as_ref()) {
                Some(id) => Some(
                    self.record(List::Hands, id, &place("hand"), &studio.hands)?
                        .0,
                ),
                None => None,
            };
            // A tile goes in whole, a pot that is glazed over its rim inside and out.
            let sides = if profile.is_tile() || layer.zone.over_rim {
                2.0
            } else {
                1.0
            };
            let wall = Wall {
                form_wall_mm: form.wall_mm,
                body,
                sides,
            };
            let mut one = lay(glaze_at, glaze, hand, layer.how, layer.sg, &wall, dips)
                .map_err(|error| beyond(place("how"), &error))?;
            if let How::Dip { dips: these, .. } = layer.how {
                dips += these;
            }
            let zone = &layer.zone;
            one.from_m = zone.from_mm * 1e-3;
            one.to_m = zone.to_mm * 1e-3;
            one.over_rim = zone.over_rim;
            one.inside_m = zone.inside_mm * 1e-3;
            layers.push(one);
        }
        if layers.is_empty() {
            return Err(Refusal::new("layers", Cause::TooFew { count: 0, least: 1 }));
        }
        let lowest_m = layers
            .iter()
            .map(|layer| layer.to_m)
            .fold(0.0, f64::max)
            .min(wall_length_m);
        let top = (lowest_m - SLOPE_OVER_M).max(0.0);
        let (upper, lower) = (profile.at(rim_s + top), profile.at(rim_s + lowest_m));
        let sin_slope =
            ((upper.z_m - lower.z_m) / (lowest_m - top).max(1e-6)).clamp(LEAST_SIN_SLOPE, 1.0);
        let around_m = match form.shape {
            Shape::Tile { width_mm, .. } => width_mm * 1e-3,
            _ => 2.0 * std::f64::consts::PI * lower.r_m,
        };
        let bare_below_m = entry
            .bare_below_mm
            .map_or(wall_length_m - lowest_m, |mm| mm * 1e-3)
            .max(0.0);
        let (firing, fired) = self.firing(entry)?;
        Ok(Case {
            layers,
            is_tile: profile.is_tile(),
            sin_slope,
            around_m,
            lowest_m,
            bare_below_m,
            wall_length_m,
            foot_diameter_m: (!profile.is_tile()).then(|| 2.0 * profile.at(profile.foot_s_m()).r_m),
            texture: form.texture.as_ref().map(|texture| CaseTexture {
                kind: texture.kind,
                depth_m: texture.depth_mm * 1e-3,
                repeat_m: texture.repeat_mm * 1e-3,
                from_m: texture.from_mm * 1e-3,
                to_m: texture.to_mm * 1e-3,
            }),
            profile,
            firing,
            shelf: entry.shelf,
            phi_shift_decades: fired.shift,
            schedule: fired.schedule,
            schedule_known: fired.known,
        })
    }

    /// A weigh-in.
    ///
    /// # Errors
    /// See [`Case::of`].
    pub fn weigh_in(&self, weigh_in: &WeighIn) -> Result<CaseWeighIn, Refusal> {
        let studio = self.studio;
        let (glaze_at, glaze) =
            self.record(List::Glazes, &weigh_in.glaze, "glaze", &studio.glazes)?;
        let (hand, _) = self.record(List::Hands, &weigh_in.hand, "hand", &studio.hands)?;
        let body = self.body(weigh_in.body.as_ref(), "body")?;
        let wall = Wall {
            form_wall_mm: None,
            body,
            sides: 2.0,
        };
        let layer = lay(
            glaze_at,
            glaze,
            Some(hand),
            weigh_in.how,
            weigh_in.sg,
            &wall,
            0,
        )
        .map_err(|error| beyond("how".into(), &error))?;
        let area_m2 = weigh_in.area_cm2 * 1e-4;
        let weighed = laydown::weigh_in_kg_per_m2(weigh_in.gained_g * 1e-3, area_m2)
            .map_err(|error| beyond("gained_g".into(), &error))?;
        Ok(CaseWeighIn {
            layer,
            weighed_kg_per_m2: weighed,
            error_kg_per_m2: weigh_in.error_g * 1e-3 / area_m2,
        })
    }

    fn record<'b, R>(
        &self,
        list: List,
        id: &str,
        key: &str,
        records: &'b [R],
    ) -> Result<(usize, &'b R), Refusal> {
        self.index
            .find(list, id)
            .and_then(|at| records.get(at).map(|record| (at, record)))
            .ok_or_else(|| {
                Refusal::new(
                    key,
                    Cause::NoSuchRecord {
                        list,
                        id: super::error::cut(id),
                    },
                )
            })
    }

    fn body(&self, id: Option<&String>, key: &str) -> Result<Option<&'a Body>, Refusal> {
        let bodies = &self.studio.bodies;
        match id.or(self.studio.settings.usual_body.as_ref()) {
            Some(id) => Ok(Some(self.record(List::Bodies, id, key, bodies)?.1)),
            None => Ok(None),
        }
    }

    /// What is there to refer to.
    pub(crate) fn index(&self) -> &Index<'a> {
        &self.index
    }

    /// Whether there are more different sizes of piece than are drawn up.
    pub(crate) fn too_many_sizes(&self) -> bool {
        self.too_many
    }

    /// The studio.
    pub(crate) fn studio(&self) -> &'a Studio {
        self.studio
    }

    /// The profile of a form by itself, in the studio's usual clay.
    pub(crate) fn profile_of_form(&mut self, form: &Form) -> Result<Arc<Profile>, Refusal> {
        let at = self.index.find(List::Forms, &form.id).unwrap_or(usize::MAX);
        let body = self.body(None, "body")?;
        self.profile(at, form, body, &Entry::default())
    }

    /// The profile of an entry.
    pub(crate) fn profile_of_entry(&mut self, entry: &Entry) -> Result<Arc<Profile>, Refusal> {
        let (at, form) = self.record(List::Forms, &entry.form, "form", &self.studio.forms)?;
        let body = self.body(entry.body.as_ref(), "body")?;
        self.profile(at, form, body, entry)
    }

    fn profile(
        &mut self,
        at: usize,
        form: &Form,
        body: Option<&Body>,
        entry: &Entry,
    ) -> Result<Arc<Profile>, Refusal> {
        let key = ProfileKey {
            form: at,
            wall_mm: form
                .wall_mm
                .or(body.map(|body| body.wall_mm))
                .unwrap_or(USUAL_WALL_MM),
            diameter_mm: entry.diameter_mm,
            slope_deg: entry.slope_deg,
        };
        if let Some((_, profile)) = self.profiles.iter().find(|(known, _)| *known == key) {
            return Ok(Arc::clone(profile));
        }
        let profile = outline::profile_at_slope(form, key.wall_mm, key.diameter_mm, key.slope_deg)
            .map_err(|error| Refusal::new("form", Cause::Piece(error)))?;
        let profile = Arc::new(profile);
        // A studio has a few dozen; one with a diameter of its own for every pot must not fill the memory.
        if self.profiles.len() >= MOST_PROFILES {
            self.profiles.clear();
            self.too_many = true;
        }
        self.profiles.push((key, Arc::clone(&profile)));
        Ok(profile)
    }

    fn firing(&self, entry: &Entry) -> Result<(Option<usize>, Fired), Refusal> {
        match entry
            .firing
            .as_ref()
            .or(self.studio.settings.usual_firing.as_ref())
        {
            Some(id) => {
                let (at, firing) =
                    self.record(List::Firings, id, "firing", &self.studio.firings)?;
                let known = match self.firings.get(at) {
                    Some(Some(known)) => known.clone(),
                    _ => fired(at, firing)?,
                };
                Ok((Some(at), known))
            }
            // A plan without a firing is made for the reference; what was fired nobody knows where, was not.
            None => Ok((None, reference(entry.outcome.is_none()))),
        }
    }
}

fn reference(known: bool) -> Fired {
    Fired {
        schedule: firing::Schedule::reference(),
        shift: 0.0,
        known,
    }
}

/// The schedule of a firing in SI; none where nothing is known of it.
///
/// # Errors
/// A refusal with its place within the firing.
pub fn schedule_of(firing: &Firing) -> Result<Option<firing::Schedule>, Refusal> {
    let schedule = match &firing.schedule {
        None => return Ok(None),
        Some(Schedule::Cone { cone, rate_c_per_h }) => {
            firing::Schedule::of_cone(cone, rate_c_per_h / 3600.0)
        }
        Some(Schedule::Segments { segments }) => firing::Schedule::from_room(
            segments
                .iter()
                .map(|segment| firing::Segment {
                    rate_k_per_s: segment.rate_c_per_h / 3600.0,
                    target_k: segment.target_c + ZERO_CELSIUS_K,
                    hold_s: segment.hold_min * 60.0,
                })
                .collect(),
        ),
    };
    schedule
        .map(Some)
        .map_err(|error| beyond("schedule".into(), &error))
}

fn fired(at: usize, firing: &Firing) -> Result<Fired, Refusal> {
    let within = |refusal: Refusal| Refusal {
        place: format!("firings[{at}].{}", refusal.place),
        ..refusal
    };
    let Some(schedule) = schedule_of(firing).map_err(within)? else {
        return Ok(reference(false));
    };
    let shift =
        firing::phi_shift_decades(&schedule, firing::SEAL_K, firing::SLOPE_DECADES_PER_100K)
            .map_err(|error| within(beyond("schedule".into(), &error)))?;
    Ok(Fired {
        schedule,
        shift,
        known: true,
    })
}

fn beyond(place: String, error: &PhysicsError) -> Refusal {
    Refusal::new(place, Cause::Physics(error.clone()))
}
