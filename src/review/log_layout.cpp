#include "review/log_layout.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "seamwright/input.hpp"
#include "text/foreign_text.hpp"
#include "text/nearest_word.hpp"
#include "text/table_text.hpp"
#include "text/toml_document.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

constexpr std::size_t most_preamble_lines = 100;
constexpr std::size_t most_columns = 1000;

// Names a column may have, unit and punctuation aside, in small letters.
struct KnownName {
  LogQuantity quantity;
  std::string_view names;  // '|' between them
};
constexpr std::array<KnownName, log_quantity_count> known_names{
    {{LogQuantity::time, "time|t|timestamp|elapsed|elapsedtime|seconds|datetime|clock"},
     {LogQuantity::current, "current|i|amps|amperage|weldingcurrent|weldcurrent|arccurrent|iweld"},
     {LogQuantity::voltage, "voltage|u|v|volts|arcvoltage|weldingvoltage|weldvoltage|uweld|uarc"},
     {LogQuantity::feed, "feed|wirefeed|wfs|wirefeedspeed|vwire|wirespeed|vd"},
     {LogQuantity::travel, "travel|travelspeed|weldingspeed|speed|vweld|vtravel|vs"},
     {LogQuantity::x, "x|xpos|posx|positionx"},
     {LogQuantity::y, "y|ypos|posy|positiony"},
     {LogQuantity::z, "z|zpos|posz|positionz"},
     {LogQuantity::arc, "arc|arcon|arcflag|arcestablished|welding"}}};

const Unit* unit_for(LogQuantity quantity, std::string_view text) {
  const Unit* unit = find_unit(text);
  const Unit* own = find_unit(log_quantity_unit(quantity));
  return unit != nullptr && own != nullptr && !text.empty() && unit->dimension == own->dimension ? unit : nullptr;
}

double factor_of(LogQuantity quantity, const Unit& unit) {
  const Unit& own = *find_unit(log_quantity_unit(quantity));
  return unit.numerator / unit.denominator * own.denominator / own.numerator;
}

bool is_called(LogQuantity quantity, std::string_view name) {
  return seamwright::is_called(known_names[static_cast<std::size_t>(quantity)].names, name);
}

// What a header's cell names; the unit beside it, or null.
struct Recognised {
  LogQuantity quantity = LogQuantity::count;
  const Unit* unit = nullptr;
};
Recognised recognise(std::string_view cell) {
  for (std::size_t i = 0; i < log_quantity_count; ++i) {
    const auto quantity = static_cast<LogQuantity>(i);
    for (const NamedUnit& split : unit_splits(cell))
      if (is_called(quantity, split.name))
        if (const Unit* unit = unit_for(quantity, split.unit)) return {quantity, unit};
    if (is_called(quantity, cell)) return {quantity, nullptr};
  }
  return {};
}

bool is_comment(std::string_view line) { return !line.empty() && (line.front() == '#' || line.front() == '%'); }

struct TextLine {
  std::string_view text;
  std::size_t end = 0;  // offset of the next line
};

class LayoutFinder {
 public:
  LayoutFinder(std::string_view text, const std::string& name, const LogFormat& format)
      : text_(text), name_(name), format_(format) {}

  Expected<LogLayout> find() {
    if (auto unreadable = refuse_other_files()) return *unreadable;
    const bool bom = text_.starts_with("\xEF\xBB\xBF");
    begin_ = bom ? 3 : 0;
    layout_.carriage_returns = text_.find('\n') == std::string_view::npos && text_.find('\r') != std::string_view::npos;
    cut_lines();
    if (lines_.empty()) return error(0, "there is no line to read", "a log has a header and a row a reading");
    find_separator();
    if (!find_header()) find_bare_rows();
    if (!errors_.empty()) return errors_;
    if (Diagnostics missing = place_columns(); !missing.empty()) return missing;
    if (auto wider = refuse_wider_rows()) return *wider;
    find_time_form();
    return std::move(layout_);
  }

 private:
  Diagnostic error(std::size_t line, std::string message, std::string help) const {
    return {{name_, static_cast<int>(line), line > 0 ? 1 : 0}, std::move(message), std::move(help)};
  }

