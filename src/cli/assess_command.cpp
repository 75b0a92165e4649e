// seamwright assess: what a setting gives, or each setting of a list.
#include <fmt/format.h>

#include <algorithm>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/joint_request.hpp"
#include "input/file_kind.hpp"
#include "input/job_records.hpp"
#include "input/joint_entries.hpp"
#include "present/write_assess.hpp"
#include "seamwright/assess.hpp"
#include "text/nearest_word.hpp"
#include "text/toml_document.hpp"
#include "text/units_text.hpp"

namespace seamwright {
namespace {

constexpr std::string_view table_of_keys = "setting.";

int exit_code(const Assessment& a) { return a.broken > 0 ? exit_no_window : exit_answered; }

std::string assessed_text(const Assessment& a, std::string_view format, const OutputArguments& output) {
  if (format == "table")
    return assess_table(a, {units_of(output), line_width(output), color_wanted(output), program_version()});
  if (format != "csv") return assess_json(a, units_of(output), program_version(), format == "ndjson");
  std::string text;
  append_assess_csv_header(text, {}, units_of(output));
  append_assess_csv(text, {}, a, units_of(output));
  return text;
}

int assess_one(const JointRequest& request, const std::vector<Assignment>& setting, const AssessOptions& options,
               const OutputArguments& output) {
  const std::string format = output.format.empty() ? "table" : output.format;
  const Expected<Joint> joint = request.joint(setting);
  if (!joint) return report(joint.errors());
  const Expected<Assessment> assessed = assess(*joint, request.catalog(), options);
  if (!assessed) return report(assessed.errors());
  if (!output.quiet)
    for (const F id : assessed->dials_unused)
      message(fmt::format("note: no limit hangs on the {}: its dial is not looked at", field(id).label));
  return deliver(output, assessed_text(*assessed, format, output), exit_code(*assessed));
}

// The keys of a list's columns: "feed", "voltage"; other columns are passed through where they begin with x-, or are
// the id.
struct Column {
  std::string name, key;  // no key: handed through
};

class List {
 public:
  List(const std::string& file, const std::string& text) : file_(file), text_(text) {}

  // Every row has as many cells as the header; all faults at once.
  Diagnostics read() {
    RecordScanner scanner(JobFormat::csv, separator_ = sniff_separator(text_));
    std::string_view rest = text_;
    if (rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);
    for (;;) {
      const RecordScanner::Step step = scanner.next(rest, true);
      if (step.used == 0) break;
      if (step.found) take(rest.substr(step.record.offset, step.record.size), step.record);
      rest.remove_prefix(step.used);
      if (errors_.size() >= enough_errors) break;
    }
    if (columns_.empty())
      fail(1, 0, "the list is empty", "write a header such as feed,voltage,travel, and rows below it");
    else if (rows_.empty() && errors_.empty())
      fail(1, 0, "the list has no rows", "write settings below the header");
    return errors_;
  }

  struct Row {
    std::vector<std::string> cells;
    std::vector<Assignment> setting;
  };
  [[nodiscard]] const std::vector<Row>& rows() const { return rows_; }
  [[nodiscard]] std::vector<std::string> header() const {
    std::vector<std::string> names;
    for (const Column& column : columns_) names.push_back(column.name);
    return names;
  }

 private:
  static constexpr std::size_t enough_errors = 100;
  const std::string& file_;
  const std::string& text_;
  char separator_ = ',';
  std::vector<Column> columns_;
  std::vector<Row> rows_;
  Diagnostics errors_;

  void fail(std::uint64_t line, std::size_t column, std::string message, std::string help) {
    Diagnostic d;
    d.place = {file_, static_cast<int>(line), static_cast<int>(column)};
    d.message = std::move(message);
    d.help = std::move(help);
    errors_.push_back(std::move(d));
  }

  void take(std::string_view record, const JobRecord& at) {
    std::vector<std::string_view> cells;
    std::string scratch;
    if (at.flaw != JobFlaw::none || !split_csv_row(record, separator_, cells, scratch))
      return fail(at.line, 1, "this row cannot be cut into cells",
                  "a quoted cell is closed by a quote and a separator");
    if (columns_.empty()) return take_header(cells, at.line);
    if (cells.size() != columns_.size())
      return fail(at.line, 1, fmt::format("{} cells, expected {} as in the header", cells.size(), columns_.size()),
                  "give every column a cell, an empty one where it is left out");
    Row row;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      row.cells.emplace_back(cells[i]);
      if (columns_[i].key.empty() || cells[i].empty()) continue;
      row.setting.push_back({columns_[i].key, std::string(cells[i]), fmt::format("{}:{}:{}", file_, at.line, i + 1)});
    }
    rows_.push_back(std::move(row));
  }

