//! Names that only mean something in their own entry: options, choices, inputs, outputs, states.

use super::offer::Offer;
use super::slot::Slot;
use model::{Found, Item, Kind, Mode, Name, OptionDecl, Service, UnitType, View, Written};
use syntax::{NodeKind, Part};
use tower_lsp_server::ls_types::CompletionItemKind as Icon;

/// Days and the ranges that are written most.
const DAYS: [&str; 9] = ["mon-fri", "sat-sun", "mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// An entry as it would be with a word at the cursor.
pub(super) struct Own<'a, 'j> {
    pub(super) view: &'a View<'j>,
    pub(super) part: &'a Part,
    pub(super) item: &'a Item,
    pub(super) place: &'a Slot,
}

impl Own<'_, '_> {
    /// The keys of a mapping whose keys are names.
    pub(super) fn keys(&self) -> Vec<Offer> {
        match (self.item, self.path().as_slice()) {
            (Item::Unit(_), ["options"]) => self.of_type(|t| t.options.iter().map(option).collect()),
            (Item::Unit(_), ["inputs"]) => self.of_type(inputs),
            (Item::Unit(_), ["outputs"]) => self.of_type(outputs),
            (Item::UnitType(_), ["serves"]) => words(Service::NAMES),
            (Item::Schedule(_), ["week"]) => words(&DAYS),
            _ => Vec::new(),
        }
    }

    /// The values at a place that takes a name of the entry's own, or free text with a few that are known.
    pub(super) fn values(&self) -> Vec<Offer> {
        match (self.item, self.path().as_slice()) {
            (Item::Unit(_), ["options", name]) => {
                self.of_type(|t| t.option(name).map(choices).unwrap_or_default())
            }
            (Item::Unit(_), ["inputs", name, "tied-to"]) => {
                let mut others = self.of_type(inputs);
                others.retain(|other| other.label != *name);
                others
            }
            (Item::UnitType(unit_type), ["options", name, "default"]) => {
                unit_type.option(name).map(choices).unwrap_or_default()
            }
            (Item::Schedule(_), ["default"]) => self.states(),
            (Item::Site(_) | Item::Stray, ["time-zone"]) if self.place.kind == Kind::Site => {
                let zones = jiff::tz::db().available().map(|zone| zone.as_str().to_owned());
                zones.map(|zone| Offer::word(zone, Icon::VALUE)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Logic in words, `before` being what stands before the cursor.
    pub(super) fn logic(&self, before: &str) -> Vec<Offer> {
        let spaced = before.replace('(', " ( ").replace(')', " ) ");
        let mut words_before = spaced.split_whitespace().rev();
        let (last, second) = (words_before.next(), words_before.next());
        let unit_type = match self.item {
            Item::UnitType(unit_type) => Some(&**unit_type),
            _ => None,
        };
        let option = |name: Option<&str>| unit_type?.option(name?);
        let operator = |word: &str| Offer::word(word, Icon::KEYWORD);
        match last {
            Some("is") => option(second).map(choices).unwrap_or_default(),
            None | Some("and" | "or" | "not" | "(") => {
                let mut offers = unit_type.map_or_else(
                    || super::names::names(self.view, Kind::Point, self.part.key()),
                    |unit_type| self.terms(unit_type),
                );
                // Logic has no quotes.
                let a_word =
                    |name: &str| !name.contains([' ', '(', ')']) && syntax::write::scalar(name) == name;
                offers.retain(|offer| a_word(&offer.label));
                offers.push(operator("not"));
                offers
            }
            Some(name) if second != Some("is") && option(Some(name)).is_some() => vec![operator("is")],
            Some(_) => vec![operator("and"), operator("or")],
        }
    }

    /// What may be on or off in a type's logic, but for the term or output that is being written.
    fn terms(&self, unit_type: &UnitType) -> Vec<Offer> {
        let path = self.path();
        let own = match path.as_slice() {
            ["terms", own] | ["outputs", own, _] => Some(*own),
            _ => None,
        };
        let mut offers = inputs(unit_type);
        let term =
            |(name, _): &(Written<Name>, _)| Offer::word(name.value.as_str(), Icon::VARIABLE).beside("term");
        offers.extend(unit_type.terms.iter().map(term));
        offers.extend(outputs(unit_type));
        offers.extend(unit_type.options.iter().map(option));
        offers.retain(|offer| own != Some(offer.label.as_str()));
        offers
    }

    /// What a schedule's values can be.
    fn states(&self) -> Vec<Offer> {
        let part = self.part;
        let values = part.pairs(part.value()).find(|(key, _)| part.scalar(*key) == Some("values"));
        let Some((_, values)) = values else { return Vec::new() };
        match (part.kind(values), part.scalar(values)) {
            (NodeKind::List, _) => {
                let states = part.items(values).filter_map(|state| part.scalar(state));
                states.map(|state| Offer::word(state, Icon::ENUM_MEMBER)).collect()
            }
            (_, Some("occupancy")) => words(&[Mode::Unoccupied.name(), Mode::Occupied.name()]),
            _ => Vec::new(),
        }
    }

    /// Something of the type that the entry, a unit, names.
    fn of_type(&self, offers: impl Fn(&UnitType) -> Vec<Offer>) -> Vec<Offer> {
        let Item::Unit(unit) = self.item else { return Vec::new() };
        let unit_type = unit.type_.as_ref().and_then(|name| self.view.find(&name.value));
        unit_type.map_or_else(Vec::new, |found: Found<'_, UnitType>| offers(found.is))
    }

    fn path(&self) -> Vec<&str> {
        self.place.keys.iter().map(Name::as_str).collect()
    }
}

pub(super) fn words(words: &[&str]) -> Vec<Offer> {
    words.iter().map(|word| Offer::word(*word, Icon::ENUM_MEMBER)).collect()
}

fn said(text: Option<&Written<Name>>) -> &str {
    text.map_or("", |text| text.value.as_str())
}

fn inputs(unit_type: &UnitType) -> Vec<Offer> {
    let input = |input: &model::InputDecl| {
        let words = [said(input.terminal.as_ref()), said(input.text.as_ref())];
        Offer::word(input.name.value.as_str(), Icon::FIELD).beside(words.join(" ").trim().to_owned())
    };
    unit_type.inputs.iter().map(input).collect()
}

fn outputs(unit_type: &UnitType) -> Vec<Offer> {
    let output = |output: &model::OutputDecl| {
        Offer::word(output.name.value.as_str(), Icon::FIELD).beside(said(output.text.as_ref()))
    };
    unit_type.outputs.iter().map(output).collect()
}

fn option(option: &OptionDecl) -> Offer {
    Offer::word(option.name.value.as_str(), Icon::PROPERTY).beside(said(option.text.as_ref()))
}

fn choices(option: &OptionDecl) -> Vec<Offer> {
    let choice = |(i, choice): (usize, &Written<Name>)| {
        let beside = if i == option.default { "the default" } else { "" };
        Offer::word(choice.value.as_str(), Icon::ENUM_MEMBER).beside(beside)
    };
    option.choices.iter().enumerate().map(choice).collect()
}
