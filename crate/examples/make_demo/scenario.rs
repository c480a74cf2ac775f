//! What stands still in the demo: glazes, hands, clays, firings, forms. All of it invented.
//!
//! Takes nothing; gives a studio without entries.

use glazefall::studio::document::{
    Body, FORMAT, Firing, FiringState, Form, Glaze, GlazeKind, Hand, Oxides, Role, Schedule,
    Segment, Settings, Shape, Studio, Texture, TextureKind, VERSION,
};

/// Days of the firings, the seventh still to come, with midnight UTC of each in ms since 1970.
pub const DAYS: [(&str, u64); 7] = [
    ("2026-09-18", 1_789_689_600_000),
    ("2026-09-25", 1_790_294_400_000),
    ("2026-10-09", 1_791_504_000_000),
    ("2026-10-23", 1_792_713_600_000),
    ("2026-11-06", 1_793_923_200_000),
    ("2026-11-20", 1_795_132_800_000),
    ("2026-12-04", 1_796_342_400_000),
];

/// The studio without its log.
pub fn studio() -> Studio {
    Studio {
        format: FORMAT.into(),
        version: VERSION,
        id: "demo-evening-class".into(),
        name: "Ottersmere College, evening class".into(),
        invented: true,
        settings: Settings {
            usual_firing: Some("week-12".into()),
            usual_body: Some("white-stoneware".into()),
            ..Settings::default()
        },
        glazes: glazes(),
        hands: hands(),
        bodies: bodies(),
        firings: firings(),
        forms: forms(),
        ..Studio::default()
    }
}

fn glazes() -> Vec<Glaze> {
    let glaze = |name: &str, look: &str, colour: &str, kind, sg, dry, loss| Glaze {
        id: name.to_lowercase().replace(' ', "-"),
        name: name.into(),
        look: look.into(),
        colour: Some(colour.into()),
        kind,
        usual_sg: sg,
        dry_density: Some(dry),
        loss_on_ignition: Some(loss),
        changed_ms: DAYS[0].1,
        ..Glaze::default()
    };
    let mut glazes = vec![
        glaze(
            "Wet Moss",
            "glossy green, pools darker",
            "#5f7440",
            GlazeKind::Fluid,
            1.45,
            2.62,
            0.11,
        ),
        glaze(
            "Lamp Honey",
            "clear amber gloss",
            "#b5762c",
            GlazeKind::Fluid,
            1.43,
            2.64,
            0.04,
        ),
        glaze(
            "Glass Harbour",
            "glossy turquoise, breaks pale on edges",
            "#3f8d8c",
            GlazeKind::Fluid,
            1.44,
            2.58,
            0.06,
        ),
        glaze(
            "Rain Slate",
            "satin blue-grey",
            "#586a78",
            GlazeKind::Medium,
            1.46,
            2.66,
            0.09,
        ),
        glaze(
            "Night Hedge",
            "black-brown gloss, rust where thin",
            "#33231b",
            GlazeKind::Medium,
            1.47,
            2.74,
            0.07,
        ),
        glaze(
            "Oat Husk",
            "satin oatmeal, speckled",
            "#c8b48f",
            GlazeKind::Medium,
            1.46,
            2.6,
            0.12,
        ),
        glaze(
            "Bramble Smoke",
            "plum with grey bloom",
            "#6d4456",
            GlazeKind::NotKnown,
            1.45,
            2.61,
            0.1,
        ),
        glaze(
            "Chalk Hollow",
            "dry matte white",
            "#e7e0d2",
            GlazeKind::Stiff,
            1.5,
            2.7,
            0.19,
        ),
        glaze(
            "Lichen Rust",
            "matte ochre, crusty where thick",
            "#9c5a34",
            GlazeKind::Stiff,
            1.48,
            2.68,
            0.14,
        ),
    ];
    if let Some(slate) = glazes.iter_mut().find(|glaze| glaze.id == "rain-slate") {
        slate.oxides_wt_pct = Some(Oxides {
            sio2: 59.5,
            tio2: 0.8,
            al2o3: 13.0,
            fe2o3: 4.2,
            mgo: 3.6,
            cao: 10.4,
            na2o: 3.6,
            k2o: 2.9,
            b2o3: 2.0,
            ..Oxides::default()
        });
        slate.note = "Analysis worked out from the recipe, not measured.".into();
    }
    for (id, note) in [
        (
            "chalk-hollow",
            "Not for surfaces that food touches: stays porous.",
        ),
        (
            "lichen-rust",
            "Not for surfaces that food touches: rough and porous.",
        ),
    ] {
        if let Some(glaze) = glazes.iter_mut().find(|glaze| glaze.id == id) {
            glaze.food_note = note.into();
        }
    }
    glazes
}

fn hands() -> Vec<Hand> {
    [
        ("ines", "Ines", Role::Teacher, ""),
        (
            "tobin",
            "Tobin",
            Role::Technician,
            "Mixes the buckets and reads the SG.",
        ),
        ("marlo", "Marlo", Role::Student, ""),
        ("pia", "Pia", Role::Student, "Loads the brush full."),
        (
            "r4",
            "R4",
            Role::Student,
            "Wednesday group, pencils R4 on the foot.",
        ),
    ]
    .into_iter()
    .map(|(id, name, role, note)| Hand {
        id: id.into(),
        name: name.into(),
        role,
        note: note.into(),
        changed_ms: DAYS[0].1,
    })
    .collect()
}

