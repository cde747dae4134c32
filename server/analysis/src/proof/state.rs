//! What time decides: what schedules say, and the mode that comes of it.

use calendar::Value;
use model::Mode;

/// What a schedule says at a time.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) enum State {
    /// Occupied or on, or not.
    Switch(bool),
    /// Of its quantities the one of this number.
    Quantity(Value),
    /// Something that turns nothing on or off, or is not known.
    Unknown,
}

impl State {
    /// Whether it turns a relay on; nothing where that is not known.
    pub(crate) fn is_on(self) -> Option<bool> {
        if let State::Switch(on) = self { Some(on) } else { None }
    }
}

/// When a zone is occupied.
#[derive(Clone, Copy, Default, PartialEq, Eq, Hash, Debug)]
pub(crate) enum OccupiedHours {
    /// Always: it has no schedule.
    #[default]
    Always,
    /// By the schedule of this number.
    Scheduled(usize),
    /// Its schedule cannot be found.
    Unknown,
}

impl OccupiedHours {
    /// The mode while the schedules are in these states; nothing if that is not known.
    pub(crate) fn mode(self, states: &[State]) -> Option<Mode> {
        let occupied = match self {
            OccupiedHours::Always => true,
            OccupiedHours::Scheduled(n) => states.get(n)?.is_on()?,
            OccupiedHours::Unknown => return None,
        };
        Some(if occupied { Mode::Occupied } else { Mode::Unoccupied })
    }
}

/// One of something for each mode.
#[derive(PartialEq, Eq, Hash, Debug)]
pub(crate) struct ByMode<T> {
    occupied: T,
    unoccupied: T,
}

impl<T> ByMode<T> {
    pub(crate) fn of(mut make: impl FnMut(Mode) -> T) -> Self {
        ByMode { occupied: make(Mode::Occupied), unoccupied: make(Mode::Unoccupied) }
    }

    pub(crate) fn get(&self, mode: Mode) -> &T {
        match mode {
            Mode::Occupied => &self.occupied,
            Mode::Unoccupied => &self.unoccupied,
        }
    }
}
