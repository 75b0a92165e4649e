// A list of any length is answered in the memory of its first rows: counted by replacing the global operator new. Not
// so rows that are refused, which pay for their message, and TOML, whose parser allocates; what they take they give
// back.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <malloc.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <memory>
#include <new>
#include <optional>
#include <string>
#include <vector>

#include "input/job_reader.hpp"
#include "present/write_jobs.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"

namespace {
std::atomic<std::size_t> allocations{0}, bytes_held{0};
}

// Not inlined: the compiler would see free() meet new.
[[gnu::noinline]] void* operator new(std::size_t size) {
  ++allocations;
  void* const memory = std::malloc(size > 0 ? size : 1);
  if (memory == nullptr) throw std::bad_alloc();
  bytes_held += malloc_usable_size(memory);
  return memory;
}
[[gnu::noinline]] void operator delete(void* memory) noexcept {
  bytes_held -= malloc_usable_size(memory);
  std::free(memory);
}
[[gnu::noinline]] void operator delete(void* memory, std::size_t) noexcept { operator delete(memory); }

using namespace seamwright;

namespace {

// Answers of rows, in memory that is used again.
class Answers {
 public:
  Answers(JobFormat format, std::string_view header, const Equipment* equipment, const JobLayoutOptions& options = {})
      : layout_(layout_of(format, header, options)),
        columns_(columns_of(*layout_)),
        reader_(*layout_),
        writer_(columns_, Units::metric, AnswerForm{}),
        planner_(equipment, builtin_catalog(), columns_.options) {}

  void answer(std::string_view row) {
    const Job& job = reader_.read(row, JobFlaw::none);
    const Plan* plan = job.good ? planner_.solve(job.joint) : nullptr;
    if (plan == nullptr) return;
    ++answered;
    windows += plan->feasible ? 1 : 0;
    most_passes = std::max(most_passes, plan->passes.size());
    writer_.append_plan(out, {1, job.passed}, *plan, false);
  }

  std::string out;
  std::size_t answered = 0, windows = 0, most_passes = 0;

  void forget() {
    out.clear();
    answered = windows = 0;
  }

 private:
  static std::unique_ptr<JobLayout> layout_of(JobFormat format, std::string_view header,
                                              const JobLayoutOptions& options) {
    auto layout = read_job_layout(format, ',', header, options, builtin_catalog());
    REQUIRE(layout);
    return std::move(*layout);
  }
  static JobColumns columns_of(const JobLayout& layout) {
    const auto columns = choose_job_columns("", layout.passed, false, Units::metric);
    REQUIRE(columns);
    return *columns;
  }

  std::unique_ptr<JobLayout> layout_;
  JobColumns columns_;
  JobReader reader_;
  JobWriter writer_;
  Planner planner_;
};

// Allocations that one more time through the rows takes once the memory of the first has grown.
std::size_t allocations_of(Answers& answers, const std::vector<std::string>& rows) {
  const auto answer_all = [&] {
    answers.forget();
    for (const std::string& row : rows) answers.answer(row);
  };
  // Lists change places between the trials of a joint, so it takes more than one round until each has grown.
  for (int round = 0; round < 4; ++round) answer_all();
  const std::string first = answers.out;
  const std::size_t before = allocations;
  answer_all();
  const std::size_t taken = allocations - before;
  CHECK(answers.out == first);
  return taken;
}

}  // namespace