fn bodies() -> Vec<Body> {
    [
        ("white-stoneware", "White stoneware", 0.095, 6.0, 1900.0),
        (
            "speckled-stoneware",
            "Speckled stoneware",
            0.12,
            6.5,
            1850.0,
        ),
    ]
    .into_iter()
    .map(|(id, name, absorption, wall_mm, density_kg_per_m3)| Body {
        id: id.into(),
        name: name.into(),
        absorption,
        wall_mm,
        density_kg_per_m3,
        changed_ms: DAYS[0].1,
    })
    .collect()
}

fn firings() -> Vec<Firing> {
    let segments = |list: &[(f64, f64, f64)]| {
        let segments = list
            .iter()
            .map(|(rate_c_per_h, target_c, hold_min)| Segment {
                rate_c_per_h: *rate_c_per_h,
                target_c: *target_c,
                hold_min: *hold_min,
            });
        Some(Schedule::Segments {
            segments: segments.collect(),
        })
    };
    // Warm-up to drive off water, a quick middle, a slow last stretch, a short hold; two of them with a drop and a slow cooling.
    let schedules = [
        (
            "big kiln",
            segments(&[
                (80.0, 120.0, 30.0),
                (150.0, 1100.0, 0.0),
                (60.0, 1215.0, 10.0),
            ]),
        ),
        (
            "big kiln",
            segments(&[
                (80.0, 120.0, 30.0),
                (150.0, 1100.0, 0.0),
                (60.0, 1218.0, 10.0),
            ]),
        ),
        (
            "small kiln",
            segments(&[
                (100.0, 120.0, 20.0),
                (180.0, 1120.0, 0.0),
                (80.0, 1222.0, 15.0),
            ]),
        ),
        (
            "big kiln",
            segments(&[
                (80.0, 120.0, 30.0),
                (150.0, 1100.0, 0.0),
                (60.0, 1213.0, 15.0),
                (300.0, 1050.0, 30.0),
                (70.0, 800.0, 0.0),
            ]),
        ),
        (
            "big kiln",
            segments(&[
                (80.0, 120.0, 30.0),
                (150.0, 1100.0, 0.0),
                (60.0, 1215.0, 10.0),
            ]),
        ),
        (
            "small kiln",
            segments(&[
                (100.0, 120.0, 20.0),
                (180.0, 1120.0, 0.0),
                (80.0, 1216.0, 20.0),
                (250.0, 1000.0, 20.0),
            ]),
        ),
        (
            "big kiln",
            segments(&[
                (80.0, 120.0, 30.0),
                (150.0, 1100.0, 0.0),
                (60.0, 1215.0, 10.0),
            ]),
        ),
    ];
    let weeks = [1, 2, 4, 6, 8, 10, 12];
    schedules
        .into_iter()
        .zip(weeks)
        .zip(DAYS)
        .map(|(((kiln, schedule), week), (day, changed_ms))| Firing {
            id: format!("week-{week}"),
            name: format!("Week {week}"),
            day: Some(day.into()),
            kiln: kiln.into(),
            state: if week == 12 {
                FiringState::Planned
            } else {
                FiringState::Opened
            },
            schedule,
            note: if week == 6 {
                "Slow cooling for the mattes.".into()
            } else {
                String::new()
            },
            changed_ms: changed_ms.min(DAYS[5].1),
        })
        .collect()
}

fn forms() -> Vec<Form> {
    let form = |id: &str, name: &str, shape, wall_mm, texture| Form {
        id: id.into(),
        name: name.into(),
        shape,
        wall_mm: Some(wall_mm),
        rim_radius_mm: None,
        texture,
        changed_ms: DAYS[0].1,
    };
    let texture = |kind, depth_mm, repeat_mm, from_mm, to_mm| {
        Some(Texture {
            kind,
            depth_mm,
            repeat_mm,
            from_mm,
            to_mm,
        })
    };
    vec![
        form(
            "test-tile",
            "Test tile",
            Shape::Tile {
                width_mm: 50.0,
                length_mm: 100.0,
                slope_deg: 90.0,
            },
            6.0,
            None,
        ),
        form(
            "fluted-jar",
            "Fluted jar",
            Shape::Jar {
                height_mm: 150.0,
                rim_diameter_mm: 85.0,
                belly_diameter_mm: 118.0,
                foot_diameter_mm: 78.0,
            },
            5.0,
            texture(TextureKind::UprightFlutes, 1.8, 9.0, 14.0, 135.0),
        ),
        form(
            "carved-tile",
            "Carved wall tile",
            Shape::Tile {
                width_mm: 120.0,
                length_mm: 150.0,
                slope_deg: 80.0,
            },
            9.0,
            texture(TextureKind::Pressed, 1.2, 6.0, 10.0, 130.0),
        ),
        form(
            "bowl",
            "Bowl",
            Shape::Bowl {
                height_mm: 75.0,
                rim_diameter_mm: 165.0,
                foot_diameter_mm: 68.0,
            },
            5.0,
            None,
        ),
        form(
            "mug",
            "Mug",
            Shape::Mug {
                height_mm: 98.0,
                rim_diameter_mm: 84.0,
                foot_diameter_mm: 78.0,
            },
            4.5,
            None,
        ),
        form(
            "plate",
            "Plate",
            Shape::Plate {
                height_mm: 28.0,
                rim_diameter_mm: 250.0,
                foot_diameter_mm: 155.0,
            },
            6.0,
            None,
        ),
        form(
            "vase",
            "Vase",
            Shape::Vase {
                height_mm: 190.0,
                rim_diameter_mm: 62.0,
                neck_diameter_mm: 40.0,
                belly_diameter_mm: 108.0,
                foot_diameter_mm: 70.0,
            },
            5.0,
            None,
        ),
    ]
}
