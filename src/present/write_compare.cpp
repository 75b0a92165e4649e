#include "present/write_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "present/plan_words.hpp"
#include "text/text_layout.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

constexpr std::size_t indent = 40;

class Writer {
 public:
  Writer(const Comparison& c, const CompareTextOptions& options)
      : c_(c), options_(options), width_(std::max(options.width, narrowest_screen)) {}

  std::string write() {
    side("A", c_.a);
    side("B", c_.b);
    constexpr std::string_view titles[] = {"The joint", "Settings (A to B)", "Ranges (A to B)", "Expected (A to B)"};
    for (const ComparedGroup group :
         {ComparedGroup::joint, ComparedGroup::setting, ComparedGroup::lock, ComparedGroup::expected}) {
      bool headed = false;
      for (const ComparedDifference& d : c_.differences) {
        if (d.a.group != group) continue;
        if (!headed) heading(titles[static_cast<std::size_t>(group)]);
        headed = true;
        append_entry(out_, "  " + d.a.label, printable(words(d)), indent, width_);
      }
    }
    out_ += '\n';
    append_wrapped(
        out_,
        printable(c_.differences.empty()
                      ? fmt::format("No difference in {} things that both tell. {}", c_.compared, c_.data_sentence)
                      : fmt::format("{} of {} things that both tell differ. {}", c_.differences.size(), c_.compared,
                                    c_.data_sentence)),
        width_, 0, 0);
    return std::move(out_);
  }

 private:
  const Comparison& c_;
  const CompareTextOptions& options_;
  std::size_t width_;
  std::string out_;

  void heading(std::string_view text) {
    out_ += '\n';
    append_heading(out_, text, TextStyle::bold, options_.color, width_);
  }
  void side(std::string_view mark, const ComparedSide& s) {
    constexpr std::string_view kinds[] = {"joint", "lock", "plan"};
    constexpr std::string_view labels[] = {"a joint, planned now", "a lock file or procedure", "a saved plan"};
    const auto kind = std::find(std::begin(kinds), std::end(kinds), s.kind) - std::begin(kinds);
    out_ += fmt::format("{}  ", mark);
    append_wrapped(out_,
                   printable(fmt::format("{}: {}{}{}", s.name, labels[kind], s.title.empty() ? "" : ", ", s.title)),
                   width_, 3, 3);
  }
  [[nodiscard]] std::string number(const ComparedItem& item, double value) const {
    if (item.like != F::count) return quantity_with_unit(field(item.like), value, options_.units);
    return item.unit == "mm" ? length_text(value, options_.units) : with_unit(value, item.unit);
  }
  [[nodiscard]] std::string range(const ComparedItem& item) const {
    if (!std::isfinite(item.low)) return "at most " + number(item, item.high);
    if (!std::isfinite(item.high)) return "at least " + number(item, item.low);
    if (item.low == item.high) return number(item, item.low);
    if (item.like == F::count) return fmt::format("{} to {}", number_text(item.low), number(item, item.high));
    return fmt::format("{} to {}", quantity_text(field(item.like), item.low, options_.units), number(item, item.high));
  }
  static std::string end(std::string_view key) {
    const auto id = constraint_by_key(key);
    return std::string(id ? constraint(*id).label : key.empty() ? "nothing" : key);
  }
  // "8.20 m/min to 9.10 m/min (+0.90); range 7.1 to 9.9 m/min, now 7.4 to 10.2 m/min; low end: cold lap, now
  // burn-through"
  [[nodiscard]] std::string words(const ComparedDifference& d) const {
    if (!d.a.text.empty() || !d.b.text.empty()) return fmt::format("{} -> {}", d.a.text, d.b.text);
    std::string text;
    const auto add = [&text](const std::string& part) { text += fmt::format("{}{}", text.empty() ? "" : "; ", part); };
    if (applies(d.a.value) && applies(d.b.value)) {
      const std::string from = number(d.a, d.a.value), to = number(d.b, d.b.value);
      if (from != to) add(fmt::format("{} -> {} ({})", from, to, change(d.a, d.b.value - d.a.value)));
    }
    if (applies(d.a.low) && applies(d.b.low)) {
      const std::string from = range(d.a), to = range(d.b);
      if (from != to)
        add(applies(d.a.value) ? fmt::format("range {} -> {}", from, to) : fmt::format("{} -> {}", from, to));
    }
    if (d.a.low_end != d.b.low_end) add(fmt::format("low end: {} -> {}", end(d.a.low_end), end(d.b.low_end)));
    if (d.a.high_end != d.b.high_end) add(fmt::format("high end: {} -> {}", end(d.a.high_end), end(d.b.high_end)));
    return text.empty() ? "other beyond the digits shown" : text;
  }
  [[nodiscard]] std::string change(const ComparedItem& like, double difference) const {
    const std::string_view sign = difference < 0 ? "-" : "+";
    const double size = std::abs(difference);
    if (like.like != F::count)
      return fmt::format("{}{}", sign, difference_text(field(like.like), size, options_.units));
    return fmt::format("{}{}", sign, like.unit == "mm" ? length_text(size, options_.units) : number_text(size));
  }
};

}  // namespace

std::string compare_table(const Comparison& comparison, const CompareTextOptions& options) {
  return Writer(comparison, options).write();
}

}  // namespace seamwright
