//! The built-in unit types: files in the job's own language, carried in the program.

use crate::prepared::Prepared;
use std::sync::OnceLock;
use syntax::File;

macro_rules! library {
    ($($name:literal)*) => {
        &[$((concat!($name, ".yaml"), include_str!(concat!("../library/", $name, ".yaml")))),*]
    };
}

/// File name and text of each built-in type. A type's file bears its name.
pub const TEXTS: &[(&str, &str)] = library! {
    "air-conditioner-with-hot-gas-reheat"
    "heat-pump-with-hot-gas-reheat"
    "two-stage-air-conditioner-with-hot-gas-reheat"
    "two-stage-heat-pump-with-hot-gas-reheat"
    "cooling-with-electric-reheat"
    "terminal-box-with-reheat"
    "outdoor-air-unit-with-wrap-around-coil"
    "outdoor-air-unit-with-hot-gas-reheat"
    "stand-alone-dehumidifier"
    "heat-pump-with-auxiliary-heat-lockout"
    "dual-circuit-rooftop"
    "chilled-water-coil-with-reheat-coil"
    "fan-coil-unit"
    "outdoor-air-unit-with-wheel"
    "desiccant-dehumidifier"
    "humidifier"
    "unit-ventilator"
    "make-up-air-unit"
    "terminal-box-by-zone-state"
};

/// The library, read once a process.
pub(crate) fn files() -> impl Iterator<Item = (&'static str, &'static Prepared)> {
    static FILES: OnceLock<Vec<Prepared>> = OnceLock::new();
    let files = FILES.get_or_init(|| TEXTS.iter().map(|(_, text)| Prepared::new(File::new(text))).collect());
    TEXTS.iter().map(|(name, _)| *name).zip(files)
}
