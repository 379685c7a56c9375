//! Seeded synthetic blend searches: fats around nine archetypes, seven indices with ranges around a
//! blend of six, three tasks. The same numbers on every machine; the optima to compare with were
//! proven by a general mixed-integer solver.

use barwright_solver::{Problem, Row};

/// Molar masses of the acids C8 … C22:1 and of the rest, as the instances use them.
const MOLAR_MASS: [f64; 16] = [
    144.21, 172.26, 200.32, 228.37, 256.42, 254.41, 284.48, 282.46, 280.45, 278.43, 298.46, 312.53, 310.51, 340.58,
    338.57, 280.0,
];

/// Probability of each archetype and its acids in percent.
const ARCHETYPES: [(f64, &[(usize, f64)]); 9] = [
    (0.12, &[(0, 7.0), (1, 6.0), (2, 48.0), (3, 18.0), (4, 9.0), (6, 3.0), (7, 7.0), (8, 2.0)]),
    (0.08, &[(3, 1.0), (4, 44.0), (6, 4.0), (7, 40.0), (8, 10.0)]),
    (0.16, &[(4, 26.0), (6, 35.0), (7, 34.0), (8, 3.0), (11, 1.0)]),
    (0.22, &[(4, 10.0), (5, 1.0), (6, 3.0), (7, 72.0), (8, 12.0), (9, 1.0)]),
    (0.22, &[(4, 6.0), (6, 4.0), (7, 24.0), (8, 64.0), (9, 1.0)]),
    (0.08, &[(4, 6.0), (6, 4.0), (7, 18.0), (8, 16.0), (9, 54.0)]),
    (0.03, &[(4, 1.0), (6, 1.0), (7, 4.0), (8, 4.0), (10, 88.0)]),
    (0.04, &[(4, 4.0), (6, 1.0), (7, 16.0), (8, 14.0), (9, 8.0), (12, 8.0), (13, 2.0), (14, 44.0)]),
    (0.05, &[(3, 3.0), (4, 25.0), (5, 3.0), (6, 16.0), (7, 42.0), (8, 7.0)]),
];

/// splitmix64 with uniform and normal numbers.
pub(crate) struct Stream(pub(crate) u64);

impl Stream {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.next() >> 11) as f64 * 2.0_f64.powi(-53)
    }

    /// With mean 0 and variance 1.
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (self.uniform(), self.uniform());
        (-2.0 * (1.0 - a).ln()).sqrt() * (2.0 * std::f64::consts::PI * b).cos()
    }

    /// A whole number below `m`.
    pub(crate) fn below(&mut self, m: usize) -> usize {
        let u = self.uniform();
        (1..m).take_while(|k| *k as f64 <= (u * m as f64).floor()).count()
    }
}

/// What is asked of an instance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Task {
    /// The cheapest blend, near the ranges.
    Cost,
    /// The blend nearest to the reference's acids, without one of its fats.
    Match,
    /// Both.
    Mix,
}

impl Task {
    /// All three.
    pub(crate) const ALL: [Self; 3] = [Self::Cost, Self::Match, Self::Mix];

    /// Weights of cost and fit.
    pub(crate) const fn weights(self) -> (f64, f64) {
        match self {
            Self::Cost => (1.0, 0.0),
            Self::Match => (0.01, 1.0),
            Self::Mix => (1.0, 0.2),
        }
    }
}

/// A market of fats with a reference blend and ranges.
#[derive(Debug, Clone)]
pub(crate) struct Instance {
    /// Acids of each fat, percent.
    pub(crate) acids: Vec<[f64; 16]>,
    /// Price of each fat.
    pub(crate) price: Vec<f64>,
    /// Seven indices of each fat.
    pub(crate) indices: [Vec<f64>; 7],
    /// The acids of the reference blend.
    pub(crate) target: [f64; 16],
    /// The range of each index.
    pub(crate) ranges: [(f64, f64); 7],
    /// The weight of each range.
    pub(crate) weights: [f64; 7],
    /// The reference's first fat, which the match may not use.
    pub(crate) banned: usize,
}

