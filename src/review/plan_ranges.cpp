#include "review/plan_ranges.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "seamwright/input.hpp"
#include "seamwright/procedure_input.hpp"
#include "text/toml_document.hpp"

namespace seamwright {
namespace {

using Json = nlohmann::json;

constexpr std::size_t most_plan_bytes = 1u << 25;
constexpr std::array<F, 5> told_by_a_log{F::wire_feed, F::travel, F::current, F::voltage, F::peak_current};

std::string text_at(const Json& object, const char* key) {
  const auto found = object.find(key);
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
}

Diagnostic not_a_plan(const std::string& path, std::string message) {
  return {{path, 1, 1}, std::move(message), "'seamwright plan JOINT.toml -o plan.json' saves one"};
}

void add_range(Procedure& procedure, F id, PassRole role, const Json& quantity, const std::string& path) {
  const auto low = quantity.find("low"), high = quantity.find("high");
  if (low == quantity.end() || high == quantity.end() || !low->is_number() || !high->is_number()) return;
  const Interval range{low->get<double>(), high->get<double>()};
  for (ProcedureRange& known : procedure.ranges)
    if (known.field == id && known.role == role) {
      known.range = {std::min(known.range.low, range.low), std::max(known.range.high, range.high)};
      return;
    }
  procedure.ranges.push_back({id, role, range, {path, 1, 1}});
}

Expected<Procedure> ranges_of_plan(const std::string& text, const std::string& path) {
  const Json plan = Json::parse(text, nullptr, false);
  if (plan.is_discarded() || !plan.is_object())
    return not_a_plan(path, "is neither a procedure nor the JSON of a plan");
  const auto passes = plan.find("passes");
  if (text_at(plan, "program") != "seamwright" || passes == plan.end() || !passes->is_array() || passes->empty())
    return not_a_plan(path, "is JSON, but not that of a plan with passes");
  if (text_at(plan, "units") != "metric") return not_a_plan(path, "is a plan in US units, which are rounded");
  Procedure out;
  out.file = path;
  out.title = text_at(plan, "title");
  if (out.title.empty()) out.title = path;
  for (const Json& pass : *passes) {
    const std::string role_key = pass.is_object() ? text_at(pass, "role") : std::string();
    for (const PassRole role : {PassRole::single, PassRole::root, PassRole::fill, PassRole::cap})
      if (pass_role_key(role) == role_key)
        for (const F id : told_by_a_log)
          if (const auto quantity = pass.find(std::string(field(id).key));
              quantity != pass.end() && quantity->is_object())
            add_range(out, id, role, *quantity, path);
  }
  if (out.ranges.empty()) return not_a_plan(path, "is a plan without ranges: it has no window");
  return out;
}

}  // namespace

Expected<Procedure> read_ranges(const std::string& path, const Catalog& catalog) {
  const auto text = read_text_file(path, most_plan_bytes);
  if (!text) return text.errors();
  const std::size_t first = text->find_first_not_of(" \t\r\n");
  if (first != std::string::npos && (*text)[first] == '{') return ranges_of_plan(*text, path);
  return read_procedure(path, catalog);
}

}  // namespace seamwright
