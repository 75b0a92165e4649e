#include "cli/job_stream.hpp"

#include <fmt/format.h>
#include <poll.h>
#include <sys/eventfd.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <csignal>
#include <cstring>
#include <deque>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

#include "cli/job_memory.hpp"
#include "input/job_cut.hpp"
#include "seamwright/planner.hpp"

namespace seamwright {
namespace {

constexpr std::size_t write_bytes = std::size_t{64} << 10;  // one write is at least this, unless the input pauses
constexpr std::size_t block_bytes = std::size_t{64} << 10, block_rows = 256;

// --- signals ---------------------------------------------------------------------------------------------------------
volatile std::sig_atomic_t caught_signal = 0;
int wake_descriptor = -1;

void wake() {
  const std::uint64_t one = 1;
  (void)!::write(wake_descriptor, &one, sizeof one);
}

void on_signal(int signal) {
  const int error = errno;
  caught_signal = signal;
  wake();
  errno = error;
}

// A first Ctrl-C or termination ends the run between two rows; a second one ends it at once.
void catch_signals() {
  struct sigaction action {};
  action.sa_handler = on_signal;
  action.sa_flags = static_cast<int>(SA_RESETHAND);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) ::sigaction(signal, &action, nullptr);
}

// Another program may have made the descriptor one that does not wait. False: errno says why.
bool waits_for_input(int descriptor) {
  pollfd input{descriptor, POLLIN, 0};
  return ::poll(&input, 1, -1) >= 0 || errno == EINTR;
}

// --- blocks ----------------------------------------------------------------------------------------------------------
struct Block {
  std::string text;
  std::vector<JobRecord> rows;
  std::string out, warnings;
  std::uint64_t answered = 0, errors = 0;
  int worst = exit_answered;
  bool placed = true;  // false: it is not known which lines its rows are
  std::uint64_t stopped_at = 0;
  JobSummary summary;
  bool done = false;  // guarded by the pipeline's mutex
};

// Answers rows. One for each thread.
class Worker {
 public:
  Worker(const JobRun& run, JobSource& source)
      : run_(run),
        source_(source),
        reader_(run.layout, run.check),
        writer_(run.columns, run.units, run.form),
        planner_(run.equipment, *run.layout.catalog, run.columns.options),
        may_remember_(!run.per_pass && !run.summary && run.workbook == nullptr && !run.columns.options.reasons),
        shows_line_(run.workbook != nullptr || run.columns.shows_line()) {}

  void answer(Block& block) {
    block.out.clear();
    block.warnings.clear();
    block.answered = block.errors = block.stopped_at = 0;
    block.worst = exit_answered;
    block.placed = true;
    block.summary.clear();
    for (const JobRecord& record : block.rows) {
      ++block.answered;
      if (answer(std::string_view(block.text).substr(record.offset, record.size), record, block)) continue;
      ++block.errors;
      block.worst = exit_bad_input;
      if (run_.summary) block.summary.add_error();
      if (!run_.stop_on_error) continue;
      block.stopped_at = line_of(record, block);
      return;
    }
  }

 private:
  const JobRun& run_;
  JobSource& source_;
  JobReader reader_;
  JobWriter writer_;
  Planner planner_;
  JobMemory memory_;
  std::string key_;
  bool may_remember_;  // what is worked out hangs on the length in the totals alone, and a row is all that is asked for

  bool shows_line_;

  // What of length and number is given is part of what the plan hangs on.
  static constexpr std::array<std::string_view, 4> given_words{"", "l", "n", "ln"};

  // In the whole list. Asked for only where it is shown: it may have to be counted.
  std::uint64_t line_of(const JobRecord& record, Block& block) {
    const std::optional<std::uint64_t> before = source_.lines_before();
    block.placed = before.has_value();
    return record.line + before.value_or(0);
  }

  bool answer(std::string_view row, const JobRecord& record, Block& block) {
    Job& job = reader_.read(row, record.flaw);
    if (run_.check) return check(job, record, block);
    const JobRow where{shows_line_ ? line_of(record, block) : 0, job.passed, job.bare};
    if (run_.prefer) job.joint.prefer.value = *run_.prefer;
    if (!job.good) {
      writer_.append_error(block.out, where, job.id, job.message);
      return false;
    }
    job.joint.unit_length_mm = unit_length_mm(run_.units);
    if (may_remember_ && shares_plans(job.joint)) {
      key_.clear();
      if (reader_.append_plan_key(key_)) return answer_of_memory(job, where, block);
    }
    const Plan* plan = planner_.solve(job.joint);
    if (plan == nullptr) return refuse(job, where, block);
    writer_.append_plan(block.out, where, *plan, run_.per_pass);
    if (!plan->feasible) block.worst = std::max<int>(block.worst, exit_no_window);
    if (run_.workbook != nullptr) writer_.append_warnings(block.warnings, where, *plan);
    if (run_.summary) block.summary.add(*plan);
    return true;
  }

