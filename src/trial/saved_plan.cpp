// A plan that was saved as JSON, read back for comparison. In US units its numbers are put back into metric ones.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "text/json_value.hpp"
#include "text/units_text.hpp"
#include "trial/compare_parts.hpp"

namespace seamwright {
namespace {

constexpr std::size_t most_plan_values = 2'000'000;

Diagnostic wrong(const std::string& name, std::string message) {
  Diagnostic d;
  d.place.file = name;
  d.message = std::move(message);
  d.help = "save it with 'seamwright plan JOINT.toml -o plan.json'";
  return d;
}

// The reader counts bytes from the start; a file has lines.
Place place_in(std::string_view text, const std::string& name, int offset) {
  const std::string_view before = text.substr(0, static_cast<std::size_t>(std::max(0, offset - 1)));
  const auto lines = std::count(before.begin(), before.end(), '\n');
  const std::size_t line_start = before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
  return {name, static_cast<int>(lines) + 1, static_cast<int>(before.size() - line_start) + 1};
}

class SavedPlan {
 public:
  SavedPlan(const TomlValue& root, const std::string& name) : root_(root), name_(name) {}

  Expected<ComparedSide> read() {
    const TomlValue* program = root_.find("program");
    const TomlValue* passes = root_.find("passes");
    const TomlValue* about = root_.find("case");
    if (program == nullptr || program->text != "seamwright" || passes == nullptr || about == nullptr ||
        passes->kind != TomlValue::Kind::array || about->kind != TomlValue::Kind::table)
      return wrong(name_, "this JSON is no plan of seamwright");
    const TomlValue* schema = root_.find("schema");
    if (schema == nullptr || schema->number != 1) return wrong(name_, "this plan has another schema than 1");
    side_.name = name_;
    side_.kind = "plan";
    side_.title = text(root_, "title");
    side_.made.program = fmt::format("seamwright {}", text(root_, "version"));
    side_.made.data = text(root_, "data_version");
    if (const TomlValue* trials = root_.find("trials"); trials != nullptr && trials->kind == TomlValue::Kind::array)
      for (const TomlValue& trial : trials->items)
        if (trial.kind == TomlValue::Kind::string) side_.made.trials.push_back(trial.text);
    us_ = text(root_, "units") == "us";
    joint(*about);
    const auto count = static_cast<double>(passes->items.size());
    side_.items.push_back(joint_number("passes", "passes", "", count, count));
    const TomlValue* feasible = root_.find("feasible");
    side_.items.push_back(word_item("window", "window", feasible != nullptr && feasible->boolean ? "yes" : "none"));
    processes(*passes);
    for (std::size_t i = 0; i < passes->items.size(); ++i) pass(static_cast<int>(i) + 1, passes->items[i]);
    return std::move(side_);
  }

 private:
  const TomlValue& root_;
  const std::string& name_;
  ComparedSide side_;
  bool us_ = false;

  static std::string text(const TomlValue& table, std::string_view key) {
    const TomlValue* value = table.kind == TomlValue::Kind::table ? table.find(key) : nullptr;
    return value != nullptr && value->kind == TomlValue::Kind::string ? value->text : std::string();
  }
  // Infinite and not-a-number never stand in JSON.
  static double number(const TomlValue& table, std::string_view key) {
    const TomlValue* value = table.kind == TomlValue::Kind::table ? table.find(key) : nullptr;
    return value != nullptr && value->is_number() ? value->number : not_applicable;
  }
  static const TomlValue* within(const TomlValue& table, std::string_view key) {
    const TomlValue* value = table.kind == TomlValue::Kind::table ? table.find(key) : nullptr;
    return value != nullptr && value->kind == TomlValue::Kind::table ? value : nullptr;
  }
  [[nodiscard]] double metric(F id, double value) const {
    return us_ ? (value - field(id).us_offset) / field(id).us_factor : value;
  }

