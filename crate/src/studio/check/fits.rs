//! What must fit together: measures of one form, glaze and wall, a word and its interval.
//!
//! Takes a studio whose numbers and references are within their bounds; adds what does not fit.

use crate::digits;
use crate::order;
use crate::physics::laydown::{DIP_SOLIDS_LIMIT, PACKING};
use crate::physics::slurry;
use crate::studio::any::AnyRecord;
use crate::studio::bounds;
use crate::studio::case::Cases;
use crate::studio::document::{
    Edge, Entry, Firing, FiringState, Glaze, How, Layer, List, Run, RunWord, Schedule, Settings,
    Shape,
};
use crate::studio::error::{Cause, Contradiction, Misfit, Refusal};
use crate::studio::place::Place;
use crate::studio::walk::Word;

mod shapes;

/// What does not fit, found so far; places start with `place`.
pub struct Found<'a> {
    place: String,
    refusals: &'a mut Vec<Refusal>,
}

impl Found<'_> {
    /// One more cause at a key.
    #[inline(never)]
    fn add(&mut self, key: &str, cause: Cause) {
        let mut place = self.place.clone();
        place.push_str(key);
        self.refusals.push(Refusal::new(place, cause));
    }

    /// Two things that contradict each other, where they do.
    fn contradiction(&mut self, wrong: bool, key: &str, which: Contradiction) {
        if wrong {
            self.add(key, Cause::Contradiction(which));
        }
    }

    /// A measure that does not fit another one, where it does not.
    #[inline(never)]
    fn misfit(
        &mut self,
        wrong: bool,
        key: &str,
        (value, limit): (f64, f64),
        unit: &'static str,
        misfit: Misfit,
    ) {
        if wrong {
            self.add(
                key,
                Cause::DoesNotFit {
                    value,
                    limit,
                    unit,
                    misfit,
                },
            );
        }
    }

    /// A stretch in mm that ends before it starts.
    fn backwards(&mut self, key: &str, from: f64, to: f64) {
        let unit = " mm";
        self.add(key, Cause::EndsBeforeItStarts { from, to, unit });
    }
}

/// Adds what does not fit in a whole studio, up to `most`.
pub fn studio(cases: &mut Cases<'_>, most: usize, refusals: &mut Vec<Refusal>) {
    let studio = cases.studio();
    settings(&studio.settings, refusals);
    for list in List::ALL {
        // Pictures and people fit everywhere.
        if matches!(list, List::Photos | List::Hands | List::Bodies) {
            continue;
        }
        let mut at = 0;
        while refusals.len() < most
            && let Some(record) = AnyRecord::copy_of(studio, *list, at)
        {
            let mut place = Place::of(*list, at).with("");
            place.push('.');
            one(cases, &record, place, refusals);
            // Drawing up a profile takes a third of a millisecond, so a file full of sizes would never end.
            if cases.too_many_sizes() {
                let place = Place::of(*list, at).with("diameter_mm");
                let cause = Cause::Contradiction(Contradiction::TooManySizes);
                return refusals.push(Refusal::new(place, cause));
            }
            at += 1;
        }
    }
}

/// Adds what does not fit in one record; places start with `place`.
pub fn one(cases: &mut Cases<'_>, record: &AnyRecord, place: String, refusals: &mut Vec<Refusal>) {
    let mut found = Found { place, refusals };
    match record {
        AnyRecord::Glaze(record) => glaze(record, &mut found),
        AnyRecord::Firing(record) => firing(record, &mut found),
        AnyRecord::Form(record) => shapes::form(cases, record, &mut found),
        AnyRecord::Entry(record) => entry(cases, record, &mut found),
        AnyRecord::WeighIn(record) => {
            let at = cases.index().find(List::Glazes, &record.glaze);
            dip(
                &record.how,
                record.sg,
                at.and_then(|at| cases.studio().glazes.get(at)),
                &mut found,
            );
        }
        AnyRecord::Hand(_) | AnyRecord::Body(_) | AnyRecord::Photo(_) => {}
    }
}

