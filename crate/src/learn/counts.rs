//! How many entries lie behind what is known.
//!
//! Takes the entries that a log is read from, one after the other; gives their numbers by glaze, hand, pair, firing and shelf.

use crate::studio::case::Case;
use crate::studio::document::Studio;

/// How many entries lie behind each unknown; lists shorter than the studio's count as zeros.
#[derive(Clone, Debug, Default)]
pub struct Counts {
    /// Entries that taught something.
    pub entries: usize,
    /// Weigh-ins that did.
    pub weigh_ins: usize,
    /// Per glaze.
    pub glazes: Vec<usize>,
    /// Looks per glaze on top.
    pub looks: Vec<usize>,
    /// Per pair of the unknowns: with the higher index on top, with the lower.
    pub pairs: Vec<[usize; 2]>,
    /// Per hand.
    pub hands: Vec<usize>,
    /// Weigh-ins per hand.
    pub hand_weigh_ins: Vec<usize>,
    /// Per firing.
    pub firings: Vec<usize>,
    /// Per shelf of the unknowns.
    pub shelves: Vec<usize>,
}

impl Counts {
    /// Zeros for a studio.
    pub fn of(studio: &Studio) -> Self {
        let (glazes, hands) = (studio.glazes.len(), studio.hands.len());
        Self {
            glazes: vec![0; glazes],
            looks: vec![0; glazes],
            hands: vec![0; hands],
            hand_weigh_ins: vec![0; hands],
            firings: vec![0; studio.firings.len()],
            ..Self::default()
        }
    }

    /// Counts an entry, `shelf` its shelf among the unknowns, `look` whether its look was judged.
    pub fn entry(&mut self, case: &Case, shelf: Option<usize>, look: bool) {
        self.entries += 1;
        for (i, layer) in case.layers.iter().enumerate() {
            let before = &case.layers[..i];
            if before.iter().all(|l| l.glaze != layer.glaze) {
                one_more(&mut self.glazes, layer.glaze);
            }
            if let Some(hand) = layer.hand
                && before.iter().all(|l| l.hand != layer.hand)
            {
                one_more(&mut self.hands, hand);
            }
        }
        if let (true, Some(top)) = (look, case.layers.last()) {
            one_more(&mut self.looks, top.glaze);
        }
        if let Some(firing) = case.firing {
            one_more(&mut self.firings, firing);
        }
        if let Some(shelf) = shelf {
            one_more(&mut self.shelves, shelf);
        }
    }

    /// Counts a meeting of a pair, its higher index on top or not.
    pub fn pair(&mut self, pair: usize, higher_on_top: bool) {
        if self.pairs.len() <= pair {
            self.pairs.resize(pair + 1, [0, 0]);
        }
        self.pairs[pair][usize::from(!higher_on_top)] += 1;
    }

    /// Counts a weigh-in.
    pub fn weigh_in(&mut self, hand: Option<usize>) {
        self.weigh_ins += 1;
        if let Some(hand) = hand {
            one_more(&mut self.hand_weigh_ins, hand);
        }
    }
}

fn one_more(list: &mut Vec<usize>, at: usize) {
    if list.len() <= at {
        list.resize(at + 1, 0);
    }
    list[at] += 1;
}
