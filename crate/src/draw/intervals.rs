//! Rows of intervals on one axis: a dot for the median, a bar for the 90 % band, a lighter one for what was known before.
//!
//! Takes rows and an axis; gives a picture with its words. On narrow pictures names stand above their bars.

use super::path::{Say, bounded};
use super::picture::{
    Anchor, Ink, Picture, SMALL_PX, Svg, TEXT_PX, View, fit_text, pt, put_integer, text, text_width,
};

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
pub(crate) struct Axis<'a> {
    pub from: f64,
    pub to: f64,
    pub marks: &'a [(f64, &'a str)],
}

impl<'a> Axis<'a> {
    /// An axis that holds all rows and marks.
    #[inline(never)]
    pub fn around(rows: &[Row], marks: &'a [(f64, &'a str)]) -> Self {
        let (mut from, mut to) = (f64::MAX, f64::MIN);
        let mut hold = |x: f64| {
            if x.is_finite() {
                from = from.min(x);
                to = to.max(x);
            }
        };
        for row in rows {
            hold(row.p05);
            hold(row.p95);
        }
        for mark in marks {
            hold(mark.0);
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
#[inline(never)]
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
    for (value, name) in axis.marks {
        svg.line(
            "gf-hair gf-dashed",
            pt(x(*value), top - 4.0),
            pt(x(*value), height - 6.0),
        );
        let half = 0.5 * text_width(name, SMALL_PX);
        let at = bounded(x(*value), half + 2.0, width - half - 2.0);
        if at - half > last_text {
            svg.text(Ink::Quiet, pt(at, 13.0), Anchor::Middle, name);
            last_text = at + half + 6.0;
        }
    }
    let mut said = text(title);
    for (k, row) in rows.iter().enumerate() {
        let base = top + row_px * k as f64;
        let y = base + if narrow { 29.0 } else { 14.0 };
        let room = if narrow { end - 8.0 } else { left - 14.0 };
        let name = fit_text(&row.name, TEXT_PX, room);
        if narrow {
            svg.text(Ink::Plain, pt(left, base + 16.0), Anchor::Start, &name);
        } else {
            svg.text(Ink::Plain, pt(left - 12.0, y + 4.5), Anchor::End, &name);
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
        let mut entries = String::new();
        if row.entries == 0 {
            entries.say("no");
        } else {
            put_integer(&mut entries, row.entries as u64);
        }
        entries.say(if row.entries == 1 {
            " entry"
        } else {
            " entries"
        });
        svg.text(Ink::Quiet, pt(width - 2.0, y + 4.5), Anchor::End, &entries);
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
