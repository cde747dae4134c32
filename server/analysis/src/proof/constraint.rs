//! Which calls of a zone exclude each other, and what says so.

use crate::calls::{CallRule, Mode};
use crate::reasons::Because;
use crate::words::call_words;
use logic::{Function, Var};
use model::{Found, Zone};

/// Something that a zone's limits rule out in a mode, at times or always.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum About {
    /// The mode sets no limit for the call.
    NoLimit(&'static str),
    /// No sensor can report what would begin the call.
    Beyond(&'static str),
    /// No reading has both calls on.
    Apart(&'static str, &'static str),
}

/// A call that a unit takes, and its variable.
pub(crate) type Call = (&'static str, Var);

/// What holds between calls by what they are: a second stage implies its first.
pub(crate) fn laws(calls: &[(&str, Var)]) -> Function {
    let mut all = Function::constant(true);
    for (call, var) in calls {
        let Some((kind, "2")) = call.rsplit_once('-') else {
            continue;
        };
        for (first, first_var) in calls {
            if first.rsplit_once('-') == Some((kind, "1")) {
                all = all.and(&Function::var(*var).implication(&Function::var(*first_var)));
            }
        }
    }
    all
}

/// What rules of calls rule out. Of a zone that could not be read in full, a limit that is missing
/// may be the one that could not be read; so may one whose schedule does not tell it.
pub(crate) fn constraints(rules: &[CallRule], calls: &[Call], doubtful: bool) -> Vec<About> {
    let mut found = Vec::new();
    let mut known = Vec::with_capacity(calls.len());
    for (call, _) in calls {
        let Some(rule) = rules.iter().find(|r| r.call == *call) else {
            continue;
        };
        let about = match (&rule.limit, &rule.beyond) {
            (None, _) if !doubtful && rule.follows.is_none() => Some(About::NoLimit(call)),
            (Some(_), Some(_)) => Some(About::Beyond(call)),
            _ => None,
        };
        found.extend(about);
        known.push(rule);
    }
    for (i, a) in known.iter().enumerate() {
        for b in known.iter().skip(i + 1) {
            let opposed = a.above != b.above && humid(a) == humid(b);
            if opposed && a.meets(b) == Some(false) {
                found.push(About::Apart(a.call, b.call));
            }
        }
    }
    found
}

/// Which of the zone's two measurements a call goes by.
fn humid(rule: &CallRule) -> bool {
    matches!(rule.call, "humidify" | "dehumidify")
}

impl About {
    /// The calls it is about: one that cannot be on, or two that cannot be together.
    pub(crate) fn calls(self) -> (&'static str, Option<&'static str>) {
        match self {
            About::NoLimit(call) | About::Beyond(call) => (call, None),
            About::Apart(a, b) => (a, Some(b)),
        }
    }

    /// The written facts behind it.
    pub(crate) fn because(self, zone: Found<'_, Zone>, rules: &[CallRule], mode: Mode) -> Vec<Because> {
        let rule = |call: &str| rules.iter().find(|r| r.call == call);
        let written = |call: &str, text: &str| {
            let rule = rule(call)?;
            let limit = rule.limit?;
            let says = match &rule.follows {
                Some(schedule) => format!("`{}` follows schedule `{schedule}`", rule.key),
                None => format!("`{}` {}", rule.key, limit.value),
            };
            Some(Because::new(zone.place(limit.at), says + text))
        };
        match self {
            About::NoLimit(call) => {
                let key = rule(call).map_or("", |r| r.key);
                let at = mode.limits(zone.is).map_or_else(|| zone.head(), |l| zone.place(l.at));
                let text = format!(
                    "`{}` sets no `{key}` while {}, so {} is not made",
                    zone.name(),
                    mode.word(),
                    call_words(call)
                );
                vec![Because::new(at, text)]
            }
            About::Beyond(call) => {
                let Some(beyond) = rule(call).and_then(|r| r.beyond.as_ref()) else {
                    return Vec::new();
                };
                let text = format!(" while {}: {} begins {}", mode.word(), call_words(call), beyond.begins());
                written(call, &text).into_iter().chain([beyond.sensor.because()]).collect()
            }
            About::Apart(a, b) => {
                let pair =
                    if rule(a).is_some_and(humid) { "drying and humidifying" } else { "heating and cooling" };
                let text = format!(" while {} keeps {pair} apart", mode.word());
                [a, b].iter().filter_map(|call| written(call, &text)).collect()
            }
        }
    }
}
