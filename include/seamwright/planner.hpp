// Solving a joint into a plan.
#pragma once

#include <memory>

#include "seamwright/diagnostic.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

struct PlanOptions {
  WindowDetail detail = WindowDetail::full;
  bool uncertainties = true;
  bool pool_ranges = true;  // what the quantities that need the pool become over the band
  bool suggestions = true;
  bool heat_report = true;
  const Procedure* procedure = nullptr;  // its ranges bind like any other limit
  bool grade = true;
  bool box = true;            // the ranges to lock
  bool confident = true;      // the band at the confidence asked for, 0.9 when none is
  bool detail_tables = true;  // trims, double pulse in depth, clock sectors
  bool sensitivity = false;
  bool reasons = true;  // what was chosen and why, the texts of warnings, the cautions
};

// Solves a joint. Errors are contradictions that only show once choices are made (a wire with no such diameter, say).
[[nodiscard]] Expected<Plan> make_plan(const Joint& joint, const Equipment* equipment, const Catalog& catalog,
                                       const PlanOptions& options);

// The same for many joints: keeps its memory from one to the next.
class Planner {
 public:
  Planner(const Equipment* equipment, const Catalog& catalog, const PlanOptions& options);
  ~Planner();
  Planner(const Planner&) = delete;
  Planner& operator=(const Planner&) = delete;

  // The plan of a joint, to be read or moved from until the next call; nothing where errors() say why there is none.
  [[nodiscard]] Plan* solve(const Joint& joint);
  [[nodiscard]] const Diagnostics& errors() const;
  // What solve() would refuse a joint for, without solving it; empty: nothing.
  [[nodiscard]] const Diagnostics& contradictions(const Joint& joint);

 private:
  struct State;
  std::unique_ptr<State> state_;
  // Mode, wire and passes, and the window of each pass, with that preheat chosen for the reason given (0: the joint's
  // own or none); false: errors().
  [[nodiscard]] bool choose_setting(const Joint& joint, double preheat_C, const struct PreheatNeed& need);
  // The same in the wire of the joint, or the usual one; another wire of the rack is weighed by choose_setting().
  [[nodiscard]] bool choose_in_wire(const Joint& joint, double preheat_C, const struct PreheatNeed& need);
  // All of each pass of that choice, once it stands.
  void work_out_passes();
};

}  // namespace seamwright
