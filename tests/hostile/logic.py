"""Units whose logic is large, each with what it comes to known by how it is built: none may be passed for want of a proof.

    python3 logic.py PROGRAM [CASE ...]

The cases of run.py run as well; bounds, forms and exit status are as there. A case that can run must not be told as never, and the other way round; where
nothing is proven, `not-proven` says so.
"""

import random

from run import case, main, write

LIMITS = "{heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}"
ZONE = (
    "schedules:\n  s: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}\n"
    f"zones:\n  z: {{schedule: s, occupied: {LIMITS}, unoccupied: {LIMITS}}}\n"
)
NEVER = "[dehumidification-never-runs]"


def unit(folder, inputs, terms, outputs, never=()):
    """A job with one unit of one type, each input on a contact of its own; the output `o` dehumidifies."""
    lines = ["unit-types:", "  big:", "    inputs:", *(f"      {name}: {{description: input {name}}}" for name in inputs)]
    if terms:
        lines += ["    terms:", *(f"      {name}: {text}" for name, text in terms)]
    lines += ["    outputs:", *(f"      {name}: {{when: {text}, role: reheat}}" for name, text in outputs)]
    lines += ["    serves: {dehumidification: o}"]
    if never:
        lines += ["    never: [" + ", ".join(never) + "]"]
    lines += ["points:", *(f"  P-{name}: {{driven-by: {{contact: field}}, description: contact {name}}}" for name in inputs)]
    lines += ["units:", "  U:", "    type: big", "    zone: z", "    inputs:"]
    lines += [f"      {name}: P-{name}" for name in inputs]
    write(folder, "a.yaml", "\n".join(lines) + "\n" + ZONE)


def named(fill, name):
    fill.__name__ = name
    return fill


def pairs(count):
    """The names, and `x0 and y0 or …` forwards and backwards."""
    xs, ys = [f"x{n}" for n in range(count)], [f"y{n}" for n in range(count)]
    forwards = " or ".join(f"{x} and {y}" for x, y in zip(xs, ys))
    return xs + ys, forwards, " or ".join(f"{y} and {x}" for x, y in reversed(list(zip(xs, ys))))


def on_and_not_on(count):
    def fill(folder):
        inputs, forwards, backwards = pairs(count)
        unit(folder, inputs, [("e1", forwards), ("e2", backwards)], [("o", "e1 and not e2"), ("p", "e1")])

    return named(fill, f"on_and_not_on_{count}")


def violated(count):
    def fill(folder):
        inputs, forwards, _ = pairs(count)
        unit(folder, inputs, [("e1", forwards)], [("o", "e1"), ("p", "not e1")], ["o and not p"])

    return named(fill, f"a_violated_never_{count}")


def partners_apart(count):
    def fill(folder):
        inputs, forwards, _ = pairs(count)
        unit(folder, inputs, [], [("o", forwards)])

    return named(fill, f"partners_apart_{count}")


def chain(count):
    def fill(folder):
        links = "".join(f"  P{n}: {{driven-by: {{point: P{n + 1}}}, description: link {n}}}\n" for n in range(count))
        end = f"  P{count}: {{driven-by: {{operator: off}}, description: end}}\n"
        wired = "units:\n  U: {type: stand-alone-dehumidifier, zone: z, inputs: {dehumidify: P0, occupied: not-wired}}\n"
        write(folder, "a.yaml", "points:\n" + links + end + wired + ZONE)

    return named(fill, f"a_chain_of_{count}")


def ring(count):
    def fill(folder):
        link = "  P{}: {{driven-by: {{point: P{}}}, description: link {}}}\n"
        write(folder, "a.yaml", "points:\n" + "".join(link.format(n, (n + 1) % count, n) for n in range(count)))

    return named(fill, f"a_ring_of_{count}")


def terms(count):
    def fill(folder):
        lines = [("t0", "a and b")] + [(f"t{n}", f"t{n - 1}") for n in range(1, count)]
        unit(folder, ["a", "b"], lines, [("o", f"t{count - 1} and not a"), ("p", "b")])

    return named(fill, f"a_chain_of_{count}_terms")


def clauses(variables, count):
    def fill(folder):
        chance = random.Random(variables)
        names = [f"i{n}" for n in range(variables)]
        sign = lambda: chance.choice(("", "not "))
        each = lambda: "(" + " or ".join(sign() + name for name in chance.sample(names, 3)) + ")"
        unit(folder, names, [], [("o", " and ".join(each() for _ in range(count)))])

    return named(fill, f"{count}_clauses_of_{variables}")


def parity(count):
    def fill(folder):
        lines = [("t0", "i0")]
        lines += [(f"t{n}", f"t{n - 1} and not i{n} or not t{n - 1} and i{n}") for n in range(1, count)]
        unit(folder, [f"i{n}" for n in range(count)], lines, [("o", f"t{count - 1}")])

    return named(fill, f"parity_of_{count}")


def same_term(count):
    def fill(folder):
        unit(folder, ["a", "b"], [], [("o", " or ".join(["a and b"] * count))])

    return named(fill, f"the_same_{count}_times")


for count in (4, 17, 24, 32):
    case({1}, NEVER)(on_and_not_on(count))
for count in (4, 17, 32):
    case({1}, "[unit-logic-unsafe]")(violated(count))
    case({0, 1}, unsaid=NEVER)(partners_apart(count))
for count in (100, 513, 3_000, 100_000):
    case({1}, NEVER)(chain(count))
for count in (3, 1_001, 1_002, 20_000):
    case({1}, ": error: ")(ring(count))
for count in (100, 511, 2_000, 10_000):
    case({1}, NEVER)(terms(count))
for variables, count in ((40, 80), (64, 120), (100, 300)):
    case({0, 1}, unsaid=NEVER)(clauses(variables, count))
# Twice as many clauses as a random formula of that size can bear: it cannot be on, if that can be proven at all.
case({1}, unsaid="  always  ")(clauses(300, 2_600))
for count in (12, 24, 64):
    case({0, 1}, unsaid=NEVER)(parity(count))
case({0, 1}, unsaid=NEVER)(same_term(10_000))

if __name__ == "__main__":
    main()