/// Adds what does not fit in the settings.
pub fn settings(settings: &Settings, refusals: &mut Vec<Refusal>) {
    let (holds, runs_off) = (settings.holds_up_to, settings.runs_off_from);
    let place = "settings.".into();
    Found { place, refusals }.misfit(
        runs_off <= holds,
        "runs_off_from",
        (runs_off, holds),
        "",
        Misfit::VerdictLines,
    );
}

fn glaze(glaze: &Glaze, found: &mut Found<'_>) {
    if let Some(oxides) = &glaze.oxides_wt_pct {
        let mut sum = 0.0;
        for (_, value) in &oxides.clone().each() {
            sum += **value;
        }
        let limits = &bounds::OXIDE_SUM;
        for (wrong, limit, misfit) in [
            (sum > limits.most, limits.most, Misfit::OxidesMany),
            (sum < limits.least, limits.least, Misfit::OxidesFew),
        ] {
            found.misfit(wrong, "oxides_wt_pct", (sum, limit), limits.unit, misfit);
        }
    }
    let points = &glaze.viscosity_points;
    found.contradiction(
        matches!(points.len(), 1 | 2),
        "viscosity_points",
        Contradiction::ViscosityPointsFew,
    );
    let mut temperatures: Vec<f64> = points.iter().map(|point| point.temperature_c).collect();
    order::ascending(&mut temperatures);
    let mut nearest = f64::INFINITY;
    for pair in temperatures.windows(2) {
        nearest = nearest.min(pair[1] - pair[0]);
    }
    found.misfit(
        nearest < bounds::VISCOSITY_APART_C,
        "viscosity_points",
        (nearest, bounds::VISCOSITY_APART_C),
        " °C",
        Misfit::ViscosityFlat,
    );
}

fn firing(firing: &Firing, found: &mut Found<'_>) {
    if let Some(Schedule::Segments { segments }) = &firing.schedule {
        let mut peak = 0.0_f64;
        for segment in segments {
            peak = peak.max(segment.target_c);
        }
        found.contradiction(
            peak < bounds::PEAK_LEAST_C,
            "schedule.segments",
            Contradiction::NeverHot,
        );
    }
}

/// A slurry that no dip's law reaches any more.
fn dip(how: &How, sg: Option<f64>, glaze: Option<&Glaze>, found: &mut Found<'_>) {
    if let (How::Dip { .. }, Some(glaze)) = (how, glaze) {
        let value = sg.unwrap_or(glaze.usual_sg);
        let dry = glaze.dry_density.unwrap_or(slurry::DRY_DENSITY);
        // A tenth short of the law's own limit, where a little more solid is a lot more cake.
        let limit = 1.0 + 0.9 * DIP_SOLIDS_LIMIT * PACKING * (dry - 1.0);
        found.misfit(value > limit, "sg", (value, limit), "", Misfit::SlurryThick);
    }
}

