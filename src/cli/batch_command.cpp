// seamwright batch: a job list, row for row.
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstring>
#include <memory>
#include <thread>

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/job_stream.hpp"
#include "cli/shop_file.hpp"
#include "input/enum_words.hpp"
#include "input/file_kind.hpp"
#include "present/cost_words.hpp"
#include "present/plan_columns.hpp"
#include "present/write_workbook.hpp"
#include "seamwright/input.hpp"
#include "text/foreign_text.hpp"
#include "text/json_value.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

constexpr std::array<std::string_view, 2> decimal_words{"point", "comma"};
constexpr std::array<std::string_view, 2> error_words{"row", "stop"};
constexpr unsigned long most_threads = 256;

std::optional<unsigned long> whole_number(std::string_view text) {
  unsigned long value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && end == text.data() + text.size() ? std::optional(value) : std::nullopt;
}

struct Shard {
  unsigned long index = 1, count = 1;  // index from 1
};
std::optional<Shard> read_shard(const std::string& text) {
  if (text.empty()) return Shard{};
  const std::size_t slash = text.find('/');
  if (slash == std::string::npos) return std::nullopt;
  const auto index = whole_number(std::string_view(text).substr(0, slash));
  const auto count = whole_number(std::string_view(text).substr(slash + 1));
  if (!index || !count || *index == 0 || *count == 0 || *index > *count) return std::nullopt;
  return Shard{*index, *count};
}

// ',' and ';' as they are, or by name where a shell would take them.
std::optional<char> read_separator(const std::string& text) {
  if (text == "," || text == "comma") return ',';
  if (text == ";" || text == "semicolon") return ';';
  if (text == "\t" || text == "tab" || text == "\\t") return '\t';
  return std::nullopt;
}

int input_error(const std::string& name, std::string message, std::string help) {
  Diagnostic d;
  d.place.file = name;
  d.message = std::move(message);
  d.help = std::move(help);
  return report({d});
}

// The job list, open for reading.
class Input {
 public:
  ~Input() {
    if (descriptor_ > STDERR_FILENO) ::close(descriptor_);
  }
  Input() = default;
  Input(const Input&) = delete;
  Input& operator=(const Input&) = delete;

  // False: errno says why.
  bool open(const std::string& path) {
    descriptor_ = path == "-" ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    struct stat status {};
    if (descriptor_ < 0 || ::fstat(descriptor_, &status) != 0) return false;
    if (S_ISDIR(status.st_mode)) errno = EISDIR;
    // What the shell read of it before is no part of the list.
    const off_t at = ::lseek(descriptor_, 0, SEEK_CUR);
    if (S_ISREG(status.st_mode) && status.st_size > at)
      bytes_ = static_cast<std::uint64_t>(status.st_size - std::max<off_t>(at, 0));
    return !S_ISDIR(status.st_mode);
  }
  [[nodiscard]] int descriptor() const { return descriptor_; }
  [[nodiscard]] std::uint64_t bytes() const { return bytes_; }

 private:
  int descriptor_ = -1;
  std::uint64_t bytes_ = 0;
};

// How far an interrupted run came.
struct Reached {
  std::uint64_t jobs = 0;     // answered; the last one, which may lack rows, not counted
  std::uint64_t cut = 0;      // where its first row begins: writing goes on there
  std::string last_rows;      // what was there from there on
  int worst = exit_answered;  // of the rows there, as far as they say
};

// The cells of an output row that tell how far a run came; empty where there is no such column.
struct RowMark {
  std::string line, status;
};
RowMark mark_of(std::string_view row, const JobRun& run) {
  RowMark mark;
  if (run.form.is_ndjson()) {
    const Expected<TomlValue> object = parse_json_object(row, run.layout.passed);
    const auto text_of = [&](std::string_view key) {
      const TomlValue* value = object ? object->find(key) : nullptr;
      return value == nullptr ? std::string() : value->text;
    };
    return {text_of("line"), text_of("status")};
  }
  std::vector<std::string_view> cells;
  std::string scratch;
  if (!split_csv_row(row, run.form.separator, cells, scratch) || cells.size() != run.columns.columns.size())
    return mark;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (run.columns.columns[i].name == "line") mark.line = cells[i];
    if (run.columns.columns[i].name == "status") mark.status = cells[i];
  }
  return mark;
}

