//! One description of every record for reading, writing and checking alike.
//!
//! Takes a record; [`Record::walk`] names each of its keys once, with its rule, and whoever walks (the reader, the
//! writer, the checker) does its own work at each. So a new property is a field and one line beside it.

use super::bounds::Bounds;
use super::document::List;

/// What a text must be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextRule {
    /// An identifier of this record, unique in its list.
    OwnId,
    /// A studio's identifier.
    StudioId,
    /// A name: something visible on one line.
    Name,
    /// One line, may be empty.
    Line,
    /// Several lines, may be empty.
    Note,
    /// A pencil code, unique in the studio, may be empty.
    Code,
    /// A calendar day.
    Day,
    /// `#rrggbb`.
    Colour,
    /// A cone of the chart.
    Cone,
    /// Media type of a picture.
    MediaType,
    /// A picture in base64.
    Base64,
    /// The document's format.
    Format,
    /// The identifier of a record in a list.
    Reference(List),
}

/// What to do where a key is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// Refuse.
    Must,
    /// Take this, and do not write it either. Texts: empty; flags: 0.
    Or(f64),
}

/// A walk along the keys of a record.
pub trait Fields {
    /// A text.
    fn text(&mut self, key: &'static str, value: &mut String, need: Need, rule: TextRule);
    /// A text that may be absent.
    fn maybe_text(&mut self, key: &'static str, value: &mut Option<String>, rule: TextRule);
    /// A number.
    fn number(&mut self, key: &'static str, value: &mut f64, need: Need, bounds: &'static Bounds);
    /// A number that may be absent.
    fn maybe_number(&mut self, key: &'static str, value: &mut Option<f64>, bounds: &'static Bounds);
    /// A whole number.
    fn whole(&mut self, key: &'static str, value: &mut u64, need: Need, bounds: &'static Bounds);
    /// A whole number that may be absent.
    fn maybe_whole(&mut self, key: &'static str, value: &mut Option<u64>, bounds: &'static Bounds);
    /// Yes or no; no when absent.
    fn flag(&mut self, key: &'static str, value: &mut bool);
    /// One of some words, by its place among them; `or`: what an absent key stands for.
    fn word(
        &mut self,
        key: &'static str,
        value: &mut usize,
        or: Option<usize>,
        words: &'static [&'static str],
    );
    /// One of some words, may be absent.
    fn maybe_word(
        &mut self,
        key: &'static str,
        value: &mut Option<usize>,
        words: &'static [&'static str],
    );
    /// Steps into a record; `present`: whether there is one. Gives whether to walk it, then [`Fields::close`].
    fn open(&mut self, key: &'static str, present: bool, must: bool) -> bool;
    /// Steps into a list of `length`; gives the length to walk, then [`Fields::close`].
    fn open_list(
        &mut self,
        key: &'static str,
        length: usize,
        least: usize,
        most: usize,
        must: bool,
    ) -> usize;
    /// Steps into item `index` of the open list, then [`Fields::close`].
    fn open_item(&mut self, index: usize) -> bool;
    /// Steps out.
    fn close(&mut self);
}

/// Something with keys.
pub trait Record {
    /// Names each key once, in the order in which they are written.
    fn walk(&mut self, fields: &mut dyn Fields);
}

/// A fixed set of words, each with its place.
pub trait Word: Copy + PartialEq + 'static {
    /// The words as written.
    const WORDS: &'static [&'static str];
    /// What they stand for, in the same order.
    const ALL: &'static [Self];

    /// Its place among all.
    fn place(self) -> usize;

    /// The one at a place.
    fn at(place: usize) -> Option<Self> {
        Self::ALL.get(place).copied()
    }
}

/// Ties an enum to the words that stand for it.
macro_rules! words {
    ($name:ident { $($word:literal => $variant:ident),+ $(,)? }) => {
        impl $crate::studio::walk::Word for $name {
            const WORDS: &'static [&'static str] = &[$($word),+];
            const ALL: &'static [Self] = &[$($name::$variant),+];

            fn place(self) -> usize {
                self as usize
            }
        }

        // The words stand in the order of the variants.
        const _: () = {
            let all = [$($name::$variant),+];
            let mut place = 0;
            while place < all.len() {
                assert!(all[place] as usize == place);
                place += 1;
            }
        };
    };
}
pub(crate) use words;

/// A word of a set.
pub fn word<W: Word>(fields: &mut dyn Fields, key: &'static str, value: &mut W, or: Option<W>) {
    let mut place = value.place();
    fields.word(key, &mut place, or.map(Word::place), W::WORDS);
    if let Some(found) = W::at(place) {
        *value = found;
    }
}

/// A word of a set that may be absent.
pub fn maybe_word<W: Word>(fields: &mut dyn Fields, key: &'static str, value: &mut Option<W>) {
    let mut place = value.map(Word::place);
    fields.maybe_word(key, &mut place, W::WORDS);
    *value = place.and_then(W::at);
}

/// A small whole number.
pub fn count(fields: &mut dyn Fields, key: &'static str, value: &mut u32, bounds: &'static Bounds) {
    let mut wide = u64::from(*value);
    fields.whole(key, &mut wide, Need::Must, bounds);
    *value = u32::try_from(wide).unwrap_or(u32::MAX);
}

/// A record that must be there.
pub fn record(fields: &mut dyn Fields, key: &'static str, value: &mut dyn Record) {
    if fields.open(key, true, true) {
        value.walk(fields);
        fields.close();
    }
}

/// A record that may be absent.
pub fn maybe_record<R: Record + Default>(
    fields: &mut dyn Fields,
    key: &'static str,
    value: &mut Option<R>,
) {
    if fields.open(key, value.is_some(), false) {
        value.get_or_insert_with(R::default).walk(fields);
        fields.close();
    } else {
        *value = None;
    }
}

/// A record with nothing in it yet, made in one place for each kind.
#[inline(never)]
pub fn blank<R: Default>() -> Box<R> {
    Box::default()
}

/// A list of records, whichever they are.
pub trait Items {
    /// How many there are.
    fn count(&self) -> usize;
    /// Adds one with nothing in it yet.
    fn grow(&mut self);
    /// Leaves so many of them at most.
    fn truncate(&mut self, count: usize);
    /// One of them.
    fn item(&mut self, at: usize) -> Option<&mut dyn Record>;
    /// Puts each of two in the other's place.
    fn swap(&mut self, one: usize, other: usize);
}

impl<R: Record + Default> Items for Vec<R> {
    fn count(&self) -> usize {
        self.len()
    }

    fn grow(&mut self) {
        self.push(*blank());
    }

    fn truncate(&mut self, count: usize) {
        self.truncate(count);
    }

    fn item(&mut self, at: usize) -> Option<&mut dyn Record> {
        match self.get_mut(at) {
            Some(item) => Some(item),
            None => None,
        }
    }

    fn swap(&mut self, one: usize, other: usize) {
        self.as_mut_slice().swap(one, other);
    }
}

/// A list of records; an empty one may be absent unless `least` is above 0.
pub fn list(
    fields: &mut dyn Fields,
    key: &'static str,
    items: &mut dyn Items,
    least: usize,
    most: usize,
) {
    let length = fields.open_list(key, items.count(), least, most, least > 0);
    items.truncate(length);
    while items.count() < length {
        items.grow();
    }
    let mut index = 0;
    while let Some(item) = items.item(index) {
        if fields.open_item(index) {
            item.walk(fields);
            fields.close();
        }
        index += 1;
    }
    fields.close();
}
