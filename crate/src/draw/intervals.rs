//! Rows of intervals on one axis: a dot for the median, a bar for the 90 % band, a lighter one for what was known before.
//!
//! Takes rows and an axis; gives a picture with its words. On narrow pictures names stand above their bars.

use super::path::Say;
use super::picture::{Picture, SMALL_PX, Svg, TEXT_PX, View, fit_text, pt};
use super::scene::bounded;
use super::words;

/// One row.
pub(crate) struct Row {
    pub name: String,
    pub p05: f64,
    pub p50: f64,
    pub p95: f64,
    /// The band before anything was logged.
    pub before: Option<(f64, f64)>,
    /// Entries behind it.
    pub entries: usize,
    /// What the row says, in words.
    pub says: String,
}

/// An axis with named places, from left to right.
pub(crate) struct Axis {
    pub from: f64,
    pub to: f64,
    pub marks: Vec<(f64, String)>,
}

impl Axis {
    /// An axis that holds all rows and marks.
    pub fn around(rows: &[Row], marks: Vec<(f64, String)>) -> Self {
        let ends = rows
            .iter()
            .flat_map(|r| [r.p05, r.p95])
            .chain(marks.iter().map(|m| m.0));
        let (mut from, mut to) = (f64::MAX, f64::MIN);
        for x in ends.filter(|x| x.is_finite()) {
            from = from.min(x);
            to = to.max(x);
        }
        if from >= to {
            (from, to) = (from.min(0.0) - 1.0, from.min(0.0) + 1.0);
        }
        let margin = 0.06 * (to - from);
        Self {
            from: from - margin,
            to: to + margin,
            marks,
        }
    }
}

/// Draws the rows. `title` opens the words.
pub(crate) fn draw(rows: &[Row], axis: &Axis, title: &str, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let narrow = width < 480.0;
    let (left, right, row_px) = if narrow {
        (4.0, 64.0, 42.0)
    } else {
        (0.32 * width, 76.0, 28.0)
    };
    let end = width - right;
    let x = |value: f64| {
        left + (end - left) * bounded((value - axis.from) / (axis.to - axis.from), 0.0, 1.0)
    };
    let top = 24.0;
    let height = top + row_px * rows.len() as f64 + 8.0;
    let mut last_text = f64::MIN;
    for (value, text) in &axis.marks {
        svg.line(
            "gf-hair gf-dashed",
            pt(x(*value), top - 4.0),
            pt(x(*value), height - 6.0),
        );
        let half = 0.5 * super::picture::text_width(text, SMALL_PX);
        let at = x(*value).clamp(half + 2.0, width - half - 2.0);
        if at - half > last_text {
            svg.text(
                "gf-text-small gf-quiet",
                pt(at, 13.0),
                "middle",
                SMALL_PX,
                text,
            );
            last_text = at + half + 6.0;
        }
    }
    let mut said = String::from(title);
    for (k, row) in rows.iter().enumerate() {
        let base = top + row_px * k as f64;
        let y = base + if narrow { 29.0 } else { 14.0 };
        let room = if narrow { end - 8.0 } else { left - 14.0 };
        let name = fit_text(&row.name, TEXT_PX, room);
        if narrow {
            svg.text("gf-text", pt(left, base + 16.0), "start", TEXT_PX, &name);
        } else {
            svg.text("gf-text", pt(left - 12.0, y + 4.5), "end", TEXT_PX, &name);
        }
        if let Some((from, to)) = row.before {
            svg.rect("gf-before", pt(x(from), y - 5.0), x(to) - x(from), 10.0);
        }
        svg.rect(
            "gf-known",
            pt(x(row.p05), y - 2.0),
            (x(row.p95) - x(row.p05)).max(1.0),
            4.0,
        );
        svg.circle("gf-dot", pt(x(row.p50), y), 4.0);
        let mut entries = if row.entries == 0 {
            "no".to_owned()
        } else {
            words::count(row.entries)
        };
        entries.say(if row.entries == 1 {
            " entry"
        } else {
            " entries"
        });
        svg.text(
            "gf-text-small gf-quiet",
            pt(width - 2.0, y + 4.5),
            "end",
            SMALL_PX,
            &entries,
        );
        said.say(" ");
        said.say(&row.name);
        said.say(": ");
        said.say(&row.says);
        said.say(", ");
        said.say(&entries);
        said.say(".");
    }
    svg.finish(height, said)
}