  void joint(const TomlValue& about) {
    struct Row {
      std::string_view table, key;
      ProcedureWord word;
    };
    constexpr Row rows[] = {
        {"joint", "type", ProcedureWord::joint_type},   {"joint", "preparation", ProcedureWord::preparation},
        {"joint", "position", ProcedureWord::position}, {"wire", "designation", ProcedureWord::wire},
        {"gas", "designation", ProcedureWord::gas},     {"process", "mode", ProcedureWord::mode}};
    for (const Row& row : rows)
      if (const TomlValue* table = within(about, row.table))
        if (const std::string word = text(*table, row.key); !word.empty())
          side_.items.push_back(word_item(procedure_word(row.word).key, procedure_word(row.word).label, word));
    if (const TomlValue* material = within(about, "material")) {
      const std::string alloy = text(*material, "alloy"), other = text(*material, "alloy2");
      side_.items.push_back(word_item(procedure_word(ProcedureWord::alloy).key,
                                      procedure_word(ProcedureWord::alloy).label,
                                      other.empty() || other == alloy ? alloy : fmt::format("{}, {}", alloy, other)));
    }
    for (const ProcedureNumber id :
         {ProcedureNumber::thickness, ProcedureNumber::gap, ProcedureNumber::root_face, ProcedureNumber::angle,
          ProcedureNumber::leg, ProcedureNumber::wire_diameter, ProcedureNumber::extension})
      length(about, id);
  }
  // Passes welded each by a process of its own: what they differ in, of the joint as a list and of each.
  void processes(const TomlValue& passes) {
    struct Row {
      std::string_view table, key;
      ProcedureWord word;
    };
    constexpr Row rows[] = {{"", "position", ProcedureWord::position},
                            {"wire", "designation", ProcedureWord::wire},
                            {"gas", "designation", ProcedureWord::gas},
                            {"", "mode", ProcedureWord::mode}};
    const auto item_of = [this](std::string_view key) {
      return std::find_if(side_.items.begin(), side_.items.end(), [&](const ComparedItem& i) { return i.key == key; });
    };
    for (const Row& row : rows) {
      std::vector<std::string> texts, distinct;
      for (const TomlValue& pass : passes.items) {
        const TomlValue* process = within(pass, "process");
        if (process == nullptr) return;
        const TomlValue* table = row.table.empty() ? process : within(*process, row.table);
        texts.push_back(table == nullptr ? std::string() : text(*table, row.key));
        if (std::find(distinct.begin(), distinct.end(), texts.back()) == distinct.end())
          distinct.push_back(texts.back());
      }
      if (distinct.size() < 2) continue;
      if (const auto item = item_of(procedure_word(row.word).key); item != side_.items.end())
        item->text = fmt::format("{}", fmt::join(distinct, ", "));
      for (std::size_t i = 0; i < texts.size(); ++i)
        side_.items.push_back(word_of_pass(static_cast<int>(i) + 1, row.word, texts[i]));
    }
    for (const auto& [key, id] :
         {std::pair("diameter", ProcedureNumber::wire_diameter), std::pair("extension", ProcedureNumber::extension)}) {
      std::vector<double> values;
      for (const TomlValue& pass : passes.items) {
        const TomlValue* wire = within(*within(pass, "process"), "wire");
        const TomlValue* length = wire == nullptr ? nullptr : within(*wire, key);
        if (length == nullptr) return;
        values.push_back(number(*length, "value") * (text(*length, "unit") == "in" ? mm_per_in : 1.0));
      }
      const auto [low, high] = std::minmax_element(values.begin(), values.end());
      if (*low == *high) continue;
      const ProcedureVariableInfo& info = procedure_number(id);
      if (const auto item = item_of(info.key); item != side_.items.end())
        *item = joint_number(info.key, info.label, info.unit, *low, *high);
      for (std::size_t i = 0; i < values.size(); ++i)
        side_.items.push_back(number_of_pass(static_cast<int>(i) + 1, id, values[i], values[i]));
    }
  }
  void length(const TomlValue& about, ProcedureNumber id) {
    const ProcedureVariableInfo& info = procedure_number(id);
    const std::size_t dot = info.key.find('.');
    const TomlValue* table = within(about, info.key.substr(0, dot));
    const TomlValue* quantity = table == nullptr ? nullptr : within(*table, info.key.substr(dot + 1));
    if (quantity == nullptr) return;
    double value = number(*quantity, "value");
    if (text(*quantity, "unit") == "in") value *= mm_per_in;
    double high = value;
    if (id == ProcedureNumber::thickness)
      if (const TomlValue* second = within(*table, "thickness2")) {
        double other = number(*second, "value");
        if (text(*second, "unit") == "in") other *= mm_per_in;
        if (applies(other)) {
          high = std::max(value, other);
          value = std::min(value, other);
        }
      }
    if (applies(value)) side_.items.push_back(joint_number(info.key, info.label, info.unit, value, high));
  }

  void pass(int number_of, const TomlValue& pass) {
    if (pass.kind != TomlValue::Kind::table) return;
    for (const FieldInfo& info : fields()) {
      const TomlValue* quantity = within(pass, info.key);
      if (quantity == nullptr || !applies(number(*quantity, "value"))) continue;
      ComparedItem item = pass_quantity(number_of, info.id);
      item.value = metric(info.id, number(*quantity, "value"));
      if (info.range == Range::setting) {
        item.low = metric(info.id, number(*quantity, "low"));
        item.high = metric(info.id, number(*quantity, "high"));
        if (const TomlValue* ends = within(*quantity, "ends")) {
          item.low_end = text(*ends, "low");
          item.high_end = text(*ends, "high");
        }
      }
      side_.items.push_back(std::move(item));
    }
    if (const std::string grade = text(pass, "grade"); !grade.empty())
      side_.items.push_back(
          pass_word(fmt::format("pass.{}.grade", number_of), fmt::format("grade, pass {}", number_of), grade));
    if (const TomlValue* detail = within(pass, "grade_detail"))
      side_.items.push_back(pass_word(fmt::format("pass.{}.weakest", number_of),
                                      fmt::format("gives out first, pass {}", number_of), text(*detail, "weakest")));
    if (const TomlValue* box = within(pass, "box")) lock(number_of, *box);
  }
  void lock(int number_of, const TomlValue& box) {
    const TomlValue* exists = box.find("exists");
    if (exists == nullptr || !exists->boolean) return;
    for (const FieldInfo& info : fields()) {
      const TomlValue* side = within(box, info.key);
      if (side == nullptr) continue;
      const TomlValue* follows = side->find("follows_feed");
      const double stray = follows != nullptr && follows->boolean ? number(box, "travel_tolerance") : 0.0;
      ComparedItem item{.key = fmt::format("pass.{}.lock.{}", number_of, info.key),
                        .label = fmt::format("{}, pass {}", info.label, number_of),
                        .group = ComparedGroup::lock,
                        .like = info.id};
      item.low = metric(info.id, number(*side, "low")) * (1 - stray);
      item.high = metric(info.id, number(*side, "high")) * (1 + stray);
      side_.items.push_back(std::move(item));
    }
  }
};

}  // namespace

Expected<ComparedSide> compared_saved_plan(std::string_view content, const std::string& name) {
  JsonReader reader;
  TomlValue root;
  if (!reader.read_object(content, root, {}, most_plan_values)) {
    Diagnostic d = reader.error();
    d.place = place_in(content, name, d.place.column);
    d.help = "save it with 'seamwright plan JOINT.toml -o plan.json'";
    return d;
  }
  return SavedPlan(root, name).read();
}

}  // namespace seamwright
