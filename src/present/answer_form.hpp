// How the answers to a job list are written.
#pragma once

namespace seamwright {

struct AnswerForm {
  enum class Kind : unsigned char { csv, ndjson, workbook } kind = Kind::csv;
  // Of CSV.
  char separator = ',';
  bool decimal_comma = false;    // the separator is another then
  bool byte_order_mark = false;  // before the header

  [[nodiscard]] bool is_csv() const { return kind == Kind::csv; }
  [[nodiscard]] bool is_ndjson() const { return kind == Kind::ndjson; }
  [[nodiscard]] bool is_workbook() const { return kind == Kind::workbook; }
};

}  // namespace seamwright
