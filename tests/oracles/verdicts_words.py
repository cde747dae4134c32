"""Logic words, read by themselves: `dehumidify and not cool-1 and (unoccupied-dehumidification is allowed or occupied)`.

A reader of its own, so that a mistake in the program's reader is seen. It gives nested tuples: `("is", name)`,
`("choice", option, choice)`, `("not", x)`, `("and", x, y)`, `("or", x, y)`; `source` turns them into Python.
"""
import re


def parse(text):
    """The tree of a logic text. `not` binds before `and`, `and` before `or`."""
    words = re.findall(r"[()]|[^\s()]+", text)
    tree, rest = _either(words)
    if rest:
        raise ValueError(f"{text!r}: what is {rest[0]!r} for?")
    return tree


def names(tree):
    """Every name of a tree that is on or off."""
    if tree[0] == "is":
        return [tree[1]]
    return [] if tree[0] == "choice" else [name for part in tree[1:] for name in names(part)]


def source(tree, name, chosen):
    """A tree as a Python expression; `name` gives that of a name, `chosen` an option's choice."""
    kind, *parts = tree
    if kind == "is":
        return name(parts[0])
    if kind == "choice":
        return str(chosen[parts[0]] == parts[1])
    if kind == "not":
        return f"(not {source(parts[0], name, chosen)})"
    return "(" + f" {kind} ".join(source(part, name, chosen) for part in parts) + ")"


def _either(words):
    return _joined(words, "or", lambda words: _joined(words, "and", _single))


def _joined(words, by, part):
    tree, rest = part(words)
    while rest[:1] == [by]:
        other, rest = part(rest[1:])
        tree = (by, tree, other)
    return tree, rest


def _single(words):
    if not words:
        raise ValueError("logic that ends too early")
    word, rest = words[0], words[1:]
    if word == "not":
        tree, rest = _single(rest)
        return ("not", tree), rest
    if word == "(":
        tree, rest = _either(rest)
        if rest[:1] != [")"]:
            raise ValueError("a parenthesis that is not closed")
        return tree, rest[1:]
    if word in {")", "and", "or", "is"}:
        raise ValueError(f"{word!r} where a name belongs")
    if rest[:1] == ["is"]:
        return ("choice", word, rest[1]), rest[2:]
    return ("is", word), rest
