//! Which calls of a zone exclude each other, and what says so.

use crate::calls::CallRule;
use crate::reasons::Because;
use logic::{Function, Var};
use model::{Call, Found, LimitKey, Mode, Zone};

/// Something that a zone's limits rule out in a mode, at times or always.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Exclusion {
    /// The mode sets no limit for the call.
    NoLimit(Call),
    /// No sensor can report what would begin the call.
    Beyond(Call),
    /// No reading has both calls on.
    Apart(Call, Call),
}

/// A call that a unit takes, and its variable.
pub(crate) type CallVar = (Call, Var);

/// What holds between calls by what they are: a second stage implies its first.
pub(crate) fn laws(calls: &[CallVar]) -> Function {
    let mut all = Function::constant(true);
    for (call, var) in calls {
        let Some(first) = call.first_stage() else { continue };
        for (_, first_var) in calls.iter().filter(|(other, _)| *other == first) {
            all = all.and(&Function::var(*var).implication(&Function::var(*first_var)));
        }
    }
    all
}

/// What rules of calls rule out. Of a zone that could not be read in full, a limit that is missing
/// may be the one that could not be read; so may one whose schedule does not tell it.
pub(crate) fn constraints(rules: &[CallRule], calls: &[CallVar], doubtful: bool) -> Vec<Exclusion> {
    let mut found = Vec::new();
    let mut known = Vec::with_capacity(calls.len());
    for (call, _) in calls {
        let Some(rule) = rules.iter().find(|r| r.call == *call) else {
            continue;
        };
        let about = match (&rule.limit, &rule.beyond) {
            (None, _) if !doubtful && rule.follows.is_none() => Some(Exclusion::NoLimit(*call)),
            (Some(_), Some(_)) => Some(Exclusion::Beyond(*call)),
            _ => None,
        };
        found.extend(about);
        known.push(rule);
    }
    for (i, a) in known.iter().enumerate() {
        for b in known.iter().skip(i + 1) {
            let opposed = a.key.opposite() == Some(b.key);
            if opposed && a.meets(b) == Some(false) {
                found.push(Exclusion::Apart(a.call, b.call));
            }
        }
    }
    found
}

impl Exclusion {
    /// The calls it is about: one that cannot be on, or two that cannot be together.
    pub(crate) fn calls(self) -> (Call, Option<Call>) {
        match self {
            Exclusion::NoLimit(call) | Exclusion::Beyond(call) => (call, None),
            Exclusion::Apart(a, b) => (a, Some(b)),
        }
    }

    /// The written facts behind it.
    pub(crate) fn because(self, zone: Found<'_, Zone>, rules: &[CallRule], mode: Mode) -> Vec<Because> {
        let rule = |call: Call| rules.iter().find(|r| r.call == call);
        let written = |call: Call, text: &str| {
            let rule = rule(call)?;
            let limit = rule.limit?;
            let says = match &rule.follows {
                Some(schedule) => format!("`{}` follows `{schedule}`", rule.key),
                None => format!("`{}: {}`", rule.key, limit.value),
            };
            Some(Because::new(zone.place(limit.at), says + text))
        };
        match self {
            Exclusion::NoLimit(call) => {
                let key = call.limit().map_or("", LimitKey::name);
                let at = zone.is.limits(mode).map_or_else(|| zone.head(), |l| zone.place(l.at));
                let text = format!(
                    "`{}` has no `{key}` while {}, so {} is never made",
                    zone.name(),
                    mode,
                    call.words()
                );
                vec![Because::new(at, text)]
            }
            Exclusion::Beyond(call) => {
                let Some(beyond) = rule(call).and_then(|r| r.beyond.as_ref()) else {
                    return Vec::new();
                };
                let text = format!(" while {mode} puts {} {}", call.words(), beyond.begins());
                written(call, &text).into_iter().chain([beyond.sensor.because()]).collect()
            }
            Exclusion::Apart(a, b) => {
                let temperature = a.limit().is_some_and(LimitKey::is_temperature);
                let pair = if temperature { "heating and cooling" } else { "drying and humidifying" };
                let text = format!(" while {mode} keeps {pair} apart");
                [a, b].into_iter().filter_map(|call| written(call, &text)).collect()
            }
        }
    }
}
