// Reading what the user wrote. Every input key is declared once in the key table (src/input/input_keys.cpp): its path,
// kind, unit, range and meaning; TOML files, `--set`, job lists and `help keys` all go through it.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "seamwright/diagnostic.hpp"
#include "seamwright/equipment.hpp"
#include "seamwright/joint.hpp"

namespace seamwright {

struct InputKeyInfo {
  std::string_view path;     // "joint.thickness"
  std::string_view unit;     // default unit of a number: "mm"; empty for words
  std::string_view accepts;  // "a length above 0", "fillet, butt, lap, ..."
  std::string_view meaning;
};
[[nodiscard]] std::span<const InputKeyInfo> input_keys();

// One `KEY=VALUE` of the command line; VALUE is read as a TOML value and, failing that, as a bare word.
struct Assignment {
  std::string key;
  std::string value;
  std::string place = {};  // what stands for it in messages; empty: "--set KEY=VALUE"
};

// Reads a joint from a TOML file (path) and/or command-line assignments, which win over the file. An empty path means
// no file. Names are looked up in the catalog. All errors found are returned at once. Required: joint.type,
// joint.thickness, material.alloy.
[[nodiscard]] Expected<Joint> read_joint(const std::string& path, const std::vector<Assignment>& assignments,
                                         const Catalog& catalog);
// The same from text already in memory; `name` stands for the file in messages.
[[nodiscard]] Expected<Joint> read_joint_text(std::string_view text, const std::string& name,
                                              const std::vector<Assignment>& assignments, const Catalog& catalog);

[[nodiscard]] Expected<Equipment> read_equipment(const std::string& path);
[[nodiscard]] Expected<Equipment> read_equipment_text(std::string_view text, const std::string& name);

}  // namespace seamwright