  [[nodiscard]] std::optional<Diagnostic> refuse_other_files() const {
    if (text_.empty()) return error(0, "the log is empty", "a log has a header and a row a reading");
    if (text_.starts_with("\xFF\xFE") || text_.starts_with("\xFE\xFF"))
      return error(1, "the log is UTF-16 text", "save it as UTF-8 or plain CSV");
    if (text_.starts_with("\x1F\x8B") || text_.starts_with("PK") || text_.starts_with("\x28\xB5\x2F\xFD"))
      return error(1, "the log is compressed, or a workbook",
                   "unpack it first: gzip -dc LOG.gz | seamwright review -; from a workbook save CSV");
    if (text_.substr(0, 4096).find('\0') != std::string_view::npos)
      return error(1, "the log is no text", "a log is CSV: a header and a row a reading");
    return std::nullopt;
  }

  // Decimal commas between commas give more cells than there are names: nothing can tell which belong together.
  [[nodiscard]] std::optional<Diagnostic> refuse_wider_rows() {
    if (header_.empty()) return std::nullopt;
    std::size_t wider = 0, seen = 0, cells = 0;
    for (std::size_t i = layout_.first_line - 1; i + 1 < lines_.size(); ++i) {
      split_cells(lines_[i].text, layout_.separator, cells_);
      if (is_comment(lines_[i].text) || cells_.size() < 2) continue;
      ++seen;
      if (cells_.size() <= header_.size() || cells_.back().empty()) continue;
      ++wider;
      cells = cells_.size();
    }
    if (2 * wider <= seen) return std::nullopt;
    return error(layout_.first_line, fmt::format("the rows have {} cells and the header has {}", cells, header_.size()),
                 "a decimal comma needs another separator than the comma: write the log with semicolons or tabs");
  }

