#include "input/decimal_sign.hpp"

#include <fmt/format.h>

#include "text/toml_document.hpp"

namespace seamwright {
namespace {

bool is_digit(std::string_view text, std::size_t at) { return at < text.size() && text[at] >= '0' && text[at] <= '9'; }

std::size_t digits_at(std::string_view text, std::size_t at) {
  std::size_t count = 0;
  while (is_digit(text, at + count)) ++count;
  return count;
}

// A mark between digits, with how many stand before and behind it.
struct Mark {
  char sign = 0;
  std::size_t before = 0, behind = 0;
  bool zero_before = false;  // "0,500" cannot be five hundred
  [[nodiscard]] bool may_part_thousands() const {
    constexpr std::size_t group = 3;
    return behind == group && before >= 1 && before <= group && !zero_before;
  }
};

// Calls visit(marks) for every number that has marks.
template <class Visit>
void for_each_marked_number(std::string_view text, Visit visit) {
  for (std::size_t at = 0; at < text.size();) {
    if (!is_digit(text, at)) {
      ++at;
      continue;
    }
    Mark first;
    std::size_t marks = 0;
    bool both = false;
    std::size_t before = digits_at(text, at);
    const bool zero = text[at] == '0';
    at += before;
    while (at < text.size() && (text[at] == ',' || text[at] == '.') && is_digit(text, at + 1)) {
      const std::size_t behind = digits_at(text, at + 1);
      if (marks == 0) first = {text[at], before, behind, zero};
      both = both || text[at] != first.sign;
      ++marks;
      at += 1 + behind;
      before = behind;
    }
    const bool exponent = at < text.size() && (text[at] == 'e' || text[at] == 'E');
    if (marks > 0) visit(first, marks, both, exponent);
  }
}

}  // namespace

void DecimalMarks::look(std::string_view cell) {
  for_each_marked_number(cell, [&](const Mark& mark, std::size_t marks, bool both, bool exponent) {
    if (both || marks > 1)
      thousands_ = cell;
    else if (mark.may_part_thousands() && !exponent)
      (mark.sign == ',' ? unclear_comma_ : unclear_point_) = cell;
    else
      (mark.sign == ',' ? comma_ : point_) = true;
  });
}

DecimalSign DecimalMarks::sign() const {
  if (point_ == comma_ || !thousands_.empty()) return DecimalSign::detect;
  return comma_ ? DecimalSign::comma : DecimalSign::point;
}

std::string DecimalMarks::why() const {
  if (!thousands_.empty())
    return fmt::format("'{}' has marks between its thousands (write the number without them)", text_start(thousands_));
  if (point_ && comma_) return "numbers with a decimal point and with a decimal comma (write all of them alike)";
  // The other sign being the decimal one, this one parts thousands: or it was meant to be the decimal one.
  const bool comma_known = unclear_comma_.empty() || (comma_ && !point_);
  const bool point_known = unclear_point_.empty() || (point_ && !comma_);
  if (comma_known && point_known) return {};
  return fmt::format(
      "'{}' has two readings, its mark being a decimal sign or parting thousands (say --list-decimal comma or point)",
      text_start(comma_known ? unclear_point_ : unclear_comma_));
}

void commas_to_points(std::string_view cell, std::string& out) {
  out = cell;
  for (std::size_t i = 1; i < out.size(); ++i)
    if (out[i] == ',' && is_digit(out, i - 1) && is_digit(out, i + 1)) out[i] = '.';
}

bool has_decimal_point(std::string_view cell) {
  bool any = false;
  for_each_marked_number(
      cell, [&](const Mark& mark, std::size_t, bool both, bool) { any = any || both || mark.sign == '.'; });
  return any;
}

}  // namespace seamwright
