// A part of a CSV list found from its cut alone is the part that reading the whole list gives.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "input/job_cut.hpp"
#include "input/job_records.hpp"

using namespace seamwright;

namespace {

// Where the rows begin that a reading from byte `at` on meets.
std::vector<std::uint64_t> rows_from(std::string_view text, std::uint64_t at, std::size_t longest,
                                     JobFormat format = JobFormat::csv, bool in_line = false) {
  RecordScanner scanner(format, ',', longest);
  if (in_line) scanner.expect_rest_of_line();
  std::vector<std::uint64_t> rows;
  for (;;) {
    const RecordScanner::Step step = scanner.next(text.substr(at), true);
    if (step.used == 0) return rows;
    if (step.found) rows.push_back(at);
    at += step.used;
  }
}

std::vector<std::uint64_t> within(const std::vector<std::uint64_t>& rows, std::uint64_t from, std::uint64_t to) {
  std::vector<std::uint64_t> part;
  std::copy_if(rows.begin(), rows.end(), std::back_inserter(part), [&](auto at) { return at >= from && at < to; });
  return part;
}

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  std::size_t below(std::size_t end) { return std::uniform_int_distribution<std::size_t>(0, end - 1)(engine_); }

 private:
  std::mt19937 engine_;
};

// Lists of few kinds of pieces each, so that some are all alike and some are a muddle.
std::string random_list(Dice& dice) {
  constexpr std::array<std::string_view, 14> pieces{
      "a",    ",",    "\n",  "\"",          "b,c\n", "\"x\ny\"", "1,\"x\n,\"\n",
      "\"\"", "\r\n", " \"", "6\"\" plate", "\"",    "\n",       "\"a, b\",",
  };
  const std::size_t kinds = 1 + dice.below(6), count = 5 + dice.below(120);
  std::vector<std::string_view> chosen;
  while (chosen.size() < kinds) chosen.push_back(pieces[dice.below(pieces.size())]);
  std::string text = "h,h\n";
  for (std::size_t i = 0; i < count; ++i) text += chosen[dice.below(kinds)];
  return text;
}

}  // namespace

TEST_CASE("a part is found from its cut as from the start of the list") {
  Dice dice(11);
  std::size_t found = 0, left_open = 0, beyond = 0;
  for (int i = 0; i < 60000; ++i) {
    const std::string text = random_list(dice);
    const std::size_t longest = 3 + dice.below(60);
    JobCut cut{.separator = ',', .body = 4, .from = 5 + dice.below(text.size() - 4)};
    cut.to = dice.below(4) == 0 ? UINT64_MAX : cut.from + dice.below(text.size());
    cut.look_back = 1 + dice.below(12);
    cut.longest = longest;
    std::uint64_t last = 0;
    const auto begin = find_row_begin(cut, [&](char* to, std::size_t size, std::uint64_t at) {
      if (at >= text.size()) return std::size_t{0};
      const std::size_t count = std::min({size, std::size_t{1} + dice.below(9), text.size() - at});
      std::copy_n(text.begin() + static_cast<std::ptrdiff_t>(at), count, to);
      last = std::max<std::uint64_t>(last, at + count);
      return count;
    });
    if (!begin) {
      left_open += cut.from - cut.body > 128 * cut.look_back ? 1 : 0;
      continue;
    }
    ++found;
    beyond += *begin >= cut.from ? 1 : 0;
    CAPTURE(text);
    CAPTURE(cut.from);
    CAPTURE(cut.to);
    CAPTURE(longest);
    CAPTURE(*begin);
    const auto whole = rows_from(text, cut.body, longest);
    CHECK(within(rows_from(text, *begin, longest), cut.from, cut.to) == within(whole, cut.from, cut.to));
  }
  CHECK(found > 20000);
  CHECK(left_open > 0);  // lists that are given up are among those tried
  CHECK(beyond > 100);
}

TEST_CASE("NDJSON and TOML are gone into at any byte") {
  Dice dice(12);
  constexpr std::array<std::string_view, 8> pieces{"{\"a\": 1}",  "\n",     "[[job]]\n", "\n [[ job ]] # a\n",
                                                   "# [[job]]\n", "id = 1", "\r\n",      "\nx = \"[[job]]\"\n"};
  std::size_t rows = 0;
  for (int i = 0; i < 20000; ++i) {
    const JobFormat format = i % 2 == 0 ? JobFormat::ndjson : JobFormat::toml;
    std::string text = "[[job]]\n";
    for (std::size_t k = dice.below(60); k > 0; --k) text += pieces[dice.below(pieces.size())];
    const std::size_t longest = 3 + dice.below(60), from = 1 + dice.below(text.size()), to = from + dice.below(100);
    const auto part = within(rows_from(text, from - 1, longest, format, true), from, to);
    CAPTURE(text);
    CAPTURE(from);
    CHECK(part == within(rows_from(text, 0, longest, format), from, to));
    rows += part.size();
  }
  CHECK(rows > 20000);
}

TEST_CASE("a cut is looked at no further than it says") {
  constexpr std::size_t mib = std::size_t{1} << 20;
  const auto reads = [](std::string_view row, std::string_view before = "") {
    std::string text = "h,h\n";
    text += before;
    while (text.size() < 40 * mib) text += row;
    const JobCut cut{.separator = ',', .body = 4, .from = 30 * mib, .to = 31 * mib};
    std::size_t bytes = 0;
    const auto begin = find_row_begin(cut, [&](char* to, std::size_t size, std::uint64_t at) {
      const std::size_t count = at < text.size() ? std::min(size, text.size() - at) : 0;
      std::copy_n(text.begin() + static_cast<std::ptrdiff_t>(at), count, to);
      bytes += count;
      return count;
    });
    return std::pair(begin.has_value() && *begin <= cut.from && *begin > cut.from - mib / 4, bytes);
  };
  const auto [plain, plain_bytes] = reads("a,fillet,6\n");
  CHECK(plain);
  CHECK(plain_bytes < mib + mib / 4);
  const auto [quoted, quoted_bytes] = reads("a,\"two\nlines\",6\n");
  CHECK(quoted);
  CHECK(quoted_bytes <= 2 * 65536);
  // Two readings that both go on for ever: every row begins where the other reading has a cell of two lines.
  const auto [both_ways, most_bytes] = reads("1,\"x\n,\"\n");
  CHECK_FALSE(both_ways);
  CHECK(most_bytes < 16 * mib);
}
