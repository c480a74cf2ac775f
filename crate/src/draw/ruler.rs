//! The ruler beside the piece: from the lowest glaze line down the wall, with the run's median, its band and the foot.
//!
//! Takes a face and an outcome; writes ticks along the silhouette, where the drips are. Distances are along the wall.

use super::face::Face;
use super::path::Say;
use super::picture::{Pt, SMALL_PX, Svg, TEXT_PX, add_back, curve, pt, put_number};
use super::scene::bounded;
use super::wall::simplify;
use super::words;
use crate::order;
use crate::predict::outcome::PlanOutcome;
use crate::studio::document::Units;

/// Distance of the ruler from the silhouette, px, and of its numbers from the ruler.
const AWAY_PX: f64 = 20.0;
const NUMBERS_PX: f64 = 17.0;

pub(crate) struct Ruler<'a> {
    pub face: Face<'a>,
    pub outcome: &'a PlanOutcome,
    pub line_mm: f64,
    /// Nothing is written below this, px.
    pub floor_y: f64,
}

/// A mark with its text.
struct Label {
    down_mm: f64,
    y: f64,
    lines: Vec<(&'static str, String)>,
}

impl Label {
    fn height(&self) -> f64 {
        15.0 * self.lines.len() as f64
    }
}

impl Ruler<'_> {
    fn bare_mm(&self) -> f64 {
        bounded(self.outcome.bare_below_mm, 0.0, 2000.0)
    }

    /// Room along the wall from the line to the end of the piece, mm.
    fn length_mm(&self) -> f64 {
        let wall = &self.face.scene.wall;
        (wall.foot_s - wall.rim_s - self.line_mm).max(0.0)
    }

    /// The point `down` mm below the line, `away` px out from the silhouette. The direction is that of the wall around it, so
    /// that the ruler does not turn under the foot.
    fn at(&self, down: f64, away: f64) -> Pt {
        let s = self
            .face
            .scene
            .s_of(self.line_mm + down.min(self.length_mm()));
        let at = self.face.at(1.0, s);
        let (mut x, mut y) = (0.0, 0.0);
        let last = self.face.scene.wall.foot_s - 4.0;
        for k in -4..=4 {
            let n = self.face.outward((s + 2.5 * f64::from(k)).min(last));
            x += n.x;
            y += n.y;
        }
        // Rather sideways than down, so that it stays clear of the shelf.
        x += 5.0;
        let size = x.hypot(y).max(1e-9);
        pt(at.x + x / size * away, at.y + y / size * away)
    }

    fn tick(&self, svg: &mut Svg, class: &str, down: f64, from: f64, to: f64) {
        svg.line(class, self.at(down, from), self.at(down, to));
    }

    pub fn draw(&self, svg: &mut Svg) {
        let length = self.length_mm();
        if length < 1.0 {
            return;
        }
        let n = (length / 1.5).ceil().clamp(2.0, 400.0) as usize;
        let line = curve(n, &mut |t| self.at(length * t, AWAY_PX));
        self.band(svg, length);
        svg.polyline("gf-fine", &simplify(&line, 0.1));
        let labels = self.labels(length);
        self.scale(svg, length, &labels);
        for label in &labels {
            self.write(svg, label);
        }
    }

    /// The run's spread: widest at the median, running out at 5 and 95 %.
    fn band(&self, svg: &mut Svg, length: f64) {
        let run = &self.outcome.run_mm;
        let knots = [
            (run.p05, 0.12),
            (run.p10, 0.34),
            (run.p50, 1.0),
            (run.p90, 0.34),
            (run.p95, 0.12),
        ];
        let width = |mm: f64| {
            let mut w = 0.0;
            for pair in knots.windows(2) {
                let ((a, wa), (b, wb)) = (pair[0], pair[1]);
                if mm >= a && mm <= b {
                    w = if b - a > 1e-9 {
                        wa + (wb - wa) * (mm - a) / (b - a)
                    } else {
                        f64::max(wa, wb)
                    };
                }
            }
            w * 5.5
        };
        let (from, to) = (bounded(run.p05, 0.0, length), bounded(run.p95, 0.0, length));
        if to - from < 0.3 {
            return;
        }
        let side = |sign: f64| {
            let place = |t: f64| from + (to - from) * t;
            curve(40, &mut |t| {
                self.at(place(t), AWAY_PX + sign * width(place(t)))
            })
        };
        let mut points = side(-1.0);
        add_back(&mut points, &side(1.0));
        svg.area("gf-band", &simplify(&points, 0.08));
        for mm in [run.p10, run.p90] {
            if mm > 0.0 && mm < length {
                self.tick(svg, "gf-tick", mm, AWAY_PX - 5.0, AWAY_PX + 5.0);
            }
        }
        let median = bounded(run.p50, 0.0, length);
        self.tick(
            svg,
            "gf-tick gf-strong",
            median,
            AWAY_PX - 13.0,
            AWAY_PX + 11.0,
        );
    }

