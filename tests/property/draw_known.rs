//! Pictures of what the log has taught, and of two stacks compared: at any width, and what they say.

use crate::draw::sound;
use glazefall::draw::picture::View;
use glazefall::draw::{known, lesson};
use glazefall::learn;
use glazefall::learn::posterior::{Calibration, ReliabilityBin};
use glazefall::predict::compare::compare;
use glazefall::studio::document::Units;

#[test]
fn what_is_known_can_be_drawn_at_any_width() {
    let text = include_str!("../../fixtures/demo/studio.json");
    let studio = glazefall::studio::file::read(text).unwrap();
    let posterior = learn::prior(&studio, &learn::Options { draws: 32, seed: 1 });
    let bin = |predicted, reached, entries| ReliabilityBin {
        predicted,
        reached,
        entries,
    };
    let calibration = Calibration {
        coverage_80: 0.8,
        brier_foot: Some(0.1),
        entries: 60,
        foot_entries: 20,
        uncertain: 0,
        reliability: vec![
            bin(0.05, 0.0, 12),
            bin(0.4, 0.5, 4),
            bin(0.9, 1.0, 4),
            bin(f64::NAN, 0.0, 0),
        ],
        tenths: vec![0.1; 10],
    };
    // As if half of each glaze's entries had come since.
    let mut earlier = posterior.summary.clone();
    for glaze in &mut earlier.glazes {
        glaze.entries /= 2;
    }
    let first = studio.entries.iter().find(|e| e.id == "plan-2").unwrap();
    let lesson = compare(&studio, &posterior, [first, first], 32, 1).unwrap();
    for width in [240.0, 479.0, 480.0, 900.0, f64::NAN] {
        let view = View {
            width_px: width,
            height_px: 240.0,
            prefix: "k",
        };
        for picture in [
            known::glazes(&studio, &posterior.summary, None, &view),
            known::glazes(&studio, &posterior.summary, Some(&earlier), &view),
            known::pairs(&studio, &posterior.summary, &view),
            known::hands(&studio, &posterior.summary, &view),
            known::firings(&studio, &posterior.summary, &view),
            known::reliability(&calibration, &view),
            lesson::fronts(
                &lesson,
                ["first", "second"],
                Some(20),
                Units::Imperial,
                &view,
            ),
            lesson::square(&lesson, ["first", "second"], &view),
        ] {
            assert_eq!(sound(&picture), Ok(()));
        }
    }
    let view = View {
        width_px: 400.0,
        height_px: 300.0,
        prefix: "k",
    };
    let said = known::reliability(&calibration, &view).words;
    assert!(
        said.contains("Where about 40 % was given, 2 of 4 reached it."),
        "{said}"
    );
}
