// The pool: temperature field of a moving Gaussian surface source in a plate of finite thickness (image sources for
// adiabatic faces), and the size of its melting isotherm.
//
//   T - T0 = q / (pi rho c sqrt(4 pi a)) int_0^inf tau^-1/2 / (2 a tau + s^2)
//            exp(-((x + v tau)^2 + y^2) / (4 a tau + 2 s^2)) sum_n exp(-(z - 2 n d)^2 / (4 a tau)) d tau
//
// x along travel, positive ahead of the arc; y across; z into the plate; s Gaussian radius (sigma).
// In lengths of 2a/v the field depends on n = q v / (4 pi a^2 rho c dT), S = s v / 2a and d/s only.
// Conduction only: no flow and no latent heat, so do not read cooling rates inside the melting range off it.
//
// Error:
//   what      against                                    off by at most
//   field     two other quadratures, 300 random welds    1e-6 (5e-12 against the finer of the two)
//   integral  its own isotherm, 300 random welds         1e-6 of the melting rise (1e-8 found)
//   tables    integral, all 35,712 cells of their box    width 0.87 %, back width 0.33, depth 0.16, length 0.14
//   tables    integral, 20,000 random welds              width 0.60 % (99 in 100: 0.17), back width 0.18, depth 0.01
// The last two are of sizes above 2 mm; smaller ones are within 0.02 mm.
//
// Real pools stir. The catalog states +-20 % of width and +-30 % of depth for the model; all that was measured is thin:
// on beads not fitted, one of steel in pulse is 10 % off in width and 2.5 % in depth; cladding of 308L, its settings
// partly recalled, 73 and 146 % (median of 8); 316L on plate, wire diameter taken, 59 % in width (median of 4).
// Calibrated on the other half of the same beads these become 11, 18 and 4 %: trial welds take precedence.
//
// References:
//   Eagar, T. W. and Tsai, N. S. (1983) Temperature fields produced by traveling distributed heat sources, Welding
//     Journal 62(12), 346s-355s (memory): the field in thick plate
//   Grong, O. (1997) Metallurgical Modelling of Welding, 2nd edition, The Institute of Materials, London, 1.10.4
//     (memory): the images
//   Rosenthal, D. (1941) Mathematical theory of heat distribution during welding and cutting, Welding Journal 20,
//     220s-234s (memory), and (1946) Transactions of the ASME 68, 849-865, doi:10.1115/1.4018624: point and line
//     source, the limits the field is held against
//   Park and others (2019) Applied Sciences 9, 4626, doi:10.3390/app9214626 (second hand): two beads
//     [field-against-beads]; repeat scatter of beads [bead-repeats]
//   Scaling, tables and fits (derived here); effective constants [effective-constants]
//
// Example:
//
//     PoolInput steel{.net_power_W = 4000,
//                     .travel_mm_per_s = 5,
//                     .source_radius_mm = 2,
//                     .thickness_mm = 10,
//                     .conductivity_W_per_mmK = 0.04,
//                     .heat_capacity_J_per_mm3K = 0.0045,
//                     .rise_to_melting_K = 1480};
//     const Pool pool = pool_by_table(steel);
//     std::printf("%.1f mm wide, %.1f mm deep\n", pool.width_mm, pool.depth_mm);  // 10.3 mm wide, 4.0 mm deep
//     steel.thickness_mm = 4;
//     const double back_mm = pool_by_table(steel, pool_back_width).back_width_mm;
//     std::printf("%.1f mm at the back\n", back_mm);  // 13.8 mm at the back
#pragma once

namespace seamwright {

struct PoolInput {
  double net_power_W = 0;               // into the plate, joint factor included; <= 0 gives no pool
  double travel_mm_per_s = 0;           // > 0
  double source_radius_mm = 0;          // s > 0
  double thickness_mm = 0;              // d > 0
  double conductivity_W_per_mmK = 0;    // k
  double heat_capacity_J_per_mm3K = 0;  // rho c
  double rise_to_melting_K = 0;         // T_m - T0 > 0

  friend bool operator==(const PoolInput&, const PoolInput&) = default;
};

struct Pool {
  double width_mm = 0;       // full width of the melted zone at the arc's face, 0 if nothing melts
  double depth_mm = 0;       // greatest depth on the centreline, at most d
  double back_width_mm = 0;  // full width melted at the back face, 0 if not melted through
  double nose_mm = 0;        // melted length ahead of the arc; a little below 0 when only metal behind the arc melts
  double tail_mm = 0;        // melted length behind the arc: the pool is nose + tail long
};

// Which sizes are wanted: the others may stay 0. Sums of these.
enum PoolSizes : unsigned {
  pool_width = 1,
  pool_depth = 2,
  pool_back_width = 4,
  pool_length = 8,  // nose and tail
  pool_all = 15
};

// Highest rise, K, reached at distance y from the centreline and depth z (0..d) as the source passes. 0 for input that
// is not positive and finite; `rise_to_melting_K` is not read.
[[nodiscard]] double peak_rise_K(const PoolInput& in, double y_mm, double z_mm);

// Size of the melting isotherm, mm, by root search on the integral, to about 1e-6 of each size: the reference. Input
// that is not positive and finite gives no pool.
[[nodiscard]] Pool pool_by_integral(const PoolInput& in, unsigned sizes = pool_all);

// The same, mm, from tables of the sizes made when the program was built; within 1 % of the integral (or 0.02 mm,
// whichever is more) inside S 0.005..44.7, d/s 0.12..210 and n up to 200; thicker plates too, where the pool is too
// small to notice their back. Uses the integral outside that, and where the plate is at the very edge of melting at a
// face, so that both agree whether it melts.
[[nodiscard]] Pool pool_by_table(const PoolInput& in, unsigned sizes = pool_all);

// The travel, mm/s, nearest to the input's at which the tables know the pool: S and n inside theirs. A search goes
// through settings that nothing moves at (a tenth of a millimetre or half a metre a second), where an integral for each
// would take seconds and tell no more than that they are far outside: the limits on travel refuse them long before. The
// input must be positive and finite, else its own.
[[nodiscard]] double tabulated_travel_mm_per_s(const PoolInput& in);

// Distance, mm, from the arc to the widest point of the melting isotherm on the face, by the integral. 0 without a
// pool.
[[nodiscard]] double widest_point_distance_mm(const PoolInput& in);

// Time, s, that a point on the centreline of the face, cooling behind the source, takes from `from_rise_K` down to
// `to_rise_K` above the initial temperature, by point sources with images. 0 unless from > to > 0.
[[nodiscard]] double cooling_time_s(const PoolInput& in, double from_rise_K, double to_rise_K);

}  // namespace seamwright