TEST_CASE("after the first rows a list of joints allocates nothing") {
  const std::string header =
      "id,joint.type,joint.thickness,joint.leg,joint.position,material.alloy,wire.designation,wire.diameter,"
      "gas.designation,process.mode,x-note";
  std::vector<std::string> rows;
  const auto repeat = [&](auto row_of) {
    for (int i = 0; i < 60; ++i) rows.push_back(row_of(i, 5.0 + 0.04 * i));
  };
  std::size_t windows = 0, most_passes = 1;
  std::optional<Equipment> equipment;
  SUBCASE("with a window in one pass") {
    windows = 240;
    repeat([](int i, double t) {
      return fmt::format("A{},fillet,{:.2f},{:.2f},PB,EN AW-5083,S Al 5183,1.2,I1,pulse,\"a, b\"", i, t, t);
    });
    repeat(
        [](int i, double t) { return fmt::format("B{},fillet,{:.2f},{:.2f},PD,S275,,,,pulse,n{}", i, t, 0.7 * t, i); });
    repeat([](int i, double t) {
      return fmt::format("C{},lap,{:.2f},3,PB,316L,19 12 3 L Si,1.0,M12-ArC-2,,", i, 0.4 * t);
    });
    repeat([](int i, double t) {
      return fmt::format("D{},butt,{:.2f},,PA,S275,G 3Si1,1.0,M21-ArC-18,short-arc,", i, 0.5 * t);
    });
  }
  SUBCASE("of many passes") {
    windows = 180;
    most_passes = 10;
    repeat([](int i, double t) { return fmt::format("E{},fillet,{:.2f},{:.2f},PF,S355,,,,,", i, 4 * t, 2 * t); });
    repeat([](int i, double t) { return fmt::format("F{},butt,{:.2f},,PA,S275,,,,,", i, 1.5 * t); });
    repeat([](int i, double t) { return fmt::format("G{},butt,{:.2f},,PC,1.4462,,,,pulse,", i, 3 * t); });
  }
  SUBCASE("with no window, or no mode") {
    most_passes = 1;
    repeat([](int i, double t) { return fmt::format("H{},fillet,{:.2f},3,PB,S275,,,,spray,", i, 0.1 * t); });
    repeat([](int i, double t) { return fmt::format("I{},fillet,{:.2f},,PB,316L,,1.6,,spray,", i, 0.1 * t); });
    repeat([](int i, double t) { return fmt::format("J{},fillet,{:.2f},5,PB,S275,G 3Si1,1.0,C1,pulse,", i, t); });
  }
  SUBCASE("with long names, in double pulse, on a machine") {
    windows = 60;
    equipment = *read_equipment(SEAMWRIGHT_EXAMPLE_DIR "/slipway-350.toml");
    repeat([](int i, double t) {
      return fmt::format(
          "frame {} to the keel,fillet,{:.2f},{:.2f},PB,EN AW-5083,S Al 5183,1.2,I1,double-pulse,{:-<90}", i, t, t, i);
    });
  }
  Answers answers(JobFormat::csv, header, equipment ? &*equipment : nullptr);
  CHECK(allocations_of(answers, rows) == 0);
  CHECK(answers.answered == rows.size());
  CHECK(answers.windows == windows);
  CHECK(answers.most_passes == most_passes);
}

TEST_CASE("JSON rows too") {
  std::vector<std::string> rows;
  for (int i = 0; i < 60; ++i)
    rows.push_back(fmt::format(R"({{"id": "frame {} to the keel", "joint": {{"type": "fillet", "thickness": {:.2f}}}, )"
                               R"("joint.position": "PB", "material.alloy": "5083", "process.travel": [4, 12], )"
                               R"("wire.designation": "ER5183", "limits": {{"current": [50, 320]}}, "x-note": {}}})",
                               i, 5.0 + 0.04 * i, i));
  // The other way round: the dots open the table that the object then fills; null here and there.
  for (int i = 0; i < 60; ++i)
    rows.push_back(
        fmt::format(R"({{"joint.position": "PB", "x-note": "a longer note, of more than a short string {}", )"
                    R"("joint": {{"type": "fillet", "gap": null, "thickness": {:.2f}}}, "title": null, )"
                    R"("material": {{"alloy": "5083"}}, "wire.designation": "ER5183"}})",
                    i, 5.0 + 0.04 * i));
  Answers answers(JobFormat::ndjson, rows.front(), nullptr);
  CHECK(allocations_of(answers, rows) == 0);
  CHECK(answers.windows == rows.size());
}

