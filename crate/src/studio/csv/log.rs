//! Plans and log entries as rows.
//!
//! Takes entries; gives a row each with a group of columns for every layer, and back.

use super::cells::Out;
use super::row::{Fresh, Names, Row, number};
use crate::digits::Plain;
use crate::studio::any::AnyRecord;
use crate::studio::bounds::LAYERS;
use crate::studio::document::{Edge, Entry, How, Layer, List, Outcome, Run, Shape, Studio};
use crate::studio::error::{Cause, Contradiction, cut};
use crate::studio::walk::Word;

/// Columns before the layers.
const FIRST: [&str; 11] = [
    "id",
    "code",
    "name",
    "form",
    "diameter mm",
    "slope deg",
    "bare below mm",
    "body",
    "hand",
    "firing",
    "shelf",
];
/// Columns of each layer, after `layer 1`.
const OF_LAYER: [&str; 7] = [
    "glaze",
    "how",
    "from mm",
    "to mm",
    "inside mm",
    "SG",
    "hand",
];
/// Columns after the layers.
const LAST: [&str; 12] = [
    "read on",
    "run mm",
    "run error mm",
    "run word",
    "at least mm",
    "at most mm",
    "edge",
    "look",
    "texture",
    "photo",
    "kept",
    "note",
];
/// Reading error where a ruler was used and nobody says, mm.
const USUAL_ERROR_MM: f64 = 1.0;

fn of_layer(at: usize, what: &str) -> String {
    format!("layer {} {what}", at + 1)
}

/// All columns, for as many layers as an entry may have.
pub fn columns() -> Vec<String> {
    let mut columns: Vec<String> = Vec::new();
    for &name in &FIRST {
        columns.push(name.into());
    }
    for at in 0..LAYERS {
        for &what in &OF_LAYER {
            columns.push(of_layer(at, what));
        }
    }
    for &name in &LAST {
        columns.push(name.into());
    }
    columns
}

/// Writes all entries, with as many layers as the highest pile has.
pub fn write(studio: &Studio, out: &mut Out) {
    let names = Names::of(studio);
    let layers = studio
        .entries
        .iter()
        .map(|entry| entry.layers.len())
        .max()
        .unwrap_or(1);
    FIRST.iter().for_each(|name| out.text(name));
    for at in 0..layers {
        OF_LAYER
            .iter()
            .for_each(|what| out.text(&of_layer(at, what)));
    }
    LAST.iter().for_each(|name| out.text(name));
    out.end_row();
    for entry in &studio.entries {
        out.text(&entry.id);
        out.text(&entry.code);
        out.text(&entry.name);
        out.text(names.write(List::Forms, &entry.form));
        out.number(entry.diameter_mm);
        out.number(entry.slope_deg);
        out.number(entry.bare_below_mm);
        out.text(names.write_maybe(List::Bodies, &entry.body));
        out.text(names.write_maybe(List::Hands, &entry.hand));
        out.text(names.write_maybe(List::Firings, &entry.firing));
        out.number(entry.shelf.map(f64::from));
        for at in 0..layers {
            let Some(layer) = entry.layers.get(at) else {
                OF_LAYER.iter().for_each(|_| out.text(""));
                continue;
            };
            out.text(names.write(List::Glazes, &layer.glaze));
            out.text(&write_how(layer.how));
            out.number(Some(layer.zone.from_mm));
            out.number(Some(layer.zone.to_mm));
            out.number(layer.zone.over_rim.then_some(layer.zone.inside_mm));
            out.number(layer.sg);
            out.text(names.write_maybe(List::Hands, &layer.hand));
        }
        write_outcome(entry.outcome.as_ref(), out);
        out.text(entry.photo.as_deref().unwrap_or(""));
        out.text(if entry.kept { "yes" } else { "" });
        out.text(&entry.note);
        out.end_row();
    }
}

fn write_outcome(outcome: Option<&Outcome>, out: &mut Out) {
    let run = outcome.and_then(|outcome| outcome.run);
    out.text(
        outcome
            .and_then(|outcome| outcome.day.as_deref())
            .unwrap_or(""),
    );
    let (mut run_mm, mut error_mm, mut spoken, mut least, mut most) = (None, None, "", None, None);
    match run {
        Some(Run::Ruler {
            run_mm: run,
            error_mm: error,
        }) => (run_mm, error_mm) = (Some(run), Some(error)),
        Some(Run::Word {
            word,
            least_mm,
            most_mm,
        }) => {
            (spoken, least, most) = (written(Some(word)), least_mm, most_mm);
        }
        None => {}
    }
    out.number(run_mm);
    out.number(error_mm);
    out.text(&spoken.replace('_', " "));
    out.number(least);
    out.number(most);
    out.text(&written(outcome.map(|outcome| outcome.edge)).replace('_', " "));
    out.text(&written(outcome.and_then(|outcome| outcome.look)).replace('_', " "));
    out.text(written(outcome.and_then(|outcome| outcome.texture)));
}

