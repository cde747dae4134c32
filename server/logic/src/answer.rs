//! What can be said of a question: yes, no, or that it is not known.

/// An answer that was proven, or none.
///
/// A caller that needs a `bool` has to say which of the three it takes for what: there is no way
/// from here to a `bool` that does not name the case it asks for.
#[must_use]
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Answer {
    /// Proven to be so.
    Yes,
    /// Proven not to be so.
    No,
    /// Neither was proven within the bounds.
    Unknown,
}

impl Answer {
    /// An answer that is known.
    pub fn of(known: bool) -> Self {
        if known { Self::Yes } else { Self::No }
    }

    /// Whether it is proven to be so.
    pub fn is_yes(self) -> bool {
        self == Self::Yes
    }

    /// Whether it is proven not to be so.
    pub fn is_no(self) -> bool {
        self == Self::No
    }

    /// Whether neither was proven.
    pub fn is_unknown(self) -> bool {
        self == Self::Unknown
    }

    /// Both: one that is proven not to be so decides.
    pub fn and(self, other: impl FnOnce() -> Self) -> Self {
        if self == Self::No {
            return self;
        }
        match (self, other()) {
            (_, Self::No) => Self::No,
            (Self::Yes, other) => other,
            _ => Self::Unknown,
        }
    }

    /// Either: one that is proven decides.
    pub fn or(self, other: impl FnOnce() -> Self) -> Self {
        !(!self).and(|| !other())
    }

    /// Whether any is so.
    pub fn any(all: impl IntoIterator<Item = Self>) -> Self {
        let mut joined = Self::No;
        for answer in all {
            joined = joined.or(|| answer);
            if joined == Self::Yes {
                break;
            }
        }
        joined
    }

    /// Whether all are so.
    pub fn all(all: impl IntoIterator<Item = Self>) -> Self {
        !Self::any(all.into_iter().map(|answer| !answer))
    }
}

impl std::ops::Not for Answer {
    type Output = Self;

    fn not(self) -> Self {
        match self {
            Self::Yes => Self::No,
            Self::No => Self::Yes,
            Self::Unknown => Self::Unknown,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Answer::{self, No, Unknown, Yes};

    /// Joined answers hold whatever the unknown ones turn out to be, and say all that holds so.
    #[test]
    fn unknown_stays_unknown_until_it_cannot_matter() {
        let could = |answer: Answer| match answer {
            Yes => &[true][..],
            No => &[false],
            Unknown => &[true, false],
        };
        let known = |mut values: Vec<bool>| {
            values.dedup();
            if let [one] = values.as_slice() { Answer::of(*one) } else { Unknown }
        };
        for a in [Yes, No, Unknown] {
            for b in [Yes, No, Unknown] {
                let each = |join: fn(bool, bool) -> bool| {
                    let mut values: Vec<bool> =
                        could(a).iter().flat_map(|x| could(b).iter().map(move |y| join(*x, *y))).collect();
                    values.sort_unstable();
                    known(values)
                };
                assert_eq!(a.and(|| b), each(|x, y| x && y));
                assert_eq!(a.or(|| b), each(|x, y| x || y));
                assert_eq!((Answer::all([a, b]), Answer::any([a, b])), (a.and(|| b), a.or(|| b)));
            }
        }
    }
}
