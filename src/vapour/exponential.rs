//! The exponential, for arguments of ordinary size.

/// 1/n! from n = 2 on: with |r| at most ln 2/2 the first term left out is below 2e-16.
const TERMS: [f64; 11] = [
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5040.0,
    1.0 / 40_320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
    1.0 / 479_001_600.0,
];

/// ln 2 in two parts, of which the first has room for a factor of 11 bits (fdlibm).
const LN_2_HIGH: f64 = 6.931_471_803_691_238e-1;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// 1.5 · 2⁵²: what is added to it is rounded to a whole number, which then stands in the last bits.
const ROUNDING: f64 = 6_755_399_441_055_744.0;

/// Bits of a fraction.
const FRACTION_BITS: u32 = 52;

/// Arguments beyond this are left to the library.
const LARGEST: f64 = 700.0;

/// e to the power of `x`, to within 2 units in the last place; the same bits on every machine, since nothing is used
/// but additions and multiplications. A film takes some thousands of exponentials; `libm` scales each by two calls more.
pub(super) fn exp(x: f64) -> f64 {
    if x.abs() > LARGEST || x.is_nan() {
        return libm::exp(x);
    }
    // x = k ln 2 + r.
    let shifted = x * std::f64::consts::LOG2_E + ROUNDING;
    let k = shifted - ROUNDING;
    let r = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    let r2 = r * r;
    let r4 = r2 * r2;
    // In groups that do not wait for each other.
    let [c2, c3, c4, c5, c6, c7, c8, c9, c10, c11, c12] = TERMS;
    let low = (c2 + c3 * r) + (c4 + c5 * r) * r2;
    let middle = (c6 + c7 * r) + (c8 + c9 * r) * r2;
    let high = (c10 + c11 * r) + c12 * r2;
    let power = 1.0 + (r + r2 * (low + r4 * (middle + r4 * high)));
    f64::from_bits(power.to_bits().wrapping_add(shifted.to_bits() << FRACTION_BITS))
}

#[cfg(test)]
mod tests {
    use super::exp;

    #[test]
    fn it_is_the_exponential() {
        // Against the exponential of the library over the whole range, in units of the last place.
        let mut worst = 0;
        for n in -70_000..=70_000_i32 {
            let x = f64::from(n) * 0.01 + f64::from(n % 7) * 1e-4;
            let (ours, theirs) = (exp(x), libm::exp(x));
            worst = worst.max(ours.to_bits().abs_diff(theirs.to_bits()));
        }
        assert!(worst <= 2, "{worst}");
    }

    #[test]
    fn what_is_no_ordinary_number_is_as_in_the_library() {
        assert_eq!(exp(0.0), 1.0);
        assert_eq!(exp(f64::NEG_INFINITY), 0.0);
        assert_eq!(exp(f64::INFINITY), f64::INFINITY);
        assert_eq!(exp(-800.0), 0.0);
        assert_eq!(exp(720.0), f64::INFINITY);
        assert!(exp(f64::NAN).is_nan());
    }
}