  void cut_lines() {
    const char end = layout_.carriage_returns ? '\r' : '\n';
    for (std::size_t at = begin_; at < text_.size() && lines_.size() < most_preamble_lines + 20;) {
      const std::size_t stop = std::min(text_.find(end, at), text_.size());
      lines_.push_back({trimmed_end(text_.substr(at, stop - at)), std::min(stop + 1, text_.size())});
      at = stop + 1;
    }
  }
  static std::string_view trimmed_end(std::string_view line) {
    while (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    return line;
  }

  // The separator that cuts most of the last lines at hand into the same number of cells, more than one.
  void find_separator() {
    if (format_.separator != 0) {
      layout_.separator = format_.separator;
    } else {
      std::size_t best = 0;
      for (const char c : {';', '\t', ',', ' '}) {
        std::size_t alike = 0, cells_before = 0;
        for (std::size_t i = lines_.size() > 8 ? lines_.size() - 8 : 0; i < lines_.size(); ++i) {
          split_cells(lines_[i].text, c, cells_);
          if (cells_.size() > 1 && (cells_before == 0 || cells_.size() == cells_before)) ++alike;
          cells_before = cells_.size();
        }
        // A tie goes to the first: a semicolon or tab is never a decimal sign.
        if (alike > best) {
          best = alike;
          layout_.separator = c;
        }
      }
    }
    layout_.decimal_comma = format_.decimal_comma.value_or(layout_.separator != ',' && decimal_commas());
  }
  // Whether the lines at hand have numbers like 23,5 and none like 23.5.
  [[nodiscard]] bool decimal_commas() {
    std::size_t commas = 0, points = 0;
    for (std::size_t i = 1; i < lines_.size(); ++i) {
      split_cells(lines_[i].text, layout_.separator, cells_);
      for (const std::string_view cell : cells_) {
        double value = 0;
        if (cell.find(',') != std::string_view::npos && read_reading(cell, true, value)) ++commas;
        if (cell.find('.') != std::string_view::npos && read_reading(cell, false, value)) ++points;
      }
    }
    return commas > 0 && points == 0;
  }

  [[nodiscard]] bool names_a_mapped(std::string_view cell) const {
    for (const auto& column : format_.columns)
      if (column && column->column == cell) return true;
    return false;
  }

  // The first line with a name that is known or mapped, above which lines may say anything.
  bool find_header() {
    for (std::size_t i = 0; i < std::min(lines_.size(), most_preamble_lines); ++i) {
      std::string_view line = lines_[i].text;
      if (is_comment(line)) line.remove_prefix(1);
      split_cells(line, layout_.separator, cells_);
      std::size_t known = 0;
      for (const std::string_view cell : cells_)
        known += recognise(cell).quantity != LogQuantity::count || names_a_mapped(cell);
      double value = 0;
      const bool numbers = std::any_of(cells_.begin(), cells_.end(), [&](std::string_view c) {
        return read_reading(c, layout_.decimal_comma, value);
      });
      if (known == 0 || numbers || (known == 1 && cells_.size() > 1 && !enough_alone())) continue;
      header_.assign(cells_.begin(), cells_.end());
      layout_.header = std::string(lines_[i].text);
      header_line_ = i + 1;
      std::size_t passed_over = 0;
      for (std::size_t k = 0; k < i; ++k) passed_over += !lines_[k].text.empty() && !is_comment(lines_[k].text);
      if (passed_over > 0)
        remark("preamble",
               fmt::format("{} line{} before the header passed over", passed_over, passed_over > 1 ? "s" : ""),
               passed_over);
      begin_rows(i + 1);
      take_unit_line(i + 1);
      return true;
    }
    return false;
  }
  // One known name among others makes a header only where the rate is given or the rest is mapped by number.
  [[nodiscard]] bool enough_alone() const {
    return format_.rate_Hz > 0 ||
           std::any_of(format_.columns.begin(), format_.columns.end(), [](const auto& c) { return c.has_value(); });
  }

  // "s;A;V" below the header.
  void take_unit_line(std::size_t index) {
    if (index >= lines_.size()) return;
    split_cells(lines_[index].text, layout_.separator, cells_);
    double value = 0;
    if (cells_.size() != header_.size() || std::any_of(cells_.begin(), cells_.end(), [&](std::string_view c) {
          return read_reading(c, layout_.decimal_comma, value) || read_clock(c, value);
        }))
      return;
    bool any = false;
    for (std::string_view& cell : cells_) {
      if (cell.size() > 2 && (cell.front() == '[' || cell.front() == '(')) cell = cell.substr(1, cell.size() - 2);
      any = any || (!cell.empty() && find_unit(cell) != nullptr);
    }
    if (!any) return;
    units_.assign(cells_.begin(), cells_.end());
    begin_rows(index + 1);
  }

  void begin_rows(std::size_t index) {
    layout_.data_begins = index == 0 ? begin_ : lines_[index - 1].end;
    layout_.first_line = index + 1;
  }

  // No header: only columns mapped by number can be read.
  void find_bare_rows() {
    const bool mapped = std::any_of(format_.columns.begin(), format_.columns.end(), [](const auto& c) {
      return c && c->column.find_first_not_of("0123456789") == std::string::npos;
    });
    if (mapped) {
      std::size_t i = 0;
      double value = 0;
      for (; i < lines_.size(); ++i) {
        split_cells(lines_[i].text, layout_.separator, cells_);
        if (!is_comment(lines_[i].text) && !cells_.empty() &&
            (read_reading(cells_[0], layout_.decimal_comma, value) || read_clock(cells_[0], value)))
          break;
      }
      return begin_rows(std::min(i, lines_.size() - 1));
    }
    std::string names;
    split_cells(lines_[0].text, layout_.separator, cells_);
    for (std::size_t i = 0; i < std::min<std::size_t>(cells_.size(), 8); ++i)
      names += fmt::format("{}'{}'", i > 0 ? ", " : "", printable(text_start(cells_[i], 24)));
    errors_.push_back(error(1, fmt::format("no column for time, current, voltage or feed among {}", names),
                            "name them: --map time=1,current=2,voltage=3, by number or by the header's names"));
  }

  // The column a mapping means.
  [[nodiscard]] int mapped_column(const LogColumn& column) {
    for (std::size_t i = 0; i < header_.size(); ++i)
      if (header_[i] == column.column) return static_cast<int>(i);
    std::size_t number = 0;
    const char* end = column.column.data() + column.column.size();
    const auto [stop, fault] = std::from_chars(column.column.data(), end, number);
    if (fault == std::errc() && stop == end && number >= 1 && number <= most_columns)
      return static_cast<int>(number - 1);
    std::vector<std::string_view> names(header_.begin(), header_.end());
    const std::string_view near = nearest_word(column.column, names);
    errors_.push_back({column.place, fmt::format("the log has no column '{}'", printable(text_start(column.column))),
                       near.empty()
                           ? fmt::format("its header names: {}", printable(fmt::format("{}", fmt::join(names, ", "))))
                           : fmt::format("did you mean '{}'?", printable(near))});
    return -1;
  }

  Diagnostics place_columns() {
    for (std::size_t i = 0; i < log_quantity_count; ++i) {
      const auto quantity = static_cast<LogQuantity>(i);
      LogCell& cell = layout_.cells[i];
      const std::optional<LogColumn>& mapped = format_.columns[i];
      const Unit* unit = nullptr;
      if (mapped) {
        cell.column = mapped_column(*mapped);
      } else {
        for (std::size_t c = 0; c < header_.size() && cell.column < 0; ++c)
          if (recognise(header_[c]).quantity == quantity && !taken(static_cast<int>(c)))
            cell.column = static_cast<int>(c);
      }
      if (cell.column < 0) continue;
      const auto at = static_cast<std::size_t>(cell.column);
      layout_.names[i] = at < header_.size() ? header_[at] : fmt::format("column {}", at + 1);
      if (at < header_.size()) {
        unit = recognise(header_[at]).unit;
        if (unit == nullptr || unit_for(quantity, unit->name) == nullptr) unit = unit_in(quantity, header_[at]);
      }
      if (at < units_.size() && !units_[at].empty()) unit = unit_for(quantity, units_[at]);
      if (mapped && !mapped->unit.empty()) {
        unit = unit_for(quantity, mapped->unit);
        if (unit == nullptr)
          errors_.push_back(
              {mapped->place,
               fmt::format("'{}' is no unit of {}", printable(text_start(mapped->unit)), log_quantity_key(quantity)),
               fmt::format("for example {}", log_quantity_unit(quantity))});
      }
      if (unit != nullptr) cell.factor = factor_of(quantity, *unit);
      if (mapped) {
        cell.factor *= mapped->scale;
        cell.offset = mapped->offset;
      }
    }
    if (!errors_.empty()) return errors_;
    return missing_columns();
  }
  [[nodiscard]] bool taken(int column) const {
    return std::any_of(layout_.cells.begin(), layout_.cells.end(),
                       [&](const LogCell& cell) { return cell.column == column; });
  }
  static const Unit* unit_in(LogQuantity quantity, std::string_view header) {
    for (const NamedUnit& split : unit_splits(header))
      if (const Unit* unit = unit_for(quantity, split.unit)) return unit;
    return nullptr;
  }

  Diagnostics missing_columns() {
    if (!layout_.has(LogQuantity::current) && !layout_.has(LogQuantity::voltage) && !layout_.has(LogQuantity::feed))
      return {error(header_line_, "the log has none of current, voltage and wire feed",
                    "name the columns: --map current=NAME,voltage=NAME")};
    if (!layout_.has(LogQuantity::time) && !(format_.rate_Hz > 0))
      return {error(header_line_, "the log has no time column",
                    "name it with --map time=NAME, or give --rate, as in --rate 50kHz")};
    return {};
  }

  void find_time_form() {
    if (!layout_.has(LogQuantity::time)) return;
    for (std::size_t i = layout_.first_line - 1; i < lines_.size(); ++i) {
      split_cells(lines_[i].text, layout_.separator, cells_);
      const auto at = static_cast<std::size_t>(layout_[LogQuantity::time].column);
      double value = 0;
      if (at >= cells_.size() || read_reading(cells_[at], layout_.decimal_comma, value)) continue;
      if (read_clock(cells_[at], value)) {
        layout_.time_form = TimeForm::clock;
        return;
      }
    }
  }

  void remark(std::string id, std::string text, std::uint64_t count) {
    layout_.remarks.push_back({std::move(id), std::move(text), count});
  }

  std::string_view text_;
  const std::string& name_;
  const LogFormat& format_;
  std::size_t begin_ = 0;
  std::size_t header_line_ = 0;
  std::vector<TextLine> lines_;
  std::vector<std::string_view> cells_;
  std::vector<std::string> header_, units_;
  LogLayout layout_;
  Diagnostics errors_;
};

}  // namespace

