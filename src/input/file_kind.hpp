// Which kind of file a text is, for the message where it is given in another's place.
#pragma once

#include <string>
#include <string_view>

#include "seamwright/diagnostic.hpp"

namespace seamwright {

enum class FileKind : unsigned char {
  unknown,
  joint,
  equipment,
  procedure,  // a lock file too
  test_piece,
  jobs,
  trials,
  settings,  // of assess --list
  log,
  log_layout,
  saved_plan,
  answers,  // of batch, or of plan as CSV
  catalog_rows,
  page,
  packed,  // a workbook, a document of a word processor, an archive
  picture  // also a page as PDF
};

// Told by what stands in it and in nothing else: tables of TOML, column names of CSV, the program's own JSON, the first
// bytes of what is no text. A text that is none of them, or no sound TOML, is unknown.
[[nodiscard]] FileKind file_kind(std::string_view text);

// The errors of a text read as `wanted`. Where it is of another kind they are one: what it is, and where it belongs.
[[nodiscard]] Diagnostics told_apart(Diagnostics errors, std::string_view text, const std::string& name,
                                     FileKind wanted);
// The same of a file; one that cannot be read, or is longer than a hand writes, is not looked at.
[[nodiscard]] Diagnostics file_told_apart(Diagnostics errors, const std::string& path, FileKind wanted);

}  // namespace seamwright
