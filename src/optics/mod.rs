//! What a pigmented film does to light: two-flux theory of a scattering, absorbing layer on a
//! substrate, with the reflections of its glossy surface.
//!
//! Main types: [`Ks`] (absorption and scattering of a film or of a colorant at unit
//! concentration), [`Layer`], [`Surface`].
//!
//! ```text
//! loadings ─► concentrations ─► mix ─► Ks of the film ─► over(layers, substrate) ─► Surface::reading
//!             (mixing)                                   (film, layers)              (surface)
//! ```
//!
//! All reflectances but those that pass through [`Surface`] are *internal*: inside the film, below
//! its air face. Scope: diffuse light, homogeneous films, no fluorescence. Out of scope: pearls and
//! metal flakes, whose look depends on direction.
//!
//! # Sources
//!
//! - P. Kubelka, F. Munk, *Ein Beitrag zur Optik der Farbanstriche*, Z. tech. Phys. 12, 593 (1931).
//! - P. Kubelka, *New contributions to the optics of intensely light-scattering materials*, J. Opt.
//!   Soc. Am. 38, 448 (1948) and part II (layers), 44, 330 (1954).
//! - D. R. Duncan, *The colour of pigment mixtures*, Proc. Phys. Soc. 52, 390 (1940): absorption
//!   and scattering add by amount of pigment.
//! - J. L. Saunderson, *Calculation of the color of pigmented plastics*, J. Opt. Soc. Am. 32, 727
//!   (1942): the surface correction.

mod batch;
mod coefficients;
mod film;
mod fresnel;
mod hiding;
mod layers;
mod mixing;
mod slopes;
mod surface;

pub(crate) use batch::film_slopes_lane;
pub use batch::{film_reflectance_batch, film_reflectance_batch_at};
pub use coefficients::Ks;
pub use film::{
    film_reflectance, film_transmittance, film_transmittance_spectrum, infinite_reflectance,
    infinite_reflectance_spectrum, ratio_of_absorption_to_scattering,
};
pub use fresnel::{diffuse_internal_reflectance, normal_reflectance};
pub use hiding::{HIDING_RATIO, contrast_ratio, hiding_film_mm, masking_film_mm};
pub use layers::{Layer, over};
pub use mixing::{Composition, Portion, composition, mix, mix_in_binder};
pub use slopes::{FilmSlopes, film_slopes};
pub use surface::{Geometry, Surface};