void split_cells(std::string_view line, char separator, std::vector<std::string_view>& cells) {
  cells.clear();
  if (separator == ' ') line = trimmed(line);
  for (std::size_t at = 0; at <= line.size() && cells.size() < most_columns;) {
    std::size_t stop = std::string_view::npos;
    std::size_t from = at;
    while (from < line.size() && line[from] == ' ' && separator != ' ') ++from;
    if (from < line.size() && line[from] == '"') {
      const std::size_t quote = line.find('"', from + 1);
      stop = quote == std::string_view::npos ? quote : line.find(separator, quote);
    } else {
      stop = line.find(separator, at);
    }
    std::string_view cell = trimmed(line.substr(at, std::min(stop, line.size()) - at));
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"') cell = trimmed(cell.substr(1, cell.size() - 2));
    cells.push_back(cell);
    if (stop == std::string_view::npos) break;
    at = stop + 1;
    if (separator == ' ')
      while (at < line.size() && line[at] == ' ') ++at;
  }
}

bool read_reading(std::string_view cell, bool decimal_comma, double& value) {
  if (!cell.empty() && cell.front() == '+') cell.remove_prefix(1);
  constexpr std::size_t longest = 40;
  char changed[longest];
  if (decimal_comma && cell.find(',') != std::string_view::npos) {
    if (cell.size() > longest || cell.find('.') != std::string_view::npos) return false;
    std::replace_copy(cell.begin(), cell.end(), changed, ',', '.');
    cell = {changed, cell.size()};
  }
  const auto [stop, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return fault == std::errc() && stop == cell.data() + cell.size() && !cell.empty();
}

// "10:15:30.25", "10:15:30", "15:30.5", or the same behind a date, with a blank or T between: "2026-03-02T10:15:30".
bool read_clock(std::string_view cell, double& seconds) {
  double days = 0;
  if (const std::size_t between = cell.find_first_of("T "); between != std::string_view::npos && between >= 8) {
    int year = 0, month = 0, day = 0;
    const std::string_view date = cell.substr(0, between);
    const char *at = date.data(), *end = at + date.size();
    const auto part = [&](int& out) {
      const auto [stop, fault] = std::from_chars(at, end, out);
      at = stop < end ? stop + 1 : stop;
      return fault == std::errc();
    };
    if (!part(year) || !part(month) || !part(day)) return false;
    if (day > 31) std::swap(year, day);
    // Days since a fixed day, by the civil calendar: only differences count.
    const int y = month <= 2 ? year - 1 : year, m = month <= 2 ? month + 9 : month - 3;
    days = 365.0 * y + std::floor(y / 4.0) - std::floor(y / 100.0) + std::floor(y / 400.0) +
           std::floor((153.0 * m + 2) / 5) + day;
    cell = trimmed(cell.substr(between + 1));
    if (cell.ends_with('Z')) cell.remove_suffix(1);
  }
  double parts[3]{};
  std::size_t count = 0;
  const char *at = cell.data(), *end = at + cell.size();
  while (at < end && count < 3) {
    const char* start = at;
    const auto [stop, fault] = std::from_chars(at, end, parts[count]);
    if (fault != std::errc() || stop == start || parts[count] < 0) return false;
    at = stop;
    if (at < end && *at == ',') {  // a decimal comma in the seconds
      double digits = 0;
      const auto [last, none] = std::from_chars(at + 1, end, digits);
      if (none != std::errc()) return false;
      parts[count] += digits * std::pow(10.0, -static_cast<double>(last - at - 1));
      at = last;
    }
    ++count;
    if (at < end && *at++ != ':') return false;
  }
  if (at != end || count < 2) return false;
  seconds = count == 3 ? parts[0] * 3600 + parts[1] * 60 + parts[2] : parts[0] * 60 + parts[1];
  seconds += days * 86400;
  return true;
}

Expected<LogLayout> find_layout(std::string_view text, const std::string& name, const LogFormat& format) {
  return LayoutFinder(text, name, format).find();
}

}  // namespace seamwright
