//! How much thicker than to scale glaze is drawn.
//!
//! Takes mm of glaze; gives mm drawn.

/// How thick glaze is drawn: some times thicker than to scale, and what stands out beyond the thickest raw stack less and less,
/// so that rolls and beads do not become horns.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Thicker {
    /// mm drawn over mm of glaze.
    pub factor: f64,
    /// Up to here, mm drawn, all is to that scale; beyond it at most `room` more is drawn.
    pub knee: f64,
    pub room: f64,
}

impl Thicker {
    /// Glaze to scale.
    pub const TRUE: Self = Self {
        factor: 1.0,
        knee: f64::MAX,
        room: 1.0,
    };

    /// How thick `mm` of glaze are drawn, mm.
    #[inline(never)]
    pub fn drawn_mm(&self, mm: f64) -> f64 {
        let drawn = mm * self.factor;
        let over = drawn - self.knee;
        if over > 0.0 {
            self.knee + self.room * (1.0 - (-over / self.room).exp())
        } else {
            drawn
        }
    }
}
