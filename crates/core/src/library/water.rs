//! What is known of water.

/// Density of water at 1 atm, g/mL, °C (G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, as
/// Laliberté & Cooper use it; coefficients from memory, checked against tables of water).
pub fn density(celsius: f64) -> f64 {
    let t = celsius;
    let polynomial =
        ((((-2.805_425_3e-10 * t + 1.055_630_2e-7) * t - 4.617_046_1e-5) * t - 0.007_987_040_1) * t + 16.945_176) * t
            + 999.839_52;
    polynomial / (1.0 + 0.016_879_85 * t) / 1000.0
}
