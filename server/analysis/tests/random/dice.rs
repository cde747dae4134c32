//! Choices read from a string of bytes, so that a shorter string of smaller bytes is a simpler job.

/// The bytes still to be read; zero from there on.
pub(crate) struct Dice<'b>(std::slice::Iter<'b, u8>);

impl<'b> Dice<'b> {
    pub(crate) fn new(bytes: &'b [u8]) -> Self {
        Dice(bytes.iter())
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::from(*self.0.next().unwrap_or(&0)) * end / 256
    }

    /// Whether something happens that does so in `percent` of all cases.
    pub(crate) fn chance(&mut self, percent: usize) -> bool {
        self.below(100) >= 100 - percent
    }

    /// One of some things; the simplest stands first.
    pub(crate) fn one<'t, T: ?Sized>(&mut self, of: &[&'t T]) -> &'t T {
        of[self.below(of.len())]
    }

    /// Logic over some names and the choices of some options.
    pub(crate) fn words(&mut self, names: &[String], options: &[Vec<String>], depth: usize) -> String {
        if depth == 0 || self.chance(15) {
            let leaf = match options {
                [_, ..] if self.chance(30) => {
                    let option = self.below(options.len());
                    format!("option-{option} is {}", options[option][self.below(options[option].len())])
                }
                _ => names[self.below(names.len())].clone(),
            };
            return if self.chance(30) { format!("not {leaf}") } else { leaf };
        }
        let parts: Vec<String> =
            (0..2 + self.below(2)).map(|_| self.words(names, options, depth - 1)).collect();
        let joined = parts.join(self.one(&[" and ", " or "]));
        if self.chance(10) { format!("not ({joined})") } else { format!("({joined})") }
    }
}
