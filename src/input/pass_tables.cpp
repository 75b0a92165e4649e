#include "input/pass_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <utility>
#include <vector>

#include "input/input_keys.hpp"

namespace seamwright {
namespace {

constexpr PassKey keys[] = {{"mode", "process.mode"},
                            {"wire", "wire.designation"},
                            {"diameter", "wire.diameter"},
                            {"extension", "wire.extension"},
                            {"gas", "gas.designation"},
                            {"gas_composition", "gas.composition"},
                            {"gas_flow", "gas.flow"},
                            {"position", "joint.position"},
                            {"travel", "process.travel"},
                            {"mechanised", "process.mechanised"},
                            {"weave_width", "process.weave_width"},
                            {"weave_dwell", "process.weave_dwell"},
                            {"wire_feed", "process.wire_feed"},
                            {"current", "process.current"},
                            {"voltage", "process.voltage"},
                            {"arc_length", "process.arc_length"},
                            {"peak_current", "process.peak_current"},
                            {"peak_time", "process.peak_time"},
                            {"modulation_frequency", "modulation.frequency"},
                            {"modulation_amplitude", "modulation.amplitude"},
                            {"modulation_share", "modulation.share"}};

constexpr PassWord words[] = {{PassTableKind::root, "root"},
                              {PassTableKind::hot, "hot"},
                              {PassTableKind::fill, "fill"},
                              {PassTableKind::cap, "cap"},
                              {PassTableKind::back, "back"}};

// Every value that tables of passes may hold.
template <class Visit>
void for_each_target(Visit visit) {
  for (const PassKey& key : keys)
    for (const KeyRow& row : key_rows())
      if (row.path == key.path)
        std::visit(
            [&](auto target) {
              if constexpr (!std::is_same_v<decltype(target), std::monostate>) visit(target);
            },
            row.target);
}

void lay_over(ProcessInput& onto, const ProcessInput& from) {
  // What fixes the same thing in another way goes.
  if (from.gas) onto.gas_composition.clear();
  if (!from.gas_composition.empty()) {
    onto.gas = {};
    onto.gas_composition = from.gas_composition;
    onto.gas_composition_place = from.gas_composition_place;
  }
  if (from.wire_feed_m_per_min) onto.current_A = {};
  if (from.current_A) onto.wire_feed_m_per_min = {};
  if (from.arc_length_mm) onto.voltage_V = {};
  if (from.voltage_V) onto.arc_length_mm = {};
  if (from.mode) {
    if (is_dip(*from.mode)) onto.arc_length_mm = {};
    if (!is_pulsed(*from.mode)) onto.peak_current_A = onto.peak_time_ms = {};
  }
  for_each_target([&]<class T>(Given<T> Joint::*target) {
    const auto member = static_cast<Given<T> ProcessInput::*>(target);
    if (from.*member) onto.*member = from.*member;
  });
  for (const UserLimit& limit : from.limits) {
    std::erase_if(onto.limits, [&](const UserLimit& old) { return old.field == limit.field; });
    onto.limits.push_back(limit);
  }
}

}  // namespace

std::span<const PassKey> pass_keys() { return keys; }
std::string_view joint_path_of(std::string_view pass_key) {
  for (const PassKey& key : keys)
    if (key.key == pass_key) return key.path;
  return {};
}
std::string_view pass_key_of(std::string_view joint_path) {
  for (const PassKey& key : keys)
    if (key.path == joint_path) return key.key;
  return {};
}

std::span<const PassWord> pass_words() { return words; }

std::optional<PassPath> read_pass_path(std::string_view below_pass) {
  const std::size_t dot = below_pass.find('.');
  const std::string_view name = below_pass.substr(0, dot);
  PassPath path;
  if (dot != std::string_view::npos) path.key = below_pass.substr(dot + 1);
  for (const PassWord& word : words)
    if (word.key == name) {
      path.kind = word.kind;
      return path;
    }
  path.kind = PassTableKind::number;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), path.number);
  const bool whole = error == std::errc() && end == name.data() + name.size() && !name.starts_with('0');
  if (!whole || path.number < 1 || path.number > most_pass_number) return std::nullopt;
  return path;
}

std::span<const std::string_view> pass_key_paths() {
  static const std::vector<std::string> texts = [] {
    std::vector<std::string> list;
    const auto add = [&](std::string_view name) {
      for (const PassKey& key : keys) list.push_back(fmt::format("pass.{}.{}", name, key.key));
    };
    for (const PassWord& word : words) add(word.key);
    add("2");
    return list;
  }();
  static const std::vector<std::string_view> views(texts.begin(), texts.end());
  return views;
}

void sort_passes(Joint& joint) {
  std::ranges::sort(joint.passes, [](const PassTable& a, const PassTable& b) {
    return std::pair(a.kind, a.number) < std::pair(b.kind, b.number);
  });
}

PassTable& pass_table(Joint& joint, PassTableKind kind, int number, const Place& place) {
  for (PassTable& table : joint.passes)
    if (table.kind == kind && table.number == number) return table;
  return joint.passes.emplace_back(PassTable{kind, number, place, {}, true});
}

bool say_the_same(const ProcessInput& a, const ProcessInput& b) {
  bool same = a.gas_composition == b.gas_composition &&
              std::ranges::equal(a.limits, b.limits, [](const UserLimit& x, const UserLimit& y) {
                return x.field == y.field && x.range == y.range;
              });
  for_each_target([&]<class T>(Given<T> Joint::*target) {
    const auto member = static_cast<Given<T> ProcessInput::*>(target);
    same = same && static_cast<bool>(a.*member) == static_cast<bool>(b.*member) &&
           (!(a.*member) || *(a.*member) == *(b.*member));
  });
  return same;
}

std::string pass_table_name(const PassTable& table) {
  for (const PassWord& word : words)
    if (word.kind == table.kind) return fmt::format("pass.{}", word.key);
  return fmt::format("pass.{}", table.number);
}

void joint_of_pass(const Joint& joint, PassTableSet tables, Joint& out) {
  out = joint;
  out.passes.clear();
  for (std::size_t i = 0; i < joint.passes.size(); ++i)
    if ((tables >> i & 1) != 0) lay_over(out, joint.passes[i].says);
}

}  // namespace seamwright
