//! The order of the scores on screens, and how their moves are weighed against each other.

use super::Estimate;

/// The scores in the order of screens, grouped by where one meets the property.
pub const GROUPS: [(&str, &[Estimate]); 3] = [
    ("In the hand", &[Estimate::Hardness, Estimate::Wear]),
    ("At the basin", &[Estimate::LatherVolume, Estimate::LatherPersistence, Estimate::Cleansing]),
    ("On skin and shelf", &[Estimate::Conditioning, Estimate::Keeping]),
];

/// The scores in the order of screens.
pub fn on_screens() -> impl Iterator<Item = Estimate> {
    GROUPS.into_iter().flat_map(|(_, estimates)| estimates).copied()
}

impl Estimate {
    /// A move of this score as points of one that runs to 100: keeping runs over a few units only.
    pub const fn in_points(self, change: f64) -> f64 {
        match self {
            Self::Keeping => 20.0 * change,
            Self::Hardness
            | Self::Cleansing
            | Self::Conditioning
            | Self::LatherVolume
            | Self::LatherPersistence
            | Self::Wear => change,
        }
    }
}

/// At most `most` of the `moves` of scores, the largest first, none under `least` points.
///
/// ```
/// use barwright_core::library::estimates::{Estimate, largest};
/// let moves = [(Estimate::Hardness, 1.5), (Estimate::Wear, 0.2), (Estimate::Keeping, -0.1)];
/// assert_eq!(largest(moves, 3, 0.5), [(Estimate::Keeping, -0.1), (Estimate::Hardness, 1.5)]);
/// ```
pub fn largest(moves: impl IntoIterator<Item = (Estimate, f64)>, most: usize, least: f64) -> Vec<(Estimate, f64)> {
    let points = |(estimate, change): &(Estimate, f64)| estimate.in_points(*change).abs();
    let mut moves: Vec<_> = moves.into_iter().filter(|m| points(m) >= least).collect();
    moves.sort_by(|a, b| points(b).total_cmp(&points(a)));
    moves.truncate(most);
    moves
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_score_stands_once_on_screens() {
        let mut all: Vec<Estimate> = on_screens().collect();
        all.sort_unstable();
        assert_eq!(all, Estimate::ALL);
    }
}
