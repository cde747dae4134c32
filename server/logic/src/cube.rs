//! Variables, literals, and the conjunctions of literals that answers are given in.

/// One boolean input, known by its number.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug, Default)]
pub struct Var(pub u32);

/// A variable, or its negation. Off sorts before on.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Literal {
    /// The input spoken of.
    pub var: Var,
    /// The value it has.
    pub value: bool,
}

/// A set of literals that hold together, sorted, one a variable. The empty cube always holds.
///
/// Cubes order by size and then by their literals, so that sorted answers put the simplest first.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Cube(Vec<Literal>);

impl Cube {
    /// The conjunction of some literals; `None` when two of them contradict.
    pub fn new(literals: impl IntoIterator<Item = Literal>) -> Option<Self> {
        let mut literals: Vec<Literal> = literals.into_iter().collect();
        literals.sort_unstable();
        literals.dedup();
        let contradicts = literals.windows(2).any(|pair| matches!(pair, [a, b] if a.var == b.var));
        (!contradicts).then_some(Self(literals))
    }

    /// The literals, by variable.
    pub fn literals(&self) -> &[Literal] {
        &self.0
    }

    /// How many inputs the cube speaks of.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether the cube says nothing, and so always holds.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// What the cube says of a variable, if anything.
    pub fn value(&self, var: Var) -> Option<bool> {
        let at = self.0.binary_search_by_key(&var, |literal| literal.var);
        at.ok().and_then(|at| self.0.get(at)).map(|literal| literal.value)
    }

    /// Both cubes at once; `None` when they contradict.
    pub fn and(&self, other: &Self) -> Option<Self> {
        Self::new(self.0.iter().chain(&other.0).copied())
    }

    /// The cube with nothing said of a variable.
    #[must_use]
    pub fn without(&self, var: Var) -> Self {
        let others = self.0.iter().filter(|literal| literal.var != var);
        Self(others.copied().collect())
    }

    /// The cube with the opposite said of a variable.
    #[must_use]
    pub fn flipped(&self, var: Var) -> Self {
        let flip = |literal: &Literal| Literal { value: literal.value != (literal.var == var), ..*literal };
        Self(self.0.iter().map(flip).collect())
    }

    /// Whether the cube holds under an assignment.
    pub fn eval(&self, value: &dyn Fn(Var) -> bool) -> bool {
        self.0.iter().all(|literal| value(literal.var) == literal.value)
    }
}

impl Ord for Cube {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (self.len().cmp(&other.len())).then_with(|| self.0.cmp(&other.0))
    }
}

impl PartialOrd for Cube {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