/// Adds what does not fit in an entry whose references are there.
fn entry(cases: &mut Cases<'_>, entry: &Entry, found: &mut Found<'_>) {
    let studio = cases.studio();
    let form = cases.index().find(List::Forms, &entry.form);
    let Some(form) = form.and_then(|at| studio.forms.get(at)) else {
        return;
    };
    let tile = matches!(form.shape, Shape::Tile { .. });
    let profile = match cases.profile_of_entry(entry) {
        Ok(profile) => profile,
        Err(refusal) => return found.add(&refusal.place, *refusal.cause),
    };
    let inside_mm = profile.rim_s_m() * 1e3;
    let wall_mm = (profile.foot_s_m() - profile.rim_s_m()) * 1e3;
    let index = cases.index();
    found.contradiction(
        tile && entry.diameter_mm.is_some(),
        "diameter_mm",
        Contradiction::TileWithDiameter,
    );
    found.contradiction(
        !tile && entry.slope_deg.is_some(),
        "slope_deg",
        Contradiction::PotWithSlope,
    );
    let mut lowest_mm = 0.0_f64;
    let before = found.place.len();
    for (at, one) in entry.layers.iter().enumerate() {
        found.place.push_str("layers[");
        digits::put(&mut found.place, at as f64);
        found.place.push_str("].");
        let glaze = index.find(List::Glazes, &one.glaze);
        let glaze = glaze.and_then(|at| studio.glazes.get(at));
        layer(one, tile, found);
        dip(&one.how, one.sg, glaze, found);
        beyond_the_wall(one, wall_mm, inside_mm, found);
        lowest_mm = lowest_mm.max(one.zone.to_mm);
        found.place.truncate(before);
    }
    if let Some(bare) = entry.bare_below_mm {
        let left = wall_mm - lowest_mm;
        found.misfit(
            bare > left + bounds::WALL_SLACK_MM,
            "bare_below_mm",
            (bare, left.max(0.0)),
            " mm",
            Misfit::BareLong,
        );
    }
    let Some(outcome) = &entry.outcome else {
        return;
    };
    if let Some(run) = outcome.run {
        word(run, found);
    }
    found.contradiction(
        outcome.texture.is_some() && form.texture.is_none(),
        "outcome.texture",
        Contradiction::TextureWithoutTexture,
    );
    found.contradiction(
        outcome.edge == Edge::OntoGlaze && outcome.run.is_some() && !ends_on_glaze(&entry.layers),
        "outcome.edge",
        Contradiction::EdgeWithoutGlaze,
    );
    let firing = entry
        .firing
        .as_ref()
        .and_then(|id| index.find(List::Firings, id))
        .and_then(|at| studio.firings.get(at));
    found.contradiction(
        firing.is_some_and(|firing| firing.state == FiringState::Planned),
        "outcome",
        Contradiction::OutcomeBeforeFiring,
    );
}

/// A zone that is longer than the wall has room, outside or inside.
fn beyond_the_wall(layer: &Layer, wall_mm: f64, inside_mm: f64, found: &mut Found<'_>) {
    let zone = &layer.zone;
    found.misfit(
        zone.to_mm > wall_mm + bounds::WALL_SLACK_MM,
        "zone.to_mm",
        (zone.to_mm, wall_mm),
        " mm",
        Misfit::BelowTheFoot,
    );
    found.misfit(
        zone.over_rim && zone.inside_mm > inside_mm + bounds::WALL_SLACK_MM,
        "zone.inside_mm",
        (zone.inside_mm, inside_mm),
        " mm",
        Misfit::BelowTheFloor,
    );
}

fn layer(layer: &Layer, tile: bool, found: &mut Found<'_>) {
    let zone = &layer.zone;
    let length = zone.to_mm - zone.from_mm;
    if length <= 0.0 {
        found.backwards("zone", zone.from_mm, zone.to_mm);
    } else {
        found.misfit(
            length < bounds::ZONE_LEAST_MM - 1e-9,
            "zone",
            (length, bounds::ZONE_LEAST_MM),
            " mm",
            Misfit::ZoneShort,
        );
    }
    found.contradiction(
        tile && zone.over_rim,
        "zone.over_rim",
        Contradiction::TileWithRim,
    );
    found.contradiction(
        zone.over_rim && zone.from_mm > 0.0,
        "zone.from_mm",
        Contradiction::OverRimStartsLower,
    );
    found.contradiction(
        !zone.over_rim && zone.inside_mm > 0.0,
        "zone.inside_mm",
        Contradiction::InsideWithoutRim,
    );
}

/// A word needs the millimetres it stands for, but for the two that the bare wall below already says.
fn word(run: Run, found: &mut Found<'_>) {
    let Run::Word {
        word,
        least_mm,
        most_mm,
    } = run
    else {
        return;
    };
    let least = least_mm.unwrap_or(0.0);
    match most_mm {
        None => found.contradiction(
            least_mm.is_none() && !matches!(word, RunWord::RanOffTheEnd | RunWord::ReachedTheFoot),
            "outcome.run",
            Contradiction::WordWithoutInterval,
        ),
        Some(most) if most < least => found.backwards("outcome.run", least, most),
        Some(most) => found.misfit(
            most - least < bounds::WORD_WIDTH_MM,
            "outcome.run",
            (most - least, bounds::WORD_WIDTH_MM),
            " mm",
            Misfit::IntervalNarrow,
        ),
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