impl Instance {
    /// Instance number `s` with `n` fats.
    pub(crate) fn new(n: usize, s: usize) -> Self {
        let mut stream = Stream(u64::try_from(1000 * n + s).unwrap_or_default());
        let (mut acids, mut price) = (Vec::new(), Vec::new());
        for _ in 0..n {
            let u = stream.uniform();
            let mut sum = 0.0;
            let mut archetype = ARCHETYPES[8].1;
            for (probability, profile) in ARCHETYPES {
                sum += probability;
                if u < sum {
                    archetype = profile;
                    break;
                }
            }
            let mut v = [0.0; 16];
            for (j, v) in v.iter_mut().enumerate() {
                let base = archetype.iter().find(|(acid, _)| *acid == j).map_or(0.0, |(_, percent)| *percent);
                *v = base * (0.35 * stream.normal()).exp();
                if stream.uniform() < 0.3 {
                    *v += 0.4 * stream.uniform();
                }
            }
            let total: f64 = v.iter().sum();
            for v in &mut v {
                *v *= 98.0 / total;
            }
            price.push((6.0_f64.ln() + 0.7 * stream.normal()).exp());
            let moles: f64 = v.iter().zip(MOLAR_MASS).map(|(v, m)| v / m).sum();
            // The saponification value and the stock are drawn, but no task uses them.
            let _sv = 168_316.0 / (3.0 * 98.0 / moles + 38.05) * (0.985 + 0.01 * stream.uniform());
            let _stock = stream.uniform();
            acids.push(v);
        }
        let indices = std::array::from_fn(|k| {
            let mut row: [f64; 16] = std::array::from_fn(|_| [0.0, 0.0, 0.5, 1.0][stream.below(4)]);
            if row.iter().all(|c| *c <= 0.0) {
                row[k] = 1.0;
            }
            acids.iter().map(|v| row.iter().zip(v).map(|(c, v)| c * v).sum()).collect::<Vec<f64>>()
        });
        let mut reference: Vec<usize> = Vec::new();
        while reference.len() < 6 {
            let fat = stream.below(n);
            if !reference.contains(&fat) {
                reference.push(fat);
            }
        }
        let shares = [0.25, 0.25, 0.20, 0.15, 0.10, 0.05];
        let blend = |of: &dyn Fn(usize) -> f64| reference.iter().zip(shares).map(|(&i, w)| w * of(i)).sum::<f64>();
        let target = std::array::from_fn(|j| blend(&|i| acids[i][j]));
        let ranges = std::array::from_fn(|k| {
            let middle = blend(&|i| indices[k][i]);
            let half = 2.0 + 4.0 * stream.uniform();
            let shift = 6.0 * (stream.uniform() - 0.5);
            (middle + shift - half, middle + shift + half)
        });
        let weights = std::array::from_fn(|_| 1.0 + 3.0 * stream.uniform());
        Self { banned: reference[0], acids, price, indices, target, ranges, weights }
    }

    /// The task with ranges that may be left at a price.
    pub(crate) fn problem(&self, task: Task) -> Problem {
        self.with_rows(task, |k, row| Row::soft(row, self.ranges[k].0, self.ranges[k].1, self.weights[k]))
    }

    /// The task with ranges that must be kept.
    pub(crate) fn hard_problem(&self, task: Task) -> Problem {
        self.with_rows(task, |k, row| Row::hard(row, self.ranges[k].0, self.ranges[k].1))
    }

    fn with_rows(&self, task: Task, row: impl Fn(usize, Vec<f64>) -> Row) -> Problem {
        let (of_cost, of_fit) = task.weights();
        let n = self.price.len();
        let mut rows: Vec<Row> = self.indices.iter().enumerate().map(|(k, p)| row(k, p.clone())).collect();
        if of_fit > 0.0 {
            for j in 0..16 {
                let acid = self.acids.iter().map(|v| v[j]).collect();
                rows.push(Row::target(acid, self.target[j], of_fit));
            }
        }
        let top = |i| if task == Task::Match && i == self.banned { 0.0 } else { 1.0 };
        let bounds = (0..n).map(|i| (0.0, top(i))).collect();
        Problem::new(self.price.iter().map(|p| of_cost * p).collect(), bounds, rows).expect("good numbers")
    }
}
