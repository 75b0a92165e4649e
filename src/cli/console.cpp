#include "cli/console.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <poll.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <climits>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <system_error>
#include <vector>

#include "cli/option_table.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "text/nearest_word.hpp"
#include "text/text_layout.hpp"

namespace seamwright {
namespace {

// errno of a failed write, or 0.
int write_all(int descriptor, std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(descriptor, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0 && errno == EAGAIN) {  // another program made it one that does not wait
      pollfd room{descriptor, POLLOUT, 0};
      if (::poll(&room, 1, -1) >= 0 || errno == EINTR) continue;
    }
    if (written < 0) return errno;
    text.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

bool to_standard_output(const OutputArguments& arguments) { return arguments.file.empty() || arguments.file == "-"; }

// A link is followed, so that the file it names is replaced and not the link.
// Where it names none, the file is made there; of links that go round, `path` itself.
std::string file_behind(const std::string& path) {
  if (char* resolved = ::realpath(path.c_str(), nullptr); resolved != nullptr) {
    std::string file = resolved;
    std::free(resolved);  // NOLINT: realpath allocates with malloc
    return file;
  }
  constexpr int most_links = 40;  // as many as the system follows
  std::filesystem::path file = path;
  for (int links = 0; links < most_links; ++links) {
    std::error_code none;
    const std::filesystem::path next = std::filesystem::read_symlink(file, none);
    if (none) return file.string();
    file = file.parent_path() / next;
  }
  return path;
}

// Whether links go round: errno says it of any look at the file.
bool goes_round(const std::string& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) != 0 && errno == ELOOP;
}

std::string part_beside(const std::string& path) { return file_behind(path) + ".part"; }

std::string_view environment(const char* name) {
  const char* value = std::getenv(name);  // NOLINT(concurrency-mt-unsafe): single-threaded here
  return value == nullptr ? std::string_view() : std::string_view(value);
}

constexpr std::array<std::string_view, 2> unit_words{"metric", "us"};
constexpr std::array<std::string_view, 3> color_words{"auto", "always", "never"};

}  // namespace

void message(std::string_view text) { (void)write_all(STDERR_FILENO, std::string(text) + '\n'); }

int report(const Diagnostics& errors) {
  (void)write_all(STDERR_FILENO, format_diagnostics(errors));
  return exit_bad_input;
}

int usage_error(std::string message, std::string help) {
  Diagnostic d;
  d.message = std::move(message);
  d.help = std::move(help);
  return report({d});
}

bool one_of(std::string_view what, std::string_view value, std::span<const std::string_view> words) {
  if (std::find(words.begin(), words.end(), value) != words.end()) return true;
  constexpr std::size_t readable = 12;  // a longer list is shown only where nothing is near
  const std::string_view near = nearest_word(value, words);
  std::string help = near.empty() ? std::string() : fmt::format("did you mean '{}'?", near);
  if (near.empty() || words.size() <= readable)
    help += fmt::format("{}it is one of: {}", near.empty() ? "" : " ", fmt::join(words, ", "));
  usage_error(fmt::format("{} cannot be '{}'", what, value), help);
  return false;
}

bool check_output_arguments(const OutputArguments& arguments, std::string_view command) {
  std::vector<std::string_view> formats;
  for (const OptionRow& option : command_row(command)->options)
    if (option.name() == "--format")
      for_each_item(option.words, [&](std::string_view word) { formats.push_back(word); });
  return (arguments.format.empty() || one_of("--format", arguments.format, formats)) &&
         one_of("--units", arguments.units, unit_words) && one_of("--color", arguments.color, color_words);
}

Units units_of(const OutputArguments& arguments) { return arguments.units == "us" ? Units::us : Units::metric; }

bool color_wanted(const OutputArguments& arguments) {
  if (arguments.color != "auto") return arguments.color == "always";
  return to_standard_output(arguments) && ::isatty(STDOUT_FILENO) == 1 && environment("NO_COLOR").empty() &&
         environment("TERM") != "dumb";
}

bool plot_wanted(bool asked, bool table, const OutputArguments& arguments) {
  if (asked && !table && !arguments.quiet) message("note: --plot draws below a table only");
  return asked && table;
}

bool named_as(std::string_view file, std::string_view ending) {
  return file.size() > ending.size() &&
         std::equal(ending.begin(), ending.end(), file.end() - static_cast<std::ptrdiff_t>(ending.size()),
                    [](char small, char c) { return c == small || (small >= 'a' && c == small - 'a' + 'A'); });
}

// COLUMNS, or what the terminal says; 0: neither.
static std::size_t columns_of(int descriptor) {
  const std::string_view word = environment("COLUMNS");
  std::size_t columns = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), columns);
  if (error == std::errc() && end == word.data() + word.size() && columns > 0) return columns;
  winsize size{};
  return ::ioctl(descriptor, TIOCGWINSZ, &size) == 0 ? size.ws_col : 0;
}

