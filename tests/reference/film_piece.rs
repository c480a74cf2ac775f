//! Profiles against closed forms of solids of revolution (any handbook: sphere, torus, cylinder, cone frustum).

use glazefall::physics::piece::{self, Part, PieceError, Profile, Wall};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::f64::consts::PI;

fn wall(mm: f64) -> Wall {
    Wall {
        thickness_m: mm * 1e-3,
        rim_radius_m: None,
    }
}

fn forms() -> Vec<(&'static str, Profile)> {
    vec![
        (
            "jar",
            piece::jar(0.15, 0.09, 0.125, 0.07, wall(5.0)).unwrap(),
        ),
        (
            "jar, hardly swelling",
            piece::jar(0.15, 0.10, 0.104, 0.09, wall(5.0)).unwrap(),
        ),
        ("bowl", piece::bowl(0.075, 0.16, 0.065, wall(5.0)).unwrap()),
        ("mug", piece::mug(0.095, 0.085, 0.075, wall(4.0)).unwrap()),
        (
            "vase",
            piece::vase(0.22, 0.08, 0.045, 0.12, 0.075, wall(5.0)).unwrap(),
        ),
        ("plate", piece::plate(0.028, 0.26, 0.15, wall(6.0)).unwrap()),
        (
            "points",
            piece::turned_from_points(
                &[
                    [0.04, 0.14],
                    [0.035, 0.125],
                    [0.05, 0.09],
                    [0.052, 0.06],
                    [0.04, 0.025],
                    [0.037, 0.0],
                ],
                wall(5.0),
            )
            .unwrap(),
        ),
    ]
}

#[test]
fn a_sphere_has_its_area_its_places_and_equal_curvatures() {
    let radius = 0.05;
    let sphere = piece::from_parts(
        0.0,
        &[Part::Arc {
            radius_m: radius,
            from_rad: 0.0,
            to_rad: -PI,
        }],
        true,
        None,
    )
    .unwrap();
    assert!((sphere.length_m() - PI * radius).abs() < 1e-15);
    assert_eq!(sphere.smoothed_m(), 0.0);
    // Simpson's rule with a step of 0.25 mm: 1e-9 relative.
    let area = sphere.area_m2(0.0, sphere.length_m());
    assert!(
        (area / (4.0 * PI * radius * radius) - 1.0).abs() < 1e-9,
        "{area}"
    );
    for (s, p) in sphere.sample(1e-3) {
        let theta = s / radius;
        // Gauss quadrature to 1e-13 over the whole arc; curvature divides by r, so a little more near the poles.
        assert!((p.r_m - radius * theta.sin()).abs() < 1e-13, "{s}");
        assert!((p.z_m - radius * (1.0 + theta.cos())).abs() < 1e-13, "{s}");
        assert!(
            (p.kappa1_per_m * radius - 1.0).abs() < 1e-12
                && (p.kappa2_per_m * radius - 1.0).abs() < 1e-8,
            "{s}: {p:?}"
        );
    }
}

#[test]
fn a_torus_and_a_frustum_have_their_areas() {
    let (ring, tube) = (0.05, 0.01);
    let torus = piece::from_parts(
        ring,
        &[Part::Arc {
            radius_m: tube,
            from_rad: 0.0,
            to_rad: -2.0 * PI,
        }],
        true,
        None,
    );
    let torus = torus.unwrap();
    assert!(
        (torus.area_m2(0.0, torus.length_m()) / (4.0 * PI * PI * (ring) * tube) - 1.0).abs() < 1e-9
    );
    let (slant, lean) = (0.1, -PI / 3.0);
    let frustum = piece::from_parts(
        0.03,
        &[Part::Line {
            length_m: slant,
            psi_rad: lean,
        }],
        true,
        None,
    )
    .unwrap();
    let end = 0.03 + slant * lean.cos();
    assert!((frustum.area_m2(0.0, slant) / (PI * (0.03 + end) * slant) - 1.0).abs() < 1e-12);
}

