#include <doctest/doctest.h>
#include <gsl/gsl_fft_real.h>

#include <cmath>
#include <numbers>
#include <string>

#include "review/log_clock.hpp"
#include "review/log_layout.hpp"
#include "review/spectrum.hpp"
#include "review/weld_meters.hpp"
#include "seamwright/review.hpp"

using namespace seamwright;

namespace {

// A small signal without a period.
std::vector<double> signal(std::size_t n) {
  std::vector<double> values;
  for (std::size_t i = 0; i < n; ++i) {
    const auto x = static_cast<double>(i);
    values.push_back(3 + std::sin(0.21 * x) + 0.5 * std::cos(1.3 * x + 0.001 * x * x));
  }
  return values;
}

std::vector<double> times_of(const std::vector<LogRow>& rows) {
  std::vector<double> times;
  for (const LogRow& row : rows) times.push_back(row.time_s);
  return times;
}

LogRow at(double time_s) {
  LogRow row{};
  row.time_s = time_s;
  return row;
}

std::vector<double> through_clock(const std::vector<double>& times, ClockFaults& faults) {
  std::vector<LogRow> rows, out;
  for (const double t : times) rows.push_back(at(t));
  LogClock clock(0, 10);
  clock.put(rows, out);
  clock.finish(out);
  faults = clock.faults();
  return times_of(out);
}

Expected<LogLayout> layout_of(std::string_view text, const LogFormat& format = {}) {
  static const std::string name = "weld.csv";
  return find_layout(text, name, format);
}

}  // namespace

TEST_CASE("the power spectrum sums to the windowed variance and agrees with GSL's transform") {
  const std::size_t n = 256;
  const std::vector<double> values = signal(n);
  const std::vector<double> power = power_spectrum(values, n);
  double mean = 0, window_power = 0, windowed = 0;
  for (const double v : values) mean += v / static_cast<double>(n);
  std::vector<double> in;
  for (std::size_t i = 0; i < n; ++i) {
    const double w = std::pow(std::sin(std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(n)), 2);
    in.push_back(w * (values[i] - mean));
    window_power += w * w;
    windowed += in.back() * in.back();
  }
  double sum = 0;
  for (const double p : power) sum += p;
  CHECK(sum == doctest::Approx(windowed / window_power).epsilon(1e-12));
  gsl_fft_real_radix2_transform(in.data(), 1, n);
  for (std::size_t k = 1; k < n / 2; ++k) {
    const double norm = in[k] * in[k] + in[n - k] * in[n - k];
    CHECK(power[k] == doctest::Approx(2 * norm / (window_power * static_cast<double>(n))).epsilon(1e-9));
  }
}

TEST_CASE("the autocorrelation is that of its definition") {
  const std::vector<double> values = signal(200);
  const std::vector<double> r = autocorrelation_of(values);
  double mean = 0;
  for (const double v : values) mean += v / 200;
  const auto direct = [&](std::size_t lag) {
    double sum = 0;
    for (std::size_t i = 0; i + lag < values.size(); ++i) sum += (values[i] - mean) * (values[i + lag] - mean);
    return sum / static_cast<double>(values.size() - lag);
  };
  for (const std::size_t lag : {0u, 1u, 7u, 50u, 100u})
    CHECK(r[lag] == doctest::Approx(direct(lag) / direct(0)).epsilon(1e-9));
}

TEST_CASE("the clock spreads stamps, sorts, mends and goes on") {
  ClockFaults faults;
  // Three rows a stamp: the first stamp began before the log.
  CHECK(through_clock({0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3}, faults)[3] == doctest::Approx(1 + 1.0 / 3));
  CHECK(faults.stamps == 4);
  CHECK(through_clock({0, 1, 3, 2, 4, 5, 6}, faults) == std::vector<double>{0, 1, 2, 3, 4, 5, 6});
  CHECK(faults.sorted == 1);
  CHECK(through_clock({0, 1, 2, 900, 4, 5, 6}, faults) == std::vector<double>{0, 1, 2, 3, 4, 5, 6});
  CHECK(faults.stray == 1);
  CHECK(through_clock({5, 6, 7, 8, 0, 1, 2, 3}, faults) == std::vector<double>{5, 6, 7, 8, 9, 10, 11, 12});
  CHECK(faults.restarts == 1);
  CHECK(through_clock({0, 1, 2, 50, 51, 52}, faults) == std::vector<double>{0, 1, 2, 50, 51, 52});
  CHECK(faults.stray + faults.sorted + faults.restarts == 0);
  CHECK(through_clock({0, 1, std::nan(""), 3, 4}, faults) == std::vector<double>{0, 1, 2, 3, 4});
  CHECK(faults.missing == 1);
}

