// A list of any length is answered in the memory of its first rows (a joint of several passes, or one with no window,
// takes a few pieces more, which it gives back): counted by replacing the global operator new.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <atomic>
#include <cstdlib>
#include <new>
#include <string>
#include <vector>

#include "io/job_reader.hpp"
#include "io/write_jobs.hpp"
#include "seamwright/plan.hpp"

namespace {
std::atomic<std::size_t> allocations{0};
}

void* operator new(std::size_t size) {
  ++allocations;
  if (void* memory = std::malloc(size > 0 ? size : 1)) return memory;
  throw std::bad_alloc();
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

using namespace seamwright;

TEST_CASE("after the first rows a list of joints with a window in one pass allocates nothing") {
  const auto layout = read_job_layout(JobFormat::csv, ',',
                                      "id,joint.type,joint.thickness,joint.leg,joint.position,material.alloy,"
                                      "wire.designation,wire.diameter,gas.designation,process.mode,x-note",
                                      {});
  REQUIRE(layout);
  const auto columns = choose_job_columns("", (*layout)->passed, Units::metric);
  REQUIRE(columns);
  std::vector<std::string> rows;
  for (int i = 0; i < 60; ++i) {
    const double thickness = 5.0 + 0.04 * i;
    rows.push_back(
        fmt::format("A{},fillet,{:.2f},{:.2f},PB,EN AW-5083,S Al 5183,1.2,I1,pulse,\"a, b\"", i, thickness, thickness));
    rows.push_back(fmt::format("B{},fillet,{:.2f},{:.2f},PD,S275,,,,pulse,n{}", i, thickness, 0.7 * thickness, i));
    rows.push_back(fmt::format("C{},lap,{:.2f},3,PB,316L,19 12 3 L Si,1.0,M12-ArC-2,,", i, 0.4 * thickness));
    rows.push_back(fmt::format("D{},butt,{:.2f},,PA,S275,G 3Si1,1.0,M21-ArC-18,short-arc,", i, 0.5 * thickness));
  }
  JobReader reader(**layout);
  JobWriter writer(*columns, Units::metric, false);
  Planner planner(nullptr, builtin_catalog(), columns->options);
  std::string out;
  std::size_t windows = 0;
  const auto answer_all = [&] {
    windows = 0;
    out.clear();
    for (const std::string& row : rows) {
      const Job& job = reader.read(row, JobFlaw::none);
      const Plan* plan = job.good ? planner.solve(job.joint) : nullptr;
      if (plan == nullptr) continue;
      windows += plan->feasible ? 1 : 0;
      writer.append_plan(out, {1, job.passed}, *plan, false);
    }
  };
  // Lists change places between the trials of a joint, so it takes more than one round until each has grown.
  for (int round = 0; round < 4; ++round) answer_all();
  const std::string first = out;
  const std::size_t before = allocations;
  answer_all();
  CHECK(allocations - before == 0);
  CHECK(windows == rows.size());
  CHECK(out == first);
}
