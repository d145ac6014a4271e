//! CIELAB and its cylindrical form (ISO/CIE 11664-4).

use crate::spectrum::Xyz;

/// (6/29)³: below this ratio to white the cube root gives way to a line.
const LINEAR_BELOW: f64 = 216.0 / 24389.0;
/// (29/3)³: slope of L* near black.
const KAPPA: f64 = 24389.0 / 27.0;

/// CIELAB under a stated white.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lab {
    /// L*: 0 black to 100 white.
    pub l: f64,
    /// a*: green (−) to red (+).
    pub a: f64,
    /// b*: blue (−) to yellow (+).
    pub b: f64,
}

impl Lab {
    /// From L*, a*, b*.
    #[must_use]
    pub const fn new(l: f64, a: f64, b: f64) -> Self {
        Self { l, a, b }
    }

    /// L*, a*, b* in order.
    #[must_use]
    pub const fn to_array(self) -> [f64; 3] {
        [self.l, self.a, self.b]
    }

    /// From tristimulus values and those of the white, on one scale.
    ///
    /// L* = 116 f(Y/Yn) − 16, a* = 500 [f(X/Xn) − f(Y/Yn)], b* = 200 [f(Y/Yn) − f(Z/Zn)], with
    /// f(t) = ∛t above (6/29)³ and (841/108) t + 4/29 below.
    ///
    /// ```
    /// use pourbook::{colour::Lab, spectrum::Xyz};
    /// let white = Xyz::new(95.047, 100.0, 108.883);
    /// let lab = Lab::from_xyz(Xyz::new(20.0, 18.418_651_851_244_416, 10.0), white);
    /// assert!((lab.l - 50.0).abs() < 1e-12, "{lab:?}");
    /// ```
    #[must_use]
    pub fn from_xyz(xyz: Xyz, white: Xyz) -> Self {
        let [fx, fy, fz] = [f(xyz.x / white.x), f(xyz.y / white.y), f(xyz.z / white.z)];
        Self { l: 116.0 * fy - 16.0, a: 500.0 * (fx - fy), b: 200.0 * (fy - fz) }
    }

    /// As [`Lab::from_xyz`], with ∂(L*, a*, b*)/∂(X, Y, Z), one row a coordinate.
    #[must_use]
    pub fn from_xyz_with_slopes(xyz: Xyz, white: Xyz) -> (Self, [[f64; 3]; 3]) {
        let at = |value: f64, white: f64| {
            let ratio = value / white;
            let root = f(ratio);
            let slope =
                if ratio > LINEAR_BELOW { 1.0 / (3.0 * root * root) } else { KAPPA / 116.0 };
            (root, slope / white)
        };
        let ((fx, dx), (fy, dy), (fz, dz)) =
            (at(xyz.x, white.x), at(xyz.y, white.y), at(xyz.z, white.z));
        let lab = Self { l: 116.0 * fy - 16.0, a: 500.0 * (fx - fy), b: 200.0 * (fy - fz) };
        let slopes = [
            [0.0, 116.0 * dy, 0.0],
            [500.0 * dx, -500.0 * dy, 0.0],
            [0.0, 200.0 * dy, -200.0 * dz],
        ];
        (lab, slopes)
    }

    /// Tristimulus values under a white: the inverse of [`Lab::from_xyz`].
    #[must_use]
    pub fn to_xyz(self, white: Xyz) -> Xyz {
        let fy = (self.l + 16.0) / 116.0;
        let (fx, fz) = (fy + self.a / 500.0, fy - self.b / 200.0);
        Xyz { x: white.x * f_inverse(fx), y: white.y * f_inverse(fy), z: white.z * f_inverse(fz) }
    }

    /// Chroma C*ab = √(a*² + b*²).
    #[must_use]
    pub fn chroma(self) -> f64 {
        libm::sqrt(self.a * self.a + self.b * self.b)
    }

    /// The same colour in cylindrical form.
    #[must_use]
    pub fn to_lch(self) -> Lch {
        Lch { l: self.l, c: self.chroma(), h_deg: hue_deg(self.a, self.b) }
    }
}

/// CIELAB in cylindrical form.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lch {
    /// L*: 0 black to 100 white.
    pub l: f64,
    /// Chroma C*ab, from 0.
    pub c: f64,
    /// Hue angle hab in degrees, 0 ≤ h < 360; 0 for greys.
    pub h_deg: f64,
}

impl Lch {
    /// The same colour in rectangular form.
    #[must_use]
    pub fn to_lab(self) -> Lab {
        let h = self.h_deg.to_radians();
        Lab { l: self.l, a: self.c * libm::cos(h), b: self.c * libm::sin(h) }
    }
}

/// Angle of (a, b) in degrees, 0 ≤ h < 360; 0 where there is no chroma.
pub(super) fn hue_deg(a: f64, b: f64) -> f64 {
    if a == 0.0 && b == 0.0 {
        return 0.0;
    }
    let h = libm::atan2(b, a).to_degrees();
    if h >= 0.0 {
        h
    } else {
        // A tiny negative angle rounds up to 360, which is 0.
        let turned = h + 360.0;
        if turned < 360.0 { turned } else { 0.0 }
    }
}

fn f(ratio: f64) -> f64 {
    if ratio > LINEAR_BELOW { libm::cbrt(ratio) } else { (KAPPA * ratio + 16.0) / 116.0 }
}

fn f_inverse(value: f64) -> f64 {
    let cube = value * value * value;
    if cube > LINEAR_BELOW { cube } else { (116.0 * value - 16.0) / KAPPA }
}
