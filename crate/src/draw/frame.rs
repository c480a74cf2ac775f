//! The frame of a chart: where its values stand, and the ticks along its two axes.
//!
//! Takes the px of its corner and of its far end with the values there; gives places, and writes ticks with their numbers.

use super::lettering::text_width;
use super::picture::{Anchor, Ink, Pt, SMALL_PX, Svg, pt};

/// A chart whose axes start at 0 in `corner` and reach `most` in `far`, px.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    pub corner: Pt,
    pub far: Pt,
    pub most: Pt,
}

impl Frame {
    /// The place of a pair of values.
    #[inline(never)]
    pub fn at(&self, x: f64, y: f64) -> Pt {
        pt(
            self.corner.x + (self.far.x - self.corner.x) * x / self.most.x,
            self.corner.y + (self.far.y - self.corner.y) * y / self.most.y,
        )
    }

    /// A tick and its text beside the upright axis; `across`: with a broken line through the chart.
    #[inline(never)]
    pub fn tick_y(&self, svg: &mut Svg, y: f64, text: &str, across: bool) {
        let at = self.at(0.0, y);
        let (class, end) = if across {
            ("gf-hair gf-dashed", self.far.x)
        } else {
            ("gf-hair", at.x)
        };
        svg.line(class, pt(at.x - 4.0, at.y), pt(end, at.y));
        svg.text(Ink::Quiet, pt(at.x - 7.0, at.y + 4.0), Anchor::End, text);
    }

    /// A tick and its text under the level line at `base` px, the text only right of `free`; gives where the next one may start.
    #[inline(never)]
    pub fn tick_x(&self, svg: &mut Svg, x: f64, base: f64, text: &str, free: f64) -> f64 {
        let at = pt(self.at(x, 0.0).x, base);
        svg.line("gf-hair", at, pt(at.x, at.y + 4.0));
        let half = 0.5 * text_width(text, SMALL_PX);
        if at.x - half < free {
            return free;
        }
        svg.text(Ink::Quiet, pt(at.x, at.y + 17.0), Anchor::Middle, text);
        at.x + half + 6.0
    }
}

/// The first of some round steps that is at least `least`, or ten times the last.
#[inline(never)]
pub(crate) fn step(steps: &[f64], least: f64) -> f64 {
    let mut last = 1.0;
    for &step in steps {
        if step >= least {
            return step;
        }
        last = step;
    }
    10.0 * last
}
