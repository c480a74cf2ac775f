//! Draws every picture of the demo studio's plans into a folder, to be looked at: `draw_demo FOLDER [STUDIO.json]`.
//!
//! One page per piece, width and theme: before, within and after the firing, lens, twenty, pile, firing, with their words.

use std::error::Error;
use std::fmt::Write;
use std::path::Path;

use glazefall::draw::film::Moment;
use glazefall::draw::lens::{self, Spot};
use glazefall::draw::picture::{Picture, View};
use glazefall::draw::scene::Scene;
use glazefall::draw::{chart, known, lesson, pile, pot, twenty};
use glazefall::learn::posterior::Posterior;
use glazefall::learn::{self, Options};
use glazefall::predict;
use glazefall::predict::compare::compare;
use glazefall::predict::story::story;
use glazefall::studio::case::Case;
use glazefall::studio::document::{Entry, How, Studio};
use glazefall::studio::file;

const CSS: &str = include_str!("../src/draw/draw.css");

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args()
        .nth(1)
        .ok_or("Name a folder for the pictures.")?;
    let studio = std::env::args().nth(2).unwrap_or_else(|| {
        concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures/demo/studio.json").to_owned()
    });
    let studio =
        file::read(&std::fs::read_to_string(studio)?).map_err(|refusal| refusal.to_string())?;
    let options = Options {
        draws: 256,
        seed: 1,
    };
    let known = learn::learn(&studio, &options);
    std::fs::create_dir_all(&folder)?;
    for width in [560.0, 340.0] {
        let pictures = learned(&studio, &known, width)?;
        for theme in ["light", "dark"] {
            std::fs::write(
                Path::new(&folder).join(format!("studio-{width}-{theme}.html")),
                page(&pictures, theme)?,
            )?;
        }
    }
    for entry in pieces(&studio) {
        for (width, height) in [(760.0, 640.0), (418.0, 330.0), (350.0, 480.0)] {
            let pictures = pictures(&studio, &known, &entry, width, height)?;
            for theme in ["light", "dark"] {
                let name = format!("{}-{width}-{theme}.html", entry.id);
                std::fs::write(Path::new(&folder).join(name), page(&pictures, theme)?)?;
            }
        }
    }
    Ok(())
}

/// What the log has taught, and the first plan against the same with one more coat.
fn learned(
    studio: &Studio,
    posterior: &Posterior,
    width: f64,
) -> Result<Vec<Picture>, Box<dyn Error>> {
    let view = View {
        width_px: width,
        height_px: 320.0,
        prefix: "a",
    };
    let mut all = vec![
        known::glazes(studio, &posterior.summary, None, &view),
        known::hands(studio, &posterior.summary, &view),
        known::firings(studio, &posterior.summary, &view),
    ];
    if let Some(calibration) = &posterior.calibration {
        all.push(known::reliability(calibration, &view));
    }
    if let Some(first) = studio.entries.iter().find(|e| e.id == "plan-2") {
        let mut second = first.clone();
        if let Some(How::Brush { coats }) = second.layers.first_mut().map(|layer| &mut layer.how) {
            *coats *= 2;
        }
        let lesson =
            compare(studio, posterior, [first, &second], 128, 1).map_err(|r| r.to_string())?;
        let names = ["3 coats", "6 coats"];
        all.push(lesson::fronts(
            &lesson,
            names,
            Some(40),
            studio.settings.units,
            &view,
        ));
        all.push(lesson::square(&lesson, names, &view));
    }
    Ok(all)
}

