//! One way in which work may have gone: in which batch each cause of a set was cured.

/// Causes present at the start, by their positions in some scope, and the number of the batch that cured
/// each, from 0; a number that no batch has for one that is still there.
#[derive(Debug, Clone, Copy)]
pub(super) struct History<'h> {
    pub(super) members: &'h [usize],
    pub(super) cured_in: &'h [usize],
}

impl History<'_> {
    /// What was left after so many batches, in the order of the members.
    #[inline]
    pub(super) fn left(&self, after: usize) -> impl Iterator<Item = usize> {
        let cured_in = self.cured_in.iter();
        self.members
            .iter()
            .zip(cured_in)
            .filter(move |(_, cured)| **cured >= after)
            .map(|(m, _)| *m)
    }

    /// Whether of these causes the same were there at both times; `linked` by position in the scope.
    #[inline]
    pub(super) fn unchanged(&self, linked: &[bool], from: usize, to: usize) -> bool {
        let cured = self.members.iter().zip(self.cured_in).filter(|(_, c)| (from..to).contains(*c));
        !cured.into_iter().any(|(&member, _)| linked.get(member).copied().unwrap_or(false))
    }
}
