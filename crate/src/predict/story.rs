//! The film before, during and after the firing, for the drawing: at the median of everything unknown.
//!
//! Takes a studio, what its log has taught, and an entry; gives layers in m along the profile at some twenty moments of the schedule.

use super::middle::Middle;
use super::on_piece::OnPiece;
use super::outcome::{FilmEdge, FilmMoment, FilmPlace, FilmStory};
use crate::learn::posterior::Posterior;
use crate::physics::constants::{GAMMA, RHO, ZERO_CELSIUS_K};
use crate::physics::film::{self, Method, PRECURSOR_M, Solution};
use crate::physics::firing::{FiringClock, SEAL_K, SLOPE_DECADES_PER_100K};
use crate::physics::laydown::FIRED_PER_MELT;
use crate::physics::tile;
use crate::studio::case::Case;
use crate::studio::document::{Entry, Studio};
use crate::studio::error::Refusal;

/// Moments from sealing over to the end.
const MOMENTS: usize = 21;
/// Accuracy of the solve: its edge is then good to about 0.05 mm, which no drawing shows.
const ACCURACY: f64 = 3e-3;
/// Distance between two places of the raw coats, m.
const RAW_STEP_M: f64 = 1e-3;
/// Room temperature, °C.
const ROOM_C: f64 = 20.0;
/// The bead that an edge on bare clay holds back is drawn this many capillary lengths long.
const BEAD_IN_CAPILLARY_LENGTHS: f64 = 2.5;
/// From this run on the clock is set by it, m: less is the firing's own.
const LEAST_RUN_M: f64 = 0.5e-3;
/// The first clock at which the film is kept, over the firing's own, and how much later each next one is.
const FIRST: f64 = 0.004;
const COARSE: f64 = 1.15;
/// From here on, over the firing's own, the run is looked at, up to the last clock.
const FINE_FROM: f64 = 0.5;
const FINE: f64 = 1.02;
const LAST: f64 = 16.0;
/// It is followed further by this share of the run, so that it serves when more draws have moved the median.
const FURTHER: f64 = 0.05;
/// The film is followed this far past the foot, m.
const PAST_FOOT_M: f64 = 8e-3;
/// Rims are bends tighter than this, m.
const RIM_RADIUS_M: f64 = 10e-3;

/// The story of an entry: one film solved on the piece. The thicknesses are the medians of the mean over the piece; the clock is such that
/// the edge has run as far as the median of the longest drip, so that drawing and number agree. What an edge on bare clay holds back is drawn
/// as a bead.
///
/// # Errors
/// What [`Case::of`] refuses.
pub fn story(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    run_mm: f64,
) -> Result<FilmStory, Refusal> {
    let case = Case::of(studio, entry)?;
    Ok(story_of(&case, posterior, run_mm, &mut None))
}

/// A film that was followed for a story, and can serve another of the same case and posterior.
pub struct Followed {
    middle: Middle,
    /// Up to the firing's own end, as nothing runs.
    still: bool,
    /// The visible edge at each stop, m along the profile.
    edges_m: Vec<f64>,
    /// None where it cannot be followed.
    solution: Option<Solution>,
}

