//! Weigh-ins as rows.
//!
//! Takes weigh-ins; gives a row each, and back.

use super::cells::Out;
use super::log::{read_how, write_how};
use super::row::{Fresh, Names, Row};
use crate::studio::any::AnyRecord;
use crate::studio::document::{List, Studio, WeighIn};
use crate::studio::error::{Cause, cut};

const COLUMNS: [&str; 11] = [
    "id", "day", "hand", "glaze", "how", "area cm2", "SG", "gained g", "error g", "body", "note",
];
/// A balance's error where nobody says, g.
const USUAL_ERROR_G: f64 = 0.05;

/// All columns.
pub fn columns() -> Vec<String> {
    COLUMNS.map(str::to_owned).to_vec()
}

/// Writes all weigh-ins.
pub fn write(studio: &Studio, out: &mut Out) {
    let names = Names::of(studio);
    COLUMNS.iter().for_each(|name| out.text(name));
    out.end_row();
    for one in &studio.weigh_ins {
        out.text(&one.id);
        out.text(one.day.as_deref().unwrap_or(""));
        out.text(names.write(List::Hands, &one.hand));
        out.text(names.write(List::Glazes, &one.glaze));
        out.text(&write_how(one.how));
        out.number(Some(one.area_cm2));
        out.number(one.sg);
        out.number(Some(one.gained_g));
        out.number(Some(one.error_g));
        out.text(names.write_maybe(List::Bodies, &one.body));
        out.text(&one.note);
        out.end_row();
    }
}

/// Reads one weigh-in; what the table has no column for stays as it was.
pub fn read(row: &mut Row<'_>, studio: &Studio, fresh: &mut Fresh<'_>) -> AnyRecord {
    let id = fresh.id_of(row.cell("id").unwrap_or(""), "");
    let old = fresh.before(&id).and_then(|at| studio.weigh_ins.get(at));
    let mut one = old.cloned().unwrap_or(WeighIn {
        error_g: USUAL_ERROR_G,
        ..WeighIn::default()
    });
    one.id = id;
    row.maybe_text("day", &mut one.day);
    row.reference("hand", List::Hands, &mut one.hand);
    row.reference("glaze", List::Glazes, &mut one.glaze);
    if let Some(cell) = row.cell("how") {
        match read_how(cell) {
            Some(how) => one.how = how,
            None => row.problem(
                "how",
                Cause::WrongForm {
                    found: cut(cell),
                    what: "a number of coats, dips or passes",
                    how: "Write 3 coats, 1 dip 2 s, or 4 passes",
                },
            ),
        }
    }
    row.number("area cm2", &mut one.area_cm2);
    row.maybe_number("SG", &mut one.sg);
    row.number("gained g", &mut one.gained_g);
    row.number("error g", &mut one.error_g);
    row.maybe_reference("body", List::Bodies, &mut one.body);
    row.text("note", &mut one.note);
    AnyRecord::WeighIn(Box::new(one))
}
