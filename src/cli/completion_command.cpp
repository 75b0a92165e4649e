// seamwright completion: what the shells and `man` need to know, made from the option table.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/option_table.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/field.hpp"
#include "seamwright/input.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 4> shells{"bash", "zsh", "fish", "man"};

std::string spaced(std::string_view list) {
  std::string text(list);
  for (char& c : text)
    if (c == '|') c = ' ';
  return text;
}

// The words that may stand in a place, separated by spaces; empty for files and free text.
std::string words_of(const OptionRow& option) {
  std::string words;
  const auto add = [&words](std::string_view word, std::string_view after = "") {
    words += fmt::format("{}{}{}", words.empty() ? "" : " ", word, after);
  };
  switch (option.takes) {
    case Takes::words:
      return spaced(option.words);
    case Takes::assignment:
      for (const InputKeyInfo& key : input_keys()) add(key.path, "=");
      break;
    case Takes::output_keys:
      for (const FieldInfo& info : fields()) add(info.key);
      break;
    case Takes::commands:
      for (const CommandRow& row : command_rows()) add(row.name);
      for (const std::string_view topic : help_topics()) add(topic);
      break;
    case Takes::nothing:
    case Takes::text:
    case Takes::file:
      break;
  }
  return words;
}

// "-o" and "--output" of "-o,--output".
std::string both_flags(const OptionRow& option, std::string_view between) {
  std::string text(option.flags);
  if (const auto comma = text.find(','); comma != std::string::npos) text.replace(comma, 1, between);
  return text;
}

std::string command_names() {
  std::string names;
  for (const CommandRow& row : command_rows()) names += fmt::format("{}{}", names.empty() ? "" : " ", row.name);
  return names;
}

std::string bash_text() {
  std::string text = fmt::format(R"(# bash completion for seamwright
_seamwright() {{
  local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}} command=${{COMP_WORDS[1]}} words= files=
  # "KEY=VALUE" comes as three words; only the key is completed.
  [[ $word == "=" || $before == "=" ]] && return
  COMPREPLY=()
  if (( COMP_CWORD == 1 )); then
    COMPREPLY=($(compgen -W "{} --help --version" -- "$word"))
    return
  fi
  case $command in
)",
                                 command_names());
  for (const CommandRow& row : command_rows()) {
    text += fmt::format("  {})\n    case $before in\n", row.name);
    std::string flags, arguments;
    bool files = false;
    for (const OptionRow& option : row.options) {
      const std::string words = words_of(option);
      if (option.is_argument()) {
        arguments += words.empty() ? "" : " " + words;
        files = files || option.takes == Takes::file;
        continue;
      }
      flags += fmt::format("{}{}", flags.empty() ? "" : " ", both_flags(option, " "));
      if (option.takes == Takes::nothing) continue;
      if (option.takes == Takes::file)
        text += fmt::format("    {}) files=1 ;;\n", both_flags(option, "|"));
      else
        text += fmt::format("    {}) words=\"{}\" ;;\n", both_flags(option, "|"), words);
    }
    text += fmt::format("    *) if [[ $word == -* ]]; then words=\"{}\"; else words=\"{}\"; files={}; fi ;;\n", flags,
                        arguments.empty() ? "" : arguments.substr(1), files ? "1" : "");
    text += "    esac ;;\n";
  }
  return text + R"(  esac
  [[ -n $words ]] && COMPREPLY=($(compgen -W "$words" -- "$word"))
  [[ -n $files ]] && COMPREPLY+=($(compgen -f -- "$word"))
  [[ ${COMPREPLY[0]} == *= ]] && compopt -o nospace 2>/dev/null
  [[ -n $files ]] && compopt -o filenames 2>/dev/null
  return 0
}
complete -F _seamwright seamwright
)";
}

// Text inside single quotes of zsh's _arguments: ':' and brackets are its own signs.
std::string zsh_quoted(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\'')
      out += "'\\''";
    else if (c == ':' || c == '[' || c == ']')
      out += fmt::format("\\{}", c);
    else
      out += c;
  }
  return out;
}

std::string zsh_action(const OptionRow& option) {
  if (option.takes == Takes::file) return "_files";
  const std::string words = words_of(option);
  if (words.empty()) return " ";
  if (option.takes != Takes::assignment) return fmt::format("({})", words);
  std::string keys;
  for (const InputKeyInfo& key : input_keys()) keys += fmt::format("{}{}", keys.empty() ? "" : " ", key.path);
  return fmt::format("{{compadd -S = -- {}}}", keys);
}

