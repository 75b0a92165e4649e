// Errors and warnings are values. One place (src/text/diagnostic.cpp) turns them into text.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace seamwright {

// A place in an input. Line and column count from 1; 0 means the place has none (a command-line key, say).
struct Place {
  std::string file;  // as the user gave it; "--set joint.gap=-1" for a command-line key
  int line = 0;
  int column = 0;
};

struct Diagnostic {
  Place place;
  std::string message;           // what is wrong and what was expected
  std::string help;              // the next step: nearest valid word, or what to do; may be empty
  std::string source_line = {};  // the line of the input it speaks of, shown with a caret; may be empty
};
using Diagnostics = std::vector<Diagnostic>;

// "file:line:column: error: message", then the source line with a caret where there is one, then "    help: ...".
// Sorted by place, at most 20, the last line saying how many more there are. Control characters are left out.
[[nodiscard]] std::string format_diagnostics(const Diagnostics& diagnostics);

// Fills in the source lines of diagnostics whose place is in `text`, known to them as `file`.
void attach_source_lines(Diagnostics& diagnostics, std::string_view text, std::string_view file);

// A value, or the reasons why there is none.
template <class T>
class Expected {
 public:
  Expected(T value) : state_(std::move(value)) {}                        // NOLINT(google-explicit-constructor)
  Expected(Diagnostics errors) : state_(std::move(errors)) {}            // NOLINT(google-explicit-constructor)
  Expected(Diagnostic error) : state_(Diagnostics{std::move(error)}) {}  // NOLINT(google-explicit-constructor)
  [[nodiscard]] explicit operator bool() const { return state_.index() == 0; }
  [[nodiscard]] T& operator*() { return std::get<0>(state_); }
  [[nodiscard]] const T& operator*() const { return std::get<0>(state_); }
  [[nodiscard]] T* operator->() { return &std::get<0>(state_); }
  [[nodiscard]] const T* operator->() const { return &std::get<0>(state_); }
  [[nodiscard]] const Diagnostics& errors() const { return std::get<1>(state_); }

 private:
  std::variant<T, Diagnostics> state_;
};

}  // namespace seamwright
