//! A studio to begin with: nothing logged, but a clay, a firing and the usual forms to start from.
//!
//! Takes a name; gives a document that passes every check.

use super::document::{
    Body, FORMAT, Firing, FiringState, Form, Schedule, Settings, Shape, Studio, VERSION,
};

impl Studio {
    /// A studio with nothing in it but a usual clay, a usual cone 6 firing and seven forms.
    pub fn empty(id: &str, name: &str) -> Self {
        let form = |id: &str, name: &str, shape, wall_mm| Form {
            id: id.into(),
            name: name.into(),
            shape,
            wall_mm: Some(wall_mm),
            ..Form::default()
        };
        Self {
            format: FORMAT.into(),
            version: VERSION,
            id: id.into(),
            name: name.into(),
            settings: Settings {
                usual_firing: Some("cone-6".into()),
                usual_body: Some("stoneware".into()),
                ..Settings::default()
            },
            bodies: vec![Body {
                id: "stoneware".into(),
                name: "Stoneware".into(),
                absorption: 0.10,
                wall_mm: 6.0,
                density_kg_per_m3: 1900.0,
                changed_ms: 0,
            }],
            firings: vec![Firing {
                id: "cone-6".into(),
                name: "Usual cone 6".into(),
                kiln: "Kiln".into(),
                state: FiringState::Planned,
                schedule: Some(Schedule::Cone {
                    cone: "6".into(),
                    rate_c_per_h: 60.0,
                }),
                ..Firing::default()
            }],
            forms: vec![
                form(
                    "test-tile",
                    "Test tile",
                    Shape::Tile {
                        width_mm: 50.0,
                        length_mm: 100.0,
                        slope_deg: 90.0,
                    },
                    6.0,
                ),
                form(
                    "jar",
                    "Jar",
                    Shape::Jar {
                        height_mm: 140.0,
                        rim_diameter_mm: 80.0,
                        belly_diameter_mm: 110.0,
                        foot_diameter_mm: 75.0,
                    },
                    5.0,
                ),
                form(
                    "bowl",
                    "Bowl",
                    Shape::Bowl {
                        height_mm: 70.0,
                        rim_diameter_mm: 160.0,
                        foot_diameter_mm: 65.0,
                    },
                    5.0,
                ),
                form(
                    "mug",
                    "Mug",
                    Shape::Mug {
                        height_mm: 95.0,
                        rim_diameter_mm: 82.0,
                        foot_diameter_mm: 76.0,
                    },
                    4.5,
                ),
                form(
                    "vase",
                    "Vase",
                    Shape::Vase {
                        height_mm: 200.0,
                        rim_diameter_mm: 60.0,
                        neck_diameter_mm: 38.0,
                        belly_diameter_mm: 105.0,
                        foot_diameter_mm: 65.0,
                    },
                    5.0,
                ),
                form(
                    "plate",
                    "Plate",
                    Shape::Plate {
                        height_mm: 25.0,
                        rim_diameter_mm: 240.0,
                        foot_diameter_mm: 150.0,
                    },
                    6.0,
                ),
            ],
            ..Self::default()
        }
    }
}
