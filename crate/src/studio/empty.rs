//! A studio to begin with: nothing logged, but a clay, a firing and the usual forms to start from.
//!
//! Takes a name; gives a document that passes every check.

use super::document::Studio;
use super::file;

/// Everything but identifier and name; read once, so that it takes the shape of a file and little code.
const START: &str = r#"{"format": "glazefall-studio", "version": 1, "id": "new", "name": "New",
"settings": {"usual_firing": "cone-6", "usual_body": "stoneware"},
"bodies": [{"id": "stoneware", "name": "Stoneware", "absorption": 0.1, "wall_mm": 6}],
"firings": [{"id": "cone-6", "name": "Usual cone 6", "kiln": "Kiln", "state": "planned", "schedule": {"by": "cone", "cone": "6", "rate_c_per_h": 60}}],
"forms": [
{"id": "test-tile", "name": "Test tile", "wall_mm": 6, "shape": {"family": "tile", "width_mm": 50, "length_mm": 100, "slope_deg": 90}},
{"id": "jar", "name": "Jar", "wall_mm": 5, "shape": {"family": "jar", "height_mm": 140, "rim_diameter_mm": 80, "belly_diameter_mm": 110, "foot_diameter_mm": 75}},
{"id": "bowl", "name": "Bowl", "wall_mm": 5, "shape": {"family": "bowl", "height_mm": 70, "rim_diameter_mm": 160, "foot_diameter_mm": 65}},
{"id": "mug", "name": "Mug", "wall_mm": 4.5, "shape": {"family": "mug", "height_mm": 95, "rim_diameter_mm": 82, "foot_diameter_mm": 76}},
{"id": "vase", "name": "Vase", "wall_mm": 5, "shape": {"family": "vase", "height_mm": 200, "rim_diameter_mm": 60, "neck_diameter_mm": 38, "belly_diameter_mm": 105, "foot_diameter_mm": 65}},
{"id": "plate", "name": "Plate", "wall_mm": 6, "shape": {"family": "plate", "height_mm": 25, "rim_diameter_mm": 240, "foot_diameter_mm": 150}}]}"#;

impl Studio {
    /// A studio with nothing in it but a usual clay, a usual cone 6 firing and six forms.
    pub fn empty(id: &str, name: &str) -> Self {
        // A test holds the text above to every check, so there is always something to take.
        let mut studio = file::read_unchecked(START).unwrap_or_default();
        studio.id = id.into();
        studio.name = name.into();
        studio
    }
}
