//! What has no formula to be checked by: numbers that were judged, each as the model states it with its spread, and the ends of each domain.
//!
//! The numbers are the model's own (docstrings say which are practice, which judged); a change of one is to be a change of mind.

use glazefall::physics::composition::{self, Oxides};
use glazefall::physics::constants::{BUBBLES, GAMMA, RHO_FIRED, RHO_MELT};
use glazefall::physics::firing::*;
use glazefall::physics::laydown::*;
use glazefall::physics::melt::{
    MIXING_MEAN, PAIR_MEAN_DECADES, PAIR_ORDER_SD_DECADES, PAIR_SD_DECADES,
};
use glazefall::physics::slurry::{self, PintKind, SG_SIGMA, SG_SIGMA_UNMEASURED};
use glazefall::physics::tile;
use glazefall_tests::assert_near;

/// Medians and natural-log sigmas of laydown and thickness, priors of firing, melt and edge.
#[test]
fn judged_numbers_are_those_of_the_model() {
    for (is, said) in [
        (slurry::DRY_DENSITY, 2.60),
        (SG_SIGMA, 0.01),
        (SG_SIGMA_UNMEASURED, 0.05),
        (WET_PER_COAT_M, 200e-6),
        (WET_PER_COAT_LN_SIGMA, 0.39),
        (PLACE_LN_SIGMA, 0.25),
        (COAT_LN_SIGMA, 0.20),
        (PERSON_LN_SIGMA, 0.30),
        (WET_LAYDOWN_LN_SIGMA, 0.15),
        (CAKE_K_M2_PER_S, 0.08e-6),
        (CAKE_SG, 1.45),
        (SPRAY_RAW_M, 50e-6),
        (PACKING, 0.50),
        (PACKING_LN_SIGMA, 0.10),
        (LOI, 0.09),
        (LOI_LN_SIGMA, 0.40),
        (RHO_FIRED, 2450.0),
        (RHO_MELT, 2350.0),
        (BUBBLES, 0.05),
        (GAMMA, 0.33),
        (SLOPE_DECADES_PER_100K, 0.75),
        (EFFECTIVE_SECONDS, 3000.0),
        (EFFECTIVE_LN_SIGMA, 0.40),
        (SHELF_SIGMA_K, 8.0),
        (FIRING_SD_DECADES, 0.15),
        (PAIR_MEAN_DECADES, 0.25),
        (PAIR_SD_DECADES, 0.25),
        (PAIR_ORDER_SD_DECADES, 0.10),
        (MIXING_MEAN, 0.7),
        (composition::SD_DECADES, 0.5),
        (tile::RETENTION_M2, 1.4e-6),
        (tile::RETENTION_LN_SIGMA, 0.6),
        (tile::DRIP_SPACING_IN_CAPILLARY_LENGTHS, 14.0),
    ] {
        assert_near(is, said, 1e-12 * said);
    }
    for (kind, eta, sd) in [
        (GlazeStiffness::Stiff, 4.2, 0.35),
        (GlazeStiffness::Medium, 3.3, 0.35),
        (GlazeStiffness::Fluid, 1.9, 0.35),
        (GlazeStiffness::NotKnown, 3.0, 0.70),
    ] {
        assert_eq!(prior_log10_eta(kind), (eta, sd));
    }
}

/// `taken` at both ends, refused a millionth of the span beyond either, and refused where there is no number.
#[track_caller]
fn ends(least: f64, most: f64, taken: impl Fn(f64) -> bool) {
    let beyond = 1e-6 * (most - least);
    for (value, want) in [
        (least, true),
        (most, true),
        (least - beyond, false),
        (most + beyond, false),
        (f64::NAN, false),
        (f64::INFINITY, false),
        (f64::NEG_INFINITY, false),
    ] {
        assert_eq!(taken(value), want, "{value} of {least} to {most}");
    }
}

#[test]
fn the_slurrys_domain_ends_where_it_says() {
    ends(2.0, 6.0, |d| slurry::check(1.4, d).is_ok());
    ends(1.0, 2.2, |sg| slurry::check(sg, 2.6).is_ok());
    // A slurry is lighter than what is in it.
    ends(1.0, 1.95, |sg| slurry::check(sg, 2.0).is_ok());
    ends(1.0, 2.2, |sg| {
        slurry::sg_from_weighed_volume(100.0 * sg, 100.0).is_ok()
    });
    ends(1.0, 1e5, |ml| {
        slurry::sg_from_weighed_volume(1.5 * ml, ml).is_ok()
    });
    let water = PintKind::Us.water_oz();
    ends(water, 2.2 * water, |oz| {
        slurry::sg_from_pint_weight(oz, PintKind::Us).is_ok()
    });
    ends(0.0, 240.0, |tw| slurry::sg_from_twaddell(tw).is_ok());
    ends(140.0, 150.0, |m| slurry::sg_from_baume(40.0, m).is_ok());
    ends(0.0, 145.0 - 145.0 / 2.2, |b| {
        slurry::sg_from_baume(b, 145.0).is_ok()
    });
    ends(0.0, 1e9, |v| slurry::thinning_water(v, 1.5, 1.4).is_ok());
    ends(1.005, 1.5, |to| {
        slurry::thinning_water(1.0, 1.5, to).is_ok()
    });
}