  bool refuse(const Job& job, const JobRow& where, Block& block) {
    writer_.append_error(block.out, where, job.id, one_line(planner_.errors()));
    return false;
  }

  // Whether length and number of welds do no more than multiply the totals.
  [[nodiscard]] static bool shares_plans(const Joint& joint) {
    return std::none_of(joint.limits.begin(), joint.limits.end(),
                        [](const UserLimit& limit) { return length_factor(limit.field, 1, 1).has_value(); });
  }

  // Every row that may share a plan goes this way, also the first of a plan: a metre of one weld is planned, and the
  // totals are multiplied. So no row hangs on those before it.
  bool answer_of_memory(Job& job, const JobRow& where, Block& block) {
    Joint& joint = job.joint;
    JobShare share{&joint.id, 1, 0};
    constexpr double metre_mm = 1000;
    if (joint.length_mm) {
      share.metres = *joint.length_mm / metre_mm;
      joint.length_mm.value = metre_mm;
    }
    if (joint.quantity) {
      share.count = *joint.quantity;
      joint.quantity.value = 1;
    }
    const std::string_view given(given_words[(joint.length_mm ? 1 : 0) + (joint.quantity ? 2 : 0)]);
    key_ += given;
    const JobAnswer* answer = memory_.find(key_);
    if (answer == nullptr) {
      const Plan* plan = planner_.solve(joint);
      if (plan == nullptr) return refuse(job, where, block);
      JobAnswer& kept = memory_.place(key_);
      writer_.remember(kept, *plan);
      answer = &kept;
    }
    writer_.append_answer(block.out, where, *answer, share);
    if (!answer->feasible) block.worst = std::max<int>(block.worst, exit_no_window);
    return true;
  }

  bool check(const Job& job, const JobRecord& record, Block& block) {
    const Diagnostics& faults = job.good ? planner_.contradictions(job.joint) : reader_.faults();
    if (faults.empty()) return true;
    block.out += format_diagnostics(reader_.in_place(faults, run_.name, line_of(record, block)));
    return false;
  }
};

// --- progress --------------------------------------------------------------------------------------------------------
class Progress {
 public:
  explicit Progress(bool wanted) : wanted_(wanted) {}
  ~Progress() {
    if (shown_) (void)!::write(STDERR_FILENO, "\r\033[K", 4);
  }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  // Lines on standard error, in the place of what is shown there.
  void say(std::string_view lines) {
    if (shown_) (void)!::write(STDERR_FILENO, "\r\033[K", 4);
    shown_ = false;
    lines.remove_suffix(lines.empty() || lines.back() != '\n' ? 0 : 1);
    message(lines);
  }

  void show(std::uint64_t rows, std::uint64_t errors, const JobSource& source) {
    if (!wanted_) return;
    const auto now = Clock::now();
    if (now - last_ < std::chrono::milliseconds(500)) return;
    last_ = now;
    const double seconds = std::chrono::duration<double>(now - start_).count();
    std::string line = fmt::format("{} rows, {:.0f} rows/s", rows, static_cast<double>(rows) / seconds);
    if (const std::optional<double> share = source.share_done(); share && *share > 0) {
      const auto left = std::lround(seconds * (1 - *share) / *share);
      line += fmt::format(", {:.0f} % done, {}:{:02} left", 100 * *share, left / 60, left % 60);
    }
    line += fmt::format(", {} errors", errors);
    winsize size{};  // a line that wraps could not be taken back
    if (::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 && line.size() >= size.ws_col)
      line.resize(size.ws_col - std::size_t{1});
    line = "\r" + line + "\033[K";
    (void)!::write(STDERR_FILENO, line.data(), line.size());
    shown_ = true;
  }

