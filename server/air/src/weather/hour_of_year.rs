//! An hour of a typical year, which has 365 days and no clock change.

use std::fmt;

/// Hours in a year of 365 days.
pub const HOURS_IN_YEAR: usize = 8760;

const MONTHS: [(&str, u16); 12] = [
    ("Jan", 31),
    ("Feb", 28),
    ("Mar", 31),
    ("Apr", 30),
    ("May", 31),
    ("Jun", 30),
    ("Jul", 31),
    ("Aug", 31),
    ("Sep", 30),
    ("Oct", 31),
    ("Nov", 30),
    ("Dec", 31),
];

/// An hour of the year by its beginning, in local standard time: the first is 1 January 00:00.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HourOfYear(u16);

impl HourOfYear {
    /// The hour that begins at `hour` (0 to 23) on a date. A typical year has no 29 February: asked for
    /// it, this answers 28 February. None where there is no such date or hour.
    pub fn new(month: u8, day: u8, hour: u8) -> Option<Self> {
        let index = usize::from(month).checked_sub(1)?;
        let &(_, length) = MONTHS.get(index)?;
        let day = if (month, day) == (2, 29) { 28 } else { u16::from(day) };
        if day == 0 || day > length || hour > 23 {
            return None;
        }
        let days_before: u16 = MONTHS.iter().take(index).map(|(_, length)| length).sum();
        Some(HourOfYear((days_before + day - 1) * 24 + u16::from(hour)))
    }

    /// Its place in the year, 0 to 8759.
    pub fn index(self) -> usize {
        usize::from(self.0)
    }

    /// Every hour of the year, in order.
    pub fn all() -> impl Iterator<Item = Self> + Clone {
        (0..HOURS_IN_YEAR as u16).map(HourOfYear)
    }

    /// This hour and those after it, for ever, running on from December into January.
    pub fn following(self) -> impl Iterator<Item = Self> {
        Self::all().cycle().skip(self.index())
    }
}

impl fmt::Display for HourOfYear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut day = self.0 / 24;
        for (month, length) in MONTHS {
            if day < length {
                return write!(f, "{month} {} {:02}:00", day + 1, self.0 % 24);
            }
            day -= length;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_and_places_agree() {
        let text = |month, day, hour| HourOfYear::new(month, day, hour).map(|hour| hour.to_string());
        assert_eq!(HourOfYear::new(1, 1, 0).map(HourOfYear::index), Some(0));
        assert_eq!(HourOfYear::new(7, 1, 18).map(HourOfYear::index), Some(181 * 24 + 18));
        assert_eq!(HourOfYear::new(12, 31, 23).map(HourOfYear::index), Some(8759));
        assert_eq!(text(7, 1, 18).as_deref(), Some("Jul 1 18:00"));
        assert_eq!(text(2, 29, 5).as_deref(), Some("Feb 28 05:00"));
        assert_eq!(text(12, 31, 23).as_deref(), Some("Dec 31 23:00"));
        for (month, day, hour) in [(0, 1, 0), (13, 1, 0), (4, 31, 0), (2, 30, 0), (1, 0, 0), (1, 1, 24)] {
            assert_eq!(text(month, day, hour), None);
        }
    }

    #[test]
    fn december_runs_on_into_january() {
        let hours: Vec<_> = HourOfYear(8759).following().take(2).map(HourOfYear::index).collect();
        assert_eq!(hours, [8759, 0]);
    }
}
