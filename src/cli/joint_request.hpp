// What plan, explain and sheet share: the joint as the command line gives it, read once and solved as often as needed.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/commands.hpp"
#include "seamwright/input.hpp"
#include "seamwright/planner.hpp"

namespace seamwright {

// An error about an option's text.
[[nodiscard]] Diagnostic option_error(std::string_view option, std::string_view text, std::string message,
                                      std::string help);

// "joint.gap=1" in two; `option` for the message.
[[nodiscard]] Expected<Assignment> split_assignment(std::string_view option, const std::string& text,
                                                    std::string_view form, std::string_view example);

class JointRequest {
 public:
  // Reads the files of `arguments`. All errors at once. The catalog must outlive the request.
  [[nodiscard]] static Expected<JointRequest> read(const JointArguments& arguments, const OutputArguments& output,
                                                   const Catalog& catalog);

  // The plan, with further assignments after those of the command line.
  // A procedure settles what the joint leaves open; its ranges bind unless `free_of_procedure`.
  [[nodiscard]] Expected<Plan> solve(const std::vector<Assignment>& further, PlanOptions options,
                                     bool free_of_procedure = false) const;
  // The joint as it would be solved: what the procedure settles included.
  [[nodiscard]] Expected<Joint> joint(const std::vector<Assignment>& further) const;
  [[nodiscard]] const Catalog& catalog() const { return *catalog_; }
  [[nodiscard]] const std::optional<Equipment>& equipment() const { return equipment_; }
  // Of the joint, the assignments, the equipment and the procedure, as they were given.
  [[nodiscard]] std::string digest() const;
  [[nodiscard]] const std::optional<Procedure>& procedure() const { return procedure_; }
  [[nodiscard]] const std::vector<Assignment>& assignments() const { return assignments_; }

 private:
  explicit JointRequest(const Catalog& catalog) : catalog_(&catalog) {}

  const Catalog* catalog_;
  double unit_length_mm_ = 1000;  // of totals, where the joint has no length
  std::string equipment_text_, procedure_text_;
  std::string name_, text_;  // of the joint file, read once; empty without one
  std::vector<Assignment> assignments_;
  std::optional<Equipment> equipment_;
  std::optional<Procedure> procedure_;
};

// Whether there is a joint to read at all; prints the error when not.
[[nodiscard]] bool joint_given(std::string_view command, const JointArguments& arguments);

// The number of a --pass option, from 1.
[[nodiscard]] Expected<std::size_t> pass_number(const std::string& text);
// The pass a --pass option names, as an index; the first when empty. Prints the error when there is no such pass.
[[nodiscard]] std::optional<std::size_t> pass_index(const std::string& text, const Plan& plan);

}  // namespace seamwright
