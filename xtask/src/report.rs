//! The steps of a long chore, with their times.
//!
//! Takes steps to run; gives a summary of each one's result and duration, and whether all went well. A step that
//! fails does not stop those that do not need it.

use std::time::{Duration, Instant};

use anyhow::Result;

/// How a step ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ending {
    /// It went well.
    Passed,
    /// It failed, with the reason.
    Failed(String),
    /// It was not run, with the reason.
    Left(String),
}

/// The steps so far.
pub struct Report {
    only: Vec<String>,
    offered: Vec<String>,
    steps: Vec<(String, Ending, Duration)>,
}

impl Report {
    /// A report that runs only the steps whose names hold one of the words; all where there are none.
    pub fn new(only: &[&str]) -> Self {
        Self {
            only: only.iter().map(|word| word.to_lowercase()).collect(),
            offered: Vec::new(),
            steps: Vec::new(),
        }
    }

    /// Whether a step of this name is wanted.
    fn wants(&self, name: &str) -> bool {
        let name = name.to_lowercase();
        self.only.is_empty() || self.only.iter().any(|word| name.contains(word))
    }

    /// Runs a step, unless it is not wanted or a step it needs did not pass.
    pub fn step(&mut self, name: &str, needs: &[&str], work: impl FnOnce() -> Result<()>) {
        self.offered.push(name.to_string());
        if self.wants(name) {
            self.take(name, needs, work);
        }
    }

    /// Runs a step that those in `users` need: wanted when it or one of them is.
    pub fn step_for(
        &mut self,
        name: &str,
        users: &[&str],
        needs: &[&str],
        work: impl FnOnce() -> Result<()>,
    ) {
        self.offered.push(name.to_string());
        if self.wants(name) || users.iter().any(|user| self.wants(user)) {
            self.take(name, needs, work);
        }
    }

    fn take(&mut self, name: &str, needs: &[&str], work: impl FnOnce() -> Result<()>) {
        let missing = self
            .steps
            .iter()
            .find(|(step, ending, _)| needs.contains(&step.as_str()) && *ending != Ending::Passed);
        if let Some((step, _, _)) = missing {
            let reason = format!("needs “{step}”");
            println!("\n── {name}: left out, {reason}");
            self.steps
                .push((name.to_string(), Ending::Left(reason), Duration::ZERO));
            return;
        }
        println!("\n── {name}");
        let start = Instant::now();
        let ending = match work() {
            Ok(()) => Ending::Passed,
            Err(error) => {
                let reason = format!("{error:#}");
                eprintln!("error: {reason}");
                Ending::Failed(reason)
            }
        };
        self.steps.push((name.to_string(), ending, start.elapsed()));
    }

    /// The table of steps, one line each, and a last line with the sum.
    pub fn summary(&self) -> String {
        if self.steps.is_empty() {
            return format!(
                "no step's name holds {:?}; the steps are:\n{}\n",
                self.only,
                self.offered.join("\n")
            );
        }
        let width = self
            .steps
            .iter()
            .map(|(name, _, _)| name.chars().count())
            .max()
            .unwrap_or(0);
        let mut text = String::new();
        for (name, ending, time) in &self.steps {
            let (word, reason) = match ending {
                Ending::Passed => ("ok", String::new()),
                Ending::Failed(reason) => ("FAILED", format!("  {}", first_line(reason))),
                Ending::Left(reason) => ("left", format!("  {reason}")),
            };
            text += &format!(
                "{name:width$}  {word:6} {:>7.1} s{reason}\n",
                time.as_secs_f64()
            );
        }
        let failed = self
            .steps
            .iter()
            .filter(|(_, ending, _)| *ending != Ending::Passed)
            .count();
        let total: Duration = self.steps.iter().map(|(_, _, time)| *time).sum();
        text += &format!(
            "{} of {} steps went well, {:.1} s\n",
            self.steps.len() - failed,
            self.steps.len(),
            total.as_secs_f64()
        );
        text
    }

    /// Whether at least one step ran and every step passed.
    pub fn passed(&self) -> bool {
        !self.steps.is_empty()
            && self
                .steps
                .iter()
                .all(|(_, ending, _)| *ending == Ending::Passed)
    }
}

fn first_line(text: &str) -> &str {
    text.lines().next().unwrap_or("")
}

#[cfg(test)]
mod tests {
    use super::*;
    use anyhow::bail;

    #[test]
    fn a_failed_step_leaves_out_what_needs_it_and_nothing_else() {
        let mut report = Report::new(&[]);
        report.step("build", &[], || bail!("no compiler\nmore"));
        report.step("browser", &["build"], || Ok(()));
        report.step("format", &[], || Ok(()));
        assert!(!report.passed());
        let summary = report.summary();
        assert!(summary.contains("build    FAILED"), "{summary}");
        assert!(
            summary.contains("no compiler") && !summary.contains("more"),
            "{summary}"
        );
        assert!(summary.contains("needs “build”"), "{summary}");
        assert!(summary.contains("1 of 3 steps went well"), "{summary}");
    }

    #[test]
    fn words_choose_steps_and_choosing_none_is_no_success() {
        let mut report = Report::new(&["NATIVE"]);
        report.step("native tests", &[], || Ok(()));
        report.step("browser tests", &[], || bail!("must not run"));
        assert!(report.passed());
        let mut empty = Report::new(&["typo"]);
        empty.step("native tests", &[], || Ok(()));
        assert!(!empty.passed());
        assert!(
            empty.summary().contains("the steps are:\nnative tests"),
            "{}",
            empty.summary()
        );
    }
}