#[test]
fn a_joint_of_line_and_arc_is_spread_over_one_millimetre_and_keeps_every_angle() {
    // Up the inside wall, over a rim of 2.5 mm, down the outside: angle after the rim exactly −90°.
    let rim = piece::from_parts(
        0.04,
        &[
            Part::Line {
                length_m: 0.05,
                psi_rad: PI / 2.0,
            },
            Part::Arc {
                radius_m: 2.5e-3,
                from_rad: PI / 2.0,
                to_rad: -PI / 2.0,
            },
            Part::Line {
                length_m: 0.06,
                psi_rad: -PI / 2.0,
            },
        ],
        true,
        None,
    )
    .unwrap();
    assert_eq!(rim.smoothed_m(), 1e-3);
    let arc = PI * 2.5e-3;
    assert!((rim.length_m() - 0.11 - arc).abs() < 1e-15);
    assert!((rim.at(0.05 + arc + 1e-3).psi_rad + PI / 2.0).abs() < 1e-12);
    // Half the jump at the joint, none and all of it half a millimetre to either side.
    for (s, kappa) in [
        (0.0495, 0.0),
        (0.05, 200.0),
        (0.0505, 400.0),
        (0.05 + 0.5 * arc, 400.0),
        (0.05 + arc, 200.0),
    ] {
        assert!(
            (rim.at(s).kappa1_per_m - kappa).abs() < 1e-6,
            "{s}: {}",
            rim.at(s).kappa1_per_m
        );
    }
    // The crest by symmetry; the rim's width gains about w²/(24 ρ) on each side: 17 µm.
    assert!((rim.rim_s_m() - 0.05 - 0.5 * arc).abs() < 1e-9);
    assert!((rim.at(rim.length_m()).r_m - 0.045).abs() < 50e-6);
    let arcs = rim.convex_arcs(10e-3);
    assert_eq!(arcs.len(), 1);
    assert!(
        (arcs[0].0 - 0.04975).abs() < 1e-6 && (arcs[0].1 - 0.05025 - arc).abs() < 1e-6,
        "{arcs:?}"
    );
}

#[test]
fn a_corner_is_rounded_and_keeps_the_arc_length() {
    let l = piece::from_parts(
        0.05,
        &[
            Part::Line {
                length_m: 0.03,
                psi_rad: 0.0,
            },
            Part::Line {
                length_m: 0.04,
                psi_rad: -PI / 2.0,
            },
        ],
        true,
        None,
    )
    .unwrap();
    assert!((l.length_m() - 0.07).abs() < 1e-12);
    assert!(l.smoothed_m() > 1e-3);
    assert!((l.at(0.07).psi_rad + PI / 2.0).abs() < 1e-12);
}

#[test]
fn every_form_has_the_measures_it_was_given() {
    // What spreading the curvature moves beyond its leading order w²/(24 ρ), which the families put back.
    let expected = [
        (0.15, 0.125, 0.07),
        (0.15, 0.104, 0.09),
        (0.075, 0.16, 0.065),
        (0.095, 0.085, 0.075),
        (0.22, 0.12, 0.075),
        (0.028, 0.26, 0.15),
    ];
    for ((name, form), (height, widest, foot)) in forms().iter().zip(expected) {
        let places = form.sample(0.1e-3);
        let top = places.iter().map(|(_, p)| p.z_m).fold(0.0, f64::max);
        let wide = places.iter().map(|(_, p)| p.r_m).fold(0.0, f64::max);
        assert!((top - height).abs() < 60e-6, "{name}: height {top}");
        assert!(
            (2.0 * wide - widest).abs() < 100e-6,
            "{name}: widest {}",
            2.0 * wide
        );
        let end = form.at(form.foot_s_m());
        assert!(
            (2.0 * end.r_m - foot).abs() < 100e-6 && end.z_m.abs() < 1e-12,
            "{name}: foot {end:?}"
        );
        assert!(
            (form.at(form.rim_s_m()).z_m - top).abs() < 1e-6,
            "{name}: the crest is the top"
        );
        let start = form.at(0.0);
        assert!(
            start.r_m == 0.0 && start.psi_rad == 0.0 && start.z_m > 0.0,
            "{name}: {start:?}"
        );
    }
}