// Reads an output so far. Nothing: it does not begin with `head`, or `error` says why it cannot be read.
std::optional<Reached> read_reached(int descriptor, const JobRun& run, int& error) {
  constexpr std::size_t read_bytes = std::size_t{256} << 10;
  // A row handed through may have every letter doubled, and has the answer beside it.
  RecordScanner scanner(run.form.is_ndjson() ? JobFormat::ndjson : JobFormat::csv, run.form.separator,
                        8 * longest_job_bytes);
  Reached reached;
  std::string buffer, last_line;
  std::uint64_t offset = 0;
  bool head_read = run.head.empty(), any = false;
  for (bool more = true; more;) {
    const std::size_t size = buffer.size();
    buffer.resize(size + read_bytes);
    const ssize_t count = ::read(descriptor, buffer.data() + size, read_bytes);
    if (count < 0 && errno != EINTR) {
      error = errno;
      return std::nullopt;
    }
    buffer.resize(size + static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
    more = count != 0;
    std::size_t at = 0;
    for (;;) {
      const std::string_view rest = std::string_view(buffer).substr(at);
      const RecordScanner::Step step = scanner.next(rest, false);
      if (step.used == 0) break;
      const std::string_view whole = rest.substr(0, step.used);
      if (!head_read) {
        if (whole != run.head) return std::nullopt;
        head_read = true;
        reached.cut = step.used;
      } else {
        const RowMark mark = mark_of(rest.substr(step.record.offset, step.record.size), run);
        if (mark.status == "error") reached.worst = exit_bad_input;
        if (mark.status == "no-window") reached.worst = std::max<int>(reached.worst, exit_no_window);
        if (any && run.per_pass && mark.line == last_line) {
          reached.last_rows += whole;
        } else {
          reached.jobs += any ? 1 : 0;
          reached.cut = offset;
          reached.last_rows = whole;
          last_line = mark.line;
        }
        any = true;
      }
      offset += step.used;
      at += step.used;
    }
    buffer.erase(0, at);
  }
  // After a failure of power a file may end in bytes that were never written.
  buffer.erase(buffer.find_last_not_of('\0') + 1);
  // A header cut short is written anew.
  if (!head_read && run.head.substr(0, buffer.size()) != buffer) return std::nullopt;
  reached.last_rows += buffer;
  return reached;
}

class Batch {
 public:
  Batch(const BatchArguments& arguments, const Catalog& catalog)
      : arguments_(arguments), catalog_(catalog), output_arguments_(arguments.output) {
    if (!arguments.resume.empty()) output_arguments_.file = arguments.resume;
  }

  int run() {
    if (!check_arguments()) return exit_bad_input;
    if (!input_.open(arguments_.jobs))
      return input_error(name(), fmt::format("cannot read: {}", std::strerror(errno)),  // NOLINT
                         "check the name; - reads standard input");
    if (!shard_alone_ && input_.bytes() == 0 && ::lseek(input_.descriptor(), 0, SEEK_CUR) < 0)
      return usage_error("--shard needs a file, whose length is known",
                         "give the job list as a file, or let the splitter cut it");
    JobSource source(input_.descriptor(), input_.bytes());
    if (!source.begin({}, list_separator_)) {
      if (source.error() != 0)
        return input_error(name(), fmt::format("cannot read: {}", std::strerror(source.error())),  // NOLINT
                           "");
      return answer_nothing();
    }
    if (source.first().rfind("PK\x03\x04", 0) == 0)
      return input_error(name(), "this is a workbook or an archive, not a list in text",
                         "save the sheet as CSV in UTF-8");
    if (source.first().find('\0') != std::string::npos)
      return input_error(name(), "this is no UTF-8 text", "save the sheet as CSV in UTF-8");
    Expected<std::unique_ptr<JobLayout>> layout =
        read_job_layout(source.format(), source.separator(), source.first(), layout_options_, catalog_);
    if (!layout) {
      Diagnostics errors = layout.errors();
      for (Diagnostic& d : errors)
        if (d.place.file.empty()) d.place = {name(), static_cast<int>(source.first_line()), 0};
      return report(file_told_apart(std::move(errors), arguments_.jobs, FileKind::jobs));
    }
    if (!(*layout)->remark.empty() && !arguments_.output.quiet)
      message(fmt::format("note: headings are taken so: {}", printable((*layout)->remark)));
    const Units units = units_of(output_arguments_);
    Expected<JobColumns> columns =
        choose_job_columns(arguments_.columns, (*layout)->passed, (*layout)->counted, units, currency_of(equipment_));
    if (!columns) return report(columns.errors());
    return answer(source, **layout, *columns, units);
  }

 private:
  const BatchArguments& arguments_;
  const Catalog& catalog_;
  OutputArguments output_arguments_;
  Input input_;
  Shard shard_;
  bool shard_alone_ = true;
  std::optional<char> list_separator_;
  AnswerForm form_;
  bool form_left_open_ = false;  // NDJSON for a list of it
  JobLayoutOptions layout_options_;
  std::optional<Equipment> equipment_;
  std::optional<Preference> prefer_;
  std::size_t threads_ = 1;

  [[nodiscard]] std::string name() const { return arguments_.jobs == "-" ? "standard input" : arguments_.jobs; }

  bool check_arguments() {
    if (arguments_.jobs.empty()) {
      usage_error("batch needs a job list: a file, or - for standard input",
                  "'seamwright batch --help' shows how one looks");
      return false;
    }
    if (!check_output_arguments(arguments_.output, "batch") || !one_of("--on-error", arguments_.on_error, error_words))
      return false;
    if (!arguments_.list_separator.empty() && !(list_separator_ = read_separator(arguments_.list_separator))) {
      usage_error(fmt::format("--list-separator cannot be '{}'", arguments_.list_separator),
                  "it is comma, semicolon or tab");
      return false;
    }
    if (!check_prefer()) return false;
    if (!arguments_.list_decimal.empty() && !one_of("--list-decimal", arguments_.list_decimal, decimal_words))
      return false;
    if (!check_form() || !check_maps()) return false;
    const auto threads = arguments_.threads.empty() ? std::max(1U, std::thread::hardware_concurrency())
                                                    : whole_number(arguments_.threads);
    if (!threads || *threads == 0 || *threads > most_threads) {
      usage_error(fmt::format("--threads cannot be '{}'", arguments_.threads),
                  fmt::format("it is a number from 1 to {}; all cores when left out", most_threads));
      return false;
    }
    threads_ = *threads;
    const std::optional<Shard> shard = read_shard(arguments_.shard);
    if (!shard) {
      usage_error(fmt::format("--shard cannot be '{}'", arguments_.shard), "the second of eight parts is --shard 2/8");
      return false;
    }
    shard_ = *shard;
    shard_alone_ = shard_.count == 1;
    if (!arguments_.resume.empty() && !arguments_.output.file.empty() && arguments_.output.file != arguments_.resume) {
      usage_error("--resume and -o name two files", "give --resume FILE alone");
      return false;
    }
    for (const std::string& input : {arguments_.jobs == "-" ? "/dev/stdin" : arguments_.jobs, arguments_.defaults,
                                     arguments_.equipment, arguments_.shop})
      if (to_file() ? would_overwrite(output_arguments_.file, input) : same_file("/dev/stdout", input)) {
        usage_error("the output would overwrite an input of this batch",
                    to_file() ? "choose another name for the output; FILE.part beside it is taken too"
                              : "send it to another file");
        return false;
      }
    return read_files();
  }

  bool check_prefer() {
    if (arguments_.prefer.empty()) return true;
    std::vector<std::string_view> words;
    for (const Word<Preference>& word : words_of<Preference>()) {
      words.push_back(word.key);
      if (word.key == arguments_.prefer) prefer_ = word.value;
    }
    return one_of("--prefer", arguments_.prefer, words);
  }

  // How the answer is written, from its options and the name of its file.
  bool check_form() {
    const std::string& format = arguments_.output.format;
    const std::string& file = output_arguments_.file;
    const bool named = named_as(file, ".xlsx");
    form_left_open_ = format.empty() && !named;
    if (format == "xlsx" || (format.empty() && named)) form_.kind = AnswerForm::Kind::workbook;
    if (format == "ndjson") form_.kind = AnswerForm::Kind::ndjson;
    form_.decimal_comma = arguments_.decimal_comma;
    form_.byte_order_mark = arguments_.byte_order_mark;
    form_.separator = form_.decimal_comma ? ';' : ',';
    if (!arguments_.separator.empty()) {
      const std::optional<char> separator = read_separator(arguments_.separator);
      if (!separator) {
        usage_error(fmt::format("--separator cannot be '{}'", arguments_.separator), "it is comma, semicolon or tab");
        return false;
      }
      form_.separator = *separator;
    }
    if (form_.decimal_comma && form_.separator == ',') {
      usage_error("--decimal-comma needs another separator than the comma", "give --separator ';' or tab");
      return false;
    }
    if (arguments_.check && (!file.empty() || arguments_.summary)) {
      usage_error("--check writes no answer", "leave -o, --resume and --summary out");
      return false;
    }
    return form_.is_csv() || check_form_is_alone(named);
  }

  // What goes with CSV alone, or not with a workbook.
  bool check_form_is_alone(bool named) {
    const bool csv_options = !arguments_.separator.empty() || form_.decimal_comma || form_.byte_order_mark;
    if (csv_options) {
      usage_error("--separator, --decimal-comma and --bom go with CSV alone", "give --format csv, or leave them out");
      return false;
    }
    if (!form_.is_workbook()) return true;
    if (!arguments_.resume.empty()) {
      usage_error("a workbook cannot be resumed: it is not readable before it is whole",
                  "write CSV with --resume, or the workbook with -o");
      return false;
    }
    if (arguments_.no_header) {
      usage_error("a workbook has its header", "leave --no-header out, or write CSV");
      return false;
    }
    if (!named && !to_file() && ::isatty(STDOUT_FILENO) == 1) {
      usage_error("a workbook cannot be shown on a terminal", "give -o FILE.xlsx");
      return false;
    }
    return true;
  }

  bool check_maps() {
    for (const std::string& map : arguments_.maps) {
      const std::size_t equals = map.rfind('=');
      const std::string heading = map.substr(0, equals);
      if (equals == std::string::npos || heading.empty() || equals + 1 == map.size()) {
        usage_error(fmt::format("--map cannot be '{}'", map), "write HEADING=KEY: --map 'Type=joint.type'");
        return false;
      }
      layout_options_.maps.push_back({heading, map.substr(equals + 1)});
    }
    return true;
  }

  [[nodiscard]] bool to_file() const { return !output_arguments_.file.empty() && output_arguments_.file != "-"; }

  bool read_files() {
    layout_options_.keep = arguments_.keep;
    layout_options_.is_answer = is_answer_column;
    if (!arguments_.list_decimal.empty())
      layout_options_.decimal = arguments_.list_decimal == "comma" ? DecimalSign::comma : DecimalSign::point;
    if (!arguments_.defaults.empty()) {
      Expected<std::string> text = read_text_file(arguments_.defaults, max_input_bytes);
      if (!text) {
        report(text.errors());
        return false;
      }
      layout_options_.defaults_text = std::move(*text);
      layout_options_.defaults_name = arguments_.defaults;
    }
    return read_machine();
  }

  bool read_machine() {
    if (!arguments_.equipment.empty()) {
      Expected<Equipment> equipment = read_equipment(arguments_.equipment);
      if (!equipment) {
        report(file_told_apart(equipment.errors(), arguments_.equipment, FileKind::equipment));
        return false;
      }
      equipment_ = std::move(*equipment);
    }
    if (arguments_.shop.empty()) return true;
    std::string text;
    const Expected<Equipment> shop = read_shop(arguments_.shop, text);
    if (!shop) {
      report(shop.errors());
      return false;
    }
    lay_shop_under(equipment_, *shop);
    return true;
  }

  // Nothing asked, nothing answered.
  int answer_nothing() {
    if (!arguments_.resume.empty()) {
      Output output(output_arguments_, true);
      const int descriptor = output.take_up();
      if (output.failed()) return output.failure();
      if (descriptor >= 0 && ::lseek(descriptor, 0, SEEK_END) > 0) return other_run("the job list is empty");
    }
    if (arguments_.summary) message(JobSummary().text(units_of(output_arguments_), message_width()));
    if (arguments_.check) return deliver(output_arguments_, "0 rows can be read\n", exit_answered);
    return deliver(output_arguments_, "", exit_answered);
  }

  // Where an output lacks what tells how far it came, it could not be gone on with.
  bool check_resumable(const JobColumns& columns) const {
    if (arguments_.resume.empty()) return true;
    const auto has = [&](std::string_view name) {
      return std::any_of(columns.columns.begin(), columns.columns.end(),
                         [&](const JobColumn& c) { return c.name == name && c.kind != JobColumn::Kind::passed; });
    };
    for (const std::string_view needed : {"status", "line"}) {
      if (has(needed) || (needed == "line" && !arguments_.per_pass)) continue;
      usage_error(fmt::format("a run can only be resumed where its rows have the column '{}'", needed),
                  "add it to --columns, or run anew with -o");
      return false;
    }
    return true;
  }

  int answer(JobSource& source, const JobLayout& layout, JobColumns& columns, Units units) {
    if (!check_resumable(columns)) return exit_bad_input;
    if (form_left_open_ && source.format() == JobFormat::ndjson && form_.separator == ',' && !form_.byte_order_mark)
      form_.kind = AnswerForm::Kind::ndjson;
    if (form_.is_workbook()) columns.options.reasons = columns.options.heat_report = true;  // its sheet of warnings
    Output output(output_arguments_, !form_.is_workbook());
    const std::unique_ptr<Workbook> workbook = form_.is_workbook() ? open_workbook(columns, units, output) : nullptr;
    // Rows that come to the same terminal say how far it is.
    const bool on_terminal =
        ::isatty(STDERR_FILENO) == 1 && (arguments_.check || to_file() || ::isatty(STDOUT_FILENO) == 0);
    JobRun run{.layout = layout,
               .columns = columns,
               .equipment = equipment_ ? &*equipment_ : nullptr,
               .prefer = prefer_,
               .units = units,
               .form = form_,
               .per_pass = arguments_.per_pass,
               .stop_on_error = arguments_.on_error == "stop",
               .summary = arguments_.summary || form_.is_workbook(),
               .progress = !arguments_.output.quiet && on_terminal,
               .check = arguments_.check,
               .name = name(),
               .workbook = workbook.get(),
               .threads = threads_,
               .head = {},
               .expected = {},
               .cut = 0,
               .resumed = false,
               .worst = exit_answered};
    if (!arguments_.no_header && !arguments_.check && shard_.index == 1)
      JobWriter(columns, units, form_).append_header(run.head);
    JobRange range;
    if (!shard_alone_) {
      range.from = part_begin(shard_.index - 1);
      range.to = part_begin(shard_.index);
    }
    if (!arguments_.resume.empty()) {
      const int descriptor = output.take_up();
      if (output.failed()) return output.failure();
      if (descriptor >= 0) {
        int error = 0;
        const std::optional<Reached> reached = read_reached(descriptor, run, error);
        if (error != 0) {
          input_error(arguments_.resume, fmt::format("cannot be read: {}", std::strerror(error)), "");  // NOLINT
          return exit_system;
        }
        if (!reached) return other_run("it begins with another header");
        range.skip = reached->jobs;
        run.cut = reached->cut;
        run.expected = reached->last_rows;
        run.resumed = true;
        run.worst = reached->worst;
        if (run.cut > 0) run.head.clear();
      }
    }
    if (!source.start(range)) return cannot_read_on(source);
    return finish(source, run, output);
  }

  std::unique_ptr<Workbook> open_workbook(const JobColumns& columns, Units units, Output& output) const {
    std::vector<WorkbookColumn> sheet;
    for (const JobColumn& column : columns.columns)
      sheet.push_back({column.name, column.plan.kind, column.kind != JobColumn::Kind::plan});
    return std::make_unique<Workbook>(sheet, units, [&output](std::string_view bytes) { return output.write(bytes); });
  }

  int workbook_failure(const Workbook& workbook, Output& output) const {
    if (workbook.full())
      return input_error(name(), "the list has more rows than a sheet can hold: split it (--shard)",
                         "--shard 1/2 and --shard 2/2 write a workbook each");
    if (workbook.too_long())
      return input_error(name(), "the answers are longer than a sheet can hold",
                         "ask for fewer --columns, or split the list (--shard)");
    if (output.failed()) return output.failure();
    input_error(output_arguments_.file, "no room for a temporary file or for packing", "make room, or write CSV");
    return exit_system;
  }

  // Where the part after the first `index` begins.
  [[nodiscard]] std::uint64_t part_begin(unsigned long index) const {
    const std::uint64_t bytes = input_.bytes(), share = bytes / shard_.count, rest = bytes % shard_.count;
    return index == shard_.count ? UINT64_MAX : share * index + rest * index / shard_.count;
  }

  int other_run(std::string_view why) {
    return input_error(arguments_.resume, fmt::format("this is not the output of the same run: {}", why),
                       "resume with the same job list and options, or run anew with -o");
  }

  int cannot_read_on(const JobSource& source) const {
    input_error(name(), fmt::format("cannot read on: {}", std::strerror(source.error())), kept_help());  // NOLINT
    return exit_system;
  }

  int finish(JobSource& source, const JobRun& run, Output& output) {
    const JobOutcome outcome = run_jobs(source, run, output);
    if (outcome.system_error != 0) {
      input_error(name(), fmt::format("the run cannot go on: {}", std::strerror(outcome.system_error)),  // NOLINT
                  outcome.system_error == EMFILE || outcome.system_error == ENFILE
                      ? "allow more open files ('ulimit -n' shows the limit)"
                      : "free memory, or ask for fewer --threads");
      return exit_system;
    }
    if (!outcome.started) {
      usage_error(fmt::format("the system gives fewer than {} threads", threads_), "ask for fewer with --threads");
      return exit_system;
    }
    if (!outcome.written) return run.workbook != nullptr ? workbook_failure(*run.workbook, output) : output.failure();
    if (outcome.differs) return other_run("its last rows are not what this list gives");
    if (!outcome.read) return cannot_read_on(source);
    if (outcome.signal != 0) {
      if (!arguments_.output.quiet) message(fmt::format("interrupted between two rows; {}", kept_help()));
      std::signal(outcome.signal, SIG_DFL);
      (void)std::raise(outcome.signal);
    }
    if (run.check) return tell_readable(outcome);
    if (arguments_.summary) message(outcome.summary.text(run.units, message_width()));
    if (outcome.stopped_at != 0)
      return input_error(fmt::format("{}:{}", name(), outcome.stopped_at), "the run stops at this row", kept_help());
    if (run.workbook != nullptr && !run.workbook->finish(outcome.summary))
      return workbook_failure(*run.workbook, output);
    if (!output.finish()) return output.failure();
    return std::max(outcome.worst, run.worst);
  }

  int tell_readable(const JobOutcome& outcome) const {
    const std::uint64_t good = outcome.rows - outcome.errors;
    std::string text = fmt::format("{} row{} can be read", good, good == 1 ? "" : "s");
    if (outcome.errors > 0) text += fmt::format(", {} cannot", outcome.errors);
    return deliver(output_arguments_, text + '\n', outcome.worst);
  }

  [[nodiscard]] std::string kept_help() const {
    const std::string& file = output_arguments_.file;
    if (form_.is_workbook()) return "no workbook is written";
    struct stat status {};
    if (!to_file() || (::stat(file.c_str(), &status) == 0 && !S_ISREG(status.st_mode)))
      return "the rows before it are written";
    return fmt::format("--resume {} goes on from the rows written so far", file);
  }
};

}  // namespace

int run_batch(const BatchArguments& arguments, const Catalog& catalog) { return Batch(arguments, catalog).run(); }

}  // namespace seamwright
