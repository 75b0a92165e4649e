// Random joints for property tests: a fixed seed, plain values, every family and joint type a plan can answer.
#pragma once

#include <array>
#include <random>
#include <string>

#include "seamwright/joint.hpp"

namespace seamwright::test {

template <class T>
Given<T> given(T value) {
  Given<T> g;
  g.value = std::move(value);
  return g;
}

class RandomJoints {
 public:
  explicit RandomJoints(unsigned seed) : engine_(seed) {}

  double uniform(double low, double high) {
    // Spelt out rather than std::uniform_real_distribution, whose results differ between libraries.
    const double unit = static_cast<double>(engine_()) / static_cast<double>(std::mt19937::max());
    return low + (high - low) * unit;
  }
  template <class T, std::size_t N>
  const T& one_of(const std::array<T, N>& items) {
    return items[engine_() % N];
  }

  // A joint in the given mode, its family among those that know the mode.
  Joint next(Mode mode) {
    static const std::array<std::string, 6> dip{"S235", "S275", "S355", "304L", "316L", "P265GH"};
    static const std::array<std::string, 12> arc{"S235",       "S355",       "X65",        "304L",
                                                 "316L",       "2205",       "2507",       "EN AW-1050A",
                                                 "EN AW-5083", "EN AW-5754", "EN AW-6082", "625"};
    Joint j;
    j.mode = given(mode);
    const bool thin = is_dip(mode);
    j.alloy = given(thin ? one_of(dip) : one_of(arc));
    static const std::array<JointType, 3> types{JointType::fillet, JointType::lap, JointType::butt};
    j.type = given(one_of(types));
    const bool butt = *j.type == JointType::butt;
    const double t = thin ? uniform(1.0, 4.0) : butt ? uniform(2.0, 4.0) : uniform(2.0, 12.0);
    j.thickness_mm = given(t);
    if (butt) {
      j.preparation = given(PreparationType::square);
      j.gap_mm = given(uniform(0.0, 0.8 * t));
    } else {
      j.leg_mm = given(std::min(8.0, uniform(0.8, 1.2) * std::max(t, 2.0)));
    }
    j.wire_diameter_mm = given(thin && t < 2.5 ? 0.8 : 1.2);
    if (*j.alloy == "625") j.wire_diameter_mm = given(1.2);
    static const std::array<std::string, 2> positions{"PA", "PB"};
    j.position = given(one_of(positions));
    return j;
  }

 private:
  std::mt19937 engine_;
};

}  // namespace seamwright::test
