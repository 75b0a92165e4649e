// Plans per second in one process, without reading and writing: plans_per_second JOBS.csv [REPEATS]
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "input/job_reader.hpp"
#include "present/write_jobs.hpp"
#include "seamwright/catalog.hpp"
#include "seamwright/planner.hpp"

using namespace seamwright;

int main(int argc, char** argv) {
  std::ifstream file(argc > 1 ? argv[1] : "");
  std::string line;
  if (!std::getline(file, line)) return 2;
  const auto layout = read_job_layout(JobFormat::csv, ',', line, {}, builtin_catalog());
  if (!layout) return 2;
  JobReader reader(**layout);
  std::vector<Joint> joints;
  while (std::getline(file, line))
    if (const Job& job = reader.read(line, JobFlaw::none); job.good) joints.push_back(job.joint);
  const int repeats = argc > 2 ? std::atoi(argv[2]) : 1;
  const auto rate = [&](const char* what, const PlanOptions& options) {
    const auto begin = std::chrono::steady_clock::now();
    std::size_t windows = 0;
    Planner planner(nullptr, builtin_catalog(), options);
    for (int r = 0; r < repeats; ++r)
      for (const Joint& joint : joints)
        if (const Plan* plan = planner.solve(joint); plan != nullptr && plan->feasible) ++windows;
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    const double plans = static_cast<double>(joints.size()) * repeats;
    std::printf("%-28s %9.0f plans/s %9.1f us each, %3.0f %% with a window\n", what, plans / seconds,
                1e6 * seconds / plans, 100 * static_cast<double>(windows) / plans);
  };
  PlanOptions batch = choose_job_columns("default", {}, false, Units::metric)->options;
  rate("as in batch", batch);
  batch.uncertainties = batch.pool_ranges = true;
  rate("with uncertainties, ranges", batch);
  if (joints.size() > 200) joints.resize(200);
  rate("everything that plan gives", {});
  return 0;
}
