//! A place in the document, as it is walked: `entries[12].layers[1].sg`.
//!
//! Takes steps in and out; gives the words of the place.

use super::document::List;
use super::walk::Word;
use crate::digits;

/// One step.
#[derive(Clone, Copy, Debug)]
pub enum Step {
    /// Into a key.
    Key(&'static str),
    /// Into an item of a list, from 0.
    Item(usize),
}

/// Where a walk stands.
#[derive(Clone, Debug, Default)]
pub struct Place(Vec<Step>);

impl Place {
    /// A record of a list.
    pub fn of(list: List, at: usize) -> Self {
        Self(vec![Step::Key(List::WORDS[list.place()]), Step::Item(at)])
    }

    /// A step in.
    pub fn enter(&mut self, step: Step) {
        self.0.push(step);
    }

    /// A step out.
    pub fn leave(&mut self) {
        self.0.pop();
    }

    /// The words, with one key more unless it is empty.
    pub fn with(&self, key: &str) -> String {
        let mut words = String::new();
        for step in &self.0 {
            match step {
                Step::Key(key) => {
                    if !words.is_empty() {
                        words.push('.');
                    }
                    words.push_str(key);
                }
                Step::Item(index) => {
                    words.push('[');
                    digits::put(&mut words, *index as f64);
                    words.push(']');
                }
            }
        }
        if !key.is_empty() {
            if !words.is_empty() {
                words.push('.');
            }
            words.push_str(key);
        }
        words
    }
}