#[test]
fn the_dips_domain_ends_where_it_says() {
    let dip = DipParams::usual(2.0, 1.45);
    let with = |set: fn(&mut DipParams, f64)| {
        move |value: f64| {
            let mut dip = dip;
            set(&mut dip, value);
            dip_layer(&dip, 0).is_ok()
        }
    };
    // Up to 0.95 of the packing's solids: 1 + 0.95 · 0.5 · 1.6.
    ends(1.005, 1.76, with(|d, x| d.sg = x));
    // At SG 1.45 the packing must leave that much room, and no grains pack closer than spheres do (0.74).
    ends(0.45 / (0.95 * 1.6), 0.74, with(|d, x| d.packing = x));
    ends(1e-10, 1e-5, with(|d, x| d.cake_k_m2_per_s = x));
    ends(0.05, 600.0, with(|d, x| d.seconds = x));
    ends(1e-3, 60e-3, with(|d, x| d.wall_m = x));
    ends(1000.0, 3500.0, with(|d, x| d.body_kg_per_m3 = x));
    ends(0.0, 0.4, with(|d, x| d.absorption = x));
    ends(1.0, 2.0, with(|d, x| d.glazed_sides = x));
    ends(0.0, 1.0, with(|d, x| d.dry_gap = x));
    for (dips, before, taken) in [
        (1, 0, true),
        (20, 200, true),
        (0, 0, false),
        (21, 0, false),
        (1, 201, false),
    ] {
        assert_eq!(dip_layer(&DipParams { dips, ..dip }, before).is_ok(), taken);
    }
    ends(1e-4, 10.0, |a| weigh_in_kg_per_m2(0.01, a).is_ok());
    ends(0.0, 10.0, |kg| weigh_in_kg_per_m2(kg, 1.0).is_ok());
}

#[test]
fn the_firings_domain_ends_where_it_says() {
    const C: f64 = 273.15;
    let segment = Segment {
        rate_k_per_s: 60.0 / 3600.0,
        target_k: 1222.0 + C,
        hold_s: 0.0,
    };
    let taken = |s: Segment| Schedule::from_room(vec![s]).is_ok();
    ends(0.5, 3000.0, |c_per_h| {
        taken(Segment {
            rate_k_per_s: c_per_h / 3600.0,
            ..segment
        })
    });
    ends(C, 1500.0 + C, |target_k| {
        taken(Segment {
            target_k,
            ..segment
        })
    });
    ends(C, 1500.0 + C, |k| Schedule::new(k, vec![segment]).is_ok());
    ends(0.0, 200.0 * 3600.0, |hold_s| {
        taken(Segment { hold_s, ..segment })
    });
    ends(10.0, 250.0, |c_per_h| cone_k("6", c_per_h / 3600.0).is_ok());
    let reference = Schedule::reference();
    ends(500.0 + C, 1150.0 + C, |seal_k| {
        phi_shift_decades(&reference, seal_k, 0.75).is_ok()
    });
    ends(0.0, 3.0, |slope| {
        phi_shift_decades(&reference, SEAL_K, slope).is_ok()
    });
    ends(500.0, 1900.0, |k| Viscosity::through(&[(k, 3.0)]).is_ok());
    ends(-2.0, 14.0, |log| {
        Viscosity::through(&[(1400.0, log)]).is_ok()
    });
    // No melt's viscosity falls by more than 20 decades in 100 K, and two points are a degree apart.
    assert!(Viscosity::through(&[(1400.0, 13.0), (1450.0, 3.0)]).is_ok());
    assert!(Viscosity::through(&[(1400.0, 13.001), (1450.0, 3.0)]).is_err());
    assert!(Viscosity::through(&[(1400.0, 3.01), (1401.0, 3.0)]).is_ok());
    assert!(Viscosity::through(&[(1400.0, 3.01), (1400.9, 3.0)]).is_err());
}

#[test]
fn an_analysis_ends_where_it_says() {
    let glaze = Oxides {
        sio2: 60.0,
        al2o3: 15.0,
        cao: 15.0,
        k2o: 5.0,
        ..Oxides::default()
    };
    let at = |of: Oxides, k: f64| composition::log10_eta_pa_s(&of, k).is_ok();
    ends(973.15, 1973.15, |k| at(glaze, k));
    let of_silica = |sio2: f64| Oxides {
        sio2,
        cao: 100.0 - sio2,
        ..Oxides::default()
    };
    assert!(at(of_silica(30.0), 1900.0) && !at(of_silica(29.999), 1900.0));
    // Of 100 in all, 3 of what it does not know are left out.
    ends(0.0, 3.0, |b2o3| {
        let cao = 20.0 - b2o3;
        at(Oxides { b2o3, cao, ..glaze }, 1500.0)
    });
    ends(0.0, 100.0, |mgo| {
        at(
            Oxides {
                mgo,
                sio2: 100.0,
                ..glaze
            },
            1900.0,
        )
    });
}
