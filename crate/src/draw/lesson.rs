//! The lesson's chart: the fronts of two stacks against time, through one firing.
//!
//! Takes a comparison and the names of its two stacks; gives a picture with the scrubber's moment and its words.

use super::path::Say;
use super::picture::{Path, Picture, Pt, SMALL_PX, Svg, TEXT_PX, View, fit_text, pt};
use super::scene::bounded;
use super::words;
use crate::predict::compare::{Lesson, LessonMoment};
use crate::studio::document::Units;

/// Draws both fronts. `now`: the moment the scrubber stands at, by its place in [`Lesson::moments`].
pub fn fronts(
    lesson: &Lesson,
    names: [&str; 2],
    now: Option<usize>,
    units: Units,
    view: &View,
) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let height = bounded(view.height_px, 150.0, 700.0);
    let (left, right, top, bottom) = (60.0, 118.0_f64.min(0.3 * width), 16.0, 40.0);
    let (Some(first), Some(last)) = (lesson.moments.first(), lesson.moments.last()) else {
        return svg.finish(height, "No firing to compare in.".to_owned());
    };
    let minutes = (last.minutes - first.minutes).max(1e-6);
    let run = |m: &LessonMoment, side: usize| {
        bounded(m.run_mm.get(side).copied().unwrap_or(0.0), 0.0, 5000.0)
    };
    let furthest = lesson
        .moments
        .iter()
        .flat_map(|m| [run(m, 0), run(m, 1)])
        .fold(0.0, f64::max);
    let most = nice(furthest.max(4.0));
    let x =
        |m: &LessonMoment| left + (width - left - right) * (m.minutes - first.minutes) / minutes;
    let y = |mm: f64| top + (height - top - bottom) * mm / most;
    axes(&mut svg, lesson, most, units, &x, &y);
    let mut ends = [y(run(last, 0)), y(run(last, 1))];
    // Their names stand apart even where the fronts meet.
    if (ends[0] - ends[1]).abs() < 32.0 {
        let middle = bounded(
            0.5 * (ends[0] + ends[1]),
            top + 18.0,
            height - bottom - 18.0,
        );
        let upper = usize::from(ends[0] > ends[1]);
        ends[upper] = middle - 16.0;
        ends[1 - upper] = middle + 16.0;
    }
    for (side, class) in ["gf-curve", "gf-curve gf-second"].into_iter().enumerate() {
        let points: Vec<Pt> = lesson
            .moments
            .iter()
            .map(|m| pt(x(m), y(run(m, side))))
            .collect();
        let mut path = Path::new();
        path.through(&super::wall::simplify(&points, 0.08));
        svg.path(class, &path);
        let from = width - right + 8.0;
        let name = names.get(side).copied().unwrap_or("");
        svg.text(
            "gf-label",
            pt(from, ends[side]),
            "start",
            TEXT_PX,
            &fit_text(name, TEXT_PX, right - 8.0),
        );
        let text = words::length(run(last, side), units);
        svg.text(
            "gf-text-small gf-quiet",
            pt(from, ends[side] + 15.0),
            "start",
            SMALL_PX,
            &text,
        );
    }
    let mut said = telling(lesson, names, units);
    if let Some(m) = now.and_then(|k| lesson.moments.get(k)) {
        svg.line("gf-hair", pt(x(m), top), pt(x(m), height - bottom));
        for side in 0..2 {
            svg.circle("gf-now", pt(x(m), y(run(m, side))), 4.0);
        }
        said.say(" Now, at ");
        said.say(&words::temperature(m.temperature_c, units));
        said.say(if m.rising {
            " and rising, the first stands at "
        } else {
            ", the first stands at "
        });
        said.say(&words::length(run(m, 0), units));
        said.say(" and the second at ");
        said.say(&words::length(run(m, 1), units));
        said.say(".");
    }
    svg.finish(height, said)
}

/// The next round number of millimetres.
fn nice(mm: f64) -> f64 {
    const STEPS: [f64; 12] = [
        5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0,
    ];
    STEPS
        .into_iter()
        .find(|s| *s >= mm)
        .unwrap_or((mm / 100.0).ceil() * 100.0)
}

fn axes(
    svg: &mut Svg,
    lesson: &Lesson,
    most: f64,
    units: Units,
    x: &dyn Fn(&LessonMoment) -> f64,
    y: &dyn Fn(f64) -> f64,
) {
    let (Some(first), Some(last)) = (lesson.moments.first(), lesson.moments.last()) else {
        return;
    };
    // Down is down: the fronts fall in the picture as they do on the pot.
    svg.line("gf-fine", pt(x(first), y(0.0)), pt(x(last), y(0.0)));
    for k in 0..=4 {
        let mm = most * f64::from(k) / 4.0;
        svg.line(
            "gf-hair gf-dashed",
            pt(x(first) - 4.0, y(mm)),
            pt(x(last), y(mm)),
        );
        let text = words::length(mm, units);
        svg.text(
            "gf-text-small gf-quiet",
            pt(x(first) - 7.0, y(mm) + 4.0),
            "end",
            SMALL_PX,
            &text,
        );
    }
    let n = lesson.moments.len();
    let mut free_from = f64::MIN;
    for k in 0..=4 {
        let Some(m) = lesson.moments.get((n - 1) * k / 4) else {
            continue;
        };
        let text = words::temperature(m.temperature_c, units);
        let half = 0.5 * super::picture::text_width(&text, SMALL_PX);
        svg.line("gf-hair", pt(x(m), y(most)), pt(x(m), y(most) + 4.0));
        if x(m) - half > free_from {
            svg.text(
                "gf-text-small gf-quiet",
                pt(x(m), y(most) + 18.0),
                "middle",
                SMALL_PX,
                &text,
            );
            free_from = x(m) + half + 6.0;
        }
    }
    let hours = (last.minutes - first.minutes) / 60.0;
    let mut text = String::from("the kiln, over ");
    super::picture::put_number(&mut text, (hours * 10.0).round() / 10.0);
    text.say(" hours");
    svg.text(
        "gf-text-small gf-quiet",
        pt(x(first), y(most) + 34.0),
        "start",
        SMALL_PX,
        &text,
    );
}

fn telling(lesson: &Lesson, names: [&str; 2], units: Units) -> String {
    let mut out = String::from("Two fronts through one firing: ");
    for (side, name) in names.into_iter().enumerate() {
        out.say(if side == 0 { "" } else { ", and " });
        out.say(name);
        out.say(" ends ");
        out.say(&words::length(
            lesson.sides.get(side).map_or(0.0, |s| s.run_mm),
            units,
        ));
        out.say(" below its line");
    }
    out.say(". ");
    out.say(&lesson.words);
    out
}