TEST_CASE("columns and units are found by their names") {
  const auto factor = [](std::string_view header, LogQuantity quantity) {
    const auto layout = layout_of(std::string(header) + "\n0,1,2\n1,2,3\n");
    REQUIRE(layout);
    return (*layout)[quantity].factor;
  };
  CHECK(factor("time [ms],I [kA],U", LogQuantity::time) == doctest::Approx(0.001));
  CHECK(factor("time [ms],I [kA],U", LogQuantity::current) == doctest::Approx(1000));
  CHECK(factor("t_s,current_A,wfs_ipm", LogQuantity::feed) == doctest::Approx(0.0254));
  CHECK(factor("Time (s),Voltage (V),Travel Speed (cm/min)", LogQuantity::travel) == doctest::Approx(1 / 6.0));
  CHECK(factor("t/s,I/A,U/V", LogQuantity::voltage) == doctest::Approx(1));
  LogFormat format;
  CHECK(map_column(format, "current=3,voltage=2").empty());
  const auto mapped = layout_of("t,a,b\n0,1,2\n", format);
  REQUIRE(mapped);
  CHECK((*mapped)[LogQuantity::current].column == 2);
  CHECK((*mapped)[LogQuantity::voltage].column == 1);
}

TEST_CASE("clock times with and without a date") {
  double s = 0, later = 0;
  CHECK(read_clock("01:02:03.5", s));
  CHECK(s == doctest::Approx(3723.5));
  CHECK(read_clock("02:03,25", s));
  CHECK(s == doctest::Approx(123.25));
  CHECK(read_clock("2024-02-28 23:59:59", s));
  CHECK(read_clock("2024-03-01T00:00:01", later));
  CHECK(later - s == doctest::Approx(86402));  // 2024 has a 29th of February
  CHECK(read_clock("28.02.2023 23:59:59", s));
  CHECK(read_clock("01.03.2023 00:00:01", later));
  CHECK(later - s == doctest::Approx(2));
  for (const char* wrong : {"", "12", "1:2:3:4", "a:b", "10:15:30 pm"}) CHECK_FALSE(read_clock(wrong, s));
}

TEST_CASE("a range meter lists what is outside, its length and its worst") {
  RangeMeter meter(F::current, {100, 120});
  const double values[] = {110, 121, 125, 119, 99, 98.5, 99, 110};
  double t = 0;
  for (const double v : values) meter.take(v, t += 0.5, 0.5);
  const RangeReview out = meter.result(1);
  CHECK(out.judged_s == doctest::Approx(4));
  CHECK(out.inside_s == doctest::Approx(1.5));
  REQUIRE(out.listed.size() == 2);
  CHECK(out.listed[0].start_s == doctest::Approx(0.5));
  CHECK(out.listed[0].length_s == doctest::Approx(1));
  CHECK(out.listed[0].worst == 125);
  CHECK(out.listed[1].worst == 98.5);
  CHECK(out.outside);
}

TEST_CASE("the trace and the seam keep to their size and lose nothing") {
  TraceMeter trace(0.001);
  for (int i = 0; i < 100000; ++i) trace.take(0.001 * i, {i == 77777 ? 900.0 : 100.0 + i % 3, 20, 0, 0});
  CHECK(trace.steps().size() <= 1200);
  double top = 0;
  for (const TraceStep& s : trace.steps()) {
    top = std::max(top, s[Traced::current].high);
    CHECK(s[Traced::current].low >= 100);
  }
  CHECK(top == 900);
  SeamMeter seam(5);
  for (int i = 0; i < 20000; ++i) seam.take(0.5, 400);
  const std::vector<SeamStep> steps = seam.steps(0.8);
  CHECK(steps.size() <= 200);
  CHECK(steps.back().to_mm == doctest::Approx(10000));
  for (const SeamStep& s : steps) CHECK(s.heat_input_kJ_per_mm == doctest::Approx(0.64));
}
