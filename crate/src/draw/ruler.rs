//! The ruler beside the piece: from the lowest glaze line down the wall, with the run's median, its band and the foot.
//!
//! Takes a face and an outcome; writes a straight scale beside the bare wall, where the drips are. Distances are along the wall.

use super::face::Face;
use super::frame::step;
use super::path::{Say, bounded};
use super::picture::{Anchor, Ink, Pt, Svg, add_back, curve, fit_text, pt, put_number, text};
use super::words;
use crate::predict::outcome::{PlanOutcome, Quantiles};
use crate::studio::document::Units;

/// Distance of the ruler from the silhouette, px, and of its numbers from the ruler.
const AWAY_PX: f64 = 20.0;
const NUMBERS_PX: f64 = 15.0;
/// Height of a line of text, px.
const LINE_PX: f64 = 15.0;

pub(crate) struct Ruler<'a> {
    face: Face<'a>,
    /// mm of wall that the ruler measures.
    length_mm: f64,
    /// Its ends, px, and the direction away from the pot.
    from: Pt,
    to: Pt,
    out: Pt,
    /// Nothing is written below this, px.
    floor_y: f64,
}

/// A mark with its text: one line, or a large one with a quiet one under it.
struct Label {
    down_mm: f64,
    y: f64,
    first: String,
    second: String,
}

impl Label {
    fn height(&self) -> f64 {
        if self.second.is_empty() {
            LINE_PX
        } else {
            2.0 * LINE_PX
        }
    }
}

/// Draws the ruler below `line_mm`, the lowest glaze line; nothing is written below `floor_y`.
pub(crate) fn draw(svg: &mut Svg, face: Face, outcome: &PlanOutcome, line_mm: f64, floor_y: f64) {
    let wall = &face.scene.wall;
    let length_mm = wall.foot_s - wall.rim_s - line_mm;
    if length_mm < 1.0 {
        return;
    }
    let ruler = Ruler::beside(face, line_mm, length_mm, floor_y);
    ruler.band(svg, &outcome.run_mm);
    svg.line("gf-fine", ruler.at(0.0, 0.0), ruler.at(length_mm, 0.0));
    let labels = ruler.labels(outcome);
    ruler.scale(svg, &labels);
    // One under the other, so that no line to one of them goes through another.
    let mut x = 0.0;
    for label in &labels {
        x = f64::max(x, ruler.clear_x(label));
    }
    for label in &labels {
        ruler.write(svg, label, x);
    }
}

impl<'a> Ruler<'a> {
    /// Parallel to the line from the glaze line to the foot, clear of the wall between them.
    fn beside(face: Face<'a>, line_mm: f64, length_mm: f64, floor_y: f64) -> Self {
        let place = |down: f64| face.at(1.0, face.scene.s_of(line_mm + down));
        let (from, to) = (place(0.0), place(length_mm));
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let far = dx.hypot(dy).max(1e-9);
        // Rather sideways than down, so that it stays clear of the shelf.
        let (x, y) = (dy / far + 0.5, -dx / far);
        let size = x.hypot(y).max(1e-9);
        let out = pt(x / size, y / size);
        let mut away = 0.0;
        for k in 1..12 {
            let t = f64::from(k) / 12.0;
            let p = place(length_mm * t);
            let bulge = (p.x - from.x - dx * t) * out.x + (p.y - from.y - dy * t) * out.y;
            away = f64::max(away, bulge);
        }
        away += AWAY_PX;
        let shift = |p: Pt| pt(p.x + out.x * away, p.y + out.y * away);
        Self {
            face,
            length_mm,
            from: shift(from),
            // Not below the foot, where the wall leans inwards.
            to: pt(shift(to).x, shift(to).y.min(floor_y)),
            out,
            floor_y,
        }
    }

    /// The point `down` mm below the line, `away` px out from the ruler.
    #[inline(never)]
    fn at(&self, down: f64, away: f64) -> Pt {
        let t = bounded(down / self.length_mm, 0.0, 1.0);
        pt(
            self.from.x + (self.to.x - self.from.x) * t + self.out.x * away,
            self.from.y + (self.to.y - self.from.y) * t + self.out.y * away,
        )
    }

    fn tick(&self, svg: &mut Svg, class: &str, down: f64, from: f64, to: f64) {
        svg.line(class, self.at(down, from), self.at(down, to));
    }

    /// The run's spread: widest at the median, running out at 5 and 95 %.
    fn band(&self, svg: &mut Svg, run: &Quantiles) {
        let (from, to) = (
            bounded(run.p05, 0.0, self.length_mm),
            bounded(run.p95, 0.0, self.length_mm),
        );
        if to - from < 0.3 {
            return;
        }
        let knots = [run.p05, run.p10, run.p50, run.p90, run.p95];
        let widths = [0.7, 1.9, 5.5, 1.9, 0.7];
        let width = |mm: f64| {
            let mut width = 0.0;
            for k in 0..4 {
                let (a, b) = (knots[k], knots[k + 1]);
                if mm >= a && mm <= b {
                    let t = bounded((mm - a) / (b - a), 0.0, 1.0);
                    width = widths[k] + (widths[k + 1] - widths[k]) * t;
                }
            }
            width
        };
        let side = |sign: f64| {
            curve(40, &mut |t| {
                let mm = from + (to - from) * t;
                self.at(mm, sign * width(mm))
            })
        };
        let mut points = side(-1.0);
        add_back(&mut points, &side(1.0));
        svg.area("gf-band", &points);
        for &mm in &[run.p10, run.p90] {
            if mm > 0.0 && mm < self.length_mm {
                self.tick(svg, "gf-tick", mm, -5.0, 5.0);
            }
        }
        self.tick(svg, "gf-tick gf-strong", run.p50, -13.0, 11.0);
    }

