// The example in the comment of a solver's header, as source that can be compiled. The comment is the only place where
// it stands, so that it cannot drift from what is run.
//
// An example is what follows a line "// Example:", as far as the comment is empty or set in by four blanks or more:
//
//   // Example:
//   //
//   //     const double U = short_arc_voltage_V({14, 0.05, -0.3, 44}, 160);
//   //     std::printf("%.1f V\n", U);  // 21.7 V
//
// What a line that prints has behind it is what it must print. #include lines go to the head of the source; nothing but
// the header itself and <cstdio> is included beside them.
#pragma once

#include <string>
#include <string_view>

namespace header_examples {

// A source with the function `void example_<name>()`, name being the header's without folder and ending. Its lines
// are those of the header to the compiler. The function fails the running test where there is no example, where it
// prints nothing, and where a line that prints does not say what.
[[nodiscard]] std::string example_source(std::string_view header_path, std::string_view header_text);

// Called by the functions written so. Both fail the running test: the first where what is printed is not what was said.
[[gnu::format(printf, 2, 3)]] void print(const char* said, const char* format, ...);
void fault(const char* what);

}  // namespace header_examples
