//! What stands at a place of an entry: the name of something, a part of a unit, a key.

use model::{
    EntryId, Field, Found, Item, Kind, Name, Spot, Unit, UnitType, Use, ValueShape, View, Wiring, Written,
};
use syntax::{NodeId, NodeKind, Part};

/// What a place in an entry is about.
pub(super) enum Subject<'j> {
    /// The name of something that an entry declares, used here.
    Used(&'j Use),
    /// The entry's own name.
    Own(Kind, Name),
    /// An option, input or output in a unit's lists.
    OfUnit(Found<'j, Unit>, Detail),
    /// A name in the text of a unit type.
    OfType(Found<'j, UnitType>, Detail),
    /// A key with a meaning of its own, or its value.
    Key(Path),
}

/// A part of a unit type by its name.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Detail {
    Option(Name),
    Choice {
        option: Name,
        choice: Name,
    },
    Input(Name),
    Output(Name),
    /// Whatever a name in logic stands for: an input, a term or an output.
    Logic(Name),
}

/// The key that a place lies at or behind, with the keys above it.
#[derive(Debug)]
pub(super) struct Path {
    /// What the key means.
    pub(super) field: &'static Field,
    /// The keys from the entry down, the one meant last.
    pub(super) keys: Vec<Name>,
}

/// What byte `offset` of an entry is about, and where that is written.
pub(super) fn subject<'j>(view: &View<'j>, id: EntryId, offset: u32) -> Option<(Spot, Subject<'j>)> {
    let entry = view.entry(id)?;
    let part = &*entry.part;
    let node = part.node_at(offset)?;
    let holds = |spot: &Spot| {
        let span = spot.span(part);
        span.start <= offset && offset <= span.end
    };
    if let Some(used) = entry.facts.uses.iter().find(|used| holds(&used.spot())) {
        return Some((used.spot(), Subject::Used(used)));
    }
    if node == part.key_node()
        && let Some((kind, name)) = entry.facts.declares.as_ref().filter(|(kind, _)| *kind != Kind::Site)
    {
        return Some((node.into(), Subject::Own(*kind, name.clone())));
    }
    let detail = match &entry.facts.item {
        Item::Unit(unit) => of_unit(unit, part, node)
            .and_then(|detail| Some((node.into(), Subject::OfUnit(view.as_found(id)?, detail)))),
        Item::UnitType(unit_type) => of_type(unit_type, part, node, &holds)
            .and_then(|(spot, detail)| Some((spot, Subject::OfType(view.as_found(id)?, detail)))),
        _ => None,
    };
    detail.or_else(|| Some((node.into(), Subject::Key(path(part, node)?))))
}

fn of_unit(unit: &Unit, part: &Part, node: NodeId) -> Option<Detail> {
    for (option, choice) in &unit.options {
        if option.at == node {
            return Some(Detail::Option(option.value.clone()));
        }
        if choice.at == node {
            return Some(Detail::Choice { option: option.value.clone(), choice: choice.value.clone() });
        }
    }
    for (input, wiring) in &unit.inputs {
        // `{tied-to: OTHER}` names another input; any other wiring is about this one.
        match &wiring.value {
            Wiring::TiedTo(other)
                if part.scalar(node) == Some(other) && part.parent(node) == Some(wiring.at) =>
            {
                return Some(Detail::Input(other.clone()));
            }
            _ if input.at == node || wiring.at == node => return Some(Detail::Input(input.value.clone())),
            _ => {}
        }
    }
    let output = unit.outputs.iter().find(|(output, _)| output.at == node);
    output.map(|(output, _)| Detail::Output(output.value.clone()))
}

