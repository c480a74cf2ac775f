//! Numbers of the method: how fine, how exact, how the mesh moves.
//!
//! Takes a wanted accuracy; gives the numbers that reach it on runs, ridges and rims (measured, see the developers' page).

use super::case::ACCURACY;

/// Numbers of the method. Lengths in m.
#[derive(Clone, Debug, PartialEq)]
pub struct Method {
    /// Relative error of a step (root mean square over the cells).
    pub tolerance: f64,
    /// Absolute error of a step over tolerance and precursor.
    pub absolute: f64,
    /// First step over the time in which the fastest cell would change by itself.
    pub first: f64,
    /// Most that a step may grow.
    pub grow: f64,
    /// Step aimed at over the step that the error estimate allows.
    pub safety: f64,
    /// Most steps, rejected ones included.
    pub most_steps: usize,
    /// Half-width of the ramp that each layer's edge is laid down with, over half the greatest thickness.
    pub ramp: f64,
    /// Width over which the composition changes at a layer's edge.
    pub blend_m: f64,
    /// Least spacing.
    pub least_m: f64,
    /// Greatest spacing under glaze.
    pub most_m: f64,
    /// Greatest spacing on bare clay.
    pub most_bare_m: f64,
    /// Spacing over √(h/|h_ss|).
    pub bend: f64,
    /// Spacing over h/|h_s|.
    pub wedge: f64,
    /// Spacing over the radius of a tight convex bend.
    pub rim: f64,
    /// Cells per wavelength of a relief.
    pub per_wave: f64,
    /// Growth of the spacing per length under glaze.
    pub growth: f64,
    /// Growth of the spacing per length on bare clay.
    pub growth_bare: f64,
    /// Cells of the finest spacing kept to both sides of a fine place.
    pub reach: f64,
    /// Spacing over the wanted spacing from which the mesh is remade.
    pub worst: f64,
    /// Steps between two looks at the mesh; 0: it is never remade.
    pub look_every: usize,
    /// Whether the mesh is carried along with the film.
    pub moving: bool,
    /// Stiffness of the mesh's motion against stretching.
    pub stiff: f64,
    /// Hold on the mesh where nothing moves, 1/m².
    pub hold: f64,
    /// How far the speeds are carried forward from the last two steps (1: to the middle of the next).
    pub ahead: f64,
    /// Most that a cell may stretch in one step.
    pub strain: f64,
    /// An even mesh of that many cells instead; 0: none.
    pub even_cells: usize,
}

impl Default for Method {
    fn default() -> Self {
        Self {
            tolerance: 1e-3,
            absolute: 10.0,
            first: 0.5,
            grow: 1.6,
            safety: 0.9,
            most_steps: 20_000,
            ramp: 0.3,
            blend_m: 1e-3,
            least_m: 2e-6,
            most_m: 3e-3,
            most_bare_m: 30e-3,
            bend: 0.25,
            wedge: 0.4,
            rim: 0.2,
            per_wave: 96.0,
            growth: 0.2,
            growth_bare: 0.5,
            reach: 3.0,
            worst: 1.6,
            look_every: 5,
            moving: true,
            stiff: 1.0,
            hold: 1000.0,
            ahead: 1.0,
            strain: 0.3,
            even_cells: 0,
        }
    }
}

impl Method {
    /// Numbers for a wanted accuracy: spacings go with its square root, the method being of order 2 in space. They stop growing at
    /// 3e-3, as the steps grow shorter on a mesh that does not resolve the front; up to 1e-2 the edges are laid down softer, which
    /// saves the steps in which they would level anyway. Coarser than that nothing is gained.
    pub fn for_accuracy(accuracy: f64) -> Self {
        let usual = Self::default();
        let root = (accuracy / ACCURACY).sqrt();
        let c = root.clamp(0.03, 1.8);
        let (fine, loose) = (c.min(1.0), root.clamp(1.0, 3.2));
        Self {
            tolerance: accuracy.min(ACCURACY * loose.sqrt()),
            bend: usual.bend * c,
            wedge: usual.wedge * c,
            most_m: usual.most_m * c,
            rim: usual.rim * c,
            per_wave: usual.per_wave / root.clamp(0.03, 3.2),
            growth: usual.growth * fine.sqrt(),
            ramp: usual.ramp * fine * loose.powf(1.6),
            blend_m: usual.blend_m * fine,
            ..usual
        }
    }

    /// The same on a mesh that stays where it is, remade as fronts leave its fine places.
    pub fn still(self) -> Self {
        Self {
            moving: false,
            ..self
        }
    }

    /// The same on an even mesh.
    pub fn even(self, cells: usize) -> Self {
        Self {
            moving: false,
            look_every: 0,
            even_cells: cells,
            ..self
        }
    }
}
