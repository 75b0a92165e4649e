#include "text/text_grid.hpp"

#include <algorithm>
#include <numeric>

#include "text/text_layout.hpp"

namespace seamwright {
namespace {

std::string joined(std::initializer_list<std::string_view> words) {
  std::string text;
  for (const std::string_view word : words) {
    if (!text.empty() && !word.empty()) text += ' ';
    text += word;
  }
  return text;
}

}  // namespace

void append_stacked(std::string& out, std::string_view term, const std::vector<GridFact>& facts, std::size_t at,
                    std::size_t width) {
  std::vector<std::string> told;
  for (const GridFact& fact : facts) {
    if (fact.value.empty() || fact.value == "-") continue;
    const std::string text = joined({fact.label, fact.value, fact.unit});
    if (fact.label == "+-" && !told.empty())
      (told.back() += ' ') += text;
    else
      told.push_back(text);
  }
  if (told.empty()) told.emplace_back();
  told.front().insert(0, std::string(term) + (told.front().empty() ? "" : ": "));
  out.append(at, ' ');
  append_unbroken(out, told, ",", width, at, at + 2, at + 2);
}

std::string TextGrid::text(std::size_t indent, std::size_t width) const {
  constexpr std::size_t between = 2;
  std::vector<std::string> titles;
  for (const GridColumn& column : columns_)
    titles.push_back(joined({column.label, column.unit_in_title ? column.unit : ""}));
  std::vector<std::size_t> widths(columns_.size(), 0);
  const auto widen = [&widths](const std::vector<std::string>& cells) {
    for (std::size_t i = 0; i < cells.size(); ++i) widths[i] = std::max(widths[i], letters(cells[i]));
  };
  widen(titles);
  for (const auto& row : rows_) widen(row);
  const std::size_t words = widths.back(),
                    numbers = std::accumulate(widths.begin(), widths.end() - 1, indent + between * (widths.size() - 2));
  std::string out;
  if (numbers > width) {
    for (const auto& row : rows_) {
      std::vector<GridFact> facts;
      for (std::size_t i = 1; i + 1 < row.size(); ++i) facts.push_back({columns_[i].label, row[i], columns_[i].unit});
      facts.push_back({"", row.back(), ""});
      append_stacked(out, joined({columns_.front().label, row.front(), columns_.front().unit}), facts, indent, width);
    }
    return out;
  }
  const bool words_beside = words == 0 || numbers + between + words <= width;
  if (!words_beside && numbers + between + letters(titles.back()) > width) titles.back().clear();
  append_row(out, titles, widths, true, indent, width);
  for (const auto& row : rows_) append_row(out, row, widths, words_beside, indent, width);
  return out;
}

void TextGrid::append_row(std::string& out, const std::vector<std::string>& cells,
                          const std::vector<std::size_t>& widths, bool words_beside, std::size_t indent,
                          std::size_t width) const {
  out.append(indent, ' ');
  for (std::size_t i = 0; i + 1 < cells.size(); ++i) {
    if (i > 0) out += "  ";
    if (i == 0)
      append_left(out, cells[i], widths[i]);
    else
      append_right(out, cells[i], widths[i]);
  }
  if (words_beside && !cells.back().empty()) (out += "  ") += cells.back();
  while (out.back() == ' ') out.pop_back();
  out += '\n';
  if (words_beside || cells.back().empty()) return;
  out.append(indent + 2, ' ');
  append_wrapped(out, cells.back(), width, indent + 2, indent + 2);
}

}  // namespace seamwright
