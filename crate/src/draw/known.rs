//! What the log has taught, as pictures: glazes, hands, firings, and how far its predictions can be trusted.
//!
//! Takes a studio and the summary of its posterior; gives rows of intervals, the reliability picture, and their words.

use super::intervals::{Axis, Row, draw};
use super::path::Say;
use super::picture::{Path, Picture, SMALL_PX, Svg, View, fit_text, pt, put_number};
use super::scene::bounded;
use super::words;
use crate::learn::posterior::{Calibration, Spread, Summary};
use crate::physics::firing::{GlazeStiffness, prior_log10_phi};
use crate::studio::document::Studio;

/// Half width of a normal's 90 % band in standard deviations.
const BAND: f64 = 1.644_853_6;

fn band(of: Spread) -> (f64, f64) {
    let half = BAND * bounded(of.sd, 0.0, 1e3);
    (of.mean - half, of.mean + half)
}

/// Names of records by their identifier, or the identifier itself.
fn named<'a>(list: impl Iterator<Item = (&'a str, &'a str)>, id: &str) -> String {
    let mut list = list;
    list.find(|(known, _)| *known == id)
        .map_or(id, |(_, name)| name)
        .to_owned()
}

/// How fluid each glaze is, between stiff, medium and fluid as the trade means them; what was thought before as a lighter bar.
pub fn glazes(studio: &Studio, summary: &Summary, view: &View) -> Picture {
    let at = |kind| prior_log10_phi(kind).0;
    let kinds = [
        (at(GlazeStiffness::Stiff), "stiff"),
        (at(GlazeStiffness::Medium), "medium"),
        (at(GlazeStiffness::Fluid), "fluid"),
    ];
    let mut known: Vec<_> = summary.glazes.iter().collect();
    crate::order::by(&mut known, |a, b| {
        a.log10_phi.mean.total_cmp(&b.log10_phi.mean)
    });
    let rows: Vec<Row> = known
        .into_iter()
        .map(|glaze| {
            let (p05, p95) = band(glaze.log10_phi);
            let p50 = glaze.log10_phi.mean;
            let nearest = kinds
                .iter()
                .min_by(|a, b| (a.0 - p50).abs().total_cmp(&(b.0 - p50).abs()));
            let mut says = String::from("about ");
            says.say(nearest.map_or("medium", |k| k.1));
            says.say(", within a factor of ");
            put_number(
                &mut says,
                factor(BAND * bounded(glaze.log10_phi.sd, 0.0, 5.0)),
            );
            Row {
                name: named(
                    studio
                        .glazes
                        .iter()
                        .map(|g| (g.id.as_str(), g.name.as_str())),
                    &glaze.id,
                ),
                p05,
                p50,
                p95,
                before: Some(band(glaze.prior_log10_phi)),
                entries: glaze.entries,
                says,
            }
        })
        .collect();
    let axis = Axis::around(&rows, kinds.map(|(x, name)| (x, name.to_owned())).to_vec());
    draw(
        &rows,
        &axis,
        "How fluid each glaze is, from stiff to fluid, with its 90 % band.",
        view,
    )
}

/// Ten to the power of decades, to two figures, as people say a factor.
fn factor(decades: f64) -> f64 {
    let f = 10f64.powf(decades);
    if f < 10.0 {
        (f * 10.0).round() / 10.0
    } else {
        f.round()
    }
}

/// How thick each hand lays a coat, against the book's.
pub fn hands(studio: &Studio, summary: &Summary, view: &View) -> Picture {
    let rows: Vec<Row> = summary
        .hands
        .iter()
        .map(|hand| {
            let (p05, p95) = band(hand.ln_laydown);
            let mut says = String::new();
            put_number(&mut says, (hand.ln_laydown.mean.exp() * 100.0).round());
            says.say(" % of the usual coat, between ");
            put_number(&mut says, (p05.exp() * 100.0).round());
            says.say(" and ");
            put_number(&mut says, (p95.exp() * 100.0).round());
            says.say(" %");
            Row {
                name: named(
                    studio
                        .hands
                        .iter()
                        .map(|h| (h.id.as_str(), h.name.as_str())),
                    &hand.id,
                ),
                p05,
                p50: hand.ln_laydown.mean,
                p95,
                before: None,
                entries: hand.entries + hand.weigh_ins,
                says,
            }
        })
        .collect();
    let marks = [
        (0.5, "half"),
        (0.7, "70 %"),
        (1.0, "a usual coat"),
        (1.4, "140 %"),
        (2.0, "double"),
    ];
    let within = |ln: f64| {
        let reach = rows.iter().map(|r| r.p95.max(-r.p05)).fold(0.4, f64::max);
        ln.abs() <= reach
    };
    let marks: Vec<(f64, String)> = marks
        .iter()
        .map(|(x, name)| (f64::ln(*x), (*name).to_owned()))
        .filter(|m| within(m.0))
        .collect();
    let axis = Axis::around(&rows, marks);
    draw(
        &rows,
        &axis,
        "How thick each hand lays a brushed coat, with its 90 % band.",
        view,
    )
}

