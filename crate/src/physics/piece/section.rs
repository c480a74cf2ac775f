//! The section of the clay, for drawing and for volumes.
//!
//! Takes a profile; gives a closed outline (right half of a turned piece, or a tile from the side).

use super::Profile;

/// The clay cut through. Points `[radius or horizontal, height]`, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// The glazed surface from the profile's start to the foot, each point with its arc length in [`Section::surface_s_m`].
    pub surface: Vec<[f64; 2]>,
    /// Arc lengths of the surface's points, m.
    pub surface_s_m: Vec<f64>,
    /// The rest of the outline, from the foot's outer edge under the piece back to the profile's start.
    pub underside: Vec<[f64; 2]>,
}

impl Section {
    /// Points of the closed outline, in order; the last joins the first.
    pub fn outline(&self) -> impl Iterator<Item = [f64; 2]> + '_ {
        self.surface.iter().chain(&self.underside).copied()
    }

    /// Area of the section, m².
    pub fn area_m2(&self) -> f64 {
        self.green(|a, b| 0.5 * (a[0] * b[1] - b[0] * a[1]))
    }

    /// Volume of the clay of a turned piece, m³: the section turned about its axis (Pappus).
    pub fn volume_m3(&self) -> f64 {
        std::f64::consts::PI / 3.0
            * self.green(|a, b| (b[1] - a[1]) * (a[0] * a[0] + a[0] * b[0] + b[0] * b[0]))
    }

    fn green(&self, part: impl Fn([f64; 2], [f64; 2]) -> f64) -> f64 {
        let points: Vec<[f64; 2]> = self.outline().collect();
        let n = points.len();
        (0..n)
            .map(|i| part(points[i], points[(i + 1) % n]))
            .sum::<f64>()
            .abs()
    }
}

impl Profile {
    /// The section of the clay, points at most `step_m` apart on the glazed surface.
    pub fn section(&self, step_m: f64) -> Section {
        let places = self.sample_between(0.0, self.foot_s_m, step_m);
        let surface: Vec<[f64; 2]> = places.iter().map(|(_, p)| [p.r_m, p.z_m]).collect();
        let surface_s_m = places.iter().map(|(s, _)| *s).collect();
        let underside = match (self.turned, self.foot_ring) {
            (false, _) => {
                let p = self.at(0.0);
                let into = [
                    p.psi_rad.sin() * self.tile_thickness_m,
                    -p.psi_rad.cos() * self.tile_thickness_m,
                ];
                let (first, last) = (surface[0], surface[surface.len() - 1]);
                vec![
                    [last[0] + into[0], last[1] + into[1]],
                    [first[0] + into[0], first[1] + into[1]],
                ]
            }
            (true, None) => vec![[0.0, surface[surface.len() - 1][1]]],
            (true, Some(ring)) => {
                let foot = surface[surface.len() - 1][0];
                let inner = foot - ring.width_m;
                // The inner edge of the ring is rounded into the hollow.
                let round = (0.8 * ring.recess_m).min(0.3 * inner);
                let mut points = vec![[inner, 0.0], [inner, ring.recess_m - round]];
                for i in 1..=6 {
                    let (sin, cos) = (std::f64::consts::FRAC_PI_2 * f64::from(i) / 6.0).sin_cos();
                    points.push([
                        inner - round * (1.0 - cos),
                        ring.recess_m - round * (1.0 - sin),
                    ]);
                }
                points.push([0.0, ring.recess_m]);
                points
            }
        };
        Section {
            surface,
            surface_s_m,
            underside,
        }
    }

    /// Area of the glazed surface between two arc lengths: of a turned piece m², of a tile m² per m of width.
    pub fn area_m2(&self, from_m: f64, to_m: f64) -> f64 {
        if !self.turned {
            return to_m - from_m;
        }
        let places = self.sample_between(from_m, to_m, 0.25e-3);
        // Simpson's rule on each step.
        let mut area = 0.0;
        for pair in places.windows(2) {
            let ((a, p), (b, q)) = (pair[0], pair[1]);
            area += (b - a) / 6.0 * (p.r_m + 4.0 * self.at(0.5 * (a + b)).r_m + q.r_m);
        }
        2.0 * std::f64::consts::PI * area
    }
}