/// The plans, and the layers of the first of them on every form that has none.
fn pieces(studio: &Studio) -> Vec<Entry> {
    let mut pieces: Vec<Entry> = studio
        .entries
        .iter()
        .filter(|e| e.outcome.is_none())
        .cloned()
        .collect();
    let first = pieces.first().cloned();
    for form in &studio.forms {
        if pieces.iter().all(|piece| piece.form != form.id)
            && let Some(mut entry) = first.clone()
        {
            entry.id = form.id.clone();
            entry.form = form.id.clone();
            entry.name = form.name.clone();
            for layer in &mut entry.layers {
                layer.zone.to_mm *= 0.5;
                layer.zone.inside_mm *= 0.5;
                if form.id.contains("tile") {
                    layer.zone.over_rim = false;
                    layer.zone.inside_mm = 0.0;
                    layer.zone.from_mm = 5.0;
                }
            }
            pieces.push(entry);
        }
    }
    pieces
}

fn pictures(
    studio: &Studio,
    known: &Posterior,
    entry: &Entry,
    width: f64,
    height: f64,
) -> Result<Vec<Picture>, Box<dyn Error>> {
    let case = Case::of(studio, entry).map_err(|refusal| refusal.to_string())?;
    let outcome = predict::predict(studio, known, entry, 256, 1).map_err(|r| r.to_string())?;
    let story = story(studio, known, entry, outcome.run_mm.p50).map_err(|r| r.to_string())?;
    let scene = Scene::of(studio, entry, &case.profile);
    let view = |width_px, height_px| View {
        width_px,
        height_px,
        prefix: "a",
    };
    let large = view(width, height);
    let last = story.fired.len().saturating_sub(1);
    let mut all = vec![pot::draw(
        &scene,
        &story,
        &outcome,
        Moment::Raw,
        None,
        &large,
    )];
    for (moment, spot) in [(last / 2, Spot::Overlap), (last, Spot::Rim)] {
        all.push(pot::draw(
            &scene,
            &story,
            &outcome,
            Moment::Fired(moment),
            Some(spot),
            &large,
        ));
    }
    all.push(pot::draw(
        &scene,
        &story,
        &outcome,
        Moment::Fired(last),
        None,
        &large,
    ));
    all.push(twenty::draw(&scene, &outcome, &large));
    for layer in 0..entry.layers.len() {
        all.push(pile::slab(&scene, layer, &view(96.0, 40.0)));
    }
    all.push(pile::clay(&view(96.0, 20.0)));
    for (index, glaze) in studio.glazes.iter().enumerate() {
        all.push(pile::swatch(glaze, index, &view(28.0, 18.0)));
    }
    let share = story.fired.get(last / 2).map(|m| m.phi_share);
    all.push(chart::firing(
        &case.schedule,
        share,
        studio.settings.units,
        &view(width.min(420.0), 180.0),
    ));
    for spot in [
        Spot::Rim,
        Spot::Overlap,
        Spot::Texture,
        Spot::Edge,
        Spot::Foot,
    ] {
        all.push(lens::draw(
            &scene,
            &story,
            &outcome,
            Moment::Fired(last),
            spot,
            &view(260.0, 300.0),
        ));
    }
    Ok(all)
}

fn page(pictures: &[Picture], theme: &str) -> Result<String, std::fmt::Error> {
    // The theme is the page's, not that of whoever looks at it.
    let dark = if theme == "dark" { "all" } else { "not all" };
    let css = CSS.replace("(prefers-color-scheme: dark)", dark);
    let mut html = format!(
        "<!doctype html><html lang=en><meta charset=utf-8><title>Pictures</title><style>{css}
        body {{ margin: 12px; background: var(--gf-ground); color: var(--gf-ink); font: 14px system-ui, sans-serif }}
        main {{ display: flex; flex-wrap: wrap; gap: 24px; align-items: flex-end }} p {{ max-width: 48em }}</style><main>"
    );
    for (k, picture) in pictures.iter().enumerate() {
        // Pictures were drawn with one prefix; here they stand together.
        let apart = picture
            .svg
            .replace("\"a-", &format!("\"a{k}-"))
            .replace("#a-", &format!("#a{k}-"));
        html.push_str(&apart);
    }
    html.push_str("</main>");
    for picture in pictures {
        write!(
            html,
            "<p>{} ({} bytes)</p>",
            picture.words,
            picture.svg.len()
        )?;
    }
    Ok(html)
}
