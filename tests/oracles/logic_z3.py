"""Random boolean functions judged by z3, for the engine in server/logic to agree with.

Usage: logic_z3.py [OUT.csv], without a file to standard output.

One line a pair of expressions, in postfix: a number is a variable, `!` negates, `&3` and `|3` join
the three operands before them. Columns: whether some assignment turns `f` on; whether `f` and `g`
are equivalent; whether `f` implies `g`; whether some assignment turns `f` on whatever the value of
variable 0; and how many prime implicants `f` has (by asking z3 about every cube; empty for wide
functions).
"""

import csv
import itertools
import sys

import z3

NARROW, WIDE = 6, 24


class Dice:
    """A linear congruential generator: the same table under every version of Python."""

    def __init__(self, seed):
        self.state = seed

    def roll(self, sides):
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) % 2**64
        return (self.state >> 33) % sides


def expression(dice, variables, depth):
    """A nested tuple: ("var", n), ("not", e), ("and", e, ...) or ("or", e, ...)."""
    kind = dice.roll(8)
    if depth == 0 or kind == 0:
        return ("var", dice.roll(variables))
    if kind < 3:
        return ("not", expression(dice, variables, depth - 1))
    parts = [expression(dice, variables, depth - 1) for _ in range(2 + dice.roll(3))]
    return ("and" if kind < 6 else "or", *parts)


def cubes(dice, variables, count):
    """A sum of cubes of two to four literals: many inputs matter, and many primes arise."""

    def literal():
        var = ("var", dice.roll(variables))
        return ("not", var) if dice.roll(2) else var

    return ("or", *(("and", *(literal() for _ in range(2 + dice.roll(3)))) for _ in range(count)))


def rewritten(e, negated=False):
    """The same function (or its negation) with negations at the inputs and operands reversed."""
    if e[0] == "var":
        return ("not", e) if negated else e
    if e[0] == "not":
        return rewritten(e[1], not negated)
    kind = {"and": "or", "or": "and"}[e[0]] if negated else e[0]
    return (kind, *(rewritten(part, negated) for part in reversed(e[1:])))


def nudged(dice, e):
    """One operand of some operator negated: usually another function."""
    if e[0] == "var":
        return ("not", e)
    at = 1 + dice.roll(len(e) - 1)
    return (*e[:at], nudged(dice, e[at]), *e[at + 1 :])


def postfix(e):
    if e[0] == "var":
        return str(e[1])
    sign = {"not": "!", "and": f"&{len(e) - 1}", "or": f"|{len(e) - 1}"}[e[0]]
    return " ".join([*map(postfix, e[1:]), sign])


def meaning(e, inputs):
    if e[0] == "var":
        return inputs[e[1]]
    parts = [meaning(part, inputs) for part in e[1:]]
    return {"not": z3.Not, "and": z3.And, "or": z3.Or}[e[0]](*parts)


def possible(claim):
    solver = z3.Solver()
    solver.add(claim)
    return solver.check() == z3.sat


def primes(f, inputs):
    solver = z3.Solver()
    solver.add(z3.Not(f))
    forcing = set()
    for cube in itertools.product((False, True, None), repeat=len(inputs)):
        fixed = [i if on else z3.Not(i) for i, on in zip(inputs, cube) if on is not None]
        if solver.check(*fixed) == z3.unsat:
            forcing.add(cube)

    def minimal(cube):
        shorter = (cube[:at] + (None,) + cube[at + 1 :] for at, on in enumerate(cube) if on is not None)
        return not any(each in forcing for each in shorter)

    return sum(map(minimal, forcing))


def row(dice, variables, depth):
    inputs = [z3.Bool(f"x{at}") for at in range(variables)]
    nested = dice.roll(3) == 0
    first = expression(dice, variables, depth) if nested else cubes(dice, variables, variables)
    second = [
        lambda: rewritten(first),
        lambda: rewritten(nudged(dice, first)),
        lambda: ("or", rewritten(first), expression(dice, variables, 2)),
        lambda: expression(dice, variables, depth),
    ][dice.roll(4)]()
    f, g = meaning(first, inputs), meaning(second, inputs)
    both = [z3.substitute(f, (inputs[0], z3.BoolVal(value))) for value in (False, True)]
    yes_or_no = [
        possible(f),
        not possible(z3.Xor(f, g)),
        not possible(z3.And(f, z3.Not(g))),
        possible(z3.And(*both)),
    ]
    count = primes(f, inputs) if variables <= NARROW else ""
    return [postfix(first), postfix(second), *map(int, yes_or_no), count]


def main(out):
    dice = Dice(60)
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["f", "g", "satisfiable", "equivalent", "implies", "for_both", "primes"])
    table.writerows(row(dice, NARROW, 4) for _ in range(250))
    table.writerows(row(dice, WIDE, 5) for _ in range(150))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        with open(sys.argv[1], "w", encoding="utf-8", newline="") as file:
            main(file)
    else:
        main(sys.stdout)
