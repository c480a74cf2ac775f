//! A studio put together again from records that were stored one by one.
//!
//! Takes the head and the records as text; gives a studio that passes its checks and says what had to be left out,
//! so that a damaged store loses no more than what is damaged.

use super::{Place, parse, reader};
use crate::studio::any::{self, AnyRecord};
use crate::studio::check::check_up_to;
use crate::studio::document::{FORMAT, List, Settings, Studio, VERSION};
use crate::studio::error::{Cause, Message, Refusal};
use crate::studio::walk::Word;

/// A studio and what could not be read for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembled {
    /// What could be read; passes its checks.
    pub studio: Studio,
    /// What could not.
    pub left_out: Vec<LeftOut>,
}

/// One record that could not be read or that did not fit.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct LeftOut {
    /// Its list; none: the head.
    pub list: Option<List>,
    /// The identifier it was stored under.
    pub id: String,
    /// What is wrong.
    pub why: Message,
}

/// Puts a studio together from its head and its records: each with its list, the identifier it was stored under
/// and its text.
pub fn assemble<'a>(
    head: &str,
    records: impl Iterator<Item = (List, &'a str, &'a str)>,
) -> Assembled {
    let mut left_out = Vec::new();
    let mut studio = super::read_unchecked(head).unwrap_or_else(|refusal| {
        left_out.push(LeftOut {
            list: None,
            id: String::new(),
            why: refusal.message(),
        });
        Studio {
            format: FORMAT.into(),
            version: VERSION,
            id: "recovered".into(),
            name: "Recovered studio".into(),
            ..Studio::default()
        }
    });
    for (list, id, text) in records {
        match read_any(list, id, text) {
            Ok(mut record) => record.put_into(&mut studio, usize::MAX, false),
            Err(refusal) => left_out.push(LeftOut {
                list: Some(list),
                id: id.into(),
                why: refusal.message(),
            }),
        }
    }
    // What goes can be what others refer to, so again until nothing more goes; each turn takes something out.
    while let Err(refusals) = check_up_to(&studio, usize::MAX) {
        if !leave_out(&mut studio, &refusals, &mut left_out) {
            break;
        }
    }
    Assembled { studio, left_out }
}

/// Reads a record of a list by itself.
///
/// # Errors
/// The first refusal of structure, or an identifier other than the one it was stored under.
pub fn read_any(list: List, id: &str, text: &str) -> Result<AnyRecord, Refusal> {
    let value = parse(text)?;
    let mut record = AnyRecord::blank(list);
    reader::read_into(record.listed_mut(), value, Place::default())?;
    if record.id() != id {
        let (text, first) = (record.id().clone(), id.to_owned());
        return Err(Refusal::new("id", Cause::Twice { text, first }));
    }
    Ok(record)
}

/// Takes out every record that was refused; whether anything could be done.
fn leave_out(studio: &mut Studio, refusals: &[Refusal], left_out: &mut Vec<LeftOut>) -> bool {
    let mut done = false;
    for list in List::ALL {
        let name = List::WORDS[list.place()];
        let mut out = vec![false; any::ids(studio, *list).len()];
        for refusal in refusals {
            let rest = refusal
                .place
                .strip_prefix(name)
                .and_then(|rest| rest.strip_prefix('['));
            let number = rest
                .and_then(|rest| rest.split(']').next())
                .and_then(|number| number.parse::<usize>().ok());
            if let Some(at) = number
                && at < out.len()
                && !std::mem::replace(&mut out[at], true)
            {
                let id = any::ids(studio, *list)[at].to_owned();
                left_out.push(LeftOut {
                    list: Some(*list),
                    id,
                    why: refusal.message(),
                });
                done = true;
            }
        }
        any::take_out(studio, *list, &out);
    }
    if done {
        return true;
    }
    // Nothing in a list: then it is the head, whose parts have a usual to fall back on.
    let usual = Studio {
        format: FORMAT.into(),
        version: VERSION,
        id: "recovered".into(),
        name: "Recovered studio".into(),
        ..Studio::default()
    };
    for refusal in refusals {
        left_out.push(LeftOut {
            list: None,
            id: String::new(),
            why: refusal.message(),
        });
        let place = refusal.place.as_str();
        if place.starts_with("settings") && studio.settings != Settings::default() {
            studio.settings = Settings::default();
            done = true;
        } else if place.starts_with("removed") && !studio.removed.is_empty() {
            studio.removed.clear();
            done = true;
        } else if place == "name" && studio.name != usual.name {
            studio.name.clone_from(&usual.name);
            done = true;
        } else if matches!(place, "id" | "format" | "version")
            && (&studio.id, studio.version) != (&usual.id, VERSION)
        {
            (studio.id, studio.format, studio.version) = (usual.id.clone(), FORMAT.into(), VERSION);
            done = true;
        }
    }
    done
}