#[test]
fn every_form_is_smooth() {
    for (name, form) in forms() {
        let step = 20e-6;
        let places = form.sample(step);
        for pair in places.windows(2) {
            let ((a, p), (b, q)) = (pair[0], pair[1]);
            let ds = b - a;
            // Place, angle and curvature belong together, as far as the trapezium rule on steps of 20 µm shows.
            assert!(
                (q.r_m - p.r_m - 0.5 * ds * (p.psi_rad.cos() + q.psi_rad.cos())).abs() < 1e-9,
                "{name} at {a}"
            );
            assert!(
                (q.z_m - p.z_m - 0.5 * ds * (p.psi_rad.sin() + q.psi_rad.sin())).abs() < 1e-9,
                "{name} at {a}: {p:?} {q:?}"
            );
            assert!(
                (q.psi_rad - p.psi_rad + 0.5 * ds * (p.kappa1_per_m + q.kappa1_per_m)).abs() < 2e-4,
                "{name} at {a}"
            );
            // No jump of curvature: the steepest ramp is 2 × 2000/m over a millimetre.
            assert!(
                (q.kappa1_per_m - p.kappa1_per_m).abs() < 4e6 * ds + 1e-9,
                "{name} at {a}"
            );
            assert!(
                p.kappa1_per_m.abs() <= 2000.0 * (1.0 + 1e-6),
                "{name} at {a}"
            );
        }
    }
}

#[test]
fn the_wall_keeps_its_thickness() {
    for (name, form) in forms() {
        let thickness = if name == "mug" {
            4e-3
        } else if name == "plate" {
            6e-3
        } else {
            5e-3
        };
        let (rim, foot) = (form.rim_s_m(), form.foot_s_m());
        let inside: Vec<[f64; 2]> = form
            .sample_between(0.0, rim, 0.2e-3)
            .iter()
            .map(|(_, p)| [p.r_m, p.z_m])
            .collect();
        for (s, p) in form.sample_between(rim + 9e-3, foot - 12e-3, 1e-3) {
            let gap = inside
                .iter()
                .map(|q| (q[0] - p.r_m).hypot(q[1] - p.z_m))
                .fold(f64::INFINITY, f64::min);
            // Up to 1.3 times by design near the foot, more in the corner of floor and wall.
            assert!(
                gap > 0.97 * thickness && gap < 2.6 * thickness,
                "{name} at {s}: {gap}"
            );
        }
    }
}

#[test]
fn the_clay_of_a_straight_mug_has_the_volume_of_its_cylinders() {
    let mug = piece::mug(
        0.10,
        0.08,
        0.08,
        Wall {
            thickness_m: 5e-3,
            rim_radius_m: None,
        },
    )
    .unwrap();
    let clay = mug.section(0.1e-3).volume_m3();
    // Tube of 5 mm (6.5 mm at the foot: on average 1/4 of 0.3 more) and a floor; rounding, ring and corner within 5 %.
    let (outer, floor) = (0.04, 6e-3);
    let inner = outer - 5e-3 * 1.075;
    let tube = PI * (outer * outer - inner * inner) * 0.10;
    let base = PI * inner * inner * floor;
    assert!(
        (clay / (tube + base) - 1.0).abs() < 0.06,
        "{}",
        clay / (tube + base)
    );
    // Its outside from below the lip is a plain cylinder.
    let (rim, foot) = (mug.rim_s_m() + 10e-3, mug.foot_s_m());
    assert!((mug.area_m2(rim, foot) / (2.0 * PI * 0.04 * (foot - rim)) - 1.0).abs() < 1e-3);
}

#[test]
fn a_tile_is_a_slope() {
    let tile = piece::tile(0.12, 60f64.to_radians(), 6e-3).unwrap();
    assert!(tile.is_tile() && tile.rim_s_m() == 0.0 && tile.foot_s_m() == 0.12);
    assert!((tile.at(0.0).z_m - 0.12 * 60f64.to_radians().sin()).abs() < 1e-15);
    assert!(tile.at(0.12).z_m.abs() < 1e-15);
    assert!((tile.section(1e-3).area_m2() - 0.12 * 6e-3).abs() < 1e-15);
}

#[test]
fn a_profile_goes_on_past_its_foot_where_asked() {
    let jar = piece::jar(0.15, 0.09, 0.125, 0.07, wall(5.0)).unwrap();
    let longer = jar.continued(0.06);
    assert!((longer.length_m() - jar.length_m() - 0.06).abs() < 1e-12);
    assert_eq!(longer.foot_s_m(), jar.foot_s_m());
    assert!((longer.at(longer.length_m()).z_m + 0.06).abs() < 1e-9);
    assert_eq!(longer.at(0.2), jar.at(0.2));
}

