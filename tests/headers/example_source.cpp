#include "headers/example_source.hpp"

#include <algorithm>
#include <string>
#include <vector>

namespace header_examples {
namespace {

struct Line {
  std::string_view text;
  int number = 0;
};

std::string_view without_ends(std::string_view text) {
  const auto first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

std::vector<Line> lines_of_example(std::string_view text) {
  constexpr std::string_view mark = "// Example:", code = "//     ";
  std::vector<Line> lines;
  bool inside = false;
  for (int number = 1; !text.empty(); ++number) {
    const auto end = text.find('\n');
    const std::string_view line = text.substr(0, end);
    text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    if (line == mark) {
      inside = true;
    } else if (inside && line.starts_with(code)) {
      lines.push_back({line.substr(code.size()), number});
    } else if (line != "//") {
      inside = false;
    }
  }
  return lines;
}

std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + '"';
}

}  // namespace

std::string example_source(std::string_view path, std::string_view text) {
  constexpr std::string_view prints = "std::printf(", says = " // ", calls = "header_examples::print(";
  const std::string_view file = path.substr(path.rfind('/') + 1), name = file.substr(0, file.find('.'));
  std::string includes, body, faults;
  const auto fault = [&](std::string_view what) {
    faults += "  header_examples::fault(" + quoted(std::string(file) + ": " + std::string(what)) + ");\n";
  };
  bool says_something = false;
  const std::vector<Line> lines = lines_of_example(text);
  for (const Line& line : lines) {
    std::string_view code = line.text;
    if (code.starts_with('#')) {
      includes.append(code).append("\n");
      continue;
    }
    body += "#line " + std::to_string(line.number) + " " + quoted(path) + "\n  ";
    const auto at = code.find(prints);
    if (at == std::string_view::npos) {
      body.append(code).append("\n");
      continue;
    }
    const auto behind = std::min(code.rfind(says), code.size());
    const std::string_view call = without_ends(code.substr(at + prints.size(), behind - at - prints.size()));
    const std::string_view said = without_ends(code.substr(std::min(behind + says.size(), code.size())));
    if (said.empty()) fault("does not say what it prints: " + std::string(code));
    says_something = says_something || !said.empty();
    body.append(code.substr(0, at)).append(calls).append(quoted(said)).append(", ").append(call).append("\n");
  }
  if (lines.empty()) fault("no example");
  if (!lines.empty() && !says_something) fault("an example that prints nothing");
  std::string out =
      "// Written from the example in " + std::string(file) + ".\n#include " + quoted(path) + "\n" + includes;
  out += "#include <cstdio>\n#include \"headers/example_source.hpp\"\nvoid example_" + std::string(name) + "();\n";
  return out + "void example_" + std::string(name) + "() {\n  using namespace seamwright;\n" + body + faults + "}\n";
}

}  // namespace header_examples