 private:
  using Clock = std::chrono::steady_clock;
  bool wanted_, shown_ = false;
  Clock::time_point start_ = Clock::now(), last_ = start_;
};

// --- pipeline --------------------------------------------------------------------------------------------------------
// The calling thread reads and writes; with more than one thread others answer. Blocks are used again and again.
class Pipeline {
 public:
  Pipeline(JobSource& source, const JobRun& run, Output& output)
      : source_(source), run_(run), output_(output), progress_(run.progress), pending_(run.head) {
    blocks_.resize(run.threads > 1 ? 2 * run.threads + 1 : 1);
    if (run.threads <= 1) {
      own_.emplace(run, source);
      return;
    }
    threads_.reserve(run.threads);
    try {
      while (threads_.size() < run.threads) threads_.emplace_back([this] { answer_blocks(); });
    } catch (const std::system_error&) {
      outcome_.started = false;
    }
  }
  ~Pipeline() { join(); }
  Pipeline(const Pipeline&) = delete;
  Pipeline& operator=(const Pipeline&) = delete;

  JobOutcome run() {
    while (going()) {
      if (write_done()) continue;
      const bool idle = written_ == filled_;
      if (filled_ - written_ < blocks_.size() && fill()) continue;
      if (idle && source_.at_end() && !source_.any()) break;
      if (idle && !flush()) break;
      wait_for_news();
    }
    outcome_.signal = caught_signal;
    join();
    while (outcome_.written && !outcome_.differs && outcome_.stopped_at == 0 && write_done()) {
    }
    (void)flush();
    // The list ended before what was there.
    if (outcome_.started && outcome_.read && outcome_.signal == 0 && !taken_up_) outcome_.differs = true;
    return std::move(outcome_);
  }

 private:
  JobSource& source_;
  const JobRun& run_;
  Output& output_;
  JobOutcome outcome_;
  Progress progress_;
  std::vector<Block> blocks_;
  std::uint64_t filled_ = 0, written_ = 0;  // blocks so far
  std::uint64_t rows_ = 0, errors_ = 0;
  std::string pending_;
  bool cut_ = false;
  bool taken_up_ = !run_.resumed || run_.expected.empty();  // what was there is known to be this run's
  std::optional<Worker> own_;

  std::mutex mutex_;
  std::condition_variable work_;
  std::deque<Block*> queue_;
  bool closing_ = false;
  std::vector<std::thread> threads_;

  void fail(int error) {
    outcome_.system_error = error;
    outcome_.started = false;
  }

  [[nodiscard]] bool going() const {
    return caught_signal == 0 && outcome_.started && outcome_.written && outcome_.read && !outcome_.differs &&
           outcome_.stopped_at == 0;
  }

  void answer_blocks() {
    Worker worker(run_, source_);
    std::unique_lock lock(mutex_);
    for (;;) {
      work_.wait(lock, [this] { return closing_ || !queue_.empty(); });
      if (closing_) return;
      Block* block = queue_.front();
      queue_.pop_front();
      lock.unlock();
      worker.answer(*block);
      lock.lock();
      block->done = true;
      wake();
    }
  }

  void join() {
    {
      const std::scoped_lock lock(mutex_);
      closing_ = true;
    }
    work_.notify_all();
    for (std::thread& thread : threads_)
      if (thread.joinable()) thread.join();
  }

  // Hands out a block when there is one to hand out, or reads where that does not wait.
  bool fill() {
    if (source_.full() || (source_.any() && (source_.at_end() || !source_.ready()))) {
      Block& block = blocks_[filled_ % blocks_.size()];
      source_.take(block.text, block.rows);
      ++filled_;
      if (own_) {
        own_->answer(block);
        block.done = true;
      } else {
        const std::scoped_lock lock(mutex_);
        block.done = false;
        queue_.push_back(&block);
        work_.notify_one();
      }
      return true;
    }
    if (source_.at_end() || !source_.ready()) return false;
    outcome_.read = source_.read_more();
    return true;
  }

  bool write_done() {
    if (written_ == filled_) return false;
    Block& block = blocks_[written_ % blocks_.size()];
    {
      const std::scoped_lock lock(mutex_);
      if (!block.done) return false;
    }
    if (!block.placed) {
      outcome_.read = source_.error() == 0;  // else the program is to end
      return false;
    }
    ++written_;
    pending_ += block.out;
    rows_ += block.answered;
    errors_ += block.errors;
    outcome_.worst = std::max(outcome_.worst, block.worst);
    outcome_.stopped_at = block.stopped_at;
    outcome_.rows = rows_;
    outcome_.errors = errors_;
    if (run_.summary) outcome_.summary.merge(block.summary);
    if (run_.workbook != nullptr) {
      pending_.clear();
      outcome_.written = run_.workbook->add(block.out, block.warnings);
    }
    if (pending_.size() >= write_bytes) (void)flush();
    progress_.show(rows_, errors_, source_);
    return true;
  }