std::string zsh_text() {
  std::string text = "#compdef seamwright\n\n_seamwright() {\n  local -a commands\n  commands=(\n";
  for (const CommandRow& row : command_rows()) text += fmt::format("    '{}:{}'\n", row.name, zsh_quoted(row.purpose));
  text +=
      "  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    return\n  fi\n"
      "  local command=$words[2]\n  shift words\n  (( CURRENT-- ))\n  case $command in\n";
  for (const CommandRow& row : command_rows()) {
    text += fmt::format("  {})\n    _arguments", row.name);
    for (const OptionRow& option : row.options) {
      text += " \\\n      ";
      const std::string star = option.repeated ? "*" : "";
      if (option.is_argument()) {
        text += fmt::format("'::{}:{}'", option.flags, zsh_action(option));
        continue;
      }
      const bool two = option.flags.find(',') != std::string_view::npos;
      const std::string after =
          option.takes == Takes::nothing ? "" : fmt::format(":{}:{}", option.form, zsh_action(option));
      if (two)
        text += fmt::format("{{{}}}'[{}]{}'", option.flags, zsh_quoted(option.text), after);
      else
        text += fmt::format("'{}{}[{}]{}'", star, option.flags, zsh_quoted(option.text), after);
    }
    text += "\n    ;;\n";
  }
  return text +
         "  esac\n}\n\nif [[ $funcstack[1] == _seamwright ]]; then\n  _seamwright \"$@\"\nelse\n"
         "  compdef _seamwright seamwright\nfi\n";
}

std::string fish_quoted(std::string_view text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' || c == '\\' ? fmt::format("\\{}", c) : std::string(1, c);
  return out + "'";
}

std::string fish_text() {
  std::string text = "# fish completion for seamwright\ncomplete -c seamwright -f\n";
  for (const CommandRow& row : command_rows())
    text += fmt::format("complete -c seamwright -n __fish_use_subcommand -a {} -d {}\n", row.name,
                        fish_quoted(row.purpose));
  for (const CommandRow& row : command_rows()) {
    const std::string here = fmt::format("complete -c seamwright -n '__fish_seen_subcommand_from {}'", row.name);
    for (const OptionRow& option : row.options) {
      const std::string words = words_of(option);
      if (option.is_argument()) {
        if (option.takes == Takes::file) text += here + " -F\n";
        if (!words.empty()) text += fmt::format("{} -a {}\n", here, fish_quoted(words));
        continue;
      }
      std::string line = here;
      if (option.flags[1] != '-') line += fmt::format(" -s {}", option.flags[1]);
      line += fmt::format(" -l {}", option.name().substr(2));
      if (option.takes == Takes::file)
        line += " -r -F";
      else if (option.takes != Takes::nothing)
        line += words.empty() ? " -x" : fmt::format(" -x -a {}", fish_quoted(words));
      text += fmt::format("{} -d {}\n", line, fish_quoted(option.text));
    }
  }
  return text;
}

// Text of a manual page: a backslash, a hyphen and a leading dot or quote have a meaning there.
std::string roff(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const bool line_start = out.empty() || out.back() == '\n';
    if (line_start && (c == '.' || c == '\'')) out += "\\&";
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out;
}

// The same, in lines of a length that editors and checkers of manual pages like.
std::string roff_lines(std::string_view text) {
  constexpr std::size_t longest = 76;
  std::string lines;
  append_wrapped(lines, text, longest, 0, 0);
  if (!lines.empty() && lines.back() == '\n') lines.pop_back();
  return roff(lines);
}

// The day the data is of: "2026.11" is its first.
std::string page_date() {
  std::string date(builtin_catalog().version);
  std::replace(date.begin(), date.end(), '.', '-');
  return date + "-01";
}

std::string heading(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = c == '-' ? ' ' : static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return out;
}

std::string man_text(const Catalog& catalog) {
  std::string text = fmt::format(
      ".TH SEAMWRIGHT 1 \"{}\" \"seamwright {}\" \"User Commands\"\n.SH NAME\nseamwright \\- settings for MIG/MAG "
      "welding from a joint\n.SH SYNOPSIS\n",
      page_date(), program_version());
  for (const CommandRow& row : command_rows())
    text += fmt::format("{}.B {}\n", &row == command_rows().data() ? "" : ".br\n", roff(row.usage));
  text += ".SH DESCRIPTION\n.nf\n" + roff(overview_text()) + ".fi\n.SH COMMANDS\n";
  for (const CommandRow& row : command_rows()) {
    text += fmt::format(".SS {}\n{}\n", row.name, roff_lines(row.purpose));
    for (const OptionRow& option : row.options)
      text += fmt::format(".TP\n\\fB{}\\fR{}\n{}\n", roff(both_flags(option, ", ")),
                          option.form.empty() ? "" : fmt::format(" \\fI{}\\fR", roff(option.form)),
                          roff_lines(option.text));
    text += fmt::format(".PP\nExamples:\n.nf\n{}.fi\n", roff(row.examples));
  }
  for (const std::string_view topic : help_topics())
    text += fmt::format(".SH {}\n.nf\n{}.fi\n", heading(topic), roff(help_topic_text(topic, catalog)));
  return text;
}

}  // namespace

int run_completion(const CompletionArguments& arguments, const Catalog& catalog) {
  if (arguments.shell.empty())
    return usage_error("completion needs a shell", "one of: bash, zsh, fish; or man for the manual page");
  if (!one_of("the shell", arguments.shell, shells)) return exit_bad_input;
  const std::string text = arguments.shell == "bash"   ? bash_text()
                           : arguments.shell == "zsh"  ? zsh_text()
                           : arguments.shell == "fish" ? fish_text()
                                                       : man_text(catalog);
  return deliver(arguments.output, text, exit_answered);
}

}  // namespace seamwright
