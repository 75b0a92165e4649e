#include "input/job_records.hpp"

#include <algorithm>

#include "text/table_text.hpp"

namespace seamwright {
namespace {

constexpr auto npos = std::string_view::npos;

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

// Where the quoted part ends whose text goes on at text[at]: after its closing quote; npos when it does not.
std::size_t after_rest_of_quotes(std::string_view text, std::size_t at) {
  for (std::size_t quote = text.find('"', at); quote != npos; quote = text.find('"', quote + 2))
    if (quote + 1 >= text.size() || text[quote + 1] != '"') return quote + 1;
  return npos;
}
// The same of one that starts at text[at].
std::size_t after_quotes(std::string_view text, std::size_t at) { return after_rest_of_quotes(text, at + 1); }

struct CsvEnd {
  std::size_t at = npos;  // of the line feed; npos: not in this text
  bool open_quote = false;
};
// A quote opens a quoted cell only where a cell begins: a stray one ("6" plate) is text.
template <class IsSeparator>
CsvEnd csv_row_end(std::string_view text, IsSeparator is_separator, std::size_t at = 0) {
  bool cell_begins = at == 0;
  for (std::size_t i = at; i < text.size();) {
    const char c = text[i];
    if (c == '"' && cell_begins) {
      i = after_quotes(text, i);
      if (i == npos) return {npos, true};
      cell_begins = false;
      continue;
    }
    if (c == '\n') return {i, false};
    cell_begins = is_separator(c) || (cell_begins && is_blank(c));
    ++i;
  }
  return {};
}

// `at`: 0, or behind a quoted cell.
CsvEnd csv_row_end(std::string_view text, char separator, std::size_t at = 0) {
  return csv_row_end(
      text, [separator](char c) { return c == separator; }, at);
}

constexpr std::string_view separators = ",;\t";

CsvEnd header_end_of(std::string_view text) {
  return csv_row_end(text, [](char c) { return separators.find(c) != npos; });
}

constexpr std::size_t longest_job_heading = 1024;  // a line is looked at so far for its [[job]]

bool is_comment(std::string_view line) {
  line = trimmed(line);
  return line.empty() || line.front() == '#';
}

}  // namespace

std::size_t csv_cell_begin(std::string_view row, char separator, std::size_t index) {
  std::size_t at = 0;
  for (;; --index) {
    std::size_t first = at;
    while (first < row.size() && row[first] != separator && is_blank(row[first])) ++first;
    if (index == 0) return first;
    const bool quoted = first < row.size() && row[first] == '"';
    const std::size_t end = row.find(separator, quoted ? std::min(after_quotes(row, first), row.size()) : at);
    if (end == npos) return row.size();
    at = end + 1;
  }
}

bool starts_job(std::string_view line) {
  line = trimmed(line);
  if (line.substr(0, 2) != "[[") return false;
  const std::size_t close = line.find("]]");
  return close != npos && trimmed(line.substr(2, close - 2)) == "job";
}

JobFormat sniff_job_format(std::string_view text) {
  for (const char c : text) {
    if (is_blank(c)) continue;
    return c == '{' ? JobFormat::ndjson : c == '[' || c == '#' ? JobFormat::toml : JobFormat::csv;
  }
  return JobFormat::csv;
}

std::size_t header_end(std::string_view text) { return header_end_of(text).at; }

char sniff_separator(std::string_view text) {
  CsvEnd end = header_end_of(text);
  if (end.open_quote) end.at = text.find('\n');
  char best = ',';
  std::ptrdiff_t most = 0;
  for (const char separator : separators) {
    std::ptrdiff_t count = 0;
    bool quoted = false;
    for (const char c : text.substr(0, end.at)) {
      if (c == '"') quoted = !quoted;
      if (c == separator && !quoted) ++count;
    }
    if (count > most) {
      best = separator;
      most = count;
    }
  }
  return best;
}

bool has_open_quote(std::string_view row, char separator) { return csv_row_end(row, separator).open_quote; }

RecordScanner::Step RecordScanner::finish(std::string_view text, std::size_t size, std::size_t used, JobFlaw flaw) {
  Step step{used, true, {0, size, line_, flaw}};
  if (size > 0 && text[size - 1] == '\r') --step.record.size;
  line_ += static_cast<std::uint64_t>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(used), '\n'));
  return step;
}

RecordScanner::Step RecordScanner::finish_line(std::string_view text) {
  const std::size_t line_end = text.find('\n');
  Step step = finish(text, 0, line_end == npos ? text.size() : line_end + 1, JobFlaw::none);
  step.found = false;
  in_line_ = line_end == npos;
  return step;
}

