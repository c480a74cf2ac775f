//! Studios whose truth breaks the model: heavy tails, hands that settle, coats that thin, opinions off centre, lines entered wrong.
//!
//! Against the truth that only the generator knows, against what a potter with a spreadsheet would do (a regression of ln(1 + run) on coats), and against what a
//! statistician makes of the same log in an hour with NumPyro (`fixtures/learn/rival.py`, how it was run in the README beside it).

use glazefall::learn::Posterior;
use glazefall_tests::broken::{Broken, Off, Said, Scores, broken, learned, regressed};
use serde_json::Value;

/// Who says something of held-out entries.
const WHO: [&str; 3] = ["learned", "rival", "regression"];

/// What the rival says: glazes and hands by their numbers, and runs of each held-out entry.
struct Rival {
    log10_phi: Vec<(usize, f64)>,
    ln_laydown: Vec<(usize, f64)>,
    said: Vec<Said>,
}

impl Rival {
    fn of(entries: usize, seed: u64) -> Self {
        let path = format!(
            "{}/../fixtures/learn/rival_{entries}_{seed}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        let all: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let means = |key: &str| -> Vec<(usize, f64)> {
            let of = all[key].as_object().unwrap();
            of.iter()
                .map(|(number, known)| (number.parse().unwrap(), known[0].as_f64().unwrap()))
                .collect()
        };
        let runs = all["runs_tenths_mm"].as_array().unwrap();
        Self {
            log10_phi: means("log10_phi"),
            ln_laydown: means("ln_laydown"),
            said: runs
                .iter()
                .map(|runs| {
                    let runs = runs.as_array().unwrap().iter();
                    runs.map(|tenths| 0.1 * tenths.as_f64().unwrap()).collect()
                })
                .collect(),
        }
    }
}

fn means(
    known: &Posterior,
    of: &[(usize, f64)],
    value: fn(&Posterior, usize) -> f64,
) -> Vec<(usize, f64)> {
    of.iter()
        .map(|(number, _)| (*number, value(known, *number)))
        .collect()
}

fn scored(studios: &[Broken]) -> ([Scores; 3], [[f64; 3]; 2]) {
    let (mut scores, mut off) = ([Scores::default(); 3], [Off::default(); 2]);
    for (seed, studio) in (1..).zip(studios) {
        let (posterior, said) = learned(studio, seed);
        let about = &posterior.summary;
        println!(
            "worst R-hat {:.2}, effective draws {:.0}",
            about.r_hat, about.effective_draws
        );
        // Chains that agree are a little above 1. In the third studio of 2,000 the retention moves slowly: by three seeds 1.22 to 1.38, worth 9 to 13 draws; all else is 1.2 at most. A chain that is
        // stuck has been seen at 2.2 and at 17,000.
        assert!(about.r_hat < 1.5, "the chains do not agree");
        let rival = Rival::of(studio.studio.entries.len(), seed);
        assert_eq!(rival.said.len(), studio.held_out.len());
        let said = [said, rival.said, regressed(studio)];
        for (scores, said) in scores.iter_mut().zip(&said) {
            scores.add(studio, said);
        }
        let phi = means(&posterior, &rival.log10_phi, |known, g| {
            known.summary.glazes[g].log10_phi.mean
        });
        let laydown = means(&posterior, &rival.ln_laydown, |known, h| {
            known.summary.hands[h].ln_laydown.mean
        });
        off[0].add(studio, &phi, &laydown);
        off[1].add(studio, &rival.log10_phi, &rival.ln_laydown);
    }
    let off = off.map(|off| off.rms());
    println!(
        "entries  held out              coverage 80 %  pinball mm  Brier foot  glazes off, decades  hands off, ln  against each other"
    );
    for (i, (name, s)) in WHO.iter().zip(&scores).enumerate() {
        let off = off
            .get(i)
            .map_or(["–".into(), "–".into(), "–".into()], |off| {
                off.map(|x| format!("{x:.4}"))
            });
        println!(
            "{:7}  {:8}  {name:12}  {:13.3}  {:10.3}  {:10.4}  {:>19}  {:>13}  {:>18}",
            studios[0].studio.entries.len(),
            s.entries,
            s.coverage,
            s.pinball_mm,
            s.brier,
            off[0],
            off[1],
            off[2]
        );
    }
    (scores, off)
}

/// The bands that the goal names, both losses of the regression clearly beaten, and nowhere farther from the truth than the rival: fixed seeds.
fn check(([ours, rival, regression], [near, rivals]): ([Scores; 3], [[f64; 3]; 2])) {
    assert!((0.72..=0.88).contains(&ours.coverage), "{ours:?}");
    assert!(ours.pinball_mm < 0.65 * regression.pinball_mm);
    assert!(ours.brier < 0.7 * regression.brier);
    assert!(ours.pinball_mm <= rival.pinball_mm, "{ours:?} {rival:?}");
    assert!(ours.brier <= rival.brier, "{ours:?} {rival:?}");
    assert!(near[0] <= rivals[0], "{near:?} {rivals:?}");
    // Hands have no one truth here: their habits fade from firing to firing, and the weigh-ins, which alone tell thickness from fluidity, are of fresh hands. All hands together can lie no
    // nearer to the log's than the fresh ones do; from hand to hand there is no such luck.
    assert!(
        near[1] <= rivals[1] && near[2] <= rivals[2],
        "{near:?} {rivals:?}"
    );
}

#[test]
fn broken_studios_of_130_entries_are_predicted() {
    let studios: Vec<Broken> = (1..=8).map(|seed| broken(130, 60, seed)).collect();
    check(scored(&studios));
}

#[test]
fn broken_studios_of_2000_entries_are_predicted() {
    let studios: Vec<Broken> = (1..=6).map(|seed| broken(2000, 240, seed)).collect();
    check(scored(&studios));
}
