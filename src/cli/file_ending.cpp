#include "cli/file_ending.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <vector>

#include "cli/console.hpp"
#include "seamwright/catalog.hpp"
#include "text/nearest_word.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 4> text_endings{"txt", "text", "log", "out"};
constexpr std::array<std::string_view, 2> page_endings{"html", "xlsx"};
struct OtherName {
  std::string_view ending, format;
};
constexpr std::array<OtherName, 2> other_names{{{"htm", "html"}, {"jsonl", "ndjson"}}};

// The formats that an option's file may have, the usual one first.
std::vector<std::string_view> formats_of(const CommandRow& command, const OptionRow& option) {
  std::string_view list = option.endings;
  if (list == endings_of_format)
    for (const OptionRow& row : command.options)
      if (row.name() == "--format") list = row.words;
  std::vector<std::string_view> formats;
  for_each_item(list, [&](std::string_view item) { formats.push_back(item); });
  return formats;
}

bool contains(const std::vector<std::string_view>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

// Files that are read as text whatever they are called.
bool may_be_called_text(const std::vector<std::string_view>& formats) {
  return contains(formats, "table") || contains(formats, "csv") || contains(formats, "toml");
}

// "-o" of "-o,--output".
std::string_view short_name(const OptionRow& option) { return option.flags.substr(0, option.flags.find(',')); }

// "'seamwright sheet -o FILE.html' writes one"; empty where nothing does.
std::string who_writes(const CommandRow& command, std::string_view ending) {
  const auto writer = [&](const CommandRow& row) -> std::string {
    for (const bool output : {true, false})
      for (const OptionRow& option : row.options)
        if ((option.name() == "--output") == output && !option.endings.empty() &&
            contains(formats_of(row, option), ending))
          return fmt::format("'seamwright {} {} FILE.{}' writes one", row.name, short_name(option), ending);
    return {};
  };
  if (std::string own = writer(command); !own.empty()) return own;
  // Pages and workbooks are of one kind of answer; data and pictures are another thing from every command.
  if (std::find(page_endings.begin(), page_endings.end(), ending) == page_endings.end()) return {};
  for (const CommandRow& row : command_rows())
    if (std::string found = writer(row); !found.empty()) return found;
  return {};
}

}  // namespace

std::string file_ending(std::string_view file) {
  const std::string_view name = file.substr(file.rfind('/') + 1);
  const std::size_t dot = name.rfind('.');
  if (dot == std::string_view::npos || dot == 0) return {};
  std::string ending(name.substr(dot + 1));
  bool letter = false;
  for (char& c : ending) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    const bool small = c >= 'a' && c <= 'z';
    if (!small && (c < '0' || c > '9')) return {};
    letter = letter || small;
  }
  return letter ? ending : std::string();
}

bool format_of_ending(const CommandRow& command, const OptionRow& option, std::string_view file, std::string& format) {
  format.clear();
  std::string ending = file_ending(file);
  if (ending.empty()) return true;
  const std::vector<std::string_view> formats = formats_of(command, option);
  for (const OtherName& other : other_names)
    if (other.ending == ending) ending = other.format;
  if (contains(formats, ending)) {
    // A run that is taken up goes on as it was begun, where its name is the usual one.
    if (ending != formats.front() || option.name() == "--output") format = ending;
    return true;
  }
  if (may_be_called_text(formats) && contains({text_endings.begin(), text_endings.end()}, ending)) return true;

  std::vector<std::string> endings;
  for (const std::string_view f : formats) endings.push_back(fmt::format(".{}", f == "table" ? text_endings[0] : f));
  std::string help = fmt::format("its file is called FILE{}", fmt::join(endings, ", FILE"));
  if (const std::string_view near = nearest_word(ending, formats); !near.empty())
    help = fmt::format("did you mean .{}? {}", near, help);
  else if (const std::string other = who_writes(command, ending); !other.empty())
    help = fmt::format("{}; {}", other, help);
  else if (ending == "pdf" && contains(formats, "html"))
    help += ": a browser prints it to a PDF file";
  if (option.endings == endings_of_format) help += "; with --format any name will do";
  Diagnostic d;
  d.place.file = fmt::format("{} {}", short_name(option), file);
  d.message = fmt::format("{} writes no .{} file{}", command.name, file_ending(file),
                          option.name() == "--output" ? "" : " there");
  d.help = std::move(help);
  report({d});
  return false;
}

}  // namespace seamwright
