#include "present/joint_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "present/sentence_units.hpp"

namespace seamwright {
namespace {

bool welded_as_fillet(JointType type) {
  return type == JointType::fillet || type == JointType::lap || type == JointType::corner;
}

bool has_leg(JointType type) { return welded_as_fillet(type) || type == JointType::edge; }

// The position's test name for this joint: 1F..4F for fillets, 1G..6G for grooves; its first name when it has neither.
std::string_view test_position(const Position& position, JointType type) {
  const char ending = welded_as_fillet(type) ? 'F' : 'G';
  std::string_view first, fitting;
  for_each_item(position.names, [&](std::string_view name) {
    if (first.empty()) first = name;
    if (fitting.empty() && !name.empty() && name.back() == ending) fitting = name;
  });
  return fitting.empty() ? first : fitting;
}

}  // namespace

std::string key_words(std::string_view key, bool capital) {
  std::string words(key);
  std::replace(words.begin(), words.end(), '-', ' ');
  std::replace(words.begin(), words.end(), '_', ' ');
  if (capital && !words.empty()) words[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
  return words;
}

std::string joint_words(const Case& resolved, Units units) {
  const SectionInput& section = resolved.section;
  const bool us = units == Units::us;  // the names of AWS first
  std::string words = key_words(joint_type_key(section.type), true);
  const auto add = [&](std::string_view label, double mm) {
    if (mm > 0) words += fmt::format(", {} {}", label, length_text(mm, units));
  };
  if (has_leg(section.type)) {
    if (resolved.joint.throat_mm)
      add("throat", *resolved.joint.throat_mm);
    else
      add("leg", section.leg_mm);
    if (section.leg2_mm != section.leg_mm) add("by", section.leg2_mm);
  } else if (section.type == JointType::butt || section.type == JointType::pipe_butt) {
    words += ", " + key_words(preparation_key(section.preparation));
    if (section.angle_deg > 0) words += fmt::format(" of {} degrees", short_text(section.angle_deg));
    add("root face", section.root_face_mm);
  } else if (section.type == JointType::overlay) {
    add("height", section.overlay_height_mm);
  }
  add("gap", section.gap_mm);
  words += ", " + length_text(section.thickness_mm, units);
  if (resolved.alloy != nullptr) words += fmt::format(" {}", resolved.alloy->id);
  const bool other_alloy = resolved.alloy2 != nullptr && resolved.alloy2 != resolved.alloy;
  if (other_alloy || (resolved.thickness2_mm > 0 && resolved.thickness2_mm != section.thickness_mm)) {
    words += " to " + length_text(resolved.thickness2_mm > 0 ? resolved.thickness2_mm : section.thickness_mm, units);
    if (other_alloy) words += fmt::format(" {}", resolved.alloy2->id);
  }
  if (resolved.sides == 2) words += ", from both sides";
  if (resolved.backed) words += ", backed";
  if (resolved.position != nullptr) {
    const std::string_view name = test_position(*resolved.position, section.type);
    const std::string_view id = resolved.position->id;
    if (name.empty())
      words += fmt::format(", position {} ({})", id, resolved.position->label);
    else
      words += fmt::format(", position {} ({}, {})", us ? name : id, us ? id : name, resolved.position->label);
  }
  return words;
}

std::string_view wire_name(const Wire& wire, Units units) {
  const std::string_view aws = units == Units::us ? aws_name(wire) : std::string_view();
  return aws.empty() ? wire.id : aws;
}

std::string_view position_name(const Position& position, JointType type, Units units) {
  const std::string_view name = units == Units::us ? test_position(position, type) : std::string_view();
  return name.empty() ? position.id : name;
}

std::string wire_words(const Wire& wire, Units units) {
  const std::string_view aws = units == Units::us ? aws_name(wire) : std::string_view();
  return aws.empty() ? std::string(wire.id) : fmt::format("{} ({})", aws, wire.id);
}

std::string wire_size_words(const Catalog& catalog, double diameter_mm, Units units) {
  if (units == Units::metric) return length_text(diameter_mm, units);
  if (const WireTradeSize* trade = find_trade_size(catalog, diameter_mm)) return std::string(trade->id);
  // Metric sizes that are also a fraction, within what a wire may be off.
  constexpr double same_wire_mm = 0.0127;
  std::string text = length_text(diameter_mm, units);
  for (const int sixty_fourths : {3, 4})
    if (const double mm = mm_per_in * sixty_fourths / 64; std::abs(mm - diameter_mm) <= same_wire_mm)
      text = length_text(mm, units);
  return fmt::format("{} ({})", text, length_text(diameter_mm, Units::metric));
}

std::string choice_words(const Case& resolved, const Choice& choice, Units units) {
  if (choice.key == "wire.designation" && resolved.wire != nullptr && choice.value == resolved.wire->id)
    return wire_words(*resolved.wire, units);
  if (choice.key == "wire.diameter") return wire_size_words(*resolved.catalog, resolved.diameter_mm, units);
  return sentence_in_units(choice.value, units);
}

std::string reason_words(const Case& resolved, const Choice& choice, Units units) {
  std::string words = sentence_in_units(choice.reason, units);
  if (units == Units::metric || resolved.wire == nullptr) return words;
  if (const std::size_t at = words.find(resolved.wire->id); at != std::string::npos)
    words.replace(at, resolved.wire->id.size(), wire_name(*resolved.wire, units));
  return words;
}

std::string pass_span_words(int first, int last) {
  return first == last ? fmt::format("pass {}", first) : fmt::format("passes {}-{}", first, last);
}

}  // namespace seamwright