// Within what can be read; `usual` elsewhere.
static std::size_t width_of(std::size_t columns, std::size_t usual, std::size_t widest) {
  return columns == 0 ? usual : std::clamp(columns, narrowest_screen, widest);
}

std::size_t line_width(const OutputArguments& arguments) {
  return width_of(to_standard_output(arguments) ? columns_of(STDOUT_FILENO) : 0, 100, 120);
}

std::size_t screen_width(const OutputArguments& arguments, std::size_t usual) {
  return width_of(to_standard_output(arguments) ? columns_of(STDOUT_FILENO) : 0, usual, 100);
}

std::size_t message_width() { return width_of(columns_of(STDERR_FILENO), 100, 120); }

bool same_file(const std::string& a, const std::string& b) {
  struct stat first {
  }, second{};
  return !a.empty() && !b.empty() && ::stat(a.c_str(), &first) == 0 && ::stat(b.c_str(), &second) == 0 &&
         S_ISREG(first.st_mode) && first.st_dev == second.st_dev && first.st_ino == second.st_ino;
}

bool would_overwrite(const std::string& output, const std::string& input) {
  return !output.empty() && (same_file(output, input) || same_file(part_beside(output), input));
}

Output::Output(const OutputArguments& arguments, bool kept)
    : path_(to_standard_output(arguments) ? "" : arguments.file), kept_(kept) {}

Output::~Output() {
  if (descriptor_ > STDERR_FILENO) ::close(descriptor_);
  if (!beside_.empty() && !kept_) ::unlink(beside_.c_str());
}

// For this program alone, as long as it runs.
bool Output::open_alone(const std::string& file, int further_flags) {
  descriptor_ = ::open(file.c_str(), O_RDWR | O_CLOEXEC | further_flags, 0666);
  if (descriptor_ < 0) {
    error_ = errno;
  } else if (::flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
    error_ = errno;
    ::close(descriptor_);
    descriptor_ = -1;
  }
  return error_ == 0;
}

int Output::take_up() {
  struct stat status {};
  if (path_.empty() || (::stat(path_.c_str(), &status) == 0 && !S_ISREG(status.st_mode))) return -1;
  if (goes_round(path_)) {
    error_ = ELOOP;
    return -1;
  }
  const std::string target = file_behind(path_), part = part_beside(path_);
  const bool exists = ::access(target.c_str(), F_OK) == 0, begun = ::access(part.c_str(), F_OK) == 0;
  if (!exists && !begun) return -1;
  if (exists && ::access(target.c_str(), W_OK) != 0) {
    error_ = errno;
    return -1;
  }
  path_ = target;
  if (begun) beside_ = part;
  return open_alone(begun ? part : target, 0) ? descriptor_ : -1;
}

bool Output::cut(std::uint64_t bytes) {
  if (beside_.empty()) {  // FILE itself was taken up: from here on it is not whole
    const std::string part = part_beside(path_);
    if (::rename(path_.c_str(), part.c_str()) != 0) {
      error_ = errno;
      return false;
    }
    beside_ = part;
  }
  const auto size = static_cast<off_t>(bytes);
  if (::ftruncate(descriptor_, size) != 0 || ::lseek(descriptor_, size, SEEK_SET) != size) error_ = errno;
  return error_ == 0;
}

