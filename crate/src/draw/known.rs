//! What the log has taught, as pictures: glazes, pairs, hands, firings, and how far its predictions can be trusted.
//!
//! Takes a studio and the summary of its posterior; gives rows of intervals, the reliability picture, and their words.

use super::intervals::{Axis, Row, draw};
use super::path::{Say, bounded};
use super::picture::{
    Anchor, Ink, Picture, Pt, SMALL_PX, Svg, View, add, fit_text, pt, put_number, text,
};
use super::words;
use crate::learn::posterior::{Calibration, GlazeKnown, Spread, Summary};
use crate::physics::firing::{GlazeStiffness, prior_log10_phi};
use crate::studio::document::Studio;

/// Half width of a normal's 90 % band in standard deviations.
const BAND: f64 = 1.644_853_6;

fn band(of: Spread) -> (f64, f64) {
    let half = BAND * bounded(of.sd, 0.0, 1e3);
    (of.mean - half, of.mean + half)
}

/// Most pairs that are shown.
const MOST_PAIRS: usize = 20;

/// A factor that holds a glaze nine times in ten, to two figures, as people say a factor.
#[inline(never)]
fn put_factor(says: &mut String, of: Spread) {
    let factor = 10f64.powf(BAND * bounded(of.sd, 0.0, 5.0));
    let figures = if factor < 10.0 { 10.0 } else { 1.0 };
    says.say("within a factor of ");
    put_number(says, (factor * figures).round() / figures);
}

/// A glaze's name, or what it is filed under.
#[inline(never)]
fn put_glaze(name: &mut String, studio: &Studio, id: &str) {
    for known in &studio.glazes {
        if known.id == id {
            name.say(&known.name);
            return;
        }
    }
    name.say(id);
}

/// How fluid each glaze is, between stiff, medium and fluid as the trade means them, with what was thought before as a lighter bar:
/// before anything was logged, or before what `earlier` does not know yet; then only glazes that it taught about.
pub fn glazes(
    studio: &Studio,
    summary: &Summary,
    earlier: Option<&Summary>,
    view: &View,
) -> Picture {
    let kinds = [
        (GlazeStiffness::Stiff, "stiff"),
        (GlazeStiffness::Medium, "medium"),
        (GlazeStiffness::Fluid, "fluid"),
    ]
    .map(|(kind, name)| (prior_log10_phi(kind).0, name));
    let mut rows = Vec::with_capacity(summary.glazes.len());
    for glaze in &summary.glazes {
        let before = match earlier {
            None => glaze.prior_log10_phi,
            Some(earlier) => match earlier_of(earlier, glaze) {
                Some(before) => before,
                None => continue,
            },
        };
        let mut row = Row::of(glaze.log10_phi, glaze.entries);
        let mut nearest = kinds[0];
        for kind in kinds {
            if (kind.0 - row.p50).abs() < (nearest.0 - row.p50).abs() {
                nearest = kind;
            }
        }
        row.says.say("about ");
        row.says.say(nearest.1);
        row.says.say(", ");
        put_factor(&mut row.says, glaze.log10_phi);
        if earlier.is_some() {
            row.says.say(", before it ");
            put_factor(&mut row.says, before);
        }
        row.before = Some(band(before));
        put_glaze(&mut row.name, studio, &glaze.id);
        rows.push(row);
    }
    crate::order::by(&mut rows, |a, b| a.p50.total_cmp(&b.p50));
    draw(
        &rows,
        &Axis::around(&rows, &kinds),
        if earlier.is_some() {
            "How fluid the glazes of the last firing are, with their 90 % bands before and after it."
        } else {
            "How fluid each glaze is, from stiff to fluid, with its 90 % band."
        },
        view,
    )
}

/// What was known of a glaze before, where entries have come since.
fn earlier_of(earlier: &Summary, glaze: &GlazeKnown) -> Option<Spread> {
    for before in &earlier.glazes {
        if before.id == glaze.id {
            return (before.entries < glaze.entries).then_some(before.log10_phi);
        }
    }
    None
}

/// How much more fluid two glazes are together than their mix would be, for the pairs that were logged most.
pub fn pairs(studio: &Studio, summary: &Summary, view: &View) -> Picture {
    let mut rows = Vec::with_capacity(summary.pairs.len());
    for pair in &summary.pairs {
        let mut row = Row::of(pair.decades, pair.entries);
        put_glaze(&mut row.name, studio, &pair.over);
        row.name.say(" over ");
        put_glaze(&mut row.name, studio, &pair.under);
        for (at, share) in [(0, row.p50), (1, row.p05), (2, row.p95)] {
            words::put_percent(&mut row.says, 10f64.powf(bounded(share, -5.0, 5.0)));
            row.says.say(
                [
                    " as fluid as their mix, between ",
                    " and ",
                    ", nine times in ten",
                ][at],
            );
        }
        rows.push(row);
    }
    crate::order::by(&mut rows, |a, b| b.entries.cmp(&a.entries));
    rows.truncate(MOST_PAIRS);
    let marks = [
        (-std::f64::consts::LOG10_2, "half as fluid"),
        (0.0, "as their mix"),
        (std::f64::consts::LOG10_2, "twice"),
    ];
    draw(
        &rows,
        &Axis::around(&rows, &marks),
        "How fluid each pair is where it overlaps, against a mix of the two, with its 90 % band.",
        view,
    )
}