    /// The glaze line, the median with its band, and the foot, apart from one another.
    fn labels(&self, outcome: &PlanOutcome) -> [Label; 3] {
        let units = self.face.scene.units;
        let run = &outcome.run_mm;
        let label = |down_mm: f64, first: &str, mm: f64| {
            let down_mm = bounded(down_mm, 0.0, self.length_mm);
            let mut first = text(first);
            if mm >= 0.0 {
                words::put_length(&mut first, mm, units);
            }
            Label {
                down_mm,
                y: self.at(down_mm, 0.0).y,
                first,
                second: String::new(),
            }
        };
        let bare_mm = bounded(outcome.bare_below_mm, 0.0, self.length_mm);
        let mut median = label(run.p50, "", run.p50.max(0.0));
        if run.p50 > bare_mm {
            median.first.say(" ↓");
        }
        words::put_length_range(&mut median.second, run.p10, run.p90, units);
        let end = if self.face.scene.tile.is_none() {
            label(bare_mm, "foot ", bare_mm)
        } else {
            label(self.length_mm, "end ", self.length_mm)
        };
        let mut labels = [label(0.0, "glaze line", -1.0), median, end];
        if run.p50 > labels[2].down_mm {
            labels.swap(1, 2);
        }
        // From above, and then from below.
        let mut free = f64::MIN;
        for label in &mut labels {
            label.y = (label.y - 0.5 * label.height()).max(free);
            free = label.y + label.height() + 2.0;
        }
        let mut limit = self.floor_y.min(self.to.y + 8.0);
        for label in labels.iter_mut().rev() {
            label.y = label.y.min(limit - label.height());
            limit = label.y - 2.0;
        }
        labels
    }

    /// Where a label is clear of the ruler and of the pot wherever they pass beside it, px.
    fn clear_x(&self, label: &Label) -> f64 {
        let wall = &self.face.scene.wall;
        let mut x = self.at(label.down_mm, 6.0).x + 4.0;
        for k in 0..=80 {
            let t = f64::from(k) / 80.0;
            let ruler = self.at(self.length_mm * t, NUMBERS_PX);
            let mut pot = self
                .face
                .at(1.0, wall.rim_s + (wall.foot_s - wall.rim_s) * t);
            pot.x += 8.0;
            for &p in &[ruler, pot] {
                if p.y > label.y - 4.0 && p.y < label.y + label.height() + 4.0 {
                    x = f64::max(x, p.x);
                }
            }
        }
        x
    }

    fn write(&self, svg: &mut Svg, label: &Label, x: f64) {
        let tick = self.at(label.down_mm, 6.0);
        let middle = label.y + 0.5 * label.height();
        if (middle - tick.y).abs() > 3.0 || x - tick.x > 14.0 {
            svg.line("gf-hair", tick, pt(x - 3.0, middle));
        }
        self.tick(svg, "gf-tick", label.down_mm, -6.0, 6.0);
        let room = (svg.width() - x + 4.0).max(40.0);
        let mut put = |ink: Ink, dy: f64, text: &str| {
            let text = fit_text(text, ink.size_px(), room);
            svg.text(ink, pt(x, label.y + dy), Anchor::Start, &text);
        };
        if label.second.is_empty() {
            put(Ink::Small, 11.5, &label.first);
        } else {
            put(Ink::LargeLabel, 11.5, &label.first);
            put(Ink::Quiet, 26.5, &label.second);
        }
    }

    /// Ticks, and numbers where nothing else is written.
    fn scale(&self, svg: &mut Svg, labels: &[Label]) {
        let (unit, numbered) = match self.face.scene.units {
            Units::Metric => (1.0, [5.0, 10.0, 20.0, 50.0, 100.0]),
            Units::Imperial => (25.4 / 8.0, [4.0, 8.0, 16.0, 32.0, 64.0]),
        };
        let px = (self.to.x - self.from.x).hypot(self.to.y - self.from.y) / self.length_mm * unit;
        let every = step(&numbered, 26.0 / px.max(1e-3));
        let fine = if every * px >= 20.0 { 5 } else { 1 };
        let mut k = 0;
        loop {
            let mm = every * unit * f64::from(k) / f64::from(fine);
            if mm > self.length_mm + 1e-6 || k > 400 {
                return;
            }
            let long = k % fine == 0;
            self.tick(svg, "gf-hair", mm, 0.0, if long { 7.0 } else { 3.5 });
            let at = self.at(mm, NUMBERS_PX);
            let mut free = long && k > 0 && at.y < self.floor_y;
            for l in labels {
                free &= at.y + 7.0 < l.y || at.y - 7.0 > l.y + l.height();
            }
            if free {
                let mut number = String::new();
                let inch = if self.face.scene.units == Units::Metric {
                    1.0
                } else {
                    25.4
                };
                put_number(&mut number, mm / inch);
                svg.text(
                    Ink::Quiet,
                    pt(at.x - 5.0, at.y + 4.0),
                    Anchor::Start,
                    &number,
                );
            }
            k += 1;
        }
    }
}
