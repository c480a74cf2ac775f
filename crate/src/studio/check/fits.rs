//! What must fit together: measures of one form, glaze and wall, a word and its interval.
//!
//! Takes a studio whose numbers and references are within their bounds; adds what does not fit.

use crate::order;
use crate::physics::laydown::{DIP_SOLIDS_LIMIT, PACKING};
use crate::physics::slurry;
use crate::studio::any::{self, AnyRecord};
use crate::studio::bounds;
use crate::studio::case::Cases;
use crate::studio::document::{
    Edge, Entry, Firing, FiringState, Glaze, How, Layer, List, Run, RunWord, Schedule, Settings,
    Shape,
};
use crate::studio::error::{Cause, Contradiction, Misfit, Refusal};
use crate::studio::walk::Word;

mod shapes;

/// Adds what does not fit in a whole studio, up to `most`.
pub fn studio(cases: &mut Cases<'_>, most: usize, refusals: &mut Vec<Refusal>) {
    let studio = cases.studio();
    settings(&studio.settings, refusals);
    for list in List::ALL {
        for at in 0..any::ids(studio, *list).len() {
            // Pictures and people fit everywhere.
            if matches!(list, List::Photos | List::Hands | List::Bodies) || refusals.len() >= most {
                break;
            }
            let place = format!("{}[{at}].", List::WORDS[list.place()]);
            if let Some(record) = AnyRecord::copy_of(studio, *list, at) {
                one(cases, &record, &place, refusals);
            }
            // Drawing up a profile takes a third of a millisecond, so a file full of sizes would never end.
            if cases.too_many_sizes() {
                return refusals.push(contradiction(
                    under(&place, "diameter_mm"),
                    Contradiction::TooManySizes,
                ));
            }
        }
    }
}

/// Adds what does not fit in one record; places start with `place`.
pub fn one(cases: &mut Cases<'_>, record: &AnyRecord, place: &str, refusals: &mut Vec<Refusal>) {
    match record {
        AnyRecord::Glaze(record) => glaze(record, place, refusals),
        AnyRecord::Firing(record) => firing(record, place, refusals),
        AnyRecord::Form(record) => shapes::form(cases, record, place, refusals),
        AnyRecord::Entry(record) => entry(cases, record, place, refusals),
        AnyRecord::WeighIn(record) => {
            let glazes = &cases.studio().glazes;
            let glaze = cases
                .index()
                .find(List::Glazes, &record.glaze)
                .and_then(|at| glazes.get(at));
            if let Some(glaze) = glaze {
                dip(&record.how, record.sg, glaze, &under(place, "sg"), refusals);
            }
        }
        AnyRecord::Hand(_) | AnyRecord::Body(_) | AnyRecord::Photo(_) => {}
    }
}

/// The place of a key under another place.
#[inline(never)]
fn under(place: &str, key: &str) -> String {
    let mut under = String::with_capacity(place.len() + key.len());
    under.push_str(place);
    under.push_str(key);
    under
}

#[inline(never)]
fn misfit(place: String, value: f64, limit: f64, unit: &'static str, misfit: Misfit) -> Refusal {
    Refusal::new(
        place,
        Cause::DoesNotFit {
            value,
            limit,
            unit,
            misfit,
        },
    )
}

/// A stretch in mm that ends before it starts.
#[inline(never)]
fn backwards(place: String, from: f64, to: f64) -> Refusal {
    Refusal::new(
        place,
        Cause::EndsBeforeItStarts {
            from,
            to,
            unit: " mm",
        },
    )
}

#[inline(never)]
fn contradiction(place: String, which: Contradiction) -> Refusal {
    Refusal::new(place, Cause::Contradiction(which))
}

/// Adds what does not fit in the settings.
pub fn settings(settings: &Settings, refusals: &mut Vec<Refusal>) {
    let (holds, runs_off) = (settings.holds_up_to, settings.runs_off_from);
    if runs_off <= holds {
        refusals.push(misfit(
            "settings.runs_off_from".into(),
            runs_off,
            holds,
            "",
            Misfit::VerdictLines,
        ));
    }
}

