//! The clay as the film sees it: radius, slope and curvatures at any arc length, quickly.
//!
//! Takes a profile and a relief; gives a table every 0.1 mm: what faces need expanded about the node before, what
//! cells need straight between two.

use crate::physics::piece::Profile;

/// Distance between two nodes of the table, m.
const NODE_M: f64 = 1e-4;

#[derive(Clone, Copy, Default)]
struct Node {
    /// ∫ r ds from the start.
    volume: f64,
    r: f64,
    sin: f64,
    cos: f64,
    bend: f64,
    /// Change of the bend per metre towards the next node.
    bend_rate: f64,
}

/// What a face of the mesh needs.
#[derive(Clone, Copy)]
pub(super) struct FaceGround {
    /// ∫ r ds from the start: m² per radian, or m on a tile.
    pub volume: f64,
    /// Radius, m; 1 on a strip.
    pub r: f64,
    /// −sin ψ: share of gravity along the wall, in the direction of travel.
    pub along: f64,
}

/// What a cell of the mesh needs.
#[derive(Clone, Copy, Default)]
pub(super) struct CellGround {
    /// κ1 + κ2, 1/m.
    pub kappa: f64,
    /// κ1² + κ2², 1/m².
    pub square: f64,
    /// cos ψ: share of gravity into the wall.
    pub into: f64,
}

/// Table of a profile.
pub(super) struct Ground {
    nodes: Vec<Node>,
    /// At the nodes, one more behind the last.
    cells: Vec<CellGround>,
    pub length: f64,
    turned: bool,
}

impl Ground {
    pub fn new(profile: &Profile) -> Self {
        let length = profile.length_m();
        let turned = !profile.is_tile();
        if profile.is_plane() {
            let (sin, cos) = profile.at(0.0).psi_rad.sin_cos();
            let node = Node {
                r: 1.0,
                sin,
                cos: if cos.abs() < 1e-15 { 0.0 } else { cos },
                ..Node::default()
            };
            let cell = CellGround {
                into: node.cos,
                ..CellGround::default()
            };
            return Self {
                nodes: vec![node],
                cells: vec![cell; 2],
                length,
                turned,
            };
        }
        let n = (length / NODE_M).ceil() as usize + 1;
        let s: Vec<f64> = (0..=n).map(|i| i as f64 * NODE_M).collect();
        let mut nodes: Vec<Node> = Vec::with_capacity(n + 1);
        let angles = profile.angles(&s);
        let start = profile.at(0.0);
        let (mut r, mut volume) = (start.r_m, 0.0);
        let mut cells: Vec<CellGround> = Vec::with_capacity(n + 2);
        let mut last: Option<(f64, f64)> = None;
        for &(psi, bend) in &angles {
            // A straight wall has one angle.
            let (sin, cos) = match (last, nodes.last()) {
                (Some((before, _)), Some(node)) if before == psi => (node.sin, node.cos),
                _ => psi.sin_cos(),
            };
            if let (Some(node), Some((psi0, bend0))) = (nodes.last_mut(), last) {
                // Simpson's rule over the step, the bend taken as linear in it.
                // The angle in the middle is that far from the node's: its cosine to the fourth order.
                let d = 0.5 * (psi - psi0) + (bend0 - bend) * NODE_M / 8.0;
                let d2 = d * d;
                let cos_m =
                    node.cos * (1.0 - d2 * (0.5 - d2 / 24.0)) - node.sin * d * (1.0 - d2 / 6.0);
                let r0 = r;
                r += NODE_M / 6.0 * (node.cos + 4.0 * cos_m + cos);
                let r_mid = r0 + NODE_M / 24.0 * (5.0 * node.cos + 8.0 * cos_m - cos);
                volume += NODE_M / 6.0 * (r0 + 4.0 * r_mid + r);
                node.bend_rate = (bend - bend0) / NODE_M;
            }
            r = if r > 0.0 { r } else { 0.0 };
            let around = match turned {
                false => 0.0,
                true if r > 1e-7 => -sin / r,
                true => -bend,
            };
            cells.push(CellGround {
                kappa: around - bend,
                square: around * around + bend * bend,
                into: cos,
            });
            nodes.push(Node {
                volume,
                r,
                sin,
                cos,
                bend,
                bend_rate: 0.0,
            });
            last = Some((psi, bend));
        }
        if let Some(&last) = cells.last() {
            cells.push(last);
        }
        Self {
            nodes,
            cells,
            length,
            turned,
        }
    }

    #[inline]
    fn near(&self, s: f64) -> (&Node, f64) {
        let i = (s * (1.0 / NODE_M)) as u32 as usize;
        let i = i.min(self.nodes.len() - 1);
        (&self.nodes[i], s - i as f64 * NODE_M)
    }

    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn face(&self, s: f64) -> FaceGround {
        let (n, x) = self.near(s);
        let turn = x * (n.bend + 0.5 * n.bend_rate * x);
        let along = -(n.sin + turn * (n.cos - 0.5 * turn * n.sin));
        if !self.turned {
            return FaceGround {
                volume: s,
                r: 1.0,
                along,
            };
        }
        FaceGround {
            volume: n.volume + x * (n.r + x * (0.5 * n.cos - x * n.sin * n.bend * (1.0 / 6.0))),
            r: n.r + x * (n.cos - 0.5 * x * n.sin * n.bend),
            along,
        }
    }

    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn cell(&self, s: f64) -> CellGround {
        let at = s * (1.0 / NODE_M);
        let i = (at as u32 as usize).min(self.cells.len() - 2);
        let (a, b, t) = (&self.cells[i], &self.cells[i + 1], at - i as f64);
        CellGround {
            kappa: a.kappa + t * (b.kappa - a.kappa),
            square: a.square + t * (b.square - a.square),
            into: a.into + t * (b.into - a.into),
        }
    }
}