TEST_CASE("rows that leave much to the defaults too") {
  JobLayoutOptions options;
  options.defaults_name = "the defaults of the boatyard.toml";
  options.defaults_text =
      "joint.type = \"fillet\"\njoint.position = \"PB\"\nmaterial.alloy = \"5083\"\nwire.designation = \"ER5183\"\n"
      "process.travel = \"4..12 mm/s\"\nmaterial.interpass = 80\n";
  std::vector<std::string> rows;
  for (int i = 0; i < 60; ++i) rows.push_back(fmt::format("{:.2f}", 5.0 + 0.04 * i));
  Answers answers(JobFormat::csv, "joint.thickness", nullptr, options);
  CHECK(allocations_of(answers, rows) == 0);
  CHECK(answers.answered == rows.size());
}

TEST_CASE("what odd rows take they give back") {
  const std::string good = R"({"joint.type": "fillet", "joint.thickness": 6, "material.alloy": "S275"})";
  constexpr std::size_t rows = 100, room = std::size_t{1} << 20;
  const auto keys_before = [](std::size_t count) {
    std::string text = "{";
    for (std::size_t i = 0; i < count; ++i) text += fmt::format(R"("k{}": 0, )", i);
    return text;
  };
  const auto repeated = [](std::string_view part, std::size_t times) {
    std::string text;
    while (times-- > 0) text += part;
    return text;
  };
  // The large value stands at another place in every row: kept, it would be there as often as there are places.
  std::vector<std::string> odd;
  JobFormat format = JobFormat::ndjson;
  std::string header = good, plain = good;
  SUBCASE("long lists") {
    for (std::size_t i = 0; i < rows; ++i) odd.push_back(keys_before(i) + "\"m\": [" + repeated("0, ", 700) + "0]}");
  }
  SUBCASE("lists in lists") {
    for (std::size_t i = 0; i < rows; ++i) odd.push_back(keys_before(i) + "\"m\": [" + repeated("[0], ", 350) + "0]}");
  }
  SUBCASE("long texts") {
    for (std::size_t i = 0; i < rows; ++i)
      odd.push_back(keys_before(i) + "\"m\": \"" + std::string(300000, 'a') + "\"}");
  }
  SUBCASE("rows that are cut off") {
    for (std::size_t i = 0; i < rows; ++i) odd.push_back(keys_before(i) + "\"m\": [" + repeated("0, ", 700));
  }
  SUBCASE("long texts handed through, in good rows of JSON") {
    std::string names = good.substr(0, good.size() - 1);
    for (std::size_t i = 0; i < rows; ++i) names += fmt::format(R"(, "x-{}": null)", i);
    header = names + "}";
    for (std::size_t i = 0; i < rows; ++i)
      odd.push_back(fmt::format(R"({}, "x-{}": "{}"}})", good.substr(0, good.size() - 1), i, std::string(300000, 'a')));
  }
  SUBCASE("and of CSV") {
    format = JobFormat::csv;
    header = "joint.type,joint.thickness,material.alloy";
    plain = "fillet,6,S275";
    for (std::size_t i = 0; i < rows; ++i) header += fmt::format(",x-{}", i);
    for (std::size_t i = 0; i < rows; ++i)
      odd.push_back(plain + repeated(",", i + 1) + std::string(300000, 'a') + repeated(",", rows - i - 1));
    plain += repeated(",", rows);
  }
  const auto layout = read_job_layout(format, ',', header, {}, builtin_catalog());
  REQUIRE(layout);
  JobReader reader(**layout);
  const auto read = [&](const std::string& row) { return reader.read(row, JobFlaw::none).good; };
  for (int i = 0; i < 4; ++i) CHECK(read(plain));
  const std::size_t before = bytes_held;
  for (const std::string& row : odd) {
    read(row);
    CHECK(read(plain));
  }
  CHECK(bytes_held < before + room);
}
