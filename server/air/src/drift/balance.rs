//! One step of a zone's heat and moisture balance.

use super::first_order::FirstOrder;
use super::{Conditions, MoistureLedger, SECONDS_PER_HOUR, ZoneModel};
use crate::moist_air::humidity_ratio_at;
use crate::saturation::pressure_at;
use crate::{Celsius, HumidityRatio, MoistAir, OutOfRange, Pascal};

/// Specific heat of air in J/(kg·K): Fundamentals (2017) ch. 1 equation 30, leaving out the vapour's part.
const SPECIFIC_HEAT: f64 = 1006.0;
/// Heat of vaporisation at skin temperature in J/kg: from the enthalpies of Fundamentals (2017) ch. 1.
const VAPORISATION: f64 = 2.43e6;

/// The zone's state on its way through the hours.
pub(super) struct Balance<'zone> {
    zone: &'zone ZoneModel,
    /// Dry air in the zone, in kg.
    air: f64,
    /// Vapour pressure of the air that leaves the coil.
    coil: Pascal,
    dry_bulb: Celsius,
    ratio: f64,
    ledger: MoistureLedger,
}

impl<'zone> Balance<'zone> {
    pub(super) fn new(zone: &'zone ZoneModel, start: MoistAir) -> Self {
        Balance {
            zone,
            air: zone.volume.0 / start.specific_volume().0,
            coil: Pascal(pressure_at(zone.unit.coil_dew_point)),
            dry_bulb: start.dry_bulb(),
            ratio: start.humidity_ratio().0,
            ledger: MoistureLedger::default(),
        }
    }

    /// The ledger of the run so far, which began at `start`.
    pub(super) fn ledger(&self, start: MoistAir) -> MoistureLedger {
        let stored = self.capacity() * (self.ratio - start.humidity_ratio().0);
        MoistureLedger { stored, ..self.ledger }
    }

    /// The zone's air as it stands; an error where it has left the range of the equations.
    pub(super) fn zone_air(&self, pressure: Pascal) -> Result<MoistAir, OutOfRange> {
        MoistAir::from_humidity_ratio(self.dry_bulb, HumidityRatio(self.ratio), pressure)
    }

    /// Kilograms of vapour that raise the humidity ratio by 1.
    fn capacity(&self) -> f64 {
        self.air * self.zone.moisture_capacitance
    }

    /// Moves the zone on by a step in which nothing outside it changes.
    pub(super) fn advance(&mut self, seconds: f64, outdoor: &MoistAir, conditions: &Conditions) {
        let cooling = self.cool(seconds, outdoor, conditions);
        self.exchange_moisture(seconds, outdoor, conditions, cooling);
    }

    /// Moves the temperature on, and tells the share of the time for which the unit cools. What drying
    /// does to the infiltration is left out here: its share is not known before the temperature is.
    fn cool(&mut self, seconds: f64, outdoor: &MoistAir, conditions: &Conditions) -> f64 {
        let start = self.dry_bulb.0;
        let after = |cooling| self.heat_flow(outdoor, conditions, cooling).after(seconds, start);
        let (mut end, mut cooling) = (after(0.0), 0.0);
        if let Some(limit) = conditions.cool_above
            && end > limit.0
        {
            cooling = share_to_hold(limit.0, end, after(1.0));
            end = after(cooling);
        }
        // Heat is taken to be enough: what a zone too cold does is not a question of moisture.
        self.dry_bulb = Celsius(conditions.heat_below.map_or(end, |limit| end.max(limit.0)));
        cooling
    }

    fn heat_flow(&self, outdoor: &MoistAir, conditions: &Conditions, cooling: f64) -> FirstOrder {
        let zone = self.zone;
        let supply = cooling * self.flow(zone.unit.supply_air.0) * SPECIFIC_HEAT;
        let outside = zone.conductance.0 + self.infiltration(conditions, cooling) * SPECIFIC_HEAT;
        let people = conditions.people * zone.person_sensible.0;
        FirstOrder {
            source: (outside * outdoor.dry_bulb().0 + supply * zone.unit.coil_dry_bulb.0 + people)
                / zone.heat_capacity.0,
            rate: (outside + supply) / zone.heat_capacity.0,
        }
    }