RecordScanner::Step RecordScanner::finish_quotes(std::string_view text, bool at_end) {
  const std::string_view window = text.substr(0, longest_ + 1);
  const std::size_t closed = after_rest_of_quotes(window, 0);
  const CsvEnd end = closed == npos ? CsvEnd{npos, true} : csv_row_end(window, separator_, closed);
  const bool beyond = window.size() > longest_;
  if (end.at == npos && !at_end && !beyond) return {};
  in_quotes_ = false;
  const bool open = end.at == npos && (end.open_quote || beyond);
  Step step = finish(text, 0, end.at == npos ? window.size() : end.at + 1, open ? JobFlaw::open_quote : JobFlaw::none);
  step.found = open;
  return step;
}

RecordScanner::Step RecordScanner::next(std::string_view text, bool at_end) {
  if (text.empty()) return {};
  if (in_line_) return finish_line(text);
  if (in_quotes_) return finish_quotes(text, at_end);
  return format_ == JobFormat::toml ? next_job_table(text, at_end) : next_line(text, at_end);
}

RecordScanner::Step RecordScanner::next_line(std::string_view text, bool at_end) {
  const std::size_t line_end = text.find('\n');
  const std::string_view first_line = text.substr(0, line_end);
  const bool beyond = text.size() > longest_;
  if (first_line.size() > longest_) {
    in_line_ = line_end == npos;
    return finish(text, 0, line_end == npos ? text.size() : line_end + 1, JobFlaw::too_long);
  }
  const bool plain = format_ != JobFormat::csv || first_line.find('"') == npos;
  CsvEnd end{line_end, false};
  if (!plain) end = csv_row_end(text.substr(0, longest_ + 1), separator_);
  if (end.at == npos) {
    if (!at_end && !beyond) return {};
    if (!beyond && !end.open_quote) return finish(text, text.size(), text.size(), JobFlaw::none);
    return finish(text, first_line.size(), line_end == npos ? text.size() : line_end + 1, JobFlaw::open_quote);
  }
  if (text.substr(0, end.at).find_first_not_of(" \r") == npos) {
    ++line_;
    return {end.at + 1, false, {}};
  }
  return finish(text, end.at, end.at + 1, JobFlaw::none);
}

RecordScanner::Step RecordScanner::next_job_table(std::string_view text, bool at_end) {
  // Blank lines and comments before a row are no part of it.
  const std::size_t window = std::min(text.size(), longest_ + 1);
  bool begun = false;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t line_end = text.find('\n', at);
    const std::string_view line = text.substr(at, line_end == npos ? npos : line_end - at);
    if (line_end == npos && !at_end && (text.size() <= longest_ || line.size() < longest_job_heading)) return {};
    const std::size_t after = line_end == npos ? text.size() : line_end + 1;
    const bool job = starts_job(line.substr(0, longest_job_heading));
    if (!begun && (skipping_ ? !job : is_comment(line))) return finish_line(text);
    if (begun && job) return finish(text, at, at, JobFlaw::none);
    skipping_ = false;
    begun = true;
    if (after > window) {
      skipping_ = true;
      in_line_ = at == 0 && line_end == npos;
      return finish(text, 0, at == 0 ? after : at, JobFlaw::too_long);
    }
    at = after;
  }
  return at_end ? finish(text, text.size(), text.size(), JobFlaw::none) : Step{};
}

bool split_csv_row(std::string_view row, char separator, std::vector<std::string_view>& cells, std::string& scratch) {
  cells.clear();
  scratch.clear();
  scratch.reserve(row.size());  // so that the views into it stay
  for (std::size_t at = 0;;) {
    std::size_t first = at;
    while (first < row.size() && row[first] != separator && is_blank(row[first])) ++first;
    std::size_t end = 0;
    if (first < row.size() && row[first] == '"') {
      const std::size_t closed = std::min(after_quotes(row, first), row.size());
      const std::string_view inside = row.substr(first + 1, closed - first - 2);
      if (inside.find('"') == npos) {
        cells.push_back(inside);
      } else {
        const std::size_t start = scratch.size();
        for (std::size_t i = 0; i < inside.size(); ++i) {
          scratch += inside[i];
          if (inside[i] == '"') ++i;  // doubled
        }
        cells.push_back(std::string_view(scratch).substr(start));
      }
      end = std::min(row.find(separator, closed), row.size());
      if (!trimmed(row.substr(closed, end - closed)).empty()) return false;
    } else {
      end = std::min(row.find(separator, at), row.size());
      cells.push_back(trimmed(row.substr(at, end - at)));
    }
    if (end == row.size()) return true;
    at = end + 1;
  }
}

}  // namespace seamwright