bool Output::open() {
  if (path_.empty()) {
    descriptor_ = STDOUT_FILENO;
    return true;
  }
  const std::string target = file_behind(path_);
  struct stat status {};
  const bool exists = ::stat(target.c_str(), &status) == 0;
  if (goes_round(path_)) {
    error_ = ELOOP;
  } else if (exists && S_ISDIR(status.st_mode)) {
    error_ = EISDIR;
  } else if (exists && !S_ISREG(status.st_mode)) {
    descriptor_ = ::open(target.c_str(), O_WRONLY | O_CLOEXEC);
  } else if (exists && ::access(target.c_str(), W_OK) != 0) {
    error_ = errno;  // a file protected against writing is not replaced either
  } else if (kept_) {
    beside_ = part_beside(path_);
    path_ = target;
    // What is there may be the rows of a run that was ended, or nothing of this program's: it is not written over.
    if (open_alone(beside_, O_CREAT | O_NOFOLLOW)) {
      struct stat part {};
      if (::fstat(descriptor_, &part) != 0) error_ = errno;
      part_in_the_way_ = error_ == 0 && (part.st_size > 0 || !S_ISREG(part.st_mode));
      if (part_in_the_way_) error_ = EEXIST;
      if (error_ == 0) (void)cut(0);
    } else if (error_ == ELOOP) {
      part_in_the_way_ = true;  // a link
    }
  } else {
    beside_ = target + ".XXXXXX";
    descriptor_ = ::mkstemp(beside_.data());
    if (descriptor_ < 0) {
      error_ = errno;
      beside_.clear();
    } else {
      const mode_t mask = ::umask(0);
      ::umask(mask);
      (void)::fchmod(descriptor_, exists ? status.st_mode & 07777u : 0666u & ~mask);
      path_ = target;
    }
  }
  if (descriptor_ < 0 && error_ == 0) error_ = errno;
  return error_ == 0;
}

bool Output::write(std::string_view text) {
  if (error_ != 0 || (descriptor_ < 0 && !open())) return false;
  error_ = write_all(descriptor_, text);
  return error_ == 0;
}

bool Output::finish() {
  if (error_ != 0 || descriptor_ <= STDERR_FILENO) return error_ == 0;
  if (!beside_.empty() && ::fsync(descriptor_) != 0) error_ = errno;
  if (::close(descriptor_) != 0 && error_ == 0) error_ = errno;
  descriptor_ = -1;
  if (error_ == 0 && !beside_.empty()) {
    if (::rename(beside_.c_str(), path_.c_str()) != 0)
      error_ = errno;
    else
      beside_.clear();
  }
  return error_ == 0;
}

int Output::failure() {
  if (error_ == EPIPE) return exit_system;
  Diagnostic d;
  d.place.file = path_.empty() ? "standard output" : path_;
  d.message = fmt::format("cannot write: {}", std::strerror(error_));  // NOLINT(concurrency-mt-unsafe)
  if (error_ == EWOULDBLOCK) d.message = "another run is writing it";
  d.help = error_ == ENOSPC ? "make room, or write elsewhere with -o FILE"
                            : "check that the folder exists and may be written to, or choose another -o FILE";
  if (error_ == EFBIG) d.help = "the system allows no larger file here ('ulimit -f' shows the limit)";
  if (error_ == ELOOP) d.help = "its symbolic links go round and name no file: choose another -o FILE";
  if (part_in_the_way_) {
    d.place.file = beside_;
    d.message = "this is where the rows go until they are whole, and something is there already";
    d.help = fmt::format("--resume {} goes on from the rows of a run that was ended; else move it away", path_);
    return report({d});
  }
  report({d});
  return exit_system;
}

int deliver(const OutputArguments& arguments, std::string_view text, int code) {
  Output output(arguments);
  if (!output.write(text) || !output.finish()) return output.failure();
  return code;
}

}  // namespace seamwright
