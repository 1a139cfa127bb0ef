//! Draws numbers from a list of bytes, so that a failing case shrinks.

pub struct Draw<'a>(pub std::slice::Iter<'a, u8>);

impl Draw<'_> {
    pub fn below(&mut self, n: usize) -> usize {
        usize::from(self.0.next().copied().unwrap_or(0)) % n
    }

    pub fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == n - 1
    }
}
