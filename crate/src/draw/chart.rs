//! The firing beside the piece: its temperature against its hours, with the work it does on the glaze.
//!
//! Takes a schedule; gives a picture with its words.

use super::frame::{Frame, step};
use super::path::{Say, bounded};
use super::picture::{
    Anchor, Ink, Picture, Pt, SMALL_PX, Svg, View, add, curve, fit_text, pt, put_number, text,
};
use super::wall::simplify;
use super::words;
use crate::physics::constants::ZERO_CELSIUS_K;
use crate::physics::firing::{FiringClock, SEAL_K, SLOPE_DECADES_PER_100K, Schedule, Trend};
use crate::studio::document::Units;

/// The firing's temperature against its hours, from room temperature; filled under the curve where the glaze flows, the darker
/// the faster. `share` of the work done marks a moment.
pub fn firing(schedule: &Schedule, share: Option<f64>, units: Units, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let high = bounded(view.height_px, 90.0, 400.0);
    let legs = schedule.legs();
    let mut end_s = 1.0;
    for leg in &legs {
        end_s = f64::max(end_s, leg.start_s + leg.seconds);
    }
    let peak_c = (schedule.peak_k() - ZERO_CELSIUS_K).max(100.0);
    let frame = Frame {
        corner: pt(58.0, high - 24.0),
        far: pt(width - 12.0, 32.0),
        most: pt(end_s, (peak_c / 100.0).ceil() * 100.0),
    };
    let clock = FiringClock::new(schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok();
    if let Some(clock) = &clock {
        work(&mut svg, clock, &frame);
    }
    axes(&mut svg, &frame, units);
    let mut line: Vec<Pt> = Vec::new();
    for leg in &legs {
        let end = leg.start_s + leg.seconds;
        add(
            &mut line,
            frame.at(leg.start_s, leg.from_k - ZERO_CELSIUS_K),
        );
        add(&mut line, frame.at(end, leg.to_k - ZERO_CELSIUS_K));
    }
    svg.polyline("gf-curve", &simplify(&line, 0.05));
    let key = fit_text(
        "each band: a tenth of the firing's work on the glaze",
        SMALL_PX,
        width - 4.0,
    );
    svg.text(Ink::Quiet, pt(2.0, 12.0), Anchor::Start, &key);
    let mut words = text("The firing: up to ");
    words::put_temperature(&mut words, schedule.peak_k() - ZERO_CELSIUS_K, units);
    words.say(" in a schedule of ");
    put_number(&mut words, (end_s / 3600.0 * 10.0).round() / 10.0);
    words.say(" hours.");
    if let Some(clock) = &clock {
        let (from, to) = (clock.at_share(0.1), clock.at_share(0.9));
        words.say(" Four fifths of its work on the glaze are done in ");
        put_number(&mut words, ((to.time_s - from.time_s) / 60.0).round());
        words.say(" minutes, above ");
        let least = from.temperature_k.min(to.temperature_k);
        words::put_temperature(&mut words, least - ZERO_CELSIUS_K, units);
        words.say(".");
        if let Some(share) = share {
            mark(&mut svg, &frame, clock, share, units, &mut words);
        }
    }
    svg.finish(high, words)
}

/// The moment at which `share` of the work is done, in the picture and in the words.
fn mark(
    svg: &mut Svg,
    frame: &Frame,
    clock: &FiringClock,
    share: f64,
    units: Units,
    words: &mut String,
) {
    let now = clock.at_share(share);
    let celsius = now.temperature_k - ZERO_CELSIUS_K;
    let at = frame.at(now.time_s, celsius);
    svg.line("gf-hair", pt(at.x, frame.corner.y), at);
    svg.circle("gf-now", at, 4.5);
    let mut text = String::new();
    words::put_temperature(&mut text, celsius, units);
    let (anchor, dx) = if at.x > 0.5 * svg.width() {
        (Anchor::End, -8.0)
    } else {
        (Anchor::Start, 8.0)
    };
    let place = pt(at.x + dx, (at.y - 6.0).max(12.0));
    svg.text(Ink::SmallLabel, place, anchor, &text);
    words.say(" Now ");
    words.say(&text);
    words.say(match now.trend {
        Trend::Rising => ", rising, ",
        Trend::Holding => ", holding, ",
        Trend::Falling => ", falling, ",
    });
    words::put_percent(words, bounded(now.share, 0.0, 1.0));
    words.say(" of the firing's work on the glaze done.");
}

/// The work of the firing under its curve: equal tenths of it in turn lighter and darker, so that where it is done is seen
/// at once.
fn work(svg: &mut Svg, clock: &FiringClock, frame: &Frame) {
    for tenth in 0..10 {
        let (mut first, mut last) = (0.0, 0.0);
        let mut points = curve(8, &mut |t| {
            let now = clock.at_share((f64::from(tenth) + t) / 10.0);
            let at = frame.at(now.time_s, now.temperature_k - ZERO_CELSIUS_K);
            if t == 0.0 {
                first = at.x;
            }
            last = at.x;
            at
        });
        add(&mut points, pt(last, frame.corner.y));
        add(&mut points, pt(first, frame.corner.y));
        let class = ["gf-work", "gf-work gf-work-odd"][tenth as usize % 2];
        svg.area(class, &points);
    }
}

fn axes(svg: &mut Svg, frame: &Frame, units: Units) {
    let (end, most) = (frame.far.x, frame.most);
    svg.line("gf-fine", frame.corner, pt(end, frame.corner.y));
    let px_per_degree = (frame.corner.y - frame.far.y) / most.y;
    let every = step(&[100.0, 200.0, 400.0, 500.0], 24.0 / px_per_degree);
    let mut c = 0.0;
    while c <= most.y + 1.0 {
        let mut text = String::new();
        words::put_temperature(&mut text, c, units);
        // The unit stands at the top alone.
        if c + every <= most.y
            && let Some(space) = text.find(' ')
        {
            text.truncate(space);
        }
        frame.tick_y(svg, c, &text, false);
        c += every;
    }
    let hours = most.x / 3600.0;
    let px_per_hour = (end - frame.corner.x) / hours;
    let every = step(
        &[1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0],
        44.0 / px_per_hour,
    );
    let mut h = 0.0;
    while h <= hours + 1e-6 && h < 400.0 {
        let mut text = String::new();
        put_number(&mut text, h);
        if h + every > hours {
            text.say(" h");
        }
        frame.tick_x(svg, h * 3600.0, frame.corner.y, &text, 0.0);
        h += every;
    }
}