    /// Moves the humidity ratio on. The unit dries in the time that cooling leaves it, and cooling dries
    /// as it goes.
    fn exchange_moisture(&mut self, seconds: f64, outdoor: &MoistAir, conditions: &Conditions, cooling: f64) {
        let coil = humidity_ratio_at(self.coil, outdoor.pressure()).0;
        let saturated = Pascal(pressure_at(self.dry_bulb));
        let start = self.ratio;
        let flows = |running| MoistureFlows {
            infiltration: self.infiltration(conditions, running),
            outdoor: outdoor.humidity_ratio().0,
            // Air drier than the coil passes it unchanged.
            coil_air: if start > coil { running * self.flow(self.zone.unit.supply_air.0) } else { 0.0 },
            coil,
            people: conditions.people * self.zone.person_latent.0 / VAPORISATION,
        };
        let over = |running| {
            let flows = flows(running);
            let (end, mean) = flows.process(self.capacity()).end_and_mean(seconds, start);
            (flows, end, mean)
        };

        let (mut flows, mut end, mut mean) = over(cooling);
        if let Some(limit) = conditions.dehumidify_above {
            let limit = limit.ratio(saturated, outdoor.pressure());
            if end > limit {
                let share = share_to_hold(limit, end, over(1.0).1);
                (flows, end, mean) = over(cooling + (1.0 - cooling) * share);
            }
        }
        self.ledger.infiltration += flows.infiltration * (flows.outdoor - mean) * seconds;
        self.ledger.people += flows.people * seconds;
        self.ledger.dried += flows.coil_air * (mean - flows.coil) * seconds;
        self.ratio = end;
        self.condense(saturated, outdoor.pressure());
    }

    /// Air cannot stay above saturation: what is over runs down the walls.
    fn condense(&mut self, saturated: Pascal, pressure: Pascal) {
        let most = humidity_ratio_at(saturated, pressure).0;
        if self.ratio > most {
            self.ledger.condensed += self.capacity() * (self.ratio - most);
            self.ratio = most;
        }
    }

    /// Kilograms of dry air a second that so many air changes an hour move.
    fn flow(&self, air_changes: f64) -> f64 {
        self.air * air_changes / SECONDS_PER_HOUR
    }

    /// Outdoor air that leaks in, in kg/s, while the unit runs for a share of the time.
    fn infiltration(&self, conditions: &Conditions, running: f64) -> f64 {
        let fan = if conditions.fan_runs { 1.0 } else { running };
        let kept_out = fan * (1.0 - self.zone.infiltration_fan_on);
        self.flow(self.zone.infiltration.0) * (1.0 - kept_out)
    }
}

/// Where a zone's moisture comes from and goes to; air in kg/s, vapour in kg/s, ratios in kg/kg.
struct MoistureFlows {
    infiltration: f64,
    outdoor: f64,
    coil_air: f64,
    coil: f64,
    people: f64,
}

impl MoistureFlows {
    fn process(&self, capacity: f64) -> FirstOrder {
        FirstOrder {
            source: (self.infiltration * self.outdoor + self.coil_air * self.coil + self.people) / capacity,
            rate: (self.infiltration + self.coil_air) / capacity,
        }
    }
}

/// The share of a step for which the unit must run so that it ends at `limit`, between where it would end
/// with the unit `off` and `on`. None of it where running does not help, all of it where it is not enough.
fn share_to_hold(limit: f64, off: f64, on: f64) -> f64 {
    if on >= off { 0.0 } else { ((off - limit) / (off - on)).min(1.0) }
}