/// The same of a case. What was `followed` for another run of it is used again where the edge came as far; the story is the same either way.
pub fn story_of(
    case: &Case,
    posterior: &Posterior,
    run_mm: f64,
    followed: &mut Option<Followed>,
) -> FilmStory {
    let piece = OnPiece::of(case);
    let run_m = (run_mm * 1e-3).min(case.wall_length_m - case.lowest_m + PAST_FOOT_M);
    let still = run_m < LEAST_RUN_M;
    let goal = case.profile.rim_s_m() + case.lowest_m + run_m.max(LEAST_RUN_M);
    let serves = |known: &Followed| {
        let far = known.edges_m.last().is_some_and(|edge| *edge >= goal);
        known.still == still && (still || far || known.solution.is_none())
    };
    if !followed.as_ref().is_some_and(serves) {
        let middle = followed
            .take()
            .map_or_else(|| Middle::of(case, posterior), |known| known.middle);
        *followed = Some(follow(case, &piece, middle, still, goal));
    }
    let Some(Followed {
        middle,
        edges_m,
        solution: known,
        ..
    }) = followed
    else {
        return FilmStory::default();
    };
    let held_m2 = middle.retention_m2 / case.sin_slope;
    let solved = known.is_some();
    let laid = if solved {
        None
    } else {
        // Where the film cannot be followed to the end, it is drawn as it lies: `solved` says so.
        let (film_case, _) = film_case(case, &piece, middle);
        film::solve(&film_case, &[0.0], ACCURACY).ok()
    };
    let clock = FiringClock::new(&case.schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok();
    let mut story = FilmStory {
        raw: raw(case, &piece, &middle.raw_m),
        fired: Vec::with_capacity(MOMENTS),
        solved,
    };
    let Some(solution) = known.as_ref().or(laid.as_ref()) else {
        return story;
    };
    let stops = if solved {
        stops_up_to(edges_m, goal, still)
    } else {
        solution.stops.len()
    };
    let end = stops
        .checked_sub(1)
        .and_then(|last| solution.stops.get(last))
        .map_or(0.0, |at| at.phi_per_pa);
    let mut next = 0;
    for i in 0..MOMENTS {
        let wanted = (i as f64 / (MOMENTS - 1) as f64).powf(1.5) * end;
        // The stop nearest to the wanted share that is later than the last moment's.
        let near = |stop: &usize| (solution.stops[*stop].phi_per_pa - wanted).abs();
        let Some(stop) = (next..stops).min_by(|a, b| near(a).total_cmp(&near(b))) else {
            break;
        };
        next = stop + 1;
        let phi_share = if end > 0.0 {
            solution.stops[stop].phi_per_pa / end
        } else {
            1.0
        };
        let kelvin = clock
            .as_ref()
            .map_or(SEAL_K, |c| c.at_share(phi_share).temperature_k);
        story.fired.push(FilmMoment {
            temperature_c: kelvin - ZERO_CELSIUS_K,
            phi_share,
            ..moment(case, solution, stop, held_m2)
        });
    }
    story
}

/// How many stops there are to the one at which the edge is nearest to `goal_m`, m along the profile; where it stands `still`, to the last one before.
fn stops_up_to(edges_m: &[f64], goal_m: f64, still: bool) -> usize {
    let Some(at) = edges_m.iter().position(|edge| *edge >= goal_m) else {
        return edges_m.len();
    };
    // The one before, where that is nearer and leaves two.
    match at.checked_sub(1).and_then(|before| edges_m.get(before)) {
        Some(before) if at >= 2 && (still || goal_m - before < edges_m[at] - goal_m) => at,
        _ => at + 1,
    }
}

fn film_case<'a>(case: &Case, piece: &'a OnPiece, middle: &Middle) -> (film::Case<'a>, f64) {
    piece.film_case(
        case,
        &middle.melt_m,
        &middle.layer_log10_phi,
        &|lower, upper| middle.pair(lower, upper),
        middle.mixing,
    )
}

/// Follows the film until its edge has come a little further than `goal_m` along the profile, where it is `still` no further than to the firing's own end.
fn follow(case: &Case, piece: &OnPiece, middle: Middle, still: bool, goal_m: f64) -> Followed {
    let (film_case, phi) = film_case(case, piece, &middle);
    let held_m2 = middle.retention_m2 / case.sin_slope;
    let mut clocks = vec![0.0];
    let mut clock = phi * FIRST;
    while clock < phi * LAST {
        clocks.push(clock);
        clock *= if clock < phi * FINE_FROM {
            COARSE
        } else {
            FINE
        };
    }
    if still {
        clocks.retain(|clock| *clock < phi * 0.99);
        clocks.push(phi);
    }
    let further = goal_m + FURTHER * (goal_m - film_case.lowest_s_m());
    let mut edges_m = Vec::with_capacity(clocks.len());
    let mut before = f64::NEG_INFINITY;
    let method = Method::for_accuracy(ACCURACY);
    let solution = film::solve_while(&film_case, &clocks, &method, &mut |so_far| {
        let edge = so_far.visible_edge_for(so_far.stops.len() - 1, held_m2);
        before = edge.unwrap_or(before);
        edges_m.push(before);
        before < further
    });
    let solution = solution.ok();
    Followed {
        middle,
        still,
        edges_m,
        solution,
    }
}

/// Coats as they lie on the clay.
fn raw(case: &Case, piece: &OnPiece, raw_m: &[f64]) -> FilmMoment {
    let foot = case.profile.foot_s_m();
    let cells = (foot / RAW_STEP_M).ceil().max(1.0) as usize;
    let mut s_m: Vec<f64> = (0..=cells)
        .map(|c| foot * c as f64 / cells as f64)
        .collect();
    // Each edge is a step.
    for layer in &case.layers {
        let (from, to) = piece.zone(layer);
        s_m.extend([from - 1e-6, from + 1e-6, to - 1e-6, to + 1e-6]);
    }
    s_m.retain(|s| (0.0..=foot).contains(s));
    crate::order::ascending(&mut s_m);
    s_m.dedup();
    let mut layers_m = Vec::with_capacity(raw_m.len());
    for (layer, h) in case.layers.iter().zip(raw_m) {
        let (from, to) = piece.zone(layer);
        layers_m.push(
            s_m.iter()
                .map(|&s| if s > from && s < to { *h } else { 0.0 })
                .collect(),
        );
    }
    FilmMoment {
        temperature_c: ROOM_C,
        s_m,
        layers_m,
        ..FilmMoment::default()
    }
}

