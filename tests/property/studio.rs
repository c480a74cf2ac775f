//! A studio document reads back as it was written, and nothing beyond its bounds is ever taken.

use glazefall::studio::document::{
    Body, Edge, Entry, Form, Glaze, GlazeKind, Hand, How, Layer, Outcome, Role, Run, RunWord,
    Shape, Studio, WeighIn, Zone,
};
use glazefall::studio::{document, file};

/// A small studio that passes every check.
pub fn small() -> Studio {
    let glaze = |id: &str, kind| Glaze {
        id: id.into(),
        name: id.into(),
        kind,
        usual_sg: 1.45,
        ..Glaze::default()
    };
    let layer = |glaze: &str, coats| Layer {
        glaze: glaze.into(),
        zone: Zone {
            from_mm: 0.0,
            to_mm: 60.0,
            over_rim: false,
            inside_mm: 0.0,
        },
        how: How::Brush { coats },
        sg: Some(1.45),
        hand: None,
    };
    Studio {
        format: document::FORMAT.into(),
        version: document::VERSION,
        id: "kiln-room".into(),
        name: "Kiln room".into(),
        glazes: vec![
            glaze("moss", GlazeKind::Medium),
            glaze("amber", GlazeKind::Fluid),
        ],
        hands: vec![Hand {
            id: "a1".into(),
            name: "A1".into(),
            role: Role::Student,
            ..Hand::default()
        }],
        bodies: vec![Body {
            id: "white".into(),
            name: "White".into(),
            absorption: 0.1,
            wall_mm: 6.0,
            density_kg_per_m3: 1900.0,
            changed_ms: 0,
        }],
        forms: vec![Form {
            id: "tile".into(),
            name: "Test tile".into(),
            shape: Shape::Tile {
                width_mm: 50.0,
                length_mm: 100.0,
                slope_deg: 90.0,
            },
            ..Form::default()
        }],
        entries: vec![Entry {
            id: "t1".into(),
            code: "K7".into(),
            form: "tile".into(),
            hand: Some("a1".into()),
            layers: vec![layer("moss", 2), layer("amber", 1)],
            outcome: Some(Outcome {
                run: Some(Run::Word {
                    word: RunWord::DidNotMove,
                    least_mm: None,
                    most_mm: Some(0.5),
                }),
                edge: Edge::OntoBareClay,
                ..Outcome::default()
            }),
            ..Entry::default()
        }],
        weigh_ins: vec![WeighIn {
            id: "w1".into(),
            hand: "a1".into(),
            glaze: "moss".into(),
            how: How::Dip {
                dips: 1,
                seconds: 2.0,
            },
            area_cm2: 50.0,
            gained_g: 2.5,
            error_g: 0.05,
            ..WeighIn::default()
        }],
        ..Studio::default()
    }
}

#[test]
fn what_is_written_reads_back() {
    let studio = small();
    let text = file::write(&studio);
    let back = file::read(&text).unwrap_or_else(|refusal| panic!("{refusal}\n{text}"));
    assert_eq!(back, studio);
    assert_eq!(file::write(&back), text);
    // The derived reader of the same types, as a second opinion on every key and word.
    let derived: Studio = serde_json::from_str(&text).unwrap();
    assert_eq!(derived, studio);
    let written_by_derive = serde_json::to_string(&studio).unwrap();
    assert_eq!(file::read(&written_by_derive).unwrap(), studio);
}
