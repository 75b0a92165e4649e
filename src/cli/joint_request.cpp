#include "cli/joint_request.hpp"

#include <fmt/format.h>

#include <charconv>

#include "cli/console.hpp"
#include "cli/shop_file.hpp"
#include "input/file_kind.hpp"
#include "seamwright/procedure_input.hpp"
#include "text/digest.hpp"
#include "text/toml_document.hpp"

namespace seamwright {

Diagnostic option_error(std::string_view option, std::string_view text, std::string message, std::string help) {
  Diagnostic d;
  d.place.file = text.empty() ? std::string(option) : fmt::format("{} {}", option, text);
  d.message = std::move(message);
  d.help = std::move(help);
  return d;
}

Expected<Assignment> split_assignment(std::string_view option, const std::string& text, std::string_view form,
                                      std::string_view example) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || equals == 0)
    return option_error(option, text, fmt::format("{} takes {}", option, form), fmt::format("for example {}", example));
  return Assignment{text.substr(0, equals), text.substr(equals + 1)};
}

Expected<JointRequest> JointRequest::read(const JointArguments& arguments, const OutputArguments& output,
                                          const Catalog& catalog) {
  JointRequest request(catalog);
  Diagnostics errors;
  const auto keep_all = [&errors](const Diagnostics& more) { errors.insert(errors.end(), more.begin(), more.end()); };
  const auto keep = [&keep_all](const auto& expected) {
    if (!expected) keep_all(expected.errors());
    return static_cast<bool>(expected);
  };
  request.unit_length_mm_ = unit_length_mm(units_of(output));
  for (const std::string& text : arguments.assignments) {
    Expected<Assignment> a = split_assignment("--set", text, "KEY=VALUE", "--set joint.thickness=6");
    if (keep(a)) request.assignments_.push_back(std::move(*a));
  }
  if (!arguments.prefer.empty())
    request.assignments_.push_back({"process.prefer", arguments.prefer, fmt::format("--prefer {}", arguments.prefer)});
  if (!arguments.equipment.empty()) {
    const Expected<std::string> text = read_text_file(arguments.equipment, max_input_bytes);
    if (keep(text)) {
      request.equipment_text_ = *text;
      Expected<Equipment> equipment = read_equipment_text(*text, arguments.equipment);
      if (equipment)
        request.equipment_ = std::move(*equipment);
      else
        keep_all(told_apart(equipment.errors(), *text, arguments.equipment, FileKind::equipment));
    }
  }
  if (!arguments.shop.empty()) {
    std::string text;
    const Expected<Equipment> shop = read_shop(arguments.shop, text);
    request.equipment_text_ += text;
    if (keep(shop)) lay_shop_under(request.equipment_, *shop);
  }
  if (!arguments.procedure.empty()) {
    const Expected<std::string> text = read_text_file(arguments.procedure, max_input_bytes);
    if (keep(text)) {
      request.procedure_text_ = *text;
      Expected<Procedure> procedure = read_procedure_text(*text, arguments.procedure, catalog);
      if (procedure)
        request.procedure_ = std::move(*procedure);
      else
        keep_all(told_apart(procedure.errors(), *text, arguments.procedure, FileKind::procedure));
    }
  }
  if (!arguments.joint.empty()) {
    const bool standard_input = arguments.joint == "-";
    request.name_ = standard_input ? "standard input" : arguments.joint;
    Expected<std::string> text = read_text_file(standard_input ? "/dev/stdin" : arguments.joint, max_input_bytes);
    if (!text && standard_input) {
      Diagnostics renamed = text.errors();
      for (Diagnostic& d : renamed) d.place.file = request.name_;
      errors.insert(errors.end(), renamed.begin(), renamed.end());
    } else if (keep(text)) {
      request.text_ = std::move(*text);
    }
  }
  for (const std::string& input : {arguments.joint, arguments.equipment, arguments.shop, arguments.procedure})
    if (same_file(input, output.file))
      errors.push_back(option_error("-o", output.file, "would overwrite an input of this plan",
                                    "choose another name for the output"));
  if (!errors.empty()) return errors;
  return request;
}

std::string JointRequest::digest() const {
  Digest digest;
  digest.add(text_);
  for (const Assignment& a : assignments_) {
    digest.add(a.key);
    digest.add(a.value);
  }
  digest.add(equipment_text_);
  digest.add(procedure_text_);
  return digest.text();
}

Expected<Joint> JointRequest::joint(const std::vector<Assignment>& further) const {
  std::vector<Assignment> all = assignments_;
  all.insert(all.end(), further.begin(), further.end());
  Expected<Joint> joint =
      name_.empty() ? read_joint("", all, *catalog_) : read_joint_text(text_, name_, all, *catalog_);
  if (!joint) return told_apart(joint.errors(), text_, name_, FileKind::joint);
  joint->unit_length_mm = unit_length_mm_;
  if (procedure_) return with_procedure(std::move(*joint), *procedure_);
  return joint;
}

Expected<Plan> JointRequest::solve(const std::vector<Assignment>& further, PlanOptions options,
                                   bool free_of_procedure) const {
  const Expected<Joint> settled = joint(further);
  if (!settled) return settled.errors();
  if (procedure_ && !free_of_procedure) options.procedure = &*procedure_;
  return make_plan(*settled, equipment_ ? &*equipment_ : nullptr, *catalog_, options);
}

bool joint_given(std::string_view command, const JointArguments& arguments) {
  if (!arguments.joint.empty() || !arguments.assignments.empty()) return true;
  usage_error(fmt::format("{} needs a joint: a file, or keys given with --set", command),
              "'seamwright new fillet' prints a file to start from; 'seamwright help keys' lists the keys");
  return false;
}

Expected<std::size_t> pass_number(const std::string& text) {
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error == std::errc() && end == text.data() + text.size() && number >= 1) return number;
  return option_error("--pass", text, "not a number of a pass", "passes count from 1, in welding order");
}

std::optional<std::size_t> pass_index(const std::string& text, const Plan& plan) {
  if (text.empty()) return 0;
  if (const Expected<std::size_t> number = pass_number(text); number && *number <= plan.passes.size())
    return *number - 1;
  usage_error(fmt::format("--pass cannot be '{}'", text),
              plan.passes.size() == 1 ? "this joint has one pass: --pass 1"
                                      : fmt::format("give a number from 1 to {}", plan.passes.size()));
  return std::nullopt;
}

}  // namespace seamwright