/// How much more or less each firing moved the glaze than its schedule says.
pub fn firings(studio: &Studio, summary: &Summary, view: &View) -> Picture {
    let rows: Vec<Row> = summary
        .firings
        .iter()
        .map(|firing| {
            let (p05, p95) = band(firing.decades);
            let mut says = String::from("moved glaze ");
            put_number(&mut says, (10f64.powf(firing.decades.mean) * 100.0).round());
            says.say(" % as much as its schedule says");
            let name = studio.firings.iter().find(|f| f.id == firing.id);
            Row {
                name: name
                    .filter(|f| !f.name.is_empty())
                    .map_or_else(|| firing.id.clone(), |f| f.name.clone()),
                p05,
                p50: firing.decades.mean,
                p95,
                before: None,
                entries: firing.entries,
                says,
            }
        })
        .collect();
    let marks = vec![
        (0.5f64.log10(), "half".to_owned()),
        (0.0, "as the schedule says".to_owned()),
        (2f64.log10(), "double".to_owned()),
    ];
    let axis = Axis::around(&rows, marks);
    draw(
        &rows,
        &axis,
        "How much each firing moved glaze against its schedule, with its 90 % band.",
        view,
    )
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
    for percent in [0.0, 50.0, 100.0] {
        let mut text = String::new();
        put_number(&mut text, percent);
        text.say(" %");
        let (x, y) = (at(percent / 100.0, 0.0), at(0.0, percent / 100.0));
        svg.text(
            "gf-text-small gf-quiet",
            pt(x.x, x.y + 16.0),
            "middle",
            SMALL_PX,
            &text,
        );
        svg.text(
            "gf-text-small gf-quiet",
            pt(left - 6.0, y.y + 4.0),
            "end",
            SMALL_PX,
            &text,
        );
    }
    let under = "chance that was given";
    svg.text(
        "gf-text-small",
        pt(left + 0.5 * side, top + side + 32.0),
        "middle",
        SMALL_PX,
        &fit_text(under, SMALL_PX, side),
    );
    svg.text(
        "gf-text-small",
        pt(left + 8.0, top + 16.0),
        "start",
        SMALL_PX,
        &fit_text("reached the foot", SMALL_PX, side - 12.0),
    );
    let total: usize = calibration.reliability.iter().map(|bin| bin.entries).sum();
    let mut said = String::from("Chances of reaching the foot against what happened.");
    let mut line = Path::new();
    let bins: Vec<_> = calibration
        .reliability
        .iter()
        .filter(|bin| bin.entries > 0)
        .collect();
    line.through(
        &bins
            .iter()
            .map(|bin| at(bin.predicted, bin.reached))
            .collect::<Vec<_>>(),
    );
    svg.path("gf-fine", &line);
    for bin in bins {
        let share = bin.entries as f64 / total.max(1) as f64;
        svg.circle(
            "gf-ring",
            at(bin.predicted, bin.reached),
            3.5 + 12.0 * share.sqrt(),
        );
        said.say(" Where about ");
        said.say(&words::chance(bin.predicted));
        said.say(" was given, ");
        said.say(&words::count(
            (bin.reached * bin.entries as f64).round() as usize
        ));
        said.say(" of ");
        said.say(&words::count(bin.entries));
        said.say(" reached it.");
    }
    if total == 0 {
        said.say(" Nothing was logged yet that could have reached it.");
    }
    svg.finish(top + side + 42.0, said)
}
