#include "input/job_cut.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace seamwright {
namespace {

constexpr std::size_t read_bytes = std::size_t{64} << 10;

// The list from some place on, read as far as it is asked for.
class Window {
 public:
  Window(const ReadAt& read, std::uint64_t begin) : read_(read), begin_(begin) {}

  [[nodiscard]] std::uint64_t begin() const { return begin_; }
  [[nodiscard]] std::uint64_t end() const { return begin_ + text_.size(); }
  [[nodiscard]] bool at_end() const { return at_end_; }
  [[nodiscard]] std::string_view from(std::uint64_t at) const { return std::string_view(text_).substr(at - begin_); }
  [[nodiscard]] bool ends_line(std::uint64_t at) const { return at > begin_ && text_[at - 1 - begin_] == '\n'; }

  void more() {
    const std::size_t size = text_.size();
    text_.resize(size + read_bytes);
    const std::size_t count = read_(text_.data() + size, read_bytes, begin_ + size);
    text_.resize(size + count);
    at_end_ = count == 0;
  }
  void drop() {
    begin_ = end();
    text_.clear();
  }

 private:
  const ReadAt& read_;
  std::uint64_t begin_;
  std::string text_;
  bool at_end_ = false;
};

class CutSearch {
 public:
  CutSearch(const JobCut& cut, const ReadAt& read, std::size_t look_back)
      : cut_(cut), low_(cut.from - look_back), most_(look_back + 2 * (cut.longest + 1)), window_(read, low_ - 1) {}

  std::optional<std::uint64_t> run() {
    const std::optional<std::uint64_t> line = find_line();
    if (!line) return std::max(cut_.from, std::min(cut_.to, window_.end()));
    // A row over several lines is not as long as the line before this one.
    if (*line - low_ > cut_.longest) return line;
    Reading row{RecordScanner(JobFormat::csv, cut_.separator, cut_.longest), *line};
    Reading inside = row;
    inside.scanner.expect_rest_of_quotes();
    if (!advance(inside)) return {};
    if (inside.impossible) return line;
    while (row.at != inside.at) {
      Reading& first = row.at < inside.at ? row : inside;
      if (first.at >= cut_.from || !advance(first)) return {};
    }
    return row.at;
  }

 private:
  struct Reading {
    RecordScanner scanner;
    std::uint64_t at = 0;
    bool impossible = false;
  };

  const JobCut& cut_;
  std::uint64_t low_;
  std::size_t most_;
  Window window_;

  // The first line that begins at low_ or later. Nothing: none does before the end of the part.
  std::optional<std::uint64_t> find_line() {
    for (std::uint64_t at = window_.begin(); at < cut_.to && !window_.at_end();) {
      const std::size_t line_end = window_.from(at).find('\n');
      if (line_end != std::string_view::npos) return at + line_end + 1;
      at = window_.end();
      if (at - window_.begin() > cut_.longest) window_.drop();
      window_.more();
    }
    return {};
  }

  // To the next line that is none of the row's. False: there is none, or it is too far away.
  bool advance(Reading& reading) {
    for (;;) {
      const RecordScanner::Step step = reading.scanner.next(window_.from(reading.at), window_.at_end());
      reading.at += step.used;
      reading.impossible = step.found && step.record.flaw == JobFlaw::open_quote;
      if (step.used > 0 && (reading.impossible || window_.ends_line(reading.at))) return true;
      if (step.used > 0) continue;
      if (window_.at_end() || window_.end() - low_ > most_) return false;
      window_.more();
    }
  }
};

}  // namespace

std::optional<std::uint64_t> find_row_begin(const JobCut& cut, const ReadAt& read) {
  constexpr std::array<std::size_t, 3> factors{1, 16, 128};
  for (const std::size_t factor : factors) {
    const std::size_t look_back = cut.look_back * factor;
    if (cut.from <= cut.body || cut.from - cut.body <= look_back) return {};
    if (const std::optional<std::uint64_t> begin = CutSearch(cut, read, look_back).run()) return begin;
  }
  return {};
}

}  // namespace seamwright
