//! Real weather files, fetched by `tests/oracles/fetch_weather.py` into the folder that `DRYCALL_WEATHER`
//! names. Without it these tests pass over themselves, unless `DRYCALL_REQUIRE_ALL` is set to anything.
#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods)]

use std::io::Write;
use std::path::PathBuf;

use air::drift::{Conditions, ZoneModel, predict};
use air::weather::{HOURS_IN_YEAR, HourOfYear, Weather};
use air::{Celsius, HumidityRatio, Metre, MoistAir, Pascal, SquareMetre};

fn real(name: &str) -> Option<Weather> {
    let Some(folder) = std::env::var_os("DRYCALL_WEATHER").map(PathBuf::from) else {
        let required = std::env::var_os("DRYCALL_REQUIRE_ALL").is_some_and(|value| !value.is_empty());
        assert!(
            !required,
            "DRYCALL_REQUIRE_ALL asks for real weather: run tests/oracles/fetch_weather.py FOLDER and set \
             DRYCALL_WEATHER to FOLDER"
        );
        // Past the harness, which keeps to itself what a test prints that passes.
        let _ = writeln!(
            std::io::stderr(),
            "left out: real weather: DRYCALL_WEATHER names no folder with {name}"
        );
        return None;
    };
    let file = folder.join(name);
    let bytes = std::fs::read(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
    Some(Weather::read(&bytes))
}

/// Whole, and of the same yearly means as `pvlib` 0.16.1 reads: dry bulb and dew point in °C, pressure in Pa.
fn agrees_with_pvlib(weather: &Weather, station: &str, [dry_bulb, dew_point, pressure]: [f64; 3]) {
    assert_eq!(weather.station.name, station);
    assert_eq!(weather.faults, []);
    assert_eq!(weather.missing().count(), 0);
    let mean = |of: fn(MoistAir) -> f64| {
        HourOfYear::all().map(|hour| of(weather.at(hour).unwrap())).sum::<f64>() / HOURS_IN_YEAR as f64
    };
    assert!((mean(|air| air.dry_bulb().0) - dry_bulb).abs() < 1e-3);
    assert!((mean(|air| air.dew_point().0) - dew_point).abs() < 1e-3);
    assert!((mean(|air| air.pressure().0) - pressure).abs() < 0.1);
}

#[test]
fn miami_tmy2_and_what_a_gap_there_does() {
    let Some(miami) = real("12839.tm2") else {
        return;
    };
    agrees_with_pvlib(&miami, "MIAMI FL", [24.314_007, 18.782_843, 101_743.927]);
    let oracle = |check: &str| -> Vec<f64> {
        let table = include_str!("../../../tests/oracles/drift.csv");
        let row = table.lines().find_map(|line| line.strip_prefix(check)?.strip_prefix(','));
        row.unwrap().split(',').filter_map(|field| field.parse().ok()).collect()
    };

    let humid = oracle("miami-humid");
    let hours = HourOfYear::all().filter(|&hour| miami.at(hour).unwrap().humidity_ratio().0 > humid[1]);
    assert_eq!(hours.count(), humid[0] as usize);

    let gap = miami.span(HourOfYear::new(7, 1, 18).unwrap(), 61).unwrap();
    let zone = ZoneModel::of_room(SquareMetre(110.0), Metre(3.0));
    let start =
        MoistAir::from_humidity_ratio(Celsius(25.0), HumidityRatio(0.0093), Pascal::STANDARD).unwrap();
    let run = predict(&zone, start, &gap, |_| Conditions::default()).unwrap();
    let ours = run.hours.last().unwrap().humidity_ratio().0;
    let expected = oracle("miami")[1];
    assert!((ours - expected).abs() < 1e-7, "{ours}, not {expected}");
}

#[test]
fn greensboro_and_sand_point_tmy3() {
    if let Some(greensboro) = real("723170TYA.CSV") {
        agrees_with_pvlib(
            &greensboro,
            "GREENSBORO PIEDMONT TRIAD INT NC",
            [14.421_850, 8.179_600, 98_691.724],
        );
    }
    if let Some(sand_point) = real("703165TY.csv") {
        agrees_with_pvlib(&sand_point, "SAND POINT AK", [4.420_651, 0.125_890, 101_200.0]);
    }
}

#[test]
fn chicago_and_northway_epw() {
    if let Some(chicago) = real("USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw") {
        agrees_with_pvlib(&chicago, "Chicago OHare Intl AP IL", [9.987_991, 4.311_062, 99_188.687]);
    }
    if let Some(northway) = real("USA_AK_Northway.AP.702910_TMY3.epw") {
        agrees_with_pvlib(&northway, "Northway AP AK", [-4.493_596, -9.902_705, 94_773.436]);
    }
}
