//! Identity as a key.

use std::hash::{Hash, Hasher};
use std::ops::Deref;
use std::sync::Arc;

/// A shared value that is equal to itself alone: two that say the same are two. It keeps the value alive, so
/// nothing else can come to stand at its address.
pub(crate) struct Same<T: ?Sized>(pub(crate) Arc<T>);

impl<T: ?Sized> Same<T> {
    /// The identity of a shared value.
    pub(crate) fn of(shared: &Arc<T>) -> Self {
        Same(shared.clone())
    }

    /// An address to tell it from others while it is held, and by how many it is held.
    pub(crate) fn holders(&self) -> (usize, usize) {
        (Arc::as_ptr(&self.0).cast::<()>() as usize, Arc::strong_count(&self.0))
    }
}

impl<T: ?Sized> Clone for Same<T> {
    fn clone(&self) -> Self {
        Same(self.0.clone())
    }
}

impl<T: ?Sized> PartialEq for Same<T> {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl<T: ?Sized> Eq for Same<T> {}

impl<T: ?Sized> Hash for Same<T> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        Arc::as_ptr(&self.0).cast::<()>().hash(state);
    }
}

impl<T: ?Sized> Deref for Same<T> {
    type Target = Arc<T>;

    fn deref(&self) -> &Arc<T> {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_that_say_the_same_are_two() {
        let (one, other): (Arc<str>, Arc<str>) = ("a".into(), "a".into());
        assert!(Same::of(&one) == Same::of(&one.clone()));
        assert!(one == other && Same::of(&one) != Same::of(&other));
    }
}