fn of_type(
    unit_type: &UnitType,
    part: &Part,
    node: NodeId,
    holds: &dyn Fn(&Spot) -> bool,
) -> Option<(Spot, Detail)> {
    let at = |name: &Written<Name>| name.at == node;
    for option in &unit_type.options {
        if at(&option.name) {
            return Some((node.into(), Detail::Option(option.name.value.clone())));
        }
        // The default is written once more, by its name.
        let inside = part
            .parent(node)
            .is_some_and(|list| option.choices.iter().any(|c| part.parent(c.at) == Some(list)))
            || path(part, node)
                .is_some_and(|p| p.field.key == "default" && p.keys.contains(&option.name.value));
        let choice = option.choices.iter().find(|c| inside && part.scalar(node) == Some(&c.value));
        if let Some(choice) = choice {
            let (option, choice) = (option.name.value.clone(), choice.value.clone());
            return Some((node.into(), Detail::Choice { option, choice }));
        }
    }
    if let Some(input) = unit_type.inputs.iter().find(|i| at(&i.name)) {
        return Some((node.into(), Detail::Input(input.name.value.clone())));
    }
    if let Some(output) = unit_type.outputs.iter().find(|o| at(&o.name)) {
        return Some((node.into(), Detail::Output(output.name.value.clone())));
    }
    if let Some((term, _)) = unit_type.terms.iter().find(|(term, _)| at(term)) {
        return Some((node.into(), Detail::Logic(term.value.clone())));
    }
    let logic = unit_type.logic().find(|words| at_node(words, node))?;
    let mut found = None;
    let mut take = |within: &model::Within, detail: Detail| {
        let spot = if part.is_plain(node) { Spot::Within(node, within.clone()) } else { Spot::Node(node) };
        if found.is_none() && part.is_plain(node) && holds(&spot) {
            found = Some((spot, detail));
        }
    };
    logic.value.each_name(&mut |name, within| take(within, Detail::Logic(name.clone())));
    logic.value.each_choice(&mut |option, choice| {
        take(&option.1, Detail::Option(option.0.clone()));
        take(&choice.1, Detail::Choice { option: option.0.clone(), choice: choice.0.clone() });
    });
    found
}

fn at_node<T>(written: &Written<T>, node: NodeId) -> bool {
    written.at == node
}

/// The key that a node is or stands behind, by the tables that lowering reads by.
fn path(part: &Part, node: NodeId) -> Option<Path> {
    let kind = Kind::of_section(part.section())?;
    let mut keys: Vec<Name> = Vec::new();
    let mut inner = node;
    while let Some(outer) = part.parent(inner) {
        if part.kind(outer) == NodeKind::Map {
            let (key, _) = part.pairs(outer).find(|(key, value)| *key == inner || *value == inner)?;
            keys.push(Name::new(part.scalar(key)?));
        }
        inner = outer;
    }
    // Each field of `site:` is an entry of its own.
    if kind == Kind::Site {
        keys.push(Name::new(part.key()?));
    }
    keys.reverse();
    let mut shape = model::entry_shape(kind);
    let mut field = None;
    for key in &keys {
        (field, shape) = behind(shape, key)?;
    }
    Some(Path { field: field?, keys })
}

/// What an item of a list of this shape is.
pub(super) fn item_shape(shape: ValueShape) -> ValueShape {
    match shape {
        ValueShape::List(inner) => *inner,
        ValueShape::Either(shapes) => {
            shapes.iter().find(|s| matches!(s, ValueShape::List(_))).map_or(shape, |list| item_shape(*list))
        }
        other => other,
    }
}

/// The key's own entry in the tables, if it has one, and what stands behind it.
pub(super) fn behind(shape: ValueShape, key: &str) -> Option<(Option<&'static Field>, ValueShape)> {
    match shape {
        ValueShape::Fields(fields) => {
            let field = fields.iter().find(|field| field.key == key)?;
            Some((Some(field), field.shape))
        }
        ValueShape::Named(inner) => Some((None, *inner)),
        ValueShape::List(inner) => behind(*inner, key),
        ValueShape::Either(shapes) => shapes.iter().find_map(|shape| behind(*shape, key)),
        _ => None,
    }
}
