//! Moist air against two independent programs, and against itself.
#![allow(clippy::unwrap_used)]

use air::{Celsius, HumidityRatio, MoistAir, Pascal, RelativeHumidity};
use proptest::prelude::*;

/// Rows by `psychrolib` 2.5.0 and `CoolProp` 8.0.0; the script beside the file makes them.
const TABLE: &str = include_str!("../../../tests/oracles/moist_air.csv");

#[test]
fn twenty_states_agree_with_psychrolib_and_coolprop() {
    let mut rows = TABLE.lines();
    assert_eq!(
        rows.next().unwrap(),
        "t,rh,p,W_psychrolib,W_coolprop,dewpoint_psychrolib,dewpoint_coolprop,\
         wetbulb_psychrolib,wetbulb_coolprop,h_psychrolib,h_coolprop,v_psychrolib"
    );
    let mut count = 0;
    for row in rows {
        let v: Vec<f64> = row.split(',').map(|field| field.parse().unwrap()).collect();
        let air = MoistAir::from_relative_humidity(
            Celsius(v[0]),
            RelativeHumidity::from_fraction(v[1]),
            Pascal(v[2]),
        )
        .unwrap();
        let within = |what: &str, ours: f64, theirs: f64, tolerance: f64| {
            assert!((ours - theirs).abs() <= tolerance, "{row}\n{what}: {ours}, not {theirs}");
        };
        let ratio = air.humidity_ratio().grams_per_kilogram();
        // The table rounds to 0.0001 g/kg, which is 0.016 % of its driest row.
        within("W, PsychroLib", ratio, v[3], v[3] * 0.0005);
        within("W, CoolProp", ratio, v[4], v[4] * 0.006);
        within("dew point, PsychroLib", air.dew_point().0, v[5], 0.02);
        within("dew point, CoolProp", air.dew_point().0, v[6], 0.02);
        within("wet bulb, PsychroLib", air.wet_bulb().0, v[7], 0.02);
        within("wet bulb, CoolProp", air.wet_bulb().0, v[8], 0.02);
        within("enthalpy, PsychroLib", air.enthalpy().0, v[9], 0.05);
        within("volume, PsychroLib", air.specific_volume().0, v[11], 0.0002);
        count += 1;
    }
    assert_eq!(count, 20);
}

/// States people build for, and some that they do not: cold stores, deserts, drying rooms, high towns.
fn state() -> impl Strategy<Value = (Celsius, RelativeHumidity, Pascal)> {
    (-60.0..90.0_f64, 0.01..=1.0_f64, 60_000.0..110_000.0_f64).prop_filter_map(
        "water boils",
        |(t, humidity, pressure)| {
            let state = (Celsius(t), RelativeHumidity::from_fraction(humidity), Pascal(pressure));
            air::saturation_pressure(state.0).is_ok_and(|vapour| vapour.0 < pressure).then_some(state)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(10_000) })]

    #[test]
    fn every_property_gives_the_state_back((t, humidity, p) in state()) {
        let air = MoistAir::from_relative_humidity(t, humidity, p).unwrap();
        let ratio = air.humidity_ratio().0;
        let same = |other: MoistAir| (other.humidity_ratio().0 / ratio - 1.0).abs() < 1e-7;

        prop_assert!((air.relative_humidity().fraction() / humidity.fraction() - 1.0).abs() < 1e-9);
        prop_assert!(same(MoistAir::from_dew_point(t, air.dew_point(), p).unwrap()));
        // A wet bulb known to 1e-9 K fixes W to about 1e-12, which is what very cold air holds.
        let by_wet_bulb = MoistAir::from_wet_bulb(t, air.wet_bulb(), p).unwrap();
        prop_assert!((by_wet_bulb.humidity_ratio().0 - ratio).abs() < 1e-9 * (1.0 + 1e3 * ratio));
        prop_assert!(same(MoistAir::from_humidity_ratio(t, HumidityRatio(ratio * (1.0 - 1e-12)), p).unwrap()));

        let saturated = MoistAir::saturated(t, p).unwrap();
        prop_assert!(MoistAir::from_dew_point(t, saturated.dew_point(), p).is_ok());
        prop_assert!(air.dew_point().0 <= air.wet_bulb().0 + 0.02);
        prop_assert!(air.wet_bulb().0 <= t.0);
    }

    #[test]
    fn no_number_panics(t in any::<f64>(), x in any::<f64>(), p in any::<f64>()) {
        let (t, p) = (Celsius(t), Pascal(p));
        for state in [
            MoistAir::from_relative_humidity(t, RelativeHumidity::from_percent(x), p),
            MoistAir::from_dew_point(t, Celsius(x), p),
            MoistAir::from_wet_bulb(t, Celsius(x), p),
            MoistAir::from_humidity_ratio(t, HumidityRatio(x), p),
            Pascal::at_altitude(air::Metre(x)).and_then(|p| MoistAir::saturated(t, p)),
        ] {
            match state {
                Ok(air) => prop_assert!(air.dew_point().0.is_finite() && air.wet_bulb().0.is_finite()),
                Err(fault) => prop_assert!(!fault.to_string().is_empty()),
            }
        }
    }
}