/// Measures from a salt cellar's to a garden jar's, in every proportion: a piece or a refusal, and a piece has a foot ring narrower than its foot.
#[test]
fn measures_of_any_proportion_make_a_piece_or_a_refusal() {
    let mut rng = ChaCha8Rng::seed_from_u64(23);
    let (mut made, mut tried) = ([0; 5], [0; 5]);
    for at in 0..4000 {
        let mut mm =
            |least: f64, most: f64| 1e-3 * least * (most / least).powf(rng.random_range(0.0..1.0));
        let (height, rim, foot) = (mm(12.0, 600.0), mm(10.0, 600.0), mm(10.0, 300.0));
        let (belly, neck) = (rim.max(foot) * mm(1000.0, 1600.0), rim * mm(500.0, 1000.0));
        let wall = Wall {
            thickness_m: mm(1.0, 20.0),
            rim_radius_m: (at % 2 == 0).then(|| mm(0.5, 15.0)),
        };
        let form = match at % 5 {
            0 => piece::jar(height, rim, belly, foot, wall),
            1 => piece::bowl(height, rim, foot, wall),
            2 => piece::mug(height, rim, foot, wall),
            3 => piece::vase(height, rim, neck, belly, foot, wall),
            _ => piece::plate(height, rim, foot, wall),
        };
        tried[at % 5] += 1;
        let Ok(form) = form else { continue };
        made[at % 5] += 1;
        let section = form.section(1e-3);
        assert!(section.volume_m3() > 0.0, "{at}");
        assert!(form.length_m().is_finite() && form.rim_s_m() < form.foot_s_m());
    }
    // Most proportions fit no family; enough of each do.
    assert!(made.iter().all(|&n| n > 40), "{made:?} of {tried:?}");
}

/// A foot of 15 mm is narrower than three walls, and a rim may be thicker than the neck is high.
#[test]
fn small_feet_and_thick_rims_are_pieces_or_refused() {
    let bottle = piece::vase(0.12, 0.03, 0.02, 0.05, 0.015, wall(2.0)).unwrap();
    assert!((2.0 * bottle.at(bottle.foot_s_m()).r_m - 0.015).abs() < 0.1e-3);
    let thick = Wall {
        thickness_m: 5e-3,
        rim_radius_m: Some(14e-3),
    };
    for form in [
        piece::jar(0.02, 0.2, 0.22, 0.1, thick),
        piece::vase(0.03, 0.2, 0.15, 0.22, 0.1, thick),
    ] {
        assert!(
            matches!(
                form,
                Err(PieceError::Measure {
                    what: "the rim's radius",
                    ..
                })
            ),
            "{form:?}"
        );
    }
}

#[test]
fn measures_that_do_not_fit_are_refused_with_the_measure() {
    assert!(matches!(
        piece::jar(0.15, 0.14, 0.10, 0.07, wall(5.0)),
        Err(PieceError::Measure {
            what: "the belly's diameter",
            ..
        })
    ));
    assert!(matches!(
        piece::jar(0.15, 0.09, 0.12, 0.07, wall(25.0)),
        Err(PieceError::Measure {
            what: "the wall's thickness",
            ..
        })
    ));
    assert!(matches!(
        piece::tile(0.1, 2.0, 6e-3),
        Err(PieceError::Angle { .. })
    ));
    assert!(matches!(
        piece::turned_from_points(&[[0.04, 0.1], [0.04, 0.0]], wall(5.0)),
        Err(PieceError::Count { .. })
    ));
    assert!(matches!(
        piece::jar(f64::NAN, 0.09, 0.12, 0.07, wall(5.0)),
        Err(PieceError::Measure { .. })
    ));
    let folded = [
        [0.05, 0.10],
        [0.05, 0.052],
        [0.03, 0.0505],
        [0.05, 0.05],
        [0.05, 0.0],
    ];
    assert!(piece::turned_from_points(&folded, wall(5.0)).is_err());
    let tight = piece::from_parts(
        0.05,
        &[Part::Arc {
            radius_m: 0.3e-3,
            from_rad: 0.0,
            to_rad: -1.0,
        }],
        true,
        None,
    );
    assert!(tight.unwrap_err().to_string().contains("0.5"));
}
