//! What a service yields to, short enough for a bar.

use crate::atom::Atom;
use crate::proof::moment::Moment;
use crate::unit::UnitAnalysis;
use crate::verdict::Verdict;
use crate::words::on_off;
use logic::Cube;
use model::Call;

/// What blocks a service, gathered from sets of circumstances.
#[derive(Clone, Default)]
struct Gathered {
    /// Calls that come first.
    calls: Vec<String>,
    /// Their names.
    names: Vec<String>,
    /// Calls without which it does not run.
    needs: Vec<String>,
    /// Contacts and operators with the state that blocks.
    contacts: Vec<String>,
    /// Schedules.
    schedules: Vec<String>,
}

/// `yields to cooling, second-stage heating and 2 contacts`, over all moments of the period.
pub fn over_period(analysis: &UnitAnalysis<'_>, service: &str) -> String {
    let mut gathered = Gathered::default();
    for moment in analysis.moments() {
        gathered.take(analysis, service, moment);
    }
    gathered.words()
}

/// The same at one kind of moment, and with calls by their names.
pub(super) fn at(analysis: &UnitAnalysis<'_>, service: &str, moment: &Moment) -> (String, String) {
    let mut gathered = Gathered::default();
    gathered.take(analysis, service, moment);
    let short = Gathered { calls: gathered.names.clone(), ..gathered.clone() };
    (gathered.words(), short.words())
}

impl Gathered {
    fn take(&mut self, analysis: &UnitAnalysis<'_>, service: &str, moment: &Moment) {
        if analysis.verdict_at(service, moment) != Verdict::Conditional {
            return;
        }
        let Some(found) = analysis.blocking(service, moment) else { return };
        let mut cubes: Vec<&Cube> = found.items.iter().collect();
        cubes.sort_by_key(|cube| cube.len());
        for literal in cubes.into_iter().flat_map(Cube::literals) {
            let (list, words) = match analysis.wires.atom_of(literal.var) {
                Some(Atom::Call { call, .. }) if literal.value => {
                    let name = call.name().to_owned();
                    if !self.names.contains(&name) {
                        self.names.push(name);
                    }
                    (&mut self.calls, short(*call))
                }
                Some(Atom::Call { call, .. }) => (&mut self.needs, short(*call)),
                Some(Atom::Schedule(name)) => (&mut self.schedules, name.to_string()),
                Some(Atom::Contact(name) | Atom::Operator(name) | Atom::Unknown(name)) => {
                    (&mut self.contacts, format!("{name} {}", on_off(literal.value)))
                }
                None => (&mut self.contacts, "an option that could not be read".to_owned()),
            };
            if !list.contains(&words) {
                list.push(words);
            }
        }
    }

    fn words(self) -> String {
        let some = |mut list: Vec<String>, many: &str| match list.len() {
            0 => None,
            1 => list.pop(),
            more => Some(format!("{more} {many}")),
        };
        let mut to = self.calls;
        to.extend(some(self.schedules, "schedules"));
        to.extend(some(self.contacts, "contacts"));
        let mut words = Vec::new();
        if !to.is_empty() {
            words.push(format!("yields to {}", listed(&to)));
        }
        if !self.needs.is_empty() {
            words.push(format!("waits for {}", listed(&self.needs)));
        }
        words.join("; ")
    }
}

/// `cooling, heating and 2 contacts`.
fn listed(words: &[String]) -> String {
    match words.split_last() {
        Some((last, before @ [_, ..])) => format!("{} and {last}", before.join(", ")),
        Some((only, _)) => only.clone(),
        None => String::new(),
    }
}

/// `cooling`, `second-stage heating`, `dehumidify`.
fn short(call: Call) -> String {
    let words = call.words().trim_start_matches("the ").trim_end_matches(" call");
    words.trim_start_matches("first-stage ").to_owned()
}
