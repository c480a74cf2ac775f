//! Charts beside the piece: the firing with its work, and what the spread of a run hangs on.
//!
//! Takes a schedule or an outcome; gives pictures with their words.

use super::path::Say;
use super::picture::{Path, Picture, Pt, SMALL_PX, Svg, TEXT_PX, View, fit_text, pt, put_number};
use super::scene::bounded;
use super::wall::simplify;
use super::words;
use crate::physics::constants::ZERO_CELSIUS_K;
use crate::physics::firing::{FiringClock, SEAL_K, SLOPE_DECADES_PER_100K, Schedule, Trend};
use crate::predict::outcome::PlanOutcome;
use crate::studio::document::Units;

/// The firing's temperature against its hours, from room temperature; filled under the curve where the glaze flows, the darker
/// the faster. `share` of the work done marks a moment.
pub fn firing(schedule: &Schedule, share: Option<f64>, units: Units, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let high = bounded(view.height_px, 90.0, 400.0);
    let (left, right, top, bottom) = (58.0, 12.0, 32.0, 24.0);
    let legs = schedule.legs();
    let end_s = legs
        .last()
        .map_or(1.0, |leg| leg.start_s + leg.seconds)
        .max(1.0);
    let peak_c = (schedule.peak_k() - ZERO_CELSIUS_K).max(100.0);
    let most_c = (peak_c / 100.0).ceil() * 100.0;
    let x = |s: f64| left + (width - left - right) * s / end_s;
    let y = |c: f64| high - bottom - (high - top - bottom) * c / most_c;
    let mut line = vec![];
    for leg in &legs {
        line.push(pt(x(leg.start_s), y(leg.from_k - ZERO_CELSIUS_K)));
        line.push(pt(
            x(leg.start_s + leg.seconds),
            y(leg.to_k - ZERO_CELSIUS_K),
        ));
    }
    let clock = FiringClock::new(schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok();
    if let Some(clock) = &clock {
        work(&mut svg, clock, &x, &y);
    }
    axes(&mut svg, end_s, most_c, units, &x, &y);
    let mut path = Path::new();
    path.through(&simplify(&line, 0.05));
    svg.path("gf-curve", &path);
    let key = "each band: a tenth of the firing's work on the glaze";
    svg.text(
        "gf-text-small gf-quiet",
        pt(2.0, 12.0),
        "start",
        SMALL_PX,
        &fit_text(key, SMALL_PX, width - 4.0),
    );
    let mut words = firing_words(schedule, end_s, units);
    if let (Some(clock), Some(share)) = (&clock, share) {
        let now = clock.at_share(share);
        let at = pt(x(now.time_s), y(now.temperature_k - ZERO_CELSIUS_K));
        svg.line("gf-hair", pt(at.x, y(0.0)), at);
        svg.circle("gf-now", at, 4.5);
        let text = words::temperature(now.temperature_k - ZERO_CELSIUS_K, units);
        let (anchor, dx) = if at.x > 0.5 * width {
            ("end", -8.0)
        } else {
            ("start", 8.0)
        };
        svg.text(
            "gf-label",
            pt(at.x + dx, (at.y - 6.0).max(12.0)),
            anchor,
            SMALL_PX,
            &text,
        );
        words.say(" Now ");
        words.say(&text);
        words.say(match now.trend {
            Trend::Rising => ", rising, ",
            Trend::Holding => ", holding, ",
            Trend::Falling => ", falling, ",
        });
        words.say(&words::count(
            (bounded(now.share, 0.0, 1.0) * 100.0).round() as usize,
        ));
        words.say(" % of the firing's work on the glaze done.");
    }
    svg.finish(high, words)
}

/// The work of the firing under its curve: equal tenths of it in turn lighter and darker, so that where it is done is seen
/// at once.
fn work(svg: &mut Svg, clock: &FiringClock, x: &dyn Fn(f64) -> f64, y: &dyn Fn(f64) -> f64) {
    for tenth in 0..10 {
        let n = 8;
        let mut points: Vec<Pt> = (0..=n)
            .map(|k| clock.at_share((f64::from(tenth) + f64::from(k) / f64::from(n)) / 10.0))
            .map(|m| pt(x(m.time_s), y(m.temperature_k - ZERO_CELSIUS_K)))
            .collect();
        let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
            continue;
        };
        points.push(pt(last.x, y(0.0)));
        points.push(pt(first.x, y(0.0)));
        let mut path = Path::new();
        path.through(&points).close();
        svg.path(
            if tenth % 2 == 0 {
                "gf-work"
            } else {
                "gf-work gf-work-odd"
            },
            &path,
        );
    }
}

