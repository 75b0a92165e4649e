// What the layout of a job list and its rows are read with.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "input/job_records.hpp"
#include "seamwright/diagnostic.hpp"
#include "text/toml_document.hpp"

namespace seamwright {

inline constexpr std::string_view array_help = "write one object a line, without [ ] around the list";

// Whether a column is passed through: asked for, or with x- in front.
[[nodiscard]] bool is_handed_through(std::string_view name, const std::vector<std::string>& keep);

// Of the list or the row as a whole.
[[nodiscard]] Diagnostic list_error(std::string message, std::string help);

// Whether all of a text is printable ASCII: nothing more to look for in it.
[[nodiscard]] bool is_plain(std::string_view text);

// Why a text cannot come out again as it went in, with the next step; nothing where it can.
struct TextFault {
  std::string why;
  std::string_view help;
  [[nodiscard]] explicit operator bool() const { return !why.empty(); }
  [[nodiscard]] std::string in_one_line() const;
};
// `shown`: it does come out.
[[nodiscard]] TextFault text_fault(std::string_view text, bool shown);

// The one table of a [[job]] text.
[[nodiscard]] Expected<TomlValue> parse_job_table(std::string_view text);
[[nodiscard]] Expected<TomlValue> parse_document(JobFormat format, std::string_view row,
                                                 std::span<const std::string> whole);

}  // namespace seamwright
