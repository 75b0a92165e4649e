// The plan as JSON; data/plan.schema.json describes it. US units are conversions of the same numbers.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <utility>

#include "present/write_check.hpp"
#include "quantity/quantity_text.hpp"
#include "seamwright/diagnostic.hpp"
#include "seamwright/explain.hpp"
#include "seamwright/plan.hpp"
#include "seamwright/procedure_check.hpp"
#include "seamwright/synergic_line.hpp"

namespace seamwright {

inline constexpr int plan_schema_number = 1;

// The keys a sweep sets and their values, as written on the command line.
using Varied = std::span<const std::pair<std::string, std::string>>;

struct JsonOptions {
  Units units = Units::metric;
  std::string_view program_version;
  bool one_line = false;  // for NDJSON
};

// Ends with a line feed.
[[nodiscard]] std::string plan_json(const Plan& plan, const JsonOptions& options, Varied varied = {});
[[nodiscard]] std::string explanation_json(const Plan& plan, const Explanation& explanation,
                                           const JsonOptions& options);
// The quantities of a pass (index) that can be explained.
[[nodiscard]] std::string explainable_json(const Plan& plan, std::size_t pass, const JsonOptions& options);
[[nodiscard]] std::string line_json(const SynergicLine& line, const JsonOptions& options);
// data/check.schema.json describes it.
[[nodiscard]] std::string check_json(const ProcedureCheck& check, const CheckOptions& options);
// A record in place of a plan that a sweep could not make.
[[nodiscard]] std::string errors_json(const Diagnostics& errors, const JsonOptions& options, Varied varied = {});

}  // namespace seamwright
