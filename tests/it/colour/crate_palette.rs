//! The crate `palette` as a second opinion.

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{FromColor, LinSrgb, Oklab, Srgb};
use pourbook::colour::{Lab, OkLab, Srgb8, delta_e_2000, into_gamut};

use super::cases::lab_pairs;

#[test]
fn the_difference_is_palettes() {
    let theirs = |lab: Lab| palette::Lab::<D65, f64>::new(lab.l, lab.a, lab.b);
    for (one, two) in lab_pairs() {
        let (ours, palette) = (delta_e_2000(one, two), theirs(one).difference(theirs(two)));
        // Where the shorter arc crosses 0°, palette lets the mean hue go beyond 360° and the
        // published formula turns it back: palette's rotation term then has a tail (up to 1e-5 of
        // it) that should not be there.
        let crosses = (one.to_lch().h_deg - two.to_lch().h_deg).abs() > 170.0;
        let within = if crosses { 5e-4 } else { 1e-9 };
        assert!((ours - palette).abs() < within, "{one:?} {two:?}: {ours} for {palette}");
    }
}

#[test]
fn screen_colours_are_palettes() {
    for step in 0..4096_u16 {
        let part = |shift: u16| u8::try_from((step >> shift) & 15).unwrap() * 17;
        let ours = Srgb8::new(part(8), part(4), part(0));
        let theirs = Srgb::new(ours.r, ours.g, ours.b).into_format::<f64>();
        let linear: LinSrgb<f64> = theirs.into_linear();
        let their_linear = [linear.red, linear.green, linear.blue];
        for (a, b) in ours.to_linear().into_iter().zip(their_linear) {
            assert!((a - b).abs() < 1e-9, "{ours}: {a} for {b}");
        }
        let ok = OkLab::from_xyz_d65(ours.to_xyz());
        let palette = Oklab::from_color(linear);
        // palette rounds the way from sRGB to OKLab at other places.
        for (a, b) in [(ok.l, palette.l), (ok.a, palette.a), (ok.b, palette.b)] {
            assert!((a - b).abs() < 5e-4, "{ours}: {ok:?} for {palette:?}");
        }
        assert_eq!(into_gamut(their_linear).srgb8(), ours, "inside the gamut");
    }
}
