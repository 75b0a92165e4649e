// Where in a long CSV list reading may begin, so that a part of it is found without reading what lies before it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>

#include "input/job_records.hpp"

namespace seamwright {

struct JobCut {
  char separator = ',';
  std::uint64_t body = 0;                   // where the first row after the header begins, in bytes
  std::uint64_t from = 0, to = UINT64_MAX;  // the part: rows that begin in these bytes
  std::size_t look_back = std::size_t{64} << 10;
  std::size_t longest = longest_job_bytes;  // of a row, see RecordScanner
};

// Reads up to `size` bytes at byte `at` of the list; 0: its end, or a fault, which the caller knows of.
using ReadAt = std::function<std::size_t(char* to, std::size_t size, std::uint64_t at)>;

// A place where a row or a blank line begins when the whole list is read from its start, before every row of the part;
// a part without rows may give its end. Nothing: what lies around the cut leaves it open, or the start is near; the
// list is then to be read from there.
//
// Near the cut a line that begins there is either a row, or inside a quoted cell with line breaks. Both are followed:
// one of them may turn out impossible (the quotes never close, or the row would be longer than a row may be); mostly
// they soon meet in the same line, and from there on they are the same. A list can be written for which neither happens
// (cells that begin with a line break and a separator, one in every row); then it is looked at from further back,
// twice, and given up. Reads no more than some 16 MiB, and 1 MiB and a little where no cell has line breaks; a line
// longer than that is read as far as the part goes.
[[nodiscard]] std::optional<std::uint64_t> find_row_begin(const JobCut& cut, const ReadAt& read);

}  // namespace seamwright