  void take_header(const std::vector<std::string_view>& cells, std::uint64_t line) {
    std::vector<std::string_view> known;
    for (const InputKeyInfo& info : input_keys())
      if (info.path.starts_with(table_of_keys) && !is_table_key(info.path))
        known.push_back(info.path.substr(table_of_keys.size()));
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::string_view name = cells[i];
      constexpr std::string_view dial = "dial.";  // and what stands on it
      const bool key = std::find(known.begin(), known.end(), name) != known.end() ||
                       (name.starts_with(dial) && name.size() > dial.size());
      const bool twice = std::any_of(columns_.begin(), columns_.end(), [&](const Column& c) { return c.name == name; });
      if (twice) fail(line, i + 1, fmt::format("column '{}' stands twice", name), "leave one of them out");
      if (!key && !name.starts_with("x-") && name != "id") {
        const std::string_view near = nearest_word(name, known);
        fail(line, i + 1, fmt::format("column '{}' is no key of a setting", name),
             near.empty() ? fmt::format("known are {}, dial.NAME; columns with x- in front are passed through",
                                        fmt::join(known, ", "))
                          : fmt::format("did you mean '{}'?", near));
      }
      columns_.push_back({std::string(name), key ? fmt::format("{}{}", table_of_keys, name) : std::string()});
    }
  }
};

int assess_list(const JointRequest& request, const AssessArguments& arguments, const AssessOptions& options,
                const std::vector<Assignment>& common) {
  const OutputArguments& output = arguments.output;
  const std::string format = output.format.empty() ? "csv" : output.format;
  if (format != "csv" && format != "ndjson")
    return usage_error(fmt::format("--list gives many answers, which --format {} cannot hold", format),
                       "use --format csv or --format ndjson");
  if (same_file(arguments.list, output.file))
    return usage_error("-o would overwrite the list", "choose another name for the output");
  constexpr std::size_t max_list_bytes = std::size_t{64} << 20;
  const Expected<std::string> text = read_text_file(arguments.list, max_list_bytes);
  if (!text) return report(text.errors());
  List list(arguments.list, *text);
  if (const Diagnostics errors = list.read(); !errors.empty())
    return report(told_apart(errors, *text, arguments.list, FileKind::settings));

  std::string out;
  if (format == "csv") append_assess_csv_header(out, list.header(), units_of(output));
  int code = exit_answered;
  Diagnostics refused;
  for (const List::Row& row : list.rows()) {
    std::vector<Assignment> setting = common;
    setting.insert(setting.end(), row.setting.begin(), row.setting.end());
    const Expected<Joint> joint = request.joint(setting);
    const Expected<Assessment> assessed =
        joint ? assess(*joint, request.catalog(), options) : Expected<Assessment>(joint.errors());
    if (!assessed) {
      refused.insert(refused.end(), assessed.errors().begin(), assessed.errors().end());
      continue;
    }
    code = std::max(code, exit_code(*assessed));
    if (format == "csv")
      append_assess_csv(out, row.cells, *assessed, units_of(output));
    else
      out += assess_json(*assessed, units_of(output), program_version(), true);
  }
  if (!refused.empty()) return report(refused);
  return deliver(output, out, code);
}

}  // namespace

int run_assess(const AssessArguments& arguments, const Catalog& catalog) {
  if (!check_output_arguments(arguments.output, "assess")) return exit_bad_input;
  if (!joint_given("assess", arguments.input)) return exit_bad_input;
  const Expected<JointRequest> request = JointRequest::read(arguments.input, arguments.output, catalog);
  if (!request) return report(request.errors());
  std::vector<Assignment> setting;
  const std::pair<std::string_view, const std::string&> options[] = {
      {"feed", arguments.feed},     {"current", arguments.current},     {"voltage", arguments.voltage},
      {"travel", arguments.travel}, {"frequency", arguments.frequency}, {"peak", arguments.peak},
      {"base", arguments.base},     {"amplitude", arguments.amplitude}, {"modulation", arguments.modulation}};
  for (const auto& [name, value] : options)
    if (!value.empty())
      setting.push_back({fmt::format("{}{}", table_of_keys, name), value, fmt::format("--{} {}", name, value)});
  AssessOptions how{.equipment = request->equipment() ? &*request->equipment() : nullptr,
                    .procedure = request->procedure() ? &*request->procedure() : nullptr};
  if (!arguments.pass.empty()) {
    const Expected<std::size_t> pass = pass_number(arguments.pass);
    if (!pass) return report(pass.errors());
    how.pass = *pass - 1;
  }
  for (const std::string& text : arguments.dials) {
    constexpr std::string_view option = "--dial", example = "--dial Feed=12.7";
    const Expected<Assignment> dial = split_assignment(option, text, "NAME=NUMBER", example);
    if (!dial) return report(dial.errors());
    const Expected<double> reading = parse_quantity(dial->value, "");
    if (!reading)
      return report({option_error(option, text, fmt::format("'{}' is no number on a dial", dial->value),
                                  fmt::format("for example {}", example))});
    how.dials.push_back({dial->key, *reading, {fmt::format("{} {}", option, text), 0, 0}});
  }
  return arguments.list.empty() ? assess_one(*request, setting, how, arguments.output)
                                : assess_list(*request, arguments, how, setting);
}

}  // namespace seamwright