/// Adds what does not fit in a glaze.
fn glaze(glaze: &Glaze, place: &str, refusals: &mut Vec<Refusal>) {
    if let Some(oxides) = &glaze.oxides_wt_pct {
        let sum: f64 = oxides.clone().each().iter().map(|(_, value)| **value).sum();
        let (place, limits) = (under(place, "oxides_wt_pct"), &bounds::OXIDE_SUM);
        if sum > limits.most {
            refusals.push(misfit(
                place,
                sum,
                limits.most,
                limits.unit,
                Misfit::OxidesMany,
            ));
        } else if sum < limits.least {
            refusals.push(misfit(
                place,
                sum,
                limits.least,
                limits.unit,
                Misfit::OxidesFew,
            ));
        }
    }
    let points = &glaze.viscosity_points;
    let at = under(place, "viscosity_points");
    if matches!(points.len(), 1 | 2) {
        refusals.push(contradiction(at.clone(), Contradiction::ViscosityPointsFew));
    }
    let mut temperatures: Vec<f64> = points.iter().map(|point| point.temperature_c).collect();
    order::ascending(&mut temperatures);
    let nearest = temperatures
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .fold(f64::INFINITY, f64::min);
    if nearest < bounds::VISCOSITY_APART_C {
        refusals.push(misfit(
            at,
            nearest,
            bounds::VISCOSITY_APART_C,
            " °C",
            Misfit::ViscosityFlat,
        ));
    }
}

/// Adds what does not fit in a firing.
fn firing(firing: &Firing, place: &str, refusals: &mut Vec<Refusal>) {
    if let Some(Schedule::Segments { segments }) = &firing.schedule {
        let peak = segments
            .iter()
            .map(|segment| segment.target_c)
            .fold(0.0, f64::max);
        if peak < bounds::PEAK_LEAST_C {
            refusals.push(contradiction(
                under(place, "schedule.segments"),
                Contradiction::NeverHot,
            ));
        }
    }
}

/// A slurry that no dip's law reaches any more.
fn dip(how: &How, sg: Option<f64>, glaze: &Glaze, place: &str, refusals: &mut Vec<Refusal>) {
    if let How::Dip { .. } = how {
        let value = sg.unwrap_or(glaze.usual_sg);
        let dry = glaze.dry_density.unwrap_or(slurry::DRY_DENSITY);
        // A tenth short of the law's own limit, where a little more solid is a lot more cake.
        let limit = 1.0 + 0.9 * DIP_SOLIDS_LIMIT * PACKING * (dry - 1.0);
        if value > limit {
            refusals.push(misfit(place.into(), value, limit, "", Misfit::SlurryThick));
        }
    }
}

/// Adds what does not fit in an entry whose references are there.
fn entry(cases: &mut Cases<'_>, entry: &Entry, place: &str, refusals: &mut Vec<Refusal>) {
    let studio = cases.studio();
    let Some(form) = cases
        .index()
        .find(List::Forms, &entry.form)
        .and_then(|at| studio.forms.get(at))
    else {
        return;
    };
    let tile = matches!(form.shape, Shape::Tile { .. });
    let profile = match cases.profile_of_entry(entry) {
        Ok(profile) => profile,
        Err(refusal) => {
            return refusals.push(Refusal {
                place: format!("{place}{}", refusal.place),
                ..refusal
            });
        }
    };
    let inside_mm = profile.rim_s_m() * 1e3;
    let wall_mm = (profile.foot_s_m() - profile.rim_s_m()) * 1e3;
    let index = cases.index();
    if tile && entry.diameter_mm.is_some() {
        refusals.push(contradiction(
            under(place, "diameter_mm"),
            Contradiction::TileWithDiameter,
        ));
    }
    if !tile && entry.slope_deg.is_some() {
        refusals.push(contradiction(
            under(place, "slope_deg"),
            Contradiction::PotWithSlope,
        ));
    }
    for (at, one) in entry.layers.iter().enumerate() {
        let glaze = index
            .find(List::Glazes, &one.glaze)
            .and_then(|at| studio.glazes.get(at));
        let zone_at = format!("{place}layers[{at}].");
        layer(one, glaze, tile, &zone_at, refusals);
        beyond_the_wall(one, wall_mm, inside_mm, &zone_at, refusals);
    }
    let lowest_mm = entry
        .layers
        .iter()
        .map(|layer| layer.zone.to_mm)
        .fold(0.0, f64::max);
    if let Some(bare) = entry.bare_below_mm
        && bare > wall_mm - lowest_mm + bounds::WALL_SLACK_MM
    {
        let (at, left) = (
            under(place, "bare_below_mm"),
            (wall_mm - lowest_mm).max(0.0),
        );
        refusals.push(misfit(at, bare, left, " mm", Misfit::BareLong));
    }
    if let Some(outcome) = &entry.outcome {
        let at = under(place, "outcome");
        if let Some(run) = outcome.run {
            word(run, &at, refusals);
        }
        if outcome.texture.is_some() && form.texture.is_none() {
            refusals.push(contradiction(
                under(&at, ".texture"),
                Contradiction::TextureWithoutTexture,
            ));
        }
        if outcome.edge == Edge::OntoGlaze && outcome.run.is_some() && !ends_on_glaze(&entry.layers)
        {
            refusals.push(contradiction(
                under(&at, ".edge"),
                Contradiction::EdgeWithoutGlaze,
            ));
        }
        let firing = entry
            .firing
            .as_ref()
            .and_then(|id| index.find(List::Firings, id));
        if firing
            .and_then(|at| studio.firings.get(at))
            .is_some_and(|firing| firing.state == FiringState::Planned)
        {
            refusals.push(contradiction(at, Contradiction::OutcomeBeforeFiring));
        }
    }
}

