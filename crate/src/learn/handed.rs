//! What goes from one copy of a learning to another that draws a pair of its chains, and back, as plain numbers.
//!
//! Takes where sampling starts, or what a pair gave; gives a list of numbers, and the same again from it. Nothing is rounded, so that draws are the same bit for bit
//! wherever they are made.

use super::arrow::Factor;
use super::calibration::Cells;
use super::mode::Mode;
use super::pairs::Drawn;
use super::sampler::Draws;

/// Where sampling starts.
#[derive(Clone, Debug)]
pub struct Start {
    /// The Gaussian that lies nearest to the posterior.
    pub mode: Mode,
    /// What the coordinates are made by.
    pub made_by: Vec<f64>,
    /// Points that the model's spreads were held at, in order: what is held last hangs a little on what was held before.
    pub held: Vec<Vec<f64>>,
}

/// Numbers being read.
struct Numbers<'a>(&'a [f64]);

impl<'a> Numbers<'a> {
    fn take(&mut self, n: usize) -> Option<&'a [f64]> {
        let (first, rest) = self.0.split_at_checked(n)?;
        self.0 = rest;
        Some(first)
    }

    fn count(&mut self) -> Option<usize> {
        Some(self.take(1)?[0] as usize)
    }
}

impl Start {
    /// As numbers.
    pub fn numbers(&self) -> Vec<f64> {
        let mut numbers = self.mode.at.clone();
        self.mode.factor.put_numbers(&mut numbers);
        numbers.extend(&self.made_by);
        for point in &self.held {
            numbers.extend(point);
        }
        numbers
    }

    /// From the numbers of one of `len` unknowns, `separate` of them separate; none where they are of another.
    pub fn of(len: usize, separate: usize, numbers: &[f64]) -> Option<Self> {
        let mut numbers = Numbers(numbers);
        let at = numbers.take(len)?.to_vec();
        let factor = Factor::of_numbers(len, separate, &mut |n| numbers.take(n))?;
        let made_by = numbers.take(len)?.to_vec();
        let mut held = Vec::new();
        while !numbers.0.is_empty() {
            held.push(numbers.take(len)?.to_vec());
        }
        let mode = Mode {
            at,
            factor,
            steps: 0,
        };
        Some(Self {
            mode,
            made_by,
            held,
        })
    }
}

impl Drawn {
    /// As numbers.
    pub fn numbers(&self) -> Vec<f64> {
        let Draws {
            chains,
            acceptance,
            kicks,
            evaluations,
        } = &self.draws;
        let draws = chains.first().map_or(0, Vec::len);
        let mut numbers = vec![*acceptance];
        for count in [*kicks, *evaluations, chains.len(), draws, self.cells.draws] {
            numbers.push(count as f64);
        }
        for point in chains.iter().flatten() {
            numbers.extend(point);
        }
        for cell in &self.cells.of_entries {
            numbers.extend(cell);
        }
        numbers.extend(&self.cells.blunder);
        numbers
    }

    /// From the numbers of a pair of `len` unknowns, `entries` and `weigh_ins`; none where they are of another.
    pub fn of(len: usize, [entries, weigh_ins]: [usize; 2], numbers: &[f64]) -> Option<Self> {
        let mut numbers = Numbers(numbers);
        let acceptance = numbers.take(1)?[0];
        let (kicks, evaluations) = (numbers.count()?, numbers.count()?);
        let (of, draws, judged) = (numbers.count()?, numbers.count()?, numbers.count()?);
        let mut chains = Vec::new();
        for _ in 0..of {
            let mut chain = Vec::new();
            for _ in 0..draws {
                chain.push(numbers.take(len)?.to_vec());
            }
            chains.push(chain);
        }
        let mut of_entries = Vec::new();
        for _ in 0..judged * entries {
            let mut cell = [0.0; 4];
            cell.copy_from_slice(numbers.take(4)?);
            of_entries.push(cell);
        }
        let blunder = numbers.take(entries + weigh_ins)?.to_vec();
        numbers.0.is_empty().then_some(Self {
            draws: Draws {
                chains,
                acceptance,
                kicks,
                evaluations,
            },
            cells: Cells {
                draws: judged,
                of_entries,
                blunder,
            },
        })
    }
}
