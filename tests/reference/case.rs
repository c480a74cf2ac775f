//! What an entry means to the physics, against the worked figures of the model.
//!
//! Sources: the model's own worked coat (SG 1.45, D 2.6, one 200 µm brushed coat) and its dip law, both derived there;
//! tolerances are half of the last digit printed.

use glazefall::studio::case::{Case, Cases};
use glazefall::studio::document::{
    Body, Entry, Form, Glaze, How, Layer, Schedule, Segment, Shape, Studio, WeighIn, Zone,
};

fn studio() -> Studio {
    Studio {
        glazes: vec![Glaze {
            id: "g".into(),
            usual_sg: 1.45,
            ..Glaze::default()
        }],
        hands: vec![glazefall::studio::document::Hand {
            id: "h".into(),
            ..Default::default()
        }],
        bodies: vec![Body {
            id: "b".into(),
            absorption: 0.1,
            wall_mm: 6.0,
            density_kg_per_m3: 1900.0,
            ..Body::default()
        }],
        forms: vec![
            Form {
                id: "tile".into(),
                shape: Shape::Tile {
                    width_mm: 50.0,
                    length_mm: 100.0,
                    slope_deg: 60.0,
                },
                ..Form::default()
            },
            Form {
                id: "mug".into(),
                shape: Shape::Mug {
                    height_mm: 100.0,
                    rim_diameter_mm: 80.0,
                    foot_diameter_mm: 80.0,
                },
                wall_mm: Some(5.0),
                ..Form::default()
            },
        ],
        ..Studio::default()
    }
}

fn entry(form: &str, how: How, sg: Option<f64>) -> Entry {
    Entry {
        form: form.into(),
        body: Some("b".into()),
        layers: vec![Layer {
            glaze: "g".into(),
            zone: Zone {
                from_mm: 0.0,
                to_mm: 60.0,
                over_rim: false,
                inside_mm: 0.0,
            },
            how,
            sg,
            hand: None,
        }],
        ..Entry::default()
    }
}

#[test]
fn one_brushed_coat_is_the_worked_example() {
    let studio = studio();
    let case = Case::of(&studio, &entry("tile", How::Brush { coats: 1 }, Some(1.45))).unwrap();
    let layer = &case.layers[0];
    let mass = layer.mass_kg_per_m2;
    assert!((mass - 0.146).abs() < 0.5e-3, "{mass}");
    assert!((mass * layer.raw_m_per - 112.5e-6).abs() < 0.05e-6);
    assert!((mass * layer.fired_m_per - 57.2e-6).abs() < 0.05e-6);
    assert!((mass * layer.melt_m_per - 59.6e-6).abs() < 0.05e-6);
    assert!((case.sin_slope - 60f64.to_radians().sin()).abs() < 1e-9);
    assert!((case.around_m - 0.05).abs() < 1e-12);
    assert!((case.bare_below_m - 0.04).abs() < 1e-9);
    assert!(case.is_tile && case.schedule_known && case.phi_shift_decades == 0.0);
    let three = case.with_units(0, 3.0);
    assert!((three.layers[0].mass_kg_per_m2 - 3.0 * mass).abs() < 1e-12);
}

#[test]
fn a_thicker_slurry_thickens_a_dip_by_the_laws_factor() {
    // K(G) = K(1.45) r(1.45)/r(G), L = sqrt(K t): 0.882 at SG 1.40 and 1.139 at 1.50, printed to three places.
    let studio = studio();
    let raw = |sg| {
        let how = How::Dip {
            dips: 1,
            seconds: 2.0,
        };
        let case = Case::of(&studio, &entry("tile", how, Some(sg))).unwrap();
        case.layers[0].mass_kg_per_m2 * case.layers[0].raw_m_per
    };
    assert!((raw(1.40) / raw(1.45) - 0.882).abs() < 5e-4);
    assert!((raw(1.50) / raw(1.45) - 1.139).abs() < 5e-4);
    // The slope that learning uses is that of the same law: third order of a 0.02 step, and the step's own.
    let how = How::Dip {
        dips: 1,
        seconds: 2.0,
    };
    let case = Case::of(&studio, &entry("tile", how, None)).unwrap();
    let slope = case.layers[0].dln_mass_dsg;
    let secant = (raw(1.46) / raw(1.44)).ln() / 0.02;
    assert!((slope / secant - 1.0).abs() < 1e-3, "{slope} {secant}");
    assert_eq!(case.layers[0].sg_sigma, 0.05);
}

