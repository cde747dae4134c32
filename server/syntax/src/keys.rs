//! The keys of a map: written twice, merged in, or no key at all.

use crate::{
    node::{FaultKind, NodeKind, Style},
    tree::{Builder, Trouble, TroubleKind},
};

/// Up to so many keys a map is searched for a second one of a name key by key.
const FEW: usize = 16;

impl Builder<'_, '_> {
    /// The innermost open map has another pair.
    pub(crate) fn pair(&mut self) {
        let Some(open) = self.open.last() else { return };
        let (key, flow, map, pairs) = (open.key, open.flow, open.node, open.children / 2);
        let Some(node) = self.tree.nodes.get(key).copied() else {
            return;
        };
        let Some(name) = self.value(&node) else {
            return;
        };
        let valueless =
            self.tree.nodes.get(key + 1).is_some_and(|n| n.kind == NodeKind::Null && n.start == n.end);
        if node.style == Style::Plain
            && let Some(colon) = glued_colon(name, flow && valueless)
        {
            let at = node.start as usize + colon;
            self.trouble = Some(Trouble { at, kind: TroubleKind::GluedColon });
            return;
        }
        let Some(map) = map else { return };
        let merge = node.style == Style::Plain && name == "<<";
        let twice = !merge && self.stands_before(map, key, name);
        let name = (pairs >= FEW || twice).then(|| name.to_owned());
        let Some(open) = self.open.last_mut() else {
            return;
        };
        open.merges |= merge;
        if let Some(name) = name {
            if !twice {
                open.names.insert(name);
                return;
            }
            open.children -= 2;
            self.tree.nodes.truncate(key);
            let message = format!("`{name}` is here twice, and only the first is read. Delete one of them.");
            self.fault(FaultKind::Broken, &(node.start..node.end), message);
        }
    }

    /// Whether the map has a key of this name before the one at `key`.
    fn stands_before(&self, map: usize, key: usize, name: &str) -> bool {
        let Some(open) = self.open.last() else {
            return false;
        };
        if open.names.contains(name) {
            return true;
        }
        let (mut at, mut seen) = (map + 1, 0);
        while at < key && seen < 2 * FEW {
            let Some(node) = self.tree.nodes.get(at) else {
                return false;
            };
            if seen % 2 == 0 && self.value(node) == Some(name) {
                return true;
            }
            at += node.size as usize;
            seen += 1;
        }
        false
    }
}

/// Where a key ends at a colon with no space behind it: `device:controller-1` where nothing else is
/// written for it, and `name:{…` anywhere.
fn glued_colon(key: &str, valueless: bool) -> Option<usize> {
    let (name, rest) = key.split_once(':')?;
    let named = name.starts_with(char::is_alphabetic) && !name.contains(char::is_whitespace);
    let glued =
        rest.starts_with(['{', '[', '"', '\'']) || valueless && !rest.is_empty() && !rest.starts_with('/');
    (named && glued).then_some(name.len())
}
