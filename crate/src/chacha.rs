//! Random numbers that are the same everywhere: the ChaCha stream of eight rounds, seeded.
//!
//! Takes a seed; gives the same words as the crate rand_chacha, which tests hold it to. That one is unrolled for speed that nobody
//! here needs: most of a draw goes into what is made of it, and its code is a hundred times the formula's.

use std::convert::Infallible;

use rand::rand_core::{SeedableRng, TryRng};

/// "expand 32-byte k", as D. J. Bernstein, ChaCha, a variant of Salsa20 (2008), lays it down.
const EXPAND: [u32; 4] = [0x6170_7865, 0x3320_646e, 0x7962_2d32, 0x6b20_6574];
/// Pairs of a round along the columns and one along the diagonals.
const DOUBLE_ROUNDS: usize = 4;

/// A seeded stream of random numbers.
#[derive(Clone, Debug)]
pub struct ChaCha8Rng {
    key: [u32; 8],
    blocks: u64,
    stream: u64,
    words: [u32; 16],
    /// How many of the words are used up.
    used: usize,
}

impl ChaCha8Rng {
    /// Goes over to another of the seed's streams, to the same place of it.
    pub fn set_stream(&mut self, stream: u64) {
        self.stream = stream;
        if self.used < self.words.len() {
            let used = self.used;
            self.blocks -= 1;
            self.refill();
            self.used = used;
        }
    }

    #[inline(never)]
    fn word(&mut self) -> u32 {
        if self.used >= self.words.len() {
            self.refill();
        }
        let word = self.words[self.used & 15];
        self.used += 1;
        word
    }

    fn refill(&mut self) {
        let mut start = [0; 16];
        start[..4].copy_from_slice(&EXPAND);
        start[4..12].copy_from_slice(&self.key);
        start[12] = self.blocks as u32;
        start[13] = (self.blocks >> 32) as u32;
        start[14] = self.stream as u32;
        start[15] = (self.stream >> 32) as u32;
        let mut now = start;
        for turn in 0..8 * DOUBLE_ROUNDS {
            // Four columns, then four diagonals.
            let (column, lean) = (turn & 3, turn >> 2 & 1);
            let a = column;
            let b = 4 | (column + lean) & 3;
            let c = 8 | (column + 2 * lean) & 3;
            let d = 12 | (column + 3 * lean) & 3;
            for &(first, second) in &[(16, 12), (8, 7)] {
                now[a] = now[a].wrapping_add(now[b]);
                now[d] = (now[d] ^ now[a]).rotate_left(first);
                now[c] = now[c].wrapping_add(now[d]);
                now[b] = (now[b] ^ now[c]).rotate_left(second);
            }
        }
        for (at, word) in self.words.iter_mut().enumerate() {
            *word = now[at].wrapping_add(start[at]);
        }
        self.blocks += 1;
        self.used = 0;
    }
}

impl SeedableRng for ChaCha8Rng {
    type Seed = [u8; 32];

    fn from_seed(seed: Self::Seed) -> Self {
        let mut key = [0; 8];
        for (word, bytes) in key.iter_mut().zip(seed.as_chunks::<4>().0) {
            *word = u32::from_le_bytes(*bytes);
        }
        Self {
            key,
            blocks: 0,
            stream: 0,
            words: [0; 16],
            used: 16,
        }
    }
}

impl TryRng for ChaCha8Rng {
    type Error = Infallible;

    fn try_next_u32(&mut self) -> Result<u32, Infallible> {
        Ok(self.word())
    }

    fn try_next_u64(&mut self) -> Result<u64, Infallible> {
        let low = u64::from(self.word());
        Ok(low | u64::from(self.word()) << 32)
    }

    fn try_fill_bytes(&mut self, bytes: &mut [u8]) -> Result<(), Infallible> {
        for part in bytes.chunks_mut(4) {
            let word = self.word().to_le_bytes();
            part.copy_from_slice(&word[..part.len()]);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::Rng;

    /// The crate rand_chacha is the reference, itself tested against RFC 7539's and the eSTREAM's vectors.
    #[test]
    fn the_stream_is_that_of_rand_chacha() {
        for seed in [0, 1, 7, u64::MAX] {
            let mut ours = ChaCha8Rng::seed_from_u64(seed);
            let mut theirs = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
            ours.set_stream(seed / 2);
            theirs.set_stream(seed / 2);
            for at in 0..2000 {
                if at % 77 == 0 {
                    ours.set_stream(at);
                    theirs.set_stream(at);
                }
                match at % 3 {
                    0 => assert_eq!(ours.next_u32(), theirs.next_u32()),
                    1 => assert_eq!(ours.next_u64(), theirs.next_u64()),
                    _ => {
                        let (mut left, mut right) = ([0; 7], [0; 7]);
                        ours.fill_bytes(&mut left);
                        theirs.fill_bytes(&mut right);
                        assert_eq!(left, right);
                    }
                }
                assert_eq!(ours.clone().next_u64(), theirs.clone().next_u64());
            }
        }
    }
}