  bool flush() {
    if (!outcome_.written || outcome_.differs) return false;
    if (pending_.empty()) return true;
    // A continued run first repeats the last rows that were there. Nothing is touched before they all are the same.
    if (!taken_up_) {
      const std::string_view expected = run_.expected, repeated = pending_;
      const std::size_t both = std::min(expected.size(), repeated.size());
      outcome_.differs = expected.substr(0, both) != repeated.substr(0, both);
      if (outcome_.differs || both < expected.size()) return !outcome_.differs;
      taken_up_ = true;
    }
    if (run_.resumed && !cut_) {
      outcome_.written = output_.cut(run_.cut);
      cut_ = true;
    }
    if (run_.check)
      progress_.say(pending_);
    else
      outcome_.written = outcome_.written && output_.write(pending_);
    pending_.clear();
    return outcome_.written;
  }

  void wait_for_news() {
    const bool wants_input = !source_.at_end() && !source_.any() && filled_ - written_ < blocks_.size();
    pollfd news[2] = {{wake_descriptor, POLLIN, 0}, {wants_input ? source_.descriptor() : -1, POLLIN, 0}};
    if (::poll(news, 2, -1) < 0) {
      if (errno != EINTR) fail(errno);
      return;  // what the poll would have said is unknown
    }
    if ((news[0].revents & POLLIN) == 0) return;
    std::uint64_t count = 0;
    (void)!::read(wake_descriptor, &count, sizeof count);
  }
};

}  // namespace

// --- source ----------------------------------------------------------------------------------------------------------
bool JobSource::full() const {
  return rows_.size() >= block_rows || (!rows_.empty() && rows_.back().offset + rows_.back().size >= block_bytes);
}

bool JobSource::ready() const {
  pollfd input{descriptor_, POLLIN, 0};
  return ::poll(&input, 1, 0) > 0;
}

