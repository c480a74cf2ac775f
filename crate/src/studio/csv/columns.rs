//! Plans, log entries and weigh-ins as rows: each column named once, for headers, writing and reading alike.
//!
//! Takes a record; goes through its columns, each with where its value stands in the record.

use super::row::{Row, number};
use crate::digits;
use crate::studio::any::AnyRecord;
use crate::studio::bounds::LAYERS;
use crate::studio::document::{
    Day, Edge, Entry, How, Id, Layer, List, Look, Outcome, Run, RunWord, Shape, Studio,
    TextureSeen, WeighIn,
};
use crate::studio::error::{Cause, Contradiction};
use crate::studio::walk::Word;

/// Reading error where a ruler was used and nobody says, mm.
const USUAL_ERROR_MM: f64 = 1.0;
/// A balance's error where nobody says, g.
const USUAL_ERROR_G: f64 = 0.05;

/// Where the value of a cell stands in its record, and what it is.
pub enum Slot<'a> {
    /// Nowhere: a layer that is not there.
    Nothing,
    /// A text.
    Text(&'a mut String),
    /// A text that may be absent.
    MaybeText(&'a mut Option<String>),
    /// A number; an empty cell leaves it as it is.
    Number(&'a mut f64),
    /// A number that may be absent.
    MaybeNumber(&'a mut Option<f64>),
    /// A small whole number that may be absent.
    MaybeCount(&'a mut Option<u8>),
    /// Yes or no.
    Flag(&'a mut bool),
    /// One of some words by its place among them, may be absent.
    Word(&'a mut Option<usize>, &'static [&'static str]),
    /// A record of a list; an empty cell leaves it as it is.
    Reference(List, &'a mut Id),
    /// A record of a list that may be absent.
    MaybeReference(List, &'a mut Option<Id>),
    /// How a layer went on.
    How(&'a mut How),
}

/// Something done at each column: its layer (from 1; 0: none), its name, where its value stands.
type Each<'a> = &'a mut dyn FnMut(usize, &'static str, Slot<'_>);

/// The name of a column.
pub fn header(layer: usize, name: &str) -> String {
    let mut header = String::new();
    if layer > 0 {
        header.push_str("layer ");
        digits::put(&mut header, layer as f64);
        header.push(' ');
    }
    header.push_str(name);
    header
}

/// Goes through all columns of a record, with so many layers.
pub fn walk(record: &mut AnyRecord, layers: usize, each: Each<'_>) {
    match record {
        AnyRecord::Entry(entry) => log(entry, layers, each),
        AnyRecord::WeighIn(one) => weigh_in(one, each),
        _ => {}
    }
}

fn log(entry: &mut Entry, layers: usize, each: Each<'_>) {
    before_layers(entry, each);
    for at in 0..layers {
        match entry.layers.get_mut(at) {
            Some(layer) => of_layer(at, layer, each),
            None => of_layer(at, &mut Layer::default(), &mut |layer, name, _| {
                each(layer, name, Slot::Nothing);
            }),
        }
    }
    Opening::of(entry.outcome.as_ref()).columns(each);
    after_layers(entry, each);
}

fn before_layers(entry: &mut Entry, each: Each<'_>) {
    each(0, "id", Slot::Text(&mut entry.id));
    each(0, "code", Slot::Text(&mut entry.code));
    each(0, "name", Slot::Text(&mut entry.name));
    each(0, "form", Slot::Reference(List::Forms, &mut entry.form));
    each(0, "diameter mm", Slot::MaybeNumber(&mut entry.diameter_mm));
    each(0, "slope deg", Slot::MaybeNumber(&mut entry.slope_deg));
    let bare = Slot::MaybeNumber(&mut entry.bare_below_mm);
    each(0, "bare below mm", bare);
    let body = Slot::MaybeReference(List::Bodies, &mut entry.body);
    each(0, "body", body);
    let hand = Slot::MaybeReference(List::Hands, &mut entry.hand);
    each(0, "hand", hand);
    let firing = Slot::MaybeReference(List::Firings, &mut entry.firing);
    each(0, "firing", firing);
    each(0, "shelf", Slot::MaybeCount(&mut entry.shelf));
}

fn of_layer(at: usize, layer: &mut Layer, each: Each<'_>) {
    let zone = &mut layer.zone;
    let mut inside_mm = zone.over_rim.then_some(zone.inside_mm);
    let at = at + 1;
    let glaze = Slot::Reference(List::Glazes, &mut layer.glaze);
    each(at, "glaze", glaze);
    each(at, "how", Slot::How(&mut layer.how));
    each(at, "from mm", Slot::Number(&mut zone.from_mm));
    each(at, "to mm", Slot::Number(&mut zone.to_mm));
    each(at, "inside mm", Slot::MaybeNumber(&mut inside_mm));
    each(at, "SG", Slot::MaybeNumber(&mut layer.sg));
    let hand = Slot::MaybeReference(List::Hands, &mut layer.hand);
    each(at, "hand", hand);
    (zone.over_rim, zone.inside_mm) = (inside_mm.is_some(), inside_mm.unwrap_or(0.0));
}

fn after_layers(entry: &mut Entry, each: Each<'_>) {
    each(0, "photo", Slot::MaybeText(&mut entry.photo));
    each(0, "kept", Slot::Flag(&mut entry.kept));
    each(0, "note", Slot::Text(&mut entry.note));
}

fn weigh_in(one: &mut WeighIn, each: Each<'_>) {
    each(0, "id", Slot::Text(&mut one.id));
    each(0, "day", Slot::MaybeText(&mut one.day));
    each(0, "hand", Slot::Reference(List::Hands, &mut one.hand));
    each(0, "glaze", Slot::Reference(List::Glazes, &mut one.glaze));
    each(0, "how", Slot::How(&mut one.how));
    each(0, "area cm2", Slot::Number(&mut one.area_cm2));
    each(0, "SG", Slot::MaybeNumber(&mut one.sg));
    each(0, "gained g", Slot::Number(&mut one.gained_g));
    each(0, "error g", Slot::Number(&mut one.error_g));
    let body = Slot::MaybeReference(List::Bodies, &mut one.body);
    each(0, "body", body);
    each(0, "note", Slot::Text(&mut one.note));
}

/// What was read at the opening, as it lies in columns: a run by ruler and by word beside each other.
#[derive(Default)]
struct Opening {
    day: Option<Day>,
    run_mm: Option<f64>,
    error_mm: Option<f64>,
    word: Option<usize>,
    least_mm: Option<f64>,
    most_mm: Option<f64>,
    edge: Option<usize>,
    look: Option<usize>,
    texture: Option<usize>,
}

impl Opening {
    fn of(outcome: Option<&Outcome>) -> Self {
        let mut opening = Self::default();
        let Some(outcome) = outcome else {
            return opening;
        };
        opening.day.clone_from(&outcome.day);
        opening.edge = Some(outcome.edge.place());
        opening.look = outcome.look.map(Word::place);
        opening.texture = outcome.texture.map(Word::place);
        match outcome.run {
            Some(Run::Ruler { run_mm, error_mm }) => {
                (opening.run_mm, opening.error_mm) = (Some(run_mm), Some(error_mm));
            }
            Some(Run::Word {
                word,
                least_mm,
                most_mm,
            }) => {
                opening.word = Some(word.place());
                (opening.least_mm, opening.most_mm) = (least_mm, most_mm);
            }
            None => {}
        }
        opening
    }

    fn columns(&mut self, each: Each<'_>) {
        each(0, "read on", Slot::MaybeText(&mut self.day));
        each(0, "run mm", Slot::MaybeNumber(&mut self.run_mm));
        each(0, "run error mm", Slot::MaybeNumber(&mut self.error_mm));
        let word = Slot::Word(&mut self.word, RunWord::WORDS);
        each(0, "run word", word);
        each(0, "at least mm", Slot::MaybeNumber(&mut self.least_mm));
        each(0, "at most mm", Slot::MaybeNumber(&mut self.most_mm));
        each(0, "edge", Slot::Word(&mut self.edge, Edge::WORDS));
        each(0, "look", Slot::Word(&mut self.look, Look::WORDS));
        let texture = Slot::Word(&mut self.texture, TextureSeen::WORDS);
        each(0, "texture", texture);
    }

    /// The outcome; `usual`: the edge where no column says one.
    fn outcome(self, row: &mut Row<'_>, usual: Edge) -> Outcome {
        if self.run_mm.is_some() && (self.least_mm.is_some() || self.most_mm.is_some()) {
            row.problem("at least mm", Cause::Contradiction(Contradiction::RunTwice));
        }
        let word = self.word.and_then(RunWord::at);
        let run = match (self.run_mm, word) {
            (Some(_), Some(_)) => {
                row.problem("run mm", Cause::Contradiction(Contradiction::RunTwice));
                None
            }
            (Some(run_mm), None) => Some(Run::Ruler {
                run_mm,
                error_mm: self.error_mm.unwrap_or(USUAL_ERROR_MM),
            }),
            (None, Some(word)) => Some(Run::Word {
                word,
                least_mm: self.least_mm,
                most_mm: self.most_mm,
            }),
            (None, None) => None,
        };
        Outcome {
            day: self.day,
            run,
            edge: self.edge.and_then(Edge::at).unwrap_or(usual),
            look: self.look.and_then(Look::at),
            texture: self.texture.and_then(TextureSeen::at),
        }
    }
}

/// Reads a row into what stood there before, or into a blank record (`new`); what the table has no column for stays as it
/// was.
pub fn read(row: &mut Row<'_>, studio: &Studio, record: &mut AnyRecord, new: bool) {
    match record {
        AnyRecord::Entry(entry) => {
            before_layers(entry, &mut |_, name, slot| row.read(name, slot));
            read_layers(row, &mut entry.layers);
            read_outcome(row, studio, entry);
            after_layers(entry, &mut |_, name, slot| row.read(name, slot));
        }
        AnyRecord::WeighIn(one) => {
            if new {
                one.error_g = USUAL_ERROR_G;
            }
            weigh_in(one, &mut |_, name, slot| row.read(name, slot));
        }
        _ => {}
    }
}

fn read_layers(row: &mut Row<'_>, layers: &mut Vec<Layer>) {
    let mut gap = false;
    for at in 0..LAYERS {
        row.within(at + 1);
        let Some(glaze) = row.cell("glaze") else {
            // A table with fewer layers than the entry had has taken the rest off.
            if at > 0 {
                layers.truncate(at);
            }
            break;
        };
        if glaze.is_empty() {
            let mut empty = true;
            of_layer(at, &mut Layer::default(), &mut |_, name, _| {
                empty &= !row.says(name);
            });
            if empty {
                gap = true;
                layers.truncate(at);
            } else {
                row.problem("glaze", Cause::MissingKey { key: "glaze" });
            }
        } else if gap {
            // Which pile was meant cannot be told.
            let (count, least) = (layers.len(), at);
            row.problem("glaze", Cause::TooFew { count, least });
            break;
        } else {
            if layers.len() <= at {
                layers.push(Layer::default());
            }
            if let Some(layer) = layers.get_mut(at) {
                of_layer(at, layer, &mut |_, name, slot| row.read(name, slot));
            }
        }
    }
    row.within(0);
}

fn read_outcome(row: &mut Row<'_>, studio: &Studio, entry: &mut Entry) {
    let mut opening = Opening::of(entry.outcome.as_ref());
    let (mut known, mut said) = (false, false);
    opening.columns(&mut |_, name, _| {
        known |= row.cell(name).is_some();
        said |= row.says(name);
    });
    if !known {
        return;
    }
    entry.outcome = None;
    if !said {
        return;
    }
    // A run said in one way takes the place of one said in the other, where the table knows only that way.
    if row.says("run mm") {
        opening.word = opening.word.filter(|_| row.cell("run word").is_some());
        opening.least_mm = opening
            .least_mm
            .filter(|_| row.cell("at least mm").is_some());
        opening.most_mm = opening.most_mm.filter(|_| row.cell("at most mm").is_some());
    } else if row.says("run word") {
        opening.run_mm = opening.run_mm.filter(|_| row.cell("run mm").is_some());
    }
    opening.columns(&mut |_, name, slot| row.read(name, slot));
    let mut usual = Edge::ToTheFoot;
    for form in &studio.forms {
        if form.id == entry.form && matches!(form.shape, Shape::Tile { .. }) {
            usual = Edge::OntoBareClay;
        }
    }
    entry.outcome = Some(opening.outcome(row, usual));
}

/// How a layer went on, as a person writes it: `3 coats`, `2 dips 1.5 s`, `4 passes`.
pub fn write_how(how: How) -> String {
    let (count, one, more) = match how {
        How::Brush { coats } => (coats, " coat", " coats"),
        How::Dip { dips, .. } => (dips, " dip", " dips"),
        How::Spray { passes } => (passes, " pass", " passes"),
    };
    let mut text = String::new();
    digits::put(&mut text, f64::from(count));
    text.push_str(if count == 1 { one } else { more });
    if let How::Dip { seconds, .. } = how {
        text.push(' ');
        digits::put(&mut text, seconds);
        text.push_str(" s");
    }
    text
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