/// The film at one stop, fired thickness, down to the foot, with what is to be seen of it; temperature and share left open.
fn moment(case: &Case, solution: &Solution, stop: usize, held_m2: f64) -> FilmMoment {
    let at = &solution.stops[stop];
    let (foot, lowest) = (
        case.profile.foot_s_m(),
        case.profile.rim_s_m() + case.lowest_m,
    );
    let s_m = at.middles_m();
    let shown = s_m.partition_point(|s| *s < foot);
    // The foot itself is the last place.
    let mut layers_m = solution.shares(stop);
    for layer in &mut layers_m {
        for (share, h) in layer.iter_mut().zip(&at.h_m) {
            *share *= (h - PRECURSOR_M).max(0.0) * FIRED_PER_MELT;
        }
    }
    let edge = solution
        .visible_edge_for(stop, held_m2)
        .unwrap_or(lowest)
        .max(lowest);
    let mut moment = FilmMoment {
        edges: edges(case, solution, stop),
        rim_minimum: rim_minimum(case, at),
        past_foot_m3: solution.past_foot_m3(stop).unwrap_or(0.0),
        ..FilmMoment::default()
    };
    if edge < foot {
        hold_edge(case, &at.faces_m, &mut layers_m, edge);
    }
    for layer in &mut layers_m {
        layer.truncate(shown);
    }
    moment.s_m = s_m;
    moment.s_m.truncate(shown);
    moment.layers_m = layers_m;
    moment
}

/// Colour edges on the outside with their rolls.
fn edges(case: &Case, solution: &Solution, stop: usize) -> Vec<FilmEdge> {
    let rim = case.profile.rim_s_m();
    let mut edges = Vec::new();
    for edge in solution.colour_edges(stop) {
        if edge.laid_s_m > rim {
            edges.push(FilmEdge {
                layer: edge.layer,
                laid_s_m: edge.laid_s_m,
                now_s_m: edge.now_s_m,
                roll: solution.stops[stop]
                    .highest(edge.now_s_m - 10e-3, edge.now_s_m + 5e-3)
                    .map(fired_place),
            });
        }
    }
    edges
}

/// The thinnest place at the rim.
fn rim_minimum(case: &Case, at: &film::Moment) -> Option<FilmPlace> {
    if case.is_tile {
        return None;
    }
    let arcs = case.profile.convex_arcs(RIM_RADIUS_M).into_iter();
    arcs.filter_map(|(from, to)| at.thinnest(from - 1e-3, to + 1e-3))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(fired_place)
}

fn fired_place((melt_m, s_m): (f64, f64)) -> FilmPlace {
    FilmPlace {
        s_m,
        fired_m: melt_m * FIRED_PER_MELT,
    }
}

/// Draws back what has crept past the visible edge on bare clay into a bead behind it.
fn hold_edge(case: &Case, faces_m: &[f64], layers: &mut [Vec<f64>], edge: f64) {
    let past = faces_m
        .partition_point(|s| *s < edge)
        .min(faces_m.len() - 1);
    if past == 0 {
        return;
    }
    let thickness: f64 = layers.iter().map(|l| l[past - 1]).sum();
    let length = BEAD_IN_CAPILLARY_LENGTHS
        * tile::capillary_length_m(GAMMA, thickness.max(1e-5), RHO, case.sin_slope);
    // Area of each cell per radian (per width on a tile), and its share of a parabola over the bead.
    let mut area = Vec::with_capacity(faces_m.len());
    let mut shape = Vec::with_capacity(faces_m.len());
    let mut whole = 0.0;
    for cell in faces_m.windows(2) {
        let middle = 0.5 * (cell[0] + cell[1]);
        let r = if case.is_tile {
            1.0
        } else {
            case.profile.at(middle).r_m
        };
        let x = ((edge - middle) / length).clamp(0.0, 1.0);
        area.push(r * (cell[1] - cell[0]));
        shape.push(x * (1.0 - x));
        whole += x * (1.0 - x) * r * (cell[1] - cell[0]);
    }
    if whole <= 0.0 {
        return;
    }
    for layer in layers {
        let mut volume = 0.0;
        for c in past..layer.len() {
            volume += layer[c] * area[c];
            layer[c] = 0.0;
        }
        for (h, shape) in layer.iter_mut().zip(&shape) {
            *h += volume * shape / whole;
        }
    }
}