bool JobSource::append_input() {
  const std::size_t size = buffer_.size();
  buffer_.resize(size + block_bytes);
  ssize_t count = 0;
  do count = ::read(descriptor_, buffer_.data() + size, block_bytes);
  while (count < 0 && caught_signal == 0 && (errno == EINTR || (errno == EAGAIN && waits_for_input(descriptor_))));
  if (count < 0 && errno != EINTR) error_ = errno;
  buffer_.resize(size + static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
  if (count == 0) at_end_ = true;
  return error_ == 0;
}

// False: it failed, or the program is to end.
bool JobSource::more_input() {
  buffer_.erase(0, begin_);
  scanned_ -= begin_;
  begin_ = 0;
  return append_input() && caught_signal == 0;
}

bool JobSource::read_more() {
  (void)more_input();
  scan();
  return error_ == 0;
}

void JobSource::pass_over(std::size_t bytes) {
  begin_ += bytes;
  scanned_ = begin_;
  offset_ += bytes;
}

// The next row, which stays unread; what lies before it is passed over. Nothing: there is none.
std::optional<RecordScanner::Step> JobSource::find_row() {
  for (;;) {
    RecordScanner scanner = scanner_;
    const RecordScanner::Step step = scanner.next(unread(), at_end_);
    if (step.found) return step;
    if (step.used > 0) {
      scanner_ = scanner;
      pass_over(step.used);
    } else if (at_end_ || !more_input()) {
      return {};
    }
  }
}

bool JobSource::begin(std::optional<JobFormat> format, std::optional<char> separator) {
  constexpr std::string_view mark = "\xEF\xBB\xBF";
  while (buffer_.size() < mark.size() && !at_end_)
    if (!more_input()) return false;
  if (unread().substr(0, mark.size()) == mark) pass_over(mark.size());
  // Blank lines are the same in every format. What follows them shows which one it is.
  if (!find_row()) return false;
  format_ = format ? *format : sniff_job_format(unread());
  while (format_ == JobFormat::csv && header_end(unread()) == std::string_view::npos && !at_end_ &&
         unread().size() <= longest_job_bytes)
    if (!more_input()) return false;
  separator_ = separator ? *separator : sniff_separator(unread());
  scanner_.expect(format_, separator_);
  const std::optional<RecordScanner::Step> step = find_row();
  if (!step) return false;
  first_ = unread().substr(step->record.offset, step->record.size);
  first_line_ = step->record.line;
  if (format_ == JobFormat::csv) {
    (void)scanner_.next(unread(), at_end_);
    pass_over(step->used);
  }
  return true;
}

std::optional<double> JobSource::share_done() const {
  const std::uint64_t end = std::min(range_.to, bytes_);
  if (!began_ || end <= *began_) return {};
  return std::min(1.0, static_cast<double>(offset_ - *began_) / static_cast<double>(end - *began_));
}

std::size_t JobSource::read_at(char* to, std::size_t size, std::uint64_t at) {
  ssize_t count = 0;
  do count = ::pread(descriptor_, to, size, base_ + static_cast<off_t>(at));
  while (count < 0 && errno == EINTR && caught_signal == 0);
  if (count < 0 && errno != EINTR) error_ = errno;
  return static_cast<std::size_t>(std::max<ssize_t>(count, 0));
}

bool JobSource::start(const JobRange& range) {
  range_ = range;
  if (bytes_ > 0 && range.from > offset_ + (buffer_.size() - scanned_) && !go_to_range()) return false;
  scan();
  return true;
}

bool JobSource::go_to_range() {
  base_ = ::lseek(descriptor_, 0, SEEK_CUR) - static_cast<off_t>(offset_ + (buffer_.size() - scanned_));
  std::uint64_t begin = range_.from - 1;
  if (format_ == JobFormat::csv) {
    const JobCut cut{.separator = separator_, .body = offset_, .from = range_.from, .to = range_.to};
    const std::optional<std::uint64_t> row =
        find_row_begin(cut, [this](char* to, std::size_t size, std::uint64_t at) { return read_at(to, size, at); });
    if (error_ != 0) return false;
    if (!row) return true;
    begin = *row;
  }
  if (::lseek(descriptor_, base_ + static_cast<off_t>(begin), SEEK_SET) < 0) {
    error_ = errno;
    return false;
  }
  scanner_ = RecordScanner(format_, separator_);
  if (format_ != JobFormat::csv) scanner_.expect_rest_of_line();
  buffer_.clear();
  begin_ = scanned_ = 0;
  offset_ = entered_ = begin;
  at_end_ = false;
  return true;
}

std::optional<std::uint64_t> JobSource::lines_before() {
  if (entered_ == 0) return 0;
  std::call_once(counted_, [this] { count_lines(); });
  return lines_before_;
}

void JobSource::count_lines() {
  constexpr std::size_t count_bytes = std::size_t{256} << 10;
  std::string text(count_bytes, '\0');
  std::uint64_t lines = 0;
  for (std::uint64_t at = 0; at < entered_;) {
    const std::size_t count =
        read_at(text.data(), static_cast<std::size_t>(std::min<std::uint64_t>(count_bytes, entered_ - at)), at);
    if (caught_signal != 0 || error_ != 0) return;
    if (count == 0) {  // the file has become shorter
      error_ = EIO;
      return;
    }
    const std::string_view read = std::string_view(text).substr(0, count);
    for (std::size_t i = read.find('\n'); i != std::string_view::npos; i = read.find('\n', i + 1)) ++lines;
    at += count;
  }
  lines_before_ = lines;
}

void JobSource::scan() {
  while (!full()) {
    const std::string_view text = std::string_view(buffer_).substr(scanned_);
    RecordScanner::Step step = scanner_.next(text, at_end_);
    if (step.used == 0) return;
    if (step.found && offset_ >= range_.from && offset_ < range_.to) {
      if (range_.skip > 0) {
        --range_.skip;
      } else {
        if (!began_) began_ = offset_;
        step.record.offset += scanned_ - begin_;
        rows_.push_back(step.record);
      }
    }
    scanned_ += step.used;
    offset_ += step.used;
    if (rows_.empty()) begin_ = scanned_;
    if (offset_ < range_.to) continue;
    at_end_ = true;
    return;
  }
}

void JobSource::take(std::string& text, std::vector<JobRecord>& rows) {
  text.assign(buffer_, begin_, scanned_ - begin_);
  rows.swap(rows_);
  rows_.clear();
  begin_ = scanned_;
  scan();
}

JobOutcome run_jobs(JobSource& source, const JobRun& run, Output& output) {
  wake_descriptor = ::eventfd(0, EFD_NONBLOCK | EFD_CLOEXEC);
  if (wake_descriptor < 0) {  // without it no answer would ever be heard of
    JobOutcome outcome;
    outcome.started = false;
    outcome.system_error = errno;
    return outcome;
  }
  catch_signals();
  JobOutcome outcome = Pipeline(source, run, output).run();
  ::close(wake_descriptor);
  wake_descriptor = -1;
  return outcome;
}

}  // namespace seamwright