/// How thick each hand lays a coat, against the book's.
pub fn hands(studio: &Studio, summary: &Summary, view: &View) -> Picture {
    let mut rows = Vec::with_capacity(summary.hands.len());
    for hand in &summary.hands {
        let mut row = Row::of(hand.ln_laydown, hand.entries + hand.weigh_ins);
        words::put_percent(&mut row.says, row.p50.exp());
        row.says.say(" of the usual coat, between ");
        put_number(&mut row.says, (row.p05.exp() * 100.0).round());
        row.says.say(" and ");
        words::put_percent(&mut row.says, row.p95.exp());
        row.name.say(&hand.id);
        for known in &studio.hands {
            if known.id == hand.id {
                row.name = text(&known.name);
            }
        }
        rows.push(row);
    }
    let marks = [
        (-std::f64::consts::LN_2, "half"),
        (-0.36, "70 %"),
        (0.0, "a usual coat"),
        (0.34, "140 %"),
        (std::f64::consts::LN_2, "double"),
    ];
    let mut reach = 0.4;
    for row in &rows {
        reach = f64::max(reach, row.p95.max(-row.p05));
    }
    // No mark far beyond what is drawn.
    let shown = if reach < std::f64::consts::LN_2 {
        &marks[1..4]
    } else {
        &marks[..]
    };
    draw(
        &rows,
        &Axis::around(&rows, shown),
        "How thick each hand lays a brushed coat, with its 90 % band.",
        view,
    )
}

/// How much more or less each firing moved the glaze than its schedule says.
pub fn firings(studio: &Studio, summary: &Summary, view: &View) -> Picture {
    let mut rows = Vec::with_capacity(summary.firings.len());
    for firing in &summary.firings {
        let mut row = Row::of(firing.decades, firing.entries);
        row.says.say("moved glaze ");
        words::put_percent(&mut row.says, 10f64.powf(row.p50));
        row.says.say(" as much as its schedule says");
        row.name.say(&firing.id);
        for known in &studio.firings {
            if known.id == firing.id && !known.name.is_empty() {
                row.name = text(&known.name);
            }
        }
        rows.push(row);
    }
    let marks = [
        (-std::f64::consts::LOG10_2, "half"),
        (0.0, "as the schedule says"),
        (std::f64::consts::LOG10_2, "double"),
    ];
    draw(
        &rows,
        &Axis::around(&rows, &marks),
        "How much each firing moved glaze against its schedule, with its 90 % band.",
        view,
    )
}

impl Row {
    /// A row of a mean and its spread, without a name and without words.
    #[inline(never)]
    fn of(spread: Spread, entries: usize) -> Self {
        let (p05, p95) = band(spread);
        Self {
            name: String::new(),
            p05,
            p50: spread.mean,
            p95,
            before: None,
            entries,
            says: String::new(),
        }
    }
}

/// The reliability picture: chances of reaching the foot against how often it was reached. On the line, the chances are what
/// they say; the larger a ring, the more entries it stands for.
pub fn reliability(calibration: &Calibration, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let side = (svg.width() - 64.0)
        .min(bounded(view.height_px, 160.0, 700.0) - 58.0)
        .max(80.0);
    let (left, top) = (46.0, 14.0);
    let at = |predicted: f64, reached: f64| {
        pt(
            left + side * bounded(predicted, 0.0, 1.0),
            top + side * (1.0 - bounded(reached, 0.0, 1.0)),
        )
    };
    svg.rect("gf-bar-open", pt(left, top), side, side);
    svg.line("gf-hair gf-dashed", at(0.0, 0.0), at(1.0, 1.0));
    for &share in &[0.0, 0.5, 1.0] {
        let mut text = String::new();
        words::put_percent(&mut text, share);
        let (x, y) = (at(share, 0.0), at(0.0, share));
        svg.text(Ink::Quiet, pt(x.x, x.y + 16.0), Anchor::Middle, &text);
        svg.text(Ink::Quiet, pt(left - 6.0, y.y + 4.0), Anchor::End, &text);
    }
    let under = "chance that was given";
    svg.text(
        Ink::Small,
        pt(left + 0.5 * side, top + side + 32.0),
        Anchor::Middle,
        &fit_text(under, SMALL_PX, side),
    );
    svg.text(
        Ink::Small,
        pt(left + 8.0, top + 16.0),
        Anchor::Start,
        &fit_text("reached the foot", SMALL_PX, side - 12.0),
    );
    let mut total = 0;
    let mut line: Vec<Pt> = Vec::new();
    for bin in &calibration.reliability {
        if bin.entries > 0 {
            total += bin.entries;
            add(&mut line, at(bin.predicted, bin.reached));
        }
    }
    svg.polyline("gf-fine", &line);
    let mut said = text("Chances of reaching the foot against what happened.");
    for bin in &calibration.reliability {
        if bin.entries == 0 {
            continue;
        }
        let entries = bin.entries as f64;
        let radius = 3.5 + 12.0 * (entries / total as f64).sqrt();
        svg.circle("gf-ring", at(bin.predicted, bin.reached), radius);
        said.say(" Where about ");
        words::put_chance(&mut said, bin.predicted);
        said.say(" was given, ");
        put_number(&mut said, (bin.reached * entries).round());
        said.say(" of ");
        put_number(&mut said, entries);
        said.say(" reached it.");
    }
    if total == 0 {
        said.say(" Nothing was logged yet that could have reached it.");
    }
    svg.finish(top + side + 42.0, said)
}
