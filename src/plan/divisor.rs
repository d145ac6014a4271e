//! What numbers have in common.

use std::ops::Rem;

/// The largest number that divides both; of 0 and a number, the number (Euclid, Elements VII.2).
pub(super) fn greatest_common_divisor<T: Copy + Default + PartialEq + Rem<Output = T>>(
    mut one: T,
    mut other: T,
) -> T {
    while other != T::default() {
        (one, other) = (other, one % other);
    }
    one
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_numbers_share_their_greatest_divisor() {
        assert_eq!([2_u32, 4, 10].into_iter().fold(0, greatest_common_divisor), 2);
        assert_eq!([7_u32].into_iter().fold(0, greatest_common_divisor), 7);
        assert_eq!([3_u64, 2].into_iter().fold(0, greatest_common_divisor), 1);
        assert_eq!(greatest_common_divisor(0_u64, 0), 0);
    }
}
