//! A spot on the wall, looked at closely.
//!
//! Takes a spot by name or by its distance down the wall; gives its place along the profile.

use super::picture::Svg;
use super::scene::Scene;
use super::section::Cut;

/// A spot on the wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spot {
    /// The crest of the rim, or a tile's upper edge.
    Rim,
    /// The lower edge of the topmost layer that ends on another, or else the lowest glaze line.
    Overlap,
    /// The middle of the texture, or else of the lowest layer.
    Texture,
    /// The lowest glaze line.
    Edge,
    /// The foot, or a tile's lower edge.
    Foot,
    /// A distance down the outside from the rim or upper edge, mm.
    At(f64),
}

impl Spot {
    /// Distance down the outside, mm.
    pub(crate) fn down_mm(self, scene: &Scene) -> f64 {
        let end = scene.wall.foot_s - scene.wall.rim_s;
        let lowest = scene.lowest_mm();
        let down = match self {
            Self::Rim => 0.0,
            Self::Edge => lowest,
            Self::Foot => end,
            Self::At(down) => down,
            Self::Overlap => {
                let onto = scene.layers.iter().rev().find(|l| lowest - l.to_mm > 1.0);
                onto.map_or(lowest, |l| l.to_mm)
            }
            Self::Texture => scene
                .texture
                .as_ref()
                .map_or(0.5 * lowest, |t| 0.5 * (t.from_mm + t.to_mm)),
        };
        super::scene::bounded(down, 0.0, end)
    }
}

/// A ring around the spot in the section.
pub(crate) fn mark(svg: &mut Svg, cut: &Cut, spot: Spot) {
    let s = cut.scene.s_of(spot.down_mm(cut.scene));
    svg.circle("gf-lens-mark", cut.middle(0, s), 9.0);
}
