//! Work on the words of tables: each function goes over all rows at once.

/// The tables of the six variables that vary within one word.
pub(super) const COLUMNS: [u64; 6] = [
    0xAAAA_AAAA_AAAA_AAAA,
    0xCCCC_CCCC_CCCC_CCCC,
    0xF0F0_F0F0_F0F0_F0F0,
    0xFF00_FF00_FF00_FF00,
    0xFFFF_0000_FFFF_0000,
    0xFFFF_FFFF_0000_0000,
];

/// How many words a table of so many variables fills.
pub(super) fn word_count(vars: usize) -> usize {
    1 << vars.saturating_sub(COLUMNS.len())
}

/// The value in one row.
pub(super) fn bit(words: &[u64], row: usize) -> bool {
    words.get(row / 64).is_some_and(|word| word >> (row % 64) & 1 == 1)
}

/// Puts the table of the variable at `at` on a stack of tables.
pub(super) fn push_column(stack: &mut Vec<u64>, width: usize, at: usize) {
    if let Some(column) = COLUMNS.get(at) {
        stack.resize(stack.len() + width, *column);
        return;
    }
    let high = at - COLUMNS.len();
    let on = |word: usize| if word >> high & 1 == 1 { u64::MAX } else { 0 };
    stack.extend((0..width).map(on));
}

/// Replaces the top `count` tables of the stack by one.
pub(super) fn fold_top(
    stack: &mut Vec<u64>,
    width: usize,
    count: u32,
    join: impl Fn(u64, u64) -> u64,
) -> Option<()> {
    for _ in 1..count {
        let at = stack.len().checked_sub(width)?;
        let (below, top) = stack.split_at_mut_checked(at)?;
        let under = below.len().checked_sub(width)?;
        for (a, b) in below.get_mut(under..)?.iter_mut().zip(top) {
            *a = join(*a, *b);
        }
        stack.truncate(at);
    }
    Some(())
}

/// Whether any row changes with the variable at `at`.
pub(super) fn depends(words: &[u64], at: usize) -> bool {
    if let Some(column) = COLUMNS.get(at) {
        return (words.iter()).any(|word| (word >> (1 << at) ^ word) & !column != 0);
    }
    let half = 1 << (at - COLUMNS.len());
    (words.chunks_exact(2 * half)).any(|block| block.get(..half) != block.get(half..))
}

/// Puts the same word into both halves that the variable at `at` tells apart.
pub(super) fn merge_halves(words: &mut [u64], at: usize, join: impl Fn(u64, u64) -> u64) {
    if let Some(column) = COLUMNS.get(at) {
        let shift = 1 << at;
        for word in words {
            let low = *word & !column;
            let high = *word >> shift & !column;
            let joined = join(low, high) & !column;
            *word = joined | joined << shift;
        }
        return;
    }
    let half = 1 << (at - COLUMNS.len());
    for block in words.chunks_exact_mut(2 * half) {
        let (low, high) = block.split_at_mut(half);
        for (a, b) in low.iter_mut().zip(high) {
            let joined = join(*a, *b);
            (*a, *b) = (joined, joined);
        }
    }
}

/// Exchanges the variables at two positions, `first` not after `second`.
pub(super) fn swap(words: &mut [u64], first: usize, second: usize) {
    if first == second {
        return;
    }
    match (COLUMNS.get(first), COLUMNS.get(second)) {
        (Some(one), Some(two)) => {
            let shift = (1 << second) - (1 << first);
            for word in words {
                let moved = (*word >> shift ^ *word) & one & !two;
                *word ^= moved | moved << shift;
            }
        }
        (Some(one), None) => {
            let (shift, half) = (1 << first, 1 << (second - COLUMNS.len()));
            for block in words.chunks_exact_mut(2 * half) {
                let (low, high) = block.split_at_mut(half);
                for (a, b) in low.iter_mut().zip(high) {
                    let moved = (*a >> shift ^ *b) & !one;
                    *b ^= moved;
                    *a ^= moved << shift;
                }
            }
        }
        (None, _) => {
            let small = 1 << (first - COLUMNS.len());
            let half = 1 << second.saturating_sub(COLUMNS.len());
            for block in words.chunks_exact_mut(2 * half) {
                let (low, high) = block.split_at_mut(half);
                let lows = low.chunks_exact_mut(2 * small);
                for (a, b) in lows.zip(high.chunks_exact_mut(2 * small)) {
                    if let (Some(a), Some(b)) = (a.get_mut(small..), b.get_mut(..small)) {
                        a.swap_with_slice(b);
                    }
                }
            }
        }
    }
}