fn written<W: Word>(word: Option<W>) -> &'static str {
    word.and_then(|word| W::WORDS.get(word.place()).copied())
        .unwrap_or("")
}

/// How a layer went on, as a person writes it: `3 coats`, `2 dips 1.5 s`, `4 passes`.
pub fn write_how(how: How) -> String {
    let many = |count: u32, one: &str, more: &str| {
        format!("{count} {}", if count == 1 { one } else { more })
    };
    match how {
        How::Brush { coats } => many(coats, "coat", "coats"),
        How::Dip { dips, seconds } => {
            format!("{} {} s", many(dips, "dip", "dips"), Plain(seconds))
        }
        How::Spray { passes } => many(passes, "pass", "passes"),
    }
}

/// Reads what [`write_how`] writes, and a bare number as coats.
pub fn read_how(text: &str) -> Option<How> {
    let small = text.trim().to_ascii_lowercase();
    let mut parts = small.split_whitespace();
    let count = number(parts.next()?)?;
    if count.fract() != 0.0 || !(0.0..=1000.0).contains(&count) {
        return None;
    }
    let count = count as u32;
    let what = parts.next().unwrap_or("coats");
    let how = if what.starts_with("coat") {
        How::Brush { coats: count }
    } else if what.starts_with("pass") {
        How::Spray { passes: count }
    } else if what.starts_with("dip") {
        let seconds = number(parts.next()?.trim_end_matches('s'))?;
        if !matches!(parts.next(), None | Some("s" | "sec" | "seconds")) {
            return None;
        }
        How::Dip {
            dips: count,
            seconds,
        }
    } else {
        return None;
    };
    parts.next().is_none().then_some(how)
}

/// Reads one entry; what the table has no column for stays as it was.
pub fn read(row: &mut Row<'_>, studio: &Studio, fresh: &mut Fresh<'_>) -> AnyRecord {
    let cell = |key: &str| row.cell(key).unwrap_or("");
    let id = fresh.id_of(cell("id"), cell("code"));
    let old = fresh.before(&id).and_then(|at| studio.entries.get(at));
    let mut entry = old.cloned().unwrap_or_default();
    entry.id = id;
    row.text("code", &mut entry.code);
    row.text("name", &mut entry.name);
    row.reference("form", List::Forms, &mut entry.form);
    row.maybe_number("diameter mm", &mut entry.diameter_mm);
    row.maybe_number("slope deg", &mut entry.slope_deg);
    row.maybe_number("bare below mm", &mut entry.bare_below_mm);
    row.maybe_reference("body", List::Bodies, &mut entry.body);
    row.maybe_reference("hand", List::Hands, &mut entry.hand);
    row.maybe_reference("firing", List::Firings, &mut entry.firing);
    let mut shelf = entry.shelf.map(f64::from);
    row.maybe_number("shelf", &mut shelf);
    entry.shelf = match shelf {
        Some(value) if value.fract() != 0.0 => {
            row.problem("shelf", Cause::NotWhole { value });
            None
        }
        // Beyond a byte it is out of its bounds anyway, and the check says so.
        value => value.map(|value| value.clamp(0.0, 255.0) as u8),
    };
    read_layers(row, &mut entry.layers);
    read_outcome(row, studio, &mut entry);
    row.maybe_text("photo", &mut entry.photo);
    if let Some(cell) = row.cell("kept") {
        match cell.to_ascii_lowercase().as_str() {
            "yes" | "true" | "1" => entry.kept = true,
            "" | "no" | "false" | "0" => entry.kept = false,
            _ => row.problem(
                "kept",
                Cause::UnknownWord {
                    found: cut(cell),
                    known: &["yes", "no"],
                },
            ),
        }
    }
    row.text("note", &mut entry.note);
    AnyRecord::Entry(Box::new(entry))
}