/// A zone that is longer than the wall has room, outside or inside.
fn beyond_the_wall(
    layer: &Layer,
    wall_mm: f64,
    inside_mm: f64,
    place: &str,
    refusals: &mut Vec<Refusal>,
) {
    let zone = &layer.zone;
    if zone.to_mm > wall_mm + bounds::WALL_SLACK_MM {
        refusals.push(misfit(
            under(place, "zone.to_mm"),
            zone.to_mm,
            wall_mm,
            " mm",
            Misfit::BelowTheFoot,
        ));
    }
    if zone.over_rim && zone.inside_mm > inside_mm + bounds::WALL_SLACK_MM {
        let at = under(place, "zone.inside_mm");
        refusals.push(misfit(
            at,
            zone.inside_mm,
            inside_mm,
            " mm",
            Misfit::BelowTheFloor,
        ));
    }
}

fn layer(
    layer: &Layer,
    glaze: Option<&Glaze>,
    tile: bool,
    place: &str,
    refusals: &mut Vec<Refusal>,
) {
    let zone = &layer.zone;
    let at = under(place, "zone");
    let length = zone.to_mm - zone.from_mm;
    if length <= 0.0 {
        let (from, to) = (zone.from_mm, zone.to_mm);
        refusals.push(backwards(at.clone(), from, to));
    } else if length < bounds::ZONE_LEAST_MM {
        refusals.push(misfit(
            at.clone(),
            length,
            bounds::ZONE_LEAST_MM,
            " mm",
            Misfit::ZoneShort,
        ));
    }
    if tile && zone.over_rim {
        refusals.push(contradiction(
            under(&at, ".over_rim"),
            Contradiction::TileWithRim,
        ));
    }
    if zone.over_rim && zone.from_mm > 0.0 {
        refusals.push(contradiction(
            under(&at, ".from_mm"),
            Contradiction::OverRimStartsLower,
        ));
    }
    if !zone.over_rim && zone.inside_mm > 0.0 {
        refusals.push(contradiction(
            under(&at, ".inside_mm"),
            Contradiction::InsideWithoutRim,
        ));
    }
    if let Some(glaze) = glaze {
        dip(&layer.how, layer.sg, glaze, &under(place, "sg"), refusals);
    }
}

/// A word needs the millimetres it stands for, but for the two that the bare wall below already says.
fn word(run: Run, place: &str, refusals: &mut Vec<Refusal>) {
    let Run::Word {
        word,
        least_mm,
        most_mm,
    } = run
    else {
        return;
    };
    let at = under(place, ".run");
    match (least_mm, most_mm) {
        (None, None) if !matches!(word, RunWord::RanOffTheEnd | RunWord::ReachedTheFoot) => {
            refusals.push(contradiction(at, Contradiction::WordWithoutInterval));
        }
        (Some(from), Some(to)) if to < from => {
            refusals.push(backwards(at, from, to));
        }
        (from, Some(to)) if to - from.unwrap_or(0.0) < bounds::WORD_WIDTH_MM => {
            let width = to - from.unwrap_or(0.0);
            refusals.push(misfit(
                at,
                width,
                bounds::WORD_WIDTH_MM,
                " mm",
                Misfit::IntervalNarrow,
            ));
        }
        _ => {}
    }
}

/// Whether the last layer's lower edge lies on a layer that went on before it.
fn ends_on_glaze(layers: &[Layer]) -> bool {
    let Some((top, below)) = layers.split_last() else {
        return false;
    };
    let edge = top.zone.to_mm;
    below
        .iter()
        .any(|layer| layer.zone.from_mm < edge && edge < layer.zone.to_mm)
}