fn axes(
    svg: &mut Svg,
    end_s: f64,
    most_c: f64,
    units: Units,
    x: &dyn Fn(f64) -> f64,
    y: &dyn Fn(f64) -> f64,
) {
    svg.line("gf-fine", pt(x(0.0), y(0.0)), pt(x(end_s), y(0.0)));
    let px_per_hundred = y(0.0) - y(100.0);
    let step = [100.0, 200.0, 400.0]
        .into_iter()
        .find(|s| s / 100.0 * px_per_hundred >= 24.0)
        .unwrap_or(500.0);
    let mut c = 0.0;
    while c <= most_c + 1.0 {
        let at = y(c);
        svg.line("gf-hair", pt(x(0.0) - 4.0, at), pt(x(0.0), at));
        let text = words::temperature(c, units);
        let number = text.split(' ').next().unwrap_or("");
        let shown = if c + step > most_c {
            text.as_str()
        } else {
            number
        };
        svg.text(
            "gf-text-small gf-quiet",
            pt(x(0.0) - 7.0, at + 4.0),
            "end",
            SMALL_PX,
            &fit_text(shown, SMALL_PX, 60.0),
        );
        c += step;
    }
    let hours = end_s / 3600.0;
    let px_per_hour = (x(end_s) - x(0.0)) / hours.max(1e-6);
    let step = [1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0]
        .into_iter()
        .find(|s| s * px_per_hour >= 44.0)
        .unwrap_or(96.0);
    let mut h = 0.0;
    while h <= hours + 1e-6 && h < 400.0 {
        let at = pt(x(h * 3600.0), y(0.0));
        svg.line("gf-hair", at, pt(at.x, at.y + 4.0));
        let mut text = String::new();
        put_number(&mut text, h);
        if h + step > hours {
            text.say(" h");
        }
        svg.text(
            "gf-text-small gf-quiet",
            pt(at.x, at.y + 17.0),
            "middle",
            SMALL_PX,
            &text,
        );
        h += step;
    }
}

fn firing_words(schedule: &Schedule, end_s: f64, units: Units) -> String {
    let mut out = String::from("The firing: up to ");
    out.say(&words::temperature(
        schedule.peak_k() - ZERO_CELSIUS_K,
        units,
    ));
    out.say(" in a schedule of ");
    put_number(&mut out, (end_s / 3600.0 * 10.0).round() / 10.0);
    out.say(" hours.");
    if let Ok(clock) = FiringClock::new(schedule, SEAL_K, SLOPE_DECADES_PER_100K) {
        let (from, to) = (clock.at_share(0.1), clock.at_share(0.9));
        out.say(" Four fifths of its work on the glaze are done in ");
        put_number(&mut out, ((to.time_s - from.time_s) / 60.0).round());
        out.say(" minutes, above ");
        let least = from.temperature_k.min(to.temperature_k);
        out.say(&words::temperature(least - ZERO_CELSIUS_K, units));
        out.say(".");
    }
    out
}

/// What the run's spread hangs on, as bars, the largest first.
pub fn hangs_on(outcome: &PlanOutcome, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let row = 40.0;
    let mut out = String::from("What the spread of the run hangs on: ");
    let mut y = 0.0;
    for (k, part) in outcome.hangs_on.iter().take(8).enumerate() {
        let share = bounded(part.share, 0.0, 1.0);
        let mut percent = String::new();
        put_number(&mut percent, (share * 100.0).round());
        percent.say(" %");
        svg.text(
            "gf-text",
            pt(0.0, y + 14.0),
            "start",
            TEXT_PX,
            &fit_text(&part.what, TEXT_PX, width - 50.0),
        );
        svg.text(
            "gf-text-small gf-quiet",
            pt(width, y + 14.0),
            "end",
            SMALL_PX,
            &percent,
        );
        svg.rect("gf-bar-open", pt(0.5, y + 20.0), width - 1.0, 7.0);
        svg.rect("gf-bar", pt(0.5, y + 20.0), (width - 1.0) * share, 7.0);
        out.say(if k == 0 { "" } else { "; " });
        out.say(&part.what);
        out.say(" ");
        out.say(&percent);
        y += row;
    }
    if outcome.hangs_on.is_empty() {
        out.say("nothing, it does not run");
    }
    out.say(".");
    svg.finish(y.max(1.0), out)
}