    fn labels(&self, length: f64) -> Vec<Label> {
        let units = self.face.scene.units;
        let run = &self.outcome.run_mm;
        let mut labels = Vec::new();
        let mut add = |down_mm: f64, lines: Vec<(&'static str, String)>| {
            let at = self.at(down_mm, AWAY_PX);
            labels.push(Label {
                down_mm,
                y: at.y - 7.5 * lines.len() as f64,
                lines,
            });
        };
        add(0.0, vec![("gf-text-small", "glaze line".to_owned())]);
        let past = run.p50 > self.bare_mm().min(length);
        let mut text = words::length(run.p50, units);
        if past {
            text.say(" ↓");
        }
        let band = words::length_range(run.p10, run.p90, units);
        add(
            run.p50.clamp(0.0, length),
            vec![("gf-label", text), ("gf-text-small gf-quiet", band)],
        );
        if self.face.scene.tile.is_none() {
            let mut foot = String::from("foot ");
            foot.say(&words::length(self.bare_mm(), units));
            add(self.bare_mm().min(length), vec![("gf-text-small", foot)]);
        } else {
            let mut end = String::from("end ");
            end.say(&words::length(length, units));
            add(length, vec![("gf-text-small", end)]);
        }
        // Apart from one another, from above and then from below.
        order::by(&mut labels, |a, b| a.down_mm.total_cmp(&b.down_mm));
        for k in 1..labels.len() {
            let least = labels[k - 1].y + labels[k - 1].height() + 2.0;
            labels[k].y = labels[k].y.max(least);
        }
        let most = self.floor_y.min(self.at(length, AWAY_PX).y + 8.0);
        for k in (0..labels.len()).rev() {
            let limit = if k + 1 < labels.len() {
                labels[k + 1].y - 2.0
            } else {
                most
            };
            labels[k].y = labels[k].y.min(limit - labels[k].height());
        }
        labels
    }

    fn write(&self, svg: &mut Svg, label: &Label) {
        let tick = self.at(label.down_mm, AWAY_PX + 6.0);
        // Clear of the ruler wherever it passes beside the text.
        let length = self.length_mm();
        let wall = &self.face.scene.wall;
        let mut x = tick.x + 4.0;
        for k in 0..=80 {
            let t = f64::from(k) / 80.0;
            let ruler = self.at(length * t, AWAY_PX);
            let pot = self
                .face
                .at(1.0, wall.rim_s + (wall.foot_s - wall.rim_s) * t);
            for (p, clear) in [(ruler, NUMBERS_PX - 2.0), (pot, 8.0)] {
                if p.y > label.y - 4.0 && p.y < label.y + label.height() + 4.0 {
                    x = f64::max(x, p.x + clear);
                }
            }
        }
        let middle = label.y + 0.5 * label.height();
        if (middle - tick.y).abs() > 3.0 || x - tick.x > 14.0 {
            svg.line("gf-hair", tick, pt(x - 3.0, middle));
        }
        self.tick(svg, "gf-tick", label.down_mm, AWAY_PX - 6.0, AWAY_PX + 6.0);
        for (k, (class, text)) in label.lines.iter().enumerate() {
            let size = if *class == "gf-label" {
                TEXT_PX + 1.0
            } else {
                SMALL_PX
            };
            let text = super::picture::fit_text(text, size, (svg.width() - x + 4.0).max(40.0));
            svg.text(
                class,
                pt(x, label.y + 11.5 + 15.0 * k as f64),
                "start",
                size,
                &text,
            );
        }
    }

    /// Ticks, and numbers where nothing else is written.
    fn scale(&self, svg: &mut Svg, length: f64, labels: &[Label]) {
        let (unit, per_number) = match self.face.scene.units {
            Units::Metric => (1.0, [5.0, 10.0, 20.0, 50.0, 100.0]),
            Units::Imperial => (25.4 / 8.0, [4.0, 8.0, 16.0, 32.0, 64.0]),
        };
        let px = self.face.scale * unit;
        let every = per_number
            .into_iter()
            .find(|n| n * px >= 26.0)
            .unwrap_or(per_number[4]);
        let tick = if every * px / 5.0 >= 4.0 {
            every / 5.0
        } else {
            every
        };
        let mut k = 0.0;
        while k * tick * unit <= length + 1e-6 && k < 400.0 {
            let (mm, units) = (k * tick * unit, k * tick);
            let long = (units / every).fract().abs() < 1e-6;
            self.tick(
                svg,
                "gf-hair",
                mm,
                AWAY_PX,
                AWAY_PX + if long { 7.0 } else { 3.5 },
            );
            let at = self.at(mm, AWAY_PX + NUMBERS_PX);
            let free = labels
                .iter()
                .all(|l| at.y + 6.0 < l.y - 1.0 || at.y - 6.0 > l.y + l.height() + 1.0);
            if long && k > 0.0 && free && at.y < self.floor_y {
                let mut number = String::new();
                match self.face.scene.units {
                    Units::Metric => put_number(&mut number, mm),
                    Units::Imperial => put_number(&mut number, mm / 25.4),
                }
                svg.text(
                    "gf-text-small gf-quiet",
                    pt(at.x - 7.0, at.y + 4.0),
                    "start",
                    SMALL_PX,
                    &number,
                );
            }
            k += 1.0;
        }
    }
}
