//! Verdicts: proofs over all allowed states and the whole period.

use model::Name;

/// Whether a service can run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// No allowed state turns it on.
    Never,
    /// It runs when called for, unless something blocks it.
    Conditional,
    /// Every call for it is honoured.
    Always,
    /// It was too large to prove: it may be any of the others.
    NotProven,
}

impl Verdict {
    /// `never`, `unless`, `always` or `not proven`.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Never => "never",
            Verdict::Conditional => "conditional",
            Verdict::Always => "always",
            Verdict::NotProven => "not proven",
        }
    }

    /// The word for programs, without spaces.
    pub fn key(self) -> &'static str {
        match self {
            Verdict::NotProven => "not-proven",
            proven => proven.word(),
        }
    }
}

/// A stretch of time in which a service cannot run, in Unix seconds, half-open.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Gap {
    /// First moment.
    pub from: i64,
    /// First moment after it.
    pub to: i64,
}

impl Gap {
    /// Its length in hours.
    pub fn hours(&self) -> f64 {
        (self.to - self.from) as f64 / 3600.0
    }
}

/// The longest of some gaps, the first of equals.
pub fn longest(gaps: &[Gap]) -> Option<Gap> {
    gaps.iter().copied().reduce(
        |longest, gap| {
            if gap.to - gap.from > longest.to - longest.from { gap } else { longest }
        },
    )
}

/// What two lists of gaps have in common; each is in order.
pub fn common(a: &[Gap], b: &[Gap]) -> Vec<Gap> {
    let (mut left, mut right) = (a.iter().peekable(), b.iter().peekable());
    let mut both = Vec::new();
    while let (Some(x), Some(y)) = (left.peek(), right.peek()) {
        let (from, to) = (x.from.max(y.from), x.to.min(y.to));
        if from < to {
            both.push(Gap { from, to });
        }
        if x.to < y.to {
            left.next()
        } else {
            right.next()
        };
    }
    both
}

/// What the gaps of several units have in common: in it none of them can run. Nothing for no unit; behind
/// one that leaves no gap none is asked.
pub fn shared(each: impl IntoIterator<Item = Vec<Gap>>) -> Option<Vec<Gap>> {
    let mut each = each.into_iter();
    let mut gaps = each.next()?;
    while !gaps.is_empty()
        && let Some(others) = each.next()
    {
        gaps = common(&gaps, &others);
    }
    Some(gaps)
}

/// The verdict on one service over the review period.
#[derive(Clone, PartialEq, Debug)]
pub struct ServiceVerdict {
    pub service: Name,
    /// Never: at no moment. Always: at every moment, whatever else is called. Not proven: that at any
    /// moment. Unless: the rest.
    pub verdict: Verdict,
    /// Hours of the period in which it can run; nothing where that is not proven.
    pub hours: Option<f64>,
    /// Number of gaps; nothing where that is not proven.
    pub gaps: Option<usize>,
    /// The longest gap, the earliest of equals.
    pub longest_gap: Option<Gap>,
    /// The smallest sets of circumstances that block it, each in words.
    pub unless: Vec<String>,
    /// Whether there are more such sets than `unless` lists.
    pub cut_short: bool,
}

/// The verdicts on a unit's services, in the order its type lists them.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Verdicts {
    /// One for each service.
    pub services: Vec<ServiceVerdict>,
    /// Hours of the review period.
    pub period_hours: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOURS: u32 = 7;

    /// The gaps that cover the hours whose bits are set.
    fn gaps(hours: u32) -> Vec<Gap> {
        let mut gaps: Vec<Gap> = Vec::new();
        for hour in (0..HOURS).filter(|hour| hours >> hour & 1 == 1).map(i64::from) {
            match gaps.last_mut() {
                Some(last) if last.to == hour => last.to += 1,
                _ => gaps.push(Gap { from: hour, to: hour + 1 }),
            }
        }
        gaps
    }

    #[test]
    fn gaps_in_common_are_hours_in_common() {
        for a in 0..1 << HOURS {
            for b in 0..1 << HOURS {
                assert_eq!(common(&gaps(a), &gaps(b)), gaps(a & b), "{a:b} {b:b}");
                let of_three = shared([gaps(a), gaps(b), gaps(0b10_1101)]);
                assert_eq!(of_three, Some(gaps(a & b & 0b10_1101)), "{a:b} {b:b}");
            }
        }
    }
}
