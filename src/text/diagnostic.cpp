#include "seamwright/diagnostic.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "text/foreign_text.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::size_t most_shown = 20;
constexpr std::size_t widest_source = 96;  // letters of a source line

// First `letters` letters of a well-formed text.
std::string_view first_letters(std::string_view text, std::size_t letters) {
  std::size_t at = 0;
  for (; at < text.size() && letters > 0; --letters) at += std::max<std::size_t>(utf8_letter_bytes(text.substr(at)), 1);
  return text.substr(0, at);
}

std::string format_place(const Place& place) {
  std::string out = printable(place.file);
  if (place.line > 0) out += fmt::format(":{}", place.line);
  if (place.line > 0 && place.column > 0) out += fmt::format(":{}", place.column);
  return out.empty() ? out : out + ": ";
}

std::string format_one(const Diagnostic& d) {
  std::string out = fmt::format("{}error: {}\n", format_place(d.place), printable(d.message));
  const auto column = static_cast<std::size_t>(std::max(d.place.column, 0));
  if (!d.source_line.empty() && column > 0 && column <= widest_source) {
    const std::string line = printable(d.source_line);
    out += fmt::format("    {}\n    {:>{}}\n", first_letters(line, widest_source), '^', column);
  }
  if (!d.help.empty()) out += fmt::format("    help: {}\n", printable(d.help));
  return out;
}

}  // namespace

std::string format_diagnostics(const Diagnostics& diagnostics) {
  std::vector<const Diagnostic*> sorted;
  for (const Diagnostic& d : diagnostics) sorted.push_back(&d);
  std::stable_sort(sorted.begin(), sorted.end(), [](const Diagnostic* a, const Diagnostic* b) {
    return std::tie(a->place.file, a->place.line, a->place.column) <
           std::tie(b->place.file, b->place.line, b->place.column);
  });
  std::string out;
  for (std::size_t i = 0; i < std::min(sorted.size(), most_shown); ++i) out += format_one(*sorted[i]);
  if (sorted.size() > most_shown) out += fmt::format("and {} more errors\n", sorted.size() - most_shown);
  return out;
}

void attach_source_lines(Diagnostics& diagnostics, std::string_view text, std::string_view file) {
  std::vector<std::size_t> starts;  // of the lines; made only when there is something to show
  for (Diagnostic& d : diagnostics) {
    if (d.place.line <= 0 || d.place.file != file) continue;
    if (starts.empty()) {
      if (text.substr(0, 3) == "\xef\xbb\xbf") text.remove_prefix(3);
      starts.push_back(0);
      for (std::size_t at = text.find('\n'); at != std::string_view::npos; at = text.find('\n', at + 1))
        starts.push_back(at + 1);
    }
    const auto line = static_cast<std::size_t>(d.place.line) - 1;
    if (line >= starts.size()) continue;
    std::string_view source = text.substr(starts[line]);
    source = source.substr(0, source.find('\n'));
    if (!source.empty() && source.back() == '\r') source.remove_suffix(1);
    d.source_line = first_letters(source, widest_source);
  }
}

}  // namespace seamwright
