//! The lesson's pictures: the fronts of two stacks against time, through one firing, and the square law between them.
//!
//! Takes a comparison and the names of its two stacks; gives pictures with their words, the scrubber's moment marked.

use super::frame::{Frame, step};
use super::path::{Say, bounded};
use super::picture::{
    Anchor, Ink, Picture, Pt, Svg, TEXT_PX, View, add, fit_text, pt, put_number, text,
};
use super::wall::simplify;
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
    let (Some(first), Some(last)) = (lesson.moments.first(), lesson.moments.last()) else {
        return svg.finish(height, text("No firing to compare in."));
    };
    let right = 118.0_f64.min(0.3 * width);
    let mut furthest = 4.0;
    for moment in &lesson.moments {
        furthest = f64::max(furthest, run(moment, 0).max(run(moment, 1)));
    }
    const STEPS: [f64; 12] = [
        5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0,
    ];
    // Down is down: the fronts fall in the picture as they do on the pot.
    let frame = Frame {
        corner: pt(60.0, 16.0),
        far: pt(width - right, height - 40.0),
        most: pt(
            (last.minutes - first.minutes).max(1e-6),
            step(&STEPS, furthest).max(furthest),
        ),
    };
    axes(&mut svg, lesson, &frame, units);
    let at = |m: &LessonMoment, side: usize| frame.at(m.minutes - first.minutes, run(m, side));
    let mut ends = [at(last, 0).y, at(last, 1).y];
    // Their names stand apart even where the fronts meet.
    if (ends[0] - ends[1]).abs() < 32.0 {
        let middle = bounded(0.5 * (ends[0] + ends[1]), 34.0, frame.far.y - 18.0);
        let upper = usize::from(ends[0] > ends[1]);
        ends[upper] = middle - 16.0;
        ends[1 - upper] = middle + 16.0;
    }
    let mut said = text("Two fronts through one firing: ");
    for side in 0..2 {
        let mut points: Vec<Pt> = Vec::new();
        for m in &lesson.moments {
            add(&mut points, at(m, side));
        }
        let class = ["gf-curve", "gf-curve gf-second"][side];
        svg.polyline(class, &simplify(&points, 0.08));
        let from = frame.far.x + 8.0;
        let name = fit_text(names[side], TEXT_PX, right - 8.0);
        svg.text(Ink::Label, pt(from, ends[side]), Anchor::Start, &name);
        let end = words::length(run(last, side), units);
        svg.text(Ink::Quiet, pt(from, ends[side] + 15.0), Anchor::Start, &end);
        said.say(["", ", and "][side]);
        said.say(names[side]);
        said.say(" ends ");
        said.say(&end);
        said.say(" below its line");
    }
    said.say(". ");
    said.say(&lesson.words);
    if let Some(m) = now.and_then(|k| lesson.moments.get(k)) {
        let x = at(m, 0).x;
        svg.line("gf-hair", pt(x, frame.corner.y), pt(x, frame.far.y));
        svg.circle("gf-now", at(m, 0), 4.0);
        svg.circle("gf-now", at(m, 1), 4.0);
        said.say(" Now, at ");
        words::put_temperature(&mut said, m.temperature_c, units);
        said.say(if m.rising { " and rising" } else { "" });
        said.say(", the first stands at ");
        words::put_length(&mut said, run(m, 0), units);
        said.say(" and the second at ");
        words::put_length(&mut said, run(m, 1), units);
        said.say(".");
    }
    svg.finish(height, said)
}

/// The square law as squares: their sides are the thicknesses, their areas how much faster the thicker one runs, counted in
/// unit squares; what fluidity adds stands under them in numbers.
pub fn square(lesson: &Lesson, names: [&str; 2], view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let height = bounded(view.height_px, 150.0, 500.0);
    let ratio = bounded(lesson.thickness_ratio, 0.1, 10.0);
    let unit = ((height - 100.0) / ratio.max(1.0)).min((width - 120.0) / (1.0 + ratio));
    let base = height - 78.0;
    let mut x = 8.0;
    for (k, side) in lesson.sides.iter().take(2).enumerate() {
        let times = [1.0, ratio][k];
        let long = unit * times;
        svg.rect("gf-work", pt(x, base - long), long, long);
        let mut at = unit;
        while at < long - 0.5 {
            let (across, up) = (x + at, base - at);
            svg.line("gf-hair", pt(across, base), pt(across, base - long));
            svg.line("gf-hair", pt(x, up), pt(x + long, up));
            at += unit;
        }
        svg.rect("gf-bar-open", pt(x, base - long), long, long);
        let mut area = String::new();
        put_number(&mut area, (times * times * 10.0).round() / 10.0);
        let middle = pt(x + 0.5 * long, base - long - 6.0);
        svg.text(Ink::Label, middle, Anchor::Middle, &area);
        let room = long.max(54.0);
        let name = fit_text(names[k], TEXT_PX, room + 20.0);
        svg.text(Ink::Plain, pt(x, base + 17.0), Anchor::Start, &name);
        let mut thick = String::new();
        words::put_thickness(&mut thick, side.fired_um * 1e-3);
        svg.text(Ink::Quiet, pt(x, base + 33.0), Anchor::Start, &thick);
        x += room + 36.0;
    }
    let times = |out: &mut String, ratio: f64, digits: f64| {
        put_number(out, (bounded(ratio, 0.0, 1e6) * digits).round() / digits);
    };
    let mut sum = text("the square of ");
    times(&mut sum, ratio, 100.0);
    if (lesson.fluidity_ratio - 1.0).abs() >= 0.05 {
        sum.say(", times ");
        times(&mut sum, lesson.fluidity_ratio, 100.0);
        sum.say(" for how fluid it is:");
    } else {
        sum.say(":");
    }
    svg.text(Ink::Plain, pt(8.0, height - 24.0), Anchor::Start, &sum);
    let mut sum = String::new();
    times(&mut sum, lesson.speed_ratio, 10.0);
    sum.say(" times as fast");
    svg.text(Ink::Label, pt(8.0, height - 6.0), Anchor::Start, &sum);
    let mut said = text("Two squares whose sides are the thicknesses of ");
    said.say(names[0]);
    said.say(" and ");
    said.say(names[1]);
    said.say("; their areas are as their speeds. ");
    said.say(&lesson.words);
    svg.finish(height, said)
}

fn run(moment: &LessonMoment, side: usize) -> f64 {
    bounded(moment.run_mm[side % 2], 0.0, 5000.0)
}

fn axes(svg: &mut Svg, lesson: &Lesson, frame: &Frame, units: Units) {
    let most = frame.most;
    svg.line("gf-fine", frame.corner, frame.at(most.x, 0.0));
    for k in 0..=4 {
        let mm = most.y * f64::from(k) / 4.0;
        frame.tick_y(svg, mm, &words::length(mm, units), true);
    }
    let base = frame.far.y;
    let mut free = 0.0;
    let n = lesson.moments.len();
    for k in 0..=4 {
        if let (Some(first), Some(m)) = (
            lesson.moments.first(),
            lesson.moments.get((n.max(1) - 1) * k / 4),
        ) {
            let mut text = String::new();
            words::put_temperature(&mut text, m.temperature_c, units);
            free = frame.tick_x(svg, m.minutes - first.minutes, base, &text, free);
        }
    }
    let mut text = text("the kiln, over ");
    put_number(&mut text, (most.x / 6.0).round() / 10.0);
    text.say(" hours");
    svg.text(
        Ink::Quiet,
        pt(frame.corner.x, base + 34.0),
        Anchor::Start,
        &text,
    );
}