#[test]
fn a_second_dip_starts_from_the_first_ones_water() {
    let studio = studio();
    let dip = |dips| How::Dip { dips, seconds: 2.0 };
    let mut twice = entry("mug", dip(1), Some(1.45));
    twice.layers.push(twice.layers[0].clone());
    let split = Case::of(&studio, &twice).unwrap();
    let whole = Case::of(&studio, &entry("mug", dip(2), Some(1.45))).unwrap();
    let sum: f64 = split.layers.iter().map(|layer| layer.mass_kg_per_m2).sum();
    assert!((sum - whole.layers[0].mass_kg_per_m2).abs() < 1e-12);
    assert!(split.layers[1].mass_kg_per_m2 < split.layers[0].mass_kg_per_m2);
    let more = split.with_units(0, 2.0);
    assert!(more.layers[1].mass_kg_per_m2 <= split.layers[1].mass_kg_per_m2);
}

#[test]
fn a_pot_has_its_wall_from_rim_to_foot() {
    let studio = studio();
    let case = Case::of(&studio, &entry("mug", How::Brush { coats: 3 }, None)).unwrap();
    assert!(!case.is_tile);
    // A straight upright wall of 80 mm diameter.
    assert!((case.sin_slope - 1.0).abs() < 1e-6, "{}", case.sin_slope);
    assert!((case.around_m - 0.08 * std::f64::consts::PI).abs() < 1e-4);
    assert!((case.wall_length_m - (case.lowest_m + case.bare_below_m)).abs() < 1e-12);
    assert!(
        case.wall_length_m > 0.098 && case.wall_length_m < 0.104,
        "{}",
        case.wall_length_m
    );
}

#[test]
fn a_cone_six_at_the_reference_rate_shifts_nothing() {
    // End-point chart: cone 6 at 60 °C/h is 1222 °C, the reference firing itself; converted from °F to a degree.
    let mut studio = studio();
    studio.firings = vec![
        glazefall::studio::document::Firing {
            id: "cone".into(),
            schedule: Some(Schedule::Cone {
                cone: "6".into(),
                rate_c_per_h: 60.0,
            }),
            ..Default::default()
        },
        glazefall::studio::document::Firing {
            id: "hold".into(),
            schedule: Some(Schedule::Segments {
                segments: vec![Segment {
                    rate_c_per_h: 60.0,
                    target_c: 1222.0,
                    hold_min: 3474.0 / 60.0,
                }],
            }),
            ..Default::default()
        },
    ];
    let mut plan = entry("tile", How::Brush { coats: 1 }, None);
    plan.firing = Some("cone".into());
    let mut cases = Cases::new(&studio);
    assert!(cases.of(&plan).unwrap().phi_shift_decades.abs() < 0.01);
    // A ramp at 60 °C/h counts 3474 s at the peak, so a hold as long doubles it; what lies below sealing is 0.4 %.
    plan.firing = Some("hold".into());
    assert!((cases.of(&plan).unwrap().phi_shift_decades - 2f64.log10()).abs() < 0.003);
}

#[test]
fn a_weigh_in_of_the_usual_coat() {
    // 5 × 10 cm gains about 0.73 g dry a coat (the model's figure, printed to two places).
    let studio = studio();
    let weigh_in = WeighIn {
        hand: "h".into(),
        glaze: "g".into(),
        how: How::Brush { coats: 1 },
        area_cm2: 50.0,
        gained_g: 0.73,
        error_g: 0.05,
        ..WeighIn::default()
    };
    let seen = Cases::new(&studio).weigh_in(&weigh_in).unwrap();
    assert!((seen.weighed_kg_per_m2 / seen.layer.mass_kg_per_m2 - 1.0).abs() < 0.005);
    assert!((seen.error_kg_per_m2 - 0.01).abs() < 1e-12);
}