fn read_layers(row: &mut Row<'_>, layers: &mut Vec<Layer>) {
    let mut gap = false;
    for at in 0..LAYERS {
        let key = |what: &str| of_layer(at, what);
        let Some(glaze) = row.cell(&key("glaze")) else {
            // A table with fewer layers than the entry had has taken the rest off.
            if at > 0 && row.cell(&of_layer(0, "glaze")).is_some() {
                layers.truncate(at);
            }
            break;
        };
        let empty = OF_LAYER
            .iter()
            .all(|what| row.cell(&key(what)).unwrap_or("").is_empty());
        if glaze.is_empty() {
            if empty {
                gap = true;
                layers.truncate(at);
            } else {
                row.problem(&key("glaze"), Cause::MissingKey { key: "glaze" });
            }
            continue;
        }
        if gap {
            // Which pile was meant cannot be told.
            row.problem(
                &key("glaze"),
                Cause::TooFew {
                    count: layers.len(),
                    least: at,
                },
            );
            return;
        }
        if layers.len() <= at {
            layers.push(Layer::default());
        }
        let Some(layer) = layers.get_mut(at) else {
            return;
        };
        let mut named = Some(layer.glaze.clone());
        row.maybe_reference(&key("glaze"), List::Glazes, &mut named);
        layer.glaze = named.unwrap_or_default();
        if let Some(cell) = row.cell(&key("how")) {
            match read_how(cell) {
                Some(how) => layer.how = how,
                None => row.problem(
                    &key("how"),
                    Cause::WrongForm {
                        found: cut(cell),
                        what: "a number of coats, dips or passes",
                        how: "Write 3 coats, 1 dip 2 s, or 4 passes",
                    },
                ),
            }
        }
        row.number(&key("from mm"), &mut layer.zone.from_mm);
        row.number(&key("to mm"), &mut layer.zone.to_mm);
        let mut inside = layer.zone.over_rim.then_some(layer.zone.inside_mm);
        row.maybe_number(&key("inside mm"), &mut inside);
        (layer.zone.over_rim, layer.zone.inside_mm) = (inside.is_some(), inside.unwrap_or(0.0));
        row.maybe_number(&key("SG"), &mut layer.sg);
        row.maybe_reference(&key("hand"), List::Hands, &mut layer.hand);
    }
}

fn read_outcome(row: &mut Row<'_>, studio: &Studio, entry: &mut Entry) {
    const OURS: [&str; 9] = [
        "read on",
        "run mm",
        "run error mm",
        "run word",
        "at least mm",
        "at most mm",
        "edge",
        "look",
        "texture",
    ];
    if OURS.iter().all(|key| row.cell(key).is_none()) {
        return;
    }
    if OURS
        .iter()
        .all(|key| row.cell(key).unwrap_or("").is_empty())
    {
        entry.outcome = None;
        return;
    }
    let tile = studio
        .forms
        .iter()
        .any(|form| form.id == entry.form && matches!(form.shape, Shape::Tile { .. }));
    let usual = if tile {
        Edge::OntoBareClay
    } else {
        Edge::ToTheFoot
    };
    let mut outcome = entry.outcome.take().unwrap_or(Outcome {
        edge: usual,
        ..Outcome::default()
    });
    row.maybe_text("read on", &mut outcome.day);
    let mut edge = Some(outcome.edge);
    row.maybe_word("edge", &mut edge);
    outcome.edge = edge.unwrap_or(usual);
    row.maybe_word("look", &mut outcome.look);
    row.maybe_word("texture", &mut outcome.texture);

    let (mut run_mm, mut error_mm, mut word, mut least, mut most) = (None, None, None, None, None);
    match outcome.run {
        Some(Run::Ruler {
            run_mm: run,
            error_mm: error,
        }) => (run_mm, error_mm) = (Some(run), Some(error)),
        Some(Run::Word {
            word: spoken,
            least_mm,
            most_mm,
        }) => {
            (word, least, most) = (Some(spoken), least_mm, most_mm);
        }
        None => {}
    }
    // A run said in one way takes the place of one said in the other, where the table knows only that way.
    let says = |key: &str| row.cell(key).is_some_and(|cell| !cell.is_empty());
    if says("run mm") {
        word = word.filter(|_| row.cell("run word").is_some());
        least = least.filter(|_| row.cell("at least mm").is_some());
        most = most.filter(|_| row.cell("at most mm").is_some());
    } else if says("run word") {
        run_mm = run_mm.filter(|_| row.cell("run mm").is_some());
    }
    row.maybe_number("run mm", &mut run_mm);
    row.maybe_number("run error mm", &mut error_mm);
    row.maybe_word("run word", &mut word);
    row.maybe_number("at least mm", &mut least);
    row.maybe_number("at most mm", &mut most);
    if run_mm.is_some() && (least.is_some() || most.is_some()) {
        row.problem("at least mm", Cause::Contradiction(Contradiction::RunTwice));
    }
    outcome.run = match (run_mm, word) {
        (Some(_), Some(_)) => {
            row.problem("run mm", Cause::Contradiction(Contradiction::RunTwice));
            None
        }
        (Some(run_mm), None) => Some(Run::Ruler {
            run_mm,
            error_mm: error_mm.unwrap_or(USUAL_ERROR_MM),
        }),
        (None, Some(word)) => Some(Run::Word {
            word,
            least_mm: least,
            most_mm: most,
        }),
        (None, None) => None,
    };
    entry.outcome = Some(outcome);
}
