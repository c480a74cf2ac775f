//! The words of what does not fit and of what is at odds with something else.
//!
//! Takes which; gives what is wrong and what to do.

use super::super::{Contradiction, Misfit};

/// Of what does not fit, `{0}` and so on for its values.
pub fn misfit_words(misfit: Misfit) -> (&'static str, &'static str) {
    match misfit {
        Misfit::BelowTheFoot => (
            "This reaches {0} down, and the wall ends at {1}.",
            "Let it end higher; measure along the wall, down from the rim or the upper edge.",
        ),
        Misfit::BelowTheFloor => (
            "This goes {0} down the inside, and the inside is {1} deep along the wall.",
            "Let it end higher.",
        ),
        Misfit::ZoneShort => (
            "This stretch of glaze is {0} long; the shortest that runs as a film is {1}.",
            "Measure its two ends again.",
        ),
        Misfit::IntervalNarrow => (
            "From least to most there are {0}; no eye tells less than {1} apart.",
            "Say a wider interval, or use the ruler.",
        ),
        Misfit::BellyNarrow => (
            "The largest diameter is {0}, less than rim or foot with {1}.",
            "Give the diameter where the form is widest.",
        ),
        Misfit::NeckWide => (
            "The neck is {0} wide, more than rim or belly with {1}.",
            "Give the narrowest diameter.",
        ),
        Misfit::FootWide => (
            "The foot is {0} wide, more than the rim with {1}.",
            "Measure foot and rim again.",
        ),
        Misfit::TextureSteep => (
            "The texture is {0} deep; with this repeat at most {1} can be glazed.",
            "Measure depth and repeat again.",
        ),
        Misfit::BareLong => (
            "Bare wall of {0} below the glaze is more than the wall has there, {1}.",
            "Measure from the lowest glaze line to the foot.",
        ),
        Misfit::SlurryThick => (
            "A slurry of specific gravity {0} is too thick to dip into; with this glaze's dry density at most {1}.",
            "Thin it, or brush it on.",
        ),
        Misfit::OxidesMany => (
            "The oxides add up to {0}, more than {1}.",
            "Give them in weight percent.",
        ),
        Misfit::OxidesFew => (
            "The oxides add up to {0}, less than {1}.",
            "Give all of them, in weight percent.",
        ),
        Misfit::ViscosityFlat => (
            "Two viscosities are given only {0} apart; they need at least {1}.",
            "Give points further apart, each stiffer as it gets cooler.",
        ),
        Misfit::VerdictLines => (
            "\"Will run off\" starts at a chance of {0}, not above the {1} up to which a pot holds.",
            "Set the second line above the first.",
        ),
        Misfit::PhotoBytes => (
            "The photograph takes {0}; up to {1} are kept.",
            "Scale it down.",
        ),
    }
}

/// Of what is at odds.
pub fn contradiction_words(which: Contradiction) -> (&'static str, &'static str) {
    match which {
        Contradiction::OverRimStartsLower => (
            "The glaze goes over the rim, and yet it starts below it.",
            "Let it start at 0, or not go over the rim.",
        ),
        Contradiction::InsideWithoutRim => (
            "The glaze goes down the inside without going over the rim.",
            "Say that it goes over the rim.",
        ),
        Contradiction::TileWithRim => ("A tile has no rim to go over.", "Take \"over_rim\" out."),
        Contradiction::TileWithDiameter => ("A tile has no diameter.", "Take \"diameter_mm\" out."),
        Contradiction::RunTwice => (
            "A run stands here by ruler and by word at once.",
            "Keep one of the two.",
        ),
        Contradiction::PotWithSlope => ("Only a tile is leaned.", "Take \"slope_deg\" out."),
        Contradiction::WordWithoutInterval => (
            "A word stands here without the millimetres that are meant by it.",
            "Say at least how much, at most how much, or both.",
        ),
        Contradiction::EdgeWithoutGlaze => (
            "The run was read where glaze ends on glaze, and no layer ends on another here.",
            "Choose the edge onto bare clay, or add the layer below.",
        ),
        Contradiction::TextureWithoutTexture => (
            "A texture was judged on a form that has none.",
            "Add the texture to the form, or take the judgement out.",
        ),
        Contradiction::ViscosityPointsFew => (
            "One or two viscosities do not make a curve.",
            "Give three or more, or none.",
        ),
        Contradiction::OutcomeBeforeFiring => (
            "Something was read from a firing that is still to come.",
            "Mark the firing as fired.",
        ),
        Contradiction::TooManySizes => (
            "More different sizes of piece stand here than can be drawn up, over four thousand.",
            "Round diameters to whole centimetres.",
        ),
        Contradiction::NeverHot => (
            "This schedule never gets hot enough for a glaze to melt.",
            "Check the highest target; it is in °C.",
        ),
    }
}
