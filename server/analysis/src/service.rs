//! What a service is asked for by.

/// The inputs that take the calls for a service; none for one that is not called for.
pub fn call_inputs(service: &str) -> &'static [&'static str] {
    match service {
        "dehumidification" => &["dehumidify"],
        "humidification" => &["humidify"],
        "cooling" => &["cool-1", "cool-2"],
        "heating" => &["heat-1", "heat-2"],
        _ => &[],
    }
}
